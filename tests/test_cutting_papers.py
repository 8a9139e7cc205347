"""Cutting list and plans by themselves: told stage by stage, the same bytes as in the pack, and what a panel says of them."""

from __future__ import annotations

from dataclasses import replace

from examples import DEMO, example_piece

from core.built import build_job, revision_of
from core.changing import changed, saved_state
from core.cutting.planned import job_plans
from core.cutting_papers import cutting_files, plan_lines, plan_notes, planning_job
from core.piece.job import Job, JobItem
from core.revisions.revision import ticked


def drained(steps):
    told = []
    while True:
        try:
            told.append(next(steps))
        except StopIteration as end:
            return end.value, told


def job(piece=None, **given):
    return Job("x", (JobItem(piece or example_piece(DEMO), **given),))


def test_stage_by_stage_comes_what_comes_at_once():
    """The plans are those of a job that is planned in one go; every material is told before it is planned."""
    built, told = drained(planning_job(job()))
    plans = job_plans(built)
    assert plans == job_plans(build_job(job()))
    assert told[0].startswith("building ") and len(told) > len(
        {(each.material, each.thickness) for each in plans.sheets}
    )
    files, told = drained(cutting_files(built))
    assert sorted(files) == ["cutting_list.csv", "cutting_list.pdf", "cutting_plan.pdf", "lengths_plan.pdf"]
    assert all(each.startswith("drawing: ") for each in told) and all(files.values())


def test_each_plan_says_sheets_bound_cost_and_largest_offcut():
    """What is said is what the plans hold; the whole costs what its materials cost together."""
    built, _ = drained(planning_job(job()))
    plans, lines = job_plans(built), plan_lines(built)
    assert len(lines) == len(plans.plans)
    for made, line in zip((*plans.sheets, *plans.lengths), lines, strict=True):
        assert line.result.startswith(f"{len(made.plan.sheets)} ")
        assert bool(line.cost) == (made.priced and not made.assumed)
        assert bool(line.offcut) == (made.plan.largest_offcut is not None)
    total = sum(made.plan.cost for made in plans.plans if made.priced and not made.assumed)
    assert f"{total:,.2f}" in plan_notes(built)[0] and "example" in plan_notes(built)[-1]


def test_ticks_are_carried_to_a_new_state_for_what_serves_as_it_is():
    """Nothing changed: all ticks stay. Higher: those of the parts that are kept, under today's marks, no more than were made."""
    first = revision_of(build_job(job()))
    for mark in set(first.pieces[0].marks.values()):
        first = ticked(first, mark, "cut", sum(1 for own in first.pieces[0].marks.values() if own == mark))
    assert saved_state(build_job(job(), since=first)).ticks == dict(first.ticks)
    piece = example_piece(DEMO)
    higher = replace(piece, whole=replace(piece.whole, height=1960.0))
    after = build_job(job(higher), since=first)
    kept = saved_state(after).ticks
    assert sum(counts[0] for counts in kept.values()) == len(changed(after).saving.kept) > 0
    assert set(kept) < set(after.marks.values())
