"""A part's shape as convex solids: the pieces of its bar, and the cutters that its pockets and holes are."""

from __future__ import annotations

import math
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from ..geometry import Vector
from ..model import Cut, CutOut, Hole, Pocket, Shape
from ..outlines import CHORD_ERROR, facetted
from . import polygons

SMOOTH = 30.0  # degrees: a section's outline that turns by no more is a facetted curve, not an arris

MANY_SIDES = 12  # of a piece of a cut-out

MARGIN = 1e-3  # mm beyond the blank at which a facet is surely outside

Plane = tuple[float, float, float, float]


class Convex(NamedTuple):
    """A convex solid: all points on the inner side of its planes.

    A plane is its outward unit normal and the offset: x·nx + y·ny + z·nz <= offset. `surfaces` numbers the round that
    each plane is a facet of, −1 for one that stands alone. `meets` lists pairs of planes, among them all that meet in
    an edge. `low` and `high` are the corners of a box that holds it. `seams` are the planes along which it touches
    another piece of the same bar or cut-out, `whole` the number of what it is a piece of, −1 for one that is whole.
    """

    planes: list[Plane]
    surfaces: list[int]
    meets: np.ndarray
    low: Vector
    high: Vector
    is_wood: bool
    seams: tuple[int, ...] = ()
    whole: int = -1


@lru_cache(maxsize=1024)
def facets(diameter: float) -> int:
    """How many facets a circle gets: a multiple of 4, at least 8, within the chord error.

    >>> facets(8), facets(35)
    (16, 32)
    """
    needed = math.pi / math.acos(1 / (1 + 2 * CHORD_ERROR / diameter))
    return max(8, 4 * math.ceil(needed / 4 - 1e-9))


def across(axis: Vector) -> tuple[np.ndarray, np.ndarray]:
    """Two unit vectors at right angles to an axis (and to each other); u, v, axis are right-handed.

    Along a frame axis they are the next two frame axes, so that a round has flats square to the frame.
    """
    w = np.asarray(axis, dtype=float)
    w = w / np.linalg.norm(w)
    k = int(np.abs(w).argmax())
    u = np.zeros(3)
    u[(k + 1) % 3] = 1.0
    u -= w * (u @ w)
    u /= np.linalg.norm(u)
    return u, np.cross(w, u)


def smooth_runs(outline: np.ndarray) -> np.ndarray:
    """For each side of a closed outline, (n, 2), the number of the curve it is a facet of, −1 for a straight side."""
    step = np.roll(outline, -1, axis=0) - outline
    before = np.roll(step, 1, axis=0)
    turn = np.degrees(np.arctan2(before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0], (before * step).sum(axis=1)))
    gentle = np.abs(turn) <= SMOOTH + 1e-6  # at the corner where each side begins
    if gentle.all():
        return np.zeros(len(outline), int)
    first = int(np.flatnonzero(~gentle)[0])
    run = np.empty(len(outline), int)
    run[(first + np.arange(len(outline))) % len(outline)] = np.cumsum(~np.roll(gentle, -first))
    return np.where(np.bincount(run)[run] == 1, -1, run)


# ----------------------------------------------------------------------------------------------------------------- wood
def bar_pieces(shape: Shape) -> list[Convex]:
    """The bar of a shape within its cuts, as convex pieces that touch along seams."""
    cuts = [_cut_plane(feature) for feature in shape.features if isinstance(feature, Cut)]
    length, width, thickness = shape.size
    ends: list[Plane] = [(-1.0, 0.0, 0.0, 0.0), (1.0, 0.0, 0.0, length)]
    if shape.section:
        found = _section_pieces(shape.section)
    else:
        found = [(_sides_of_rectangle(width, thickness), [-1] * 4, (0.0, 0.0), (width, thickness), ())]
    return [
        Convex(
            sides + ends + cuts,
            surfaces + [-1] * (2 + len(cuts)),
            _all_pairs(len(sides) + 2 + len(cuts)) if cuts else _prism_pairs(len(sides)),
            (0.0, *low),
            (length, *high),
            True,
            seams,
        )
        for sides, surfaces, low, high, seams in found
    ]


def _sides_of_rectangle(width: float, thickness: float) -> list[Plane]:
    return [(0.0, 0.0, -1.0, 0.0), (0.0, 1.0, 0.0, width), (0.0, 0.0, 1.0, thickness), (0.0, -1.0, 0.0, 0.0)]


def _cut_plane(cut: Cut) -> Plane:
    size = math.hypot(*cut.normal)
    nx, ny, nz = (n / size + 0.0 for n in cut.normal)
    return (nx, ny, nz, nx * cut.point[0] + ny * cut.point[1] + nz * cut.point[2])


