"""A view from a near eye, made parallel: solids bent so that looking straight down on them shows the perspective.

The map sends straight lines to straight lines and planes to planes, so hidden lines are removed exactly as ever. In the
eye's own axes (right, up, toward the eye; the target at the origin, the eye at distance D) it sends (r, u, t) to
(r D/(D−t), u D/(D−t), D²/(D−t)).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from ..errors import ParameterError
from ..geometry import Vector, length_of, plus, unit
from ..solids.mesh import Mesh
from .views import View

FLAT = View((0.0, 0.0, 1.0), (0.0, 1.0, 0.0))  # how the bent solids are looked at
NEAREST = 0.05  # share of the distance that must lie between the eye and all that is drawn


@dataclass(frozen=True, slots=True)
class Perspective:
    """An eye and what it looks at, mm of the piece; what lies at the target is drawn in its own size."""

    eye: Vector
    target: Vector

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (*self.eye, *self.target))) or self.distance == 0:
            raise ParameterError("view", f"an eye at {self.eye} that looks at {self.target} sees nothing; move it away")

    @classmethod
    def around(cls, low: Vector, high: Vector, toward: Vector = (0.55, -1.0, 0.35), far: float = 2.2) -> Perspective:
        """An eye on one side of a box, so many times its largest measure away from its middle.

        From the front right and a little above unless another direction is given.
        """
        middle = tuple((a + b) / 2 for a, b in zip(low, high, strict=True))
        size = max(b - a for a, b in zip(low, high, strict=True))
        return cls(plus(middle, unit(toward), far * size), middle)  # type: ignore[arg-type]

    @property
    def distance(self) -> float:
        """From eye to target."""
        return length_of(tuple(a - b for a, b in zip(self.eye, self.target, strict=True)))  # type: ignore[arg-type]

    @property
    def view(self) -> View:
        """The parallel view in the same direction."""
        return View.toward(tuple(a - b for a, b in zip(self.eye, self.target, strict=True)))  # type: ignore[arg-type]

    def points(self, points: np.ndarray) -> np.ndarray:
        """Points of the piece, (…, 3), as they are bent. Raises ParameterError for one behind the eye or close to it."""
        own = (np.asarray(points, float) - self.target) @ self.view.axes.T
        away = self.distance - own[..., 2]
        if away.size and away.min() < NEAREST * self.distance:
            raise ParameterError(
                "view", f"an eye {self.distance:.0f} mm away stands in the piece or touches it; move it farther off"
            )
        share = self.distance / away
        return np.stack((own[..., 0] * share, own[..., 1] * share, self.distance * share), axis=-1)

    def mesh(self, mesh: Mesh) -> Mesh:
        """A solid as it is bent: a face with the plane n · p = k gets the normal (n₁D, n₂D, n₃D − k)."""
        normals = mesh.normals @ self.view.axes.T
        first = np.zeros(len(normals), np.int64)
        first[mesh.face_of] = mesh.corners[mesh.starts[:-1]]
        corner = (mesh.vertices[first] - self.target) @ self.view.axes.T
        offset = np.einsum("ij,ij->i", normals, corner)
        bent = normals * self.distance
        bent[:, 2] -= offset
        length = np.linalg.norm(bent, axis=1)
        return replace(mesh, vertices=self.points(mesh.vertices), normals=bent / length[:, None])
