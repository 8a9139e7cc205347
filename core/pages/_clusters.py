"""Holes and recesses that belong together on one surface of a part: what one fitting needs there, or one row of dowels."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from ..built import BuiltJob
from ..fittings import fitting_entry
from ..model import Fastener, Hole, Model, Part, Pocket
from ..wording import handless
from ._machining import in_blank, measured, pocket_limits, side_drilled
from ._part_views import open_side
from ._views import boxes_of

NEAR = 70.0  # mm; an edge or end so near is part of the template
RUN_OUT = 1.5  # mm by which a cutter runs out of an open side; what goes farther goes into another part
TWO_ENDS = 300.0  # mm between holes of one fitting that are not set out by one template where there are two and more at either end
ON_AXIS = 0.1  # mm between the axes of a fastener and of its hole
AXES = ("foot end", "face edge", "face side")  # what the three measured distances are from
COVERS = 3.0  # mm round a fitting in which a hole is its own
OTHERS = ("dowel", "shelf pin")  # what holes near a fitting are for that are not its own
THROUGH = 0.0  # the depth of a hole that goes right through
ENDS = "ends"  # both are drilled alike
FAR = ("head end", "back edge", "back side")


@dataclass(frozen=True, slots=True)
class Line:
    """A datum of a template: what lies there, and whether the pattern lies before it instead of after it."""

    name: str
    before: bool


@dataclass(frozen=True, slots=True)
class Cluster:
    """Round holes (along, across, diameter, depth, purpose) and recesses (two corners, depth, purpose) on one surface.

    Places are mm from a datum: an edge, end or face of the part that is near, or the first of the pattern itself.
    """

    name: str
    side: str
    along: Line | None
    across: Line | None
    holes: tuple[tuple[float, float, float, float, str], ...]
    recesses: tuple[tuple[float, float, float, float, float, str], ...]
    band: float  # mm; the thickness of an edge or end that the pattern lies on, 0 for one on a face

    @property
    def alike(self) -> tuple:
        """What it shares with those that are the same, or the same turned over or round: places from datums of one kind."""
        axes = tuple(None if line is None else _axis_of(line) for line in (self.along, self.across))
        holes = tuple((round(a, 2), round(b, 2), *other) for a, b, *other in self.holes)
        recesses = tuple((*(round(each, 2) for each in recess[:-1]), recess[-1]) for recess in self.recesses)
        return self.name, self.side, axes, holes, recesses, round(self.band, 2)

    def laid_as(self, other: Cluster) -> str:
        """How a template of the other is laid for this one, which is alike; empty where it lies the same."""
        pairs = [
            (mine, theirs)
            for mine, theirs in ((self.along, other.along), (self.across, other.across))
            if mine and theirs
        ]
        flipped = [(mine, theirs) for mine, theirs in pairs if mine.before != theirs.before]
        if not flipped:
            return ""
        lines = " and ".join(f"{mine.name} at the line {theirs.name}" for mine, theirs in flipped)
        return f"{'turned over' if len(flipped) == 1 else 'turned round'}, {lines}"


@dataclass(slots=True)
class Found:
    """A cluster and where it is made: mark, name of the part, and the words for where its first place lies.

    Those that are the same turned over or round stand with it, each place under the words for how the template is laid.
    """

    cluster: Cluster
    laid: dict[str, list[tuple[int, str, str]]] = field(default_factory=dict)

    @property
    def places(self) -> list[tuple[int, str, str]]:
        """All places, however the template is laid."""
        return [place for some in self.laid.values() for place in some]


def clusters(job: BuiltJob) -> list[Found]:
    """Every pattern of the job once, mirror images with it, fittings in the order of the model, then rows of dowels."""
    found: dict[tuple, Found] = {}
    for index, built in enumerate(job.pieces):
        marks, parts = job.marks_of(index), {part.key: part for part in built.model.parts}
        for key, name, holes, pockets in (*_of_fittings(built.model, parts), *_of_dowels(built.model, parts)):
            part = parts[key]
            cluster, where = _cluster(name, part, holes, pockets)
            entry = found.setdefault(cluster.alike, Found(cluster))
            places = entry.laid.setdefault(cluster.laid_as(entry.cluster), [])
            if (marks[key], part.name, where) not in places:
                places.append((marks[key], part.name, where))
    return list(found.values())


# ------------------------------------------------------------------------------------------------------------ helpers
Wanted = tuple[str, str, list[Hole], list[Pocket]]


def _of_fittings(model: Model, parts: dict[str, Part]) -> Iterator[Wanted]:
    by_fitting: dict[str, list[Fastener]] = {}
    for fastener in model.fasteners:
        for key in fastener.parts:
            by_fitting.setdefault(key, []).append(fastener)
    all_boxes = boxes_of(model)
    bought: dict[str, list[str]] = {}
    for fitting in model.fittings:
        bought.setdefault(fitting.bought_with or fitting.key, []).append(fitting.key)
    for fitting in model.fittings:
        fasteners = by_fitting.get(fitting.key, [])
        if not fasteners or not fitting.entry:
            continue
        boxes = [all_boxes[key] for key in bought.get(fitting.key, [fitting.key])]
        for key in dict.fromkeys(key for each in fasteners for key in each.parts if key in parts):
            mine = [each for each in fasteners if key in each.parts]
            part = parts[key]
            holes = _holes_on(part, mine)
            if not holes:
                continue
            holes += [each for each in _holes_under(part, boxes) if each not in holes]
            name = fitting_entry(fitting.entry).name
            yield from ((key, name, some, _recesses_round(part, some)) for some in _by_side(holes))


def _of_dowels(model: Model, parts: dict[str, Part]) -> Iterator[Wanted]:
    fasteners = {each.key: each for each in model.fasteners}
    for joint in model.joints:
        mine = [fasteners[key] for key in joint.fasteners if fasteners[key].kind == "dowel"]
        for key in (joint.first, joint.second):
            holes = _holes_on(parts[key], mine) if mine and key in parts else []
            inward = [hole for hole in holes if abs(hole.into[2]) < 0.5]
            if len(inward) > 1:
                yield key, f"row of dowels, {mine[0].name}", inward, []


def _holes_on(part: Part, fasteners: Sequence[Fastener]) -> list[Hole]:
    """Holes of a part on the axes of fasteners."""
    holes = [each for each in part.shape.features if isinstance(each, Hole)]
    if not holes:
        return []
    at = np.array([part.place.point(each.at) for each in holes])
    into = np.array([part.place.direction(each.into) for each in holes])
    kept = np.zeros(len(holes), bool)
    for each in fasteners:
        axis, away = np.array(each.along), at - np.array(each.at)
        aside = away - (away @ axis)[:, None] * axis
        near = np.abs(away @ axis) < each.length + ON_AXIS
        kept |= (np.abs(aside).max(axis=1) < ON_AXIS) & near & (np.abs(into @ axis) > 0.9)
    return [hole for hole, keep in zip(holes, kept, strict=True) if keep]


def _holes_under(part: Part, boxes: Sequence[tuple[np.ndarray, np.ndarray]]) -> list[Hole]:
    """Holes of a part that a fitting covers besides those for its screws: the cup of a hinge, the barrel of a lock."""
    found = []
    for hole in part.shape.features:
        if isinstance(hole, Hole) and not hole.purpose.startswith(OTHERS):
            at = np.array(part.place.point(hole.at))
            if any((low - COVERS <= at).all() and (at <= high + COVERS).all() for low, high in boxes):
                found.append(hole)
    return found


def _by_side(holes: Sequence[Hole]) -> Iterator[list[Hole]]:
    """Holes drilled from one side; those at two far ends of a fitting, a pattern at each, by themselves."""
    sides: dict[tuple, list[Hole]] = {}
    for hole in holes:
        sides.setdefault(hole.into, []).append(hole)
    for some in sides.values():
        some.sort(key=lambda hole: hole.at[0])
        gap, at = max(((b.at[0] - a.at[0], n) for n, (a, b) in enumerate(pairwise(some), 1)), default=(0.0, 0))
        if gap > TWO_ENDS and 2 <= at <= len(some) - 2:
            yield some[:at]
            yield some[at:]
        else:
            yield some


def _recesses_round(part: Part, holes: Sequence[Hole]) -> list[Pocket]:
    """Recesses of a part that any of the holes goes through."""
    found = []
    for pocket in part.shape.features:
        if isinstance(pocket, Pocket) and pocket.kind == "recess":
            low, high = np.array(pocket.low) - 1.0, np.array(pocket.high) + 1.0
            if any((low <= hole.at).all() and (hole.at <= high).all() for hole in holes):
                found.append(pocket)
    return found


def _cluster(name: str, part: Part, holes: Sequence[Hole], pockets: Sequence[Pocket]) -> tuple[Cluster, str]:
    """The pattern by itself, and where on the part its first place lies."""
    side = side_drilled(part, holes[0].into)
    square = {"side": 2, "edge": 1, "end": 0}[side.split()[1]]
    places = np.array([measured(part, hole.at) for hole in holes])
    pockets = [each for each in pockets if open_side(part, in_blank(part, each)) == side]
    corners = [_limits(part, each, square) for each in pockets]
    low = np.min([places.min(0), *(np.array(each)[:, 0] for each in corners)], axis=0)
    high = np.max([places.max(0), *(np.array(each)[:, 1] for each in corners)], axis=0)
    axes = [axis for axis in range(3) if axis != square]
    axes.sort(key=lambda axis: (axis == 2, -(high[axis] - low[axis]), axis))
    lines, shifts, words = [], {}, []
    for axis in axes:
        size = part.size[axis]
        line, shift = _datum(axis, float(low[axis]), float(high[axis]), size, part)
        lines.append(line)
        shifts[axis] = (shift, line is not None and line.before)
        if line is None:
            words.append(f"{_figure(low[axis])} from the {AXES[axis]}")

    def own(axis: int, value: float) -> float:
        shift, turned = shifts[axis]
        return round(float(shift - value if turned else value - shift), 3)

    a, b = axes
    round_holes = sorted(
        (own(a, at[a]), own(b, at[b]), hole.diameter, _deep(part, hole, square), hole.purpose)
        for at, hole in zip(places, holes, strict=True)
    )
    recesses = sorted(
        (
            *sorted((own(a, limits[a][0]), own(a, limits[a][1]))),
            *sorted((own(b, limits[b][0]), own(b, limits[b][1]))),
            round(limits[square][1] - limits[square][0], 3),
            pocket.purpose,
        )
        for limits, pocket in zip(corners, pockets, strict=True)
    )
    band = part.size[2] if square != 2 else 0.0
    told = ENDS if square == 0 else side
    cluster = Cluster(name, told, lines[0], lines[1], tuple(round_holes), tuple(recesses), band)
    return cluster, ", ".join(words)


def _deep(part: Part, hole: Hole, square: int) -> float:
    """How deep a hole is, from the part's own surface; THROUGH for one that goes right through, and on through what is glued to it."""
    return THROUGH if hole.depth > part.size[square] - 0.05 else round(hole.depth, 2)


