"""The buying list: what to fetch, in which packs, at what price; what has no price is named, never taken as nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from ..built import BuiltJob
from ..fittings import fitting_entry
from ..locales import KG_PER_POUND, LITRES_PER_US_QUART
from ..workshop.prices import Prices
from .coatings import coating, library
from .packs import Pack, Packs, cheapest
from .quantities import BoughtFitting, Quantities, quantities
from .stock import StockLine, stock_lines

CENT = Decimal("0.01")
WHOLE = 0.03  # of a quarter: what 3.785, 3.79 or 0.95 l are off by; 1 l and 1 kg are off by a fifth
US_MEASURES = {"l": LITRES_PER_US_QUART, "kg": KG_PER_POUND}  # of the units that tins and packs of glue are told in
SECTIONS = ("Sheets", "Lengths", "Fittings", "Fastenings", "Glue and coatings", "Abrasives")


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to buy: how much is needed, the packs that hold it, what they cost (None: not known)."""

    section: str
    name: str
    needed: float
    unit: str  # "", "pair", "sheet", "length", "l", "kg"
    buy: tuple[Packs, ...]
    cost: Decimal | None
    note: str = ""
    colour: str = ""

    @property
    def is_missing(self) -> bool:
        """Whether its price is not known."""
        return self.cost is None


@dataclass(frozen=True, slots=True)
class BuyingList:
    """All that is bought for a job. `total` counts only what has a price; `missing` names what has none."""

    lines: tuple[Line, ...]
    currency: str
    example: bool  # whether the prices are invented

    def of(self, section: str) -> tuple[Line, ...]:
        """The lines of one section."""
        return tuple(line for line in self.lines if line.section == section)

    @property
    def total(self) -> Decimal:
        """The sum of what has a price."""
        return sum((line.cost for line in self.lines if line.cost is not None), Decimal(0))

    @property
    def in_us_measures(self) -> bool:
        """Whether all tins and packs of glue hold whole quarters of a US quart or of a pound, as those sold by them do."""
        held = [
            4 * each.pack.holds / US_MEASURES[line.unit]
            for line in self.lines
            if line.unit in US_MEASURES
            for each in line.buy
        ]
        return bool(held) and all(round(each) and abs(each - round(each)) < WHOLE for each in held)

    @property
    def missing(self) -> tuple[str, ...]:
        """The names of what has no price."""
        return tuple(line.name for line in self.lines if line.is_missing)


def buying_list(job: BuiltJob) -> BuyingList:
    """What is bought for a job, section by section; worked out once for each job."""
    if "buying list" not in job.kept:
        found, prices = quantities(job), job.workshop.prices
        lines = (
            *(_stock(line) for line in stock_lines(job)),
            *_fittings(found, prices),
            *_fastenings(found, prices),
            *_glue_and_coatings(found, prices),
            *_abrasives(found, prices),
        )
        job.kept["buying list"] = BuyingList(lines, prices.currency, job.workshop.example)
    return job.kept["buying list"]


def money(price: float) -> Decimal | None:
    """A price of the workshop's file as money; None for 0, which stands for "not known"."""
    return Decimal(str(price)) if price else None


def cents(amount: Decimal) -> Decimal:
    """An amount to the cent, half a cent up."""
    return amount.quantize(CENT, ROUND_HALF_UP)


HEADINGS = (
    "section", "what", "needed", "unit", "packs", "each holds", "price of one", "cost", "currency", "notes",
)  # fmt: skip


def rows(bought: BuyingList, currency: str) -> list[list[str | int | float | None]]:
    """The list as rows under `HEADINGS`, one for each size of pack; no price is an empty cell, never 0."""
    return [
        [
            line.section, line.name, round(line.needed, 3), line.unit, each.count, each.pack.holds, _figure(each.pack.price),
            None if each.pack.price is None else _figure(cents(each.pack.price * each.count)), currency, line.note,
        ]
        for line in bought.lines
        for each in line.buy
    ]  # fmt: skip


