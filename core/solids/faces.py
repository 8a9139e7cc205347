"""The edges of a solid, each known to part two planes, gathered into faces and the faces into a mesh."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from . import polygons
from .mesh import Mesh, flattened


@dataclass(frozen=True, slots=True, eq=False)
class Outlines:
    """The edges of a solid before its faces are known.

    Planes are numbered by the rows of `normals`, which look outward; walking an edge from its first end to its second, seen from
    outside, the wood of plane `left` lies at the left hand and that of plane `right` at the right.
    """

    vertices: np.ndarray  # (n, 3)
    ends: np.ndarray  # (e, 2)
    left: np.ndarray  # (e,)
    right: np.ndarray  # (e,)
    smooth: np.ndarray  # (e,) bool: between two facets of one round
    normals: np.ndarray  # (planes, 3)


def mesh_of_outlines(outlines: Outlines) -> Mesh:
    """The mesh whose edges are given.

    Raises ValueError if the edges of some plane do not close.
    """
    outlines = _kept_apart(_straightened(outlines))
    loops = _loops(outlines)
    faces = [face for plane, of_plane in loops.items() for face in _faces_of(outlines, plane, of_plane)]
    return _as_mesh(outlines, faces)


@dataclass(frozen=True, slots=True)
class _Face:
    """One connected face: its plane, outline and holes as lists of half-edges (edge × 2, + 1 for the right-hand side)."""

    plane: int
    outline: list[int]
    holes: list[list[int]]


# ------------------------------------------------------------------------------------------------------- straight edges
def _straightened(outlines: Outlines) -> Outlines:
    """The same solid without vertices at which an edge merely goes straight on."""
    count = len(outlines.vertices)
    turned = outlines.left > outlines.right  # one sense for each pair of planes, so that a run of edges runs one way
    tail = np.where(turned, outlines.ends[:, 1], outlines.ends[:, 0])
    head = np.where(turned, outlines.ends[:, 0], outlines.ends[:, 1])
    low, high = np.minimum(outlines.left, outlines.right), np.maximum(outlines.left, outlines.right)
    leaving, arriving = np.full(count, -1), np.full(count, -1)
    leaving[tail], arriving[head] = np.arange(len(tail)), np.arange(len(head))
    passed = (np.bincount(tail, minlength=count) == 1) & (np.bincount(head, minlength=count) == 1)
    passed &= (low[leaving] == low[arriving]) & (high[leaving] == high[arriving])
    onward = np.where(passed, head[leaving], np.arange(count))
    while (onward[onward] != onward).any():
        onward = onward[onward]
    kept = np.flatnonzero(~passed[tail])
    used, ends = np.unique(np.stack((tail[kept], onward[head[kept]]), axis=1), return_inverse=True)
    return Outlines(
        outlines.vertices[used], ends.reshape(-1, 2), low[kept], high[kept], outlines.smooth[kept], outlines.normals
    )


def _kept_apart(outlines: Outlines) -> Outlines:
    """The same solid, every edge along which it merely touches itself broken in the middle, so that no two edges share both ends."""
    low, high = outlines.ends.min(axis=1), outlines.ends.max(axis=1)
    _, number, times = np.unique(low * len(outlines.vertices) + high, return_inverse=True, return_counts=True)
    double = np.flatnonzero(times[number.ravel()] > 1)
    if not len(double):
        return outlines
    middle = len(outlines.vertices) + np.arange(len(double))
    vertices = np.vstack((outlines.vertices, outlines.vertices[outlines.ends[double]].mean(axis=1)))
    ends = outlines.ends.copy()
    second = np.stack((middle, ends[double, 1]), axis=1)
    ends[double, 1] = middle
    again = [np.concatenate((a, a[double])) for a in (outlines.left, outlines.right, outlines.smooth)]
    return Outlines(vertices, np.vstack((ends, second)), *again, outlines.normals)


# ---------------------------------------------------------------------------------------------------------------- loops
def _loops(outlines: Outlines) -> dict[int, list[list[int]]]:
    """For each plane its loops of half-edges, none of which visits a vertex twice."""
    start = outlines.ends.ravel()
    end = outlines.ends[:, ::-1].ravel()
    plane = np.stack((outlines.left, outlines.right), axis=1).ravel()
    count = len(outlines.vertices)
    leaving, arriving = plane * count + start, plane * count + end
    order = np.argsort(leaving, kind="stable")
    place = np.searchsorted(leaving[order], arriving)
    after = order[np.minimum(place, len(order) - 1)]
    if (leaving[after] != arriving).any() or not np.array_equal(np.sort(leaving), np.sort(arriving)):
        raise ValueError("the edges of a face do not close")
    crowded = np.flatnonzero(np.searchsorted(leaving[order], arriving, side="right") - place > 1)
    for half in crowded:
        choices = order[place[half] : np.searchsorted(leaving[order], arriving[half], side="right")]
        after[half] = _next_at_touching(outlines, int(half), choices, start, end, plane)
    return _cycles(after.tolist(), plane.tolist(), start.tolist(), bool(len(crowded)))


def _next_at_touching(
    outlines: Outlines, half: int, choices: np.ndarray, start: np.ndarray, end: np.ndarray, plane: np.ndarray
) -> int:
    """Where loops touch: of the half-edges that leave, the one that bounds the same wedge of the face."""
    flat = flattened(outlines.vertices, outlines.normals[plane[half]])
    here = flat[end[half]]
    back = flat[start[half]] - here
    look = flat[end[choices]] - here
    clockwise = np.arctan2(back[0] * -look[:, 1] + back[1] * look[:, 0], look @ back) % (2 * math.pi)
    return int(choices[clockwise.argmin()])


def _cycles(after: list[int], plane: list[int], start: list[int], touching: bool) -> dict[int, list[list[int]]]:
    loops: dict[int, list[list[int]]] = {}
    seen = [False] * len(after)
    for first in range(len(after)):
        if seen[first]:
            continue
        loop, half = [], first
        while not seen[half]:
            seen[half] = True
            loop.append(half)
            half = after[half]
        loops.setdefault(plane[first], []).extend(_without_touching(loop, start) if touching else [loop])
    return loops


def _without_touching(loop: list[int], start: list[int]) -> list[list[int]]:
    """A loop parted wherever it comes back to a vertex."""
    found, path, at = [], [], {}
    for half in loop:
        vertex = start[half]
        if vertex in at:
            cut = at[vertex]
            found.append(path[cut:])
            for other in path[cut:]:
                del at[start[other]]
            del path[cut:]
        at[vertex] = len(path)
        path.append(half)
    return [*found, path]


# ---------------------------------------------------------------------------------------------------------------- faces
def _faces_of(outlines: Outlines, plane: int, loops: list[list[int]]) -> list[_Face]:
    """The connected faces of one plane."""
    if len(loops) == 1:
        return [_Face(plane, loops[0], [])]
    flat = flattened(outlines.vertices, outlines.normals[plane])
    rings = [_ring(outlines, loop) for loop in loops]
    sizes = [polygons.area(flat, ring) for ring in rings]
    outer = [i for i, size in enumerate(sizes) if size > 0]
    faces = {i: _Face(plane, loops[i], []) for i in outer}
    for i, size in enumerate(sizes):
        if size < 0:
            faces[_holder(flat, rings, sizes, outer, i)].holes.append(loops[i])
    return list(faces.values())


def _holder(flat: np.ndarray, rings: list[list[int]], sizes: list[float], outer: list[int], hole: int) -> int:
    """Which outline a hole lies in: the smallest that holds a point just inside the face beside it."""
    if len(outer) == 1:
        return outer[0]
    a, b = flat[rings[hole][0]], flat[rings[hole][1]]
    step = b - a
    beside = (a + b) / 2 + 1e-6 * np.array((-step[1], step[0])) / math.hypot(*step)
    around = [i for i in outer if polygons.holds(flat, rings[i], beside)]
    if not around:
        raise ValueError("a hole lies in no face")
    return min(around, key=sizes.__getitem__)


def _ring(outlines: Outlines, loop: list[int]) -> list[int]:
    """The vertices of a loop of half-edges."""
    halves = np.asarray(loop)
    return outlines.ends[halves // 2, halves % 2].tolist()


# ----------------------------------------------------------------------------------------------------------------- mesh
def _as_mesh(outlines: Outlines, faces: list[_Face]) -> Mesh:
    """The mesh of all faces; a vertex where the solid only touches itself becomes one vertex for each side."""
    loops: list[list[int]] = []
    face_of: list[int] = []
    edge_faces = np.zeros((len(outlines.ends), 2), np.int32)
    for number, face in enumerate(faces):
        rings = [_ring(outlines, loop) for loop in (face.outline, *face.holes)]
        pieces = (
            [rings[0]]
            if len(rings) == 1
            else polygons.simple_polygons(
                flattened(outlines.vertices, outlines.normals[face.plane]), rings[0], rings[1:]
            )
        )
        loops += pieces
        face_of += [number] * len(pieces)
        halves = np.concatenate([np.asarray(loop) for loop in (face.outline, *face.holes)])
        edge_faces[halves // 2, halves % 2] = number
    starts = np.cumsum([0] + [len(loop) for loop in loops]).astype(np.int32)
    corners = np.array([corner for loop in loops for corner in loop], np.int32)
    normals = outlines.normals[[face.plane for face in faces]].reshape(-1, 3) + 0.0
    return Mesh(
        outlines.vertices,
        corners,
        starts,
        np.array(face_of, np.int32),
        normals,
        outlines.ends.astype(np.int32),
        edge_faces,
        ~outlines.smooth,
    )
