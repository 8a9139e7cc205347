"""A hanging rail from front to back under what is above, for a compartment too shallow to hang clothes across."""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import ident, length, parameters
from ...geometry import BACK, FRONT, LEFT, RIGHT, Placement, vector
from ..bench import Bench
from ..contents import keep_tube_clear, stem
from ..hardware import fitting_for, screw_on
from ..protocols import BayWalls
from ..setting_out import SettingOut

LEAST_WIDTH = 480.0  # mm clear for coats, which hang across the compartment here; common practice, no source
BEYOND = 25.0  # mm of tube beyond each bracket
LEAST_TUBE = 150.0
ANCHOR_ROOM = 62.0  # mm before an anchor rail that a wall bracket takes (the fittings library)
PLATE = 30.0  # mm from a bracket's axis to the end of its plate across, and room


@parameters
class RailFrontToBack:
    """A hanging rail, front to back."""

    style = "rail_front_to_back"
    label = "Hanging rail, front to back"

    tube: str = ident("rail-25", "Rail", "An entry of the fittings library")
    bracket: str = ident("rail-bracket-25", "Bracket", "An entry of the fittings library; two carry the rail")
    from_front: float = length(50, 30, 300, "From the front", "From what closes the compartment to the first bracket")
    from_back: float = length(
        120, 30, 400, "From the back", "To the second bracket; clear of the anchor rail and its wall bracket"
    )

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Two brackets under what is above, the tube through them."""
        bracket, tube = (
            fitting_for("bracket", self.bracket, "rail bracket"),
            fitting_for("tube", self.tube, "hanging rail"),
        )
        self._check(out, bay, bracket.size("diameter"), tube.size("diameter"))
        key, x, top = stem(bay.key, "rail", number), round((bay.rect.left + bay.rect.right) / 2, 6), bay.rect.top
        ends = (("front", out.y(bay.front_f + self.from_front)), ("rear", out.y(bay.back_f - self.from_back)))
        made = []
        for end, y in ends:
            name = f"{key}/bracket.{end}"
            bench.fit(name, bracket, Placement(vector(x, y, top), FRONT, RIGHT), (bay.top,))
            screw_on(bench, name, {"carcass": bay.top}, blame="bracket")
            made.append(name)
        start, stop = ends[0][1] - BEYOND, ends[1][1] + BEYOND
        height = top - bracket.size("drop")
        foot = vector(x, start, height)
        way_out = "begin it farther from the front, or take a stiffener less deep"
        keep_tube_clear(bench, "from_front", foot, vector(x, stop, height), tube.size("diameter"), way_out)
        bench.fit(
            f"{key}/tube",
            tube,
            Placement(foot, BACK, LEFT),
            (),
            length=round(stop - start, 1),
        )
        for name in made:
            bench.join(f"{key}/tube|{name}", "loose", name, f"{key}/tube", FRONT)
        return [*made, f"{key}/tube"]

    def _check(self, out: SettingOut, bay: BayWalls, fits: float, diameter: float) -> None:
        if not bay.top:
            raise ParameterError("bracket", f'there is no board above "{bay.key}" to screw it to')
        if bay.rect.width < LEAST_WIDTH:
            raise ParameterError(
                "", f"the compartment is {bay.rect.width:g} mm wide; coats across it need at least {LEAST_WIDTH:g}"
            )
        if fits != diameter:
            raise ParameterError(
                "bracket", f'"{self.bracket}" is for a rail {fits:g} mm thick; "{self.tube}" is {diameter:g} mm'
            )
        long = bay.back_f - bay.front_f - self.from_front - self.from_back
        if long < LEAST_TUBE:
            raise ParameterError(
                "from_back",
                f"{self.from_back:g} mm, with {self.from_front:g} mm at the front, leaves the brackets {long:g} mm apart; at least {LEAST_TUBE:g} is needed",
            )
        spec = out.piece.carcass.stiffeners
        if bay.top == "carcass/top" and spec.anchor_rails:
            least = out.side_board.thickness + ANCHOR_ROOM + PLATE
            if self.from_back < least:
                raise ParameterError(
                    "from_back",
                    f"{self.from_back:g} mm brings a bracket into the wall anchor; use at least {least:g} mm",
                )


ENTRY = RailFrontToBack
