"""Boxed tables that run on from sheet to sheet, with groups, subheads and brackets.

Nothing shrinks: what is too long for its cell wraps, and never leaves it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import accumulate
from typing import Literal

from . import text
from .blocks import Laid
from .page import NARROW, WIDE, Anchor, Area, Item, Lines, Rect, RoomError, Stroke, Swatch, Text, box
from .text import Style

PADDING = 1.2  # mm between a cell's side and its lettering
ROW_PADDING, CLOSE_PADDING = 1.5, 1.1  # mm between a cell's top or bottom and capitals; where that saves a sheet
SUBHEAD_GREY = 0.9  # light enough for black lettering on any printer
BRACKET_GAP = 1.5  # mm between table and bracket
BRACKET_ARM = 2.0  # mm
KEPT_TOGETHER = 60.0  # mm; a bracket no taller than this is not parted by the end of a sheet
CONTINUED = "continued"


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell that is not plain lettering of its column: bold, aligned otherwise, or with a finish swatch before it."""

    string: str
    style: Style = "regular"
    align: Anchor | None = None
    swatch: str = ""  # #rrggbb


@dataclass(frozen=True, slots=True)
class Column:
    """A column: its heading, width in mm (0: an equal share of what the others leave), and alignment."""

    heading: str
    width: float = 0.0
    align: Anchor = "left"


@dataclass(frozen=True, slots=True)
class Bracket:
    """A bracket beside consecutive rows of a group, such as "one fence setting"; rows are counted from 0."""

    first: int
    count: int
    string: str


