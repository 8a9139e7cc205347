"""The doors and drawer fronts of a piece in their openings: sizes, gaps, and which edge hangs."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from ..built import BuiltPiece
from ..checks.reading import closing_bevel
from ..mechanics import lead_edge_need
from ..model import Model, Motion, Opening
from ..piece.fronts import Front
from ._views import boxes_of

NEIGHBOURS = 30.0  # mm within which the edges of two fronts that lap the carcass are beside each other
FILM = (0.10, 0.15)  # mm of paint on a face, two undercoats and two top coats; common practice, no source
FACE_ROLES = ("front panel", "panel", "stile", "rail", "muntin", "lipping")
BEVEL_FROM = 1.5  # times what the closing edge needs: with less the edge is bevelled; common practice, no source


@dataclass(frozen=True, slots=True)
class Leaf:
    """One door or drawer front shut in its opening: its edges in the piece, mm."""

    name: str
    motion: Motion
    left: float
    right: float
    bottom: float
    top: float
    thickness: float
    front: float  # y of its face
    bevel: float = 0.0  # of a door's closing edge, degrees

    @property
    def hangs_left(self) -> bool:
        """Whether a door hangs at its left edge."""
        return self.motion.kind == "swing" and abs(self.motion.through[0] - self.left) < abs(
            self.motion.through[0] - self.right
        )

    @property
    def lead_need(self) -> float:
        """The gap that the closing edge of a door needs as it swings, mm."""
        hinge = abs(self.motion.through[0] - (self.left if self.hangs_left else self.right)) * 2
        pin = max(0.0, self.front - self.motion.through[1])
        return lead_edge_need(self.right - self.left, hinge, self.thickness, pin, self.bevel)


@dataclass(frozen=True, slots=True)
class Gap:
    """One gap round a front: where, and how wide before painting; negative where the front laps what is there."""

    where: str
    cut: float
    hinge: bool = False

    @property
    def is_lap(self) -> bool:
        """Whether the front laps what is there."""
        return self.cut < 0

    def painted(self, coated: bool) -> tuple[float, float]:
        """What is left of it when both faces are painted: least and most."""
        if not coated:
            return self.cut, self.cut
        return round(self.cut - 2 * FILM[1], 3), round(self.cut - 2 * FILM[0], 3)


@dataclass(frozen=True, slots=True)
class Closed:
    """An opening, what closes it from the left, and its gaps."""

    front: Front
    opening: Opening
    leaves: tuple[Leaf, ...]

    @property
    def gaps(self) -> Iterator[Gap]:
        """From the left round to the bottom."""
        first, last = self.leaves[0], self.leaves[-1]
        swings = first.motion.kind == "swing" and first.motion.axis[2] != 0
        yield Gap(
            "left, hinge side" if swings and first.hangs_left else "left",
            round(first.left - self.opening.left, 3),
            swings and first.hangs_left,
        )
        for one, other in itertools.pairwise(self.leaves):
            yield Gap("meeting", round(other.left - one.right, 3))
        hung = swings and not last.hangs_left
        yield Gap("right, hinge side" if hung else "right", round(self.opening.right - last.right, 3), hung)
        yield Gap("top", round(self.opening.top - first.top, 3))
        yield Gap("bottom", round(first.bottom - self.opening.bottom, 3))


def gaps_between(closed: Sequence[Closed]) -> Iterator[tuple[Closed, Gap]]:
    """The gaps between fronts that lap the carcass, each told of the lower front or the left one."""
    lapping = [(each, leaf) for each in closed if each.front.lay != "inset" for leaf in each.leaves]
    for (one, leaf), (other, beside) in itertools.permutations(lapping, 2):
        if one is other:
            continue
        above, right = round(beside.bottom - leaf.top, 3), round(beside.left - leaf.right, 3)
        if 0 <= above < NEIGHBOURS and min(leaf.right, beside.right) > max(leaf.left, beside.left):
            yield one, Gap(f"top, to {other.opening.name}", above)
        if 0 <= right < NEIGHBOURS and min(leaf.top, beside.top) > max(leaf.bottom, beside.bottom):
            yield one, Gap(f"right, to {other.opening.name}", right)


def closed_openings(built: BuiltPiece) -> tuple[Closed, ...]:
    """Every opening of a piece with what closes it, in the order of the fronts."""
    model = built.model
    openings = {each.key: each for each in model.openings}
    found = []
    for front in built.piece.fronts:
        motions = [each for each in model.motions if each.key == front.id or each.key.startswith(f"{front.id}/")]
        leaves = sorted(
            (leaf for leaf in (leaf_of(model, motion) for motion in motions) if leaf), key=lambda each: each.left
        )
        if leaves and front.id in openings:
            found.append(Closed(front, openings[front.id], tuple(leaves)))
    return tuple(found)


def leaf_of(model: Model, motion: Motion) -> Leaf | None:
    """What a motion moves as one front; None where it moves none."""
    moved = set(motion.moves)
    keys = [
        part.key for part in model.parts if part.key in moved and part.role in FACE_ROLES and "/box/" not in part.key
    ]
    if not keys:
        return None
    low, high = around(model, keys)
    bevel = closing_bevel(part for part in model.parts if part.key in moved)
    name = next((each.name for each in model.assemblies if each.key == motion.key), motion.key)
    return Leaf(name, motion, low[0], high[0], low[2], high[2], round(high[1] - low[1], 3), low[1], bevel)


def around(model: Model, keys: Sequence[str]) -> tuple[list[float], list[float]]:
    """The corners of the box around some parts."""
    boxes = boxes_of(model)
    low, high = zip(*(boxes[key] for key in keys), strict=True)
    return np.round(np.min(low, axis=0), 3).tolist(), np.round(np.max(high, axis=0), 3).tolist()
