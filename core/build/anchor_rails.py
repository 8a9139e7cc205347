"""Anchor rails: boards on edge under the top, against the back, through which a piece is held to the wall."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import ParameterError
from ..fastenings import Screw, plug_for
from ..geometry import DOWN, FRONT, LEFT, RIGHT, UP, Placement, plus, vector
from ..units import from_middle
from .bench import Bench
from .clearance import first_free, shifted
from .hardware import LEAST_UNDER_HEAD, PLUG_DEEP, plug_over, screw_through
from .setting_out import Rect, SettingOut

SCREW = (4.0, 22.0)  # diameter, hold; common practice, no source
SCREWS = 3
BESIDE_SCREW = 12.0  # mm between the axes of two screws that cross in one board; common practice, no source
FROM_END = 12.0  # mm between a screw and the end of a rail; common practice, no source
BELOW = 10.0  # mm left free under a rail; common practice, no source
SCREWS_APART = 25.0  # mm at the least between screws into the edge of a rail; common practice, no source
SAME_PLACE = 0.05  # mm within which two places are one: half of the finest step that a place is rounded to
MOVED = 1 / 3  # of a rail's length, at most, that a screw gives way to the dowels of framed sides
KEYS = "carcass/anchor_rail."  # how the keys of the rails begin


@dataclass(frozen=True, slots=True)
class _Screws:
    """What holds a rail to the top: `sunk` is how deep, in mm, the heads lie under plugs, `wide` the widest that is bored for one."""

    size: Screw
    sunk: float
    wide: float


def lay_anchor_rails(bench: Bench, out: SettingOut) -> None:
    """Lay down a rail in every bay under the top, glued to the back and glued and screwed to the top, where rails are wanted."""
    spec = out.piece.carcass.stiffeners
    if not spec.anchor_rails or out.open_top:
        return
    screws = _screws(out)
    for leaf in out.layout.leaves():
        rect = out.rects[leaf.id]
        if rect.top != out.inner.top:
            continue
        if rect.height < spec.anchor_rail_width + BELOW:
            raise ParameterError(
                "carcass.stiffeners.anchor_rail_width",
                f'{spec.anchor_rail_width:g} mm finds no room in "{leaf.id}", {rect.height:g} mm high; use at most {rect.height - BELOW:g} mm',
            )
        _lay(bench, out, f"{KEYS}{leaf.id}", rect, screws)


def _screws(out: SettingOut) -> _Screws:
    """Screws down through the top; their heads are plugged over where the top is seen and thick enough."""
    thick = out.side_board.thickness
    sunk = PLUG_DEEP if out.piece.top.style == "flush" and thick - PLUG_DEEP >= LEAST_UNDER_HEAD else 0.0
    size = screw_through("carcass.board", SCREW[0], thick - sunk, SCREW[1])
    return _Screws(size, sunk, max(size.clearance, plug_for(size.name) if sunk else 0.0))


def _lay(bench: Bench, out: SettingOut, key: str, bay: Rect, screws: _Screws) -> None:
    width = out.piece.carcass.stiffeners.anchor_rail_width
    # on edge against the back: x to the right, y up, face side toward the front
    place = Placement(vector(bay.left, out.back_y, bay.top - width), RIGHT, UP)
    bench.part(
        key,
        "anchor rail",
        out.side_board,
        bay.width,
        width,
        place,
        role="anchor rail",
        finish="inside",
        face_side="front",
        face_edge="upper edge",
        face_edge_high=True,
        surviving_mark="rear face",
        setting="anchor rails",
    )
    names, glued = _screw_down(bench, out, key, bay, screws), bay.width * out.side_board.thickness
    bench.join(f"carcass/top|{key}", "glue and screws", "carcass/top", key, DOWN, tuple(names), glued)
    bench.join(f"carcass/back|{key}", "glue", "carcass/back", key, FRONT, (), bay.width * width)


def _screw_down(bench: Bench, out: SettingOut, key: str, rail: Rect, screws: _Screws) -> list[str]:
    """Screws through the top into the middle of a rail's edge, where they have room; their keys."""
    names: list[str] = []
    stand: list[float] = []
    thick, places = out.side_board.thickness, _screw_places(bench, rail)
    ends = places[:1] + places[-1:]
    if out.framed_sides:  # the ends first, from outside in: what gives way, gives way alike in a mirror image
        places.sort(key=lambda x: (x not in ends, -abs(x), x))
    for x in places:
        at = vector(x, out.back_y - thick / 2, out.outer.top)
        if out.framed_sides:  # whose dowels stand nearer to the back than those of a board
            most = rail.width * MOVED if abs(x) > SAME_PLACE else 0.0  # one in the very middle favours no side
            tried = shifted(at, LEFT if x > 0 else RIGHT, most, 4.0)
            at = first_free(bench, "carcass/top", tried, DOWN, screws.wide, thick, 2.0)
        crowded = x not in ends and at is not None and any(abs(at[0] - each) < SCREWS_APART for each in stand)
        if at is None or crowded:
            continue
        stand.append(at[0])
        if screws.sunk:
            plug_over(bench, "carcass/top", at, DOWN, screws.size, screws.sunk, "anchor rail plug")
        head, through = plus(at, DOWN, screws.sunk), thick - screws.sunk
        names.append(bench.screw("carcass/top", key, head, DOWN, screws.size, through, "anchor rail screw"))
    return names


def _screw_places(bench: Bench, rail: Rect) -> list[float]:
    """Where screws go down into an anchor rail, from left to right; one that would stand too near to the last at an end is left out."""
    reach = rail.width * (SCREWS - 1) / SCREWS
    wanted = [(rail.left + rail.right) / 2 + from_middle(reach, i, SCREWS) for i in range(SCREWS)]
    in_the_way = [
        each.at[0]
        for each in bench.fasteners.values()
        if each.purpose in ("back screw", "back pin") and each.parts[1] == "carcass/top"
    ]
    first, *between, last = (_clear_of(in_the_way, x, rail) for x in wanted)
    ends = {place for place in (first, last) if place is not None}
    inner = {place for place in between if place is not None and all(abs(place - end) >= SCREWS_APART for end in ends)}
    return sorted(ends | inner)


def _clear_of(in_the_way: Sequence[float], x: float, rail: Rect) -> float | None:
    """The place of a screw down into an anchor rail, moved away from the middle of the piece where back screws or pins are in its way.

    Where the rail ends there, it moves toward the middle. None where there is no room, and for one on the very middle,
    which cannot be moved without favouring a side.
    """

    def clear(place: float) -> bool:
        return all(abs(each - place) >= BESIDE_SCREW - SAME_PLACE for each in in_the_way)

    if clear(x):
        return x
    if abs(x) < SAME_PLACE:
        return None
    outward = math.copysign(BESIDE_SCREW, x)
    nearest_first = sorted(
        (each for each in in_the_way if abs(each - x) < BESIDE_SCREW),
        key=lambda each: (round(abs(each - x), 3), -abs(each)),
    )
    places = (round(each + way, 1) for each in nearest_first for way in (outward, -outward))
    return next(
        (place for place in places if rail.left + FROM_END < place < rail.right - FROM_END and clear(place)), None
    )
