"""By what means a joint is held until the glue has set: pushes, cramps, time, and the diagonals that must be equal."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

import numpy as np

from ..fastenings import DRIVER, DRIVER_LONG
from ..kept import kept
from ..meshes import model_meshes
from ..model import Fastener, Joint, Model
from .step import Cramps, Diagonal, Push

OPEN_MINUTES = 8  # of white glue at 20 °C: 5 to 10 by its makers' sheets; common practice, no source
CRAMP_MINUTES, LEAF_MINUTES, STRIP_MINUTES = 45, 60, 30  # at 20 °C; common practice, no source
BEFORE_LOAD_HOURS = 24  # common practice, no source
MOST_PEGS = 16  # dowels or biscuits that one person engages at one push; common practice, no source
MOST_ENDS = 6  # board ends in one glue-up; common practice, no source
REACH = 100.0  # mm: two cauls of 25, and room to put the cramp on; common practice, no source
NARROW = 200.0  # mm of a board's width up to which one cramp holds its end; common practice, no source
LEAF_PITCH = 75.0  # mm between cramps along a lamination; common practice, no source
PEGS = ("dowel", "biscuit")
WHOLE = "whole"  # the key of the assembly of all
BESIDE = 5.0  # mm
ON_AXIS = 0.5  # mm
PUSHED_ON = ("dowels", "dovetails", "biscuits", "housing", "mortise and tenon")
PRESSED = (*PUSHED_ON, "rebate", "glue")

Box = tuple[np.ndarray, np.ndarray]


def pushes_of(bodies: Sequence[tuple[str, set[str]]], there: set[str], model: Model) -> tuple[Push, ...]:
    """What engages as each body is pushed on to what is there, one after the other."""
    found, standing = [], set(there)
    pegs, pushed = _pegs(model), _pushed_on(model)
    for key, body in bodies:
        joints = [joint for joint in pushed if _between(joint, body, standing)]
        if joints:
            count = len(pegs.intersection(name for joint in joints for name in joint.fasteners))
            found.append(Push(key, count, len(joints)))
        standing |= body
    return tuple(found)


@kept
def _pegs(model: Model) -> frozenset[str]:
    return frozenset(each.key for each in model.fasteners if each.kind in PEGS)


@kept
def _pushed_on(model: Model) -> tuple[Joint, ...]:
    return tuple(joint for joint in model.joints if joint.kind in PUSHED_ON)


@kept
def before_drawers(model: Model) -> frozenset[str]:
    """The bodies set on from above whose screws, driven from inside, a drawer would be in the way of: they go on first."""
    assemblies = {each.key: each for each in model.assemblies}

    def leaves(key: str) -> set[str]:
        return {leaf for each in assemblies[key].members for leaf in leaves(each.key)} if key in assemblies else {key}

    meshes = model_meshes(model)
    drawers = [[meshes[key] for key in each.moves if key in meshes] for each in model.motions if each.kind == "travel"]
    moved = [
        (
            np.min([mesh.vertices.min(0) for mesh in some], axis=0),
            np.max([mesh.vertices.max(0) for mesh in some], axis=0),
        )
        for some in drawers
    ]
    found = set()
    for member in assemblies[WHOLE].members if moved and WHOLE in assemblies else ():
        if member.apart[2] > 0:
            own = leaves(member.key)
            screws = [
                np.array(each.at)
                for each in model.fasteners
                if each.kind == "screw" and each.along[2] > 0.9 and own & set(each.parts)
            ]
            if any(_in_the_way(box, at) for at in screws for box in moved):
                found.add(member.key)
    return frozenset(found)


def _in_the_way(box: Box, head: np.ndarray) -> bool:
    """Whether a body stands where a driver comes up to a screw's head."""
    low, high = head - np.array([DRIVER, DRIVER, DRIVER_LONG]), head + np.array([DRIVER, DRIVER, 0.0])
    return bool((box[0] < high).all() and (box[1] > low).all())


