"""Sections: where a plane cuts solids, and the hatching that tells one material from another (ISO 128)."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..solids.mesh import Mesh
from .page import Rect
from .runs import between
from .views import View

SHORTEST = 1e-6  # mm; shorter stretches of a cut are left out


@dataclass(frozen=True, slots=True)
class Hatch:
    """How one material is hatched: distances between its lines in mm on paper, over and over, and the dashes of each."""

    steps: tuple[float, ...]
    dash: tuple[float, ...] = ()


# Even lines, pairs, threes, dashes …: told apart without colour, at any width of line; our own
HATCHES = (
    Hatch((2.4,)),
    Hatch((0.9, 2.6)),
    Hatch((1.8,), (2.5, 0.8)),
    Hatch((0.8, 0.8, 2.6)),
    Hatch((1.1,)),
    Hatch((3.6,)),
    Hatch((1.2, 3.0), (3.0, 1.0)),
    Hatch((3.0,), (1.0, 1.0)),
)
ANGLES = (45.0, 135.0)  # degrees; neighbours of one material lean opposite ways


@dataclass(frozen=True, slots=True, eq=False)
class Section:
    """The outline of what a plane cuts: k straight stretches, mm of the piece as the view has them, and their solids."""

    points: np.ndarray  # (k, 2, 2)
    solid: np.ndarray  # (k,)

    def within(self, rect: Rect) -> Section:
        """The stretches inside a rectangle."""
        points, which = clipped(self.points, rect)
        return Section(points, self.solid[which])


def cut(meshes: Sequence[Mesh], view: View, depth: float) -> Section:
    """The outline in which the plane so near to the viewer (mm from the origin, toward him) cuts closed solids.

    A plane that only touches a face cuts nothing there: it is taken to lie a hair nearer to the viewer.
    """
    points, solids = [np.zeros((0, 2, 2))], [np.zeros(0, np.int64)]
    for number, mesh in enumerate(meshes):
        away = view.depth(mesh.vertices) - depth
        if away.min() < 0 < away.max():
            found = _crossings(mesh, view, away)
            points.append(found)
            solids.append(np.full(len(found), number))
    return Section(np.concatenate(points), np.concatenate(solids))


def hatching(
    section: Section, scale: float, hatches: Sequence[Hatch], angles: Sequence[float]
) -> list[tuple[np.ndarray, Hatch]]:
    """Hatching of every solid (by its hatch and angle in degrees), in mm on paper with the origin of the view at (0, 0).

    Lines of one hatch together, each with the hatch; lines of all solids of one hatch and angle run on from one to the
    next, so that a material reads as one.
    """
    groups: dict[tuple[Hatch, float], list[int]] = {}
    for solid in np.unique(section.solid).tolist():
        groups.setdefault((hatches[solid], angles[solid]), []).append(solid)
    found = []
    for (hatch, angle), solids in groups.items():
        mine = np.isin(section.solid, solids)
        lines = _ruled(section.points[mine] * scale, section.solid[mine], hatch.steps, angle)
        if len(lines):
            found.append((lines, hatch))
    return found


def leaning(section: Section) -> dict[int, float]:
    """An angle for each solid cut, so that those that touch lean opposite ways where that can be."""
    solids = np.unique(section.solid).tolist()
    boxes = {}
    for solid in solids:
        ends = section.points[section.solid == solid].reshape(-1, 2)
        boxes[solid] = ends.min(axis=0) - 0.5, ends.max(axis=0) + 0.5
    found: dict[int, float] = {}
    for solid in solids:
        low, high = boxes[solid]
        beside = [found[o] for o in found if (low <= boxes[o][1]).all() and (boxes[o][0] <= high).all()]
        found[solid] = min(ANGLES, key=beside.count)
    return found


def clipped(points: np.ndarray, rect: Rect) -> tuple[np.ndarray, np.ndarray]:
    """Straight lines, (k, 2, 2), as far as they lie in a rectangle, and which they are of.

    Source: Y.-D. Liang, B. Barsky, "A new concept and method for line clipping", ACM Transactions on Graphics 3 (1984).
    """
    tail, step = points[:, 0], points[:, 1] - points[:, 0]
    low, high = np.zeros(len(points)), np.ones(len(points))
    inside = np.ones(len(points), bool)
    for axis, first, last in ((0, rect.x, rect.right), (1, rect.y, rect.top)):
        for sign, wall in ((-1.0, first), (1.0, last)):
            towards, room = sign * step[:, axis], sign * (wall - tail[:, axis])
            still = np.abs(towards) < 1e-12
            inside &= ~still | (room >= 0)
            share = np.divide(room, towards, out=np.zeros(len(points)), where=~still)
            high = np.where(~still & (towards > 0), np.minimum(high, share), high)
            low = np.where(~still & (towards < 0), np.maximum(low, share), low)
    which = np.flatnonzero(inside & (high - low > 1e-9))
    ends = [tail[which] + share[which, None] * step[which] for share in (low, high)]
    return np.stack(ends, axis=1), which


# ------------------------------------------------------------------------------------------------------------ helpers
def _crossings(mesh: Mesh, view: View, away: np.ndarray) -> np.ndarray:
    """Where the plane crosses the polygons of a mesh, (k, 2, 2); corners in the plane count as before it.

    The sides of a polygon that cross it are paired off in their order along the line in which its face meets the plane.
    """
    sizes = np.diff(mesh.starts)
    polygon = np.repeat(np.arange(len(sizes)), sizes)
    after = np.arange(1, len(mesh.corners) + 1)
    after[mesh.starts[1:] - 1] = mesh.starts[:-1]
    a, b = mesh.corners, mesh.corners[after]
    across = np.flatnonzero((away[a] > 0) != (away[b] > 0))
    a, b, polygon = a[across], b[across], polygon[across]
    share = away[a] / (away[a] - away[b])
    tails, heads = view.project(mesh.vertices[a]), view.project(mesh.vertices[b])
    places = tails + share[:, None] * (heads - tails)
    along = view.project(np.cross(mesh.normals[mesh.face_of[polygon]], view.direction))
    order = np.lexsort((np.einsum("ij,ij->i", places, along), polygon))
    ends = places[order].reshape(-1, 2, 2)
    return ends[np.abs(ends[:, 1] - ends[:, 0]).max(axis=1) > SHORTEST]


def _ruled(points: np.ndarray, solid: np.ndarray, steps: tuple[float, ...], angle: float) -> np.ndarray:
    """Parallel lines at an angle inside outlines, (m, 2, 2): even and odd crossings of each line paired off."""
    turn = np.radians(angle)
    along, across = np.array((np.cos(turn), np.sin(turn))), np.array((-np.sin(turn), np.cos(turn)))
    u, v = points @ along, points @ across
    period, offsets = sum(steps), np.cumsum((0.0, *steps[:-1]))
    found = []
    for offset in offsets:
        first = np.ceil((v.min(axis=1) - offset) / period).astype(np.int64)
        last = np.floor((v.max(axis=1) - offset) / period - 1e-12).astype(np.int64) + 1
        segment, line = between(first, np.maximum(first, last))
        level = line * period + offset
        low, high = v[segment].min(axis=1), v[segment].max(axis=1)
        kept = (level >= low) & (level < high)  # half open: a corner counts once
        segment, line, level = segment[kept], line[kept], level[kept]
        share = (level - v[segment, 0]) / (v[segment, 1] - v[segment, 0])
        place = u[segment, 0] + share * (u[segment, 1] - u[segment, 0])
        order = np.lexsort((place, line, solid[segment]))
        place, level = place[order], level[order]
        paired = _paired(line[order], solid[segment][order])
        place, level = place[paired], level[paired]
        starts, ends, levels = place[::2], place[1::2], level[::2]
        some = ends - starts > 0.05
        tails = starts[some, None] * along + levels[some, None] * across
        heads = ends[some, None] * along + levels[some, None] * across
        found.append(np.stack((tails, heads), axis=1))
    return np.concatenate(found) if found else np.zeros((0, 2, 2))


def _paired(line: np.ndarray, solid: np.ndarray) -> np.ndarray:
    """Which crossings, sorted by solid and line, are among an even number on theirs: all, but for the last digit's whims."""
    new = np.append(True, (np.diff(line) != 0) | (np.diff(solid) != 0))[: len(line)]
    run = np.cumsum(new) - 1
    return np.bincount(run)[run] % 2 == 0 if len(line) else np.zeros(0, bool)
