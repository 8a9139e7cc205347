"""The straight stretches on which every edge of solids that meet must lie.

Edges lie where planes cross: within each solid on its own edges, between two solids on the lines in which their faces
cross. Each such line is divided wherever a solid begins or ends on it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .side_by_side import Neighbours, Solids, clusters, combined

PARALLEL = 1e-9  # sine of the angle below which two planes are parallel


@dataclass(frozen=True, slots=True, eq=False)
class Stretches:
    """Pieces of lines between neighbouring vertices, each once."""

    ends: np.ndarray  # (s, 2) vertices
    middle: np.ndarray  # (s, 3)
    across: np.ndarray  # (s, 2, 3) unit vectors u, v at right angles; u × v runs from the first end to the second
    solid: np.ndarray  # (s,) one that touches it


def stretches_of(solids: Solids, near: Neighbours, tolerance: float) -> tuple[np.ndarray, Stretches]:
    """The vertices, (n, 3), and the stretches between them."""
    lines = _crossings(solids, near, tolerance)
    line, t = _divisions(solids, near, lines, tolerance)
    points = lines.origin[line] + t[:, None] * lines.direction[line]
    vertices, vertex = _welded(points, solids.job[lines.solids[line, 0]], tolerance)
    a, b = vertex[:-1], vertex[1:]
    joined = (line[:-1] == line[1:]) & (a != b)
    a, b, line = a[joined], b[joined], line[:-1][joined]
    _, first = np.unique(np.minimum(a, b) * len(vertices) + np.maximum(a, b), return_index=True)
    a, b, line = a[first], b[first], line[first]
    middle = (vertices[a] + vertices[b]) / 2
    return vertices, Stretches(np.stack((a, b), axis=1), middle, _across(lines.direction[line]), lines.lonelier[line])


# ---------------------------------------------------------------------------------------------------------------- lines
@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Straight lines: origin + t · direction, from `start` to `end`, and the two solids whose planes cross there."""

    origin: np.ndarray  # (l, 3)
    direction: np.ndarray  # (l, 3) unit
    start: np.ndarray  # (l,)
    end: np.ndarray  # (l,)
    solids: np.ndarray  # (l, 2)
    lonelier: np.ndarray  # (l,) the one of them with fewer neighbours: what touches the line touches both


def _crossings(solids: Solids, near: Neighbours, tolerance: float) -> _Lines:
    """Where planes cross: within each solid its edges, between two solids the lines in which their faces cross."""
    a, b, i, j = _crossing_faces(solids, near, tolerance)
    own = solids.meets
    a, b = np.concatenate((own[:, 0], a)), np.concatenate((own[:, 0], b))
    i, j = np.concatenate((own[:, 1], i)), np.concatenate((own[:, 2], j))
    na, nb, da, db = solids.normals[a, i], solids.normals[b, j], solids.offsets[a, i, None], solids.offsets[b, j, None]
    direction = _cross(na, nb)
    sine = np.sqrt((direction * direction).sum(axis=1))
    keep = sine > PARALLEL
    if not keep.all():
        a, b, na, nb, da, db = a[keep], b[keep], na[keep], nb[keep], da[keep], db[keep]
        direction, sine = direction[keep], sine[keep]
    sine = sine[:, None]
    origin = (da * _cross(nb, direction) + db * _cross(direction, na)) / (sine * sine)
    direction = direction / sine
    start, end = _within(solids, a, origin, direction, tolerance)
    other = np.flatnonzero(a != b)
    start_b, end_b = _within(solids, b[other], origin[other], direction[other], tolerance)
    start[other], end[other] = np.maximum(start[other], start_b), np.minimum(end[other], end_b)
    keep = end - start > tolerance
    a, b = a[keep], b[keep]
    lonelier = np.where(near.count[a] <= near.count[b], a, b)
    return _Lines(origin[keep], direction[keep], start[keep], end[keep], np.stack((a, b), axis=1), lonelier)


def _crossing_faces(solids: Solids, near: Neighbours, tolerance: float) -> tuple[np.ndarray, ...]:
    """Faces of two solids, not pieces of one whole, that may reach each other: solid, other solid, plane, other plane."""
    a, b = near.about(np.arange(len(solids.job)))
    pair = (a < b) & (solids.whole[a] != solids.whole[b])
    a, b = a[pair], b[pair]
    of_a = _reached(solids, a, b, tolerance) & ~solids.seam[a]
    of_b = _reached(solids, b, a, tolerance) & ~solids.seam[b]
    # a line in a plane that both have is an edge of one of them, unless it is but a seam
    same = solids.plane[a][:, :, None] == solids.plane[b][:, None, :]
    same &= ~(solids.seam[a][:, :, None] | solids.seam[b][:, None, :])
    of_a &= ~same.any(axis=2)
    of_b &= ~same.any(axis=1)
    pair, i, j = np.nonzero(of_a[:, :, None] & of_b[:, None, :])
    return a[pair], b[pair], i, j


