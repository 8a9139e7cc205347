"""Whether there is room for one more hole: boxes around features and fasteners, compared in one part's frame."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from ..geometry import Placement, Vector, plus
from ..model import Cut, CutOut, Fastener, Feature, Part, Pocket
from ..outlines import box_about
from .bench import Bench

Box = tuple[Vector, Vector]
REMEMBERED = 20_000  # boxes; each is asked for again with every hole that comes after it
WOOD_BETWEEN = 5.0  # mm of wood between two holes; common practice, no source


@lru_cache(maxsize=REMEMBERED)
def box_of(feature: Feature) -> Box | None:
    """The box around a hole, pocket or cut-out in its part's frame; a cut has none."""
    if isinstance(feature, Cut):
        return None
    if isinstance(feature, CutOut):
        return box_about(feature)
    if isinstance(feature, Pocket):
        return feature.low, feature.high
    return _round(feature.at, plus(feature.at, feature.into, feature.depth), feature.diameter / 2)


@lru_cache(maxsize=REMEMBERED)
def fastener_box(fastener: Fastener, place: Placement) -> Box:
    """The box around a fastener in the frame of a part that stands at `place`."""
    end = plus(fastener.at, fastener.along, fastener.length)
    return _round(place.own_point(fastener.at), place.own_point(end), fastener.diameter / 2)


@lru_cache(maxsize=REMEMBERED)
def moved(box: Box, start: Placement, to: Placement) -> Box:
    """A box of one part's frame in another's; both stand square to one another."""
    a, b = (to.own_point(start.point(corner)) for corner in box)
    return tuple(map(min, a, b)), tuple(map(max, a, b))  # type: ignore[return-value]


def near(box: Box, other: Box, gap: float = 0.0) -> bool:
    """Whether two boxes are nearer than `gap` in every direction."""
    (a, b, c), (d, e, f) = box
    (u, v, w), (x, y, z) = other
    return a - gap < x and u - gap < d and b - gap < y and v - gap < e and c - gap < z and w - gap < f


def standing_box(part: Part) -> Box:
    """The box around a part in the piece."""
    a, b = part.place.point((0.0, 0.0, 0.0)), part.place.point(part.size)
    return tuple(map(min, a, b)), tuple(map(max, a, b))  # type: ignore[return-value]


def is_free(bench: Bench, key: str, at: Vector, into: Vector, diameter: float, depth: float, gap: float = WOOD_BETWEEN) -> bool:
    """Whether a hole, given in the piece, lies within a part and leaves wood between it and all that the part has already."""
    part = bench.parts[key]
    own = _round(part.place.own_point(at), part.place.own_point(plus(at, into, depth)), diameter / 2)
    across = [i for i, d in enumerate(part.place.own_direction(into)) if abs(d) < 0.5]
    if any(own[0][i] < gap or own[1][i] > part.size[i] - gap for i in across):
        return False
    return not any(near(own, box, gap) for box in taken(bench, part))


def first_free(bench: Bench, key: str, places: Iterable[Vector], into: Vector, diameter: float, depth: float, gap: float = WOOD_BETWEEN) -> Vector | None:
    """The first of the places where such a hole has room; none where there is none."""
    return next((at for at in places if is_free(bench, key, at, into, diameter, depth, gap)), None)


def shifted(at: Vector, along: Vector, most: float, step: float = 1.0) -> Iterator[Vector]:
    """A place, then others along a direction to and fro, nearest first, `along` before against it."""
    yield at
    for number in range(1, int(most / step) + 1):
        yield plus(at, along, number * step)
        yield plus(at, along, -number * step)


def taken(bench: Bench, part: Part) -> Iterator[Box]:
    """The boxes of all holes and pockets of a part, and of the fasteners in it, in its frame."""
    for feature in bench.features[part.key]:
        box = box_of(feature)
        if box:
            yield box
    for fastener in bench.fasteners_in(part.key):
        yield fastener_box(fastener, part.place)


def _round(start: Vector, end: Vector, radius: float) -> Box:
    """The box around a round between two points that lies along a frame axis, or leans."""
    axis = tuple(abs(e - s) for s, e in zip(start, end))
    long = sum(a * a for a in axis) ** 0.5
    spread = tuple(radius * max(0.0, 1 - (a / long) ** 2) ** 0.5 if long else radius for a in axis)
    low = tuple(min(s, e) - r for s, e, r in zip(start, end, spread))
    high = tuple(max(s, e) + r for s, e, r in zip(start, end, spread))
    return low, high  # type: ignore[return-value]

