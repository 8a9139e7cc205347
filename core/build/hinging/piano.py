"""Piano hinges: one hinge the length of an inset door's edge, planted on it; the gap there is the closed hinge."""

from __future__ import annotations

from ...errors import ParameterError
from ...fittings import FittingEntry
from ...geometry import vector
from ...units import down_to
from ..bench import Bench
from ..hanging import Hung, Leaf, at_wall, edge_part, fit_leaves, screw_leaves, wall_holds
from ..setting_out import SettingOut

SHORTER = 10.0  # mm that the hinge is shorter than the door; common practice, no source
BEHIND = 1.0  # mm of door behind the leaf at least; common practice, no source


class PianoHinge:
    """Piano hinges, cut to length."""

    style = "piano hinge"
    label = "an inset door"
    lays = ("inset",)

    def suits(self, entry: FittingEntry, thick: float, lap: float) -> str:
        """Its leaf must lie on the door's edge."""
        lies = entry.size("leaf_width") - entry.size("pin_stand")
        return (
            f"its leaf lies {lies:g} mm on the edge of a door {thick:g} mm thick; at least {lies + BEHIND:g} mm is needed"
            if thick < lies + BEHIND
            else ""
        )

    def gap(self, entry: FittingEntry, asked: float, thick: float) -> float:
        """The closed hinge: it is not let in."""
        return entry.size("closed_thickness")

    def hang(self, bench: Bench, out: SettingOut, leaf: Leaf, entry: FittingEntry, count: int) -> Hung:
        """Planted on both edges, a screw to each 75 mm."""
        high = leaf.rod_high if leaf.high >= leaf.rod_high - SHORTER / 2 else leaf.high
        long = down_to(high - SHORTER, out.finest)
        y = vector(0, leaf.face_y - entry.size("pin_stand"), 0)[1]
        gap = entry.size("closed_thickness")
        place = at_wall(leaf, gap, y, leaf.bottom + high / 2)
        if not wall_holds(bench, leaf, [(place, each) for each in entry.screws_for(long) if each.into == "carcass"]):
            thick = bench.parts[leaf.wall].board.thickness
            raise ParameterError(
                f"{leaf.path}.hanging.hinge",
                f'the screws of "{entry.id}" meet other holes in "{leaf.wall}", {thick:g} mm thick; hang the door at its other side, or on butt hinges',
            )
        holds, hinge = edge_part(bench, leaf, entry, long), f"{leaf.key}/hinge"
        fit_leaves(bench, leaf, hinge, entry, place, holds, gap, long)
        screw_leaves(bench, leaf, hinge, holds, gap, long)
        return Hung((hinge,), (f"{hinge}/door_leaf",), vector(leaf.hinge_x + leaf.sign * gap / 2, y, 0.0))


ENTRY = PianoHinge