def cramps_of(joints: Iterable[Joint], boxes: Mapping[str, Box], around: Box) -> Cramps | None:
    """Cramps across what is glued: one pair to each board whose ends are pressed, one to a narrow one."""
    boards: dict[int, set[str]] = {}
    for joint in joints:
        if joint.kind in PRESSED and any(joint.apart):
            axis = int(np.abs(joint.apart).argmax())
            boards.setdefault(axis, set()).add(_pressed(joint, boxes, axis))
    if not boards:
        return None
    axis = max(boards, key=lambda each: (len(boards[each]), each))
    across = [i for i in range(3) if i != axis]
    count = 0
    for key in boards[axis]:
        low, high = boxes[key]
        count += 2 if max(high[i] - low[i] for i in across) > NARROW else 1
    return Cramps(count, reach(float(around[1][axis] - around[0][axis])), axis, CRAMP_MINUTES)


def reach(span: float) -> float:
    """How far a cramp must open over a span, to the next 50 mm.

    >>> reach(1098), reach(1484)
    (1200, 1600)
    """
    return 50 * math.ceil((span + REACH) / 50 - 1e-9)


def cramps_along(sizes: Iterable[Sequence[float]], thick: float, pitch: float, minutes: int) -> Cramps:
    """Cramps along glue lines, by their lengths."""
    count = sum(max(2, math.ceil(size[0] / pitch)) for size in sizes)
    return Cramps(count, reach(thick), -1, minutes, pitch)


def rectangle(of: str, box: Box, flat: int) -> Diagonal:
    """The diagonals of a box seen along one axis."""
    width, height = (float(box[1][i] - box[0][i]) for i in range(3) if i != flat)
    return Diagonal(of, round(width, 3), round(height, 3))


def used(fasteners: Iterable[Fastener], there: set[str], new: set[str], bodies: Sequence[Box] = ()) -> list[str]:
    """The fasteners that hold what is new to what is there, or within what is new.

    A screw in a single part holds a fitting: it is used when one of the fittings that come, their boxes `bodies`, is at it.
    """
    found = []
    for each in fasteners:
        if len(each.parts) == 1 and each.kind in ("screw", "bolt"):
            if each.parts[0] in there and any(_at(each, box) for box in bodies):
                found.append(each.key)
        elif set(each.parts) <= there and new.intersection(each.parts):
            found.append(each.key)
    return found


def screw_of(plug: Fastener, fasteners: Iterable[Fastener]) -> Fastener | None:
    """The screw on the axis of a plug, in the part that the plug is in."""
    along, at = np.array(plug.along), np.array(plug.at)
    for each in fasteners:
        if each.kind == "screw" and plug.parts[0] in each.parts:
            away = np.array(each.at) - at
            aside = away - (away @ along) * along
            if np.abs(aside).max() < ON_AXIS and abs(away @ along) < each.length + plug.length:
                return each
    return None


def lies_over(plug: Fastener, screw: Fastener) -> bool:
    """Whether a plug covers the head of a screw: it goes in after the screw, and the screw goes on beyond it."""
    away = np.array(screw.at) - np.array(plug.at)
    return bool(
        np.array(plug.along) @ away > plug.length - ON_AXIS and np.array(plug.along) @ np.array(screw.along) > 0
    )


def _at(each: Fastener, box: Box) -> bool:
    """Whether a screw begins in a fitting or beside it."""
    at = np.asarray(each.at)
    return bool((at > box[0] - BESIDE).all() and (at < box[1] + BESIDE).all())


def _between(joint: Joint, body: set[str], standing: set[str]) -> bool:
    return (joint.first in body and joint.second in standing) or (joint.second in body and joint.first in standing)


def _pressed(joint: Joint, boxes: Mapping[str, Box], axis: int) -> str:
    """Of two joined parts the one that stands on its end there: the longer along the axis."""
    return max((joint.first, joint.second), key=lambda key: (float(boxes[key][1][axis] - boxes[key][0][axis]), key))
