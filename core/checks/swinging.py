"""Where points come to rest when what they belong to swings or travels."""

from __future__ import annotations

import math

import numpy as np

from ..geometry import Vector
from ..model import Model, Motion
from .study import Study, study

OPEN_ENOUGH = 90.0  # degrees; a door that opens less is in the way; common practice, no source


def carried(corners: np.ndarray, motion: Motion, amount: float) -> tuple[np.ndarray, np.ndarray]:
    """Points (…, 3) carried by a movement, and the (3, 3) array that turns directions (rows) with it."""
    if motion.kind == "travel":
        return corners + amount * np.asarray(motion.axis), np.eye(3)
    turn = rotation(motion.axis, amount)
    through = np.asarray(motion.through)
    return (corners - through) @ turn + through, turn


def rotation(axis: Vector, degrees: float) -> np.ndarray:
    """The (3, 3) array that turns row vectors about an axis by the right hand."""
    x, y, z = axis
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    skew = np.array(((0, -z, y), (z, 0, -x), (-y, x, 0)))
    return (np.eye(3) * cos + sin * skew + (1 - cos) * np.outer(axis, axis)).T


def moving_corners(model: Model, motion: Motion, amount: float) -> np.ndarray:
    """The corners, (n, 3), of all that a movement carries, carried so far."""
    return carried(corners_of(model, motion), motion, amount)[0]


def corners_of(model: Model, motion: Motion) -> np.ndarray:
    """The same with everything shut."""
    return study(model).shared(_corners)[motion.moves]


def _corners(seen: Study) -> dict[tuple[str, ...], np.ndarray]:
    """By what moves together: the corners of its blocks."""
    blocks, found = seen.assembled.blocks, {}
    for motion in seen.model.motions:
        corners = [blocks[number].corners for key in motion.moves for number in seen.blocks_of.get(key, ())]
        found[motion.moves] = np.concatenate(corners) if corners else np.zeros((0, 3))
    return found


__all__ = ["OPEN_ENOUGH", "carried", "corners_of", "moving_corners", "rotation"]
