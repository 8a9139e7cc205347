"""How many sheets are needed at the very least, proven.

Dual feasible functions stretch the lengths and widths so that large parts weigh more and small ones less, without letting more into a sheet than
fitted before; the stretched area over the stretched sheet is then a lower bound. Functions: Carlier, Clautiaux, Moukrim, "New reduction
procedures and lower bounds for the two-dimensional bin packing problem with fixed orientation", 2007; Fekete and Schepers 2001.
"""

from __future__ import annotations

import numpy as np

from .whole import Room, Whole

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
    cost, area = 0.0, float(whole.area)
    for room in sorted(whole.rooms, key=lambda room: room.price / room.area):
        taken = area if room.count is None else min(area, room.count * room.area)
        cost, area = cost + taken / room.area * room.price, area - taken
    if len({room.price for room in whole.rooms if room.price}) == 1:
        price = max(room.price for room in whole.rooms)  # one price: cost comes in whole sheets
        cost = price * -(-round(cost / price * 1e9) // 10**9)
    return count, cost


def _stretched(capacity: int, sizes: np.ndarray) -> list[tuple[np.ndarray, int]]:
    """(stretched sizes, stretched capacity) for the identity and two families with every useful parameter."""
    found = [(sizes, capacity)]
    known = {int(size) for size in sizes}
    steps = sorted({size for size in known if 2 * size <= capacity} | {capacity - size for size in known if capacity < 2 * size < 2 * capacity})
    if len(steps) > MOST_STEPS:
        steps = [steps[at * len(steps) // MOST_STEPS] for at in range(MOST_STEPS)]
    for step in steps:
        # Larger than capacity − step: counts whole; smaller than step: counts nothing.
        found.append((np.where(sizes > capacity - step, capacity, np.where(sizes < step, 0, sizes)), capacity))
        times = capacity // step
        rounded = np.where(2 * sizes > capacity, 2 * (times - (capacity - sizes) // step),
                           np.where(2 * sizes == capacity, times, 2 * (sizes // step)))
        found.append((rounded, 2 * times))
    return found
