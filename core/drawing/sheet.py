"""Sheets of paper: frame and zones (ISO 5457), title block (ISO 7200), and blocks that flow from sheet to sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal

from . import text
from .page import (
    FRAME_WIDTH,
    MIDDLE,
    NARROW,
    WIDE,
    Circle,
    Item,
    Lines,
    Page,
    Rect,
    RoomError,
    Stroke,
    Text,
    box,
    dashes,
)
from .scales import FULL_SIZE, SCALES, Scale, fitting_scale
from .tables import (
    Block,
    Bracket,
    Cell,
    Column,
    Figure,
    Gap,
    Group,
    Heading,
    Paragraph,
    Table,
    single_group,
)

__all__ = [
    "FULL_SIZE", "SCALES", "SHEETS", "Block", "Bracket", "Cell", "Column", "Figure", "Gap", "Group", "Heading",
    "Paragraph", "Scale", "Sheet", "SheetSize", "Table", "TitleBlock", "fitting_scale", "flow", "number_sheets",
    "single_group", "table_pages",
]

Projection = Literal["", "first angle", "third angle"]

MARGIN = 10.0         # mm, frame to edge of the paper; ISO 5457
FILING_MARGIN = 20.0  # mm at the left; ISO 5457
BLOCK_WIDTH = 180.0   # mm; ISO 7200, from memory
FIELD = 50.0          # mm; zones are this long, measured from the middle of the sheet; ISO 5457:1999, from memory
BAND = 5.0            # mm; depth of the zone border outside the frame; ISO 5457, from memory
AIR = 5.0             # mm between frame or title block and what is drawn
STAMP_HEIGHTS = (7.0, 5.0, 3.5)  # mm of lettering, the largest that fits


@dataclass(frozen=True, slots=True)
class SheetSize:
    """A trimmed sheet: size in mm, width of the filing margin, and whether it carries zones."""

    name: str
    width: float
    height: float
    filing: float = FILING_MARGIN
    zones: bool = False

    @property
    def frame(self) -> Rect:
        """The frame of the drawing space."""
        return Rect(self.filing, MARGIN, self.width - self.filing - MARGIN, self.height - 2 * MARGIN)


# A4 to A2: ISO 216. Letter and tabloid: ANSI/ASME Y14.1. Letter upright has a wider filing margin, so that a
# title block of 180 mm fills its frame.
SHEETS = {sheet.name: sheet for sheet in (
    SheetSize("A4", 210, 297),
    SheetSize("A4 landscape", 297, 210),
    SheetSize("A3", 420, 297, zones=True),
    SheetSize("A2", 594, 420, zones=True),
    SheetSize("letter", 215.9, 279.4, filing=215.9 - MARGIN - BLOCK_WIDTH),
    SheetSize("letter landscape", 279.4, 215.9),
    SheetSize("tabloid", 431.8, 279.4, zones=True),
)}


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One sheet in the making: paper, title block, stamp, and what is drawn on it.

    A stamp, such as "DO NOT CUT: 2 stop findings", takes a band of its own at the top and makes `room` lower.
    `bookmark` and `level` go to the document's list of contents.
    """

    size: SheetSize
    title: TitleBlock
    stamp: str = ""
    items: tuple[Item, ...] = ()
    bookmark: str = ""
    level: int = 0

    @property
    def frame(self) -> Rect:
        """The frame of the drawing space."""
        return self.size.frame

    @property
    def title_block(self) -> Rect:
        """Where the title block stands: bottom right, in the corner of the frame."""
        width = min(BLOCK_WIDTH, self.frame.width)
        return Rect(self.frame.right - width, self.frame.y, width, sum(row.height for row in _title_rows(self.title)))

    @property
    def room(self) -> Rect:
        """The rectangle free for drawing, above the title block over the whole width."""
        top = self.stamp_band.y if self.stamp else self.frame.top
        return _between(self.frame.x, self.title_block.top, self.frame.right, top)

    @property
    def side_room(self) -> Rect | None:
        """The rectangle free left of the title block, over the whole height; None where it is too narrow to use."""
        left = _between(self.frame.x, self.frame.y, self.title_block.x, self.room.top + AIR)
        return left if left.width > FIELD else None

    @property
    def stamp_band(self) -> Rect:
        """Where the stamp stands, whether there is one or not."""
        height = _stamp_height(self.stamp, self.frame.width)
        band = height * 2.2 if height > STAMP_HEIGHTS[-1] else 4 + text.line_pitch(height) * len(
            text.wrap(self.stamp, self.frame.width - 2 * AIR, height, "bold"))
        return Rect(self.frame.x, self.frame.top - band, self.frame.width, band)

    def with_items(self, items: Sequence[Item]) -> Sheet:
        """The sheet with more drawn on it."""
        return replace(self, items=(*self.items, *items))

    def page(self, number: int = 1, total: int = 1) -> Page:
        """The finished page, sheet `number` of `total`."""
        furniture = (*_frame_items(self.size), *self._stamp_items(), *self._title_items(number, total))
        return Page(self.size.width, self.size.height, (*furniture, *self.items),
                    f"{self.title.piece}: {self.title.sheet}", self.bookmark, self.level)

    def _stamp_items(self) -> Iterator[Item]:
        if not self.stamp:
            return
        band, height = self.stamp_band, _stamp_height(self.stamp, self.frame.width)
        yield box(band.grown(-1.0), 1.4)
        lines = text.wrap(self.stamp, band.width - 2 * AIR, height, "bold")
        first = band.centre[1] - height / 2 + (len(lines) - 1) / 2 * text.line_pitch(height)
        for n, line in enumerate(lines):
            yield Text(band.centre[0], first - n * text.line_pitch(height), height, line, "middle", "bold")

    def _title_items(self, number: int, total: int) -> Iterator[Item]:
        block = self.title_block
        top = block.top
        for row in _title_rows(self.title):
            yield from row.items(block.x, top, f"{number} of {total}")
            top -= row.height
        if self.title.projection:
            yield from _projection_symbol(block.right - 13, block.y + _title_rows(self.title)[-1].height / 2,
                                          self.title.projection)
        yield box(block, WIDE)


