"""Rows of fastenings along a joint: one datum, the carcass front, shared by every board that meets it; set-back boards keep the row."""

from __future__ import annotations

import math
from itertools import pairwise


def row_places(long: float, from_ends: float, pitch: float) -> tuple[float, ...]:
    """Places along a joint: the first and last so far from its ends, equally spaced, at most `pitch` apart; one in the middle of a short one.

    >>> row_places(528, 55, 150), row_places(100, 55, 150)
    ((55.0, 194.3, 333.7, 473.0), (50.0,))
    """
    free = long - 2 * from_ends
    if free < from_ends / 2:
        return (round(long / 2, 1),)
    number = max(2, math.ceil(free / pitch - 1e-9) + 1)
    return tuple(round(from_ends + free * i / (number - 1), 1) for i in range(number))


def places_behind(row: float, set_back: float, from_ends: float, pitch: float) -> tuple[float, ...]:
    """The places of a shared row that a board set back from the carcass front keeps, and its own first one.

    >>> places_behind(528, 29.0, 55, 150)
    (84.0, 194.3, 333.7, 473.0)
    """
    if not set_back:
        return row_places(row, from_ends, pitch)
    first = round(set_back + from_ends, 1)
    if row - set_back < 2.5 * from_ends:
        return (round((row + set_back) / 2, 1),)
    return (first, *(place for place in row_places(row, from_ends, pitch) if place >= first + from_ends))


def places_between(places: tuple[float, ...]) -> tuple[float, ...]:
    """The places half way between those of a row, for a board that meets the other side of the same face.

    >>> places_between((55.0, 195.0, 335.0))
    (125.0, 265.0)
    """
    return tuple(round((a + b) / 2, 1) for a, b in pairwise(places))


__all__ = ["places_behind", "places_between", "row_places"]
