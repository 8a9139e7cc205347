"""Sheets of paper: frame and zones (ISO 5457) round a title block, filled by hand or by blocks that flow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise

from ..locales import with_decimals
from . import text
from .blocks import Block, Figure, Gap, Heading, Paragraph
from .page import FRAME_WIDTH, MIDDLE, NARROW, Item, Lines, Page, Rect, RoomError, Text, box
from .scales import FULL_SIZE, SCALES, Scale, fitting_scale
from .tables import Bracket, Cell, Column, Group, Table, single_group
from .title_block import BLOCK_WIDTH, TitleBlock

__all__ = [
    "FULL_SIZE",
    "SCALES",
    "SHEETS",
    "Block",
    "Bracket",
    "Cell",
    "Column",
    "Figure",
    "Gap",
    "Group",
    "Heading",
    "Paragraph",
    "Scale",
    "Sheet",
    "SheetSize",
    "Table",
    "TitleBlock",
    "fewest",
    "fitting_scale",
    "flow",
    "number_sheets",
    "single_group",
    "table_pages",
]

MARGIN = 10.0  # mm, frame to edge of the paper; ISO 5457
FILING_MARGIN = 20.0  # mm at the left; ISO 5457
FIELD = 50.0  # mm; zones are this long, measured from the middle of the sheet; ISO 5457:1999, from memory
BAND = 5.0  # mm; depth of the zone border outside the frame; ISO 5457, from memory
AIR = 5.0  # mm between frame or title block and what is drawn
CLOSER = 0.35  # of their height, more than tables lose when their rows close up
STAMP_HEIGHTS = (7.0, 5.0, 3.5)  # mm of lettering, the largest that fits


@dataclass(frozen=True, slots=True)
class SheetSize:
    """A trimmed sheet: size in mm, width of the filing margin, whether it carries zones, and the form of its title block.

    On a low sheet the title block is a strip along the foot: in the corner, 180 mm wide, it would cost a quarter of the sheet.
    """

    name: str
    width: float
    height: float
    filing: float = FILING_MARGIN
    zones: bool = False
    low: bool = False

    @property
    def frame(self) -> Rect:
        """The frame of the drawing space."""
        return Rect(self.filing, MARGIN, self.width - self.filing - MARGIN, self.height - 2 * MARGIN)


# A4 to A2: ISO 216. Letter, tabloid and 17 × 22 in: ANSI/ASME Y14.1. Letter upright has a wider filing margin, so that a
# title block of 180 mm fills its frame. Sheets that are filled from side to side have their title block low.
SHEETS = {
    sheet.name: sheet
    for sheet in (
        SheetSize("A4", 210, 297),
        SheetSize("A4 low", 210, 297, low=True),
        SheetSize("A4 landscape", 297, 210, low=True),
        SheetSize("A3", 420, 297, zones=True),
        SheetSize("A3 low", 420, 297, zones=True, low=True),
        SheetSize("A2 low", 594, 420, zones=True, low=True),
        SheetSize("letter", 215.9, 279.4, filing=215.9 - MARGIN - BLOCK_WIDTH),
        SheetSize("letter low", 215.9, 279.4, filing=215.9 - MARGIN - BLOCK_WIDTH, low=True),
        SheetSize("letter landscape", 279.4, 215.9, low=True),
        SheetSize("tabloid", 431.8, 279.4, zones=True),
        SheetSize("tabloid low", 431.8, 279.4, zones=True, low=True),
        SheetSize("17 × 22 in low", 558.8, 431.8, zones=True, low=True),
    )
}


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
    decimal: str = "."  # the sign that parts the decimals of all figures drawn

    @property
    def frame(self) -> Rect:
        """The frame of the drawing space."""
        return self.size.frame

    @property
    def title_block(self) -> Rect:
        """Where the title block stands: bottom right, in the corner of the frame, or along the foot of a low sheet."""
        width = self.frame.width if self.size.low else min(BLOCK_WIDTH, self.frame.width)
        return Rect(self.frame.right - width, self.frame.y, width, self._title.height_at(width))

    @property
    def _title(self) -> TitleBlock:
        """The title block in the form that the sheet has it in."""
        return replace(self.title, low=True) if self.size.low else self.title

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
        band = (
            height * 2.2
            if height > STAMP_HEIGHTS[-1]
            else 4 + text.line_pitch(height) * len(text.wrap(self.stamp, self.frame.width - 2 * AIR, height, "bold"))
        )
        return Rect(self.frame.x, self.frame.top - band, self.frame.width, band)

    def with_items(self, items: Sequence[Item]) -> Sheet:
        """The sheet with more drawn on it."""
        return replace(self, items=(*self.items, *items))

    def page(self, number: int = 1, total: int = 1) -> Page:
        """The finished page, sheet `number` of `total`."""
        furniture = (
            *_frame_items(self.size),
            *self._stamp_items(),
            *self._title.drawn(self.title_block, number, total),
        )
        return Page(
            self.size.width,
            self.size.height,
            (*furniture, *_with_decimals(self.items, self.decimal)),
            f"{self.title.piece}: {self.title.sheet}",
            self.bookmark,
            self.level,
        )

    def _stamp_items(self) -> Iterator[Item]:
        if not self.stamp:
            return
        band, height = self.stamp_band, _stamp_height(self.stamp, self.frame.width)
        yield box(band.grown(-1.0), 1.4)
        lines = text.wrap(self.stamp, band.width - 2 * AIR, height, "bold")
        first = band.centre[1] - height / 2 + (len(lines) - 1) / 2 * text.line_pitch(height)
        for n, line in enumerate(lines):
            yield Text(band.centre[0], first - n * text.line_pitch(height), height, line, "middle", "bold")


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


def fewest(blocks: Sequence[Block], sheet: Sheet, *, columns: int = 1) -> tuple[Sheet, ...]:
    """The blocks on as many sheets as they need; with a low title block, or the rows of tables closer together, where that saves one."""
    best = flow(blocks, sheet, columns=columns)
    if len(best) == 1:
        return best
    low = replace(sheet, size=SHEETS.get(f"{sheet.size.name} low", sheet.size))
    close = [getattr(block, "closer", block) for block in blocks]
    more, room = low.room.height - sheet.room.height, sheet.room.height
    for some, on, gain in ((blocks, low, more), (close, sheet, CLOSER * room), (close, low, CLOSER * room + more)):
        before = len(best) - 1
        if before and gain and _used(best[-1]) <= gain * (before + 1) * columns:
            found = flow(some, on, columns=columns)
            best = found if len(found) < len(best) else best
    return best


def _used(sheet: Sheet) -> float:
    """How far down what stands on a sheet reaches, mm."""
    return sheet.room.top - min((item.bounds().y for item in sheet.items), default=sheet.room.top)


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
        raise RoomError(
            f"sheet {sheet.title.sheet!r}: a {type(waiting[0]).__name__.lower()} or one of its rows needs "
            f"more than the {room.height:.0f} mm a {sheet.size.name} sheet has; use a larger sheet"
        )
    return sheet.with_items(items), waiting


# --- frame


@cache
def _frame_items(size: SheetSize) -> tuple[Item, ...]:
    return tuple(_drawn_frame(size))


def _drawn_frame(size: SheetSize) -> Iterator[Item]:
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
    for letter, y in zip(
        "ABCDEFGHJKLMNP", reversed(_middles(_zone_edges(size.height, frame.y, frame.top))), strict=False
    ):
        yield Text(frame.x - BAND / 2, y - height / 2, height, letter, "middle")
        yield Text(frame.right + BAND / 2, y - height / 2, height, letter, "middle")


def _zone_edges(length: float, first: float, last: float) -> list[float]:
    """Where zones end: every 50 mm from the middle, an even number of them, the outermost taking what is left."""
    half = max(1, round(length / FIELD / 2))
    inner = [length / 2 + n * FIELD for n in range(1 - half, half)]
    return [first, *(edge for edge in inner if first < edge < last), last]


def _middles(edges: Sequence[float]) -> list[float]:
    return [(a + b) / 2 for a, b in pairwise(edges)]


# --- small helpers


def _with_decimals(items: Sequence[Item], sign: str) -> Sequence[Item]:
    """Items whose lettering has this decimal sign; point and comma are equally wide in the bundled font."""
    if sign == ".":
        return items
    return tuple(
        replace(each, string=with_decimals(each.string, sign)) if isinstance(each, Text) else each for each in items
    )


def _between(left: float, bottom: float, right: float, top: float) -> Rect:
    """The rectangle between these edges, less the air all round."""
    return Rect(left, bottom, right - left, top - bottom).grown(-AIR)


def _stamp_height(stamp: str, width: float) -> float:
    return text.fitting_height(stamp, width - 2 * AIR, STAMP_HEIGHTS, "bold")
