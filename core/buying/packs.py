"""Which packs to buy: the cheapest that hold enough, or the fewest things left over where prices are not known."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

STEPS = 2000  # at most so many steps of the amount are told apart


@dataclass(frozen=True, slots=True)
class Pack:
    """Something as it is sold: how much it holds (pieces, litres, kg) and its price, None where it is not known."""

    holds: float
    price: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Packs:
    """So many of one pack."""

    pack: Pack
    count: int


def cheapest(needed: float, sold: Sequence[Pack]) -> tuple[Packs, ...]:
    """Packs that hold at least what is needed, largest first; nothing where none is sold or needed.

    Packs with a price are preferred to those without. Among equally dear the fullest are taken: least left over, then
    fewest packs.

    >>> [(each.count, each.pack.holds) for each in cheapest(49, [Pack(50), Pack(100)])]
    [(1, 50)]
    """
    priced = [pack for pack in sold if pack.price is not None]
    known = sorted(priced or sold, key=lambda pack: (pack.holds, pack.price or 0))
    if needed <= 0 or not known:
        return ()
    unit = max(_unit(pack.holds for pack in known), needed / STEPS)
    sizes = [max(1, math.floor(pack.holds / unit + 1e-9)) for pack in known]
    steps = math.ceil(needed / unit - 1e-9)
    counts = _covering(steps, sizes, [(pack.price or Decimal(0), pack.holds) for pack in known])
    chosen = (Packs(pack, count) for pack, count in zip(known, counts, strict=True) if count)
    return tuple(sorted(chosen, key=lambda each: -each.pack.holds))


def _covering(steps: int, sizes: Sequence[int], worth: Sequence[tuple[Decimal, float]]) -> list[int]:
    """How many of each size cover so many steps at the least cost, then with least left over, then in fewest packs."""
    nothing = (Decimal(0), 0.0, 0)
    best: list[tuple[tuple, int]] = [(nothing, -1)]
    for amount in range(1, steps + 1):
        options = []
        for which, size in enumerate(sizes):
            cost, held, count = best[max(0, amount - size)][0]
            options.append(((cost + worth[which][0], round(held + worth[which][1], 6), count + 1), which))
        best.append(min(options))
    counts, amount = [0] * len(sizes), steps
    while amount > 0:
        which = best[amount][1]
        counts[which] += 1
        amount = max(0, amount - sizes[which])
    return counts


def _unit(holds: Iterable[float]) -> float:
    """The largest amount of which every pack holds a whole number, to a thousandth."""
    return math.gcd(*(max(1, round(each * 1000)) for each in holds)) / 1000
