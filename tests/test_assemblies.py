"""The order of building is physically possible: judged by pushing solids along their ways with a boolean library."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from assembling import BY_HAND, Room, leaves_of, pegs_across, ways_of_assemblies
from examples import DEMO, EXAMPLES, chest_with_boards, example_model
from hypothesis import HealthCheck, Phase, given, settings
from pieces import built
from strategies import piece_data, relented
from test_drawers import bank

import core
from core.errors import ParameterError
from core.model import Assembly, Model
from core.piece import loads

RANDOM = settings(
    max_examples=20,
    deadline=None,
    derandomize=True,
    database=None,
    suppress_health_check=list(HealthCheck),
    phases=(Phase.explicit, Phase.generate),
)
TIMES = 8  # that a refused piece is changed and tried again


def faults(model: Model) -> list[str]:
    """What is in the way of what, anywhere in the order of building."""
    room, found, parts = Room(model), [], {part.key for part in model.parts}
    for name, moving, there, way in ways_of_assemblies(model):
        most = BY_HAND if parts.isdisjoint(moving) else np.inf
        found += [f"{name}: {clash}" for clash in room.clashes(moving, there, way, most)]
        found += [f"{name}: {peg} lies across its way" for peg in pegs_across(model, moving, there, way)]
    return found


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_member_comes_to_its_place_along_a_straight_way(name):
    """Nothing is in the way of any part, assembly or fitting of the pieces that are handed out, and no dowel lies across."""
    assert faults(example_model(name)) == []


FRONTS = {
    "rebated pair": {"kind": "pair", "meeting_stiles": {"joint": "rebated", "leads": "left"}},
    "overlay pair with a bead": {"kind": "pair", "lay": "full", "meeting_stiles": {"joint": "bead"}},
    "door with a strip, a lock and a stay": {
        "kind": "door",
        "hanging": {"stop_strip": "side", "lock": "lock-cupboard-50", "door_stay": "stay-door-90"},
    },
    "door under a strip": {"kind": "door", "hanging": {"stop_strip": "top", "hinge": "hinge-piano-32"}},
    "fixed panel": {"kind": "fixed"},
    "overlay fixed panel": {"kind": "fixed", "lay": "full"},
}


@pytest.mark.parametrize("name", FRONTS)
def test_every_front_comes_to_its_place_along_a_straight_way(name):
    """Doors with all that is on them, fixed panels with their fillets, strips with their pads."""
    whole = {"width": 1000 if "pair" in name else 560, "height": 1000, "depth": 450}
    assert faults(built(whole=whole, fronts=[{"id": "d", "closes": ["all"], **FRONTS[name]}]).model) == []


BAYS = [
    {"id": "all", "divided": "rows"},
    {"id": "low", "parent": "all", "order": 0, "size": {"fixed": 200}},
    {"id": "up", "parent": "all", "order": 1, "size": {"rest": True}, "divided": "columns"},
    {"id": "one", "parent": "up", "order": 0, "size": {"share": 1}},
    {"id": "two", "parent": "up", "order": 1, "size": {"share": 1}},
]
GUIDED = {"style": "wooden", "centre_guide": True}
DRAWER = {"id": "d", "kind": "drawer", "closes": ["low"], "drawer": {"runner": "", "runs_on": GUIDED}}
OTHERS = {
    f"back in parts, {kind}": {"layout": BAYS, "carcass": {"back": {"kind": kind, "in_parts": "bays"}}}
    for kind in ("rebate", "groove", "planted_on")
}
OTHERS |= {
    f"top on rails, {fixing}": {"layout": BAYS, "top": {"style": "flat_top", "lies_on": "rails", "fixing": fixing}}
    for fixing in ("screws", "buttons", "plates")
}
OTHERS |= {
    "stiffened top": {"carcass": {"stiffeners": {"under_top": True}}},
    "drawer with a centre guide": {"layout": BAYS, "fronts": [DRAWER]},
    "returned ends of a sprung cornice": {"top": {"style": "sprung_cornice", "stops_short": 40}},
    "drawers with an interlock": {
        **bank("equal", interlock="interlock-bar", runner="runner-350"),
        "whole": {"width": 900, "height": 900, "depth": 500},
    },
    "frieze under a cornice": {"top": {"style": "loose_cornice", "frieze": 60}},
    "frieze under a sprung cornice": {"top": {"style": "sprung_cornice", "frieze": 60}},
}


@pytest.mark.parametrize("name", OTHERS)
def test_what_is_parted_guided_or_held_down_comes_to_its_place_along_a_straight_way(name):
    """Parts of a back, buttons into their grooves, guides under drawers, stiffeners, returned ends."""
    assert faults(built(**{"whole": {"width": 900, "height": 900, "depth": 450}, **OTHERS[name]}).model) == []


@RANDOM
@given(piece_data())
def test_any_piece_that_can_be_built_can_be_put_together(data):
    """The same for any piece a person could enter."""
    model = built_at_last(data)
    if model is not None:
        assert faults(model) == [], json.dumps(data)


@pytest.mark.parametrize("name", ["hinge_plate_behind_a_stiffener", "rail_comes_in_past_its_centre_brackets"])
def test_what_once_could_not_be_put_together_can_be(name):
    """Random pieces whose parts once ran into others on their way."""
    path = Path(__file__).parent / "references" / "found" / f"{name}.json"
    model = built_at_last(json.loads(path.read_text(encoding="utf-8")))
    assert model is not None and faults(model) == []


def built_at_last(data: dict) -> Model | None:
    """The model, after what was refused has been taken back a few times."""
    for _ in range(TIMES):
        try:
            return core.build(loads(json.dumps(data)))
        except ParameterError as refused:
            data = relented(data, refused.field)
            if data is None:
                return None
    return None


def frame_of(model: Model, first: str) -> Assembly:
    """The frame whose name begins with a board's."""
    return next(each for each in model.assemblies if each.name.startswith(f"frame of {first}"))


