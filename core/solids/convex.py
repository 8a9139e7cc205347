"""A part's shape as convex solids: the pieces of its bar, and the cutters that its pockets and holes are."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..geometry import Vector
from ..model import Cut, Hole, Pocket, Shape
from . import polygons

CHORD_ERROR = 0.1  # mm between a true circle and its facets (design: holes and pegs)
SMOOTH = 30.0  # degrees: a section's outline that turns by no more is a facetted curve, not an arris


@dataclass(frozen=True, slots=True, eq=False)
class Convex:
    """All points p with normals @ p <= offsets.

    `surfaces` numbers the round surface that a plane is a facet of, −1 for a plane that stands alone. `meets` lists pairs of
    planes among which are all that meet in an edge.
    """

    normals: np.ndarray  # (m, 3) unit, outward
    offsets: np.ndarray  # (m,)
    surfaces: np.ndarray  # (m,) int
    meets: np.ndarray  # (k, 2) int
    low: np.ndarray  # (3,) of a box that holds it
    high: np.ndarray  # (3,)


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


def bar_pieces(shape: Shape) -> list[Convex]:
    """The bar of a shape within its cuts, as convex pieces that touch along seams."""
    cuts = [feature for feature in shape.features if isinstance(feature, Cut)]
    outline = np.array(shape.section or _rectangle(shape.size), dtype=float)
    if polygons.area(outline, range(len(outline))) < 0:
        outline = outline[::-1]
    smooth = smooth_runs(outline)
    loops = (
        polygons.convex_polygons(outline, range(len(outline)))
        if len(outline) > 4 or not polygons.is_convex(outline, range(len(outline)))
        else [list(range(len(outline)))]
    )
    return [_bar_piece(shape.size[0], outline, loop, smooth, cuts) for loop in loops]


def cutters(shape: Shape, first_surface: int) -> list[Convex]:
    """The pockets and holes of a shape; each hole's facets share one surface number, counted from `first_surface`."""
    found = []
    for feature in shape.features:
        if isinstance(feature, Pocket):
            found.append(_box(feature))
        elif isinstance(feature, Hole):
            found.append(_cylinder(feature, first_surface + len(found)))
    return found


def _rectangle(size: Vector) -> tuple[tuple[float, float], ...]:
    return ((0.0, 0.0), (size[1], 0.0), (size[1], size[2]), (0.0, size[2]))


def smooth_runs(outline: np.ndarray) -> np.ndarray:
    """For each side of an outline the number of the curve it is a facet of, −1 for a straight side."""
    step = np.roll(outline, -1, axis=0) - outline
    before = np.roll(step, 1, axis=0)
    turn = np.degrees(np.arctan2(before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0], (before * step).sum(axis=1)))
    gentle = np.abs(turn) <= SMOOTH + 1e-6  # at the corner where each side begins
    if gentle.all():
        return np.zeros(len(outline), int)
    first = int(np.flatnonzero(~gentle)[0])
    run = np.empty(len(outline), int)
    run[(first + np.arange(len(outline))) % len(outline)] = np.cumsum(~np.roll(gentle, -first))
    alone = np.bincount(run)[run] == 1
    return np.where(alone, -1, run)


def _bar_piece(length: float, outline: np.ndarray, loop: list[int], smooth: np.ndarray, cuts: list[Cut]) -> Convex:
    corners = outline[loop]
    after = np.roll(loop, -1)
    step = outline[after] - corners
    size = np.hypot(step[:, 0], step[:, 1])
    sides = np.stack((np.zeros(len(loop)), step[:, 1] / size, -step[:, 0] / size), axis=1) + 0.0
    surfaces = [int(smooth[i]) if j == (i + 1) % len(outline) else -1 for i, j in zip(loop, after, strict=False)]
    normals = np.vstack((sides, [(-1.0, 0.0, 0.0), (1.0, 0.0, 0.0)], *([cut.normal] for cut in cuts)))
    normals /= np.linalg.norm(normals, axis=1)[:, None]
    offsets = np.concatenate(
        (
            (sides[:, 1:] * corners).sum(axis=1),
            (0.0, length),
            [float(n @ np.asarray(cut.point)) for n, cut in zip(normals[len(loop) + 2 :], cuts, strict=False)],
        )
    )
    pairs = np.array([(i, j) for i in range(len(normals)) for j in range(i)])
    low, high = corners.min(axis=0), corners.max(axis=0)
    return Convex(
        normals,
        offsets,
        np.array(surfaces + [-1] * (2 + len(cuts))),
        pairs,
        np.array((0.0, *low)),
        np.array((length, *high)),
    )


_BOX_NORMALS = np.vstack((-np.eye(3), np.eye(3))) + 0.0
_BOX_PAIRS = np.array([(i, j) for i in range(6) for j in range(i) if i - j != 3])


def _box(pocket: Pocket) -> Convex:
    low, high = np.minimum(pocket.low, pocket.high), np.maximum(pocket.low, pocket.high)
    return Convex(_BOX_NORMALS, np.concatenate((-low, high)) + 0.0, np.full(6, -1), _BOX_PAIRS, low, high)


def _cylinder(hole: Hole, surface: int) -> Convex:
    """The facetted cylinder that just holds the true one."""
    n = facets(hole.diameter)
    u, v = across(hole.into)
    axis = np.cross(u, v)
    angle = 2 * math.pi * np.arange(n) / n
    mantle = _clean(np.outer(np.cos(angle), u) + np.outer(np.sin(angle), v))
    normals = np.vstack((mantle, -axis, axis))
    at = np.asarray(hole.at, dtype=float)
    offsets = normals @ at + np.concatenate((np.full(n, hole.diameter / 2), (0.0, hole.depth)))
    i = np.arange(n)
    pairs = np.concatenate([np.stack((i, other), axis=1) for other in ((i + 1) % n, np.full(n, n), np.full(n, n + 1))])
    reach = hole.diameter / 2 / math.cos(math.pi / n) * np.sqrt(np.maximum(0.0, 1 - axis**2))
    ends = np.stack((at, at + hole.depth * axis))
    return Convex(
        normals, offsets, np.array([surface] * n + [-1, -1]), pairs, ends.min(axis=0) - reach, ends.max(axis=0) + reach
    )


def _clean(directions: np.ndarray) -> np.ndarray:
    """Directions whose rounding dust (sin π and the like) is made plain zero."""
    return np.where(np.abs(directions) < 1e-15, 0.0, directions) + 0.0
