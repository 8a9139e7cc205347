"""Pins of planted strips, placed last, so that none lies in the way of a saw, a drill or a router.

A pin keeps 12 mm from the ends that are sawn and 5 mm from every hole, recess, taper and other fastener in the strip and in
the board behind it: a pin in the path of a cutter is an accident. A narrow strip has its pins midway between its outer edge
and its bevel; one too narrow for that is glued without.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

from ..errors import blaming
from ..fastenings import Pin, pin, pin_length
from ..geometry import negative, plus
from ..model import Cut, Joint, Part
from ..units import from_middle
from .bench import Bench
from .clearance import moved, nearest, taken

PITCH, MOST_APART = 200.0, 300.0  # mm between pins, about and at most; common practice, no source
FROM_END = 60.0  # mm from the ends of the strip; common practice, no source
AFAR = 1e5  # mm; farther than any part is long
HAIR = 1e-3  # mm; a pin at the very limit counts as clear, whatever the last digit says
WITHOUT_PINS = "too narrow for pins 12 from its edge and bevel: glued alone, held under a caul until the glue has set"
CLEAR_OF_END, CLEAR_OF_CUT = 12.0, 5.0  # mm; common practice, no source

Span = tuple[float, float]


def pin_strips(bench: Bench) -> None:
    """Put the pins in every joint that is glued and pinned; the first part is the board, the second the strip."""
    for number, joint in enumerate(bench.joints):
        if joint.kind == "glue and pins":
            bench.joints[number] = _pinned(bench, joint)


def pin_for(strip: float, board: float) -> Pin:
    """The pin for a strip on a board, by their thicknesses."""
    with blaming("board"):
        return pin(pin_length(strip, board))


def _pinned(bench: Bench, joint: Joint) -> Joint:
    """The joint with its pins; one of glue alone where the strip is too narrow for any."""
    board, strip = bench.parts[joint.first], bench.parts[joint.second]
    nail = pin_for(strip.board.thickness, board.board.thickness)
    line = _line(bench, strip, nail)
    if line is None:
        bench.parts[strip.key] = dataclasses.replace(strip, notes=(*strip.notes, WITHOUT_PINS))
        return dataclasses.replace(joint, kind="glue")
    low, high = _lap(strip, board)
    across = strip.place.x[0] != 0
    names = []
    ends = (-AFAR, low + CLEAR_OF_END), (high - CLEAR_OF_END, AFAR)  # there is no wood beyond them
    no_pin = [*_no_pin(bench, board, strip, nail, line), *ends]
    for place in _places(low, high, no_pin, centred=not across, up=strip.place.x[1] + strip.place.x[2] >= 0):
        head = plus(strip.place.origin, strip.place.direction((place, line, strip.board.thickness)))
        name = bench.fasten(
            "pin",
            f"pin {nail.name}",
            nail.diameter,
            nail.length,
            head,
            negative(joint.apart),
            (board.key, strip.key),
            "strip pin",
        )
        names.append(name)
    return dataclasses.replace(joint, fasteners=tuple(names))


def _line(bench: Bench, strip: Part, nail: Pin) -> float | None:
    """How far across a strip its pins stand: in the middle, else midway between edge and bevel; none where neither keeps its distance."""
    clear, face = CLEAR_OF_END + nail.diameter / 2, strip.board.thickness
    low, high = clear, strip.size[1] - clear
    for feature in bench.features[strip.key]:
        if not isinstance(feature, Cut) or feature.when.stage != "in the part" or abs(feature.normal[0]) > 1e-6:
            continue
        (_, ny, nz), (_, y, z) = feature.normal, feature.point
        limit = y - (clear + max(nz * (face - z), nz * (face - nail.length - z))) / ny
        low, high = (low, min(high, limit)) if ny > 0 else (max(low, limit), high)
    if low > high + HAIR:
        return None
    middle = strip.size[1] / 2
    return middle if low - HAIR <= middle <= high + HAIR else (low + high) / 2


def _lap(strip: Part, board: Part) -> Span:
    """From where to where along the strip the board lies behind it."""
    ends = [strip.place.own_point(board.place.point(corner))[0] for corner in ((0.0, 0.0, 0.0), board.size)]
    return max(0.0, min(ends)), min(strip.size[0], max(ends))


# -------------------------------------------------------------------------------------------------------------------- places
def _places(low: float, high: float, no_pin: Sequence[Span], centred: bool, up: bool) -> list[float]:
    """Evenly spread places, each moved as little as it must be; toward the middle first, so that mirror images stay so.

    `centred`: whether one may sit in the middle; that one moves up or back first.
    """
    middle, reach = (low + high) / 2, (high - low) / 2
    span = 2 * max(reach - FROM_END, reach / 2)
    count = _count(span, centred)
    found = []
    for i in range(count):
        offset = from_middle(span, i, count)
        inward = (1.0 if up else -1.0) if offset == 0 else (-1.0 if offset > 0 else 1.0)
        place = _clear(middle + offset, inward, span / (count - 1) / 2, no_pin)
        if place is not None:
            found.append(place)
    return found


def _count(span: float, centred: bool) -> int:
    count = max(2, round(span / PITCH) + 1)
    if centred or count % 2 == 0:
        return count
    return count - 1 if span / (count - 2) <= MOST_APART else count + 1


def _clear(place: float, inward: float, most: float, no_pin: Sequence[Span]) -> float | None:
    for step in range(int(most)):
        for there in (place + inward * step, place - inward * step):
            for low, high in no_pin:
                if low + HAIR < there < high - HAIR:
                    break
            else:
                return there
    return None


# -------------------------------------------------------------------------------------------------------------------- no pin
def _no_pin(bench: Bench, board: Part, strip: Part, nail: Pin, middle: float) -> Iterator[Span]:
    """Stretches along the strip where a pin on its line, so far across it, would be too near to something."""
    face = strip.board.thickness
    needed = CLEAR_OF_CUT + nail.diameter / 2
    depth = (face - nail.length, face)
    for feature in bench.features[strip.key]:
        if isinstance(feature, Cut):
            yield from _beyond(feature, middle, depth, strip.size[0])
    zone = ((-AFAR, middle - needed, depth[0] - needed), (AFAR, middle + needed, depth[1] + needed))
    for low, high in nearest(zone, taken(bench, strip)):
        yield low[0] - needed, high[0] + needed
    start, way = board.place.own_point(strip.place.origin), board.place.own_direction(strip.place.x)
    axis = max(range(3), key=lambda i: abs(way[i]))  # of the board, that the strip lies along
    for box in nearest(moved(zone, strip.place, board.place), taken(bench, board)):
        ends = [(corner[axis] - start[axis]) * way[axis] for corner in box]
        yield min(ends) - needed, max(ends) + needed


def _beyond(cut: Cut, middle: float, depth: Span, long: float) -> Iterator[Span]:
    """The stretch that a cut across the strip takes away or comes too near to."""
    nx, ny, nz = cut.normal
    if abs(nx) < 1e-6:
        return
    clear = CLEAR_OF_CUT if cut.kind == "taper" else CLEAR_OF_END
    limits = [(-clear - ny * (middle - cut.point[1]) - nz * (z - cut.point[2])) / nx + cut.point[0] for z in depth]
    yield (min(limits), long + clear) if nx > 0 else (-clear, max(limits))
