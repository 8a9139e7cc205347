"""Convex pieces less convex cutters as closed solids, whatever way they meet; many solids at once.

Every edge of the result lies on a line where two planes of the given solids cross. So each such line is divided where
a solid begins or ends, and each stretch is decided once, by looking around it: the planes through it part the space
about it into sectors, and a face starts wherever a sector of wood borders on a sector of air. What two faces share is
thus one edge from the start; nothing has to be sewn together, and coplanar faces of different solids are one face
without further ado.

The solids of one part make up a job; jobs never meet, they only share the array operations.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .convex import Convex
from .faces import Outlines

PARALLEL = 1e-9  # sine of the angle below which two planes are parallel


def outlines_of(jobs: Sequence[Sequence[Convex]], tolerance: float) -> Outlines:
    """The edges of each job's wood less its cutters; points within `tolerance` (mm) of each other are one."""
    solids = _side_by_side(jobs, tolerance)
    near = _Neighbours.of(solids, tolerance)
    lines = _crossings(solids, near, tolerance)
    vertices, stretches = _stretches(solids, near, lines, tolerance)
    return _decided(solids, near, vertices, stretches, tolerance)


@dataclass(frozen=True, slots=True, eq=False)
class _Solids:
    """All pieces and cutters side by side; planes are padded to one number each with planes that bind nothing."""

    normals: np.ndarray  # (k, m, 3)
    offsets: np.ndarray  # (k, m)
    plane: np.ndarray  # (k, m) number of the plane, whichever way it looks
    surface: np.ndarray  # (k, m)
    wood: np.ndarray  # (k,) bool: piece, not cutter
    low: np.ndarray  # (k, 3)
    high: np.ndarray  # (k, 3)
    job: np.ndarray  # (k,)
    meets: np.ndarray  # (p, 3): solid and two of its planes that meet in an edge
    plane_normal: np.ndarray  # (planes, 3) unit normal of each distinct plane
    plane_job: np.ndarray  # (planes,)


@dataclass(frozen=True, slots=True, eq=False)
class _Neighbours:
    """Solids of one job whose boxes touch: for each solid a run of `others`, itself left out."""

    others: np.ndarray
    start: np.ndarray  # (k,)
    count: np.ndarray  # (k,)

    @classmethod
    def of(cls, solids: _Solids, tolerance: float) -> _Neighbours:
        size = np.bincount(solids.job)
        first = np.cumsum(size) - size
        count = size[solids.job]
        a = np.repeat(np.arange(len(count)), count)
        b = first[solids.job[a]] + _counted(count)
        touch = a != b
        for k in range(3):
            touch &= solids.low[a, k] <= solids.high[b, k] + tolerance
            touch &= solids.low[b, k] <= solids.high[a, k] + tolerance
        a, b = a[touch], b[touch]
        degree = np.bincount(a, minlength=len(count))
        return cls(b, np.cumsum(degree) - degree, degree)

    def about(self, solid: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """(place in `solid`, neighbour) for each of some solids and each of its neighbours."""
        count = self.count[solid]
        place = np.repeat(np.arange(len(solid)), count)
        return place, self.others[self.start[solid[place]] + _counted(count)]


@dataclass(frozen=True, slots=True, eq=False)
class _Lines:
    """Straight lines: origin + t · direction, from `start` to `end`, and the two solids whose planes cross there."""

    origin: np.ndarray  # (l, 3)
    direction: np.ndarray  # (l, 3) unit
    start: np.ndarray  # (l,)
    end: np.ndarray  # (l,)
    solids: np.ndarray  # (l, 2)
    lonelier: np.ndarray  # (l,) the one of them with fewer neighbours: what touches the line touches both


@dataclass(frozen=True, slots=True, eq=False)
class _Stretches:
    """Pieces of lines between neighbouring vertices, each once."""

    ends: np.ndarray  # (s, 2) vertices
    middle: np.ndarray  # (s, 3)
    across: (
        np.ndarray
    )  # (s, 2, 3) two unit vectors u, v at right angles to it; u × v runs from the first end to the second
    solid: np.ndarray  # (s,) one that touches it


def _counted(counts: np.ndarray) -> np.ndarray:
    """0, 1, … for each run of the given lengths.

    >>> _counted(np.array([2, 0, 3])).tolist()
    [0, 1, 0, 1, 2]
    """
    return np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)


