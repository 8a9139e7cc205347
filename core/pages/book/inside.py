"""What goes in: coats, things on shelves, the room in drawers, and what each shelf holds."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...checks.reading import drawer_room
from ...drawing.blocks import Block, Paragraph
from ._book import READING, Book

WHAT_GOES_IN = ("room for clothes", "load of shelves")
NOT_YET = ("depth for coats", "height for coats")  # told as well, so that nobody is disappointed


class Inside:
    """Contents in the client's words."""

    word = "inside"
    title = "What goes in"
    order = 40

    def blocks(self, book: Book) -> Sequence[Block]:
        """Nothing for a piece that holds nothing."""
        found: list[Block] = []
        for built, before in book.each():
            lines = [book.told(each.text) for each in built.findings if each.check in WHAT_GOES_IN + NOT_YET]
            lines += list(_drawers(book, built))
            found += [Paragraph(f"{before}{line}", READING, after=2.0) for line in lines]
        return found


ENTRY = Inside()


def _drawers(book: Book, built: BuiltPiece) -> Iterator[str]:
    """Drawers of one size together, the topmost first."""
    found: list[tuple[float, tuple[int, int, int]]] = []
    for motion in built.model.motions:
        room = drawer_room(built.model, motion) if motion.kind == "travel" else None
        if room:
            low, high = room
            size = tuple(int(b - a) for a, b in zip(low, high, strict=True))
            found.append((low[2], size))
    rooms = Counter(size for _, size in sorted(found, key=lambda each: -each[0]))
    if len(rooms) > 1:
        yield "Drawers, from the top down:"
    unit = "" if book.locale.denominator else " mm"
    for (wide, deep, high), number in rooms.items():
        what = "A drawer" if number == 1 else f"{number} drawers"
        told = f"{book.locale.length(wide)}{unit} wide, {book.locale.length(deep)}{unit} from front to back and {book.locale.length(high)}{unit} high inside"
        yield f"{what}, {told}."
