"""Where a section is taken, marked on another view (ISO 128-3, from memory): a narrow long-dashed dotted line across the
drawing, its ends wide, an arrow at each in the direction of looking, and the letter that names the section."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from .page import NARROW, WIDE, Area, Item, Lines, Rect, Text, dashes

END = 4.0  # mm of a wide end
CLEAR = 1.0  # mm between all else and a wide end
PAST = 2.0  # mm that the narrow line runs past the drawing
SHAFT = 6.0  # mm of an arrow with its head
HEAD, HALF_HEAD = 3.0, 0.7  # mm
LETTER = 3.5  # mm
BESIDE = 1.0  # mm between an arrow and its letter
REACH = SHAFT + BESIDE + LETTER + CLEAR  # mm that a mark with its letter needs beside its line


@dataclass(frozen=True, slots=True)
class CuttingPlane:
    """A plane square to the paper: its letter, which way it runs, where it lies in mm of the drawing, and the looking.

    An upright one lies at an x and is looked at towards the left; a level one lies at a y and is looked at downwards.
    """

    letter: str
    runs: Literal["upright", "level"]
    at: float

    @property
    def name(self) -> str:
        """As the section is called.

        >>> CuttingPlane("A", "upright", 0.0).name
        'A–A'
        """
        return f"{self.letter}–{self.letter}"

    def items(self, drawing: Rect, dimensions: Sequence[Rect], scale: float) -> tuple[Item, ...]:
        """The mark on a drawing that fills a rectangle, its ends outside it and outside the dimensions beside it."""
        at = self.at * scale
        found: list[Item] = []
        if self.runs == "upright":
            met = [each for each in dimensions if each.x < at + REACH and each.right > at - CLEAR]
            low = min([drawing.y - PAST, *(each.y for each in met)]) - CLEAR
            high = max([drawing.top + PAST, *(each.top for each in met)]) + CLEAR
            found.append(_line((at, drawing.y - PAST, at, drawing.top + PAST)))
            for foot in (low - END, high):
                middle = foot + END / 2
                found += [Lines(((at, foot, at, foot + END),), WIDE), *_arrow(at, middle, 1.0, 0.0)]
                found.append(Text(at + SHAFT + BESIDE, middle - LETTER / 2, LETTER, self.letter, "left", "bold"))
            return tuple(found)
        met = [each for each in dimensions if each.y < at + REACH and each.top > at - CLEAR]
        low = min([drawing.x - PAST, *(each.x for each in met)]) - CLEAR
        high = max([drawing.right + PAST, *(each.right for each in met)]) + CLEAR
        found.append(_line((drawing.x - PAST, at, drawing.right + PAST, at)))
        for foot in (low - END, high):
            middle = foot + END / 2
            found += [Lines(((foot, at, foot + END, at),), WIDE), *_arrow(middle, at, 0.0, 1.0)]
            found.append(Text(middle, at + SHAFT + BESIDE, LETTER, self.letter, "middle", "bold"))
        return tuple(found)


def _line(ends: tuple[float, float, float, float]) -> Item:
    return Lines((ends,), NARROW, dashes("cutting plane", NARROW))


def _arrow(x: float, y: float, right: float, up: float) -> tuple[Item, Item]:
    """An arrow whose point is at (x, y) and whose tail lies that way of it."""
    tail = (x + right * SHAFT, y + up * SHAFT)
    back = (x + right * HEAD, y + up * HEAD)
    head = (
        (x, y),
        (back[0] - up * HALF_HEAD, back[1] + right * HALF_HEAD),
        (back[0] + up * HALF_HEAD, back[1] - right * HALF_HEAD),
    )
    return Lines(((*back, *tail),), NARROW), Area(head)
