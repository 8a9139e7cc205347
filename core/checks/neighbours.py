"""Doors beside what stands next to them: overlay fronts side by side, the reveal at concealed hinges, room to lift a door off."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator

import numpy as np

from ..fittings import least_reveal
from ..model import Model, Motion
from ..piece import Piece
from ..wording import counted
from .finding import Finding, figure
from .hung import CLEAR_AFTER_PAINT, film_of, hinges
from .reading import fronts, is_overlay
from .study import bought, entry_of, kind_of, study
from .swinging import OPEN_ENOUGH, carried

STOPS = 2  # that an inset door wants at its closing side; common practice, no source
REACH = 20.0  # mm behind and beside a door's closing edge where something stops it
NEIGHBOURS = 30.0  # mm; fronts farther apart are not one beside the other


def gap_between_fronts(piece: Piece, model: Model) -> Iterator[Finding]:
    """Overlay fronts side by side, or one above another, keep a gap that is left after painting."""
    film = film_of(piece)
    for one, other, gap, where in _beside(piece, model):
        if gap - 2 * film < CLEAR_AFTER_PAINT:
            yield Finding(
                check="gap for paint",
                severity="stop" if gap <= 0 else "warn",
                keys=(one.moves[0], other.moves[0]),
                at=where,
                value=round(gap, 2),
                limit=round(CLEAR_AFTER_PAINT + 2 * film, 2),
                text=(
                    f"Between the {study(model).called_moving(one)} and the {study(model).called_moving(other)} there are"
                    f" {figure(gap, 2)} mm; at least {figure(CLEAR_AFTER_PAINT + 2 * film, 2)} mm is wanted before paint."
                ),
                remedy="Make the meeting gap of both fronts wider.",
            )


def reveal_at_cups(piece: Piece, model: Model) -> Iterator[Finding]:
    """A thick door on concealed hinges has room to come round its hinge edge."""
    beside = list(_beside(piece, model))
    for _front, opening, motions in fronts(piece, model):
        for motion in motions:
            if not any(kind == "concealed hinge" for kind, _ in hinges(model, motion)):
                continue
            box = study(model).front_box(motion)
            need, hinged_left = least_reveal(float(box[1][1] - box[0][1])), motion.axis[2] < 0
            if is_overlay(opening, box):
                gap = min(
                    (gap for one, other, gap, _ in beside if _at_hinges(model, motion, one, other, hinged_left)),
                    default=math.inf,
                )
            else:
                gap = float(box[0][0]) - opening.left if hinged_left else opening.right - float(box[1][0])
            if gap < need:
                yield Finding(
                    check="reveal at the hinge",
                    severity="warn",
                    keys=motion.moves[:1],
                    value=round(gap, 2),
                    limit=round(need, 2),
                    source="a hinge maker's table of the least reveal by thickness, cup 3 from the edge, read",
                    text=(
                        f"The {study(model).called_moving(motion)} is {figure(float(box[1][1] - box[0][1]))} mm thick and wants"
                        f" {figure(need, 1)} mm beside its hinge edge to open; there are {figure(gap, 2)} mm."
                    ),
                    remedy="Widen the gap there, or make the door thinner; make a trial fit.",
                )


def room_to_lift_off(piece: Piece, model: Model) -> Iterator[Finding]:
    """A door on lift-off hinges, open at right angles, has as much room above it as it must be lifted."""
    seen = study(model)
    for motion in model.motions:
        moved = set(motion.moves)
        lift = max(
            (
                entry_of(each).size("lift")
                for each in bought(model)
                if kind_of(each) == "lift-off hinge" and moved & set(each.parts)
            ),
            default=0.0,
        )
        if not lift:
            continue
        corners = carried(
            seen.assembled.corners[seen.assembled.of([part.key for part in seen.front_parts(motion)])].reshape(-1, 3),
            motion,
            OPEN_ENOUGH,
        )[0]
        low, high = corners.min(axis=0), corners.max(axis=0)
        over = [
            float(box[0][2]) - float(high[2])
            for key, box in seen.boxes.items()
            if key not in moved and (box[0][:2] < high[:2]).all() and (low[:2] < box[1][:2]).all()
        ]
        room = min((each for each in over if each > -1e-6), default=math.inf)
        if room < lift:
            yield Finding(
                check="room to lift off",
                severity="warn",
                keys=motion.moves[:1],
                value=round(room, 1),
                limit=lift,
                text=f"Open, the {seen.called_moving(motion)} has {figure(room)} mm above it; to lift it off its hinges takes {figure(lift)} mm.",
                remedy="Take butt hinges, or make the top's overhang smaller.",
            )


def what_stops_a_door(piece: Piece, model: Model) -> Iterator[Finding]:
    """An inset door meets more than its catch when it shuts: an upright or a stop strip at its closing side."""
    seen = study(model)
    for _front, opening, motions in fronts(piece, model):
        for motion in motions:
            box = seen.front_box(motion)
            leans = any(each.after == motion.key for each in motions)  # its rebate or bead lies on the other door
            if motion.kind != "swing" or is_overlay(opening, box) or leans or motion.after:
                continue
            pads = sum(each.key.startswith(f"{motion.key}/pad.") for each in model.fittings)
            if pads < STOPS and not _meets_wood(model, motion, box):
                stops = counted(pads, "stop") if pads else "no stop"
                yield Finding(
                    check="door stop",
                    severity="warn" if pads == 0 else "note",
                    keys=motion.moves[:1],
                    value=float(pads),
                    limit=float(STOPS),
                    unit="stops",
                    text=(
                        f"The {seen.called_moving(motion)} shuts against {stops} at its closing side; {STOPS} keep it flush and"
                        " take the knock off its catch."
                    ),
                    remedy="Give it a stop strip at the closing side, or under the board above; bumpers with it.",
                )


def _meets_wood(model: Model, motion: Motion, box: np.ndarray) -> bool:
    """Whether something that stands still lies close behind the door's closing edge over most of its height."""
    seen, moved = study(model), set(motion.moves)
    hinged_left = abs(motion.through[0] - float(box[0][0])) < abs(motion.through[0] - float(box[1][0]))
    edge = float(box[1][0]) if hinged_left else float(box[0][0])
    covered = 0.0
    for key, there in seen.boxes.items():
        if key in moved or seen.parts[key].role not in ("upright", "stop strip"):
            continue
        beside = there[0][0] - REACH < edge < there[1][0] + REACH and 0 <= there[0][1] - box[1][1] < REACH
        covered += (
            max(0.0, min(float(there[1][2]), float(box[1][2])) - max(float(there[0][2]), float(box[0][2])))
            if beside
            else 0.0
        )
    return covered > 0.6 * float(box[1][2] - box[0][2])


