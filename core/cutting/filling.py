"""Parts put one after another into the places of one or several trees, each where it spoils least."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from .trees import ROW, added, leaf, places
from .whole import Kind


def fill(
    order: Sequence[int],
    kinds: Sequence[Kind],
    works: list[list],
    least: int,
    skip: float = 0.0,
    chance: Callable[[], float] | None = None,
    most_left: float = math.inf,
) -> tuple[list[int] | None, int]:
    """Put parts into trees, in the given order; the kinds that found no place, and the work done.

    `works` holds [tree, length, width, limit of depth] and is changed. What is spoiled is the strip not filled or the growth of a strip, and a
    rest narrower than `least`, the smallest side still to be placed. With `skip`, a place is passed over with that chance. Given up, with None, as
    soon as more than the area `most_left` has found no place.
    """
    area_left = 0
    smallest = min([kinds[kind].length * kinds[kind].width for kind in order], default=0)
    listed = [places(work[0], work[1], work[2], least, smallest, work[3]) for work in works]
    effort = 4 * len(works)
    left: list[int] = []
    refused: set[int] = set()
    for kind in order:
        part = kinds[kind]
        if kind in refused:
            left.append(kind)
            area_left += part.length * part.width
            if area_left > most_left:
                return None, effort
            continue
        length, width, turns = part.length, part.width, part.turns
        small = length if length < width else width
        lowest, best, best_turned, best_work = 1 << 62, None, False, 0
        for number, found in enumerate(listed):
            effort += len(found)
            for place in found:
                along, across, base, height, lie, _, _ = place
                if along < small or across < small:
                    continue
                a, c = (length, width) if lie == ROW else (width, length)
                if a <= along and c <= across:
                    spoiled = a * (height - c) if c <= height else (c - height) * base
                    rest = along - a
                    if rest < least:
                        spoiled += rest * (c if c > height else height)
                    if spoiled < lowest and not (skip and chance() < skip):
                        lowest, best, best_turned, best_work = spoiled, place, False, number
                if turns and c <= along and a <= across:
                    spoiled = c * (height - a) if a <= height else (a - height) * base
                    rest = along - c
                    if rest < least:
                        spoiled += rest * (a if a > height else height)
                    if spoiled < lowest and not (skip and chance() < skip):
                        lowest, best, best_turned, best_work = spoiled, place, True, number
        if best is None:
            refused.add(kind)
            left.append(kind)
            area_left += length * width
            if area_left > most_left:
                return None, effort
            continue
        work = works[best_work]
        fresh = leaf(kind, width, length) if best_turned else leaf(kind, length, width)
        work[0] = added(work[0], best, fresh)
        listed[best_work] = places(work[0], work[1], work[2], least, smallest, work[3])
        effort += 3 * len(listed[best_work]) + 4
    return left, effort
