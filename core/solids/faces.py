"""The edges of solids, each known to part two planes, gathered into connected faces."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from . import polygons
from .mesh import flattened

Loop = list[int]


@dataclass(frozen=True, slots=True, eq=False)
class Outlines:
    """The edges of solids before their faces are known; each solid is a job.

    Planes are numbered by the rows of `normals`, which look outward; walking an edge from its first end to its
    second, seen from outside, the wood of plane `left` lies at the left hand and that of plane `right` at the right.
    """

    vertices: np.ndarray  # (n, 3)
    ends: np.ndarray  # (e, 2)
    left: np.ndarray  # (e,)
    right: np.ndarray  # (e,)
    smooth: np.ndarray  # (e,) bool: between two facets of one round
    furrow: np.ndarray  # (e,) bool: a plane face runs on past it, which it touches from behind
    normals: np.ndarray  # (planes, 3)
    job: np.ndarray  # (planes,)


@dataclass(frozen=True, slots=True, eq=False)
class Faces:
    """Solids as connected faces and the edges between them; the wood lies at the left hand of outlines and holes."""

    outlines: Outlines
    edge_faces: np.ndarray  # (e, 2) face at the left hand, face at the right, of every edge of `outlines`
    plane: np.ndarray  # (f,) of each face
    corners: np.ndarray  # vertices of the outlines of all faces, one after another
    sizes: np.ndarray  # (f,) corners of each outline
    holes: dict[int, list[Loop]]  # vertices of the holes of the faces that have some


def gathered(outlines: Outlines) -> Faces:
    """The faces whose edges are given, without vertices at which an edge merely goes straight on.

    Raises ValueError if the edges of some plane do not close.
    """
    if not len(outlines.ends):
        nothing = np.empty(0, int)
        return Faces(outlines, np.empty((0, 2), int), nothing, nothing, nothing, {})
    outlines = _kept_apart(_straightened(outlines))
    halves = _Halves.of(outlines)
    loops = _Loops.of(outlines, halves)
    outline_of = _nested(outlines, halves, loops)
    is_outline = outline_of == np.arange(len(outline_of))
    number = (np.cumsum(is_outline) - 1)[outline_of]
    face = np.zeros(len(halves.plane), int)
    face[loops.halves] = np.repeat(number, loops.sizes)
    holes: dict[int, list[Loop]] = {}
    for hole in np.flatnonzero(~is_outline).tolist():
        holes.setdefault(int(number[hole]), []).append(halves.start[loops.loop(hole)].tolist())
    corners = halves.start[loops.halves[np.repeat(is_outline, loops.sizes)]]
    return Faces(outlines, face.reshape(-1, 2), loops.plane[is_outline], corners, loops.sizes[is_outline], holes)


# ------------------------------------------------------------------------------------------------------- straight edges
def _straightened(outlines: Outlines) -> Outlines:
    """The same solids without vertices at which an edge merely goes straight on."""
    count = len(outlines.vertices)
    turned = outlines.left > outlines.right  # one sense for each pair of planes, so that a run of edges runs one way
    tail = np.where(turned, outlines.ends[:, 1], outlines.ends[:, 0])
    head = np.where(turned, outlines.ends[:, 0], outlines.ends[:, 1])
    low, high = np.minimum(outlines.left, outlines.right), np.maximum(outlines.left, outlines.right)
    leaving, arriving = np.full(count, -1), np.full(count, -1)
    leaving[tail], arriving[head] = np.arange(len(tail)), np.arange(len(head))
    passed = (np.bincount(tail, minlength=count) == 1) & (np.bincount(head, minlength=count) == 1)
    passed &= (low[leaving] == low[arriving]) & (high[leaving] == high[arriving])
    onward = np.where(passed, head[leaving], np.arange(count))
    while (onward[onward] != onward).any():
        onward = onward[onward]
    kept = np.flatnonzero(~passed[tail])
    ends = np.stack((tail[kept], onward[head[kept]]), axis=1)
    used = np.zeros(count, bool)
    used[ends] = True
    number = np.cumsum(used) - 1
    return Outlines(
        outlines.vertices[used],
        number[ends],
        low[kept],
        high[kept],
        outlines.smooth[kept],
        outlines.furrow[kept],
        outlines.normals,
        outlines.job,
    )


def _kept_apart(outlines: Outlines) -> Outlines:
    """The same solids, but where one touches itself along an edge, each edge there broken by a vertex of its own.

    So no diagonal of a face that such an edge touches from behind can lie on it.
    """
    low, high = outlines.ends.min(axis=1), outlines.ends.max(axis=1)
    _, number, times = np.unique(low * len(outlines.vertices) + high, return_inverse=True, return_counts=True)
    double = np.flatnonzero((times[number] > 1) | outlines.furrow)
    if not len(double):
        return outlines
    middle = len(outlines.vertices) + np.arange(len(double))
    vertices = np.vstack((outlines.vertices, outlines.vertices[outlines.ends[double]].mean(axis=1)))
    ends = outlines.ends.copy()
    second = np.stack((middle, ends[double, 1]), axis=1)
    ends[double, 1] = middle
    columns = (outlines.left, outlines.right, outlines.smooth, outlines.furrow)
    again = [np.concatenate((a, a[double])) for a in columns]
    return Outlines(vertices, np.vstack((ends, second)), *again, outlines.normals, outlines.job)


# ---------------------------------------------------------------------------------------------------------------- loops
@dataclass(frozen=True, slots=True, eq=False)
class _Halves:
    """Both sides of every edge: side 2·e runs from its first end to its second with the left plane, 2·e + 1 back."""

    start: np.ndarray
    end: np.ndarray
    plane: np.ndarray

    @classmethod
    def of(cls, outlines: Outlines) -> _Halves:
        plane = np.stack((outlines.left, outlines.right), axis=1)
        return cls(outlines.ends.ravel(), outlines.ends[:, ::-1].ravel(), plane.ravel())


@dataclass(frozen=True, slots=True, eq=False)
class _Loops:
    """Loops of half-edges, none of which visits a vertex twice."""

    halves: np.ndarray  # loop after loop
    sizes: np.ndarray  # (l,)
    starts: np.ndarray  # (l,)
    plane: np.ndarray  # (l,)

    @classmethod
    def of(cls, outlines: Outlines, halves: _Halves) -> _Loops:
        found = _followed(outlines, halves)
        sizes = np.array([len(loop) for loop in found], int)
        every = np.array([half for loop in found for half in loop], int)
        starts = np.cumsum(sizes) - sizes
        return cls(every, sizes, starts, halves.plane[every[starts]])

    def loop(self, i: int) -> np.ndarray:
        """The half-edges of one loop."""
        return self.halves[self.starts[i] : self.starts[i] + self.sizes[i]]


def _followed(outlines: Outlines, halves: _Halves) -> list[Loop]:
    """The loops of half-edges of all planes."""
    count = len(outlines.vertices)
    leaving, arriving = halves.plane * count + halves.start, halves.plane * count + halves.end
    order = np.argsort(leaving, kind="stable")
    ranked = leaving[order]
    if not np.array_equal(ranked, np.sort(arriving)):
        raise ValueError("the edges of a face do not close")
    place, beyond = np.searchsorted(ranked, arriving), np.searchsorted(ranked, arriving, side="right")
    after = order[place]
    crowded = np.flatnonzero(beyond - place > 1).tolist()
    for half in crowded:
        after[half] = _next_at_touching(outlines, halves, half, order[place[half] : beyond[half]])
    loops = _cycles(after.tolist())
    if not crowded:
        return loops
    start = halves.start.tolist()
    return [part for loop in loops for part in _without_touching(loop, start)]


def _next_at_touching(outlines: Outlines, halves: _Halves, half: int, choices: np.ndarray) -> int:
    """Where loops touch: of the half-edges that leave, the one that bounds the same wedge of the face."""
    flat = flattened(outlines.vertices, outlines.normals[halves.plane[half]])
    here = flat[halves.end[half]]
    back = flat[halves.start[half]] - here
    look = flat[halves.end[choices]] - here
    clockwise = np.arctan2(back[1] * look[:, 0] - back[0] * look[:, 1], look @ back) % (2 * math.pi)
    clockwise[clockwise < 1e-9] += 2 * math.pi  # the way back belongs to the face across the edge
    return int(choices[clockwise.argmin()])


def _cycles(after: list[int]) -> list[Loop]:
    """The cycles of a permutation."""
    found, seen = [], [False] * len(after)
    for first in range(len(after)):
        if seen[first]:
            continue
        loop, half = [], first
        while not seen[half]:
            seen[half] = True
            loop.append(half)
            half = after[half]
        found.append(loop)
    return found


def _without_touching(loop: Loop, start: list[int]) -> list[Loop]:
    """A loop parted wherever it comes back to a vertex."""
    found: list[Loop] = []
    path: Loop = []
    at: dict[int, int] = {}
    for half in loop:
        vertex = start[half]
        if vertex in at:
            cut = at[vertex]
            found.append(path[cut:])
            for other in path[cut:]:
                del at[start[other]]
            del path[cut:]
        at[vertex] = len(path)
        path.append(half)
    return [*found, path]


# -------------------------------------------------------------------------------------------------------------- nesting
def _nested(outlines: Outlines, halves: _Halves, loops: _Loops) -> np.ndarray:
    """For each loop the outline that it is a hole in; its own number if it is the outline of a face."""
    everyone = np.arange(len(loops.sizes))
    start, end = (outlines.vertices[ends[loops.halves]] for ends in (halves.start, halves.end))
    tail = np.repeat(start[loops.starts], loops.sizes, axis=0)
    area = np.add.reduceat(np.cross(start - tail, end - tail), loops.starts)
    size = (area * outlines.normals[loops.plane]).sum(axis=1)
    outer = np.flatnonzero(size > 0)
    outer = outer[np.argsort(loops.plane[outer], kind="stable")]
    first = np.searchsorted(loops.plane[outer], loops.plane)
    count = np.searchsorted(loops.plane[outer], loops.plane, side="right") - first
    hole = size <= 0
    if (hole & (count == 0)).any():
        raise ValueError("a hole lies in no face")
    outline_of = np.where(hole, outer[np.minimum(first, len(outer) - 1)], everyone)
    for i in np.flatnonzero(hole & (count > 1)).tolist():
        outline_of[i] = _holder(outlines, halves, loops, size, outer[first[i] : first[i] + count[i]].tolist(), i)
    return outline_of


def _holder(outlines: Outlines, halves: _Halves, loops: _Loops, size: np.ndarray, outer: list[int], hole: int) -> int:
    """Which of some outlines a hole lies in: the smallest that holds a point just inside the face beside it."""
    flat = flattened(outlines.vertices, outlines.normals[loops.plane[hole]])
    side = loops.loop(hole)[0]
    a, b = flat[halves.start[side]], flat[halves.end[side]]
    step = b - a
    beside = (a + b) / 2 + 1e-6 * np.array((-step[1], step[0])) / math.hypot(*step)
    around = [i for i in outer if polygons.holds(flat, halves.start[loops.loop(i)], beside)]
    if not around:
        raise ValueError("a hole lies in no face")
    return min(around, key=lambda i: float(size[i]))