CHECKS = (gap_between_fronts, reveal_at_cups, room_to_lift_off, what_stops_a_door)


# -------------------------------------------------------------------------------------------------------------- figures
def _beside(piece: Piece, model: Model) -> Iterator[tuple[Motion, Motion, float, tuple[float, float, float]]]:
    """Overlay fronts of different openings that lie side by side or one above another: the gap between them, and where."""
    seen = study(model)
    laid = [
        (motion, box)
        for _, opening, motions in fronts(piece, model)
        for motion in motions
        if is_overlay(opening, box := seen.front_box(motion))
    ]
    for (one, a), (other, b) in itertools.combinations(laid, 2):
        if one.key.split("/")[0] == other.key.split("/")[0]:
            continue
        for way, across in ((0, 2), (2, 0)):
            if a[0][across] < b[1][across] and b[0][across] < a[1][across]:
                first, second = (a, b) if a[0][way] < b[0][way] else (b, a)
                gap = float(second[0][way] - first[1][way])
                if gap < NEIGHBOURS and not _between(laid, first, second, way):
                    yield one, other, gap, tuple(float(each) for each in (first[1] + second[0]) / 2)  # type: ignore[misc]


def _between(laid: list[tuple[Motion, np.ndarray]], first: np.ndarray, second: np.ndarray, way: int) -> bool:
    """Whether a third front lies between two, along the axis `way`."""
    return any(first[1][way] < box[0][way] and box[1][way] < second[0][way] for _, box in laid)


def _at_hinges(model: Model, motion: Motion, one: Motion, other: Motion, hinged_left: bool) -> bool:
    """Whether a pair of neighbours is this door and what stands beside its hinge edge."""
    if motion not in (one, other):
        return False
    mine, theirs = (study(model).front_box(each) for each in (motion, other if motion is one else one))
    edge = theirs[1][0] <= mine[0][0] + 1e-6 if hinged_left else theirs[0][0] >= mine[1][0] - 1e-6
    return bool(edge)


__all__ = ["CHECKS"]
