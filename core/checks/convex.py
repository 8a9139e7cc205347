"""Blocks, convex solids: what of one lies within another, and how much that is; without a boolean library."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from ..frozen import quickly_made
from ..geometry import Vector

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


__all__ = ["LEAST", "SAME", "TOUCH", "Block", "shared", "shared_volume", "whole_block"]
