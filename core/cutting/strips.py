"""A first plan for jobs that want many of each part: sheets of strips, chosen together by a growing linear program.

A sheet is ripped into strips and the strips are crosscut (or the other way round). Which strips and sheets pay is found by two
knapsacks (Gilmore and Gomory 1965); the sheets used whole are taken, the rest is solved again, until nothing is left.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from .filling import fill
from .improving import Effort
from .knapsack import best_choice
from .linear import Columns, Program
from .trees import NO_LIMIT, ROW, STACK, joined, kinds_in, leaf
from .whole import Kind, Room

LONGEST = 6_000  # steps along a sheet; finer sizes are counted in coarser steps, parts rounded up


def from_strips(
    kinds: Sequence[Kind], room: Room, effort: Effort, limit: int = NO_LIMIT, top_up: bool = False
) -> list[tuple]:
    """Sheets that hold all parts; an empty list when the work ran out before.

    With `top_up`, every sheet takes whatever else finds a place, not only those that were rounded up.
    """
    left = np.array([kind.quantity for kind in kinds], dtype=np.int64)
    sheets: list[tuple] = []
    known: dict[tuple, tuple] = {}
    while left.any():
        taken = _relaxed(kinds, room, left, known, effort)
        if not taken:
            return []
        for tree, times in taken:
            for _ in range(max(times, 1)):
                fresh = _only(tree, left)
                if fresh is None:
                    break
                if top_up or not times:  # rounded up: whatever else fits may come along
                    fresh = _topped_up(
                        fresh, kinds, room, left - np.bincount(kinds_in(fresh), minlength=len(kinds)), effort, limit
                    )
                left = left - np.bincount(kinds_in(fresh), minlength=len(kinds))
                sheets.append(fresh)
    return sheets


def _relaxed(
    kinds: Sequence[Kind], room: Room, left: np.ndarray, known: dict, effort: Effort
) -> list[tuple[tuple, int]]:
    """The sheets used whole by the best mix for what is left and how often, or the one used most, 0 times."""
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
        priced = np.zeros(len(kinds))
        priced[rows] = prices
        found = []
        for lie in (ROW, STACK):
            tree = _best_sheet(kinds, room, priced, left, lie, effort)
            worth = np.bincount(kinds_in(tree), minlength=len(kinds)) @ priced if tree is not None else 0.0
            if worth > 1 + 1e-6:
                found.append((-float(worth), lie, add(tree)))
        return [number for _, _, number in sorted(found)]

    def spend(work: int) -> bool:
        effort.spend(work // 3)
        return not effort.is_over()

    program = Program(columns, left[rows], basis)
    if not program.solve(better, spend):
        return []
    used = [
        (program.used[at], int(column))
        for at, column in enumerate(program.basis)
        if int(column) in trees and program.used[at] > 1e-6
    ]
    whole = [(trees[column], int(times + 1e-6)) for times, column in used if times > 1 - 1e-6]
    return whole or [(trees[max(used)[1]], 0)]


def _best_sheet(
    kinds: Sequence[Kind], room: Room, prices: np.ndarray, left: np.ndarray, lie: int, effort: Effort
) -> tuple | None:
    """The most valuable sheet of strips that lie along the length (ROW) or across it (STACK); no more of a part than is left."""
    long, wide = (room.length, room.width) if lie == ROW else (room.width, room.length)
    coarse_long, coarse_wide = -(-long // LONGEST), -(-wide // LONGEST)
    rest, free, stack = left.copy(), wide // coarse_wide, []
    while free > 0:
        ways = _ways(kinds, prices, rest, lie, long, free * coarse_wide)
        if not ways:
            break
        strips = _strips(ways, prices, rest, long // coarse_long, coarse_long, effort)
        before = len(stack)
        for across, contents in _together(ways, strips, rest, free, coarse_wide):
            counts = _totals(ways, contents)
            if len(stack) > before and any(times > rest[number] for number, times in counts.items()):
                break  # not enough left for this strip as it is: look again with what is left
            parts = []
            for at, times in contents:
                _, _, number, length, width = ways[at]
                fits = min(times, int(rest[number]))
                rest[number] -= fits
                parts += [leaf(number, length, width)] * fits
            stack.append(joined(lie, parts))
            free -= -(-across // coarse_wide)
        if len(stack) == before:
            break
    return joined(STACK if lie == ROW else ROW, stack) if stack else None


def _ways(kinds: Sequence[Kind], prices: np.ndarray, rest: np.ndarray, lie: int, long: int, wide: int) -> list[tuple]:
    """How parts may lie in a strip: (across, along, kind, length, width), thinnest first."""
    ways = []
    for number, kind in enumerate(kinds):
        if prices[number] > 1e-9 and rest[number] > 0:
            for length, width in sorted(
                {(kind.length, kind.width)} | ({(kind.width, kind.length)} if kind.turns else set())
            ):
                along, across = (length, width) if lie == ROW else (width, length)
                if along <= long and across <= wide:
                    ways.append((across, along, number, length, width))
    return sorted(ways)


def _strips(
    ways: list[tuple], prices: np.ndarray, rest: np.ndarray, top: int, coarse: int, effort: Effort
) -> list[tuple]:
    """The most valuable strip of every thickness: (across, worth, contents)."""
    values, steps, strips = np.zeros(top + 1), [], []
    for at, (across, along, number, _, _) in enumerate(ways):
        weight, times = -(-along // coarse), 1
        most = int(min(rest[number], top // weight))
        while most > 0:
            times = min(times, most)
            trial = values[: top + 1 - times * weight] + times * prices[number]
            taken = trial > values[times * weight :] + 1e-12
            values = values.copy()
            np.maximum(values[times * weight :], trial, out=values[times * weight :])
            steps.append((at, times, times * weight, taken))
            most -= times
            times *= 2
        if at + 1 == len(ways) or ways[at + 1][0] > across:
            strips.append((across, float(values[top]), len(steps)))
    effort.spend((len(steps) + 4 * len(strips)) * (20 + top // 70) // 2)
    return [(across, worth, _contents(steps[:count], top)) for across, worth, count in strips if worth > 0]


def _together(ways: list[tuple], strips: list[tuple], rest: np.ndarray, free: int, coarse: int) -> list[tuple]:
    """Strips beside each other, most valuable together, the most valuable for its thickness first: (across, contents)."""
    weights = np.array([-(-across // coarse) for across, _, _ in strips])
    worths = np.array([worth for _, worth, _ in strips])
    often = [
        max(1, min(int(rest[number]) // times for number, times in _totals(ways, contents).items()))
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


def _totals(ways: list, parts: list[tuple[int, int]]) -> dict[int, int]:
    totals: dict[int, int] = {}
    for at, times in parts:
        totals[ways[at][2]] = totals.get(ways[at][2], 0) + times
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


def _topped_up(tree: tuple, kinds: Sequence[Kind], room: Room, left: np.ndarray, effort: Effort, limit: int) -> tuple:
    """The tree with whatever still finds a place, largest first."""
    wanted = sorted(np.flatnonzero(left > 0).tolist(), key=lambda number: -kinds[number].length * kinds[number].width)
    if not wanted:
        return tree
    least = min(min(kinds[number].length, kinds[number].width) for number in wanted)
    work = [tree, room.length, room.width, limit]
    _, spent = fill([number for number in wanted for _ in range(int(left[number]))], kinds, [work], least, limit)
    effort.spend(spent)
    return work[0]
