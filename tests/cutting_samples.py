"""Cutting problems for the tests, and the independent judge where it is at hand."""

import importlib.util
import json
from pathlib import Path

import pytest
from hypothesis import strategies as st

from core.cutting.plan import CuttingPlan, plan_json
from core.cutting.problem import CuttingProblem, read_problem

BENCH = Path(__file__).resolve().parents[2] / "shared" / "bench" / "cutting"


def judge():
    """The independent verifier's function; the test is skipped, saying so, where it is not at hand."""
    path = BENCH / "verify.py"
    if not path.exists():
        pytest.skip("the independent verifier is not at hand")
    spec = importlib.util.spec_from_file_location("independent_verifier", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module.verify


def published(*sets: str) -> list[dict]:
    """The measured instances of these sets, in the order of their names."""
    if not (BENCH / "split.json").exists():
        pytest.skip("the published instances are not at hand")
    measured = set(json.loads((BENCH / "split.json").read_text())["measured"])
    found = [
        each
        for name in sets
        for each in json.loads((BENCH / "data" / f"{name}.json").read_text())
        if each["name"] in measured
    ]
    return sorted(found, key=lambda each: each["name"])


def answer(plan: CuttingPlan) -> dict:
    """The plan as another program reads it."""
    return json.loads(plan_json(plan))


def problem_of(instance: dict) -> CuttingProblem:
    """What a solver is shown of an instance."""
    shown = ("dim", "sheet", "kerf", "trim", "rotation", "locked", "parts")
    return read_problem({key: instance[key] for key in shown if key in instance})


@st.composite
def sheet_jobs(draw) -> dict:
    """A small job with grain, kerf, edge trim and tenths of a millimetre."""
    length, width = draw(st.integers(300, 2800)), draw(st.integers(300, 2070))
    trim = draw(st.sampled_from((0, 5, 12.5)))
    kerf = draw(st.sampled_from((0, 2.2, 3, 4.8, 15)))
    count = draw(st.integers(1, 9))
    room = length - 2 * trim, width - 2 * trim
    tenths = [st.integers(200, int(side * 10)).map(lambda value: value / 10) for side in room]
    parts = [[draw(tenths[0]), draw(tenths[1]), draw(st.integers(0, 5))] for _ in range(count)]
    locked = [draw(st.booleans()) for _ in range(count)]
    return {
        "dim": 2,
        "sheet": [length, width],
        "kerf": kerf,
        "trim": trim,
        "rotation": draw(st.booleans()),
        "locked": locked,
        "parts": parts,
    }


@st.composite
def length_jobs(draw) -> dict:
    """A small job of lengths with kerf and end trim."""
    length, trim = draw(st.integers(500, 6000)), draw(st.sampled_from((0, 10, 25.5)))
    size = st.integers(200, int((length - 2 * trim) * 10)).map(lambda value: value / 10)
    parts = [[draw(size), 1, draw(st.integers(0, 12))] for _ in range(draw(st.integers(1, 8)))]
    return {
        "dim": 1,
        "sheet": [length, 1],
        "kerf": draw(st.sampled_from((0, 2.2, 3.2))),
        "trim": trim,
        "rotation": False,
        "parts": parts,
    }
