"""What was built before changes nothing: with every value remembered or none, a piece gives the same bytes."""

from __future__ import annotations

import gc
import hashlib
import json
import math
import weakref
from contextlib import suppress
from dataclasses import replace
from typing import Any

import numpy as np
from examples import DEMO as DEMO_NAME
from examples import EXAMPLES, example_piece
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from remembered import emptied
from strategies import piece_data, relented

from core import build
from core.build import build_seen, shaping
from core.checks import findings
from core.errors import ParameterError
from core.grips import grips, moved
from core.meshes import model_meshes
from core.model import Feature, Hole, Model, Part
from core.piece import Piece, loads
from core.revisions.marks import marks

DEMO = example_piece(DEMO_NAME)
STEPS = [-40.0, -3.5, 0.5, 1.0, 25.0]  # mm
GRIPS = [(each.key, each.size) for each in grips(DEMO, build(DEMO).overall)]


def said(piece: Piece) -> str:
    """Every byte that building a piece and meshing it gives, or why it was refused."""
    try:
        model = build(piece)
    except ParameterError as error:
        return str(error)
    seen = hashlib.sha256(repr((model, model.rods, marks([model]))).encode())
    for key, mesh in model_meshes(model).items():
        seen.update(key.encode())
        for name in ("vertices", "corners", "starts", "face_of", "normals", "edges", "edge_faces", "marked"):
            seen.update(getattr(mesh, name).tobytes())
    return seen.hexdigest()


def found(piece: Piece) -> list[str]:
    """All findings of a piece, none where it is refused."""
    with suppress(ParameterError):
        return [repr(each) for each in findings(piece, build(piece))]
    return []


