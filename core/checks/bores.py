"""Holes and pegs as round rods where they stand in each part, and what lies between them and around them."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from ..frozen import quickly_made
from ..geometry import Vector, dot, length_of, plus
from ..model import Fastener, Hole, Model, When
from ..solids.convex import across
from .convex import Assembled
from .study import Study, study

SAME_AXIS = 0.01  # mm between two axes that are one (design: mating holes)
PARALLEL = 1e-6
AHEAD = 5.0  # mm beyond a tip that is looked at, for what is left before it comes out
RIM = 24  # points of a hole's bottom edge that are tried


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
    for key, pegs in through.items():
        bored = _bored([each for each, _, _ in pegs], holes[key])
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
            for (each, start, stop), has in zip(pegs, bored, strict=True)
            if not has
        ]
    return found


def _bored(pegs: list[Fastener], holes: list[Rod]) -> list[bool]:
    """Which fasteners have a hole on their axis."""
    if not holes:
        return [False] * len(pegs)
    at, along = np.array([each.at for each in pegs]), np.array([each.along for each in pegs])
    step = np.array([rod.at for rod in holes])[None] - at[:, None]
    off = step - np.einsum("nhi,ni->nh", step, along)[:, :, None] * along[:, None, :]
    parallel = np.abs(np.abs(along @ np.array([rod.along for rod in holes]).T) - 1) < PARALLEL
    return (parallel & (np.einsum("nhi,nhi->nh", off, off) <= SAME_AXIS**2)).any(axis=1).tolist()


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
    enters, leaves = runs(solids, block, at[number], along[number])
    spans: dict[tuple[int, int], list[tuple[float, float]]] = defaultdict(list)
    reach = [each.length + AHEAD for each in fasteners]
    for n, owner, start, stop in zip(
        number.tolist(), solids.owner[block].tolist(), enters.tolist(), leaves.tolist(), strict=True
    ):
        if stop - start > SAME_AXIS and stop > SAME_AXIS and start < reach[n]:
            spans[n, owner].append((start, stop))
    for (n, owner), pieces in spans.items():
        way = Passage(solids.keys[owner], min(start for start, _ in pieces), max(stop for _, stop in pieces))
        found[fasteners[n].key].append(way)
    for ways in found.values():
        ways.sort(key=lambda way: (way.enters, way.part))
    return found


def runs(solids: Assembled, blocks: np.ndarray, at: np.ndarray, along: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where lines (from `at` along `along`) go into and out of blocks; out before in where they miss."""
    slope = np.einsum("nmi,ni->nm", solids.normals[blocks], along)
    room = solids.offsets[blocks] - np.einsum("nmi,ni->nm", solids.normals[blocks], at)
    with np.errstate(divide="ignore", invalid="ignore"):
        t = room / slope
    enters = np.where(slope < -PARALLEL, t, -np.inf).max(axis=1)
    leaves = np.where(slope > PARALLEL, t, np.inf).min(axis=1)
    misses = ((np.abs(slope) <= PARALLEL) & (room < 0)).any(axis=1)
    return np.where(misses, np.inf, enters), np.where(misses, -np.inf, leaves)
