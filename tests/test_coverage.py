"""Areas to coat: by hand for a box of two boards, and against a boolean library for every piece of the zoo."""

import dataclasses

import manifold3d
import numpy as np
import pytest
from examples import DEMO, EXAMPLES, example_piece

from core.build import build
from core.coverage import COATED, KINDS, _painted_over, coverage
from core.geometry import BACK, RIGHT, UP, Placement
from core.materials import material
from core.model import Bay, Board, Model, Part, Shape
from core.solids import meshes_of, placed

MDF18 = Board(material("mdf"), 18.0)


def board(key, length, width, place, **more):
    return Part(key=key, name=key, board=MDF18, shape=Shape(size=(length, width, 18.0)), place=place, **more)


def corner(**more):
    """A board 400 × 200 lying at 100 above the floor, and one 300 × 200 standing on its left end."""
    lying = board("lying", 400.0, 200.0, Placement((0.0, 0.0, 100.0), RIGHT, BACK), finish="carcass")
    standing = board("standing", 300.0, 200.0, Placement((18.0, 0.0, 118.0), UP, BACK), finish="carcass")
    return Model(name="corner", parts=(lying, standing), **more)


def union_area(model):
    """The surface of all parts made one solid by a boolean library, m²."""
    parts = [part for part in model.parts if part.board.material.kind in COATED]
    shapes = [dataclasses.replace(part.shape, features=_painted_over(part.shape)) for part in parts]
    solids = []
    for mesh, part in zip(meshes_of(shapes), parts, strict=True):
        there = placed(mesh, part.place)
        solid = manifold3d.Mesh(there.vertices.astype(np.float32), there.triangles().astype(np.uint32))
        solids.append(manifold3d.Manifold(solid))
    return manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add).surface_area() / 1e6


def test_two_boards_by_hand():
    """Faces 2·400·200 − 18·200 and 2·300·200; edges all round, less the foot that stands on the other."""
    made = coverage(corner())
    assert made.area(kind="face") == pytest.approx((2 * 400 * 200 - 18 * 200 + 2 * 300 * 200) / 1e6)
    assert made.area(kind="edge") == pytest.approx((2 * (400 + 200) * 18 + 2 * 300 * 18 + 200 * 18) / 1e6)
    assert made.area() == pytest.approx(made.area(kind="face") + made.area(kind="edge"))


def test_the_band_where_they_touch_by_hand():
    """The lying board stays bare on its face side from 0 to 18 of its length, over its whole width."""
    (band,) = [each for each in coverage(corner()).bands if each.part == "lying"]
    assert (band.face, band.touches, band.low, band.high) == ("face side", "standing", (0.0, 0.0), (18.0, 200.0))


def test_what_looks_into_a_compartment_is_inside():
    """A compartment 200 × 150 × 250 in the corner takes its floor and its left wall from the outside."""
    bay = Bay(key="bay", low=(18.0, 0.0, 118.0), high=(218.0, 150.0, 368.0), behind_front=False)
    made, alone = coverage(corner(bays=(bay,))), coverage(corner())
    assert made.area("inside") == pytest.approx((200 * 150 + 250 * 150) / 1e6)
    assert made.area() == pytest.approx(alone.area())
    assert made.inside_faces == {("lying", "face side"), ("standing", "back side")}


def test_edges_of_board_want_sealing_and_those_of_timber_do_not():
    """The sawn edges of MDF are weak; of oak only the ends drink more, and nothing is sealed off the floor."""
    oak = Board(material("oak"), 18.0)
    model = corner()
    timber = dataclasses.replace(model, parts=tuple(dataclasses.replace(each, board=oak) for each in model.parts))
    assert all(each.weak == (each.kind == "edge") for each in coverage(model).surfaces)
    made = coverage(timber)
    assert not any(each.weak for each in made.surfaces)
    assert made.area(kind="edge") == pytest.approx((2 * 200 * 18 + 200 * 18) / 1e6)  # the two ends, and the upper one


@pytest.mark.parametrize("name", EXAMPLES)
def test_areas_are_those_of_one_solid(name):
    """Summed over groups and kinds, what is coated is the surface of all parts made one by a boolean library.

    The play of drawers' bottoms and panels in their grooves, which counts as shut here, makes up to a part in a hundred.
    """
    model = build(example_piece(name))
    assert coverage(model).area() == pytest.approx(union_area(model), rel=0.01)


def test_the_demo_by_hand():
    """Door panel edges 2·(1443 + 518)·18; back's rear 1720 × 1060; both faces of a loose shelf 510 × 485."""
    areas = {}
    for each in coverage(build(example_piece(DEMO))).surfaces:
        areas[each.part, each.kind] = areas.get((each.part, each.kind), 0.0) + each.area
    assert areas["doors/leaf.left/panel", "edge"] == pytest.approx(2 * (1443 + 518) * 18)
    assert areas["carcass/back", "rear"] == pytest.approx(1720 * 1060)
    shelves = [
        area for (part, kind), area in areas.items() if kind == "face" and "shelves" in part and "upright" not in part
    ]
    assert shelves and all(area == pytest.approx(2 * 510 * 485) for area in shelves if area > 400_000)


def test_nothing_is_negative_and_every_kind_is_known():
    """Covered area never exceeds the face it is on."""
    for name in EXAMPLES:
        for each in coverage(build(example_piece(name))).surfaces:
            assert each.area > 0 and each.kind in KINDS


def test_edges_that_are_open_and_those_that_show():
    """Of a board standing on another its foot end is covered; what looks to the wall is open and does not show, as does the floor's."""
    edges = {(each.part, each.edge): each.shows for each in coverage(corner()).edges}
    assert edges == {
        ("lying", "face edge"): True, ("lying", "back edge"): False, ("lying", "head end"): True, ("lying", "foot end"): True,
        ("standing", "face edge"): True, ("standing", "back edge"): False, ("standing", "head end"): True,
    }  # fmt: skip


@pytest.mark.parametrize(("gap", "shows"), [(1.0, False), (2.0, True)])
def test_an_edge_in_a_gap_of_a_millimetre_is_open_and_does_not_show(gap, shows):
    """A back lies with play in its rebates: its edges are sealed, and nobody sees them; in a gap of 2 mm they are seen."""
    left = board("left", 400.0, 200.0, Placement((0.0, 0.0, 100.0), RIGHT, BACK))
    right = board("right", 400.0, 200.0, Placement((400.0 + gap, 0.0, 100.0), RIGHT, BACK))
    edges = {(each.part, each.edge): each.shows for each in coverage(Model(name="gap", parts=(left, right))).edges}
    assert (edges["left", "head end"], edges["right", "foot end"]) == (shows, shows)
