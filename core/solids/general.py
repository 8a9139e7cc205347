"""Convex pieces less convex cutters as one closed mesh, whatever way they meet.

Every edge of the result lies on a line where two planes of the given solids cross. So each such line is divided where a solid
begins or ends, and each stretch is decided once, by looking around it: the planes through it part the space about it into sectors,
and a face starts wherever a sector of wood borders on a sector of air. What two faces share is thus one edge from the start; nothing
has to be sewn together, and coplanar faces of different solids are one face without further ado.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .convex import Convex
from .faces import Outlines, mesh_of_outlines

TOLERANCES = (1e-5, 1e-7, 1e-4)  # mm within which points are one; the first that gives closed loops stands
PARALLEL = 1e-9  # sine of the angle below which two planes are parallel


def mesh_of_convex(pieces: Sequence[Convex], cutters: Sequence[Convex]):
    """The union of the pieces less all the cutters, as a `Mesh`; an empty one if nothing is left.

    Raises ArithmeticError if no tolerance gives closed faces.
    """
    trouble: Exception | None = None
    for tolerance in TOLERANCES:
        try:
            return mesh_of_outlines(_outlines(pieces, cutters, tolerance))
        except ValueError as error:
            trouble = error
    raise ArithmeticError(f"a solid of {len(pieces)} pieces and {len(cutters)} cutters does not close: {trouble}")


@dataclass(frozen=True, slots=True, eq=False)
class _Solids:
    """All pieces and cutters side by side; planes are padded to one number each with planes that bind nothing."""

    normals: np.ndarray  # (k, m, 3)
    offsets: np.ndarray  # (k, m)
    plane: np.ndarray  # (k, m) number of the plane, whichever way it looks
    surface: np.ndarray  # (k, m)
    piece: np.ndarray  # (k,) bool: wood, not cutter
    low: np.ndarray  # (k, 3)
    high: np.ndarray  # (k, 3)


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Straight stretches: origin + t · direction, from `start` to `end`, and the two solids whose planes cross there."""

    origin: np.ndarray  # (l, 3)
    direction: np.ndarray  # (l, 3) unit
    start: np.ndarray  # (l,)
    end: np.ndarray  # (l,)
    solids: np.ndarray  # (l, 2)


@dataclass(frozen=True, slots=True, eq=False)
class _Stretches:
    """Pieces of lines between neighbouring vertices, each once."""

    ends: np.ndarray  # (s, 2) vertices
    middle: np.ndarray  # (s, 3)
    direction: np.ndarray  # (s, 3) unit, from the first end to the second


def _outlines(pieces: Sequence[Convex], cutters: Sequence[Convex], tolerance: float) -> Outlines:
    solids, planes = _side_by_side(pieces, cutters, tolerance)
    lines = _crossings(solids, [*pieces, *cutters], tolerance)
    vertices, stretches = _stretches(solids, lines, tolerance)
    return _decided(solids, planes, vertices, stretches, tolerance)


# --------------------------------------------------------------------------------------------------------------- planes
def _side_by_side(pieces: Sequence[Convex], cutters: Sequence[Convex], tolerance: float) -> tuple[_Solids, np.ndarray]:
    """The solids in padded arrays, nearly equal planes made equal; and the normal of each distinct plane."""
    every = [*pieces, *cutters]
    width = max(len(solid.offsets) for solid in every)
    normals, offsets = np.zeros((len(every), width, 3)), np.ones((len(every), width))
    surface, used = np.full((len(every), width), -1), np.zeros((len(every), width), bool)
    for k, solid in enumerate(every):
        m = len(solid.offsets)
        normals[k, :m], offsets[k, :m], surface[k, :m], used[k, :m] = solid.normals, solid.offsets, solid.surfaces, True
    number, sign, first = _distinct(normals[used], offsets[used], tolerance)
    plane = np.full((len(every), width), -1)
    plane[used] = number
    one_normal, one_offset = normals[used][first] * sign[first, None], offsets[used][first] * sign[first]
    normals[used], offsets[used] = one_normal[number] * sign[:, None], one_offset[number] * sign
    return _Solids(
        normals,
        offsets,
        plane,
        surface,
        np.arange(len(every)) < len(pieces),
        np.array([s.low for s in every]),
        np.array([s.high for s in every]),
    ), one_normal


