"""Planted strips: muntins and mid rails in any number meet on clean mitre lines, lie flat on the board, and leave even fields."""

import math

import numpy as np
import pytest
from pieces import COLUMNS, box, keeps_every_rule, refused
from pieces import built as build_piece

from core.geometry import dot
from core.solids import mesh_of, volume

PLANTED = {"style": "planted_frame", "stile_width": 70}
DOOR = {"id": "door", "kind": "door", "closes": ["all"], "handle": "knob-34"}
PAIR = {"id": "doors", "kind": "pair", "closes": ["all"]}
DRAWER = {"id": "drawer", "kind": "drawer", "closes": ["all"], "handle": "pull-96", "drawer": {"runner": ""}}


def door(**panel):
    """A piece with one door of a planted frame."""
    return {"whole": {"width": 560}, "fronts": [{**DOOR, "panel": {**PLANTED, **panel}}]}


@pytest.mark.parametrize(
    "panel",
    [
        {"muntins": 1},
        {"muntins": 2, "muntin_width": 40},
        {"muntins": 1, "mid_rails": [400, 600]},
        {"muntins": 1, "edge": "square"},
        {"muntins": 1, "bevel": 45, "mid_rails": [500]},
        {"muntins": 1, "edge": "chamfered", "mid_rails": [500]},
        {"edge": "chamfered", "bevel": 45, "chamfer": 8},
        {"edge": "mitred", "top_rail_width": 70, "bottom_rail_width": 70},
        {"edge": "mitred", "top_rail_width": 70, "bottom_rail_width": 70, "muntins": 1, "mid_rails": [500]},
    ],
    ids=str,
)
def test_a_door_with_muntins_can_be_built(panel):
    """Any number of muntins between any number of rails, bevelled or square."""
    keeps_every_rule(**door(**panel))


def test_sides_and_drawers_have_muntins_too():
    """The same choice for side panels and drawer fronts; a pull sits on the muntin in the middle."""
    keeps_every_rule(
        carcass={"side_panel": {**PLANTED, "stile_width": 60, "muntins": 2, "muntin_width": 50, "mid_rails": [450]}}
    )
    front = {**PLANTED, "muntins": 1, "muntin_width": 130, "top_rail_width": 50, "bottom_rail_width": 50}
    made = keeps_every_rule(whole={"height": 400, "width": 600}, fronts=[{**DRAWER, "panel": front}])
    pull, muntin = box(made, "drawer/pull"), box(made, "drawer/front/muntin")
    assert pull[1][1] == pytest.approx(muntin[0][1])


def test_fields_are_equal():
    """Muntins divide the width between the stiles into equal fields, to 0.1 mm."""
    made = build_piece(**door(muntins=2, muntin_width=40))
    stiles = [box(made, f"door/leaf.left/stile.{name}") for name in ("hinge", "closing")]
    muntins = sorted((box(made, key) for key in made.boxes if "/muntin." in key), key=lambda each: each[0][0])
    inner = [
        min(each[1][0] for each in stiles),
        *(x for each in muntins for x in each[:, 0]),
        max(each[0][0] for each in stiles),
    ]
    fields = np.diff(inner)[::2]
    assert len(fields) == 3 and np.ptp(fields) <= 0.15


def test_a_muntin_is_as_long_as_the_field_behind_and_longer_in_front():
    """Face length = back length + 2 × thickness × tan(bevel); back length = from rail to rail at the board."""
    made = build_piece(**door(muntins=1, bevel=30))
    muntin = made.model.part("door/leaf.left/muntin.middle")
    low, high = box(made, "door/leaf.left/rail.bottom"), box(made, "door/leaf.left/rail.top")
    back = high[0][2] - low[1][2]
    assert muntin.size[0] == pytest.approx(back + 2 * 9 * math.tan(math.radians(30)), abs=1e-5)


@pytest.mark.parametrize("bevel", [15, 30, 45])
def test_the_volume_of_a_muntin_is_the_formula(bevel):
    """S [wL + (n b w − e b L)/2 − e n b²/3], worked by hand; L back length, e = 2 bevelled edges, n = 2 undercut ends.

    Pencilled sum for 9 mm, 30°, 80 wide: b = 5.196.
    """
    made = build_piece(**door(muntins=1, bevel=bevel))
    muntin = made.model.part("door/leaf.left/muntin.middle")
    s, w, b = 9.0, 80.0, 9.0 * math.tan(math.radians(bevel))
    back, e, n = muntin.size[0] - 2 * b, 2, 2
    expected = s * (w * back + (n * b * w - e * b * back) / 2 - e * n * b * b / 3)
    assert volume(mesh_of(muntin.shape)) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(("bevel", "chamfer"), [(30, 5), (45, 3), (45, 8)])
def test_the_volume_of_a_scribed_muntin_is_the_formula(bevel, chamfer):
    """(S − h) w L for the square part, and above it h [wL + (n b w − e b L)/2 − e n b²/3] with b = h tan(bevel): at the height u h the
    plan is (L + n b u) (w − e b u)."""
    made = build_piece(**door(muntins=1, edge="chamfered", bevel=bevel, chamfer=chamfer))
    muntin = made.model.part("door/leaf.left/muntin.middle")
    s, w, b = 9.0, 80.0, chamfer * math.tan(math.radians(bevel))
    back, e, n = muntin.size[0] - 2 * b, 2, 2
    expected = (s - chamfer) * w * back + chamfer * (w * back + (n * b * w - e * b * back) / 2 - e * n * b * b / 3)
    assert volume(mesh_of(muntin.shape)) == pytest.approx(expected, rel=1e-6)


