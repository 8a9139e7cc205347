"""Parts and fittings as convex solids where they stand, and by how much they overlap; without a boolean library.

A part is the convex pieces of its bar less its pockets and holes; a fitting's body is cut into convex pieces. Two of
them overlap by the volume of what their pieces share, less what pockets and holes take out of it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..frozen import quickly_made
from ..geometry import Placement, Vector
from ..model import Body, Cut, CutOut, Hole, Model, Part, Pocket, Shape
from ..solids import polygons
from ..solids.convex import across, cut_out_cutters, facets

TOUCH = 2e-7  # mm; two pieces that reach into each other by no more only touch: 0.5 mm³ on the largest face there is
SAME = 1e-9  # mm; points on a plane
LEAST = 1.0  # mm³; less is the rounding of coordinates
CRUMB = 1e-3  # mm³; less is not worth cutting further


@quickly_made
@dataclass(frozen=True, slots=True, eq=False)
class Block:
    """A convex solid: its corners, the planes it lies within, and its faces as loops of corners."""

    corners: np.ndarray  # (k, 3)
    normals: np.ndarray  # (m, 3) outward unit
    offsets: np.ndarray  # (m,)
    faces: tuple[tuple[int, ...], ...]  # counter-clockwise from outside

    def moved(self, corners: np.ndarray, turn: np.ndarray) -> Block:
        """The block with its corners carried elsewhere by a movement whose rotation (rows: images of the axes) is
        `turn`.
        """
        normals = self.normals @ turn
        return Block(corners, normals, (normals[:, None, :] * corners[None]).sum(axis=2).max(axis=1), self.faces)

    @property
    def volume(self) -> float:
        """What it encloses, mm³."""
        points, six = self.corners.tolist(), 0.0
        ox, oy, oz = points[0]
        for face in self.faces:
            ax, ay, az = points[face[0]]
            ax, ay, az = ax - ox, ay - oy, az - oz
            px, py, pz = points[face[1]]
            px, py, pz = px - ox, py - oy, pz - oz
            for corner in face[2:]:
                qx, qy, qz = points[corner]
                qx, qy, qz = qx - ox, qy - oy, qz - oz
                six += ax * (py * qz - pz * qy) + ay * (pz * qx - px * qz) + az * (px * qy - py * qx)
                px, py, pz = qx, qy, qz
        return six / 6

    def clipped(self, normal: np.ndarray, offset: float) -> Block | None:
        """What lies on the inner side of a plane; itself where all does, None where nothing does."""
        height = self.corners @ normal - offset
        if height.max() <= SAME:
            return self
        if height.min() >= -SAME:
            return None
        return _clipped(self, height)


def whole_block(low: Sequence[float], high: Sequence[float]) -> Block:
    """A box square to the axes."""
    (x, y, z), (p, q, r) = low, high
    corners = np.array(
        [(x, y, z), (p, y, z), (p, q, z), (x, q, z), (x, y, r), (p, y, r), (p, q, r), (x, q, r)], dtype=float
    )
    return Block(corners, _BOX_NORMALS, np.array([-x, p, -y, q, -z, r], dtype=float), _BOX_FACES)


_BOX_NORMALS = np.array([(-1, 0, 0), (1, 0, 0), (0, -1, 0), (0, 1, 0), (0, 0, -1), (0, 0, 1)], dtype=float)
_BOX_FACES = ((0, 4, 7, 3), (1, 2, 6, 5), (0, 1, 5, 4), (3, 7, 6, 2), (0, 3, 2, 1), (4, 5, 6, 7))


def shared(a: Block, b: Block) -> Block | None:
    """What two blocks share."""
    if len(a.offsets) > len(b.offsets):
        a, b = b, a
    heights = a.normals @ b.corners.T - a.offsets[:, None]
    if (heights.min(axis=1) >= -SAME).any():
        return None
    found: Block | None = b
    for i in np.flatnonzero(heights.max(axis=1) > SAME):
        found = found.clipped(a.normals[i], float(a.offsets[i]))
        if found is None:
            return None
    return found


def shared_volume(a: Block, b: Block, cutters: Iterable[tuple[np.ndarray, np.ndarray]]) -> tuple[float, Vector | None]:
    """The volume two blocks share outside all cutters (normals, offsets), and the middle of its largest piece."""
    start = shared(a, b)
    if start is None:
        return 0.0, None
    pieces = [start]
    for normals, offsets in _reaching(start, tuple(cutters)):
        pieces = [rest for piece in pieces for rest in _outside(piece, normals, offsets)]
        if not pieces:
            return 0.0, None
    volumes = [piece.volume for piece in pieces]
    if sum(volumes) <= CRUMB:
        return 0.0, None
    middle = pieces[int(np.argmax(volumes))].corners.mean(axis=0)
    return float(sum(volumes)), tuple(round(float(each), 3) for each in middle)  # type: ignore[return-value]


def _reaching(
    block: Block, cutters: Sequence[tuple[np.ndarray, np.ndarray]]
) -> Sequence[tuple[np.ndarray, np.ndarray]]:
    """Those cutters which no plane of theirs keeps off a block, all tried at once; most are bored elsewhere."""
    if len(cutters) < 2:
        return cutters
    counts = np.array([len(offsets) for _, offsets in cutters])
    heights = np.concatenate([normals for normals, _ in cutters]) @ block.corners.T
    least = heights.min(axis=1) - np.concatenate([offsets for _, offsets in cutters])
    kept_off = np.maximum.reduceat(least, np.cumsum(counts) - counts) >= -SAME
    return [cutters[i] for i in np.flatnonzero(~kept_off).tolist()]


def _outside(piece: Block, normals: np.ndarray, offsets: np.ndarray) -> list[Block]:
    """What is left of a block outside a cutter, as blocks."""
    heights = normals @ piece.corners.T - offsets[:, None]
    if (heights.min(axis=1) >= -SAME).any():
        return [piece]
    kept: list[Block] = []
    rest: Block | None = piece
    for i in np.flatnonzero(heights.max(axis=1) > SAME):
        beyond = rest.clipped(-normals[i], -float(offsets[i]))
        if beyond is not None and beyond.volume > CRUMB:
            kept.append(beyond)
        rest = rest.clipped(normals[i], float(offsets[i]))
        if rest is None:
            break
    return kept


def _clipped(block: Block, height: np.ndarray) -> Block | None:
    """A block whose corners lie on both sides of a plane, cut there."""
    heights = height.tolist()
    points = block.corners.tolist()
    made: dict[tuple[int, int], int] = {}
    kept = [i for i, h in enumerate(heights) if h <= SAME]
    number = {old: new for new, old in enumerate(kept)}
    corners = [points[i] for i in kept]
    faces: list[tuple[int, ...]] = []
    rim: dict[int, int] = {}
    for face in block.faces:
        loop: list[int] = []
        for i, j in zip(face, face[1:] + face[:1], strict=True):
            if heights[i] <= SAME:
                loop.append(number[i])
            if (heights[i] < -SAME and heights[j] > SAME) or (heights[i] > SAME and heights[j] < -SAME):
                edge = (i, j) if i < j else (j, i)
                if edge not in made:
                    a, b = edge
                    share = heights[a] / (heights[a] - heights[b])
                    made[edge] = len(corners)
                    corners.append([p + share * (q - p) for p, q in zip(points[a], points[b], strict=True)])
                loop.append(made[edge])
        if len(loop) >= 3:
            faces.append(tuple(loop))
    cut = set(made.values()) | {number[i] for i in kept if abs(heights[i]) <= SAME}
    for face in faces:
        for i, j in zip(face, face[1:] + face[:1], strict=True):
            if i in cut and j in cut:
                rim.setdefault(j, i)
    cap = _round(rim, cut)
    array = np.array(corners)
    if cap:
        faces.append(cap)
    return Block(array, block.normals, block.offsets, tuple(faces)) if len(faces) >= 4 else None


def _round(rim: dict[int, int], cut: set[int]) -> tuple[int, ...]:
    """The loop of the cap: against the sides of the faces that the cut laid bare."""
    for start in sorted(cut):
        loop, at = [start], rim.get(start)
        while at is not None and at != start and len(loop) <= len(cut):
            loop.append(at)
            at = rim.get(at)
        if at == start and len(loop) >= 3:
            return tuple(loop)
    return ()


# ---------------------------------------------------------------------------------------------------- shapes and bodies
@lru_cache(maxsize=4096)
def bar_blocks(shape: Shape) -> tuple[Block, ...]:
    """The bar of a shape within its cuts, in the part's frame; pockets and holes not taken out."""
    cuts = tuple((each.normal, each.point) for each in shape.features if isinstance(each, Cut))
    return _bar_within(shape.size, shape.section, cuts)


