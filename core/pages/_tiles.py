"""Full-size drawings longer than a sheet, cut into pieces that overlap and are joined by their registration marks."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..drawing.page import NARROW, Area, Circle, Item, Lines, Stroke, Text, placed

WHOLE = 45.0  # mm; what is no longer is shown whole or not at all
OVERLAP = 46.0  # mm that neighbouring pieces share; more than the widest hole
FOOT, BESIDE = 7.0, 12.0  # mm under a drawing for registration marks, and their places beside the middle of an overlap
MARK = 3.0  # mm; radius of a registration mark
BAND = 14.0  # mm at both ends of a drawing for the registration marks between its rows, and their names
FULL_SIZE_WORDS = (
    "Print at full size (100 %), not fitted to the page; measure the bar. Join pieces by their registration marks."
)


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a large drawing, its lower left corner at the origin, and which of how many it is."""

    items: tuple[Item, ...]
    width: float
    height: float
    number: int
    count: int


def pieces(items: Sequence[Item], width: float, height: float, room: float, name: str = "") -> list[Piece]:
    """A drawing from (0, 0) to (width, height) in pieces no wider than the room; one that is parted gets room for marks.

    Registration marks stand under the drawing, two in the middle of every overlap, named `name` and their number.
    """
    if width <= room:
        return [Piece(tuple(items), width, height, 1, 1)]
    items = placed(items, 0.0, FOOT)
    found = []
    for number, (low, high, joints, count) in enumerate(_stretches(items, width, room, 0)):
        shown = [part for item in items for part in _within(item, low, high, number, 0)]
        for joint, middle in joints:
            shown += _registration(middle, FOOT / 2, f"{name}{joint}")
        tall = max(each.bounds().top for each in shown)  # what stands high may all be in another piece
        found.append(Piece(placed(shown, -low, 0.0), high - low, tall, number + 1, count))
    return found


def tiles(items: Sequence[Item], width: float, height: float, room: tuple[float, float], name: str = "") -> list[Piece]:
    """A drawing as `pieces` gives it, in rows where it is higher than the room: from the lowest row up, each from left to right.

    Rows are joined by marks at both their ends, named `name`, their number and L or R.
    """
    if height <= room[1] - (FOOT if width > room[0] else 0.0):
        return pieces(items, width, height, room[0], name)
    items, width = placed(items, BAND, 0.0), width + 2 * BAND
    rows = []
    for number, (low, high, joints, _) in enumerate(_stretches(items, height, room[1] - FOOT, 1)):
        shown = [part for item in items for part in _within(item, low, high, number, 1)]
        for joint, middle in joints:
            for x, side in ((BAND / 2, "L"), (width - BAND / 2, "R")):
                shown += _registration(middle, x, f"{name}{joint}{side}", upright=True)
        rows.append(pieces(placed(shown, 0.0, -low), width, high - low, room[0], f"{name}{number + 1}."))
    found = [piece for row in rows for piece in row]
    return [replace(piece, number=number, count=len(found)) for number, piece in enumerate(found, 1)]


def bar(x: float, y: float) -> tuple[Item, ...]:
    """A bar 100 mm long, in tens, to measure the print by."""
    ticks = [(x + 10.0 * n, y, x + 10.0 * n, y + (4.0 if n % 5 == 0 else 2.5)) for n in range(11)]
    return (
        Lines(((x, y, x + 100.0, y), *ticks), NARROW),
        Text(x + 103.0, y, 2.5, "This bar is 100 mm long."),
    )


# ------------------------------------------------------------------------------------------------------------ helpers
def _stretches(
    items: Sequence[Item], size: float, room: float, axis: int
) -> Iterator[tuple[float, float, list[tuple[int, float]], int]]:
    """For each piece along an axis from where to where it goes, its joints with the middles of their overlaps, and how many there are."""
    starts = _starts(items, size, room, axis)
    for number, low in enumerate(starts):
        high = starts[number + 1] + OVERLAP if number + 1 < len(starts) else size
        joints = [(joint, starts[joint] + OVERLAP / 2) for joint in (number, number + 1) if 0 < joint < len(starts)]
        yield low, high, joints, len(starts)


def _starts(items: Sequence[Item], size: float, room: float, axis: int) -> list[float]:
    """Where the pieces begin: each as long as there is room for, or so much shorter that its ends cut through no hole."""
    spans = (_span(item, axis) for item in items)
    small = [(low, high) for low, high in spans if high - low <= WHOLE]
    starts = [0.0]
    while starts[-1] + room < size - 1e-6:
        high = starts[-1] + room
        ends = (high - back for back in range(int(OVERLAP)))
        clear = (end for end in ends if not any(a < x < b for a, b in small for x in (end, end - OVERLAP)))
        starts.append(next(clear, high) - OVERLAP)
    return starts


def _span(item: Item, axis: int) -> tuple[float, float]:
    around = item.bounds()
    return (around.x, around.right) if axis == 0 else (around.y, around.top)


def _registration(middle: float, level: float, words: str, upright: bool = False) -> Iterator[Item]:
    """Two crosses in circles beside the middle of an overlap, with the number of the joint; above each other if upright."""
    for along in (middle - BESIDE, middle + BESIDE):
        x, y = (level, along) if upright else (along, level)
        yield Circle(x, y, MARK / 2, NARROW)
        yield Lines(((x - MARK, y, x + MARK, y), (x, y - MARK, x, y + MARK)), NARROW)
        if upright:
            yield Text(x, y - MARK - 3.0, 2.5, words, "middle")
        else:
            yield Text(x + MARK + 0.5, y - 1.25, 2.5, words)


def _within(item: Item, low: float, high: float, number: int, axis: int) -> Iterator[Item]:
    """What of an item lies in a stretch: lines are cut, lettering stays in the first piece that holds it whole."""
    start, end = _span(item, axis)
    if isinstance(item, Lines) and end - start > WHOLE:
        kept = tuple(part for segment in item.segments if (part := _cut(segment, low, high, axis)) is not None)
        if kept:
            yield Lines(kept, item.width, item.dash, item.grey)
    elif isinstance(item, Stroke):
        ends = [*item.points, item.points[0]] if item.closed else list(item.points)
        segments = tuple((*a, *b) for a, b in itertools.pairwise(ends))
        yield from _within(Lines(segments, item.width, item.dash, item.grey), low, high, number, axis)
    elif isinstance(item, (Circle, Area, Lines)):
        if low - 1e-9 <= start and end <= high + 1e-9:
            yield item
    else:
        first = low if number == 0 else low + OVERLAP  # what the piece before holds is not said twice
        if low - 1e-6 <= start and end <= high + 1e-6 and end > first:
            yield item


def _cut(
    segment: tuple[float, float, float, float], low: float, high: float, axis: int
) -> tuple[float, float, float, float] | None:
    """What of a line lies between two places along an axis."""
    first, last = sorted((segment[:2], segment[2:]), key=lambda point: point[axis])
    long = last[axis] - first[axis]
    if last[axis] < low or first[axis] > high:
        return None
    if long < 1e-9:
        return segment
    shares = [(min(max(place, first[axis]), last[axis]) - first[axis]) / long for place in (low, high)]
    (a, b), (c, d) = ([p + (q - p) * share for p, q in zip(first, last, strict=True)] for share in shares)
    return a, b, c, d