@dataclass(frozen=True, slots=True)
class Group:
    """Rows that belong together, under a subhead unless the title is empty."""

    rows: tuple[tuple[str | Cell, ...], ...]
    title: str = ""
    brackets: tuple[Bracket, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A boxed table: headings repeated on every sheet, groups with subheads, brackets in a margin at the right.

    `bracket_width` is the margin for the brackets and their wording, in mm; there is none where the table has no
    brackets, unless it `keeps_margin`, as the sheets after the first do.
    """

    columns: tuple[Column, ...]
    groups: tuple[Group, ...]
    height: float = 2.5
    bracket_width: float = 28.0
    keeps_margin: bool = False
    padding: float = ROW_PADDING

    @property
    def closer(self) -> Table:
        """The same with its rows closer together."""
        return replace(self, padding=CLOSE_PADDING)

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """As many whole rows as fit under the headings; None when not even the first does."""
        return _TableLayout(self, x, top, width).laid(height)


def single_group(rows: Iterable[Sequence[str | Cell]]) -> tuple[Group, ...]:
    """Plain rows without a subhead, as a table wants them."""
    return (Group(tuple(map(tuple, rows))),)


# --- helpers

Kind = Literal["headings", "subhead", "row"]


@dataclass(frozen=True, slots=True)
class _Line:
    """One row of the printed table, wrapped; `bracket` numbers the bracket it stands in, -1 for none."""

    kind: Kind
    cells: tuple[tuple[str, ...], ...]
    height: float
    group: int = 0
    row: int = 0
    bracket: int = -1


class _TableLayout:
    """A table on one sheet: columns at their places, rows wrapped, as many of them as fit."""

    def __init__(self, table: Table, x: float, top: float, width: float) -> None:
        self.table, self.x, self.top = table, x, top
        self.keeps_margin = table.keeps_margin or any(group.brackets for group in table.groups)
        room = width - (table.bracket_width if self.keeps_margin else 0.0)
        self.widths = _column_widths(table, room)
        self.width = sum(self.widths)
        self.lefts = tuple(accumulate(self.widths, initial=x))

    def laid(self, height: float) -> Laid | None:
        headings = self.headings()
        lines = _as_many_as_matter(self.lines(), height - headings.height)
        count = _count_that_fits(lines, height - headings.height)
        if count == 0 and lines:
            return None
        shown = [headings, *lines[:count]]
        rest = self.rest(lines[count]) if count < len(lines) else None
        return Laid(tuple(self.items(shown)), sum(line.height for line in shown), rest)

    def headings(self) -> _Line:
        cells = tuple(
            self.wrapped(column.heading, width, "bold")
            for column, width in zip(self.table.columns, self.widths, strict=True)
        )
        return _Line("headings", cells, self.row_height(cells))

    def lines(self) -> Iterator[_Line]:
        for number, group in enumerate(self.table.groups):
            if group.title:
                cells = (self.wrapped(group.title, self.width, "bold"),)
                yield _Line("subhead", cells, self.row_height(cells), number)
            yield from self.rows(number, group)

    def rows(self, number: int, group: Group) -> Iterator[_Line]:
        bracket_of = {
            row: n
            for n, bracket in enumerate(group.brackets)
            for row in range(bracket.first, bracket.first + bracket.count)
        }
        for n, row in enumerate(group.rows):
            if len(row) != len(self.widths):
                raise ValueError(f"a row of {len(row)} cells in a table of {len(self.widths)} columns: {row!r}")
            cells = tuple(self.wrapped_cell(cell, width) for cell, width in zip(row, self.widths, strict=True))
            bracket = bracket_of.get(n, -1)
            height = self.row_height(cells)
            if bracket >= 0:
                height = max(height, self.bracket_height(group.brackets[bracket]) / group.brackets[bracket].count)
            yield _Line("row", cells, height, number, n, bracket)

    def rest(self, line: _Line) -> Table:
        """The table from this line on; a group cut in two says so."""
        group, row = self.table.groups[line.group], line.row
        brackets = tuple(
            Bracket(
                max(0, bracket.first - row), min(bracket.count, bracket.first + bracket.count - row), bracket.string
            )
            for bracket in group.brackets
            if bracket.first + bracket.count > row
        )
        first = replace(group, rows=group.rows[row:], brackets=brackets)
        if row and group.title and not group.title.endswith(f"({CONTINUED})"):
            first = replace(first, title=f"{group.title} ({CONTINUED})")
        groups = (first, *self.table.groups[line.group + 1 :])
        columns = tuple(  # as wide on the next sheet as here
            replace(column, width=width) if column.width else column
            for column, width in zip(self.table.columns, self.widths, strict=True)
        )
        return replace(self.table, columns=columns, groups=groups, keeps_margin=self.keeps_margin)

    # what a line needs

    def wrapped(self, string: str, width: float, style: Style) -> tuple[str, ...]:
        return text.wrap(string, width - 2 * PADDING, self.table.height, style)

    def wrapped_cell(self, cell: str | Cell, width: float) -> tuple[str, ...]:
        cell = _as_cell(cell)
        return self.wrapped(cell.string, width - (self.swatch_room if cell.swatch else 0.0), cell.style)

    @property
    def swatch_room(self) -> float:
        return 2 * self.table.height + PADDING

    def row_height(self, cells: Sequence[tuple[str, ...]]) -> float:
        return self.text_height(max(map(len, cells))) + 2 * self.table.padding

    def text_height(self, lines: int) -> float:
        return self.table.height + (lines - 1) * text.line_pitch(self.table.height)

    def bracket_lines(self, bracket: Bracket) -> tuple[str, ...]:
        room = self.table.bracket_width - BRACKET_GAP - BRACKET_ARM - 2 * PADDING
        return text.wrap(bracket.string, room, self.table.height)

    def bracket_height(self, bracket: Bracket) -> float:
        return self.text_height(len(self.bracket_lines(bracket))) + 2 * self.table.padding

    # ink

    def items(self, lines: Sequence[_Line]) -> Iterator[Item]:
        tops = list(accumulate((-line.height for line in lines), initial=self.top))
        for line, top in zip(lines, tops, strict=False):
            if line.kind == "subhead":
                yield Area(Rect(self.x, top - line.height, self.width, line.height).corners, SUBHEAD_GREY)
        for line, top in zip(lines, tops, strict=False):
            yield from self.lettering(line, top)
        yield self.grid(lines, tops)
        yield Stroke(((self.x, tops[1]), (self.x + self.width, tops[1])), WIDE)
        yield box(Rect(self.x, tops[-1], self.width, self.top - tops[-1]), WIDE)
        yield from self.brackets(lines, tops)

    def lettering(self, line: _Line, top: float) -> Iterator[Item]:
        rights = (self.x + self.width,) if line.kind == "subhead" else self.lefts[1:]
        for cell, strings, left, right in zip(self.cells(line), line.cells, self.lefts, rights, strict=False):
            if cell.swatch:
                height = self.table.height
                yield Swatch(left + PADDING, top - self.table.padding - height, 2 * height, height, cell.swatch)
                left += self.swatch_room
            anchor = cell.align or "left"
            x = {"left": left + PADDING, "middle": (left + right) / 2, "right": right - PADDING}[anchor]
            yield from self.column_of_text(x, top, strings, anchor, cell.style)

    def column_of_text(
        self, x: float, top: float, strings: Sequence[str], anchor: Anchor, style: Style
    ) -> Iterator[Text]:
        height, pitch = self.table.height, text.line_pitch(self.table.height)
        for n, string in enumerate(strings):
            if string:
                yield Text(x, top - self.table.padding - height - n * pitch, height, string, anchor, style)

    def cells(self, line: _Line) -> Sequence[Cell]:
        """The cells of a line with their alignment said."""
        aligns = [column.align for column in self.table.columns]
        if line.kind == "headings":
            return [Cell("", "bold", align) for align in aligns]
        if line.kind == "subhead":
            return [Cell("", "bold", "left")]
        cells = map(_as_cell, self.table.groups[line.group].rows[line.row])
        return [replace(cell, align=cell.align or align) for cell, align in zip(cells, aligns, strict=True)]

    def grid(self, lines: Sequence[_Line], tops: Sequence[float]) -> Lines:
        across = [(self.x, y, self.x + self.width, y) for y in tops[2:-1]]
        down = [
            (x, top - line.height, x, top)
            for line, top in zip(lines, tops, strict=False)
            if line.kind != "subhead"
            for x in self.lefts[1:-1]
        ]
        return Lines((*across, *down), NARROW)

    def brackets(self, lines: Sequence[_Line], tops: Sequence[float]) -> Iterator[Item]:
        spans: dict[tuple[int, int], list[float]] = {}
        for n, line in enumerate(lines):
            if line.bracket >= 0:
                spans.setdefault((line.group, line.bracket), []).extend((tops[n], tops[n + 1]))
        for (group, number), ends in spans.items():
            yield from self.bracket(self.table.groups[group].brackets[number], max(ends) - 0.8, min(ends) + 0.8)

    def bracket(self, bracket: Bracket, top: float, bottom: float) -> Iterator[Item]:
        near = self.x + self.width + BRACKET_GAP
        far = near + BRACKET_ARM
        yield Stroke(((near, top), (far, top), (far, bottom), (near, bottom)), NARROW)
        strings = self.bracket_lines(bracket)
        above = (top - bottom - self.text_height(len(strings))) / 2
        yield from self.column_of_text(far + PADDING, top - above + self.table.padding, strings, "left", "regular")


def _as_many_as_matter(lines: Iterator[_Line], height: float) -> list[_Line]:
    """The lines that may fit the height, and enough after them to see what belongs together; no more are wrapped."""
    taken, room = [], height + KEPT_TOGETHER
    for line in lines:
        taken.append(line)
        room -= line.height
        if room < 0:
            break
    return taken


def _count_that_fits(lines: Sequence[_Line], height: float) -> int:
    """How many lines fit the height without parting what belongs together."""
    ends = list(accumulate(line.height for line in lines))
    count = sum(1 for end in ends if end <= height + 1e-6)
    if count == len(lines):
        return count
    for shorter in range(count, 0, -1):
        if _may_part(lines, shorter):
            return shorter
    return 0


def _may_part(lines: Sequence[_Line], at: int) -> bool:
    """Whether a sheet may end before the line at this place."""
    before, after = lines[at - 1], lines[at]
    if before.kind == "subhead":
        return False
    if after.kind == "subhead" or before.bracket < 0 or (before.group, before.bracket) != (after.group, after.bracket):
        return True
    together = sum(line.height for line in lines if (line.group, line.bracket) == (before.group, before.bracket))
    return together > KEPT_TOGETHER


def _column_widths(table: Table, room: float) -> tuple[float, ...]:
    """Widths in mm, each at least its longest heading word; RoomError when they are wider than the room.

    A column of a width of its own is wider than that where a figure in it would be broken, as far as there is room.
    """
    columns, height = table.columns, table.height
    least = [_longest_word(column.heading, height) + 2 * PADDING for column in columns]
    shared = sum(need for column, need in zip(columns, least, strict=True) if not column.width)
    fixed = [max(column.width, need) if column.width else 0.0 for column, need in zip(columns, least, strict=True)]
    whole = [
        max(width, _longest_figure(table, place) + 2 * PADDING) if width else 0.0 for place, width in enumerate(fixed)
    ]
    if sum(whole) + shared <= room:
        fixed = whole
    sharing = fixed.count(0.0)
    share = (room - sum(fixed)) / sharing if sharing else 0.0
    widths = tuple(width or share for width in fixed)
    if sum(fixed) > room + 1e-6 or any(width < need - 1e-6 for width, need in zip(widths, least, strict=True)):
        raise RoomError(
            f"the columns {', '.join(column.heading for column in columns)} need more than the "
            f"{room:.1f} mm there are; use a wider sheet"
        )
    return widths


def _longest_figure(table: Table, place: int) -> float:
    """The width of the longest word with a digit in it in a column: a size must not be broken, or it is read wrongly."""
    cells = dict.fromkeys(_as_cell(row[place]) for group in table.groups for row in group.rows if place < len(row))
    return max(
        (
            text.width(word, table.height, cell.style) + 0.01
            for cell in cells
            for word in text.composed(cell.string).split()
            if any(map(str.isdigit, word))
        ),
        default=0.0,
    )


def _longest_word(string: str, height: float) -> float:
    return max((text.width(word, height, "bold") for word in text.composed(string).split()), default=0.0)


def _as_cell(cell: str | Cell) -> Cell:
    return cell if isinstance(cell, Cell) else Cell(cell)
