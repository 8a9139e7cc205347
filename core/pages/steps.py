"""Step sheets: one picture and a few short sentences for each step of building, several on a sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from ..built import BuiltJob, BuiltPiece
from ..drawing.blocks import Heading, Laid, Paragraph
from ..drawing.page import NARROW, Item, Lines, Rect, placed
from ..drawing.sheet import Sheet
from ..meshes import model_meshes
from ..solids.mesh import Mesh
from ..steps import Step, steps
from ._sheets import blank, titled
from ._step_details import Detail, detail_of
from ._step_pictures import DrawnStep, StepPicture
from ._step_words import StepWords
from ._views import opened

PAPER = "A3 low"
WORDS_WIDTH = 54.0  # mm of the sentences beside a picture at the least
GUTTER = 8.0  # mm between columns and between steps
PICTURE_GAP = 4.0  # mm between a picture and its sentences
LETTERING = 2.5
FINE = 1 / 20  # a scale below this asks for a wider picture
HEIGHTS = (
    112.0,
    128.0,
)  # mm; pictures no higher than these leave room for another step, or most others, in their column


class StepSheets:
    """The steps of every piece, in the order of work."""

    word = "steps"
    title = "Step by step"
    order = 52
    place = "bench"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the steps take."""
        return tuple(sheet for index in range(len(job.pieces)) for sheet in _sheets(job, index, self.title))


ENTRY = StepSheets()


def _sheets(job: BuiltJob, index: int, title: str) -> Iterator[Sheet]:
    built = job.pieces[index]
    if not built.model.assemblies:
        return
    sheet = blank(
        job, titled(job, built, title), built=built, paper=PAPER,
        views="Thin lines: there already. Thick lines: comes now; dashed, where it is hidden. Chain lines lead it to its place.",
    )  # fmt: skip
    columns = _columns(sheet)
    cells = _Cells(job, index, columns[0].width).cells()
    yield from _laid_out(list(cells), sheet, columns)


def _columns(sheet: Sheet) -> tuple[Rect, Rect]:
    """Two columns."""
    room = sheet.room
    width = (room.width - GUTTER) / 2
    return Rect(room.x, room.y, width, room.height), Rect(room.right - width, room.y, width, room.height)


@dataclass(frozen=True, eq=False)
class _Cell:
    """One step ready to be placed: its picture, its sentences and the room they take."""

    number: int
    title: str
    picture: DrawnStep | None
    sentences: tuple[str, ...]
    width: float
    detail: Detail | None = None

    @property
    def beside(self) -> bool:
        """Whether the sentences find room at the left of the picture."""
        return self.picture is not None and self.width - PICTURE_GAP - self.picture.size[0] >= WORDS_WIDTH

    @cached_property
    def words(self) -> tuple[tuple[Item, ...], float]:
        """The heading and the sentences from (0, 0) down, and how high they are."""
        width = self.width - PICTURE_GAP - self.picture.size[0] if self.picture and self.beside else self.width
        items: list[Item] = []
        top = 0.0
        blocks = [
            Heading(f"{self.number}  {self.title}", 3.5, 2.0, 0.0),
            *(Paragraph(words, LETTERING, after=1.3) for words in self.sentences),
        ]
        for block in blocks:
            laid = block.laid(0.0, top, width, 500.0)
            assert isinstance(laid, Laid) and laid.rest is None
            items += laid.items
            top -= laid.height
        if self.detail:
            items += self.detail.items((width - self.detail.size[0]) / 2, top - 1.5)
            top -= self.detail.size[1] + 1.5
        return tuple(items), -top

    @property
    def height(self) -> float:
        """Of picture and words, side by side or one under the other."""
        if not self.picture:
            return self.words[1]
        high = self.picture.size[1]
        return max(high, self.words[1]) if self.beside else high + PICTURE_GAP + self.words[1]

    def items(self, x: float, top: float) -> tuple[Item, ...]:
        """Words and picture from a corner down."""
        words, high = self.words
        items = placed(words, x, top)
        if self.picture:
            wide, tall = self.picture.size
            below = top if self.beside else top - high - PICTURE_GAP
            left = x + self.width - wide if self.beside else x + (self.width - wide) / 2
            items = (*items, *self.picture.items(Rect(left, below - tall, wide, tall)))
        return items


