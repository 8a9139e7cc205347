"""Page primitives: lines, areas, circles and lettering at exact places on a sheet of paper.

Units are millimetres on paper; the origin is the bottom left corner of the sheet, x to the right, y up.
Nothing here knows about furniture. Every primitive answers `bounds()` (the ink it needs) and
`placed(x, y, scale)` (the same thing elsewhere; line widths and lettering keep their size).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, Protocol

from ..errors import PieceError
from . import text
from .text import Style

Point = tuple[float, float]
Anchor = Literal["left", "middle", "right"]
LineKind = Literal["visible", "hidden", "centre", "cutting plane", "outline of another position"]

WIDE, MIDDLE, NARROW = 0.5, 0.35, 0.25  # mm; line group for A2 to A4; ISO 128-2, the pair from memory
FRAME_WIDTH = 0.7  # mm; frame of the drawing space; ISO 5457, from memory

# Dash, gap, dash … in line widths: dashes 12 d, long dashes 24 d, gaps 3 d, dots 0.5 d; ISO 128-2, from memory
_DASHES: dict[str, tuple[float, ...]] = {
    "visible": (),
    "hidden": (12, 3),
    "centre": (24, 3, 0.5, 3),
    "cutting plane": (24, 3, 0.5, 3),
    "outline of another position": (24, 3, 0.5, 3, 0.5, 3),
}


class RoomError(PieceError, ValueError):
    """Something that does not fit the paper it is meant for; says what, and what would help."""


@dataclass(frozen=True, slots=True)
class Rect:
    """An upright rectangle: its bottom left corner and its size, in mm."""

    x: float
    y: float
    width: float
    height: float

    @property
    def right(self) -> float:
        """Right edge."""
        return self.x + self.width

    @property
    def top(self) -> float:
        """Top edge."""
        return self.y + self.height

    @property
    def centre(self) -> Point:
        """Middle of the rectangle."""
        return self.x + self.width / 2, self.y + self.height / 2

    @property
    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Corners, anticlockwise from the bottom left."""
        return (self.x, self.y), (self.right, self.y), (self.right, self.top), (self.x, self.top)

    def grown(self, margin: float) -> Rect:
        """The rectangle with this much more (or, negative, less) on every side."""
        return Rect(self.x - margin, self.y - margin, self.width + 2 * margin, self.height + 2 * margin)

    def moved(self, x: float, y: float) -> Rect:
        """The rectangle shifted."""
        return Rect(self.x + x, self.y + y, self.width, self.height)

    def overlaps(self, other: Rect, clearance: float = 0.0) -> bool:
        """Whether the two share more than an edge, or come closer than the clearance."""
        return (
            self.x < other.right + clearance
            and other.x < self.right + clearance
            and self.y < other.top + clearance
            and other.y < self.top + clearance
        )

    def contains(self, other: Rect, slack: float = 1e-6) -> bool:
        """Whether the other lies inside this one, edges included."""
        return (
            self.x - slack <= other.x
            and other.right <= self.right + slack
            and self.y - slack <= other.y
            and other.top <= self.top + slack
        )


def rect_around(points: Iterable[Point]) -> Rect:
    """The smallest rectangle that holds the points; at least one is needed."""
    xs, ys = zip(*points, strict=True)
    return Rect(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))


def rect_around_rects(rects: Iterable[Rect]) -> Rect:
    """The smallest rectangle that holds the rectangles; at least one is needed."""
    return rect_around([corner for rect in rects for corner in ((rect.x, rect.y), (rect.right, rect.top))])


def dashes(kind: LineKind, width: float) -> tuple[float, ...]:
    """Dash and gap lengths in mm of an ISO 128 line of this width; empty for a continuous line."""
    return tuple(share * width for share in _DASHES[kind])


