"""Whether a driver gets at a screw: the free way behind its head while the assembly that it holds is put together."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

import numpy as np

from ..drawing.explode import within
from ..model import Fastener, Model

STRAIGHT = 120.0  # mm behind the head that a bit, its holder and the driver's chuck take; common practice, no source
ROUND = 25.0  # mm across them
TOUCHING = 0.1  # mm
DRIVEN = ("screw", "bolt")


def free_ways(model: Model) -> dict[str, float]:
    """How far back from its head the way of every screw and bolt is free, at most `STRAIGHT` mm, by key.

    Only what is in the smallest assembly with all the parts that it holds stands in its way, and no door, drawer or
    loose shelf, which is open or out; parts are taken as the boxes round them, so that what is said to be free is free.
    """
    parts = {part.key: part for part in model.parts}
    boxes = {key: _box(part.place.points(_corners(part.size))) for key, part in parts.items()}
    groups = [frozenset(key for key in within(model, each.key) if key in parts) for each in model.assemblies]
    moved = [frozenset(each.moves) for each in model.motions]
    moved += [frozenset([part.key]) for part in model.parts if part.role == "loose shelf"]
    return {
        each.key: _free(each, boxes, _around(each, groups, moved, parts.keys()))
        for each in model.fasteners
        if each.kind in DRIVEN
    }


# ------------------------------------------------------------------------------------------------------------- helpers
def _around(
    each: Fastener, groups: list[frozenset[str]], moved: list[frozenset[str]], known: Collection[str]
) -> Iterator[str]:
    held = {key for key in each.parts if key in known}
    holding = min((group for group in groups if held <= group), key=len, default=frozenset())
    opened = frozenset().union(*(some for some in moved if some.isdisjoint(held)))
    return (key for key in sorted(holding) if key not in held and key not in opened)


def _free(each: Fastener, boxes: dict[str, np.ndarray], others: Iterator[str]) -> float:
    head, back = np.array(each.at), -np.array(each.along)
    axis = int(np.abs(back).argmax())
    if abs(back[axis]) < 0.99:
        return STRAIGHT  # askew: its way is not along the boxes
    free = STRAIGHT
    across = [other for other in range(3) if other != axis]
    for key in others:
        low, high = boxes[key]
        aside = (low[across] < head[across] + ROUND / 2 - TOUCHING) & (
            high[across] > head[across] - ROUND / 2 + TOUCHING
        )
        if aside.all():
            ahead = (low[axis] - head[axis]) if back[axis] > 0 else (head[axis] - high[axis])
            beyond = (high[axis] - head[axis]) if back[axis] > 0 else (head[axis] - low[axis])
            if beyond > TOUCHING:
                free = min(free, max(float(ahead), 0.0))
    return free


def _corners(size: Sequence[float]) -> np.ndarray:
    return np.array([(x, y, z) for x in (0.0, size[0]) for y in (0.0, size[1]) for z in (0.0, size[2])])


def _box(points: np.ndarray) -> np.ndarray:
    return np.stack((points.min(axis=0), points.max(axis=0)))
