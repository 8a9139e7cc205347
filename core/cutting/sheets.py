"""The plan for sheets: least cost first, then least work at the saw, then the best offcut."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from ..errors import ParameterError
from .bounds import cost_bound, stretched_bound
from .building import ORDERS, ordered, sheet_after_sheet, smallest_side
from .filling import fill
from .improving import Effort, Search, fewer_sheets, how_many
from .plan import CuttingPlan
from .problem import CuttingProblem
from .proving import proven_bound
from .sawing import Trims, sawn
from .strips import from_strips
from .trees import AREA, LEAVES, NO_LIMIT, kinds_in
from .valuing import valued
from .whole import Room, Whole, in_whole_numbers

MOST_OFFERS = 10  # ways of equal cost that are laid out for the saw and compared
MANY_OF_EACH = 2  # parts of one size on average, from which sheets of strips chosen together make a good start
MOST_TIDIED = 60  # parts on one sheet, beyond which other layouts of the same sheet are not tried
EASIER_WORK = 150_000  # spent on plans that are only easier to saw, when the least possible is reached already
PASSES = 18  # of plans by the value of their parts
# Shares of the work that is left, at most: for plans by value; for a first proof and one sheet fewer at once; for proving that fewer will not do; for plans of
# strips chosen together, each; and, with several sizes, for plans that buy one size only.
VALUED_SHARE, QUICK_SHARE, PROOF_SHARE, STRIPS_SHARE, ONE_SIZE_SHARE = 0.2, 0.02, 0.1, 0.25, 0.4
# Some of the emptiest sheets put into one fewer: of the work that is left, for each attempt, and how full they may then be on average.
EMPTIEST_SHARE, EMPTIEST_WORK, NOT_TOO_FULL = 0.25, 700_000, 0.94
NEARLY = 0.4  # of a sheet above one fewer, by the fraction, from which the search may still find the last of it
TRIM_BOTH, TRIM_NEITHER = Trims(True, True), Trims(False, False)
TRIMS = (TRIM_BOTH, Trims(False, True), Trims(True, False), TRIM_NEITHER, Trims(False, False, late=True))
# Plans of strips chosen together: topped up; parts stacked in a strip.
STRIPS = ((False, False), (False, True))
STRIPS_EASIER = ((False, False), (True, False))


def plan_sheets(
    problem: CuttingProblem, effort: Effort, tell: Callable[[str], None], eased: bool = True
) -> CuttingPlan:
    """The best plan found for rectangles on sheets; not `eased`, the first found of those that cost as little."""
    whole = in_whole_numbers(problem)
    limit = NO_LIMIT if problem.stages is None else problem.stages
    if len(whole.rooms) == 1 and whole.rooms[0].count is None:
        least = stretched_bound(whole, whole.rooms[0])
        search = _OneSize(whole, least, limit, effort)
        offers, least = search.run(tell), search.least
        least_cost = least * whole.rooms[0].price
    else:
        least, least_cost = cost_bound(whole)
        offers = _several_sizes(whole, least_cost, limit, effort, tell)
    hurry = effort.stopped_early or not eased
    bench = _Layouts(problem, whole, limit, hurry)
    plans = [bench.plan(used, least, least_cost, effort) for used in offers[: 1 if hurry else MOST_OFFERS]]
    best = min(plans, key=lambda plan: plan.rank)
    short = _within_the_track(problem, whole)
    if any(sheet.impossible for sheet in best.sheets) and short is not None:
        offers = _several_sizes(short, least_cost, limit, effort, tell)[:MOST_OFFERS]
        bench = _Layouts(problem, short, limit, effort.stopped_early or not eased)
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
    """Lays sheets out for the least labour at the saw, or in a `hurry` as they were found; each sheet is worked out once, in however many
    plans it stands."""

    def __init__(self, problem: CuttingProblem, whole: Whole, limit: int, hurry: bool) -> None:
        self.problem, self.whole, self.limit, self.hurry = problem, whole, limit, hurry
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
            as_it_is = self.hurry or tree[LEAVES] > MOST_TIDIED
            self._easiest[key] = (tree, TRIM_BOTH) if as_it_is else self._compared(room, tree)
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


class _OneSize:
    """The search with one size of sheet: first plans, cheap ones first; a proof that fewer sheets will not do; then one sheet fewer again
    and again."""

    def __init__(self, whole: Whole, least: int, limit: int, effort: Effort) -> None:
        self.kinds, self.room, self.limit, self.effort = whole.kinds, whole.rooms[0], limit, effort
        self.least, self.found = least, []
        self.parts = sum(kind.quantity for kind in whole.kinds)

    def run(self, tell: Callable[[str], None]) -> list[list[tuple[Room, tuple]]]:
        """As many sheets as needed: every way found with the fewest. `least` is how many are needed at the least, proven."""
        self._in_order()
        tell(how_many(self._fewest(), self.least))
        if self._to_save():
            self._prove(QUICK_SHARE)
        if self._to_save():
            self._by_value()
        if self._to_save() == 1:
            self._one_fewer(QUICK_SHARE)
        if self._to_save():
            self._prove(PROOF_SHARE)
        if self.parts >= MANY_OF_EACH * len(self.kinds):
            self._of_strips()
        tell(how_many(self._fewest(), self.least))
        if self._to_save():
            self._emptiest_together(tell)
        self._one_fewer(1.0, tell)
        fewest = self._fewest()
        different = {tuple(map(repr, sheets)): sheets for sheets in self.found if len(sheets) == fewest}
        return [[(self.room, tree) for tree in sheets] for sheets in different.values()]

    def _fewest(self) -> int:
        return min(map(len, self.found))

    def _to_save(self) -> int:
        """How many sheets there are above the least possible, as long as there is work left to save them."""
        return 0 if self.effort.is_over() else self._fewest() - self.least

    def _share(self, share: float) -> Effort:
        return self.effort.part(int(self.effort.left * share))

    def _in_order(self) -> None:
        """Part after part, largest first by one order or another."""
        most = self.parts
        for order in ORDERS:
            sheets, spent = sheet_after_sheet(self.kinds, ordered(self.kinds, order), self.room, self.limit, most)
            self.effort.spend(spent)
            if sheets or not self.found:
                self.found.append(sheets)
                most = len(sheets)
            if self.effort.is_over():
                break

    def _by_value(self) -> None:
        """Sheet after sheet by the value of the parts."""
        share = self._share(VALUED_SHARE)
        for sheets in valued(self.kinds, self.room, share, self.limit, PASSES, self._fewest()):
            self.found.append(sheets)
            if len(sheets) <= self.least:
                break
        self.effort.take(share)

    def _prove(self, share: float) -> None:
        """That fewer sheets will not do, by prices."""
        part = self._share(share)
        self.least = proven_bound(self.kinds, self.room, self.found, self.least, part)
        self.effort.take(part)

    def _of_strips(self) -> None:
        """Strips chosen together, where that may save a sheet; or for plans that are easier to saw, where none can be saved."""
        for easier, fewer in zip(STRIPS_EASIER, STRIPS, strict=True):
            if self.effort.is_over():
                break
            if self._to_save():
                share, most = self._share(STRIPS_SHARE), self._fewest() - 1 + NEARLY
            else:
                share, most = self.effort.part(EASIER_WORK), self._fewest()
            top_up, stacked = fewer if self._to_save() else easier
            sheets = from_strips(self.kinds, self.room, share, self.limit, top_up, stacked, most)
            self.effort.take(share)
            if sheets:
                self.found.append(sheets)

    def _emptiest_together(self, tell: Callable[[str], None]) -> None:
        """A few of the emptiest sheets into one fewer, the full ones left alone: where most sheets are full, the last ones have room."""
        share, tried = self._share(EMPTIEST_SHARE), set()
        while self._fewest() > self.least and not share.is_over():
            offers = []
            for number, sheets in enumerate(self.found):
                if len(sheets) == self._fewest():
                    ranked = sorted(sheets, key=lambda tree: tree[AREA])
                    for count in range(2, len(ranked)):
                        filled = sum(tree[AREA] for tree in ranked[:count]) / (count - 1) / self.room.area
                        if filled <= NOT_TOO_FULL and (number, count) not in tried:
                            offers.append((filled, count, number, ranked))
            if not offers:
                break
            _, count, number, ranked = min(offers, key=lambda offer: offer[:3])
            tried.add((number, count))
            kept, part = ranked[1:count], share.part(EMPTIEST_WORK)
            search = Search(kept, [self.room] * len(kept), kinds_in(ranked[0]), self.kinds, self.limit)
            fuller = search.run(part)
            share.take(part)
            if fuller is not None:
                self.found.append([*fuller, *ranked[count:]])
                tell(how_many(self._fewest(), self.least))
        self.effort.take(share)

    def _one_fewer(self, share: float, tell: Callable[[str], None] | None = None) -> None:
        """From the plan that is nearest to one sheet fewer, for this share of the work at most."""
        best, part = min(self.found, key=_nearest_to_one_fewer), self._share(share)
        self.found.append(fewer_sheets(best, self.kinds, self.room, self.least, part, self.limit, tell))
        self.effort.take(part)


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
            found += _OneSize(one, least, limit, share).run(_quiet)
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
    tell(_so_far(best, least_cost))
    while _cost(best)[0] > least_cost + 1e-9 and not effort.is_over():
        cheaper = _cheaper(best, whole, limit, effort)
        if cheaper is None:
            break
        best = cheaper
        tell(_so_far(best, least_cost))
    return best


def _so_far(used: list[tuple[Room, tuple]], least_cost: float) -> str:
    return f"{len(used)} sheet{'s' * (len(used) != 1)}, cost {_cost(used)[0]:g}; at least {least_cost:g}"


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
            rest, spent = fill(left, whole.kinds, [work], smallest_side(whole.kinds, left))
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
        fuller = Search(trees, rooms, kinds_in(tree), whole.kinds, limit).run(share)
        effort.take(share)
        if fuller is not None:
            return [(each, node) for each, node in zip(rooms, fuller) if node is not None]
    return None


def _squeezed(whole: Whole, limit: int, effort: Effort) -> list[tuple[Room, tuple]]:
    """All parts into all the stock there is."""
    rooms = [room for room in whole.rooms for _ in range(room.count or sum(kind.quantity for kind in whole.kinds))]
    trees = Search([None] * len(rooms), rooms, ordered(whole.kinds, ORDERS[0]), whole.kinds, limit).run(effort)
    if trees is None:
        there = ", ".join(
            f"{room.count if room.count is not None else 'any number of'} of stock[{room.stock}]"
            for room in whole.rooms
        )
        raise ParameterError(
            "stock", f"no way was found to cut all {sum(kind.quantity for kind in whole.kinds)} parts out of {there}"
        )
    return [(room, tree) for room, tree in zip(rooms, trees) if tree is not None]
