"""What is said to be the least possible is: prices prove it, and never too much."""

import random

import numpy as np
from cutting_samples import problem_of, published
from hypothesis import given, settings
from hypothesis import strategies as st

from core.cutting.building import ORDERS, ordered, sheet_after_sheet
from core.cutting.improving import Effort
from core.cutting.planning import plan
from core.cutting.problem import read_problem
from core.cutting.proving import _MostValuable, proven_bound
from core.cutting.trees import NO_LIMIT
from core.cutting.whole import Kind, Room, in_whole_numbers


@st.composite
def valued_kinds(draw) -> tuple[list[Kind], Room, list[int]]:
    """A few kinds of parts, as many of each as fit, with prices."""
    length, width = draw(st.integers(6, 28)), draw(st.integers(6, 28))
    sizes = draw(
        st.lists(st.tuples(st.integers(2, length), st.integers(2, width), st.booleans()), min_size=1, max_size=6)
    )
    kinds = [Kind(long, wide, 999, turns and long != wide, ()) for long, wide, turns in sizes]
    values = [draw(st.integers(0, 2 * kind.length * kind.width)) for kind in kinds]
    return kinds, Room(length, width, 1.0, None, 0), values


@settings(max_examples=30, deadline=None)
@given(valued_kinds())
def test_the_most_valuable_sheet_is_found(case):
    """As valuable as the best of all ways of cutting at any whole step, and made of the parts it names."""
    kinds, room, values = case
    worth, counts = _MostValuable(kinds, room).sheet(np.array(values))
    assert worth == _best_of_all_cuts(kinds, room, values)
    assert worth == sum(int(times) * value for times, value in zip(counts, values, strict=True))


def _best_of_all_cuts(kinds: list[Kind], room: Room, values: list[int]) -> int:
    """Every cut at every step, without thought."""
    best = [[0] * (room.width + 1) for _ in range(room.length + 1)]
    for long in range(1, room.length + 1):
        for wide in range(1, room.width + 1):
            worths = [0]
            for kind, value in zip(kinds, values, strict=True):
                for length, width in [(kind.length, kind.width), (kind.width, kind.length)][: 1 + kind.turns]:
                    if length <= long and width <= wide:
                        worths.append(value)
            worths += [best[at][wide] + best[long - at][wide] for at in range(1, long // 2 + 1)]
            worths += [best[long][at] + best[long][wide - at] for at in range(1, wide // 2 + 1)]
            best[long][wide] = max(worths)
    return best[room.length][room.width]


@settings(max_examples=30, deadline=None)
@given(st.integers(1, 10_000), st.integers(1, 3), st.booleans())
def test_sheets_cut_up_without_waste_are_never_said_to_be_too_few(seed, sheets, rotation):
    """The parts of so many whole sheets, cut up edge to edge: the bound is no higher, whatever plan it is shown."""
    chance = random.Random(seed)
    pieces = [(60, 40)] * sheets
    for _ in range(6 * sheets):
        at = chance.randrange(len(pieces))
        long, wide = pieces[at]
        if max(long, wide) >= 8:
            across = chance.random() < 0.5 if min(long, wide) >= 8 else long > wide
            cut = chance.randint(4, (long if across else wide) - 4)
            pieces[at : at + 1] = [(cut, wide), (long - cut, wide)] if across else [(long, cut), (long, wide - cut)]
    job = {"sheet": [60, 40], "rotation": rotation, "parts": [[*piece, 1] for piece in pieces]}
    assert _proven(job, work=100_000) <= sheets


def _proven(job: dict, work: int) -> int:
    whole = in_whole_numbers(read_problem(job))
    kinds, room = whole.kinds, whole.rooms[0]
    plans = [sheet_after_sheet(kinds, ordered(kinds, order), room, NO_LIMIT, 10_000)[0] for order in ORDERS]
    return proven_bound(kinds, room, plans, 0, Effort(work))


def test_a_small_part_that_always_fits_beside_is_no_stumbling_block():
    """Where the small part finds room beside any sum of the others, no piece of size nothing comes up by itself; it is needed all the same."""
    job = {"sheet": [300, 300], "rotation": False, "parts": [[60.1, 150.1, 5], [20.0, 20.0, 1]]}
    assert _proven(job, work=100_000) == 2


def test_large_demands_are_proven_least():
    """The published jobs with large demands are cut out of as few sheets as there can be, and the plan says so."""
    for instance in published("cintra")[::6]:
        found = plan(problem_of(instance), work=3_000_000)
        assert found.is_least, instance["name"]
        assert found.least == instance["best_known_sheets"], instance["name"]


def test_the_proof_is_never_above_the_best_known():
    """Where a better plan than ours is published, what is proven still lies below it."""
    for instance in published("classes_R", "classes_O", "csp30", "classic")[::8]:
        shown = {key: instance[key] for key in ("sheet", "rotation", "parts")}
        best = instance.get("best_known_sheets")
        assert best is None or _proven(shown, work=100_000) <= best, instance["name"]