def flow(blocks: Sequence[Block], sheet: Sheet, *, columns: int = 1, gutter: float = 8.0) -> tuple[Sheet, ...]:
    """The blocks laid down one sheet after another, as many as they need, in columns of equal width.

    Only the first sheet keeps the bookmark, and what was already drawn on the sheet. Raises RoomError for a
    block, or a row of a table, that is too large for a whole sheet.
    """
    sheets: list[Sheet] = []
    waiting = list(blocks)
    while waiting or not sheets:
        fresh = sheet if not sheets else replace(sheet, bookmark="", items=())
        filled, waiting = _filled(fresh, waiting, columns, gutter)
        sheets.append(filled)
    return tuple(sheets)


def number_sheets(sheets: Sequence[Sheet]) -> tuple[Page, ...]:
    """The finished pages, each saying which sheet of how many it is."""
    return tuple(sheet.page(number, len(sheets)) for number, sheet in enumerate(sheets, start=1))


def table_pages(table: Table, sheet: Sheet) -> tuple[Page, ...]:
    """A table over as many numbered sheets as it needs."""
    return number_sheets(flow([table], sheet))


# --- flowing

def _filled(sheet: Sheet, blocks: Sequence[Block], columns: int, gutter: float) -> tuple[Sheet, list[Block]]:
    """The sheet with as many blocks as it holds, and the blocks left over."""
    room, waiting, items = sheet.room, list(blocks), []
    width = (room.width - (columns - 1) * gutter) / columns
    for column in range(columns):
        y, x = room.top, room.x + column * (width + gutter)
        while waiting:
            laid = waiting[0].laid(x, y, width, y - room.y)
            if laid is None:
                break
            items.extend(laid.items)
            y -= laid.height
            waiting[:1] = [] if laid.rest is None else [laid.rest]
            if laid.rest is not None:
                break
        while waiting and isinstance(waiting[0], Gap):
            waiting.pop(0)
    if blocks and list(blocks) == waiting:
        raise RoomError(f"sheet {sheet.title.sheet!r}: a {type(waiting[0]).__name__.lower()} or one of its rows needs "
                        f"more than the {room.height:.0f} mm a {sheet.size.name} sheet has; use a larger sheet")
    return sheet.with_items(items), waiting


# --- frame

def _frame_items(size: SheetSize) -> Iterator[Item]:
    frame = size.frame
    yield box(frame, FRAME_WIDTH)
    yield Lines(tuple(_centring_marks(size)), FRAME_WIDTH)
    if size.zones:
        yield box(frame.grown(BAND), NARROW)
        yield Lines(tuple(_zone_ticks(size)), MIDDLE)
        yield from _zone_names(size)


def _centring_marks(size: SheetSize) -> Iterator[tuple[float, float, float, float]]:
    frame, x, y = size.frame, size.width / 2, size.height / 2
    yield x, frame.top, x, frame.top + BAND
    yield x, frame.y, x, frame.y - BAND
    yield frame.x, y, frame.x - BAND, y
    yield frame.right, y, frame.right + BAND, y


def _zone_ticks(size: SheetSize) -> Iterator[tuple[float, float, float, float]]:
    frame = size.frame
    for x in _zone_edges(size.width, frame.x, frame.right)[1:-1]:
        yield x, frame.top, x, frame.top + BAND
        yield x, frame.y, x, frame.y - BAND
    for y in _zone_edges(size.height, frame.y, frame.top)[1:-1]:
        yield frame.x, y, frame.x - BAND, y
        yield frame.right, y, frame.right + BAND, y


