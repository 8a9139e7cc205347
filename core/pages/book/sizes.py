"""How large it is, in plain words and on a drawing with the main sizes, and whether it goes in and stands."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...checks import Finding
from ...drawing.blocks import Block, Figure, Paragraph
from ...drawing.dimensions import chain
from ...drawing.page import RoomError
from ...drawing.scales import SCALES
from ...drawing.views import View
from ...units import MM_PER_INCH
from .._client_words import has_handles
from .._layout import figure
from .._sheets import sentence
from .._views import drawn_view
from ._book import READING, Book, Together
from ._person import TALL, WIDE, person

ABOUT_ROOM = (
    "stand-off",
    "room in front",
    "standing up",
    "ceiling",
    "way in",
    "stairs",
    "wall beside",
)  # checks whose words a client reads too
WIDEST, HIGHEST = 130.0, 125.0  # mm of drawing
STOOD_UP = (
    "The workshop sees to that: what lifts off is put on once the piece stands, or all of it is put together standing."
)
BESIDE = 8.0  # mm of paper between a piece and the person beside it
TALL_ENOUGH = 900.0  # mm; beside a lower piece a person would make the drawing too small
FRONT = View.named("front")


class Sizes:
    """Sizes in words, the front with its sizes, and what was found about the room."""

    word = "sizes"
    title = "How large it is"
    order = 30

    def blocks(self, book: Book) -> Sequence[Block]:
        """For each piece."""
        return book.each(_told)


ENTRY = Sizes()


def _told(book: Book, built: BuiltPiece) -> Iterator[Block]:
    apart = "; knobs and handles are not counted" if has_handles(built) else ""
    words = Paragraph(f"{sentence(book.size(built))}{apart}.", READING)
    yield Together((words, *_front(book, built)))
    for each in _about_room(built):
        seen_to = f" {STOOD_UP}" if each.check == "standing up" and each.severity != "stop" else ""
        yield Paragraph(f"{book.told(each.text)}{seen_to}", READING, after=1.5)
    if not any(each.check == "way in" for each in built.findings):
        wide, high = map(book.length, (built.piece.site.door_width, built.piece.site.door_height))
        yield Paragraph(f"It goes through a doorway {wide} wide and {high} high.", READING)
    stairs = built.piece.site.stairs
    if stairs.width and not any(each.check == "stairs" for each in built.findings):
        landing = f", and round a landing {book.length(stairs.landing)} deep" if stairs.landing else ""
        yield Paragraph(f"It goes up stairs {book.length(stairs.width)} wide{landing}.", READING)


def _front(book: Book, built: BuiltPiece) -> Iterator[Block]:
    """The front at the largest scale that leaves room for words."""
    drawn = drawn_view(built.model, FRONT)
    width, _, height = built.model.overall
    name = f"Front of {book.called(built)}" if len(book.job.pieces) > 1 else "Front"
    accompanied = height >= TALL_ENOUGH
    for scale in SCALES:
        wide, high = drawn.box.width * scale.ratio, drawn.box.height * scale.ratio
        if accompanied:
            wide, high = wide + BESIDE + WIDE * TALL * scale.ratio, max(high, TALL * scale.ratio)
        if wide > WIDEST or high > HIGHEST:
            continue
        rows = {
            "below": chain((-width / 2, width / 2), scale=scale.ratio, label=book.locale.length),
            "left": chain((0.0, height), scale=scale.ratio, label=book.locale.length),
        }
        try:
            made = figure(drawn, scale.ratio, f"{name}, {scale}", rows)
        except RoomError:
            return
        beside = person(drawn.box.right * scale.ratio + BESIDE, 0.0, scale.ratio, _tall(book)) if accompanied else ()
        yield Figure((*made.items, *beside), "middle")
        return


def _tall(book: Book) -> str:
    """How tall the person is, to the whole inch where lists are in inches."""
    return book.length(round(TALL / float(MM_PER_INCH)) * float(MM_PER_INCH) if book.locale.denominator else TALL)


def _about_room(built: BuiltPiece) -> list[Finding]:
    return [each for each in built.findings if each.check in ABOUT_ROOM]
