"""Dowels at the corners of a drawer box: the front and the back stand between the sides, or the sides against an integral front."""

from __future__ import annotations

from ...errors import ParameterError, blaming
from ...fastenings import dowel_for
from ...fields import parameters
from ...geometry import negative, vector
from ..bench import Bench
from ..drawers.corners import corner_heights
from ..drawers.values import BoxCorner

BEYOND_PEG = 3.0  # mm of an integral front left beyond a dowel's hole; common practice, no source


@parameters
class Dowels:
    """Glued dowels, three to a corner."""

    style = "dowels"
    label = "Dowels"
    spans = False

    def reach(self, thick: float, is_front: bool) -> float:
        """The sides run over the ends of the front and the back."""
        return thick

    def make(self, bench: Bench, corner: BoxCorner) -> None:
        """Bore both parts on shared axes and put the dowels in."""
        with blaming(f"{corner.path}.drawer.board"):
            size = dowel_for(corner.t)
        heights = corner_heights(corner, size.diameter)
        area = (heights[-1] - heights[0] + 50) * corner.t
        if corner.butts:
            if corner.thick < size.face_depth + BEYOND_PEG:
                raise ParameterError(
                    f"{corner.path}.board",
                    f"an integral front {corner.thick:g} mm thick is too thin for dowels {size.name}; at least {size.face_depth + BEYOND_PEG:g} mm is needed",
                )
            x, into = corner.outer + corner.inward[0] * corner.t / 2, negative(corner.outward)
            names = [
                bench.dowel(corner.end, corner.side, vector(x, corner.inner, z), into, size, "dowel") for z in heights
            ]
            bench.join(
                f"{corner.side}|{corner.end}", "dowels", corner.side, corner.end, corner.outward, tuple(names), area
            )
            return
        y = corner.inner + corner.outward[1] * corner.thick / 2
        names = [
            bench.dowel(corner.side, corner.end, vector(corner.inner_x, y, z), corner.inward, size, "dowel")
            for z in heights
        ]
        bench.join(f"{corner.side}|{corner.end}", "dowels", corner.side, corner.end, corner.inward, tuple(names), area)


ENTRY = Dowels