@lru_cache(maxsize=4096)
def _bar_within(
    size: Vector, section: tuple[tuple[float, float], ...], cuts: tuple[tuple[Vector, Vector], ...]
) -> tuple[Block, ...]:
    """A bar within planes (normal, point); remembered apart from pockets and holes, which change more often."""
    bars = _profiled(section, size[0]) if section else [whole_block((0.0, 0.0, 0.0), size)]
    for away, point in cuts:
        normal = np.asarray(away) / np.linalg.norm(away)
        offset = float(normal @ np.asarray(point))
        halves = [bar.clipped(normal, offset) for bar in bars]
        bars = [
            (
                half
                if half is bar
                else Block(
                    half.corners, np.vstack((half.normals, [normal])), np.append(half.offsets, offset), half.faces
                )
            )
            for bar, half in zip(bars, halves, strict=True)
            if half is not None
        ]
    return tuple(bars)


def _profiled(section: Sequence[tuple[float, float]], length: float) -> list[Block]:
    """A section (y, z) drawn along x, as convex pieces."""
    outline = np.array(section, dtype=float)
    found = []
    for loop in _convex_loops(outline):
        foot = np.column_stack((np.zeros(len(loop)), outline[loop]))
        found.append(_prism(foot, foot + np.array((length, 0.0, 0.0))))
    return found


