"""What a movement meets: solids that swing or travel, tried against all that stands in their way.

A movement is divided into steps. Over each step a moving solid stays within the hull of its corners at both ends and
of the points where the tangents of their arcs meet; what such a hull clears is clear over the whole step. Where a
hull touches something, the solids themselves are tried at places within the step, cut against each other, so that
nothing is reported that does not meet.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from ..geometry import Vector
from ..model import Model, Motion
from .assembled import PLAIN, Assembled, separation
from .convex import LEAST, Block, shared_volume
from .reading import doors_before
from .study import study
from .swinging import OPEN_ENOUGH, carried, rotation

SWING_STEPS = (
    0.0,
    1.0,
    2.5,
    5.0,
    8.0,
    12.0,
    18.0,
    26.0,
    36.0,
    48.0,
    61.0,
    76.0,
    90.0,
    92.0,
    110.0,
    135.0,
    160.0,
    180.0,
)  # degrees
TRAVEL_STEPS = 1  # a straight way is one step: the hull of its ends holds it exactly
TRIES = 8  # places within a step at which the solids themselves are tried
GRAZE = 1e-4  # mm; a hull that reaches no deeper only grazes


@dataclass(frozen=True, slots=True)
class Clash:
    """Where a movement meets something: what with what, how far along the movement, how much and where."""

    motion: Motion
    keys: tuple[str, str]
    at: float  # degrees or mm
    volume: float
    place: Vector
    beside: str = ""  # the key of the other door's motion, where that stands open too


def clashes(model: Model) -> list[Clash]:
    """What meets what on its way, the first place of each pair."""
    solids = study(model).assembled
    found: list[Clash] = []
    for motion in model.motions:
        for keys, share in ((motion.moves, 1.0), (motion.half, 0.5)):
            movers = solids.of(keys)
            if len(movers):
                found += _clashes_of(model, solids, motion, movers, share)
    return found


def _clashes_of(model: Model, solids: Assembled, motion: Motion, movers: np.ndarray, share: float) -> list[Clash]:
    first: dict[tuple[str, str], Clash] = {}
    steps = _steps(motion)
    ways = _Ways.of(motion, [step * share for step in steps])
    for mine in _by_size(solids, movers):
        sweep = _Sweep.of(solids, mine, ways)
        for obstacles in _obstacles(model, solids, motion, sweep):
            for s, m, o in _met(solids, sweep, obstacles):
                if steps[s] >= obstacles.until:
                    continue
                mover, other = int(mine[m]), int(obstacles.numbers[o])
                keys = (solids.keys[solids.owner[mover]], solids.keys[solids.owner[other]])
                if keys in first and first[keys].at <= steps[s] * share:
                    continue
                clash = _tried(solids, motion, share, (steps[s], steps[s + 1]), mover, other, obstacles.moved)
                if clash and (keys not in first or clash.at < first[keys].at):
                    first[keys] = clash
    return [first[keys] for keys in sorted(first)]


@dataclass(frozen=True, slots=True, eq=False)
class _Obstacles:
    """Blocks that stand still, or another front shut or open, as they stand then."""

    numbers: np.ndarray
    corners: np.ndarray
    normals: np.ndarray
    offsets: np.ndarray
    low: np.ndarray
    high: np.ndarray
    moved: tuple[Motion, float] | None = None  # how far the front they belong to stands open
    until: float = math.inf  # how far the mover need go past them: two doors open back to back touch, and hurt nothing


def _obstacles(model: Model, solids: Assembled, motion: Motion, sweep: _Sweep) -> Iterator[_Obstacles]:
    """What a front may meet on its way: everything else shut, and each other front open."""
    low, high = sweep.low.min(axis=(0, 1)), sweep.high.max(axis=(0, 1))
    near = ((solids.low < high) & (low < solids.high)).all(axis=1)
    near[solids.of((*motion.moves, *motion.half))] = False
    for other in model.motions:
        if other.key == motion.after:  # the leading door is open when this one moves
            near[solids.of(other.moves)] = False
    waits = doors_before(model, motion)  # they stand open before a drawer behind them comes out
    for door in waits:
        near[solids.of((*door.moves, *door.half))] = False
    still = np.flatnonzero(near)
    for numbers in _by_size(solids, still):
        planes, corners = PLAIN if solids.plain[numbers[0]] else solids.most
        yield _Obstacles(
            numbers,
            solids.corners[numbers, :corners],
            solids.normals[numbers, :planes],
            solids.offsets[numbers, :planes],
            solids.low[numbers],
            solids.high[numbers],
        )
    for other in model.motions:
        if other is motion or motion in doors_before(model, other):
            continue
        at = min(OPEN_ENOUGH, other.reach) if other.kind == "swing" else other.reach
        for keys, amount in ((other.moves, at), (other.half, at / 2)):
            for numbers in _by_size(solids, solids.of(keys)):
                planes, corners = PLAIN if solids.plain[numbers[0]] else solids.most
                their_low, their_high = _box_carried(solids.low[numbers], solids.high[numbers], other, amount)
                near = ((their_low < high) & (low < their_high)).all(axis=1)
                if not near.any():
                    continue
                numbers = numbers[near]
                there, turn = carried(solids.corners[numbers, :corners], other, amount)
                normals = solids.normals[numbers, :planes] @ turn
                both = motion.kind == other.kind == "swing"
                yield _Obstacles(
                    numbers,
                    there,
                    normals,
                    np.matmul(normals, there.transpose(0, 2, 1)).max(axis=2),
                    their_low[near],
                    their_high[near],
                    (other, amount),
                    OPEN_ENOUGH if both else math.inf,
                )


def _box_carried(low: np.ndarray, high: np.ndarray, motion: Motion, amount: float) -> tuple[np.ndarray, np.ndarray]:
    """Boxes, (n, 3), that hold what is in some boxes when that is carried."""
    middle, turn = carried((low + high) / 2, motion, amount)
    half = (high - low) / 2 @ np.abs(turn)
    return middle - half, middle + half


def _by_size(solids: Assembled, numbers: np.ndarray) -> Iterator[np.ndarray]:
    """Plain blocks and round ones apart, for the round ones take many times the room."""
    for plain in (True, False):
        some = numbers[solids.plain[numbers] == plain]
        if len(some):
            yield some


@dataclass(frozen=True, slots=True, eq=False)
class _Ways:
    """The steps of a movement: each carries points to its start and end, and in a swing to where the tangents of these meet.

    What lies between the places so reached holds all that the points pass on their way.
    """

    maps: np.ndarray  # (steps, places, 3, 3) of points, to be turned as rows
    shifts: np.ndarray  # (steps, places, 3) of points, beside their maps
    turns: np.ndarray  # (steps, directions, 3, 3) of the directions of faces, at the places worth trying

    @classmethod
    def of(cls, motion: Motion, steps: list[float]) -> _Ways:
        """The steps between some places, degrees or mm."""
        if motion.kind == "travel":
            ends = np.array(list(itertools.pairwise(steps)))[:, :, None] * np.asarray(motion.axis)
            still = np.broadcast_to(np.eye(3), (len(ends), 2, 3, 3))
            return cls(still, ends, still[:, :1])
        turns = np.array(
            [[rotation(motion.axis, at) for at in (a, (a + b) / 2, b)] for a, b in itertools.pairwise(steps)]
        )
        half = np.radians(np.diff(steps)) / 2
        along = np.outer(motion.axis, motion.axis)
        maps = turns.copy()
        maps[:, 1] = turns[:, 1] @ (along + (np.eye(3) - along) / np.cos(half)[:, None, None])
        through = np.asarray(motion.through)
        return cls(maps, through - through @ maps, turns)

    def hulls(self, step: int, corners: np.ndarray) -> np.ndarray:
        """Points whose hull holds solids over a step, each in a column, (n, 3, places · k); their corners (n, k, 3)."""
        columns = corners.transpose(0, 2, 1)
        places = zip(self.maps[step], self.shifts[step], strict=True)
        return np.concatenate([np.matmul(turn.T, columns) + shift[:, None] for turn, shift in places], axis=2)

    def boxes(self, low: np.ndarray, high: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Boxes, (steps, n, 3), that hold the hulls of what is in some boxes, (n, 3)."""
        middle = np.matmul((low + high) / 2, self.maps) + self.shifts[:, :, None]
        half = np.matmul((high - low) / 2, np.abs(self.maps))
        return (middle - half).min(axis=1), (middle + half).max(axis=1)


