"""Backs: in a rebate, in a groove, planted on."""

from __future__ import annotations

import json

import pytest
from pieces import built

from core.build import build
from core.checks import findings
from core.errors import ParameterError
from core.model import Hole, Pocket
from core.piece.files import loads
from core.starters import starter_text


def piece(kind: str, starter: str = "bookcase", **back):
    data = json.loads(starter_text(starter))
    data["carcass"]["back"] |= {"kind": kind, **back}
    return loads(json.dumps(data))


def walls(model):
    return [model.part(f"carcass/side.{side}") for side in ("left", "right")]


@pytest.mark.parametrize("kind", ["rebate", "groove", "planted_on"])
def test_the_piece_is_as_deep_as_asked_for(kind):
    """Overall depth counts a back that is planted on; nothing stands behind the back plane."""
    made = piece(kind)
    model = build(made)
    assert model.overall[1] == made.whole.depth
    for part in model.parts:
        assert part.place.points([(0.0, 0.0, 0.0), part.size])[:, 1].max() <= 1e-6, part.key
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]


def test_a_back_planted_on_covers_the_edges_and_makes_the_boards_shallower():
    """Depth 320, back 6: sides and shelves behind one another's edges are 314 deep; the back is the carcass's width less 1 a side."""
    model = build(piece("planted_on"))
    left, right = walls(model)
    assert left.size[1] == right.size[1] == 314.0
    assert model.part("carcass/top").size[1] == model.part("carcass/bottom").size[1] == 314.0
    outer = model.carcass[0]
    assert model.part("carcass/back").size[1] == outer - 2
    assert not [each for each in left.shape.features if isinstance(each, Pocket) and "back" in each.purpose]
    fixed = {joint.first for joint in model.joints if joint.second == "carcass/back"}
    assert {"carcass/side.left", "carcass/side.right", "carcass/top", "carcass/bottom"} <= fixed


def test_a_back_in_a_groove_stands_in_and_is_slid_in_from_above():
    """Set in 12 from the rear: groove 6.2 wide (back 6 + 0.2) and 9 deep; boards end before it: 320 − 12 − 6.2 = 301.8."""
    model = build(piece("groove", set_in=12.0))
    left, _ = walls(model)
    (groove,) = [each for each in left.shape.features if isinstance(each, Pocket) and each.kind == "groove"]
    size = sorted(round(high - low, 3) for low, high in zip(groove.low, groove.high, strict=True))
    assert size[0] == 6.2 and groove.low[0] < 0 and groove.high[0] > left.size[0], "it runs through"
    assert model.part("carcass/top").size[1] == 301.8
    (member,) = [
        each
        for assembly in model.assemblies
        if assembly.key == "carcass"
        for each in assembly.members
        if each.key == "carcass/back"
    ]
    assert member.apart == (0.0, 0.0, 1.0)


def test_a_lid_needs_a_back_in_a_rebate():
    """The lid's hinges are screwed to the back: the refusal names the choice."""
    with pytest.raises(ParameterError) as refused:
        build(piece("planted_on", "blanket_chest"))
    assert refused.value.field == "carcass.back.kind" and "lid" in str(refused.value)


@pytest.mark.parametrize(
    "kind, on_board, on_side",
    [
        ("rebate", "rear edge, in the rebate", "in the rebate"),
        ("groove", "rear edge, against the back", "in the groove for the back"),
        ("planted_on", "rear edge, under the back", "rear edge, under the back"),
    ],
)
def test_numbers_are_pencilled_where_there_is_such_a_place(kind, on_board, on_side):
    """A number in a rebate wants a rebate: behind other backs it is in the groove, or under the back."""
    model = built(carcass={"back": {"kind": kind}}).model
    assert model.part("carcass/bottom").surviving_mark == on_board
    assert model.part("carcass/side.left").surviving_mark == on_side


@pytest.mark.parametrize("starter", ["bookcase", "linen_press"])
def test_screws_of_the_back_give_way_to_an_upright_s_dowels(starter):
    """Into a rail of the carcass top a dowel goes down 12 from the rear edge: two screws, 15 aside, hold in the place of the one that met it."""
    data = json.loads(starter_text(starter))
    data["top"] = {"style": "flat_top", "lies_on": "rails"}
    made = loads(json.dumps(data))
    model = build(made)
    assert not [each.text for each in findings(made, model) if each.check == "holes that meet"]
    holes = model.part("carcass/top_rail.rear").shape.features
    dowels = {
        each.at[0] for each in holes if isinstance(each, Hole) and each.purpose.startswith("dowel") and each.into[2]
    }
    screws = [each.at[0] for each in holes if isinstance(each, Hole) and "3 × 25" in each.purpose]
    assert dowels and all(sorted(abs(each - at) for each in screws)[:2] == [15.0, 15.0] for at in dowels)