def _distinct(normals: np.ndarray, offsets: np.ndarray, tolerance: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """For each plane the number of its geometric plane and the sense it looks in (±1); for each number one plane that has it."""
    large = np.abs(normals) > 1e-7
    leading = np.take_along_axis(normals, large.argmax(axis=1)[:, None], 1)[:, 0]
    sign = np.where(leading < 0, -1.0, 1.0)
    rows = np.column_stack(
        [_clusters(column, 1e-8) for column in (normals * sign[:, None]).T] + [_clusters(offsets * sign, tolerance)]
    )
    _, first, number = np.unique(rows, axis=0, return_index=True, return_inverse=True)
    return number.ravel(), sign, first


def _clusters(values: np.ndarray, gap: float) -> np.ndarray:
    """Numbers that are equal for values that lie no more than `gap` from their neighbour."""
    order = np.argsort(values, kind="stable")
    number = np.empty(len(values), int)
    number[order] = np.cumsum(np.diff(values[order], prepend=values[order[:1]]) > gap)
    return number


# ---------------------------------------------------------------------------------------------------------------- lines
def _crossings(solids: _Solids, every: Sequence[Convex], tolerance: float) -> _Lines:
    """Where planes cross: within each solid its edges, between two solids the lines in which their faces cross."""
    own = [(np.full((len(solid.meets), 2), k), solid.meets) for k, solid in enumerate(every)]
    owners, indices = np.concatenate([o for o, _ in own]), np.concatenate([i for _, i in own])
    across_owners, across_indices = _crossing_faces(solids, tolerance)
    owners, indices = np.concatenate((owners, across_owners)), np.concatenate((indices, across_indices))
    na, nb = solids.normals[owners[:, 0], indices[:, 0]], solids.normals[owners[:, 1], indices[:, 1]]
    da, db = solids.offsets[owners[:, 0], indices[:, 0]], solids.offsets[owners[:, 1], indices[:, 1]]
    direction = np.cross(na, nb)
    sine = np.linalg.norm(direction, axis=1)
    keep = sine > PARALLEL
    na, nb, da, db, direction, sine, owners = (
        na[keep],
        nb[keep],
        da[keep],
        db[keep],
        direction[keep],
        sine[keep, None],
        owners[keep],
    )
    origin = (da[:, None] * np.cross(nb, direction) + db[:, None] * np.cross(direction, na)) / sine**2
    direction = direction / sine
    start_a, end_a = _within(solids, owners[:, 0], origin, direction, tolerance)
    start_b, end_b = _within(solids, owners[:, 1], origin, direction, tolerance)
    start, end = np.maximum(start_a, start_b), np.minimum(end_a, end_b)
    keep = end - start > tolerance
    return _Lines(origin[keep], direction[keep], start[keep], end[keep], owners[keep])


def _crossing_faces(solids: _Solids, tolerance: float) -> tuple[np.ndarray, np.ndarray]:
    """Pairs of faces of two solids, at least one a cutter, each of which may reach the other: (l, 2) solids, (l, 2) planes."""
    low, high = solids.low - tolerance, solids.high + tolerance
    meet = ((low[:, None] <= high[None]) & (low[None] <= high[:, None])).all(axis=2)
    meet &= ~(solids.piece[:, None] & solids.piece[None])
    a, b = np.nonzero(np.triu(meet, 1))
    planes_a, planes_b = _reached(solids, a, b, tolerance), _reached(solids, b, a, tolerance)
    pair, i, j = np.nonzero(planes_a[:, :, None] & planes_b[:, None, :])
    return np.stack((a[pair], b[pair]), axis=1), np.stack((i, j), axis=1)


def _reached(solids: _Solids, of: np.ndarray, by: np.ndarray, tolerance: float) -> np.ndarray:
    """Which planes of the solids `of` pass through the box around the solids `by`, (p, m)."""
    centre, half = (solids.low[by] + solids.high[by]) / 2, (solids.high[by] - solids.low[by]) / 2
    distance = np.einsum("pmi,pi->pm", solids.normals[of], centre) - solids.offsets[of]
    return np.abs(distance) <= np.einsum("pmi,pi->pm", np.abs(solids.normals[of]), half) + tolerance


def _within(
    solids: _Solids, which: np.ndarray, origin: np.ndarray, direction: np.ndarray, tolerance: float
) -> tuple[np.ndarray, np.ndarray]:
    """The stretch of each line inside one closed solid, as (from, to); from > to where it misses."""
    normals, offsets = solids.normals[which], solids.offsets[which]
    height = np.einsum("lmi,li->lm", normals, origin) - offsets
    slope = np.einsum("lmi,li->lm", normals, direction)
    level = np.abs(slope) < PARALLEL
    t = -height / np.where(level, 1.0, slope)
    start = np.where(~level & (slope < 0), t, -np.inf).max(axis=1)
    end = np.where(~level & (slope > 0), t, np.inf).min(axis=1)
    outside = (level & (height > tolerance)).any(axis=1)
    return np.where(outside, np.inf, start), np.where(outside, -np.inf, end)


# ------------------------------------------------------------------------------------------------------------ stretches
def _stretches(solids: _Solids, lines: _Lines, tolerance: float) -> tuple[np.ndarray, _Stretches]:
    """The lines divided wherever a solid begins or ends on them; and the vertices."""
    line, t = _divisions(solids, lines, tolerance)
    points = lines.origin[line] + t[:, None] * lines.direction[line]
    vertices, vertex = _welded(points, tolerance)
    a, b = vertex[:-1], vertex[1:]
    joined = (line[:-1] == line[1:]) & (a != b)
    a, b, line = a[joined], b[joined], line[:-1][joined]
    key = np.minimum(a, b) * len(vertices) + np.maximum(a, b)
    _, first = np.unique(key, return_index=True)
    a, b = a[first], b[first]
    return vertices, _Stretches(np.stack((a, b), axis=1), (vertices[a] + vertices[b]) / 2, lines.direction[line[first]])


def _divisions(solids: _Solids, lines: _Lines, tolerance: float) -> tuple[np.ndarray, np.ndarray]:
    """(line, t) of every division, sorted, both ends of every line included."""
    ends = lines.origin[:, None] + np.stack((lines.start, lines.end), axis=1)[:, :, None] * lines.direction[:, None]
    low, high = ends.min(axis=1) - tolerance, ends.max(axis=1) + tolerance
    near = np.ones((len(low), len(solids.low)), bool)
    for k in range(3):
        near &= (low[:, None, k] <= solids.high[None, :, k]) & (high[:, None, k] >= solids.low[None, :, k])
    everyone = np.arange(len(low))
    near[everyone, lines.solids[:, 0]] = near[everyone, lines.solids[:, 1]] = False
    line, solid = np.nonzero(near)
    start, end = _within(solids, solid, lines.origin[line], lines.direction[line], tolerance)
    met = start <= end + tolerance
    line, start, end = line[met], start[met], end[met]
    of = np.concatenate((everyone, everyone, line, line))
    t = np.concatenate((lines.start, lines.end, start, end))
    inside = (t >= lines.start[of]) & (t <= lines.end[of])
    of, t = of[inside], t[inside]
    order = np.lexsort((t, of))
    return of[order], t[order]


def _welded(points: np.ndarray, tolerance: float) -> tuple[np.ndarray, np.ndarray]:
    """Distinct points, and the number of each point among them; coordinates within the tolerance are made equal."""
    snapped = np.empty_like(points)
    keys = np.empty(points.shape, int)
    for k in range(3):
        keys[:, k] = _clusters(points[:, k], tolerance)
        _, first = np.unique(keys[:, k], return_index=True)
        snapped[:, k] = np.round(points[first, k], 9)[keys[:, k]] + 0.0
    spread = keys.max(axis=0) + 1
    _, first, number = np.unique(
        (keys[:, 0] * spread[1] + keys[:, 1]) * spread[2] + keys[:, 2], return_index=True, return_inverse=True
    )
    return snapped[first], number.ravel()


# ------------------------------------------------------------------------------------------------------------ decisions
def _decided(
    solids: _Solids, planes: np.ndarray, vertices: np.ndarray, stretches: _Stretches, tolerance: float
) -> Outlines:
    """The edges of the result: every stretch looked around, its wedges of wood turned into edges between two faces."""
    about = _Surroundings.of(solids, stretches, tolerance)
    line, before, after = about.wedges(planes, stretches)
    return Outlines(
        vertices=vertices,
        ends=stretches.ends[line],
        left=before.plane * 2 + before.looks_back,
        right=after.plane * 2 + after.looks_back,
        smooth=(before.surface == after.surface) & (before.surface >= 0),
        normals=np.repeat(planes, 2, axis=0) * np.tile((1.0, -1.0), len(planes))[:, None],
    )


@dataclass(frozen=True, slots=True, eq=False)
class _HalfPlanes:
    """Faces that start at a stretch: plane, whether the air is against its normal, the round it belongs to."""

    plane: np.ndarray
    looks_back: np.ndarray
    surface: np.ndarray


@dataclass(frozen=True, slots=True, eq=False)
class _Surroundings:
    """What lies about the stretches that may be edges: solids that touch them, and the planes of those that hold them."""

    touching_line: np.ndarray  # (p,) stretch
    touching_solid: np.ndarray  # (p,)
    held: np.ndarray  # (p, m) bool: the plane of the solid holds the stretch
    solids: _Solids

    @classmethod
    def of(cls, solids: _Solids, stretches: _Stretches, tolerance: float) -> _Surroundings:
        middle, slack = stretches.middle, 2 * tolerance
        near = np.ones((len(middle), len(solids.low)), bool)
        for k in range(3):
            near &= (middle[:, None, k] >= solids.low[None, :, k] - slack) & (
                middle[:, None, k] <= solids.high[None, :, k] + slack
            )
        line, solid = np.nonzero(near)
        height = np.einsum("pmi,pi->pm", solids.normals[solid], middle[line]) - solids.offsets[solid]
        inside = (height <= slack).all(axis=1)
        line, solid, held = line[inside], solid[inside], (height[inside] >= -slack)
        drowned = np.zeros(len(middle), bool)
        drowned[line[~solids.piece[solid] & ~held.any(axis=1)]] = True
        wooded = np.zeros(len(middle), bool)
        wooded[line[solids.piece[solid]]] = True
        keep = (wooded & ~drowned)[line]
        return cls(line[keep], solid[keep], held[keep], solids)

    def wedges(self, planes: np.ndarray, stretches: _Stretches) -> tuple[np.ndarray, _HalfPlanes, _HalfPlanes]:
        """(stretch, face at its left hand, face at its right hand) of every wedge of wood that is not flat."""
        sheaf_line, sheaf_plane, sheaf_surface, angle = self._sheaves(planes, stretches)
        lines, start, count = np.unique(sheaf_line, return_index=True, return_counts=True)
        lines, start, count = lines[count > 1], start[count > 1], count[count > 1]
        if not len(lines):
            nothing = np.empty(0, int)
            empty = _HalfPlanes(nothing, nothing, nothing)
            return nothing, empty, empty
        width = int(count.max())
        slot = np.arange(2 * width)[None]
        place = start[:, None] + slot % count[:, None]
        turned = angle[place] + np.pi * (slot >= count[:, None])
        real = slot < 2 * count[:, None]
        following = np.where(slot + 1 < 2 * count[:, None], np.roll(turned, -1, axis=1), turned[:, :1] + 2 * np.pi)
        wood = self._is_wood(lines, stretches, (turned + following) / 2) & real
        earlier = np.where(slot == 0, np.take_along_axis(wood, 2 * count[:, None] - 1, 1), np.roll(wood, 1, axis=1))
        opens, closes = real & wood & ~earlier, real & ~wood & earlier
        return self._paired(lines, sheaf_plane[place], sheaf_surface[place], turned, opens, closes, planes, stretches)

    def _sheaves(
        self, planes: np.ndarray, stretches: _Stretches
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """The distinct planes through each stretch, sorted by their angle about it in [0, π): stretch, plane, surface, angle."""
        pair, m = np.nonzero(self.held)
        line, solid = self.touching_line[pair], self.touching_solid[pair]
        plane, surface = self.solids.plane[solid, m], self.solids.surface[solid, m]
        order = np.lexsort((-surface, plane, line))
        line, plane, surface = line[order], plane[order], surface[order]
        new = np.ones(len(line), bool)
        new[1:] = (line[1:] != line[:-1]) | (plane[1:] != plane[:-1])
        line, plane, surface = line[new], plane[new], surface[new]
        u, v = _frames(stretches.direction[line])
        normal = planes[plane]
        angle = np.arctan2((normal * u).sum(axis=1), -(normal * v).sum(axis=1)) % np.pi
        angle[angle > np.pi - 1e-12] = 0.0
        order = np.lexsort((angle, line))
        return line[order], plane[order], surface[order], angle[order]

    def _is_wood(self, lines: np.ndarray, stretches: _Stretches, middle: np.ndarray) -> np.ndarray:
        """Whether there is wood in the direction of each angle about each line, (l, w)."""
        row = np.full(len(stretches.middle), -1)
        row[lines] = np.arange(len(lines))
        u, v = _frames(stretches.direction[lines])
        look = np.cos(middle)[:, :, None] * u[:, None] + np.sin(middle)[:, :, None] * v[:, None]
        at = row[self.touching_line]
        pairs = np.flatnonzero(at >= 0)
        at, solid = at[pairs], self.touching_solid[pairs]
        pair, m = np.nonzero(self.held[pairs])
        beyond = np.einsum("hi,hwi->hw", self.solids.normals[solid[pair], m], look[at[pair]]) >= 0
        blocked = np.zeros((len(pairs), middle.shape[1]), bool)
        np.logical_or.at(blocked, pair, beyond)
        piece = self.solids.piece[solid]
        wood, air = np.zeros(middle.shape, bool), np.zeros(middle.shape, bool)
        np.logical_or.at(wood, at[piece], ~blocked[piece])
        np.logical_or.at(air, at[~piece], ~blocked[~piece])
        return wood & ~air

    @staticmethod
    def _paired(lines, plane, surface, turned, opens, closes, planes, stretches):
        """Each place where wood begins (turning about the line) with the next place where it ends."""
        row, begin = np.nonzero(opens)
        ends_row, end = np.nonzero(closes)
        first = np.searchsorted(ends_row, row)
        rank = np.arange(len(row)) - np.searchsorted(row, row)
        in_wood = (
            end[first] < begin[np.searchsorted(row, row)]
        )  # the count of slots starts inside a wedge: ends run one ahead
        end = end[first + (rank + in_wood) % np.bincount(ends_row, minlength=len(lines))[row]]
        u, v = _frames(stretches.direction[lines[row]])
        faces = []
        for slot, sense in ((end, 1.0), (begin, -1.0)):
            angle = turned[row, slot]
            outward = sense * (-np.sin(angle)[:, None] * u + np.cos(angle)[:, None] * v)
            number = plane[row, slot]
            looks_back = ((outward * planes[number]).sum(axis=1) < 0).astype(int)
            faces.append(_HalfPlanes(number, looks_back, surface[row, slot]))
        bent = faces[0].plane != faces[1].plane
        return (lines[row][bent], *(_HalfPlanes(f.plane[bent], f.looks_back[bent], f.surface[bent]) for f in faces))


def _frames(direction: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """For each direction two unit vectors at right angles to it and each other; u × v = direction."""
    helper = np.zeros_like(direction)
    helper[np.arange(len(direction)), np.abs(direction).argmin(axis=1)] = 1.0
    u = np.cross(helper, direction)
    u /= np.linalg.norm(u, axis=1)[:, None]
    return u, np.cross(direction, u)
