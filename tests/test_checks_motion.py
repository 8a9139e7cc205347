"""Movement: what clashes on the way is found, what clears is not."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from checks_help import changed, demo, found, moved, only

from core.build import build
from core.checks import findings
from core.checks.clashes import _Ways, clashes
from core.checks.swinging import carried, rotation
from core.checks.tipping import turned
from core.piece.files import loads
from core.starters import starter_text


def test_the_demo_moves_freely():
    """Doors and drawer of the demo meet nothing on their way."""
    assert clashes(demo()[1]) == []
    assert not found(demo(), "movement", "wall beside", "floor")


def test_how_far_the_fronts_open():
    """The doors' knobs and the drawer's pulls reach about half a metre beyond the front."""
    assert only(found(demo(), "room in front")).value == pytest.approx(497, abs=1)


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("coat_cupboard", "Doors and the drawer open 497 mm"),
        ("bedside_cabinet", "The drawer opens 324 mm"),
        ("wardrobe", "Doors open 523 mm"),
        ("desk_pedestal", "Drawers open 528 mm"),
    ],
)
def test_what_opens_is_named_by_what_there_is(kind, words):
    """Rule: no doors are spoken of where there are none, no drawers where there are none."""
    piece = loads(starter_text(kind))
    (finding,) = [each for each in findings(piece, build(piece)) if each.check == "room in front"]
    assert finding.text == f"{words} beyond the front of the piece."


def test_a_lip_in_the_way_of_the_doors():
    """A cornice 10 mm too low stops the doors from their first degrees, though shut they clear it."""
    piece, model = demo()
    seen = found((piece, moved(model, "cornice/front", (0.0, 0.0, -10.0))), "movement")
    assert {each.severity for each in seen} == {"stop"}
    assert any(
        {"cornice/front", "doors/leaf.left/panel"} == set(each.keys) or "cornice/front" in each.keys for each in seen
    )


def test_a_drawer_that_meets_a_stiffener():
    """A bottom stiffener 80 mm too high stands in the drawer's way; only the travel shows it."""
    piece, model = demo()
    seen = found((piece, moved(model, "carcass/stiffener.bottom", (0.0, -15.0, 100.0))), "movement")
    assert any(each.keys[1] == "carcass/stiffener.bottom" for each in seen)


def test_closing_edges_that_bind():
    """Doors with 0.5 mm between them meet while one swings: need 0.89."""
    piece, model = demo()
    for key in next(motion for motion in model.motions if motion.key == "doors/leaf.right").moves:
        model = moved(model, key, (-2.5, 0.0, 0.0))
    seen = found((piece, model), "movement")
    assert any({key.split("/")[1] for key in each.keys} == {"leaf.left", "leaf.right"} for each in seen)


def test_a_thin_thing_between_two_steps_is_found():
    """A shelf pin out in the swing of a door, met only for a few degrees, is not missed."""
    _, model = demo()
    pin = next(fitting for fitting in model.fittings if "/pin." in fitting.key)
    hanging = replace(pin, place=replace(pin.place, origin=(-200.0, -800.0, 900.0)))
    spoilt = replace(model, fittings=tuple(hanging if each is pin else each for each in model.fittings))
    seen = [clash for clash in clashes(spoilt) if pin.key in clash.keys]
    assert seen
    assert 20 < seen[0].at < 60


def test_a_drawer_below_an_open_door():
    """A drawer whose way an open door crosses meets it; hung 200 mm lower, the doors stand before the drawer."""
    _, model = demo()
    for key in next(motion for motion in model.motions if motion.key == "doors/leaf.left").moves:
        model = moved(model, key, (0.0, 0.0, -200.0))
    clash = [each for each in clashes(model) if each.motion.key == "drawer" and "doors/leaf.left" in each.keys[1]]
    assert clash


@pytest.mark.parametrize("wall, angle", [(0, None), (300, None)])
def test_a_wall_beside_a_door(wall, angle):
    """The left door on its pin 54 mm inside the piece's side opens past 90° by a wall at once beside: its knob
    reaches no farther.
    """
    seen = found(changed(site={"wall_left": wall}), "wall beside")
    assert [each.value for each in seen] == ([] if angle is None else [angle])


def test_a_wall_that_stops_a_door():
    """A door whose pin stands outside the piece's side, beside a wall, opens less than 90°."""
    piece, model = changed(site={"wall_left": 0})
    motion = next(each for each in model.motions if each.key == "doors/leaf.left")
    for key in motion.moves:
        model = moved(model, key, (-80.0, 0.0, 0.0))
    out = replace(motion, through=(motion.through[0] - 80.0, *motion.through[1:]))
    spoilt = replace(model, motions=tuple(out if each.key == motion.key else each for each in model.motions))
    finding = only(found((piece, spoilt), "wall beside"))
    assert finding.severity == "warn"
    assert finding.value < 90


def test_nothing_goes_through_the_floor():
    """A drawer hung 200 mm lower than the floor allows is a stop."""
    piece, model = demo()
    for key in next(motion for motion in model.motions if motion.key == "drawer").moves:
        model = moved(model, key, (0.0, 0.0, -200.0))
    assert only(found((piece, model), "floor")).severity == "stop"


def test_turning_is_by_the_right_hand():
    """A quarter turn about up carries right to back; carried points and turned directions agree."""
    assert np.allclose(np.array((1.0, 0.0, 0.0)) @ rotation((0.0, 0.0, 1.0), 90.0), (0, 1, 0))
    motion = demo()[1].motions[0]
    points = np.array([[10.0, 20.0, 30.0], [-300.0, -500.0, 800.0]])
    there, turn = carried(points, motion, 37.0)
    assert np.allclose(there[1] - there[0], (points[1] - points[0]) @ turn)
    assert np.allclose([turned(tuple(point), motion, 37.0) for point in points], there, atol=1e-5)


@pytest.mark.parametrize("kind", ["swing", "travel"])
def test_a_step_holds_all_that_is_carried_through_it(kind):
    """Wherever within a step points are carried, they lie in the step's box and within its hull, by every direction tried."""
    model = demo()[1]
    motion = replace(next(each for each in model.motions if each.kind == kind), reach=170.0)
    steps = [0.0, 2.5, 18.0, 61.0, 90.0, 135.0, 170.0]
    low = np.random.default_rng(1).uniform(-900, 900, (20, 3))
    high = low + np.random.default_rng(2).uniform(1, 300, (20, 3))
    ways = _Ways.of(motion, steps)
    corners = np.stack([np.where(pick, high, low) for pick in np.ndindex(2, 2, 2)], axis=1)
    least, most = ways.boxes(low, high)
    looks = np.random.default_rng(3).normal(size=(50, 3))
    for step, (a, b) in enumerate(pairwise(steps)):
        farthest = (looks @ ways.hulls(step, corners)).max(axis=2)  # (20, 50)
        for amount in np.linspace(a, b, 9):
            there, _ = carried(corners, motion, amount)
            assert (there.min(axis=1) > least[step] - 1e-6).all() and (there.max(axis=1) < most[step] + 1e-6).all()
            assert ((there @ looks.T).max(axis=1) < farthest + 1e-6).all()
