"""Full-size drawings longer than a sheet, cut into pieces that overlap and are joined by their registration marks."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..drawing.page import NARROW, Area, Circle, Item, Lines, Stroke, Text, placed

WHOLE = 45.0  # mm; what is no longer is shown whole or not at all
OVERLAP = 46.0  # mm that neighbouring pieces share; more than the widest hole
FOOT, BESIDE = 7.0, 12.0  # mm under a drawing for registration marks, and their places beside the middle of an overlap
MARK = 3.0  # mm; radius of a registration mark
FULL_SIZE_WORDS = (
    "Print at full size (100 %), not fitted to the page; measure the bar. Join pieces by their registration marks."
)


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of a long drawing, its lower left corner at the origin, and which of how many it is."""

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
    starts = _starts(items, width, room)
    found = []
    for number, low in enumerate(starts):
        high = starts[number + 1] + OVERLAP if number + 1 < len(starts) else width
        shown = [part for item in items for part in _within(item, low, high, number)]
        for joint in (number, number + 1):
            if 0 < joint < len(starts):
                shown += _registration(starts[joint] + OVERLAP / 2, f"{name}{joint}")
        tall = max(each.bounds().top for each in shown)  # what stands high may all be in another piece
        found.append(Piece(placed(shown, -low, 0.0), high - low, tall, number + 1, len(starts)))
    return found


def bar(x: float, y: float) -> tuple[Item, ...]:
    """A bar 100 mm long, in tens, to measure the print by."""
    ticks = [(x + 10.0 * n, y, x + 10.0 * n, y + (4.0 if n % 5 == 0 else 2.5)) for n in range(11)]
    return (
        Lines(((x, y, x + 100.0, y), *ticks), NARROW),
        Text(x + 103.0, y, 2.5, "This bar is 100 mm long."),
    )


# ------------------------------------------------------------------------------------------------------------ helpers
def _starts(items: Sequence[Item], width: float, room: float) -> list[float]:
    """Where the pieces begin: each as long as there is room for, or so much shorter that its ends cut through no hole."""
    small = [(around.x, around.right) for item in items if (around := item.bounds()).width <= WHOLE]
    starts = [0.0]
    while starts[-1] + room < width - 1e-6:
        high = starts[-1] + room
        ends = (high - back for back in range(int(OVERLAP)))
        clear = (end for end in ends if not any(a < x < b for a, b in small for x in (end, end - OVERLAP)))
        starts.append(next(clear, high) - OVERLAP)
    return starts


def _registration(middle: float, words: str) -> Iterator[Item]:
    """Two crosses in circles under an overlap, with the number of the joint."""
    for x in (middle - BESIDE, middle + BESIDE):
        yield Circle(x, FOOT / 2, MARK / 2, NARROW)
        yield Lines(((x - MARK, FOOT / 2, x + MARK, FOOT / 2), (x, FOOT / 2 - MARK, x, FOOT / 2 + MARK)), NARROW)
        yield Text(x + MARK + 0.5, FOOT / 2 - 1.25, 2.5, words)


def _within(item: Item, low: float, high: float, number: int) -> Iterator[Item]:
    """What of an item lies in a stretch: lines are cut, lettering stays in the first piece that holds it whole."""
    around = item.bounds()
    if isinstance(item, Lines) and around.width > WHOLE:
        kept = tuple(part for segment in item.segments if (part := _cut(segment, low, high)) is not None)
        if kept:
            yield Lines(kept, item.width, item.dash, item.grey)
    elif isinstance(item, Stroke):
        ends = [*item.points, item.points[0]] if item.closed else list(item.points)
        segments = tuple((*a, *b) for a, b in itertools.pairwise(ends))
        yield from _within(Lines(segments, item.width, item.dash, item.grey), low, high, number)
    elif isinstance(item, (Circle, Area, Lines)):
        if low - 1e-9 <= around.x and around.right <= high + 1e-9:
            yield item
    else:
        first = low if number == 0 else low + OVERLAP  # what the piece before holds is not said twice
        if low <= around.x and around.right <= high and around.right > first:
            yield item


def _cut(
    segment: tuple[float, float, float, float], low: float, high: float
) -> tuple[float, float, float, float] | None:
    a, b, c, d = segment
    if a > c:
        a, b, c, d = c, d, a, b
    if c < low or a > high:
        return None
    if c - a < 1e-9:
        return segment
    start, end = max(a, low), min(c, high)
    rise = (d - b) / (c - a)
    return start, b + (start - a) * rise, end, b + (end - a) * rise
