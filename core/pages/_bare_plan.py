"""A cutting plan on paper without a piece: the sheets or lengths of any problem, drawn as those of a job are."""

from __future__ import annotations

from ..cutting.plan import CuttingPlan
from ..cutting.planned import Blank, MaterialPlan
from ..drawing.blocks import Paragraph
from ..drawing.page import Page
from ..drawing.sheet import SHEETS, Sheet, TitleBlock, flow, number_sheets
from ..wording import listed
from ._plan_words import HOW_TO_READ, MEASURE_FIRST
from ._sawing import alike, sheet_pages
from .lengths_plan import how_to_read, length_blocks

PAPERS = ("A4 landscape", "A3")


def bare_pages(plan: CuttingPlan, name: str) -> tuple[Page, ...]:
    """The pages of a plan: the result in one sentence, then every sheet or length."""
    made = bare_material(plan)
    opening = [Paragraph(plan.sentence + ".", 3.5, "bold")]
    if plan.problem.lengths_only:
        sheet = _blank(name, "Plan for lengths")
        return number_sheets(flow([*opening, Paragraph(how_to_read()), *length_blocks(made, sheet.room.width)], sheet))
    sheets = list(flow([*opening, Paragraph(HOW_TO_READ), Paragraph(MEASURE_FIRST)], _blank(name, "Cutting plan")))
    for numbers, each in alike(plan.sheets):
        noun = "sheets" if len(numbers) > 1 else "sheet"
        title = f"Cutting plan: {noun} {listed([str(number) for number in numbers])} of {len(plan.sheets)}"
        sheets += sheet_pages([_blank(name, title, paper) for paper in PAPERS], made, each, len(numbers))
    return number_sheets(sheets)


def bare_material(plan: CuttingPlan) -> MaterialPlan:
    """The plan as that of one material, its parts called by their marks or their numbers from 1."""
    problem = plan.problem
    blanks = tuple(
        Blank(part.mark or str(at), "", part.quantity, part.length, part.width)
        for at, part in enumerate(problem.parts, 1)
    )
    return MaterialPlan(
        name="length" if problem.lengths_only else "sheet",
        kind="lengths" if problem.lengths_only else "sheets",
        material="",
        thickness=0.0,
        width=0.0,
        density=0.0,
        grained=any(part.locked for part in problem.parts),
        blanks=blanks,
        plan=plan,
        priced=len({stock.price for stock in problem.stock}) > 1,
    )


def _blank(name: str, title: str, paper: str = "A4") -> Sheet:
    block = TitleBlock(piece=name, sheet=title, views="All sizes in mm.")
    return Sheet(size=SHEETS["A4 landscape" if title == "Plan for lengths" else paper], title=block, bookmark=title)
