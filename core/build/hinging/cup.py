"""Concealed hinges: a cup bored into the door's back and a plate on the face of the wall; the crank of the arm goes by the lay.

How far a door laps its wall is the hinge's own figure and the distance from the cup to the door's edge (overlay = fixed distance +
cup distance, as makers print it); the cup's distance is chosen so that the lap comes out as it is set out.
"""

from __future__ import annotations

import math

from ...errors import ParameterError
from ...fittings import FittingEntry, least_reveal
from ...geometry import BACK, LEFT, RIGHT, Placement, vector
from ...model import When
from ...units import up_to
from ..bench import Bench
from ..clearance import is_free
from ..hanging import SWING, Hung, Leaf, check_count, giving_way, places_along, stands_free
from ..hardware import hole_for, screw_on
from ..setting_out import SettingOut

# mm from the cup to the door's edge; what two makers' catalogues both allow, read in excerpts
CUP_FROM_EDGE = (3.0, 7.0)
BEHIND_CUP = 2.0  # mm of door left behind a cup; common practice, no source
BESIDE_CUP = 3.0  # mm of a stile left between a cup and its groove; common practice, no source
# mm from a door's end to the middle of its outer hinges at most; a maker's catalogue, read in an excerpt
FROM_END = 80.0
THIN = 20.0  # mm; up to that thick a door needs no more than any gap: the table of reveals begins above
GAP_STEP = 0.5  # mm to which the gap that a thick door needs is rounded up
PLATE = 50.0  # mm along the edge that a hinge takes with its plate