def plain(bought: BuyingList, currency: str) -> dict[str, Any]:
    """The list as plain data for JSON; money as decimal text, None where it is not known."""
    lines = [
        {
            "section": line.section,
            "what": line.name,
            "needed": round(line.needed, 3),
            "unit": line.unit,
            "packs": [{"count": e.count, "holds": e.pack.holds, "price": _text(e.pack.price)} for e in line.buy],
            "cost": _text(line.cost),
            "notes": line.note,
        }
        for line in bought.lines
    ]
    head = {"currency": currency, "example_prices": bought.example, "total": _text(bought.total)}
    return {**head, "no_price": list(bought.missing), "lines": lines}


def _figure(price: Decimal | None) -> float | None:
    return None if price is None else float(price)


def _text(price: Decimal | None) -> str | None:
    return None if price is None else str(cents(price))


# --------------------------------------------------------------------------------------------------------------- lines
def _stock(line: StockLine) -> Line:
    packs = (Packs(Pack(1, line.price), line.count),)
    return Line(line.section, line.name, line.count, line.unit, packs, _cost(packs), line.note)


def _fittings(found: Quantities, prices: Prices) -> Iterator[Line]:
    known = {each.fitting.replace("_", "-"): money(each.price) for each in prices.fittings}
    for each in found.fittings:
        if not fitting_entry(each.entry).cut_to_length:  # what is cut to length is among the lengths
            packs = (Packs(Pack(1, known.get(each.entry)), each.count),)
            yield Line(
                "Fittings", each.name, each.count, "pair" if each.pairs else "", packs, _cost(packs), _loads(each)
            )


def _loads(each: BoughtFitting) -> str:
    entry = fitting_entry(each.entry)
    if not entry.load:
        return ""
    return f"must carry {entry.load:g} kg {'a pair' if each.pairs else 'each'}" + (
        "" if entry.load_verified else ", unverified"
    )


def _fastenings(found: Quantities, prices: Prices) -> Iterator[Line]:
    for each in found.fastenings:
        packs = cheapest(each.with_spare, _sold(each.name, prices) or _usual(library()["packs"][each.kind]))
        yield Line("Fastenings", each.name, each.needed, "", packs, _cost(packs), f"{each.with_spare} with spare")


def _glue_and_coatings(found: Quantities, prices: Prices) -> Iterator[Line]:
    glue = library()["glue"]
    if found.glue.kg:
        yield _tin(glue["name"], "glue", found.glue.kg, "kg", glue["packs"], prices)
    for each in found.coatings:
        note = f"for {', '.join(each.groups).lower()}"
        yield _tin(each.name, each.coating, each.litres, "l", coating(each.coating).tins, prices, note, each.colour)


def _tin(
    name: str,
    id: str,
    needed: float,
    unit: str,
    usual: Sequence[float],
    prices: Prices,
    note: str = "",
    colour: str = "",
) -> Line:
    sold = [Pack(each.holds, money(each.price)) for each in prices.tins if each.coating == id]
    packs = cheapest(needed, sold or _usual(usual))
    return Line("Glue and coatings", name, needed, unit, packs, _cost(packs), note, colour)


def _abrasives(found: Quantities, prices: Prices) -> Iterator[Line]:
    data = library()["abrasives"]
    for each in found.abrasives:
        packs = cheapest(each.sheets, _sold(f"abrasive {each.grit}", prices) or _usual(data["packs"]))
        yield Line("Abrasives", f"{data['name']}, grit {each.grit}", each.sheets, "sheet", packs, _cost(packs))


# ------------------------------------------------------------------------------------------------------------- helpers
def _sold(name: str, prices: Prices) -> list[Pack]:
    """The packs of something by its whole name, or by less of it: "screw 3.5 × 16", "screw 3.5", "screw"."""
    words = name.split(" × ")[0]
    for asked in dict.fromkeys((name, words, words.split()[0])):
        packs = [Pack(each.holds, money(each.price)) for each in prices.packs if each.what == asked]
        if packs:
            return packs
    return []


def _usual(sizes: Sequence[float]) -> list[Pack]:
    return [Pack(size) for size in sizes]


def _cost(packs: Sequence[Packs]) -> Decimal | None:
    """What packs cost together; None where a price is missing."""
    if not packs or any(each.pack.price is None for each in packs):
        return None
    return cents(sum((each.pack.price * each.count for each in packs), Decimal(0)))  # type: ignore[operator]
