"""Sheets and lengths to buy for a job, from its plans; what no stock of the workshop fits is named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from ..built import BuiltJob
from ..cutting.planned import MaterialPlan, Unplanned, job_plans

SECTION = {"sheets": "Sheets", "boards": "Lengths", "lengths": "Lengths"}
UNIT = {"sheets": "sheet", "boards": "board", "lengths": "length"}


@dataclass(frozen=True, slots=True)
class StockLine:
    """So many sheets or lengths of one size, and the price of one (None: not known)."""

    section: str  # "Sheets" or "Lengths"
    name: str
    count: int
    unit: str
    price: Decimal | None
    note: str = ""


def stock_lines(job: BuiltJob) -> tuple[StockLine, ...]:
    """What the plans of a job take from the yard, sheets first; offcuts of the rack cost nothing and are told beside."""
    plans = job_plans(job)
    lines = [line for made in plans.plans for line in _bought(made)]
    lines += [_missing(each) for each in plans.unplanned]
    return tuple(sorted(lines, key=lambda line: line.section != "Sheets"))


# ------------------------------------------------------------------------------------------------------------- helpers
def _bought(made: MaterialPlan) -> Iterator[StockLine]:
    """One line for each size of stock that is bought; where all comes from the rack, one that says so."""
    stocks = [made.plan.stock_of(sheet) for sheet in made.plan.sheets]
    rack = sum(stock.offcut for stock in stocks)
    notes = [f"and {rack} from the rack"] if rack else []
    notes += ["no such size in the workshop file: assumed"] if made.assumed else []
    bought = Counter(stock for stock in stocks if not stock.offcut)
    if len(bought) == 1:
        notes.insert(0, _least_words(made))
    for stock, count in bought.items():
        size = f"length {stock.length:g}" if made.kind == "lengths" else f"{stock.length:g} × {stock.width:g}"
        price = Decimal(str(stock.price)) if made.priced and not made.assumed else None
        note = "; ".join(filter(None, notes))
        yield StockLine(SECTION[made.kind], f"{made.name}, {size}", count, UNIT[made.kind], price, note)


def _least_words(made: MaterialPlan) -> str:
    """Whether fewer, or cheaper ones, would do, as far as it is proven."""
    if made.plan.bought <= made.plan.least:
        return "fewer will not do"
    return "nothing cheaper will do" if made.priced and made.plan.is_least else ""


def _missing(each: Unplanned) -> StockLine:
    blank = each.blank
    if blank.width <= 1:  # a fitting that is cut to length: its blank has no width of its own
        return StockLine(
            "Lengths", f"{each.material}, length {round(blank.length, 1):g}", blank.quantity, "", None, each.why
        )
    section = "Lengths" if " × " in each.material else "Sheets"  # strips of a section are told by both its measures
    name = f"{each.material} for {blank.name} {round(blank.length, 1):g} × {round(blank.width, 1):g}"
    return StockLine(section, name, blank.quantity, "", None, each.why)
