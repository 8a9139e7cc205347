"""Whether the piece tips, doors open and drawers out, with a child on a front; and whether it is anchored to the wall.

The cases follow 16 CFR 1261 (ASTM F2057-23) as far as that can be repeated by arithmetic; they are no test to that
standard.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from ..geometry import Vector, cross, dot, plus
from ..mechanics import MM_PER_M, holding_moment, strap_force
from ..model import Model, Motion
from ..piece import Piece
from ..weights import Weight
from .finding import FROM_MEMORY, Finding, figure
from .reading import ANCHOR_KIND, ON_THE_FLOOR, anchors, drawer_room, interlocked
from .study import Study, kind_of, study

CHILD = 27.2  # kg; 16 CFR 1261 (60 lb), read
TILT = 1.5  # degrees that a carpet lets the front sink; an agency's staff figure, from memory
CHILD_REACH = 1200.0  # mm above the floor that a child of that mass holds on to; common practice, no source
OPEN = "everything open"
OPEN_TOGETHER = "everything open that the interlock lets open together"
OPEN_EMPTY, TOGETHER_EMPTY = f"{OPEN}, empty", f"{OPEN_TOGETHER}, empty"
DOOR_GRIP = 76.0  # mm in from a door's free edge; 3 in by a superseded American rule, from memory
FULL_SWING = 90.0  # degrees; doors stand open at a right angle
SCOPE = (686.0, 13.6, 90.6)  # mm high, kg, dm³ enclosed: clothing storage units from here up; 16 CFR 1261, read
FIXED_SPACE = 0.5  # share of a fixed enclosed space that counts; 16 CFR 1261, read
FILL = 136.2  # kg/m³ of drawer; the 2022 rule, read; for ASTM F2057-23 from memory
SOURCE = "cases after 16 CFR 1261 (child 27.2 kg, read); this arithmetic is no test to that standard"


@dataclass(frozen=True, slots=True)
class State:
    """One way the piece may stand: what weighs where, and how the floor leans."""

    words: str
    loads: tuple[tuple[float, float, float], ...]  # kg, mm behind the front feet, mm above the floor
    tilt: float
    child_height: float  # mm above the floor; 0 without a child
    decides: bool  # made of read or reckoned figures only, so that it may stop

    @property
    def moment(self) -> float:
        """What keeps it standing, N·m."""
        return holding_moment(self.loads, self.tilt)


def states(model: Model) -> tuple[State, ...]:
    """The states a piece is looked at in: shut; all open; filled; a child on each kind of front, level and leaning."""
    seen = study(model)
    pivot = front_feet(model)
    shut = _loads([seen.weight([*seen.parts, *seen.fittings])], pivot)
    if not model.motions:
        return (
            State("as it stands", shut, 0.0, 0.0, True),
            State(f"leaning {TILT:g}° to the front", shut, TILT, 0.0, False),
        )
    open_words = OPEN_TOGETHER if interlocked(model) else OPEN
    opened = _opened(seen, pivot, _kept_shut(seen))
    found = [State("everything shut", shut, 0.0, 0.0, True), State(f"{open_words}, empty", opened, 0.0, 0.0, True)]
    drawers = [motion for motion in model.motions if motion.kind == "travel"]
    if drawers:
        closed = _kept_shut(seen, filled=True)
        filled = [_fill(seen, motion, motion.key not in closed) for motion in drawers]
        state = _opened(seen, pivot, closed) + _loads(filled, pivot)
        found.append(State(f"{open_words}, drawers filled", state, 0.0, 0.0, False))
    for kind, words in (("travel", "a drawer"), ("swing", "a door")):
        grips = [(_grip(seen, motion), motion) for motion in model.motions if motion.kind == kind]
        if grips:
            where = f"{open_words} and a child of {CHILD:g} kg on {words}"
            hung = [_with_child(seen, pivot, grip, motion) for grip, motion in grips]
            if not interlocked(model):  # where the child stands farthest out decides: all else is the same
                grip, motion = min(grips, key=lambda each: (each[0][1], -each[0][2], each[0][0]))
                hung = [_with_child(seen, pivot, grip, motion)]
            for tilt in (0.0, TILT):
                loads, high = min(hung, key=lambda each: holding_moment(each[0], tilt))
                decides = kind == "travel" and not tilt
                found.append(State(where + (f", leaning {TILT:g}°" if tilt else ""), loads, tilt, high, decides))
    return tuple(found)


def tipping(piece: Piece, model: Model) -> Iterator[Finding]:
    """The piece keeps standing with everything open and a child on a front, or is held by wall anchors."""
    held = anchors(model)
    found = [state for state in states(model) if piece.site.children or not state.child_height]
    tips = [state for state in found if state.moment < 0]
    if not tips:
        worst = min(found, key=lambda state: state.moment)
        yield Finding(
            check="tipping",
            severity="note",
            value=round(worst.moment, 1),
            limit=0.0,
            unit="N·m",
            source=SOURCE,
            text=(
                f"In the worst of the states reckoned ({worst.words}) {figure(worst.moment, 0)} N·m keep the piece"
                " standing."
            ),
            remedy="Anchor it to the wall all the same.",
        )
        return
    certain = [state for state in tips if state.decides]
    worst = min(certain or tips, key=lambda state: state.moment)
    force = max(strap_force(state.moment, _anchor_height(model)) for state in tips)
    free = next(
        (
            f" ({state.words}, on a level floor {figure(state.moment, 0)} N·m keep it standing)"
            for state in found
            if state.words in (OPEN_EMPTY, TOGETHER_EMPTY) and state.moment > 0
        ),
        "",
    )
    yield Finding(
        check="tipping",
        severity="stop" if certain and not held else "warn",
        at=(0.0, front_feet(model), 0.0),
        value=round(worst.moment, 1),
        limit=0.0,
        unit="N·m",
        source=SOURCE if worst.decides else f"{SOURCE}; tilt and grip {FROM_MEMORY}",
        text=f"Not held by the wall it tips with {worst.words}: {figure(-worst.moment, 0)} N·m are missing{free}.",
        remedy=(
            f"Anchor it to the wall before it is used; the anchors carry about {figure(force, 0)} N in the worst state"
            " reckoned."
        ),
    )


def anchored(piece: Piece, model: Model) -> Iterator[Finding]:
    """What stands against a wall has wall anchors, and says so."""
    found = anchors(model)
    high, mass, room = (
        model.overall[2],
        study(model).weight([*study(model).parts, *study(model).fittings]).mass,
        enclosed(model),
    )
    within = high >= SCOPE[0] and mass >= SCOPE[1] and room >= SCOPE[2] and bool(model.motions)
    scope = (
        f"{figure(high, 0)} mm high, {figure(mass, 0)} kg, {figure(room, 0)} dm³ enclosed: where it holds clothes in a"
        f" home it is of the size that 16 CFR 1261 covers (from {SCOPE[0]:g} mm, {SCOPE[1]:g} kg and {SCOPE[2]:g} dm³)"
    )
    if not found and high >= SCOPE[0]:
        yield Finding(
            check="wall anchor",
            severity="warn",
            value=0.0,
            limit=1.0,
            unit="anchors",
            source="size limits of 16 CFR 1261, read; the rest common practice, no source",
            text=(
                f"There is no wall anchor on a piece {figure(high, 0)} mm high; the limit without one is"
                f" {SCOPE[0]:g} mm."
            ),
            remedy="Switch the anchor rails on; a thin back holds no anchor.",
        )
    elif found:
        yield Finding(
            check="wall anchor",
            severity="note",
            keys=found,
            value=float(len(found)),
            limit=1.0,
            unit="anchors",
            source="16 CFR 1261, read in part; no compliance is claimed",
            text=(
                f"Wall anchors: {len(found)}. {scope}."
                if within
                else f"Wall anchors: {len(found)}, to be fixed before the piece is used."
            ),
            remedy=(
                "Fix them to the wall with fixings that suit it; have whoever is responsible there check against the"
                " rules in force."
            ),
        )


CHECKS = (tipping, anchored)


# -------------------------------------------------------------------------------------------------------------- figures
def front_feet(model: Model) -> float:
    """The y of the line the piece tips about: through the middles of its foremost feet, or the edge it stands on."""
    feet = [
        fitting.place.origin[1]
        for fitting in model.fittings
        if kind_of(fitting) in ("glide", "levelling foot", "castor") and fitting.place.origin[2] < 60.0
    ]
    if feet:
        return min(feet)
    standing = [low[1] for low, _ in study(model).boxes.values() if low[2] <= ON_THE_FLOOR]
    return float(min(standing, default=-model.carcass[1]))


def enclosed(model: Model) -> float:
    """The enclosed storage as 16 CFR 1261 counts it, dm³: drawers whole, fixed spaces behind doors half."""
    boxes = [drawer_room(model, motion) for motion in model.motions if motion.kind == "travel"]
    drawers = sum(math.prod(high - low for low, high in zip(*box, strict=True)) for box in boxes if box)
    fixed = sum(
        math.prod(high - low for low, high in zip(bay.low, bay.high, strict=True))
        for bay in model.bays
        if bay.behind_front and not any(_inside(box, bay.low, bay.high) for box in boxes if box)
    )
    return (drawers + FIXED_SPACE * fixed) / 1e6


def turned(point: Vector, motion: Motion, degrees: float) -> Vector:
    """A point carried by a swing through an angle."""
    angle = math.radians(degrees)
    arm = plus(point, motion.through, -1.0)
    along = dot(arm, motion.axis)
    aside = cross(motion.axis, arm)
    way = tuple(
        a * math.cos(angle) + b * math.sin(angle) + c * along * (1 - math.cos(angle))
        for a, b, c in zip(arm, aside, motion.axis, strict=True)
    )
    return plus(motion.through, way)  # type: ignore[arg-type]


def _with_child(
    seen: Study, pivot: float, grip: Vector, motion: Motion
) -> tuple[tuple[tuple[float, float, float], ...], float]:
    """The loads with a child on one front, that drawer out of its stack; and how high the child hangs."""
    return _opened(seen, pivot, _kept_shut(seen, motion)) + _loads([Weight(CHILD, grip)], pivot), grip[2]


def _kept_shut(seen: Study, out: Motion | None = None, filled: bool = False) -> frozenset[str]:
    """The drawers that an interlock keeps shut, by their keys, while `out` is open, or of each stack the one that tips most."""
    shut: set[str] = set()
    for stack in interlocked(seen.model):
        first = out if out in stack else max(stack, key=lambda motion: (_pulls(seen, motion, filled), motion.key))
        shut |= {motion.key for motion in stack if motion is not first}
    return frozenset(shut)


def _pulls(seen: Study, motion: Motion, filled: bool) -> float:
    """How much opening a drawer takes from what keeps the piece standing, kg·mm."""
    held = seen.weight(motion.moves).mass + (_fill(seen, motion, True).mass if filled else 0.0)
    return round((held + seen.weight(motion.half).mass / 2) * motion.reach, 6)


def _opened(seen: Study, pivot: float, shut: frozenset[str]) -> tuple[tuple[float, float, float], ...]:
    """What weighs where with everything open but what is kept shut."""
    motions = [motion for motion in seen.model.motions if motion.key not in shut]
    moving = {key for motion in motions for key in (*motion.moves, *motion.half)}
    still = seen.weight(key for key in (*seen.parts, *seen.fittings) if key not in moving)
    weights = [still]
    for motion in motions:
        weight = seen.weight(motion.moves)
        weights.append(Weight(weight.mass, _moved(weight.centre, motion)))
        half = seen.weight(motion.half)
        weights.append(Weight(half.mass, _moved(half.centre, replace(motion, reach=motion.reach / 2))))
    return _loads(weights, pivot)


def _moved(point: Vector, motion: Motion) -> Vector:
    if motion.kind == "travel":
        return plus(point, motion.axis, motion.reach)
    return turned(point, motion, min(FULL_SWING, motion.reach))


def _grip(seen: Study, motion: Motion) -> Vector:
    """Where a child hangs: a drawer's front at its upper edge; a door near its free edge, no higher than it reaches."""
    box = seen.front_box(motion)
    if box is None:
        return _moved(seen.weight(motion.moves).centre, motion)
    (left, front, _), (right, _, top) = (tuple(map(float, corner)) for corner in box)
    if motion.kind == "travel":
        return _moved(((left + right) / 2, front, top), motion)
    hinged_left = abs(motion.through[0] - left) < abs(motion.through[0] - right)
    free = right - DOOR_GRIP if hinged_left else left + DOOR_GRIP
    return _moved((free, front, min(top, CHILD_REACH)), motion)


