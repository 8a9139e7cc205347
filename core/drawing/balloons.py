"""Part numbers in circles around a drawing, in rows and columns, with leaders that never cross (ISO 6433).

How crossings are kept out. Every leader has a short straight arm, square to its row or column, and from the
arm's end a straight line to the part. The arms end on one rectangle round the drawing, so lines stay inside
it and circles outside. Lines are matched to parts so that their lengths together are least; of two lines that
cross, swapping the ends would be shorter, so none do.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from . import text
from .page import Area, Circle, Item, Point, Rect, RoomError, Stroke, Text

End = Literal["dot", "arrow"]
Side = Literal["left", "right", "top", "bottom"]

SIDES: tuple[Side, ...] = ("left", "right", "top", "bottom")
HEIGHT = 3.5  # mm; larger than the lettering of dimensions, as ISO 6433 asks
CLEARANCE = 2.0  # mm between two circles
ARM = 4.0  # mm from the circle to where the leader may turn; keeps rows clear of columns at the corners
WIDEST_STEP = 3.0  # circle diameters; further apart a row no longer reads as one
AIR = 3.0  # mm between the ends of the arms and the drawing
DOT_RADIUS = 0.6  # mm
ARROW_LENGTH, ARROW_HALF_WIDTH = 2.5, 0.45  # mm; a filled head of about 20°


@dataclass(frozen=True, slots=True)
class Balloon:
    """A placed part number: its circle, the corner of its leader, and the point on the part that it shows."""

    number: str
    centre: Point
    corner: Point
    anchor: Point
    end: End
    radius: float
    height: float = HEIGHT

    @property
    def leader(self) -> tuple[Point, Point, Point]:
        """From the rim of the circle over the corner to the part."""
        return _toward(self.centre, self.corner, self.radius), self.corner, self.anchor

    @property
    def items(self) -> tuple[Item, ...]:
        """Circle, number, leader and its end."""
        x, y = self.centre
        return (
            Circle(x, y, self.radius),
            Text(x, y - self.height / 2, self.height, self.number, "middle"),
            Stroke(self.leader),
            *self._end_items(),
        )

    def _end_items(self) -> Iterator[Item]:
        if self.end == "dot":
            yield Circle(*self.anchor, DOT_RADIUS, 0.0, fill=0.0)
            return
        x, y = _toward(self.anchor, self.corner, ARROW_LENGTH)
        along = math.atan2(self.corner[1] - self.anchor[1], self.corner[0] - self.anchor[0])
        across = (-math.sin(along) * ARROW_HALF_WIDTH, math.cos(along) * ARROW_HALF_WIDTH)
        yield Area((self.anchor, (x + across[0], y + across[1]), (x - across[0], y - across[1])))


def circle_radius(numbers: Iterable[str], height: float = HEIGHT) -> float:
    """The one radius, in mm, whose circle holds the longest of the numbers with some air."""
    longest = max((text.width(number, height) for number in numbers), default=0.0)
    return max(math.ceil(2 * (math.hypot(longest, height) / 2 + 0.5)) / 2, 4.0)


def drawing_room(frame: Rect, numbers: Sequence[str], sides: Sequence[Side] = SIDES) -> Rect:
    """What the circles leave of the frame for the drawing itself: draw at a scale that fits this.

    Raises RoomError when the numbers do not fit around the frame in two rows.
    """
    return _Ring(frame, circle_radius(numbers), sides, len(numbers)).drawing


def place_balloons(
    numbers: Sequence[str],
    anchors: Sequence[Point],
    *,
    frame: Rect,
    ends: Sequence[End] | None = None,
    sides: Sequence[Side] = SIDES,
) -> tuple[Balloon, ...]:
    """A circle inside the frame for every number, in the order given, its leader ending at its anchor.

    Anchors lie inside `drawing_room(frame, numbers, sides)`; a leader ends with a dot (on a face) unless
    `ends` says "arrow" (on an edge). Raises RoomError as `drawing_room` does, and for an anchor outside it.
    """
    ring = _Ring(frame, circle_radius(numbers), sides, len(numbers))
    for number, (x, y) in zip(numbers, anchors, strict=True):
        if not ring.drawing.contains(Rect(x, y, 0.0, 0.0)):
            raise RoomError(
                f"part {number} is shown at {x:.1f}, {y:.1f} mm, outside the {ring.drawing.width:.0f} × "
                f"{ring.drawing.height:.0f} mm that the part numbers leave; draw at a smaller scale"
            )
    if not numbers:
        return ()
    wanted = ring.nearest_counts(anchors)
    places = [place for side, positions in wanted.items() for place in ring.places(side, positions)]
    chosen = _uncrossed(_matched(anchors, [corner for _, corner in places]), anchors, places)
    return tuple(
        Balloon(number, *places[place], anchor, end, ring.radius)
        for number, anchor, place, end in zip(numbers, anchors, chosen, ends or ["dot"] * len(numbers), strict=True)
    )


# --- places round the drawing

Place = tuple[Point, Point]  # centre of the circle, end of the arm


class _Ring:
    """The rows and columns of circles that fit between a frame and the drawing inside it.

    Where one row is too short for all the circles, a second stands outside it, staggered, so that its arms
    pass between the circles of the first.
    """

    def __init__(self, frame: Rect, radius: float, sides: Sequence[Side], count: int) -> None:
        self.frame, self.radius, self.sides = frame, radius, tuple(side for side in SIDES if side in sides)
        for self.rows in (1, 2):
            self.depth = 2 * radius + ARM + (self.rows - 1) * (2 * radius + CLEARANCE)
            self.inside = self._inside()
            if self.drawing.width > 0 and self.drawing.height > 0 and count <= sum(map(self.capacity, self.sides)):
                return
        held = sum(max(0, self.capacity(side)) for side in self.sides)
        raise RoomError(
            f"{count} part numbers do not fit around {frame.width:.0f} × {frame.height:.0f} mm, which "
            f"holds {held}; use a larger sheet or show fewer parts on it"
        )

    def _inside(self) -> Rect:
        left, right, top, bottom = (self.depth if side in self.sides else 0.0 for side in SIDES)
        return Rect(
            self.frame.x + left,
            self.frame.y + bottom,
            self.frame.width - left - right,
            self.frame.height - top - bottom,
        )

    @property
    def drawing(self) -> Rect:
        """Where parts may be shown: far enough inside for no leader to run along the ends of the arms."""
        return self.inside.grown(-AIR)

    @property
    def step(self) -> float:
        """Least distance between neighbours along a side: circles side by side, or an arm's way between them."""
        one_row = 2 * self.radius + CLEARANCE
        return one_row if self.rows == 1 else (2 * self.radius + 2 * CLEARANCE) / 2

    def span(self, side: Side) -> tuple[float, float]:
        """From where to where along a side the arms end: rows stop short of the columns' corners."""
        inside, radius = self.inside, self.radius
        if side in ("left", "right"):
            below, above = (0.0 if row in self.sides else radius for row in ("bottom", "top"))
            return inside.y + below, inside.top - above
        return inside.x + radius, inside.right - radius

    def capacity(self, side: Side) -> int:
        first, last = self.span(side)
        return max(0, math.floor((last - first) / self.step + 1e-9) + 1) if last >= first else 0

    def nearest_counts(self, anchors: Sequence[Point]) -> dict[Side, list[float]]:
        """The positions along each side of as many circles as its neighbourhood asks for, evenly spaced."""
        dense = {side: self.dense(side) for side in self.sides}
        corners = [(side, position) for side, positions in dense.items() for position in positions]
        chosen = _matched(anchors, [self.place(side, position)[1] for side, position in corners])
        taken: dict[Side, list[float]] = {}
        for side, position in sorted((corners[n] for n in chosen), key=lambda corner: SIDES.index(corner[0])):
            taken.setdefault(side, []).append(position)
        return {side: self.even(side, positions) for side, positions in taken.items()}

    def dense(self, side: Side) -> list[float]:
        """As many positions along the side as it has room for."""
        first, last = self.span(side)
        count = self.capacity(side)
        step = (last - first) / (count - 1) if count > 1 else 0.0
        return [first + n * step for n in range(count)]

    def even(self, side: Side, positions: Sequence[float]) -> list[float]:
        """As many positions, evenly spaced about the same middle, as wide apart as the side allows."""
        first, last = self.span(side)
        gaps = len(positions) - 1
        step = min((last - first) / gaps, WIDEST_STEP * 2 * self.radius) if gaps else 0.0
        middle = sum(positions) / len(positions)
        start = min(max(middle - gaps * step / 2, first), last - gaps * step)
        return [start + n * step for n in range(len(positions))]

    def places(self, side: Side, positions: Sequence[float]) -> list[Place]:
        """Circles at these positions; every other one in the outer row where they stand too close for one row."""
        close = len(positions) > 1 and positions[1] - positions[0] < 2 * self.radius + CLEARANCE - 1e-9
        return [self.place(side, position, row=n % 2 if close else 0) for n, position in enumerate(positions)]

    def place(self, side: Side, along: float, row: int = 0) -> Place:
        inside = self.inside
        out = ARM + self.radius + row * (2 * self.radius + CLEARANCE)
        return {
            "left": ((inside.x - out, along), (inside.x, along)),
            "right": ((inside.right + out, along), (inside.right, along)),
            "top": ((along, inside.top + out), (along, inside.top)),
            "bottom": ((along, inside.y - out), (along, inside.y)),
        }[side]


