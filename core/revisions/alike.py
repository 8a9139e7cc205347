"""Whether two features take the same wood away, whatever the last digit or the point that a plane is given by."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ..model import Cut, Feature, Hole, Part, Pocket
from .marks import TOLERANCE


def alike(first: Feature, second: Feature) -> bool:
    """Whether two features of parts that lie alike are one and the same cut, pocket or hole, within `TOLERANCE`."""
    if type(first) is not type(second):
        return False
    if isinstance(first, Hole):
        bores = ((*each.at, *each.into, each.diameter, each.depth) for each in (first, second))
        return near(*bores)
    if isinstance(first, Pocket):
        return near((*first.low, *first.high), (*second.low, *second.high))
    if isinstance(first, Cut):
        return near((*first.normal, level(first)), (*second.normal, level(second)))
    return first == second


def same_work(first: Iterable[Feature], second: Iterable[Feature]) -> bool:
    """Whether two parts have the same features, made at the same time, in whatever order."""
    waiting = list(second)
    for feature in first:
        match = next((each for each in waiting if each.when == feature.when and alike(feature, each)), None)
        if match is None:
            return False
        waiting.remove(match)
    return not waiting


def blank(part: Part) -> tuple[float, float, float]:
    """What is sawn for a part: its cut size where that is not the finished one."""
    return part.cut_size or part.size


def level(cut: Cut) -> float:
    """How far from the origin a cut's plane lies along its normal."""
    return sum(n * p for n, p in zip(cut.normal, cut.point, strict=True))


def near(first: Sequence[float], second: Sequence[float]) -> bool:
    """Whether figures agree one by one within `TOLERANCE`."""
    return len(first) == len(second) and all(abs(a - b) <= TOLERANCE for a, b in zip(first, second, strict=True))
