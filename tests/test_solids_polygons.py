"""Plane regions cut into polygons and triangles: nothing lost, nothing doubled, no point added."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.solids import polygons
from core.solids.parting import Loops, parted
from core.solids.sweep import monotone_polygons, monotone_triangles


@st.composite
def regions(draw: st.DrawFn) -> tuple[np.ndarray, list[int], list[list[int]]]:
    """A board's face: battlemented edges, with round and square holes set out on a grid, some left out."""
    columns, rows = draw(st.integers(1, 6)), draw(st.integers(1, 4))
    width, height = 40.0 * columns, 40.0 * rows
    points: list[tuple[float, float]] = []
    for i in range(columns):  # the lower edge, some notches
        notch = draw(st.sampled_from((0.0, 0.0, 5.0)))
        points += [(40.0 * i, notch), (40.0 * i + 40, notch)]
    points += [(width, height), (0.0, height)]
    outline = [p for k, p in enumerate(points) if p != points[k - 1]]
    flat, holes = list(outline), []
    for i in range(columns):
        for j in range(rows):
            sides = draw(st.sampled_from((0, 4, 12)))
            if sides:
                start = draw(st.sampled_from((0.0, math.pi / sides)))
                ring = [start - 2 * math.pi * k / sides for k in range(sides)]
                holes.append(list(range(len(flat), len(flat) + sides)))
                flat += [(40 * i + 20 + 8 * math.cos(a), 40 * j + 20 + 8 * math.sin(a)) for a in ring]
    return np.array(flat), list(range(len(outline))), holes


EXAMPLES = settings(max_examples=80, deadline=None, derandomize=True)


def covers(points: np.ndarray, pieces: list[list[int]], outline: list[int], holes: list[list[int]]) -> None:
    """Pieces turn left, are as large together as the region, and every side is inner (twice) or of a loop (once)."""
    whole = polygons.area(points, outline) + sum(polygons.area(points, hole) for hole in holes)
    sizes = [polygons.area(points, piece) for piece in pieces]
    assert min(sizes) > 0 and sum(sizes) == pytest.approx(whole)
    sides = [(a, b) for piece in pieces for a, b in zip(piece, [*piece[1:], piece[0]], strict=True)]
    border = {(a, b) for loop in (outline, *holes) for a, b in zip(loop, [*loop[1:], loop[0]], strict=True)}
    assert len(sides) == len(set(sides))
    assert {(a, b) for a, b in sides if (b, a) not in set(sides)} == border


@EXAMPLES
@given(regions())
def test_a_region_is_cut_into_simple_polygons(region) -> None:
    """A face with holes becomes polygons none of which visits a point twice."""
    points, outline, holes = region
    pieces = polygons.simple_polygons(points, outline, holes)
    covers(points, pieces, outline, holes)
    assert all(len(set(piece)) == len(piece) for piece in pieces)


@EXAMPLES
@given(regions())
def test_monotone_polygons_become_triangles(region) -> None:
    """The sweep parts a region and its triangles use every point."""
    points, outline, holes = region
    places = [tuple(p) for p in points.round(6).tolist()]
    pieces = monotone_polygons(places, [outline, *holes])
    triangles = [triangle for piece in pieces for triangle in monotone_triangles(places, piece)]
    covers(points, triangles, outline, holes)
    assert len(triangles) == len(points) - 2 + 2 * len(holes)


@EXAMPLES
@given(regions())
def test_convex_polygons_are_convex(region) -> None:
    """What is joined from triangles nowhere turns right."""
    points, outline, holes = region
    pieces = polygons.convex_polygons(points, outline, holes)
    covers(points, pieces, outline, holes)
    assert all(polygons.is_convex(points, piece) for piece in pieces)


def test_loops_may_touch_in_a_point() -> None:
    """A hole that touches the outline and one that touches another hole still leave simple polygons."""
    points = np.array(
        [(0, 0), (90, 0), (90, 90), (0, 90), (0, 45), (20, 55), (40, 45), (20, 35), (60, 55), (80, 45), (60, 35)], float
    )
    outline, holes = [0, 1, 2, 3, 4], [[4, 5, 6, 7], [6, 8, 9, 10]]
    pieces = polygons.simple_polygons(points, outline, holes)
    covers(points, pieces, outline, holes)
    assert all(len(set(piece)) == len(piece) for piece in pieces)


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (30, 1), (1, 30), (15, 2), (2, 15)])
def test_rows_of_pins_need_two_polygons(columns: int, rows: int) -> None:
    """Pin holes in a row, or in two rows, are strung on one chain: the face is cut in two, not in pieces."""
    turn = -2 * math.pi * np.arange(12) / 12
    ring = 2.5 * np.stack((np.cos(turn), np.sin(turn)), axis=1)
    pitch = np.array((32.0 if columns > 2 else 400.0, 32.0 if rows > 2 else 400.0))
    centres = np.array([(50 + i * pitch[0], 50 + j * pitch[1]) for i in range(columns) for j in range(rows)])
    board = centres.max(axis=0) + 50
    outline = np.array([(0, 0), (board[0], 0), board, (0, board[1])])
    mouths = (centres[:, None] + ring).reshape(-1, 2)
    count = len(centres)
    corners, sizes, face = parted(
        Loops(np.arange(4), np.array([0, 4]), outline),
        Loops(4 + np.arange(12 * count), 12 * np.arange(count + 1), mouths),
        np.zeros(count, int),
        centres,
        np.full(count, 2.6),
    )
    assert face.tolist() == [0, 0] and sizes.sum() == 4 + 12 * count + 2 * (count + 1)
    points = np.vstack((outline, mouths))
    holes = [list(range(4 + 12 * i, 16 + 12 * i)) for i in range(count)]
    covers(points, [part.tolist() for part in np.split(corners, sizes.cumsum()[:-1])], [0, 1, 2, 3], holes)
