"""The bracket base: brackets mitred in front, butted behind, on the floor with their pads, blocked and screwed to the bottom."""

import math

import numpy as np
import pytest
from pieces import any_carcass, box, built, keeps_every_rule, refused

from core.model import Cut, CutOut
from core.solids import volume

STYLE = {"style": "bracket_base"}


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"outline": "stepped"},
        {"outline": "hollow", "fullness": 100},
        {"outline": "ogee"},
        {"foot": 140, "pad": 60, "height": 90},
        {"rear_set_in": 30, "board": "oak-25"},
    ],
    ids=str,
)
@any_carcass
def test_it_can_be_built(sections, change):
    """Every outline and size gives closed brackets, mitres that meet, blocks that touch."""
    keeps_every_rule(**sections, support={**STYLE, **change})


def test_it_is_flush_with_the_carcass():
    """Outer faces flush at sides and front, 10 in at the back, from floor to bottom."""
    made = built(support=STYLE)
    assert np.allclose(box(made, "base/"), [[-450, -450, 0], [450, -10, 110]])


def test_brackets_slope_from_pad_to_thin_end():
    """180 long, pad 75, end 40 of 110: the saw is set to atan(105 / 70) = 56.3°; the floor sees 75 of each front bracket."""
    made = built(support=STYLE)
    part = made.model.part("base/left.front/bracket.front")
    (cut,) = [each for each in part.shape.features if isinstance(each, Cut) and each.kind == "corner"]
    assert cut.angle == pytest.approx(math.degrees(math.atan2(105, 70)))
    vertices = made.meshes[part.key].vertices
    floor = vertices[np.isclose(vertices[:, 2], 0)]
    assert floor[:, 0].max() - floor[:, 0].min() == pytest.approx(75)
    end = vertices[np.isclose(vertices[:, 0], -270)]
    assert end[:, 2].max() - end[:, 2].min() == pytest.approx(40)


@pytest.mark.parametrize("outline", ("ogee", "hollow"))
def test_a_curved_bracket_keeps_its_pad_and_its_thin_end(outline):
    """The curve runs from 75 on the floor to 40 at the end; no arris is drawn along it, whatever its facets."""
    made = built(support={**STYLE, "outline": outline})
    part = made.model.part("base/left.front/bracket.front")
    mesh = made.meshes[part.key]
    floor = mesh.vertices[np.isclose(mesh.vertices[:, 2], 0)]
    assert floor[:, 0].max() - floor[:, 0].min() == pytest.approx(75)
    end = mesh.vertices[np.isclose(mesh.vertices[:, 0], -270)]
    assert end[:, 2].max() - end[:, 2].min() == pytest.approx(40)
    facets = np.flatnonzero((np.abs(mesh.normals[:, 1]) < 1e-9) & (np.abs(mesh.normals) < 1 - 1e-9).all(axis=1))
    within = np.isin(mesh.edge_faces, facets).all(axis=1)
    assert len(facets) > 6 and within.sum() == len(facets) - 1 and not mesh.marked[within].any()


def test_the_volume_of_curved_brackets():
    """An ogee takes and leaves the same: as the slope does, 105 × 70 / 2 × 20. A hollow takes its segment more: the radius follows
    from the chord of 126.2 and 80 % of its lean of 33.7° as half the turn."""
    made = {outline: built(support={**STYLE, "outline": outline}) for outline in ("sloped", "ogee", "hollow")}
    sloped, ogee, hollow = (volume(each.meshes["base/right.rear/bracket.rear"]) for each in made.values())
    assert ogee == pytest.approx(sloped, rel=1e-9)
    half = math.radians(0.8 * math.degrees(math.atan2(70, 105)))
    radius = math.hypot(105, 70) / 2 / math.sin(half)
    segment = 20 * radius**2 / 2 * (2 * half - math.sin(2 * half))
    assert sloped - segment == pytest.approx(hollow, abs=20 * 2 / 3 * 0.1 * 2 * half * radius)
    assert segment > 5000
    (curve,) = [
        each
        for each in made["ogee"].model.part("base/left.front/bracket.side").shape.features
        if isinstance(each, CutOut)
    ]
    assert f"two arcs of radius {radius / 2:.0f} that meet midway" in curve.purpose


def test_brackets_at_the_sides_are_shorter_under_a_shallow_carcass():
    """320 deep, 10 in at the back: half of 310 less 10 between the feet is 145; those in front stay 180 long."""
    made = keeps_every_rule(whole={"depth": 320}, support=STYLE)
    side, front = (made.model.part(f"base/left.front/bracket.{which}").size[0] for which in ("side", "front"))
    assert (side, front) == (145, 180)


def test_front_brackets_stand_under_a_lipping_as_thick_as_they_are():
    """28 of lipping before the bottom, brackets 20 thick: no joint with the bottom is claimed that is not there."""
    keeps_every_rule(carcass={"lipping": {"board": "softwood-28"}}, support={**STYLE, "outline": "ogee"})


def test_what_cannot_be_is_refused():
    """A pad as long as the bracket, an end that does not hide its block, feet longer than half the piece: by name, value and limit."""
    assert "160" in refused("support.pad", support={**STYLE, "pad": 170})
    assert "28" in refused("support.end", support={**STYLE, "end": 25})
    assert "265" in refused("support.foot", whole={"width": 550}, support={**STYLE, "foot": 300})
    refused("support.foot", whole={"depth": 200}, support={**STYLE, "pad": 60})
    assert "48" in refused("support.pad", support={**STYLE, "pad": 45})
    assert "at least 9 mm" in refused("support.block_board", support={**STYLE, "block_board": "mdf-6"})


def test_feet_are_glued_where_they_are_said_to_be():
    """Glue blocks are glued and screwed to the bottom as far as they lie under it; of each front block all of its top."""
    made = built(support=STYLE)
    blocks = [part for part in made.model.parts if part.name == "glue block"]
    joints = {each.second: each for each in made.model.joints if each.first == "carcass/bottom"}
    assert len(blocks) == 8
    for part in blocks:
        joint = joints[part.key]
        assert joint.kind == "glue and screws" and joint.fasteners
        assert 0 < joint.glue_area <= part.size[0] * part.size[1] + 1e-6
        if part.key.endswith(".front"):
            assert joint.glue_area == pytest.approx(part.size[0] * part.size[1])
