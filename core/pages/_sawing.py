"""A sheet as it is sawn, drawn to scale: parts in wide lines, cuts in narrow ones, numbered in order with what the saw
is set to; and the order of cuts as a table."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from ..cutting.handling import CROSSCUT, FENCE, NONE
from ..cutting.plan import ACROSS, KEEP, PART, PIECE, SCRAP, SHEET, TRIM, Cut, Piece, SheetPlan
from ..cutting.planned import MaterialPlan
from ..drawing import text
from ..drawing.blocks import Block, Figure, Gap, Heading
from ..drawing.page import NARROW, WIDE, Area, Item, Lines, Rect, Text, box
from ..drawing.sheet import SCALES, Bracket, Cell, Column, Group, Scale, Sheet, Table, flow
from ..locales import Locale
from ..wording import counted
from ._plan_words import IN_MM, taken_words
from ._sheets import sentence

LARGEST, WANTED = Scale(1, 5), Scale(1, 10)
TOGETHER, FEW, ROOMY = (
    Scale(1, 20),
    8,
    5.0,
)  # the scale at which so few parts, none narrower on paper (mm), are read well
LETTERING = 2.5  # mm
MARKS = 3.5  # mm of a part's mark where there is room
AIR = 0.7  # mm kept free round lettering
PLACES = (0.5, 0.25, 0.75, 0.12, 0.88, 0.37, 0.63, 0.06, 0.94)  # along a cut, where its number may stand
WORDS = {KEEP: "keep", SCRAP: "scrap", TRIM: "trim"}


def _cut_columns(locale: Locale) -> tuple[Column, ...]:
    """Those of the order of cuts; fractions of an inch take more room than millimetres."""
    return (*CUT_COLUMNS[:2], Column("Set to", 22, "right"), *CUT_COLUMNS[3:]) if locale.denominator else CUT_COLUMNS


CUT_COLUMNS = (
    Column("Cut", 17, "right"),
    Column("With", 25),
    Column("Set to", 15.5, "right"),
    Column("The cut", 40),
    Column("Made in", 36),
    Column("Comes off", 0),
    Column("Is left: the rest", 0),
)


# ---------------------------------------------------------------------------------------------------- drawing
def sheet_figure(made: MaterialPlan, sheet: SheetPlan, scale: float, locale: Locale = IN_MM) -> tuple[Item, ...]:
    """The sheet at a scale (mm of paper for a mm), its datum corner at the origin."""
    drawn = _Drawn(made, sheet, scale, locale)
    stock = made.plan.stock_of(sheet)
    outline = Rect(0.0, 0.0, stock.length * scale, stock.width * scale)
    parts = [drawn.rect(piece) for piece in sheet.pieces if piece.kind == PART]
    ink: list[Item] = [
        box(outline, NARROW),
        *(box(each, WIDE) for each in parts),
        Lines(tuple(drawn.line(cut) for cut in sheet.cuts), NARROW),
    ]
    lettering = [each for piece in sheet.pieces for each in drawn.name(piece)]
    numbers = [each for cut in sheet.cuts for each in drawn.number(cut)]
    return (
        *(each for each in ink if not isinstance(each, Lines) or each.segments),
        *lettering,
        *numbers,
        *_datum(outline, made),
    )


def _datum(outline: Rect, made: MaterialPlan) -> Iterator[Item]:
    """The corner that settings are measured from, and which way the grain runs."""
    yield Area(
        ((outline.x - 0.6, outline.y - 0.6), (outline.x - 4.6, outline.y - 0.6), (outline.x - 0.6, outline.y - 4.6))
    )
    yield Text(outline.x + 1.0, outline.y - 4.6, LETTERING, "datum corner", "left", "bold")
    if made.grained:
        x, y = outline.right, outline.y - 3.4
        yield Text(x - 26.0, y - 1.2, LETTERING, "grain", "right")
        yield Lines(
            (
                (x - 24.0, y, x, y),
                (x - 24.0, y, x - 22.0, y + 0.8),
                (x - 24.0, y, x - 22.0, y - 0.8),
                (x, y, x - 2.0, y + 0.8),
                (x, y, x - 2.0, y - 0.8),
            ),
            NARROW,
        )


@dataclass
class _Lettering:
    """Rectangles that lettering has taken already."""

    taken: list[Rect]

    def free(self, rect: Rect) -> bool:
        return not any(rect.overlaps(other, AIR) for other in self.taken)


class _Drawn:
    """One sheet in the making: what is lettered where."""

    def __init__(self, made: MaterialPlan, sheet: SheetPlan, scale: float, locale: Locale) -> None:
        self.made, self.sheet, self.scale, self.locale = made, sheet, scale, locale
        self.pieces = {piece.number: piece for piece in sheet.pieces}
        self.lettering = _Lettering([])

    def rect(self, piece: Piece) -> Rect:
        return Rect(*(value * self.scale for value in (piece.x, piece.y, piece.length, piece.width)))

    def line(self, cut: Cut) -> tuple[float, float, float, float]:
        """The middle of the kerf, from edge to edge of the piece."""
        piece, at = self.pieces[cut.of], (cut.at + self.made.plan.problem.kerf / 2) * self.scale
        rect = self.rect(piece)
        if cut.direction == ACROSS:
            at = min(at, rect.right)
            return at, rect.y, at, rect.top
        at = min(at, rect.top)
        return rect.x, at, rect.right, at

    def name(self, piece: Piece) -> Iterator[Item]:
        """Mark, name and size of a part, or "keep", "scrap", as much of it as there is room for."""
        if piece.kind in (PIECE, SHEET, TRIM):
            return
        rect = self.rect(piece)
        for lines in self._words(piece):
            for turned in (False, True):
                found = _set(lines, rect, turned)
                if found:
                    self.lettering.taken += [each.bounds() for each in found]
                    yield from found
                    return

    def _words(self, piece: Piece) -> Iterator[tuple[tuple[str, float, str], ...]]:
        """What may be lettered in a piece, the fullest first: lines of (words, height, style)."""
        size = f"{self.locale.length(piece.length)} × {self.locale.length(piece.width)}"
        if piece.kind == PART:
            blank = self.made.blanks[piece.part or 0]
            size = f"{self.locale.length(blank.length)} × {self.locale.length(blank.width)}"
        else:
            word = WORDS[piece.kind]
            yield ((f"{word} {size}", LETTERING, "regular"),)
            yield ((word, LETTERING, "regular"), (size, LETTERING, "regular"))
            yield ((word, LETTERING, "regular"),)
            return
        if blank.name:
            yield (blank.mark, MARKS, "bold"), (blank.name, LETTERING, "regular"), (size, LETTERING, "regular")
        yield (blank.mark, MARKS, "bold"), (size, LETTERING, "regular")
        if blank.name:
            yield ((f"{blank.mark} {blank.name} {size}", LETTERING, "bold"),)
        yield ((f"{blank.mark}: {size}", LETTERING, "bold"),)
        yield ((blank.mark, LETTERING, "bold"),)

    def number(self, cut: Cut) -> Iterator[Item]:
        """The number of a cut and what the saw is set to, in a gap of its line."""
        x1, y1, x2, y2 = self.line(cut)
        along = abs(x2 - x1) + abs(y2 - y1)
        upright = cut.direction == ACROSS
        for words in (f"{cut.number}: {self.locale.length(shown_setting(cut, self.sheet))}", str(cut.number)):
            length = text.width(words, LETTERING, "bold")
            if length + 2 * AIR > along and words != str(cut.number):
                continue
            for place in PLACES:
                x, y = x1 + place * (x2 - x1), y1 + place * (y2 - y1)
                half = length / 2 + AIR / 2
                near = place * along < half or (1 - place) * along < half
                gap = (
                    Rect(x - LETTERING / 2 - 0.4, y - half, LETTERING + 0.8, 2 * half)
                    if upright
                    else Rect(x - half, y - LETTERING / 2 - 0.4, 2 * half, LETTERING + 0.8)
                )
                if not self.lettering.free(gap.grown(-0.3)) or (near and along > 2 * half):
                    continue
                self.lettering.taken.append(gap)
                yield Area(gap.corners, 1.0)
                yield (
                    Text(x + LETTERING / 2, y, LETTERING, words, "middle", "bold", 90.0)
                    if upright
                    else Text(x, y - LETTERING / 2, LETTERING, words, "middle", "bold")
                )
                return


def _set(lines: Sequence[tuple[str, float, str]], rect: Rect, turned: bool) -> list[Text]:
    """The lines in the middle of a rectangle, lying or turned; nothing where there is no room."""
    wide, high = (rect.height, rect.width) if turned else (rect.width, rect.height)
    pitch = [height * 1.45 for _, height, _ in lines]
    tall = sum(pitch) - 0.45 * lines[-1][1] + 0.25 * lines[-1][1]
    if max(text.width(words, height, style) for words, height, style in lines) + 2 * AIR > wide or tall + 0.4 > high:  # type: ignore[arg-type]
        return []
    x, y = rect.centre
    found, down = [], tall / 2
    for (words, height, style), step in zip(lines, pitch, strict=True):
        base = down - height
        found.append(
            Text(
                x - base if turned else x,
                y if turned else y + base,
                height,
                words,
                "middle",
                style,
                90.0 if turned else 0.0,
            )
        )  # type: ignore[arg-type]
        down -= step
    return found


# ---------------------------------------------------------------------------------------------------- table
def cut_table(made: MaterialPlan, sheet: SheetPlan, locale: Locale = IN_MM) -> Table:
    """The order of cuts, those made at one setting bracketed."""
    words = _Words(made, sheet, locale)
    chains = _chains(sheet.cuts)
    brackets, first = [], 0
    for _, run in groupby(chains, key=lambda chain: _setting(chain[0])):
        count = len(list(run))
        if count > 1:
            brackets.append(Bracket(first, count, "one setting"))
        first += count
    return Table(_cut_columns(locale), (Group(tuple(map(words.row, chains)), "", tuple(brackets)),), bracket_width=20)


def _chains(cuts: Sequence[Cut]) -> list[list[Cut]]:
    """Cuts of one setting, each made in what the one before it left: one line of the table."""
    chains: list[list[Cut]] = []
    for cut in cuts:
        before = chains[-1][-1] if chains else None
        if before and before.rest == cut.of and _setting(before) == _setting(cut):
            chains[-1].append(cut)
        else:
            chains.append([cut])
    return chains


def _setting(cut: Cut) -> tuple:
    return cut.tool, cut.direction, cut.setting


def shown_setting(cut: Cut, sheet: SheetPlan) -> float:
    """What the saw is set to, or for a trimming cut how much is taken off."""
    if _is_trim(cut, sheet):
        piece = next(each for each in sheet.pieces if each.number == cut.of)
        return (piece.length if cut.direction == ACROSS else piece.width) - cut.setting
    return cut.setting


class _Words:
    """The words of one sheet's cuts."""

    def __init__(self, made: MaterialPlan, sheet: SheetPlan, locale: Locale) -> None:
        self.made, self.sheet, self.locale = made, sheet, locale
        self.pieces = {piece.number: piece for piece in sheet.pieces}
        self.came = {
            number: (cut.number, word)
            for cut in sheet.cuts
            for number, word in ((cut.off, "off"), (cut.rest, "rest of"))
            if number is not None
        }

    def row(self, chain: Sequence[Cut]) -> tuple[str | Cell, ...]:
        cut, last = chain[0], chain[-1]
        number = str(cut.number) if cut is last else f"{cut.number} to {last.number}"
        off = Counter(self._piece(each.off) for each in chain)
        came = "; ".join(words if count == 1 else f"{count} of {words}" for words, count in off.items())
        return (
            Cell(number, "bold"),
            _tool_words(cut),
            Cell(self.locale.length(shown_setting(cut, self.sheet)), "bold"),
            self._cut(cut),
            self._made_in(cut),
            came,
            self._piece(last.rest) if last.rest is not None else "",
        )

    def _cut(self, cut: Cut) -> str:
        if _is_trim(cut, self.sheet):
            side = {
                (False, True): "lower edge",
                (False, False): "upper edge",
                (True, True): "left end",
                (True, False): "right end",
            }
            return f"trim the {side[cut.direction == ACROSS, cut.from_far]}"
        way = "across" if cut.direction == ACROSS else "along"
        if cut.tool in (FENCE, CROSSCUT):
            return way
        return f"{way}, from {'left end' if cut.direction == ACROSS else 'lower edge'}"

    def _made_in(self, cut: Cut) -> str:
        piece = self.pieces[cut.of]
        if cut.of == 0:
            return f"whole {'board' if self.made.kind == 'boards' else 'sheet'}{self._mass(piece)}"
        number, word = self.came[cut.of]
        return f"{word} {number}{self._mass(piece)}"

    def _piece(self, number: int) -> str:
        piece = self.pieces[number]
        size = f"{self.locale.length(piece.length)} × {self.locale.length(piece.width)}"
        if piece.kind == PART:
            blank = self.made.blanks[piece.part or 0]
            return (
                f"{blank.mark} {blank.name}".strip()
                + f", {self.locale.length(blank.length)} × {self.locale.length(blank.width)}"
            )
        if piece.kind in WORDS:
            return WORDS[piece.kind] if piece.kind == TRIM else f"{WORDS[piece.kind]} {size}"
        return size

    def _mass(self, piece: Piece) -> str:
        mass = self.made.mass(piece.length, piece.width)
        return f", {self.locale.mass(mass)}" if mass else ""


