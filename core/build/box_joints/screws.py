"""Screws through the sides of a drawer box into the ends of its front and back, glued too."""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import length, parameters
from ...geometry import negative, plus, vector
from ..bench import Bench
from ..drawers.corners import corner_heights
from ..drawers.values import BoxCorner
from ..hardware import screw_through

HOLD = 25.0  # mm in the end; common practice, no source


@parameters
class Screws:
    """Glued and screwed, two or three to a corner; the heads are seen on the sides."""

    style = "screws"
    label = "Screws"
    spans = False

    diameter: float = length(4, 3, 5, "Screw diameter", "3, 3.5, 4, 4.5 or 5; the length follows from the box")

    def reach(self, thick: float, is_front: bool) -> float:
        """The sides run over the ends of the front and the back."""
        return thick

    def make(self, bench: Bench, corner: BoxCorner) -> None:
        """Clearance through the side, pilot in the end."""
        if corner.butts:
            raise ParameterError(
                f"{corner.path}.drawer.corners.style",
                '"screws" would show on the face of an integral front; choose dowels, a rebate or lapped dovetails, or a planted front',
            )
        size = screw_through(f"{corner.path}.drawer.corners.diameter", self.diameter, corner.t, HOLD)
        heights = corner_heights(corner, size.head)
        out = negative(corner.inward)
        names = []
        for z in heights:
            at = plus(vector(corner.inner_x, corner.inner + corner.outward[1] * corner.thick / 2, z), out, corner.t)
            names.append(bench.screw(corner.side, corner.end, at, corner.inward, size, corner.t, "box screw"))
        area = (corner.high - corner.low) * corner.thick
        bench.join(
            f"{corner.side}|{corner.end}", "glue and screws", corner.side, corner.end, corner.inward, tuple(names), area
        )


ENTRY = Screws
