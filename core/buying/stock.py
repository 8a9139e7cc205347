"""Sheets and lengths to buy for a job, from its plans; what no stock of the workshop fits is named."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from ..built import BuiltJob
from ..cutting.planned import MaterialPlan, Unplanned, job_plans
from ..model import Part
from ..workshop.prices import Prices

SECTION = {"sheets": "Sheets", "boards": "Lengths", "lengths": "Lengths"}
ORDERED = "ordered to size"
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
    """What the plans of a job take from the yard, sheets first, then panes; offcuts of the rack cost nothing and are told beside."""
    plans = job_plans(job)
    lines = [line for made in plans.plans for line in _bought(made)]
    lines += [_missing(each) for each in plans.unplanned]
    lines += _panes(job)
    return tuple(sorted(lines, key=lambda line: line.section != "Sheets"))


# ------------------------------------------------------------------------------------------------------------- helpers
def _panes(job: BuiltJob) -> Iterator[StockLine]:
    """Glass and mirrors, which nobody here cuts: ordered to size, priced by the square metre."""
    counts: Counter[tuple[str, Decimal | None]] = Counter()
    for _, built, part in job.parts():
        if part.board.material.kind == "glass":
            name = f"{part.board.name}, {part.size[0]:g} × {part.size[1]:g}"
            counts[name, _pane_price(part, job.workshop.prices)] += built.quantity
    for (name, price), count in counts.items():
        yield StockLine("Sheets", name, count, "pane", price, ORDERED)


def _pane_price(part: Part, prices: Prices) -> Decimal | None:
    """What one pane costs, to the cent; None where a square metre has no price."""
    each = prices.mirror if part.board.material.id == "mirror" else prices.glass
    area = Decimal(str(round(part.size[0] * part.size[1] / 1e6, 6)))
    return (area * Decimal(str(each))).quantize(Decimal("0.01"), ROUND_HALF_UP) if each else None


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