def _zone_names(size: SheetSize) -> Iterator[Text]:
    """Numerals from the left, letters from the top; I and O are left out. ISO 5457."""
    frame, height = size.frame, 3.5
    drop = (BAND - height) / 2
    for number, x in enumerate(_middles(_zone_edges(size.width, frame.x, frame.right)), start=1):
        yield Text(x, frame.top + drop, height, str(number), "middle")
        yield Text(x, frame.y - BAND + drop, height, str(number), "middle")
    for letter, y in zip("ABCDEFGHJKLMNP", reversed(_middles(_zone_edges(size.height, frame.y, frame.top))),
                         strict=False):
        yield Text(frame.x - BAND / 2, y - height / 2, height, letter, "middle")
        yield Text(frame.right + BAND / 2, y - height / 2, height, letter, "middle")


def _zone_edges(length: float, first: float, last: float) -> list[float]:
    """Where zones end: every 50 mm from the middle, an even number of them, the outermost taking what is left."""
    half = max(1, round(length / FIELD / 2))
    inner = [length / 2 + n * FIELD for n in range(1 - half, half)]
    return [first, *(edge for edge in inner if first < edge < last), last]


def _middles(edges: Sequence[float]) -> list[float]:
    return [(a + b) / 2 for a, b in pairwise(edges)]


# --- title block

CAPTION = 2.5                # mm of lettering
VALUE_HEIGHTS = (3.5, 2.5)   # the first that fits on one line
PIECE_HEIGHTS = (5.0, 3.5, 2.5)
CELL_PADDING = 1.5           # mm
CAPTION_DROP = 1.3           # mm above a caption's capitals
VALUE_GAP = 2.1              # mm between a caption's base line and its value's capitals
FOOT = 2.0                   # mm under the lowest base line
SYMBOL_WIDTH = 26.0          # mm kept for the projection symbol
PAGE_PLACE = "@page"         # stands for "n of m", known last


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


def _title_rows(title: TitleBlock) -> tuple[_TitleRow, ...]:
    rows = [
        _TitleRow((_Field("Piece", title.piece, 70, PIECE_HEIGHTS, "bold"), _Field("Client", title.client, 50),
                   _Field("State", title.state, 60, style="bold"))),
        _TitleRow((_Field("Sheet", title.sheet, 70, style="bold"), _Field("Number", title.number, 50),
                   _Field("Revision", title.revision, 26, style="bold"), _Field("Date", title.date, 34))),
        _TitleRow((_Field("Owner", title.owner, 70), _Field("Drawn by", title.drawn_by, 25),
                   _Field("Approved by", title.approved_by, 25),
                   _Field("Scale", title.scale, 26), _Field("Page", PAGE_PLACE, 34))),
    ]
    if title.projection:
        rows.append(_TitleRow((_Field("", title.views, BLOCK_WIDTH - SYMBOL_WIDTH, (2.5,)),
                               _Field("", "", SYMBOL_WIDTH)), least=11.0))
    elif title.views:
        rows.append(_TitleRow((_Field("", title.views, BLOCK_WIDTH, (2.5,)),)))
    return tuple(rows)


def _projection_symbol(x: float, y: float, projection: Projection) -> Iterator[Item]:
    """A cone with its point cut off, narrow end at the left, and the view from the left: at its right in first angle,

    at its left in third. Centred on (x, y). ISO 5456-2.
    """
    side = -1 if projection == "first angle" else 1
    cone, rings = x + side * 5.0, x - side * 5.0
    small, large, length = 1.75, 3.5, 7.0
    narrow_end, wide_end = cone - length / 2, cone + length / 2
    yield Stroke(((narrow_end, y - small), (wide_end, y - large), (wide_end, y + large), (narrow_end, y + small)),
                 MIDDLE, closed=True)
    yield Circle(rings, y, small, MIDDLE)
    yield Circle(rings, y, large, MIDDLE)
    axis = dashes("centre", NARROW)
    yield Stroke(((min(cone, rings) - 5, y), (max(cone, rings) + 5, y)), NARROW, axis)
    yield Stroke(((rings, y - 5), (rings, y + 5)), NARROW, axis)


# --- small helpers

def _between(left: float, bottom: float, right: float, top: float) -> Rect:
    """The rectangle between these edges, less the air all round."""
    return Rect(left, bottom, right - left, top - bottom).grown(-AIR)


def _stamp_height(stamp: str, width: float) -> float:
    return text.fitting_height(stamp, width - 2 * AIR, STAMP_HEIGHTS, "bold")
