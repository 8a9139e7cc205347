"""Drawers: width against depth, handles, what the runners carry, and what is kept clear of the box."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..mechanics import GRAVITY
from ..model import Fitting, Model, Motion, Part
from ..piece import Piece
from ..piece.fronts import PLAIN_RATIO
from ..piece.layout import Layout
from ..wording import front_name
from .finding import ARITHMETIC, FROM_MEMORY, PRACTICE, Finding, figure
from .loads import DRAWER_PRESSURE
from .reading import doors_before, drawer_room, fronts, interlocked
from .study import bought, entry_of, kind_of, study
from .swinging import moving_corners

MOST_RATIO = 2.5  # beyond it a drawer racks whatever it runs on; common practice, no source
ONE_PULL = 700.0  # mm of front; common practice, no source
# mm clear over and under a box on side-mounted runners; common practice, no source
LEAST_ABOVE, LEAST_BELOW = 10.0, 6.0
TILTED_IN = 6.0  # mm clear over a box on under-mounted runners; common practice, no source
SLIDES = 0.5  # mm of play over a box on wooden runners at least; common practice, no source
MOST_PLAY = 1.5  # mm at each side of a box on wooden runners; common practice, no source
LOWEST_TOP = 100.0  # mm of the topmost front of a graduated bank; common practice, no source
AT_ONCE = 3  # drawers for clothes that need no interlock; common practice, no source
OPENS = 90.0  # degrees at which a drawer behind a door must clear it
LEAST_OPENS = 60  # degrees; a door that opens less opens nothing
RUNNERS = ("drawer runner", "under-mounted runner")
CENTRE_GUIDE = "centre guide"  # the role of the strip under a wide drawer
BOX_ROLES = ("drawer box", "drawer bottom", "drawer muntin")
HANDLE_KINDS = ("pull", "knob", "handle")
TINY = 1e-6  # mm; the last digit decides nothing


@dataclass(frozen=True, slots=True)
class DrawerBuilt:
    """One drawer as built: its motion, box and runners."""

    motion: Motion
    box: tuple[Part, ...]
    low: tuple[float, float, float]
    high: tuple[float, float, float]
    runners: tuple[Fitting, ...]
    slides_on: tuple[str, ...] = ()  # keys of wooden runners, and of the kickers, guides and stops about them

    @property
    def width(self) -> float:
        """Over the box."""
        return round(self.high[0] - self.low[0], 3)


def ratio(piece: Piece, model: Model) -> Iterator[Finding]:
    """A drawer is not so wide for its runners that it racks."""
    for drawer in drawers(model):
        length = _runner_length(drawer)
        if not length:
            continue
        share = drawer.width / length
        if share > MOST_RATIO:
            yield Finding(
                check="drawer width",
                severity="stop",
                keys=drawer.motion.moves[:1],
                value=round(share, 2),
                limit=MOST_RATIO,
                unit="width over depth",
                text=(
                    f"The box of the {study(model).called_moving(drawer.motion)} is {figure(drawer.width)} mm wide on"
                    f" runners {figure(length)} mm long, {figure(share, 2)} times; above {figure(MOST_RATIO)} it racks"
                    " and jams."
                ),
                remedy=(
                    f"Make two drawers side by side, or a box at most {figure(MOST_RATIO * length, 0)} mm wide; a"
                    " shaft or a centre guide does not help so wide a box."
                ),
            )
        elif share > PLAIN_RATIO and not _is_guided(model, drawer):
            yield Finding(
                check="drawer width",
                severity="warn",
                keys=drawer.motion.moves[:1],
                value=round(share, 2),
                limit=PLAIN_RATIO,
                unit="width over depth",
                source="rule of thumb of a hardware seller, read",
                text=(
                    f"The box of the {study(model).called_moving(drawer.motion)} is {figure(drawer.width)} mm wide on"
                    f" runners {figure(length)} mm long, {figure(share, 2)} times; above {figure(PLAIN_RATIO)} it may"
                    " rack."
                ),
                remedy=(
                    "Take runners with racks and a linking shaft (runner-linked-…, shaft-linking-8), or wooden runners with a"
                    " centre guide, and two pulls; better two drawers."
                ),
            )


def pulls(piece: Piece, model: Model) -> Iterator[Finding]:
    """A wide front has two pulls, or one as long as half of it."""
    for front, _opening, motions in fronts(piece, model):
        for motion in (motion for motion in motions if motion.kind == "travel"):
            box = study(model).front_box(motion)
            wide = float(box[1][0] - box[0][0])
            handles = [
                fitting for fitting in bought(model) if fitting.key in motion.moves and kind_of(fitting) in HANDLE_KINDS
            ]
            if len(handles) == 1 and wide > ONE_PULL and _reach(handles[0]) < wide / 2:
                yield Finding(
                    check="one pull",
                    severity="warn",
                    keys=(handles[0].key,),
                    at=handles[0].place.origin,
                    value=round(wide, 1),
                    limit=ONE_PULL,
                    text=(
                        f"The front “{front_name(front.id)}” is {figure(wide)} mm wide and has one pull; above {figure(ONE_PULL)}"
                        " mm one pull twists it."
                    ),
                    remedy="Two pulls at the quarter or fifth points, or one as long as half the front.",
                )


def runner_load(piece: Piece, model: Model) -> Iterator[Finding]:
    """The runners carry the drawer and what it may hold."""
    for drawer in drawers(model):
        room = drawer_room(model, drawer.motion)
        if not drawer.runners or room is None:
            continue
        (left, front, _), (right, rear, _) = room
        load = (
            study(model).weight(drawer.motion.moves).mass
            + DRAWER_PRESSURE * (right - left) * (rear - front) / 1e6 / GRAVITY
        )
        rated = min(entry_of(runner).load for runner in drawer.runners)
        if rated and load > rated:
            known = all(entry_of(runner).load_verified for runner in drawer.runners)
            yield Finding(
                check="runner load",
                severity="warn",
                keys=tuple(runner.key for runner in drawer.runners),
                value=round(load, 1),
                limit=rated,
                unit="kg",
                source=f"load ANSI/KCMA A161.1 as quoted; rating {'of the runner' if known else FROM_MEMORY}",
                text=(
                    f"The {study(model).called_moving(drawer.motion)} weighs {figure(load)} kg loaded at"
                    f" {figure(DRAWER_PRESSURE, 0)} Pa; its pair of runners carries {figure(rated)} kg."
                ),
                remedy="Use heavier runners, or a smaller drawer.",
            )


def clear_of_box(piece: Piece, model: Model) -> Iterator[Finding]:
    """Above and below a drawer's box enough is clear, stiffeners counted."""
    for drawer in drawers(model):
        over, under = clearances(model, drawer)
        for where, clear, least, why in _wanted(drawer, over, under):
            if clear < least - TINY:
                yield Finding(
                    check="clear of the box",
                    severity="stop" if clear <= 0 else "warn",
                    keys=drawer.motion.moves[:1],
                    value=round(clear, 2),
                    limit=least,
                    source=ARITHMETIC if clear <= 0 else PRACTICE,
                    text=(
                        f"{figure(clear, 2)} mm are clear {where} the box of the"
                        f" {study(model).called_moving(drawer.motion)}; at least {figure(least)} mm is wanted {why}."
                    ),
                    remedy="Make the box lower, or the stiffener shallower.",
                )


