"""Fixed panels: fronts that do not move, screwed from inside to fillets on the boards around them."""

from __future__ import annotations

from dataclasses import replace

from ..errors import ParameterError
from ..fastenings import Screw
from ..geometry import FRONT, RIGHT, UP, Vector, negative, plus, vector
from ..model import Opening
from ..piece.fronts import Front
from .bench import Bench
from .carcass import walls_of
from .clearance import is_free, standing_box
from .contents import check_room
from .front_boards import front_members, lay_front, single_board
from .hardware import screw_through
from .setting_out import Rect, SettingOut
from .stiffeners import hanging_into
from .strips import AWAY, EDGE_HOLDS, giving_way, lay_strip, screw_strip, spread

FILLET_WIDTH = 30.0  # mm out from the wall; common practice, no source
FILLET_SHORT = 5.0  # mm that a fillet keeps from the boards at its ends
FROM_WALL = 20.0  # mm from the wall to the screws into the panel, so that they hold 12 and more from its edge
SCREW, PANEL_HOLD = 4.0, 12.0  # diameter, mm held in the panel; common practice, no source
BESIDE = 25.0  # mm between a screw into the wall and one into the panel; common practice, no source
GIVES_WAY = 20.0  # mm that a screw moves where the wall holds something already
LEAST_FILLET = 120.0  # mm long
FITTED = "fillets go on the boards first; the panel is packed to the gaps, then screwed from inside"


