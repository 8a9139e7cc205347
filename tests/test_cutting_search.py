"""What the search for plans rests on: trees changed in one place, plans by the value of parts, fresh problems."""

import random
import sys
from collections import Counter
from pathlib import Path

import pytest
from cutting_samples import answer, judge, problem_of, published, sheet_jobs
from hypothesis import given, settings

from core.cutting.improving import Effort
from core.cutting.planning import plan
from core.cutting.problem import read_problem
from core.cutting.trees import AREA, CHILDREN, LIE, NO_LIMIT, ROW, STACK, exchanged, joined, kinds_in, leaf
from core.cutting.valuing import valued
from core.cutting.whole import in_whole_numbers

sys.path.append(str(Path(__file__).parent / "bench"))
from cutting_fresh import fresh_problems


def _drawn(chance: random.Random, depth: int) -> tuple:
    if not depth or chance.random() < 0.3:
        return leaf(chance.randint(0, 9), chance.randint(1, 50), chance.randint(1, 50))
    return joined(chance.choice((ROW, STACK)), [_drawn(chance, depth - 1) for _ in range(chance.randint(2, 4))])


def test_a_child_exchanged_is_a_tree_joined_anew():
    """The short way to exchange one child gives the same tree as joining all children again."""
    chance = random.Random(1)
    for _ in range(500):
        parent = joined(chance.choice((ROW, STACK)), [_drawn(chance, 2) for _ in range(3)])
        fresh, anew = _drawn(chance, 2), parent[CHILDREN].copy()
        at = chance.randrange(len(anew))
        anew[at] = fresh
        short, long = exchanged(parent, at, fresh), joined(parent[LIE], anew)
        assert (short[:CHILDREN], short[AREA:]) == (long[:CHILDREN], long[AREA:])
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


def test_the_emptiest_sheets_are_put_into_one_fewer():
    """Where the first sheets are full, the last ones have room: what no search through all sheets found is found in a moment."""
    instance = next(each for each in published("knownopt") if each["name"] == "knownopt_10")
    found = plan(problem_of(instance), work=4_000_000)
    assert judge()(instance, answer(found)) == (True, "ok")
    assert len(found.sheets) == found.least == instance["best_known_sheets"]


@pytest.mark.parametrize("at", range(0, 59, 9))
def test_fresh_problems_are_cut(at):
    """Problems of every family that nobody has seen: the same for the same seed, cut whole, accepted by the judge."""
    problem = fresh_problems(5)[at]
    assert problem == fresh_problems(5)[at]
    assert judge()(problem, answer(plan(problem_of(problem), work=150_000))) == (True, "ok")
