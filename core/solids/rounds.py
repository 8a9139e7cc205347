"""Fasteners and the bodies of fittings as closed meshes: blocks, bars, pegs and turned rounds."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace
from functools import lru_cache

import numpy as np

from ..geometry import Vector
from ..model import Body, Fastener
from .convex import SMOOTH, across, facets, smooth_runs
from .mesh import Mesh, mesh_of_polygons

Outline = tuple[tuple[float, float], ...]


def peg_mesh(fastener: Fastener) -> Mesh:
    """A fastener as a plain round peg, in the piece's frame, its facets inside the true circle."""
    return _stood(_peg(fastener.diameter, fastener.length), fastener.at, fastener.along)


@lru_cache(maxsize=4096)
def mesh_of_body(body: Body) -> Mesh:
    """One solid of a fitting, in the fitting's frame.

    A bar's outline stands in the plane across its axis, counted from `low`: (y, z) along x, (z, x) along y, (x, y)
    along z. A turned body's rounds lie inside the true circles.
    """
    match body.form:
        case "block":
            return _block(body.low, body.high)
        case "bar":
            return _bar(body)
        case _:
            return _stood(_turned(body.outline), body.low, _from_to(body.low, body.high))


def _block(low: Vector, high: Vector) -> Mesh:
    size = tuple(b - a for a, b in zip(low, high, strict=True))
    mesh = _extruded(((0.0, 0.0), (size[0], 0.0), (size[0], size[1]), (0.0, size[1])), size[2])
    return replace(mesh, vertices=mesh.vertices + np.asarray(low))


def _bar(body: Body) -> Mesh:
    axis = np.asarray(_from_to(body.low, body.high), dtype=float)
    u, v = across(tuple(np.abs(axis)) if np.count_nonzero(axis) == 1 else tuple(axis))
    outline = body.outline
    if np.cross(u, v) @ axis < 0:  # drawn against the frame axis: seen along it, the outline is reversed
        v, outline = -v, tuple((a, -b) for a, b in outline)
    mesh = _extruded(outline, float(np.linalg.norm(axis)))
    return _turned_to(mesh, np.stack((u, v, np.cross(u, v))), body.low)


def _stood(mesh: Mesh, at: Vector, along: Vector) -> Mesh:
    """A mesh about the z axis, stood at a point along a direction."""
    return _turned_to(mesh, _axes(along), at)


@lru_cache(maxsize=256)
def _axes(along: Vector) -> np.ndarray:
    """The (3, 3) array of three unit vectors at right angles, the last along a direction."""
    u, v = across(along)
    return np.stack((u, v, np.cross(u, v)))


def _turned_to(mesh: Mesh, axes: np.ndarray, at: Vector) -> Mesh:
    return replace(mesh, vertices=mesh.vertices @ axes + np.asarray(at), normals=mesh.normals @ axes)


def _from_to(low: Vector, high: Vector) -> Vector:
    return (high[0] - low[0], high[1] - low[1], high[2] - low[2])


# ------------------------------------------------------------------------------------------------------------ templates
@lru_cache(maxsize=1024)
def _peg(diameter: float, length: float) -> Mesh:
    return _turned(((0.0, diameter / 2), (length, diameter / 2)))


@lru_cache(maxsize=1024)
def _extruded(outline: Outline, length: float) -> Mesh:
    """An outline in (x, y) drawn up along z."""
    points = np.asarray(outline, dtype=float)
    x, y = points.T
    if np.dot(x, np.roll(y, -1)) < np.dot(y, np.roll(x, -1)):
        points = points[::-1]
    n = len(points)
    step = np.roll(points, -1, axis=0) - points
    step /= np.hypot(step[:, 0], step[:, 1])[:, None]
    normals = np.vstack((np.column_stack((step[:, 1], -step[:, 0], np.zeros(n))), [(0, 0, -1.0), (0, 0, 1.0)]))
    vertices = np.vstack([np.column_stack((points, np.full(n, z))) for z in (0.0, length)])
    loops = [[i, (i + 1) % n, (i + 1) % n + n, i + n] for i in range(n)]
    loops += [list(range(n))[::-1], list(range(n, 2 * n))]
    return mesh_of_polygons(vertices, loops, list(range(n + 2)), normals, [*smooth_runs(points).tolist(), -1, -1])


@lru_cache(maxsize=1024)
def _turned(outline: Outline) -> Mesh:
    """A round about the z axis; `outline` lists (height, radius) upward."""
    profile = _without_idle_points(outline)
    n = facets(2 * max(radius for _, radius in profile))
    angle = 2 * math.pi * (np.arange(n) + 0.5) / n
    circle = np.column_stack((np.cos(angle), np.sin(angle)))
    vertices, rings = [], []
    for height, radius in profile:
        ring = radius * circle if radius > 0 else np.zeros((1, 2))
        rings.append([len(vertices) + (i if radius > 0 else 0) for i in range(n)])
        vertices += np.column_stack((ring, np.full(len(ring), height))).tolist()
    loops, face_of, normals, surfaces = [], [], [], []
    for (below, above), run, (low, high) in zip(
        itertools.pairwise(profile), _runs(profile), itertools.pairwise(rings), strict=True
    ):
        flat = below[0] == above[0]
        for i in range(n):
            j = (i + 1) % n
            loops.append(list(dict.fromkeys((low[i], low[j], high[j], high[i]))))
            face_of.append(len(normals))
            if not flat or i == n - 1:
                normals.append(_slope(below, above, 2 * math.pi * (i + 1) / n, math.cos(math.pi / n)))
                surfaces.append(-1 if flat else run)
    for ring, radius, z in ((rings[0][::-1], profile[0][1], -1.0), (rings[-1], profile[-1][1], 1.0)):
        if radius > 0:
            loops.append(ring)
            face_of.append(len(normals))
            normals.append((0.0, 0.0, z))
            surfaces.append(-1)
    return mesh_of_polygons(np.array(vertices), loops, face_of, np.array(normals), surfaces)


def _without_idle_points(outline: Outline) -> Outline:
    """The profile without points that repeat or lie on the straight way between their neighbours."""
    kept: list[tuple[float, float]] = []
    for point in outline:
        while len(kept) > 1 and abs(_bend(kept[-2], kept[-1], point)) < 1e-9:
            kept.pop()
        if not kept or point != kept[-1]:
            kept.append(point)
    return tuple(kept)


def _bend(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])


def _runs(profile: Outline) -> list[int]:
    """For each stretch of a profile the number of the curve it belongs to: gentle turns do not part."""
    run, runs, before = 0, [], None
    for (a, r), (b, s) in itertools.pairwise(profile):
        slope = math.degrees(math.atan2(s - r, b - a))
        if before is not None and abs(slope - before) > SMOOTH + 1e-6:
            run += 1
        runs.append(run)
        before = slope
    return runs


def _slope(below: tuple[float, float], above: tuple[float, float], angle: float, inward: float) -> Vector:
    """The outward unit normal of a facet that looks along `angle`; `inward` is its distance for radius 1."""
    rise, spread = above[0] - below[0], (above[1] - below[1]) * inward
    size = math.hypot(rise, spread)
    return (rise / size * math.cos(angle), rise / size * math.sin(angle), -spread / size)
