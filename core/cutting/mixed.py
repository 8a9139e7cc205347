"""Lengths out of mixed stock: several sizes, prices and counts, and defects that no part may touch.

Length after length, each filled as full as can be (exactly, run by run between defects), the one chosen that places
most for its price; tried again with the parts valued a little differently, and the cheapest kept.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np

from ..errors import ParameterError
from .bounds import cost_bound
from .improving import Effort
from .knapsack import best_choice
from .plan import ACROSS, KEEP, PART, SCRAP, TRIM, CuttingPlan, Placement, SheetPlan
from .problem import CuttingProblem, clear_runs
from .sawing import DUST, Sawyer, in_setting_order
from .whole import Whole

TRIES = 60  # differently valued fillings of the whole job
COARSEST = 60_000  # steps in a run; longer runs are counted in coarser steps, parts rounded up


def plan_mixed(problem: CuttingProblem, whole: Whole, effort: Effort, tell: Callable[[str], None]) -> CuttingPlan:
    """The cheapest plan found."""
    least, least_cost = cost_bound(whole)
    sizes = np.array([kind.length for kind in whole.kinds], dtype=np.int64)
    runs = {at: _runs(problem, whole, room.stock) for at, room in enumerate(whole.rooms)}
    chance, best = random.Random(1).random, None
    for number in range(TRIES):
        values = sizes * (1.0 + 1e-6 * sizes / sizes.max(initial=1))
        if number:
            values = values * np.array([1 + 0.05 * chance() + 0.1 * chance() * size / sizes.max() for size in sizes])
        used = _filled(whole, runs, sizes, values, effort)
        if used is not None and (best is None or _cost(whole, used) < _cost(whole, best)):
            best = used
            count = f"{len(best)} length{'s' * (len(best) != 1)}"
            tell(f"{count}, cost {_cost(whole, best)[0]:g}; at least {least_cost:g}")
        if best is not None and (_cost(whole, best)[0] <= least_cost + 1e-9 or effort.is_over()):
            break
    if best is None:
        raise ParameterError(
            "stock",
            f"no way was found to cut all {sum(kind.quantity for kind in whole.kinds)} parts out of the lengths there are",
        )
    unused = {number: list(kind.numbers) for number, kind in enumerate(whole.kinds)}
    sheets = tuple(_sawn(problem, whole, whole.rooms[at].stock, filled, unused) for at, filled in best)
    return CuttingPlan(problem, sheets, least, least_cost, effort.stopped_early, effort.done)


def _runs(problem: CuttingProblem, whole: Whole, stock: int) -> list[tuple[float, float, int]]:
    """The clear runs of one stock length, from and to in mm, and how long they are in steps, a kerf added for the last
    part."""
    runs = clear_runs(problem, problem.stock[stock])
    return [(low, high, int((high - low + problem.kerf) * whole.scale + 1e-6)) for low, high in runs]


def _cost(whole: Whole, used: list) -> tuple[float, int, int]:
    rooms = [whole.rooms[at] for at, _ in used]
    return round(sum(room.price for room in rooms), 9), len(rooms), sum(room.length for room in rooms)


def _filled(whole: Whole, runs: dict, sizes: np.ndarray, values: np.ndarray, effort: Effort) -> list | None:
    """Length after length until nothing is left; None when the stock runs out."""
    left = np.array([kind.quantity for kind in whole.kinds], dtype=np.int64)
    counts = [room.count for room in whole.rooms]
    used = []
    while left.any():
        offers = []
        for at, room in enumerate(whole.rooms):
            if counts[at] == 0:
                continue
            rest, filled = left.copy(), []
            for low, high, steps in sorted(runs[at], key=lambda run: -run[2]):
                coarse = -(-steps // COARSEST)
                chosen = best_choice(-(-sizes // coarse), values, rest, [steps // coarse])[0][1]
                effort.spend(20 * len(sizes) + steps // coarse * len(sizes) // 70)
                rest = rest - chosen
                filled.append((low, high, chosen))
            placed = float((left - rest) @ values)
            if placed:
                offers.append(
                    (bool(rest.any()), room.price / placed if rest.any() else room.price, -placed, at, filled, rest)
                )
        if not offers:
            return None
        free = [offer for offer in offers if whole.rooms[offer[3]].price == 0]
        _, _, _, at, filled, left = min(free or offers, key=lambda offer: offer[:4])
        counts[at] = None if counts[at] is None else counts[at] - 1
        used.append((at, filled))
    return used


def _sawn(problem: CuttingProblem, whole: Whole, stock: int, filled: list, unused: dict[int, list[int]]) -> SheetPlan:
    """The cuts of one length from the datum end on; what holds a defect is scrap, sound stretches beside it are
    kept."""
    sawyer, piece, placements = Sawyer(problem, stock), 0, []
    clear = [entry for entry in sorted(filled, key=lambda entry: entry[0]) if entry[2].any()]
    runs = clear_runs(problem, problem.stock[stock])
    for low, _, chosen in clear:
        piece = _kept_before(sawyer, piece, runs, low)
        start = sawyer.pieces[piece]
        if low - start.x > DUST:
            piece, before = sawyer.cut(piece, ACROSS, start.length - (low - start.x), far=True)
            if before is not None:
                trim = start.x <= DUST and low <= problem.end_trim(problem.stock[stock]) + DUST
                sawyer.name(before, TRIM if trim else SCRAP)
        for kind in sorted(np.flatnonzero(chosen), key=lambda kind: -whole.kinds[kind].length):
            for _ in range(int(chosen[kind])):
                part = unused[int(kind)].pop(0)
                length = problem.parts[part].length
                if sawyer.pieces[piece].length - length > DUST:
                    off, rest = sawyer.cut(piece, ACROSS, length)
                else:
                    off, rest = piece, None
                placements.append(Placement(part, sawyer.pieces[off].x, sawyer.pieces[off].y, False))
                sawyer.name(off, PART, part)
                piece = rest
    if piece is not None:
        stop = problem.stock[stock].length
        piece = _kept_before(sawyer, piece, [run for run in runs if run[1] < runs[-1][1]], stop)
        end = sawyer.pieces[piece].x + problem.kerf
        sound = all(high < end for _, high in problem.stock[stock].defects)
        sawyer.name(piece, KEEP if sound else SCRAP)
    return SheetPlan(stock, tuple(placements), tuple(sawyer.pieces), in_setting_order(sawyer.cuts))


def _kept_before(sawyer: Sawyer, piece: int, runs: list[tuple[float, float]], stop: float) -> int:
    """Cut out the sound stretches that end before this place and are worth keeping; the number of what is left."""
    for low, high in runs:
        start = sawyer.pieces[piece]
        low = max(low, start.x)
        if high > stop - DUST or not sawyer.worth_keeping(high - low, 1.0):
            continue
        if low - start.x > DUST:
            piece, before = sawyer.cut(piece, ACROSS, start.length - (low - start.x), far=True)
            if before is not None:
                sawyer.name(before, SCRAP)
        off, rest = sawyer.cut(piece, ACROSS, high - low)
        sawyer.name(off, KEEP)
        piece = rest  # never None: a defect follows
    return piece
