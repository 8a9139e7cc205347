"""Loose shelves on pins beside a drawer: the rows give way to the screws of its runners on the other face of the upright."""

from __future__ import annotations

import json

import pytest

from core.build import build
from core.checks import findings
from core.model import Hole
from core.piece import loads
from core.starters import starter_text


@pytest.mark.parametrize("depth", [610, 615, 620, 625, 650])
def test_pins_of_a_shelf_give_way_to_runners_behind_them(depth):
    """Whatever the depth, no pin's hole meets a runner's screw in an upright: at 620 the usual column would."""
    data = json.loads(starter_text("sideboard"))
    data["whole"]["depth"] = depth
    piece = loads(json.dumps(data))
    model = build(piece)
    upright = model.part("carcass/upright.drawers+left")
    purposes = {each.purpose for each in upright.shape.features if isinstance(each, Hole)}
    assert {"shelf pin", "pilot for screw 3.5 × 16"} <= purposes
    assert not [each.text for each in findings(piece, model) if each.check == "holes that meet"]
