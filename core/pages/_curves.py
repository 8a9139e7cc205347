"""Curves that are sawn by hand in the face of a board, each once with all parts that have it, and how they are drawn at full size."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from ..built import BuiltJob
from ..cutting.list import parts_list
from ..drawing.dimensions import figures
from ..drawing.page import Item, Lines, Point, Rect, Stroke, Text
from ..drawing.running import running
from ..model import CutOut, Part
from ..outlines import arc_of, distance_to
from ..wording import listed
from ._views import INNER, OUTLINE

FINE = 0.005  # mm between an arc and the chords it is printed in
SHOWN = 450.0  # mm beyond a curve; an end of the board that lies so near is on the template, at one farther off it is broken
BREAK = 70.0  # mm of board beyond a curve where it is broken
BEYOND = 6.0  # mm of paper that edges and ends are drawn on past the board
LETTERING = 2.5  # mm
CENTRE = 3.0  # mm that the arms of an arc's centre are long
STEP = 4.0  # mm of the grid on which room for the word "waste" is looked for
LEAST_WASTE = 5.0  # mm round the middle of that word
WITHIN = 0.05  # mm inside the board from which a side of the outline is sawn


@dataclass(frozen=True, slots=True)
class Side:
    """A side of a curve, from one corner to the next: `middle` lies on its arc, or on the line where it is straight.

    All are mm in from the datum end and the datum edge of the board.
    """

    first: Point
    last: Point
    middle: Point

    @property
    def rise(self) -> float:
        """How high the arc stands to the right of the walk from first to last; 0 for a straight side."""
        (ax, ay), (bx, by) = self.first, self.last
        dx, dy = bx - ax, by - ay
        away = (self.middle[0] - (ax + bx) / 2) * dy - (self.middle[1] - (ay + by) / 2) * dx
        return round(away / math.hypot(dx, dy), 6)

    @property
    def alike(self) -> tuple:
        """The same whichever way it is walked, and for its mirror image."""
        ends = sorted(tuple(round(value, 2) for value in point) for point in (self.first, self.last))
        return *ends, tuple(round(value, 2) for value in self.middle)

    def points(self) -> list[Point]:
        """The side as short chords, both corners with it."""
        if not self.rise:
            return [self.first, self.last]
        centre, radius, turn = arc_of(self.first, self.last, self.rise)
        number = max(2, math.ceil(math.radians(abs(turn)) / (2 * math.acos(1 - FINE / radius))))
        start = math.atan2(self.first[1] - centre[1], self.first[0] - centre[0])
        angles = (start + math.radians(turn) * n / number for n in range(1, number))
        between = [(centre[0] + radius * math.cos(a), centre[1] + radius * math.sin(a)) for a in angles]
        return [self.first, *between, self.last]


@dataclass(frozen=True, slots=True)
class Curve:
    """A curve in the face of a board, seen with the face side toward one: its sides, and the board's width, mm."""

    name: str
    end: str
    edge: str
    other_edge: str
    before: tuple[bool, bool]  # whether the board lies to the left of its datum end, and below its datum edge
    sides: tuple[Side, ...]
    width: float
    waste: Point | None  # room for a word in what is taken out

    @property
    def alike(self) -> tuple:
        """What it shares with those that are the same, or the same turned over or round."""
        return self.name, round(self.width, 2), tuple(sorted(side.alike for side in self.sides))

    def laid_as(self, other: Curve) -> str:
        """How the template of the other is laid on the face side for this one, which is alike."""
        turned = [mine != theirs for mine, theirs in zip(self.before, other.before, strict=True)]
        words = "printed side up" if turned[0] == turned[1] else "turned over, printed side down"
        named = ((self.end, other.end), (self.edge, other.edge))
        lines = [f"{mine} at the line {theirs}" for mine, theirs in named if mine != theirs]
        return ", ".join((words, *lines))


