"""What must come together at one push: the check bites on a glue-up that is too large, and keeps still on one that is not."""

from __future__ import annotations

import pytest
from checks_help import demo, found, only
from examples import EXAMPLES, example_model, example_piece
from pieces import built

from core.checks.pushes import BOTH_PEGS, pegs_at_one_push
from core.steps import steps
from core.steps.means import MOST_PEGS


def shelves(count: int, **carcass) -> tuple:
    """A tall piece with so many boards between its sides besides top and bottom."""
    rows = [{"id": f"r{number}", "parent": "all", "order": number} for number in range(count + 1)]
    layout = [{"id": "all", "divided": "rows"}, *rows]
    made = built(whole={"width": 700, "height": 2000, "depth": 350}, layout=layout, carcass=carcass)
    return made.piece, made.model


def pegs(made: tuple) -> list:
    return found(made, "pegs at one push")


def test_the_demo_is_glued_up_by_one_person():
    """15 dowels at the most at one push; 16 are what one person engages."""
    assert not pegs(demo())


def test_more_than_one_person_brings_together_is_a_note():
    """Five boards of four dowels make 20 at the second side: more than 16, not more than 32."""
    seen = only(pegs(shelves(3)))
    assert (seen.severity, seen.value, seen.limit) == ("note", 20.0, float(MOST_PEGS))
    assert "carcass/side.right" in seen.keys


def test_more_than_two_people_bring_together_is_a_warning():
    """Nine boards make 36: the bad example of this check."""
    seen = only(pegs(shelves(7)))
    assert (seen.severity, seen.value, seen.limit) == ("warn", 36.0, float(BOTH_PEGS))


def test_screws_and_housings_are_no_pegs():
    """What is screwed goes together one board after the other; a housing holds a board while the next is found."""
    for joint in ("screws", "housing"):
        assert not pegs(shelves(7, joint={"style": joint}))


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_finding_counts_what_the_steps_tell(name):
    """The largest pushes found are those of the step sheets."""
    piece, model = example_piece(name), example_model(name)
    told = sorted(
        push.pegs for step in steps(piece, model) for one in step.all for push in one.pushes if push.pegs > MOST_PEGS
    )
    assert sorted(each.value for each in pegs_at_one_push(piece, model)) == told