def test_the_judge_sees_a_way_that_is_blocked():
    """Turned round, a fixed shelf that goes in between uprights from the side runs into them, and its dowels lie across."""
    model = example_model("starter sideboard")
    frame = frame_of(model, "upright and fixed shelf")
    turned = [replace(each, apart=(0.0, 0.0, 1.0)) if each.layer else each for each in frame.members]
    changed = replace(frame, members=tuple(turned))
    wrong = replace(model, assemblies=tuple(changed if each is frame else each for each in model.assemblies))
    found = faults(wrong)
    assert any("lies across" in each for each in found)


def test_the_judge_sees_a_part_in_the_way():
    """A drawer that is to come out through the back runs into it."""
    model = example_model(DEMO)
    leaves = leaves_of(model)
    found = Room(model).clashes(leaves["drawer"], leaves["carcass"], (0.0, 1.0, 0.0))
    assert any(clash.still == "carcass/back" for clash in found)


def test_boards_between_boards_go_in_from_the_side():
    """In the sideboard both shelves stand between the uprights before top and bottom close them, and the sides come last."""
    model = example_model("starter sideboard")
    by_key = {each.key: each for each in model.assemblies}
    columns = frame_of(model, "upright and fixed shelf")
    assert {m.key.split(".")[0]: m.layer for m in columns.members} == {"carcass/shelf": 0, "carcass/upright": 1}
    rows = frame_of(model, "bottom")
    assert [(m.key, m.layer) for m in rows.members][1:] == [("carcass/bottom", 1), ("carcass/top", 1)]
    assert [m.key for m in by_key["carcass"].members][:3] == [rows.key, "side.left", "side.right"]


def test_loose_shelves_stay_apart_until_the_sides_come():
    """With boards between its drawers the chest has no upright: top, bottom and shelves (with stiffeners) meet nothing but the sides."""
    carcass = next(each for each in core.build(chest_with_boards()).assemblies if each.key == "carcass")
    first = [member.key for member in carcass.members if member.layer == 0]
    assert len(first) == 5 and sum(key.endswith("/stiffened") for key in first) == 3
    assert {member.key for member in carcass.members if member.layer == 1} == {"side.left", "side.right"}
