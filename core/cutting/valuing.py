"""First plans sheet by sheet, each sheet the most valuable that can be made of strips, tried again with other values.

At first a part is worth its area, large ones a little more; what came onto badly filled sheets is worth more the next time
(sequential value correction: Cui et al. 2015). A pass costs hundredths of a second and often
needs as few sheets as the longest search.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence

import numpy as np

from .building import ORDERS, ordered, sheet_after_sheet
from .improving import Effort
from .strips import best_sheet, columns_of, topped_up
from .trees import AREA, ROW, STACK, kinds_in
from .whole import Kind, Room

POWERS = (1.0, 1.05, 1.1, 1.15)  # of the area, in turn: the higher, the sooner large parts are cut
# The first passes, uncorrected: power of the area, and whether parts are stacked in a strip.
FIRST = ((1.0, False), (1.05, False), (1.1, False), (1.05, True), (1.0, True), (1.15, False))
CORRECTION = 1.0  # how far a value goes towards what the part took of its sheet, waste included; drawn from half to one and a half of it


def valued(
    kinds: Sequence[Kind], room: Room, effort: Effort, limit: int, passes: int, most: int
) -> Iterator[list[tuple]]:
    """Plans of at most so many sheets, or of as few as the best of them; a pass that would need more gives none."""
    areas = np.array([kind.length * kind.width / room.area for kind in kinds])
    ways = [
        {lie: columns_of(kinds, room, lie, stacked and limit > 2) for lie in (ROW, STACK)} for stacked in (False, True)
    ]
    chance, values = random.Random(1).random, areas
    for number in range(passes):
        if effort.is_over():
            return
        power, stacked = FIRST[number] if number < len(FIRST) else (POWERS[number % len(POWERS)], number % 3 == 2)
        target = areas**power
        begun = target if number < len(FIRST) else values
        sheets, values = _one_pass(
            kinds, room, effort, limit, ways[stacked], begun, target, most, chance if number >= len(FIRST) else None
        )
        if sheets:
            most = min(most, len(sheets))
            yield sheets


def _one_pass(
    kinds: Sequence[Kind],
    room: Room,
    effort: Effort,
    limit: int,
    ways: dict,
    values: np.ndarray,
    target: np.ndarray,
    most: int,
    chance: Callable[[], float] | None,
) -> tuple[list[tuple], np.ndarray]:
    """Sheets for all parts, or none when more than `most` would be needed or the work ran out; and the values, with `chance`
    corrected on the way."""
    left = np.array([kind.quantity for kind in kinds], dtype=np.int64)
    sheets, area = [], sum(kind.length * kind.width * kind.quantity for kind in kinds)
    while left.any():
        if len(sheets) + area / room.area > most or effort.is_over():
            return [], values
        offers = [best_sheet(ways[lie], room, values.tolist(), left, lie, effort) for lie in (ROW, STACK)]
        counted = [(tree, np.bincount(kinds_in(tree), minlength=len(kinds))) for tree in offers if tree is not None]
        if not counted:  # a part as large as the sheet, lost where sizes are counted in coarser steps
            rest = [number for number in ordered(kinds, ORDERS[0]) if left[number]]
            rest = [number for number in dict.fromkeys(rest) for _ in range(int(left[number]))]
            filled, spent = sheet_after_sheet(kinds, rest, room, limit, most - len(sheets))
            effort.spend(spent)
            return (sheets + filled if filled else []), values
        tree, counts = max(counted, key=lambda offer: float(offer[1] @ values))
        tree = topped_up(tree, kinds, room, left - counts, effort, limit)
        counts = np.bincount(kinds_in(tree), minlength=len(kinds))
        held = counts > 0
        times = int((left[held] // counts[held]).min())
        before, left = left, left - times * counts
        area -= times * tree[AREA]
        sheets += [tree] * times
        if chance is None:
            continue
        share = np.minimum(1.0, counts * times / before.clip(1) * CORRECTION * (0.5 + chance()))
        values = np.where(held, (1 - share) * values + share * target * room.area / tree[AREA], values)
    return (sheets if len(sheets) <= most else []), values
