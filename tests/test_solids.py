"""Meshes against volumes worked out by hand, and the rules that every mesh keeps."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from test_solids_properties import is_sound, judged

from core import solids
from core.geometry import BACK, UP, Placement
from core.model import Body, Cut, CutOut, Fastener, Hole, Pocket, Shape
from core.solids.bores import bores_of

BEVEL = 30.0  # degrees, through 9 mm strips
RUN = 9 * math.tan(math.radians(BEVEL))  # how far the bevel runs in: 5.196


def plane(kind: str, point, normal, angle: float = 0.0) -> Cut:
    size = math.hypot(*normal)
    return Cut(kind=kind, point=point, normal=tuple(n / size for n in normal), angle=angle, where="face edge")


def box(low, high, kind: str = "rebate") -> Pocket:
    return Pocket(kind=kind, low=low, high=high, purpose="test")


def hole(at, into, diameter: float = 8.0, depth: float = 12.0) -> Hole:
    return Hole(at=at, into=into, diameter=diameter, depth=depth, purpose="test")


def sweep(axis: int, outline, start: float, end: float, rises=()) -> CutOut:
    return CutOut(kind="cut-out", axis=axis, outline=outline, start=start, end=end, rises=rises, purpose="test")


def edge_bevel(width: float) -> Cut:
    """Along the high edge: full width on the back side (z = 0), narrower by RUN on the face."""
    return plane("bevel", (0.0, width, 0.0), (0.0, 9.0, RUN), BEVEL)


def low_edge_bevel() -> Cut:
    return plane("bevel", (0.0, 0.0, 0.0), (0.0, -9.0, RUN), BEVEL)


def undercut_ends(length: float) -> tuple[Cut, Cut]:
    """Both ends: full length on the face (z = 9), shorter by RUN at each end on the back side."""
    foot = plane("undercut", (0.0, 0.0, 9.0), (-9.0, 0.0, -RUN), BEVEL)
    head = plane("undercut", (length, 0.0, 9.0), (9.0, 0.0, -RUN), BEVEL)
    return foot, head


def rail(back_length: float, width: float, *bevels: Cut) -> Shape:
    length = back_length + 2 * RUN
    return Shape(size=(length, width, 9.0), features=(*undercut_ends(length), *bevels))


def taper(face_width: float, thickness_too: bool) -> tuple[Cut, ...]:
    cuts = [plane("taper", (0.0, 45.0, 0.0), (-(face_width - 45.0), 145.0, 0.0))]
    if thickness_too:
        cuts.append(plane("taper", (0.0, 0.0, 6.0), (-12.0, 0.0, 145.0)))
    return tuple(cuts)


SHOWN = 80 - RUN  # 74.804


def bracket(height: float, foot: float, pad: float, end: float) -> Shape:
    """A bracket 20 thick with an ogee outline of two equal arcs, each 8 high over its chord."""
    toe, middle, tip = (pad, 0.0), ((pad + foot) / 2, (height - end) / 2), (foot, height - end)
    return Shape(
        size=(foot, height, 20.0),
        features=(sweep(2, (toe, (foot + 1, -1), (foot + 1, height - end), tip, middle), -1, 21, (0, 0, 0, 8, -8)),),
    )


MOULDING_REBATE = box((0.0, 25.0, 0.0), (1150.0, 70.0, 12.0))
MITRE_FOOT = plane("mitre", (0.0, 0.0, 0.0), (-1.0, 1.0, 0.0), 45)
BY_HAND = {
    "side panel": (
        Shape(size=(1722.0, 534.0, 18.0), features=(box((0.0, 525.0, 12.0), (1722.0, 534.0, 18.0)),)),
        16458876,
    ),
    "top": (Shape(size=(1044.0, 528.0, 18.0)), 9922176),
    "side top rail": (rail(374, 92, edge_bevel(92)), 305067.3),
    "side mid rail": (rail(374, 80, edge_bevel(80), low_edge_bevel()), 255207.0),
    "side bottom rail": (rail(374, 80, edge_bevel(80)), 264114.1),
    "leg lamination A": (Shape(size=(145.0, SHOWN, 18.0), features=taper(SHOWN, False)), 156344.0),
    "leg lamination B": (Shape(size=(145.0, SHOWN, 18.0), features=taper(SHOWN, True)), 108550.9),
    "door stile": (Shape(size=(1443.0, 80.0, 9.0), features=(edge_bevel(80),)), 1005218.8),
    "door top rail": (rail(358, 80, edge_bevel(80)), 252968.2),
    "door mid rail": (rail(358, 80, edge_bevel(80), low_edge_bevel()), 244435.2),
    "door bottom rail": (rail(358, 100, edge_bevel(100)), 318343.5),
    "drawer front stile": (Shape(size=(215.0, 80.0, 9.0), features=(edge_bevel(80),)), 149772.7),
    "drawer front rail": (rail(879, 50, edge_bevel(50)), 377172.9),
    "drawer side": (
        Shape(size=(450.0, 130.0, 15.0), features=(box((0.0, 12.0, 9.0), (450.0, 21.0, 15.0), "groove"),)),
        853200,
    ),
    "drawer box front": (
        Shape(size=(988.0, 130.0, 15.0), features=(box((0.0, 12.0, 9.0), (988.0, 21.0, 15.0), "groove"),)),
        1873248,
    ),
    "moulding front": (
        Shape(
            size=(1150.0, 70.0, 40.0),
            features=(MOULDING_REBATE, MITRE_FOOT, plane("mitre", (1150.0, 0.0, 0.0), (1.0, 1.0, 0.0), 45)),
        ),
        2454300,
    ),
    "moulding return": (Shape(size=(560.0, 70.0, 40.0), features=(MOULDING_REBATE, MITRE_FOOT)), 1193250),
    "corner block": (
        Shape(size=(100.0, 100.0, 28.0), features=(plane("corner", (100.0, 0.0, 0.0), (1.0, 1.0, 0.0), 45),)),
        140000,
    ),
}


def test_a_bracket_with_an_ogee_loses_what_its_chord_cuts_off() -> None:
    """The two equal arcs of an ogee take and leave the same segment: (foot − pad) (height − end) / 2 × thickness is gone.

    The arcs run into each other, so that no arris is marked where they meet; those at both ends of the curve are.
    """
    mesh = solids.mesh_of(bracket(110, 180, 75, 40))
    is_sound(mesh)
    assert solids.volume(mesh) == pytest.approx(20 * (180 * 110 - 105 * 70 / 2), rel=1e-9)
    curved = np.flatnonzero((np.abs(mesh.normals[:, 2]) < 1e-9) & (np.abs(mesh.normals) < 1 - 1e-9).all(axis=1))
    assert len(curved) > 8 and int((~mesh.marked).sum()) == len(curved) - 1


def test_a_row_of_lapped_sockets_takes_its_trapezia() -> None:
    """Sockets for dovetails, 14 deep into the end of a front 20 thick, each 10 to 14 wide, stopped before the face."""
    sockets = tuple(sweep(0, ((y - 5, 20), (y - 7, 6), (y + 7, 6), (y + 5, 20)), -1, 12) for y in (20, 45, 70))
    mesh = solids.mesh_of(Shape(size=(400.0, 90.0, 20.0), features=sockets))
    is_sound(mesh)
    assert solids.volume(mesh) == pytest.approx(400 * 90 * 20 - 3 * 12 * 14 * 12)
    assert mesh.marked.all()


def test_a_finger_hole_is_round_at_both_ends() -> None:
    """A slot 90 × 30: 60 × 30 + 225 π, less what the facets cut the corners by; nothing within it is an arris."""
    slot = sweep(2, ((100, 30), (160, 30), (160, 60), (100, 60)), -1, 19, (0, 15, 0, 15))
    mesh = solids.mesh_of(Shape(size=(300.0, 90.0, 18.0), features=(slot,)))
    is_sound(mesh)
    taken = (300 * 90 * 18 - solids.volume(mesh)) / 18
    assert 1800 + 225 * math.pi - 2 / 3 * 0.1 * 30 * math.pi < taken < 1800 + 225 * math.pi
    assert int((~mesh.marked).sum()) == 30


@pytest.mark.parametrize("name", BY_HAND)
def test_volumes_worked_out_by_hand_are_met(name: str) -> None:
    """Rebates, grooves, bevels, undercut ends, tapers and mitres take off what a joiner's pencil says."""
    shape, by_hand = BY_HAND[name]
    mesh = solids.mesh_of(shape)
    is_sound(mesh)
    assert solids.volume(mesh) == pytest.approx(by_hand, abs=0.06)


