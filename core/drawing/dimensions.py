"""Linear dimensions beside a drawing, in rows outward from it (ISO 129-1): chain and parallel.

A figure that finds no room between its extension lines, or that an extension line of a row further out would
run through, moves along its dimension line, past its end, or out on a leader. Nothing printed lies over a figure.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Literal

import numpy as np

from . import text
from .page import MIDDLE, NARROW, Area, Item, Point, Rect, RoomError, Stroke, Text, rect_around

Side = Literal["below", "above", "left", "right"]
Terminator = Literal["oblique", "arrow"]

FIRST_ROW = 10.0  # mm from the drawing to the first dimension line; common practice, no source
ROW_STEP = 8.0  # mm between dimension lines, at least; common practice, no source
ROW_GAP = 2.0  # mm between what one row reaches and what the next begins with
START_GAP = 1.0  # mm between the drawing and its extension lines
OVERRUN = 2.0  # mm an extension line runs past its dimension line: 8 line widths; ISO 129-1, from memory
LIFT = 1.2  # mm between a dimension line and the figure above it
BESIDE = 0.8  # mm left and right of a figure
STROKE_LENGTH = 3.0  # mm of an oblique stroke at 45°
ARROW_LENGTH, ARROW_HALF_WIDTH = 2.5, 0.45  # mm; a filled head of about 20°
ARROW_ROOM = 7.0  # mm; in a narrower space oblique strokes stand for the arrowheads, as ISO 129-1 allows
LEADER_RISE = 3.0  # mm between a dimension line, or its figures, and figures led out beyond them
LEAD_REACH = 60.0  # mm a led-out figure may stand aside
LEAD_STEP = 0.25  # mm; how finely places for led-out figures are tried


def figures(value: float) -> str:
    """A length as printed in a dimension: at most one decimal, none where it is nought.

    >>> figures(450.0), figures(96.54)
    ('450', '96.5')
    """
    return f"{value:.1f}".removesuffix(".0")


@dataclass(frozen=True, slots=True)
class DimensionRow:
    """One dimension line: two or more stations in rising order, in mm on paper along it, a label for each gap."""

    stations: tuple[float, ...]
    labels: tuple[str, ...]

    def __post_init__(self) -> None:
        if len(self.stations) < 2 or any(b <= a for a, b in pairwise(self.stations)):
            raise ValueError(f"a dimension line needs two or more stations in rising order, not {self.stations}")
        if len(self.labels) != len(self.stations) - 1:
            raise ValueError(f"{len(self.labels)} labels for the {len(self.stations) - 1} gaps of a dimension line")


@dataclass(frozen=True, slots=True)
class Dimensions:
    """Placed dimensions: what to draw, the rectangles they occupy, and how far out from the drawing they reach."""

    items: tuple[Item, ...]
    occupied: tuple[Rect, ...]
    depth: float


def chain(
    stations: Sequence[float], *, origin: float = 0.0, scale: float = 1.0, label: Callable[[float], str] = figures
) -> tuple[DimensionRow, ...]:
    """One row with a dimension from each station to the next.

    Stations are mm of the piece along the side; `origin` is where its nought lies on paper, `scale` paper per piece.
    """
    stations = sorted(set(stations))
    return (
        DimensionRow(
            tuple(origin + scale * station for station in stations), tuple(label(b - a) for a, b in pairwise(stations))
        ),
    )


def parallel(
    stations: Sequence[float], *, origin: float = 0.0, scale: float = 1.0, label: Callable[[float], str] = figures
) -> tuple[DimensionRow, ...]:
    """Rows from the first station to each of the others, the shortest nearest the drawing.

    Measured from the first station given, which may be the lowest or the highest of them.
    """
    datum, *others = stations
    return tuple(
        DimensionRow(
            (origin + scale * min(datum, other), origin + scale * max(datum, other)), (label(abs(other - datum)),)
        )
        for other in sorted(set(others) - {datum}, key=lambda other: abs(other - datum))
    )


def place_dimensions(
    rows: Sequence[DimensionRow],
    *,
    side: Side,
    drawing: Rect,
    limits: Rect | None = None,
    avoid: Sequence[Rect] = (),
    height: float = 2.5,
    terminator: Terminator = "oblique",
) -> Dimensions:
    """The rows beside the drawing, the first nearest to it; figures read from below or from the right.

    `drawing` is the outline that extension lines start from, `limits` the rectangle figures must keep within,
    `avoid` what is already printed (such as what another side's dimensions occupy). Raises RoomError when a
    figure finds no place.
    """
    layout = _Layout(_Frame(side, drawing), rows, limits, avoid, height, terminator)
    for number in range(len(rows)):
        layout.place_row(number)
    return layout.finished()


# --- helpers


@dataclass(frozen=True, slots=True)
class _Frame:
    """Places beside a drawing as (along the side, outward from it)."""

    side: Side
    drawing: Rect

    @property
    def figures_outward(self) -> bool:
        """Whether the reading side of a dimension line is the one away from the drawing."""
        return self.side in ("above", "left")

    @property
    def angle(self) -> float:
        return 0.0 if self.side in ("below", "above") else 90.0

    def point(self, along: float, out: float) -> Point:
        drawing = self.drawing
        return {
            "below": (along, drawing.y - out),
            "above": (along, drawing.top + out),
            "left": (drawing.x - out, along),
            "right": (drawing.right + out, along),
        }[self.side]

    def rect(self, along: tuple[float, float], out: tuple[float, float]) -> Rect:
        return rect_around([self.point(along[0], out[0]), self.point(along[1], out[1])])


@dataclass(frozen=True, slots=True)
class _LedOut:
    """A figure that found no room in its row: its label, the middle of its gap, the room it needs along the side."""

    label: str
    middle: float
    length: float


@dataclass(slots=True)
class _Layout:
    """Rows as they are placed, outward one after another."""

    frame: _Frame
    rows: Sequence[DimensionRow]
    limits: Rect | None
    avoid: Sequence[Rect]
    height: float
    terminator: Terminator
    items: list[Item] = field(default_factory=list)
    figures: list[Rect] = field(default_factory=list)
    lines: list[float] = field(default_factory=list)
    reach: float = 0.0  # how far out anything placed so far reaches

    def place_row(self, number: int) -> None:
        row, line = self.rows[number], self.next_line()
        self.lines.append(line)
        self.reach = line + max(OVERRUN, self.figure_band if self.frame.figures_outward else 0.0)
        crossing = [station for outer in self.rows[number + 1 :] for station in outer.stations]
        ends = [row.stations[0], row.stations[-1]]
        led_out = []
        for label, gap in zip(row.labels, pairwise(row.stations), strict=True):
            length = text.width(label, self.height) + 2 * BESIDE
            start = self.start(gap, (row.stations[0], row.stations[-1]), length, line, crossing)
            if start is None:
                led_out.append(_LedOut(label, (gap[0] + gap[1]) / 2, length))
                continue
            self.print_figure(self.figure(label, start + BESIDE, line + self.lift))
            if not row.stations[0] <= start < row.stations[-1]:  # past the end: the line runs on under it
                ends = [min(ends[0], start), max(ends[1], start + length)]
        self.lead_out(led_out, line, crossing)
        self.items.append(Stroke((self.frame.point(ends[0], line), self.frame.point(ends[1], line))))
        self.items.extend(self.terminators(row, line))

    @property
    def figure_band(self) -> float:
        """How far from its dimension line a figure reaches."""
        return LIFT + self.height

    @property
    def lift(self) -> float:
        """From a dimension line out to the base line of its figures."""
        return LIFT if self.frame.figures_outward else -LIFT

    def next_line(self) -> float:
        """How far out the next dimension line stands: clear of what was placed, its own figures included."""
        if not self.lines:
            return FIRST_ROW
        inward = 0.0 if self.frame.figures_outward else self.figure_band
        return max(self.lines[-1] + ROW_STEP, self.reach + ROW_GAP + inward)

    def start(
        self, gap: tuple[float, float], ends: tuple[float, float], length: float, line: float, crossing: Sequence[float]
    ) -> float | None:
        """Where along its row a figure may start: in its gap, or past the end of the row; None if nowhere."""
        starts = [_start_within(gap, length, crossing)]
        if gap[1] == ends[1]:
            starts.append(gap[1] + STROKE_LENGTH / 2)
        if gap[0] == ends[0]:
            starts.append(gap[0] - STROKE_LENGTH / 2 - length)
        return next(
            (
                start
                for start in starts
                if start is not None and self.is_free(start, length, line + self.lift, crossing)
            ),
            None,
        )

    def is_free(self, start: float, length: float, base: float, crossing: Sequence[float]) -> bool:
        """Whether a figure may be printed with its room from `start`: nothing there, no extension line through it."""
        if any(start - BESIDE / 2 < station < start + length + BESIDE / 2 for station in crossing):
            return False
        up = self.height if self.frame.figures_outward else -self.height
        rect = self.frame.rect((start + BESIDE, start + length - BESIDE), (base, base + up))
        return not any(rect.overlaps(other, BESIDE) for other in (*self.figures, *self.avoid)) and (
            self.limits is None or self.limits.contains(rect)
        )

    def are_free(self, starts: Sequence[float], length: float, base: float, crossing: Sequence[float]) -> np.ndarray:
        """`is_free` for many starts in one line, (n,) bool: only what stands at that height is looked at."""
        at, free = np.array(starts), np.ones(len(starts), bool)
        for station in crossing:
            free &= ~((at - BESIDE / 2 < station) & (station < at + length + BESIDE / 2))
        up = self.height if self.frame.figures_outward else -self.height
        rect = self.frame.rect((BESIDE, length - BESIDE), (base, base + up))  # of a figure that starts at nought
        level = self.frame.side in ("below", "above")
        low, high = (rect.x, rect.right) if level else (rect.y, rect.top)
        for other in (*self.figures, *self.avoid):
            beside = (
                Rect(other.x, rect.y, other.width, rect.height)
                if level
                else Rect(rect.x, other.y, rect.width, other.height)
            )
            if beside.overlaps(other, BESIDE) or other.overlaps(beside, BESIDE):
                first, last = (other.x, other.right) if level else (other.y, other.top)
                free &= ~((at + low < last + BESIDE) & (first < at + high + BESIDE))
        if self.limits is not None:
            free &= [
                self.limits.contains(rect.moved(start, 0.0) if level else rect.moved(0.0, start)) for start in starts
            ]
        return free

    def figure(self, label: str, start: float, base: float) -> Text:
        """The label from here along the side, its base line this far out."""
        x, y = self.frame.point(start, base)
        return Text(x, y, self.height, label, "left", angle=self.frame.angle)

    def print_figure(self, figure: Text) -> None:
        self.items.append(figure)
        self.figures.append(figure.bounds())

    def lead_out(self, led_out: Sequence[_LedOut], line: float, crossing: Sequence[float]) -> None:
        """Figures in a second line beyond their row, in order, so that the leaders to them fan out and never cross."""
        if not led_out:
            return
        bend = line + (self.figure_band + BESIDE if self.frame.figures_outward else 0.0)
        near = max(bend + LEADER_RISE, line + OVERRUN + BESIDE)
        base = near + (LIFT if self.frame.figures_outward else BESIDE + self.height)
        middles = self.spread(led_out, base, crossing)
        for figure, middle in zip(led_out, middles, strict=True):
            self.print_figure(self.figure(figure.label, middle - figure.length / 2 + BESIDE, base))
            points = ((figure.middle, line), (figure.middle, bend), (middle, near))
            self.items.append(Stroke(tuple(self.frame.point(*point) for point in dict.fromkeys(points))))
        self.reach = near + self.figure_band + BESIDE

    def spread(self, led_out: Sequence[_LedOut], base: float, crossing: Sequence[float]) -> list[float]:
        """Middles for the figures, in order and clear of everything, that together move least; by steps along the side.

        Dynamic programming: for each figure and place, the least cost of it and all before it, and where the last went.
        """
        first = led_out[0].middle - LEAD_REACH
        count = math.ceil((led_out[-1].middle + LEAD_REACH - first) / LEAD_STEP)
        places = [first + n * LEAD_STEP for n in range(count)]
        costs, ways = [0.0] * len(places), []
        for number, figure in enumerate(led_out):
            apart = 0.0 if number == 0 else (figure.length + led_out[number - 1].length) / 2
            before = _least_before(costs, math.ceil(apart / LEAD_STEP - 1e-9))
            free = self.are_free([place - figure.length / 2 for place in places], figure.length, base, crossing)
            costs = [
                before[n][0] + abs(place - figure.middle) if free[n] else math.inf for n, place in enumerate(places)
            ]
            ways.append([way for _, way in before])
        place = min(range(len(places)), key=costs.__getitem__)
        if costs[place] == math.inf:
            raise RoomError(
                f"the dimensions {', '.join(figure.label for figure in led_out)} find no place beside the "
                f"drawing; use a larger scale or fewer of them"
            )
        chosen = [place]
        for way in reversed(ways[1:]):
            chosen.append(way[chosen[-1]])
        return [places[n] for n in reversed(chosen)]

    def terminators(self, row: DimensionRow, line: float) -> Iterator[Item]:
        roomy = {}
        for a, b in pairwise(row.stations):
            if self.terminator == "arrow" and b - a >= ARROW_ROOM:
                roomy.setdefault(a, []).append(1.0)
                roomy.setdefault(b, []).append(-1.0)
        for station in row.stations:
            if station in roomy:
                yield from (self.arrow(station, line, way) for way in roomy[station])
            else:
                yield self.oblique(station, line)

    def arrow(self, station: float, line: float, way: float) -> Area:
        back = station + way * ARROW_LENGTH
        return Area(
            (
                self.frame.point(station, line),
                self.frame.point(back, line + ARROW_HALF_WIDTH),
                self.frame.point(back, line - ARROW_HALF_WIDTH),
            )
        )

    def oblique(self, station: float, line: float) -> Stroke:
        """A stroke that rises to the right for whoever reads the figure."""
        x, y = self.frame.point(station, line)
        turn = math.radians(self.frame.angle + 45)
        half = (STROKE_LENGTH / 2 * math.cos(turn), STROKE_LENGTH / 2 * math.sin(turn))
        return Stroke(((x - half[0], y - half[1]), (x + half[0], y + half[1])), MIDDLE)

    def finished(self) -> Dimensions:
        """Everything placed, with one extension line per station, as long as the outermost row there needs."""
        longest: dict[float, float] = {}
        for row, line in zip(self.rows, self.lines, strict=True):
            for station in row.stations:
                longest[round(station, 6)] = line + OVERRUN
        extensions = [
            Stroke((self.frame.point(at, START_GAP), self.frame.point(at, out)), NARROW) for at, out in longest.items()
        ]
        bands = [
            self.frame.rect((row.stations[0], row.stations[-1]), (line - 0.5, line + 0.5))
            for row, line in zip(self.rows, self.lines, strict=True)
        ]
        occupied = (*self.figures, *bands, *(line.bounds() for line in extensions))
        return Dimensions((*extensions, *self.items), occupied, self.reach)


def _start_within(gap: tuple[float, float], length: float, crossing: Sequence[float]) -> float | None:
    """Where in the gap a figure may start, as near its middle as may be; None if nowhere."""
    walls = [gap[0], *sorted(station for station in crossing if gap[0] < station < gap[1]), gap[1]]
    middle = (gap[0] + gap[1] - length) / 2
    starts = [
        min(max(middle, a + BESIDE), b - BESIDE - length) for a, b in pairwise(walls) if b - a >= length + 2 * BESIDE
    ]
    return min(starts, key=lambda start: (round(abs(start - middle), 6), start), default=None)


def _least_before(costs: Sequence[float], apart: int) -> list[tuple[float, int]]:
    """For every place the least cost, and its place, among those at least so many steps before it."""
    answer, best = [], (math.inf, 0)
    for n in range(len(costs)):
        if n - apart >= 0 and costs[n - apart] < best[0]:
            best = (costs[n - apart], n - apart)
        answer.append(best)
    return answer