class Item(Protocol):
    """Anything that can be drawn on a page."""

    def bounds(self) -> Rect:
        """The paper it covers, without the thickness of its lines."""

    def placed(self, x: float, y: float, scale: float = 1.0) -> Item:
        """The same thing scaled about the origin, then moved; line widths and lettering stay."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """One line through two or more points; grey 0 is black, 1 white."""

    points: tuple[Point, ...]
    width: float = NARROW
    dash: tuple[float, ...] = ()
    closed: bool = False
    grey: float = 0.0

    def bounds(self) -> Rect:
        """The paper it covers."""
        return rect_around(self.points)

    def placed(self, x: float, y: float, scale: float = 1.0) -> Stroke:
        """The same line elsewhere."""
        return Stroke(_placed(self.points, x, y, scale), self.width, self.dash, self.closed, self.grey)


@dataclass(frozen=True, slots=True)
class Lines:
    """Many separate straight lines of one kind: (x1, y1, x2, y2) each; what a hidden-line drawing consists of."""

    segments: tuple[tuple[float, float, float, float], ...]
    width: float = NARROW
    dash: tuple[float, ...] = ()
    grey: float = 0.0

    def bounds(self) -> Rect:
        """The paper they cover; at least one line is needed."""
        left, bottom, right, top = zip(*self.segments, strict=True)
        xs, ys = (*left, *right), (*bottom, *top)
        return Rect(min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys))

    def placed(self, x: float, y: float, scale: float = 1.0) -> Lines:
        """The same lines elsewhere."""
        segments = tuple([(x + a * scale, y + b * scale, x + c * scale, y + d * scale) for a, b, c, d in self.segments])
        return Lines(segments, self.width, self.dash, self.grey)


@dataclass(frozen=True, slots=True)
class Area:
    """A filled polygon without an outline; grey 0 is black, 1 white (which hides what was drawn before)."""

    points: tuple[Point, ...]
    grey: float = 0.0

    def bounds(self) -> Rect:
        """The paper it covers."""
        return rect_around(self.points)

    def placed(self, x: float, y: float, scale: float = 1.0) -> Area:
        """The same area elsewhere."""
        return replace(self, points=_placed(self.points, x, y, scale))


@dataclass(frozen=True, slots=True)
class Blocks:
    """Filled upright rectangles on a fine square grid, such as a QR code: (column, row, columns, rows) of each.

    The grid's origin lies at (x, y), rows count up, and its squares are `unit` mm wide.
    """

    x: float
    y: float
    unit: float
    rects: tuple[tuple[int, int, int, int], ...]
    grey: float = 0.0

    def bounds(self) -> Rect:
        """The paper they cover; at least one rectangle is needed."""
        return rect_around([point for a, b, w, h in self.placed_rects() for point in ((a, b), (a + w, b + h))])

    def placed_rects(self) -> tuple[tuple[float, float, float, float], ...]:
        """Each rectangle on the page: left, bottom, width, height in mm."""
        return tuple(
            (self.x + a * self.unit, self.y + b * self.unit, w * self.unit, h * self.unit) for a, b, w, h in self.rects
        )

    def placed(self, x: float, y: float, scale: float = 1.0) -> Blocks:
        """The same rectangles elsewhere."""
        return replace(self, x=x + self.x * scale, y=y + self.y * scale, unit=self.unit * scale)


@dataclass(frozen=True, slots=True)
class Circle:
    """A true circle: outline of this width (0 for none), filled with a grey unless that is None."""

    x: float
    y: float
    radius: float
    width: float = NARROW
    fill: float | None = None
    dash: tuple[float, ...] = ()

    def bounds(self) -> Rect:
        """The paper it covers."""
        return Rect(self.x - self.radius, self.y - self.radius, 2 * self.radius, 2 * self.radius)

    def placed(self, x: float, y: float, scale: float = 1.0) -> Circle:
        """The same circle elsewhere."""
        return replace(self, x=x + self.x * scale, y=y + self.y * scale, radius=self.radius * scale)


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle, from `start` anticlockwise to `end`, both in degrees from the x axis, end > start."""

    x: float
    y: float
    radius: float
    start: float
    end: float
    width: float = NARROW
    dash: tuple[float, ...] = ()

    def bounds(self) -> Rect:
        """The paper it covers."""
        quarters = [90 * n for n in range(math.ceil(self.start / 90), math.floor(self.end / 90) + 1)]
        return rect_around([self.point(angle) for angle in (self.start, *quarters, self.end)])

    def point(self, angle: float) -> Point:
        """The point of the circle at this angle in degrees."""
        turn = math.radians(angle)
        return self.x + self.radius * math.cos(turn), self.y + self.radius * math.sin(turn)

    def placed(self, x: float, y: float, scale: float = 1.0) -> Arc:
        """The same arc elsewhere."""
        return replace(self, x=x + self.x * scale, y=y + self.y * scale, radius=self.radius * scale)