def test_a_taper_runs_on_through_the_bevel() -> None:
    """A side stile whose leg taper starts at the face arris loses a sliver of the wider back above it.

    By hand: 1722 of bevelled strip and 145 of tapering leg are 1 277 747.0; a saw that enters at the face arris runs
    on through the bevel, a pyramid of run² × 9 / (6 × slope) = 197.0 more.
    """
    slope = (SHOWN - 45) / 145
    shape = Shape(size=(1867.0, 80.0, 9.0), features=(edge_bevel(80), *taper(SHOWN, False)))
    assert solids.volume(solids.mesh_of(shape)) == pytest.approx(1277747.0 - RUN**2 * 9 / (6 * slope), abs=0.1)


def test_a_hole_is_a_prism_around_the_true_circle() -> None:
    """A blind hole takes off depth × n·r²·tan(π/n), never less than the true cylinder."""
    blank = Shape(size=(100.0, 50.0, 18.0))
    drilled = replace(blank, features=(hole((30.0, 20.0, 18.0), (0.0, 0.0, -1.0)),))
    taken = solids.volume(solids.mesh_of(blank)) - solids.volume(solids.mesh_of(drilled))
    assert taken == pytest.approx(12 * 16 * 16 * math.tan(math.pi / 16), abs=1e-6)
    assert taken > 12 * math.pi * 16


