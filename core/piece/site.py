"""The site: the room, the way in, and what stands around the piece."""

from __future__ import annotations

from ..fields import choice, flag, group, ident, items, length, parameters

BEHIND = {
    "stand_off": "The piece stands off the wall by it",
    "over": "The carcass reaches over it to the wall",
    "notched": "Sides and legs of the side frames are notched around it",
}
FLOORS = {"hard": "Hard and level", "carpet": "Carpet or uneven: the front may sink"}


@parameters
class Skirting:
    """The board along the foot of the wall that the piece stands off from."""

    height: float = length(120, 0, 400, "Skirting height", "0 for none")
    thickness: float = length(
        18, 0, 60, "Skirting thickness", "The piece stands off the wall by this, or its foot is set in by as much"
    )
    meets: str = choice(
        "stand_off",
        BEHIND,
        "At the skirting",
        "Whether legs, plinth or feet are set in, or the sides notched, so that the carcass stands against the wall",
    )


STRIP_FEET = {
    "base": "To the floor beside a plinth or a bracket base, on legs and feet to the carcass's underside",
    "carcass": "To the carcass's underside",
}
PIPES = {
    "up": "Up the wall: what lies across it is notched from the rear, or bored",
    "along": "Along the wall, from side to side: what stands across it is notched from the rear, or bored",
    "out": "Out of the wall: a round hole in the back",
}
AT_PIPES = {
    "notched": "Notched, open to the rear: the piece is pushed back over the pipe",
    "bored": "Bored, a closed hole: the pipe is led through once the piece stands, or is parted for it",
}


@parameters
class Pipe:
    """A pipe at the wall behind the piece, which is pushed back over it, or inside the piece through holes in its boards."""

    runs: str = choice("up", PIPES, "Runs", "Which way the pipe goes")
    diameter: float = length(22, 6, 160, "Diameter", "Over the pipe, its lagging and clips counted")
    off: float = length(
        35, 3, 400, "Off the wall", "From the wall to the middle of the pipe; out of the wall: to its end"
    )
    across: float = length(
        0, -3000, 3000, "From the middle", "Of the piece to the middle of the pipe, to the right as seen from the front; negative to the left"
    )  # fmt: skip
    height: float = length(
        150, 10, 3000, "Height", "Floor to the middle of the pipe; up the wall: to where it ends or turns away"
    )
    clear: float = length(5, 2, 60, "Clear about it", "Left free around the pipe; hot ones want more")
    meets: str = choice(
        "notched", AT_PIPES, "Boards across it", "What is done to them where the pipe runs up or along the wall"
    )


@parameters
class Alcove:
    """Walls at both sides that the piece is fitted between; scribing strips close the gaps.

    The three widths are measured near the floor, half way up and near the top of the piece.
    """

    fitted: bool = flag(False, "Fitted between walls", "Scribing strips close the gaps at the sides")
    width_low: float = length(1200, 200, 6000, "Width, low", "Wall to wall near the floor, above the skirting")
    width_middle: float = length(1200, 200, 6000, "Width, middle", "Wall to wall half way up")
    width_high: float = length(1200, 200, 6000, "Width, high", "Wall to wall at the height of the carcass top")
    board: str = ident(
        "hardwood-20", "Scribing strip", "Board that the scribing strips are cut from; solid wood holds their screws"
    )
    set_back: float = length(0, 0, 60, "Strip set back", "Behind the front edges of the carcass")
    foot: str = choice("base", STRIP_FEET, "Strips reach down", "How far down the scribing strips run")

    def gaps(self, width: float) -> tuple[float, float, float]:
        """What is free at each side of a carcass of that width, low, in the middle and high, mm."""
        return tuple(round((each - width) / 2, 6) for each in (self.width_low, self.width_middle, self.width_high))  # type: ignore[return-value]


@parameters
class Stairs:
    """A flight on the way in, and the landing where the way turns a corner."""

    width: float = length(
        0, 0, 3000, "Stairs, width", "Clear between walls and rails at the narrowest; 0 where no stairs are on the way"
    )
    headroom: float = length(
        2000, 1200, 4000, "Headroom", "The least over steps, square to their slope, and over landings"
    )
    landing: float = length(
        0,
        0,
        4000,
        "Landing",
        "Clear depth of the smallest landing where the way turns a corner; 0 for a straight flight",
    )


@parameters
class Site:
    """Where the piece will stand and how it gets there."""

    ceiling: float = length(2400, 1800, 6000, "Ceiling height", "Floor to ceiling where it is stood up")
    door_width: float = length(760, 400, 3000, "Way in, width", "Clear width of the narrowest door on the way")
    door_height: float = length(1980, 1200, 4000, "Way in, height", "Clear height of the lowest door on the way")
    stairs: Stairs = group(Stairs, "Stairs", "On the way in")
    skirting: Skirting = group(Skirting, "Skirting", "At the wall behind")
    pipes: tuple[Pipe, ...] = items(Pipe, "Pipes", "At the wall behind the piece", most=12)
    floor: str = choice("hard", FLOORS, "Floor", "What it stands on")
    wall_left: float = length(2000, 0, 10_000, "Clear at the left", "To the next wall or thing")
    wall_right: float = length(2000, 0, 10_000, "Clear at the right", "To the next wall or thing")
    alcove: Alcove = group(Alcove, "Alcove", "Where the piece is fitted between walls")
    children: bool = flag(True, "Children about", "Reckon with a child on a drawer or door")

    @property
    def stands_off(self) -> float:
        """How far the skirting keeps the piece from the wall, mm."""
        skirting = self.skirting
        return skirting.thickness if skirting.height > 0 and skirting.meets == "stand_off" else 0.0

    def clear_beside(self, width: float) -> tuple[float, float]:
        """What is free at the left and at the right of a carcass of that width, mm."""
        if self.alcove.fitted:
            gap = min(self.alcove.gaps(width))
            return gap, gap
        return self.wall_left, self.wall_right
