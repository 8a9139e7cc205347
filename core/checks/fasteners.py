"""Screws, pins, dowels and holes: what comes out of the wood, what runs into what, and what leaves too thin a wall."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

import numpy as np

from ..geometry import Vector, dot, plus
from ..model import FOR_PIPE, Cut, CutOut, Fastener, Feature, Hole, Model, Part, Pocket
from ..outlines import distance_to
from ..piece import Piece
from ..solids.convex import across
from .bores import (
    PARALLEL,
    SAME_AXIS,
    Passage,
    Rod,
    coaxial,
    gap_between,
    gaps_between,
    on_axis,
    paired,
    passages,
    rods_of,
)
from .finding import ARITHMETIC, PRACTICE, Finding, figure, gathered
from .study import Study, entry_of, study

COVER = {"screw": 3.0, "pin": 2.0}  # mm of wood left before the point; common practice, no source
HOLD = 2.0  # times its diameter that a screw or pin must be in the last part; common practice, no source
BOLT_HOLD = 4.0  # mm of a bolt in a handle; common practice, no source
WALL = 2.0  # mm of wood between holes, or left before a hole comes through; common practice, no source
PIN_TO_EDGE = 12.0  # mm from a bevel or an edge; common practice, no source
PIN_TO_CUT = 5.0  # mm from a cut that is made later; common practice, no source
WEAK_FACE, WEAK_CORNER = (
    12.0,
    70.0,
)  # mm: a screw in MDF from an edge of its face, from a corner in its edge; mdf-info.eu, read
MDF_SOURCE = "mdf-info.eu, fixing by screws, read"
DOWEL_SOURCE = "woodweb.com, dowel drilling guidelines, read: at least one dowel radius"
SHELF_PIN = "shelf pin"
ROWS_APART = (
    "Set one row of shelf pins 16 mm or more beside the other, take pins with short pegs in holes 8 deep (shelf-pin-5-short), or"
    " give the shelves on both sides sleeves through the upright (sleeve-5-18)."
)  # rule book: rows on both faces of one upright
BACK_TO_BACK = (
    3.0  # mm between pin holes bored from both faces; rule book: at 2 mm left, warn; common practice, no source
)
TINY = 0.01  # mm
SET_OUT = 0.2  # mm to which holes are set out; common practice, no source
ALONG = 17  # places along a hole or pin that are tried against a pocket
LATER = ("after glue-up", "at fitting", "on site")
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


def comes_out(piece: Piece, model: Model) -> Iterator[Finding]:
    """No screw or pin comes out of the other side, or holds in too little."""
    ways = passages(model)
    for each in model.fasteners:
        if each.kind in COVER:
            yield from _point(study(model), each, ways[each.key])


def bolts(piece: Piece, model: Model) -> Iterator[Finding]:
    """A handle's bolt goes through the wood and into the handle, not to the bottom of its thread."""
    seen, ways = study(model), passages(model)
    for each in model.fasteners:
        fitting = next((seen.fittings[key] for key in each.parts if key in seen.fittings), None)
        if each.kind != "bolt" or fitting is None or not ways[each.key]:
            continue
        beyond = each.length - max(way.leaves for way in ways[each.key])
        thread = entry_of(fitting).sizes.get("thread_depth", beyond)
        if beyond < BOLT_HOLD or beyond > thread + TINY:
            limit = BOLT_HOLD if beyond < BOLT_HOLD else thread
            yield Finding(
                check="bolt",
                severity="warn",
                keys=(each.key, fitting.key),
                at=each.at,
                value=round(beyond, 1),
                limit=limit,
                text=(
                    f"The {each.name} of the {seen.called(fitting.key)} reaches {figure(beyond)} mm into it; between"
                    f" {figure(BOLT_HOLD)} and {figure(thread)} mm holds."
                ),
                remedy="Take another length.",
            )