# --------------------------------------------------------------------------------------------------------------- planes
def _side_by_side(jobs: Sequence[Sequence[Convex]], tolerance: float) -> _Solids:
    """The solids in padded arrays, nearly equal planes of a job made equal."""
    every = [solid for job in jobs for solid in job]
    count = np.array([len(solid.planes) for solid in every])
    job = np.repeat(np.arange(len(jobs)), [len(job) for job in jobs])
    rows = np.array([plane for solid in every for plane in solid.planes])
    owner, slot = np.repeat(np.arange(len(every)), count), _counted(count)
    number, sign, first = _distinct(rows, job[owner], tolerance)
    distinct = rows[first] * sign[first, None]
    rows = distinct[number] * sign[:, None]
    shape = (len(every), int(count.max()))
    normals, offsets = np.zeros((*shape, 3)), np.ones(shape)
    plane, surface = np.full(shape, -1), np.full(shape, -1)
    normals[owner, slot], offsets[owner, slot], plane[owner, slot] = rows[:, :3], rows[:, 3], number
    surface[owner, slot] = [number for solid in every for number in solid.surfaces]
    meets = np.concatenate([solid.meets for solid in every])
    of = np.repeat(np.arange(len(every)), [len(solid.meets) for solid in every])
    return _Solids(
        normals=normals,
        offsets=offsets,
        plane=plane,
        surface=surface,
        wood=np.array([solid.is_wood for solid in every]),
        low=np.array([solid.low for solid in every]),
        high=np.array([solid.high for solid in every]),
        job=job,
        meets=np.column_stack((of, meets)),
        plane_normal=distinct[:, :3],
        plane_job=job[owner[first]],
    )