class _Cells:
    """The cells of one piece."""

    def __init__(self, job: BuiltJob, index: int, width: float) -> None:
        self.built: BuiltPiece = job.pieces[index]
        self.marks = job.marks_of(index)
        self.width = width
        self.words = StepWords(self.built, self.marks)
        self.meshes = model_meshes(self.built.model)
        self.parts = {part.key for part in self.built.model.parts}

    def cells(self) -> Iterator[_Cell]:
        """One for each step."""
        shown: set[str] = set()
        for number, step in enumerate(steps(self.built.piece, self.built.model), start=1):
            drawn = self.drawn(step) if step.comes else None
            detail = detail_of(self.built.model, self.meshes, step)
            if detail and detail.label in shown:  # a dowel that stands out so far is shown once
                detail = None
            shown |= {detail.label} if detail else set()
            yield _Cell(number, self.words.title(step), drawn, tuple(self.words.sentences(step)), self.width, detail)

    def drawn(self, step: Step) -> DrawnStep:
        """The picture beside the words; over the whole column where it would be too small else."""
        picture = StepPicture(self.built.model, self.standing(step), step, tuple(self.there(step)))
        numbered = self.numbered(step)
        found: DrawnStep | None = None
        for height, width in product(HEIGHTS, (self.width - WORDS_WIDTH - PICTURE_GAP, self.width)):
            scale, sides = picture.fitting(Rect(0.0, 0.0, width, height), list(numbered))
            if found is None or scale.ratio > found.scale.ratio:
                found = DrawnStep(picture, scale, sides, numbered)
            if found.scale.ratio >= FINE:
                break
        assert found
        return found

    def standing(self, step: Step) -> dict[str, Mesh]:
        """The solids in their places; what is brought in standing open stands so."""
        open_ones = {each.opened for each in step.comes} - {""}
        motions = tuple(each for each in self.built.model.motions if each.key in open_ones)
        return model_meshes(opened(replace(self.built.model, motions=motions), 1.0)) if motions else self.meshes

    def there(self, step: Step) -> Iterator[str]:
        """What is drawn of what is there: parts, and fittings that what comes goes on to; no drawer boxes, nothing twice."""
        coming = {key for each in step.comes for key in each.moving}
        touched = {
            key
            for joint in self.built.model.joints
            for key in (joint.first, joint.second)
            if coming & {joint.first, joint.second}
        }
        for key in step.there:
            if key not in coming and (key in touched or (key in self.parts and not _is_inside(key, step))):
                yield key

    def numbered(self, step: Step) -> dict[str, list[str]]:
        """The numbers on a picture: of new parts, and of the largest part of what was made up before."""
        found: dict[int, list[str]] = {}
        for key in step.new:
            if key in self.parts:
                found.setdefault(self.marks[key], []).append(key)
        for each in step.comes:
            known = [key for key in each.keys if key in self.parts and key not in step.new]
            if known and each.assembly:
                main = max(known, key=lambda key: float(self._volume(key)))
                found.setdefault(self.marks[main], []).append(main)
        return {str(number): keys for number, keys in sorted(found.items())}

    def _volume(self, key: str) -> float:
        low, high = self.meshes[key].vertices.min(0), self.meshes[key].vertices.max(0)
        return float((high - low).prod())


def _is_inside(key: str, step: Step) -> bool:
    """Whether a part that is there already would only fill the picture: drawer boxes, loose shelves."""
    return "/box/" in key and "/box" not in step.assembly and not key.startswith(f"{step.assembly}/")


def _laid_out(cells: Sequence[_Cell], sheet: Sheet, columns: Sequence[Rect]) -> Iterator[Sheet]:
    """Steps down the columns, sheet after sheet; a line between two."""
    waiting, first = list(cells), True
    while waiting:
        items: list[Item] = []
        for column in columns:
            top = column.top
            while waiting and (top - waiting[0].height >= column.y or top == column.top):
                if top < column.top:
                    items.append(Lines(((column.x, top + GUTTER / 2, column.right, top + GUTTER / 2),), NARROW))
                cell = waiting.pop(0)
                items += cell.items(column.x, top)
                top -= cell.height + GUTTER
        yield replace(sheet if first else replace(sheet, bookmark=""), items=tuple(items))
        first = False
