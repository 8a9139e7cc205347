"""Lapped dovetails: tails on the sides, sockets in the front that stop a lap short of its face; through dovetails at the back.

The tails are cut through the thickness of the side, sockets and pins are what is left: both parts are cut by the same
outlines, so that they fit without a gap. Lap 4 to 5, slope 1 in 7, half pins 5 mm: common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from ...errors import ParameterError
from ...fields import length, number, parameters
from ...geometry import Vector, vector
from ..bench import Bench
from ..drawers.values import BoxCorner

OVER_GROOVE = 3.0  # mm of the lowest tail above the groove at least, at its root; common practice, no source
LEAST_TAIL = 8.0  # mm wide at its root; common practice, no source
FLUSH = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Tail:
    """One tail: the z of its two edges at the tip, where it is widest, and how much each comes in at the root."""

    low: float
    high: float
    slant: float


@parameters
class LappedDovetails:
    """Tails on the sides, sockets in the front and the back."""

    style = "lapped_dovetails"
    label = "Lapped dovetails"
    spans = True

    lap: float = length(4.5, 2, 10, "Lap", "Of the front left over the tails")
    slope: float = number(7, 4, 12, "Slope one in", "Of the tails: 1 in 6 for softwood, 1 in 7 or 8 for hardwood")
    half_pin: float = length(5, 3, 15, "Half pins", "At the upper and the lower edge, at the narrow end")
    pin: float = length(8, 3, 30, "Pins", "Between two tails, at the narrow end")
    tail: float = length(28, 12, 80, "Tails about", "How wide a tail is at its tip; the number follows from the height")

    def reach(self, thick: float, is_front: bool) -> float:
        """As deep as the sockets: to the lap at the front, through the back."""
        return round(thick - self.lap, 6) if is_front else thick

    def tails(self, low: float, high: float, groove_top: float, deep: float) -> tuple[Tail, ...]:
        """The tails of a corner, from below: equal, but the lowest holds the groove for the bottom where there is one.

        By hand: 100 high, half pins 5, pins 8, tails about 28: three, (90 − 16) / 3 wide.

        >>> [(round(each.low, 2), round(each.high, 2)) for each in LappedDovetails().tails(0, 100, 0, 10.5)]
        [(5.0, 29.67), (37.67, 62.33), (70.33, 95.0)]
        >>> LappedDovetails().tails(0, 100, 0, 10.5)[0].slant
        1.5
        """
        slant = round(deep / self.slope, 6)
        start, end = low + self.half_pin, high - self.half_pin
        count = max(1, round((end - start + self.pin) / (self.tail + self.pin)))
        wide = (end - start - (count - 1) * self.pin) / count
        lowest = max(wide, groove_top + OVER_GROOVE + slant - start)
        edges = [(start, start + lowest)]
        start += lowest + self.pin
        if lowest > wide:
            count = (
                max(0, round((end - start + self.pin) / (self.tail + self.pin))) + 1
                if end - start >= LEAST_TAIL + 2 * slant
                else 1
            )
            if count == 1:
                edges = [(edges[0][0], end)]
            wide = (end - start - (count - 2) * self.pin) / max(1, count - 1)
        edges += [(start + i * (wide + self.pin), start + i * (wide + self.pin) + wide) for i in range(count - 1)]
        return tuple(Tail(round(a, 3), round(b, 3), slant) for a, b in edges)

    def make(self, bench: Bench, corner: BoxCorner) -> None:
        """Cut the waste between the tails out of the side, and the tails' own outlines out of the front or back."""
        self._check(corner)
        deep = self.reach(corner.thick, corner.is_front)
        tails = self.tails(corner.low, corner.high, corner.clear[1] if corner.is_front else corner.low, deep)
        if min(tail.high - tail.low - 2 * tail.slant for tail in tails) < LEAST_TAIL:
            raise ParameterError(
                f"{corner.path}.drawer.corners.tail",
                f"a corner {corner.high - corner.low:g} mm high leaves a tail {min(t.high - t.low - 2 * t.slant for t in tails):.1f} mm wide at its root; at least {LEAST_TAIL:g} is needed",
            )
        name = "lapped dovetail" if corner.is_front else "through dovetail"
        for tail in tails:
            outline = [
                self._at(corner, 0.0, tail.low + tail.slant),
                self._at(corner, deep, tail.low),
                self._at(corner, deep, tail.high),
                self._at(corner, 0.0, tail.high - tail.slant),
            ]
            bench.cut_out(
                corner.end, "dovetail", outline, corner.inward, corner.t, f"socket of a {name}, 1 in {self.slope:g}"
            )
        for outline in _waste(self, corner, tails, deep):
            bench.cut_out(
                corner.side,
                "dovetail",
                outline,
                corner.inward,
                corner.t,
                f"waste beside the tail of a {name}, 1 in {self.slope:g}",
            )
        slopes = 2 * len(tails) * (deep**2 + tails[0].slant ** 2) ** 0.5
        bench.join(
            f"{corner.side}|{corner.end}",
            "dovetails",
            corner.side,
            corner.end,
            corner.inward,
            (),
            (slopes + corner.high - corner.low) * corner.t,
        )

    def _check(self, corner: BoxCorner) -> None:
        path = f"{corner.path}.drawer.corners"
        if abs(corner.beyond) > FLUSH:
            raise ParameterError(
                f"{path}.style",
                f'"lapped_dovetails" need a front flush with the sides of the box; this one runs {corner.beyond:g} mm past them: take a planted front, or wooden runners',
            )
        least = self.half_pin + self.reach(corner.thick, corner.is_front) / self.slope
        if corner.is_front and corner.clear[0] < corner.low + least - FLUSH:
            raise ParameterError(
                f"{corner.path}.drawer.groove_up",
                f"the groove lies {corner.clear[0] - corner.low:g} mm up, below the lowest tail, and would show at the end of the front; at least {least:.1f} mm",
            )
        if corner.is_front and corner.thick < 3 * self.lap:
            raise ParameterError(
                f"{path}.lap",
                f"{self.lap:g} mm is more than a third of a front {corner.thick:g} mm thick; use at most {corner.thick / 3:.1f} mm",
            )

    def _at(self, corner: BoxCorner, out: float, z: float) -> Vector:
        return vector(corner.outer, corner.y(out), z)


def _waste(joint: LappedDovetails, corner: BoxCorner, tails: tuple[Tail, ...], deep: float) -> list[list[Vector]]:
    """What comes off the end of a side around its tails, as outlines: at the lower edge, between tails, at the upper edge."""
    over = deep + 1.0  # past the end of the side
    below_all = 1.0 if corner.side_low >= corner.low - FLUSH else 0.0
    edges = [corner.low - below_all, *(z for tail in tails for z in (tail.low, tail.high)), corner.high + 1.0]
    made = []
    for place in range(len(tails) + 1):
        below, above = edges[2 * place], edges[2 * place + 1]
        # the waste is widest at the root; it runs on past the end of the side at its slope
        low_slant = tails[0].slant if place else 0.0
        high_slant = tails[0].slant if place < len(tails) else 0.0
        past = 1.0 / deep
        made.append([
            joint._at(corner, 0.0, below - low_slant), joint._at(corner, 0.0, above + high_slant),
            joint._at(corner, over, above - past * high_slant), joint._at(corner, over, below + past * low_slant),
        ])  # fmt: skip
    return made


ENTRY = LappedDovetails
