"""The site: the room, the way in, and what stands around the piece."""

from __future__ import annotations

from ..fields import choice, flag, group, length, parameters

FLOORS = {"hard": "Hard and level", "carpet": "Carpet or uneven: the front may sink"}


@parameters
class Skirting:
    """The board along the foot of the wall that the piece stands off from."""

    height: float = length(120, 0, 400, "Skirting height", "0 for none")
    thickness: float = length(18, 0, 60, "Skirting thickness", "The piece stands off the wall by this")


@parameters
class Site:
    """Where the piece will stand and how it gets there."""

    ceiling: float = length(2400, 1800, 6000, "Ceiling height", "Floor to ceiling where it is stood up")
    door_width: float = length(760, 400, 3000, "Way in, width", "Clear width of the narrowest door on the way")
    door_height: float = length(1980, 1200, 4000, "Way in, height", "Clear height of the lowest door on the way")
    skirting: Skirting = group(Skirting, "Skirting", "At the wall behind")
    floor: str = choice("hard", FLOORS, "Floor", "What it stands on")
    wall_left: float = length(2000, 0, 10_000, "Clear at the left", "To the next wall or thing")
    wall_right: float = length(2000, 0, 10_000, "Clear at the right", "To the next wall or thing")
    children: bool = flag(True, "Children about", "Reckon with a child on a drawer or door")
