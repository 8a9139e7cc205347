"""A whole model as blocks side by side, in arrays, so that many pairs are tried at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from ..model import Model, Part
from .blocks import placed_bar, placed_bodies, placed_cutters
from .convex import Block


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
        for block in placed_bar(part.shape, part.place):
            blocks.append(block)
            owner.append(number)
    for number, fitting in enumerate(model.fittings, len(model.parts)):
        for block in placed_bodies(fitting.bodies, fitting.place):
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
