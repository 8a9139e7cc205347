"""The front page: whose piece it is, its sizes and datums, what the pack holds, the cautions, and what was found."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from .. import checks
from ..built import BuiltJob, BuiltPiece
from ..checks.cautions import cautions
from ..drawing import text
from ..drawing.blocks import Laid
from ..drawing.dimensions import figures
from ..drawing.page import Circle, Item, Link, Rect, Text
from ..drawing.sheet import (
    Block,
    Cell,
    Column,
    Gap,
    Group,
    Heading,
    Paragraph,
    Scale,
    Sheet,
    Table,
    fewest,
    fitting_scale,
    single_group,
)
from ..drawing.views import View
from ..materials import sources
from ..meshes import model_meshes
from ..model import Model
from ..wording import handless, listed
from . import Place
from ._layout import SideBySide
from ._sheets import STATES, blank, maker_of, piece_name, record_of, sentence, triple
from ._views import drawn_view

NAME_HEIGHTS = (7.0, 5.0)  # mm of the name of the piece: the first that fits on one line
LINE_HEIGHT = 4.6  # mm from line to line of the contents
INDENT = 5.0  # mm of a sheet within a chapter
MOST_LINES = 20  # lines of contents; a longer pack names its chapters only
PLACES: dict[Place, str] = {
    "desk": "To read first, and to buy by",
    "saw": "To the saw",
    "bench": "To the bench",
    "spray place": "To the spray place",
    "site": "To the site",
}
PICTURE_SHARE = 0.6  # of the room's height for the picture of the piece
GUTTER = 8.0  # mm between the two columns
ROLES_TOLD_APART = (
    "horizontal",
    "front panel",
    "drawer box",
)  # roles whose parts have different face marks: told by name
SEVERITY_WORDS = {"stop": "Stop: cannot be built, or is dangerous", "warn": "Warn: will disappoint", "note": "Note"}


@dataclass(frozen=True, slots=True)
class ContentsLine:
    """One entry of the contents: a bookmark of the pack, its level, the number of its page, and where that is read."""

    bookmark: str
    level: int
    page: int
    place: Place = "desk"
    last: int = 0  # the last page that goes there


class Front:
    """What to know before anything else; the only page that needs to know about the others."""

    word = "front"
    title = "Front page"
    order = 0
    place = "desk"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """The front page of a job without contents."""
        return self.opening(job, ())

    def opening(self, job: BuiltJob, contents: Sequence[ContentsLine]) -> Sequence[Sheet]:
        """The front page of a pack that holds this, and the sheets on which it runs on."""
        sheet = blank(job, self.title)
        heading, top = _heading(job, sheet.room)
        left, right = _columns(sheet.room, top)
        picture, below = _picture(job, right)
        items, rest = _laid([*_contents(contents), *_sizes(job), *_datums()], left)
        boards, more = _laid([*_boards(job)], Rect(right.x, right.y, right.width, below - right.y))
        first = sheet.with_items((*heading, *picture, *items, *boards))
        found, rules = [*_findings(job)], [*_faces(job), *_cautions(job)]
        onward = [*rest, *more, *(found if job.stops else ()), *rules, *(() if job.stops else found)]
        return (first, *fewest(onward, blank(job, self.title, bookmark="")))


ENTRY = Front()


# -------------------------------------------------------------------------------------------------------- the heading
def _heading(job: BuiltJob, room: Rect) -> tuple[tuple[Item, ...], float]:
    """The name of the job and its record across the sheet, and where the columns begin."""
    record = record_of(job)
    names = [f"{piece_name(each)} ({each.quantity})" if each.quantity > 1 else piece_name(each) for each in job.pieces]
    items: list[Item] = []
    y = room.top
    name = job.name or listed(names)
    height = text.fitting_height(name, room.width, NAME_HEIGHTS, "bold")
    for line in text.wrap(name, room.width, height, "bold"):
        y -= height
        items.append(Text(room.x, y, height, line, "left", "bold"))
        y -= 0.6 * height
    maker = maker_of(job)
    said = (record.revision and f"Revision {record.revision}", STATES[record.state].lower(), record.date)
    revision = ", ".join(filter(None, said))
    words = " · ".join(filter(None, (record.client and f"for {record.client}", maker and f"by {maker}", revision)))
    for line in text.wrap(f"Workshop pack · {words}", room.width, 3.5):
        y -= 3.5
        items.append(Text(room.x, y, 3.5, line))
        y -= 2.5
    return tuple(items), y - 3.0


def _columns(room: Rect, top: float) -> tuple[Rect, Rect]:
    width = (room.width - GUTTER) / 2
    return Rect(room.x, room.y, width, top - room.y), Rect(room.x + width + GUTTER, room.y, width, top - room.y)


def _picture(job: BuiltJob, column: Rect) -> tuple[tuple[Item, ...], float]:
    """The first piece from the front right above, and where what follows begins."""
    model = job.pieces[0].model
    if not model.parts:
        return (), column.top
    drawn = drawn_view(model, View.named("iso"))
    place = Rect(column.x, column.top - PICTURE_SHARE * column.height, column.width, PICTURE_SHARE * column.height)
    scale = fitting_scale(drawn.box.width, drawn.box.height, place, largest=Scale(1, 5)).ratio
    height = drawn.box.height * scale
    x = place.centre[0] - drawn.box.centre[0] * scale
    y = place.top - height / 2 - drawn.box.centre[1] * scale
    return drawn.items(x, y, scale), place.top - height - 5.0


def _laid(blocks: Sequence[Block], room: Rect) -> tuple[tuple[Item, ...], list[Block]]:
    """Blocks laid down a column, and what of them does not fit."""
    items: list[Item] = []
    top, waiting = room.top, list(blocks)
    while waiting:
        laid = waiting[0].laid(room.x, top, room.width, top - room.y)
        if laid is None:
            break
        items.extend(laid.items)
        top -= laid.height
        waiting[:1] = [] if laid.rest is None else [laid.rest]
        if laid.rest is not None:
            break
    return tuple(items), waiting


# ------------------------------------------------------------------------------------------------ sizes and materials
def _sizes(job: BuiltJob) -> Iterator[Block]:
    yield Heading("Sizes: width × height × depth", room=15)
    columns = (Column("", 25), Column("mm", 0.0, "right"))
    groups = tuple(Group(tuple(_size_rows(built.model)), _piece_title(job, built)) for built in job.pieces)
    yield Table(columns, groups)
    yield Gap(2)
    yield Paragraph(
        "Overall: over moulding or top, from the floor. With fittings: for doorways, alcoves, ceilings.",
        after=4,
    )


def _piece_title(job: BuiltJob, built: BuiltPiece) -> str:
    if len(job.pieces) == 1:
        return "" if built.quantity == 1 else f"Make {built.quantity}"
    return f"{piece_name(built)}: make {built.quantity}"


def _size_rows(model: Model) -> Iterator[tuple[str | Cell, ...]]:
    width, depth, height = model.overall
    yield "Overall", Cell(triple((width, height, depth)), "bold")
    yield "With fittings", triple(with_fittings(model))
    width, depth, height = model.carcass
    yield "Carcass", triple((width, height, depth))


def with_fittings(model: Model) -> tuple[float, float, float]:
    """Width, height and depth of the box around everything, knobs and knuckles included."""
    points = np.concatenate([mesh.vertices for mesh in model_meshes(model).values()])
    width, depth, height = (float(round(size, 1)) for size in points.max(0) - points.min(0))
    return width, height, depth


def _boards(job: BuiltJob) -> Iterator[Block]:
    boards = dict.fromkeys(part.board for _, _, part in job.parts())
    rows = []
    for board in sorted(boards, key=lambda each: (each.material.kind != "sheet", -each.thickness, each.material.name)):
        unsure = "" if board.material.verified or not sources(board.material.id) else "unverified"
        rows.append((sentence(board.material.name), figures(board.thickness), "", unsure))
    if rows:
        yield Heading("Thicknesses as measured", room=15)
        yield Table(
            (Column("Material"), Column("Thick", 14, "right"), Column("Today", 18), Column("Figures", 22)),
            single_group(rows),
        )
        yield Gap(2)
        yield Paragraph(
            "Everything follows from these. Read the calliper at four places 50 mm in from the edges and write the mean "
            "under Today; "
            "where it differs by more than 0.2, change the piece before cutting.",
            after=4,
        )


# ----------------------------------------------------------------------------------------------------------- contents
def _contents(contents: Sequence[ContentsLine]) -> Iterator[Block]:
    lines = contents if len(contents) <= MOST_LINES else [line for line in contents if line.level == 0]
    if lines:
        yield Heading("Which pages go where", room=15)
    for place, some in itertools.groupby(lines, key=lambda line: line.place):
        here = list(some)
        yield Paragraph(f"{PLACES[place]}: pages {here[0].page} to {here[0].last}", style="bold", after=1.0)
        for line in here:
            yield _ContentsBlock(line)
        yield Gap(1.5)
    if lines:
        yield Gap(4)


@dataclass(frozen=True, slots=True)
class _ContentsBlock:
    """One line of contents: words, a row of dots, the number of the page; on a screen it leads there."""

    line: ContentsLine

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """The line, if it fits."""
        if height < LINE_HEIGHT:
            return None
        left, base = x + INDENT * self.line.level, top - LINE_HEIGHT + 1.4
        number = Text(x + width, base, 2.5, str(self.line.page), "right")
        words = Text(left, base, 2.5, text.wrap(self.line.bookmark, x + width - left - 8.0, 2.5)[0])
        first, last = left + words.length + 2.0, x + width - number.length - 2.0
        dots = tuple(
            Circle(last - n * 1.6, base + 0.3, 0.15, 0.0, fill=0.0)
            for n in range(max(0, int((last - first) / 1.6) + 1))
        )
        link = Link(left, base - 0.9, x + width - left, LINE_HEIGHT - 0.4, self.line.bookmark)
        return Laid((words, *dots, number, link), LINE_HEIGHT)


# ------------------------------------------------------------------------------------------------------------- datums
def _datums() -> Iterator[Block]:
    yield Heading("Where sizes are taken from", room=30)
    yield Paragraph(
        "Left and right are those of a person who faces the front. Heights are measured from the floor, widths from "
        "the middle, and f is the distance behind the front edge of the carcass. Of a part, length runs from foot end "
        "to head end, width from face edge to back edge; holes and rows are set out from the face edge and the foot end."
    )


def _faces(job: BuiltJob) -> Iterator[Block]:
    rows = _face_rows(job)
    if rows:
        yield Heading("Face marks")
        yield Paragraph(
            "Pencil them as soon as a part is cut: a loop on the face side, its tail to the face edge.", after=2.0
        )
        yield SideBySide.of((Column("Parts"), Column("Face side", 18), Column("Face edge", 24)), rows)
        yield Gap(4)


def _face_rows(job: BuiltJob) -> list[tuple[str, str, str]]:
    """Kinds of part that have face side and face edge alike."""
    edges: dict[tuple[str, str], dict[str, None]] = {}
    for _, _, part in job.parts():
        if part.face_side and part.role:
            kind = handless(part.name.split(",")[0]) if part.role in ROLES_TOLD_APART else part.role
            edges.setdefault((kind, part.face_side), {})[part.face_edge] = None
    kinds: dict[tuple[str, str], list[str]] = {}
    for (kind, side), some in edges.items():
        kinds.setdefault((side, " or ".join(some)), []).append(kind)
    return [(sentence(", ".join(some)), side, edge) for (side, edge), some in kinds.items()]


# ---------------------------------------------------------------------------------------------- cautions and findings
def _cautions(job: BuiltJob) -> Iterator[Block]:
    called_for = dict.fromkeys(caution for built in job.pieces for caution in cautions(built.piece, built.model))
    if called_for:
        yield Heading("Cautions")
        rows = [(Cell(sentence(caution.about), "bold"), caution.text) for caution in called_for]
        yield Table((Column("About", 26), Column("What to mind")), single_group(rows))
        yield Gap(6)


def _findings(job: BuiltJob) -> Iterator[Block]:
    for built in job.pieces:
        words = "Findings" if len(job.pieces) == 1 else f"Findings: {piece_name(built)}"
        yield Heading(words)
        if not built.findings:
            yield Paragraph("Nothing was found that stops or disappoints.")
            continue
        groups = []
        for severity in checks.SEVERITIES:
            rows = [_finding_row(finding) for finding in built.findings if finding.severity == severity]
            if rows:
                groups.append(Group(tuple(rows), SEVERITY_WORDS[severity]))
        yield Table(
            (Column("About", 26), Column("What was found [and who sets the limit]"), Column("What would mend it", 56)),
            tuple(groups),
        )
        yield Gap(6)


def _finding_row(finding: checks.Finding) -> tuple[str | Cell, ...]:
    return Cell(sentence(finding.check), "bold"), f"{finding.text} [{finding.source}]", finding.remedy
