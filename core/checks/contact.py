"""Whether everything stands on something: no part or fitting floats, and what is joined touches."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from ..geometry import Vector
from ..model import Joint, Model
from ..piece import Piece
from .assembled import apart
from .finding import ARITHMETIC, PRACTICE, Finding, figure, sentence
from .reading import ON_THE_FLOOR
from .study import connected, study

GLUED = 0.2  # mm that a glued or screwed joint may gape; common practice, no source
LOOSE = 1.0  # mm of play in a fitting or a loose seat: a runner's side space, a loose top; common practice, no source


def floating(piece: Piece, model: Model) -> Iterator[Finding]:
    """Every part and fitting hangs together, by joints, with something that stands on the floor."""
    seen = study(model)
    keys = [*seen.parts, *seen.fittings]
    standing = _standing(model)
    for group in connected(keys, seen.neighbours):
        if group & standing:
            continue
        named = sorted(group)
        first = named[0]
        also = f" and {len(named) - 1} joined to it" if len(named) > 1 else ""
        yield Finding(
            check="floating part",
            severity="stop",
            text=f"{sentence(study(model).called(first))}{also} is joined to nothing that stands on the floor.",
            keys=tuple(named),
            at=_place(model, first),
            value=float(len(named)),
            limit=0.0,
            unit="things",
            remedy="Give it a joint with what carries it.",
            source=ARITHMETIC,
        )


def touching(piece: Piece, model: Model) -> Iterator[Finding]:
    """The two things of a joint touch: glued and screwed ones closely, fittings and loose seats with their play.

    Pockets and holes are counted as filled here.
    """
    called = study(model).called
    for joint, gap in joint_gaps(model):
        limit = LOOSE if joint.kind in ("loose", "fitting") else GLUED
        if gap > limit:
            yield Finding(
                check="joint that gapes",
                severity="stop",
                keys=(joint.first, joint.second),
                at=_place(model, joint.second),
                value=round(gap, 2),
                limit=limit,
                source=PRACTICE,
                text=(
                    f"{sentence(called(joint.first))} and {called(joint.second)} are joined ({joint.kind}) but stand"
                    f" {figure(gap, 2)} mm apart; at most {figure(limit)} mm is a joint."
                ),
                remedy="Bring them together, or take the joint away.",
            )


CHECKS = (floating, touching)


def joint_gaps(model: Model) -> Iterator[tuple[Joint, float]]:
    """Each joint of the model and how far its two things are apart, at least, mm; 0 where they touch.

    A fitting touches with any of its members; how its members meet is the fitting's own affair.
    """
    solids, blocks, family = study(model).assembled, _blocks_of_families(model), study(model).family
    joints = [joint for joint in model.joints if family(joint.first) != family(joint.second)]
    joints = [joint for joint in joints if {family(joint.first), family(joint.second)} <= blocks.keys()]
    pairs = [
        (n, i, j)
        for n, joint in enumerate(joints)
        for i in blocks[family(joint.first)]
        for j in blocks[family(joint.second)]
    ]
    if not pairs:
        return
    number, a, b = np.array(pairs).T
    between = np.maximum(solids.low[a] - solids.high[b], solids.low[b] - solids.high[a]).max(axis=1)  # of their boxes
    gaps = np.full(len(joints), np.inf)
    np.minimum.at(gaps, number, between)
    # where the boxes come nearest, the faces decide
    close = between <= np.maximum(gaps[number], LOOSE) + 1e-9
    number, a, b = number[close], a[close], b[close]
    gaps[:] = np.inf
    np.minimum.at(gaps, number, np.maximum(apart(solids, a, b), between[close]))
    yield from zip(joints, np.maximum(gaps, 0.0).tolist(), strict=True)


def _blocks_of_families(model: Model) -> dict[str, list[int]]:
    seen, found = study(model), {}
    for key, numbers in seen.blocks_of.items():
        found.setdefault(seen.family(key), []).extend(numbers)
    return found


def _standing(model: Model) -> set[str]:
    """The keys of what touches the floor."""
    seen = study(model)
    found = {key for key, (low, _) in seen.boxes.items() if low[2] <= ON_THE_FLOOR}
    for fitting in model.fittings:  # the rounds of wheels too, whose axes lie above the floor
        numbers = seen.blocks_of[fitting.key]
        if numbers and seen.assembled.low[numbers, 2].min() <= ON_THE_FLOOR:
            found.add(fitting.key)
    return found


def _place(model: Model, key: str) -> Vector | None:
    seen = study(model)
    thing = seen.parts.get(key) or seen.fittings.get(key)
    return thing.place.origin if thing else None
