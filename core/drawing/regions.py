"""Outlines in a plane split into convex ones."""

from __future__ import annotations

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
    found: list[list[int]] = []
    waiting = [list(range(len(points)))]
    while waiting:
        loop = waiting.pop()
        corners = points[loop]
        turns = _turns(corners)
        if (turns >= -STRAIGHT).all():
            found.append(loop)
            continue
        i, j = _diagonal(corners, turns)
        waiting.append([*loop[j:], *loop[: i + 1]])
        waiting.append(loop[i : j + 1])
    return tuple(tuple(loop) for loop in sorted(_from_least(loop) for loop in found))


def _from_least(loop: list[int]) -> list[int]:
    """The loop begun at its least index, so that equal loops compare equal."""
    k = loop.index(min(loop))
    return loop[k:] + loop[:k]


def _turns(corners: np.ndarray) -> np.ndarray:
    """The sine of the bend at every corner, positive to the left."""
    step = np.roll(corners, -1, axis=0) - corners
    step = step / np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-300)[:, None]
    return _cross(np.roll(step, 1, axis=0), step)


def _diagonal(corners: np.ndarray, turns: np.ndarray) -> tuple[int, int]:
    """The two corners, i < j, of the best diagonal: one that leaves fewest hollow corners, then the shortest."""
    hollow = turns < -STRAIGHT
    best = None
    for i in np.flatnonzero(hollow):
        for rank, length, j in _diagonals_from(corners, int(i), hollow):
            if best is None or (rank, length) < best[0]:
                best = ((rank, length), min(int(i), j), max(int(i), j))
        if best and best[0][0] == -2:
            break
    if best is None:
        raise ValueError(f"an outline of {len(corners)} corners crosses or touches itself")
    return best[1:]


def _diagonals_from(corners: np.ndarray, i: int, hollow: np.ndarray) -> list[tuple[int, float, int]]:
    """(minus the hollow corners resolved, length, other end) of every free diagonal from corner i."""
    n = len(corners)
    before, after = np.roll(corners, 1, axis=0), np.roll(corners, -1, axis=0)
    away = corners - corners[i]
    opens_here = _opens(before[i] - corners[i], after[i] - corners[i], away, hollow[i])
    opens_there = _opens(before - corners, after - corners, -away, hollow)
    ends = np.flatnonzero(opens_here & opens_there & ~np.isin(np.arange(n), ((i - 1) % n, i, (i + 1) % n)))
    ends = ends[_is_free(corners, after, i, ends)]
    resolves_here = _resolves(before[i] - corners[i], after[i] - corners[i], away)
    resolves_there = hollow & _resolves(before - corners, after - corners, -away)
    rank = -(resolves_here[ends].astype(int) + resolves_there[ends])
    return list(zip(rank.tolist(), np.hypot(*away[ends].T).tolist(), ends.tolist(), strict=True))


def _opens(before: np.ndarray, after: np.ndarray, target: np.ndarray, hollow: np.ndarray) -> np.ndarray:
    """Whether the region at a corner lies, strictly, in the direction of a target."""
    left_of_out = _cross(after, target) > 0
    left_of_in = _cross(target, before) > 0
    return np.where(hollow, left_of_out | left_of_in, left_of_out & left_of_in)


def _resolves(before: np.ndarray, after: np.ndarray, target: np.ndarray) -> np.ndarray:
    """Whether a cut toward the target leaves no hollow on either side of it."""
    return (_cross(-before, target) >= 0) & (_cross(target, after) <= 0)


def _is_free(corners: np.ndarray, after: np.ndarray, i: int, ends: np.ndarray) -> np.ndarray:
    """For each end, whether the diagonal from corner i to it meets no side and no corner but its own two."""
    start, target = corners[i], corners[ends]
    step = target - start
    size = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-300)
    beside = _cross(step[:, None], corners[None] - start) / size[:, None]  # (ends, n): how far left of the diagonal
    along = (step[:, None] * (corners[None] - start)).sum(axis=2) / size[:, None]
    other = (np.arange(len(corners))[None] != i) & (np.arange(len(corners))[None] != ends[:, None])
    touches = other & (np.abs(beside) < SHAPE_STEP) & (along > -SHAPE_STEP) & (along < size[:, None] + SHAPE_STEP)
    side = after - corners
    past = np.roll(beside, -1, axis=1)
    start_beside = _cross(side, start - corners)  # (n,)
    end_beside = _cross(side[None], target[:, None] - corners[None])
    crosses = (beside * past < 0) & (start_beside[None] * end_beside < 0) & other & np.roll(other, -1, axis=1)
    return ~(touches | crosses).any(axis=1)


def _cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    return a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
