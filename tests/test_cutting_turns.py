"""Long planning by turns: whoever waits sees how far it is, and takes the best so far within one material."""

import threading

import pytest
from cutting_faults import faults

from core.cutting.planned import job_plans
from core.cutting.turns import Enough, by_turns
from core.cutting_papers import cutting_files, planning_job
from core.piece import loads
from core.piece.job import Job, JobItem
from core.starters import starter_text


def _job(kind: str) -> Job:
    return Job("", (JobItem(loads(starter_text(kind))),))


def _ended(steps) -> tuple[list[str], object]:
    words = []
    while True:
        try:
            words.append(next(steps))
        except StopIteration as end:
            return words, end.value


def test_by_turns_the_plans_are_the_same():
    """Looked at some times a second the plans are those made without; the words name the material, what there is so far and the least possible."""
    words, job = _ended(planning_job(_job("linen_press"), enough=Enough()))
    _, again = _ended(planning_job(_job("linen_press")))
    assert job_plans(job) == job_plans(again)
    assert any(word.startswith("planning the cuts in MDF 18: 3 sheets, cost") and "at least" in word for word in words)


def test_enough_within_a_material_takes_the_best_plan_so_far():
    """Said while one material is planned: that material and those to come have whole plans at once, and the pages say that they were stopped."""
    enough = Enough()
    steps = planning_job(_job("linen_press"), enough=enough)
    while not next(steps).startswith("planning the cuts in MDF 18:"):
        pass
    enough.say()
    words, job = _ended(steps)
    plans = job_plans(job).plans
    assert not any(":" in word for word in words), "no more turns: what is left takes a moment"
    assert [made.name for made in plans] == [
        made.name for made in job_plans(_ended(planning_job(_job("linen_press")))[1]).plans
    ]
    assert all(faults(made.plan) == [] for made in plans)
    boards = next(made for made in plans if made.name == "MDF 18")
    assert boards.plan.stopped_early and len(boards.plan.sheets) >= boards.plan.least
    _, files = _ended(cutting_files(job))
    import io

    from pypdf import PdfReader

    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(files["cutting_plan.pdf"])).pages)
    assert "stopped early" in " ".join(text.split())


def test_left_between_turns_nothing_goes_on():
    """A generator that is closed ends its work: no thread is left behind."""
    before = threading.active_count()
    enough = Enough()
    steps = planning_job(_job("linen_press"), enough=enough)
    while not next(steps).startswith("planning the cuts in MDF 18:"):
        pass
    assert threading.active_count() == before + 1
    steps.close()
    assert threading.active_count() == before and enough.said


def test_an_error_of_the_work_is_raised_where_it_is_waited_for():
    """Work by turns fails as it would without."""

    def work(asked):
        raise ValueError("no such sheet")

    with pytest.raises(ValueError, match="no such sheet"):
        next(by_turns(work, Enough()))
