"""How many sheets of one size are needed at the least, proven by prices.

Give every part a price. If the most valuable sheet that can be cut edge to edge is worth V, then the price of all parts over V
is a lower bound on the sheets (Gilmore and Gomory 1965; Farley 1990). The prices come from a linear program over the sheets
known so far, which grows by the most valuable sheet each time. That sheet is found exactly, but each part may stand on it more
often than it is wanted: the bound is strong where many of each part are wanted. Cuts are only looked for where sizes of
parts add up to (raster points: Scheithauer and Terno 1996; Cintra et al. 2008).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np

from .improving import Effort
from .linear import Columns, Program
from .trees import kinds_in
from .whole import Kind, Room

MOST_CELLS = 30_000  # sizes of a piece that are told apart, length by width; beyond it one sheet takes too long to find
MOST_STEPS = 30_000  # along or across a sheet, beyond which it is not even tried
EXACT = 10**9  # prices are counted in whole parts of this, so that the bound is free of rounding


def proven_bound(kinds: Sequence[Kind], room: Room, plans: Iterable[list[tuple]], least: int, effort: Effort) -> int:
    """The least number of sheets proven: `least`, or more. `plans` are plans already found, as trees; their sheets begin the program."""
    plans = list(plans)
    best = min(map(len, plans))
    if least >= best or max(room.length, room.width) > MOST_STEPS:
        return least
    search = _MostValuable(kinds, room)
    if search.cells > MOST_CELLS:
        return least
    demand = np.array([kind.quantity for kind in kinds], dtype=np.int64)
    columns, one = Columns(len(kinds)), np.eye(len(kinds), dtype=np.int64)
    singles = [columns.add(each, 1.0) for each in one]
    for each in one:
        columns.add(-each, 0.0)
    for tree in (tree for sheets in plans for tree in sheets):
        columns.add(np.bincount(kinds_in(tree), minlength=len(kinds)), 1.0)
    program = Program(columns, demand, singles)

    def better(prices: np.ndarray) -> list[int]:
        nonlocal least
        if least >= best or np.ceil(program.value - 1e-6) <= least:
            return []  # nothing left to prove, or not even at the optimum
        exact = np.maximum(np.floor(prices * EXACT), 0).astype(np.int64)
        value, counts = search.sheet(exact)
        effort.spend(search.work)
        least = max(least, -(-int(exact @ demand) // value))
        return [columns.add(counts, 1.0)] if value > EXACT * (1 + 1e-6) else []

    def spend(work: int) -> bool:
        effort.spend(work // 3)
        return not effort.is_over()

    program.solve(better, spend)
    return least


class _MostValuable:
    """The most valuable sheet, parts as often as they fit (dynamic programming over the sizes a piece may have)."""

    def __init__(self, kinds: Sequence[Kind], room: Room) -> None:
        sides = [[(kind.length, kind.width), (kind.width, kind.length)][: 1 + kind.turns] for kind in kinds]
        self.lengths = _points(
            [({length for length, _ in each}, kind.quantity) for each, kind in zip(sides, kinds)], room.length
        )
        self.widths = _points(
            [({width for _, width in each}, kind.quantity) for each, kind in zip(sides, kinds)], room.width
        )
        self.count = len(kinds)
        self.work = 0
        self._shorter = _below(self.lengths, room.length)
        self._narrower = _below(self.widths, room.width)
        self._rests: dict[int, tuple[int, np.ndarray]] = {}
        # For each length, the parts that need it: (kind, first width that holds it).
        self._parts: list[list[tuple[int, int]]] = [[] for _ in self.lengths]
        for number, each in enumerate(sides):
            for length, width in each:
                if length <= room.length and width <= room.width:
                    at = int(np.searchsorted(self.lengths, length))
                    self._parts[at].append((number, int(np.searchsorted(self.widths, width))))

    @property
    def cells(self) -> int:
        """How many sizes of a piece are told apart."""
        return len(self.lengths) * len(self.widths)

    def sheet(self, values: np.ndarray) -> tuple[int, np.ndarray]:
        """The worth of the most valuable sheet at these whole values, and how often each kind stands on it."""
        self.work = 0
        worth = np.zeros((len(self.lengths), len(self.widths)), dtype=np.int64)
        for at in range(1, len(self.lengths)):
            worth[at], _ = self._ripped(self._uncut(worth, at, values))
        return int(worth[-1, -1]), self._traced(worth, values)

    def _uncut(self, worth: np.ndarray, at: int, values: np.ndarray) -> np.ndarray:
        """For pieces of one length and every width: the worth of one part, of a shorter piece, or of two cut across."""
        best = worth[at - 1].copy()
        for number, width in self._parts[at]:
            np.maximum(best[width:], values[number], out=best[width:])
        one, two = self._halves(at)
        if len(one):
            np.maximum(best, (worth[one] + worth[two]).max(axis=0), out=best)
        self.work += 80 + len(one) * len(best) // 40
        return best

    def _halves(self, at: int) -> tuple[np.ndarray, np.ndarray]:
        """The two lengths a piece of one length may be cut into."""
        length = self.lengths[at]
        one = np.arange(1, np.searchsorted(self.lengths, length // 2, side="right"))
        return one, self._shorter[length - self.lengths[one]]

    def _ripped(self, uncut: np.ndarray) -> tuple[np.ndarray, list]:
        """The same pieces ripped into as many as pay: the worth, and the steps that led to it."""
        row, steps = uncut.copy(), []
        for at in np.flatnonzero(uncut[1:] > uncut[:-1]) + 1:
            value, times = int(uncut[at]), 1
            if value < row[at] or row[at] == row[at - 1]:
                continue  # ripping gives as much already
            while (width := times * int(self.widths[at])) <= self.widths[-1]:
                first, rest = self._rest(width)
                trial = row[rest] + times * value
                taken = trial > row[first:]
                if times > 1 or taken.any():
                    row[first:] = np.where(taken, trial, row[first:])
                    steps.append((int(at), times, first, rest, taken))
                times *= 2
        self.work += 16 * len(steps)
        return row, steps

    def _rest(self, width: int) -> tuple[int, np.ndarray]:
        """From which width on this much can be ripped off, and which width then is left."""
        if width not in self._rests:
            first = int(np.searchsorted(self.widths, width))
            self._rests[width] = first, self._narrower[self.widths[first:] - width]
        return self._rests[width]

    def _traced(self, worth: np.ndarray, values: np.ndarray) -> np.ndarray:
        """How often each kind stands on the most valuable sheet."""
        counts = np.zeros(self.count, dtype=np.int64)
        waiting = [(len(self.lengths) - 1, len(self.widths) - 1)]
        while waiting:
            at, width = waiting.pop()
            if not worth[at, width]:
                continue
            uncut = self._uncut(worth, at, values)
            _, steps = self._ripped(uncut)
            for piece, times, first, rest, taken in reversed(steps):
                if width >= first and taken[width - first]:
                    for _ in range(times):
                        self._trace_uncut(worth, at, piece, values, uncut, counts, waiting)
                    width = int(rest[width - first])
            if uncut[width]:
                self._trace_uncut(worth, at, width, values, uncut, counts, waiting)
        return counts

    def _trace_uncut(
        self,
        worth: np.ndarray,
        at: int,
        width: int,
        values: np.ndarray,
        uncut: np.ndarray,
        counts: np.ndarray,
        waiting: list,
    ) -> None:
        value = uncut[width]
        if worth[at - 1, width] == value:
            waiting.append((at - 1, width))
            return
        for number, least in self._parts[at]:
            if least <= width and values[number] == value:
                counts[number] += 1
                return
        one, two = self._halves(at)
        cut = int(np.flatnonzero(worth[one, width] + worth[two, width] == value)[0])
        waiting += [(int(one[cut]), width), (int(two[cut]), width)]


def _points(kinds: Sequence[tuple[set[int], int]], room: int) -> np.ndarray:
    """The sizes a piece may need along one side, the fewer of two sets that each are enough.

    Sums of sizes, each kind at most as often as wanted; or sums without that limit, of them those that are the most beside
    another sum in the room. Those are enough because sums of such sums are sums again: where a and b fit a piece of size r, the
    most beside t, a piece as large as r less b allows is the most beside t + b. With limited sums that does not hold.
    """
    limited = _sums(kinds, room)
    sums = _sums([(sizes, room) for sizes, _ in kinds], room)
    beside = np.unique(sums[_below(sums, room)[room - sums]])
    return min(limited, beside, key=len)


def _sums(kinds: Sequence[tuple[set[int], int]], room: int) -> np.ndarray:
    """Nothing, and all sums of sizes up to the room, each kind so often at most."""
    reached = np.zeros(room + 1, dtype=bool)
    reached[0] = True
    for sizes, quantity in kinds:
        for _ in range(min(quantity, room // min(sizes))):
            before = reached.copy()
            for size in sorted(sizes):
                if size <= room:
                    reached[size:] |= before[: room + 1 - size]
            if (before == reached).all():
                break
    return np.flatnonzero(reached)


def _below(points: np.ndarray, room: int) -> np.ndarray:
    """For every size up to the room, the number of the largest point that is not larger."""
    return np.searchsorted(points, np.arange(room + 1), side="right") - 1
