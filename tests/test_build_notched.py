"""Sides and legs notched around the room's skirting."""

from __future__ import annotations

import json

import numpy as np
import pytest

from core.build import build
from core.checks import findings
from core.errors import ParameterError
from core.piece.files import loads
from core.solids import meshes_of
from core.starters import starter_text

SKIRTING = {"meets": "notched", "height": 60.0, "thickness": 18.0}
GROOVED = {"kind": "groove", "set_in": 24.0}


def piece(starter: str, support: dict | None = None, back: dict | None = None, **skirting):
    data = json.loads(starter_text(starter))
    data["site"]["skirting"] = SKIRTING | skirting
    data["carcass"]["back"] |= back or {}
    data["support"] = support or data["support"]
    return loads(json.dumps(data))


def legs(foot: float, stile: float):
    data = json.loads(starter_text("wardrobe"))
    data["site"]["skirting"] = SKIRTING | {"height": 120.0}
    data["support"] |= {"foot_from_side": foot, "height": 160.0}
    data["carcass"]["side_panel"]["stile_width"] = stile
    return loads(json.dumps(data))


@pytest.mark.parametrize(
    ("made", "above", "notched"),
    [
        (piece("bookcase", {"style": "glides"}, GROOVED), 65.0, {"carcass/side.left", "carcass/side.right"}),
        (legs(90.0, 110.0), 125.0, {"side.left/stile.rear", "side.right/leg.rear/lamination.2"}),
    ],
)
def test_nothing_stands_where_the_skirting_is(made, above, notched):
    """Rule book A4: thickness + 3 deep, height + 5 high; every corner of every part's mesh is outside that, and the piece meets the wall."""
    model = build(made)
    assert made.site.stands_off == 0.0
    cut = {
        part.key
        for part in model.parts
        if any("skirting" in getattr(each, "purpose", "") for each in part.shape.features)
    }
    assert notched <= cut
    highest = -np.inf
    for part, mesh in zip(model.parts, meshes_of(part.shape for part in model.parts)):
        points = part.place.points(mesh.vertices)
        inside = (points[:, 1] > -21.0 + 1e-6) & (points[:, 2] < above - 1e-6)
        assert not inside.any(), part.key
        highest = max(highest, points[:, 1].max())
    assert highest == pytest.approx(0.0, abs=1e-6), "it still reaches the wall"
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]


def test_a_leg_is_notched_once_when_its_layers_are_glued():
    """Stile and laminations are one by then: a notch in each of them would be three notches that do not meet."""
    model = build(legs(90.0, 110.0))
    for key in ("side.left/stile.rear", "side.left/leg.rear/lamination.1", "side.left/leg.rear/lamination.2"):
        (notch,) = [each for each in model.part(key).shape.features if "skirting" in getattr(each, "purpose", "")]
        assert (notch.when.stage, notch.when.assembly) == ("after glue-up", "side.left")


@pytest.mark.parametrize(
    ("made", "said"),
    [
        (lambda: piece("bookcase", {"style": "glides"}), "groove set in 21 mm"),  # the back stands in its way
        (lambda: legs(45.0, 80.0), "make its foot wider"),  # the glide's plug would be cut
        (lambda: piece("bookcase", back=GROOVED), "raise the carcass to 65 mm"),
    ],
)
def test_what_a_notch_would_spoil_is_refused_with_the_way_out(made, said):
    """A back, a plinth and the plug under a narrow leg cannot be notched."""
    with pytest.raises(ParameterError, match=said) as refused:
        build(made())
    assert refused.value.field == "site.skirting.meets"


def test_a_strip_whose_middle_no_pin_may_meet_gets_none_beyond_its_ends():
    """Behind the rear stile of the sideboard runs the groove of the back: pins keep off it and stay in the wood."""
    made = piece("sideboard", {"style": "glides"}, GROOVED)
    model = build(made)
    low, high = made.support.under(lambda id: None), model.carcass[2]
    pins = [each for each in model.fasteners if each.purpose == "strip pin" and each.parts[1].startswith("side.")]
    assert pins and all(low < each.at[2] < high for each in pins)
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]


def test_a_notch_is_told_to_a_tenth():
    """A skirting measured 4.722 thick is notched 7.722 from the rear, which is printed as a tape shows it: 7.7."""
    model = build(piece("bookcase", {"style": "glides"}, GROOVED, thickness=4.722))
    side = next(part for part in model.parts if part.key == "carcass/side.left")
    said = [each.purpose for each in side.shape.features if "skirting" in each.purpose]
    assert said == ["for the skirting, 7.7 from the rear, up to 65 above the floor"]
