"""The most valuable choice of lengths that fit one length, each taken at most so often (dynamic programming in numpy)."""

from __future__ import annotations

import numpy as np


def best_choice(
    sizes: np.ndarray, values: np.ndarray, most: np.ndarray, capacities: list[int]
) -> list[tuple[float, np.ndarray]]:
    """For each capacity, the greatest value and how often each size is taken."""
    top = max(capacities)
    best = np.zeros(top + 1, dtype=values.dtype)
    scratch = np.empty_like(best)
    steps: list[tuple[int, int, int, np.ndarray]] = []
    for item in np.argsort(-sizes, kind="stable"):
        size, value = int(sizes[item]), values[item]
        left = min(int(most[item]), top // size)
        times = 1
        while left > 0 and value > 0:
            times = min(times, left)
            weight = times * size
            trial = np.add(best[: top + 1 - weight], times * value, out=scratch[: top + 1 - weight])
            taken = trial > best[weight:]
            np.maximum(best[weight:], trial, out=best[weight:])
            steps.append((int(item), times, weight, taken))
            left -= times
            times *= 2
    return [(best[capacity], _traced(steps, len(sizes), capacity)) for capacity in capacities]


def _traced(steps: list[tuple[int, int, int, np.ndarray]], count: int, capacity: int) -> np.ndarray:
    chosen = np.zeros(count, dtype=np.int64)
    for item, times, weight, taken in reversed(steps):
        if weight <= capacity and taken[capacity - weight]:
            chosen[item] += times
            capacity -= weight
    return chosen
