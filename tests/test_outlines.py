"""Outlines with arcs against what a pair of compasses says."""

from __future__ import annotations

import math

import numpy as np
import pytest

from core.model import CutOut
from core.outlines import CHORD_ERROR, arc_of, area_of, box_about, distance_to, facetted

SLOT = ((0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (0.0, 30.0))
HALVES = (0.0, 15.0, 0.0, 15.0)


def test_a_slot_has_the_area_of_its_square_and_its_round() -> None:
    """Two half rounds of radius 15 about 40 × 30: 1200 + 225 π."""
    assert area_of(SLOT, HALVES) == pytest.approx(1200 + 225 * math.pi)
    assert area_of(SLOT) == 1200
    assert area_of(SLOT, (0.0, 15.0, 0.0, -15.0)) == pytest.approx(1200)


def test_facets_keep_to_the_true_arc_within_the_chord_error() -> None:
    """Corners lie on the arc, the middle of a facet no farther off it than 0.1 mm."""
    for rise in (2.0, 9.0, 20.0, -6.0):
        outline = ((0.0, 0.0), (60.0, 0.0), (60.0, 80.0), (0.0, 80.0))
        points, curves = facetted(outline, (0.0, rise, 0.0, 0.0))
        centre, radius, _ = arc_of(outline[1], outline[2], rise)
        on = points[np.flatnonzero(curves >= 0)]
        after = points[(np.flatnonzero(curves >= 0) + 1) % len(points)]
        assert np.hypot(*(on - centre).T) == pytest.approx(radius)
        assert np.hypot(*((on + after) / 2 - centre).T).min() >= radius - CHORD_ERROR - 1e-9
        assert max(points[:, 0]) == pytest.approx(60 + max(rise, 0), abs=CHORD_ERROR)


def test_the_area_of_facets_comes_within_the_chord_error_of_the_true_one() -> None:
    """By hand: a segment's facets lose at most two thirds of the chord error along the arc."""
    points, _ = facetted(SLOT, HALVES)
    x, y = points.T
    flat = float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2
    assert 0 < area_of(SLOT, HALVES) - flat < 2 / 3 * CHORD_ERROR * 30 * math.pi


def test_an_arc_runs_into_what_it_is_tangent_to() -> None:
    """All of a slot is one smooth curve; an arc that meets its neighbours at an angle is a curve of its own; two arcs that run
    into each other as an ogee does are one."""
    assert set(facetted(SLOT, HALVES)[1].tolist()) == {1}
    curves = facetted(SLOT, (0.0, 6.0, 0.0, 0.0))[1].tolist()
    assert sorted(set(curves)) == [-1, 1] and curves.count(-1) == 3
    ogee = ((-1.0, 0.0), (80.0, 0.0), (80.0, 40.0), (40.0, 20.0), (0.0, 0.0))
    assert set(facetted(ogee, (0.0, 0.0, 6.0, -6.0, 0.0))[1].tolist()) == {-1, 2}


def test_distances_from_a_slot() -> None:
    """From its round ends, its straight sides and its floor; none within."""
    slot = CutOut(kind="cut-out", axis=1, outline=SLOT, rises=HALVES, start=3.0, end=9.0, purpose="test")
    # the next two axes after y are z and x: x is up the slot's second axis
    places = np.array([(15.0, 5.0, 20.0), (15.0, 5.0, 65.0), (35.0, 5.0, 20.0), (15.0, 0.0, 20.0), (34.0, 13.0, 20.0)])
    assert distance_to(slot, places) == pytest.approx((0.0, 10.0, 5.0, 3.0, math.hypot(4.0, 4.0)), abs=CHORD_ERROR)
    low, high = box_about(slot)
    assert low == pytest.approx((0.0, 3.0, -15.0), abs=CHORD_ERROR) and high == pytest.approx(
        (30.0, 9.0, 55.0), abs=CHORD_ERROR
    )


def test_an_outline_that_runs_clockwise_is_a_mistake_of_ours() -> None:
    """The wood that is taken out lies at the left hand of the walk."""
    with pytest.raises(AssertionError, match="clockwise"):
        facetted(SLOT[::-1])


def test_the_middle_of_an_ogee_is_no_corner() -> None:
    """The last facet of one arc and the first of the other lie in one line and are one side, whatever the rounding."""
    points, curves = facetted(
        ((0.0, 0.0), (80.0, 0.0), (80.0, 40.0), (40.000001, 20.0), (0.000001, 0.000001)), (0.0, 0.0, 6.0, -6.0, 0.0)
    )
    step = np.roll(points, -1, axis=0) - points
    before = np.roll(step, 1, axis=0)
    turn = (before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0]) / np.hypot(*step.T)
    assert np.abs(turn).min() > 1e-3
    assert not (np.abs(points - (40.0, 20.0)).max(axis=1) < 1.0).any() and (curves == 2).sum() > 6
