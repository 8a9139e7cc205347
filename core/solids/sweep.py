"""A plane region parted into monotone polygons by a sweep along x, and those into triangles.

The region lies at the left hand of its loops, which must not touch. Points are met in the order of x, then y, as if
the plane were sheared a little, so that vertical sides need no case of their own. Method: de Berg et al.,
Computational Geometry, ch. 3.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

FLAT = 1e-6  # mm²: three corners that span no more than half of it are in line

Point = tuple[float, float]


def monotone_polygons(points: Sequence[Point], loops: Sequence[Sequence[int]]) -> list[list[int]]:
    """The region as polygons that every vertical line meets in one stretch; `points` are indexed by the loops."""
    before, after = {}, {}
    for loop in loops:
        for a, b in zip(loop, [*loop[1:], loop[0]], strict=True):
            after[a], before[b] = b, a
    if len(after) < sum(len(loop) for loop in loops):
        raise ValueError("loops of a region touch")
    return _parted(points, after, _diagonals(points, before, after))


def monotone_triangles(points: Sequence[Point], polygon: list[int]) -> list[list[int]]:
    """The triangles of one such polygon, every corner used, none flat."""
    n = len(polygon)
    order = sorted(range(n), key=lambda i: points[polygon[i]])
    first, last = order[0], order[-1]
    lower = {(first + k) % n for k in range((last - first) % n)}  # walking on from the first corner is the lower chain
    found: list[list[int]] = []
    stack = order[:2]
    for i in order[2:-1]:
        if (i in lower) != (stack[-1] in lower):
            _fan(found, polygon, stack, i, i not in lower)
            stack = [stack[-1], i]
        else:
            _cut_ears(found, points, polygon, stack, i, i in lower)
    _fan(found, polygon, stack, last, stack[-1] in lower)
    return found


def _fan(found: list[list[int]], polygon: list[int], stack: list[int], i: int, below: bool) -> None:
    """Triangles from corner i to every side of the stack, which is the lower chain if `below`."""
    for a, b in pairwise(stack):
        a, b = (a, b) if below else (b, a)
        found.append([polygon[a], polygon[b], polygon[i]])


def _cut_ears(
    found: list[list[int]], points: Sequence[Point], polygon: list[int], stack: list[int], i: int, below: bool
) -> None:
    """Triangles between corner i and the end of the stack on its own chain, as long as they lie inside."""
    while len(stack) > 1:
        a, b, c = polygon[stack[-2]], polygon[stack[-1]], polygon[i]
        if not below:
            a, c = c, a
        if _turn(points[a], points[b], points[c]) <= FLAT:
            break
        found.append([a, b, c])
        stack.pop()
    stack.append(i)


def _turn(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


# ------------------------------------------------------------------------------------------------------------- sweeping
def _diagonals(points: Sequence[Point], before: dict[int, int], after: dict[int, int]) -> list[tuple[int, int]]:
    """The diagonals that do away with every corner where the region opens or closes within itself."""
    # of each side that the sweep line meets with the region above it, named by its first point
    helper: dict[int, int] = {}
    merges: set[int] = set()
    found: list[tuple[int, int]] = []

    def close(side: int, corner: int) -> None:
        if helper[side] in merges:
            found.append((corner, helper[side]))

    for v in sorted(after, key=points.__getitem__):
        here, p, q = points[v], before[v], after[v]
        from_left, to_right = points[p] < here, points[q] > here
        if from_left and to_right:  # along the lower border
            close(p, v)
            del helper[p]
            helper[v] = v
        elif not from_left and not to_right:  # along the upper border
            side = _below(points, after, helper, here)
            close(side, v)
            helper[side] = v
        elif to_right:
            if _turn(points[p], here, points[q]) < 0:  # the region parts
                side = _below(points, after, helper, here)
                found.append((v, helper[side]))
                helper[side] = v
            helper[v] = v
        else:
            close(p, v)
            del helper[p]
            if _turn(points[p], here, points[q]) < 0:  # two parts of the region come together
                side = _below(points, after, helper, here)
                close(side, v)
                helper[side] = v
                merges.add(v)
    return found


def _below(points: Sequence[Point], after: dict[int, int], sides: dict[int, int], here: Point) -> int:
    """The highest of some sides that pass below a point."""
    best, height = -1, -math.inf
    for side in sides:
        a, b = points[side], points[after[side]]
        if _turn(a, b, here) > 0:
            y = a[1] if b[0] == a[0] else a[1] + (here[0] - a[0]) / (b[0] - a[0]) * (b[1] - a[1])
            if y > height:
                best, height = side, y
    if best < 0:
        raise ValueError("loops of a region cross")
    return best


# -------------------------------------------------------------------------------------------------------------- parting
def _parted(points: Sequence[Point], after: dict[int, int], diagonals: list[tuple[int, int]]) -> list[list[int]]:
    """The polygons that diagonals part a region into."""
    ways: dict[int, list[int]] = {}
    for a, b in diagonals:
        ways.setdefault(a, [after[a]]).append(b)
        ways.setdefault(b, [after[b]]).append(a)
    angles = {v: sorted((_angle(points[v], points[w]), w) for w in targets) for v, targets in ways.items()}

    def onward(u: int, v: int) -> int:
        """Where the border of the polygon at the left of u → v goes on: the next way clockwise from the way back."""
        if v not in angles:
            return after[v]
        turns = angles[v]
        return turns[bisect_left(turns, (_angle(points[v], points[u]) - 1e-12, -1)) - 1][1]

    waiting = dict.fromkeys([*after.items(), *diagonals, *((b, a) for a, b in diagonals)])
    found = []
    while waiting:
        start = u, v = next(iter(waiting))
        polygon = []
        while True:
            del waiting[u, v]
            polygon.append(u)
            u, v = v, onward(u, v)
            if (u, v) == start:
                break
        found.append(polygon)
    return found


def _angle(a: Point, b: Point) -> float:
    return math.atan2(b[1] - a[1], b[0] - a[0])