def _fill(seen: Study, motion: Motion, is_open: bool) -> Weight:
    """What a drawer holds, and where it is then."""
    room = drawer_room(seen.model, motion)
    if room is None:
        return Weight(0.0, motion.through)
    volume = math.prod(high - low for low, high in zip(*room, strict=True))
    middle = tuple((low + high) / 2 for low, high in zip(*room, strict=True))
    return Weight(FILL * volume / 1e9, _moved(middle, motion) if is_open else middle)  # type: ignore[arg-type]


def _loads(weights: Iterable[Weight], pivot: float) -> tuple[tuple[float, float, float], ...]:
    return tuple((each.mass, each.centre[1] - pivot, each.centre[2]) for each in weights)


def _inside(box: tuple[Vector, Vector], low: Vector, high: Vector) -> bool:
    return all(a <= (p + q) / 2 <= b for a, b, p, q in zip(low, high, *box, strict=True))


def _anchor_height(model: Model) -> float:
    heights = [fitting.place.origin[2] for fitting in model.fittings if kind_of(fitting) == ANCHOR_KIND]
    return min(heights, default=model.carcass[2] or MM_PER_M)


__all__ = [
    "CHECKS",
    "State",
    "anchored",
    "enclosed",
    "front_feet",
    "states",
    "tipping",
    "turned",
]
