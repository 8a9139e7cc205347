"""Plans for lengths: everything cut once, and the least possible proven for ordinary jobs."""

import random

import numpy as np
import pytest
from cutting_faults import faults
from cutting_samples import answer, judge, length_jobs, problem_of, published
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cutting.knapsack import best_choice, best_with_each
from core.cutting.linear import Columns, Program
from core.cutting.planning import plan
from core.cutting.problem import read_problem
from core.cutting.summing import summed

SHORT = 400_000  # work: a fraction of a second


def _planned(length, parts, work=SHORT, **keys):
    return plan(read_problem({"dim": 1, "sheet": [length, 1], "parts": parts} | keys), work=work)


@settings(max_examples=60, deadline=None)
@given(length_jobs())
def test_every_plan_can_be_sawn(job):
    """Each length comes out once, with kerf and end trim, and never with fewer stock lengths than the bound."""
    assert faults(plan(read_problem(job), work=SHORT)) == []


@settings(max_examples=60, deadline=None)
@given(length_jobs())
def test_the_independent_judge_agrees(job):
    """A verifier written by somebody else accepts every plan."""
    verify = judge()
    assert verify(job, answer(plan(read_problem(job), work=SHORT))) == (True, "ok")


@settings(max_examples=15, deadline=None)
@given(length_jobs())
def test_same_problem_same_plan(job):
    """The search counts work, not time: the same problem gets the same plan."""
    assert answer(plan(read_problem(job), work=SHORT)) == answer(plan(read_problem(job), work=SHORT))


def test_kerf_and_end_trim():
    """2000 less twice 10 holds four of 492 with three kerfs of 4; a part a millimetre longer is one too many."""
    assert len(_planned(2000, [[492, 1, 4]], kerf=4, trim=10).sheets) == 1
    assert len(_planned(2000, [[493, 1, 4]], kerf=4, trim=10).sheets) == 2


def test_longest_first_is_not_the_last_word():
    """Longest first needs three lengths here; two are enough: 6 + 2 + 2 and 4 + 3 + 3."""
    found = _planned(10, [[6, 1, 1], [4, 1, 1], [3, 1, 2], [2, 1, 2]])
    assert len(found.sheets) == 2
    assert found.sentence == "2 lengths; 2 is the least possible"


def test_the_bound_knows_what_the_sum_does_not():
    """Three parts of 6 sum to less than two lengths of 10, but no two share one."""
    found = _planned(10, [[6, 1, 3]])
    assert (len(found.sheets), found.least) == (3, 3)


def test_defects_are_avoided():
    """A knot at 900 to 950 of 2000 leaves room before and behind it."""
    stock = [{"size": [2000, 1], "defects": [[900, 950]]}]
    found = plan(read_problem({"dim": 1, "stock": stock, "kerf": 4, "trim": 10, "parts": [[880, 1, 2]]}), work=SHORT)
    assert faults(found) == []
    assert len(found.sheets) == 1
    assert all(each.x + 880 <= 900 or each.x >= 950 for each in found.sheets[0].placements)


def test_short_offcuts_first():
    """What lies in the rack is used before a length is bought."""
    stock = [{"size": [2400, 1], "price": 9}, {"size": [1000, 1], "offcut": True}]
    found = plan(read_problem({"dim": 1, "stock": stock, "parts": [[900, 1, 1]]}), work=SHORT)
    assert found.cost == 0
    assert found.is_least


def test_an_interrupted_plan_is_whole():
    """Stopped at once, the plan still cuts every part."""
    found = plan(
        read_problem({"dim": 1, "sheet": [1000, 1], "parts": [[300 + 7 * at, 1, 3] for at in range(20)]}),
        cancelled=lambda: True,
    )
    assert faults(found) == []


@given(
    st.lists(st.tuples(st.integers(1, 30), st.integers(0, 40), st.integers(0, 3)), min_size=1, max_size=4),
    st.integers(30, 60),
)
def test_the_best_choice_is_the_best(items, capacity):
    """The table agrees with trying every choice."""
    sizes, values, most = (np.array(column, dtype=np.int64) for column in zip(*items, strict=True))
    value, chosen = best_choice(sizes, values, most, [capacity])[0]
    grids = np.meshgrid(*[np.arange(times + 1) for times in most], indexing="ij")
    weight, worth = (sum(grid * each for grid, each in zip(grids, column, strict=True)) for column in (sizes, values))
    assert value == worth[weight <= capacity].max()
    assert chosen @ values == value
    assert chosen @ sizes <= capacity
    assert (chosen <= most).all()


@given(
    st.lists(st.tuples(st.integers(1, 30), st.integers(0, 40), st.integers(0, 3)), min_size=1, max_size=4),
    st.integers(30, 60),
)
def test_choices_with_some_item_are_the_best_of_those_that_have_it(items, capacity):
    """The greatest value is that of the best choice; each choice fits, and none with its dearest item is worth more."""
    sizes, values, most = (np.array(column, dtype=np.int64) for column in zip(*items, strict=True))
    best, found = best_with_each(sizes, values.astype(float), most, capacity, 0.0, 100)
    grids = np.meshgrid(*[np.arange(times + 1) for times in most], indexing="ij")
    weight, worth = (sum(grid * each for grid, each in zip(grids, column, strict=True)) for column in (sizes, values))
    fits = weight <= capacity
    assert best == worth[fits].max()
    with_each = [worth[fits & (grid > 0)].max(initial=0) for grid in grids]
    for chosen in found:
        assert chosen @ sizes <= capacity and (chosen <= most).all()
        assert chosen @ values in {with_each[at] for at in np.flatnonzero(chosen)}
    held = sum(found, np.zeros(len(sizes), dtype=np.int64))
    assert all(
        held[at] for at in range(len(sizes)) if with_each[at] and values[at] and sizes[at] <= capacity and most[at]
    )


