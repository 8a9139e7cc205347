"""What the search for plans rests on: trees changed in one place, plans by the value of parts, fresh problems."""

import sys
from collections import Counter
from pathlib import Path

import pytest
from cutting_samples import answer, judge, problem_of, published, sheet_jobs
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cutting.improving import Effort
from core.cutting.planning import plan
from core.cutting.problem import read_problem
from core.cutting.trees import CHILDREN, LIE, NO_LIMIT, ROW, STACK, exchanged, joined, kinds_in, leaf
from core.cutting.valuing import valued
from core.cutting.whole import in_whole_numbers

sys.path.append(str(Path(__file__).parent / "bench"))
from cutting_fresh import fresh_problems

leaves = st.builds(leaf, st.integers(0, 9), st.integers(1, 50), st.integers(1, 50))
trees = st.recursive(
    leaves,
    lambda inner: st.builds(joined, st.sampled_from((ROW, STACK)), st.lists(inner, min_size=2, max_size=4)),
    max_leaves=12,
)


@given(st.lists(trees, min_size=2, max_size=5), st.sampled_from((ROW, STACK)), trees, st.data())
def test_a_child_exchanged_is_a_tree_joined_anew(children, lie, fresh, data):
    """The short way to exchange one child gives the same tree as joining all children again."""
    parent = joined(lie, children)
    at = data.draw(st.integers(0, len(parent[CHILDREN]) - 1))
    anew = parent[CHILDREN].copy()
    anew[at] = fresh
    short, long = exchanged(parent, at, fresh), joined(parent[LIE], anew)
    assert (short[:3], short[4:]) == (long[:3], long[4:])
    assert sorted(map(repr, short[CHILDREN])) == sorted(map(repr, long[CHILDREN]))


@settings(max_examples=40, deadline=None)
@given(sheet_jobs())
def test_plans_by_value_hold_every_part_once(job):
    """Each plan has all parts as often as wanted, on sheets they fit, and none needs more sheets than the one before."""
    whole = in_whole_numbers(read_problem(job))
    room, wanted = whole.rooms[0], Counter({at: kind.quantity for at, kind in enumerate(whole.kinds)})
    fewest = 1000
    for sheets in valued(whole.kinds, room, Effort(100_000), NO_LIMIT, 8, fewest):
        assert sum((Counter(kinds_in(tree)) for tree in sheets), Counter()) == wanted
        assert all(tree[0] <= room.length and tree[1] <= room.width for tree in sheets)
        assert len(sheets) <= fewest
        fewest = len(sheets)


def test_sheets_without_waste_are_found_by_value():
    """Where sheet after sheet of the most valuable strips gets by with as few as were cut up, so does the plan, in a moment."""
    for instance in published("knownopt"):
        if instance["name"] in ("knownopt_07", "knownopt_11", "knownopt_12"):
            found = plan(problem_of(instance))
            assert len(found.sheets) == found.least == instance["best_known_sheets"], instance["name"]


@pytest.mark.parametrize("at", range(0, 59, 9))
def test_fresh_problems_are_cut(at):
    """Problems of every family that nobody has seen: the same for the same seed, cut whole, accepted by the judge."""
    problem = fresh_problems(5)[at]
    assert problem == fresh_problems(5)[at]
    assert judge()(problem, answer(plan(problem_of(problem), work=150_000))) == (True, "ok")
