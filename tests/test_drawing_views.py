"""Directions of view: where right, up and the viewer are."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.drawing.views import View
from core.errors import ParameterError

UNIT = st.floats(-1, 1).map(lambda x: round(x, 3))
DIRECTIONS = st.tuples(UNIT, UNIT, UNIT).filter(lambda v: np.linalg.norm(v) > 0.1)


@pytest.mark.parametrize(
    ("name", "right", "up", "toward"),
    [
        ("front", (1, 0, 0), (0, 0, 1), (0, -1, 0)),
        ("side", (0, 1, 0), (0, 0, 1), (1, 0, 0)),
        ("top", (1, 0, 0), (0, 1, 0), (0, 0, 1)),
    ],
)
def test_a_main_view_looks_along_an_axis(name, right, up, toward):
    """Front is seen from −Y, side from +X, top from +Z with the back of the piece up the sheet."""
    assert View.named(name).axes.tolist() == [list(right), list(up), list(toward)]


def test_isometric_shortens_all_axes_alike():
    """From (1, −1, 1) width, depth and height are drawn at √(2/3); width and depth lean 30°."""
    width, depth, height = View.named("iso").project(np.eye(3))
    assert np.allclose([np.linalg.norm(axis) for axis in (width, depth, height)], np.sqrt(2 / 3))
    assert np.allclose(np.degrees(np.arctan2(width[1], width[0])), -30)
    assert np.allclose(np.degrees(np.arctan2(depth[1], depth[0])), 30)
    assert np.allclose(height, (0, np.sqrt(2 / 3)))


def test_dimetric_draws_depth_at_half_the_scale():
    """Width and height have one scale, depth half of it; width leans 7°, depth 41° (ISO 5456-3, from memory)."""
    width, depth, height = View.named("dimetric").project(np.eye(3))
    assert np.isclose(np.linalg.norm(width), np.linalg.norm(height))
    assert np.isclose(np.linalg.norm(depth), np.linalg.norm(height) / 2)
    assert np.isclose(np.degrees(np.arctan2(-width[1], width[0])), 7.18, atol=0.01)
    assert np.isclose(np.degrees(np.arctan2(depth[1], depth[0])), 41.41, atol=0.01)


@given(DIRECTIONS)
def test_a_view_is_a_right_handed_frame(direction):
    """Right, up and toward the viewer are unit vectors at right angles, and the upright never points down the sheet."""
    view = View.toward(direction)
    assert np.allclose(view.axes @ view.axes.T, np.eye(3))
    assert np.isclose(np.linalg.det(view.axes), 1)
    assert view.project(np.array((0.0, 0.0, 1.0)))[1] >= 0


@given(DIRECTIONS)
def test_moving_toward_the_viewer_changes_no_picture(direction):
    """A point moved along the direction of view stays where it is on the sheet and comes nearer by as much."""
    view = View.toward(direction)
    points = np.array([(1.0, 2.0, 3.0), (-4.0, 0.5, 100.0)])
    nearer = points + 7 * np.array(view.direction)
    assert np.allclose(view.project(nearer), view.project(points))
    assert np.allclose(view.depth(nearer) - view.depth(points), 7)


@pytest.mark.parametrize("direction", [(0, 0, 2), (0, 0, -3)])
def test_straight_down_and_up_the_back_is_up(direction):
    """Where the upright is seen end-on, +Y points up the sheet."""
    assert View.toward(direction).project(np.array((0.0, 1.0, 0.0))).tolist() == [0, 1]


def test_a_view_may_have_its_own_up():
    """A part on its side can be drawn lying: any up that is not along the direction."""
    view = View.toward((0, -1, 0), up=(1, 0, 0))
    assert view.project(np.array((1.0, 0.0, 0.0))).tolist() == [0, 1]


@pytest.mark.parametrize(
    "wrong",
    [
        lambda: View.toward((0, 0, 0)),
        lambda: View.toward((0, float("nan"), 1)),
        lambda: View.toward((0, 0, 1), up=(0, 0, 1)),
        lambda: View.named("bird"),
    ],
)
def test_what_is_no_view_is_refused(wrong):
    """A direction without length, an up along it, or a name that is none is a parameter error."""
    with pytest.raises(ParameterError):
        wrong()
