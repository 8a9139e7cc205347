"""What buying list, costing and quotation say alike: that prices are invented, and which are not known."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..drawing.sheet import Block, Heading, Paragraph
from ..locales import Locale
from ..wording import counted

EXAMPLE = (
    "Example prices: every price here is invented. Put your own into the workshop file before you reckon with them."
)


def example_words(example: bool) -> Iterator[Block]:
    """Says in bold that prices are invented, where they are."""
    if example:
        yield Paragraph(EXAMPLE, style="bold")


def missing_words(missing: Sequence[str], locale: Locale) -> Iterator[Block]:
    """Names what has no price or rate, where there is such."""
    if missing:
        yield Heading(f"Not known: {counted(len(missing), 'price or rate', 'prices or rates')}")
        yield Paragraph(locale.text("; ".join(missing)) + ".")


def sold_words(locale: Locale) -> str:
    """What the title block of a list of bought things says where other lists are in inches."""
    return "Sizes in names are in mm, as sold." if locale.denominator else ""