def _tool_words(cut: Cut) -> str:
    return "no saw takes it" if cut.tool == NONE else cut.tool


def _is_trim(cut: Cut, sheet: SheetPlan) -> bool:
    if cut.rest is None:
        return False
    return any(piece.number == cut.rest and piece.kind == TRIM for piece in sheet.pieces)


# ---------------------------------------------------------------------------------------------------- words
def alike(sheets: Sequence[SheetPlan]) -> list[tuple[list[int], SheetPlan]]:
    """Sheets that are cut alike together, numbered from 1 in sawing order."""
    found: list[tuple[list[int], SheetPlan]] = []
    for number, sheet in enumerate(sheets, 1):
        known = next((each for each in found if each[1] == sheet), None)
        if known:
            known[0].append(number)
        else:
            found.append(([number], sheet))
    return found


# ---------------------------------------------------------------------------------------------------- pages
def sheet_pages(
    papers: Sequence[Sheet], made: MaterialPlan, sheet: SheetPlan, count: int = 1, locale: Locale = IN_MM
) -> tuple[Sheet, ...]:
    """One sheet of stock drawn at the largest scale that fits, and its order of cuts after it.

    `papers` are empty sheets of paper, the first that takes the drawing at `WANTED` is used, or the first of all.
    `count` sheets are cut alike. A plan of few and large parts stands at half that scale above its order of cuts, on one page.
    """
    few = len(sheet.placements) <= FEW and all(
        min(each.length, each.width) * TOGETHER.ratio >= ROOMY for each in sheet.pieces if each.kind == PART
    )
    if few:
        together = flow(
            [*_picture(made, sheet, count, locale, TOGETHER), cut_table(made, sheet, locale)], _at(papers[0], TOGETHER)
        )
        if len(together) == 1:
            return together
    scales = [_scale(made, sheet, paper) for paper in papers]
    best = next((at for at, scale in enumerate(scales) if scale.ratio >= WANTED.ratio), 0)
    paper, drawn = _at(papers[best], scales[best]), _picture(made, sheet, count, locale, scales[best])
    table = cut_table(made, sheet, locale)
    together, parted = flow([*drawn, table], paper), (*flow(drawn, paper), *flow([table], replace(paper, bookmark="")))
    return together if len(together) < len(parted) else parted


