"""Strips screwed to the boards around an opening: fillets behind a fixed panel, stops behind a door."""

from __future__ import annotations

from collections.abc import Iterator

from ..errors import ParameterError
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, negative, plus, vector
from ..model import Part
from ..units import from_middle
from .bench import Bench
from .clearance import first_free, shifted
from .hardware import screw_through
from .setting_out import Rect, SettingOut

AWAY: dict[str, Vector] = {"left": LEFT, "right": RIGHT, "bottom": DOWN, "top": UP}  # from an opening toward its boards
SCREW, HOLD = 4.0, 12.0  # diameter, mm held in the board; common practice, no source
SCREWS_APART, FROM_END = 300.0, 40.0  # mm; common practice, no source
GIVES_WAY = 20.0  # mm that a screw moves where the board holds something already
EDGE_HOLDS = 12.1  # mm from a screw to a board's edge, so that MDF holds it; European MDF industry guide (mdf-info.eu)


def lay_strip(
    bench: Bench, out: SettingOut, key: str, name: str, side: str, rect: Rect, front_y: float, size: tuple[float, float]
) -> Part:
    """A strip of the carcass's board along one side of a rectangle of the elevation, `size` (out from the board, front to back)."""
    board, away = out.side_board, negative(AWAY[side])
    upright, deep = side in ("left", "right"), size[1]
    along = UP if upright else RIGHT
    long = round(rect.height if upright else rect.width, 6)
    low = {
        "left": (rect.left, rect.bottom),
        "right": (rect.right, rect.bottom),
        "bottom": (rect.left, rect.bottom),
        "top": (rect.left, rect.top),
    }[side]
    common = dict(
        role=name,
        finish="inside",
        grain="length" if board.material.grained else "any",
        face_edge="against the board",
        surviving_mark="edge against the board",
        setting=f"{name}s",
    )
    if deep == board.thickness:  # its width stands out from the board
        forward = Placement((0.0, 0.0, 0.0), along, away).z == FRONT
        place = Placement(vector(low[0], front_y + deep if forward else front_y, low[1]), along, away)
        return bench.part(key, name, board, long, size[0], place, face_side="front" if forward else "back", **common)
    inward = Placement((0.0, 0.0, 0.0), along, BACK).z == away
    place = Placement(vector(low[0], front_y if inward else front_y + deep, low[1]), along, BACK if inward else FRONT)
    return bench.part(key, name, board, long, deep, place, face_side="away from the board", **common)


def screw_strip(
    bench: Bench, path: str, key: str, wall: str, side: str, low: Vector, long: float, through: float
) -> None:
    """Screws through a strip into its board; `low` is the place at its lower or left end where they would stand, on the board's face."""
    toward, along = AWAY[side], UP if side in ("left", "right") else RIGHT
    part = bench.parts[wall]
    own = part.place.own_direction(toward)
    size = screw_through("carcass.board", SCREW, through, HOLD, part.size[max(range(3), key=lambda i: abs(own[i]))])
    names = []
    for place in spread(long):
        at = first_free(
            bench,
            wall,
            giving_way(plus(low, along, place), along, long / 2 - place),
            toward,
            size.pilot,
            size.length - through + 1.0,
            gap=2.0,
        )
        if at is not None:
            names.append(
                bench.screw(
                    key,
                    wall,
                    plus(at, negative(toward), through),
                    toward,
                    size,
                    through,
                    f"{part_name(bench, key)} screw",
                )
            )
    if not names:
        raise ParameterError(
            path,
            f'no screw {size.name} of "{key}" finds room in "{wall}"; what it holds at its other side is in the way',
        )
    bench.join(f"{wall}|{key}", "screws", wall, key, negative(toward), tuple(names))


def giving_way(at: Vector, along: Vector, to_middle: float) -> Iterator[Vector]:
    """A place and those it may give way to: along a level strip toward its middle before away from it, so that mirror images stay so."""
    if along == UP:
        return shifted(at, along, GIVES_WAY, 2.0)
    if abs(to_middle) <= 0.05:  # at both sides alike: there is no way to give
        return iter([at])
    return shifted(at, along if to_middle > 0 else negative(along), GIVES_WAY, 2.0)


def part_name(bench: Bench, key: str) -> str:
    """What a part is called."""
    return bench.parts[key].name


def spread(long: float, aside: float = 0.0) -> list[float]:
    """Places along a strip, the first and the last 40 from its ends and so far aside from others; in the middle of a short one."""
    free = long - 2 * (FROM_END + aside)
    if free < SCREWS_APART / 10:
        return [long / 2]
    count = max(2, -int(-free // SCREWS_APART) + 1)
    return [long / 2 + from_middle(free, i, count) for i in range(count)]


__all__ = ["AWAY", "EDGE_HOLDS", "giving_way", "lay_strip", "screw_strip", "spread"]
