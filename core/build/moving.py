"""Solid wood held so that it can move: round holes along one line, slots across the grain everywhere else."""

from __future__ import annotations

import math

from ..fastenings import Screw, pilot_for
from ..fields import number
from ..geometry import Vector, cross, plus, vector
from ..mechanics import movement
from ..model import AT_FITTING, Material, Part, When
from .bench import Bench
from .hardware import drive

SLOT_WIDTH, LEAST_SLOT = 5.0, 15.0  # mm; common practice, no source
SEASON = 4.0  # per cent of moisture between a wet and a dry season indoors; common practice, no source


def season() -> float:
    """Declare the change of moisture that slots are made for."""
    return number(
        SEASON, 1, 8, "Season", "Change of moisture between a dry and a wet season; slots are made for it", unit="%"
    )


def moves(material: Material) -> bool:
    """Whether a board of that material must be left free to move across the grain."""
    return material.kind == "solid" and material.tangential > 0


def moves_along(part: Part, way: Vector) -> bool:
    """Whether a part swells and shrinks in a direction of the piece: solid wood, and the direction lies across its grain."""
    if not moves(part.board.material):
        return False
    grain = 1 if part.grain == "width" else 0
    return abs(part.place.own_direction(way)[1 - grain]) > 0.5


def slot_length(material: Material, from_fixed: float, change: float, clearance: float) -> float:
    """How long a slot is, so far from the line that is held fast: the screw's clearance and the movement, either way; at least 15.

    Movement after the Wood Handbook, flat-sawn as the worst.

    >>> from ..materials import material
    >>> slot_length(material("oak"), 560, 4, 4.2), slot_length(material("oak"), 1000, 4, 4.2)
    (15.0, 19.0)
    """
    return float(max(LEAST_SLOT, math.ceil(clearance + movement(from_fixed, material.tangential, change) - 1e-9)))


def slotted_screw(
    bench: Bench,
    through: str,
    into: str,
    at: Vector,
    along: Vector,
    size: Screw,
    thickness: float,
    slot: tuple[Vector, float],
    purpose: str,
    when: When = AT_FITTING,
) -> str:
    """A screw in a slot: `slot` is the direction it runs in and its length; a washer goes under the head."""
    way, long = slot
    across = cross(along, way)
    low = plus(plus(plus(at, way, -long / 2), across, -SLOT_WIDTH / 2), along, -1.0)
    high = plus(plus(plus(at, way, long / 2), across, SLOT_WIDTH / 2), along, thickness + 1.0)
    runs = ("from left to right", "from front to back", "up and down")[max(range(3), key=lambda axis: abs(way[axis]))]
    words = f"slot {SLOT_WIDTH:g} × {long:g}, long {runs}, so that the wood can move"
    bench.take_out(through, "slot", low, high, words)
    inside = plus(at, along, thickness)
    bench.bore(
        into,
        inside,
        along,
        pilot_for(size, bench.parts[into].board.material),
        size.length - thickness + 1.0,
        f"pilot for screw {size.name}",
        when,
    )
    return drive(bench, size, vector(*at), along, (through, into), purpose, when)