def _convex_loops(outline: np.ndarray) -> list[list[int]]:
    """An outline cut into convex ones, each a list of its corners, all running one way."""
    whole = list(range(len(outline)))
    if polygons.area(outline, whole) < 0:
        whole = whole[::-1]
    if polygons.is_convex(outline, whole):
        return [whole]
    turned = outline[whole]
    return [[whole[i] for i in loop] for loop in polygons.convex_polygons(turned, range(len(turned)))]


@lru_cache(maxsize=4096)
def cutters_of(shape: Shape) -> tuple[tuple[np.ndarray, np.ndarray], ...]:
    """What pockets, cut-outs and holes take out: normals and offsets of each, in the part's frame, holes last."""
    pockets = [_pocket(each) for each in shape.features if isinstance(each, Pocket)]
    for cut_out in (each for each in shape.features if isinstance(each, CutOut)):
        for piece in cut_out_cutters(cut_out, 0):
            planes = np.array(piece.planes)
            pockets.append((planes[:, :3], planes[:, 3]))
    holes = [_hole(each) for each in shape.features if isinstance(each, Hole)]
    return (*pockets, *holes)


def _pocket(pocket: Pocket) -> tuple[np.ndarray, np.ndarray]:
    box = whole_block(np.minimum(pocket.low, pocket.high), np.maximum(pocket.low, pocket.high))
    return box.normals, box.offsets


