"""What changed since the last revision, in plain words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...changing import ChangedPiece, changed
from ...drawing.blocks import Block, Paragraph
from ...wording import counted, listed
from ._book import READING, Book


class Since:
    """Sizes, finishes and parts that are other than they were."""

    word = "since"
    title = "What changed since last time"
    order = 70

    def blocks(self, book: Book) -> Sequence[Block]:
        """Left out of a first revision."""
        found = changed(book.job)
        if found is None:
            return ()
        names = {id(built): before for built, before in book.each()}
        lines = [f"{names[id(each.built)]}{line}" for each in found.pieces for line in _lines(book, each)]
        lines += [f"{each.piece.whole.name or each.piece.id}: no longer part of the order." for each in found.gone]
        return [Paragraph(line, READING, after=2.0) for line in lines or ["Nothing that you would see."]]


ENTRY = Since()


def _lines(book: Book, piece: ChangedPiece) -> Iterator[str]:
    if piece.before is None:
        yield "new."
        return
    was, now = piece.before.piece, piece.built.piece
    for size, word in (("width", "wide"), ("height", "high"), ("depth", "deep")):
        before, after = getattr(was.whole, size), getattr(now.whole, size)
        if before != after:
            yield f"{book.locale.length(after)} {word} instead of {book.locale.length(before)}."
    if was.finish != now.finish:
        yield "The finishes are others: see the colours in this book."
    counts = [
        counted(len(piece.comparison.of(what)), f"{word} part")
        for what, word in (("added", "new"), ("gone", "dropped"), ("another size", "resized"))
        if piece.comparison.of(what)
    ]
    if counts:
        yield f"In the workshop that means {listed(counts)}."