@given(st.lists(st.tuples(st.sampled_from(GRIPS), st.sampled_from(STEPS)), min_size=2, max_size=4))
@settings(deadline=None, max_examples=8, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
def test_a_row_of_changes_builds_as_the_last_of_them_alone(changes):
    """After any drags, one after another and back, a piece builds and meshes byte for byte as with nothing remembered."""
    piece, frames = DEMO, [DEMO]
    for (key, size), by in changes:
        with suppress(ParameterError):  # out of the range of that size
            piece = moved(piece, key, size + by)
            frames.append(piece)
    after = [said(frame) for frame in (*frames, *frames[::-1])]
    assert after == after[::-1]
    emptied()
    assert said(frames[-1]) == after[len(frames) - 1]


@given(piece_data(), st.lists(st.tuples(st.integers(0, 99), st.sampled_from(STEPS)), min_size=1, max_size=3))
@settings(deadline=None, max_examples=12, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
def test_any_piece_after_any_small_changes_builds_as_with_nothing_remembered(data, changes):
    """A random piece, dragged by one of its grips and another: every frame and its findings byte for byte as when core knows nothing."""
    piece = made_at_last(data)
    if piece is None:
        return
    frames = [piece]
    for which, by in changes:
        with suppress(ParameterError):  # a size that cannot be
            some = grips(frames[-1], build(frames[-1]).overall)
            grip = some[which % len(some)]
            frames.append(moved(frames[-1], grip.key, grip.size + by))
    after = [(said(frame), found(frame)) for frame in frames]
    for frame, then in zip(frames[::-1], after[::-1], strict=True):
        emptied()
        assert (said(frame), found(frame)) == then


@given(piece_data(), piece_data())
@settings(deadline=None, max_examples=12, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
def test_what_shapes_no_model_changes_none(data, other):
    """With the finishes and the record of any other piece a piece is built the same, and is one in what shapes it."""
    piece = made_at_last(data)
    if piece is None:
        return
    with suppress(ParameterError):
        other = loads(json.dumps(other))
        changed = replace(piece, finish=other.finish, record=other.record, retired=("gone",))
        assert said(changed) == said(piece)
        assert shaping(changed) == shaping(piece)
    assert said(shaping(piece)) == said(piece)


@given(piece_data())
@settings(deadline=None, max_examples=12, derandomize=True, database=None, suppress_health_check=list(HealthCheck))
def test_what_is_seen_of_any_piece_is_what_is_built(data):
    """Parts, movements and order are those of the model; a fitting that gives way to a screw stands no more than 30 mm from its place."""
    piece = made_at_last(data)
    if piece is None:
        return
    seen, whole = build_seen(piece), build(piece)
    for name in ("name", "assemblies", "motions", "openings", "bays", "overall", "carcass"):
        assert getattr(seen, name) == getattr(whole, name), name
    for part, other in zip(seen.parts, whole.parts, strict=True):
        assert replace(part, shape=other.shape, notes=()) == replace(other, notes=())
        assert (part.shape.size, part.shape.section) == (other.shape.size, other.shape.section)
    for fitting, other in zip(seen.fittings, whole.fittings, strict=True):
        assert replace(fitting, place=other.place) == other
        assert math.dist(fitting.place.origin, other.place.origin) <= 30 and fitting.place.x == other.place.x


def test_what_is_seen_of_every_example_is_what_is_built():
    """In every example the fittings and what is cut for them too; the demo has filled holes, so that leaving them out is seen here."""
    for name in EXAMPLES:
        piece = example_piece(name)
        same_as_far_as_seen(build_seen(piece), build(piece))
    assert len(build_seen(DEMO).fasteners) < len(build(DEMO).fasteners)
    assert sum(map(holes_in, build_seen(DEMO).parts)) < sum(map(holes_in, build(DEMO).parts)) / 3


def holes_in(part: Part) -> int:
    """How many holes a part has."""
    return sum(isinstance(each, Hole) for each in part.shape.features)


def same_as_far_as_seen(seen: Model, whole: Model) -> None:
    """Assert that two models differ in nothing but fasteners, filled holes, joints, notes and the rod."""
    for part, other in zip(seen.parts, whole.parts, strict=True):
        left_out = [each for each in other.shape.features if each not in set(part.shape.features)]
        assert all(is_filled(whole, other, each) for each in left_out), f"{part.key}: what is seen is left out"
        kept = tuple(each for each in other.shape.features if each not in left_out)
        bare = replace(other, shape=replace(other.shape, features=kept), notes=())
        assert replace(part, notes=()) == bare
    for name in ("name", "fittings", "assemblies", "motions", "openings", "bays", "overall", "carcass"):
        assert getattr(seen, name) == getattr(whole, name), name


def made_at_last(data: dict[str, Any]) -> Piece | None:
    """The piece, after what was refused has been taken back a few times; None if that is not enough."""
    for _ in range(8):
        try:
            piece = loads(json.dumps(data))
            build(piece)
            return piece
        except ParameterError as refused:
            data = relented(data, refused.field)
            if data is None:
                return None
    return None


def test_what_a_build_makes_is_searched_for_garbage_later():
    """A build leaves Python's search for garbage as it found it, and what was thrown away before it is still found."""

    class Ring:
        pass

    ring = Ring()
    ring.itself = ring
    gone = weakref.ref(ring)
    del ring
    assert gc.isenabled()
    build(DEMO)
    assert gc.isenabled() and not gc.get_freeze_count()
    gc.collect()
    assert gone() is None
    gc.disable()
    try:
        build(DEMO)
        assert not gc.isenabled()
    finally:
        gc.enable()


def test_the_hash_of_a_shape_is_that_of_its_value():
    """A shape remembers its hash for itself alone: a changed copy has its own, an equal one the same."""
    shape = next(part.shape for part in build(DEMO).parts if part.shape.features)
    same = replace(shape, features=tuple(shape.features))
    assert hash(shape) == hash(same) and shape == same
    assert hash(replace(shape, features=())) != hash(shape)


def is_filled(model: Model, part: Part, feature: Feature) -> bool:
    """Whether a feature is a hole with a fastener on its axis, or one for a screw of a fitting on the part."""
    if not isinstance(feature, Hole):
        return False
    mouth, into = (np.array(each) for each in (part.place.point(feature.at), part.place.direction(feature.into)))
    for each in model.fasteners:
        beyond = mouth - np.array(each.at)
        if part.key in each.parts and np.linalg.norm(np.cross(beyond, np.array(each.along))) < 0.01:
            return abs(abs(float(into @ np.array(each.along))) - 1) < 1e-9
    return any(part.key in each.parts for each in model.fittings)
