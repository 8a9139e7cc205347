"""Blocks that fill sheets from the top down: paragraphs, headings, figures, and what else answers alike.

A block is asked for as much of itself as fits a given height, and answers with that and the rest. Nothing
shrinks: text that is too long for its line wraps, and what is too long for the sheet goes on to the next.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Protocol

from . import text
from .page import Anchor, Item, RoomError, Text, bounds, placed
from .text import Style

CLOSER = 0.6  # of the white below a block is left where that saves a sheet


@dataclass(frozen=True, slots=True)
class Laid:
    """What of a block fitted: its items, the height they took in mm, and the rest of the block if there is one."""

    items: tuple[Item, ...]
    height: float
    rest: Block | None = None


class Block(Protocol):
    """Anything that can be laid down a sheet."""

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """As much as fits below `top` in this width and height; None when nothing does."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Lettering that wraps; `after` is the white space below it in mm."""

    string: str
    height: float = 2.5
    style: Style = "regular"
    after: float = 3.0

    @property
    def closer(self) -> Paragraph:
        """The same with less white below it."""
        return replace(self, after=CLOSER * self.after)

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """As many lines as fit."""
        lines = text.wrap(self.string, width, self.height, self.style)
        pitch, descent = text.line_pitch(self.height), text.font(self.style).descent * self.height
        count = int((height - self.height - descent) // pitch + 1)
        if count < 1:
            return None
        items = tuple(
            Text(x, top - self.height - n * pitch, self.height, line, "left", self.style)
            for n, line in enumerate(lines[:count])
        )
        if count < len(lines):
            return Laid(items, height, replace(self, string="\n".join(lines[count:])))
        return Laid(items, self.height + (len(lines) - 1) * pitch + descent + self.after)


@dataclass(frozen=True, slots=True)
class Heading:
    """A bold line or two that is never left alone at the foot of a sheet: `room` mm must be free below it."""

    string: str
    height: float = 3.5
    after: float = 3.0
    room: float = 25.0

    @property
    def closer(self) -> Heading:
        """The same with less white below it."""
        return replace(self, after=CLOSER * self.after)

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """The whole heading, if there is room for it and for the beginning of what follows."""
        laid = Paragraph(self.string, self.height, "bold", self.after).laid(x, top, width, height)
        return None if laid is None or laid.rest is not None or height - laid.height < self.room else laid


@dataclass(frozen=True, slots=True)
class Figure:
    """Items drawn anywhere, moved so that they stand in one piece under what came before; `after` mm below."""

    items: tuple[Item, ...]
    align: Anchor = "left"
    after: float = 4.0

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """The figure, or nothing where it does not fit. RoomError when it is too wide."""
        rect = bounds(self.items)
        if rect.width > width + 1e-6:
            raise RoomError(f"a figure {rect.width:.1f} mm wide in a column of {width:.1f} mm; use a smaller scale")
        if rect.height > height + 1e-6:
            return None
        spare = {"left": 0.0, "middle": 0.5, "right": 1.0}[self.align] * (width - rect.width)
        return Laid(placed(self.items, x + spare - rect.x, top - rect.top), rect.height + self.after)


@dataclass(frozen=True, slots=True)
class Gap:
    """White space, dropped at the end of a sheet."""

    height: float

    @property
    def closer(self) -> Gap:
        """The same, less high."""
        return Gap(CLOSER * self.height)

    def laid(self, x: float, top: float, width: float, height: float) -> Laid:
        """Nothing, in this height."""
        return Laid((), min(self.height, height))
