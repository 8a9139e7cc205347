"""Holes and pegs as round rods where they stand in each part, and what lies between them and around them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from ..frozen import quickly_made
from ..geometry import Vector, dot, length_of, plus
from ..model import CutOut, Fastener, Hole, Model, Pocket, When
from ..outlines import distance_to
from ..solids.convex import across
from .assembled import PLAIN
from .study import Study, study

SAME_AXIS = 0.01  # mm between two axes that are one (design: mating holes)
PARALLEL = 1e-6
AHEAD = 5.0  # mm beyond a tip that is looked at, for what is left before it comes out
RIM = 24  # points of a hole's bottom edge that are tried
ALONG = 17  # places along a hole or pin that are tried against a pocket
TINY = 0.01  # mm by which a wall may fall short
LATER = ("after glue-up", "at fitting", "on site")  # stages of what is made when a part is no longer by itself


@quickly_made
@dataclass(frozen=True, slots=True)
class Rod:
    """A hole in a part, or the stretch of an unbored peg in it: mouth, direction, length and radius, in the piece."""

    part: str
    at: Vector
    along: Vector
    length: float
    radius: float
    purpose: str
    when: When
    fastener: str = ""  # key of the peg; empty for a hole

    @property
    def end(self) -> Vector:
        """The middle of its bottom."""
        return plus(self.at, self.along, self.length)

    @property
    def middle(self) -> Vector:
        """Half way down."""
        return plus(self.at, self.along, self.length / 2)


@quickly_made
@dataclass(frozen=True, slots=True)
class Passage:
    """A fastener's axis in one part: where it goes in and out, in mm from the fastener's head."""

    part: str
    enters: float
    leaves: float


def rods_of(model: Model) -> dict[str, list[Rod]]:
    """By part: its holes, and the pegs driven into it without a hole."""
    return study(model).shared(_rods)


def passages(model: Model) -> dict[str, list[Passage]]:
    """By fastener: the parts that its axis runs through, its tip or `AHEAD` of it included, in its own order."""
    return study(model).shared(_passages)


def coaxial(a: Rod | Fastener, b: Rod | Fastener) -> bool:
    """Whether two round things stand on one axis, whichever way they look."""
    if abs(abs(dot(a.along, b.along)) - 1) > PARALLEL:
        return False
    step = plus(b.at, a.at, -1.0)
    return length_of(plus(step, a.along, -dot(step, a.along))) <= SAME_AXIS


def gaps_between(starts: np.ndarray, ends: np.ndarray, radii: np.ndarray, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """The wood between pairs of rods, mm, negative where they run into each other; their ends counted as round.

    Source: closest points of two segments, any text of computational geometry.
    """
    p, q = starts[a], starts[b]
    d, e = ends[a] - p, ends[b] - q
    between = p - q
    dd, ee, de = (np.einsum("ij,ij->i", u, v) for u, v in ((d, d), (e, e), (d, e)))
    db, eb = np.einsum("ij,ij->i", d, between), np.einsum("ij,ij->i", e, between)
    room = dd * ee - de * de
    with np.errstate(divide="ignore", invalid="ignore"):
        s = np.where(room > PARALLEL * dd * ee, np.clip((de * eb - db * ee) / room, 0, 1), 0.0)
        t = np.clip((de * s + eb) / ee, 0, 1)
        s = np.clip((de * t - db) / dd, 0, 1)
    apart = np.linalg.norm(between + s[:, None] * d - t[:, None] * e, axis=1)
    return apart - radii[a] - radii[b]


def to_hollow(ends: np.ndarray, pocket: Pocket | CutOut) -> np.ndarray:
    """How far lines, (n, 2, 3), are from a pocket's box or a cut-out, mm (n,), tried at `ALONG` places."""
    share = np.linspace(0.0, 1.0, ALONG)[:, None]
    points = ends[:, None, 0] * (1 - share) + ends[:, None, 1] * share
    if isinstance(pocket, CutOut):
        return distance_to(pocket, points.reshape(-1, 3)).reshape(len(ends), ALONG).min(axis=1)
    outside = np.maximum(np.maximum(np.asarray(pocket.low) - points, points - np.asarray(pocket.high)), 0.0)
    return np.sqrt((outside**2).sum(axis=2).min(axis=1))


