"""Sections against a boolean library: outlines, areas, and hatching that stays inside and tells materials apart."""

import manifold3d
import numpy as np
import pytest
from examples import DEMO, EXAMPLES, example_model

from core.drawing.page import Rect, Stroke, Text
from core.drawing.section import HATCHES, Hatch, Section, clipped, cut, hatching, leaning
from core.drawing.text import width
from core.drawing.views import View
from core.meshes import part_meshes
from core.pages._main_sizes import front_sizes
from core.pages._sections import (
    FROM_RIGHT,
    OFF,
    PLAN,
    Legend,
    details,
    materials_cut,
    moved_fronts,
    plan_level,
    section_place,
    sectioned,
)
from core.pages._views import boxes_of


def sliced(mesh, view: View, depth: float) -> manifold3d.CrossSection:
    """The cut through a mesh as the boolean library makes it."""
    points = np.asarray(mesh.vertices @ view.axes.T, np.float32)
    solid = manifold3d.Manifold(manifold3d.Mesh(points, np.asarray(mesh.triangles(), np.uint32)))
    return solid.slice(depth)


@pytest.mark.parametrize(
    ("view", "depth"), [(PLAN, 292 + OFF), (FROM_RIGHT, 189 + OFF), (View.named("front"), 200 + OFF)]
)
def test_areas_agree_with_a_boolean_library(view, depth):
    """Hatched half a millimetre apart, each part's lines add up to its area as sliced by manifold3d, within 0.5 %."""
    meshes = list(part_meshes(example_model(DEMO)).values())
    section = cut(meshes, view, depth)
    count = 0
    for number, mesh in enumerate(meshes):
        mine = section.solid == number
        area = sliced(mesh, view, depth).area()
        if not mine.any():
            assert area == pytest.approx(0, abs=1e-6)
            continue
        alone = Section(section.points[mine], np.zeros(int(mine.sum()), np.int64))
        ((lines, _),) = hatching(alone, 1.0, [Hatch((0.5,))], [37.0])
        assert np.linalg.norm(lines[:, 1] - lines[:, 0], axis=1).sum() * 0.5 == pytest.approx(area, rel=5e-3)
        count += 1
    assert count > 8


def test_outlines_are_closed():
    """Every end of a stretch meets another end of the same solid."""
    meshes = list(part_meshes(example_model(DEMO)).values())
    section = cut(meshes, FROM_RIGHT, 189 + OFF)
    for solid in np.unique(section.solid):
        ends = section.points[section.solid == solid].reshape(-1, 2).round(3)
        _, counts = np.unique(ends, axis=0, return_counts=True)
        assert (counts % 2 == 0).all()


def test_hatching_stays_inside_and_runs_at_its_angle():
    """The middle and both ends of every line of a ring lie in its wood; a hole stays white."""

    def square(half):
        corners = np.array([(-half, -half), (half, -half), (half, half), (-half, half)], float)
        return np.stack((corners, np.roll(corners, -1, axis=0)), axis=1)

    ring = Section(np.concatenate((square(30.0), square(10.0))), np.zeros(8, np.int64))
    ((lines, _),) = hatching(ring, 1.0, [HATCHES[0]], [45.0])
    middles = lines.mean(axis=1)
    assert (np.abs(middles).max(axis=1) < 30).all() and (np.abs(middles).max(axis=1) > 10).all()
    step = lines[:, 1] - lines[:, 0]
    assert np.allclose(step[:, 0], step[:, 1])


def test_materials_are_told_apart_without_colour():
    """Hatches differ in spacing or dashes; every material of a piece has its own, and the fittings and plugs too."""
    assert len(set(HATCHES)) == len(HATCHES)
    for name in EXAMPLES:
        hatches = [hatch for _, hatch in materials_cut(example_model(name))]
        assert len(set(hatches)) == len(hatches), name


