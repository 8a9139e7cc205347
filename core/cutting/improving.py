"""A plan made better: one sheet fewer, by taking parts out and putting them back.

One sheet is emptied and its parts become open. A move takes one to three sheets (mostly a small group of parts within
each), takes a few parts out and puts them and the open ones back in a slightly shuffled order; or it takes out what stands where an
open part would fit, and puts that part first. A move is kept when it is
no worse than the plan was a while ago (late acceptance: Burke and Bykov 2017). Where that comes to a standstill, the search is shaken: worse
moves are let through for a while. When nothing is open, a sheet has been saved.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ..wording import counted
from .filling import fill
from .trees import AREA, CHILDREN, LEAF, LEAVES, LIE, NO_LIMIT, ROW, joined, kinds_in, replaced, without
from .whole import Kind, Room

SMALL_GROUP = 6  # sheets with more parts are mostly changed in a smaller group only
GROUP_SHARE = 0.8  # how often
LOOK = 64  # moves after which is looked whether to stop, to give up or to shake
# Work without a better value after which the search is shaken, for each part squared, and at the least; how much worse it may then become,
# in average parts: a power of two between these. Without it, short histories end in a place where no single move is good enough.
STILL, LEAST_STILL = 4, 10_000
SHAKEN_BY = (-2.0, 1.0)


@dataclass(frozen=True, slots=True)
class Way:
    """How to search: how many moves late acceptance looks back, and with which chances a good place is passed over (one of them drawn
    for each move)."""

    history: int
    skips: tuple[float, ...] = (0.0, 0.05, 0.05, 0.05, 0.25)
    strip_reward: float = 0.05  # for one wide free strip on a sheet, against the area that is open
    aimed: float = 0.0  # how often room is made for one of the open parts


# Tried on a dozen hard cases, which say little about others: with many parts long histories leave more open, aiming at times leaves less;
# few parts want several short searches.
MANY_PARTS_WAYS = (Way(80, strip_reward=0.15, aimed=0.3),)
FEW_PARTS = 110
FEW_PARTS_WAYS = (Way(20), Way(100, (0.0, 0.05)), Way(20, (0.2,)))
# The less there is open, the longer it pays to go on. Work without any step forward after which a search begins anew, and all work for
# one goal, both for one whole sheet open: half of that for two, ten times as much for a tenth of one.
PATIENCE, GOAL_WORK = 150_000, 600_000


class Effort:
    """The work that may be done, and whoever may stop it: a clock, a person. Counts work, so that plans do not depend on speed."""

    def __init__(self, work: int, stopped: Callable[[], bool] | None = None) -> None:
        self.left = self.given = work
        self.stopped_early = False
        self._stopped = stopped

    def spend(self, work: int) -> None:
        """Take work off what is left."""
        self.left -= work

    @property
    def done(self) -> int:
        """Work done so far."""
        return self.given - self.left

    def part(self, work: int) -> Effort:
        """A share of it, for one attempt; give it back with `take`."""
        return Effort(min(work, self.left), self._stopped)

    def take(self, share: Effort) -> None:
        """Count what was done with a share."""
        self.left -= share.done
        self.stopped_early = self.stopped_early or share.stopped_early

    def is_over(self) -> bool:
        """No work left, or stopped from outside."""
        if self._stopped and not self.stopped_early and self._stopped():
            self.stopped_early = True
        return self.stopped_early or self.left <= 0


def how_many(found: int, least: int) -> str:
    """How far a search has come, in words.

    >>> how_many(1, 1), how_many(7, 6)
    ('1 sheet, at least 1', '7 sheets, at least 6')
    """
    return f"{counted(found, 'sheet')}, at least {least}"


def fewer_sheets(
    sheets: list[tuple],
    kinds: Sequence[Kind],
    room: Room,
    least_possible: int,
    effort: Effort,
    limit: int = NO_LIMIT,
    tell: Callable[[str], None] | None = None,
) -> list[tuple]:
    """The fewest sheets of one size found; never more than were given."""
    best = list(sheets)
    while len(best) > least_possible and not effort.is_over():
        fuller = _one_fewer(best, kinds, room, effort, limit)
        if fuller is None:
            break
        best = fuller
        if tell:
            tell(how_many(len(best), least_possible))
    return best


def _one_fewer(
    sheets: list[tuple], kinds: Sequence[Kind], room: Room, effort: Effort, limit: int
) -> list[tuple] | None:
    """All parts on one sheet fewer: searched for from the start again and again, as long as that looks worth the work."""
    emptied = min(range(len(sheets)), key=lambda at: (sheets[at][AREA], -at))
    kept, open_kinds = sheets[:emptied] + sheets[emptied + 1 :], kinds_in(sheets[emptied])
    if not kept:
        return None
    ways = FEW_PARTS_WAYS if sum(tree[LEAVES] for tree in sheets) <= FEW_PARTS else MANY_PARTS_WAYS
    begun, least_open, seed = effort.left, sheets[emptied][AREA], 0
    while not effort.is_over():
        seed += 1
        search = Search(kept, [room] * len(kept), open_kinds, kinds, limit, ways[(seed - 1) % len(ways)], seed)
        share = effort.part(effort.left)
        fuller = search.run(share, PATIENCE)
        effort.take(share)
        if fuller is not None:
            return fuller
        least_open = min(least_open, search.least_open)
        if (begun - effort.left) * least_open > GOAL_WORK * room.area:
            break
    return None


class _Watch:
    """Looks now and then how a search comes on: shakes it where it stands still, gives it up where that does not help."""

    def __init__(self, search: Search, effort: Effort, patience: float) -> None:
        self.search, self.effort = search, effort
        self.patience = patience * max(room.area for room in search.rooms)
        there = [tree for tree in search.trees if tree is not None]
        parts = len(search.open_kinds) + sum(tree[LEAVES] for tree in there)
        self.part = (search.open + sum(tree[AREA] for tree in there)) / parts
        self.still = max(LEAST_STILL, STILL * parts * parts)
        self.least_open, self.opened_at = search.least_open, effort.left
        self.best = self.lowest = search.value  # ever, and since it was shaken
        self.lowered_at = effort.left

    def gives_up(self) -> bool:
        """Whether the search is to end. What was open at the least decides how long it may go without a step forward."""
        search, left = self.search, self.effort.left
        if search.least_open < self.least_open:
            self.least_open, self.opened_at = search.least_open, left
        elif (self.opened_at - left) * self.least_open > self.patience:
            return True
        self.best = min(self.best, search.value)
        if search.value < self.lowest:
            self.lowest, self.lowered_at = search.value, left
        elif self.lowered_at - left > self.still:
            low, high = SHAKEN_BY
            search.shake(self.best + self.part * 2 ** (low + (high - low) * search.chance()))
            self.lowest, self.lowered_at = search.value, left
        return False


class Search:
    """Open parts put into sheets, each sheet in its room, by taking others out and putting them back."""

    def __init__(
        self,
        sheets: Sequence[tuple | None],
        rooms: Sequence[Room],
        open_kinds: list[int],
        kinds: Sequence[Kind],
        limit: int = NO_LIMIT,
        way: Way = MANY_PARTS_WAYS[0],
        seed: int = 1,
    ) -> None:
        self.trees, self.rooms, self.open_kinds, self.kinds = list(sheets), rooms, open_kinds, kinds
        self.limit, self.way, self.moves = limit, way, 0
        self.chance = random.Random(seed).random
        self.areas = [kind.length * kind.width for kind in kinds]
        self.sides = [min(kind.length, kind.width) for kind in kinds]
        self.strips = [_strip(tree, room, way.strip_reward) for tree, room in zip(self.trees, rooms)]
        self.all_strips = sum(self.strips)
        self.open = self.least_open = sum(self.areas[kind] for kind in open_kinds)
        self.value = self.open - self.all_strips
        self.history = [self.value] * way.history

    def run(self, effort: Effort, patience: float = math.inf) -> list[tuple | None] | None:
        """The sheets with the open parts put in as well, or None when that was not managed.

        Given up where no step forward came within the work `patience`, times the area of a sheet over the area that stayed open.
        """
        if not self.trees:
            return None
        watch = _Watch(self, effort, patience)
        while self.open_kinds:
            self.moves += 1
            if self.moves % LOOK == 0 and (effort.is_over() or watch.gives_up()):
                return None
            effort.spend(self._move())
        return self.trees

    def shake(self, value: float) -> None:
        """Let worse moves through, up to this value."""
        self.history = [value] * len(self.history)

    def _move(self) -> int:
        """Try one change and keep it if it is good enough; the work done."""
        chance, trees, rooms, strips = self.chance, self.trees, self.rooms, self.strips
        chosen, works, spots, taken, aimed = self._taken_out()
        order = _shuffled(taken + self.open_kinds, self.kinds, chance)
        if aimed is not None:
            order.remove(aimed)
            order.insert(0, aimed)
        sides, areas, reward = self.sides, self.areas, self.way.strip_reward
        least = min([sides[kind] for kind in order])
        slot = self.moves % len(self.history)
        bar = max(self.history[slot], self.value)
        # A strip is never larger than what is free, so a move that leaves more than this open cannot be kept.
        free, rewarded, leaves = 0, self.all_strips, 0
        for at in chosen:
            tree = trees[at]
            free += rooms[at].area
            rewarded -= strips[at]
            if tree is not None:
                free -= tree[AREA]
                leaves += tree[LEAVES]
        for work in works:
            free += work[1] * work[2] - (work[0][AREA] if work[0] is not None else 0)
        skips = self.way.skips
        left, spent = fill(
            order,
            self.kinds,
            works,
            least,
            skips[int(chance() * len(skips))],
            chance,
            bar + rewarded + reward * free,
        )
        if left is not None:
            fresh_trees, still_open = [], sum([areas[kind] for kind in left])
            fresh = still_open - self.all_strips
            for work, (at, steps) in zip(works, spots):
                tree = replaced(trees[at], steps, work[0])
                strip = _strip(tree, rooms[at], reward)
                fresh += strips[at] - strip
                fresh_trees.append((at, tree, strip))
            if fresh <= bar:
                self.value, self.open_kinds, self.open = fresh, left, still_open
                self.least_open = min(self.least_open, still_open)
                for at, tree, strip in fresh_trees:
                    self.all_strips += strip - strips[at]
                    trees[at], strips[at] = tree, strip
        if self.value < self.history[slot]:
            self.history[slot] = self.value
        return spent + 20 + 2 * leaves

    def _taken_out(self) -> tuple[set[int], list[list], list[tuple[int, list[int]]], list[int], int | None]:
        """One to three sheets and what is to be filled anew in them: the sheets' numbers, [tree, length, width, depth] and where each belongs
        (sheet, steps), the kinds taken out, and the open kind that room was made for."""
        chance, count = self.chance, len(self.trees)
        draw = chance()
        chosen = {int(chance() * count)}
        if draw > 0.45:
            chosen.add(int(chance() * count))
        if draw > 0.95:
            chosen.add(int(chance() * count))
        works, spots, taken = [], [], []
        for at in sorted(chosen):
            node, room, steps = self.trees[at], self.rooms[at], []
            length, width = room.length, room.width
            if node is not None and node[LEAVES] > SMALL_GROUP and chance() < GROUP_SHARE:
                most = 2 + int(chance() * SMALL_GROUP)
                node, steps, length, width = _group(node, length, width, most, chance)
            works.append([node, length, width, self.limit - len(steps)])
            spots.append((at, steps))
        aimed, times = None, 1 + int(chance() * 4)
        if self.way.aimed and chance() < self.way.aimed:
            aimed, times = self.open_kinds[int(chance() * len(self.open_kinds))], int(chance() * 3)
            at = spots[0][0]
            node, steps, length, width = _room_for(self.kinds[aimed], self.trees[at], self.rooms[at], chance)
            node, off = _cleared_for(self.kinds[aimed], node, length, width, chance)
            works[0], spots[0] = [node, length, width, self.limit - len(steps)], (at, steps)
            taken += off
        for _ in range(times):
            work = works[int(chance() * len(works))]
            node = work[0]
            if node is not None:
                work[0], off = without(node, int(chance() * node[LEAVES]), chance())
                taken += kinds_in(off)
        return chosen, works, spots, taken, aimed


def _shuffled(order: list[int], kinds: Sequence[Kind], chance: Callable[[], float]) -> list[int]:
    draw = chance()
    if draw < 0.5:
        keyed = [(kinds[kind].length * kinds[kind].width * (0.6 + 0.8 * chance()), kind) for kind in order]
    elif draw < 0.7:
        keyed = [(kinds[kind].length * (0.7 + 0.6 * chance()), kind) for kind in order]
    elif draw < 0.9:
        keyed = [(kinds[kind].width * (0.7 + 0.6 * chance()), kind) for kind in order]
    else:
        keyed = [(chance(), kind) for kind in order]
    keyed.sort(reverse=True)
    return [kind for _, kind in keyed]


def _group(
    node: tuple, length: int, width: int, most: int, chance: Callable[[], float]
) -> tuple[tuple, list[int], int, int]:
    """A random group of few parts: the node, the steps to it, and how large it may become."""
    steps: list[int] = []
    while node[LEAVES] > most:
        children = node[CHILDREN]
        at = int(chance() * len(children))
        child = children[at]
        if node[LIE] == ROW:
            length = length - node[0] + child[0]
        else:
            width = width - node[1] + child[1]
        node = child
        steps.append(at)
    return node, steps, length, width


def _room_for(
    part: Kind, node: tuple | None, room: Room, chance: Callable[[], float]
) -> tuple[tuple | None, list[int], int, int]:
    """A random node in whose place the part would fit, as deep in the tree as there is one: the node, the steps to it, and how large it may
    become."""
    length, width = room.length, room.width
    steps: list[int] = []
    while node is not None and node[LIE] != LEAF:
        row = node[LIE] == ROW
        spare = length - node[0] if row else width - node[1]
        fitting = [
            at
            for at, child in enumerate(node[CHILDREN])
            if _sides_along(part, *((child[0] + spare, width) if row else (length, child[1] + spare)), row)
        ]
        if not fitting:
            break
        at = fitting[int(chance() * len(fitting))]
        node = node[CHILDREN][at]
        if row:
            length = node[0] + spare
        else:
            width = node[1] + spare
        steps.append(at)
    return node, steps, length, width


def _sides_along(part: Kind, length: int, width: int, row: bool) -> list[int]:
    """How much of a row (or stack) the part takes up in this room, for each way in which it fits."""
    sides = []
    if part.length <= length and part.width <= width:
        sides.append(part.length if row else part.width)
    if part.turns and part.width <= length and part.length <= width:
        sides.append(part.width if row else part.length)
    return sides


def _cleared_for(
    part: Kind, node: tuple | None, length: int, width: int, chance: Callable[[], float]
) -> tuple[tuple | None, list[int]]:
    """The node without so many of its children, taken at random, that the part fits beside the rest; and the kinds taken out."""
    if node is None or node[LIE] == LEAF:
        return None, kinds_in(node)
    row = node[LIE] == ROW
    spare = length - node[0] if row else width - node[1]
    needed = min(_sides_along(part, length, width, row), default=0)
    left, taken = node[CHILDREN].copy(), []
    while left and spare < needed:
        child = left.pop(int(chance() * len(left)))
        spare += child[0] if row else child[1]
        taken += kinds_in(child)
    return (joined(node[LIE], left) if left else None), taken


def _strip(tree: tuple | None, room: Room, reward: float) -> float:
    """The reward for the largest free strip beside the whole tree, beside one of its groups, or inside one."""
    if tree is None:
        return reward * room.area
    length, width = room.length, room.width
    best = max((length - tree[0]) * width, (width - tree[1]) * length)
    if tree[2] == ROW:
        for child in tree[3]:
            free = (width - child[1]) * child[0]
            if free > best:
                best = free
            if child[2] != LEAF:
                for inner in child[3]:
                    free = (child[0] - inner[0]) * inner[1]
                    if free > best:
                        best = free
    elif tree[2] != LEAF:
        for child in tree[3]:
            free = (length - child[0]) * child[1]
            if free > best:
                best = free
            if child[2] != LEAF:
                for inner in child[3]:
                    free = (child[1] - inner[1]) * inner[0]
                    if free > best:
                        best = free
    return reward * best
