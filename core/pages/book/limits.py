"""What is not possible, and why: how far the sizes can go as the piece is designed."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...drawing.blocks import Block, Paragraph
from ...limits import Limit, limits
from .._sheets import sentence
from ._book import READING, Book
from ._reasons import plain_reason, plain_stop

WORDS = {
    ("width", True): "Wider",
    ("width", False): "Narrower",
    ("height", True): "Higher",
    ("height", False): "Lower",
    ("depth", True): "Deeper",
    ("depth", False): "Less deep",
}
AS_IT_STANDS = "This design cannot be built as it stands:"
AS_DESIGNED = "As this piece is designed, these would not work; ask if you want to go further, for another design may."


class Limits:
    """A line for each size that cannot go on, with the reason where there are plain words for it; of a design that cannot be built, why."""

    word = "limits"
    title = "What would not work"
    order = 67

    def blocks(self, book: Book) -> Sequence[Block]:
        """Nothing where nothing stands in the way."""
        if book.job.stops:
            stops = book.each(_stops)
            return [Paragraph(AS_IT_STANDS, READING), *stops] if stops else []
        found = book.each(_lines)
        return [Paragraph(AS_DESIGNED, READING), *found] if found else []


ENTRY = Limits()


def _stops(book: Book, built: BuiltPiece) -> Iterator[Block]:
    reasons = dict.fromkeys(plain_stop(each) for each in built.findings if each.severity == "stop")
    yield from (Paragraph(f"{sentence(reason)}.", READING, after=2.0) for reason in reasons if reason)


def _lines(book: Book, built: BuiltPiece) -> Iterator[Block]:
    for each in limits(built.piece):
        yield Paragraph(_line(book, built, each), READING, after=2.0)


def _line(book: Book, built: BuiltPiece, limit: Limit) -> str:
    """The limit as an overall size, whatever the sizes of the piece are given over."""
    overall = dict(zip(("width", "depth", "height"), built.model.overall, strict=True))[limit.size]
    last = limit.last + overall - getattr(built.piece.whole, limit.size)
    whole = (math.floor if limit.is_most else math.ceil)(round(last, 6))  # mm; a tenth tells a client nothing
    reason = plain_reason(limit)
    return f"{WORDS[limit.size, limit.is_most]} than {book.length(whole)}{f': {reason}' if reason else ''}."