def side_play(piece: Piece, model: Model) -> Iterator[Finding]:
    """A drawer on wooden runners has little play between the walls or guides beside it."""
    for drawer in drawers(model):
        play = max(_beside(model, drawer)) if drawer.slides_on else 0.0
        if play > MOST_PLAY + TINY:
            yield Finding(
                check="side play",
                severity="warn",
                keys=drawer.motion.moves[:1],
                value=round(play, 2),
                limit=MOST_PLAY,
                source=PRACTICE,
                text=(
                    f"The box of the {study(model).called_moving(drawer.motion)} has {figure(play, 2)} mm of play at a"
                    f" side on its wooden runners; above {figure(MOST_PLAY)} mm it slews and jams."
                ),
                remedy="Narrower gaps at the sides of an integral front, or guides beside the box.",
            )


def one_at_a_time(piece: Piece, model: Model) -> Iterator[Finding]:
    """Of more than three drawers only one should come out at a time; of a stack with an interlock only one does."""
    all_of_them, stacks = tuple(drawers(model)), interlocked(model)
    at_once = len(all_of_them) - sum(len(stack) - 1 for stack in stacks)
    together = "; ".join(f"of {len(stack)} one comes out at a time" for stack in stacks)
    if at_once > AT_ONCE:
        rest = f", {at_once} of which come out together" if stacks else ""
        yield Finding(
            check="one drawer at a time",
            severity="note",
            keys=tuple(drawer.motion.moves[0] for drawer in all_of_them),
            value=float(at_once),
            limit=float(AT_ONCE),
            unit="drawers",
            source=PRACTICE,
            text=(
                f"There are {len(all_of_them)} drawers{rest}; above {AT_ONCE}, several pulled out at once make the piece tip"
                " the sooner."
            ),
            remedy=(
                "Fit an interlock that lets one drawer of a stack out at a time (interlock-bar, on runners of one length),"
                " and say so at the handing over; anchor it."
            ),
        )
    elif stacks:
        yield Finding(
            check="one drawer at a time",
            severity="note",
            keys=tuple(motion.moves[0] for stack in stacks for motion in stack),
            value=float(at_once),
            limit=float(AT_ONCE),
            unit="drawers",
            source=PRACTICE,
            text=f"Drawers with an interlock: {together}; {at_once} of {len(all_of_them)} can be out together.",
            remedy="Try it at the handing over, and say what it is for; it holds no more than a child's pull: anchor the piece.",
        )


