"""A first plan for jobs that want many of each part: sheets of strips, chosen together by a growing linear program.

A sheet is ripped into strips and the strips are crosscut (or the other way round). Which strips and sheets pay is found by two
knapsacks (Gilmore and Gomory 1965); the sheets used whole are taken, the rest is solved again, until nothing is left.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from .building import ORDERS, ordered, sheet_after_sheet
from .filling import fill
from .improving import Effort
from .knapsack import best_choice
from .linear import Columns, Program
from .trees import NO_LIMIT, ROW, STACK, joined, kinds_in, leaf
from .whole import Kind, Room

WORTH_ADDING = 0.003  # of a sheet that a new sheet must save for the linear program to go on; rounding loses far more
# new sheets sought for the rest each time after the first mix; without a limit the rest took most of the work
MOST_ROUNDS = 25
HIGHEST = 6  # equal parts one above the other in a strip, at most
MOST_STACKED = 150  # ways of laying parts one above the other that are tried in one strip
LONGEST = 6_000  # steps along a sheet; finer sizes are counted in coarser steps, parts rounded up


def from_strips(
    kinds: Sequence[Kind],
    room: Room,
    effort: Effort,
    limit: int = NO_LIMIT,
    top_up: bool = False,
    stacked: bool = False,
    most: float = math.inf,
) -> list[tuple]:
    """Sheets that hold all parts; where the work runs out before, the rest is put down part after part.

    Given up, with an empty list, where even the mix of sheets by the fraction comes to more than `most`.

    With `top_up`, every sheet takes whatever else finds a place, not only those that were rounded up. With `stacked`,
    parts stand one above the other in a strip too, which is a third stage.
    """
    left = np.array([kind.quantity for kind in kinds], dtype=np.int64)
    sheets: list[tuple] = []
    known: dict[tuple, tuple] = {}
    ways = {lie: columns_of(kinds, room, lie, stacked and limit > 2) for lie in (ROW, STACK)}
    while left.any():
        taken, needed = _relaxed(kinds, room, left, known, ways, effort, MOST_ROUNDS if sheets else None)
        if len(sheets) + needed > most:
            return []
        if not taken:
            rest = [number for number in ordered(kinds, ORDERS[0]) if left[number]]
            wanted = [number for number in dict.fromkeys(rest) for _ in range(int(left[number]))]
            filled, spent = sheet_after_sheet(kinds, wanted, room, limit, len(wanted))
            effort.spend(spent)
            return sheets + filled if filled else []
        for tree, times in taken:
            for _ in range(max(times, 1)):
                fresh = _only(tree, left)
                if fresh is None:
                    break
                if top_up or not times:  # rounded up: whatever else fits may come along
                    fresh = topped_up(
                        fresh, kinds, room, left - np.bincount(kinds_in(fresh), minlength=len(kinds)), effort, limit
                    )
                left = left - np.bincount(kinds_in(fresh), minlength=len(kinds))
                sheets.append(fresh)
    return sheets


def _relaxed(
    kinds: Sequence[Kind], room: Room, left: np.ndarray, known: dict, ways: dict, effort: Effort, rounds: int | None
) -> tuple[list[tuple[tuple, int]], float]:
    """The sheets used whole by the best mix for what is left and how often, or the one used most, 0 times; and how many
    sheets the mix comes to.

    With `rounds`, new sheets are sought so often at most, and the mix is good rather than the best.
    """
    rows = np.flatnonzero(left)
    columns, trees = Columns(len(rows)), {}
    one = np.eye(len(rows), dtype=np.int64)

    def add(tree: tuple) -> int:
        counts = np.bincount(kinds_in(tree), minlength=len(kinds))
        known[tuple(counts)] = tree
        number = columns.add(counts[rows], 1.0)
        trees.setdefault(number, tree)
        return number

    basis = []
    for at, row in enumerate(rows):
        kind = kinds[row]
        lying = kind.length <= room.length and kind.width <= room.width
        length, width = (kind.length, kind.width) if lying else (kind.width, kind.length)
        most = min((room.length // length) * (room.width // width), int(left[row]))
        across = min(room.length // length, most)
        strip = [leaf(int(row), length, width)] * across
        strips = [joined(ROW, list(strip)) for _ in range(most // across)]
        basis.append(add(joined(STACK, strips)))
        columns.add(-one[at], 0.0)
    for tree in list(known.values()):
        counts = np.bincount(kinds_in(tree), minlength=len(kinds))
        if (counts <= left).all():
            add(tree)

    def better(prices: np.ndarray) -> list[int]:
        nonlocal rounds
        if rounds is not None:
            if not rounds:
                return []
            rounds -= 1
        priced = np.zeros(len(kinds))
        priced[rows] = prices
        worths = priced.tolist()
        found = []
        for lie in (ROW, STACK):
            tree = best_sheet(ways[lie], room, worths, left, lie, effort)
            worth = np.bincount(kinds_in(tree), minlength=len(kinds)) @ priced if tree is not None else 0.0
            if worth > 1 + WORTH_ADDING:
                found.append((-float(worth), lie, add(tree)))
        return [number for _, _, number in sorted(found)]

    def spend(work: int) -> bool:
        effort.spend(work // 3)
        return not effort.is_over()

    program = Program(columns, left[rows], basis)
    if not program.solve(better, spend):
        return [], 0.0
    used = [
        (program.used[at], int(column))
        for at, column in enumerate(program.basis)
        if int(column) in trees and program.used[at] > 1e-6
    ]
    whole = [(trees[column], int(times + 1e-6)) for times, column in used if times > 1 - 1e-6]
    return whole or [(trees[max(used)[1]], 0)], program.value


class _Column(NamedTuple):  # not a dataclass: sorted and read very often
    """What stands in a strip from edge to edge: one part, or parts laid one above the other.

    `across` is its size across the strip, `along` that along it; `counts` says how many of each kind, `parts` has
    kind, length and width of each.
    """

    across: int
    along: int
    parts: tuple[tuple[int, int, int], ...]
    counts: tuple[tuple[int, int], ...]

    def most(self, rest: Sequence[int]) -> int:
        """How often it can be taken from what is left."""
        if len(self.counts) == 1:
            number, times = self.counts[0]
            return rest[number] // times
        return min([rest[number] // times for number, times in self.counts])

    def tree(self, lie: int) -> tuple:
        """Its parts as a tree, in a strip that lies this way."""
        leaves = [leaf(*part) for part in self.parts]
        return joined(STACK if lie == ROW else ROW, leaves)


def best_sheet(
    columns: Sequence[_Column], room: Room, prices: Sequence[float], left: np.ndarray, lie: int, effort: Effort
) -> tuple | None:
    """The most valuable sheet of strips that lie along the length (ROW) or across it (STACK); no more of a part than is left."""
    long, wide = (room.length, room.width) if lie == ROW else (room.width, room.length)
    coarse_long, coarse_wide = -(-long // LONGEST), -(-wide // LONGEST)
    rest, free, stack = left.tolist(), wide // coarse_wide, []
    while free > 0:
        columns = [
            column
            for column in columns
            if column.across <= free * coarse_wide
            and column.most(rest) > 0
            and all([prices[number] > 1e-9 for number, _ in column.counts])
        ]
        if not columns:
            break
        strips = _strips(columns, prices, rest, long // coarse_long, coarse_long, effort)
        before = len(stack)
        for across, contents in _together(columns, strips, rest, free, coarse_wide):
            counts = _totals(columns, contents)
            if len(stack) > before and any(times > rest[number] for number, times in counts.items()):
                break  # not enough left for this strip as it is: look again with what is left
            parts = []
            for at, times in contents:
                column = columns[at]
                fits = min(times, column.most(rest))
                for number, each in column.counts:
                    rest[number] -= fits * each
                parts += [column.tree(lie)] * fits
            if not parts:
                break
            stack.append(joined(lie, parts))
            free -= -(-across // coarse_wide)
        if len(stack) == before:
            break
    return joined(STACK if lie == ROW else ROW, stack) if stack else None


def columns_of(kinds: Sequence[Kind], room: Room, lie: int, stacked: bool) -> list[_Column]:
    """What may stand in a strip, thinnest first: single parts; with `stacked` also equal ones one above the other, and
    two that are equally long."""
    long, wide = (room.length, room.width) if lie == ROW else (room.width, room.length)
    single = []
    for number, kind in enumerate(kinds):
        for length, width in sorted(
            {(kind.length, kind.width)} | ({(kind.width, kind.length)} if kind.turns else set())
        ):
            along, across = (length, width) if lie == ROW else (width, length)
            if along <= long and across <= wide:
                single.append(_Column(across, along, ((number, length, width),), ((number, 1),)))
    single.sort()
    if not stacked or not single:
        return single
    thickest, more = single[-1].across, []
    for at, column in enumerate(single):
        number = column.parts[0][0]
        most = min(thickest // column.across, kinds[number].quantity, HIGHEST)
        more += [
            _Column(times * column.across, column.along, column.parts * times, ((number, times),))
            for times in range(2, most + 1)
        ]
        more += [
            _Column(
                column.across + other.across, column.along, column.parts + other.parts, column.counts + other.counts
            )
            for other in single[at + 1 :]
            if other.along == column.along and other.parts[0][0] != number and column.across + other.across <= thickest
        ]
    if len(more) > MOST_STACKED:
        more = [more[at * len(more) // MOST_STACKED] for at in range(MOST_STACKED)]
    return sorted(single + more)


def _strips(
    columns: list[_Column], prices: Sequence[float], rest: Sequence[int], top: int, coarse: int, effort: Effort
) -> list[tuple]:
    """The most valuable strip as thick as each single part: (across, worth, contents)."""
    values, scratch, steps, strips, single = np.zeros(top + 1), np.empty(top + 1), [], [], False
    for at, column in enumerate(columns):
        along, counts = -(-column.along // coarse), column.counts
        worth = prices[counts[0][0]] * counts[0][1] if len(counts) == 1 else sum([prices[n] * t for n, t in counts])
        most, times = min(column.most(rest), top // along), 1
        while most > 0:
            times = min(times, most)
            weight = times * along
            trial = np.add(values[: top + 1 - weight], times * worth, out=scratch[: top + 1 - weight])
            best = values[weight:]
            taken = trial > best + 1e-12  # not for the noise of sums: equal choices stay with the earlier part
            np.maximum(best, trial, out=best)
            steps.append((at, times, weight, taken))
            most -= times
            times *= 2
        single = single or len(column.parts) == 1
        if at + 1 == len(columns) or columns[at + 1].across > column.across:
            if single:
                strips.append((column.across, float(values[top]), len(steps)))
            single = False
    effort.spend((len(steps) + 4 * len(strips)) * (20 + top // 200) // 2)
    return [(across, worth, _contents(steps[:count], top)) for across, worth, count in strips if worth > 0]


def _together(columns: list[_Column], strips: list[tuple], rest: Sequence[int], free: int, coarse: int) -> list[tuple]:
    """Strips beside each other, most valuable together, the most valuable for its thickness first: (across, contents)."""
    weights = np.array([-(-across // coarse) for across, _, _ in strips])
    worths = np.array([worth for _, worth, _ in strips])
    often = [
        max(1, min([rest[number] // times for number, times in _totals(columns, contents).items()]))
        for _, _, contents in strips
    ]
    _, chosen = best_choice(weights, worths, np.minimum(free // weights, often), [free])[0]
    ranked = sorted(np.flatnonzero(chosen), key=lambda pick: (-worths[pick] / weights[pick], pick))
    return [(strips[pick][0], strips[pick][2]) for pick in ranked for _ in range(int(chosen[pick]))]


def _contents(steps: list, top: int) -> list[tuple[int, int]]:
    """Which ways of laying parts fill the strip best, and how often each."""
    found, free = [], top
    for at, times, weight, taken in reversed(steps):
        if weight <= free and taken[free - weight]:
            free -= weight
            found.append((at, times))
    return found


def _totals(columns: list[_Column], contents: list[tuple[int, int]]) -> dict[int, int]:
    totals: dict[int, int] = {}
    for at, times in contents:
        for number, each in columns[at].counts:
            totals[number] = totals.get(number, 0) + times * each
    return totals


def _only(tree: tuple, left: np.ndarray) -> tuple | None:
    """The tree without parts that are not wanted any more."""
    rest = left.copy()

    def cut(node: tuple) -> tuple | None:
        if node[2] == 2:
            rest[node[3]] -= 1
            return node if rest[node[3]] >= 0 else None
        children = [child for child in map(cut, node[3]) if child is not None]
        return joined(node[2], children) if children else None

    return cut(tree)


def topped_up(tree: tuple, kinds: Sequence[Kind], room: Room, left: np.ndarray, effort: Effort, limit: int) -> tuple:
    """The tree with whatever still finds a place, largest first."""
    wanted = sorted(np.flatnonzero(left > 0).tolist(), key=lambda number: -kinds[number].length * kinds[number].width)
    if not wanted:
        return tree
    least = min(min(kinds[number].length, kinds[number].width) for number in wanted)
    work = [tree, room.length, room.width, limit]
    _, spent = fill([number for number in wanted for _ in range(int(left[number]))], kinds, [work], least)
    effort.spend(spent)
    return work[0]