def _limits(part: Part, pocket: Pocket, square: int) -> list[tuple[float, float]]:
    """From where to where a recess goes; on into what is glued to the part's back where it is cut in both at once."""
    limits = list(pocket_limits(part, in_blank(part, pocket)))
    on = -pocket.low[2]
    if square != 2 and on > RUN_OUT:
        limits[2] = limits[2][0], part.size[2] + on
    return limits


def _datum(axis: int, low: float, high: float, size: float, part: Part) -> tuple[Line | None, float]:
    """The edge, end or face that a pattern is measured from, and where that lies; None and its own first place.

    Between both ends it is the front one, or the nearer of a part that lies across or stands: as on its mirror image.
    """
    near, far = low <= NEAR, size - high <= NEAR
    if axis == 0 and near and far:
        forward = -part.place.x[1]
        near = forward < 0 if abs(forward) > 0.9 else low <= size - high + ON_AXIS
    if axis == 2 or near:
        return Line(AXES[axis], False), 0.0
    return (Line(FAR[axis], True), size) if far else (None, low)


def _axis_of(line: Line) -> int:
    return (FAR if line.name in FAR else AXES).index(line.name)


def _figure(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def places_said(found: Found) -> str:
    """Where the pattern is made: "1 side panel: its mark R at 333.5 from the foot end. Turned over, … : 2 side panel"."""
    return " ".join(
        f"{f'{laid[:1].upper()}{laid[1:]}: ' if laid else ''}{_said(places)}" for laid, places in found.laid.items()
    )


def _said(places: Sequence[tuple[int, str, str]]) -> str:
    by_part: dict[tuple[int, str], list[str]] = {}
    for mark, name, where in places:
        by_part.setdefault((mark, handless(name)), []).append(where)
    words = []
    for (mark, name), wheres in by_part.items():
        told = [each for each in dict.fromkeys(wheres) if each]
        words.append(f"{mark} {name}" + (f": its mark R at {'; '.join(told)}" if told else ""))
    return ". ".join(words) + "."
