"""Bodies solved shortened are the bodies solved as they are."""

from __future__ import annotations

from dataclasses import replace
from unittest import mock

import numpy as np
from examples import DEMO, example_piece
from hypothesis import given, settings
from test_solids_properties import shapes

from core import build, solids
from core.model import Shape
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
    """Same corners within rounding, same polygons, faces and edges in the same order."""
    whole, short = at_full_length(shape), solids.mesh_of(shape)
    for name in ("corners", "starts", "face_of", "edges", "edge_faces", "marked"):
        assert np.array_equal(getattr(whole, name), getattr(short, name)), name
    assert np.allclose(whole.vertices, short.vertices, rtol=0, atol=SAME)
    assert np.allclose(whole.normals, short.normals, rtol=0, atol=SAME)


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
