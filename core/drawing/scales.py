"""The scales a drawing may have, and the one that suits a sheet."""

from __future__ import annotations

from dataclasses import dataclass

from .page import Rect, RoomError


@dataclass(frozen=True, slots=True)
class Scale:
    """So many mm on paper for so many mm of the piece; printed as 1:10."""

    paper: int
    real: int

    @property
    def ratio(self) -> float:
        """Paper mm per mm of the piece."""
        return self.paper / self.real

    def __str__(self) -> str:
        return f"{self.paper}:{self.real}"


FULL_SIZE = Scale(1, 1)

# ISO 5455, from memory; largest first
SCALES = (
    Scale(10, 1),
    Scale(5, 1),
    Scale(2, 1),
    FULL_SIZE,
    Scale(1, 2),
    Scale(1, 5),
    Scale(1, 10),
    Scale(1, 20),
    Scale(1, 50),
    Scale(1, 100),
)


def fitting_scale(width: float, height: float, room: Rect, *, largest: Scale = FULL_SIZE) -> Scale:
    """The largest scale, no larger than `largest`, at which something of this size (mm) fits the room.

    >>> str(fitting_scale(1150, 1900, Rect(0, 0, 170, 230)))
    '1:10'

    Raises RoomError when even the smallest is too large.
    """
    for scale in SCALES[SCALES.index(largest) :]:
        if width * scale.ratio <= room.width + 1e-9 and height * scale.ratio <= room.height + 1e-9:
            return scale
    raise RoomError(
        f"{width:g} × {height:g} mm is too large for {room.width:g} × {room.height:g} mm of paper "
        f"at {SCALES[-1]}; use a larger sheet"
    )
