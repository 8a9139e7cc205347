"""Outlines with arcs as polygons: what is taken out of a part along a curve, and how far a line keeps from it."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from .geometry import Vector
from .model import CutOut

CHORD_ERROR = 0.1  # mm between a true arc and its facets (design: holes and pegs)
STRAIGHT = 5e-6  # mm that a corner may lie off the line of its neighbours and still be none
TANGENT = 0.1  # degrees: an arc that meets its neighbour at no more runs on into it

Outline = tuple[tuple[float, float], ...]


def facetted(outline: Outline, rises: tuple[float, ...] = ()) -> tuple[np.ndarray, np.ndarray]:
    """The corners of an outline whose arcs are facetted, (n, 2), counter-clockwise; and the number of the curve that each
    side is of, (n,), −1 for a straight side that no arc runs into.

    The corners lie on the true arcs. A full round of two halves:

    >>> points, curves = facetted(((0.0, 0.0), (20.0, 0.0)), (10.0, 10.0))
    >>> len(points), set(curves.tolist())
    (24, {0})
    """
    return _facetted(tuple(outline), tuple(rises) or (0.0,) * len(outline))


def arc_of(a: tuple[float, float], b: tuple[float, float], rise: float) -> tuple[tuple[float, float], float, float]:
    """The arc that stands `rise` to the right of the walk from a to b: (centre, radius, turn in degrees, left turns positive).

    >>> arc_of((0.0, 0.0), (20.0, 0.0), 10.0)
    ((10.0, 0.0), 10.0, 180.0)
    """
    x, y = b[0] - a[0], b[1] - a[1]
    chord = math.hypot(x, y)
    radius = (chord * chord / 4 + rise * rise) / (2 * abs(rise))
    inward = (radius - abs(rise)) * math.copysign(1.0, rise) / chord  # from the middle of the chord, to the left
    centre = ((a[0] + b[0]) / 2 - y * inward, (a[1] + b[1]) / 2 + x * inward)
    return centre, radius, math.degrees(4 * math.atan2(2 * rise, chord))


def area_of(outline: Outline, rises: tuple[float, ...] = ()) -> float:
    """The true area within an outline, its arcs not facetted, mm².

    >>> round(area_of(((0.0, 0.0), (20.0, 0.0)), (10.0, 10.0)), 6) == round(100 * math.pi, 6)
    True
    """
    points = np.array(outline, float)
    total = _area(points)
    for i, rise in enumerate(rises):
        if rise:
            _, radius, turn = arc_of(outline[i], outline[(i + 1) % len(outline)], abs(rise))
            segment = radius * radius / 2 * (math.radians(turn) - math.sin(math.radians(turn)))
            total += math.copysign(segment, rise)
    return total


def box_about(cut_out: CutOut) -> tuple[Vector, Vector]:
    """The box around what is taken out, in the part's frame: low and high corner."""
    corners, _ = facetted(cut_out.outline, cut_out.rises)
    k = cut_out.axis
    bounds = [
        (cut_out.start, cut_out.end),
        *zip(corners.min(axis=0).tolist(), corners.max(axis=0).tolist(), strict=True),
    ]
    low, high = zip(*(bounds[(i - k) % 3] for i in range(3)), strict=True)
    return low, high


def distance_to(cut_out: CutOut, points: np.ndarray) -> np.ndarray:
    """How far points of the part's frame, (n, 3), are from what is taken out, mm; 0 within."""
    k = cut_out.axis
    corners, _ = facetted(cut_out.outline, cut_out.rises)
    flat, along = points[:, ((k + 1) % 3, (k + 2) % 3)], points[:, k]
    beyond = np.maximum(np.maximum(cut_out.start - along, along - cut_out.end), 0.0)
    step = np.roll(corners, -1, axis=0) - corners
    from_corner = flat[:, None] - corners[None]
    share = np.clip((from_corner * step).sum(axis=2) / (step * step).sum(axis=1), 0.0, 1.0)
    away = np.sqrt(((from_corner - share[:, :, None] * step) ** 2).sum(axis=2).min(axis=1))
    return np.hypot(np.where(_hold(corners, step, flat), 0.0, away), beyond)


