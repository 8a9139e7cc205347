"""Bodies solved shortened are the bodies solved as they are."""

from __future__ import annotations

from dataclasses import replace
from unittest import mock

import numpy as np
import pytest
from examples import DEMO, example_piece
from hypothesis import given, settings
from hypothesis import strategies as st
from test_solids import mirrored
from test_solids_properties import judged, shapes

from core import build, solids
from core.model import Cut, CutOut, Hole, Pocket, Shape
from core.solids import making
from core.solids import shortened as shortening

EXAMPLES = settings(max_examples=100, deadline=None, derandomize=True)
SAME = 1e-8  # mm; both are rounded to 1e-9


def at_full_length(shape: Shape) -> solids.Mesh:
    """The mesh of a shape no stretch of which is left out."""
    with mock.patch.object(shortening, "GAP", 1e9):
        solids.forget()
        mesh = solids.mesh_of(shape)
    solids.forget()
    return mesh


@given(shapes())
@EXAMPLES
def test_a_body_solved_shortened_is_the_body_solved_as_it_is(shape: Shape) -> None:
    """Same polygons and faces, the same edges between them, and every corner in its place within rounding."""
    whole, short = at_full_length(shape), solids.mesh_of(shape)
    for name in ("corners", "starts", "face_of"):
        assert np.array_equal(getattr(whole, name), getattr(short, name)), name
    assert edges(whole) == edges(short)
    assert np.allclose(whole.vertices[turns(whole)], short.vertices[turns(whole)], rtol=0, atol=SAME)
    assert np.allclose(whole.normals, short.normals, rtol=0, atol=SAME)


def edges(mesh: solids.Mesh) -> set[tuple[int, ...]]:
    """The edges with the faces at either hand and whether they are marked, in no order."""
    return set(map(tuple, np.column_stack((mesh.edges, mesh.edge_faces, mesh.marked)).tolist()))


def turns(mesh: solids.Mesh) -> np.ndarray:
    """The corners at which some polygon turns: where something but touches a straight edge, its place there says nothing."""
    found = np.zeros(len(mesh.vertices), bool)
    for start, end in zip(mesh.starts[:-1], mesh.starts[1:], strict=True):
        loop = mesh.vertices[mesh.corners[start:end]]
        bend = np.cross(loop - np.roll(loop, 1, axis=0), np.roll(loop, -1, axis=0) - loop)
        found[mesh.corners[start:end][np.linalg.norm(bend, axis=1) > SAME]] = True
    return found


def test_a_longer_part_is_not_solved_again() -> None:
    """The demo piece a hand wider, deeper and higher: no body but was solved for the piece as it was."""
    piece = example_piece(DEMO)
    solids.forget()
    for part in build(piece).parts:
        solids.mesh_of(part.shape)
    sizes = {"width": piece.whole.width + 100, "height": piece.whole.height + 100, "depth": piece.whole.depth + 40}
    with mock.patch.object(making, "_bodies", side_effect=AssertionError("a body was solved again")):
        for name, size in sizes.items():
            larger = replace(piece, whole=replace(piece.whole, **{name: size}))
            solids.meshes_of(part.shape for part in build(larger).parts)


def test_a_left_and_a_right_hand_are_solved_once() -> None:
    """Of a board with a recess, holes in it and a chamfer, and its mirror image, one is solved; each has its own mesh all the same."""
    features = (
        Pocket(kind="recess", low=(100.0, -1.0, 10.0), high=(180.0, 20.0, 19.0), purpose=""),
        *(Hole(at=(120.0 + 20 * n, 8.0, 10.0), into=(0.0, 0.0, -1.0), diameter=12.0, depth=6.0 + n, purpose="") for n in range(2)),
        CutOut(kind="cut-out", axis=2, outline=((300.0, -1.0), (360.0, -1.0), (330.0, 30.0)), start=-1.0, end=19.0, purpose="", rises=(0.0, 8.0, 0.0)),
        Cut(kind="chamfer", point=(400.0, 80.0, 9.0), normal=(0.6, 0.8, 0.0), angle=45.0, where="head end"),
    )  # fmt: skip
    left = Shape(size=(400.0, 90.0, 18.0), features=features)
    right = mirrored(left)
    right = replace(right, features=right.features[::-1])
    solids.forget()
    first = solids.mesh_of(left)
    with mock.patch.object(making, "_bodies", side_effect=AssertionError("a body was solved again")):
        second = solids.mesh_of(right)
    for shape, mesh in ((left, first), (right, second)):
        assert solids.is_closed(mesh)
        assert solids.volume(mesh) == pytest.approx(judged(shape).volume(), rel=1e-9)
        assert mesh.vertices.min(axis=0).tolist() == [0.0, 0.0, 0.0]
    image = second.vertices * (1.0, -1.0, 1.0) + (0.0, 90.0, 0.0)
    assert np.allclose(np.sort(image, axis=0), np.sort(first.vertices, axis=0), rtol=0, atol=SAME)
    solids.forget()
    alone = solids.mesh_of(right)
    assert all(
        np.array_equal(getattr(alone, name), getattr(second, name)) for name in ("vertices", "corners", "normals")
    )


@given(st.floats(200.0, 900.0).map(lambda mm: round(mm, 3)), st.lists(st.integers(1, 60), min_size=2, max_size=5))
@EXAMPLES
def test_a_row_of_counterbored_holes_in_a_board_of_any_width(width: float, steps: list[int]) -> None:
    """The last digit of a place in the mirror moves no hole onto its neighbour: every one of the row keeps its room."""
    places = [round(width - 20.3 - 12.7 * n - sum(steps[:n]), 1) for n in range(len(steps))]
    features = tuple(
        Hole(at=(60.0, y, at), into=(0.0, 0.0, 1.0), diameter=diameter, depth=depth, purpose="")
        for y in places
        if y > 10.0
        for at, diameter, depth in ((0.0, 10.0, 6.0), (6.0, 4.2, 11.835))
    )
    shape = Shape(size=(120.0, width, 17.835), features=features)
    mesh = solids.mesh_of(shape)
    assert solids.is_closed(mesh)
    assert solids.volume(mesh) == pytest.approx(judged(shape).volume(), rel=1e-9)