@given(st.lists(st.integers(1, 60), min_size=1, max_size=30), st.integers(0, 200), st.integers(0, 99))
def test_exact_sums_hold_every_part_once(sizes, spoiled, seed):
    """Each part stands in one length, none is overfull, and no more stays unfilled than was allowed."""
    kinds = list(range(len(sizes)))
    lengths, _ = summed(sizes, kinds, 60, spoiled, random.Random(seed).random)
    if lengths is not None:
        filled = [sum(sizes[kind] for kind in each) for each in lengths]
        assert sorted(kind for each in lengths for kind in each) == kinds
        assert max(filled) <= 60 and 60 * len(lengths) - sum(filled) <= spoiled
    assert lengths is not None or summed(sizes, kinds, 60, 60 * len(sizes), random.Random(seed).random)[0] is not None


def test_exact_sums_find_what_longest_first_does_not():
    """6 + 2 + 2 and 4 + 3 + 3 out of 10: nothing is spoiled."""
    assert summed([6, 4, 3, 2], [0, 1, 2, 2, 3, 3], 10, 0, random.Random(1).random)[0] is not None


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 9999))
def test_a_program_mended_is_one_solved_anew(seed):
    """For another demand the optimum is the same, whether it is reached from the old one or from the beginning."""
    draw = np.random.default_rng(seed)
    rows = int(draw.integers(2, 7))
    columns = Columns(rows)
    basis = [columns.add(each, 1.0) for each in np.eye(rows, dtype=np.int64)]
    for each in np.eye(rows, dtype=np.int64):
        columns.add(-each, 0.0)
    for _ in range(12):
        columns.add(draw.integers(0, 4, rows), 1.0)
    program = Program(columns, draw.integers(1, 9, rows), basis)
    assert program.solve(lambda prices: [], lambda work: True)
    demand = draw.integers(0, 9, rows)
    mended, anew = program.with_demand(demand), Program(columns, demand, basis)
    assert mended.mend(lambda work: True) and mended.solve(lambda prices: [], lambda work: True)
    assert anew.solve(lambda prices: [], lambda work: True)
    assert mended.value == pytest.approx(anew.value)
    assert (mended.used >= -1e-9).all() and mended.prices() @ demand == pytest.approx(mended.value)


def test_published_mouldings_reach_the_bound():
    """Jobs of mouldings and lippings are proven least, and accepted by the judge."""
    verify = judge()
    for instance in published("mouldings"):
        found = plan(problem_of(instance))
        assert verify(instance, answer(found)) == (True, "ok")
        assert found.is_least
        assert len(found.sheets) == instance["lower_bound"]


@pytest.mark.soak
def test_published_lengths():
    """Over hard28, Wäscher–Gau and Falkenauer: at most the floor of 3360 with the mouldings, every plan accepted."""
    verify, total = judge(), 0
    for instance in published("hard28", "waescher", "falkenauer", "mouldings"):
        found = plan(problem_of(instance))
        assert verify(instance, answer(found)) == (True, "ok"), instance["name"]
        assert found.least <= len(found.sheets)
        total += len(found.sheets)
    assert total <= 3360


def test_the_growing_program_finds_the_optimum():
    """Sizes 3 and 5 out of 10, wanted 6 and 4 times: patterns 3+3+3 and 5+5 at 2 each, four lengths by the relaxation."""
    columns = Columns(2)
    basis = [columns.add(np.array(column), 1.0) for column in ([3, 0], [0, 2])]
    program = Program(columns, np.array([6, 4]), basis)
    assert program.solve(lambda prices: [], lambda work: True)
    assert program.value == pytest.approx(4)
    assert program.prices() == pytest.approx([1 / 3, 1 / 2])


def test_the_inverse_is_the_inverse():
    """Computed afresh, the inverse times the basis is the identity."""
    columns, numbers = Columns(5), np.random.default_rng(3).integers(0, 4, (5, 5)) + 5 * np.eye(5, dtype=int)
    program = Program(columns, np.arange(1, 6), [columns.add(column, 1.0) for column in numbers.T])
    assert np.allclose(program.inverse @ numbers, np.eye(5))


def test_sound_wood_before_a_defect_is_kept():
    """What is long enough between the end and a defect goes back to the rack; the defect itself is scrap."""
    problem = read_problem({"dim": 1, "kerf": 3, "trim": 10, "parts": [[1400, 1, 1]],
                            "stock": [{"size": [2400, 1], "defects": [[700, 760]]}]})  # fmt: skip
    found = plan(problem, work=SHORT)
    assert faults(found) == []
    assert [round(piece.length) for piece in found.sheets[0].pieces if piece.kind == "keep"] == [687]


@settings(max_examples=40, deadline=None)
@given(length_jobs(), st.lists(st.tuples(st.floats(0, 0.9), st.floats(0.01, 0.2)), max_size=3))
def test_lengths_with_defects_can_be_sawn(job, stretches):
    """Whatever the defects, each part lies in sound wood and everything on the bench has a name."""
    long = job["sheet"][0]
    defects = [[round(long * a, 1), round(min(long, long * (a + b)), 1)] for a, b in stretches]
    parts = [[min(size, long - 2 * job["trim"]), 1, count] for size, _, count in job["parts"]]
    stock = [{"size": [long, 1], "defects": defects, "count": 2, "price": 1}, {"size": [long, 1], "price": 5}]
    problem = read_problem({key: job[key] for key in ("dim", "kerf", "trim")} | {"stock": stock, "parts": parts})
    assert faults(plan(problem, work=20_000)) == []
