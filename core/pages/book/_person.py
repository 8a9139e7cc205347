"""A person beside a piece, so that one who cannot read sizes sees how large it is."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ...drawing.page import Area, Item, Text
from ...drawing.text import width

TALL = 1700.0  # mm; about the mean of grown people, from memory, unverified; for show only
GREY = 0.82
NAME_HEIGHT = 2.5  # mm of paper
# Right half of the outline from the neck down to the crotch, as shares of the height: (from the middle, above the floor).
_HALF = (
    (0.028, 0.875), (0.034, 0.845), (0.105, 0.822), (0.126, 0.795), (0.134, 0.66), (0.142, 0.52), (0.146, 0.44), (0.132, 0.405),
    (0.118, 0.44), (0.112, 0.53), (0.096, 0.70), (0.082, 0.63), (0.094, 0.52), (0.088, 0.40), (0.070, 0.27), (0.062, 0.14),
    (0.050, 0.045), (0.078, 0.0), (0.018, 0.0), (0.020, 0.06), (0.022, 0.26), (0.006, 0.46),
)  # fmt: skip
_HEAD = (0.056, 0.068, 0.932)  # half its width, half its height, its middle
WIDE = 2 * max(x for x, _ in _HALF)  # of the height


def person(x: float, floor: float, scale: float, tall: str) -> Sequence[Item]:
    """A standing person whose left arm begins at `x`, mm on paper; beneath the feet how tall that is, in words that begin no farther left."""
    high = TALL * scale
    middle = x + WIDE * high / 2
    half = [(dx * high, floor + y * high) for dx, y in _HALF]
    body = (*((middle + dx, y) for dx, y in half), *((middle - dx, y) for dx, y in reversed(half)))
    wide, long, centre = (share * high for share in _HEAD)
    turns = [2 * math.pi * n / 36 for n in range(36)]
    head = tuple((middle + wide * math.cos(turn), floor + centre + long * math.sin(turn)) for turn in turns)
    told = f"a person, {tall}"
    below = max(middle, x + width(told, NAME_HEIGHT) / 2)
    words = Text(below, floor - 1.8 * NAME_HEIGHT, NAME_HEIGHT, told, "middle")
    return Area(body, GREY), Area(head, GREY), words
