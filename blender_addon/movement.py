"""Doors on their true hinge axes, drawers along their true travel: matrices that stand before a part's own place."""

from __future__ import annotations

import math

from mathutils import Matrix, Vector

from .core.model import Model, Motion

STILL = Matrix()


class Moves:
    """Where each part is taken to when doors swing by an angle (degrees) and drawers come out by a way (mm)."""

    def __init__(self, model: Model, swing: float = 0.0, travel: float = 0.0, scale: float = 0.001) -> None:
        self._by_key: dict[str, Matrix] = {}
        for motion in model.motions:
            amount = min(swing if motion.kind == "swing" else travel, motion.reach)
            if amount > 0:
                self._by_key |= dict.fromkeys(motion.moves, _matrix(motion, amount, scale))
                self._by_key |= dict.fromkeys(motion.half, _matrix(motion, amount / 2, scale))

    def of(self, key: str) -> Matrix:
        """The motion of one part or fitting, the identity for what stands still."""
        return self._by_key.get(key, STILL)


def _matrix(motion: Motion, amount: float, scale: float) -> Matrix:
    if motion.kind == "travel":
        return Matrix.Translation(Vector(motion.axis).normalized() * amount * scale)
    pivot = Matrix.Translation(Vector(motion.through) * scale)
    return pivot @ Matrix.Rotation(math.radians(amount), 4, Vector(motion.axis)) @ pivot.inverted()
