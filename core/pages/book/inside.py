"""What goes in: coats, things on shelves, the room in drawers and compartments, and what each shelf holds."""

from __future__ import annotations

import itertools
import math
from collections import Counter
from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...checks.reading import drawer_room
from ...checks.study import study
from ...drawing.blocks import Block, Paragraph
from ...fittings import fitting_entry
from ...geometry import Vector
from ...model import Bay, Model
from ...wording import counted
from ._book import READING, Book

WHAT_GOES_IN = ("room for clothes", "load of shelves")
NOT_YET = ("depth for coats", "height for coats")  # told as well, so that nobody is disappointed
CLOSED = (
    "drawer",
    "fixed",
)  # kinds of fronts behind which no compartment is told: a drawer's room is, and a fixed one's is closed
LID = "lid"
WITH = " with "
FEW = 2  # sizes of compartments of one kind that are told one by one

TOUCH = 0.05  # mm between boxes that no board parts

Box = tuple[Vector, Vector]
Size = tuple[int, int, int]  # wide, from front to back, high; whole mm, rounded down


class Inside:
    """Contents in the client's words."""

    word = "inside"
    title = "What goes in"
    order = 40

    def blocks(self, book: Book) -> Sequence[Block]:
        """Nothing for a piece that holds nothing."""
        return book.each(_told)


ENTRY = Inside()


def _told(book: Book, built: BuiltPiece) -> Iterator[Block]:
    yield from (_line(book.told(each.text)) for each in built.findings if each.check in WHAT_GOES_IN + NOT_YET)
    yield from map(_line, (*_things(book, built.model), *_drawers(book, built.model), *_rooms(book, built)))


def _line(words: str) -> Paragraph:
    return Paragraph(words, READING, after=2.0)


def _things(book: Book, model: Model) -> Iterator[str]:
    """What is hung or stood in: hooks, shelves for shoes, mirrors."""
    hooks = sum(fitting_entry(each.entry).kind == "coat hook" for each in model.fittings)
    shoes = sum(part.role == "shoe shelf" for part in model.parts)
    if hooks:
        yield f"{counted(hooks, 'coat hook')}."
    if shoes:
        yield f"{counted(shoes, 'sloping shelf', 'sloping shelves')} for shoes."
    for part in model.parts:
        if part.role == "mirror":
            low, high = study(model).boxes[part.key]
            width, height = float(high[0] - low[0]), float(high[2] - low[2])
            yield f"A mirror inside a door, {book.length(width)} wide and {book.length(height)} high."


def _drawers(book: Book, model: Model) -> Iterator[str]:
    """Drawers of one size together, the topmost first."""
    found: list[tuple[float, Size]] = []
    for motion in model.motions:
        room = drawer_room(model, motion) if motion.kind == "travel" else None
        if room:
            found.append((room[0][2], _size(*room)))
    rooms = Counter(size for _, size in sorted(found, key=lambda each: -each[0]))
    if len(rooms) > 1:
        yield "Drawers, from the top down:"
    for size, number in rooms.items():
        yield f"{'A drawer' if number == 1 else f'{number} drawers'}, {_room(book, size)}."


def _rooms(book: Book, built: BuiltPiece) -> Iterator[str]:
    """Compartments in which nothing but loose shelves is fitted, those of one size and kind together."""
    boxes: dict[str, list[Box]] = {}
    for bay in built.model.bays:
        kinds, shelves = _kinds_before(built, bay), _loose_shelves(built.model, bay)
        if shelves is not None and kinds.isdisjoint(CLOSED):
            what, high = _called(built.model, bay, kinds)
            what += f"{WITH}{counted(shelves, 'loose shelf')}" if shelves else ""
            boxes.setdefault(what, []).append((bay.low, high))
    found = {
        what: Counter(_size(*box) for box in (some if WITH in what else _joined(some))) for what, some in boxes.items()
    }
    for what, sizes in found.items():
        if len(sizes) > FEW:
            largest = max(sizes, key=math.prod)
            yield f"{sizes.total()} {_several(what)}, the largest {_room(book, largest)}."
            continue
        for size, number in sizes.items():
            yield f"{what if number == 1 else f'{number} {_several(what)}'}, {_room(book, size)}."


def _loose_shelves(model: Model, bay: Bay) -> int | None:
    """How many loose shelves a bay holds; None for one that holds anything else."""
    shelves = {part.key for part in model.parts if part.role == "loose shelf"}.intersection(bay.holds)
    others = [key for key in bay.holds if not any(key == shelf or key.startswith(f"{shelf}/") for shelf in shelves)]
    return None if others else len(shelves)


def _joined(boxes: Sequence[Box]) -> list[Box]:
    """The boxes, those with nothing between them as one."""
    found = list(boxes)
    for first, second in itertools.permutations(boxes, 2):
        if first in found and second in found:
            for axis in (0, 2):
                others = [each for each in range(3) if each != axis]
                beside = abs(first[1][axis] - second[0][axis]) < TOUCH
                if beside and all(
                    abs(first[end][each] - second[end][each]) < TOUCH for end in (0, 1) for each in others
                ):
                    found[found.index(first)] = (first[0], second[1])
                    found.remove(second)
                    return _joined(found)
    return found


def _called(model: Model, bay: Bay, kinds: set[str]) -> tuple[str, Vector]:
    """What a compartment with nothing in it is called, and its upper corner."""
    lids = [motion for motion in model.motions if motion.key == LID]
    if lids:
        return "A compartment under the lid", _under(model, bay, lids[0].moves)
    if bay.behind_front:
        return f"A compartment behind {'doors' if 'pair' in kinds else 'a door'}", bay.high
    return "An open compartment", bay.high


def _several(what: str) -> str:
    """ "A compartment behind doors" of which there are several, without their number."""
    return f"{what.split(' ', 1)[1].replace('compartment', 'compartments')}{' each' if WITH in what else ''}"


def _kinds_before(built: BuiltPiece, bay: Bay) -> set[str]:
    """The kinds of the fronts that close a bay."""
    x, z = ((bay.low[axis] + bay.high[axis]) / 2 for axis in (0, 2))
    before = {each.key for each in built.model.openings if each.left < x < each.right and each.bottom < z < each.top}
    return {front.kind for front in built.piece.fronts if front.id in before}


def _under(model: Model, bay: Bay, moves: Sequence[str]) -> Vector:
    """The upper corner of a bay below the lid and its battens."""
    seen = study(model)
    lowest = min(float(seen.boxes[key][0][2]) for key in moves if key in seen.parts)
    return bay.high[0], bay.high[1], min(bay.high[2], lowest)


def _size(low: Sequence[float], high: Sequence[float]) -> Size:
    return tuple(int(b - a + 1e-6) for a, b in zip(low, high, strict=True))  # type: ignore[return-value]


def _room(book: Book, size: Size) -> str:
    wide, deep, high = map(book.length, size)
    return f"{wide} wide, {deep} from front to back and {high} high inside"
