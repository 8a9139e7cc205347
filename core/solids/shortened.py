"""Bodies drawn shortened: the stretches of a part in which nothing begins or ends are given one length.

A draughtsman breaks a long rail in the middle, for nothing happens there. So here, along each of the three axes: what
lies close together keeps its distances, and what is far from everything else is brought near. Along the way every plane
either runs on unchanged or is moved as a whole, so that the shortened body has the faces, edges and corners of the true
one, and each corner of the true one is a corner of the shortened one moved along the axes. A change of size that moves
no feature past another leaves the shortened body as it was, and a body that was solved once need not be solved again.
Nothing depends on what was solved before: every body is made from its shortened one.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from operator import itemgetter

from ..model import Cut, CutOut, Feature, Hole, Pocket, Shape
from .convex import facets

GAP = 1.0  # mm; what is no farther apart keeps its distance
SHOWN = 2.0  # mm and less than one more that are left of what is farther apart: so a shortened body tells which it was
FLAT = 1e-12  # a normal that leans less is square to an axis: over 10 m less than the last digit of a coordinate

Value = tuple  # nested tuples of numbers


# a stretch of an axis in which something happens that must stay as it is: where it begins and ends, and a coordinate in it
# that is no sum of roots, if it has one
_Span = tuple[float, float, float | None]
_Spans = list[list[_Span]]  # of each axis
# where a cut crosses the blank: axis, from, to, a coordinate if it is square to the axis; nothing for other features
_Crossings = Sequence[tuple[int, float, float, float | None]]


@dataclass(frozen=True, slots=True)
class _Axis:
    """How one axis is shortened: stretches that stay as they are, each moved as a whole."""

    starts: list[float]  # where each stretch begins, but for the first; half way to the one before
    shifts: list[float]  # how far each lies beyond where it lies when shortened

    def moved(self, at: float) -> float:
        """Where a coordinate lies when shortened."""
        return round(at - self.shifts[bisect_right(self.starts, at)], 9)

    def shift(self, at: float) -> float:
        """How far the stretch about a coordinate is moved."""
        return self.shifts[bisect_right(self.starts, at)]


@dataclass(frozen=True, slots=True)
class Shortened:
    """A body shortened."""

    key: Value  # the shortened body's size, section and features; equal for equal bodies
    bounds: tuple[tuple[float, ...], ...]  # for each axis where the shortened stretches part
    shifts: tuple[list[float], ...]  # for each axis how far each stretch of the true body lies beyond

    def shape(self) -> tuple[Shape, list[Hole]]:
        """The shortened shape without holes, and the holes that are to be cut in it."""
        size, section, *values = self.key
        made = [_MAKERS[kind](*value) for kind, *value in values]
        holes = [each for each in made if isinstance(each, Hole)]
        return Shape(
            size=size, section=section, features=tuple(each for each in made if not isinstance(each, Hole))
        ), holes


def shortened(shape: Shape, holes: Sequence[Hole]) -> Shortened:
    """The body of a shape, cut by the given ones of its holes, shortened along all three axes."""
    features = [each for each in shape.features if type(each) is not Hole]
    features += holes
    crossed = [_crossed(each, shape) if type(each) is Cut else () for each in features]
    spans: _Spans = [[(0.0, 0.0, 0.0), (end, end, end)] for end in shape.size]
    if shape.section:
        for k in (1, 2):
            places = [point[k - 1] for point in shape.section]
            spans[k].append((min(0.0, *places), max(shape.size[k], *places), 0.0))
    for feature, crossings in zip(features, crossed):
        _SPANS[type(feature)](feature, crossings, spans)
    (x, parted_x), (y, parted_y), (z, parted_z) = (_axis(each) for each in spans)
    axes = (x, y, z)
    size = tuple([axis.moved(end) for axis, end in zip(axes, shape.size)])
    values = [_VALUES[type(each)](each, axes, crossings) for each, crossings in zip(features, crossed)]
    key = (size, shape.section, *sorted(values))  # in whatever order they were made
    return Shortened(key, (parted_x, parted_y, parted_z), (x.shifts, y.shifts, z.shifts))


# ----------------------------------------------------------------------------------------------------------------- an axis
def _axis(spans: list[_Span]) -> tuple[_Axis, tuple[float, ...]]:
    """An axis shortened, and where the stretches part when it is; the one that holds 0 stays where it is."""
    spans.sort(key=_begin)
    runs: list[list] = []  # low, high, anchor
    reach, run = -math.inf, []
    for low, high, anchor in spans:
        if low - reach <= GAP:
            if high > reach:
                run[1] = reach = high
            if run[2] is None:
                run[2] = anchor
        else:
            run, reach = [low, high, anchor], high
            runs.append(run)
    for run in runs:
        if run[2] is None:
            run[2] = round(run[0], 9)
    if len(runs) == 1:
        return _Axis([], [0.0]), ()
    first = next(i for i, run in enumerate(runs) if run[1] >= 0.0)
    shifts = [0.0] * len(runs)
    for i in range(first + 1, len(runs)):  # anchors come to whole millimetres, whatever the last digit of a sum says
        (_, high, _), (low, _, anchor) = runs[i - 1], runs[i]
        at = math.ceil(high - shifts[i - 1] + SHOWN + anchor - low - 1e-6)
        shifts[i] = round(anchor - at, 9)
    for i in range(first - 1, -1, -1):
        (_, high, anchor), (low, _, _) = runs[i], runs[i + 1]
        at = math.floor(low - shifts[i + 1] - SHOWN - (high - anchor) + 1e-6)
        shifts[i] = round(anchor - at, 9)
    starts, bounds = [], []
    for i in range(1, len(runs)):
        high, low = runs[i - 1][1], runs[i][0]
        starts.append((high + low) / 2)
        bounds.append((high - shifts[i - 1] + low - shifts[i]) / 2)
    return _Axis(starts, shifts), tuple(bounds)


_begin = itemgetter(0, 1)


# ---------------------------------------------------------------------------------------------------------------- features
def _spans_of_pocket(pocket: Pocket, _crossings: _Crossings, spans: _Spans) -> None:
    for of_axis, a, b in zip(spans, pocket.low, pocket.high):
        of_axis += ((a, a, a), (b, b, b))


def _spans_of_hole(hole: Hole, _crossings: _Crossings, spans: _Spans) -> None:
    radius = hole.diameter / 2 / math.cos(math.pi / facets(hole.diameter))
    square, floor = _floor(hole)
    for of_axis, start, end, d in zip(spans, hole.at, floor, hole.into):
        if square and d:
            of_axis += ((start, start, start), (end, end, end))
        else:
            of_axis.append((min(start, end) - radius, max(start, end) + radius, start))


def _floor(hole: Hole) -> tuple[bool, list[float]]:
    """Whether a hole runs along an axis, and the middle of its floor."""
    size = math.hypot(*hole.into)
    floor = [round(at + hole.depth * d / size, 9) for at, d in zip(hole.at, hole.into)]
    return sum(d != 0 for d in hole.into) == 1, floor


def _spans_of_cut(_cut: Cut, crossings: _Crossings, spans: _Spans) -> None:
    for k, low, high, anchor in crossings:
        spans[k].append((low, high, anchor))


def _crossed(cut: Cut, shape: Shape) -> _Crossings:
    """Where the plane crosses the blank: the axes that it leans to, from and to, a coordinate if it is square to an axis."""
    normal, point = _normal(cut), cut.point
    leaning = [k for k in (0, 1, 2) if normal[k]]
    if len(leaning) == 1:
        at = point[leaning[0]]
        return [(leaning[0], at, at, at)]
    offset = sum([normal[k] * point[k] for k in leaning])
    reach = [normal[k] * shape.size[k] for k in leaning]
    most = offset - sum([each for each in reach if each < 0])
    least = offset - sum([each for each in reach if each > 0])
    found = []
    for k, own in zip(leaning, reach):
        end = shape.size[k]
        a, b = (least + max(own, 0.0)) / normal[k], (most + min(own, 0.0)) / normal[k]
        found.append((k, min(max(min(a, b), 0.0), end), min(max(a, b, 0.0), end), None))
    return found


def _spans_of_cut_out(cut_out: CutOut, _crossings: _Crossings, spans: _Spans) -> None:
    along, first, second = (spans[(cut_out.axis + step) % 3] for step in range(3))
    along += ((cut_out.start,) * 3, (cut_out.end,) * 3)
    corners = cut_out.outline
    rises = cut_out.rises or (0.0,) * len(corners)
    for i, (a, rise) in enumerate(zip(corners, rises)):
        b = corners[(i + 1) % len(corners)]
        if not rise and (a[0] == b[0] or a[1] == b[1]):  # its other end is where the next side begins
            first.append((a[0],) * 3)
            second.append((a[1],) * 3)
            continue
        bulge = 0.0
        if rise:  # its facets stand no farther out than this, and sideways only where it is more than half a round
            bulge = abs(rise) * (1.0 if 2 * abs(rise) <= math.dist(a, b) else 2.0) + 1.0
        for of_axis, u, v in zip((first, second), a, b):
            of_axis.append((min(u, v) - bulge, max(u, v) + bulge, u))


def _normal(cut: Cut) -> Value:
    x, y, z = cut.normal
    return (x if abs(x) > FLAT else 0.0, y if abs(y) > FLAT else 0.0, z if abs(z) > FLAT else 0.0)


_SPANS = {Pocket: _spans_of_pocket, Hole: _spans_of_hole, Cut: _spans_of_cut, CutOut: _spans_of_cut_out}


# ------------------------------------------------------------------------------------------------------------------ values
def _value_of_pocket(pocket: Pocket, axes: Sequence[_Axis], _crossings: _Crossings) -> Value:
    low, high = (tuple([axis.moved(at) for axis, at in zip(axes, end)]) for end in (pocket.low, pocket.high))
    return ("pocket", low, high)


def _value_of_hole(hole: Hole, axes: Sequence[_Axis], _crossings: _Crossings) -> Value:
    at = tuple([axis.moved(place) for axis, place in zip(axes, hole.at)])
    square, floor = _floor(hole)
    if not square:
        return ("hole", at, hole.into, hole.diameter, hole.depth)
    k = next(k for k in range(3) if hole.into[k])
    return ("hole", at, hole.into, hole.diameter, round(abs(axes[k].moved(floor[k]) - at[k]), 9))


def _value_of_cut(cut: Cut, axes: Sequence[_Axis], crossings: _Crossings) -> Value:
    """The plane, moved as the stretches that it crosses are; where it runs on along an axis, its place there says nothing."""
    point = [0.0, 0.0, 0.0]
    for k, low, high, _ in crossings:
        point[k] = round(cut.point[k] - axes[k].shift((low + high) / 2), 9)
    return ("cut", _normal(cut), tuple(point))


def _value_of_cut_out(cut_out: CutOut, axes: Sequence[_Axis], _crossings: _Crossings) -> Value:
    k = cut_out.axis
    u, v = axes[(k + 1) % 3], axes[(k + 2) % 3]
    outline = tuple([(u.moved(a), v.moved(b)) for a, b in cut_out.outline])
    return ("cut-out", k, outline, axes[k].moved(cut_out.start), axes[k].moved(cut_out.end), cut_out.rises)


_VALUES = {Pocket: _value_of_pocket, Hole: _value_of_hole, Cut: _value_of_cut, CutOut: _value_of_cut_out}


def _pocket(low: Value, high: Value) -> Feature:
    return Pocket(kind="recess", low=low, high=high, purpose="")  # type: ignore[arg-type]


def _hole(at: Value, into: Value, diameter: float, depth: float) -> Feature:
    return Hole(at=at, into=into, diameter=diameter, depth=depth, purpose="")


def _cut(normal: Value, point: Value) -> Feature:
    return Cut(kind="bevel", point=point, normal=normal, angle=0.0, where="", purpose="")


def _cut_out(axis: int, outline: Value, start: float, end: float, rises: Value) -> Feature:
    return CutOut(kind="cut-out", axis=axis, outline=outline, start=start, end=end, purpose="", rises=rises)  # type: ignore[arg-type]


_MAKERS = {"pocket": _pocket, "hole": _hole, "cut": _cut, "cut-out": _cut_out}