def dowels_fit(piece: Piece, model: Model) -> Iterator[Finding]:
    """A dowel is no longer than its two holes together."""
    dowels = [each for each in model.fasteners if each.kind == "dowel"]
    depths = _depths_around(dowels, rods_of(model))
    for each, depth in zip(dowels, depths.tolist(), strict=True):
        if depth < each.length - TINY:
            yield Finding(
                check="dowel",
                severity="stop",
                keys=(each.key, *each.parts),
                at=each.at,
                value=round(depth, 1),
                limit=each.length,
                source=ARITHMETIC,
                text=(
                    f"The {each.name} between {' and '.join(map(study(model).called, each.parts))} has {figure(depth)}"
                    f" mm of hole; it is {figure(each.length)} mm long and the joint will not close."
                ),
                remedy="Bore deeper, or take a shorter dowel.",
            )


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


def pins_near_cuts(piece: Piece, model: Model) -> Iterator[Finding]:
    """No pin stands near an edge or bevel, or in the way of a saw or cutter that comes later."""
    seen, ways = study(model), passages(model)
    by_part: dict[str, list[tuple[Fastener, Passage]]] = {}
    for each in model.fasteners:
        if each.kind == "pin":
            for way in ways[each.key]:
                by_part.setdefault(way.part, []).append((each, way))
    for key, pins in by_part.items():
        part = seen.parts[key]
        spans = np.array([(max(0.0, way.enters), min(each.length, way.leaves)) for each, way in pins])
        at, along = np.array([each.at for each, _ in pins]), np.array([each.along for each, _ in pins])
        ends = at[:, None, :] + spans[:, :, None] * along[:, None, :]  # (n, 2, 3) in the piece
        own = (ends - np.asarray(part.place.origin)) @ part.place.axes().T
        radii = np.array([each.diameter / 2 for each, _ in pins])
        yield from _later_cuts(seen, part, [each for each, _ in pins], own, radii)
        heads = [n for n, (each, way) in enumerate(pins) if each.purpose == "strip pin" and way is ways[each.key][0]]
        yield from _pin_edges(seen, part, [pins[n][0] for n in heads], own[heads], radii[heads])


def weak_edges(piece: Piece, model: Model) -> Iterator[Finding]:
    """A screw in weak board keeps away from its edges and corners, or holds in a hardwood plug.

    In the edge of a board that is glued face to face with another the corner does not matter.
    """
    seen, ways = study(model), passages(model)
    plugged = _plugged(model)
    laminated = _laminated(model)
    for each in model.fasteners:
        if each.kind != "screw" or not ways[each.key]:
            continue
        way = _last(each, ways[each.key])
        part = seen.parts[way.part]
        if not part.board.material.weak_edge or each.key in plugged:
            continue
        own, along = part.place.own_point(each.at), part.place.own_direction(each.along)
        in_face = abs(along[2]) > 0.7
        if not in_face and part.key in laminated:
            continue
        if any(one.part.startswith(f"{part.key}/lipping") for one in ways[each.key]):
            continue  # it holds in the lipping
        spans = ((0.0, part.size[0]), _over_lippings(seen, part))
        sides = [min(own[i] - spans[i][0], spans[i][1] - own[i]) for i in (0, 1) if abs(along[i]) < 0.7]
        limit = WEAK_FACE if in_face else WEAK_CORNER
        least = min(sides)
        if least < limit - SET_OUT:
            yield Finding(
                check="screw in a weak edge",
                severity="warn",
                keys=(each.key, part.key),
                at=each.at,
                value=round(least, 1),
                limit=limit,
                source=MDF_SOURCE,
                text=(
                    f"The {each.name} ({each.purpose}) is {figure(least)} mm from"
                    f" {'an edge' if in_face else 'a corner'} of the {seen.called(part.key)}, {part.board.name}; at"
                    f" least {figure(limit)} mm holds."
                ),
                remedy="Move it in, or let in a hardwood plug.",
            )