@lru_cache(maxsize=256)
def _section_pieces(section: tuple[tuple[float, float], ...]) -> list[tuple]:
    """The outline of a section split into convex ones: (planes, surfaces, low, high, seams) of each."""
    outline = np.array(section, dtype=float)
    if polygons.area(outline, range(len(outline))) < 0:
        outline = outline[::-1]
    smooth = smooth_runs(outline)
    whole = list(range(len(outline)))
    loops = [whole] if polygons.is_convex(outline, whole) else polygons.convex_polygons(outline, whole)
    return [_section_piece(outline, loop, smooth) for loop in loops]


def _section_piece(outline: np.ndarray, loop: list[int], smooth: np.ndarray) -> tuple:
    corners = outline[loop]
    after = np.roll(loop, -1)
    step = outline[after] - corners
    normals = np.stack((step[:, 1], -step[:, 0]), axis=1) / np.hypot(step[:, 0], step[:, 1])[:, None] + 0.0
    offsets = (normals * corners).sum(axis=1)
    planes = [(0.0, ny, nz, d) for (ny, nz), d in zip(normals.tolist(), offsets.tolist(), strict=True)]
    n = len(outline)
    seams = tuple(side for side, (i, j) in enumerate(zip(loop, after, strict=True)) if j != (i + 1) % n)
    surfaces = [-1 if side in seams else int(smooth[i]) for side, i in enumerate(loop)]
    return planes, surfaces, tuple(corners.min(axis=0).tolist()), tuple(corners.max(axis=0).tolist()), seams


@lru_cache(maxsize=64)
def _all_pairs(count: int) -> np.ndarray:
    return np.array([(i, j) for i in range(count) for j in range(i)])


@lru_cache(maxsize=64)
def _prism_pairs(sides: int) -> np.ndarray:
    """Which planes of a prism meet: neighbouring sides, and each side with both ends (numbered after the sides)."""
    around = [(i, (i + 1) % sides) for i in range(sides)]
    return np.array(around + [(i, sides + end) for i in range(sides) for end in (0, 1)])


@lru_cache(maxsize=256)
def _piece_pairs(sides: int, seams: tuple[int, ...]) -> np.ndarray:
    """The same for a piece of a prism: an edge with a seam in it is one of the whole only where a side goes on."""
    pairs = _prism_pairs(sides)
    seam = np.isin(pairs, seams)
    return pairs[~seam.any(axis=1) | (~seam.all(axis=1) & (pairs < sides).all(axis=1))]


# -------------------------------------------------------------------------------------------------------------- cutters
def pocket_cutter(pocket: Pocket) -> Convex:
    """What a pocket takes out."""
    (x, y, z), (p, q, r) = pocket.low, pocket.high
    x, p, y, q, z, r = min(x, p), max(x, p), min(y, q), max(y, q), min(z, r), max(z, r)
    planes = [*_sides_of_rectangle(q, r), (-1.0, 0.0, 0.0, -x + 0.0), (1.0, 0.0, 0.0, p)]
    planes[0], planes[3] = (0.0, 0.0, -1.0, -z + 0.0), (0.0, -1.0, 0.0, -y + 0.0)
    return Convex(planes, [-1] * 6, _prism_pairs(4), (x, y, z), (p, q, r), False)


def cut_out_cutters(cut_out: CutOut, surface: int) -> list[Convex]:
    """What a cut-out takes out, as convex solids that touch along seams; its curves are rounds numbered from `surface`."""
    return [
        piece._replace(surfaces=[number + surface if number >= 0 else -1 for number in piece.surfaces], whole=surface)
        for piece in _swept(cut_out.outline, cut_out.rises, cut_out.axis, cut_out.start, cut_out.end)
    ]


@lru_cache(maxsize=1024)
def _swept(outline: tuple, rises: tuple, k: int, start: float, end: float) -> tuple[Convex, ...]:
    """An outline of the two axes after `k`, swept along it, as convex cutters."""
    corners, curves = facetted(outline, rises)
    whole = list(range(len(corners)))
    loops = [whole] if polygons.is_convex(corners, whole) else polygons.convex_polygons(corners, whole)
    ends: list[Plane] = [_turned((-1.0, 0.0, 0.0, -start + 0.0), k), _turned((1.0, 0.0, 0.0, end), k)]
    found = []
    few = [part for loop in loops for part in _few_sided(loop)]
    for sides, surfaces, low, high, seams in (_section_piece(corners, loop, curves) for loop in few):
        planes = [_turned(plane, k) for plane in sides] + ends
        box = [_turned((at, *corner), k) for at, corner in ((start, low), (end, high))]
        found.append(Convex(planes, [*surfaces, -1, -1], _piece_pairs(len(sides), seams), *box, False, seams))  # type: ignore[arg-type]
    return tuple(found)