def topmost_front(piece: Piece, model: Model) -> Iterator[Finding]:
    """The topmost drawer of a graduated bank is not too low to be of use."""
    motions = {motion.key: motion for motion in model.motions}
    layout = Layout(piece.layout)
    for above in piece.layout:
        if above.divided != "rows" or above.heights not in ("ratio", "step"):
            continue
        top = layout.parts(above.id)[-1].id
        front = next((each for each in piece.fronts if each.kind == "drawer" and top in each.closes), None)
        box = study(model).front_box(motions[front.id]) if front and front.id in motions else None
        high = float(box[1][2] - box[0][2]) if box is not None else LOWEST_TOP
        if high < LOWEST_TOP - TINY:
            yield Finding(
                check="topmost drawer",
                severity="note",
                keys=motions[front.id].moves[:1],
                value=round(high, 1),
                limit=LOWEST_TOP,
                source=PRACTICE,
                text=f"The topmost front of the graduated drawers in “{above.id}” is {figure(high)} mm high; at least {figure(LOWEST_TOP)} mm is wanted.",
                remedy="A smaller ratio or step, or fewer drawers.",
            )


def behind_a_door(piece: Piece, model: Model) -> Iterator[Finding]:
    """A drawer behind a door comes out past the door open at 90°, and the door opens so far."""
    for drawer in drawers(model):
        for door in doors_before(model, drawer.motion):
            needed = next(
                (angle for angle in range(LEAST_OPENS, int(door.reach) + 1) if _is_clear(model, drawer, door, angle)),
                None,
            )
            opens = opens_to(piece, model, door)
            clear_at = f"clears it at {needed}°" if needed is not None else "does not clear it at all"
            if needed is not None and needed <= min(OPENS, opens):
                continue
            limit = min(OPENS, opens)
            yield Finding(
                check="drawer behind a door",
                severity="stop",
                keys=(drawer.motion.moves[0], door.moves[0]),
                value=float(needed if needed is not None else round(door.reach)),
                limit=limit,
                unit="°",
                source=ARITHMETIC,
                text=(
                    f"The {study(model).called_moving(drawer.motion)} lies behind the"
                    f" {study(model).called_moving(door)}, which opens {figure(limit, 0)}°; the drawer {clear_at}."
                ),
                remedy="Pack the drawer out farther, or let the door open wider: no wall, stay or hinge in its way.",
            )


CHECKS = (ratio, pulls, runner_load, clear_of_box, side_play, one_at_a_time, topmost_front, behind_a_door)


# -------------------------------------------------------------------------------------------------------------- figures
def drawers(model: Model) -> Iterator[DrawerBuilt]:
    """Each drawer as built."""
    seen = study(model)
    for motion in model.motions:
        box = tuple(seen.parts[key] for key in motion.moves if key in seen.parts and seen.parts[key].role in BOX_ROLES)
        if motion.kind != "travel" or not box:
            continue
        corners = np.array([seen.boxes[part.key] for part in box])
        keys = {part.key for part in box}
        runners = tuple(
            fitting for fitting in bought(model) if kind_of(fitting) in RUNNERS and keys & set(fitting.parts)
        )
        wooden = tuple(
            key for key in seen.parts if key.startswith(f"{motion.key}/") and seen.parts[key].role in ("runner", "stop")
        )
        yield DrawerBuilt(
            motion,
            box,
            tuple(corners[:, 0].min(axis=0).tolist()),
            tuple(corners[:, 1].max(axis=0).tolist()),
            runners,
            wooden,
        )


