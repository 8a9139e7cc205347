"""Convex solids side by side in arrays, with the planes and neighbours they have in common.

The solids of one part make up a job; jobs never meet, they only share the array operations.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from .convex import Convex

FEW = 8  # planes: boxes with a cut or two; rounds have many more


@dataclass(frozen=True, slots=True, eq=False)
class Solids:
    """All pieces and cutters side by side; planes are padded to one number each with planes that bind nothing."""

    normals: np.ndarray  # (k, m, 3)
    offsets: np.ndarray  # (k, m)
    count: np.ndarray  # (k,) how many planes are its own
    plane: np.ndarray  # (k, m) number of the plane, whichever way it looks
    surface: np.ndarray  # (k, m)
    seam: np.ndarray  # (k, m) bool: it touches a piece of the same whole there
    whole: np.ndarray  # (k,) what it is a piece of
    wood: np.ndarray  # (k,) bool: piece, not cutter
    low: np.ndarray  # (k, 3)
    high: np.ndarray  # (k, 3)
    job: np.ndarray  # (k,)
    meets: np.ndarray  # (p, 3): solid and two of its planes that meet in an edge
    plane_normal: np.ndarray  # (planes, 3) unit normal of each distinct plane
    plane_job: np.ndarray  # (planes,)

    def by_breadth(self, which: np.ndarray) -> Iterator[tuple[np.ndarray, int]]:
        """The places in `which` of solids of few planes, then of many, and the breadth at which they are padded: no round makes boxes dear."""
        few, most = self.count[which] <= FEW, self.normals.shape[1]
        for chosen, breadth in ((few, min(FEW, most)), (~few, most)):
            rows = np.flatnonzero(chosen)
            if len(rows):
                yield rows, breadth


@dataclass(frozen=True, slots=True, eq=False)
class Neighbours:
    """Solids of one job whose boxes touch: for each solid a run of `others`, itself left out."""

    others: np.ndarray
    start: np.ndarray  # (k,)
    count: np.ndarray  # (k,)

    @classmethod
    def of(cls, solids: Solids, tolerance: float) -> Neighbours:
        """The neighbours of all solids."""
        size = np.bincount(solids.job)
        first = np.cumsum(size) - size
        count = size[solids.job]
        a = np.repeat(np.arange(len(count)), count)
        b = first[solids.job[a]] + counted(count)
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
        return place, self.others[self.start[solid[place]] + counted(count)]


def side_by_side(jobs: Sequence[Sequence[Convex]], tolerance: float) -> Solids:
    """The solids in padded arrays, nearly equal planes of a job made equal."""
    every = [solid for job in jobs for solid in job]
    count = np.array([len(solid.planes) for solid in every])
    job = np.repeat(np.arange(len(jobs)), [len(job) for job in jobs])
    rows = np.array([plane for solid in every for plane in solid.planes])
    owner, slot = np.repeat(np.arange(len(every)), count), counted(count)
    number, sign, first = _distinct(rows, job[owner], tolerance)
    distinct = rows[first] * sign[first, None]
    rows = distinct[number] * sign[:, None]
    shape = (len(every), int(count.max()))
    normals, offsets = np.zeros((*shape, 3)), np.ones(shape)
    plane, surface = np.full(shape, -1), np.full(shape, -1)
    normals[owner, slot], offsets[owner, slot], plane[owner, slot] = rows[:, :3], rows[:, 3], number
    surface[owner, slot] = [number for solid in every for number in solid.surfaces]
    seam = np.zeros(shape, bool)
    broken = [(i, side) for i, solid in enumerate(every) for side in solid.seams]
    if broken:
        seam[tuple(np.array(broken).T)] = True
    wood, pieces = np.array([solid.is_wood for solid in every]), np.array([solid.whole for solid in every])
    # all wood of a job is one whole, and so are the pieces of a cut-out; of the others each is one
    alone = -1 - len(jobs) - np.arange(len(every))
    whole = np.where(wood, -1 - job, np.where(pieces >= 0, pieces * len(jobs) + job, alone))
    meets = np.concatenate([solid.meets for solid in every])
    of = np.repeat(np.arange(len(every)), [len(solid.meets) for solid in every])
    return Solids(
        normals=normals,
        offsets=offsets,
        count=count,
        plane=plane,
        surface=surface,
        seam=seam,
        whole=whole,
        wood=wood,
        low=np.array([solid.low for solid in every]),
        high=np.array([solid.high for solid in every]),
        job=job,
        meets=np.column_stack((of, meets)),
        plane_normal=distinct[:, :3],
        plane_job=job[owner[first]],
    )


def counted(counts: np.ndarray) -> np.ndarray:
    """0, 1, … for each run of the given lengths.

    >>> counted(np.array([2, 0, 3])).tolist()
    [0, 1, 0, 1, 2]
    """
    return np.arange(counts.sum()) - np.repeat(np.cumsum(counts) - counts, counts)


def clusters(values: np.ndarray, job: np.ndarray, gap: float) -> np.ndarray:
    """Numbers that are equal for values of one job that lie no more than `gap` from their neighbour."""
    order = np.lexsort((values, job))
    values, job = values[order], job[order]
    new = np.ones(len(values), bool)
    new[1:] = (values[1:] - values[:-1] > gap) | (job[1:] != job[:-1])
    number = np.empty(len(values), int)
    number[order] = np.cumsum(new) - 1
    return number


def combined(columns: list[np.ndarray]) -> np.ndarray:
    """One number for each row of several columns of numbers, equal where the rows are."""
    key = columns[0]
    for column in columns[1:]:
        width = int(column.max()) + 1
        if (int(key.max()) + 1) * width > 2**62:
            key = np.unique(key, return_inverse=True)[1]
        key = key * width + column
    return key


def _distinct(rows: np.ndarray, job: np.ndarray, tolerance: float) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """For each plane its number within its job and the sense it looks in (±1); for each number a plane that has it."""
    leading = np.take_along_axis(rows, (np.abs(rows[:, :3]) > 1e-7).argmax(axis=1)[:, None], 1)[:, 0]
    sign = np.where(leading < 0, -1.0, 1.0)
    gaps = (1e-8, 1e-8, 1e-8, tolerance)
    key = combined([clusters(rows[:, k] * sign, job, gap) for k, gap in enumerate(gaps)])
    _, first, number = np.unique(key, return_index=True, return_inverse=True)
    return number, sign, first
