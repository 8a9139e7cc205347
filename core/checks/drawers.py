"""Drawers: width against depth, handles, what the runners carry, and what is kept clear of the box."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..mechanics import GRAVITY
from ..model import Fitting, Model, Motion, Part
from ..piece import Piece
from .finding import ARITHMETIC, FROM_MEMORY, PRACTICE, Finding, figure
from .loads import DRAWER_PRESSURE
from .reading import drawer_room, fronts
from .study import bought, entry_of, kind_of, study

PLAIN_RATIO = (
    1.5  # box width over runner length that runs without more ado; a rule of thumb read at a hardware seller's
)
MOST_RATIO = 2.5  # beyond it a drawer racks whatever it runs on; common practice, no source
ONE_PULL = 700.0  # mm of front; common practice, no source
LEAST_ABOVE, LEAST_BELOW = 10.0, 6.0  # mm clear over and under a box; common practice, no source
HANDLE_KINDS = ("pull", "knob", "handle")


@dataclass(frozen=True, slots=True)
class DrawerBuilt:
    """One drawer as built: its motion, box and runners."""

    motion: Motion
    box: tuple[Part, ...]
    low: tuple[float, float, float]
    high: tuple[float, float, float]
    runners: tuple[Fitting, ...]

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
                remedy="Make two drawers.",
            )
        elif share > PLAIN_RATIO:
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
                    "Use runners for wide drawers, a linking shaft or a centre guide, and two pulls; better two"
                    " drawers."
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
                        f"The front “{front.id}” is {figure(wide)} mm wide and has one pull; above {figure(ONE_PULL)}"
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
        for where, clear, least in (("above", over, LEAST_ABOVE), ("below", under, LEAST_BELOW)):
            if clear < least:
                yield Finding(
                    check="clear of the box",
                    severity="stop" if clear <= 0 else "warn",
                    keys=drawer.motion.moves[:1],
                    value=round(clear, 2),
                    limit=least,
                    source=ARITHMETIC if clear <= 0 else PRACTICE,
                    text=(
                        f"{figure(clear, 2)} mm are clear {where} the box of the"
                        f" {study(model).called_moving(drawer.motion)}; at least {figure(least)} mm is wanted to lift"
                        " it onto its runners."
                    ),
                    remedy="Make the box lower, or the stiffener shallower.",
                )


CHECKS = (ratio, pulls, runner_load, clear_of_box)


# -------------------------------------------------------------------------------------------------------------- figures
def drawers(model: Model) -> Iterator[DrawerBuilt]:
    """Each drawer as built."""
    seen = study(model)
    for motion in model.motions:
        box = tuple(
            seen.parts[key]
            for key in motion.moves
            if key in seen.parts and seen.parts[key].role in ("drawer box", "drawer bottom")
        )
        if motion.kind != "travel" or not box:
            continue
        corners = np.array([seen.boxes[part.key] for part in box])
        keys = {part.key for part in box}
        runners = tuple(
            fitting for fitting in bought(model) if kind_of(fitting) == "drawer runner" and keys & set(fitting.parts)
        )
        yield DrawerBuilt(
            motion, box, tuple(corners[:, 0].min(axis=0).tolist()), tuple(corners[:, 1].max(axis=0).tolist()), runners
        )


def clearances(model: Model, drawer: DrawerBuilt) -> tuple[float, float]:
    """What is clear above and below a drawer's box, to the nearest part that stands still over or under it, mm."""
    seen, moving = study(model), set(drawer.motion.moves)
    still = [box for key, box in seen.boxes.items() if key not in moving]
    across = [box for box in still if all(box[0][i] < drawer.high[i] and drawer.low[i] < box[1][i] for i in (0, 1))]
    middle = (drawer.low[2] + drawer.high[2]) / 2
    above = min((float(box[0][2]) for box in across if box[0][2] > middle), default=float("inf"))
    below = max((float(box[1][2]) for box in across if box[1][2] < middle), default=0.0)
    return above - drawer.high[2], drawer.low[2] - below


def _runner_length(drawer: DrawerBuilt) -> float:
    lengths = [entry_of(runner).sizes.get("length", 0.0) for runner in drawer.runners]
    return min(lengths, default=0.0) or round(drawer.high[1] - drawer.low[1], 3)


def _reach(handle: Fitting) -> float:
    """How long a handle is."""
    ends = np.array([end for body in handle.bodies for end in (body.low, body.high)])
    return float((ends.max(axis=0) - ends.min(axis=0)).max())


__all__ = ["CHECKS", "DrawerBuilt", "clear_of_box", "clearances", "drawers", "pulls", "ratio", "runner_load"]
