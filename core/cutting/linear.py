"""A small linear program that grows: cover every demand at least cost, columns added as they are found (revised simplex).

minimise c·x with A·x ≥ b, x ≥ 0. Columns are patterns; surplus columns are included. Dantzig's rule, an explicit inverse that
is made afresh now and then; Gilmore and Gomory 1961, 1963 for the use made of it here.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

TINY = 1e-9
AFRESH = 400  # pivots after which the inverse is computed anew
PROMISING = 16  # columns that are looked at again before all are
MOST_PIVOTS = 20_000  # a program of ours needs a few thousand; more means that it turns in circles


class Columns:
    """Every pattern known, with its cost; shared by all states of one program."""

    def __init__(self, rows: int) -> None:
        self.count = 0
        self.rows = rows
        self._table = np.zeros((rows, 256))
        self._costs = np.zeros(256)
        self._known: dict[tuple[bytes, float], int] = {}

    def add(self, column: np.ndarray, cost: float) -> int:
        """The column's number; known ones are not added twice."""
        key = (np.asarray(column, dtype=np.int64).tobytes(), cost)
        if key in self._known:
            return self._known[key]
        if self.count == self._table.shape[1]:
            self._table = np.concatenate((self._table, np.zeros((self.rows, self.count + 64))), axis=1)
            self._costs = np.concatenate((self._costs, np.zeros(self.count + 64)))
        self._table[:, self.count] = column
        self._costs[self.count] = cost
        self._known[key] = self.count
        self.count += 1
        return self.count - 1

    def copy(self) -> Columns:
        """The same columns, to be added to apart."""
        other = Columns(self.rows)
        other._table, other._costs, other.count, other._known = (
            self._table.copy(),
            self._costs.copy(),
            self.count,
            dict(self._known),
        )
        return other

    @property
    def table(self) -> np.ndarray:
        """rows × columns."""
        return self._table[:, : self.count]

    @property
    def costs(self) -> np.ndarray:
        """One cost for each column."""
        return self._costs[: self.count]


