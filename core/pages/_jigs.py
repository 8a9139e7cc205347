"""Pictures of what is set once for many holes: the stop collar on its drill, the jig on a part, the spacer at its fence."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..drawing import text
from ..drawing.dimensions import figures
from ..drawing.page import NARROW, WIDE, Item, Lines, Rect, Stroke, Text, bounds, box, dashes, placed

LETTERING = 2.5  # mm
THICK = 7.0  # mm of paper: a board and a batten, which are not drawn to scale
LONGEST = 94.0  # mm of paper from the fence to the last hole of a jig
NARROWEST = 34.0  # mm of paper that the rest of a jig and its part take
TICK = 1.2  # mm
FENCE = 12.0  # mm of paper
BETWEEN = 16.0  # mm between two pictures
PITCH = 1.45 * LETTERING


@dataclass(frozen=True, slots=True)
class Jig:
    """A row that one setting serves: distances behind the carcass front and the diameter, mm, and marks by set-back."""

    distances: tuple[float, ...]
    diameter: float
    flush: tuple[int, ...]
    set_back: tuple[tuple[float, int], ...]  # mm, mark


def jig_pictures(collar: tuple[float, float] | None, jig: Jig | None) -> tuple[Item, ...]:
    """The pictures side by side, their captions beneath; none where nothing is set.

    `collar`: diameter and depth of a hole that is not drilled through, mm.
    """
    found: list[tuple[Item, ...]] = []
    if collar:
        found.append(tuple(_collar(*collar)))
    if jig and jig.flush:
        words = "the front edge of the part" if len(jig.flush) > 1 else f"the front edge of {jig.flush[0]}"
        found.append(tuple(_jig(jig, 0.0, f"Jig, ⌀{figures(jig.diameter)}: its fence against {words}")))
    if jig and jig.set_back:
        back, mark = jig.set_back[0]
        words = f"The same on {mark}: a spacer of {figures(back)} between fence and face edge"
        found.append(tuple(_jig(jig, back, words)))
    items: list[Item] = []
    x = 0.0
    for some in found:
        rect = bounds(some)
        items += placed(some, x - rect.x, 0.0)
        x += rect.width + BETWEEN
    return tuple(items)


# ------------------------------------------------------------------------------------------------------------ pictures
def _collar(diameter: float, depth: float) -> Iterator[Item]:
    """The drill at the bottom of its hole, the collar on the board; the setting is measured to the lips, not the point."""
    half, low, top = 3.0, 5.0, 17.0
    yield from _caption(
        0.0,
        -14.0,
        (
            f"Stop collar, here ⌀{figures(diameter)}, {figures(depth)} deep:",
            "measured to the lips of the drill, not to its",
            "point; through a jig its thickness more",
        ),
    )
    yield Stroke(((-half, top), (-24.0, top), (-24.0, 0.0), (24.0, 0.0), (24.0, top), (half, top)), WIDE)
    yield Stroke(((-half, 31.0), (-half, low), (0.0, low - 2.0), (half, low), (half, 31.0)), WIDE)
    yield box(Rect(-half - 4.5, top, 2 * half + 9.0, 7.0), WIDE)
    yield box(Rect(half + 4.5, top + 2.0, 3.5, 3.0), NARROW)
    yield box(Rect(-half - 2.5, 27.0, 2 * half + 5.0, 6.0), WIDE)
    yield Text(half + 10.0, top + 2.4, LETTERING, "collar")
    yield from _upright(-15.0, low, top, figures(depth), -half, -half - 4.5)


def _jig(jig: Jig, back: float, words: str) -> Iterator[Item]:
    """Seen from the end of the part: a batten with a fence, bored at the distances; the part behind its spacer."""
    scale = LONGEST / max(*jig.distances, 1.0)
    bore = max(jig.diameter * scale, 1.6) / 2
    end = max(jig.distances) * scale + 12.0
    front = back * scale
    yield from _caption(-FENCE, -14.0, (words, "(seen from the end of the part; not to scale)"))
    yield box(Rect(front, 0.0, end - front + NARROWEST / 2, THICK), WIDE)
    yield box(Rect(-FENCE, THICK, end + FENCE, THICK), WIDE)
    yield box(Rect(-FENCE, -3.0, FENCE, THICK + 3.0), WIDE)
    yield Text(-FENCE / 2, 1.2, LETTERING, "fence", "middle")
    if back:
        yield box(Rect(0.0, 0.0, front, THICK), NARROW)
        yield Lines(((0.0, 0.0, front, THICK), (0.0, THICK, front, 0.0)), NARROW)
        yield from _level(-5.0, 0.0, front, figures(back))
    inside = [value * scale for value in jig.distances]
    yield Lines(tuple((x + side, THICK, x + side, 2 * THICK) for x in inside for side in (-bore, bore)), NARROW)
    yield Lines(
        tuple((x + side, 2.0, x + side, THICK) for x in inside for side in (-bore, bore)),
        NARROW,
        dashes("hidden", NARROW),
    )
    yield Lines(
        ((0.0, 2 * THICK + 2.0, 0.0, 2 * THICK + 7.0), (0.0, 2 * THICK + 5.0, inside[-1], 2 * THICK + 5.0)), NARROW
    )
    for x, value in zip(inside, jig.distances, strict=True):
        yield Lines(((x, 2 * THICK + 1.0, x, 2 * THICK + 7.0), *_tick(x, 2 * THICK + 5.0)), NARROW)
        yield Text(x + LETTERING / 2, 2 * THICK + 8.0, LETTERING, figures(value), "left", angle=90.0)
    yield Text(LETTERING / 2, 2 * THICK + 8.0, LETTERING, "f  0", "left", angle=90.0)


# ------------------------------------------------------------------------------------------------------------- helpers
def _caption(x: float, y: float, lines: Sequence[str]) -> Iterator[Item]:
    wide = max(text.width(words, LETTERING) for words in lines)
    start = -wide / 2 if x == 0.0 else x
    for number, words in enumerate(lines):
        yield Text(start, y - number * PITCH, LETTERING, words, "left", "bold" if number == 0 else "regular")


def _upright(x: float, low: float, high: float, words: str, *ends: float) -> Iterator[Item]:
    """An upright dimension, its figure turned; the extension line of the lower end reaches to the first of `ends`."""
    yield Lines(((x, low, x, high), (x - 2.0, low, ends[0], low), *_tick(x, low), *_tick(x, high)), NARROW)
    yield Text(x - 1.0, (low + high) / 2, LETTERING, words, "middle", "bold", 90.0)


def _level(y: float, left: float, right: float, words: str) -> Iterator[Item]:
    """A level dimension, its figure beneath."""
    yield Lines(
        (
            (left, y, right, y),
            (left, y - 2.0, left, -0.8),
            (right, y - 2.0, right, -0.8),
            *_tick(left, y),
            *_tick(right, y),
        ),
        NARROW,
    )
    yield Text((left + right) / 2, y - LETTERING - 1.6, LETTERING, words, "middle", "bold")


def _tick(x: float, y: float) -> tuple[tuple[float, float, float, float], ...]:
    return ((x - TICK, y - TICK, x + TICK, y + TICK),)