@dataclass(frozen=True, slots=True, eq=False)
class _Sweep:
    """Blocks of about one size on their way, and for each step a box that holds the hull of each."""

    numbers: np.ndarray
    corners: np.ndarray  # (movers, corners, 3)
    normals: np.ndarray  # (movers, planes, 3)
    ways: _Ways
    low: np.ndarray  # (steps, movers, 3)
    high: np.ndarray

    @classmethod
    def of(cls, solids: Assembled, numbers: np.ndarray, ways: _Ways) -> _Sweep:
        """The sweep of some blocks, all plain ones or all round ones."""
        planes, corners = PLAIN if solids.plain[numbers[0]] else solids.most
        return cls(
            numbers,
            solids.corners[numbers, :corners],
            solids.normals[numbers, :planes],
            ways,
            *ways.boxes(solids.low[numbers], solids.high[numbers]),
        )


def _met(solids: Assembled, sweep: _Sweep, obstacles: _Obstacles) -> Iterator[tuple[int, int, int]]:
    """Which step of which mover cannot be told from an obstacle by any face: (step, mover, obstacle)."""
    step, mover, other = _near(sweep.low, sweep.high, obstacles.low, obstacles.high)
    family = solids.family  # how the members of one fitting slide in each other is its maker's affair
    strange = family[solids.owner[sweep.numbers[mover]]] != family[solids.owner[obstacles.numbers[other]]]
    step, mover, other = step[strange], mover[strange], other[strange]
    for s in np.unique(step).tolist():
        now = np.flatnonzero(step == s)
        yield from _met_on(s, sweep, obstacles, mover[now], other[now])


