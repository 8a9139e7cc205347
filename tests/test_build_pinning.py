"""Where the pins of planted strips stand across them."""

from __future__ import annotations

import json

import pytest

from core.build import build
from core.checks import findings
from core.piece.files import loads
from core.starters import starter_text


def built(rail: float):
    data = json.loads(starter_text("sideboard"))
    for front in data["fronts"]:
        if front["kind"] == "drawer":
            front["panel"] |= {"top_rail_width": rail, "bottom_rail_width": rail}
    piece = loads(json.dumps(data))
    return piece, build(piece)


@pytest.mark.parametrize(("rail", "pinned"), [(42.0, True), (36.0, True), (33.0, True), (32.0, False)])
def test_a_pin_keeps_12_mm_from_edge_and_bevel_or_is_left_away(rail, pinned):
    """Rule book W12: in the middle of a wide rail; midway between edge and bevel of a narrow one; from 32.4 mm down (9 mm at 30 degrees) glue alone."""
    piece, model = built(rail)
    key = "drawer-low/front/rail.top"
    (joint,) = [each for each in model.joints if each.second == key and each.kind in ("glue", "glue and pins")]
    assert joint.kind == ("glue and pins" if pinned else "glue") and bool(joint.fasteners) == pinned
    assert not [each for each in findings(piece, model) if each.check == "pin near an edge"]
    part, pins = model.part(key), [each for each in model.fasteners if each.key in joint.fasteners]
    across = {round(part.place.own_point(each.at)[1], 3) for each in pins}
    assert len(across) == pinned
    if rail == 42.0:
        assert across == {21.0}
    assert any("caul" in note for note in part.notes) != pinned