@dataclass(slots=True)
class FoundCurve:
    """A curve; under the words for how its template is laid the parts it is for; how long these are, by mark."""

    curve: Curve
    laid: dict[str, list[str]] = field(default_factory=dict)
    lengths: dict[int, float] = field(default_factory=dict)

    @property
    def words(self) -> str:
        """For which parts, how it is laid, sawn and checked, and its arcs."""
        curve = self.curve
        places = " ".join(f"On the face side, {laid}: {'; '.join(parts)}." for laid, parts in self.laid.items())
        arcs = [side for side in curve.sides if side.rise]
        told = "; ".join(f"{n}: {_arc_words(side, curve)}" for n, side in enumerate(arcs, 1))
        check = f"Check on the paper: the board is {figures(curve.width)} wide"
        ends = [figures(length) for length in self.ends()]
        check += f" and {listed(ends)} long." if ends else "."
        return (
            f"{places} Arc {told}. {check} Cramp the board down, saw in the waste with the hands clear of the blade's "
            "path, and work down to the line."
        )

    def ends(self) -> dict[float, list[int]]:
        """Distances of the boards' other ends from the datum end, as far as they are shown, with the marks that end there."""
        found: dict[float, list[int]] = {}
        far = max(x for side in self.curve.sides for x, _ in side.points())
        for mark, length in sorted(self.lengths.items()):
            if length - far <= SHOWN:
                found.setdefault(length, []).append(mark)
        return dict(sorted(found.items()))

    def drawn(self) -> tuple[Item, ...]:
        """The template at full size, where datum end and datum edge cross at the origin."""
        return tuple(_drawn(self))


def curves(job: BuiltJob) -> list[FoundCurve]:
    """Every curve of the job once, mirror images with it, in the order of the marks."""
    entries = {entry.mark: entry for entry in parts_list(job)}
    found: dict[tuple, FoundCurve] = {}
    told = set()
    for mark, _, part in sorted(job.parts(), key=lambda each: each[0]):
        if mark in told:
            continue
        told.add(mark)
        for curve in _curves_of(part):
            entry = found.setdefault(curve.alike, FoundCurve(curve))
            words = f"{mark} {entries[mark].named}, {entries[mark].quantity} off"
            entry.laid.setdefault(curve.laid_as(entry.curve), []).append(words)
            entry.lengths[mark] = part.size[0]
    return list(found.values())


def curve_words(numbered: Sequence[FoundCurve], mark: int) -> tuple[str, ...]:
    """What the sheet of a part says of the templates for its curves, which are numbered from 1 on."""
    numbers = [str(n) for n, each in enumerate(numbered, 1) if mark in each.lengths]
    if not numbers:
        return ()
    return (f"Its curve at full size: see template{'s' * (len(numbers) > 1)} {listed(numbers)}.",)


# ------------------------------------------------------------------------------------------------------------ helpers
def _curves_of(part: Part) -> Iterator[Curve]:
    for feature in part.shape.features:
        if isinstance(feature, CutOut) and feature.axis == 2 and any(feature.rises):
            yield _curve(part, feature)


def _curve(part: Part, cut_out: CutOut) -> Curve:
    """The curve measured from the end and the edge that are nearer to it."""
    length, width, _ = part.size
    sides = [side for side in _sides(cut_out) if _is_sawn(side, length, width)]
    points = np.array([point for side in sides for point in side.points()])
    (low_x, low_y), (high_x, high_y) = points.min(axis=0), points.max(axis=0)
    before = (bool(low_x > length - high_x + WITHIN), bool(low_y > width - high_y + WITHIN))
    edges = ("back edge", "face edge") if part.face_edge_high else ("face edge", "back edge")

    def own(point: Point) -> Point:
        x, y = point
        return (round(length - x if before[0] else x, 6), round(width - y if before[1] else y, 6))

    waste = _room_in(cut_out, points, length, width)
    return Curve(
        name=cut_out.purpose.split(",")[0],
        end="head end" if before[0] else "foot end",
        edge=edges[before[1]],
        other_edge=edges[not before[1]],
        before=before,
        sides=tuple(Side(own(side.first), own(side.last), own(side.middle)) for side in sides),
        width=width,
        waste=own(waste) if waste else None,
    )


def _sides(cut_out: CutOut) -> Iterator[Side]:
    corners = cut_out.outline
    for (ax, ay), (bx, by), rise in zip(corners, (*corners[1:], corners[0]), cut_out.rises, strict=True):
        out = rise / math.hypot(bx - ax, by - ay)
        yield Side((ax, ay), (bx, by), ((ax + bx) / 2 + (by - ay) * out, (ay + by) / 2 - (bx - ax) * out))


def _is_sawn(side: Side, length: float, width: float) -> bool:
    """Whether a side of what is taken out lies in the board, not along its edge or outside."""
    x, y = side.middle
    return WITHIN < x < length - WITHIN and WITHIN < y < width - WITHIN


