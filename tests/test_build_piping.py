"""Pipes at the wall: notches, slots and holes that let a piece be pushed back over them."""

from __future__ import annotations

import json
from collections import Counter

import numpy as np
import pytest
import trimesh

from core.build import build
from core.checks import findings
from core.errors import ParameterError
from core.piece.files import loads
from core.solids import meshes_of
from core.starters import starter_text


def piece(*pipes: dict, starter: str = "bookcase", **carcass):
    data = json.loads(starter_text(starter))
    data["site"]["pipes"] = list(pipes)
    data["carcass"] |= carcass
    data["support"]["rear_set_in"] = 60
    return loads(json.dumps(data))


UP = {"runs": "up", "across": 130.0, "height": 500.0, "off": 40.0, "diameter": 22.0}
ALONG = {"runs": "along", "height": 300.0, "off": 40.0, "diameter": 22.0}
OUT = {"runs": "out", "across": -130.0, "height": 420.0, "off": 40.0, "diameter": 40.0}
NO_RAILS = {"board": "hardwood-20", "anchor_rails": False}
GROOVED = {"back": {"kind": "groove", "board": "mdf-6", "set_in": 40.0}}


def space(pipe: dict, wall: float = 18.0, clear: float = 5.0) -> tuple[np.ndarray, np.ndarray]:
    """The box that nothing may stand in once the piece is pushed back, by the sizes a maker takes in the room."""
    half, x, z = pipe["diameter"] / 2 + clear, pipe.get("across", 0.0), pipe["height"]
    front = wall - pipe["off"] - half
    if pipe["runs"] == "up":
        return np.array((x - half, front, -1.0)), np.array((x + half, 50.0, z + clear))
    return np.array((-2000.0, front, z - half)), np.array((2000.0, 50.0, z + half))


@pytest.mark.parametrize(
    ("made", "pipe", "cut"),
    [
        (piece(UP), UP, {"carcass/bottom", "carcass/back"}),
        (piece(ALONG, **GROOVED), ALONG, {"carcass/side.left", "carcass/side.right"}),
    ],
)
def test_no_wood_is_left_where_the_pipe_runs(made, pipe, cut):
    """Diameter and 5 mm all round, open to the rear: the common volume with every part's mesh, by an independent library, is nothing."""
    model = build(made)
    low, high = space(pipe)
    box = trimesh.creation.box(bounds=(low, high))
    named = {
        part.key for part in model.parts if any("pipe" in getattr(each, "purpose", "") for each in part.shape.features)
    }
    assert cut <= named
    for part, mesh in zip(model.parts, meshes_of(part.shape for part in model.parts)):
        solid = trimesh.Trimesh(part.place.points(mesh.vertices), mesh.triangles(), process=False)
        if (solid.bounds[0] < high).all() and (low < solid.bounds[1]).all():
            assert trimesh.boolean.intersection([solid, box], engine="manifold").volume < 1e-3, part.key
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]


def test_screws_of_the_back_in_the_way_are_left_away_with_their_holes():
    """Fewer screws, and no hole without its screw: pilots in the shelves are as many as screws are driven into them."""
    plain, made = build(piece()), build(piece(UP | {"across": 0.0}))
    screws = [sum(each.purpose == "back screw" for each in model.fasteners) for model in (plain, made)]
    assert screws[1] < screws[0]
    for model in (plain, made):
        names = {name for joint in model.joints for name in joint.fasteners}
        assert names <= {each.key for each in model.fasteners}
        driven = Counter(each.parts[1] for each in model.fasteners if each.purpose == "back screw")
        for key, number in driven.items():
            holes = [
                each for each in model.part(key).shape.features if "pilot for screw 3 ×" in getattr(each, "purpose", "")
            ]
            assert len(holes) == number, key


def test_a_pipe_out_of_the_wall_has_a_round_hole_in_the_back():
    """Its diameter and twice what is left clear, on its axis."""
    made = piece(OUT)
    model = build(made)
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]
    back = model.part("carcass/back")
    (hole,) = [each for each in back.shape.features if "pipe" in getattr(each, "purpose", "")]
    assert hole.diameter == 50.0
    x, _, z = back.place.point(hole.at)
    assert (x, z) == pytest.approx((-130.0, 420.0))


@pytest.mark.parametrize(
    ("made", "field", "said"),
    [
        (lambda: piece(ALONG), "off", "groove set in 38 mm or more"),
        (lambda: piece(UP | {"height": 1980.0}, stiffeners=NO_RAILS), "height", "in two"),
        (lambda: piece(UP | {"height": 1950.0}), "off", "end below it"),
        (lambda: piece(OUT | {"off": 200.0, "height": 867.0}), "off|across", "divide the piece elsewhere"),
        (lambda: piece(ALONG | {"off": 300.0}, **GROOVED), "off", "at least 30 mm is needed"),
    ],
)
def test_what_a_pipe_would_spoil_is_refused_with_the_way_out(made, field, said):
    """A back along the pipe, a slot over the whole height, boards in the way of a stub, too little wood left."""
    with pytest.raises(ParameterError, match=said) as refused:
        build(made())
    assert refused.value.field.removeprefix("site.pipes[0].") in field.split("|")


def test_pipes_behind_a_piece_that_stands_off_far_enough_change_nothing():
    """A 15 mm pipe in 18 mm of skirting's depth needs no notch."""
    assert (
        build(piece({"runs": "along", "diameter": 6.0, "off": 5.0, "height": 300.0, "clear": 2.0})).parts
        == build(piece()).parts
    )


def test_an_anchor_in_line_with_a_pipe_is_found():
    """A known bad one: the pipe runs up the wall where a bracket is screwed to it; 200 mm aside it does not."""
    plain = build(piece())
    anchor = next(each for each in plain.fittings if each.key.startswith("anchor."))
    seen = []
    for aside in (10.0, 200.0):
        made = piece(UP | {"across": anchor.place.origin[0] + aside, "off": 9.0, "diameter": 8.0, "clear": 2.0})
        seen.append([each for each in findings(made, build(made)) if each.check == "anchor over a pipe"])
    assert [len(each) for each in seen] == [1, 0]
    assert (seen[0][0].value, seen[0][0].limit) == (10.0, 54.0)