def _met_on(
    s: int, sweep: _Sweep, obstacles: _Obstacles, mover: np.ndarray, other: np.ndarray
) -> Iterator[tuple[int, int, int]]:
    """The same of one step, of the pairs whose boxes are near."""
    moving, which = np.unique(mover, return_inverse=True)
    hulls = sweep.ways.hulls(s, sweep.corners[moving])
    low, high = hulls.min(axis=2)[which], hulls.max(axis=2)[which]  # closer about it than the box of a box
    near = (low < obstacles.high[other] - GRAZE) & (obstacles.low[other] < high - GRAZE)
    other, which = other[near.all(axis=1)], which[near.all(axis=1)]
    if len(other):
        left = separation(obstacles.normals[other], obstacles.offsets[other], hulls[which].transpose(0, 2, 1)) < -GRAZE
        other, which = other[left], which[left]
    if not len(other):
        return
    apart = np.full(len(other), -np.inf)
    for turn in sweep.ways.turns[s]:
        faces = sweep.normals[moving] @ turn
        offsets = np.matmul(faces, hulls).max(axis=2)
        apart = np.maximum(apart, separation(faces[which], offsets[which], obstacles.corners[other]))
    met = apart < -GRAZE
    yield from ((s, m, o) for m, o in zip(moving[which[met]].tolist(), other[met].tolist(), strict=True))


def _steps(motion: Motion) -> list[float]:
    if motion.kind == "travel":
        return [motion.reach * i / TRAVEL_STEPS for i in range(TRAVEL_STEPS + 1)]
    return [step for step in SWING_STEPS if step < motion.reach] + [motion.reach]


def _near(low: np.ndarray, high: np.ndarray, their_low: np.ndarray, their_high: np.ndarray) -> tuple[np.ndarray, ...]:
    """Which (step, mover, obstacle) have boxes that overlap."""
    touch = np.ones((*low.shape[:2], len(their_low)), bool)
    for k in range(3):
        touch &= (low[:, :, None, k] < their_high[:, k] - GRAZE) & (their_low[:, k] < high[:, :, None, k] - GRAZE)
    return np.nonzero(touch)


def _tried(
    solids: Assembled,
    motion: Motion,
    share: float,
    step: tuple[float, float],
    mover: int,
    other: int,
    moved: tuple[Motion, float] | None,
) -> Clash | None:
    """The first clash of two solids themselves at places within a step."""
    keys = (solids.keys[solids.owner[mover]], solids.keys[solids.owner[other]])
    obstacle = solids.blocks[other]
    their_cutters = solids.cutters(keys[1])
    if moved:
        obstacle, their_cutters = _carried(obstacle, their_cutters, *moved)
    for i in range(TRIES + 1):
        amount = (step[0] + (step[1] - step[0]) * i / TRIES) * share
        block, cutters = _carried(solids.blocks[mover], solids.cutters(keys[0]), motion, amount)
        if (block.corners.min(axis=0) >= obstacle.corners.max(axis=0)).any() or (
            obstacle.corners.min(axis=0) >= block.corners.max(axis=0)
        ).any():
            continue
        volume, at = shared_volume(block, obstacle, (*cutters, *their_cutters))
        if at is not None and volume > LEAST:
            both = moved is not None and motion.kind == moved[0].kind == "swing"
            return Clash(motion, keys, round(amount, 3), volume, at, moved[0].key if both and moved else "")
    return None


def _carried(block: Block, cutters: tuple, motion: Motion, amount: float) -> tuple[Block, tuple]:
    corners, turn = carried(block.corners, motion, amount)
    shift = carried(np.zeros(3), motion, amount)[0]
    return block.moved(corners, turn), tuple(
        (normals @ turn, offsets + (normals @ turn) @ shift) for normals, offsets in cutters
    )
