"""A place to sign, with the sizes and the finish repeated."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.blocks import Block, Figure, Gap, Paragraph
from ...drawing.page import NARROW, Stroke, Text
from .._client_words import revision_words
from .._sheets import piece_name, record_of, sentence
from ._book import READING, Book

LINES = ("Name", "Signature", "Date")
WIDE, APART = 50.0, 58.0  # mm


class Agreement:
    """What is agreed, and the lines to sign on."""

    word = "agreement"
    title = "Agreed"
    order = 90

    def blocks(self, book: Book) -> Sequence[Block]:
        """Nothing while the design cannot be built: such a one is not signed."""
        if book.job.stops:
            return [Paragraph("Not to be signed yet: the design cannot be built as it stands.", READING)]
        which = revision_words(record_of(book.job))
        found: list[Block] = [
            Paragraph(
                f"I have looked at this book{f', {which},' if which else ''} and agree that this be made:", READING
            )
        ]
        for built in book.job.pieces:
            scheme = built.piece.finish.scheme()
            number = f"{built.quantity} × " if built.quantity > 1 else ""
            finish = f", finished as “{scheme.name}”" if scheme.name else ""
            found.append(Paragraph(f"{number}{sentence(piece_name(built))}, {book.size(built)}{finish}.", READING))
        lines = []
        for n, word in enumerate(LINES):
            lines += [Stroke(((n * APART, 0.0), (n * APART + WIDE, 0.0)), NARROW), Text(n * APART, -4.5, 2.5, word)]
        return [*found, Gap(14), Figure(tuple(lines))]


ENTRY = Agreement()