def test_only_the_facets_of_rounds_are_unmarked() -> None:
    """A hole of 16 facets leaves 16 unmarked edges between them; all others are feature edges."""
    mesh = solids.mesh_of(Shape(size=(100.0, 50.0, 18.0), features=(hole((30.0, 20.0, 18.0), (0.0, 0.0, -1.0)),)))
    assert len(mesh.edges) == 12 + 3 * 16 and int((~mesh.marked).sum()) == 16
    across = mesh.vertices[mesh.edges[~mesh.marked]]
    assert np.allclose(np.abs(across[:, 1] - across[:, 0]), (0, 0, 12))


def test_a_facetted_cove_is_unmarked_and_its_fillets_are_marked() -> None:
    """The long edges within a facetted curve of the section are no arrises; those at its ends are."""
    curve = [(12 * math.cos(a), 12 * math.sin(a)) for a in np.linspace(0, math.pi / 2, 6).tolist()]
    outline = (*curve, (0.0, 40.0), (70.0, 40.0), (70.0, 0.0))
    mesh = solids.mesh_of(Shape(size=(300.0, 70.0, 40.0), section=outline[::-1]))
    is_sound(mesh)
    assert int((~mesh.marked).sum()) == 4
    assert solids.volume(mesh) == pytest.approx(300 * (2800 - 5 * 72 * math.sin(math.pi / 10)))


