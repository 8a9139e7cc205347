"""Pipes at the wall: notches, slots and holes that let a piece be pushed back over them."""

from __future__ import annotations

import json
from collections import Counter

import numpy as np
import pytest
import trimesh

from core.build import build
from core.built import build_job
from core.checks import findings
from core.checks.cautions import PIPES, cautions_for
from core.checks.pipes import threaded
from core.errors import ParameterError
from core.pages.final_assembly import _Page
from core.piece.files import dumps as written
from core.piece.files import loads
from core.piece.job import Job, JobItem
from core.solids import meshes_of
from core.starters import starter_text
from core.steps.course import THREADED, steps


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


IN_IT = {"runs": "up", "meets": "bored", "across": 130.0, "height": 2400.0, "off": 200.0, "diameter": 22.0}
THROUGH = {"runs": "along", "meets": "bored", "height": 300.0, "off": 100.0, "diameter": 22.0}


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


# ------------------------------------------------------------------------------------------------------- closed holes
def bored(model, role=""):
    """The parts with a round hole for a pipe, each with the middle of its mouth in the piece and the hole."""
    return [
        (part, part.place.point(each.at), each)
        for part in model.parts
        for each in part.shape.features
        if each.kind == "hole" and each.purpose.startswith("pipe ") and role in part.role
    ]


def test_boards_across_a_pipe_inside_the_piece_are_bored_on_its_axis():
    """Bottom, fixed shelf, top and loose shelves, through their thickness, 22 + 2 × 5 wide, 200 before the wall, from the face side; the back stays whole."""
    made = piece(IN_IT)
    model = build(made)
    found = bored(model)
    assert Counter(part.role for part, _, _ in found) == {"horizontal": 2, "fixed shelf": 1, "loose shelf": 4}
    for part, at, hole in found:
        assert (hole.diameter, hole.depth, hole.when.stage) == (32.0, part.size[2], "in the part")
        assert (hole.at[2], hole.into) == (part.size[2], (0.0, 0.0, -1.0)), "from the face side"
        assert at[:2] == pytest.approx((130.0, 18.0 - 200.0)), part.key
    assert model.part("carcass/back") == build(piece()).part("carcass/back")
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]


@pytest.mark.parametrize(("pipe", "axis"), [(IN_IT, 2), (THROUGH, 0)])
def test_no_wood_is_left_where_a_pipe_goes_through(pipe, axis):
    """A cylinder of diameter and 5 mm all round, by an independent library, shares nothing with any part; one 1 mm more does."""
    model = build(piece(pipe))
    shared = [0.0, 0.0]
    for number, more in enumerate((-0.01, 1.0)):
        rod = trimesh.creation.cylinder(radius=16.0 + more, height=8000.0, sections=128)
        if axis == 0:
            rod.apply_transform(trimesh.transformations.rotation_matrix(np.pi / 2, (0, 1, 0)))
        rod.apply_translation((130.0, -182.0, 0.0) if axis == 2 else (0.0, -82.0, 300.0))
        for part, mesh in zip(model.parts, meshes_of(part.shape for part in model.parts)):
            solid = trimesh.Trimesh(part.place.points(mesh.vertices), mesh.triangles(), process=False)
            if (solid.bounds[0] < rod.bounds[1]).all() and (rod.bounds[0] < solid.bounds[1]).all():
                shared[number] += trimesh.boolean.intersection([solid, rod], engine="manifold").volume
    assert shared[0] < 1e-3 < shared[1]


