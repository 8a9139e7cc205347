"""The plan for lengths: proven least for jobs of ordinary size.

The linear relaxation over all patterns (Gilmore and Gomory 1961) gives the bound; its patterns, taken one after another
with the relaxation solved again in between, give the plan; many other orders of taking them are tried when the first misses the bound. Before, and at the end of each, lengths are filled
by exact sums of what is left: often that is a plan with as few as there can be at once.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from .improving import Effort, fewer_sheets
from .knapsack import best_choice, best_with_each
from .linear import Columns, Program
from .mixed import plan_mixed
from .plan import CuttingPlan
from .problem import CuttingProblem
from .sawing import Trims, sawn
from .summing import summed
from .trees import ROW, joined, leaf
from .whole import Whole, in_whole_numbers

LONGEST = 400_000  # steps in one length, beyond which the exact pricing would take too long
BACK_ON_THE_WAY = 0.85  # how often a dive goes back to somewhere on the way of the last one, not to the top
AT_ONCE = 2  # patterns found for the same prices
SHORT_ENOUGH, MOST_AT_ONCE = 2_500, 40  # steps in one length up to which more of them are, and how many
FILLINGS = 12  # plans of full lengths to begin with
NEARLY_FULL = 0.02  # of a length that a pattern taken from them may leave unfilled
FEW_OF_EACH = 6  # parts of one size on average, up to which sums of single parts are tried
ENDINGS = 3  # ways of cutting all the rest by exact sums that are tried on each step of a dive
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
        self._sizes, self._chance = self.sizes.tolist(), random.Random(2).random
        self._few_of_each = int(self.demand.sum()) <= FEW_OF_EACH * len(self.sizes)
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
        filled = []
        for _ in range(FILLINGS if self._few_of_each else 0):
            found = self._summed(self.demand)
            if found is None:
                return best
            best = min(best, found, key=len)
            if len(best) <= self.least:
                return best
            filled += [each for each in found if self.room - each @ self.sizes <= NEARLY_FULL * self.room]
        root = self._root([*best, *filled])
        if not root.solve(0):
            return best
        self._prove(root.program.prices())
        tell(f"{len(best)} lengths, at least {self.least}")
        chance, kept = random.Random(1).random, self.effort.left * SEARCH_SHARE
        begun = root.apart()
        trail: list[_State] = []
        for dive in range(DIVES):
            if len(best) <= self.least or self.effort.left < kept or self.effort.is_over():
                break
            if begun.program.columns.count > root.program.columns.count + NEW_COLUMNS:
                begun, trail = root.apart(), []
            # Mostly from somewhere on the way of the dive before, which is cheaper than from the top.
            from_trail = trail and chance() < BACK_ON_THE_WAY
            start = trail[int(chance() * len(trail))] if from_trail else _State(0, [], begun)
            trail = [state for state in trail if state.depth <= start.depth]
            found = self._dive(start, trail, len(best), chance if dive else None)
            if found is not None:
                best = found
                tell(f"{len(best)} lengths, at least {self.least}")
        if len(best) > self.least and not self.effort.is_over():
            best = self._to_and_fro(best)
        return best

    def _root(self, patterns: list[np.ndarray]) -> _Relaxed:
        """The relaxation for everything, begun with each size by itself."""
        columns, one = self.columns_from(patterns), np.eye(len(self.sizes), dtype=np.int64)
        most = np.minimum(self.room // self.sizes, self.demand)
        basis = [columns.add(most[at] * one[at], 1.0) for at in range(len(self.sizes))]
        return _Relaxed(self, self.demand, Program(columns, self.demand, basis, carried=True))

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

    def _summed(self, left: np.ndarray, most: int | None = None) -> list[np.ndarray] | None:
        """What is left, length by length by exact sums; None where more than `most` lengths would be needed, or the work ran out."""
        parts = np.repeat(np.arange(len(left)), left).tolist()
        spoiled = math.inf if most is None else most * self.room - int(left @ self.sizes)
        lengths, effort = summed(self._sizes, parts, self.room, spoiled, self._chance)
        if not self.spend(effort) or lengths is None:
            return None
        return [np.bincount(each, minlength=len(left)) for each in lengths]

    def spend(self, work: int) -> bool:
        """Count work; whether any is left."""
        self.effort.spend(work)
        return not self.effort.is_over()

    def _prove(self, prices: np.ndarray) -> None:
        """The bound in whole numbers, free of rounding: prices cut to whole billionths, the best pattern at these prices counted exactly."""
        exact = np.maximum(np.floor(prices * 1e9), 0).astype(np.int64)
        value, _ = best_choice(self.sizes, exact, self.demand, [self.room])[0]
        if value > 0:
            self._sizes, self._chance = self.sizes.tolist(), random.Random(2).random
        self._few_of_each = int(self.demand.sum()) <= FEW_OF_EACH * len(self.sizes)
        self.least = max(self.least, int(-(-int(exact @ self.demand) // int(value))))

    def _dive(
        self, start: _State, trail: list[_State], most: int, chance: Callable[[], float] | None
    ) -> list[np.ndarray] | None:
        """Take patterns for good, one after another; None when fewer than `most` cannot be reached this way. The states
        passed are added to the trail."""
        depth, taken, relaxed = start.depth, start.taken.copy(), start.relaxed
        while True:
            left = relaxed.left
            for pattern, times in relaxed.choices(chance):
                pattern = self._filled_up(np.minimum(pattern, left), left)
                times = max(1, min(times, int((left[pattern > 0] // pattern[pattern > 0]).min(initial=times))))
                if pattern.any():
                    taken += [pattern] * times
                    left = left - times * pattern
            if not left.any():
                return taken if len(taken) < most else None
            enough = most - 1 - len(taken)
            if int(left @ self.sizes) > enough * self.room:
                return None
            for _ in range(ENDINGS if self._few_of_each else 0):
                found = self._summed(left, enough)
                if found is not None:
                    return taken + found
            relaxed = relaxed.rest(left)
            if not relaxed.solve(enough):
                return None
            depth += 1
            trail.append(_State(depth, taken.copy(), relaxed))

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
    """The relaxation for the parts that are left: each pattern may be used a fraction of a time.

    A pattern may hold more of a part than is left; it counts all the same, and is cut down when it is taken.
    """

    def __init__(self, search: _Lengths, left: np.ndarray, program: Program) -> None:
        self.search, self.left, self.program, self._enough = search, left, program, 0.0
        self._too_many = False

    def rest(self, left: np.ndarray) -> _Relaxed:
        """The same when only this is left."""
        return _Relaxed(self.search, left, self.program.with_demand(left))

    def apart(self) -> _Relaxed:
        """The same with columns of its own."""
        program = self.program.with_demand(self.left)
        program.columns = program.columns.copy()
        return _Relaxed(self.search, self.left, program)

    def solve(self, enough: int) -> bool:
        """To the optimum, or to where so many lengths are enough; False when they are proven not to be, or the work ran out."""
        self._enough = enough
        program, spend = self.program, self.search.spend
        return program.mend(spend) and program.solve(self._better, spend) and not self._too_many

    def choices(self, chance: Callable[[], float] | None) -> list[tuple[np.ndarray, int]]:
        """Patterns to take for good: all that are used whole, or else the one used most; with chance, one used nearly as much."""
        program, whole, ranks = self.program, [], []
        for row, column in enumerate(program.basis):
            used = program.used[row]
            if used > 1e-6 and program.columns.costs[column] > 0:
                if used > 1 - 1e-6:
                    whole.append((int(column), int(used + 1e-6)))
                ranks.append((used - int(used) + (0.35 * chance() if chance else 0.0), -int(column)))
        picked = whole or [(-max(ranks)[1], 1)]
        return [(program.columns.table[:, column].astype(np.int64), times) for column, times in picked]

    def _better(self, prices: np.ndarray) -> list[int]:
        """Patterns that pay."""
        if self.program.value <= self._enough + 1e-6:
            return []
        useful = np.flatnonzero((prices > 1e-9) & (self.left > 0))
        sizes, room, most = self.search.sizes[useful], self.search.room, self.left[useful]
        if room <= SHORT_ENOUGH:
            self.search.spend(len(useful) * (40 + room // 25))
            best, found = best_with_each(sizes, prices[useful], most, room, 1 + 1e-7, MOST_AT_ONCE)
        else:
            best, found = self._two(sizes, prices[useful], most)
        if self._enough and np.ceil(float(prices @ self.left) / max(best, 1.0) - 1e-6) > self._enough:
            self._too_many = True
            return []
        added = []
        for chosen in found:
            pattern = np.zeros(len(prices), dtype=np.int64)
            pattern[useful] = chosen
            added.append(self.program.columns.add(pattern, 1.0))
        return added

    def _two(self, sizes: np.ndarray, prices: np.ndarray, most: np.ndarray) -> tuple[float, list[np.ndarray]]:
        """The pattern that pays most, and one that pays of the parts it leaves out."""
        best, found, prices = 0.0, [], prices.copy()
        for _ in range(AT_ONCE):
            there = np.flatnonzero(prices)
            if not len(there):
                break
            self.search.spend(len(there) * (17 + self.search.room // 40))
            value, chosen = best_choice(sizes[there], prices[there], most[there], [self.search.room])[0]
            best = max(best, value)
            if value <= 1 + 1e-7:
                break
            pattern = np.zeros(len(sizes), dtype=np.int64)
            pattern[there] = chosen
            prices[pattern > 0] = 0.0
            found.append(pattern)
        return best, found


class _State(NamedTuple):
    """Somewhere on the way of a dive: how deep, the patterns taken for good, the relaxation for what is left."""

    depth: int
    taken: list[np.ndarray]
    relaxed: _Relaxed