def gap_between(a: Rod, b: Rod) -> float:
    """The wood between two rods with flat bottoms, mm; 0 or less where they run into each other."""
    starts, ends = np.array((a.at, b.at)), np.array((a.end, b.end))
    inner = (
        ends
        - np.array((a.along, b.along))
        * np.minimum(np.array((a.radius, b.radius)), np.array((a.length, b.length)))[:, None]
    )
    sides = float(gaps_between(starts, inner, np.array((a.radius, b.radius)), np.array([0]), np.array([1]))[0])
    return min(sides, _from_bottom(a, b), _from_bottom(b, a))


def _from_bottom(a: Rod, b: Rod) -> float:
    """How far the bottom of one rod is from the other, mm; 0 where it reaches into it."""
    u, v = across(a.along)
    angle = 2 * np.pi * np.arange(RIM) / RIM
    rim = np.asarray(a.end) + a.radius * (np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v)
    points = np.vstack((rim, [a.end])) - np.asarray(b.at)
    along = points @ np.asarray(b.along)
    out = np.linalg.norm(points - along[:, None] * np.asarray(b.along), axis=1) - b.radius
    beyond = np.maximum(np.maximum(-along, along - b.length), 0.0)
    return float(np.hypot(np.maximum(out, 0.0), beyond).min())


# --------------------------------------------------------------------------------------------------------------- making
def _rods(seen: Study) -> dict[str, list[Rod]]:
    found: dict[str, list[Rod]] = {}
    for part in seen.model.parts:
        holes = [each for each in part.shape.features if isinstance(each, Hole)]
        if holes:
            mouths = np.round(part.place.points([each.at for each in holes]), 6).tolist()
            ways = (np.array([each.into for each in holes]) @ part.place.axes() + 0.0).tolist()
            found[part.key] = [
                Rod(part.key, tuple(at), tuple(along), each.depth, each.diameter / 2, each.purpose, each.when)
                for each, at, along in zip(holes, mouths, ways, strict=True)
            ]
        else:
            found[part.key] = []
    for key, pegs in _unbored(seen, found).items():
        found[key] += pegs
    return found


def _unbored(seen: Study, holes: dict[str, list[Rod]]) -> dict[str, list[Rod]]:
    """By part: the stretches of pegs that no hole of it stands around."""
    ways = passages(seen.model)
    through: dict[str, list[tuple[Fastener, float, float]]] = defaultdict(list)
    for each in seen.model.fasteners:
        for way in ways[each.key]:
            start, stop = max(way.enters, 0.0), min(way.leaves, each.length)
            if stop - start > SAME_AXIS:
                through[way.part].append((each, start, stop))
    found: dict[str, list[Rod]] = {}
    fasteners = [[each for each, _, _ in pegs] for pegs in through.values()]
    bored = iter(_bored(fasteners, [holes[key] for key in through]))
    for key, pegs in through.items():
        found[key] = [
            Rod(
                key,
                plus(each.at, each.along, start),
                each.along,
                stop - start,
                each.diameter / 2,
                each.purpose,
                each.when,
                each.key,
            )
            for each, start, stop in pegs
            if not next(bored)
        ]
    return found


def _bored(pegs: list[list[Fastener]], holes: list[list[Rod]]) -> list[bool]:
    """Which fasteners, part by part one after another, have a hole of that part on their axis."""
    peg, *_ = on_axis(pegs, holes)
    return np.bincount(peg, minlength=sum(map(len, pegs))).astype(bool).tolist()


