"""The costing: the maker's own reckoning of labour, materials, overhead, margin and tax; not for the client."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..built import BuiltJob
from ..buying.costing import Costing, Operation, costing
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, fewest, single_group
from ..locales import Locale
from ..workshop.prices import Prices
from ._buying import example_words, missing_words
from ._sheets import blank, lists_of, sentence

TITLE = "Costing"
WHOLE = 70.0  # mm; the sum is not parted over two sheets
OWN = "For the workshop, not for the client. Sums are without tax until the last line."


def costing_sheets(job: BuiltJob) -> Sequence[Sheet]:
    """As many sheets as the reckoning needs."""
    made, locale, prices = costing(job), lists_of(job), job.workshop.prices
    currency = prices.currency or locale.currency
    blocks = [
        *example_words(made.bought.example),
        Paragraph(OWN),
        Heading("Labour"),
        _labour(made, locale, currency),
        Gap(5),
        Heading("Materials"),
        _materials(made, locale, currency),
        Gap(5),
        Heading("Together", room=WHOLE),
        _together(made, prices, locale, currency),
        Gap(5),
        *_verdict(made, locale),
    ]
    return fewest(blocks, blank(job, TITLE, paper="A4", locale=locale))


# ------------------------------------------------------------------------------------------------------------- helpers
def _labour(made: Costing, locale: Locale, currency: str) -> Table:
    columns = (
        Column("Operation"),
        Column("How much", 30, "right"),
        Column("Minutes each", 24, "right"),
        Column("Hours", 22, "right"),
        Column(f"Cost, {currency}", 30, "right"),
    )
    rows = [_operation_row(each, made, locale) for each in made.operations if each.amount]
    hours = locale.fixed(made.hours)
    last = ("All labour", "", "", hours, locale.amount(made.labour) if made.hour else "no rate")
    return Table(columns, single_group([*rows, tuple(Cell(cell, "bold") for cell in last)]))


def _operation_row(each: Operation, made: Costing, locale: Locale) -> tuple[str | Cell, ...]:
    rate = Cell("not known", "bold") if each.is_missing else locale.number(each.each, 2)
    wages = locale.amount(made.wages(each)) if made.hour and not each.is_missing else Cell("not known", "bold")
    return sentence(each.name), _amount(each, locale), rate, locale.fixed(each.minutes / 60), wages


def _amount(each: Operation, locale: Locale) -> str:
    if each.unit == "m²":
        return locale.area(each.amount)
    if each.unit == "m":
        return locale.run(each.amount)
    return locale.number(each.amount, 0)


def _materials(made: Costing, locale: Locale, currency: str) -> Table:
    columns = (
        Column("From the buying list"),
        Column("Without a price", 40, "right"),
        Column(f"Cost, {currency}", 30, "right"),
    )
    rows = []
    for section, amount in made.materials:
        missing = sum(line.is_missing for line in made.bought.of(section))
        rows.append((section, Cell(str(missing), "bold") if missing else "", locale.amount(amount)))
    total = locale.amount(made.bought.total)
    return Table(columns, single_group([*rows, (Cell("All materials", "bold"), "", Cell(total, "bold"))]))


def _together(made: Costing, prices: Prices, locale: Locale, currency: str) -> Table:
    columns = (Column("What"), Column("Of it", 30, "right"), Column(f"Amount, {currency}", 30, "right"))
    rows: list[tuple[str | Cell, ...]] = [
        ("Labour", "", locale.amount(made.labour)),
        ("Overhead on labour", _percent(prices.overhead, locale), locale.amount(made.overhead)),
        ("Materials", "", locale.amount(made.bought.total)),
        _bold("Cost", "", locale.amount(made.cost)),
        ("Margin", _percent(prices.margin, locale), locale.amount(made.margin)),
        ("Delivery and fixing", "", locale.amount(made.delivery) if made.delivery else "not included"),
        _bold("Price without tax", "", locale.amount(made.net)),
        (sentence(prices.tax_name or "tax"), _percent(prices.tax, locale), locale.amount(made.tax)),
        _bold("Price with tax", "", locale.amount(made.total)),
    ]
    return Table(columns, single_group(rows))


def _bold(*cells: str) -> tuple[str | Cell, ...]:
    return tuple(Cell(cell, "bold") for cell in cells)


def _percent(value: float, locale: Locale) -> str:
    return f"{locale.number(value, 2)} %"


def _verdict(made: Costing, locale: Locale) -> Iterator[Block]:
    if made.is_complete:
        yield Paragraph("Every price and rate is known.")
        return
    yield Paragraph("Incomplete: the sums above count only what is known, and are too low.", 3.5, "bold")
    yield from missing_words(made.missing, locale)