class Program:
    """One state: which columns are in the basis, and how often each is used. Prices are computed for each pivot anew, or
    `carried` on from one to the next, which takes less time where there are many rows.

    Products are summed by einsum: one thread, whatever library numpy was built with, which at these sizes is faster as well.
    """

    def __init__(self, columns: Columns, demand: np.ndarray, basis: list[int], carried: bool = False) -> None:
        self.columns, self._carried = columns, carried
        self.demand = demand.astype(float)
        self.basis = np.array(basis)
        self.pivots = 0
        start = columns.table[:, self.basis]
        if (start == np.diag(np.diag(start))).all():
            self.inverse = np.diag(1 / np.diag(start))
            self.used = self.demand / np.diag(start)
            self._price()
        else:
            self.refresh()

    def refresh(self) -> None:
        """Compute the inverse anew."""
        self.inverse = _inverse(self.columns.table[:, self.basis])
        self.used = np.einsum("ij,j->i", self.inverse, self.demand)
        self._price()

    def _price(self) -> None:
        self._prices = self._priced()
        self._scratch = np.empty_like(self.inverse)

    def _priced(self) -> np.ndarray:
        return np.einsum("i,ij->j", self.columns.costs[self.basis], self.inverse)

    def prices(self) -> np.ndarray:
        """What each demand costs at the margin."""
        return self._prices.copy() if self._carried else self._priced()

    def with_demand(self, demand: np.ndarray) -> Program:
        """The same state for another demand; `mend` it before it is solved."""
        other = Program.__new__(Program)
        other.columns, other.demand, other.basis = self.columns, demand.astype(float), self.basis.copy()
        other._carried = self._carried
        other.pivots, other.inverse, other._prices = self.pivots, self.inverse.copy(), self._prices.copy()
        other._scratch = np.empty_like(self.inverse)
        other.used = np.einsum("ij,j->i", other.inverse, other.demand)
        return other

    def mend(self, spend: Callable[[int], bool]) -> bool:
        """From an optimum for another demand to that for this one, with the columns there are (dual simplex: Lemke
        1954); False when the work ran out."""
        rows, reduced = self.columns.rows, None
        while self.pivots < MOST_PIVOTS:
            leave = int(np.argmin(self.used))
            if self.used[leave] >= -TINY:
                self.used[self.used < 0.0] = 0.0
                return True
            if reduced is None:
                reduced = self.columns.costs - np.einsum("i,ij->j", self.prices(), self.columns.table)
                np.maximum(reduced, 0.0, out=reduced)
            row = np.einsum("i,ij->j", self.inverse[leave], self.columns.table)
            falling = np.flatnonzero(row < -1e-7)
            if not len(falling) or not spend(110 + rows * (rows + 2 * len(row)) // 500):
                return False
            ratios = reduced[falling] / -row[falling]
            near = falling[ratios <= ratios.min() + TINY]
            enter = int(near[np.argmin(row[near])])
            self._pivot(leave, enter, self._change(enter))
            reduced -= reduced[enter] / row[enter] * row
            np.maximum(reduced, 0.0, out=reduced)
        return False

    def _change(self, column: int) -> np.ndarray:
        """By how much of each basic column one of this column takes the place."""
        entries = self.columns.table[:, column]
        there = np.flatnonzero(entries)
        return np.einsum("ij,j->i", self.inverse[:, there], entries[there])

    @property
    def value(self) -> float:
        """The cost of the present solution."""
        return float(self.columns.costs[self.basis] @ self.used)

    def solve(self, better: Callable[[np.ndarray], list[int]], spend: Callable[[int], bool]) -> bool:
        """Bring the state to its optimum; False when the work ran out.

        `better(prices)` finds new columns that pay (an empty list at the optimum); `spend` counts work and says whether any is left.
        """
        rows, some, table = self.columns.rows, np.empty(0, dtype=np.int64), None
        while self.pivots < MOST_PIVOTS:
            prices, looked_at = self.prices(), len(some)
            enter = self._best_of(prices, some, table) if len(some) else None
            if enter is None:
                some, looked_at = self._promising(prices), self.columns.count
                if not len(some):
                    some = np.array(better(prices.copy()), dtype=np.int64)
                if not len(some):
                    return True
                table = np.ascontiguousarray(self.columns.table[:, some])
                enter = int(some[0])
            if not spend(110 + rows * (2 * rows + looked_at) // 500) or not self._enter(enter):
                return False
        return False

    def _promising(self, prices: np.ndarray) -> np.ndarray:
        """The columns that would lower the cost fastest, the best first."""
        reduced = self.columns.costs - np.einsum("i,ij->j", prices, self.columns.table)
        reduced[self.basis] = 0.0
        some = np.flatnonzero(reduced <= -1e-7)
        return some[np.argsort(reduced[some], kind="stable")[:PROMISING]]

    def _best_of(self, prices: np.ndarray, some: np.ndarray, table: np.ndarray) -> int | None:
        """Of these columns the one that lowers the cost fastest, or None."""
        reduced = self.columns.costs[some] - np.einsum("i,ij->j", prices, table)
        at = int(np.argmin(reduced))
        return int(some[at]) if reduced[at] < -1e-7 else None

    def _enter(self, column: int) -> bool:
        change = self._change(column)
        rising = change > 1e-8
        if not rising.any():
            return False
        ratios = np.full(len(change), np.inf)
        ratios[rising] = np.maximum(self.used[rising], 0.0) / change[rising]
        least = ratios.min()
        leave = int(np.argmax(np.where(ratios <= least + 1e-10, change, -1.0)))
        self._pivot(leave, column, change)
        return True

    def _pivot(self, leave: int, column: int, change: np.ndarray) -> None:
        self.pivots += 1
        self.basis[leave] = column
        if self.pivots % AFRESH == 0:
            self.refresh()
            return
        pivot_row = self.inverse[leave] / change[leave]
        step = self.used[leave] / change[leave]
        if self._carried:
            entries = self.columns.table[:, column]
            self._prices += (self.columns.costs[column] - float(entries @ self._prices)) * pivot_row
        self.inverse -= np.multiply(change[:, None], pivot_row, out=self._scratch)
        self.inverse[leave] = pivot_row
        self.used -= step * change
        self.used[leave] = step


def _inverse(matrix: np.ndarray) -> np.ndarray:
    """By elimination, one thread: a library's threads wait for each other longer than the work takes on a busy machine."""
    size = len(matrix)
    both = np.concatenate((matrix, np.eye(size)), axis=1)
    for at in range(size):
        pivot = at + int(np.argmax(np.abs(both[at:, at])))
        if pivot != at:
            both[[at, pivot]] = both[[pivot, at]]
        both[at] /= both[at, at]
        factors = both[:, at].copy()
        factors[at] = 0.0
        rows = np.flatnonzero(factors)
        if len(rows):
            both[rows] -= np.outer(factors[rows], both[at])
    return np.ascontiguousarray(both[:, size:])
