"""Whether doors swing and drawers travel free of the carcass, of each other, of the walls and the floor."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np

from ..model import Model, Motion
from ..piece import Piece
from ..wording import listed, plural
from .clashes import Clash, clashes
from .convex import LEAST
from .finding import ARITHMETIC, PRACTICE, Finding, figure, sentence
from .reading import meets_on_paper_only
from .study import study
from .swinging import OPEN_ENOUGH, moving_corners

BESIDE_WALL = 10.0  # mm between an open door's handle and a wall; common practice, no source


def movement(piece: Piece, model: Model) -> Iterator[Finding]:
    """Nothing that moves meets anything on its way: what stands still, or another front, shut or open."""
    told: set[frozenset[str]] = set()
    for clash in sorted(clashes(model), key=lambda each: each.at if each.beside else 0.0):
        if meets_on_paper_only(piece, model, clash.keys):
            continue
        if not clash.beside:
            yield _in_the_way(model, clash)
        elif frozenset((clash.motion.key, clash.beside)) not in told:
            told.add(frozenset((clash.motion.key, clash.beside)))
            yield _doors_beside(model, clash)


def _in_the_way(model: Model, clash: Clash) -> Finding:
    seen = study(model)
    how = "swings" if clash.motion.kind == "swing" else "travels"
    amount = f"{figure(clash.at)}°" if clash.motion.kind == "swing" else f"{figure(clash.at)} mm"
    return Finding(
        check="movement",
        severity="stop",
        keys=clash.keys,
        at=clash.place,
        value=round(clash.volume, 1),
        limit=LEAST,
        unit="mm³",
        source=ARITHMETIC,
        text=(
            f"{sentence(seen.called(clash.keys[0]))} meets {seen.called(clash.keys[1])} when the"
            f" {seen.called_moving(clash.motion)} {how} {amount}: they would share {figure(clash.volume)} mm³; the"
            f" limit is {figure(LEAST)} mm³."
        ),
        remedy="Give it more room there, or limit how far it moves.",
    )


def _doors_beside(model: Model, clash: Clash) -> Finding:
    seen = study(model)
    other = next(each for each in model.motions if each.key == clash.beside)
    return Finding(
        check="doors beside",
        severity="warn",
        keys=clash.keys,
        at=clash.place,
        value=round(clash.at, 1),
        limit=OPEN_ENOUGH,
        unit="°",
        source=PRACTICE,
        text=(
            f"With the {seen.called_moving(other)} open {figure(OPEN_ENOUGH, 0)}° the {seen.called_moving(clash.motion)}"
            f" opens {figure(clash.at)}°: {seen.called(clash.keys[0])} meets {seen.called(clash.keys[1])}; at least"
            f" {figure(OPEN_ENOUGH, 0)}° is wanted."
        ),
        remedy="Hang them at their outer sides, take flatter handles, or open one at a time.",
    )


def walls_and_floor(piece: Piece, model: Model) -> Iterator[Finding]:
    """Doors open far enough before they or their knobs meet a wall beside the piece; nothing moves through the floor."""
    half, (wall_left, wall_right) = model.overall[0] / 2, piece.site.clear_beside(model.overall[0])
    for motion in model.motions:
        if motion.kind != "swing" or not _may_reach_a_wall(piece, model, motion):
            continue
        for degrees in np.arange(1.0, motion.reach + 0.5, 1.0).tolist():
            corners = moving_corners(model, motion, degrees)
            left, right = (
                -half - wall_left - corners[:, 0].min(),
                corners[:, 0].max() - half - wall_right,
            )
            if max(left, right) > 0:
                side = "left" if left > right else "right"
                if degrees <= OPEN_ENOUGH:
                    yield Finding(
                        check="wall beside",
                        severity="warn",
                        keys=motion.moves[:1],
                        value=degrees - 1,
                        limit=OPEN_ENOUGH,
                        unit="°",
                        source=PRACTICE,
                        text=(
                            f"The {study(model).called_moving(motion)} opens {figure(degrees - 1, 0)}° before it meets"
                            f" the wall at the {side}; at least {figure(OPEN_ENOUGH, 0)}° is wanted."
                        ),
                        remedy="Hang it at the other side, set the piece off the wall, or limit it with a door stay (fronts, hanging).",
                    )
                break
        yield from _knob_at_the_wall(piece, model, motion)
    for motion in model.motions:
        low = min(float(moving_corners(model, motion, reach)[:, 2].min()) for reach in (0.0, motion.reach))
        if low < 0:
            yield Finding(
                check="floor",
                severity="stop",
                keys=motion.moves[:1],
                value=round(low, 1),
                limit=0.0,
                source=ARITHMETIC,
                text=(
                    f"The {study(model).called_moving(motion)} moves {figure(-low)} mm below the floor; the limit is 0."
                ),
                remedy="Raise it.",
            )


def _knob_at_the_wall(piece: Piece, model: Model, motion: Motion) -> Iterator[Finding]:
    """A door whose handle comes near a wall at right angles, and which nothing stops from going on."""
    half = model.overall[0] / 2
    if motion.reach <= OPEN_ENOUGH:  # a stay stops it
        return
    corners = moving_corners(model, motion, OPEN_ENOUGH)
    hinged_left = motion.axis[2] < 0
    clear = (
        half + piece.site.wall_left + corners[:, 0].min()
        if hinged_left
        else half + piece.site.wall_right - corners[:, 0].max()
    )
    if 0 <= clear < BESIDE_WALL:
        yield Finding(
            check="wall beside",
            severity="note",
            keys=motion.moves[:1],
            value=round(float(clear), 1),
            limit=BESIDE_WALL,
            source=PRACTICE,
            text=(
                f"Open {figure(OPEN_ENOUGH, 0)}°, the {study(model).called_moving(motion)} is {figure(float(clear))} mm from the"
                f" wall at the {'left' if hinged_left else 'right'}, and its handle strikes it if it opens farther."
            ),
            remedy="Limit it with a door stay.",
        )


def room_in_front(piece: Piece, model: Model) -> Iterator[Finding]:
    """How far open doors and drawers reach into the room."""
    beyond = {motion.key: _reach(model, motion) - model.overall[1] for motion in model.motions}
    out = [motion for motion in model.motions if beyond[motion.key] > 0]
    if out:
        farthest = max(beyond.values())
        yield Finding(
            check="room in front",
            severity="note",
            value=round(farthest, 1),
            limit=0.0,
            source=ARITHMETIC,
            text=f"{sentence(_named(out))} {figure(farthest, 0)} mm beyond the front of the piece.",
            remedy="Keep that free, and room to stand.",
        )


def _reach(model: Model, motion: Motion) -> float:
    """How far before the back plane the foremost point comes on its way."""
    return max(-float(moving_corners(model, motion, at)[:, 1].min()) for at in _open_places(motion))


def _named(motions: list[Motion]) -> str:
    """What opens, with its verb: "doors and drawers open", "the drawer opens"."""
    kinds = Counter("door" if motion.kind == "swing" else "drawer" for motion in motions)
    named = [f"the {kind}" if number == 1 else plural(kind) for kind, number in kinds.items()]
    return f"{listed(named)} {'opens' if len(motions) == 1 else 'open'}"


CHECKS = (movement, walls_and_floor, room_in_front)


def _may_reach_a_wall(piece: Piece, model: Model, motion: Motion) -> bool:
    corners = moving_corners(model, motion, 0.0)
    reach = float(np.linalg.norm(corners - np.asarray(motion.through), axis=1).max())
    half, through = model.overall[0] / 2, motion.through[0]
    wall_left, wall_right = piece.site.clear_beside(model.overall[0])
    return through - reach < -half - wall_left or through + reach > half + wall_right


def _open_places(motion: Motion) -> tuple[float, ...]:
    if motion.kind == "travel":
        return (motion.reach,)
    return tuple(np.linspace(0.0, motion.reach, 13).tolist())
