"""The title block (ISO 7200): what it says, how high it is for that, and its ink."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from . import text
from .page import MIDDLE, NARROW, WIDE, Circle, Item, Rect, Stroke, Text, box, dashes

Projection = Literal["", "first angle", "third angle"]

BLOCK_WIDTH = 180.0  # mm; ISO 7200, from memory
CAPTION = 2.5  # mm of lettering
VALUE_HEIGHTS = (3.5, 2.5)  # the first that fits on one line
PIECE_HEIGHTS = (5.0, 3.5, 2.5)
CELL_PADDING = 1.5  # mm
CAPTION_DROP = 1.3  # mm above a caption's capitals
VALUE_GAP = 2.1  # mm between a caption's base line and its value's capitals
FOOT = 2.0  # mm under the lowest base line
# mm; of a low block: client to page; piece and sheet share the rest
STRIP_FIELDS = (34.0, 32.0, 24.0, 16.0, 23.0, 12.0, 20.0)
PIECE_SHARES = (0.37, 0.5, 0.62)  # of what piece and sheet share, the first at which neither is higher than it need be
SYMBOL_WIDTH = 26.0  # mm kept for the projection symbol
PAGE_PLACE = "@page"  # stands for "n of m", known last


@dataclass(frozen=True, slots=True, kw_only=True)
class TitleBlock:
    """What the title block says; the fields ISO 7200 asks for, and those of a workshop.

    `number` identifies the drawing or job, `state` is the release state ("draft", "released for cutting"),
    `views` the sentence that names the views in words, `date` is printed as it is given.
    """

    piece: str
    sheet: str
    owner: str = ""
    client: str = ""
    number: str = ""
    date: str = ""
    revision: str = ""
    state: str = ""
    scale: str = ""
    drawn_by: str = ""
    approved_by: str = ""
    views: str = ""
    projection: Projection = ""
    low: bool = False  # two rows, what is seldom given in a third, where the sheet is no wider than a block

    @property
    def height(self) -> float:
        """Height in mm; long entries wrap and make it higher."""
        return self.height_at(BLOCK_WIDTH)

    def height_at(self, width: float) -> float:
        """Height in mm at this width: in one strip where it is wider than ISO 7200 has it."""
        return _height(self, width)

    def drawn(self, place: Rect, number: int, total: int) -> Iterator[Item]:
        """The block in its place, for sheet `number` of `total`."""
        top = place.top
        for row in _rows(self, place.width):
            yield from row.items(place.x, top, f"{number} of {total}")
            top -= row.height
        if self.projection:
            yield from _projection_symbol(
                place.right - SYMBOL_WIDTH / 2, place.y + _rows(self, place.width)[-1].height / 2, self.projection
            )
        yield box(place, WIDE)


# --- helpers


@dataclass(frozen=True, slots=True)
class _Field:
    caption: str
    value: str
    width: float
    heights: tuple[float, ...] = VALUE_HEIGHTS
    style: text.Style = "regular"

    @property
    def lines(self) -> tuple[float, tuple[str, ...]]:
        """Height of the lettering and the wrapped lines; wrapped only where the smallest height is too long."""
        room = self.width - 2 * CELL_PADDING
        height = text.fitting_height(self.value, room, self.heights, self.style)
        return height, text.wrap(self.value, room, height, self.style)

    @property
    def height(self) -> float:
        height, lines = self.lines
        caption = CAPTION_DROP + CAPTION + VALUE_GAP if self.caption else CAPTION_DROP + 0.7
        return caption + height + (len(lines) - 1) * text.line_pitch(height) + FOOT

    def items(self, x: float, top: float, page: str) -> Iterator[Text]:
        y = top - CAPTION_DROP
        if self.caption:
            yield Text(x + CELL_PADDING, y - CAPTION, CAPTION, self.caption)
            y -= CAPTION + VALUE_GAP
        else:
            y -= 0.7
        height, lines = self.lines
        for n, line in enumerate(lines):
            shown = page if line == PAGE_PLACE else line
            yield Text(x + CELL_PADDING, y - height - n * text.line_pitch(height), height, shown, "left", self.style)


@dataclass(frozen=True, slots=True)
class _TitleRow:
    fields: tuple[_Field, ...]
    least: float = 0.0

    @property
    def height(self) -> float:
        return max(self.least, *(field.height for field in self.fields), 0.0)

    def items(self, left: float, top: float, page: str) -> Iterator[Item]:
        x = left
        for field in self.fields:
            yield from field.items(x, top, page)
            x += field.width
            if field is not self.fields[-1]:
                yield Stroke(((x, top), (x, top - self.height)), NARROW)
        yield Stroke(((left, top - self.height), (x, top - self.height)), NARROW)


@lru_cache(maxsize=256)
def _height(title: TitleBlock, width: float) -> float:
    return sum(row.height for row in _rows(title, width))


@lru_cache(maxsize=256)
def _rows(title: TitleBlock, width: float) -> tuple[_TitleRow, ...]:
    rows = _strip(title, width) if width > BLOCK_WIDTH else _two_rows(title) if title.low else _block(title)
    if title.projection:
        views = _Field("", title.views, width - SYMBOL_WIDTH, (2.5,)), _Field("", "", SYMBOL_WIDTH)
        return (*rows, _TitleRow(views, least=11.0))
    return (*rows, _TitleRow((_Field("", title.views, width, (2.5,)),))) if title.views else rows


def _block(title: TitleBlock) -> tuple[_TitleRow, ...]:
    return (
        _TitleRow(
            (
                _Field("Piece", title.piece, 70, PIECE_HEIGHTS, "bold"),
                _Field("Client", title.client, 50),
                _Field("State", title.state, 60, style="bold"),
            )
        ),
        _TitleRow(
            (
                _Field("Sheet", title.sheet, 70, style="bold"),
                _Field("Number", title.number, 50),
                _Field("Revision", title.revision, 26, style="bold"),
                _Field("Date", title.date, 34),
            )
        ),
        _TitleRow(
            (
                _Field("Owner", title.owner, 70),
                _Field("Drawn by", title.drawn_by, 25),
                _Field("Approved by", title.approved_by, 25),
                _Field("Scale", title.scale, 26),
                _Field("Page", PAGE_PLACE, 34),
            )
        ),
    )


def _strip(title: TitleBlock, width: float) -> tuple[_TitleRow, ...]:
    """All in one row; names and numbers that are seldom given in a second, where they are."""
    client, owner, state, revision, date, scale, page = STRIP_FIELDS
    names = width - sum(STRIP_FIELDS)
    pairs = (
        (
            _Field("Piece", title.piece, share * names, VALUE_HEIGHTS, "bold"),
            _Field("Sheet", title.sheet, (1 - share) * names, style="bold"),
        )
        for share in PIECE_SHARES
    )
    row = _TitleRow(
        (
            *min(pairs, key=lambda pair: max(each.height for each in pair)),
            _Field("Client", title.client, client),
            _Field("Owner", title.owner, owner),
            _Field("State", title.state, state, style="bold"),
            _Field("Revision", title.revision, revision, style="bold"),
            _Field("Date", title.date, date, (2.5,)),
            _Field("Scale", title.scale, scale, (2.5,)),
            _Field("Page", PAGE_PLACE, page, (2.5,)),
        )
    )
    return (row, *_seldom(title, width))


def _two_rows(title: TitleBlock) -> tuple[_TitleRow, ...]:
    """The strip in two rows of a block's width."""
    first = _TitleRow(
        (
            _Field("Piece", title.piece, 64, VALUE_HEIGHTS, "bold"),
            _Field("Sheet", title.sheet, 66, style="bold"),
            _Field("Client", title.client, 50),
        )
    )
    second = _TitleRow(
        (
            _Field("Owner", title.owner, 64),
            _Field("State", title.state, 33, style="bold"),
            _Field("Revision", title.revision, 17, style="bold"),
            _Field("Date", title.date, 25, (2.5,)),
            _Field("Scale", title.scale, 16, (2.5,)),
            _Field("Page", PAGE_PLACE, 25),
        )
    )
    return first, second, *_seldom(title, BLOCK_WIDTH)


