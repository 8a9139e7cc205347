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


def _multiple(times: int, step: float) -> float:
    return round(times * step, 6) + 0.0
