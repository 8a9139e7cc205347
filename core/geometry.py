"""Placements of parts in the piece, and the small exact vector work that goes with them.

Millimetres throughout; right-handed, Z up, the front of the piece toward −Y (design: frame of reference).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from .frozen import quickly_made

Vector = tuple[float, float, float]

RIGHT: Vector = (1.0, 0.0, 0.0)
LEFT: Vector = (-1.0, 0.0, 0.0)
BACK: Vector = (0.0, 1.0, 0.0)
FRONT: Vector = (0.0, -1.0, 0.0)
UP: Vector = (0.0, 0.0, 1.0)
DOWN: Vector = (0.0, 0.0, -1.0)

QUANTUM = 1e-6  # mm; coordinates are rounded to this so that equal sums compare equal on any machine


_PER_MM = 1e6  # quanta
_ROUNDS = (
    1.5 * 2.0**52
)  # a float so large that adding it drops what is less than a whole, and takes the even one half way
_SURE = 0.49  # of a quantum from the nearest whole one; the product is off by less than the rest, up to 10⁷ mm


def quantised(value: float) -> float:
    """The value rounded to `QUANTUM`, with negative zero made plain zero.

    The same bits as `round(value, 6) + 0.0`: a whole number of quanta divided by their number is the float nearest to the decimal.
    The decimal way costs three times as much and is left to what lies half way between two quanta.
    """
    quanta = value * _PER_MM
    whole = (quanta + _ROUNDS) - _ROUNDS
    if -_SURE < quanta - whole < _SURE:
        return whole / _PER_MM
    return round(value, 6) + 0.0


def vector(x: float, y: float, z: float) -> Vector:
    """Three coordinates as one quantised vector."""
    a, b, c = x * _PER_MM, y * _PER_MM, z * _PER_MM
    u, v, w = (a + _ROUNDS) - _ROUNDS, (b + _ROUNDS) - _ROUNDS, (c + _ROUNDS) - _ROUNDS
    if -_SURE < a - u < _SURE and -_SURE < b - v < _SURE and -_SURE < c - w < _SURE:
        return (u / _PER_MM, v / _PER_MM, w / _PER_MM)
    return (quantised(x), quantised(y), quantised(z))


def plus(a: Vector, b: Vector, times: float = 1.0) -> Vector:
    """a + times·b."""
    (x, y, z), (u, v, w) = a, b
    return vector(x + times * u, y + times * v, z + times * w)


def dot(a: Vector, b: Vector) -> float:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """The vector product, right-handed."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def length_of(a: Vector) -> float:
    """The Euclidean length."""
    return math.sqrt(dot(a, a))


def unit(a: Vector) -> Vector:
    """The vector scaled to length 1; a zero vector is our own mistake."""
    size = length_of(a)
    assert size > 0, "a direction of no length"
    return (a[0] / size, a[1] / size, a[2] / size)


def negative(a: Vector) -> Vector:
    """−a, without negative zeros."""
    return (-a[0] + 0.0, -a[1] + 0.0, -a[2] + 0.0)


@quickly_made
@dataclass(frozen=True, slots=True)
class Placement:
    """Where a part's own frame stands in the piece: the origin and the directions of its x and y axes.

    x runs along the part's length, y along its width, z (= x × y) through its thickness toward the face side.

    >>> Placement((0.0, 0.0, 5.0), UP, BACK).point((10.0, 2.0, 0.0))
    (0.0, 2.0, 15.0)
    """

    origin: Vector
    x: Vector = RIGHT
    y: Vector = BACK
    z: Vector = field(init=False, repr=False, compare=False)  # the direction the face side looks in

    def __post_init__(self) -> None:
        (a, b, c), (d, e, f) = self.x, self.y
        _put_z(self, (b * f - c * e, c * d - a * f, a * e - b * d))  # their vector product

    def axes(self) -> np.ndarray:
        """The (3, 3) array whose rows are the part's axes in piece coordinates."""
        return np.array((self.x, self.y, self.z), dtype=float)

    def points(self, own: np.ndarray) -> np.ndarray:
        """Points of the part's frame, (n, 3), in piece coordinates."""
        return np.asarray(own, dtype=float) @ self.axes() + np.asarray(self.origin)

    def point(self, own: Vector) -> Vector:
        """One point of the part's frame in piece coordinates."""
        (o, p, q), (a, b, c), (d, e, f), (g, h, i) = self.origin, self.x, self.y, self.z
        u, v, w = own
        return vector(o + (u * a + v * d + w * g), p + (u * b + v * e + w * h), q + (u * c + v * f + w * i))

    def direction(self, own: Vector) -> Vector:
        """A direction of the part's frame in piece coordinates."""
        (a, b, c), (d, e, f), (g, h, i) = self.x, self.y, self.z
        u, v, w = own
        return (u * a + v * d + w * g + 0.0, u * b + v * e + w * h + 0.0, u * c + v * f + w * i + 0.0)

    def own_point(self, there: Vector) -> Vector:
        """A point of the piece in the part's frame; the inverse of `point`."""
        (o, p, q), (a, b, c), (d, e, f), (g, h, i) = self.origin, self.x, self.y, self.z
        u, v, w = there
        u, v, w = u - o, v - p, w - q
        return vector(u * a + v * b + w * c, u * d + v * e + w * f, u * g + v * h + w * i)

    def own_direction(self, there: Vector) -> Vector:
        """A direction of the piece in the part's frame; the inverse of `direction`."""
        (a, b, c), (d, e, f), (g, h, i) = self.x, self.y, self.z
        u, v, w = there
        return (u * a + v * b + w * c + 0.0, u * d + v * e + w * f + 0.0, u * g + v * h + w * i + 0.0)

    def moved(self, by: Vector) -> Placement:
        """The same attitude, its origin moved by a vector of the piece."""
        return Placement(plus(self.origin, by), self.x, self.y)


_put_z = Placement.z.__set__  # type: ignore[attr-defined]