# --- matching

COST_UNIT = 1e-6  # mm; lengths are compared as whole numbers of this, so that every machine finds the same match


def _matched(anchors: Sequence[Point], corners: Sequence[Point]) -> list[int]:
    """For every anchor the corner it gets, so that all lengths together are least; there are enough corners."""
    a, c = np.array(anchors, float), np.array(corners, float)
    lengths = np.hypot(a[:, None, 0] - c[None, :, 0], a[:, None, 1] - c[None, :, 1])
    return _assignment(np.rint(lengths / COST_UNIT).astype(np.int64))


def _assignment(cost: np.ndarray) -> list[int]:
    """The column for every row with the least total, by shortest augmenting paths; rows ≤ columns, whole numbers.

    Source: R. Jonker, A. Volgenant, "A shortest augmenting path algorithm for dense and sparse linear
    assignment problems", Computing 38 (1987).
    """
    rows, columns = cost.shape
    row_price, column_price = np.zeros(rows, np.int64), np.zeros(columns, np.int64)
    row_of = np.full(columns, -1)
    for row in range(rows):
        distance = cost[row] - row_price[row] - column_price
        through = np.full(columns, row)
        settled = np.zeros(columns, bool)
        while True:
            column = int(np.argmin(np.where(settled, np.iinfo(np.int64).max, distance)))
            settled[column] = True
            shortest, owner = distance[column], row_of[column]
            if owner < 0:
                break
            longer = shortest + cost[owner] - row_price[owner] - column_price
            better = ~settled & (longer < distance)
            distance[better], through[better] = longer[better], owner
        _reprice(row, shortest, distance, settled, row_of, row_price, column_price)
        _augment(row, column, through, row_of)
    answer = [0] * rows
    for column, owner in enumerate(row_of):
        if owner >= 0:
            answer[owner] = column
    return answer


