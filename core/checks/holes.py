"""Holes: which run into each other, come out of the wood, or leave too thin a wall."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from ..geometry import Vector, dot, plus
from ..model import FOR_PIPE, CutOut, Model, Part, Pocket
from ..piece import Piece
from ..solids.convex import across
from .bores import LATER, TINY, Rod, coaxial, gap_between, gaps_between, paired, rods_of, to_hollow
from .finding import ARITHMETIC, PRACTICE, Finding, figure, gathered
from .study import Study, study

WALL = 2.0  # mm of wood between holes, or left before a hole comes through; common practice, no source
DOWEL_SOURCE = "woodweb.com, dowel drilling guidelines, read: at least one dowel radius"
SHELF_PIN = "shelf pin"
ROWS_APART = (
    "Set one row of shelf pins 16 mm or more beside the other, take pins with short pegs in holes 8 deep (shelf-pin-5-short), or"
    " give the shelves on both sides sleeves through the upright (sleeve-5-18)."
)  # rule book: rows on both faces of one upright
# mm between pin holes bored from both faces; rule book: at 2 mm left, warn; common practice, no source
BACK_TO_BACK = 3.0
THROUGH_WORDS = (
    "clearance",
    "bolt",
    "pin through",
    "through the lipping",
    "cable",
    "vent",
    FOR_PIPE,
    "shelf-pin sleeve",
)  # holes that go through on purpose say so


def holes_meet(piece: Piece, model: Model) -> Iterator[Finding]:
    """Holes, and pegs driven without one, keep clear of each other in every part."""
    for a, b, wall in _close(list(rods_of(model).values())):
        key = a.part
        if wall <= 0:
            yield Finding(
                check="holes that meet",
                severity="stop",
                keys=(key,),
                at=a.end,
                value=round(wall, 2),
                limit=0.0,
                source=ARITHMETIC,
                text=(
                    f"In the {study(model).called(key)} the {_word(a)} and the {_word(b)} run into each other;"
                    f" {figure(WALL)} mm of wood is wanted between them."
                ),
                remedy=_apart(a, b),
            )
        else:
            yield Finding(
                check="thin wall",
                severity="warn",
                keys=(key,),
                at=a.end,
                value=round(wall, 2),
                limit=WALL,
                text=(
                    f"In the {study(model).called(key)} {figure(wall, 2)} mm of wood is left between the {_word(a)}"
                    f" and the {_word(b)}; at least {figure(WALL)} mm is wanted."
                ),
                remedy=_apart(a, b),
            )


def rows_back_to_back(piece: Piece, model: Model) -> Iterator[Finding]:
    """Of shelf pins that stand end to end on both faces of an upright enough is left between the holes; told once for each upright."""
    for key, rods in rods_of(model).items():
        holes: dict[tuple[float, float], list[Rod]] = {}
        for rod in rods:
            if rod.purpose == SHELF_PIN:
                holes.setdefault((round(rod.at[1], 2), round(rod.at[2], 2)), []).append(rod)
        pairs = [(a, b) for a, *others in holes.values() for b in others if dot(a.along, b.along) < 0]
        left = [abs(b.at[0] - a.at[0]) - a.length - b.length for a, b in pairs]
        if not left or not WALL - TINY <= min(left) < BACK_TO_BACK:
            continue
        a, _ = pairs[left.index(min(left))]
        yield Finding(
            check="pin rows back to back",
            severity="warn",
            keys=(key,),
            at=a.end,
            value=round(min(left), 2),
            limit=BACK_TO_BACK,
            text=(
                f"In {len(pairs)} places of the {study(model).called(key)} pin holes end {figure(min(left), 1)} mm from each"
                f" other, bored from both faces; below {figure(BACK_TO_BACK)} mm a drill without its stop breaks through."
            ),
            remedy="A stop collar on the drill, tried on an offcut; or sleeves through the upright (sleeve-5-18).",
        )


def thin_walls(piece: Piece, model: Model) -> Iterator[Finding]:
    """Holes leave wood before the far side and beside them, and keep out of grooves and rebates."""
    seen = study(model)
    for key, rods in rods_of(model).items():
        part, blocks = seen.parts[key], seen.blocks_of[key]
        if len(blocks) == 1:
            holes = [rod for rod in rods if not rod.fastener]
            yield from _walls(seen, part, blocks[0], holes)
            yield from _into_pockets(seen, part, holes)


CHECKS = tuple(map(gathered, (holes_meet, rows_back_to_back, thin_walls)))


def _apart(a: Rod, b: Rod) -> str:
    """What would mend holes that come too near each other; rows of shelf pins on both faces of one upright have ways of their own."""
    if a.purpose == b.purpose == SHELF_PIN and dot(a.along, b.along) < 0:
        return ROWS_APART
    return "Move one row, or bore less deep."


def _close(parts: list[list[Rod]]) -> Iterator[tuple[Rod, Rod, float]]:
    """Pairs of rods of one part with less than `WALL` between them that are not one hole in another, all parts tried at once."""
    rods = [rod for some in parts for rod in some]
    if not rods:
        return
    starts, ways = np.array([rod.at for rod in rods]), np.array([rod.along for rod in rods])
    half, radii = np.array([rod.length for rod in rods]) / 2, np.array([rod.radius for rod in rods])
    middles = starts + half[:, None] * ways
    counts = [len(some) for some in parts]
    a, b = paired(counts, counts)
    twice = a < b
    a, b = a[twice], b[twice]
    between = middles[a] - middles[b]
    reach = (half + radii)[a] + (half + radii)[b] + WALL
    near = np.einsum("ij,ij->i", between, between) < reach * reach  # of the balls around them
    a, b = a[near], b[near]
    near = np.flatnonzero(gaps_between(starts, middles + half[:, None] * ways, radii, a, b) < WALL)
    for i in near.tolist():
        first, second = rods[a[i]], rods[b[i]]
        if coaxial(first, second) and dot(first.along, second.along) > 0:
            continue  # a screw in its plug, a pilot under its clearance hole
        if first.fastener and second.fastener and coaxial(first, second):
            continue
        wall = gap_between(first, second)
        if wall < WALL - TINY:
            yield first, second, wall


def _walls(seen: Study, part: Part, block: int, holes: list[Rod]) -> Iterator[Finding]:
    if not holes:
        return
    normals, offsets = seen.assembled.normals[block], seen.assembled.offsets[block]
    at, along = np.array([rod.at for rod in holes]), np.array([rod.along for rod in holes])
    length, radius = np.array([rod.length for rod in holes]), np.array([rod.radius for rod in holes])
    slope = along @ normals.T
    room = offsets - at @ normals.T
    with np.errstate(divide="ignore", invalid="ignore"):
        ahead = np.where(slope > 0.05, room / slope, np.inf).min(axis=1)
    rest = ahead - length
    deeper = np.minimum(room, room - slope * length[:, None])
    beside = np.where(np.abs(slope) < 0.5, deeper, np.inf).min(axis=1) - radius
    least = np.array([rod.radius if rod.purpose.startswith("dowel") else WALL for rod in holes])
    for n in np.flatnonzero((rest < WALL - TINY) | (beside < least - TINY)).tolist():
        rod, left, side, common = holes[n], float(rest[n]), float(beside[n]), _is_shared(seen, part, holes[n])
        if left < WALL - TINY and not (common or _meant_through(rod)):
            out = left <= TINY
            yield Finding(
                check="hole that comes out" if out else "thin wall",
                severity="stop" if out else "warn",
                keys=(part.key,),
                at=rod.end,
                value=round(left, 2),
                limit=0.0 if out else WALL,
                source=ARITHMETIC if out else PRACTICE,
                text=(
                    f"The {_word(rod)} in the {seen.called(part.key)} ({part.board.name}) leaves"
                    f" {figure(max(left, 0.0), 2)} mm before the far side; at least {figure(WALL)} mm is wanted."
                ),
                remedy="Bore less deep.",
            )
        if side < least[n] - TINY and not common:
            yield Finding(
                check="hole that comes out" if side <= -TINY else "thin wall",
                severity="stop" if side <= -TINY else "warn",
                keys=(part.key,),
                at=rod.middle,
                value=round(side, 2),
                limit=float(least[n]),
                source=DOWEL_SOURCE if rod.purpose.startswith("dowel") else PRACTICE,
                text=(
                    f"Beside the {_word(rod)} in the {seen.called(part.key)} ({part.board.name}) {figure(side, 2)} mm"
                    f" of wood is left; at least {figure(least[n], 1)} mm is wanted."
                ),
                remedy="Move it in, or use a smaller one.",
            )


def _is_shared(seen: Study, part: Part, rod: Rod) -> bool:
    """Whether a hole is bored in a glued-up assembly, so that a part's own face against its neighbour is no limit."""
    if rod.when.stage != "after glue-up":
        return False
    return _is_in_neighbour(seen, part, np.array(rod.middle) + (rod.radius + WALL) * _around(rod.along))


