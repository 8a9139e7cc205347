"""The buying list on paper: stock, fittings, fastenings, glue, coatings and abrasives, in packs, with prices."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..built import BuiltJob
from ..buying.buying import SECTIONS, US_MEASURES, BuyingList, Line, buying_list
from ..drawing.sheet import Block, Cell, Column, Gap, Group, Paragraph, Sheet, Table, fewest
from ..locales import Locale
from ..wording import counted
from ._buying import example_words, missing_words
from ._consumables import AS_NEEDED, consumables
from ._sheets import blank, drawings_of, lists_of, sentence

BASIS = (
    "Prices are without tax. Whole packs and tins are counted; of packs that hold enough the cheapest are taken. "
    "Screws, dowels, pins and plugs: a tenth more than is needed, at least one of each size."
)


class BuyingListPages:
    """What to fetch, section by section, what it costs, and what has no price."""

    word = "buying_list"
    title = "Buying list"
    order = 16
    place = "desk"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the list needs; sizes are in mm, as sold."""
        bought = buying_list(job)
        locale = measured(bought, lists_of(job))
        blocks = [
            *_head(bought, locale),
            _table(bought, locale),
            *_besides(job, locale),
            *([Gap(5)] if bought.missing else ()),
            *missing_words(bought.missing, locale),
        ]
        return fewest(blocks, blank(job, self.title, paper="A4", locale=drawings_of(job)))


ENTRY = BuyingListPages()


def measured(bought: BuyingList, locale: Locale) -> Locale:
    """The locale in whose measures amounts are told: those of the packs, so that one can be held against the other.

    US quarts and pounds only where lists are in inches and everything is sold in them; else litres and kilograms.
    """
    return locale if bought.in_us_measures else replace(locale, denominator=0)


def amount_words(line: Line, locale: Locale) -> str:
    """How much is needed: "49", "1 pair", "2.5 l", "0.38 kg".

    Litres are rounded up to a tenth, kilograms to a hundredth.
    """
    if line.unit == "l":
        return locale.volume(line.needed)
    if line.unit == "kg":
        return locale.mass_to_buy(line.needed)
    return counted(round(line.needed), line.unit) if line.unit else str(round(line.needed))


def pack_words(line: Line, locale: Locale) -> str:
    """What to ask for at the counter: "1 × 50", "1 × 2.5 l, 1 × 0.5 l", "2 pairs", "1 × 4 US qt"."""
    if all(each.pack.holds == 1 for each in line.buy) and line.unit not in US_MEASURES:
        return amount_words(line, locale)
    measure, unit = 1.0, f" {line.unit}" if line.unit in US_MEASURES else ""
    if unit and locale.denominator:
        measure, unit = US_MEASURES[line.unit], " US qt" if line.unit == "l" else " lb"
    return ", ".join(f"{each.count} × {locale.number(each.pack.holds / measure, 2)}{unit}" for each in line.buy)


# ------------------------------------------------------------------------------------------------------------- helpers
def _head(bought: BuyingList, locale: Locale) -> Iterator[Block]:
    yield from example_words(bought.example)
    total = locale.money(bought.total, bought.currency)
    if bought.missing:
        yield Paragraph(f"So far {total}; incomplete: {len(bought.missing)} without a price.", 3.5, "bold")
    else:
        yield Paragraph(f"Altogether {total} without tax.", 3.5, "bold")
    yield Paragraph(BASIS)


def _besides(job: BuiltJob, locale: Locale) -> Iterator[Block]:
    """What is used up besides, that no price is asked for."""
    told = [f"{what.lower()}{', ' + much if much != AS_NEEDED else ''}" for what, _, much in consumables(job, locale)]
    if told:
        yield Gap(3)
        yield Paragraph(f"Besides, not priced: {'; '.join(told)}.")


def _table(bought: BuyingList, locale: Locale) -> Table:
    columns = (
        Column("Got", 9),
        Column("What"),
        Column("Needed", 18, "right"),
        Column("Buy", 28, "right"),
        Column(f"Cost, {bought.currency or locale.currency}", 17, "right"),
        Column("Notes", 44),
    )
    groups = (
        Group(tuple(_row(line, locale) for line in bought.of(section)), section)
        for section in SECTIONS
        if bought.of(section)
    )
    return Table(columns, tuple(groups))


def _row(line: Line, locale: Locale) -> tuple[str | Cell, ...]:
    name = Cell(sentence(locale.text(line.name)), swatch=line.colour)
    cost = Cell("no price", "bold") if line.cost is None else locale.amount(line.cost)
    return "", name, amount_words(line, locale), Cell(pack_words(line, locale), "bold"), cost, locale.text(line.note)