def _few_sided(loop: list[int]) -> list[list[int]]:
    """A convex loop cut across until no part has many sides, for the sake of speed: all solids are padded to the largest."""
    if len(loop) <= MANY_SIDES:
        return [loop]
    half = len(loop) // 2
    return [*_few_sided(loop[: half + 1]), *_few_sided([*loop[half:], loop[0]])]


def _turned(values: tuple[float, ...], k: int) -> tuple[float, ...]:
    """Values of an axis k and the next two after it (and an offset) in the order x, y, z (and the offset)."""
    return (*(values[(i - k) % 3] for i in range(3)), *values[3:])


def hole_cutter(hole: Hole, surface: int, size: Vector) -> Convex:
    """What a hole takes out: the facetted cylinder that just holds the true one.

    Facets of a hole along a frame axis that lie wholly outside the blank of the given size are left away, for the sake
    of speed: the others still bound the same part of the blank.
    """
    radius, depth = hole.diameter / 2, hole.depth
    n = facets(hole.diameter)
    mantle, axis, reach, ring = _mantle(hole.into, n)
    floor = [p + depth * d for p, d in zip(hole.at, axis, strict=True)]
    low = tuple(min(p, f) - radius * r for p, f, r in zip(hole.at, floor, reach, strict=True))
    high = tuple(max(p, f) + radius * r for p, f, r in zip(hole.at, floor, reach, strict=True))
    x, y, z = hole.at
    a, b, c = axis
    mouth = a * x + b * y + c * z
    planes = [(u, v, w, u * x + v * y + w * z + radius) for u, v, w in mantle]
    ends = [(-a + 0.0, -b + 0.0, -c + 0.0, -mouth), (a, b, c, mouth + depth)]
    outside = _outside(hole.at, radius, ring, axis, size)
    kept = [i for i in range(n) if i not in outside]
    if not 0 < len(kept) < n:
        return Convex(planes + ends, [surface] * n + [-1, -1], _prism_pairs(n), low, high, False)
    # without the facet that looks along an axis, the box closes the cylinder on that side
    sides = [planes[i] for i in (0, n // 4, n // 2, 3 * n // 4) if i not in kept]
    closing = [(u, v, w, d + radius * (max(reach) - 1)) for u, v, w, d in sides]
    surfaces = [surface] * len(kept) + [-1] * (2 + len(closing))
    planes = [planes[i] for i in kept] + ends + closing
    return Convex(planes, surfaces, _open_prism_pairs(tuple(kept), n), low, high, False)


def _outside(at: Vector, radius: float, ring: list[Vector], axis: Vector, size: Vector) -> set[int]:
    """The facets (i ends at corner i) of a round along a frame axis that lie beyond one side of the blank."""
    found: set[int] = set()
    for k in range(3) if axis.count(0.0) >= 2 else ():
        if axis[k] == 0:
            most = size[k] + MARGIN
            side = [
                1 if there > most else -1 if there < -MARGIN else 0
                for there in (at[k] + radius * corner[k] for corner in ring)
            ]
            found.update(i for i, each in enumerate(side) if each and each == side[i - 1])
    return found


@lru_cache(maxsize=1024)
def _open_prism_pairs(kept: tuple[int, ...], n: int) -> np.ndarray:
    """Which planes meet of a prism of n sides of which some are kept, numbered in their order, then its two ends."""
    place = {side: i for i, side in enumerate(kept)}
    around = [(place[side], place[(side + 1) % n]) for side in kept if (side + 1) % n in place]
    ends = [(i, len(kept) + end) for i in range(len(kept)) for end in (0, 1)]
    return np.array(around + ends, int).reshape(-1, 2)


@lru_cache(maxsize=256)
def _mantle(into: Vector, n: int) -> tuple[list[Vector], Vector, Vector, list[Vector]]:
    """A round of radius 1: normals of its facets, axis, reach along each frame axis, corners (i after facet i)."""
    u, v = across(into)
    axis = np.cross(u, v)
    angle = 2 * math.pi * np.arange(n) / n
    normals = np.outer(np.cos(angle), u) + np.outer(np.sin(angle), v)
    normals = np.where(np.abs(normals) < 1e-15, 0.0, normals) + 0.0  # the dust of sin π
    angle += math.pi / n
    ring = (np.outer(np.cos(angle), u) + np.outer(np.sin(angle), v)) / math.cos(math.pi / n)
    reach = np.sqrt(np.maximum(0.0, 1 - axis**2)) / math.cos(math.pi / n)
    rows = [tuple(row) for row in normals.tolist()]
    return rows, tuple((axis + 0.0).tolist()), tuple(reach.tolist()), [tuple(row) for row in ring.tolist()]
