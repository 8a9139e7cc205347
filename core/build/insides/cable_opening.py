"""Round openings in the back for cables, bare or with a grommet."""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import count, ident, length, parameters
from ...geometry import BACK, FRONT, RIGHT, Placement, vector
from ..bench import Bench
from ..clearance import is_free
from ..contents import around, stem
from ..hardware import fitting_for
from ..protocols import BayWalls
from ..setting_out import SettingOut
from ..standing import sided_names

FROM_WALLS = 20.0  # mm of back left beside an opening; common practice, no source


@parameters
class CableOpening:
    """Openings for cables in the back."""

    style = "cable_opening"
    label = "Cable openings"

    quantity: int = count(1, 1, 6, "Openings", "Side by side, evenly spread")
    diameter: float = length(60, 20, 120, "Diameter", "Of a bare opening; a grommet brings its own")
    height: float = length(100, 30, 2000, "Height", "Middle of the opening above the floor of the compartment")
    grommet: str = ident("", "Grommet", "An entry of the fittings library; empty for a bare opening, its edge rounded")

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Bore the back; put the grommets in."""
        entry = fitting_for("grommet", self.grommet, "cable grommet") if self.grommet else None
        wide = entry.size("diameter") if entry else self.diameter
        face, rear = around(bench.parts["carcass/back"])[0][1], around(bench.parts["carcass/back"])[1][1]
        self._check(
            out, bay, entry.size("flange") if entry else wide, entry.size("depth") - (0.0 - face) if entry else 0.0
        )
        middle, height = (bay.rect.left + bay.rect.right) / 2, bay.rect.bottom + self.height
        places = [
            round(middle + round(bay.rect.width * ((i + 0.5) / self.quantity - 0.5), 1), 6)
            for i in range(self.quantity)
        ]
        made = []
        for x, name in zip(places, sided_names([round(x - middle, 6) for x in places])):
            at = vector(x, face, height)
            if not is_free(bench, "carcass/back", at, BACK, wide, rear - face):
                raise ParameterError(
                    "height",
                    f"{self.height:g} mm brings an opening within 5 mm of a screw or another opening in the back",
                )
            bench.bore("carcass/back", at, BACK, wide, rear - face, f"cable opening {wide:g}")
            if entry:
                key = f"{stem(bay.key, 'cable', number)}/grommet.{name}"
                bench.fit(key, entry, Placement(at, FRONT, RIGHT), ("carcass/back",))
                made.append(key)
        return made

    def _check(self, out: SettingOut, bay: BayWalls, wide: float, behind: float) -> None:
        least, most = wide / 2 + FROM_WALLS, bay.rect.height - wide / 2 - FROM_WALLS
        if not least <= self.height <= most:
            raise ParameterError(
                "height",
                f"{self.height:g} mm is out of range for an opening {wide:g} mm wide in a compartment {bay.rect.height:g} mm high; it must be between {least:g} and {most:g} mm",
            )
        room = bay.rect.width / self.quantity
        if room < wide + FROM_WALLS:
            raise ParameterError(
                "quantity",
                f"{self.quantity} openings {wide:g} mm wide do not fit in {bay.rect.width:g} mm; each takes {wide + FROM_WALLS:g}",
            )
        off = out.piece.site.stands_off
        if behind > off:
            raise ParameterError(
                "grommet",
                f'"{self.grommet}" reaches {behind:g} mm behind the piece, which stands {off:g} mm off the wall; leave it out, or take a thicker back',
            )


ENTRY = CableOpening