def on_axis(pegs: list[list[Fastener]], holes: list[list[Rod]]) -> tuple[np.ndarray, ...]:
    """The pairs of a fastener and a hole of the same part that stand on one axis, all parts tried at once.

    Their numbers, counted through; and where on the fastener's axis the hole begins and ends, mm from the fastener's head.
    """
    every, all_holes = [each for some in pegs for each in some], [rod for some in holes for rod in some]
    if not (every and all_holes):
        return (np.zeros(0, int), np.zeros(0, int), np.zeros(0), np.zeros(0))
    peg, hole = paired([len(some) for some in pegs], [len(some) for some in holes])
    at, along = np.array([each.at for each in every]), np.array([each.along for each in every])
    mouths, ways = np.array([rod.at for rod in all_holes]), np.array([rod.along for rod in all_holes])
    slope = np.einsum("ni,ni->n", along[peg], ways[hole])
    parallel = np.abs(np.abs(slope) - 1) < PARALLEL
    peg, hole, slope = peg[parallel], hole[parallel], slope[parallel]
    step = mouths[hole] - at[peg]
    mouth = np.einsum("ni,ni->n", step, along[peg])
    aside = step - mouth[:, None] * along[peg]
    on = np.einsum("ni,ni->n", aside, aside) <= SAME_AXIS**2
    bottom = mouth + slope * np.array([rod.length for rod in all_holes])[hole]
    return peg[on], hole[on], mouth[on], bottom[on]


def paired(counts: list[int], others: list[int]) -> tuple[np.ndarray, np.ndarray]:
    """Every thing of each group with every other thing of the same group, both counted through.

    >>> [numbers.tolist() for numbers in paired([1, 2], [2, 1])]
    [[0, 0, 1, 2], [0, 1, 2, 2]]
    """
    facing = np.repeat(others, counts)
    begin = np.repeat(np.cumsum(others) - others, counts)
    thing = np.repeat(np.arange(len(facing)), facing)
    return thing, np.arange(len(thing)) + np.repeat(begin - (np.cumsum(facing) - facing), facing)


def _passages(seen: Study) -> dict[str, list[Passage]]:
    solids, fasteners = seen.assembled, seen.model.fasteners
    found: dict[str, list[Passage]] = {each.key: [] for each in fasteners}
    if not fasteners:
        return found
    at, along = np.array([each.at for each in fasteners]), np.array([each.along for each in fasteners])
    ends = at + along * (np.array([each.length for each in fasteners]) + AHEAD)[:, None]
    low, high = np.minimum(at, ends), np.maximum(at, ends)
    wood = np.flatnonzero(solids.owner < len(seen.model.parts))
    near = np.ones((len(fasteners), len(wood)), bool)
    for k in range(3):
        near &= (low[:, None, k] <= solids.high[wood, k] + SAME_AXIS) & (
            solids.low[wood, k] <= high[:, None, k] + SAME_AXIS
        )
    number, block = np.nonzero(near)
    block = wood[block]
    planes = PLAIN[0] if solids.plain[wood].all() else solids.most[0]
    enters, leaves = runs(solids.normals[block, :planes], solids.offsets[block, :planes], at[number], along[number])
    reach = np.array([each.length + AHEAD for each in fasteners])
    run = (leaves - enters > SAME_AXIS) & (leaves > SAME_AXIS) & (enters < reach[number])
    spans: dict[tuple[int, int], tuple[float, float]] = {}
    for where, start, stop in zip(
        zip(number[run].tolist(), solids.owner[block[run]].tolist(), strict=True),
        enters[run].tolist(),
        leaves[run].tolist(),
        strict=True,
    ):
        known = spans.get(where)
        spans[where] = (min(start, known[0]), max(stop, known[1])) if known else (start, stop)
    for (n, owner), (start, stop) in spans.items():
        found[fasteners[n].key].append(Passage(solids.keys[owner], start, stop))
    for ways in found.values():
        if len(ways) > 1:
            ways.sort(key=lambda way: (way.enters, way.part))
    return found


def runs(normals: np.ndarray, offsets: np.ndarray, at: np.ndarray, along: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where lines (from `at` along `along`) go into and out of blocks by their planes; out before in where they miss."""
    slope = np.matmul(normals, along[:, :, None])[:, :, 0]
    room = offsets - np.matmul(normals, at[:, :, None])[:, :, 0]
    with np.errstate(divide="ignore", invalid="ignore"):
        t = room / slope
    enters = np.where(slope < -PARALLEL, t, -np.inf).max(axis=1)
    leaves = np.where(slope > PARALLEL, t, np.inf).min(axis=1)
    misses = ((np.abs(slope) <= PARALLEL) & (room < 0)).any(axis=1)
    return np.where(misses, np.inf, enters), np.where(misses, -np.inf, leaves)
