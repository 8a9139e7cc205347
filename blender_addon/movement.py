"""Doors on their hinge axes, drawers along their travel, parts on their way apart: matrices before a part's place."""

from __future__ import annotations

import math
from collections.abc import Mapping

from mathutils import Matrix, Vector

from .core.model import Model, Motion

STILL = Matrix()


class Moves:
    """Where each part is taken to when doors swing by an angle (degrees) and drawers come out by a way (mm).

    `apart` says how far each key has come away from the whole, as a vector in mm; it comes after swing and travel.
    """

    def __init__(
        self,
        model: Model,
        swing: float = 0.0,
        travel: float = 0.0,
        scale: float = 0.001,
        apart: Mapping[str, tuple[float, float, float]] | None = None,
    ) -> None:
        self._by_key: dict[str, Matrix] = {}
        for motion in model.motions:
            amount = min(swing if motion.kind == "swing" else travel, motion.reach)
            if amount > 0:
                self._by_key |= dict.fromkeys(motion.moves, _matrix(motion, amount, scale))
                self._by_key |= dict.fromkeys(motion.half, _matrix(motion, amount / 2, scale))
        for key, shift in (apart or {}).items():
            if any(shift):
                self._by_key[key] = Matrix.Translation(Vector(shift) * scale) @ self.of(key)

    def of(self, key: str) -> Matrix:
        """The motion of one part or fitting, the identity for what stands still."""
        return self._by_key.get(key, STILL)

    def carried(self, key: str, place: Matrix) -> Matrix:
        """The place of one part or fitting after its motion."""
        motion = self._by_key.get(key)
        return place if motion is None else motion @ place


def _matrix(motion: Motion, amount: float, scale: float) -> Matrix:
    if motion.kind == "travel":
        return Matrix.Translation(Vector(motion.axis).normalized() * amount * scale)
    pivot = Matrix.Translation(Vector(motion.through) * scale)
    return pivot @ Matrix.Rotation(math.radians(amount), 4, Vector(motion.axis)) @ pivot.inverted()