@dataclass(frozen=True, slots=True)
class Text:
    """One line of lettering: `height` is that of a capital; (x, y) lies on the base line at the anchor.

    `angle` turns it anticlockwise about (x, y), in degrees. Raises GlyphError for what cannot be printed.
    """

    x: float
    y: float
    height: float
    string: str
    anchor: Anchor = "left"
    style: Style = "regular"
    angle: float = 0.0
    grey: float = 0.0

    def __post_init__(self) -> None:
        if not (self.string.isascii() and self.string.isprintable()):
            object.__setattr__(self, "string", text.composed(self.string))
            text.require_glyphs(self.string, self.style)

    @property
    def length(self) -> float:
        """Length of the lettering along its base line in mm."""
        return text.width(self.string, self.height, self.style)

    @property
    def start(self) -> Point:
        """Left end of the base line."""
        if self.anchor == "left":
            return self.x, self.y
        back = {"left": 0.0, "middle": 0.5, "right": 1.0}[self.anchor] * self.length
        turn = math.radians(self.angle)
        return self.x - back * math.cos(turn), self.y - back * math.sin(turn)

    def bounds(self) -> Rect:
        """The paper it covers, from the tails of g and p to the top of a capital (an accent reaches higher)."""
        (x, y), length = self.start, self.length
        below = text.font(self.style).descent * self.height
        if not self.angle:
            return rect_around([(x, y - below), (x + length, y + self.height)])
        turn = math.radians(self.angle)
        cos, sin = math.cos(turn), math.sin(turn)
        corners = ((u, v) for u in (0.0, length) for v in (-below, self.height))
        return rect_around([(x + u * cos - v * sin, y + u * sin + v * cos) for u, v in corners])

    def placed(self, x: float, y: float, scale: float = 1.0) -> Text:
        """The same lettering, at the same height, elsewhere."""
        place = x + self.x * scale, y + self.y * scale
        return Text(*place, self.height, self.string, self.anchor, self.style, self.angle, self.grey)


@dataclass(frozen=True, slots=True)
class Swatch:
    """A rectangle in the colour of a finish (`#rrggbb`), thinly outlined; its name must stand beside it."""

    x: float
    y: float
    width: float
    height: float
    colour: str

    def __post_init__(self) -> None:
        if not re.fullmatch(r"#[0-9a-fA-F]{6}", self.colour):
            raise ValueError(f"colour {self.colour!r} is not # and six hexadecimal digits, such as #7a8c6e")

    @property
    def rgb(self) -> tuple[float, float, float]:
        """Red, green and blue from 0 to 1 (sRGB)."""
        red, green, blue = (int(self.colour[n : n + 2], 16) / 255 for n in (1, 3, 5))
        return red, green, blue

    def bounds(self) -> Rect:
        """The paper it covers."""
        return Rect(self.x, self.y, self.width, self.height)

    def placed(self, x: float, y: float, scale: float = 1.0) -> Swatch:
        """The same swatch elsewhere."""
        return replace(
            self, x=x + self.x * scale, y=y + self.y * scale, width=self.width * scale, height=self.height * scale
        )


@dataclass(frozen=True, slots=True)
class Picture:
    """A rendered picture (PNG or JPEG: its bytes, or the path of its file), stretched to the rectangle."""

    source: bytes | Path
    x: float
    y: float
    width: float
    height: float

    def data(self) -> bytes:
        """The bytes of the picture; OSError when its file cannot be read."""
        return self.source if isinstance(self.source, bytes) else Path(self.source).read_bytes()

    def bounds(self) -> Rect:
        """The paper it covers."""
        return Rect(self.x, self.y, self.width, self.height)

    def placed(self, x: float, y: float, scale: float = 1.0) -> Picture:
        """The same picture elsewhere."""
        return replace(
            self, x=x + self.x * scale, y=y + self.y * scale, width=self.width * scale, height=self.height * scale
        )


@dataclass(frozen=True, slots=True)
class Link:
    """A rectangle that, on a screen, leads to the page with this bookmark."""

    x: float
    y: float
    width: float
    height: float
    bookmark: str

    def bounds(self) -> Rect:
        """The paper it covers."""
        return Rect(self.x, self.y, self.width, self.height)

    def placed(self, x: float, y: float, scale: float = 1.0) -> Link:
        """The same link elsewhere."""
        return replace(
            self, x=x + self.x * scale, y=y + self.y * scale, width=self.width * scale, height=self.height * scale
        )


@dataclass(frozen=True, slots=True)
class Page:
    """One sheet of paper and what is drawn on it, in that order.

    `bookmark` is its entry in the PDF's list of contents (none when empty), `level` 0 a chapter, 1 below it.
    """

    width: float
    height: float
    items: tuple[Item, ...]
    title: str = ""
    bookmark: str = ""
    level: int = 0


def placed(items: Iterable[Item], x: float, y: float, scale: float = 1.0) -> tuple[Item, ...]:
    """Every item scaled about the origin, then moved; line widths and lettering stay."""
    return tuple(item.placed(x, y, scale) for item in items)


def bounds(items: Iterable[Item]) -> Rect:
    """The smallest rectangle that holds the items; at least one is needed."""
    return rect_around_rects([item.bounds() for item in items])


def box(rect: Rect, width: float = NARROW) -> Stroke:
    """The outline of a rectangle."""
    return Stroke(rect.corners, width, closed=True)


def _placed(points: Sequence[Point], x: float, y: float, scale: float) -> tuple[Point, ...]:
    return tuple((x + a * scale, y + b * scale) for a, b in points)
