"""What is not possible, and why: how far the sizes can go as the piece is designed."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.blocks import Block, Paragraph
from ...limits import Limit, limits
from .._sheets import sentence
from ._book import READING, Book

WORDS = {
    ("width", True): ("Wider", "than"),
    ("width", False): ("Not as wide", "as"),
    ("height", True): ("Higher", "than"),
    ("height", False): ("Lower", "than"),
    ("depth", True): ("Deeper", "than"),
    ("depth", False): ("Not as deep", "as"),
}
AS_DESIGNED = "As this piece is designed, these would not work; ask if you want to go further, for another design may."


class Limits:
    """A line for each size that cannot go on, with the reason."""

    word = "limits"
    title = "What would not work"
    order = 67

    def blocks(self, book: Book) -> Sequence[Block]:
        """Nothing where nothing stands in the way, or the piece cannot be built as it stands."""
        lines = [_line(book, each, before) for built, before in book.each() for each in limits(built.piece)]
        return [Paragraph(line, READING, after=2.0) for line in ([AS_DESIGNED, *lines] if lines else [])]


ENTRY = Limits()


def _line(book: Book, limit: Limit, before: str) -> str:
    words, than = WORDS[limit.size, limit.is_most]
    unit = "" if book.locale.denominator else " mm"
    reason = sentence(book.told(limit.reason).rstrip("."))
    return f"{before}{words} {than} {book.locale.length(limit.last)}{unit}: {reason}."