def _hold(corners: np.ndarray, step: np.ndarray, points: np.ndarray) -> np.ndarray:
    """Which points lie within an outline, (n,) bool: its sides cross the line to their right an odd number of times."""
    height = points[:, None, 1] - corners[None, :, 1]
    spans = (height >= 0) != (height >= step[:, 1])
    share = height / np.where(step[:, 1] == 0, 1.0, step[:, 1])
    right = corners[None, :, 0] + share * step[:, 0] > points[:, None, 0]
    return (spans & right).sum(axis=1) % 2 == 1


def _area(corners: np.ndarray) -> float:
    """Within an outline of straight sides, mm²; negative where it runs clockwise."""
    (x, y), (u, v) = corners.T, np.roll(corners, -1, axis=0).T
    return float((x * v - u * y).sum()) / 2


@lru_cache(maxsize=1024)
def _facetted(outline: Outline, rises: tuple[float, ...]) -> tuple[np.ndarray, np.ndarray]:
    points: list[tuple[float, float]] = []
    side_of: list[int] = []
    for i, rise in enumerate(rises):
        a, b = outline[i], outline[(i + 1) % len(outline)]
        some = _facets_of(a, b, rise) if rise else [a]
        points += some
        side_of += [i] * len(some)
    corners, curves = _turning(np.array(points, float), _curves(outline, rises)[side_of])
    assert _area(corners) > 0, "an outline runs clockwise"
    for array in (corners, curves):
        array.flags.writeable = False
    return corners, curves


def _turning(corners: np.ndarray, curves: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Corners and sides without the corners at which the walk goes straight on, as in the middle of an ogee."""
    while len(corners) > 3:
        before, after = np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0)
        step = after - before
        off = np.abs(step[:, 0] * (corners - before)[:, 1] - step[:, 1] * (corners - before)[:, 0])
        onward = ((corners - before) * (after - corners)).sum(axis=1) > 0
        straight = np.flatnonzero((off <= STRAIGHT * np.hypot(*step.T)) & onward)
        if not len(straight):
            break
        corners, curves = np.delete(corners, straight[0], axis=0), np.delete(curves, straight[0])
    return corners, curves


def _facets_of(a: tuple[float, float], b: tuple[float, float], rise: float) -> list[tuple[float, float]]:
    """The first corner of an arc and those within it."""
    centre, radius, turn = arc_of(a, b, rise)
    number = max(2, math.ceil(abs(math.radians(turn)) / (2 * math.acos(max(0.0, 1 - CHORD_ERROR / radius))) - 1e-9))
    start = math.atan2(a[1] - centre[1], a[0] - centre[0])
    angles = [start + math.radians(turn) * i / number for i in range(1, number)]
    return [a, *((centre[0] + radius * math.cos(angle), centre[1] + radius * math.sin(angle)) for angle in angles)]


def _curves(outline: Outline, rises: tuple[float, ...]) -> np.ndarray:
    """For each side the number of the smooth curve it belongs to: arcs, and all that runs into them without an arris."""
    n = len(outline)
    headings = []
    for i, rise in enumerate(rises):
        (ax, ay), (bx, by) = outline[i], outline[(i + 1) % n]
        half = math.degrees(2 * math.atan2(2 * rise, math.hypot(bx - ax, by - ay)))
        chord = math.degrees(math.atan2(by - ay, bx - ax))
        headings.append((chord - half, chord + half))
    curve = np.array([i if rise else -1 for i, rise in enumerate(rises)])
    for _ in range(2):  # once more for a curve that runs through the first corner
        for i in range(n):
            j = (i + 1) % n
            bend = (headings[j][0] - headings[i][1] + 180) % 360 - 180
            if (rises[i] or rises[j]) and abs(bend) <= TANGENT:
                low, high = max(min(curve[i], curve[j]), -1), max(curve[i], curve[j])
                curve[[i, j]] = high if low < 0 else low
                if low >= 0:
                    curve[curve == high] = low
    return curve


__all__ = ["CHORD_ERROR", "arc_of", "area_of", "box_about", "distance_to", "facetted"]
