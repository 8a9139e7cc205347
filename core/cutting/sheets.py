"""The plan for sheets: least cost first, then least work at the saw, then the best offcut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ..errors import ParameterError
from .bounds import cost_bound, stretched_bound
from .building import ORDERS, ordered, sheet_after_sheet, smallest_side
from .filling import fill
from .improving import FEW_PARTS, Effort, all_in, fewer_sheets
from .plan import CuttingPlan
from .problem import CuttingProblem
from .proving import proven_bound
from .sawing import Trims, sawn
from .strips import from_strips
from .trees import AREA, LEAVES, NO_LIMIT, kinds_in
from .whole import Room, Whole, in_whole_numbers

MOST_OFFERS = 10  # ways of equal cost that are laid out for the saw and compared
MANY_OF_EACH = 2  # parts of one size on average, from which sheets of strips chosen together make a good start
MOST_TIDIED = 60  # parts on one sheet, beyond which other layouts of the same sheet are not tried
EASIER_WORK = 1_000_000  # spent on plans that are only easier to saw, when the least possible is reached already
PROOF_SHARE = 0.15  # of the work, at most, for proving that fewer sheets will not do
ONE_SIZE_SHARE = 0.4  # of the work, at most, for plans that buy one size only, when there are several
TRIM_BOTH, TRIM_NEITHER = Trims(True, True), Trims(False, False)
TRIMS = (TRIM_BOTH, Trims(False, True), Trims(True, False), TRIM_NEITHER, Trims(False, False, late=True))
# Such starts: topped up; parts stacked in a strip; the share of the work that is left, at most, for each.
STRIPS = ((False, False, 0.4), (False, True, 0.4))
STRIPS_EASIER = ((False, False, 0.25), (True, False, 0.25))


def plan_sheets(problem: CuttingProblem, effort: Effort, tell: Callable[[str], None]) -> CuttingPlan:
    """The best plan found for rectangles on sheets."""
    whole = in_whole_numbers(problem)
    limit = NO_LIMIT if problem.stages is None else problem.stages
    if len(whole.rooms) == 1 and whole.rooms[0].count is None:
        least = stretched_bound(whole, whole.rooms[0])
        offers, least = _one_size(whole, least, limit, effort, tell)
        least_cost = least * whole.rooms[0].price
    else:
        least, least_cost = cost_bound(whole)
        offers = _several_sizes(whole, least_cost, limit, effort, tell)
    bench = _Layouts(problem, whole, limit)
    plans = [bench.plan(used, least, least_cost, effort) for used in offers[:MOST_OFFERS]]
    best = min(plans, key=lambda plan: plan.rank)
    short = _within_the_track(problem, whole)
    if any(sheet.impossible for sheet in best.sheets) and short is not None:
        offers = _several_sizes(short, least_cost, limit, effort, tell)[:MOST_OFFERS]
        bench = _Layouts(problem, short, limit)
        best = min(
            (best, *(bench.plan(used, least, least_cost, effort) for used in offers)), key=lambda plan: plan.rank
        )
    return best


def _within_the_track(problem: CuttingProblem, whole: Whole) -> Whole | None:
    """The problem with those sizes only along which the track guides a cut, if they are fewer and as many as wanted
    hold every part."""
    if problem.saws is None:
        return None
    rooms = tuple(room for room in whole.rooms if problem.stock[room.stock].length <= problem.saws.track)
    fewer = len(rooms) < len(whole.rooms) and any(room.count is None and _holds_each(whole, room) for room in rooms)
    return replace(whole, rooms=rooms) if fewer else None


class _Layouts:
    """Lays sheets out for the least labour at the saw; each sheet is worked out once, in however many plans it stands."""

    def __init__(self, problem: CuttingProblem, whole: Whole, limit: int) -> None:
        self.problem, self.whole, self.limit = problem, whole, limit
        self._easiest: dict[tuple[int, str], tuple[tuple, Trims]] = {}
        self._ranked: dict[tuple, tuple] = {}

    def plan(self, used: list[tuple[Room, tuple]], least: int, least_cost: float, effort: Effort) -> CuttingPlan:
        """The plan for these trees."""
        unused = {number: list(kind.numbers) for number, kind in enumerate(self.whole.kinds)}
        sheets = []
        for room, tree in used:
            easiest, trims = self.easiest(room, tree)
            sheets.append(sawn(self.problem, self.whole, room.stock, easiest, unused, trims))
        return CuttingPlan(self.problem, tuple(sheets), least, least_cost, effort.stopped_early, effort.done)

    def easiest(self, room: Room, tree: tuple) -> tuple[tuple, Trims]:
        """The same parts on the same sheet with the fewest fence settings, then cuts, then turns, then the largest
        offcut; and which far edges to trim first."""
        key = room.stock, repr(tree)
        if key not in self._easiest:
            self._easiest[key] = (tree, TRIM_BOTH) if tree[LEAVES] > MOST_TIDIED else self._compared(room, tree)
        return self._easiest[key]

    def _compared(self, room: Room, tree: tuple) -> tuple[tuple, Trims]:
        trees = [tree, *self._other_layouts(room, kinds_in(tree))]
        stock = self.problem.stock[room.stock]
        if not self.problem.edge_trim(stock) and not self.problem.end_trim(stock):
            return min(trees, key=lambda other: self._rank(room, other, TRIM_BOTH)), TRIM_BOTH
        easiest = min(trees, key=lambda other: self._rank(room, other, TRIM_NEITHER))
        return easiest, min(TRIMS, key=lambda trims: self._rank(room, easiest, trims))

    def _other_layouts(self, room: Room, held: list[int]) -> list[tuple]:
        """The parts put down largest first, by each of the orders."""
        kinds, trees, tried = self.whole.kinds, [], []
        for order in ORDERS:
            ranked = sorted(held, key=lambda number, order=order: (order(kinds[number]), number), reverse=True)
            if ranked not in tried:
                tried.append(ranked)
                work = [None, room.length, room.width, self.limit]
                left, _ = fill(ranked, kinds, [work], smallest_side(kinds, held))
                if not left:
                    trees.append(work[0])
        return trees

    def _rank(self, room: Room, tree: tuple, trims: Trims) -> tuple:
        """What layouts of one sheet are compared by; smaller is better throughout."""
        key = room.stock, repr(tree), trims
        if key not in self._ranked:
            held = kinds_in(tree)
            parts = {number: [self.whole.kinds[number].numbers[0]] * held.count(number) for number in set(held)}
            sheet = sawn(self.problem, self.whole, room.stock, tree, parts, trims)
            offcut = sheet.largest_offcut
            self._ranked[key] = (
                sheet.impossible,
                sheet.settings,
                len(sheet.cuts),
                sheet.turns,
                -(offcut.area if offcut else 0),
            )
        return self._ranked[key]


def _one_size(
    whole: Whole, least: int, limit: int, effort: Effort, tell: Callable[[str], None]
) -> tuple[list[list[tuple[Room, tuple]]], int]:
    """As many sheets of one size as needed: every way found with the fewest; and how many are needed at the least."""
    room, found = whole.rooms[0], []
    parts = most = sum(kind.quantity for kind in whole.kinds)
    for order in ORDERS:
        sheets, spent = sheet_after_sheet(whole.kinds, ordered(whole.kinds, order), room, limit, most)
        effort.spend(spent)
        if sheets or not found:
            found, most = [*found, sheets], len(sheets)
        if effort.is_over():
            break
    if min(map(len, found)) > least and not effort.is_over():
        share = effort.part(int(effort.left * PROOF_SHARE))
        least = proven_bound(whole.kinds, room, found, least, share)
        effort.take(share)
    if sum(kind.quantity for kind in whole.kinds) >= MANY_OF_EACH * len(whole.kinds):
        reached = min(map(len, found)) <= least
        for top_up, stacked, most_work in STRIPS_EASIER if reached else STRIPS:
            if not effort.is_over():
                reached = min(map(len, found)) <= least
                share = effort.part(EASIER_WORK if reached else int(effort.left * most_work))
                sheets = from_strips(whole.kinds, room, share, limit, top_up, stacked)
                effort.take(share)
                found += [sheets] if sheets else []
    # With few parts the search finds more from the first of the shortest plans, with many from the one with the emptiest sheet.
    best = min(found, key=len if parts <= FEW_PARTS else _nearest_to_one_fewer)
    tell(f"{len(best)} sheets, at least {least}")
    found.append(fewer_sheets(best, whole.kinds, room, least, effort, limit, tell=tell))
    fewest = min(map(len, found))
    different = {tuple(map(repr, sheets)): sheets for sheets in found if len(sheets) == fewest}
    return [[(room, tree) for tree in sheets] for sheets in different.values()], least


def _nearest_to_one_fewer(sheets: list[tuple]) -> tuple[int, int]:
    """The fewer sheets, and the less there is on the emptiest, the nearer."""
    return len(sheets), min((tree[AREA] for tree in sheets), default=0)


def _several_sizes(
    whole: Whole, least_cost: float, limit: int, effort: Effort, tell: Callable[[str], None]
) -> list[list[tuple[Room, tuple]]]:
    """Several sizes, prices and counts; what lies in the rack first. Every way found that costs as little as the
    best."""
    tried = [_filled(whole, order, limit, effort) for order in ORDERS]
    found = [used for used in tried if used is not None]
    for room in whole.rooms:
        if room.count is None and room.price and not effort.is_over() and _holds_each(whole, room):
            one = replace(whole, rooms=(room,))
            share = effort.part(int(effort.left * ONE_SIZE_SHARE / len(whole.rooms)))
            least = max(stretched_bound(one, room), int(-(-least_cost // room.price)))
            found += _one_size(one, least, limit, share, _quiet)[0]
            effort.take(share)
    if not found:
        found = [_squeezed(whole, limit, effort)]
    best = _cheapest(min(found, key=_cost), whole, least_cost, limit, effort, tell)
    lowest = _cost(best)[0]
    return [best, *(used for used in found if used is not best and _cost(used)[0] <= lowest)]


def _holds_each(whole: Whole, room: Room) -> bool:
    """Whether every part fits a sheet of this size."""
    return all(
        (kind.length <= room.length and kind.width <= room.width)
        or (kind.turns and kind.width <= room.length and kind.length <= room.width)
        for kind in whole.kinds
    )


def _quiet(words: str) -> None:
    """Tell nobody."""


def _cheapest(
    best: list[tuple[Room, tuple]],
    whole: Whole,
    least_cost: float,
    limit: int,
    effort: Effort,
    tell: Callable[[str], None],
) -> list[tuple[Room, tuple]]:
    """The plan with sheets left out or exchanged for cheaper ones, as long as that can be done."""
    tell(f"cost {_cost(best)[0]:g}, at least {least_cost:g}")
    while _cost(best)[0] > least_cost + 1e-9 and not effort.is_over():
        cheaper = _cheaper(best, whole, limit, effort)
        if cheaper is None:
            break
        best = cheaper
        tell(f"cost {_cost(best)[0]:g}, at least {least_cost:g}")
    return best


def _cost(used: list[tuple[Room, tuple]]) -> tuple[float, int]:
    return round(sum(room.price for room, _ in used), 9), sum(room.area for room, _ in used)


def _filled(whole: Whole, order: Callable, limit: int, effort: Effort) -> list[tuple[Room, tuple]] | None:
    """One sheet after another, each of the size on which the most is placed for its price; None when the stock runs
    out."""
    counts = {at: room.count for at, room in enumerate(whole.rooms)}
    left, used = ordered(whole.kinds, order), []
    while left:
        offers = []
        for at, room in enumerate(whole.rooms):
            if counts[at] == 0:
                continue
            work = [None, room.length, room.width, limit]
            rest, spent = fill(left, whole.kinds, [work], smallest_side(whole.kinds, left), limit)
            effort.spend(spent)
            if work[0] is not None:
                # What holds all the rest is judged by its price alone; otherwise by price per area placed.
                offers.append(
                    (bool(rest), room.price / work[0][AREA] if rest else room.price, room.area, at, work[0], rest)
                )
        if not offers:
            return None
        free = [offer for offer in offers if whole.rooms[offer[3]].price == 0]
        _, _, _, at, tree, left = min(free or offers, key=lambda offer: offer[:4])
        used.append((whole.rooms[at], tree))
        counts[at] = None if counts[at] is None else counts[at] - 1
    return used


def _cheaper(
    used: list[tuple[Room, tuple]], whole: Whole, limit: int, effort: Effort
) -> list[tuple[Room, tuple]] | None:
    """The same parts at less cost: one sheet left out, or one exchanged for a cheaper size."""
    counts = {room.stock: room.count for room in whole.rooms}
    for room, _ in used:
        if counts[room.stock] is not None:
            counts[room.stock] -= 1
    changes = []
    for at, (room, tree) in enumerate(used):
        for other in (None, *whole.rooms):
            saved = room.price - (other.price if other else 0)
            if saved > 1e-9 and (other is None or counts[other.stock] != 0):
                missing = tree[AREA] - (other.area if other else 0)
                free = sum(each.area - node[AREA] for number, (each, node) in enumerate(used) if number != at)
                if missing <= free:
                    changes.append((missing / (free + 1), -saved, at, other))
    changes.sort(key=lambda change: change[:3])
    for number, (_, _, at, other) in enumerate(changes):
        if effort.is_over():
            return None
        room, tree = used[at]
        kept = used[:at] + used[at + 1 :]
        share = effort.part(max(effort.left // (len(changes) - number), 1))
        rooms = [each for each, _ in kept] + ([other] if other else [])
        trees = [node for _, node in kept] + ([None] if other else [])
        fuller = all_in(trees, rooms, kinds_in(tree), whole.kinds, share, limit)
        effort.take(share)
        if fuller is not None:
            return [(each, node) for each, node in zip(rooms, fuller) if node is not None]
    return None


def _squeezed(whole: Whole, limit: int, effort: Effort) -> list[tuple[Room, tuple]]:
    """All parts into all the stock there is."""
    rooms = [room for room in whole.rooms for _ in range(room.count or sum(kind.quantity for kind in whole.kinds))]
    trees = all_in([None] * len(rooms), rooms, ordered(whole.kinds, ORDERS[0]), whole.kinds, effort, limit)
    if trees is None:
        there = ", ".join(
            f"{room.count if room.count is not None else 'any number of'} of stock[{room.stock}]"
            for room in whole.rooms
        )
        raise ParameterError(
            "stock", f"no way was found to cut all {sum(kind.quantity for kind in whole.kinds)} parts out of {there}"
        )
    return [(room, tree) for room, tree in zip(rooms, trees) if tree is not None]
