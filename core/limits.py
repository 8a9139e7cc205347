"""How far the overall sizes of a piece can be changed as it is designed, and what stands in the way beyond.

Each size is tried step by step, the piece built and judged every time, until it is refused or a finding says stop; what
lies between the last size that works and the first that does not is then halved down to `FINE`.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from .build import build
from .checks import findings
from .errors import ParameterError
from .piece.piece import Piece

SIZES = ("width", "height", "depth")
STEPS = (80, 160, 320)  # mm from what it is now; ours
LEAST, MOST = 0.6, 1.5  # of what it is now; beyond it is another piece
FINE = 20  # mm


@dataclass(frozen=True, slots=True)
class Limit:
    """The last size (mm) that works, found in one direction, and why the next does not, in one line."""

    size: str  # of SIZES
    is_most: bool
    last: float
    reason: str


@lru_cache(maxsize=16)
def limits(piece: Piece) -> tuple[Limit, ...]:
    """The limits within reach; none where the piece cannot be built as it stands."""
    return () if _trouble(piece) else tuple(_limits(piece))


def _limits(piece: Piece) -> Iterator[Limit]:
    for size in SIZES:
        now = getattr(piece.whole, size)
        for sign in (1, -1):
            good, reason = now, ""
            tried = [now + sign * step for step in STEPS if LEAST * now <= now + sign * step <= MOST * now]
            for value in tried:
                reason = _trouble(_with(piece, size, value))
                if reason:
                    good, reason = _halved(piece, size, (good, value), reason)
                    yield Limit(size, sign > 0, good, reason)
                    break
                good = value


def _halved(piece: Piece, size: str, between: tuple[float, float], reason: str) -> tuple[float, str]:
    """The last size that works between one that does and one that does not, and why the next does not."""
    good, bad = between
    while abs(bad - good) > FINE:
        middle = good + FINE * round((bad - good) / FINE / 2)
        found = _trouble(_with(piece, size, middle))
        good, bad, reason = (good, middle, found) if found else (middle, bad, reason)
    return good, reason


def _with(piece: Piece, size: str, value: float) -> Piece:
    return dataclasses.replace(piece, whole=dataclasses.replace(piece.whole, **{size: value}))


def _trouble(piece: Piece) -> str:
    """Why a piece cannot be built, in one line; empty where it can."""
    try:
        model = build(piece)
    except ParameterError as error:
        return error.message
    return next((each.text for each in findings(piece, model) if each.severity == "stop"), "")
