"""How it is opened: where the hands go, which door first, and what is touched every day."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...drawing.blocks import Block, Paragraph
from ...fittings import fitting_entry
from .._sheets import sentence
from ._book import HANDLES, READING, Book


class Handling:
    """Doors, drawers, knobs and pulls."""

    word = "handling"
    title = "How it opens"
    order = 50

    def blocks(self, book: Book) -> Sequence[Block]:
        """Nothing for a piece with nothing to open."""
        return [
            Paragraph(f"{before}{line}", READING, after=2.0)
            for built, before in book.each()
            for line in _lines(book, built)
        ]


ENTRY = Handling()


def _lines(book: Book, built: BuiltPiece) -> Iterator[str]:
    for front in built.piece.fronts:
        motions = [each for each in built.model.motions if each.key == front.id or each.key.startswith(f"{front.id}/")]
        if front.kind == "pair" and motions:
            yield (
                sentence(
                    f"{front.id.replace('_', ' ')}: a pair of doors, hinged at their outer sides; the right one opens first"
                )
                + "."
            )
        elif front.kind == "door" and motions:
            yield (
                sentence(
                    f"{front.id.replace('_', ' ')}: a door hinged at the {front.hanging.hand}, seen from the front"
                )
                + "."
            )
    handles = [
        each for each in built.model.fittings if fitting_entry(each.entry).kind in HANDLES and not each.bought_with
    ]
    names = Counter(each.name for each in handles)
    unit = "" if book.locale.denominator else " mm"
    for name, number in names.items():
        heights = sorted({round(each.place.origin[2]) for each in handles if each.name == name})
        at = (
            " and ".join(book.locale.length(each) for each in heights)
            if len(heights) < 4
            else f"{book.locale.length(heights[0])} to {book.locale.length(heights[-1])}"
        )
        yield sentence(f"{number} × {name}, {at}{unit} above the floor") + "."