def _is_filled(seen: Study, part: Part, rod: Rod) -> bool:
    """Whether a hole that is bored later ends in, or goes through, the neighbour that was let into a pocket before."""
    if rod.when.stage not in LATER:
        return False
    return _is_in_neighbour(seen, part, np.array((rod.middle, plus(rod.end, rod.along, rod.radius))))


@lru_cache(maxsize=256)
def _around(along: Vector) -> np.ndarray:
    """Four directions square to an axis, (4, 3)."""
    u, v = across(along)
    return np.stack((u, v, -u, -v))


def _is_in_neighbour(seen: Study, part: Part, points: np.ndarray) -> bool:
    """Whether one of some points, (n, 3), lies in a part that is joined to another."""
    if part.key not in seen.planes_beside:
        return False
    normals, offsets = seen.planes_beside[part.key]
    heights = np.matmul(normals, points.T)  # (blocks, planes, points)
    return bool((heights <= offsets[:, :, None] + TINY).all(axis=1).any())


def _into_pockets(seen: Study, part: Part, holes: list[Rod]) -> Iterator[Finding]:
    pockets = [each for each in part.shape.features if isinstance(each, (Pocket, CutOut)) and each.kind != "recess"]
    if not (pockets and holes):
        return
    ends = np.array([(rod.at, rod.end) for rod in holes])
    own = (ends - np.asarray(part.place.origin)) @ part.place.axes().T
    radii = np.array([rod.radius for rod in holes])
    for pocket in pockets:
        walls = _from_rods(own, radii, pocket)
        for n in np.flatnonzero(walls < WALL - TINY).tolist():
            rod, wall = holes[n], float(walls[n])
            if pocket.when.stage == "in the part" and _is_filled(seen, part, rod):
                continue  # a tenon fills the mortise by then, a shelf its housing, and is bored with it
            meets = wall <= -TINY
            yield Finding(
                check="holes that meet" if meets else "thin wall",
                severity="stop" if meets else "warn",
                keys=(part.key,),
                at=rod.middle,
                value=round(wall, 2),
                limit=WALL,
                source=ARITHMETIC if meets else PRACTICE,
                text=(
                    f"The {_word(rod)} in the {seen.called(part.key)} is {figure(wall, 2)} mm from the {pocket.kind};"
                    f" at least {figure(WALL)} mm of wood is wanted."
                ),
                remedy="Move it clear.",
            )