def _hole(hole: Hole) -> tuple[np.ndarray, np.ndarray]:
    """A hole as the facetted round that just holds the true one, its facets those of the mesh."""
    normals = _round_about(hole.into, facets(hole.diameter))
    offsets = normals @ np.asarray(hole.at)
    offsets[:-2] += hole.diameter / 2
    offsets[-1] += hole.depth
    return normals, offsets


@lru_cache(maxsize=1024)
def _round_about(into: Vector, n: int) -> np.ndarray:
    """The normals of a facetted round, of its mouth and its floor; read-only, shared by all holes of the kind."""
    u, v = across(into)
    angle = 2 * math.pi * np.arange(n) / n
    axis = np.cross(u, v)
    normals = np.vstack((np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v, [-axis, axis]))
    normals.flags.writeable = False
    return normals


@lru_cache(maxsize=4096)
def body_blocks(body: Body) -> tuple[Block, ...]:
    """A fitting's body as convex pieces, in the fitting's frame; rounds lie inside the true ones."""
    match body.form:
        case "block":
            return (whole_block(body.low, body.high),)
        case "bar":
            return _bar(body)
        case _:
            return _turned(body)


def _bar(body: Body) -> tuple[Block, ...]:
    axis, reach = _axis(body)
    u, v = across(tuple(np.abs(axis)) if np.count_nonzero(axis) == 1 else tuple(axis))
    outline = np.array(body.outline, dtype=float)
    low = np.asarray(body.low)
    found = []
    for loop in _convex_loops(outline):
        below = low + outline[loop] @ np.array((u, v))
        found.append(_prism(below, below + reach * axis))
    return tuple(found)


def _turned(body: Body) -> tuple[Block, ...]:
    axis, _ = _axis(body)
    u, v = across(tuple(axis))
    n = facets(2 * max(radius for _, radius in body.outline))
    angle = 2 * math.pi * (np.arange(n) + 0.5) / n
    circle = np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v
    low = np.asarray(body.low)
    found = []
    for (a, r), (b, s) in itertools.pairwise(body.outline):
        if b - a > SAME:
            rings = [low + at * axis + max(radius, 1e-3) * circle for at, radius in ((a, r), (b, s))]
            found.append(_prism(*rings))
    return tuple(found)


def _axis(body: Body) -> tuple[np.ndarray, float]:
    step = np.subtract(body.high, body.low)
    reach = float(np.linalg.norm(step))
    return step / reach, reach


def _prism(below: np.ndarray, above: np.ndarray) -> Block:
    """The block between two outlines of as many corners each, sides flat."""
    n = len(below)
    corners = np.vstack((below, above))
    middle = corners.mean(axis=0)
    faces = [(i, (i + 1) % n, (i + 1) % n + n, i + n) for i in range(n)] + [
        tuple(range(n))[::-1],
        tuple(range(n, 2 * n)),
    ]
    points = np.array([corners[[face[0], face[1], face[2]]] for face in faces])
    normals = np.cross(points[:, 1] - points[:, 0], points[:, 2] - points[:, 0])
    long = np.linalg.norm(normals, axis=1)
    if (long < SAME).any():  # the first three corners of an outline may lie in one line
        normals[long < SAME] = [_normal(corners[list(faces[i])]) for i in np.flatnonzero(long < SAME)]
        long = np.linalg.norm(normals, axis=1)
    normals /= long[:, None]
    if float(normals[-1] @ (above[0] - middle)) < 0:  # drawn the other way round
        faces, normals = [face[::-1] for face in faces], -normals
    return Block(corners, normals, np.einsum("ij,ij->i", normals, points[:, 0]), tuple(faces))


def _normal(loop: np.ndarray) -> np.ndarray:
    """What looks out of a flat loop of corners, its length twice the area (Newell)."""
    return np.cross(loop, np.roll(loop, -1, axis=0)).sum(axis=0)


