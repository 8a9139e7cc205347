"""What the client should have held before the colours are agreed: painted boards, finished timber, a handle."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...drawing.blocks import Block, Paragraph
from ...fittings import fitting_entry
from .._client_words import HANDLES, group_words
from .._sheets import sentence
from ._book import READING, Book

ASKED = "Before you agree, ask to hold these and look at them by day and by lamplight in the room where the piece will stand:"


class Samples:
    """A sample for each coat of the schemes that are shown, and one of each handle."""

    word = "samples"
    title = "Samples to hold"
    order = 25

    def blocks(self, book: Book) -> Sequence[Block]:
        """Each sample once, however many pieces have it."""
        lines = dict.fromkeys(
            line for built in book.job.pieces for line in (*_coats(book, built), *_handles(book, built))
        )
        return [Paragraph(words, READING, after=2.0) for words in (ASKED, *lines)] if lines else []


ENTRY = Samples()


def _coats(book: Book, built: BuiltPiece) -> Iterator[str]:
    """One for each coat of the scheme that is shown which some board or fitting has, paints first.

    Wood left bare needs none, and a handle is held itself.
    """
    scheme = built.piece.finish.scheme()
    coats = [(scheme.coat(group), words) for group, words in group_words(built, scheme).items() if group != "handles"]
    for coat, _ in coats:
        if coat.coating == "paint":
            yield f"A board with an edge like those of the piece, painted {coat.name or coat.colour}, {book.sheen(coat)}."
    for coat, group in coats:
        if coat.coating in ("clear", "oil"):
            how = "oiled" if coat.coating == "oil" else f"varnished, {book.sheen(coat)}"
            yield f"A piece finished like the {group}: {how}."


def _handles(book: Book, built: BuiltPiece) -> Iterator[str]:
    for each in built.model.fittings:
        if fitting_entry(each.entry).kind in HANDLES and not each.bought_with:
            yield f"{sentence(book.named(each.name))}: one to take hold of."