def _reprice(
    row: int,
    shortest: int,
    distance: np.ndarray,
    settled: np.ndarray,
    row_of: np.ndarray,
    row_price: np.ndarray,
    column_price: np.ndarray,
) -> None:
    inner = settled & (row_of >= 0)
    row_price[row] += shortest
    row_price[row_of[inner]] += shortest - distance[inner]
    column_price[inner] -= shortest - distance[inner]


def _augment(row: int, column: int, through: np.ndarray, row_of: np.ndarray) -> None:
    """Give the free column to the row that reached it, that row's old column to the one before, and so on."""
    while True:
        owner = int(through[column])
        before = int(np.flatnonzero(row_of == owner)[0]) if owner != row else -1
        row_of[column] = owner
        if owner == row:
            return
        column = before


def _uncrossed(chosen: list[int], anchors: Sequence[Point], places: Sequence[Place]) -> list[int]:
    """The match with the ends of crossing leaders swapped: rounding to whole lengths may leave a few that touch.

    Each swap shortens the leaders, so this ends; the number of swaps is bounded all the same.
    """
    chosen = list(chosen)
    for _ in range(len(chosen)):
        crossing = _crossing_pairs(np.array(anchors, float), np.array([places[n][1] for n in chosen], float))
        pairs = [(a, b) for a, b in crossing if anchors[a] != anchors[b]]
        if not pairs:
            break
        a, b = pairs[0]
        chosen[a], chosen[b] = chosen[b], chosen[a]
    return chosen


def _crossing_pairs(starts: np.ndarray, ends: np.ndarray) -> list[tuple[int, int]]:
    """Pairs, the lower number first, of straight lines (n, 2) to (n, 2) that cross or touch."""
    along = ends - starts
    to_starts, to_ends = starts[None] - starts[:, None], ends[None] - starts[:, None]
    turn_to_start = along[:, None, 0] * to_starts[..., 1] - along[:, None, 1] * to_starts[..., 0]
    turn_to_end = along[:, None, 0] * to_ends[..., 1] - along[:, None, 1] * to_ends[..., 0]
    parted = turn_to_start * turn_to_end <= 0
    first, second = np.nonzero(np.triu(parted & parted.T, 1))
    return [
        (a, b)
        for a, b in zip(first.tolist(), second.tolist(), strict=True)
        if segments_cross(starts[a], ends[a], starts[b], ends[b])
    ]


def segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether the straight lines ab and cd have a point in common that is inside at least one of them."""
    abc, abd, cda, cdb = _turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b)
    if abc * abd < 0 and cda * cdb < 0:
        return True
    return any(
        turn == 0 and _between(p, q, r)
        for turn, p, q, r in ((abc, a, b, c), (abd, a, b, d), (cda, c, d, a), (cdb, c, d, b))
    )


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _between(a: Point, b: Point, c: Point) -> bool:
    """Whether c, on the line through a and b, lies between them."""
    return min(a[0], b[0]) <= c[0] <= max(a[0], b[0]) and min(a[1], b[1]) <= c[1] <= max(a[1], b[1])


def _toward(a: Point, b: Point, distance: float) -> Point:
    length = math.dist(a, b)
    share = distance / length if length else 0.0
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share
