"""Drilling plans: every part that is drilled or machined, to scale from its datum corner, with a table of its holes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..built import BuiltJob
from ..drawing.blocks import Block, Laid
from ..drawing.dimensions import figures
from ..drawing.page import Item, Rect, RoomError, placed
from ..drawing.scales import SCALES, Scale
from ..drawing.sheet import Cell, Column, Group, Heading, Paragraph, Sheet, Table, flow
from ..model import Cut, CutOut, Pocket
from ._machining import Row, places_words, pocket_limits
from ._packing import packed
from ._part_sheets import BEYOND_WORDS, Stage, Subject, later_subjects, part_subjects
from ._part_views import PartFigure, least_size, open_side, part_figure
from ._settings import setting_blocks
from ._sheets import blank, sentence

PAPER = "A3 low"
GUTTER = 7.0  # mm between plans on a sheet
LARGEST, SMALLEST = Scale(1, 2), Scale(1, 10)
APART = 4.0  # mm between drawing and table
NARROWEST = 166.0  # mm of a table of holes
LONG = 620.0  # mm; a longer part takes the whole width of a sheet, so that its holes can be told apart
ELSEWHERE = ": the rest of its table stands on a sheet beside this one"
WORDS = (
    "Everything is measured from the black corner: foot end and face edge; each view stands beside the edge it shows. "
    "Letters lead to the table."
)


class DrillingPlans:
    """Settings that serve many parts, then one plan for each mark, then what is made after glue-up and at fitting."""

    word = "drilling"
    title = "Drilling plans"
    order = 42
    place = "bench"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the parts need; none for a job in which nothing is drilled or machined."""
        own, after = part_subjects(job), later_subjects(job)
        if not own and not after:
            return ()
        first = blank(job, self.title, paper=PAPER)
        return (
            *flow(setting_blocks(own), first),
            *_sheets(job, own, "Drilling plan", self.title),
            *_sheets(job, after, "After glue-up and at fitting", "After glue-up and at fitting"),
        )


ENTRY = DrillingPlans()


# ------------------------------------------------------------------------------------------------------------- blocks
NARROW_SHARES = (33.0, 29.0, 19.5)  # mm of the columns for places along, across and through, in a narrow table
WIDE = 340.0  # mm; a table that has so much room takes wide columns
WIDE_SHARES = (120.0, 90.0, 27.0)  # the same in a table as wide as the sheet


def _columns(width: float) -> tuple[Column, ...]:
    along, across, through = WIDE_SHARES if width > WIDE else NARROW_SHARES
    return (
        Column("Row", 10, "middle"),
        Column("Side", 19.5),
        Column("Drill", 17, "right"),
        Column("Depth", 15, "right"),
        Column("From foot end", along),
        Column("From face edge", across),
        Column("From face side", through),
        Column("For"),
    )


@dataclass(frozen=True, slots=True)
class _Plan:
    """One subject laid out: heading, drawing, table; its top left corner at the origin."""

    subject: Subject
    scale: Scale
    items: tuple[Item, ...]
    width: float
    height: float
    rest: Block | None = None  # of a table too long for its sheet
    continues: bool = False  # the rest of a table by itself


def _plan(subject: Subject, room: Rect) -> _Plan:
    """The subject at the largest scale at which it leaves room for another on the sheet, else at the largest that fits at all.

    A short part takes half a sheet's width where it can, a longer one all of it.
    """
    half = (room.width - GUTTER) / 2
    over = [(room.width, "below"), (room.width, "right")]
    ways = [[(half, "below")], over] if max(subject.part.size[:2]) <= LONG else [over]
    laid: dict[tuple[Scale, float, str], _Plan | None] = {}
    for height in ((room.height - GUTTER) / 2, room.height):
        for some in ways:
            for scale in SCALES[SCALES.index(LARGEST) : SCALES.index(SMALLEST) + 1]:
                whole_ones = []
                for width, way in some:
                    key = scale, width, way
                    if key not in laid:
                        laid[key] = _laid_out(subject, scale, width, room.height, way)
                    found = laid[key]
                    if found is not None and found.rest is None and found.height <= height:
                        whole_ones.append(found)
                if whole_ones:
                    return min(whole_ones, key=lambda each: each.height)
    for scale in SCALES[SCALES.index(LARGEST) :]:
        found = _laid_out(subject, scale, room.width, room.height, "below")
        if found is not None:
            return found
    raise RoomError(f"{subject.title} is too large for a drilling plan on A3 at any scale")


