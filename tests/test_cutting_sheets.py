"""Plans for sheets: everything cut once, from edge to edge, and never more sheets than needed."""

import dataclasses
import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from cutting_faults import faults
from cutting_samples import answer, judge, problem_of, published, sheet_jobs
from hypothesis import given, settings

from core.cutting.bounds import stretched_bound
from core.cutting.handling import TRACK
from core.cutting.plan import PART
from core.cutting.planning import StopPlanning, plan
from core.cutting.problem import read_problem
from core.cutting.whole import in_whole_numbers
from core.errors import ParameterError

SHORT = 60_000  # work: a fraction of a second


def _planned(work=SHORT, **keys):
    base = {"sheet": [1000, 600], "kerf": 3, "trim": 10, "parts": [[400, 200, 2]]}
    return plan(read_problem(base | keys), work=work)


@settings(max_examples=60, deadline=None)
@given(sheet_jobs())
def test_every_plan_can_be_sawn(job):
    """Each part comes out once, at its size, with its grain, in cuts from edge to edge."""
    found = plan(read_problem(job), work=SHORT)
    assert faults(found) == []


@settings(max_examples=60, deadline=None)
@given(sheet_jobs())
def test_the_independent_judge_agrees(job):
    """A verifier written by somebody else accepts every plan."""
    verify = judge()
    assert verify(job, answer(plan(read_problem(job), work=SHORT))) == (True, "ok")


@settings(max_examples=20, deadline=None)
@given(sheet_jobs())
def test_same_problem_same_plan(job):
    """The search counts work, not time: the same problem gets the same plan."""
    assert answer(plan(read_problem(job), work=SHORT)) == answer(plan(read_problem(job), work=SHORT))


@settings(max_examples=30, deadline=None)
@given(sheet_jobs())
def test_more_work_never_costs_a_sheet(job):
    """A longer search finds as few sheets as a shorter one, and never fewer than the bound."""
    problem = read_problem(job)
    short, long = plan(problem, work=1_000), plan(problem, work=SHORT)
    assert short.least <= len(long.sheets) <= len(short.sheets)


def test_two_parts_on_one_sheet():
    """Two parts of 400 × 200 leave a sheet of 1000 × 600 mostly whole, and one sheet is the least possible."""
    found = _planned()
    assert found.sentence == "1 sheet; 1 is the least possible"
    assert found.is_least
    # Side by side they leave 600 − 10 − 200 − 3 = 387 over 990, its far edges as they came; one above the other would leave 587 × 590, which is less.
    assert (found.largest_offcut.length, found.largest_offcut.width) == (990, 387)


def test_kerf_decides():
    """Five strips of 200 fit 1000 without a kerf, four with one."""
    assert len(_planned(sheet=[1000, 200], kerf=0, trim=0, parts=[[200, 200, 5]]).sheets) == 1
    assert len(_planned(sheet=[1000, 200], kerf=1, trim=0, parts=[[200, 200, 5]]).sheets) == 2


def test_the_last_part_needs_no_kerf():
    """A part as long as the trimmed sheet fits it."""
    found = _planned(parts=[[980, 580, 1]])
    assert len(found.sheets) == 1
    assert faults(found) == []


def test_grain_is_kept():
    """Parts that may turn share a sheet; with their grain locked they cannot."""
    free = {"sheet": [600, 1000], "kerf": 0, "trim": 0, "parts": [[1000, 300, 2]]}
    assert len(_planned(**free).sheets) == 1
    with pytest.raises(ParameterError, match="grain does not let it turn"):
        _planned(**free, locked=[True])


def test_the_pinwheel_needs_two_sheets():
    """Four parts around a fifth fit a sheet, but no saw can take them apart edge to edge."""
    found = _planned(sheet=[100, 100], kerf=0, trim=0, parts=[[60, 40, 4], [20, 20, 1]])
    assert len(found.sheets) == 2
    assert faults(found) == []


def test_parts_of_one_size_keep_their_numbers():
    """Equal parts listed twice are each cut as often as listed."""
    found = _planned(parts=[[100, 50, 3], [100, 50, 2]])
    assert sorted(each.part for sheet in found.sheets for each in sheet.placements) == [0, 0, 0, 1, 1]


def test_the_rack_is_used_first():
    """An offcut that takes a part spares the new sheet."""
    stock = [{"size": [2440, 1220], "price": 60}, {"size": [500, 400], "offcut": True, "name": "rack 4"}]
    found = plan(read_problem({"stock": stock, "kerf": 3, "trim": 5, "parts": [[400, 300, 1]]}), work=SHORT)
    assert [found.stock_of(sheet).name for sheet in found.sheets] == ["rack 4"]
    assert found.cost == 0
    assert found.is_least


def test_the_cheaper_size_is_bought():
    """Of two sizes that hold the job, the cheaper one."""
    stock = [{"size": [2440, 1220], "price": 60}, {"size": [1220, 1220], "price": 35}]
    found = plan(read_problem({"stock": stock, "parts": [[1000, 500, 2]]}), work=SHORT)
    assert found.cost == 35
    assert faults(found) == []