def _reached(solids: Solids, of: np.ndarray, by: np.ndarray, tolerance: float) -> np.ndarray:
    """Which planes of the solids `of` pass through the box around the solids `by`, (p, m)."""
    centre, half = (solids.low[by] + solids.high[by]) / 2, (solids.high[by] - solids.low[by]) / 2
    normals = solids.normals[of]
    distance = np.einsum("pmi,pi->pm", normals, centre) - solids.offsets[of]
    return np.abs(distance) <= np.einsum("pmi,pi->pm", np.abs(normals), half) + tolerance


def _within(
    solids: Solids, which: np.ndarray, origin: np.ndarray, direction: np.ndarray, tolerance: float
) -> tuple[np.ndarray, np.ndarray]:
    """The stretch of each line inside one closed solid, as (from, to); from > to where it misses."""
    start, end = np.empty((2, len(which)))
    for rows, breadth in solids.by_breadth(which):
        of = which[rows]
        normals = solids.normals[of, :breadth]
        height = np.einsum("lmi,li->lm", normals, origin[rows]) - solids.offsets[of, :breadth]
        slope = np.einsum("lmi,li->lm", normals, direction[rows])
        level = np.abs(slope) < PARALLEL
        t = -height / np.where(level, 1.0, slope)
        into = np.where(slope <= -PARALLEL, t, -np.inf).max(axis=1)
        out = np.where(slope >= PARALLEL, t, np.inf).min(axis=1)
        outside = (level & (height > tolerance)).any(axis=1)
        into[outside], out[outside] = np.inf, -np.inf
        start[rows], end[rows] = into, out
    return start, end


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Row by row the vector product."""
    out = np.empty(np.broadcast_shapes(a.shape, b.shape))
    out[:, 0] = a[:, 1] * b[:, 2] - a[:, 2] * b[:, 1]
    out[:, 1] = a[:, 2] * b[:, 0] - a[:, 0] * b[:, 2]
    out[:, 2] = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return out


def _across(direction: np.ndarray) -> np.ndarray:
    """For each direction two unit vectors u, v at right angles to it and each other, (s, 2, 3); u × v = direction."""
    helper = np.zeros_like(direction)
    helper[np.arange(len(direction)), np.abs(direction).argmin(axis=1)] = 1.0
    u = _cross(helper, direction)
    u /= np.sqrt((u * u).sum(axis=1))[:, None]
    return np.stack((u, _cross(direction, u)), axis=1)


# ------------------------------------------------------------------------------------------------------------ divisions
def _divisions(solids: Solids, near: Neighbours, lines: _Lines, tolerance: float) -> tuple[np.ndarray, np.ndarray]:
    """(line, t) of every division, sorted, both ends of every line included."""
    a, b = lines.solids.T
    line, solid = near.about(lines.lonelier)
    touch = (solid != a[line]) & (solid != b[line])
    line, solid = line[touch], solid[touch]
    first = lines.origin + lines.start[:, None] * lines.direction
    last = lines.origin + lines.end[:, None] * lines.direction
    low, high = np.minimum(first, last) - tolerance, np.maximum(first, last) + tolerance
    touch = ((low[line] <= solids.high[solid]) & (high[line] >= solids.low[solid])).all(axis=1)
    line, solid = line[touch], solid[touch]
    start, end = _within(solids, solid, lines.origin[line], lines.direction[line], tolerance)
    met = start <= end + tolerance
    line, start, end = line[met], start[met], end[met]
    everyone = np.arange(len(a))
    of = np.concatenate((everyone, everyone, line, line))
    t = np.concatenate((lines.start, lines.end, start, end))
    inside = (t >= lines.start[of]) & (t <= lines.end[of])
    of, t = of[inside], t[inside]
    order = np.lexsort((t, of))
    return of[order], t[order]


def _welded(points: np.ndarray, job: np.ndarray, tolerance: float) -> tuple[np.ndarray, np.ndarray]:
    """Distinct points of each job, and the number of each point among them; close coordinates are made equal."""
    snapped = np.empty_like(points)
    columns = [clusters(points[:, k], job, tolerance) for k in range(3)]
    for k, cluster in enumerate(columns):
        value = np.empty(cluster.max() + 1)
        value[cluster[::-1]] = points[::-1, k]
        snapped[:, k] = np.round(value, 9)[cluster] + 0.0
    _, first, number = np.unique(combined(columns), return_index=True, return_inverse=True)
    return snapped[first], number
