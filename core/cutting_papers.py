"""Cutting list and cutting plans by themselves, stage by stage, so that whoever waits can see how far it is, and stop it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from .built import BuiltJob, building
from .changing import changed
from .cutting.list import cutting_list
from .cutting.planned import KEPT, MaterialPlan, job_plans, planning
from .cutting.turns import Enough
from .drawing.sheet import number_sheets
from .pack import job_pdf, list_csv
from .pages import page_kinds
from .pages._plan_words import result_words, stock_words
from .pages._sheets import lists_of, sentence
from .piece.job import Job
from .revisions.revision import Revision
from .stages import Stages
from .wording import counted
from .workshop.company import Company
from .workshop.workshop import Workshop

PAPERS = ("cutting_list", "cutting_plan", "lengths_plan")  # words of the page kinds


@dataclass(frozen=True, slots=True)
class PlanLine:
    """What the plan of one material says: sheets with the least possible, what they cost, the largest piece that is left."""

    name: str
    result: str
    cost: str  # empty where no price is known
    offcut: str  # empty where nothing is worth keeping


def planning_job(
    job: Job,
    workshop: Workshop | None = None,
    since: Revision | None = None,
    company: Company | None = None,
    enough: Enough | None = None,
) -> Stages[BuiltJob]:
    """Build a job and plan its cuts; before each stage its words, at the end the job with its plans kept.

    `enough` as in `planning`.
    """
    built = yield from building(job, workshop, since, company)
    built.kept[KEPT] = yield from planning(built, enough)
    return built


def cutting_files(job: BuiltJob) -> Stages[dict[str, bytes]]:
    """The files by name: cutting list as PDF and CSV, the plans as PDF; before each stage its words. Nothing is written.

    While there is a stop finding each carries the stamp.
    """
    files = {"cutting_list.csv": list_csv(job, cutting_list(job).entries).encode("utf-8")}
    if KEPT not in job.kept:
        job.kept[KEPT] = yield from planning(job)
    for kind in page_kinds():
        if kind.word not in PAPERS:
            continue
        yield f"drawing: {kind.title}"
        pages = number_sheets(tuple(kind.sheets(job)))
        if pages:
            files[f"{kind.word}.pdf"] = job_pdf(job, pages, kind.word.replace("_", " "))
    return files


def plan_lines(job: BuiltJob) -> tuple[PlanLine, ...]:
    """What each plan of a job says, sheets first."""
    plans = job_plans(job)
    return tuple(_line(job, made) for made in (*plans.sheets, *plans.lengths))


def plan_notes(job: BuiltJob) -> tuple[str, ...]:
    """What is to be known beside: the cost of all, what no stock holds, whose stock it is, what of it is made already."""
    plans, currency = job_plans(job), lists_of(job)
    priced = [made for made in plans.plans if made.priced and not made.assumed]
    found = []
    if priced:
        rest = "" if len(priced) == len(plans.plans) else "; not everything has a price"
        total = sum(made.plan.cost for made in priced)
        found.append(
            f"In all {currency.money(_amount(total), job.workshop.prices.currency or currency.currency)}{rest}"
        )
    found += [f"{each.material}: mark {each.blank.mark} is not planned: {each.why}" for each in plans.unplanned]
    if job.workshop.example:
        found.append(
            "The stock is an example, its sizes and prices invented: name a workshop file before you buy or cut."
        )
    else:
        found.append(stock_words(job.workshop))
    since = changed(job)
    if since and since.made:
        saved = since.saving
        found.append(
            f"{counted(since.made, 'part')} made already: {len(saved.kept)} kept, {len(saved.trimmed)} to trim, "
            f"{len(saved.left_over)} without use"
        )
    return tuple(found)


def _amount(cost: float) -> Decimal:
    return Decimal(str(round(cost, 4)))


def _line(job: BuiltJob, made: MaterialPlan) -> PlanLine:
    locale = lists_of(job)
    cost = ""
    if made.priced and not made.assumed:
        cost = locale.money(_amount(made.plan.cost), job.workshop.prices.currency or locale.currency)
    left, unit = made.plan.largest_offcut, "" if locale.denominator else " mm"
    offcut = ""
    if left:
        size = locale.length(left.length)
        offcut = f"{size}{unit}" if made.kind == "lengths" else f"{size} × {locale.length(left.width)}{unit}"
    return PlanLine(sentence(made.name), result_words(made), cost, offcut)
