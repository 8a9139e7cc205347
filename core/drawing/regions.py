"""Outlines in a plane split into convex ones."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

STRAIGHT = 1e-9  # sine of a bend that counts as none
SHAPE_STEP = 1e-6  # mm; outlines whose corners agree to this share one split


def convex_loops(points: np.ndarray) -> list[list[int]]:
    """The simple outline through points, (n, 2), counter-clockwise, as convex loops of indices; no point is added.

    Raises ValueError if the outline crosses or touches itself.

    >>> convex_loops(np.array([(0, 0), (2, 0), (2, 1), (1, 1), (1, 2), (0, 2)], float))
    [[0, 1, 2, 3], [0, 3, 4, 5]]
    """
    shape = np.round((points - points[0]) / SHAPE_STEP).astype(np.int64)
    return [list(loop) for loop in _split(shape.tobytes())]


@lru_cache(maxsize=4096)
def _split(shape: bytes) -> tuple[tuple[int, ...], ...]:
    points = np.frombuffer(shape, dtype=np.int64).reshape(-1, 2).astype(float) * SHAPE_STEP
    diagonals = _Diagonals.of(points)
    found: list[list[int]] = []
    waiting = [np.arange(len(points))]
    while waiting:
        loop = waiting.pop()
        turns = _turns(points[loop])
        if (turns >= -STRAIGHT).all():
            found.append(loop.tolist())
            continue
        i, j = diagonals.best(loop, turns < -STRAIGHT)
        waiting.append(np.concatenate((loop[j:], loop[: i + 1])))
        waiting.append(loop[i : j + 1])
    return tuple(tuple(loop) for loop in sorted(_from_least(loop) for loop in found))


@dataclass(frozen=True, slots=True, eq=False)
class _Diagonals:
    """The free diagonals from the hollow corners of an outline.

    They serve for its pieces too: a straight way between two corners of a piece cannot leave the piece over the cut, for it
    would have to come back over it.
    """

    points: np.ndarray  # (n, 2)
    row: np.ndarray  # (n,) the row of each hollow corner in `free`, −1 for the others
    free: np.ndarray  # (h, n) bool

    @classmethod
    def of(cls, points: np.ndarray) -> _Diagonals:
        hollow = _turns(points) < -STRAIGHT
        return cls(points, np.where(hollow, np.cumsum(hollow) - 1, -1), _free(points, hollow))

    def best(self, loop: np.ndarray, hollow: np.ndarray) -> tuple[int, int]:
        """Two places in a loop of corners, i < j: the diagonal that leaves fewest hollow corners, then the shortest."""
        corners, starts = self.points[loop], np.flatnonzero(hollow)
        n = len(loop)
        before, after = _previous(corners) - corners, _next(corners) - corners
        away = corners[None] - corners[starts, None]  # (h, n, 2)
        free = self.free[self.row[loop[starts]][:, None], loop]
        free[np.arange(len(starts))[:, None], (starts[:, None] + np.array((-1, 0, 1))) % n] = False
        if not free.any():
            raise ValueError(f"an outline of {n} corners crosses or touches itself")
        resolved = _resolves(before[starts, None], after[starts, None], away).astype(int)
        resolved += hollow & _resolves(before, after, -away)
        most = resolved == resolved[free].max()
        length = np.where(free & most, (away * away).sum(axis=2), np.inf)
        start, end = divmod(int(length.argmin()), n)
        i = int(starts[start])
        return min(i, end), max(i, end)


def _from_least(loop: list[int]) -> list[int]:
    """The loop begun at its least index, so that equal loops compare equal."""
    k = loop.index(min(loop))
    return loop[k:] + loop[:k]


def _turns(corners: np.ndarray) -> np.ndarray:
    """The sine of the bend at every corner, positive to the left."""
    step = _next(corners) - corners
    step = step / np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-300)[:, None]
    return _cross(_previous(step), step)


def _free(points: np.ndarray, hollow: np.ndarray) -> np.ndarray:
    """Whether the straight way from each hollow corner to every corner runs inside and meets no side or corner, (h, n)."""
    n, starts = len(points), np.flatnonzero(hollow)
    before, after = _previous(points) - points, _next(points) - points
    away = points[None] - points[starts, None]  # (h, n, 2)
    free = _opens(before[starts, None], after[starts, None], away, True) & _opens(before, after, -away, hollow)
    free[np.arange(len(starts))[:, None], (starts[:, None] + np.array((-1, 0, 1))) % n] = False
    row, end = np.nonzero(free)
    free[row, end] = _meets_nothing(points, after, starts[row], end)
    return free


def _opens(before: np.ndarray, after: np.ndarray, target: np.ndarray, hollow: np.ndarray | bool) -> np.ndarray:
    """Whether the region at a corner lies, strictly, in the direction of a target."""
    left_of_out = _cross(after, target) > 0
    left_of_in = _cross(target, before) > 0
    return np.where(hollow, left_of_out | left_of_in, left_of_out & left_of_in)


def _resolves(before: np.ndarray, after: np.ndarray, target: np.ndarray) -> np.ndarray:
    """Whether a cut toward the target leaves no hollow on either side of it."""
    return (_cross(-before, target) >= 0) & (_cross(target, after) <= 0)


def _meets_nothing(points: np.ndarray, side: np.ndarray, start: np.ndarray, end: np.ndarray) -> np.ndarray:
    """For each diagonal, whether it meets no side of the outline and no corner but its own two, (k,)."""
    step = points[end] - points[start]
    size = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-300)[:, None]
    to = points[None] - points[start, None]
    beside = _cross(step[:, None], to) / size  # (k, n): how far left of the diagonal
    along = (step[:, None] * to).sum(axis=2) / size
    corner = np.arange(len(points))
    other = (corner != start[:, None]) & (corner != end[:, None])
    touches = other & (np.abs(beside) < SHAPE_STEP) & (along > -SHAPE_STEP) & (along < size + SHAPE_STEP)
    past = np.roll(beside, -1, axis=1)
    start_beside = -_cross(side, to)
    end_beside = _cross(side, points[end, None] - points)
    crosses = (beside * past < 0) & (start_beside * end_beside < 0) & other & np.roll(other, -1, axis=1)
    return ~(touches | crosses).any(axis=1)


def _next(around: np.ndarray) -> np.ndarray:
    """For every corner of an outline what stands at the next, (n, …)."""
    return np.concatenate((around[1:], around[:1]))


def _previous(around: np.ndarray) -> np.ndarray:
    return np.concatenate((around[-1:], around[:-1]))


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
