"""What a tape can set: rounding to the finest step and to the workshop's step."""

from __future__ import annotations

import math

SLACK = 1e-7  # mm; a sum of exact tenths must not fall below its step through the float's last digit


def down_to(value: float, step: float) -> float:
    """The largest multiple of `step` that is not above `value`, in mm.

    >>> down_to(518.3, 0.5), down_to(1044.0, 0.1)
    (518.0, 1044.0)
    """
    return _multiple(math.floor(value / step + SLACK), step)


def up_to(value: float, step: float) -> float:
    """The smallest multiple of `step` that is not below `value`, in mm."""
    return _multiple(math.ceil(value / step - SLACK), step)


def nearest(value: float, step: float) -> float:
    """The multiple of `step` nearest to `value`, in mm; half way goes up."""
    return _multiple(math.floor(value / step + 0.5 + SLACK), step)


def from_middle(long: float, number: int, count: int) -> float:
    """How far place `number` (from 0) of `count` evenly spread over a length lies from its middle, to 0.1 mm.

    The places are the same on both sides of the middle to the last digit, so that a mirror image has them too.

    >>> [from_middle(100, i, 4) for i in range(4)]
    [-50.0, -16.7, 16.7, 50.0]
    """
    return round(long * (2 * number - (count - 1)) / (2 * (count - 1)), 1) + 0.0


def _multiple(times: int, step: float) -> float:
    return round(times * step, 6) + 0.0
