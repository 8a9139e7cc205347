"""The worked example in the documentation: its sums are right, and its figures are those of the plan."""

import re
from pathlib import Path

import pytest
from examples import DEMO
from packs import built

from core.cutting.plan import KEEP
from core.cutting.planned import job_plans

TEXT = (Path(__file__).parent.parent / "docs" / "cutting_example.md").read_text(encoding="utf-8")
SUM = re.compile(r"((?:\d+(?:\.\d+)?\s*[+−×]\s*)+\d+(?:\.\d+)?)\s*=\s*(\d+(?:\.\d+)?)")


def test_every_sum_of_the_example_is_right():
    """Each line of arithmetic in the text, worked out again."""
    sums = SUM.findall(" ".join(TEXT.split()))
    assert len(sums) > 12
    for words, result in sums:
        value = eval(words.replace("−", "-").replace("×", "*"))
        assert value == pytest.approx(float(result), abs=0.51 * 10 ** -len(result.partition(".")[2])), words


def test_the_areas_of_the_example_are_right():
    """Each row of the table: how many, with kerf in both directions, in m²."""
    rows = re.findall(r"\| [\d, ]+ \| [a-z ,]+ \| (\d+) \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \|", TEXT)
    assert len(rows) == 8
    for count, length, width, area in rows:
        assert int(count) * float(length) * float(width) / 1e6 == pytest.approx(float(area), abs=0.00006)


def test_the_figures_of_the_example_are_those_of_the_plan():
    """Number of sheets, settings in order, what is kept, and what is left of the cornice's length."""
    plans = {made.name: made for made in job_plans(built(DEMO)).plans}
    mdf = plans["MDF 18"]
    assert (len(mdf.plan.sheets), mdf.plan.least) == (3, 3)
    marks = {"3", "4", "5", "19"}
    sheet = next(s for s in mdf.plan.sheets if {mdf.blanks[p.part].mark for p in s.placements} == marks)
    said = re.search(r"The saw is set, in order: (.*?)485\.", " ".join(TEXT.split())).group(0)
    settings = [float(n) for n in re.findall(r"(?:^|[:,] )(\d+(?:\.\d+)?)", re.sub(r"\([^)]*\)", "", said.rstrip(".")))]
    shown = []
    for cut in sheet.cuts:
        full = next(p for p in sheet.pieces if p.number == cut.of)
        side = full.length if cut.direction == "across" else full.width
        shown.append(side - cut.setting if cut.from_far else cut.setting)
    assert settings == pytest.approx(shown)
    kept = sorted(round(min(p.length, p.width), 1) for p in sheet.pieces if p.kind == KEEP)
    assert kept == [126.8, 176.6, 335.6]
    oak = plans["oak 70 × 40"].plan.sheets[0]
    assert oak.pieces[oak.cuts[-1].rest].length == pytest.approx(70.4)