def clearances(model: Model, drawer: DrawerBuilt) -> tuple[float, float]:
    """What is clear above and below a drawer's box, to the nearest part that stands still over or under it, mm."""
    seen, moving = study(model), set(drawer.motion.moves)
    guides = {key for key, part in seen.parts.items() if part.role == CENTRE_GUIDE}  # between cheeks of its own
    still = [box for key, box in seen.boxes.items() if key not in moving and key not in guides]
    across = [box for box in still if all(box[0][i] < drawer.high[i] and drawer.low[i] < box[1][i] for i in (0, 1))]
    middle = (drawer.low[2] + drawer.high[2]) / 2
    above = min((float(box[0][2]) for box in across if box[0][2] > middle), default=float("inf"))
    below = max((float(box[1][2]) for box in across if box[1][2] < middle), default=0.0)
    return above - drawer.high[2], drawer.low[2] - below


def opens_to(piece: Piece, model: Model, door: Motion) -> float:
    """How far a door opens before it meets a wall beside the piece, degrees; at most as far as it turns."""
    half, site = model.overall[0] / 2, piece.site
    for angle in range(1, int(door.reach) + 1):
        corners = moving_corners(model, door, float(angle))
        if corners[:, 0].min() < -half - site.wall_left or corners[:, 0].max() > half + site.wall_right:
            return float(angle - 1)
    return door.reach


def _is_clear(model: Model, drawer: DrawerBuilt, door: Motion, angle: float) -> bool:
    """Whether a door open so far stands aside of the way of a drawer, by the corners of all that swings."""
    seen = study(model)
    corners = moving_corners(model, door, float(angle))
    boxes = np.array([seen.boxes[key] for key in drawer.motion.moves if key in seen.parts])
    low, high = boxes[:, 0].min(axis=0), boxes[:, 1].max(axis=0)
    hinge = door.through[0]
    if hinge < (low[0] + high[0]) / 2:
        return bool(corners[:, 0].max() <= low[0] + TINY)
    return bool(corners[:, 0].min() >= high[0] - TINY)


def _wanted(drawer: DrawerBuilt, over: float, under: float) -> Iterator[tuple[str, float, float, str]]:
    """What must be clear above and below a box, and why, by what it runs on."""
    if drawer.slides_on:
        yield "above", over, SLIDES, "for it to slide"
        return
    under_mounted = any(kind_of(runner) == "under-mounted runner" for runner in drawer.runners)
    why = "to tilt it onto its runners" if under_mounted else "to lift it onto its runners"
    yield "above", over, TILTED_IN if under_mounted else LEAST_ABOVE, why
    yield "below", under, LEAST_BELOW, why


def _beside(model: Model, drawer: DrawerBuilt) -> tuple[float, float]:
    """How far what stands still at the left and the right of a box is from it."""
    seen, moving = study(model), set(drawer.motion.moves)
    across = [
        box
        for key, box in seen.boxes.items()
        if key not in moving and all(box[0][i] < drawer.high[i] and drawer.low[i] < box[1][i] for i in (1, 2))
    ]
    middle = (drawer.low[0] + drawer.high[0]) / 2
    left = max((float(box[1][0]) for box in across if box[1][0] < middle), default=drawer.low[0])
    right = min((float(box[0][0]) for box in across if box[0][0] > middle), default=drawer.high[0])
    return drawer.low[0] - left, right - drawer.high[0]


def _is_guided(model: Model, drawer: DrawerBuilt) -> bool:
    """Whether a centre guide or a linking shaft steers it."""
    seen, key = study(model), drawer.motion.key
    return f"{key}/centre_guide" in seen.parts or f"{key}/linking_shaft" in seen.fittings


def _runner_length(drawer: DrawerBuilt) -> float:
    lengths = [entry_of(runner).sizes.get("length", 0.0) for runner in drawer.runners]
    return min(lengths, default=0.0) or round(drawer.high[1] - drawer.low[1], 3)


def _reach(handle: Fitting) -> float:
    """How long a handle is."""
    ends = np.array([end for body in handle.bodies for end in (body.low, body.high)])
    return float((ends.max(axis=0) - ends.min(axis=0)).max())


__all__ = [
    "CHECKS",
    "DrawerBuilt",
    "behind_a_door",
    "clear_of_box",
    "clearances",
    "drawers",
    "one_at_a_time",
    "opens_to",
    "pulls",
    "ratio",
    "runner_load",
    "side_play",
    "topmost_front",
]
