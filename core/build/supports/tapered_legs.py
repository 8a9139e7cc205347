"""Four separate legs tapered on their inner faces, with rails between them, under the carcass."""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import length, parameters
from ...geometry import plus
from ..bench import Bench
from ..stand import Setting, Stand, inward, taper

LEAST_SHARE = 0.55  # of the leg's section left at the foot; common practice, no source
LEAST_TAPER = 30.0  # mm high; common practice, no source


@parameters
class TaperedLegs(Stand):
    """Tapered legs and rails."""

    style = "tapered_legs"
    label = "Tapered legs and rails"

    foot_section: float = length(
        28, 20, 100, "Foot section", "Side of the leg's square at the floor; the outer faces stay plumb"
    )
    straight: float = length(5, 0, 100, "Straight below the rails", "Where the taper begins")

    def foot_size(self, section: float) -> float:
        """The side of the foot's square."""
        least = LEAST_SHARE * section
        if not least <= self.foot_section <= section:
            raise ParameterError(
                "foot_section",
                f"{self.foot_section:g} mm is out of range; for legs of {section:g} mm it must be between {least:g} and {section:g} mm",
            )
        return self.foot_section

    def shape(self, bench: Bench, stand: Setting, leg: str, side: str, end: str) -> None:
        """Tapers on the two inner faces, from below the rails to the foot."""
        section = stand.leg.thickness
        loss = section - self.foot_size(section)
        top = round(self.height - self.rail_width - self.straight, 6)
        over = round(top - stand.foot_high, 6)
        if over < LEAST_TAPER:
            raise ParameterError(
                "straight",
                f"{self.straight:g} mm leaves {over:g} mm of leg to taper below the rails; at least {LEAST_TAPER:g} is needed",
            )
        if not loss:
            return
        corner = stand.corner(side, end)
        for into, words in zip(inward(side, end), ("seen from the front", "seen from the side")):
            taper(bench, leg, into, top, plus(corner, into, section), loss, over, f"leg, {words}")


ENTRY = TaperedLegs