def _room_in(cut_out: CutOut, curve: np.ndarray, length: float, width: float) -> Point | None:
    """The place in what is taken out of the board that is farthest from its edges and the curve; None where all are near."""
    grid = np.array(list(itertools.product(np.arange(STEP, length, STEP), np.arange(STEP, width, STEP))))
    if not len(grid):
        return None
    inside = grid[distance_to(cut_out, np.column_stack((grid, np.full(len(grid), cut_out.start + 1.0)))) == 0]
    if not len(inside):
        return None
    x, y = inside.T
    room = np.linalg.norm(inside[:, None] - curve[None], axis=2).min(axis=1)
    room = np.minimum.reduce([room, x, y, length - x, width - y])
    best = int(room.argmax())
    return tuple(inside[best].tolist()) if room[best] >= LEAST_WASTE else None


def _arc_words(side: Side, curve: Curve) -> str:
    """Radius of an arc, and where its centre lies: "R 60.7, its centre 12 in from the head end and 5.2 outside the back edge"."""
    (x, y), radius, _ = arc_of(side.first, side.last, side.rise)
    places = (
        f"{figures(round(abs(value), 1))} {'in from' if value >= 0 else 'outside'} the {line}"
        for value, line in ((x, curve.end), (y, curve.edge))
    )
    return f"R {figures(round(radius, 1))}, its centre {' and '.join(places)}"


def _drawn(found: FoundCurve) -> Iterator[Item]:
    curve, ends = found.curve, found.ends()
    flip_x, flip_y = (-1.0 if before else 1.0 for before in curve.before)
    points = [point for side in curve.sides for point in side.points()]
    long = max(ends, default=max(x for x, _ in points) + BREAK)
    right, top = long * flip_x, curve.width * flip_y
    view = Rect(min(0.0, right), min(0.0, top), long, curve.width)

    def at(point: Point) -> Point:
        return point[0] * flip_x, point[1] * flip_y

    for side in curve.sides:
        yield Stroke(tuple(map(at, side.points())), OUTLINE)
    for level, name in ((0.0, curve.edge), (top, curve.other_edge)):
        yield Lines(((view.x - BEYOND, level, view.right + BEYOND, level),), INNER)
        yield Text(view.x - BEYOND - 0.8, level - LETTERING / 2, LETTERING, name, "right", "bold")
    told = {0.0: curve.end} | {end: f"end of {listed([str(mark) for mark in marks])}" for end, marks in ends.items()}
    for n, (end, words) in enumerate(told.items()):
        x = end * flip_x
        yield Lines(((x, view.y - BEYOND / 2, x, view.top + BEYOND),), INNER)
        yield Text(x, view.top + BEYOND + 0.8 + 4.0 * (n % 2), LETTERING, words, "middle", "bold")
    yield from _arcs(curve, at, view)
    if curve.waste:
        x, y = at(curve.waste)
        yield Text(x, y - LETTERING / 2, LETTERING, "waste", "middle")
    yield from _dimensions(curve, list(ends), at, view)


def _arcs(curve: Curve, at, view: Rect) -> Iterator[Item]:
    """The number of each arc at its middle, in the wood or the waste where its centre is not, and its centre where it is on the template."""
    for n, side in enumerate((side for side in curve.sides if side.rise), 1):
        (x, y), radius, _ = arc_of(side.first, side.last, side.rise)
        share = (radius + 3.0) / radius
        outside = at((x + (side.middle[0] - x) * share, y + (side.middle[1] - y) * share))
        yield Text(outside[0], outside[1] - LETTERING / 2, LETTERING, str(n), "middle", "bold")
        cx, cy = at((x, y))
        if view.x < cx < view.right and view.y < cy < view.top:
            yield Lines(((cx - CENTRE, cy, cx + CENTRE, cy), (cx, cy - CENTRE, cx, cy + CENTRE)), INNER)
            yield Text(cx + 1.0, cy + 1.0, LETTERING, str(n))


def _dimensions(curve: Curve, ends: Sequence[float], at, view: Rect) -> Iterator[Item]:
    """Corners of the curve, ends and edges of the board from the datum end and the datum edge."""
    corners = [point for side in curve.sides for point in (side.first, side.last)]
    along = [at((x, 0.0))[0] for x in (*(x for x, _ in corners), *ends)]
    across = [at((0.0, y))[1] for y in (*(y for _, y in corners), curve.width)]
    around = Rect(view.x - BEYOND, view.y - BEYOND / 2, view.width + 2 * BEYOND, view.height + BEYOND)
    below = running(along, side="below", drawing=around, place=lambda value: value)
    beside = Rect(view.x, view.y, max(around.right, below.rect.right) - view.x, view.height)
    yield from below.items
    yield from running(across, side="right", drawing=beside, place=lambda value: value).items
