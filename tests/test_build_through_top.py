"""A top that runs through over the sides, frames and all."""

from __future__ import annotations

import json

import pytest
from test_assemblies import faults
from test_build_properties import ALL_RULES, Built

from core.build import build
from core.checks import findings
from core.errors import ParameterError
from core.model import Pocket
from core.piece.files import loads
from core.starters import starter_text


def piece(starter: str = "bookcase", through: str = "top", joint: str = "dowels", **back):
    data = json.loads(starter_text(starter))
    data["carcass"]["runs_through"] = through
    data["carcass"]["joint"] = {"style": joint}
    data["carcass"]["back"] |= back
    return loads(json.dumps(data))


def ends(model, key: str):
    part = model.part(key)
    points = part.place.points([(0.0, 0.0, 0.0), part.size])
    return points.min(axis=0), points.max(axis=0)


@pytest.mark.parametrize("starter", ["bookcase", "coat_cupboard", "wardrobe"])
def test_the_top_covers_the_sides_and_what_is_planted_on_them(starter):
    """Overall size and openings stay; the sides and their strips are shorter by the top's thickness, the top as wide and deep as the carcass."""
    usual, made = build(piece(starter, "sides")), piece(starter)
    model = build(made)
    assert model.overall == usual.overall and model.carcass == usual.carcass
    assert [(each.low, each.high) for each in model.bays] == [(each.low, each.high) for each in usual.bays]
    top = model.part("carcass/top")
    assert top.size[:2] == (model.carcass[0], model.carcass[1])
    assert ends(model, "carcass/top")[1][2] == pytest.approx(model.carcass[2])
    for key in [each.key for each in model.parts if each.key.startswith(("carcass/side.", "side."))]:
        assert ends(model, key)[1][2] <= model.carcass[2] - top.size[2] + 1e-6, key
    side = "carcass/side.left"
    assert model.part(side).size[0] == usual.part(side).size[0] - top.size[2]
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]


def test_the_sides_are_dowelled_into_the_underside_of_the_top():
    """Each side has a joint with the top whose dowels stand upright on the middle of the side's thickness, in one row with the others."""
    model = build(piece())
    for side in ("left", "right"):
        (joint,) = [
            each for each in model.joints if (each.first, each.second) == ("carcass/top", f"carcass/side.{side}")
        ]
        dowels = [each for each in model.fasteners if each.key in joint.fasteners]
        low, high = ends(model, f"carcass/side.{side}")
        assert len(dowels) >= 2
        assert {round(each.at[0], 6) for each in dowels} == {round(float(low[0] + high[0]) / 2, 6)}
        assert all(abs(each.along[2]) == 1.0 for each in dowels)
    bottom = next(each for each in model.joints if (each.first, each.second) == ("carcass/side.left", "carcass/bottom"))
    rows = [
        sorted(each.at[1] for each in model.fasteners if each.key in row.fasteners)
        for row in (
            bottom,
            next(each for each in model.joints if each.second == "carcass/side.left" and each.first == "carcass/top"),
        )
    ]
    assert rows[0] == rows[1]


def test_the_back_goes_up_into_a_rebate_of_the_top_that_is_stopped_at_the_rebates_of_the_sides():
    """Rebate 9 × 6 in the underside, as long as the back is wide and its two clearances; the back ends 1 mm below its upper wall."""
    made = piece()
    model, back = build(made), made.carcass.back
    top = model.part("carcass/top")
    (rebate,) = [each for each in top.shape.features if isinstance(each, Pocket) and each.kind == "rebate"]
    assert rebate.high[0] - rebate.low[0] == pytest.approx(model.part("carcass/back").size[1] + 2 * back.clearance)
    assert rebate.low[0] > 0.0 and rebate.high[0] < top.size[0], "not seen at the ends"
    under = model.carcass[2] - top.size[2]
    assert ends(model, "carcass/back")[1][2] == pytest.approx(under + back.rebate_width - back.clearance)
    joint = next(each for each in model.joints if (each.first, each.second) == ("carcass/top", "carcass/back"))
    assert joint.kind == "rebate" and len(joint.fasteners) >= 2


def test_a_housed_side_is_notched_behind_its_housing():
    """The side goes 5.75 up into a housing 6 deep that ends at the back's rebate; its rear corner is taken off there."""
    model = build(piece(joint="housing"))
    side = model.part("carcass/side.left")
    assert side.size[0] == pytest.approx(build(piece()).part("carcass/side.left").size[0] + 5.75)
    assert [each for each in side.shape.features if "behind the housing" in each.purpose]


def test_the_top_comes_down_on_the_sides_before_the_back_goes_in():
    """In the order of building: sides, top from above, back from behind, whatever stands under it last."""
    model = build(piece())
    carcass = next(each for each in model.assemblies if each.key == "carcass")
    layers = {each.key: (each.layer, each.apart) for each in carcass.members}
    assert layers["side.left"][0] < layers["carcass/top"][0] < layers["carcass/back"][0]
    assert layers["carcass/top"][1] == (0.0, 0.0, 1.0)


@pytest.mark.parametrize("starter", ["bookcase", "media_cabinet"])
@pytest.mark.parametrize("joint", ["dowels", "housing"])
def test_a_back_in_a_groove_is_slid_in_from_below(starter, joint):
    """Under a top that runs through the groove goes on in its underside, stopped; the back comes up between the sides, past the bottom."""
    made = piece(starter, joint=joint, kind="groove", set_in=12.0)
    one = Built(made, build(made))
    for rule in ALL_RULES:
        rule(one)
    model, back, top = one.model, made.carcass.back, one.model.part("carcass/top")
    (groove,) = [each for each in top.shape.features if isinstance(each, Pocket) and each.kind == "groove"]
    assert groove.high[0] - groove.low[0] == pytest.approx(model.part("carcass/back").size[1] + 2 * back.clearance)
    assert groove.low[0] > 0.0 and groove.high[0] < top.size[0], "not seen at the ends"
    under = model.carcass[2] - top.size[2]
    assert ends(model, "carcass/back")[1][2] == pytest.approx(under + back.rebate_width - back.clearance)
    carcass = next(each for each in model.assemblies if each.key == "carcass")
    ways = {each.key: (each.layer, each.apart) for each in carcass.members}
    assert ways["carcass/back"][1] == (0.0, 0.0, -1.0) and ways["carcass/back"][0] > ways["carcass/top"][0]
    assert not faults(model), "something is in its way"
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]


@pytest.mark.parametrize(
    ("starter", "back", "word"), [("blanket_chest", {}, "lid"), ("wardrobe", {"kind": "groove"}, "slid in from below")]
)
def test_what_a_top_cannot_run_over_is_refused(starter, back, word):
    """There is no top under a lid; legs glued to the sides stand where a back would be slid in."""
    with pytest.raises(ParameterError, match=word) as refused:
        build(piece(starter, **back))
    assert refused.value.field == "carcass.runs_through"
