"""How many sheets are needed at the very least, proven.

Dual feasible functions stretch the lengths and widths so that large parts weigh more and small ones less, without
letting more into a sheet than fitted before; the stretched area over the stretched sheet is then a lower bound.
Functions: Carlier, Clautiaux, Moukrim, "New reduction procedures and lower bounds for the two-dimensional bin packing
problem with fixed orientation", 2007; Fekete and Schepers 2001.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from .whole import Kind, Room, Whole

MOST_WAYS = 20_000  # ways of taking whole sheets of several sizes that are looked through
MOST_STEPS = 48  # parameters tried per direction
_NEVER = np.iinfo(np.int64).max


def area_bound(whole: Whole, room: Room) -> int:
    """Sheets of one size that the parts' area fills."""
    return -(-whole.area // room.area)


def stretched_bound(whole: Whole, room: Room) -> int:
    """The best bound over pairs of dual feasible functions; a part that may turn counts as it counts less."""
    if not whole.kinds:
        return 0
    kinds = whole.kinds
    lengths = np.array([kind.length for kind in kinds], dtype=np.int64)
    widths = np.array([kind.width for kind in kinds], dtype=np.int64)
    quantities = np.array([kind.quantity for kind in kinds], dtype=np.int64)
    lying = (lengths <= room.length) & (widths <= room.width)
    turned = np.array([kind.turns for kind in kinds]) & (widths <= room.length) & (lengths <= room.width)
    along = _stretched(room.length, np.minimum(np.concatenate((lengths, widths)), room.length))
    across = _stretched(room.width, np.minimum(np.concatenate((widths, lengths)), room.width))
    count, best = len(kinds), area_bound(whole, room)
    heights = np.stack([values for values, _ in across])
    capacities = np.array([capacity for _, capacity in across], dtype=np.int64)
    for values, capacity in along:
        straight = np.where(lying, values[:count] * heights[:, :count], _NEVER)
        other = np.where(turned, values[count:] * heights[:, count:], _NEVER)
        needed = (np.minimum(straight, other) * quantities).sum(axis=1)
        best = max(best, int(np.max(-(-needed // (capacity * capacities)))))
    return best


def cost_bound(whole: Whole) -> tuple[int, float]:
    """The fewest sheets and the least cost, when there are several sizes: the area bought where it is cheapest."""
    count, left = 0, whole.area
    for room in sorted(whole.rooms, key=lambda room: -room.area):
        if left <= 0:
            break
        taken = -(-left // room.area) if room.count is None else min(room.count, -(-left // room.area))
        count, left = count + taken, left - taken * room.area
    if whole.rooms:
        count = max(count, stretched_bound(whole, _as_large_as_the_largest(whole.rooms)))
    return count, max((_least_cost(each) for each in _held_by_some(whole)), default=0.0)


def _held_by_some(whole: Whole) -> Iterator[Whole]:
    """The whole problem, and for each set of sizes the parts that no other size holds: what these cost at least, the
    whole costs."""
    holders = [frozenset(at for at, room in enumerate(whole.rooms) if _holds(room, kind)) for kind in whole.kinds]
    for some in sorted({frozenset(range(len(whole.rooms))), *holders}, key=sorted):
        yield Whole(
            tuple(kind for kind, held in zip(whole.kinds, holders, strict=True) if held <= some),
            tuple(whole.rooms[at] for at in sorted(some)),
            whole.scale,
            whole.stages,
        )


def _holds(room: Room, kind: Kind) -> bool:
    lies = kind.length <= room.length and kind.width <= room.width
    return lies or (kind.turns and kind.width <= room.length and kind.length <= room.width)


def _least_cost(whole: Whole) -> float:
    """The least cost of whole sheets that together have the parts' area, what costs nothing taken first; or, where
    nothing is free, of as many of the cheapest as would be needed were all as large as the largest.

    Of the sizes that can be bought as often as wanted, all ways of taking whole sheets are looked through (few sizes,
    few sheets), or the area is bought by the fraction of a sheet where there would be too many.
    """
    area = whole.area - sum(room.area * room.count for room in whole.rooms if room.count is not None and not room.price)
    if area <= 0 or any(room.count is None and not room.price for room in whole.rooms):
        return 0.0
    rooms = sorted((room for room in whole.rooms if room.price), key=lambda room: room.price / room.area)
    count = 0.0
    if len(rooms) == len(whole.rooms):
        count = min(room.price for room in rooms) * stretched_bound(whole, _as_large_as_the_largest(rooms))
    best, looked = float("inf"), 0
    waiting = [(0, area, 0.0)]
    while waiting:
        at, left, cost = waiting.pop()
        looked += 1
        if left <= 0:
            best = min(best, cost)
            continue
        if at == len(rooms) or cost + _fraction(rooms[at:], left) >= best - 1e-9:
            continue
        if looked > MOST_WAYS:
            return max(count, _fraction(rooms, area))
        room = rooms[at]
        most = -(-left // room.area)
        if room.count is not None:
            most = min(most, room.count)
        waiting += [(at + 1, left - taken * room.area, cost + taken * room.price) for taken in range(most + 1)]
    return max(count, best if best < float("inf") else _fraction(rooms, area))


def _as_large_as_the_largest(rooms: Sequence[Room]) -> Room:
    """A room as long as the longest and as wide as the widest: what needs so many of it needs no fewer of these."""
    return Room(max(room.length for room in rooms), max(room.width for room in rooms), 1.0, None, 0)


def _fraction(rooms: Sequence[Room], area: float) -> float:
    """What this area costs when sheets can be had by the fraction, the cheapest area first."""
    cost = 0.0
    for room in rooms:
        taken = area if room.count is None else min(area, room.count * room.area)
        cost, area = cost + taken / room.area * room.price, area - taken
    return cost


def _stretched(capacity: int, sizes: np.ndarray) -> list[tuple[np.ndarray, int]]:
    """(stretched sizes, stretched capacity) for the identity and two families with every useful parameter."""
    found = [(sizes, capacity)]
    known = {int(size) for size in sizes}
    steps = sorted(
        {size for size in known if 2 * size <= capacity}
        | {capacity - size for size in known if capacity < 2 * size < 2 * capacity}
    )
    if len(steps) > MOST_STEPS:
        steps = [steps[at * len(steps) // MOST_STEPS] for at in range(MOST_STEPS)]
    for step in steps:
        # Larger than capacity − step: counts whole; smaller than step: counts nothing.
        found.append((np.where(sizes > capacity - step, capacity, np.where(sizes < step, 0, sizes)), capacity))
        times = capacity // step
        rounded = np.where(
            2 * sizes > capacity,
            2 * (times - (capacity - sizes) // step),
            np.where(2 * sizes == capacity, times, 2 * (sizes // step)),
        )
        found.append((rounded, 2 * times))
    return found
