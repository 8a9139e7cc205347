"""Whether the piece gets into its place: through the door, up under the ceiling, and by how many hands."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import product

import numpy as np

from ..geometry import Vector
from ..mechanics import GRAVITY, goes_round, goes_through, raising_force, stand_up_height
from ..model import Model
from ..piece import Piece
from ..wording import listed
from .finding import ARITHMETIC, PRACTICE, Finding, figure, sentence
from .reading import anchors
from .study import study

ROOM_TO_TILT = 50.0  # mm under the ceiling for tilting; common practice, no source
ROOM_TO_LIFT_ON = 20.0  # mm above a loose top's lip to lift it over; common practice, no source
ROOM_FOR_HANDS = 20.0  # mm of a doorway's width (15 to 25); common practice, no source
LEGS = ("leg", "lamination")  # roles of parts
OPENED = 23  # places between shut and open at which a lid is looked at
LIFT_SOURCE = "the workshop's own figure for one person"


def standing_up(piece: Piece, model: Model) -> Iterator[Finding]:
    """The piece can be raised from its back under the ceiling, with its loose top on or off."""
    ceiling, lifts_off = piece.site.ceiling, bool(study(model).loose_top)
    needed = stand_up_height(model.overall[2], model.overall[1])
    bare = stand_up_height(model.carcass[2], model.carcass[1]) if lifts_off else needed
    least = min(needed, bare)
    if least > ceiling:
        without = " without its loose top" if lifts_off else ""
        yield Finding(
            check="standing up",
            severity="stop",
            value=round(least, 1),
            limit=ceiling,
            source=ARITHMETIC,
            text=(
                f"Raised from its back{without} the piece needs {figure(least, 0)} mm of height; the ceiling is at"
                f" {figure(ceiling, 0)} mm."
            ),
            remedy=(
                f"Assemble it standing, or make it at most {figure(_tallest(ceiling, model), 0)} mm high at this depth."
            ),
        )
    elif needed > ceiling:
        yield Finding(
            check="standing up",
            severity="warn",
            value=round(needed, 1),
            limit=ceiling,
            source=ARITHMETIC,
            text=(
                f"With its loose top on the piece needs {figure(needed, 0)} mm of height to stand up; the ceiling is at"
                f" {figure(ceiling, 0)} mm."
            ),
            remedy=f"Stand it up first ({figure(bare, 0)} mm), then lift the top on.",
        )
    elif needed + ROOM_TO_TILT > ceiling:
        yield Finding(
            check="standing up",
            severity="warn",
            value=round(ceiling - needed, 1),
            limit=ROOM_TO_TILT,
            source=PRACTICE,
            text=(
                f"Standing the piece up leaves {figure(ceiling - needed, 0)} mm under the ceiling;"
                f" {figure(ROOM_TO_TILT, 0)} mm is wanted for tilting."
            ),
            remedy="Take off what lifts off first, or assemble it standing.",
        )


def under_the_ceiling(piece: Piece, model: Model) -> Iterator[Finding]:
    """The piece stands under the ceiling, with room to lift a loose top over its lip."""
    room = round(piece.site.ceiling - model.overall[2], 6)
    lip = round(model.carcass[2] - min((low[2] for low, _ in _top_boxes(model)), default=model.carcass[2]), 6)
    wanted = lip + ROOM_TO_LIFT_ON if study(model).loose_top else 0.0
    if room < wanted:
        yield Finding(
            check="ceiling",
            severity="stop" if room < 0 else "warn",
            value=room,
            limit=wanted,
            source=ARITHMETIC if room < 0 else PRACTICE,
            text=(
                f"The piece is {figure(model.overall[2])} mm high under a ceiling at {figure(piece.site.ceiling)} mm;"
                f" {figure(wanted)} mm is wanted above it."
            ),
            remedy="Make it lower." if room < 0 else "Fit the top before the piece is stood up.",
        )


def way_in(piece: Piece, model: Model) -> Iterator[Finding]:
    """The piece goes through the narrowest door on the way, some side of it foremost."""
    wide, high = piece.site.door_width, piece.site.door_height
    clear = wide - ROOM_FOR_HANDS
    if goes_through(model.overall, clear, high):
        return
    bare = bool(study(model).loose_top) and goes_through(model.carcass, clear, high)
    small = sorted(model.overall)[0]
    without = " with its loose top on" if bare else ""
    yield Finding(
        check="way in",
        severity="warn" if bare else "stop",
        value=round(small, 1),
        limit=clear,
        source=PRACTICE,
        text=(
            f"However it is turned, the piece{without} ({' × '.join(figure(each, 0) for each in model.overall)} mm)"
            f" does not go straight through a doorway {figure(wide, 0)} × {figure(high, 0)} mm,"
            f" {figure(ROOM_FOR_HANDS, 0)} mm kept for hands."
        ),
        remedy="Carry the top in apart." if bare else "Build it in sections, or finish the assembly in the room.",
    )


def up_the_stairs(piece: Piece, model: Model) -> Iterator[Finding]:
    """The piece goes up the stairs on the way, and carried level round their landing."""
    stairs = piece.site.stairs
    if not stairs.width:
        return
    clear, landing = stairs.width - ROOM_FOR_HANDS, stairs.landing - ROOM_FOR_HANDS

    def goes(sizes: Vector) -> bool:
        return goes_through(sizes, clear, stairs.headroom) and (
            not stairs.landing or goes_round(sizes, clear, landing, stairs.headroom)
        )

    if goes(model.overall):
        return
    bare = bool(study(model).loose_top) and goes(model.carcass)
    straight = goes_through(model.overall, clear, stairs.headroom)
    without = " with its loose top on" if bare else ""
    where = f"stairs {figure(stairs.width, 0)} mm wide with {figure(stairs.headroom, 0)} mm of headroom"
    small = sorted(model.overall)[0]
    yield Finding(
        check="stairs",
        severity="warn" if bare or straight else "stop",
        value=round(small, 1),
        limit=landing if straight else clear,
        source=PRACTICE,
        text=(
            f"However it is turned, the piece{without} ({' × '.join(figure(each, 0) for each in model.overall)} mm)"
            + (
                f" does not go level round a landing {figure(stairs.landing, 0)} mm deep at the end of {where},"
                if straight
                else f" does not go up {where},"
            )
            + f" {figure(ROOM_FOR_HANDS, 0)} mm kept for hands."
        ),
        remedy=(
            "Carry the top up apart."
            if bare
            else "Tilted it may still go: try the turn with laths of its size before you cut, or build it in sections."
            if straight
            else "Build it in sections, or finish the assembly in the room."
        ),
    )


def _lifts_off(piece: Piece, model: Model, mass: float, whole: float) -> str:
    """What can be taken off before, and how much that is; empty where nothing can."""
    kinds = {front.kind for front in piece.fronts}
    named = {
        "doors": bool(kinds & {"door", "pair"}),
        "drawers": "drawer" in kinds,
        "loose shelves": any(part.role == "loose shelf" for part in model.parts),
        "the loose top": bool(study(model).loose_top),
    }
    there = [name for name, is_there in named.items() if is_there]
    if not there:
        return ""
    verb = "is" if there == ["the loose top"] else "are"
    return f" {sentence(listed(there))} {verb} {figure(mass, 0)} kg of {figure(whole, 0)}."


def raising(piece: Piece, model: Model) -> Iterator[Finding]:
    """How many it takes to raise the carcass when all that lifts off is taken off."""
    seen = study(model)
    carcass, whole = seen.weight(seen.main_body).mass, seen.weight([*seen.parts, *seen.fittings]).mass
    force, one = raising_force(carcass), piece.shop.one_person
    people = max(1, math.ceil(carcass / 2 / one - 1e-9))
    if people > 1:
        yield Finding(
            check="raising the carcass",
            severity="warn",
            value=round(carcass, 1),
            limit=2 * one,
            unit="kg",
            source=LIFT_SOURCE,
            text=(
                f"The carcass without what lifts off weighs {figure(carcass, 0)} kg; to raise one end takes"
                f" {figure(force, 0)} N, more than the {figure(one * GRAVITY, 0)} N of one person who lifts"
                f" {figure(one)} kg."
            ),
            remedy=(
                f"Raise it with {people} people, or assemble it standing.{_lifts_off(piece, model, whole - carcass, whole)}"
            ),
        )


def lifting(piece: Piece, model: Model) -> Iterator[Finding]:
    """Which parts and which hung fronts are more than one person lifts."""
    seen, one = study(model), piece.shop.one_person
    heavy = [(seen.weights[part.key].mass, f"the {seen.called(part.key)}", (part.key,)) for part in model.parts]
    heavy += [
        (seen.weight(motion.moves).mass, f"the {seen.called_moving(motion)} with all that moves with it", motion.moves)
        for motion in model.motions
    ]
    for mass, name, keys in heavy:
        if mass > one:
            yield Finding(
                check="lifting",
                severity="warn",
                keys=tuple(keys),
                value=round(mass, 1),
                limit=one,
                unit="kg",
                source=LIFT_SOURCE,
                text=f"{sentence(name)} weighs {figure(mass)} kg; one person here lifts {figure(one)} kg.",
                remedy="Two people, or break it down.",
            )


def stand_off(piece: Piece, model: Model) -> Iterator[Finding]:
    """How far the skirting, or a lid as it opens, keeps the piece from the wall."""
    off, deep, lid = piece.site.stands_off, model.overall[1], lid_behind(model)
    if lid > off:
        yield Finding(
            check="stand-off",
            severity="note",
            value=lid,
            limit=off,
            source=ARITHMETIC,
            text=(
                f"Open, the lid reaches {figure(lid)} mm behind the back: so far from the wall the piece is"
                f" {figure(deep + lid)} mm deep in the room, not {figure(deep)} mm."
            ),
            remedy=f"Stand it {figure(lid)} mm off the wall, or let the lid open less.",
        )
    elif off > 0:
        packed = [f"pack {figure(off)} mm behind the wall anchors"] * bool(anchors(model))
        touching = [f"{'notch the rear legs or ' * _on_legs(model)}scribe the sides where it must touch the wall"]
        yield Finding(
            check="stand-off",
            severity="note",
            value=off,
            limit=0.0,
            source=ARITHMETIC,
            text=(
                f"The skirting keeps the piece {figure(off)} mm from the wall: in the room it is {figure(deep + off)}"
                f" mm deep, not {figure(deep)} mm."
            ),
            remedy=f"{sentence('; '.join(packed + touching))}.",
        )


def lid_behind(model: Model) -> float:
    """How far behind the back a lid reaches as it opens, mm, rounded up; 0 without a lid."""
    parts = {part.key: part for part in model.parts}
    most = 0.0
    for motion in model.motions:
        if motion.kind == "swing" and not motion.axis[2]:
            moved = [parts[key] for key in motion.moves if key in parts]
            corners = [part.place.points(list(product(*((0.0, size) for size in part.size)))) for part in moved]
            away = np.concatenate(corners)[:, 1:] - np.array(motion.through)[1:]
            turn = np.radians(np.linspace(0.0, motion.reach, OPENED))[:, None]
            most = max(most, float((away[:, 0] * np.cos(turn) + away[:, 1] * np.sin(turn)).max() + motion.through[1]))
    return float(math.ceil(round(most, 3)))


def _on_legs(model: Model) -> bool:
    return any(part.role in LEGS for part in model.parts)


CHECKS = (standing_up, under_the_ceiling, way_in, up_the_stairs, raising, lifting, stand_off)


def _tallest(ceiling: float, model: Model) -> float:
    deep = model.carcass[1] if study(model).loose_top else model.overall[1]
    return math.floor(math.sqrt(max(0.0, ceiling**2 - deep**2)))


def _top_boxes(model: Model) -> list[tuple[Vector, Vector]]:
    seen = study(model)
    return [tuple(seen.boxes[key]) for key in sorted(seen.loose_top)]
