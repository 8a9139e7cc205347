"""The camera from a rectangle of known size in a photograph, judged by pictures taken with known cameras."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from core.errors import ParameterError
from core.photograph import FILM, camera_of

ASPECT = 0.75
SIZE = (900.0, 2040.0)  # a door leaf
RECTANGLE = np.array(((0, 0, 0), (SIZE[0], 0, 0), (*SIZE, 0), (0, SIZE[1], 0)), float)


def photographed(points: np.ndarray, place: np.ndarray, turn: Rotation, lens: float) -> np.ndarray:
    """A pinhole camera's picture, (n, 2) in shares of its width and height; at rest it looks along −z with y up."""
    there = turn.inv().apply(points - place)
    assert (there[:, 2] < -100).all(), "all of it lies before the camera"
    x, y = (lens * there[:, i] / -there[:, 2] for i in (0, 1))
    return np.column_stack((x / FILM + 0.5, y / (FILM * ASPECT) + 0.5))


@settings(derandomize=True, deadline=None)
@given(
    st.floats(25, 80), st.floats(-2500, 2500), st.floats(600, 2000), st.floats(1500, 5000),
    st.floats(-4, 4), st.floats(-6, 6), st.floats(-3, 3),
)  # fmt: skip
def test_place_attitude_and_lens_are_found(lens, x, y, z, yaw, pitch, roll):
    """Rule: a camera's own picture of the rectangle gives its lens within 0.5 %, its place within 10 mm, its attitude within 0.2°."""
    place = np.array((450 + x, y, z))
    toward = np.array((450.0, 1020.0, 0.0)) - place
    base = Rotation.from_euler(
        "YX", (np.arctan2(-toward[0], -toward[2]), np.arctan2(toward[1], np.hypot(*toward[[0, 2]])))
    )
    turn = base * Rotation.from_euler("YXZ", (yaw, pitch, roll), degrees=True)
    seen = photographed(RECTANGLE, place, turn, lens)
    try:
        found = camera_of(seen.tolist(), SIZE, ASPECT)
    except ParameterError as error:
        assert "straight on" in str(error), error
        assert np.degrees(np.arctan2(np.hypot(x, y - 1020), z)) < 12, "a rectangle so much aslant tells the lens"
        return
    if abs(x) > 700:
        assert found.lens == pytest.approx(lens, rel=5e-3)
        assert found.place == pytest.approx(place, abs=10)
        assert np.degrees((Rotation.from_matrix(found.axes.T).inv() * turn).magnitude()) < 0.2
    assert found.off < 1e-6
    with_lens = camera_of(seen.tolist(), SIZE, ASPECT, lens)
    assert with_lens.place == pytest.approx(place, abs=1.0)


def test_a_rectangle_seen_straight_on_asks_for_the_lens():
    """Rule: where nothing tells the lens, it is asked for, and with it the distance is right."""
    seen = photographed(RECTANGLE, np.array((450.0, 1020.0, 4000.0)), Rotation.identity(), 35.0).tolist()
    with pytest.raises(ParameterError, match="straight on"):
        camera_of(seen, SIZE, ASPECT)
    assert camera_of(seen, SIZE, ASPECT, 35.0).place == pytest.approx((450, 1020, 4000), abs=0.01)


@pytest.mark.parametrize(
    "corners",
    [
        [(0.1, 0.1), (0.9, 0.1), (0.9, 0.9)],
        [(0.1, 0.1), (0.1, 0.9), (0.9, 0.9), (0.9, 0.1)],
        [(0.1, 0.1), (0.9, 0.9), (0.9, 0.1), (0.1, 0.9)],
        [(0.5, 0.5)] * 4,
    ],
    ids=["three", "the wrong way round", "crossed", "one place"],
)
def test_what_is_no_rectangle_is_refused(corners):
    """Rule: corners that no rectangle has are refused in one line that says in which order to mark them."""
    with pytest.raises(ParameterError, match="mark"):
        camera_of(corners, SIZE, ASPECT, 35.0)


def test_corners_a_little_off_give_a_camera_a_little_off():
    """Rule: corners marked a pixel or two of 2 000 off move the place where something else stands by no more than some pixels."""
    chance = np.random.default_rng(3)
    place, lens = np.array((2200.0, 1500.0, 3600.0)), 28.0
    toward = np.array((450.0, 1020.0, 0.0)) - place
    turn = Rotation.from_euler(
        "YX", (np.arctan2(-toward[0], -toward[2]), np.arctan2(toward[1], np.hypot(*toward[[0, 2]])))
    )
    beside = np.array(((1200.0, 0, 0), (2200, 0, 0), (1200, 1900, 0), (2200, 1900, 500)))
    true = photographed(beside, place, turn, lens)
    for _ in range(50):
        marked = photographed(RECTANGLE, place, turn, lens) + chance.normal(0, 1 / 2000, (4, 2))
        found = camera_of(marked.tolist(), SIZE, ASPECT)
        assert np.abs(found.project(beside, ASPECT) - true).max() < 0.02