@pytest.mark.parametrize(
    ("made", "field", "said"),
    [
        (
            lambda: piece(IN_IT | {"off": 60.0}),
            "off",
            "leaves 18 mm of the loose shelf to its rear edge; at least 20 mm",
        ),
        (lambda: piece(IN_IT | {"off": 320.0, "height": 150.0}), "off", "leaves 2 mm of the bottom to its front edge"),
        (lambda: piece(IN_IT | {"across": 459.0}), "across", "leaves 7 mm of the bottom to its right edge"),
        (
            lambda: piece(IN_IT | {"across": 20.0}),
            "across",
            "nearer than 5 mm to what the bottom has there already",
        ),
        (lambda: piece(IN_IT | {"across": 250.0, "off": 110.0}), "off", "anchor bracket"),
        (lambda: piece(IN_IT | {"across": 0.0, "off": 200.0}), "across|off", "bottom has there already|upright"),
        (lambda: piece(IN_IT | {"off": 30.0, "height": 1500.0}), "off", "the back is in the way.*notched"),
        (lambda: piece(THROUGH | {"off": 60.0}, **GROOVED), "off", "nearer than 5 mm to .*groove for the back"),
        (lambda: piece(THROUGH | {"height": 120.0}), "height", "leaves .* to its lower edge"),
        (lambda: piece(IN_IT, IN_IT | {"across": 165.0}), "across", "nearer than 5 mm to .*pipe 22, up the wall"),
    ],
)
def test_a_hole_that_leaves_too_little_wood_is_refused_in_one_line(made, field, said):
    """Edges, joints, fittings, dividing boards, the back, a second pipe: parameter, value and limit are named."""
    with pytest.raises(ParameterError, match=said) as refused:
        build(made())
    assert refused.value.field.rpartition(".")[2] in field.split("|")
    assert "\n" not in str(refused.value)


def test_neither_a_lid_nor_glass_is_bored_for_a_pipe():
    """A lid moves; glass is cut by others, before it is toughened."""
    with pytest.raises(ParameterError, match="the lid is in the way"):
        build(piece(IN_IT | {"off": 150.0}, starter="blanket_chest"))
    data = json.loads(written(piece(IN_IT)))
    data["boards"].append({"id": "glass-6", "material": "glass", "thickness": 6.0})
    for compartment in data["layout"]:
        compartment["holds"] = [each | {"board": "glass-6"} for each in compartment["holds"]]
    with pytest.raises(ParameterError, match="the loose shelf is in the way"):
        build(loads(json.dumps(data)))


def test_a_pipe_between_the_rails_of_a_top_needs_no_hole_there():
    """Where the top is two rails the pipe passes between them; the board above is bored."""
    data = json.loads(written(piece(IN_IT)))
    data["top"] = {"style": "flat_top", "lies_on": "rails", "board": "hardwood-20"}
    keys = {part.key for part, _, _ in bored(build(loads(json.dumps(data))))}
    assert "top/board" in keys and not any(key.startswith("carcass/top") for key in keys)


def test_wood_is_left_to_a_tapered_edge_too():
    """Legs are bored through stile and laminations; nearer to the taper of an edge than 20 mm is refused, a taper of the face is none."""
    data = json.loads(starter_text("coat_cupboard"))
    legs = {"runs": "along", "meets": "bored", "height": 60.0, "diameter": 6.0, "clear": 2.0}
    data["site"]["pipes"] = [legs | {"off": 45.0}]
    assert {"lamination", "stile"} <= {part.role for part, _, _ in bored(build(loads(json.dumps(data))))}
    data["site"]["pipes"] = [legs | {"off": 55.0}]
    with pytest.raises(ParameterError, match=r"leaves 13\.91 mm of the leg lamination 1 to its taper at its back edge"):
        build(loads(json.dumps(data)))


def test_screws_of_the_back_stay_clear_of_a_hole():
    """One in the rear edge of the bottom that would end within 5 mm of the hole is left away, with its pilot; the others stay."""
    plain = build(piece())
    screws = [each for each in plain.fasteners if each.purpose == "back screw" and "carcass/bottom" in each.parts]
    one = min(screws, key=lambda each: abs(each.at[0] - 130.0))
    model = build(piece(IN_IT | {"across": one.at[0], "off": 56.0, "height": 150.0, "diameter": 12.0}))
    left = [each for each in model.fasteners if each.purpose == "back screw" and "carcass/bottom" in each.parts]
    assert {each.at for each in screws} - {each.at for each in left} == {one.at} and len(left) == len(screws) - 1
    pilots = [
        sum(
            "pilot for screw 3 ×" in getattr(each, "purpose", "") for each in made.part("carcass/bottom").shape.features
        )
        for made in (plain, model)
    ]
    assert pilots == [len(screws), len(left)]


def test_the_mirror_image_of_a_bored_piece_is_bored_alike():
    """Pipes at the right and at the left give holes at the same places but for the sign."""
    models = [build(piece(IN_IT | {"across": x})) for x in (130.0, -130.0)]
    right, left = [
        sorted((round(at[0] * sign, 3), at[1], part.role) for part, at, _ in bored(model))
        for sign, model in zip((1, -1), models)
    ]
    assert right == left