def _seldom(title: TitleBlock, width: float) -> tuple[_TitleRow, ...]:
    fields = ("Number", title.number), ("Drawn by", title.drawn_by), ("Approved by", title.approved_by)
    if not any(value for _, value in fields):
        return ()
    return (_TitleRow(tuple(_Field(caption, value, width / 3) for caption, value in fields)),)


def _projection_symbol(x: float, y: float, projection: Projection) -> Iterator[Item]:
    """A cone with its point cut off, narrow end at the left, and the view from the left: at its right in first angle,

    at its left in third. Centred on (x, y). ISO 5456-2.
    """
    side = -1 if projection == "first angle" else 1
    cone, rings = x + side * 5.0, x - side * 5.0
    small, large, length = 1.75, 3.5, 7.0
    narrow_end, wide_end = cone - length / 2, cone + length / 2
    yield Stroke(
        ((narrow_end, y - small), (wide_end, y - large), (wide_end, y + large), (narrow_end, y + small)),
        MIDDLE,
        closed=True,
    )
    yield Circle(rings, y, small, MIDDLE)
    yield Circle(rings, y, large, MIDDLE)
    axis = dashes("centre", NARROW)
    yield Stroke(((min(cone, rings) - 5, y), (max(cone, rings) + 5, y)), NARROW, axis)
    yield Stroke(((rings, y - 5), (rings, y + 5)), NARROW, axis)