def _from_rods(ends: np.ndarray, radii: np.ndarray, pocket: Pocket | CutOut) -> np.ndarray:
    """The wood between holes with flat bottoms (their ends in the part, (n, 2, 3)) and a hollow, mm; below 0 where they meet."""
    walls = to_hollow(ends, pocket) - radii
    if isinstance(pocket, CutOut):
        return walls
    low, high = ends.min(axis=1), ends.max(axis=1)
    apart = np.maximum(np.asarray(pocket.low) - high, low - np.asarray(pocket.high))  # below 0 where the spans overlap
    way = (high - low).argmax(axis=1)
    across = np.delete(np.arange(3)[None].repeat(len(ends), axis=0).ravel(), way + 3 * np.arange(len(ends)))
    beside = np.take_along_axis(apart, across.reshape(-1, 2), axis=1)
    sideways = np.hypot(*np.maximum(beside, 0.0).T) - radii
    ahead = apart[np.arange(len(ends)), way]
    square = (high - low).sum(axis=1) - (high - low).max(axis=1) < TINY  # along an axis of the part
    return np.where(square & (ahead > 0), np.hypot(np.maximum(sideways, 0.0), ahead), walls)


def _meant_through(rod: Rod) -> bool:
    return rod.purpose.startswith(THROUGH_WORDS) or "bolt" in rod.purpose


def _word(rod: Rod) -> str:
    return (
        rod.purpose
        if rod.fastener
        else f"hole for {rod.purpose}".replace("hole for pilot", "pilot").replace(
            "hole for clearance", "clearance hole"
        )
    )
