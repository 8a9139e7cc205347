"""Doors shut and doors open, one under the other."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.blocks import Block, Heading, Paragraph
from .._sheets import piece_name
from ._book import READING, Book, PictureBlock

HIGHEST = 106.0  # mm


class Views:
    """The piece shut and open."""

    word = "views"
    title = "Shut and open"
    order = 10

    def blocks(self, book: Book) -> Sequence[Block]:
        """For each piece that has a picture of itself open."""
        found: list[Block] = []
        for built in book.job.pieces:
            inside = book.picture(built, "open")
            if not inside:
                continue
            if len(book.job.pieces) > 1:
                found.append(Heading(piece_name(built)))
            for picture, words in ((book.picture(built, "shut"), "Shut"), (inside, "Open")):
                if picture:
                    found += [Paragraph(words, READING, after=1.0), PictureBlock(picture, HIGHEST, after=4.0)]
        return found


ENTRY = Views()
