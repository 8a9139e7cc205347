"""Plane regions, given as an outline and the loops of their holes, cut into simple polygons or triangles.

Points are an (n, 2) array; loops are lists of indices into it: an outline counter-clockwise, the loops of holes
clockwise, so that the region always lies at the left hand. No point is added: every polygon runs through points of
the loops it was cut from.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from .sweep import monotone_polygons, monotone_triangles

Loop = Sequence[int]

# a turn by an angle that no furniture has
SLANT = np.array(((math.cos(1.1), math.sin(1.1)), (-math.sin(1.1), math.cos(1.1))))
SLIVER = 1e-6  # mm²: twice the area of a triangle that is called thin
NOTHING = 1e-9  # mm, mm²: lengths and areas below this are rounding


def simple_polygons(points: np.ndarray, outline: Loop, holes: Sequence[Loop] = ()) -> list[list[int]]:
    """The region as polygons that visit no point twice; one more than there are holes, or a few more yet.

    >>> square = np.array([(0, 0), (9, 0), (9, 9), (0, 9), (3, 3), (3, 6), (6, 6), (6, 3)], float)
    >>> len(simple_polygons(square, [0, 1, 2, 3], [[4, 5, 6, 7]]))
    2
    """
    if not holes:
        return [list(outline)]
    for turned in (points, points @ SLANT):
        try:
            return monotone_polygons(_as_tuples(turned), [outline, *holes])
        except (ValueError, KeyError):  # loops that touch
            continue
    return convex_polygons(points, outline, holes)


def convex_polygons(points: np.ndarray, outline: Loop, holes: Sequence[Loop] = ()) -> list[list[int]]:
    """The region as convex polygons: its triangles, joined again wherever the joint stays convex."""
    return _joined(points, _well_shaped(points, outline, holes))


def triangles(points: np.ndarray, outline: Loop) -> list[list[int]]:
    """The inside of a loop as triangles, none of them flat, every point of the loop a corner."""
    best, thickness = None, 0.0
    for way in (_by_sweep, _by_slanting_sweep, _well_shaped):
        try:
            found = way(points, outline)
        except (ValueError, KeyError):  # a loop that touches itself
            continue
        thinnest = _thinnest(points, found)
        if thinnest > thickness:
            best, thickness = found, thinnest
        if thickness > SLIVER:
            break
    if best is None:
        raise ValueError(f"a loop of {len(outline)} corners crosses itself")
    return best


def _by_sweep(points: np.ndarray, outline: Loop) -> list[list[int]]:
    places = _as_tuples(points)
    pieces = monotone_polygons(places, [outline])
    return [triangle for piece in pieces for triangle in monotone_triangles(places, piece)]


def _by_slanting_sweep(points: np.ndarray, outline: Loop) -> list[list[int]]:
    """For points that stand in rows: no two are met at the same time."""
    return _by_sweep(points @ SLANT, outline)


def _thinnest(points: np.ndarray, found: list[list[int]]) -> float:
    """The least double area of triangles."""
    a, b, c = points[np.array(found)].transpose(1, 2, 0)
    return float(((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).min())


def _well_shaped(points: np.ndarray, outline: Loop, holes: Sequence[Loop] = ()) -> list[list[int]]:
    """The region as triangles, the best-shaped first; loops may touch. Takes its time: for small regions."""
    ring = _bridged(points, list(outline), [list(hole) for hole in holes]) if holes else list(outline)
    return _ears(points, ring)


def _as_tuples(points: np.ndarray) -> list[tuple[float, float]]:
    """Points for a sweep: rounded, so that what stands in a row is met in a row."""
    return [(x, y) for x, y in np.round(points, 6).tolist()]


def area(points: np.ndarray, loop: Loop) -> float:
    """The area inside a loop, negative when it runs clockwise.

    >>> area(np.array([(0, 0), (2, 0), (2, 3)], float), [0, 1, 2])
    3.0
    """
    x, y = points[np.asarray(loop)].T
    return float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2


def holds(points: np.ndarray, loop: Loop, point: np.ndarray) -> bool:
    """Whether a point lies inside a loop (crossing number; a point on the loop may go either way)."""
    a = points[np.asarray(loop)]
    b = np.roll(a, -1, axis=0)
    spans = (a[:, 1] > point[1]) != (b[:, 1] > point[1])
    a, b = a[spans], b[spans]
    crossing = a[:, 0] + (point[1] - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])
    return bool(np.count_nonzero(crossing > point[0]) % 2)


def is_convex(points: np.ndarray, loop: Loop) -> bool:
    """Whether a loop turns left or goes straight on at every corner."""
    step = np.roll(points[np.asarray(loop)], -1, axis=0) - points[np.asarray(loop)]
    before = np.roll(step, 1, axis=0)
    return bool((before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0] > -NOTHING).all())


# -------------------------------------------------------------------------------------------------------------- bridges
def _bridged(points: np.ndarray, ring: list[int], holes: list[list[int]]) -> list[int]:
    """One ring that runs around the outline and, over the shortest free bridges, around every hole."""
    while holes:
        position, which, corner = _shortest_bridge(points, ring, holes)
        hole = holes.pop(which)
        around = hole[corner:] + hole[:corner]
        if ring[position] == around[0]:
            ring = ring[: position + 1] + around[1:] + ring[position:]
        else:
            ring = ring[: position + 1] + around + [around[0]] + ring[position:]
    return ring


def _shortest_bridge(points: np.ndarray, ring: list[int], holes: list[list[int]]) -> tuple[int, int, int]:
    """(place in the ring, which hole, place in the hole) of the shortest bridge that crosses nothing."""
    where = [(which, corner) for which, hole in enumerate(holes) for corner in range(len(hole))]
    targets = np.array([holes[which][corner] for which, corner in where])
    distance = ((points[np.asarray(ring)][:, None] - points[targets][None]) ** 2).sum(axis=2)
    loops = [ring, *holes]
    a = points[np.concatenate([np.asarray(loop) for loop in loops])]
    b = points[np.concatenate([np.roll(np.asarray(loop), -1) for loop in loops])]
    for flat in np.argsort(distance, axis=None, kind="stable"):
        position, target = divmod(int(flat), len(targets))
        which, corner = where[target]
        hole = holes[which]
        start, end = points[ring[position]], points[targets[target]]
        if ring[position] == targets[target]:
            start, end = points[ring[position]], points[hole[(corner + 1) % len(hole)]]
            if _opens_toward(points, ring, position, end):
                return position, which, corner
        elif (
            _opens_toward(points, ring, position, end)
            and _opens_toward(points, hole, corner, start)
            and _is_free(a, b, start, end)
        ):
            return position, which, corner
    raise ValueError("no free bridge from the outline to a hole")


def _opens_toward(points: np.ndarray, ring: list[int], position: int, target: np.ndarray) -> bool:
    """Whether the region at one corner of a ring opens toward a target."""
    before, here, after = points[ring[position - 1]], points[ring[position]], points[ring[(position + 1) % len(ring)]]
    left_of_in, left_of_out = _turn(before, here, target), _turn(here, after, target)
    if _turn(before, here, after) > NOTHING:
        return left_of_in > NOTHING and left_of_out > NOTHING
    return left_of_in > NOTHING or left_of_out > NOTHING


def _is_free(a: np.ndarray, b: np.ndarray, start: np.ndarray, end: np.ndarray) -> bool:
    """Whether the bridge from `start` to `end` meets none of the edges a → b, save at its own ends."""
    step, edge = end - start, b - a
    across = step[0] * edge[:, 1] - step[1] * edge[:, 0]
    offset = a - start
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (offset[:, 0] * edge[:, 1] - offset[:, 1] * edge[:, 0]) / across
        s = (offset[:, 0] * step[1] - offset[:, 1] * step[0]) / across
    tiny = 1e-9
    crosses = (t > tiny) & (t < 1 - tiny) & (s > -tiny) & (s < 1 + tiny)
    length = math.hypot(*step)
    beside = np.abs(offset @ np.array((-step[1], step[0]))) / length < 1e-7
    along = offset @ step / length
    return not (crosses.any() or (beside & (along > 1e-7) & (along < length - 1e-7)).any())


# ----------------------------------------------------------------------------------------------------------------- ears
def _ears(points: np.ndarray, ring: list[int]) -> list[list[int]]:
    """The triangles of a ring (which may touch itself at bridges), best-shaped ears first."""
    found: list[list[int]] = []
    corners = np.asarray(ring)
    places = points[corners]
    score = np.array([_ear(places, i) for i in range(len(corners))])
    while len(corners) > 3:
        i = int(score.argmax())
        if score[i] <= 0:
            score = np.array([_ear(places, j) for j in range(len(corners))])
            i = int(score.argmax())
            if score[i] <= 0:
                raise ValueError("a ring that crosses itself has no ear")
        n = len(corners)
        found.append([int(corners[i - 1]), int(corners[i]), int(corners[(i + 1) % n])])
        corners, places, score = np.delete(corners, i), np.delete(places, i, axis=0), np.delete(score, i)
        for j in (i - 1, i):
            score[j % (n - 1)] = _ear(places, j % (n - 1))
    found.append([int(c) for c in corners])
    return found


def _ear(places: np.ndarray, i: int) -> float:
    """How good an ear corner i is: 0 for none, near 1 for a well-shaped triangle."""
    n = len(places)
    a, b, c = places[i - 1], places[i], places[(i + 1) % n]
    double_area = _turn(a, b, c)
    longest = max(((b - a) ** 2).sum(), ((c - b) ** 2).sum(), ((a - c) ** 2).sum())
    if double_area <= 1e-9 * longest:
        return 0.0
    if n > 3 and not (_cone(places, (i - 1) % n, c) and _cone(places, (i + 1) % n, a)):
        return 0.0
    slack = -1e-9 * longest
    inside = (_turns(a, b, places) >= slack) & (_turns(b, c, places) >= slack) & (_turns(c, a, places) >= slack)
    for corner in (a, b, c):
        inside &= (places != corner).any(axis=1)
    return 0.0 if inside.any() else float(double_area / longest)


def _cone(places: np.ndarray, i: int, target: np.ndarray) -> bool:
    """Whether the region at corner i opens toward the target, its own edges counted in."""
    before, here, after = places[i - 1], places[i], places[(i + 1) % len(places)]
    left_of_in, left_of_out = _turn(before, here, target), _turn(here, after, target)
    if _turn(before, here, after) > 0:
        return left_of_in >= -NOTHING and left_of_out >= -NOTHING
    return left_of_in >= -NOTHING or left_of_out >= -NOTHING


def _turn(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> float:
    """Twice the area of a triangle: positive when a → b → c turns left."""
    return float((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]))


def _turns(a: np.ndarray, b: np.ndarray, c: np.ndarray) -> np.ndarray:
    return (b[0] - a[0]) * (c[:, 1] - a[1]) - (b[1] - a[1]) * (c[:, 0] - a[0])


# -------------------------------------------------------------------------------------------------------- joining again
def _joined(points: np.ndarray, pieces: list[list[int]]) -> list[list[int]]:
    """Pieces joined over their common edges, longest edge first, as long as both ends of the edge stay convex."""
    polygons: list[list[int] | None] = [list(piece) for piece in pieces]
    owner = list(range(len(polygons)))
    sides = {(piece[k - 1], piece[k]): i for i, piece in enumerate(pieces) for k in range(len(piece))}
    inner = [(a, b) for (a, b) in sides if a < b and (b, a) in sides]
    inner.sort(key=lambda e: (-float(((points[e[0]] - points[e[1]]) ** 2).sum()), e))
    for a, b in inner:
        i, j = _root(owner, sides[a, b]), _root(owner, sides[b, a])
        joined = _join(points, polygons[i], polygons[j], a, b) if i != j else None
        if joined:
            polygons[i], polygons[j], owner[j] = joined, None, i
    return [polygon for polygon in polygons if polygon]


def _join(points: np.ndarray, left: list[int], right: list[int], a: int, b: int) -> list[int] | None:
    """The polygon of two that share the edge a → b (in `left`), or None if it is not convex."""
    i, j = left.index(b), right.index(a)
    joined = left[i:] + left[:i] + (right[j:] + right[:j])[1:-1]
    k = len(left) - 1  # where a stands
    convex = all(_turn(*(points[joined[(m + d) % len(joined)]] for d in (-1, 0, 1))) >= -NOTHING for m in (0, k))
    return joined if convex and len(set(joined)) == len(joined) else None


def _root(owner: list[int], i: int) -> int:
    while owner[i] != i:
        owner[i] = owner[owner[i]]
        i = owner[i]
    return i