def _laid_out(subject: Subject, scale: Scale, width: float, height: float, way: str) -> _Plan | None:
    """Heading and drawing, and the table below them or at the right; None where it does not fit."""
    made = subject.part, subject.seen, subject.rows, subject.pockets, scale.ratio, len(subject.solids) > 1
    least = least_size(*made)
    most = width - (GUTTER + NARROWEST if way == "right" else 0.0)
    if least[0] > most or least[1] > height:
        return None
    figure = part_figure(*made)
    if figure.rect.width > most + 1e-6:
        return None
    heading = _heading(subject, scale, width)
    drawn = _standing(figure, -heading.height, width if way != "right" else figure.rect.width)
    under = drawn.rect.y
    if under < -height:
        return None
    x, top, wide = (
        (0.0, under - APART, width)
        if way == "below"
        else (figure.rect.width + GUTTER, -heading.height, width - figure.rect.width - GUTTER)
    )
    table = _table(subject, wide)
    if table is None:
        return _Plan(subject, scale, (*heading.items, *drawn.items), width, -under)
    laid = table.laid(x, top, wide, top + height) or Laid((), 0.0, table)
    if laid.rest is not None:
        heading = _heading(subject, scale, width, ELSEWHERE)
    items = (*heading.items, *drawn.items, *laid.items)
    return _Plan(subject, scale, items, width, min(max(-under, laid.height - top), height), laid.rest)


def _heading(subject: Subject, scale: Scale, width: float, more: str = "") -> Laid:
    words = " ".join((subject.facts, *_cut_words(subject.stages), *subject.notes))
    items: list[Item] = []
    height = 0.0
    for block in (Heading(f"{subject.title}  ({scale}){more}", after=1.5, room=0.0), Paragraph(words, after=2.5)):
        laid = block.laid(0.0, -height, width, 1e3)
        assert laid is not None
        items += laid.items
        height += laid.height
    return Laid(tuple(items), height)


def _standing(figure: PartFigure, top: float, width: float) -> PartFigure:
    x = max(0.0, (width - figure.rect.width) / 2) - figure.rect.x
    y = top - figure.rect.top
    return PartFigure(placed(figure.items, x, y), figure.rect.moved(x, y))


def _table(subject: Subject, width: float) -> Table | None:
    groups = [
        Group(tuple(_rows(stage, subject)), stage.words) for stage in subject.stages if stage.rows or stage.pockets
    ]
    return Table(_columns(width), tuple(groups)) if groups else None


def _rows(stage: Stage, subject: Subject) -> Iterator[tuple[str | Cell, ...]]:
    for each in stage.rows:
        row = each.row
        yield (
            Cell(each.letter, "bold"),
            sentence(row.side),
            f"{row.count} × ⌀{figures(row.diameter)}",
            _depth_words(row, subject),
            places_words(row.ends),
            _edge_words(row, subject),
            places_words(row.faces),
            f"{row.purpose}: {row.into}" if row.into else row.purpose,
        )
    by_letter: dict[str, list[Pocket]] = {}
    for letter, pocket in stage.pockets:
        by_letter.setdefault(letter, []).append(pocket)
    for letter, pockets in by_letter.items():
        yield _pocket_row(letter, pockets, subject)


def _pocket_row(letter: str, pockets: Sequence[Pocket], subject: Subject) -> tuple[str | Cell, ...]:
    """Pockets alike at several places along and across the part, in one row.

    As for holes nothing is told square to the side they are open at: there they are as deep as the row says.
    """
    first, part = pockets[0], subject.part
    side = open_side(part, first)
    square = {"side": 2, "edge": 1, "end": 0}[side.split()[1]]
    limits = [pocket_limits(part, each) for each in pockets]
    told = [
        "" if axis == square else _places_of_pockets(first.kind, [each[axis] for each in limits], part.size[axis])
        for axis in range(3)
    ]
    deep = limits[0][square]
    words = first.purpose if first.kind in first.purpose else f"{first.kind} {first.purpose}".strip()
    return (
        Cell(letter, "bold"),
        sentence(side),
        f"{len(pockets)} ×" if len(pockets) > 1 else "",
        "through" if _is_all(deep, part.size[square]) else _fine(deep[1] - deep[0]),
        *told,
        words,
    )


