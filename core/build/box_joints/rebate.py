"""Rebated corners: the ends of the front and the back are rebated half their thickness to take the sides, glued and pinned."""

from __future__ import annotations

from ...errors import ParameterError
from ...fastenings import pin
from ...fields import parameters
from ...geometry import negative, plus, vector
from ...units import nearest
from ..bench import Bench
from ..drawers.corners import corner_heights
from ..drawers.values import BoxCorner

PIN = 30.0  # mm long; common practice, no source
STEP = 0.1  # mm that a fence sets
HOUSED = 1e-6  # mm; a front that runs on no farther ends at the side


@parameters
class Rebate:
    """A side lies in a rebate of the front; where an integral front is wider than the box it is a housing."""

    style = "rebate"
    label = "Rebate"
    spans = True

    def reach(self, thick: float, is_front: bool) -> float:
        """Half way through the front or the back.

        >>> Rebate().reach(15, True)
        7.5
        """
        return nearest(thick / 2, STEP)

    def make(self, bench: Bench, corner: BoxCorner) -> None:
        """Rebate the end, glue the side in, pin it from outside where a pin can be driven."""
        deep = self.reach(corner.thick, corner.is_front)
        housed = corner.beyond > HOUSED
        if not housed and corner.beyond < -HOUSED:
            raise ParameterError(
                f"{corner.path}.drawer.corners.style",
                f'"rebate" needs a front as wide as the box or wider; this one is {-corner.beyond:g} mm short of it at each side',
            )
        kind, out = ("housing", 0.0) if housed else ("rebate", 1.0)
        low = corner.low - (0.0 if corner.end_low < corner.low - HOUSED else 1.0)
        high = corner.high + (0.0 if corner.end_high > corner.high + HOUSED else 1.0)
        bench.take_out(
            corner.end, kind, vector(corner.outer - corner.inward[0] * out, corner.inner - corner.outward[1], low), vector(corner.inner_x, corner.y(deep), high),
            f"{kind} {corner.t:g} × {deep:g} for the side" + ("" if housed else ", through"),
        )  # fmt: skip
        apart = corner.outward if housed else corner.inward
        names = () if housed else self._pinned(bench, corner, deep)
        area = (corner.high - corner.low) * (corner.t + (2 if housed else 1) * deep)
        bench.join(
            f"{corner.side}|{corner.end}",
            "rebate" if not housed else "housing",
            corner.side,
            corner.end,
            apart,
            names,
            area,
        )

    def _pinned(self, bench: Bench, corner: BoxCorner, deep: float) -> tuple[str, ...]:
        size = pin(PIN)
        names = []
        for z in corner_heights(corner, size.diameter):
            at = plus(
                vector(corner.inner_x, corner.inner + corner.outward[1] * deep / 2, z),
                negative(corner.inward),
                corner.t,
            )
            names.append(
                bench.fasten(
                    "pin",
                    f"pin {size.name}",
                    size.diameter,
                    size.length,
                    at,
                    corner.inward,
                    (corner.side, corner.end),
                    "box pin",
                )
            )
        return tuple(names)


ENTRY = Rebate
