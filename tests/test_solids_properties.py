"""Meshes of random shapes, judged by a boolean library and a mesh library that know nothing of ours."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import manifold3d
import numpy as np
import pytest
import trimesh
from hypothesis import given, settings
from hypothesis import strategies as st

from core import solids
from core.model import Cut, CutOut, Feature, Hole, Pocket, Shape

EXAMPLES = settings(max_examples=60, deadline=None, derandomize=True)


# ---------------------------------------------------------------------------------------------------------------- judge
def judged(shape: Shape) -> manifold3d.Manifold:
    """The same solid by general booleans: bar, planes, boxes and facetted rounds built without our code."""
    length, width, thickness = shape.size
    outline = shape.section or ((0, 0), (width, 0), (width, thickness), (0, thickness))
    bar = manifold3d.CrossSection([np.array(outline, float)], manifold3d.FillRule.EvenOdd).extrude(length)
    bar = bar.transform(np.array([(0, 0, 1, 0), (1, 0, 0, 0), (0, 1, 0, 0)], float))
    for feature in shape.features:
        if isinstance(feature, Cut):
            normal = -np.array(feature.normal)
            bar = bar.trim_by_plane(normal, float(normal @ feature.point) / float(np.linalg.norm(normal)))
    for feature in dict.fromkeys(shape.features):  # cutting away the same twice leaves crumbs of rounding
        if isinstance(feature, Pocket):
            low, high = np.array(feature.low, float), np.array(feature.high, float)
            bar -= manifold3d.Manifold.cube(high - low).translate(low)
        elif isinstance(feature, Hole):
            bar -= round_about(feature)
        elif isinstance(feature, CutOut):
            bar -= swept(feature)
    return bar


def swept(cut_out: CutOut) -> manifold3d.Manifold:
    """The outline of a cut-out, its arcs facetted within 0.1 mm, drawn along its axis."""
    corners: list[complex] = []
    rises = cut_out.rises or (0.0,) * len(cut_out.outline)
    points = [complex(*corner) for corner in cut_out.outline]
    for a, b, rise in zip(points, [*points[1:], points[0]], rises, strict=True):
        corners.append(a)
        if rise:
            top = (a + b) / 2 - 1j * rise * (b - a) / abs(b - a)
            # the centre is as far from the top as from a: on the line from the top through the chord's middle
            axis = (a + b) / 2 - top
            centre = top + axis * abs(a - top) ** 2 / (2 * ((a - top) * axis.conjugate()).real)
            turn = math.copysign(4 * math.atan(2 * abs(rise) / abs(b - a)), rise)
            n = 2
            while abs(a - centre) * (1 - math.cos(turn / 2 / n)) > 0.1 + 1e-9:
                n += 1
            corners += [
                centre + (a - centre) * complex(math.cos(turn * i / n), math.sin(turn * i / n)) for i in range(1, n)
            ]
    flat = np.array([(corner.real, corner.imag) for corner in corners])
    solid = manifold3d.CrossSection([flat], manifold3d.FillRule.Positive).extrude(cut_out.end - cut_out.start)
    turn = np.zeros((3, 4))
    for i, axis in enumerate(((cut_out.axis + 1) % 3, (cut_out.axis + 2) % 3, cut_out.axis)):
        turn[axis, i] = 1.0
    turn[cut_out.axis, 3] = cut_out.start
    return solid.transform(turn)


def round_about(hole: Hole) -> manifold3d.Manifold:
    """A prism that just holds the true cylinder, flats square to the frame."""
    n = 8
    while hole.diameter / 2 / math.cos(math.pi / n) - hole.diameter / 2 > 0.1 + 1e-9:
        n += 4
    axis = np.array(hole.into, float)
    k = int(np.abs(axis).argmax())
    u = np.eye(3)[(k + 1) % 3]
    u = u - axis * (axis @ u)
    u /= np.linalg.norm(u)
    v = np.cross(axis, u)
    angle = 2 * math.pi * (np.arange(n) + 0.5) / n
    ring = np.array(hole.at) + hole.diameter / 2 / math.cos(math.pi / n) * (
        np.outer(np.cos(angle), u) + np.outer(np.sin(angle), v)
    )
    return manifold3d.Manifold.hull_points(np.vstack((ring, ring + hole.depth * axis)))


def is_sound(mesh: solids.Mesh) -> None:
    """Closed, consistently turned, planar, every polygon and triangle with an area, edges and faces in agreement."""
    assert solids.is_closed(mesh)
    triangles = mesh.triangles()
    as_trimesh = trimesh.Trimesh(mesh.vertices, triangles, process=False)
    assert as_trimesh.is_watertight and as_trimesh.is_winding_consistent
    assert as_trimesh.volume == pytest.approx(solids.volume(mesh), rel=1e-9, abs=1e-6)
    assert as_trimesh.area == pytest.approx(solids.surface_area(mesh), rel=1e-7)
    assert as_trimesh.area_faces.min() > 1e-8
    sizes = np.diff(mesh.starts)
    assert sizes.min() >= 3
    for i, size in enumerate(sizes):
        loop = mesh.corners[mesh.starts[i] : mesh.starts[i + 1]]
        assert len(set(loop.tolist())) == size
        heights = (mesh.vertices[loop] - mesh.vertices[loop[0]]) @ mesh.normals[mesh.face_of[i]]
        assert np.abs(heights).max() < 1e-4
    sides = {}
    for i in range(len(sizes)):
        loop = mesh.corners[mesh.starts[i] : mesh.starts[i + 1]].tolist()
        sides.update({(a, b): int(mesh.face_of[i]) for a, b in zip(loop, loop[1:] + loop[:1], strict=False)})
    between = {(a, b): (f, sides[b, a]) for (a, b), f in sides.items() if f != sides[b, a]}
    listed = {}
    for (a, b), (left, right) in zip(mesh.edges.tolist(), mesh.edge_faces.tolist(), strict=False):
        listed[a, b], listed[b, a] = (left, right), (right, left)
    assert listed == between
    assert np.allclose(np.linalg.norm(mesh.normals, axis=1), 1)


# ----------------------------------------------------------------------------------------------------------- strategies
def lengths(low: float, high: float, step: float = 0.5) -> st.SearchStrategy[float]:
    """Lengths on a coarse grid, so that features often meet exactly."""
    return st.integers(round(low / step), round(high / step)).map(lambda i: i * step)


@st.composite
def holes(draw: st.DrawFn, size: tuple[float, float, float]) -> Hole:
    """A hole along a frame axis: in a face, through, straddling an arris, or wholly outside."""
    axis, sign = draw(st.integers(0, 2)), draw(st.sampled_from((-1, 1)))
    at = [draw(lengths(-4, s + 4)) for s in size]
    if draw(st.booleans()):
        at[axis] = 0.0 if sign > 0 else size[axis]
    into = [0.0, 0.0, 0.0]
    into[axis] = float(sign)
    return Hole(
        at=tuple(at),
        into=tuple(into),
        diameter=draw(st.sampled_from((3.0, 5.0, 8.0, 15.0, 18.0, 35.0))),
        depth=draw(lengths(4, 40)),
        purpose="test",
    )


@st.composite
def leaning_holes(draw: st.DrawFn, size: tuple[float, float, float]) -> Hole:
    """A hole at an angle to the faces."""
    lean = math.radians(draw(st.sampled_from((5.0, 15.0, 30.0, 45.0))))
    turn = math.radians(draw(st.sampled_from((0.0, 40.0, 90.0, 200.0))))
    into = (math.sin(lean) * math.cos(turn), math.sin(lean) * math.sin(turn), -math.cos(lean))
    return Hole(
        at=(draw(lengths(5, size[0] - 5)), draw(lengths(5, size[1] - 5)), size[2]),
        into=into,
        diameter=draw(st.sampled_from((5.0, 8.0))),
        depth=draw(lengths(5, 30)),
        purpose="test",
    )


@st.composite
def pockets(draw: st.DrawFn, size: tuple[float, float, float]) -> Pocket:
    """A box that may reach beyond the blank on any side: a rebate, a groove, a recess, a mortise, a slot."""
    low, high = [], []
    for s in size:
        a, b = sorted((draw(lengths(-2, s + 2)), draw(lengths(-2, s + 2))))
        through = draw(st.integers(0, 3))
        low.append(0.0 if through == 1 else a)
        high.append(s if through == 1 else max(b, low[-1] + 1.0))
    return Pocket(kind="recess", low=tuple(low), high=tuple(high), purpose="test")


@st.composite
def cuts(draw: st.DrawFn, size: tuple[float, float, float]) -> Cut:
    """A bevel, taper, undercut or mitre that leaves the middle of the bar."""
    axis = draw(st.integers(0, 2))
    other = (axis + draw(st.sampled_from((1, 2)))) % 3
    angle = math.radians(draw(st.sampled_from((4.731, 11.615, 22.5, 30.0, 45.0, 60.0))))
    normal = [0.0, 0.0, 0.0]
    normal[axis], normal[other] = (
        math.cos(angle) * draw(st.sampled_from((-1, 1))),
        math.sin(angle) * draw(st.sampled_from((-1, 1))),
    )
    corner = np.array([s if n > 0 else 0.0 for s, n in zip(size, normal, strict=False)])
    reach = float((corner - np.array(size) / 2) @ normal)
    point = corner - np.array(normal) * draw(st.sampled_from((0.0, 0.1, 0.25, 0.5, 0.75))) * reach
    return Cut(kind="bevel", point=tuple(point), normal=tuple(normal), angle=math.degrees(angle), where="face edge")


@st.composite
def cut_outs(draw: st.DrawFn, size: tuple[float, float, float]) -> CutOut:
    """A dovetail's socket, a finger hole, a bracket's curve or a star, anywhere, right through or to a depth from either face."""
    axis = draw(st.integers(0, 2))
    wide, high = size[(axis + 1) % 3], size[(axis + 2) % 3]
    x, y = draw(lengths(-5, wide + 5)), draw(lengths(-5, high + 5))
    a, b = draw(lengths(6, 40)), draw(lengths(6, 40))
    form, rises = draw(st.sampled_from(("dovetail", "hole", "ogee", "star"))), ()
    if form == "dovetail":
        lean = draw(lengths(-2, 2, 0.25))
        outline = ((x, y), (x + a, y), (x + a - lean, y + b), (x + lean, y + b))
    elif form == "hole":
        outline, rises = (
            ((x, y), (x + a, y), (x + a, y + b), (x, y + b)),
            (0.0, b / 2, 0.0, draw(st.sampled_from((b / 2, b / 5, -b / 8)))),
        )
    elif form == "ogee":  # two arcs that run into each other
        rise = draw(st.sampled_from((2.0, 5.0, -4.0)))
        outline = ((x, y), (x + 2 * a, y), (x + 2 * a, y + 2 * b), (x + a, y + b))
        rise = math.copysign(min(abs(rise), a / 6, b / 6), rise)
        rises = (0.0, 0.0, rise, -rise)
    else:
        reach = draw(st.lists(st.sampled_from((5.0, 9.0, 16.0)), min_size=3, max_size=7))
        turn = [2 * math.pi * i / len(reach) for i in range(len(reach))]
        outline = tuple((x + r * math.cos(t), y + r * math.sin(t)) for r, t in zip(reach, turn, strict=True))
    ends = sorted((draw(lengths(-2, size[axis] - 1)), draw(lengths(1, size[axis] + 2))))
    through = draw(st.integers(0, 2))
    start = -1.0 if through == 1 else ends[0]
    end = size[axis] if through else max(ends[1], start + 1.0)
    return CutOut(kind="cut-out", axis=axis, outline=outline, rises=rises, start=start, end=end, purpose="test")


SECTIONS = (
    (),
    ((0, 0), (60, 0), (60, 20), (45, 20), (45, 12), (0, 12)),
    ((0, 0), (60, 0), (60, 20), (40, 20), (40, 12), (30, 12), (30, 20), (0, 20)),
    (
        (0, 0),
        (60, 0),
        *((60 - 12 * math.sin(a), 20 - 12 * math.cos(a)) for a in np.linspace(0, math.pi / 2, 6).tolist()),
        (0, 20),
    ),
    (
        (0, 0),
        (60, 0),
        (60, 4),
        *((52 + 8 * math.cos(a), 4 + 8 * math.sin(a)) for a in np.linspace(0.2, math.pi / 2, 5).tolist()),
        (40, 12),
        (40, 20),
        (0, 20),
    ),
)


@st.composite
def shapes(draw: st.DrawFn) -> Shape:
    """Any bar with up to a handful of features that may meet in any way."""
    section = draw(st.sampled_from(SECTIONS))
    size = (
        draw(lengths(60, 200)),
        60.0 if section else draw(lengths(20, 90)),
        20.0 if section else draw(lengths(6, 40)),
    )
    kinds = (holes(size), pockets(size), cuts(size), leaning_holes(size), cut_outs(size))
    features = draw(st.lists(st.one_of(*kinds), max_size=6))
    return Shape(size=size, section=section, features=tuple(features))


# ---------------------------------------------------------------------------------------------------------------- tests
@EXAMPLES
@given(shapes())
def test_the_mesh_of_any_shape_is_the_boolean_of_its_features(shape: Shape) -> None:
    """Whatever features meet in whatever way, the mesh is closed and encloses what a boolean library leaves."""
    judge = judged(shape)
    if judge.volume() < 1e-3:
        return
    mesh = solids.mesh_of(shape)
    is_sound(mesh)
    assert solids.volume(mesh) == pytest.approx(judge.volume(), rel=1e-6)


@st.composite
def rounded(draw: st.DrawFn) -> Shape:
    """Cut-outs and pockets on a coarse grid, every coordinate off by a millionth or two as sums that differ leave it."""
    size = (draw(lengths(60, 200)), draw(lengths(20, 90)), draw(lengths(6, 40)))
    features = draw(st.lists(st.one_of(cut_outs(size), pockets(size)), min_size=2, max_size=5))
    dice = random.Random(draw(st.integers(0, 999)))

    def off(values: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(value + dice.choice((0.0, 0.0, 1e-6, -1e-6, 2e-6)) for value in values)

    made: list[Feature] = []
    for each in features:
        if isinstance(each, CutOut):
            start, end = off((each.start, each.end))
            made.append(replace(each, outline=tuple(map(off, each.outline)), start=start, end=end))
        else:
            made.append(replace(each, low=off(each.low), high=off(each.high)))
    return Shape(size=size, features=tuple(made))


@EXAMPLES
@given(rounded())
def test_rounding_in_a_coordinate_spoils_no_solid(shape: Shape) -> None:
    """Sides that are meant to lie in one plane are taken to do so; slivers of rounding are left by the judge alone."""
    judge = judged(shape)
    if judge.volume() < 1.0:
        return
    mesh = solids.mesh_of(shape)
    is_sound(mesh)
    assert solids.volume(mesh) == pytest.approx(judge.volume(), rel=1e-6, abs=0.2)


@st.composite
def panels(draw: st.DrawFn) -> Shape:
    """A board such as furniture has: dowels in the ends, pins and dowels in the faces, recesses, a groove, a bevel."""
    size = (draw(lengths(200, 900, 10)), draw(lengths(80, 400, 10)), 18.0)
    features: list[Feature] = []
    for at in draw(st.lists(st.tuples(lengths(-5, size[0], 8), lengths(-5, size[1], 8)), max_size=12)):
        high = draw(st.booleans())
        depth, diameter = draw(st.sampled_from((5.0, 12.0, 18.0, 20.0))), draw(st.sampled_from((5.0, 8.0)))
        place, into = ((*at, 18.0), (0.0, 0.0, -1.0)) if high else ((*at, 0.0), (0.0, 0.0, 1.0))
        features.append(Hole(at=place, into=into, diameter=diameter, depth=depth, purpose="test"))
    for y in draw(st.lists(lengths(8, size[1] - 8, 16), max_size=4, unique=True)):
        x, way = draw(st.sampled_from(((0.0, 1.0), (size[0], -1.0))))
        features.append(Hole(at=(x, y, 9.0), into=(way, 0.0, 0.0), diameter=8.0, depth=30.0, purpose="test"))
    for x in draw(st.lists(lengths(10, size[0] - 90, 20), max_size=3)):
        floor = draw(st.sampled_from((16.75, 12.0, 3.0)))
        low = draw(st.sampled_from((0.0, 20.0)))
        features.append(Pocket(kind="recess", low=(x, low, floor), high=(x + 75, low + 16.5, 18.0), purpose="test"))
        features.append(
            Hole(at=(x + 12, low + 8, floor), into=(0.0, 0.0, -1.0), diameter=3.0, depth=8.0, purpose="test")
        )
    if draw(st.booleans()):
        features.append(Pocket(kind="groove", low=(0.0, 12.0, 12.0), high=(size[0], 21.0, 18.0), purpose="test"))
    if draw(st.booleans()):
        normal = (0.0, math.cos(math.pi / 6), math.sin(math.pi / 6))
        features.append(Cut(kind="bevel", point=(0.0, size[1], 6.0), normal=normal, angle=30, where="back edge"))
    return Shape(size=size, features=tuple(draw(st.permutations(features))))


@EXAMPLES
@given(st.lists(panels(), min_size=1, max_size=4))
def test_boards_made_together_are_what_each_is_alone(boards: list[Shape]) -> None:
    """Bores, chains of mouths and the general way agree with the judge, and a mesh does not depend on its company."""
    solids.forget()
    together = solids.meshes_of(boards)
    for board, mesh in zip(boards, together, strict=True):
        is_sound(mesh)
        assert solids.volume(mesh) == pytest.approx(judged(board).volume(), rel=1e-6)
        solids.forget()
        alone = solids.mesh_of(board)
        assert all(np.array_equal(getattr(alone, name), getattr(mesh, name)) for name in solids.Mesh.__slots__)