CHECKS = tuple(
    map(gathered, (comes_out, bolts, dowels_fit, holes_meet, rows_back_to_back, thin_walls, pins_near_cuts, weak_edges))
)


def _apart(a: Rod, b: Rod) -> str:
    """What would mend holes that come too near each other; rows of shelf pins on both faces of one upright have ways of their own."""
    if a.purpose == b.purpose == SHELF_PIN and dot(a.along, b.along) < 0:
        return ROWS_APART
    return "Move one row, or bore less deep."


# ----------------------------------------------------------------------------------------------------- points of screws
def _point(seen: Study, each: Fastener, ways: list[Passage]) -> Iterator[Finding]:
    inside = [way for way in ways if way.enters < each.length - TINY]
    if not inside:
        yield Finding(
            check="fastener out of the wood",
            severity="stop",
            keys=(each.key,),
            at=each.at,
            value=0.0,
            limit=HOLD * each.diameter,
            source=ARITHMETIC,
            text=(
                f"The {each.name} ({each.purpose}) goes into no wood at all; at least {figure(HOLD * each.diameter)} mm"
                " is wanted."
            ),
            remedy="Move it onto wood.",
        )
        return
    last = _last(each, inside)
    tip = plus(each.at, each.along, each.length)
    over = each.length - last.leaves
    if over > TINY:
        yield Finding(
            check="fastener out of the wood",
            severity="stop",
            keys=(each.key, last.part),
            at=tip,
            value=round(over, 2),
            limit=0.0,
            source=ARITHMETIC,
            text=(
                f"The {each.name} ({each.purpose}) comes {figure(over, 2)} mm out of the {seen.called(last.part)}; the"
                " limit is 0."
            ),
            remedy="Take a shorter one.",
        )
        return
    cover, limit = _leaves_in_the_end(last, ways) - each.length, COVER[each.kind]
    if cover < limit - TINY:
        yield Finding(
            check="fastener near the surface",
            severity="warn",
            keys=(each.key, last.part),
            at=tip,
            value=round(cover, 2),
            limit=limit,
            text=(
                f"The {each.name} ({each.purpose}) stops {figure(cover, 2)} mm short of coming out of the"
                f" {seen.called(last.part)}; at least {figure(limit)} mm is wanted."
            ),
            remedy="Take a shorter one.",
        )
    begins = min(way.enters for way in ways if way.part == last.part or way.part.startswith(f"{last.part}/lipping"))
    hold = each.length - max(begins, 0.0)
    if hold < HOLD * each.diameter - TINY:
        yield Finding(
            check="fastener that holds little",
            severity="warn",
            keys=(each.key, last.part),
            at=tip,
            value=round(hold, 2),
            limit=HOLD * each.diameter,
            text=(
                f"The {each.name} ({each.purpose}) is {figure(hold, 1)} mm in the {seen.called(last.part)}; at least"
                f" {figure(HOLD * each.diameter)} mm is wanted."
            ),
            remedy="Take a longer one.",
        )


def _over_lippings(seen: Study, part: Part) -> tuple[float, float]:
    """From edge to edge across a board, in its own frame, what is glued to its edges included."""
    low, high = 0.0, part.size[1]
    for key, strip in seen.shared(_lippings):
        if key.startswith(f"{part.key}/lipping"):
            ends = [part.place.own_point(strip.place.point(corner))[1] for corner in ((0.0, 0.0, 0.0), strip.size)]
            low, high = min(low, *ends), max(high, *ends)
    return low, high


def _lippings(seen: Study) -> list[tuple[str, Part]]:
    return [(key, part) for key, part in seen.parts.items() if "/lipping" in key]


def _last(each: Fastener, ways: list[Passage]) -> Passage:
    """The part that the point stands in, or the one it has come out of."""
    inside = [way for way in ways if way.enters < each.length - TINY]
    return max(inside or ways, key=lambda way: (way.leaves, way.part))


