"""Pins of planted strips, placed last, so that none lies in the way of a saw, a drill or a router.

A pin keeps 12 mm from the ends that are sawn and 5 mm from every hole, recess, taper and other fastener in the strip and in
the board behind it: a pin in the path of a cutter is an accident.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

from ..errors import blaming
from ..fastenings import Pin, pin, pin_length
from ..geometry import Vector, negative, plus
from ..model import Cut, Fastener, Feature, Hole, Joint, Part, Pocket
from .bench import Bench

PITCH, MOST_APART = 200.0, 300.0  # mm between pins, about and at most; common practice, no source
FROM_END = 60.0  # mm from the ends of the strip; common practice, no source
CLEAR_OF_END, CLEAR_OF_CUT = 12.0, 5.0  # mm; common practice, no source

Span = tuple[float, float]
Box = tuple[Vector, Vector]


def pin_strips(bench: Bench) -> None:
    """Put the pins in every joint that is glued and pinned; the first part is the board, the second the strip."""
    for number, joint in enumerate(bench.joints):
        if joint.kind == "glue and pins":
            bench.joints[number] = dataclasses.replace(joint, fasteners=_pinned(bench, joint))


def pin_for(strip: float, board: float) -> Pin:
    """The pin for a strip on a board, by their thicknesses."""
    with blaming("board"):
        return pin(pin_length(strip, board))


def _pinned(bench: Bench, joint: Joint) -> tuple[str, ...]:
    board, strip = bench.parts[joint.first], bench.parts[joint.second]
    nail = pin_for(strip.board.thickness, board.board.thickness)
    low, high = _lap(strip, board)
    across = strip.place.x[0] != 0
    names = []
    taken = list(_taken(bench, board, strip, nail))
    for place in _places(low, high, taken, centred=not across, up=strip.place.x[1] + strip.place.x[2] >= 0):
        head = plus(strip.place.origin, strip.place.direction((place, strip.size[1] / 2, strip.board.thickness)))
        name = bench.fasten("pin", f"pin {nail.name}", nail.diameter, nail.length, head, negative(joint.apart), (board.key, strip.key), "strip pin")
        names.append(name)
    return tuple(names)


def _lap(strip: Part, board: Part) -> Span:
    """From where to where along the strip the board lies behind it."""
    ends = [strip.place.own_point(board.place.point(corner))[0] for corner in ((0.0, 0.0, 0.0), board.size)]
    return max(0.0, min(ends)), min(strip.size[0], max(ends))


# -------------------------------------------------------------------------------------------------------------------- places
def _places(low: float, high: float, taken: Sequence[Span], centred: bool, up: bool) -> list[float]:
    """Evenly spread places, each moved as little as it must be; toward the middle first, so that mirror images stay so.

    `centred`: whether one may sit in the middle; that one moves up or back first.
    """
    middle, reach = (low + high) / 2, (high - low) / 2
    span = 2 * max(reach - FROM_END, reach / 2)
    count = _count(span, centred)
    found = []
    for i in range(count):
        offset = round(span * (i / (count - 1) - 0.5), 1) + 0.0
        inward = (1.0 if up else -1.0) if offset == 0 else (-1.0 if offset > 0 else 1.0)
        place = _clear(middle + offset, inward, span / (count - 1) / 2, taken)
        if place is not None:
            found.append(place)
    return found


def _count(span: float, centred: bool) -> int:
    count = max(2, round(span / PITCH) + 1)
    if centred or count % 2 == 0:
        return count
    return count - 1 if span / (count - 2) <= MOST_APART else count + 1


def _clear(place: float, inward: float, most: float, taken: Sequence[Span]) -> float | None:
    for step in range(int(most)):
        for moved in (place + inward * step, place - inward * step):
            if not any(low < moved < high for low, high in taken):
                return moved
    return None


# --------------------------------------------------------------------------------------------------------------------- taken
def _taken(bench: Bench, board: Part, strip: Part, nail: Pin) -> Iterator[Span]:
    """Stretches along the strip where a pin on its middle line would be too near to something."""
    middle, face = strip.size[1] / 2, strip.board.thickness
    needed = CLEAR_OF_CUT + nail.diameter / 2
    depth = (face - nail.length, face)
    for part in (strip, board):
        for feature in bench.features[part.key]:
            if isinstance(feature, Cut):
                if part is strip:
                    yield from _beyond(feature, middle, depth, strip.size[0])
                continue
            yield from _beside(_in_strip(_box(feature), part, strip), middle, depth, needed)
    for other in bench.fasteners.values():
        if (board.key in other.parts or strip.key in other.parts) and other.purpose != "strip pin":
            yield from _beside(_fastener_box(other, strip), middle, depth, needed)


def _beside(box: Box, middle: float, depth: Span, needed: float) -> Iterator[Span]:
    low, high = box
    if low[1] - needed < middle < high[1] + needed and low[2] - needed < depth[1] and depth[0] < high[2] + needed:
        yield low[0] - needed, high[0] + needed


def _beyond(cut: Cut, middle: float, depth: Span, long: float) -> Iterator[Span]:
    """The stretch that a cut across the strip takes away or comes too near to."""
    nx, ny, nz = cut.normal
    if abs(nx) < 1e-6:
        return
    clear = CLEAR_OF_CUT if cut.kind == "taper" else CLEAR_OF_END
    limits = [(-clear - ny * (middle - cut.point[1]) - nz * (z - cut.point[2])) / nx + cut.point[0] for z in depth]
    yield (min(limits), long + clear) if nx > 0 else (-clear, max(limits))


def _box(feature: Feature) -> Box:
    if isinstance(feature, Pocket):
        return feature.low, feature.high
    assert isinstance(feature, Hole)
    end = tuple(a + feature.depth * d for a, d in zip(feature.at, feature.into))
    radius = feature.diameter / 2
    spread = tuple(radius * (1 - d * d) ** 0.5 if abs(d) < 1 else 0.0 for d in feature.into)
    low = tuple(min(a, e) - s for a, e, s in zip(feature.at, end, spread))
    high = tuple(max(a, e) + s for a, e, s in zip(feature.at, end, spread))
    return low, high  # type: ignore[return-value]


def _fastener_box(fastener: Fastener, strip: Part) -> Box:
    end = plus(fastener.at, fastener.along, fastener.length)
    a, b = strip.place.own_point(fastener.at), strip.place.own_point(end)
    radius = fastener.diameter / 2
    return tuple(min(u, v) - radius for u, v in zip(a, b)), tuple(max(u, v) + radius for u, v in zip(a, b))  # type: ignore[return-value]


def _in_strip(box: Box, part: Part, strip: Part) -> Box:
    if part is strip:
        return box
    a, b = (strip.place.own_point(part.place.point(corner)) for corner in box)
    return tuple(map(min, a, b)), tuple(map(max, a, b))  # type: ignore[return-value]
