"""Running dimensions: every place along a side told from one datum, each figure at the end of its own line (ISO 129-1).

Where places lie closer than lettering is high, the figures stand apart and bent lines lead to them, in order, so that no
two cross and no figure lies over another.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from .dimensions import START_GAP, Side, figures
from .page import NARROW, Circle, Item, Lines, Point, Rect, Text, bounds, rect_around

HEIGHT = 2.5  # mm of the figures
PITCH = 3.6  # mm between two figures, base line to base line
LINE = 3.0  # mm from the drawing to the dimension line
BEND, AFTER = 4.5, 8.0  # mm from the drawing to where a line turns toward its figure, and to where it has got there
AIR = 0.8  # mm between a line's end and its figure
ORIGIN_RADIUS = 1.1  # mm of the circle round the datum
TICK = 1.0  # mm; half of an oblique stroke, measured along the side


@dataclass(frozen=True, slots=True)
class Running:
    """Placed running dimensions: what to draw, and the paper it covers."""

    items: tuple[Item, ...]
    rect: Rect


def running(
    values: Sequence[float],
    *,
    side: Side,
    drawing: Rect,
    place: Callable[[float], float],
    label: Callable[[float], str] = figures,
) -> Running:
    """The values (mm of the piece, nought is the datum) beside one side of a drawing, datum first.

    What lies before the datum is told without a sign. `place` gives where along the side, in mm on paper, a value lies.
    """
    told = {(value < 0, label(abs(value))): value for value in (0.0, *values)}
    shown = sorted(((words, value) for (_, words), value in told.items()), key=lambda each: place(each[1]))
    at = [place(value) for _, value in shown]
    stands = spread_out(at, PITCH)

    def point(along: float, out: float) -> Point:
        return {
            "below": (along, drawing.y - out),
            "above": (along, drawing.top + out),
            "left": (drawing.x - out, along),
            "right": (drawing.right + out, along),
        }[side]

    lines, figures_, ticks = [], [], []
    for (words, value), a, b in zip(shown, at, stands, strict=True):
        path = (point(a, START_GAP), point(a, BEND), point(b, AFTER))
        lines += [(*path[0], *path[1]), (*path[1], *path[2])]
        figures_.append(_figure(words, point(b, AFTER + AIR), side))
        if value:
            (x, y) = point(a, LINE)
            ticks.append((x - TICK, y - TICK, x + TICK, y + TICK))
    ends = point(min(at), LINE), point(max(at), LINE)
    datum = Circle(*point(place(0.0), LINE), ORIGIN_RADIUS)
    items = (Lines((*lines, (*ends[0], *ends[1]), *ticks), NARROW), datum, *figures_)
    around = bounds(items)
    edge = rect_around([point(min(at), 0.0), (around.x, around.y), (around.right, around.top)])
    return Running(items, edge)


def spread_out(at: Sequence[float], pitch: float) -> list[float]:
    """Places, in rising order, moved as little as may be (by squares) so that neighbours stand `pitch` apart.

    Pool adjacent violators: of places less their number of pitches, runs that fall are set to their mean.

    >>> spread_out([0.0, 1.0, 20.0], 4.0)
    [-1.5, 2.5, 20.0]
    """
    pools: list[list[float]] = []  # sum, count
    for number, place in enumerate(at):
        pools.append([place - number * pitch, 1.0])
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            last = pools.pop()
            pools[-1] = [pools[-1][0] + last[0], pools[-1][1] + last[1]]
    means = [total / count for total, count in pools for _ in range(int(count))]
    return [mean + number * pitch for number, mean in enumerate(means)]


# ------------------------------------------------------------------------------------------------------------ helpers
def _figure(words: str, at: Point, side: Side) -> Text:
    """A figure whose middle line is the end of its own line; upright beside a side, turned along a line up or down."""
    x, y = at
    if side in ("left", "right"):
        return Text(x, y - HEIGHT / 2, HEIGHT, words, "right" if side == "left" else "left")
    return Text(x + HEIGHT / 2, y, HEIGHT, words, "right" if side == "below" else "left", angle=90.0)