# --------------------------------------------------------------------------------------------------------- many of them
@dataclass(frozen=True, slots=True, eq=False)
class Assembled:
    """All blocks of a model in the piece, side by side; arrays padded so that pairs can be tried all at once."""

    keys: tuple[str, ...]  # parts, then fittings
    family: np.ndarray  # by key: a number that the members of one fitting share
    owner: np.ndarray  # (n,) which key each block belongs to
    blocks: tuple[Block, ...]
    corners: np.ndarray  # (n, k, 3), short ones filled up with their first corner
    normals: np.ndarray  # (n, m, 3), short ones filled up with their first plane
    offsets: np.ndarray  # (n, m)
    low: np.ndarray  # (n, 3)
    high: np.ndarray  # (n, 3)
    plain: np.ndarray  # (n,) bool: no more planes and corners than `PLAIN`
    parts: dict[str, Part]  # by key

    @property
    def most(self) -> tuple[int, int]:
        """The planes and corners of the largest block."""
        return self.normals.shape[1], self.corners.shape[1]

    def cutters(self, key: str) -> tuple[tuple[np.ndarray, np.ndarray], ...]:
        """What is taken out of a part, in the piece; of a fitting nothing."""
        part = self.parts.get(key)
        return placed_cutters(part.shape, part.place) if part else ()

    def of(self, keys: Iterable[str]) -> np.ndarray:
        """The blocks of some keys, by number."""
        wanted = set(keys)
        chosen = np.array([key in wanted for key in self.keys], bool)
        return np.flatnonzero(chosen[self.owner])


def assembled(model: Model) -> Assembled:
    """The blocks of a model."""
    blocks: list[Block] = []
    owner: list[int] = []
    keys = (*(part.key for part in model.parts), *(fitting.key for fitting in model.fittings))
    for number, part in enumerate(model.parts):
        for block in _placed_bar(part.shape, part.place):
            blocks.append(block)
            owner.append(number)
    for number, fitting in enumerate(model.fittings, len(model.parts)):
        for block in _placed_bodies(fitting.bodies, fitting.place):
            blocks.append(block)
            owner.append(number)
    corners, normals, offsets = padded(blocks)
    low, high = _boxes(blocks)
    place = {key: number for number, key in enumerate(keys)}
    family = [*range(len(model.parts)), *(place[fitting.bought_with or fitting.key] for fitting in model.fittings)]
    return Assembled(
        keys,
        np.array(family, int),
        np.array(owner, int),
        tuple(blocks),
        corners,
        normals,
        offsets,
        low,
        high,
        np.array([len(block.offsets) <= PLAIN[0] and len(block.corners) <= PLAIN[1] for block in blocks], bool),
        {part.key: part for part in model.parts},
    )


@lru_cache(maxsize=4096)
def _placed_bar(shape: Shape, place: Placement) -> tuple[Block, ...]:
    return placed_blocks(bar_blocks(shape), place)


@lru_cache(maxsize=4096)
def _placed_bodies(bodies: tuple[Body, ...], place: Placement) -> tuple[Block, ...]:
    return placed_blocks([block for body in bodies for block in body_blocks(body)], place)


def placed_blocks(blocks: Iterable[Block], place: Placement) -> tuple[Block, ...]:
    """Blocks of a part's frame where the part stands."""
    axes, origin = place.axes(), np.asarray(place.origin)
    turned = [(block, block.normals @ axes) for block in blocks]
    return tuple(
        [
            Block(block.corners @ axes + origin, normals, block.offsets + normals @ origin, block.faces)
            for block, normals in turned
        ]
    )


@lru_cache(maxsize=1024)
def placed_cutters(shape: Shape, place: Placement) -> tuple[tuple[np.ndarray, np.ndarray], ...]:
    """What the pockets and holes of a part take out, where it stands."""
    axes, origin = place.axes(), np.asarray(place.origin)
    turned: dict[int, tuple[np.ndarray, np.ndarray]] = {}  # holes of one kind share their normals
    found = []
    for normals, offsets in cutters_of(shape):
        if id(normals) not in turned:
            there = normals @ axes
            turned[id(normals)] = there, there @ origin
        there, reach = turned[id(normals)]
        found.append((there, offsets + reach))
    return tuple(found)