CROSSING = {
    "plug through a seam": (hole((100.0, -1.0, 18.0), (0.0, 0.0, -1.0)),),
    "tangent to the edge": (hole((100.0, 4.0, 18.0), (0.0, 0.0, -1.0)),),
    "right through": (hole((100.0, 50.0, 20.0), (0.0, 0.0, -1.0), 8, 40),),
    "two that cross": (
        hole((100.0, 50.0, 18.0), (0.0, 0.0, -1.0), 8, 12),
        hole((100.0, 0.0, 9.0), (0.0, 1.0, 0.0), 8, 60),
    ),
    "across a groove": (box((0.0, 46.0, 8.0), (400.0, 52.0, 18.0)), hole((100.0, 49.0, 18.0), (0.0, 0.0, -1.0), 8, 14)),
    "from the floor of a recess": (
        box((80.0, 0.0, 16.75), (155.0, 16.5, 18.0)),
        hole((100.0, 8.0, 16.75), (0.0, 0.0, -1.0), 3, 12),
    ),
    "mouth taken by a recess": (
        hole((100.0, 8.0, 18.0), (0.0, 0.0, -1.0), 8, 14),
        box((80.0, 0.0, 16.75), (155.0, 16.5, 18.0)),
    ),
    "larger than its recess": (
        box((95.0, 40.0, 14.0), (105.0, 46.0, 18.0)),
        hole((100.0, 43.0, 18.0), (0.0, 0.0, -1.0), 18, 10),
    ),
    "on a bevel": (
        plane("bevel", (0.0, 100.0, 9.0), (0.0, 1.0, 1.0), 45),
        hole((100.0, 98.0, 11.0), (0.0, -1.0, 0.0), 5, 30),
    ),
    "pockets that touch at an arris": (
        box((10.0, 10.0, 8.0), (30.0, 30.0, 18.0)),
        box((30.0, 30.0, 8.0), (50.0, 50.0, 18.0)),
    ),
    "sawn in two": (box((100.0, -1.0, -1.0), (110.0, 101.0, 19.0)),),
    "out at a corner": (
        hole((-2.0, 99.0, 18.0), (0.0, 0.0, -1.0), 18, 18),
        hole((-1.4, 100.0, 19.4), (0.0, -1.0, 0.0), 3.5, 25),
    ),
    "past a corner": (hole((-6.5, -6.5, 18.0), (0.0, 0.0, -1.0), 18, 18),),
    "as wide as the board": (
        hole((100.0, 50.0, 9.0), (0.0, 1.0, 0.0), 18, 20),
        hole((200.0, 50.0, 9.0), (0.0, 1.0, 0.0), 24, 20),
    ),
    "a finger hole through a dowel": (
        sweep(2, ((90, 30), (130, 30), (130, 60), (90, 60)), -1, 19, (0, 15, 0, 15)),
        hole((100.0, 0.0, 9.0), (0.0, 1.0, 0.0), 8, 60),
        hole((300.0, 50.0, 18.0), (0.0, 0.0, -1.0), 8, 12),
    ),
    "a curved foot between sockets": (
        sweep(2, ((-1, -1), (200, -1), (200, 0), (150, 30), (100, 60), (-1, 60)), -1, 19, (0, 0, 0, 6, -6, 0)),
        *(sweep(0, ((y, 5), (y + 20, 5), (y + 17, 19), (y + 3, 19)), 382, 401) for y in (5.0, 35.0, 65.0)),
        box((250.0, -1.0, 8.0), (300.0, 101.0, 19.0), "housing"),
        plane("chamfer", (0.0, 100.0, 15.0), (0.0, 1.0, 1.0), 45),
        hole((275.0, 50.0, 8.0), (0.0, 0.0, -1.0), 5, 5),
    ),
    "a socket that comes to the face in a line": (sweep(0, ((0, 6), (50, 6), (45, 14), (5, 14)), -1, 400),),
    "a cavity that touches itself": (
        box((10.0, 10.0, 4.0), (30.0, 30.0, 12.0)),
        box((30.0, 30.0, 4.0), (50.0, 50.0, 12.0)),
    ),
}


@pytest.mark.parametrize("name", CROSSING)
def test_features_that_meet_leave_a_sound_solid(name: str) -> None:
    """Holes outside, through, across and into one another are what the boolean judge says they are."""
    shape = Shape(size=(400.0, 100.0, 18.0), features=CROSSING[name])
    mesh = solids.mesh_of(shape)
    is_sound(mesh)
    assert solids.volume(mesh) == pytest.approx(judged(shape).volume(), rel=1e-9)


def mirrored(shape: Shape) -> Shape:
    """The shape seen in a mirror across its width."""
    width = shape.size[1]

    def turned(feature):
        if isinstance(feature, Pocket):
            low, high = feature.low, feature.high
            return replace(feature, low=(low[0], width - high[1], low[2]), high=(high[0], width - low[1], high[2]))
        if isinstance(feature, CutOut):
            return mirrored_cut_out(feature, width)
        if isinstance(feature, Hole):
            at, into = feature.at, feature.into
            return replace(feature, at=(at[0], width - at[1], at[2]), into=(into[0], -into[1], into[2]))
        point, normal = feature.point, feature.normal
        return replace(feature, point=(point[0], width - point[1], point[2]), normal=(normal[0], -normal[1], normal[2]))

    section = tuple((width - y, z) for y, z in reversed(shape.section))
    return replace(shape, section=section, features=tuple(turned(feature) for feature in shape.features))


def mirrored_cut_out(feature: CutOut, width: float) -> CutOut:
    if feature.axis == 1:
        return replace(feature, start=width - feature.end, end=width - feature.start)
    y = 0 if feature.axis == 0 else 1
    outline = tuple(tuple(width - c if i == y else c for i, c in enumerate(corner)) for corner in feature.outline[::-1])
    return replace(feature, outline=outline, rises=(*feature.rises[-2::-1], *feature.rises[-1:]))