def test_stock_that_runs_out_is_said():
    """Too few sheets: one line that says so."""
    stock = [{"size": [1000, 1000], "count": 1}]
    with pytest.raises(ParameterError, match=r"stock.*no way was found"):
        plan(read_problem({"stock": stock, "parts": [[900, 900, 2]]}), work=1000)


def test_an_interrupted_plan_is_whole():
    """Stopped at once, the plan still cuts every part, and says that it was stopped."""
    instance = {"sheet": [1000, 1000], "kerf": 3, "parts": [[310 + 7 * at, 205 + 11 * at, 3] for at in range(12)]}
    found = plan(read_problem(instance), cancelled=lambda: True)
    assert faults(found) == []
    assert found.is_least or (found.stopped_early and found.sentence.endswith("stopped early"))


@pytest.mark.parametrize("dim", [1, 2])
@pytest.mark.parametrize("moment", [0.1, 0.8])
def test_a_stop_is_heard_within_half_a_second(dim, moment):
    """Whenever it is asked to stop, a plan of one material comes back whole within half a second of work, and says so."""
    chance = random.Random(2)
    if dim == 2:
        parts = [[chance.randint(100, 699), chance.randint(100, 499), 1] for _ in range(160)]
        problem = read_problem({"sheet": [1000, 700], "rotation": False, "parts": parts})
    else:  # three to a length and nothing left over, which takes a while to find
        threes = [(chance.randint(3800, 4900), chance.randint(2500, 2600)) for _ in range(120)]
        sizes = [size for two in threes for size in (*two, 10_000 - sum(two))]
        problem = read_problem({"dim": 1, "sheet": [10_000, 1], "parts": [[size, 1, 1] for size in sizes]})
    start = time.process_time()
    found = plan(problem, cancelled=lambda: time.process_time() - start > moment)
    assert found.stopped_early
    assert time.process_time() - start - moment < 0.5
    assert faults(found) == []


def test_a_callback_may_stop_by_raising():
    """StopPlanning out of either callback ends the search; the plan is whole and says that it was stopped."""

    def stop(*words: str) -> bool:
        raise StopPlanning

    parts = [[131 + 13 * at % 211, 113 + 17 * at % 173, 1] for at in range(100)]
    problem = read_problem({"sheet": [700, 500], "rotation": False, "parts": parts})
    for found in (plan(problem, progress=stop), plan(problem, cancelled=stop)):
        assert found.stopped_early
        assert faults(found) == []


def test_the_work_at_the_saw_is_eased_at_no_cost():
    """Over jobs of a workshop: as many sheets as without, fewer settings, turns and cuts in pieces too large for one person."""
    totals = {True: [0, 0, 0, 0], False: [0, 0, 0, 0]}
    for instance in published("workshop")[:8]:
        problem = dataclasses.replace(problem_of(instance), largest_piece=1.85)
        for eased, sums in totals.items():
            found = plan(problem, work=60_000, eased=eased)
            assert faults(found) == []
            totals[eased] = [
                a + b
                for a, b in zip(sums, (len(found.sheets), found.labour[0], found.labour[2], found.heavy), strict=True)
            ]
    as_found, eased = totals[False], totals[True]
    assert eased[0] == as_found[0]
    assert all(eased[at] < as_found[at] for at in (1, 2, 3))


def test_cuts_in_pieces_too_large_for_one_person_are_counted():
    """Two shelves out of a sheet of 3 m²: first the offcut comes off, then what is left, of 2.4 m², is halved."""
    for limit, heavy in ((2.0, 2), (2.5, 1), (3.1, 0), (None, 0)):
        keys = {} if limit is None else {"largest_piece": limit}
        found = _planned(sheet=[2500, 1200], trim=0, rotation=False, parts=[[1000, 1200, 2]], **keys)
        assert (found.heavy, found.labour[1]) == (heavy, 2)


def test_settings_are_shared():
    """Six equal shelves are ripped at one setting and crosscut at one."""
    found = _planned(sheet=[2500, 1250], parts=[[800, 300, 6]])
    settings_, cuts, _ = found.labour
    assert settings_ <= 8  # four trims, one rip, one crosscut, at most two to free the offcut
    assert cuts >= 6


def test_the_largest_piece_goes_by_track():
    """What one person cannot lift is cut with the track where it lies."""
    found = _planned(sheet=[2500, 1250], largest_piece=1.0, parts=[[800, 300, 6]])
    pieces = {piece.number: piece for sheet in found.sheets for piece in sheet.pieces}
    for cut in found.sheets[0].cuts:
        assert (cut.tool == TRACK) == (pieces[cut.of].area > 1e6)


