"""Whether there is room for one more hole: boxes around features and fasteners, compared in one part's frame."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ..geometry import Placement, Vector, plus, vector
from ..model import Cut, CutOut, Fastener, Feature, Part, Pocket
from ..outlines import box_about
from .bench import Bench, Box, Boxes

# mm, less than places are rounded to: what stands off just as far as it must is free, in the mirror image too
HAIR = 1e-7
TOUCH = 0.05  # mm within which two parts meet
_PIECE = Placement((0.0, 0.0, 0.0))  # the piece's own frame
SQUARE = frozenset((-1.0, 0.0, 1.0))  # the coordinates of a direction along an axis
THIN_WALL = 2.0  # mm of wood, at the least, between a hole and what else is in a part; common practice, no source
WOOD_BETWEEN = 5.0  # mm of wood between two holes; common practice, no source


def box_of(feature: Feature) -> Box | None:
    """The box around a hole, pocket or cut-out in its part's frame; a cut has none."""
    if isinstance(feature, Cut):
        return None
    if isinstance(feature, CutOut):
        return box_about(feature)
    if isinstance(feature, Pocket):
        return feature.low, feature.high
    return _round(feature.at, plus(feature.at, feature.into, feature.depth), feature.diameter / 2)


def fastener_box(fastener: Fastener, place: Placement) -> Box:
    """The box around a fastener in the frame of a part that stands at `place`."""
    start, along = place.own_point(fastener.at), place.own_direction(fastener.along)
    return _round(start, plus(start, along, fastener.length), fastener.diameter / 2)


def moved(box: Box, start: Placement, to: Placement) -> Box:
    """A box of one part's frame in another's; both stand square to one another."""
    (a, b, c), (d, e, f) = to.own_point(start.point(box[0])), to.own_point(start.point(box[1]))
    return (min(a, d), min(b, e), min(c, f)), (max(a, d), max(b, e), max(c, f))


def near(box: Box, other: Box, gap: float = 0.0) -> bool:
    """Whether two boxes are nearer than `gap` in every direction."""
    (a, b, c), (d, e, f) = box
    (u, v, w), (x, y, z) = other
    return a - gap < x and u - gap < d and b - gap < y and v - gap < e and c - gap < z and w - gap < f


def standing_box(part: Part) -> Box:
    """The box around a part in the piece; of one that leans, around all its corners."""
    place = part.place
    if SQUARE.issuperset(place.x) and SQUARE.issuperset(place.y):
        (a, b, c), (d, e, f) = place.origin, place.point(part.size)
        return (min(a, d), min(b, e), min(c, f)), (max(a, d), max(b, e), max(c, f))
    long, wide, thick = part.size
    corners = [place.point((x, y, z)) for x in (0.0, long) for y in (0.0, wide) for z in (0.0, thick)]
    return tuple(map(min, *corners)), tuple(map(max, *corners))  # type: ignore[return-value]


def is_free(
    bench: Bench, key: str, at: Vector, into: Vector, diameter: float, depth: float, gap: float = WOOD_BETWEEN
) -> bool:
    """Whether a hole, given in the piece, lies within a part and leaves wood between it and all that the part has already."""
    part, gap = bench.parts[key], gap - HAIR
    start, along = part.place.own_point(at), part.place.own_direction(into)
    own = _round(start, plus(start, along, depth), diameter / 2)
    (a, b, c), (d, e, f) = own
    (u, v, w), (long, wide, thick) = along, part.shape.size
    if (
        (-0.5 < u < 0.5 and (a < gap or d > long - gap))
        or (-0.5 < v < 0.5 and (b < gap or e > wide - gap))
        or (-0.5 < w < 0.5 and (c < gap or f > thick - gap))
    ):
        return False
    return not any(nearest(own, taken(bench, part), gap))


def own_box(part: Part, corner: Vector, opposite: Vector) -> Box:
    """The box between two opposite corners, given in the piece, in the part's own frame."""
    own = part.place.own_point(corner), part.place.own_point(opposite)
    return vector(*map(min, *own)), vector(*map(max, *own))


def is_whole(bench: Bench, part: Part, corner: Vector, opposite: Vector) -> bool:
    """Whether nothing is cut out of a part, or driven into it, between two opposite corners given in the piece."""
    return not any(nearest(own_box(part, corner, opposite), taken(bench, part)))


def nearest(box: Box, others: Iterable[Box], gap: float = 0.0) -> Iterator[Box]:
    """Those of other boxes that are `near` a box; spelt out here, for this is asked thousands of times in a piece."""
    (a, b, c), (d, e, f) = box
    a, b, c = a - gap, b - gap, c - gap
    for other in others:
        (u, v, w), (x, y, z) = other
        if a < x and u - gap < d and b < y and v - gap < e and c < z and w - gap < f:
            yield other


def first_free(
    bench: Bench,
    key: str,
    places: Iterable[Vector],
    into: Vector,
    diameter: float,
    depth: float,
    gap: float = WOOD_BETWEEN,
) -> Vector | None:
    """The first of the places where such a hole has room; none where there is none."""
    return next((at for at in places if is_free(bench, key, at, into, diameter, depth, gap)), None)


def shifted(at: Vector, along: Vector, most: float, step: float = 1.0) -> Iterator[Vector]:
    """A place, then others along a direction to and fro, nearest first, `along` before against it."""
    yield at
    for number in range(1, int(most / step) + 1):
        yield plus(at, along, number * step)
        yield plus(at, along, -number * step)


def taken(bench: Bench, part: Part) -> Sequence[Box]:
    """The boxes of all holes and pockets of a part, and of the fasteners in it, in its frame."""
    known = bench.boxes.get(part.key)
    features, fasteners = bench.features[part.key], bench.fasteners_in(part.key)
    if (
        known is None or known.features is not features or (known.place is not part.place and known.place != part.place)
    ):  # the part was made longer since
        known = bench.boxes[part.key] = Boxes(features=features, place=part.place)
        known.found += [moved(box, _PIECE, part.place) for box in bench.reserved.get(part.key, ())]
    if known.seen < len(features):
        known.found += [box for feature in features[known.seen :] if (box := box_of(feature))]
        known.seen = len(features)
    if known.held < len(fasteners):
        known.found += [fastener_box(fastener, part.place) for fastener in fasteners[known.held :]]
        known.held = len(fasteners)
    return known.found


def _round(start: Vector, end: Vector, radius: float) -> Box:
    """The box around a round between two points that lies along a frame axis, or leans."""
    (a, b, c), (d, e, f) = start, end
    across, deep, up = d - a, e - b, f - c
    if across == deep == 0.0 != up:  # the usual ones, by the same sum
        return (a - radius, b - radius, min(c, f)), (a + radius, b + radius, max(c, f))
    if across == up == 0.0 != deep:
        return (a - radius, min(b, e), c - radius), (a + radius, max(b, e), c + radius)
    if deep == up == 0.0 != across:
        return (min(a, d), b - radius, c - radius), (max(a, d), b + radius, c + radius)
    square = across * across + deep * deep + up * up
    x, y, z = (radius * max(0.0, 1 - each * each / square) ** 0.5 if square else radius for each in (across, deep, up))
    return (min(a, d) - x, min(b, e) - y, min(c, f) - z), (max(a, d) + x, max(b, e) + y, max(c, f) + z)
