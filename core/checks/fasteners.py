"""Screws, pins, bolts and dowels: what comes out of the wood, what holds in too little of it, or too near an edge."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..geometry import Vector, dot, plus
from ..model import Fastener, Model, Part
from ..piece import Piece
from .bores import PARALLEL, SAME_AXIS, TINY, Passage, Rod, on_axis, passages, rods_of
from .finding import ARITHMETIC, Finding, figure, gathered
from .study import Study, entry_of, study

COVER = {"screw": 3.0, "pin": 2.0}  # mm of wood left before the point; common practice, no source
HOLD = 2.0  # times its diameter that a screw or pin must be in the last part; common practice, no source
BOLT_HOLD = 4.0  # mm of a bolt in a handle; common practice, no source
# mm: a screw in MDF from an edge of its face, from a corner in its edge; mdf-info.eu, read
WEAK_FACE, WEAK_CORNER = 12.0, 70.0
MDF_SOURCE = "mdf-info.eu, fixing by screws, read"
SET_OUT = 0.2  # mm to which holes are set out; common practice, no source


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


CHECKS = tuple(map(gathered, (comes_out, bolts, dowels_fit, weak_edges)))


def _point(seen: Study, each: Fastener, ways: list[Passage]) -> Iterator[Finding]:
    """What is wrong at the point of a screw or pin; one that is out of the wood has no other fault told."""
    inside = [way for way in ways if way.enters < each.length - TINY]
    if not inside:
        yield _in_no_wood(each)
        return
    last = _last(each, inside)
    if each.length - last.leaves > TINY:
        yield _through(seen, each, last)
        return
    cover = _leaves_in_the_end(last, ways) - each.length
    if cover < COVER[each.kind] - TINY:
        yield _near_the_surface(seen, each, last, cover)
    begins = min(way.enters for way in ways if way.part == last.part or way.part.startswith(f"{last.part}/lipping"))
    hold = each.length - max(begins, 0.0)
    if hold < HOLD * each.diameter - TINY:
        yield _holds_little(seen, each, last, hold)


def _in_no_wood(each: Fastener) -> Finding:
    return Finding(
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


def _through(seen: Study, each: Fastener, last: Passage) -> Finding:
    over = each.length - last.leaves
    return Finding(
        check="fastener out of the wood",
        severity="stop",
        keys=(each.key, last.part),
        at=_tip(each),
        value=round(over, 2),
        limit=0.0,
        source=ARITHMETIC,
        text=(
            f"The {each.name} ({each.purpose}) comes {figure(over, 2)} mm out of the {seen.called(last.part)}; the"
            " limit is 0."
        ),
        remedy="Take a shorter one.",
    )


def _near_the_surface(seen: Study, each: Fastener, last: Passage, cover: float) -> Finding:
    limit = COVER[each.kind]
    return Finding(
        check="fastener near the surface",
        severity="warn",
        keys=(each.key, last.part),
        at=_tip(each),
        value=round(cover, 2),
        limit=limit,
        text=(
            f"The {each.name} ({each.purpose}) stops {figure(cover, 2)} mm short of coming out of the"
            f" {seen.called(last.part)}; at least {figure(limit)} mm is wanted."
        ),
        remedy="Take a shorter one.",
    )


def _holds_little(seen: Study, each: Fastener, last: Passage, hold: float) -> Finding:
    limit = HOLD * each.diameter
    return Finding(
        check="fastener that holds little",
        severity="warn",
        keys=(each.key, last.part),
        at=_tip(each),
        value=round(hold, 2),
        limit=limit,
        text=(
            f"The {each.name} ({each.purpose}) is {figure(hold, 1)} mm in the {seen.called(last.part)}; at least"
            f" {figure(limit)} mm is wanted."
        ),
        remedy="Take a longer one.",
    )


def _tip(each: Fastener) -> Vector:
    return plus(each.at, each.along, each.length)


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