def test_sides_are_chamfered_down_to_their_legs():
    """Stiles that run on below the bottom rail, a top rail wider by what a moulding covers: the scribed ends fit."""
    keeps_every_rule(
        carcass={"side_panel": {**PLANTED, "stile_width": 60, "edge": "chamfered", "mid_rails": [450]}},
        support={"style": "stile_legs"},
        top={"style": "loose_cornice"},
    )


def test_a_scribed_end_laps_the_chamfer_that_it_meets():
    """The rail's end lies on the stile's square edge below and on its chamfer above: both planes, to 10⁻⁵ mm."""
    made = build_piece(**door(edge="chamfered", bevel=45, chamfer=4))
    stile, rail = (made.meshes[f"door/leaf.left/{key}"] for key in ("stile.hinge", "rail.bottom"))

    def planes(mesh):
        return {
            tuple(
                np.round(
                    (*normal, normal @ mesh.vertices[mesh.corners[mesh.starts[list(mesh.face_of).index(face)]]]), 4
                )
                + 0.0
            )
            for face, normal in enumerate(mesh.normals)
        }

    against = {tuple(-np.array(plane) + 0.0) for plane in planes(rail)}
    met = planes(stile) & against
    assert {round(abs(plane[0]), 3) for plane in met if abs(plane[2]) < 0.5} >= {1.0, 0.707}


def test_muntin_and_rail_meet_on_one_slope():
    """The undercut of the muntin's end lies in the plane of the rail's bevel."""
    made = build_piece(**door(muntins=1))
    planes = {}
    for key, kind in (("door/leaf.left/muntin.middle", "undercut"), ("door/leaf.left/rail.top", "bevel")):
        part = made.model.part(key)
        for cut in part.shape.features:
            normal = part.place.direction(cut.normal)
            if cut.kind == kind and abs(normal[2]) > 0.5:
                planes.setdefault(key, []).append((normal, dot(normal, part.place.point(cut.point))))
    ((normal, offset),) = planes["door/leaf.left/rail.top"]
    assert any(
        np.allclose(np.negative(normal), other) and abs(offset + at) < 1e-5
        for other, at in planes["door/leaf.left/muntin.middle"]
    )


def test_the_pair_and_the_columns_are_mirror_images():
    """Muntins are called after the stile they are nearer to, so that left and right doors are alike."""
    made = keeps_every_rule(
        whole={"width": 1200},
        layout=COLUMNS,
        fronts=[
            {
                **PAIR,
                "closes": ["b"],
                "panel": {**PLANTED, "stile_width": 45, "muntins": 2, "muntin_width": 28, "bevel": 20},
            }
        ],
    )
    assert {key.rsplit("/", 1)[-1] for key in made.boxes if "muntin" in key} == {"muntin.hinge", "muntin.meeting"}


def test_what_cannot_be_is_refused():
    """Muntins that leave slots, strips all bevel, and pulls astride an edge are refused by name, value and limit."""
    assert "60" in refused("fronts[0].panel.muntins", **door(muntins=8, muntin_width=80))
    assert "8" in refused("fronts[0].panel.chamfer", **door(edge="chamfered", chamfer=8.5))
    assert "28" in refused("fronts[0].panel.muntin_width", **door(muntins=1, muntin_width=25, bevel=45))
    front = {**PLANTED, "muntins": 1, "muntin_width": 80, "top_rail_width": 50, "bottom_rail_width": 50}
    assert "110" in refused(
        "fronts[0].handle", whole={"height": 400, "width": 600}, fronts=[{**DRAWER, "panel": front}]
    )


MITRED = {"edge": "mitred", "top_rail_width": 70, "bottom_rail_width": 70}


def test_mitred_corners_meet_on_one_plane():
    """Stile and rail of each corner are full length at their outer edges, sawn at 45°; the two saw planes are one and fill the corner."""
    made = build_piece(**door(**MITRED))
    parts = {part.key: part for part in made.model.parts}
    wide, high = parts["door/leaf.left/panel"].size[1], parts["door/leaf.left/panel"].size[0]
    strips = {
        name: parts[f"door/leaf.left/{name}"] for name in ("stile.hinge", "stile.closing", "rail.top", "rail.bottom")
    }
    assert all(strips[name].size[0] == high for name in ("stile.hinge", "stile.closing"))
    assert all(strips[name].size[0] == wide for name in ("rail.top", "rail.bottom"))
    planes = [
        (part.place.point(cut.point), part.place.direction(cut.normal))
        for part in strips.values()
        for cut in part.shape.features
        if cut.kind == "mitre"
    ]
    assert len(planes) == 8
    for at, normal in planes:
        facing = [
            other
            for there, other in planes
            if np.allclose(there[::2], at[::2]) and np.allclose(other, np.negative(normal))
        ]
        assert len(facing) == 1
    slope, rail = 5.0 * math.tan(math.radians(30)), strips["rail.top"]
    (long, across, thick), clear = rail.size, rail.size[0] - 2 * rail.size[1]
    chamfered = (
        slope * 5.0 / 2 * clear + 2 * slope**2 * 5.0 / 6
    )  # a prism along the field, a corner of a pyramid at each end
    assert volume(mesh_of(rail.shape)) == pytest.approx((long - across) * across * thick - chamfered, rel=1e-9)


@pytest.mark.parametrize(
    ("field", "more", "said"),
    [
        ("bottom_rail_width", {"bottom_rail_width": 90}, "equal widths"),
        ("chamfer", {"chamfer": 8.5}, "too little square"),
        ("top_rail_width", {"stile_width": 60}, "make it 60 mm"),
    ],
)
def test_mitres_that_cannot_be_sawn_are_refused(field, more, said):
    """Unequal widths would need other angles than 45°, and a chamfer leaves 1 mm of square edge."""
    assert said in refused(f"fronts[0].panel.{field}", **door(**{**MITRED, **more}))