@pytest.mark.parametrize(
    ("pipe", "severity", "value", "limit"),
    [
        (IN_IT, "warn", 2325.0, 400.0),  # 2400 + 5 − 80 under the bottom; a ceiling at 2400 over a piece 2000 high
        (IN_IT | {"height": 150.0}, "note", 75.0, 400.0),
        (THROUGH, "warn", 3.0, 0.0),
    ],
)
def test_a_closed_hole_says_how_the_piece_comes_over_the_pipe(pipe, severity, value, limit):
    """Lifted over the pipe's end where the ceiling allows it; else the pipe is led through or parted, by whoever is licensed."""
    made = piece(pipe)
    (found,) = [each for each in findings(made, build(made)) if each.check == "bored for a pipe"]
    assert (found.severity, found.value, found.limit) == (severity, value, limit)
    assert "licensed" in found.remedy
    assert ("loose shel" in found.remedy) == (pipe["height"] > 400.0)


@pytest.mark.parametrize(
    ("pipe", "words"),
    [
        ({"runs": "along", "diameter": 6.0, "off": 5.0, "height": 300.0, "clear": 2.0}, "no board is in its way"),
        (IN_IT | {"height": 150.0}, "1 board is cut for pipes of that size"),
        (IN_IT, "7 boards are cut for pipes of that size"),
    ],
)
def test_the_finding_says_in_words_what_is_cut(pipe, words):
    """A pipe that nothing stands in the way of is told so, not as a count of nothing."""
    made = piece(pipe)
    (found,) = [each for each in findings(made, build(made)) if each.check == "pipes"]
    assert words in found.text and ": 0" not in found.text


def test_pages_and_steps_tell_of_a_pipe_that_is_led_through():
    """Before the carcass is stood there and after it is fixed; loose shelves first; the caution only where a hole is closed."""
    for pipe, tells in ((IN_IT, True), (UP, False)):
        made = piece(pipe)
        (built,) = build_job(Job("job", (JobItem(made),))).pieces
        text = " ".join(_Page(built, {}).site())
        assert ("drawn back or parted by whoever is licensed" in text) == tells
        assert ("Push it straight back" in text) != tells
        assert ("lay in 4 loose shelves bored for it, then have it led through" in text) == tells
        assert (PIPES in cautions_for(made, built.model, "fitting")) == tells
        assert any(THREADED in step.words for step in steps(made, built.model)) == tells


def test_two_tops_are_told_apart():
    """The carcass's own and the one that is set on it."""
    data = json.loads(written(piece(IN_IT)))
    data["top"] = {"style": "flat_top", "board": "hardwood-20"}
    made = loads(json.dumps(data))
    (found,) = threaded(made, build(made))
    assert "the carcass top" in found.said and "the top" in found.said and "2 tops" not in found.said


def test_a_top_with_a_hole_is_on_before_the_pipe_is_led_through():
    """What is bored above is set down first; without such a top the pipe comes once the carcass is fixed."""
    data = json.loads(written(piece(IN_IT)))
    data["top"] = {"style": "flat_top", "lies_on": "rails", "board": "hardwood-20"}
    places = []
    for made in (piece(IN_IT), loads(json.dumps(data))):
        (built,) = build_job(Job("job", (JobItem(made),))).pieces
        said = list(_Page(built, {}).site())
        led = next(number for number, words in enumerate(said) if "have it led through" in words)
        places.append((said[led - 1][:6], sum("have it led through" in words for words in said)))
    assert places == [("Fix it", 1), ("Set th", 1)]


@pytest.mark.parametrize("first", (True, False))
def test_a_hole_keeps_off_a_notch_as_off_an_edge(first):
    """20 mm, whichever of the two pipes is named first; the one with the hole is blamed."""
    hole, notch = IN_IT | {"off": 60.0, "height": 150.0}, UP | {"across": 170.0, "height": 150.0}
    with pytest.raises(ParameterError, match=r"nearer than 20 mm to what the bottom has there already") as refused:
        build(piece(*((hole, notch) if first else (notch, hole))))
    assert refused.value.field == f"site.pipes[{0 if first else 1}].across"
