"""What cutting plans have to say in words: the stock they were made for, their result, and what could not be
planned."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence

from ..cutting.plan import SheetPlan
from ..cutting.planned import Blank, MaterialPlan, Unplanned, sheet_words
from ..drawing.blocks import Block, Gap, Heading
from ..drawing.sheet import Column, Table, single_group
from ..locales import Locale, locale_for
from ..wording import counted, listed
from ..workshop.workshop import Workshop
from ._sheets import sentence

HOW_TO_READ = (
    "Every sheet lies as drawn, its datum corner at the lower left. Parts are drawn in wide lines, cuts in narrow "
    "ones. Each cut carries its "
    "number in the order of sawing and, after the colon, what the saw is set to: from rip fence or stop to the "
    "blade, or from the edge to the "
    'track. Made in "off 6": what came off at cut 6; "rest of 6": what was left then. Keep: back to the rack. Scrap: '
    "too small to keep."
)
MEASURE_FIRST = (
    "Measure each sheet before the first cut, and the kerf in a test cut; set the saw to the figures, not the drawing."
)
IN_MM = locale_for("en_GB")
SOLD = "Sizes in names and notes of stock are in mm, as sold."
NOUNS = {"sheets": "sheet", "boards": "board", "lengths": "length"}
MISSING = (
    Column("Material", 40),
    Column("Mark", 12, "right"),
    Column("Name", 40),
    Column("Quantity", 18, "right"),
    Column("Why"),
)


def stock_words(workshop: Workshop) -> str:
    """Whose stock the plan was made for, said plainly where it is an example."""
    if workshop.example:
        return (
            "Planned for the example stock that comes with the program: sizes and prices are invented. Give a "
            "workshop file of your own "
            "(--workshop) and plan again before you buy or cut."
        )
    return f"Planned for the stock and the saws of {workshop.name or 'the workshop file'}."


def plan_views(words: str, locale: Locale) -> str:
    """What a title block says of a plan, with how stock is named where figures are in inches."""
    return f"{words} {SOLD}" if locale.denominator else words


def taken_words(made: MaterialPlan, sheet: SheetPlan, locale: Locale) -> str:
    """What a sheet or length is taken from, in mm as it is sold, and in inches where the plan is."""
    words = sheet_words(made, sheet)
    if not locale.denominator:
        return words
    stock = made.plan.stock_of(sheet)
    if made.kind == "lengths":
        return f"{locale.length(stock.length)} ({words}, in mm)"
    size = f"{stock.length:g} × {stock.width:g}"
    inches = f"{locale.length(stock.length)} × {locale.length(stock.width)} ({size} mm)"
    return inches if stock.name and not stock.offcut else words.replace(size, inches)


def about_words(blank: Blank, locale: Locale) -> str:
    """What is to be minded of a blank, its sizes written as the plan's are."""
    if not locale.denominator:
        return blank.about
    return _SIZE.sub(lambda found: found[1] + locale.length(float(found[2])), blank.about)


_SIZE = re.compile(r"(long point |glued up to )([\d.]+)")


def result_words(made: MaterialPlan, locale: Locale = IN_MM) -> str:
    """The result in one sentence: "3 sheets 2440 × 1220; 3 is the least possible"."""
    plan, noun = made.plan, NOUNS[made.kind]
    taken = Counter(taken_words(made, sheet, locale) for sheet in plan.sheets)
    count = len(plan.sheets)
    if len(taken) == 1:
        words = f"{counted(count, noun)} {next(iter(taken))}"
    else:
        words = f"{counted(count, noun)}: {listed([f'{n} of {size}' for size, n in taken.items()])}"
    words += f"; {proof_words(made)}"
    if made.assumed:
        words += "; no such sheet in the workshop's stock, a common size assumed"
    if plan.stopped_early:
        words += "; the search was stopped early"
    return words


def proof_words(made: MaterialPlan) -> str:
    """How good the plan is, as far as it is proven."""
    plan = made.plan
    if len(plan.sheets) <= plan.least:
        return f"{plan.least} is the least possible"
    prices = {stock.price for stock in plan.problem.stock if stock.price}
    if len(prices) <= 1 and not any(stock.offcut for stock in plan.problem.stock):
        return f"at least {plan.least}"
    if not made.priced:
        unit = "m" if made.kind == "lengths" else "m²"
        cost = f"{plan.cost:.2f} {unit} to buy"
        return cost + (", the least possible" if plan.is_least else f", at least {plan.least_cost:.2f} {unit}")
    if plan.is_least:
        return "nothing cheaper is possible"
    return f"at least {plan.least_cost / plan.cost * 100:.0f} % of its cost is needed"


def unplanned_blocks(missing: Sequence[Unplanned]) -> Iterator[Block]:
    """What no stock holds, so that it is not forgotten."""
    if missing:
        yield Gap(3)
        yield Heading("Not planned")
        yield Table(
            MISSING,
            single_group(
                [
                    (
                        sentence(each.material),
                        each.blank.mark,
                        sentence(each.blank.name),
                        str(each.blank.quantity),
                        sentence(each.why),
                    )
                    for each in missing
                ]
            ),
        )
