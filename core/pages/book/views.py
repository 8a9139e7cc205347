"""Doors shut and doors open, one under the other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...drawing.blocks import Block, Paragraph
from ._book import READING, Book, PictureBlock, Together

HIGHEST = 100.0  # mm


class Views:
    """The piece shut and open."""

    word = "views"
    title = "Shut and open"
    order = 10

    def blocks(self, book: Book) -> Sequence[Block]:
        """For each piece that has a picture of itself open."""
        return book.each(_told)


ENTRY = Views()


def _told(book: Book, built: BuiltPiece) -> Iterator[Block]:
    inside = book.picture(built, "open")
    for picture, words in ((book.picture(built, "shut"), "Shut"), (inside, "Open")):
        if inside and picture:
            yield Together((Paragraph(words, READING, after=1.0), PictureBlock(picture, HIGHEST, after=4.0)))
