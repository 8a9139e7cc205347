"""Tipping and wall anchors, against the demo piece as worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest
from checks_help import changed, demo, found, only

from core.checks.reading import drawer_room
from core.checks.tipping import CHILD, OPEN_EMPTY, enclosed, front_feet, states
from core.mechanics import GRAVITY, holding_moment
from core.model import Model
from core.weights import together, weight_of_part


def moments(model: Model) -> dict[str, float]:
    return {state.words: state.moment for state in states(model)}


def test_the_demo_tips_about_its_front_glides():
    """The pivot is the line through the front glides' middles, 22.5 mm behind the carcass front."""
    assert front_feet(demo()[1]) == pytest.approx(-511.5)


def test_moments_of_the_demo():
    """By hand: +133 N·m empty and open; a child on the drawer −126: +7 left on a level floor.

    At 1.5° the hand reckoning leaves −23 with the child's own height left out; counted at the drawer front's upper edge
    (385.5 mm) it takes 2.7 more, and fittings and fasteners (3.5 kg, most of them in front of the pivot when open)
    about 1.5.
    """
    found = moments(demo()[1])
    assert found[OPEN_EMPTY] == pytest.approx(133, abs=2.5)
    child = f"everything open and a child of {CHILD:g} kg on a drawer"
    assert found[OPEN_EMPTY] - found[child] == pytest.approx(126, abs=0.2)
    assert found[child] == pytest.approx(7, abs=2.5)
    assert found[f"{child}, leaning 1.5°"] == pytest.approx(-23 - 2.7 - 1.5, abs=2.5)


def test_the_shut_piece_by_its_centre_of_mass():
    """Shut, the moment is the weight times how far the centre of mass lies behind the glides."""
    model = demo()[1]
    parts = replace(model, fittings=(), fasteners=(), motions=())
    weight = together(map(weight_of_part, model.parts))
    pivot = front_feet(parts)
    expected = holding_moment([(weight.mass, weight.centre[1] - pivot, weight.centre[2])])
    assert moments(parts)["as it stands"] == pytest.approx(expected)
    assert expected == pytest.approx(weight.mass * GRAVITY * (weight.centre[1] - pivot) / 1000)


def test_the_demo_must_be_anchored():
    """It tips with a child on a front of a leaning floor: a warn with what is missing and what the anchors carry; two
    anchors noted.
    """
    finding = only(found(demo(), "tipping"))
    assert finding.severity == "warn"
    assert finding.value < 0
    assert "Anchor it to the wall" in finding.remedy
    note = only(found(demo(), "wall anchor"))
    assert (note.severity, note.value) == ("note", 2)
    assert "16 CFR 1261" in note.text and "compliance" in note.source


def test_no_anchors():
    """A tall piece without anchor rails has no anchors: said."""
    seen = found(changed(carcass={"stiffeners": {"anchor_rails": False}}), "wall anchor")
    assert only(seen).severity == "warn"


def test_tipping_that_is_certain_is_a_stop_without_anchors():
    """A shallow, light piece that tips on a level floor by read figures alone cannot go out without anchors."""
    small = dict(
        whole={"depth": 420},
        fronts={"drawer": {"drawer": {"runner": "runner-wide-300"}}},
        layout={"coats": {"holds": []}},
    )
    held = only(found(changed(**small), "tipping"))
    free = only(found(changed(**small, carcass={"stiffeners": {"anchor_rails": False}}), "tipping"))
    assert (held.severity, free.severity) == ("warn", "stop")
    assert free.value < 0


def test_without_children_no_child_is_reckoned_with():
    """Where no children are about, the demo stands by itself, and that is only noted."""
    assert only(found(changed(site={"children": False}), "tipping")).severity == "note"


def test_enclosed_storage_of_the_demo():
    """The drawer's clear box whole and half of each bay behind the doors: 988 × 420 × 109 and 513 × 499 × 1 448 each."""
    model = demo()[1]
    drawer = next(motion for motion in model.motions if motion.key == "drawer")
    low, high = drawer_room(model, drawer)
    assert tuple(b - a for a, b in zip(low, high, strict=True)) == pytest.approx((988, 420, 109))
    assert enclosed(model) == pytest.approx((988 * 420 * 109 + 513 * 499 * 1448) / 1e6)
