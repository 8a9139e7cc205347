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


def best_with_each(
    sizes: np.ndarray, values: np.ndarray, most: np.ndarray, capacity: int, above: float, wanted: int
) -> tuple[float, list[np.ndarray]]:
    """The greatest value; and choices worth more than `above`, at most so many, each the best of those with some item.

    Two tables, from the first item on and from the last one back, meet at each item (as in Pisinger's reduction of
    knapsack problems, 1997).
    """
    steps = []
    for item in np.argsort(-sizes, kind="stable"):
        left, times = min(int(most[item]), capacity // int(sizes[item])), 1
        while left > 0:
            times = min(times, left)
            steps.append((int(item), times, times * int(sizes[item]), times * values[item]))
            left -= times
            times *= 2
    count = len(steps)
    before, after = np.zeros((count + 1, capacity + 1)), np.zeros((count + 1, capacity + 1))
    for at, (_, _, weight, value) in enumerate(steps):
        before[at + 1, :weight] = before[at, :weight]
        trial = before[at, : capacity + 1 - weight] + value
        np.maximum(before[at, weight:], trial, out=before[at + 1, weight:])
    best, found = float(before[count, capacity]), []
    if best <= above:
        return best, found
    ranked = []
    for at in range(count - 1, -1, -1):
        _, _, weight, value = steps[at]
        rest = capacity + 1 - weight
        both = before[at, :rest] + after[at + 1, rest - 1 :: -1] if rest > 0 else before[at, :0]
        meet = int(both.argmax())
        if both[meet] + value > above:
            ranked.append((-float(both[meet] + value), at, meet))
        after[at, :weight] = after[at + 1, :weight]
        np.maximum(after[at + 1, weight:], after[at + 1, :rest] + value, out=after[at, weight:])
    held = np.zeros(len(sizes), dtype=bool)
    for _, at, meet in sorted(ranked):
        if len(found) == wanted:
            break
        item, times, weight, _ = steps[at]
        if held[item]:
            continue
        chosen, free = np.zeros(len(sizes), dtype=np.int64), meet
        chosen[item] += times
        for back in range(at - 1, -1, -1):
            if before[back + 1, free] != before[back, free]:
                chosen[steps[back][0]] += steps[back][1]
                free -= steps[back][2]
        free = capacity - weight - meet
        for on in range(at + 1, count):
            if after[on, free] != after[on + 1, free]:
                chosen[steps[on][0]] += steps[on][1]
                free -= steps[on][2]
        held |= chosen > 0
        found.append(chosen)
    return best, found
