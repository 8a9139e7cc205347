"""The plan for lengths: proven least for jobs of ordinary size.

The linear relaxation over all patterns (Gilmore and Gomory 1961) gives the bound; its patterns, taken one after another
with the relaxation solved again in between, give the plan; a few other orders of taking them are tried when the first misses the bound.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np

from .improving import Effort, fewer_sheets
from .knapsack import best_choice
from .linear import Columns, Program
from .mixed import plan_mixed
from .plan import CuttingPlan
from .problem import CuttingProblem
from .sawing import Trims, sawn
from .trees import ROW, joined, leaf
from .whole import Whole, in_whole_numbers

LONGEST = 400_000  # steps in one length, beyond which the exact pricing would take too long
BACK_ON_THE_WAY = 0.85  # how often a dive goes back to somewhere on the way of the last one, not to the top
AT_ONCE = 2  # patterns found for the same prices
DIVES = 2000  # how often patterns are taken in another order
NEW_COLUMNS = 2000  # found on the way, beyond which the next dives begin without them
SEARCH_SHARE = 0.05  # of the work, for putting parts to and fro in the end


def plan_lengths(problem: CuttingProblem, effort: Effort, tell: Callable[[str], None]) -> CuttingPlan:
    """The best plan found for lengths."""
    whole = in_whole_numbers(problem)
    room = whole.rooms[0] if whole.rooms else None
    plain = room is not None and len(whole.rooms) == 1 and room.count is None and not problem.stock[room.stock].defects
    if not plain or room.length > LONGEST:
        return plan_mixed(problem, whole, effort, tell)
    search = _Lengths(whole, effort)
    filled = search.run(tell)
    unused = {number: list(kind.numbers) for number, kind in enumerate(whole.kinds)}
    trims = Trims(False, False)
    sheets = tuple(sawn(problem, whole, room.stock, search.tree(pattern), unused, trims) for pattern in filled)
    return CuttingPlan(problem, sheets, search.least, search.least * room.price, effort.stopped_early, effort.done)


class _Lengths:
    """The search for one problem with one length of stock."""

    def __init__(self, whole: Whole, effort: Effort) -> None:
        self.whole, self.effort = whole, effort
        self.sizes = np.array([kind.length for kind in whole.kinds], dtype=np.int64)
        self.demand = np.array([kind.quantity for kind in whole.kinds], dtype=np.int64)
        self.room = whole.rooms[0].length
        self.least = max(int(-(-(self.sizes @ self.demand) // self.room)), self._halves())

    def tree(self, pattern: np.ndarray) -> tuple:
        """A pattern as a row of parts."""
        parts = [
            leaf(at, int(self.sizes[at]), self.whole.kinds[at].width)
            for at in np.flatnonzero(pattern)
            for _ in range(pattern[at])
        ]
        return joined(ROW, parts)

    def run(self, tell: Callable[[str], None]) -> list[np.ndarray]:
        """Patterns that cut everything, as few as were found."""
        best = self._longest_first(self.demand)
        if len(best) <= self.least or self.effort.is_over():
            return best
        root = _Relaxed(self, self.columns_from(best), self.demand)
        if not root.solve():
            return best
        self._prove(root.program.prices())
        tell(f"{len(best)} lengths, at least {self.least}")
        chance = random.Random(1).random
        kept, pool = self.effort.left * SEARCH_SHARE, root.columns.copy()
        trail: list[tuple] = []
        for dive in range(DIVES):
            if len(best) <= self.least or self.effort.left < kept or self.effort.is_over():
                break
            if pool.count > root.columns.count + NEW_COLUMNS:
                pool = root.columns.copy()
            # Mostly from somewhere on the way of the dive before, which is cheaper than from the top.
            start = (
                trail[int(chance() * len(trail))]
                if trail and chance() < BACK_ON_THE_WAY
                else (0, [], self.demand, root)
            )
            trail = [state for state in trail if state[0] <= start[0]]
            found = self._dive(start, trail, pool, len(best), chance if dive else None)
            if found is not None and len(found) < len(best):
                best = found
                tell(f"{len(best)} lengths, at least {self.least}")
        if len(best) > self.least and not self.effort.is_over():
            best = self._to_and_fro(best)
        return best

    def columns_from(self, patterns: list[np.ndarray]) -> Columns:
        """Single parts, single sizes as often as they fit, surplus, and these patterns."""
        count = len(self.sizes)
        columns, one = Columns(count), np.eye(count, dtype=np.int64)
        for at in range(count):
            times, most = 1, min(self.room // int(self.sizes[at]), int(self.demand[at]))
            while times < most:
                columns.add(times * one[at], 1.0)
                times *= 2
            columns.add(most * one[at], 1.0)
            columns.add(-one[at], 0.0)
        for pattern in patterns:
            columns.add(pattern, 1.0)
        return columns

    def _halves(self) -> int:
        """Lengths of more than half a stock length never share one."""
        return int(self.demand[2 * self.sizes > self.room].sum())

    def _longest_first(self, demand: np.ndarray) -> list[np.ndarray]:
        """Each part into the fullest length that still takes it, longest parts first."""
        free: list[int] = []
        patterns: list[np.ndarray] = []
        for at in np.argsort(-self.sizes, kind="stable"):
            size = int(self.sizes[at])
            for _ in range(int(demand[at])):
                fit = min(
                    (number for number in range(len(free)) if free[number] >= size),
                    key=lambda number: free[number],
                    default=None,
                )
                if fit is None:
                    free.append(self.room)
                    patterns.append(np.zeros(len(self.sizes), dtype=np.int64))
                    fit = len(free) - 1
                free[fit] -= size
                patterns[fit][at] += 1
        return patterns

    def spend(self, work: int) -> bool:
        """Count work; whether any is left."""
        self.effort.spend(work)
        return not self.effort.is_over()

    def _prove(self, prices: np.ndarray) -> None:
        """The bound in whole numbers, free of rounding: prices cut to whole billionths, the best pattern at these prices counted exactly."""
        exact = np.maximum(np.floor(prices * 1e9), 0).astype(np.int64)
        value, _ = best_choice(self.sizes, exact, self.demand, [self.room])[0]
        if value > 0:
            self.least = max(self.least, int(-(-int(exact @ self.demand) // int(value))))

    def _dive(
        self, start: tuple, trail: list[tuple], columns: Columns, most: int, chance: Callable[[], float] | None
    ) -> list[np.ndarray] | None:
        """Take patterns for good, one after another; None when fewer than `most` cannot be reached this way.

        States are (depth, patterns taken, parts left, relaxation); those passed are added to the trail.
        """
        depth, taken, left, relaxed = start
        taken = taken.copy()
        while True:
            if len(taken) + np.ceil(relaxed.program.value - 1e-6) >= most:
                return None
            for pattern, times in relaxed.choices(chance):
                pattern = self._filled_up(np.minimum(pattern, left), left)
                times = max(1, min(times, int((left[pattern > 0] // pattern[pattern > 0]).min(initial=times))))
                if pattern.any():
                    taken += [pattern] * times
                    left = left - times * pattern
            if not left.any():
                return taken
            self.spend(columns.count * len(self.sizes) // 400)
            relaxed = _Relaxed(self, columns, left)
            if not relaxed.solve():
                return None
            depth += 1
            if len(taken) + np.ceil(relaxed.program.value - 1e-6) < most:
                trail.append((depth, taken.copy(), left, relaxed))

    def _filled_up(self, pattern: np.ndarray, left: np.ndarray) -> np.ndarray:
        """The pattern with whatever still fits, longest first."""
        pattern, free = pattern.copy(), self.room - int(pattern @ self.sizes)
        for at in np.argsort(-self.sizes, kind="stable"):
            more = min(int(left[at] - pattern[at]), free // int(self.sizes[at]))
            if more > 0:
                pattern[at] += more
                free -= more * int(self.sizes[at])
        return pattern

    def _to_and_fro(self, patterns: list[np.ndarray]) -> list[np.ndarray]:
        """Parts exchanged between lengths until one of them is empty."""
        share = self.effort.part(int(self.effort.left * SEARCH_SHARE))
        trees = fewer_sheets(
            [self.tree(pattern) for pattern in patterns], self.whole.kinds, self.whole.rooms[0], self.least, share
        )
        self.effort.take(share)
        fresh = []
        for tree in trees:
            pattern = np.zeros(len(self.sizes), dtype=np.int64)
            waiting = [tree]
            while waiting:
                node = waiting.pop()
                if node[2] == 2:
                    pattern[node[3]] += 1
                else:
                    waiting += node[3]
            fresh.append(pattern)
        return fresh


class _Relaxed:
    """The relaxation for the parts that are left: each pattern may be used a fraction of a time."""

    def __init__(self, search: _Lengths, columns: Columns, left: np.ndarray) -> None:
        self.search, self.columns, self.rows = search, columns, np.flatnonzero(left)
        self.left = left[self.rows]
        self.own = columns.among(self.rows, left)
        self.sizes = search.sizes[self.rows]
        most = np.minimum(search.room // self.sizes, self.left)
        one = np.eye(len(self.rows), dtype=np.int64)
        self.program = Program(
            self.own, self.left, [self.own.add(most[at] * one[at], 1.0) for at in range(len(self.rows))]
        )

    def solve(self) -> bool:
        """To the optimum, with all patterns there are; False when the work ran out."""
        return self.program.solve(self._better, self.search.spend)

    def choices(self, chance: Callable[[], float] | None) -> list[tuple[np.ndarray, int]]:
        """Patterns to take for good: all that are used whole, or else the one used most; with chance, one used nearly as much."""
        program, whole, ranks = self.program, [], []
        for row, column in enumerate(program.basis):
            used = program.used[row]
            if used > 1e-6 and self.own.costs[column] > 0:
                if used > 1 - 1e-6:
                    whole.append((int(column), int(used + 1e-6)))
                ranks.append((used - int(used) + (0.35 * chance() if chance else 0.0), -int(column)))
        picked = whole or [(-max(ranks)[1], 1)]
        return [(self._full(column), times) for column, times in picked]

    def _full(self, column: int) -> np.ndarray:
        pattern = np.zeros(len(self.search.sizes), dtype=np.int64)
        pattern[self.rows] = self.own.table[:, column].astype(np.int64)
        return pattern

    def _better(self, prices: np.ndarray) -> list[int]:
        """The pattern that pays most, and others that pay of the parts it leaves out."""
        found, prices = [], prices.copy()
        while len(found) < AT_ONCE:
            useful = np.flatnonzero(prices > 1e-9)
            if not len(useful):
                break
            self.search.spend(len(useful) * (17 + self.search.room // 70))
            value, chosen = best_choice(self.sizes[useful], prices[useful], self.left[useful], [self.search.room])[0]
            if value <= 1 + 1e-7:
                break
            pattern = np.zeros(len(self.rows), dtype=np.int64)
            pattern[useful] = chosen
            prices[pattern > 0] = 0.0
            if self.own is not self.columns:
                full = np.zeros(len(self.search.sizes), dtype=np.int64)
                full[self.rows] = pattern
                self.columns.add(full, 1.0)
            found.append(self.own.add(pattern, 1.0))
        return found