def _leaves_in_the_end(last: Passage, ways: list[Passage]) -> float:
    """Where the wood ends ahead of a point, parts that follow closely counted as one."""
    leaves = last.leaves
    for way in ways:
        if way.enters <= leaves + TINY:
            leaves = max(leaves, way.leaves)
    return leaves


def _plugged(model: Model) -> set[str]:
    """The screws that stand on the axis of a plug."""
    screws, plugs = ([each for each in model.fasteners if each.kind == kind] for kind in ("screw", "plug"))
    if not (screws and plugs):
        return set()
    at, along = np.array([each.at for each in screws]), np.array([each.along for each in screws])
    step = np.array([each.at for each in plugs])[None] - at[:, None]
    aside = step - np.einsum("npi,ni->np", step, along)[:, :, None] * along[:, None, :]
    parallel = np.abs(np.abs(along @ np.array([each.along for each in plugs]).T) - 1) < PARALLEL
    on = (parallel & (np.einsum("npi,npi->np", aside, aside) <= SAME_AXIS**2)).any(axis=1)
    return {screws[n].key for n in np.flatnonzero(on).tolist()}


def _laminated(model: Model) -> set[str]:
    """The parts that others are glued to face to face, so that a screw in their edge does not split them."""
    parts, found = study(model).parts, set()
    for joint in model.joints:
        if joint.kind in ("glue", "glue and pins") and joint.glue_area > 0:
            found |= {
                key
                for key in (joint.first, joint.second)
                if key in parts and abs(dot(parts[key].place.z, joint.apart)) > 0.7
            }
    return found


def _depths_around(dowels: list[Fastener], rods: dict[str, list[Rod]]) -> np.ndarray:
    """For each dowel the depth of the holes of its parts that stand on its axis and touch it, (n,)."""
    mine: dict[str, list[int]] = {}
    for n, each in enumerate(dowels):
        for key in each.parts:
            mine.setdefault(key, []).append(n)
    mine = {key: numbers for key, numbers in mine.items() if key in rods}
    holes = [[rod for rod in rods[key] if not rod.fastener] for key in mine]
    which, hole, mouth, bottom = on_axis([[dowels[n] for n in numbers] for numbers in mine.values()], holes)
    dowel = np.array([n for numbers in mine.values() for n in numbers], int)[which]
    length = np.array([each.length for each in dowels])[dowel]
    touches = (np.maximum(mouth, bottom) > 0) & (np.minimum(mouth, bottom) < length)
    deep = np.array([rod.length for some in holes for rod in some])[hole]
    return np.bincount(dowel, np.where(touches, deep, 0.0), len(dowels))


# ---------------------------------------------------------------------------------------------------------------- holes
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
    walls = _to_hollow(ends, pocket) - radii
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


def _to_hollow(ends: np.ndarray, pocket: Pocket | CutOut) -> np.ndarray:
    """How far lines, (n, 2, 3), are from a pocket's box or a cut-out, mm, tried at `ALONG` places."""
    share = np.linspace(0.0, 1.0, ALONG)[:, None]
    points = ends[:, None, 0] * (1 - share) + ends[:, None, 1] * share
    if isinstance(pocket, CutOut):
        return distance_to(pocket, points.reshape(-1, 3)).reshape(len(ends), ALONG).min(axis=1)
    outside = np.maximum(np.maximum(np.asarray(pocket.low) - points, points - np.asarray(pocket.high)), 0.0)
    return np.sqrt((outside**2).sum(axis=2).min(axis=1))


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


