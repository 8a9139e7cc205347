"""The price, where the workshop's price list makes one; else nothing."""

from __future__ import annotations

from collections.abc import Sequence

from ...buying.costing import costing, validity
from ...drawing.blocks import Block, Paragraph
from .._buying import example_words
from ._book import READING, Book


class Price:
    """The whole price with tax, and until when it stands."""

    word = "price"
    title = "Price"
    order = 60

    def blocks(self, book: Book) -> Sequence[Block]:
        """Left out as long as a price or a rate is not known."""
        made = costing(book.job)
        if not made.is_complete:
            return ()
        prices, locale = book.job.workshop.prices, book.locale
        tax = (
            f", {prices.tax_name or 'tax'} of {locale.number(prices.tax, 2)} % included"
            if prices.tax
            else ", no tax charged"
        )
        found: list[Block] = [Paragraph(f"{locale.money(made.total, prices.currency)}{tax}.", 5.0, "bold")]
        if made.deposit:
            found.append(Paragraph(f"{locale.money(made.deposit, prices.currency)} of it with the order.", READING))
        until = validity(book.job)
        if until:
            found.append(Paragraph(f"This price stands until {locale.date(until)}.", READING))
        without = "" if prices.delivery else "delivery and fixing"
        for label, *words in (("In the price", prices.includes), ("Not in the price", prices.excludes, without)):
            if any(words):
                found.append(Paragraph(f"{label}: {'; '.join(each.rstrip('.') for each in words if each)}.", READING))
        found += example_words(made.bought.example)
        return found


ENTRY = Price()
