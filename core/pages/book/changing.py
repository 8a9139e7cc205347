"""What the next change would cost: another colour, one more shelf, a little higher."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from ...buying.next_changes import Higher, higher_by, next_changes
from ...drawing.blocks import Block, Paragraph
from ._book import READING, Book


class Changing:
    """The changes that are asked for most, now and once the boards are cut."""

    word = "changing"
    title = "If you change your mind"
    order = 65

    def blocks(self, book: Book) -> Sequence[Block]:
        """Left out as long as a price or a rate is not known."""
        return [Paragraph(line, READING, after=2.0) for line in _lines(book)]


ENTRY = Changing()


def _lines(book: Book) -> Iterator[str]:
    found = next_changes(book.job)
    first = book.job.pieces[0]
    whose = f" ({'each of ' if first.quantity > 1 else ''}{book.called(first)})" if _is_one_of_several(book) else ""
    if found.colour is not None and "paint" in book.coatings():
        yield f"Another colour: nothing until the paint is bought; once all is painted, about {_money(book, found.colour)} to paint it anew."
    if found.shelf is not None:
        yield f"One more loose shelf{whose}: {_rise(book, found.shelf)} now."
    if found.higher is not None:
        yield _higher(book, found.higher, whose)


def _is_one_of_several(book: Book) -> bool:
    return len(book.job.pieces) > 1 or book.job.pieces[0].quantity > 1


def _higher(book: Book, found: Higher, whose: str) -> str:
    line = (
        f"{book.length(higher_by(book.job.pieces[0].piece))} higher{whose}: {_rise(book, found.price)} as long as no board is cut. Once all boards are cut, "
        f"{found.anew} of {found.of} parts would be made again"
    )
    if found.below is not None:
        line += f"; with the height put under the piece instead, {found.below}"
    return f"{line}. Then ask for a price first."


def _rise(book: Book, amount: Decimal) -> str:
    """What more has to be paid; that a plan happens to take fewer boards for a larger piece makes nothing cheaper."""
    return "nothing more" if amount < Decimal("0.005") else f"{_money(book, amount)} more"


def _money(book: Book, amount: Decimal) -> str:
    return book.locale.money(amount, book.job.workshop.prices.currency)
