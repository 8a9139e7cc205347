"""Where two drawings of the same solids differ, and what sampled sight lines say of every stretch of that.

The stretches of lines that one drawing has alone are cut out; places along each are looked at from the viewer's side, on every
edge that lies there, against every triangle that could stand before it. Nothing is used of how either drawing was found.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from line_judges import BESIDE, DEPTH, could_be_drawn
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from core.drawing.views import View
from core.solids.mesh import Mesh

WITHIN = 0.05  # mm off a line that still counts as on it, as the brute-force reference takes it
PITCH, FEWEST, MOST = 1.0, 3, 60  # mm between places looked at on a stretch, and how many
GRAZE = 0.3  # mm off a stretch at which it is looked whether what hides it has ended
ENDS = 0.15  # mm at either end of a stretch that are not looked at: there a line may begin or end by the judges' tolerances


class Reason(StrEnum):
    """What lies at a stretch that two drawings show otherwise."""

    TOUCHING = "another body touches along it"
    MEETING = "another body has a corner on the same edge, further along"
    OUTLINE = "it falls on the outline of something nearer"
    GRAZING = "the outline of what hides it runs within 0.3 mm"
    SEAM = "a side of what hides it falls on it"
    CLOSE = "what hides it is less than 1 mm nearer"
    OPEN = "nothing near"


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """What sight lines say of one stretch: the share of places at which an edge is seen, and what lies there."""

    seen: float
    reason: Reason
    edge: bool  # whether any edge that could be drawn lies there


def alone(lines: np.ndarray, others: np.ndarray, within: float = WITHIN) -> np.ndarray:
    """The stretches of lines, (n, 2, 2), that lie on no other line: their ends, (k, 2, 2)."""
    low, high = others.min(axis=1) - within, others.max(axis=1) + within
    found = []
    for tail, head in lines:
        size = float(np.hypot(*(head - tail)))
        if size < 1e-9:
            continue
        near = others[((low <= np.maximum(tail, head)) & (high >= np.minimum(tail, head))).all(axis=1)]
        for since, until in _left(size, _covered(near, tail, (head - tail) / size, size, within)):
            found.append((tail + since / size * (head - tail), tail + until / size * (head - tail)))
    return np.array(found).reshape(-1, 2, 2)


def _covered(others: np.ndarray, tail: np.ndarray, along: np.ndarray, size: float, within: float) -> np.ndarray:
    """From where to where others cover a line, (m, 2) mm from its tail: nearly parallel and not off it by more than `within`."""
    away = others - tail
    at, off = away @ along, away @ np.array([-along[1], along[0]])
    turned = at[:, 0] > at[:, 1]
    at[turned], off[turned] = at[turned, ::-1], off[turned, ::-1]
    slope = (off[:, 1] - off[:, 0]) / np.maximum(at[:, 1] - at[:, 0], 1e-12)
    clipped = np.clip(at, 0, size)
    beside = np.abs(off[:, :1] + slope[:, None] * (clipped - at[:, :1])).max(axis=1, initial=0)
    return clipped[(np.abs(slope) < 0.1) & (clipped[:, 1] - clipped[:, 0] > 1e-9) & (beside < within)]


def _left(size: float, covered: np.ndarray) -> list[tuple[float, float]]:
    """What intervals leave of a line of some size."""
    left, reached = [], 0.0
    for since, until in covered[np.argsort(covered[:, 0])]:
        if since > reached + 1e-9:
            left.append((reached, float(since)))
        reached = max(reached, float(until))
    if size > reached + 1e-9:
        left.append((reached, size))
    return left


class Referee:
    """Solids as one who looks from a direction meets them: triangles and edges on the sheet, with their heights."""

    def __init__(self, meshes: Sequence[Mesh], view: View) -> None:
        triangles = [mesh.triangles() for mesh in meshes]
        bodies = [
            number * 1000 + _bodies(each, len(mesh.vertices))
            for number, (mesh, each) in enumerate(zip(meshes, triangles, strict=True))
        ]
        turned = (
            np.concatenate([mesh.vertices[each] for mesh, each in zip(meshes, triangles, strict=True)]) @ view.axes.T
        )
        body = np.concatenate([of[each[:, 0]] for of, each in zip(bodies, triangles, strict=True)])
        a, b, c = turned.transpose(1, 0, 2)[..., :2]
        twice = _cross(b - a, c - a)
        standing = np.abs(twice) > 1e-9
        self.corners, self.twice, self.body = turned[standing], twice[standing], body[standing]
        self.low, self.high = self.corners.min(axis=1), self.corners.max(axis=1)
        drawn = [mesh.edges[could_be_drawn(mesh, view)] for mesh in meshes]
        self.edge_body = np.concatenate([of[each[:, 0]] for of, each in zip(bodies, drawn, strict=True)])
        self.edges = (
            np.concatenate([mesh.vertices[each] for mesh, each in zip(meshes, drawn, strict=True)]) @ view.axes.T
        )
        self.vertices = np.concatenate([mesh.vertices for mesh in meshes]) @ view.axes.T
        self.vertex_body = np.concatenate(bodies)
        self.edge_low, self.edge_high = (
            end[:, :2] + by for end, by in ((self.edges.min(axis=1), -WITHIN), (self.edges.max(axis=1), WITHIN))
        )

    @property
    def flat(self) -> np.ndarray:
        """The edges on the sheet, (e, 2, 2)."""
        return self.edges[..., :2]

    def look(self, stretch: np.ndarray) -> Sight:
        """What is seen at places along a stretch, (2, 2): an edge there is in sight if it is not covered on one side of it."""
        places = _places(stretch)
        along = ((self.edge_low <= stretch.max(axis=0)) & (self.edge_high >= stretch.min(axis=0))).all(axis=1)
        along = np.flatnonzero(along)
        along = along[_lie_along(self.flat[along], stretch)]
        tail, step = self.edges[along, 0], self.edges[along, 1] - self.edges[along, 0]
        size = np.hypot(step[:, 0], step[:, 1])
        share = ((places[:, None] - tail[:, :2]) * step[:, :2]).sum(axis=2) / size**2
        place, edge = np.nonzero((share > 0) & (share < 1))
        points = tail[edge] + share[place, edge][:, None] * step[edge]
        across = np.stack((-step[:, 1], step[:, 0]), axis=1)[edge] / size[edge, None]

        low, high = stretch.min(axis=0) - 2 * GRAZE, stretch.max(axis=0) + 2 * GRAZE
        near = np.flatnonzero(((self.low[:, :2] <= high) & (self.high[:, :2] >= low)).all(axis=1))
        nearer = np.einsum("wkt,tw->kt", self._weights(near, points[:, :2]), self.corners[near, :, 2]) - points[:, 2:]

        def over(by: float) -> np.ndarray:
            return (self._weights(near, points[:, :2] + by * across) >= -1e-9).all(axis=0)

        hides = nearer > DEPTH
        sides = over(BESIDE), over(-BESIDE)
        covered = [(side & hides).any(axis=1) for side in sides]
        hidden = covered[0] & covered[1]
        seen = np.zeros(len(places), bool)
        seen[place[~hidden]] = True
        judged = ~hidden if seen.any() else hidden
        other = self.body[near] != self.edge_body[along[edge]][:, None]
        if ((sides[0] | sides[1]) & (np.abs(nearer) <= 2 * DEPTH) & other)[judged].any():
            reason = Reason.TOUCHING
        elif any(self._met(number) for number in np.unique(along[edge[judged]])):
            reason = Reason.MEETING
        elif seen.any():
            reason = Reason.OUTLINE if (covered[0] | covered[1])[judged].any() else Reason.OPEN
        elif not (over(GRAZE) & hides).any(axis=1).all() or not (over(-GRAZE) & hides).any(axis=1).all():
            reason = Reason.GRAZING
        elif self._side_along(near[hides.any(axis=0)], stretch):
            reason = Reason.SEAM
        else:
            least = [np.where(side & hides, nearer, -np.inf).max(axis=1, initial=0) for side in sides]
            reason = Reason.CLOSE if len(points) and np.minimum(*least).min() < 1 else Reason.OPEN
        return Sight(float(seen.mean()), reason, bool(len(place)))

    def _side_along(self, triangles: np.ndarray, stretch: np.ndarray) -> bool:
        """Whether a side of a triangle lies along a stretch on the sheet."""
        corners = self.corners[triangles][..., :2]
        sides = np.stack((corners, np.roll(corners, -1, axis=1)), axis=2).reshape(-1, 2, 2)
        return bool(_lie_along(sides, stretch).any())

    def _met(self, edge: int) -> bool:
        """Whether a corner of another body lies on an edge, in space."""
        tail, step = self.edges[edge, 0], self.edges[edge, 1] - self.edges[edge, 0]
        away = self.vertices[self.vertex_body != self.edge_body[edge]] - tail
        share = np.clip(away @ step / (step @ step), 0, 1)
        return bool((np.linalg.norm(away - share[:, None] * step, axis=1) < 2 * DEPTH).any())

    def _weights(self, triangles: np.ndarray, at: np.ndarray) -> np.ndarray:
        """The barycentric weights of places of the sheet, (k, 2), in triangles, (3, k, t)."""
        a, b, c = self.corners[triangles].transpose(1, 0, 2)[..., :2]
        twice = self.twice[triangles]
        return np.stack([_cross(q - p, at[:, None] - p) / twice for p, q in ((b, c), (c, a), (a, b))])


def _bodies(triangles: np.ndarray, vertices: int) -> np.ndarray:
    """For every vertex the number of the closed body it is of."""
    sides = np.concatenate((triangles[:, :2], triangles[:, 1:]))
    joined = coo_array((np.ones(len(sides)), sides.T), shape=(vertices, vertices))
    return connected_components(joined, directed=False)[1]


def _places(stretch: np.ndarray) -> np.ndarray:
    """Places along a stretch, (p, 2), its very ends left out."""
    step = stretch[1] - stretch[0]
    size = float(np.hypot(*step))
    count = int(np.clip(size / PITCH, FEWEST, MOST))
    share = ENDS / size + (np.arange(count) + 0.5) / count * (1 - 2 * ENDS / size)
    return stretch[0] + share[:, None] * step


def _lie_along(lines: np.ndarray, other: np.ndarray) -> np.ndarray:
    """Which lines of the sheet, (n, 2, 2), another, (2, 2), lies along for some length."""
    step = lines[:, 1] - lines[:, 0]
    size = np.maximum(np.hypot(*step.T), 1e-9)[:, None]
    away = other - lines[:, :1]
    beside = np.abs(_cross(step[:, None], away)).max(axis=1) / size[:, 0]
    along = (away * step[:, None]).sum(axis=2) / size
    return (beside < WITHIN) & (along.max(axis=1) > 0) & (along.min(axis=1) < size[:, 0]) & (size[:, 0] > 1e-6)


def _cross(u: np.ndarray, v: np.ndarray) -> np.ndarray:
    return u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]
