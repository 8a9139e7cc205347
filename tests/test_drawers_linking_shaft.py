"""A linking shaft behind a wide drawer, from rack to rack."""

from __future__ import annotations

import pytest
from pieces import PLAIN, built, found, keeps_every_rule, refused

from core.fittings import fitting_entry

WIDE = {"width": 900, "height": 320, "depth": 480}


def drawer(runner: str = "runner-linked-400", shaft: str = "shaft-linking-8", **more) -> dict:
    runs_on = {"style": "side_mounted", "linking_shaft": shaft}
    spec = {"runner": runner, "runs_on": runs_on, **more}
    return {"id": "d", "kind": "drawer", "closes": ["all"], "handles": 2, "drawer": spec}


def test_the_pinions_stand_on_both_racks_shut_and_drawn():
    """0.2 mm over each rack, within its width, at every place from shut to drawn; the shaft goes as far as the drawer."""
    made = keeps_every_rule(whole=WIDE, boards=PLAIN["boards"], fronts=[drawer()])
    shaft = next(each for each in made.model.fittings if each.key == "d/linking_shaft")
    (motion,) = made.model.motions
    assert shaft.key in motion.moves and shaft.key not in motion.half
    length = max(body.high[0] for body in shaft.bodies)
    entry = fitting_entry("runner-linked-400")
    racks = [body for body in entry.bodies_for(None, entry.members[0]) if body.substance == "nylon"]
    assert len(racks) == 2
    for side, end in (("left", 0.0), ("right", length)):
        runner = next(each for each in made.model.fittings if each.key == f"d/runner.{side}")
        both = [[runner.place.point(corner) for corner in (body.low, body.high)] for body in racks]
        rack = min(both, key=lambda each: each[0][2])
        axis = shaft.place.point((end, 0.0, 0.0))
        over = axis[2] - 4.9 - max(each[2] for each in rack)
        assert over == pytest.approx(0.2, abs=1e-6)
        across = sorted(each[0] for each in rack)
        pinion = sorted((axis[0], axis[0] + (6.0 if side == "left" else -6.0)))
        assert min(across[1], pinion[1]) - max(across[0], pinion[0]) >= 5.0
        deep = sorted(each[1] for each in rack)
        assert deep[0] <= axis[1] - motion.reach and axis[1] <= deep[1]


def test_a_linked_drawer_is_not_told_that_it_racks_but_one_too_wide_is():
    """Rule book W3 b: 1.5 to 2.5 times wants the shaft; above 2.5 nothing helps."""
    told = {}
    for name, spec in (("linked", drawer()), ("plain", drawer(shaft=""))):
        made = built(whole=WIDE, boards=PLAIN["boards"], fronts=[spec])
        told[name] = [each.severity for each in found(made) if each.check == "drawer width"]
    assert told == {"linked": [], "plain": ["warn"]}
    far = built(whole={**WIDE, "width": 1200}, boards=PLAIN["boards"], fronts=[drawer()])
    assert [each.severity for each in found(far) if each.check == "drawer width"] == ["stop"]


@pytest.mark.parametrize(("depth", "runner"), [(480, "runner-linked-400"), (454, "runner-linked-350")])
def test_runners_that_follow_have_racks_and_leave_room_for_the_shaft(depth, runner):
    """Where no runner is named, the longest goes in that has racks, and behind whose box the shaft can turn."""
    made = keeps_every_rule(whole={**WIDE, "depth": depth}, boards=PLAIN["boards"], fronts=[drawer(runner="")])
    assert {each.entry for each in made.model.fittings if "/runner." in each.key} == {runner}


@pytest.mark.parametrize(
    ("whole", "spec", "field", "word"),
    [
        (WIDE, drawer(runner="runner-wide-400"), "runner", "runner-linked-400"),
        ({**WIDE, "height": 200}, drawer(clear_above=60.0, clear_below=24.0), "clear_above", "bearings"),
        ({**WIDE, "depth": 454}, drawer(), "runner", "behind the box"),
    ],
)
def test_where_a_shaft_cannot_be_the_refusal_says_what_to_take(whole, spec, field, word):
    """Runners without racks, a box too low for its bearings, no room behind."""
    assert word in refused(f"fronts[0].drawer.{field}", whole=whole, boards=PLAIN["boards"], fronts=[spec])