def _at(paper: Sheet, scale: Scale) -> Sheet:
    return replace(paper, title=replace(paper.title, scale=str(scale)))


def _picture(made: MaterialPlan, sheet: SheetPlan, count: int, locale: Locale, scale: Scale) -> list[Block]:
    figure = Figure(sheet_figure(made, sheet, scale.ratio, locale))
    return [Heading(_heading(made, sheet, count, locale), room=0.0), figure, Gap(2)]


def _scale(made: MaterialPlan, sheet: SheetPlan, paper: Sheet) -> Scale:
    stock, room = made.plan.stock_of(sheet), paper.room
    for scale in SCALES[SCALES.index(LARGEST) :]:
        if stock.length * scale.ratio + 6 <= room.width and stock.width * scale.ratio + 13 <= room.height:
            return scale
    return SCALES[-1]


def _heading(made: MaterialPlan, sheet: SheetPlan, count: int, locale: Locale) -> str:
    parts = counted(len(sheet.placements), "part")
    work = f"{counted(sheet.settings, 'setting')}, {counted(len(sheet.cuts), 'cut')}"
    stock = made.plan.stock_of(sheet)
    mass = made.mass(stock.length, stock.width)
    words = f"{sentence(made.name)}, {taken_words(made, sheet, locale)}{f', {locale.mass(mass)}' if mass else ''}: {parts}, {work}"
    times = f"; {count} cut alike" if count > 1 else ""
    lost = (
        f". {counted(sheet.impossible, 'cut')} longer than the track: join tracks or have it cut at the yard"
        if sheet.impossible
        else ""
    )
    return words + times + lost
