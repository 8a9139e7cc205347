"""Faces with mouths in them cut into two simple polygons each, many faces at once.

The mouths of a face are strung on a chain from one side of its outline to the other: the outline and the chain part
the face in two. The chain follows a direction in which the mouths come one after another without overlapping, so that
its links cross no mouth; that they cross no outline is checked.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from .bores import pairs_of_equals

PLENTY = 2.0  # mm between mouths along the chain: a direction that leaves as much is taken without looking further
ROOM = 1e-3  # mm between mouths along the chain, at the least
FEW = np.radians((2.0, 92.0, 34.0, 124.0))  # directions tried first: rows and columns of holes, a little askew
ASKEW = (0.004, -0.004, 0.008, -0.008, 0.015, -0.015, 0.025, -0.025, 0.05, -0.05, 0.08, -0.08)  # radians off an axis
MANY = np.concatenate((np.add.outer((0, math.pi / 2), ASKEW).ravel(), math.pi * (np.arange(36) + 0.5) / 36))


@dataclass(frozen=True, slots=True, eq=False)
class Loops:
    """Loops of vertices, one after another: loop i is corners[starts[i]:starts[i + 1]]."""

    corners: np.ndarray
    starts: np.ndarray
    places: np.ndarray  # (c, 2) where each corner lies in the plane of its face

    @property
    def sizes(self) -> np.ndarray:
        """How many corners each has."""
        return np.diff(self.starts)


def parted(
    outlines: Loops, mouths: Loops, face: np.ndarray, centre: np.ndarray, reach: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Two polygons for each face that a chain can part: (corners of all polygons, sizes, face of each).

    The wood lies at the left hand of outlines and mouths. Mouth m, around `centre[m]` within `reach[m]`, is in face
    `face[m]`, a number of an outline; `face` is sorted and names every outline.
    """
    order, direction = _strung(centre, reach, face, len(outlines.sizes))
    ring, size = len(outlines.corners) + mouths.starts[:-1][order], mouths.sizes[order]
    outline, around = outlines.starts[:-1], outlines.sizes
    table, places = np.concatenate((outlines.corners, mouths.corners)), np.vstack((outlines.places, mouths.places))
    first, last = _extremes(places, ring, size, direction[face])
    begins = np.searchsorted(face, np.arange(len(around) + 1))
    head, tail = begins[:-1], begins[1:] - 1  # the first and last mouth of each chain
    start, clear_start = _anchored(outlines, direction, places[(ring + first)[head]], -1)
    end, clear_end = _anchored(outlines, direction, places[(ring + last)[tail]], 1)
    from_ = np.concatenate((outline + start, outline + end, (ring + last)[:-1]))
    to = np.concatenate(((ring + first)[head], (ring + last)[tail], (ring + first)[1:]))
    everyone = np.arange(len(around))
    link_face = np.concatenate((everyone, everyone, np.where(face[1:] == face[:-1], face[1:], -1)))
    good = clear_start & clear_end & np.isfinite(direction[:, 0]) & ~_crossed(outlines, places, from_, to, link_face)
    # every polygon is a stretch of the outline and, for each mouth of the chain, a stretch of its ring
    rank, count = np.arange(len(face)) - head[face], (tail - head + 1)[face]
    stretches = np.concatenate(
        (
            _stretches(2 * everyone, np.full(len(around), -1), outline, around, start, end),
            _stretches(2 * face, count - rank, ring, size, last, first),
            _stretches(2 * everyone + 1, np.full(len(around), -1), outline, around, end, start),
            _stretches(2 * face + 1, rank, ring, size, first, last),
        ),
        axis=1,
    )
    stretches = stretches[:, good[stretches[0] // 2]]
    polygon, _, base, size, begin, length = stretches[:, np.lexsort((stretches[1], stretches[0]))]
    step = np.arange(length.sum()) - np.repeat(np.cumsum(length) - length, length)
    corners = table[np.repeat(base, length) + (np.repeat(begin, length) + step) % np.repeat(size, length)]
    face_of = np.repeat(everyone[good], 2)
    return corners, np.bincount(polygon, length, 2 * len(around)).astype(int)[np.repeat(good, 2)], face_of


def _stretches(
    polygon: np.ndarray, turn: np.ndarray, base: np.ndarray, size: np.ndarray, first: np.ndarray, last: np.ndarray
) -> np.ndarray:
    """Stretches of loops: polygon, turn in it, place of the loop, its size, first corner, number of corners."""
    return np.stack((polygon, turn, base, size, first, (last - first) % size + 1))


def _strung(centre: np.ndarray, reach: np.ndarray, face: np.ndarray, faces: int) -> tuple[np.ndarray, np.ndarray]:
    """The mouths of each face in the order of its chain; and the direction, (faces, 2), NaN where there is none."""
    order, angle, room = _best(centre, reach, face, faces, FEW)
    poor = np.flatnonzero(room < PLENTY)
    if len(poor):
        hard = np.isin(face, poor)
        number = np.searchsorted(poor, face[hard])
        again, better, found = _best(centre[hard], reach[hard], number, len(poor), MANY)
        order[hard] = np.flatnonzero(hard)[again]
        angle[poor] = np.where(found > ROOM, better, np.nan)
    return order, np.stack((np.cos(angle), np.sin(angle)), axis=1)


def _best(
    centre: np.ndarray, reach: np.ndarray, face: np.ndarray, faces: int, angles: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """The direction that leaves most room between mouths: order of all mouths, angle and room of each face."""
    along = centre @ np.stack((np.cos(angles), np.sin(angles)))  # (m, d)
    order = np.empty(along.shape, int)
    for d in range(len(angles)):
        order[:, d] = np.lexsort((along[:, d], face))
    ranked = np.take_along_axis(along, order, 0)
    gap = ranked[1:] - ranked[:-1] - reach[order[1:]] - reach[order[:-1]]
    gap[face[1:] != face[:-1]] = np.inf
    first = np.searchsorted(face, np.arange(faces))
    room = np.minimum.reduceat(np.vstack((gap, np.full((1, len(angles)), np.inf))), first)
    room[np.bincount(face, minlength=faces) == 1] = np.inf
    room = np.round(room, 6)  # the same choice on every machine
    best = room.argmax(axis=1)
    return order[np.arange(len(face)), best[face]], angles[best], room[np.arange(faces), best]


def _extremes(
    places: np.ndarray, ring: np.ndarray, size: np.ndarray, direction: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """For each mouth which of its corners comes first and which last in its direction."""
    slot = np.minimum(np.arange(size.max())[None], size[:, None] - 1)
    along = np.einsum("mci,mi->mc", places[ring[:, None] + slot], direction)
    return along.argmin(axis=1), along.argmax(axis=1)


def _anchored(outlines: Loops, direction: np.ndarray, to: np.ndarray, side: int) -> tuple[np.ndarray, np.ndarray]:
    """For each face the corner of its outline nearest to a point, of those before (side −1) or beyond; if any is."""
    slot = np.arange(outlines.sizes.max())[None]
    real = slot < outlines.sizes[:, None]
    away = outlines.places[outlines.starts[:-1, None] + np.where(real, slot, 0)] - to[:, None]
    ahead = np.einsum("fci,fi->fc", away, direction) * side
    distance = np.where(real & (ahead > ROOM), (away * away).sum(axis=2), np.inf)
    nearest = distance.argmin(axis=1)
    return nearest, np.isfinite(distance[np.arange(len(nearest)), nearest])


def _crossed(outlines: Loops, places: np.ndarray, from_: np.ndarray, to: np.ndarray, face: np.ndarray) -> np.ndarray:
    """Whether any link of a face meets its outline other than at its own end, (faces,)."""
    crossed = np.zeros(len(outlines.sizes), bool)
    after = np.arange(1, len(outlines.corners) + 1)
    after[outlines.starts[1:] - 1] = outlines.starts[:-1]
    turn = _turn(outlines.places, outlines.places[after], outlines.places[after[after]])
    convex = np.minimum.reduceat(turn, outlines.starts[:-1]) > -1e-9
    asked = np.flatnonzero((face >= 0) & ~convex[face])
    asked = asked[np.argsort(face[asked], kind="stable")]
    link, edge = pairs_of_equals(face[asked], np.repeat(np.arange(len(convex)), outlines.sizes))
    link = asked[link]
    apart = (from_[link] != edge) & (from_[link] != after[edge])
    link, edge = link[apart], edge[apart]
    a, b, p, q = places[from_[link]], places[to[link]], places[edge], places[after[edge]]
    tiny = 1e-9
    meets = np.ones(len(link), bool)
    for one, other in ((_turn(a, b, p), _turn(a, b, q)), (_turn(p, q, a), _turn(p, q, b))):
        meets &= (np.minimum(one, other) <= tiny) & (np.maximum(one, other) >= -tiny)
    crossed[face[link[meets]]] = True
    return crossed


def _turn(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
    """Twice the area of triangles: positive when a → b → c turns left."""
    return (b[:, 0] - a[:, 0]) * (c[:, 1] - a[:, 1]) - (b[:, 1] - a[:, 1]) * (c[:, 0] - a[:, 0])
