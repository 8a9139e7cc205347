"""Where a camera stood, and with what lens, from the four corners of a rectangle of known size in its photograph.

The map from the rectangle's plane to the picture is a homography (four pairs of points); the camera is read from it, the picture's
middle taken for the point that the lens looks at and its pixels for square: Hartley and Zisserman, Multiple View Geometry, 2nd ed.,
ch. 8.8 (focal length from a square's image) and Zhang, "A flexible new technique for camera calibration", 2000.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .errors import ParameterError

FILM = 36.0  # mm; the width of the picture that lenses are named for (24 × 36)
# by how much of itself the picture of a side changes in size across the rectangle before a lens can be told
STRAIGHT_ON = 0.02
NARROW, WIDE = 12.0, 300.0  # mm; a lens outside of these comes from corners that were not marked with care
SMALLEST = 1e-4  # of the picture's size squared; a rectangle smaller than this is none

Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Camera:
    """A camera in the frame of the rectangle: x along its lower side, y along the other, z out of it toward the camera's side.

    The origin is its lower left corner; `axes` are the picture's right and up and the way back to the viewer, as rows.
    """

    lens: float  # mm on a picture `FILM` wide
    place: np.ndarray  # (3,) mm
    axes: np.ndarray  # (3, 3)
    off: float  # the most that a corner lies beside its place, as a share of the picture's width

    def project(self, points: np.ndarray, aspect: float) -> np.ndarray:
        """Where points, (n, 3) mm, lie in the picture, in shares of its width and height from its lower left corner, (n, 2)."""
        there = (np.asarray(points, float) - self.place) @ self.axes.T
        flat = self.lens / FILM * there[:, :2] / -there[:, 2:]
        return flat / np.array((1.0, aspect)) + 0.5


def camera_of(corners: Sequence[Corner], size: tuple[float, float], aspect: float, lens: float = 0.0) -> Camera:
    """The camera from the corners of a rectangle of `size`, width and height in mm, in a picture that is `aspect` times as high as wide.

    Corners are in shares of the picture's width and height from its lower left, in the order lower left, lower right, upper
    right, upper left as one sees them. `lens` is the lens in mm where it is known; else it is worked out. Raises ParameterError.
    """
    require_outline(corners)
    if min(size) <= 0:
        raise ParameterError("size", "the rectangle has no size; measure its width and height")
    seen = (np.array(corners, float) - 0.5) * (1.0, aspect)
    flat = _homography(np.array(((0, 0), (1, 0), (1, 1), (0, 1)), float) * size, seen)
    focal = lens / FILM if lens else _focal(flat, size)
    if not lens and not NARROW <= focal * FILM <= WIDE:
        raise ParameterError("corners", "no lens gives such a picture of it; mark the corners anew, or give the lens")
    camera = _posed(flat, focal)
    points = np.array(((0, 0, 0), (size[0], 0, 0), (*size, 0), (0, size[1], 0)), float)
    off = (camera.project(points, aspect) - np.array(corners)) * (1.0, aspect)
    return Camera(camera.lens, camera.place, camera.axes, float(np.hypot(*off.T).max()))


def require_outline(corners: Sequence[Corner]) -> None:
    """Refuse corners that cannot be those of a rectangle seen from before it, in their order; raises ParameterError."""
    if len(corners) != 4:
        raise ParameterError("corners", f"{len(corners)} corners are marked; mark the four of the rectangle")
    seen = np.array(corners, float)
    side = np.roll(seen, -1, axis=0) - seen
    turn = side[:, 0] * np.roll(side[:, 1], -1) - side[:, 1] * np.roll(side[:, 0], -1)
    if turn.min() < SMALLEST:
        raise ParameterError(
            "corners", "these are no rectangle's corners; mark lower left, lower right, upper right, upper left"
        )


def _homography(plane: np.ndarray, seen: np.ndarray) -> np.ndarray:
    """The map of the plane's points, (4, 2), to the picture's, (4, 2), as a (3, 3) matrix."""
    rows = []
    for (u, v), (x, y) in zip(plane / (scale := np.abs(plane).max()), seen, strict=True):
        rows.append((u, v, 1, 0, 0, 0, -x * u, -x * v, -x))
        rows.append((0, 0, 0, u, v, 1, -y * u, -y * v, -y))
    found = np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)
    found = found * (1.0 if found[2] @ (0.5, 0.5, 1.0) > 0 else -1.0)
    return found * np.array((1 / scale, 1 / scale, 1.0))


def _focal(flat: np.ndarray, size: tuple[float, float]) -> float:
    """The focal length as a share of the picture's width: the sides are square to one another, and as long as measured."""
    nearer = np.abs(flat[2, :2] * size) / flat[2, 2]
    if nearer.max() < STRAIGHT_ON:
        raise ParameterError(
            "corners", "the rectangle is seen straight on, which tells nothing of the lens; give the lens in mm"
        )
    a, b = flat[:, 0], flat[:, 1]
    with_lens = np.array((a[0] * b[0] + a[1] * b[1], a[0] ** 2 + a[1] ** 2 - b[0] ** 2 - b[1] ** 2))
    without = np.array((a[2] * b[2], a[2] ** 2 - b[2] ** 2))
    inverse_square = -(with_lens @ without) / (with_lens @ with_lens)
    if not inverse_square > 0:
        raise ParameterError("corners", "no lens gives such a picture of it; mark the corners anew, or give the lens")
    return float(inverse_square**-0.5)


def _posed(flat: np.ndarray, focal: float) -> Camera:
    """The camera of a known lens; the nearest true rotation where the corners are not quite true."""
    rays = flat / np.array((focal, focal, -1.0))[:, None]  # the camera looks along its −z
    rays = rays / np.sqrt(np.linalg.norm(rays[:, 0]) * np.linalg.norm(rays[:, 1]))
    u, _, v = np.linalg.svd(np.column_stack((rays[:, 0], rays[:, 1], np.cross(rays[:, 0], rays[:, 1]))))
    turn = u @ np.diag((1.0, 1.0, np.linalg.det(u @ v))) @ v
    place = -turn.T @ rays[:, 2]
    return Camera(focal * FILM, place, turn, 0.0)