# ----------------------------------------------------------------------------------------------------------------- pins
def _later_cuts(seen: Study, part: Part, pins: list[Fastener], own: np.ndarray, radii: np.ndarray) -> Iterator[Finding]:
    later = [each for each in part.shape.features if each.when.stage in LATER]
    for feature, clear in zip(later, _clear_of(later, own, radii), strict=True):
        for n in np.flatnonzero(clear < PIN_TO_CUT - TINY).tolist():
            what = feature.purpose or feature.kind
            yield Finding(
                check="pin in the way",
                severity="stop" if clear[n] <= 0 else "warn",
                keys=(pins[n].key, part.key),
                at=pins[n].at,
                value=round(float(clear[n]), 2),
                limit=PIN_TO_CUT,
                text=(
                    f"A {pins[n].name} in the {seen.called(part.key)} is {figure(clear[n], 2)} mm from what is cut"
                    f" {feature.when.stage} ({what}); at least {figure(PIN_TO_CUT)} mm keeps the blade off it."
                ),
                remedy="Leave that pin out, or move it.",
            )


def _clear_of(features: list[Feature], own: np.ndarray, radii: np.ndarray) -> list[np.ndarray]:
    """How far pins (their two ends in the part, (n, 2, 3)) keep from the cut of each feature, mm."""
    holes, cuts = ([each for each in features if isinstance(each, kind)] for kind in (Hole, Cut))
    of_holes = iter(_clear_of_holes(holes, own, radii)) if holes else iter(())
    of_cuts = iter(_clear_of_cuts(cuts, own, radii)) if cuts else iter(())
    found = []
    for each in features:
        ready = {Hole: of_holes, Cut: of_cuts}.get(type(each))
        found.append(next(ready) if ready else _to_hollow(own, each) - radii)  # type: ignore[arg-type]
    return found


def _clear_of_cuts(cuts: list[Cut], own: np.ndarray, radii: np.ndarray) -> np.ndarray:
    """The same of all cuts at once, (cuts, n)."""
    normals = np.array([each.normal for each in cuts])
    offsets = np.einsum("ci,ci->c", normals, np.array([each.point for each in cuts]))
    heights = own @ normals.T  # (n, 2, cuts)
    return offsets[:, None] - np.maximum(heights[:, 0], heights[:, 1]).T - radii


def _clear_of_holes(holes: list[Hole], own: np.ndarray, radii: np.ndarray) -> np.ndarray:
    """The same of all holes at once, (holes, n)."""
    n, h = len(own), len(holes)
    starts = np.vstack((own[:, 0], [each.at for each in holes]))
    ends = np.vstack((own[:, 1], [plus(each.at, each.into, each.depth) for each in holes]))
    pins, others = np.tile(np.arange(n), h), np.repeat(n + np.arange(h), n)
    return gaps_between(starts, ends, np.append(radii, [each.diameter / 2 for each in holes]), pins, others).reshape(
        h, n
    )


def _pin_edges(seen: Study, part: Part, pins: list[Fastener], own: np.ndarray, radii: np.ndarray) -> Iterator[Finding]:
    """A strip's pins keep from its edges and bevels."""
    if not pins:
        return
    across_strip = own[:, :, :2]
    clear = np.minimum(across_strip, np.asarray(part.size)[:2] - across_strip).min(axis=(1, 2)) - radii
    cuts = [cut for cut in part.shape.features if isinstance(cut, Cut) and cut.when.stage == "in the part"]
    if cuts:
        clear = np.minimum(clear, _clear_of_cuts(cuts, own, radii).min(axis=0))
    for n in np.flatnonzero(clear < PIN_TO_EDGE - TINY).tolist():
        yield Finding(
            check="pin near an edge",
            severity="warn",
            keys=(pins[n].key, part.key),
            at=pins[n].at,
            value=round(float(clear[n]), 2),
            limit=PIN_TO_EDGE,
            text=(
                f"A {pins[n].name} in the {seen.called(part.key)} is {figure(clear[n], 2)} mm from an edge or bevel; at"
                f" least {figure(PIN_TO_EDGE)} mm keeps the strip whole."
            ),
            remedy="Move it in.",
        )