def build_fixed(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> list[str]:
    """The panel, its fillets and their screws; the key of the assembly."""
    _check(out, front)
    asked = single_board(out, front, opening, f"{front.id}/panel", "fixed front", face_edge="left")
    parts = lay_front(bench, out, front, asked)
    walls = walls_of(out, out.closed_by(front))
    fillets = [_fillet(bench, out, front, side, walls[side]) for side in _sides(out, front, walls)]
    for side, fillet in fillets:
        _hold(bench, out, front, asked.key, fillet, side)
    bench.assemble(f"{front.id}/front", "fixed front", front_members(bench, asked.key, parts))
    members: list[tuple[str, Vector, int]] = [(fillet, (0.0, 0.0, 0.0), 0) for _, fillet in fillets]
    members.append((f"{front.id}/front", FRONT, 1))
    bench.assemble(front.id, "fixed panel", members, how="screwed", notes=(FITTED,))
    return [front.id]


def _check(out: SettingOut, front: Front) -> None:
    """Nothing can be reached behind a fixed panel."""
    closed = out.closed_by(front)
    for divider in out.dividers:
        if closed.meets(divider.rect):
            what = "an upright" if divider.kind == "upright" else "a fixed shelf"
            raise ParameterError(
                f"{out.path(front)}.closes",
                f'{what} stands behind the fixed panel "{front.id}"; it closes one undivided compartment',
            )
    for leaf in dict.fromkeys(leaf for id in front.closes for leaf in out.layout.within(id)):
        if out.layout.by_id[leaf].holds:
            raise ParameterError(
                f"{out.path_of(leaf)}.holds",
                f'"{leaf}" lies behind the fixed panel "{front.id}", where nothing can be reached; take its contents out',
            )


def _sides(out: SettingOut, front: Front, walls: dict[str, str]) -> tuple[str, ...]:
    """Where fillets go: at both sides, else above and below."""
    for pair in (("left", "right"), ("bottom", "top")):
        if all(side in walls for side in pair):
            return pair
    raise ParameterError(
        f"{out.path(front)}.closes",
        f'the fixed panel "{front.id}" has no boards at two opposite edges to be held by; put an upright or a fixed shelf there',
    )


def _fillet(bench: Bench, out: SettingOut, front: Front, side: str, wall: str) -> tuple[str, str]:
    """One fillet behind the panel against a wall, its length along the wall."""
    thick, key, back, upright = (
        out.side_board.thickness,
        f"{front.id}/fillet.{side}",
        out.y(out.front_f(front)[1]),
        side in ("left", "right"),
    )
    closed = out.closed_by(front)
    if upright:
        closed = replace(closed, top=hanging_into(bench, closed))
    long = round((closed.height if upright else closed.width) - 2 * FILLET_SHORT, 6)
    if long < LEAST_FILLET:
        raise ParameterError(
            f"{out.path(front)}.closes",
            f'a fillet {long:g} mm long is too short to hold the fixed panel "{front.id}"; at least {LEAST_FILLET:g} mm is needed',
        )
    rect = Rect(
        closed.left + FILLET_SHORT * (not upright),
        closed.right - FILLET_SHORT * (not upright),
        closed.bottom + FILLET_SHORT * upright,
        closed.top - FILLET_SHORT * upright,
    )
    lay_strip(bench, out, key, "fillet", side, rect, back, (FILLET_WIDTH, thick))
    check_room(bench, f"{out.path(front)}.closes", [key], f'"{front.id}"')
    y = min(max(back + thick / 2, -out.depth + EDGE_HOLDS), back + thick - SCREW)  # not out at the fillet's back
    low = {
        "left": (closed.left, rect.bottom),
        "right": (closed.right, rect.bottom),
        "bottom": (rect.left, closed.bottom),
        "top": (rect.left, closed.top),
    }[side]
    screw_strip(bench, f"{out.path(front)}.closes", key, wall, side, vector(low[0], y, low[1]), long, FILLET_WIDTH)
    return side, key


def _hold(bench: Bench, out: SettingOut, front: Front, key: str, fillet: str, side: str) -> None:
    """Screws from inside through a fillet into the back of the panel, or of a true frame's member."""
    away, upright = negative(AWAY[side]), side in ("left", "right")
    member = {"left": "stile.left", "right": "stile.right", "bottom": "rail.bottom", "top": "rail.top"}[side]
    holder = f"{key}/{member}" if front.panel.stands_alone else f"{key}/panel"
    low, high = standing_box(bench.parts[fillet])
    room = _reach(bench, holder, FRONT)
    size = screw_through(f"{out.path(front)}.board", SCREW, out.side_board.thickness, min(PANEL_HOLD, room - 4.0), room)
    wall = {"left": low[0], "right": high[0], "bottom": low[2], "top": high[2]}[side]
    names = []
    long = high[2] - low[2] if upright else high[0] - low[0]
    for place in spread(long, BESIDE):
        at = (
            vector(wall + away[0] * FROM_WALL, high[1], low[2] + place)
            if upright
            else vector(low[0] + place, high[1], wall + away[2] * FROM_WALL)
        )
        along = UP if upright else RIGHT
        free = next(
            (
                each
                for each in giving_way(at, along, long / 2 - place)
                if _is_free(bench, fillet, holder, each, size, out.side_board.thickness)
            ),
            None,
        )
        if free is not None:
            names.append(bench.screw(fillet, holder, free, FRONT, size, out.side_board.thickness, "fixed panel screw"))
    if not names:
        raise ParameterError(
            f"{out.path(front)}.panel", f'no screw {size.name} finds room in "{holder}" to hold the fixed panel'
        )
    bench.join(f"{fillet}|{holder}", "screws", fillet, holder, FRONT, tuple(names))


def _is_free(bench: Bench, fillet: str, holder: str, at: Vector, size: Screw, thick: float) -> bool:
    """Whether a screw finds room in the fillet, beside those into the wall, and in the panel."""
    mouth = plus(at, FRONT, thick)
    return is_free(bench, fillet, at, FRONT, size.clearance, thick, 2.0) and is_free(
        bench, holder, mouth, FRONT, size.pilot, size.length - thick + 1.0, 2.0
    )


def _reach(bench: Bench, key: str, along: Vector) -> float:
    part = bench.parts[key]
    own = part.place.own_direction(along)
    return part.size[max(range(3), key=lambda i: abs(own[i]))]


__all__ = ["build_fixed"]
