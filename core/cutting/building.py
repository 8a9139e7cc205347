"""A first plan, sheet after sheet."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from .filling import fill
from .whole import Kind, Room

# How parts may be ordered before they are put down one after another, largest first.
ORDERS: tuple[Callable[[Kind], tuple], ...] = (
    lambda kind: (kind.length * kind.width, kind.length),
    lambda kind: (max(kind.length, kind.width), min(kind.length, kind.width)),
    lambda kind: (min(kind.length, kind.width), max(kind.length, kind.width)),
    lambda kind: (kind.length, kind.width),
    lambda kind: (kind.width, kind.length),
    lambda kind: (kind.length + kind.width, kind.length),
)


def ordered(kinds: Sequence[Kind], order: Callable[[Kind], tuple]) -> list[int]:
    """Every wanted part by its kind's number, largest first by one of the orders."""
    ranked = sorted(range(len(kinds)), key=lambda number: (order(kinds[number]), number), reverse=True)
    return [number for number in ranked for _ in range(kinds[number].quantity)]


def smallest_side(kinds: Sequence[Kind], wanted: Sequence[int]) -> int:
    """The smallest side among the wanted kinds."""
    return min((min(kinds[number].length, kinds[number].width) for number in set(wanted)), default=1)


def sheet_after_sheet(
    kinds: Sequence[Kind], wanted: list[int], room: Room, limit: int, most: int
) -> tuple[list[tuple], int]:
    """Trees that hold all wanted parts, each sheet filled before the next is begun; and the work done.

    Given up, with an empty list, when more than `most` sheets would be needed.
    """
    sheets, effort, left = [], 0, wanted
    while left:
        if len(sheets) >= most:
            return [], effort
        work = [None, room.length, room.width, limit]
        left, spent = fill(left, kinds, [work], smallest_side(kinds, left))
        effort += spent
        if work[0] is None:
            return [], effort
        sheets.append(work[0])
    return sheets, effort
