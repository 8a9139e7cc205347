"""A board of the carcass taken apart when all is laid out: what is bored in it, holds in it and meets it goes to its parts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from ..model import Fastener, Feature, Hole, Joint, Part, Pocket
from .bench import Bench
from .clearance import TOUCH, Box, near, standing_box

Axes = tuple[int, int]  # of the piece: the two that the board lies along


def part_up(bench: Bench, key: str, parts: Mapping[str, Part], axes: Axes) -> None:
    """Put parts in the place of a board, each with its features, fasteners, fittings and joints."""
    whole = bench.parts[key]
    bench.parts = {
        each: part
        for old, there in bench.parts.items()
        for each, part in (parts.items() if old == key else [(old, there)])
    }
    for part in parts.values():
        bench.features[part.key] = [made for each in bench.features[key] for made in _in(each, whole, part)]
    del bench.features[key]
    for name, fastener in bench.fasteners.items():
        if key in fastener.parts:
            mine = _nearest(parts, fastener.at, axes)
            bench.fasteners[name] = replace(fastener, parts=_instead(fastener.parts, key, mine))
    _tell_held(bench)
    for name, fitting in bench.fittings.items():
        if key in fitting.parts:
            mine = _nearest(parts, fitting.place.origin, axes)
            bench.fittings[name] = replace(fitting, parts=_instead(fitting.parts, key, mine))
    bench.joints[:] = [made for joint in bench.joints for made in _joined(bench, joint, key, parts, axes)]


def _in(feature: Feature, whole: Part, part: Part) -> Iterator[Feature]:
    """What of the whole board's features is made in one part, in its frame."""
    assert isinstance(feature, Hole | Pocket)
    if isinstance(feature, Hole):
        at = part.place.own_point(whole.place.point(feature.at))
        if all(-1e-6 <= at[i] <= part.size[i] + 1e-6 for i in (0, 1)):
            yield replace(feature, at=at)
        return
    low, high = (part.place.own_point(whole.place.point(each)) for each in (feature.low, feature.high))
    if near((low, high), ((0.0, 0.0, 0.0), part.size), -1e-6):
        yield replace(feature, low=low, high=high)


def _tell_held(bench: Bench) -> None:
    held: dict[str, list[Fastener]] = {}
    for fastener in bench.fasteners.values():
        for each in fastener.parts:
            held.setdefault(each, []).append(fastener)
    bench.held_in = held


def _instead(keys: tuple[str, ...], key: str, other: str) -> tuple[str, ...]:
    return tuple(other if each == key else each for each in keys)


def _nearest(parts: Mapping[str, Part], at: tuple[float, float, float], axes: Axes) -> str:
    """The part that a place lies over; the nearest, for one between two."""

    def away(part: Part) -> float:
        low, high = standing_box(part)
        return max(max(low[i] - at[i], at[i] - high[i]) for i in axes)

    return min(parts, key=lambda key: (round(away(parts[key]), 6), key))


def _joined(bench: Bench, joint: Joint, key: str, parts: Mapping[str, Part], axes: Axes) -> Iterator[Joint]:
    """A joint of the whole board as those of the parts that what is joined lies against."""
    if key not in (joint.first, joint.second):
        yield joint
        return
    other = joint.second if joint.first == key else joint.first
    if other in bench.fittings:
        yield _renamed(joint, key, _nearest(parts, bench.fittings[other].place.origin, axes), joint.fasteners, 1.0)
        return
    box = standing_box(bench.parts[other])
    areas = {
        mine: _common(box, standing_box(part), axes)
        for mine, part in parts.items()
        if near(box, standing_box(part), TOUCH)
    }
    every = sum(areas.values()) or 1.0
    for mine, area in areas.items():
        names = tuple(name for name in joint.fasteners if mine in bench.fasteners[name].parts)
        if names or not joint.fasteners:
            yield _renamed(joint, key, mine, names, area / every)


def _renamed(joint: Joint, key: str, mine: str, names: tuple[str, ...], share: float) -> Joint:
    first, second = _instead((joint.first, joint.second), key, mine)
    renamed = "|".join(_instead(tuple(joint.key.split("|")), key, mine))
    return replace(
        joint, key=renamed, first=first, second=second, fasteners=names, glue_area=round(joint.glue_area * share, 3)
    )


def _common(box: Box, other: Box, axes: Axes) -> float:
    """How much two boxes have in common along the two axes."""
    spans = [min(box[1][i], other[1][i]) - max(box[0][i], other[0][i]) for i in axes]
    return max(spans[0], 0.0) * max(spans[1], 0.0)


__all__ = ["part_up"]