@pytest.mark.parametrize("name", CROSSING)
def test_a_mirrored_shape_has_a_mirrored_mesh(name: str) -> None:
    """Left and right have the same volume, area, and numbers of vertices, edges and faces."""
    shape = Shape(size=(400.0, 100.0, 18.0), features=CROSSING[name])
    left, right = solids.mesh_of(shape), solids.mesh_of(mirrored(shape))
    assert solids.volume(left) == pytest.approx(solids.volume(right), rel=1e-12)
    assert solids.surface_area(left) == pytest.approx(solids.surface_area(right), rel=1e-12)
    assert (len(left.vertices), len(left.edges), len(left.normals), int(left.marked.sum())) == (
        len(right.vertices),
        len(right.edges),
        len(right.normals),
        int(right.marked.sum()),
    )


def test_equal_shapes_share_one_mesh_and_a_rebuilt_one_is_the_same() -> None:
    """The cache goes by value; building anew gives the same arrays to the last bit."""

    def shape() -> Shape:
        return Shape(size=(400.0, 100.0, 18.0), features=CROSSING["across a groove"])

    assert solids.mesh_of(shape()) is solids.mesh_of(shape())
    first = solids.mesh_of(shape())
    solids.forget()
    again = solids.mesh_of(shape())
    assert all(np.array_equal(getattr(first, name), getattr(again, name)) for name in solids.Mesh.__slots__)


def test_a_placed_mesh_stands_where_its_part_does() -> None:
    """Placing moves vertices and turns normals; volume and edges stay."""
    mesh = solids.mesh_of(Shape(size=(100.0, 50.0, 18.0)))
    there = solids.placed(mesh, Placement((1.0, 2.0, 3.0), UP, BACK))
    assert there.vertices.min(axis=0) == pytest.approx((1 - 18, 2, 3)) and there.vertices.max(axis=0) == pytest.approx(
        (1, 52, 103)
    )
    assert solids.volume(there) == pytest.approx(90000)
    assert there.edges is mesh.edges


def test_a_peg_never_overlaps_its_hole() -> None:
    """Pegs lie inside the true circle, holes outside it, whatever their direction."""
    for along in ((0.0, 0.0, -1.0), (1.0, 0.0, 0.0), (0.6, 0.0, 0.8)):
        peg = solids.peg_mesh(
            Fastener(
                key="d", kind="dowel", name="dowel", diameter=8, length=40, at=(5.0, 6.0, 7.0), along=along, parts=()
            )
        )
        is_sound(peg)
        assert solids.volume(peg) == pytest.approx(40 * 16 / 2 * 16 * math.sin(2 * math.pi / 16))
        offset = peg.vertices - (5.0, 6.0, 7.0)
        depth = offset @ along
        assert np.linalg.norm(offset - np.outer(depth, along), axis=1) == pytest.approx(4)
        assert depth.min() == pytest.approx(0, abs=1e-9) and depth.max() == pytest.approx(40)
        assert int((~peg.marked).sum()) == 16


def test_bodies_of_fittings_have_the_volume_of_their_form() -> None:
    """Blocks, bars along any axis either way, and turned rounds with shoulders, cones and points."""
    block = Body(form="block", low=(1.0, 2.0, 3.0), high=(4.0, 6.0, 8.0))
    angle = ((0.0, 0.0), (20.0, 0.0), (20.0, 3.0), (3.0, 3.0), (3.0, 20.0), (0.0, 20.0))
    is_sound(solids.mesh_of_body(block))
    assert solids.volume(solids.mesh_of_body(block)) == pytest.approx(60)
    for high in ((50.0, 0.0, 0.0), (0.0, -50.0, 0.0), (0.0, 0.0, 50.0), (-30.0, 40.0, 0.0)):
        bar = solids.mesh_of_body(Body(form="bar", low=(0.0, 0.0, 0.0), high=high, outline=angle))
        is_sound(bar)
        assert solids.volume(bar) == pytest.approx(50 * 111)
    against = solids.mesh_of_body(Body(form="bar", low=(0.0, 0.0, 0.0), high=(0.0, -50.0, 0.0), outline=angle))
    assert against.vertices.min(axis=0) == pytest.approx((0, -50, 0)) and against.vertices.max(axis=0) == pytest.approx(
        (20, 0, 20)
    )
    profile = ((0.0, 5.0), (20.0, 5.0), (20.0, 12.0), (25.0, 12.0), (30.0, 6.0), (36.0, 0.0))
    knob = solids.mesh_of_body(Body(form="turned", low=(0.0, 0.0, 0.0), high=(0.0, 0.0, 36.0), outline=profile))
    is_sound(knob)
    share = 28 / 2 * math.sin(2 * math.pi / 28)
    cones = 20 * 25 + 5 * 144 + 5 * (144 + 72 + 36) / 3 + 6 * 36 / 3
    assert len(knob.normals) == 1 + 4 * 28 + 1 and solids.volume(knob) == pytest.approx(share * cones)