def _distinct(rows: np.ndarray, job: np.ndarray, tolerance: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """For each plane its number within its job and the sense it looks in (±1); for each number a plane that has it."""
    leading = np.take_along_axis(rows, (np.abs(rows[:, :3]) > 1e-7).argmax(axis=1)[:, None], 1)[:, 0]
    sign = np.where(leading < 0, -1.0, 1.0)
    gaps = (1e-8, 1e-8, 1e-8, tolerance)
    key = _combined([_clusters(rows[:, k] * sign, job, gap) for k, gap in enumerate(gaps)])
    _, first, number = np.unique(key, return_index=True, return_inverse=True)
    return number, sign, first


def _clusters(values: np.ndarray, job: np.ndarray, gap: float) -> np.ndarray:
    """Numbers that are equal for values of one job that lie no more than `gap` from their neighbour."""
    order = np.lexsort((values, job))
    values, job = values[order], job[order]
    new = np.ones(len(values), bool)
    new[1:] = (values[1:] - values[:-1] > gap) | (job[1:] != job[:-1])
    number = np.empty(len(values), int)
    number[order] = np.cumsum(new) - 1
    return number


def _combined(columns: list[np.ndarray]) -> np.ndarray:
    """One number for each row of several columns of numbers, equal where the rows are."""
    key = columns[0]
    for column in columns[1:]:
        width = int(column.max()) + 1
        if (int(key.max()) + 1) * width > 2**62:
            key = np.unique(key, return_inverse=True)[1]
        key = key * width + column
    return key


# ---------------------------------------------------------------------------------------------------------------- lines
def _crossings(solids: _Solids, near: _Neighbours, tolerance: float) -> _Lines:
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


def _crossing_faces(solids: _Solids, near: _Neighbours, tolerance: float) -> tuple[np.ndarray, ...]:
    """Faces of two solids, at least one a cutter, that may reach each other: solid, other solid, plane, other plane."""
    a, b = near.about(np.arange(len(solids.job)))
    pair = (a < b) & ~(solids.wood[a] & solids.wood[b])
    a, b = a[pair], b[pair]
    of_a, of_b = _reached(solids, a, b, tolerance), _reached(solids, b, a, tolerance)
    # a line in a plane that both have is an edge of one of them
    same = solids.plane[a][:, :, None] == solids.plane[b][:, None, :]
    of_a &= ~same.any(axis=2)
    of_b &= ~same.any(axis=1)
    pair, i, j = np.nonzero(of_a[:, :, None] & of_b[:, None, :])
    return a[pair], b[pair], i, j


def _reached(solids: _Solids, of: np.ndarray, by: np.ndarray, tolerance: float) -> np.ndarray:
    """Which planes of the solids `of` pass through the box around the solids `by`, (p, m)."""
    centre, half = (solids.low[by] + solids.high[by]) / 2, (solids.high[by] - solids.low[by]) / 2
    normals = solids.normals[of]
    distance = np.einsum("pmi,pi->pm", normals, centre) - solids.offsets[of]
    return np.abs(distance) <= np.einsum("pmi,pi->pm", np.abs(normals), half) + tolerance


def _within(
    solids: _Solids, which: np.ndarray, origin: np.ndarray, direction: np.ndarray, tolerance: float
) -> tuple[np.ndarray, np.ndarray]:
    """The stretch of each line inside one closed solid, as (from, to); from > to where it misses."""
    normals = solids.normals[which]
    height = np.einsum("lmi,li->lm", normals, origin) - solids.offsets[which]
    slope = np.einsum("lmi,li->lm", normals, direction)
    level = np.abs(slope) < PARALLEL
    t = -height / np.where(level, 1.0, slope)
    start = np.where(~level & (slope < 0), t, -np.inf).max(axis=1)
    end = np.where(~level & (slope > 0), t, np.inf).min(axis=1)
    outside = (level & (height > tolerance)).any(axis=1)
    start[outside], end[outside] = np.inf, -np.inf
    return start, end


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Row by row the vector product."""
    out = np.empty(np.broadcast_shapes(a.shape, b.shape))
    out[:, 0] = a[:, 1] * b[:, 2] - a[:, 2] * b[:, 1]
    out[:, 1] = a[:, 2] * b[:, 0] - a[:, 0] * b[:, 2]
    out[:, 2] = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return out


# ------------------------------------------------------------------------------------------------------------ stretches
def _stretches(solids: _Solids, near: _Neighbours, lines: _Lines, tolerance: float) -> tuple[np.ndarray, _Stretches]:
    """The lines divided wherever a solid begins or ends on them; and the vertices."""
    line, t = _divisions(solids, near, lines, tolerance)
    points = lines.origin[line] + t[:, None] * lines.direction[line]
    vertices, vertex = _welded(points, solids.job[lines.solids[line, 0]], tolerance)
    a, b = vertex[:-1], vertex[1:]
    joined = (line[:-1] == line[1:]) & (a != b)
    a, b, line = a[joined], b[joined], line[:-1][joined]
    _, first = np.unique(np.minimum(a, b) * len(vertices) + np.maximum(a, b), return_index=True)
    a, b, line = a[first], b[first], line[first]
    middle = (vertices[a] + vertices[b]) / 2
    return vertices, _Stretches(np.stack((a, b), axis=1), middle, _across(lines.direction[line]), lines.lonelier[line])


def _divisions(solids: _Solids, near: _Neighbours, lines: _Lines, tolerance: float) -> tuple[np.ndarray, np.ndarray]:
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
    clusters = [_clusters(points[:, k], job, tolerance) for k in range(3)]
    for k, cluster in enumerate(clusters):
        value = np.empty(cluster.max() + 1)
        value[cluster[::-1]] = points[::-1, k]
        snapped[:, k] = np.round(value, 9)[cluster] + 0.0
    _, first, number = np.unique(_combined(clusters), return_index=True, return_inverse=True)
    return snapped[first], number


# ------------------------------------------------------------------------------------------------------------ decisions
def _decided(
    solids: _Solids, near: _Neighbours, vertices: np.ndarray, stretches: _Stretches, tolerance: float
) -> Outlines:
    """The edges of the result: every stretch looked around, its wedges of wood turned into edges between two faces."""
    touch = _Touch.of(solids, near, stretches, tolerance)
    line, left, right = _wedges(touch, stretches)
    return Outlines(
        vertices=vertices,
        ends=stretches.ends[line],
        left=left.plane * 2 + left.looks_back,
        right=right.plane * 2 + right.looks_back,
        smooth=(left.surface == right.surface) & (left.surface >= 0),
        normals=np.stack((solids.plane_normal, -solids.plane_normal), axis=1).reshape(-1, 3) + 0.0,
        job=np.repeat(solids.plane_job, 2),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _HalfPlanes:
    """Faces that start at a stretch: plane, whether the air is against its normal, the round it belongs to."""

    plane: np.ndarray
    looks_back: np.ndarray
    surface: np.ndarray

    def __getitem__(self, which: np.ndarray) -> _HalfPlanes:
        return _HalfPlanes(self.plane[which], self.looks_back[which], self.surface[which])

    @classmethod
    def together(cls, some: Sequence[_HalfPlanes]) -> _HalfPlanes:
        """Several one after another."""
        return cls(*(np.concatenate([getattr(each, name) for each in some]) for name in cls.__slots__))


@dataclass(frozen=True, slots=True, eq=False)
class _Touch:
    """Which solids touch or hold each stretch that may be an edge, and which of their planes it lies in."""

    solids: _Solids
    stretch: np.ndarray  # (p,) sorted
    solid: np.ndarray  # (p,)
    pair: np.ndarray  # (h,) sorted numbers of pairs (stretch, solid) one of whose planes holds the stretch …
    slot: np.ndarray  # (h,) … and which plane of the solid

    @classmethod
    def of(cls, solids: _Solids, near: _Neighbours, stretches: _Stretches, tolerance: float) -> _Touch:
        slack = 2 * tolerance
        everyone = np.arange(len(stretches.solid))
        stretch, solid = near.about(stretches.solid)
        stretch, solid = np.concatenate((everyone, stretch)), np.concatenate((stretches.solid, solid))
        order = np.argsort(stretch, kind="stable")
        stretch, solid = stretch[order], solid[order]
        middle = stretches.middle[stretch]
        touch = ((middle >= solids.low[solid] - slack) & (middle <= solids.high[solid] + slack)).all(axis=1)
        stretch, solid, middle = stretch[touch], solid[touch], middle[touch]
        height = np.einsum("pmi,pi->pm", solids.normals[solid], middle) - solids.offsets[solid]
        inside = height.max(axis=1) <= slack
        stretch, solid, held = stretch[inside], solid[inside], height[inside] >= -slack
        wooded, drowned = np.zeros((2, len(everyone)), bool)
        wooded[stretch[solids.wood[solid]]] = True
        drowned[stretch[~solids.wood[solid] & ~held.any(axis=1)]] = True
        keep = (wooded & ~drowned)[stretch]
        return cls(solids, stretch[keep], solid[keep], *np.nonzero(held[keep]))


@dataclass(frozen=True, slots=True, eq=False)
class _Sheaves:
    """The distinct planes through each stretch, sorted by their angle about it in [0, π)."""

    stretch: np.ndarray
    plane: np.ndarray
    surface: np.ndarray
    angle: np.ndarray

    @classmethod
    def of(cls, touch: _Touch, stretches: _Stretches) -> _Sheaves:
        stretch, solid = touch.stretch[touch.pair], touch.solid[touch.pair]
        plane, surface = touch.solids.plane[solid, touch.slot], touch.solids.surface[solid, touch.slot]
        order = np.lexsort((-surface, plane, stretch))
        stretch, plane, surface = stretch[order], plane[order], surface[order]
        new = np.ones(len(stretch), bool)
        new[1:] = (stretch[1:] != stretch[:-1]) | (plane[1:] != plane[:-1])
        stretch, plane, surface = stretch[new], plane[new], surface[new]
        leaning = np.einsum("hki,hi->kh", stretches.across[stretch], touch.solids.plane_normal[plane])
        angle = np.arctan2(leaning[0], -leaning[1]) % np.pi
        angle[angle > np.pi - 1e-12] = 0.0
        order = np.lexsort((angle, stretch))
        return cls(stretch[order], plane[order], surface[order], angle[order])


def _wedges(touch: _Touch, stretches: _Stretches) -> tuple[np.ndarray, _HalfPlanes, _HalfPlanes]:
    """(stretch, face at its left hand, face at its right hand) of every wedge of wood that is not flat."""
    sheaves = _Sheaves.of(touch, stretches)
    rows, start, count = np.unique(sheaves.stretch, return_index=True, return_counts=True)
    found = [
        _wedges_of(touch, stretches, sheaves, rows[count == number], start[count == number], number)
        for number in range(2, int(count.max(initial=1)) + 1)
    ]
    if not found:
        nothing = np.empty(0, int)
        return nothing, _HalfPlanes(nothing, nothing, nothing), _HalfPlanes(nothing, nothing, nothing)
    lines, lefts, rights = zip(*found, strict=True)
    return np.concatenate(lines), _HalfPlanes.together(lefts), _HalfPlanes.together(rights)


def _wedges_of(
    touch: _Touch, stretches: _Stretches, sheaves: _Sheaves, rows: np.ndarray, start: np.ndarray, count: int
) -> tuple[np.ndarray, _HalfPlanes, _HalfPlanes]:
    """The same for the stretches `rows`, the space about each parted into sectors by `count` planes."""
    place = start[:, None] + np.arange(2 * count) % count
    turned = sheaves.angle[place] + np.repeat((0.0, np.pi), count)
    middle = (turned + np.roll(turned, -1, axis=1)) / 2
    middle[:, -1] += np.pi
    wood = _is_wood(touch, stretches, rows, middle)
    earlier = np.roll(wood, 1, axis=1)
    row, begin, end = _paired(wood & ~earlier, ~wood & earlier, sheaves.plane[place])
    across, faces = stretches.across[rows[row]], []
    for at, is_end in ((end, True), (begin, False)):
        angle, sheaf = turned[row, at], place[row, at]
        plane = sheaves.plane[sheaf]
        u, v = np.einsum("hki,hi->kh", across, touch.solids.plane_normal[plane])
        looks_on = np.cos(angle) * v - np.sin(angle) * u > 0  # the way the angle grows
        faces.append(_HalfPlanes(plane, (looks_on != is_end).astype(int), sheaves.surface[sheaf]))
    bent = faces[0].plane != faces[1].plane
    return rows[row][bent], faces[0][bent], faces[1][bent]


def _is_wood(touch: _Touch, stretches: _Stretches, rows: np.ndarray, middle: np.ndarray) -> np.ndarray:
    """Whether there is wood in the direction of each angle about each stretch, counted from u toward v, (r, w)."""
    row = np.full(len(stretches.solid), -1)
    row[rows] = np.arange(len(rows))
    at = row[touch.stretch]
    asked = at[touch.pair] >= 0
    pair, slot = touch.pair[asked], touch.slot[asked]
    normals, here = touch.solids.normals[touch.solid[pair], slot], at[pair]
    u, v = np.einsum("hki,hi->kh", stretches.across[rows[here]], normals)[:, :, None]
    beyond = np.cos(middle)[here] * u + np.sin(middle)[here] * v >= 0
    blocked = np.zeros((len(at), middle.shape[1]), bool)
    if len(pair):
        first = np.flatnonzero(np.diff(pair, prepend=-1))
        blocked[pair[first]] = np.logical_or.reduceat(beyond, first, axis=0)
    of_wood = touch.solids.wood[touch.solid]
    return _any_of(at, of_wood, ~blocked, len(rows)) & ~_any_of(at, ~of_wood, ~blocked, len(rows))


def _any_of(row: np.ndarray, chosen: np.ndarray, values: np.ndarray, count: int) -> np.ndarray:
    """For each row whether any chosen line of values that belongs to it is true; `row` is sorted but for −1."""
    out = np.zeros((count, values.shape[1]), bool)
    which = np.flatnonzero(chosen & (row >= 0))
    if len(which):
        first = np.flatnonzero(np.diff(row[which], prepend=-1))
        out[row[which][first]] = np.logical_or.reduceat(values[which], first, axis=0)
    return out


def _paired(opens: np.ndarray, closes: np.ndarray, plane: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """(row, slot where wood begins, slot where wood ends) of faces that share an edge; both alternate in every row.

    Turning about the line, wood that begins and ends again is one wedge, and its faces share the edge. Where two
    wedges touch at the line and a plane face runs on past both, they are better taken for one wood with a furrow in
    that face's back.
    """
    row, begin = np.nonzero(opens)
    _, end = np.nonzero(closes)
    if not len(row):
        return row, begin, end
    first, total = np.searchsorted(row, row), np.bincount(row)[row]  # ends have the same rows
    ahead = end[first] < begin[first]  # the count of slots starts inside a wedge: ends run one ahead
    rank = np.arange(len(row)) - first + ahead
    following, preceding = end[first + rank % total], end[first + (rank - 1) % total]
    runs_on = (total > 1) & (plane[row, preceding] == plane[row, begin])
    furrowed = np.zeros(len(opens), bool)
    furrowed[row[runs_on]] = True
    return row, begin, np.where(furrowed[row], preceding, following)


def _across(direction: np.ndarray) -> np.ndarray:
    """For each direction two unit vectors u, v at right angles to it and each other, (s, 2, 3); u × v = direction."""
    helper = np.zeros_like(direction)
    helper[np.arange(len(direction)), np.abs(direction).argmin(axis=1)] = 1.0
    u = _cross(helper, direction)
    u /= np.sqrt((u * u).sum(axis=1))[:, None]
    return np.stack((u, _cross(direction, u)), axis=1)
