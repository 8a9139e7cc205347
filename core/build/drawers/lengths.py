"""Which runner goes into the depth there is."""

from __future__ import annotations

from ...errors import ParameterError
from ...fittings import FittingEntry

REAR_ROOM = 10.0  # mm behind a runner; common practice, no source


def longest_runner(room: float, lengths: list[float]) -> float | None:
    """The longest runner that goes into the clear depth behind a front, with room behind it.

    >>> longest_runner(501, [400, 450, 500])
    450
    """
    fitting = [length for length in lengths if length <= room - REAR_ROOM]
    return max(fitting, default=None)


def longest_of(field: str, room: float, family: list[FittingEntry]) -> FittingEntry:
    """The longest of a family that goes in; where none does, `field` is to blame."""
    longest = longest_runner(room, [entry.size("length") for entry in family])
    if longest is None:
        raise ParameterError(field, f"no runner is short enough for {room:g} mm of depth")
    return next(each for each in family if each.size("length") == longest)


def check_length(field: str, room: float, entry: FittingEntry) -> FittingEntry:
    """The runner, where it goes into the depth there is."""
    long = entry.size("length")
    if long > room - REAR_ROOM:
        raise ParameterError(
            field,
            f"a runner {long:g} mm long needs {long + REAR_ROOM:g} mm behind the front; there are {room:g}: take a shorter one, or leave it empty to have the longest that goes in",
        )
    return entry


__all__ = ["REAR_ROOM", "check_length", "longest_of", "longest_runner"]
