"""Convex regions of space, and the stretches of straight lines that lie in them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .runs import spread

TABLE = 1 << 19  # pairs of boxes compared in one table; more are first thinned by blocks
BLOCK = 32  # boxes in a block


@dataclass(frozen=True, slots=True, eq=False)
class Boxes:
    """Bounds of n boxes in k coordinates, low and high, each (k, n); infinite where there are none."""

    low: np.ndarray
    high: np.ndarray

    def __len__(self) -> int:
        return self.low.shape[1]

    def around_runs(self, starts: np.ndarray) -> Boxes:
        """One box around each run of boxes, (q + 1,) starts, none of the runs empty."""
        if len(starts) < 2:
            return self
        first = starts[:-1]
        return Boxes(np.minimum.reduceat(self.low, first, axis=1), np.maximum.reduceat(self.high, first, axis=1))

    def beside(self, *others: Boxes) -> Boxes:
        """These boxes and others, in their order."""
        boxes = (self, *others)
        return Boxes(np.concatenate([b.low for b in boxes], axis=1), np.concatenate([b.high for b in boxes], axis=1))


@dataclass(frozen=True, slots=True, eq=False)
class Volumes:
    """v convex regions, each all points p with planes[:, :3] @ p <= planes[:, 3] for the planes of its run."""

    planes: np.ndarray  # (c, 4)
    starts: np.ndarray  # (v + 1,)
    boxes: Boxes  # (v,)
    is_box: np.ndarray  # (v,) bool: what lies in its box lies in the region
    owner: np.ndarray  # (v,) a number that each region carries
    near_by: np.ndarray  # (q + 1,) starts of runs of regions that are close together

    @classmethod
    def gathered(
        cls,
        volume: list[np.ndarray],
        planes: list[np.ndarray],
        boxes: Boxes,
        owner: np.ndarray,
        place: np.ndarray,
        is_box: np.ndarray | None = None,
    ) -> Volumes:
        """Regions from planes in any order, each given with the number of its region.

        Neighbouring regions of equal `place`, (v,), are close together.
        """
        number = np.concatenate(volume)
        order = np.argsort(number, kind="stable")
        count = len(owner)
        starts = np.append(0, np.cumsum(np.bincount(number, minlength=count)))
        near_by = np.append(np.flatnonzero(np.diff(place, prepend=-1)), count)
        is_box = np.zeros(count, bool) if is_box is None else is_box
        return cls(np.concatenate(planes)[order], starts, boxes, is_box, owner, near_by)


def meeting(a: Boxes, b: Boxes) -> tuple[np.ndarray, np.ndarray]:
    """The pairs (i, j) of boxes a[i] and b[j] that overlap or touch."""
    if len(a) * len(b) <= TABLE:
        return np.nonzero(_table(a, b))
    starts_a, starts_b = (np.append(np.arange(0, len(boxes), BLOCK), len(boxes)) for boxes in (a, b))
    blocks_a = a.around_runs(starts_a)
    i, j = meeting(blocks_a, b.around_runs(starts_b))
    which, j = spread(starts_b, j)
    i, j = met(blocks_a, i[which], b, j)
    which, i = spread(starts_a, i)
    return met(a, i, b, j[which])


def met(a: Boxes, i: np.ndarray, b: Boxes, j: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Of the pairs of boxes a[i] and b[j], those that overlap or touch."""
    for k in range(len(a.low)):
        kept = a.low[k][i] <= b.high[k][j]
        i, j = i[kept], j[kept]
        if not np.isneginf(b.low[k]).all():
            kept = a.high[k][i] >= b.low[k][j]
            i, j = i[kept], j[kept]
    return i, j


def within(a: Boxes, i: np.ndarray, b: Boxes, j: np.ndarray) -> np.ndarray:
    """Whether box a[i] lies inside box b[j], (pairs,) bool."""
    inside = np.ones(len(i), bool)
    for k in range(len(a.low)):
        inside &= (a.high[k][i] <= b.high[k][j]) & (a.low[k][i] >= b.low[k][j])
    return inside


def clipped(
    tails: np.ndarray, heads: np.ndarray, line: np.ndarray, volumes: Volumes, volume: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """From where to where each line lies in a region, as fractions of its length: (low, high), nowhere if low >= high.

    Line i runs from tails[i] to heads[i], (n, 3); pair k is line[k] in region volume[k].
    """
    low, high = np.zeros(len(line)), np.ones(len(line))
    counts = np.diff(volumes.starts)[volume]
    order = np.argsort(-counts, kind="stable")
    plane = volumes.starts[volume[order]]
    (x, y, z), (u, v, w) = (np.ascontiguousarray(ends[line[order]].T) for ends in (tails, heads))
    normals = np.ascontiguousarray(volumes.planes.T)
    lo, hi = np.zeros(len(line)), np.ones(len(line))
    still = np.searchsorted(-counts[order], -np.arange(counts.max(initial=0)), side="left")
    with np.errstate(divide="ignore", invalid="ignore"):
        for k, n in enumerate(still):
            a, b, c, d = normals.take(plane[:n] + k, axis=1)
            before = a * x[:n] + b * y[:n] + c * z[:n] - d
            after = a * u[:n] + b * v[:n] + c * w[:n] - d
            crossing = before / (
                before - after
            )  # infinite on a line along the plane, and of the sign that is right then
            np.maximum(lo[:n], np.where(before > 0, crossing, 0.0), out=lo[:n])
            np.minimum(hi[:n], np.where(after > 0, crossing, 1.0), out=hi[:n])
    low[order], high[order] = lo, hi
    return low, high


def _table(a: Boxes, b: Boxes) -> np.ndarray:
    """Whether box a[i] and box b[j] overlap or touch, (n, m) bool."""
    table = np.ones((len(a), len(b)), bool)
    for k in range(len(a.low)):
        table &= a.low[k][:, None] <= b.high[k]
        if not np.isneginf(b.low[k]).all():
            table &= a.high[k][:, None] >= b.low[k]
    return table
