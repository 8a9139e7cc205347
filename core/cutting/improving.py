"""A plan made better: one sheet fewer, by taking parts out and putting them back.

One sheet is emptied and its parts become open. A move takes one to three sheets (mostly a small group of parts within
each), takes a few parts out and puts them and the open ones back in a slightly shuffled order; or it takes out what stands where an
open part would fit, and puts that part first. A move is kept when it is
no worse than the plan was a while ago (late acceptance: Burke and Bykov 2017). When nothing is open, a sheet has been saved.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from .filling import fill
from .trees import AREA, CHILDREN, LEAF, LEAVES, LIE, NO_LIMIT, ROW, joined, kinds_in, replaced, without
from .whole import Kind, Room

SMALL_GROUP = 6  # sheets with more parts are mostly changed in a smaller group only
GROUP_SHARE = 0.8  # how often


@dataclass(frozen=True, slots=True)
class Way:
    """How to search: with which share of the work that is left, how many moves late acceptance looks back, and with which chances a good
    place is passed over (one of them drawn for each move)."""

    share: float
    history: int
    skips: tuple[float, ...] = (0.0, 0.05, 0.05, 0.05, 0.25)
    seed: int = 1
    strip_reward: float = 0.05  # for one wide free strip on a sheet, against the area that is open
    aimed: float = 0.0  # how often room is made for one of the open parts


# Tried on a dozen hard cases, which say little about others: with many parts long histories leave more open, aiming at times leaves less;
# few parts want several short searches.
MANY_PARTS_WAYS = (Way(1.0, 80, strip_reward=0.15, aimed=0.3),)
FEW_PARTS = 110
FEW_PARTS_WAYS = (Way(0.4, 20), Way(0.6, 100, (0.0, 0.05), 2), Way(1.0, 20, (0.2,), 3))


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
        emptied = min(range(len(best)), key=lambda at: (best[at][AREA], -at))
        kept = best[:emptied] + best[emptied + 1 :]
        parts = sum(tree[LEAVES] for tree in best)
        for way in FEW_PARTS_WAYS if parts <= FEW_PARTS else MANY_PARTS_WAYS:
            share = effort.part(int(effort.left * way.share))
            fuller = all_in(kept, [room] * len(kept), kinds_in(best[emptied]), kinds, share, limit, way)
            effort.take(share)
            if fuller is not None or effort.stopped_early:
                break
        if fuller is None:
            break
        best = [tree for tree in fuller if tree is not None]
        if tell:
            tell(f"{len(best)} sheets, at least {least_possible}")
    return best


def all_in(
    sheets: Sequence[tuple | None],
    rooms: Sequence[Room],
    open_kinds: list[int],
    kinds: Sequence[Kind],
    effort: Effort,
    limit: int = NO_LIMIT,
    way: Way | None = None,
) -> list[tuple | None] | None:
    """The sheets with the open parts put in as well, each in its room, or None when that was not managed."""
    way = way or MANY_PARTS_WAYS[0]
    trees = list(sheets)
    if not trees:
        return None
    chance = random.Random(way.seed).random
    areas = [kind.length * kind.width for kind in kinds]
    sides = [min(kind.length, kind.width) for kind in kinds]
    strips = [_strip(tree, room, way.strip_reward) for tree, room in zip(trees, rooms)]
    total_strips = sum(strips)
    value = sum(areas[kind] for kind in open_kinds) - total_strips
    history = [value] * way.history
    moves, count = 0, len(trees)
    while open_kinds:
        moves += 1
        if moves % 64 == 0 and effort.is_over():
            return None
        draw = chance()
        chosen = {int(chance() * count)}
        if draw > 0.45:
            chosen.add(int(chance() * count))
        if draw > 0.95:
            chosen.add(int(chance() * count))
        works, spots, taken = [], [], []
        for at in sorted(chosen):
            tree, room, steps = trees[at], rooms[at], []
            length, width, depth = room.length, room.width, limit
            node = tree
            if node is not None and node[LEAVES] > SMALL_GROUP and chance() < GROUP_SHARE:
                most = 2 + int(chance() * SMALL_GROUP)
                node, steps, length, width = _group(node, length, width, most, chance)
                depth = limit - len(steps)
            works.append([node, length, width, depth])
            spots.append((at, steps))
        aimed = None
        if way.aimed and chance() < way.aimed:
            aimed = open_kinds[int(chance() * len(open_kinds))]
            at = spots[0][0]
            node, steps, length, width = _room_for(kinds[aimed], trees[at], rooms[at], chance)
            node, off = _cleared_for(kinds[aimed], node, length, width, chance)
            works[0], spots[0] = [node, length, width, limit - len(steps)], (at, steps)
            taken += off
        for _ in range(1 + int(chance() * 4) if aimed is None else int(chance() * 3)):
            work = works[int(chance() * len(works))]
            node = work[0]
            if node is not None:
                work[0], off = without(node, int(chance() * node[LEAVES]), chance())
                taken += kinds_in(off)
        order = _shuffled(taken + open_kinds, kinds, chance)
        if aimed is not None:
            order.remove(aimed)
            order.insert(0, aimed)
        least = min([sides[kind] for kind in order])
        # A strip is never larger than what is free, so a move that leaves more than this open cannot be kept.
        slot = moves % way.history
        bar = history[slot] if history[slot] > value else value
        free = sum(work[1] * work[2] - (work[0][AREA] if work[0] is not None else 0) for work in works)
        free += sum([rooms[at].area - (trees[at][AREA] if trees[at] is not None else 0) for at in chosen])
        reward = total_strips - sum([strips[at] for at in chosen]) + way.strip_reward * free
        left, spent = fill(
            order, kinds, works, least, limit, way.skips[int(chance() * len(way.skips))], chance, bar + reward
        )
        leaves = sum([trees[at][LEAVES] for at in chosen if trees[at] is not None])
        effort.spend(spent + 20 + 2 * leaves)
        if left is None:
            if value < history[slot]:
                history[slot] = value
            continue
        fresh_trees, fresh = [], sum([areas[kind] for kind in left]) - total_strips
        for work, (at, steps) in zip(works, spots):
            tree = replaced(trees[at], steps, work[0])
            strip = _strip(tree, rooms[at], way.strip_reward)
            fresh += strips[at] - strip
            fresh_trees.append((at, tree, strip))
        if fresh <= bar:
            value, open_kinds = fresh, left
            for at, tree, strip in fresh_trees:
                total_strips += strip - strips[at]
                trees[at], strips[at] = tree, strip
        if value < history[slot]:
            history[slot] = value
    return trees


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