def _places_of_pockets(kind: str, limits: Sequence[tuple[float, float]], size: float) -> str:
    """From where to where pockets go, each once; of slots the middles, to which their tool is set."""
    found = sorted(dict.fromkeys((round(low, 2), round(high, 2)) for low, high in limits))
    if kind != "slot":
        return "; ".join(_limit_words(each, size) for each in found)
    middles = [round((low + high) / 2, 2) for low, high in found]
    return f"{'middle' if len(middles) == 1 else 'middles'} {places_words(middles)}"


def _is_all(limit: tuple[float, float], size: float) -> bool:
    return abs(limit[0]) < 0.05 and abs(limit[1] - size) < 0.05


def _depth_words(row: Row, subject: Subject) -> str:
    through = row.side.endswith("side") and row.depth >= subject.part.size[2] - 0.05
    if row.into.startswith(BEYOND_WORDS):
        return f"{figures(row.depth)} there"
    return "through" if through else figures(row.depth)


def _edge_words(row: Row, subject: Subject) -> str:
    words = places_words(row.edges)
    if subject.set_back is None or abs(subject.set_back) < 0.05 or not row.edges:
        return words
    return f"{words} (f {places_words([round(value + subject.set_back, 2) for value in row.edges])})"


def _fine(value: float) -> str:
    """To a hundredth: recesses are cut to less than a tenth."""
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _limit_words(limit: tuple[float, float], size: float) -> str:
    if _is_all(limit, size):
        return "all along"
    return f"{_fine(limit[0])} to {_fine(limit[1])}"


def _cut_words(stages: Sequence[Stage]) -> Iterator[str]:
    for stage in stages:
        words = dict.fromkeys(_one_cut(each) for each in stage.cuts if each.kind != "dovetail")  # told in figures
        if words:
            yield f"{stage.words or 'At the saw'}: {'; '.join(words)}."


def _one_cut(cut: Cut | CutOut) -> str:
    if isinstance(cut, CutOut):
        return cut.purpose if cut.kind in cut.purpose else f"{cut.kind} {cut.purpose}".strip()
    place = f"{'at' if cut.where.endswith('end') else 'on'} the {cut.where}"
    return f"{cut.kind} {figures(cut.angle)}° {place}" + (f" ({cut.purpose})" if cut.purpose else "")


# -------------------------------------------------------------------------------------------------------------- sheets
def _sheets(job: BuiltJob, subjects: Sequence[Subject], title: str, chapter: str) -> tuple[Sheet, ...]:
    if not subjects:
        return ()
    empty = blank(job, title, paper=PAPER, scale="as said", views=WORDS)
    room = empty.room
    plans = [each for subject in subjects for each in _with_rest(_plan(subject, room), room)]
    found: list[Sheet] = []
    for number, placed_plans in enumerate(packed(plans, room, GUTTER)):
        items = tuple(item for plan, x, top in placed_plans for item in placed(plan.items, x, top))
        scales = {str(plan.scale) for plan, _, _ in placed_plans if not plan.continues} or {""}
        sheet = blank(
            job,
            title,
            paper=PAPER,
            scale=scales.pop() if len(scales) == 1 else "as said",
            views=WORDS,
            bookmark=chapter if number == 0 and chapter == title else _bookmark(placed_plans),
            level=0 if number == 0 and chapter == title else 1,
        )
        found.append(sheet.with_items(items))
    return tuple(found)


def _with_rest(plan: _Plan, room: Rect) -> Iterator[_Plan]:
    """A plan, then what its sheet had no room for of its table: it lies beside what comes next, if that leaves it room."""
    yield plan
    rest = plan.rest
    while rest is not None:
        heading = Heading(f"{plan.subject.title}: the rest of its table", after=1.5, room=0.0).laid(
            0.0, 0.0, plan.width, 1e3
        )
        assert heading is not None
        laid = rest.laid(0.0, -heading.height, plan.width, room.height - heading.height)
        assert laid is not None, "a row of a table is no higher than a sheet"
        height = heading.height + laid.height
        yield _Plan(plan.subject, plan.scale, (*heading.items, *laid.items), plan.width, height, None, continues=True)
        rest = laid.rest


def _bookmark(plans: Sequence[tuple[_Plan, float, float]]) -> str:
    titles = [" ".join(plan.subject.title.split()) for plan, _, _ in plans if not plan.continues]
    if not titles:
        return ""
    return titles[0] if len(titles) == 1 else f"{titles[0]} to {titles[-1]}"