def test_names_of_materials_keep_to_their_column():
    """Moisture-resistant board has a name longer than a column is wide: columns are as wide as their names."""
    entries = materials_cut(example_model(DEMO)) + materials_cut(example_model("starter linen_press"))
    laid = Legend(tuple(entries)).laid(0.0, 100.0, 240.0, 100.0)
    swatches = [item.points for item in laid.items if isinstance(item, Stroke)]
    names = [item for item in laid.items if isinstance(item, Text)]
    assert len(names) == len(swatches) == len(entries)
    for name in names:
        end = name.x + width(name.string, name.height)
        beside = [points for points in swatches if points[0][1] <= name.y <= points[2][1] and points[0][0] > name.x]
        assert all(end < points[0][0] for points in beside), name.string


def test_neighbours_lean_opposite_ways():
    """A stile glued to a panel of the same board is hatched the other way."""
    meshes = list(part_meshes(example_model(DEMO)).values())
    keys = [part.key for part in example_model(DEMO).parts]
    angles = leaning(cut(meshes, PLAN, 885 + OFF))
    assert angles[keys.index("doors/leaf.left/panel")] != angles[keys.index("doors/leaf.left/stile.meeting")]


def test_nothing_before_the_plane_is_drawn():
    """What a section shows beyond itself reaches up to the plane and no farther."""
    model = example_model(DEMO)
    shown = sectioned(model, PLAN, 292 + OFF)
    assert shown.beyond.box.height < 600 and shown.box == shown.beyond.box
    upright = sectioned(model, FROM_RIGHT, 189 + OFF)
    assert upright.box.height == pytest.approx(1900, abs=0.1)


def test_open_fronts_in_plan():
    """Each door of the demo is drawn open square to the front, its edge's way a quarter circle about the pin; the drawer 450 out."""
    model = example_model(DEMO)
    lines = moved_fronts(model)
    low = lines.reshape(-1, 2).min(axis=0)
    door = front_sizes(model)[0]
    motion = next(each for each in model.motions if each.kind == "swing")
    reach = np.hypot(door.right - motion.through[0], 507 - 537.5)
    assert low[1] == pytest.approx(motion.through[1] - reach, abs=20)
    drawer = next(each for each in model.motions if each.kind == "travel")
    assert any(abs(lines[:, :, 1] - (boxes_of(model)["drawer/front/panel"][0][1] - drawer.reach)).min(axis=1) < 10)


def test_the_four_details_of_the_demo():
    """Meeting stiles and upright, hinge side, drawer top with stiffener, moulding on carcass: each cuts what it names."""
    model = example_model(DEMO)
    found = {each.name.split(",")[0]: each for each in details(model)}
    assert list(found) == [
        "Meeting stiles and upright",
        "Hinge side",
        "Drawer top with stiffener",
        "Moulding on carcass",
    ]
    meshes = part_meshes(model)
    keys = list(meshes)
    for name, roles in (
        ("Meeting stiles and upright", {"stile", "upright"}),
        ("Drawer top with stiffener", {"stiffener", "front panel"}),
        ("Moulding on carcass", {"moulding", "horizontal"}),
    ):
        detail = found[name]
        inside = cut(list(meshes.values()), detail.view, detail.depth).within(detail.window)
        seen = {model.part(keys[solid]).role for solid in np.unique(inside.solid)}
        assert roles <= seen, name


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_piece_of_the_zoo_can_be_cut(name):
    """Level and upright sections of each piece cut something and hatch it."""
    model = example_model(name)
    for view, depth in ((PLAN, plan_level(model)), (FROM_RIGHT, section_place(model))):
        shown = sectioned(model, view, depth + OFF)
        assert len(np.unique(shown.section.solid)) >= 3


def test_lines_are_clipped_to_a_rectangle():
    """What lies outside is left out; a line through is cut at both sides."""
    lines = np.array([[(-5, 5), (15, 5)], [(2, 2), (3, 3)], [(20, 0), (20, 9)]], float)
    points, which = clipped(lines, Rect(0, 0, 10, 10))
    assert which.tolist() == [0, 1] and points[0].tolist() == [[0, 5], [10, 5]]