def test_what_workshops_drill_needs_no_general_boolean() -> None:
    """Dowels, pins, through holes, holes from the floor of a recess or under one are ready-made."""
    along, into = (1.0, 0.0, 0.0), (0.0, 0.0, -1.0)
    shape = Shape(
        size=(400.0, 100.0, 18.0),
        features=(
            box((0.0, 91.0, 12.0), (400.0, 100.0, 18.0)),
            box((80.0, 0.0, 16.75), (155.0, 16.5, 18.0), "recess"),
            plane("bevel", (0.0, 0.0, 3.0), (0.0, -1.0, -1.0), 45),
            hole((0.0, 50.0, 9.0), along, 8, 30),
            hole((200.0, 50.0, 18.0), into, 5, 10),
            hole((250.0, 50.0, 20.0), into, 5, 40),
            hole((100.0, 8.0, 16.75), into, 3, 12),
            hole((130.0, 8.0, 18.0), into, 8, 14),
        ),
    )
    bores, rest = bores_of([shape])
    assert len(bores.shape) == 5 and rest == [[]]
    is_sound(solids.mesh_of(shape))
    assert solids.volume(solids.mesh_of(shape)) == pytest.approx(judged(shape).volume(), rel=1e-9)


@pytest.mark.parametrize("name", CROSSING)
def test_what_meets_something_is_not_taken_for_plain(name: str) -> None:
    """No hole that straddles, touches or crosses anything is made ready-made, save those that plainly go through."""
    _, rest = bores_of([Shape(size=(400.0, 100.0, 18.0), features=CROSSING[name])])
    plain = {"right through", "from the floor of a recess", "mouth taken by a recess", "a curved foot between sockets"}
    holes = [feature for feature in CROSSING[name] if isinstance(feature, Hole)]
    beside = 1 if name == "a finger hole through a dowel" else 0
    assert len(rest[0]) == (0 if name in plain else len(holes) - beside)


def test_a_part_of_which_nothing_is_left_has_an_empty_mesh() -> None:
    """Features that take everything away leave no faces, and spoil no other mesh of the same call."""
    gone = Shape(size=(100.0, 50.0, 18.0), features=(box((-1.0, -1.0, -1.0), (101.0, 51.0, 19.0)),))
    empty, whole = solids.meshes_of((gone, Shape(size=(100.0, 50.0, 18.0))))
    assert len(empty.vertices) == len(empty.edges) == len(empty.normals) == len(empty.triangles()) == 0
    assert solids.volume(empty) == 0 and solids.surface_area(empty) == 0 and solids.is_closed(empty)
    assert solids.volume(whole) == pytest.approx(90000)


def test_meshes_cannot_be_changed_by_those_who_share_them() -> None:
    """The arrays of a mesh are read-only."""
    with pytest.raises(ValueError, match="read-only"):
        solids.mesh_of(Shape(size=(100.0, 50.0, 18.0))).vertices[0] = 0


def test_a_mesh_does_not_depend_on_its_company() -> None:
    """Parts whose sizes differ by less than the tolerance, made in one call, are not drawn toward each other."""
    sizes = [400.0 + 2e-6 * i for i in range(8)]
    shapes = [Shape(size=(size, 100.0, 18.0), features=CROSSING["across a groove"]) for size in sizes]
    solids.forget()
    for size, mesh in zip(sizes, solids.meshes_of(shapes), strict=True):
        assert mesh.vertices[:, 0].max() == size


def test_many_parts_are_made_in_shares() -> None:
    """More parts than are made at once come back complete and in order."""
    shapes = [Shape(size=(100.0 + i, 50.0, 18.0)) for i in range(2 * solids.AT_ONCE + 5)]
    assert [solids.volume(mesh) for mesh in solids.meshes_of(shapes)] == pytest.approx(
        [s.size[0] * 900 for s in shapes]
    )
