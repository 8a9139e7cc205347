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
    """The last size (mm) that works, found in one direction, and why the next does not."""

    size: str  # of SIZES
    is_most: bool
    last: float
    cause: str  # the finding's check, or the parameter's path that refuses
    reason: str  # one line, in a maker's words


@dataclass(frozen=True, slots=True)
class _Trouble:
    """Why a piece cannot be built; cause and reason as those of a limit."""

    cause: str
    reason: str


@lru_cache(maxsize=16)
def limits(piece: Piece) -> tuple[Limit, ...]:
    """The limits within reach; none where the piece cannot be built as it stands."""
    return () if _trouble(piece) else tuple(_limits(piece))


def _limits(piece: Piece) -> Iterator[Limit]:
    for size in SIZES:
        now = getattr(piece.whole, size)
        for sign in (1, -1):
            good = now
            tried = [now + sign * step for step in STEPS if LEAST * now <= now + sign * step <= MOST * now]
            for value in tried:
                trouble = _trouble(_with(piece, size, value))
                if trouble:
                    good, trouble = _halved(piece, size, (good, value), trouble)
                    yield Limit(size, sign > 0, good, trouble.cause, trouble.reason)
                    break
                good = value


def _halved(piece: Piece, size: str, between: tuple[float, float], trouble: _Trouble) -> tuple[float, _Trouble]:
    """The last size that works between one that does and one that does not, and why the next does not."""
    good, bad = between
    while abs(bad - good) > FINE:
        middle = good + FINE * round((bad - good) / FINE / 2)
        found = _trouble(_with(piece, size, middle))
        good, bad, trouble = (good, middle, found) if found else (middle, bad, trouble)
    return good, trouble


def _with(piece: Piece, size: str, value: float) -> Piece:
    return dataclasses.replace(piece, whole=dataclasses.replace(piece.whole, **{size: value}))


def _trouble(piece: Piece) -> _Trouble | None:
    """Why a piece cannot be built; None where it can."""
    try:
        model = build(piece)
    except ParameterError as error:
        return _Trouble(error.field, error.message)
    stops = (each for each in findings(piece, model) if each.severity == "stop")
    return next((_Trouble(each.check, each.text) for each in stops), None)