def padded(blocks: Sequence[Block]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Corners, normals and offsets of blocks in arrays of one size."""
    if not blocks:
        return np.zeros((0, PLAIN[1], 3)), np.zeros((0, PLAIN[0], 3)), np.zeros((0, PLAIN[0]))
    corner = _filled(np.array([len(block.corners) for block in blocks]), PLAIN[1])
    plane = _filled(np.array([len(block.offsets) for block in blocks]), PLAIN[0])
    corners, normals = (np.concatenate([getattr(block, name) for block in blocks]) for name in ("corners", "normals"))
    return corners[corner], normals[plane], np.concatenate([block.offsets for block in blocks])[plane]


def _boxes(blocks: Sequence[Block]) -> tuple[np.ndarray, np.ndarray]:
    """The lowest and the highest corner of the box around each block, (n, 3)."""
    if not blocks:
        return np.zeros((0, 3)), np.zeros((0, 3))
    counts = np.array([len(block.corners) for block in blocks])
    corners, starts = np.concatenate([block.corners for block in blocks]), np.cumsum(counts) - counts
    return np.minimum.reduceat(corners, starts), np.maximum.reduceat(corners, starts)


def _filled(counts: np.ndarray, least: int) -> np.ndarray:
    """Where each of several runs laid end to end has its members, (n, most): short runs filled up with their first."""
    place = np.arange(max(least, int(counts.max())))
    starts = np.cumsum(counts) - counts
    return starts[:, None] + np.where(place < counts[:, None], place, 0)


def separation(normals: np.ndarray, offsets: np.ndarray, corners: np.ndarray) -> np.ndarray:
    """For pairs (solid, corners of another), how far a face of the one keeps the other off; negative where none does.

    Shapes (p, m, 3), (p, m), (p, k, 3) → (p,).
    """
    heights = np.matmul(normals, corners.transpose(0, 2, 1)).min(axis=2)  # quicker to search along the last axis
    return (heights - offsets).max(axis=1)


def apart(solids: Assembled, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """How far a face of either block keeps the other off, for pairs of numbers; negative where they overlap or nearly
    so.
    """
    found = np.empty(len(a))
    plain_a, plain_b = solids.plain[a], solids.plain[b]
    for first in (True, False):
        for second in (True, False):
            pairs = np.flatnonzero((plain_a == first) & (plain_b == second))
            i, j = a[pairs], b[pairs]
            (m, k), (n, h) = (PLAIN if each else solids.most for each in (first, second))
            found[pairs] = np.maximum(
                separation(solids.normals[i, :m], solids.offsets[i, :m], solids.corners[j, :h]),
                separation(solids.normals[j, :n], solids.offsets[j, :n], solids.corners[i, :k]),
            )
    return found


PLAIN = (12, 12)  # planes and corners of a block that counts as plain: boards with a few cuts, not rounds


def near_pairs(low: np.ndarray, high: np.ndarray, owner: np.ndarray, reach: float) -> tuple[np.ndarray, np.ndarray]:
    """Pairs of blocks of different owners whose boxes overlap by more than `reach` (negative: come that near) in
    every direction.
    """
    apart = np.zeros((len(low), len(low)), bool)
    for k in range(3):
        apart |= low[:, None, k] + reach > high[None, :, k]
    a, b = np.nonzero(np.triu(~(apart | apart.T), 1))
    different = owner[a] != owner[b]
    return a[different], b[different]


__all__ = [
    "LEAST",
    "PLAIN",
    "TOUCH",
    "Assembled",
    "Block",
    "apart",
    "assembled",
    "bar_blocks",
    "body_blocks",
    "near_pairs",
    "padded",
    "placed_blocks",
    "separation",
    "shared",
    "shared_volume",
    "whole_block",
]
