"""The cutting plan: what is cut from which sheet, the sheets in sawing order, each drawn with its cuts and what the saw
is set to."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..built import BuiltJob
from ..cutting.planned import JobPlans, MaterialPlan, job_plans
from ..drawing.blocks import Block, Gap, Paragraph
from ..drawing.sheet import Cell, Column, Sheet, Table, flow, single_group
from ..locales import Locale
from ..wording import listed
from ..workshop.saws import Saws
from ._plan_words import HOW_TO_READ, MEASURE_FIRST, plan_views, result_words, stock_words, unplanned_blocks
from ._sawing import alike, sheet_pages
from ._sheets import blank, lists_of, sentence

PAPERS = ("A4 landscape", "A3")


class CuttingPlanPages:
    """The result in one sentence for each material, then every sheet."""

    word = "cutting_plan"
    title = "Cutting plan"
    order = 32
    place = "saw"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """An overview, then one drawing with its order of cuts for each sheet that is cut in its own way."""
        plans, locale = job_plans(job), lists_of(job)
        missing = [each for each in plans.unplanned if each.blank.width > 1]
        if not plans.sheets and not missing:
            return ()
        opening = flow(
            list(_overview(plans, locale)),
            blank(job, self.title, views=plan_views("Sheets in sawing order.", locale), locale=locale),
        )
        drawn = [each for made in plans.sheets for each in _drawings(job, made)]
        return (*opening, *drawn)


COLUMNS = (
    Column("Material", 34),
    Column("Result"),
    Column("Parts", 13, "right"),
    Column("Keep", 37),
    Column("Settings", 17, "right"),
    Column("Cuts", 12, "right"),
)

ENTRY = CuttingPlanPages()


def _overview(plans: JobPlans, locale: Locale) -> Iterator[Block]:
    yield Paragraph(stock_words(plans.workshop))
    yield Table(COLUMNS, single_group([_row(made, locale) for made in plans.sheets]))
    yield Gap(5)
    yield Paragraph(HOW_TO_READ)
    yield Paragraph(MEASURE_FIRST)
    yield Paragraph(limit_words(plans.workshop.saws, locale))
    notes = [f"{sentence(made.name)}: {note}" for made in plans.sheets for note in made.notes]
    if notes:
        yield Paragraph(" ".join(notes))
    yield from unplanned_blocks([each for each in plans.unplanned if each.blank.width > 1])


def limit_words(saws: Saws, locale: Locale) -> str:
    """What the plan reckons with."""
    return (
        f"Reckoned with: kerf {locale.thickness(saws.kerf)}, edge trim {locale.length(saws.edge_trim)}, rip fence to "
        f"{locale.length(saws.fence)}, crosscut fence to "
        f"{locale.length(saws.crosscut)}, track {locale.length(saws.track)}, table {locale.length(saws.table_length)} × "
        f"{locale.length(saws.table_width)}; one person "
        f"handles {locale.mass(saws.one_person).replace('.0 ', ' ')}: what is heavier is cut where it lies, with the track, or is lifted "
        f"by two. Extraction and a mask "
        f"at every cut; riving knife and push stick at the table saw."
    )


def _row(made: MaterialPlan, locale: Locale) -> tuple[str | Cell, ...]:
    plan = made.plan
    kept = sorted((piece for sheet in plan.sheets for piece in sheet.offcuts), key=lambda piece: -piece.area)
    keep = "; ".join(f"{locale.length(piece.length)} × {locale.length(piece.width)}" for piece in kept[:2])
    keep += f"; {len(kept) - 2} smaller" if len(kept) > 2 else ""
    settings, cuts, _ = plan.labour
    parts = sum(len(sheet.placements) for sheet in plan.sheets)
    return (Cell(sentence(made.name), "bold"), result_words(made, locale), str(parts), keep, str(settings), str(cuts))


def _drawings(job: BuiltJob, made: MaterialPlan) -> Iterator[Sheet]:
    """The drawings of one material, each with its order of cuts."""
    locale = lists_of(job)
    total = len(made.plan.sheets)
    for numbers, sheet in alike(made.plan.sheets):
        noun = ("board" if made.kind == "boards" else "sheet") + ("s" if len(numbers) > 1 else "")
        which = f"{noun} {listed([str(number) for number in numbers])} of {total}"
        title = f"{CuttingPlanPages.title}: {made.name}, {which}"
        papers = [
            blank(
                job,
                title,
                paper=paper,
                views=plan_views("", locale).strip(),
                bookmark=sentence(f"{made.name}, {which}"),
                level=1,
                locale=locale,
            )
            for paper in PAPERS
        ]
        yield from sheet_pages(papers, made, sheet, len(numbers), locale)