@pytest.mark.parametrize("stages", [2, 3])
def test_stages_are_kept(stages):
    """Directions follow each other no more often than allowed; freeing offcuts (two cuts) and trimming to size come on top."""
    parts = [[310 + 7 * at, 205 + 11 * at, 2] for at in range(14)]
    found = _planned(sheet=[1500, 1000], trim=0, stages=stages, parts=parts)
    assert faults(found) == []
    for sheet in found.sheets:
        made = {number: cut for cut in sheet.cuts for number in (cut.off, cut.rest)}
        for piece in sheet.pieces:
            if piece.kind == PART:
                way, number = [], piece.number
                while number in made:
                    way.append(made[number].direction)
                    number = made[number].of
                runs = sum(1 for one, other in zip([None, *way], way, strict=False) if one != other)
                assert runs <= stages + 3


@pytest.mark.parametrize(
    ("keys", "words"),
    [
        ({"parts": [[0, 10, 1]]}, r"parts\[0\]: 0 is outside"),
        ({"parts": [[10, 10, 1.5]]}, r"parts\[0\]: 1.5 is not a whole number"),
        ({"parts": [[2000, 10, 1]]}, r"parts\[0\]: 2000 × 10 mm fits no sheet"),
        ({"parts": [[10, 10, 1]], "kerf": -1}, "kerf: -1 is outside"),
        ({"parts": [[10, 10, 1]], "kerf": float("nan")}, "kerf: nan is not a number"),
        ({"parts": [[10, 10, 1]], "trim": 400}, r"stock\[0\]: nothing of 1000 × 600"),
        ({"parts": [[10, 10, 1]], "dim": 3}, "dim: 3 is neither"),
        ({"parts": [[10, 10, 1]], "kerfs": 3}, "kerfs: is no key"),
        ({"parts": [[10, 10, 1]], "locked": [True, False]}, "locked: is not a list of 1"),
    ],
)
def test_what_cannot_be_cut_is_said_in_one_line(keys, words):
    """An error names the thing, the value and the limit."""
    with pytest.raises(ParameterError, match=words):
        read_problem({"sheet": [1000, 600]} | keys)


def test_published_instances_are_cut_and_verified():
    """A sample of the published instances: accepted by the judge, bound and plan in the right order."""
    verify = judge()
    for instance in published("classes_R", "csp30", "workshop", "knownopt")[::9]:
        found = plan(problem_of(instance), work=200_000)
        assert verify(instance, answer(found)) == (True, "ok"), instance["name"]
        assert faults(found) == [], instance["name"]
        assert found.least <= len(found.sheets)


def test_the_bound_is_never_above_the_best_known():
    """Where a better plan than ours is published, our bound still lies below it."""
    for instance in published("classes_R", "classes_O", "csp30", "knownopt", "atp", "imahori"):
        whole = in_whole_numbers(problem_of(instance))
        assert stretched_bound(whole, whole.rooms[0]) <= instance["best_known_sheets"], instance["name"]


@pytest.mark.soak
def test_published_sheets_reach_the_floor():
    """Workshop jobs in at most 135 sheets, 14 of them proven; large demands in at most 5064; every plan accepted."""
    verify, totals, proven = judge(), {}, 0
    for instance in published("workshop", "cintra"):
        found = plan(problem_of(instance))
        assert verify(instance, answer(found)) == (True, "ok"), instance["name"]
        assert faults(found) == [], instance["name"]
        totals[instance["set"]] = totals.get(instance["set"], 0) + len(found.sheets)
        proven += found.is_least and instance["set"] == "workshop"
    assert totals["workshop"] <= 135
    assert totals["cintra"] <= 5064
    assert proven >= 14


@pytest.mark.skipif(os.name == "nt", reason="a console's Ctrl-C cannot be sent to one program there")
def test_ctrl_c_gives_the_best_plan_so_far_whole(tmp_path):
    """A real Ctrl-C: status 130, every part on some sheet, no fault in the plan, and the plan says that it was stopped."""
    parts = [[131 + 13 * at % 211, 113 + 17 * at % 173, 1] for at in range(100)]  # seconds, unless stopped
    plain = {"dim": 2, "sheet": [700, 500], "kerf": 0, "trim": 0, "rotation": False, "parts": parts}
    (tmp_path / "problem.json").write_text(json.dumps(plain))
    program = "import signal, sys; signal.signal(signal.SIGINT, signal.default_int_handler); "
    program += "from core.__main__ import main; sys.exit(main(sys.argv[1:]))"
    words = [sys.executable, "-c", program, "cut", str(tmp_path / "problem.json"), "--out", str(tmp_path / "plan.json")]
    running = subprocess.Popen(words, cwd=Path(__file__).parents[1], stderr=subprocess.PIPE, text=True)
    assert "at least" in running.stderr.readline()  # the search has begun
    running.send_signal(signal.SIGINT)
    told = running.communicate(timeout=60)[1]
    assert running.returncode == 130, told
    made = json.loads((tmp_path / "plan.json").read_text())
    assert made["stopped_early"] and made["sentence"].endswith("the search was stopped early")
    assert sorted(part for sheet in made["sheets"] for part, *_ in sheet) == list(range(len(parts)))
    assert judge()(plain, made) == (True, "ok")
