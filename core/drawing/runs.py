"""Runs of equal keys, pairs of runs and linked groups in numpy arrays."""

from __future__ import annotations

import numpy as np


def starts_of(keys: np.ndarray, count: int) -> np.ndarray:
    """Where each key 0 … count − 1 begins in a sorted array of keys, (count + 1,).

    >>> starts_of(np.array([0, 0, 2]), 3)
    array([0, 2, 2, 3])
    """
    return np.searchsorted(keys, np.arange(count + 1))


def spread(starts: np.ndarray, which: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Every member of the runs named in `which`: (position in `which`, member).

    >>> spread(np.array([0, 2, 3]), np.array([1, 0]))
    (array([0, 1, 1]), array([2, 0, 1]))
    """
    return between(starts[which], starts[which + 1])


def between(first: np.ndarray, last: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Every number from first[i] up to, not including, last[i]: (i, number).

    >>> between(np.array([2, 0]), np.array([3, 2]))
    (array([0, 1, 1]), array([2, 0, 1]))
    """
    counts = last - first
    ends = np.cumsum(counts)
    i = np.repeat(np.arange(len(first)), counts)
    return i, np.arange(len(i)) + (first - (ends - counts))[i]


def linked(count: int, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """For `count` things of which a[i] and b[i] are linked, the least member of each one's linked group, (count,).

    >>> linked(5, np.array([3, 1]), np.array([1, 4]))
    array([0, 1, 2, 1, 1])
    """
    group = np.arange(count)
    while True:
        here, there = group[a], group[b]
        if np.array_equal(here, there):
            return group
        least = np.minimum(here, there)
        np.minimum.at(group, here, least)
        np.minimum.at(group, there, least)
        while True:
            shorter = group[group]
            if np.array_equal(shorter, group):
                break
            group = shorter
