"""How it is opened: what swings and what comes out, which door first, where the hands go."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...checks.reading import doors_before, interlocked
from ...drawing.blocks import Block, Paragraph
from ...fittings import fitting_entry
from ...model import Model
from ...piece.fronts import Front
from ...wording import counted, listed, plural
from .._client_words import HANDLES
from ._book import READING, Book

FEW = 4  # heights that are told one by one
LID, LID_STAY, LOCK = "lid", "lid stay", "cupboard lock"


class Handling:
    """Doors, drawers, a lid, locks, knobs and pulls."""

    word = "handling"
    title = "How it opens"
    order = 50

    def blocks(self, book: Book) -> Sequence[Block]:
        """Nothing for a piece with nothing to open."""
        return book.each(_told)


ENTRY = Handling()


def _told(book: Book, built: BuiltPiece) -> Iterator[Block]:
    model = built.model
    lines = (*_doors(built), *_lid(model), *_drawers(model), *_fixed(built), *_locks(model), *_handles(book, model))
    for line in lines:
        yield Paragraph(f"{line}.", READING, after=2.0)


def _doors(built: BuiltPiece) -> Iterator[str]:
    """Doors and pairs that open alike in one line."""
    moving = {motion.key.split("/")[0]: motion for motion in built.model.motions if motion.kind == "swing"}
    in_turn = {motion.key.split("/")[0] for motion in built.model.motions if motion.after}
    doors = [front for front in built.piece.fronts if front.id in moving]
    for (what, how), number in Counter(_door(front, front.id in in_turn) for front in doors).items():
        yield f"{_many(number, what)}, {how}"


def _door(front: Front, in_turn: bool) -> tuple[str, str]:
    """What a front is and how it opens."""
    glazed = "glazed " if getattr(front.panel, "style", "") == "glazed" else ""
    if front.kind != "pair":
        return f"{glazed}door", f"hinged at the {front.hanging.hand}, seen from the front"
    first = f"the {front.meeting_stiles.leads} one opens first" if in_turn else "either opens without the other"
    return f"pair of {glazed}doors", f"hinged at their outer sides: {first}"


def _lid(model: Model) -> Iterator[str]:
    if any(motion.key == LID for motion in model.motions):
        stays = any(fitting_entry(each.entry).kind == LID_STAY for each in model.fittings)
        yield "A lid, hinged at the back" + ("; stays on both sides stop it when it stands open" if stays else "")


def _drawers(model: Model) -> Iterator[str]:
    drawers = [motion for motion in model.motions if motion.kind == "travel"]
    hidden = [motion for motion in drawers if doors_before(model, motion)]
    if len(drawers) > len(hidden):
        yield f"{_many(len(drawers) - len(hidden), 'drawer')} to pull out"
    if hidden:
        yield f"{_many(len(hidden), 'drawer')} behind doors: open the doors first, wide"
    if interlocked(model):
        yield "Of drawers one above another only one comes out at a time"


def _fixed(built: BuiltPiece) -> Iterator[str]:
    number = sum(front.kind == "fixed" for front in built.piece.fronts)
    if number:
        yield f"{_many(number, 'panel')} in front {'that does' if number == 1 else 'that do'} not open"


def _locks(model: Model) -> Iterator[str]:
    number = sum(fitting_entry(each.entry).kind == LOCK for each in model.fittings)
    if number:
        yield f"{_many(number, 'lock')} with {'a key' if number == 1 else 'keys'}"


def _handles(book: Book, model: Model) -> Iterator[str]:
    handles = [each for each in model.fittings if fitting_entry(each.entry).kind in HANDLES and not each.bought_with]
    for name, number in Counter(each.name for each in handles).items():
        heights = sorted({round(each.place.origin[2]) for each in handles if each.name == name})
        written = list(dict.fromkeys(book.locale.length(each) for each in heights))
        at = listed(written) if len(written) < FEW else f"{written[0]} to {written[-1]}"
        unit = "" if book.locale.denominator else " mm"
        yield f"{_many(number, book.named(name))}, {at}{unit} above the floor"


def _many(number: int, what: str) -> str:
    """ "A door", "2 doors"."""
    return f"A {what}" if number == 1 else counted(number, what, plural(what))
