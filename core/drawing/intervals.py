"""Stretches of numbered lines: what is left of them, and where lines on paper cover each other."""

from __future__ import annotations

import numpy as np

from .runs import between

ONE_DIRECTION = 1e-6  # radians between lines that count as parallel
SHORTEST = 0.02  # mm; a stretch of line shorter than this is not drawn
ONE_LINE = 1e-3  # mm between parallel lines that count as one


def gaps(
    start: np.ndarray, end: np.ndarray, line: np.ndarray, low: np.ndarray, high: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """What is left of the stretch start[i] to end[i] of every line i when low[k] to high[k] of line[k] are taken out.

    All fractions between 0 and 1, low <= high. Returns (line, from, to), by rising line and fraction.

    >>> gaps(np.array([0.0, 0.2]), np.array([1.0, 0.8]), np.array([1, 1]), np.array([0.1, 0.5]), np.array([0.3, 0.6]))
    (array([0, 1, 1]), array([0. , 0.3, 0.6]), array([1. , 0.5, 0.8]))
    """
    touched = np.zeros(len(start), bool)
    touched[line] = True
    cut, clear = np.flatnonzero(touched), np.flatnonzero(~touched)
    owner = np.concatenate((cut, line, cut))
    begin = np.concatenate((np.zeros(len(cut)), low, end[cut])) + 2 * owner
    finish = np.concatenate((start[cut], high, np.ones(len(cut)))) + 2 * owner
    order = np.argsort(begin, kind="stable")
    owner, begin = owner[order], begin[order]
    reached = np.maximum.accumulate(finish[order])
    k = np.flatnonzero((begin[1:] > reached[:-1]) & (owner[1:] == owner[:-1]))
    left = np.concatenate((clear, owner[k]))
    since = np.concatenate((start[clear], reached[k] - 2 * owner[k]))
    until = np.concatenate((end[clear], begin[k + 1] - 2 * owner[k]))
    order = np.argsort(left, kind="stable")
    return left[order], since[order], until[order]


def uncovered(points: np.ndarray, rank: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Segments on paper without what others of them draw already: (segment, points) of what is left, every place once.

    `points` is (k, 2, 2), mm. Where segments lie on each other the one of lower `rank` stays, (k,) small numbers; of
    equal rank, the one that begins first. By rising segment, and along each.
    """
    begin, finish, backward = _on_one_line(points)
    taken = np.zeros((2, 0))
    left, since, until = [], [], []
    for r in np.unique(rank):
        segment = np.flatnonzero(rank == r)
        which, low, high = _outside(begin[segment], finish[segment], taken)
        order = np.argsort(low, kind="stable")
        which, low, high = which[order], low[order], high[order]
        low = np.maximum(low, np.maximum.accumulate(np.append(-np.inf, high[:-1]))) if len(low) else low
        kept = high - low > SHORTEST
        left.append(segment[which[kept]])
        since.append(low[kept])
        until.append(high[kept])
        taken = _merged(np.append(taken[0], low[kept]), np.append(taken[1], high[kept]))
    which, low, high = (np.concatenate(found) for found in (left, since, until))
    order = np.lexsort((low, which))
    which, low, high = which[order], low[order], high[order]
    size = finish[which] - begin[which]
    fractions = np.stack((low - begin[which], high - begin[which]), axis=1) / size[:, None]
    fractions = np.where(backward[which][:, None], 1 - fractions[:, ::-1], fractions)
    whole = (low == begin[which]) & (high == finish[which])
    tail, head = points[which, 0], points[which, 1]
    shortened = tail[:, None] + fractions[:, :, None] * (head - tail)[:, None]
    return which, np.where(whole[:, None, None], points[which], shortened)


def _on_one_line(points: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where segments begin and end on one long line that holds all lines of the paper in turn: (begin, end, backward).

    Lines are told apart by direction and by distance from the origin; `backward` are segments that run against theirs.
    """
    step = points[:, 1] - points[:, 0]
    size = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-300)
    unit = step / size[:, None]
    backward = (unit[:, 0] < -ONE_DIRECTION) | ((unit[:, 0] < ONE_DIRECTION) & (unit[:, 1] < 0))
    unit = np.where(backward[:, None], -unit, unit)
    angle = np.arctan2(unit[:, 1], unit[:, 0])
    offset = unit[:, 0] * points[:, 0, 1] - unit[:, 1] * points[:, 0, 0]
    direction = _clusters(angle, np.zeros(len(angle), np.int64), ONE_DIRECTION)
    line = _clusters(offset, direction, ONE_LINE)
    along = np.einsum("kpx,kx->kp", points, unit)
    low, high = along.min(axis=1), along.max(axis=1)
    room = (high.max(initial=0) - low.min(initial=0)) + 1
    shift = line * room - low.min(initial=0)
    return low + shift, high + shift, backward


def _clusters(values: np.ndarray, within: np.ndarray, step: float) -> np.ndarray:
    """Numbers from 0 for values: equal for those of one group `within` that steps no larger than `step` connect."""
    order = np.lexsort((values, within))
    new = (np.diff(values[order], prepend=-np.inf) > step) | (np.diff(within[order], prepend=-1) != 0)
    cluster = np.empty(len(values), np.int64)
    cluster[order] = np.cumsum(new) - 1
    return cluster


def _outside(begin: np.ndarray, finish: np.ndarray, taken: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """What of each stretch lies outside disjoint sorted stretches: (which, from, to)."""
    first = np.searchsorted(taken[1], begin, side="right")
    last = np.maximum(np.searchsorted(taken[0], finish, side="left"), first)
    which, hit = between(first, last)
    size = finish - begin
    low = np.clip((taken[0, hit] - begin[which]) / size[which], 0, 1)
    high = np.clip((taken[1, hit] - begin[which]) / size[which], 0, 1)
    left, since, until = gaps(np.zeros(len(begin)), np.ones(len(begin)), which, low, high)
    since = np.where(since == 0, begin[left], begin[left] + since * size[left])
    return left, since, np.where(until == 1, finish[left], begin[left] + until * size[left])


def _merged(low: np.ndarray, high: np.ndarray) -> np.ndarray:
    """Stretches as disjoint sorted ones, (2, n), those that touch made one."""
    order = np.argsort(low, kind="stable")
    low, reached = low[order], np.maximum.accumulate(high[order])
    new = np.flatnonzero(np.append(True, low[1:] > reached[:-1])) if len(low) else np.zeros(0, np.int64)
    return np.stack((low[new], reached[np.append(new[1:], len(low))[: len(new)] - 1]))
