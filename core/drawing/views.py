"""The directions from which a drawing looks."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from ..errors import ParameterError
from ..geometry import BACK, UP, Vector, cross, length_of, unit

STEEPEST = 1e-6  # sine of the angle to the upright below which a view counts as straight down or up

# The receding axis of a dimetric drawing is foreshortened to half of the other two (ISO 5456-3, from memory). In a
# parallel projection square to the paper the three squared foreshortenings add up to 2, so they are 8/9, 8/9 and 2/9;
# the squared components of the direction toward the viewer are what each lacks to 1: 1/9, 1/9 and 7/9.
_DIMETRIC: Vector = (1.0, -math.sqrt(7.0), 1.0)

_NAMED: dict[str, Vector] = {
    "front": (0.0, -1.0, 0.0),
    "side": (1.0, 0.0, 0.0),
    "top": (0.0, 0.0, 1.0),
    "iso": (1.0, -1.0, 1.0),
    "dimetric": _DIMETRIC,
}


@dataclass(frozen=True, slots=True)
class View:
    """A parallel projection square to the paper: where the viewer stands, and what is up on the paper.

    `direction` is the unit vector toward the viewer, `up` the unit vector that points up the sheet, at right angles.
    """

    direction: Vector
    up: Vector

    @classmethod
    def toward(cls, direction: Vector, up: Vector | None = None) -> View:
        """The view from a direction, the upright Z as near to upright on paper as it can be.

        Straight down and straight up, +Y points up the sheet; `up` may say otherwise, and need not be square to the
        direction. Raises ParameterError for a direction without length, or an `up` along it.

        >>> View.toward((0, 0, 5)).up
        (0.0, 1.0, 0.0)
        """
        if not all(map(math.isfinite, direction)) or length_of(direction) == 0:
            raise ParameterError("view", f"the direction {direction} points nowhere; give a vector that has a length")
        toward = unit(direction)
        if up is None:
            up = BACK if length_of(cross(UP, toward)) < STEEPEST else UP
        right = cross(up, toward)
        if not all(map(math.isfinite, up)) or length_of(right) < STEEPEST * length_of(up) or length_of(up) == 0:
            raise ParameterError("view", f"up {up} lies along the direction of view {direction}; give another")
        upward = cross(toward, unit(right))
        return cls(toward, (upward[0] + 0.0, upward[1] + 0.0, upward[2] + 0.0))

    @classmethod
    def named(cls, name: str) -> View:
        """One of the views a drawing is made of: front, side, top, iso (isometric) or dimetric.

        Front looks from −Y, side from +X, top from +Z with +Y up, iso from (1, −1, 1). Dimetric shows the front nearly
        square, width and height at one scale, the depth at half of it, from the right and above.
        Raises ParameterError for another name.
        """
        if name not in _NAMED:
            raise ParameterError("view", f"there is no view '{name}'; choose {', '.join(_NAMED)}")
        return cls.toward(_NAMED[name])

    @property
    def axes(self) -> np.ndarray:
        """The (3, 3) array whose rows point right on the sheet, up the sheet and toward the viewer."""
        return np.array((cross(self.up, self.direction), self.up, self.direction)) + 0.0

    def project(self, points: np.ndarray) -> np.ndarray:
        """Points of the piece, (…, 3), on the sheet, (…, 2), in mm, the origin of the piece at (0, 0)."""
        return np.asarray(points, dtype=float) @ self.axes[:2].T

    def depth(self, points: np.ndarray) -> np.ndarray:
        """How near points of the piece, (…, 3), are to the viewer, (…), in mm; larger is nearer."""
        return np.asarray(points, dtype=float) @ self.axes[2]