class CupHinge:
    """Concealed hinges with a cup."""

    style = "concealed hinge"
    label = "a door by its lap"
    lays = ("inset", "full", "half")

    def suits(self, entry: FittingEntry, thick: float, lap: float) -> str:
        """The crank must go with the lap, and the cup into the door."""
        least, most = (entry.size("overlay") - entry.size("cup_from_edge") + each for each in CUP_FROM_EDGE)
        if lap < least - 1e-6 and -lap <= up_to(least_reveal(thick), GAP_STEP) + 1e-6:
            return f"a door {thick:g} mm thick needs {-lap:g} mm beside its hinge edge to come round, and it leaves at most {-least:g} mm; take a thinner door or butt hinges"
        if not least - 1e-6 <= lap <= most + 1e-6:
            return (
                f"it is for a lap of {least:g} to {most:g} mm at the hinge edge (below 0: a gap); here it is {lap:g} mm"
            )
        need = entry.size("cup_depth") + BEHIND_CUP
        return (
            f"its cup is {entry.size('cup_depth'):g} mm deep; a door {thick:g} mm thick is too thin, at least {need:g} mm is needed"
            if thick < need
            else ""
        )

    def gap(self, entry: FittingEntry, asked: float, thick: float) -> float:
        """As asked, or as much as a door so thick needs to come round its edge."""
        return max(asked, up_to(least_reveal(thick), GAP_STEP)) if thick > THIN else asked

    def hang(self, bench: Bench, out: SettingOut, leaf: Leaf, entry: FittingEntry, count: int) -> Hung:
        """Cups bored, plates screwed on the wall; each moved along where a shelf or another hinge is in its way."""
        first = FROM_END - PLATE / 2
        check_count(leaf, first, PLATE, count)
        self._check_back(bench, leaf, entry)
        lap = leaf.sign * (leaf.hinge_x - leaf.wall_x)  # as the wall stands in the model, whatever was measured
        from_edge = round(lap - entry.size("overlay") + entry.size("cup_from_edge"), 6)
        x = leaf.hinge_x - leaf.sign * (from_edge + entry.size("cup") / 2)
        made = []
        for number, wanted in enumerate(places_along(leaf.rod_high, count, first, PLATE), 1):
            tried = (
                self._place(leaf, x, leaf.bottom + low + PLATE / 2) for low in giving_way(wanted, PLATE, leaf.rod_high)
            )
            place = next((each for each in tried if self._is_free(bench, leaf, entry, each)), None)
            if place is None:
                raise ParameterError(
                    f"{leaf.path}.hanging.hinge",
                    f'"{entry.id}" finds no room {wanted + PLATE / 2:g} mm above the lower edge of the door; a shelf, a rail or another hinge is in its way',
                )
            hinge = f"{leaf.key}/hinge.{number}"
            bench.fit(hinge, entry, place, (leaf.behind, leaf.wall))
            hole_for(bench, hinge, {"door": leaf.behind}, When("after glue-up", leaf.key))
            screw_on(bench, hinge, {"door": leaf.behind}, blame=leaf.blamed())
            screw_on(bench, hinge, {"carcass": leaf.wall})
            made.append(hinge)
        before = axis_before(entry, leaf.thick, from_edge)
        axis = bench.fittings[made[0]].place.point((-before, entry.size("axis_beside"), 0.0))
        return Hung(tuple(made), tuple(made), vector(axis[0], axis[1], 0.0), min(SWING, entry.size("opening")))

    def _place(self, leaf: Leaf, x: float, z: float) -> Placement:
        return Placement(vector(x, leaf.back_y, z), BACK, LEFT if leaf.hand == "left" else RIGHT)

    def _check_back(self, bench: Bench, leaf: Leaf, entry: FittingEntry) -> None:
        board = bench.parts[leaf.behind]
        need = entry.size("cup_depth") + BEHIND_CUP
        if board.board.thickness < need:
            raise ParameterError(
                leaf.blamed(),
                f"a cup {entry.size('cup_depth'):g} mm deep leaves less than {BEHIND_CUP:g} mm of a board {board.board.thickness:g} mm thick; at least {need:g} mm is needed",
            )
        if leaf.front.panel.stands_alone:
            least = CUP_FROM_EDGE[1] + entry.size("cup") + leaf.front.panel.channel_depth() + BESIDE_CUP
            if leaf.front.panel.stile_width < least:
                raise ParameterError(
                    f"{leaf.path}.panel.stile_width",
                    f"{leaf.front.panel.stile_width:g} mm has no room for a cup {entry.size('cup'):g} mm wide beside the groove; at least {least:g} mm is needed",
                )

    def _is_free(self, bench: Bench, leaf: Leaf, entry: FittingEntry, place: Placement) -> bool:
        """Whether cup and screws hit nothing bored already, and cup, arm and plate nothing that stands there or in their way."""
        for hole in entry.holes_for():
            if not is_free(
                bench,
                leaf.behind,
                place.point(hole.at),
                place.direction(hole.direction),
                hole.diameter,
                hole.depth or 0.0,
                2.0,
            ):
                return False
        for each in entry.screws_for():
            part = leaf.wall if each.into == "carcass" else leaf.behind
            at, along = place.point(each.at), place.direction(each.along)
            mouth = vector(
                leaf.wall_x if each.into == "carcass" else at[0],
                at[1] if each.into == "carcass" else leaf.back_y,
                at[2],
            )
            if not is_free(bench, part, mouth, along, 3.5, min(15.0, bench.parts[part].board.thickness - 3.0), 2.0):
                return False
        return stands_free(bench, entry.bodies_for(), place, {leaf.wall, *leaf.parts}, from_front=True)


def axis_before(entry: FittingEntry, thick: float, from_edge: float) -> float:
    """How far before the back of a door the one axis stands that its linkage is reckoned as, the cup so far from its edge.

    A thin door swings about the hinge's own axis. The linkage lets a thicker one glide forward: its axis stands so far before
    that the edge comes out beyond the shut door by the least reveal of the maker's table, no more and no less.

    >>> from ...fittings import fitting_entry
    >>> [round(axis_before(fitting_entry("hinge-cup-35-inset"), thick, 3.0), 2) for thick in (18, 22, 28)]
    [19.0, 19.01, 22.66]
    """
    if thick <= THIN:
        return entry.size("axis_before")
    inside = from_edge + entry.size("cup") / 2 - entry.size("axis_beside")  # from the door's edge to the axis
    return round(thick - math.sqrt(least_reveal(thick) * (least_reveal(thick) + 2 * inside)), 6)


ENTRY = CupHinge
