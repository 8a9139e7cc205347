"""Where a drawer goes: the clear space it takes, in the face of the piece or behind a door, packed out past the open door."""

from __future__ import annotations

import itertools
import math

from ...errors import ParameterError
from ...fastenings import Screw
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, plus, vector
from ...model import Body, Motion, Opening
from ...piece.fronts import Front
from ..bench import Bench
from ..carcass import row_length, walls_of
from ..clearance import is_free, near, shifted, standing_box
from ..contents import around
from ..hanging import boxes_on
from ..hardware import fitting_for, screw_through
from ..rows import row_places
from ..setting_out import Rect, SettingOut
from ..stiffeners import hanging_into
from .values import DrawerPlace

OPEN = 90.0  # degrees to which a door must open for the drawers behind it; common practice, no source
UNDER_BRACKET = 6.0  # mm over a box, for a bracket 3 thick and the heads of its screws; common practice, no source
CLEAR_OF_DOOR = 5.0  # mm beside an open door, and behind a shut one; common practice, no source
PACK_SCREW = (4.0, 15.0)  # diameter, hold; common practice, no source
PACK_SCREWS_APART, PACK_FROM_END, PACK_FROM_EDGE = 200.0, 40.0, 25.0  # mm; common practice, no source
# mm between the screws of two layers; that one gives way; of wood beside it
PACK_STAGGER, PACK_GIVES_WAY, PACK_CLEAR = 12.0, 40.0, 3.0


def place_of(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> DrawerPlace:
    """The clear space of a drawer; refused where something else is in it or nothing stands beside it."""
    space, path = out.closed_by(front), out.path(front)
    _check_clear(out, front, space)
    walls = dict(walls_of(out, space))
    for side in ("left", "right"):
        if side not in walls:
            raise ParameterError(
                f"{path}.closes",
                f'there is no board at the {side} of the drawer "{front.id}" for its runner; put an upright there',
            )
    rails = {side: walls.pop(side) for side in ("bottom", "top") if _is_rail(bench, walls.get(side, ""))}
    face, behind = out.front_f(front)
    rail_depth = max((standing_box(bench.parts[key])[1][1] + out.depth for key in rails.values()), default=0.0)
    at_the_back = _at_the_back(bench, space)
    if (
        at_the_back and front.drawer.clear_above < UNDER_BRACKET
    ):  # a wall bracket is screwed up under the top before the anchor rail
        raise ParameterError(
            f"{path}.drawer.clear_above",
            f"{front.drawer.clear_above:g} mm is too little over a drawer that runs under a wall bracket; keep at least {UNDER_BRACKET:g} mm, or do without anchor rails",
        )
    room = round(row_length(out) - max(behind, 0.0) - at_the_back, 6)
    above = round(opening.top - hanging_into(bench, opening), 6)
    place = DrawerPlace(
        front=front, path=path, space=space, opening=opening, walls=walls, rails=rails, rail_depth=round(rail_depth, 6), face=face, behind=behind, room=room, above=above
    )  # fmt: skip
    return _packed_out(bench, out, place) if front.is_inner else place


def set_in_drawers(out: SettingOut) -> None:
    """Note how far behind the carcass the fronts of drawers stand that stops or doors before them keep back."""
    for front in out.piece.fronts:
        if front.kind == "drawer" and front.lay == "inset":
            before = _behind_door(out, front) if front.is_inner else 0.0
            out.set_in[front.id] = round(before + front.drawer.runs_on.face(), 6)
        elif front.is_inner:
            raise ParameterError(
                f"{out.path(front)}.lay", f'a drawer behind a door is inset, not "{front.lay}" overlay'
            )


def _behind_door(out: SettingOut, front: Front) -> float:
    """Where the face of a drawer behind a door stands: its handle clear of the shut door."""
    return max(out.front_f(door_of(out, front))[1], 0.0) + CLEAR_OF_DOOR + _handle_stands(out, front)


def _handle_stands(out: SettingOut, front: Front) -> float:
    """How far a knob or pull stands before the front that it is on."""
    if not front.handle:
        return 0.0
    entry = fitting_for(f"{out.path(front)}.handle", front.handle, "knob", "pull")
    return max(_foremost(body) for body in entry.bodies_for())


def _foremost(body: Body) -> float:
    """How far a body of a handle reaches along x, away from what it is on."""
    axis = max(range(3), key=lambda i: abs(body.high[i] - body.low[i]))
    if body.form == "block" or axis == 0:
        return max(body.low[0], body.high[0])
    # a bar along y has its outline in (z, x), along z in (x, y); a turned one its radii second
    place = 1 if body.form == "turned" or axis == 1 else 0
    return body.low[0] + max(point[place] for point in body.outline)


def door_of(out: SettingOut, front: Front) -> Front:
    """The door or pair that a drawer lies behind."""
    mine = {leaf for id in front.closes for leaf in out.layout.within(id)}
    for other in out.piece.fronts:
        if other.kind in ("door", "pair") and mine <= {leaf for id in other.closes for leaf in out.layout.within(id)}:
            return other
    raise ParameterError(
        f"{out.path(front)}.drawer.behind_door",
        f'no door closes what the drawer "{front.id}" closes; put one before it, or let the drawer close in the face of the piece',
    )


def check_behind_doors(bench: Bench, out: SettingOut) -> None:
    """Refuse a drawer behind a door that runs into what else is there: a catch, a mirror, a hook, another drawer."""
    for front in out.piece.fronts:
        if not front.is_inner:
            continue
        mine = {key: standing_box(part) for key, part in bench.parts.items() if key.startswith(f"{front.id}/")}
        others = [
            (key, around(part))
            for key, part in bench.parts.items()
            if key not in mine and not key.startswith("carcass/")
        ]
        others += [
            (key, box) for key in bench.fittings if not key.startswith(f"{front.id}/") for box in boxes_on(bench, key)
        ]
        for other, there in others:
            if any(near(box, there, -0.01) for box in mine.values()):
                raise ParameterError(
                    f"{out.path(front)}.closes",
                    f'the drawer "{front.id}" behind a door would run into "{other}"; take that away, or leave room for it',
                )


def _check_clear(out: SettingOut, front: Front, space: Rect) -> None:
    path = out.path(front)
    for divider in out.dividers:
        if space.meets(divider.rect):
            what = {"upright": "an upright", "shelf": "a fixed shelf"}.get(divider.kind, f"a {divider.kind}")
            raise ParameterError(
                f"{path}.closes", f'{what} stands in the way of the drawer "{front.id}"; a drawer takes one clear space'
            )
    for leaf in dict.fromkeys(leaf for id in front.closes for leaf in out.layout.within(id)):
        if out.layout.by_id[leaf].holds:
            raise ParameterError(
                f"{out.path_of(leaf)}.holds", f'"{leaf}" is taken by the drawer "{front.id}"; it can hold nothing else'
            )


def _is_rail(bench: Bench, key: str) -> bool:
    return key in bench.parts and bench.parts[key].role == "drawer rail"


def _at_the_back(bench: Bench, space: Rect) -> float:
    """How much depth an anchor rail behind the drawer takes."""
    for part in bench.parts.values():
        if part.role == "anchor rail":
            low, high = standing_box(part)
            if space.meets(Rect(low[0], high[0], low[2], high[2])):
                return part.board.thickness
    return 0.0


# ----------------------------------------------------------------------------------------------------------- behind a door
def intrusion(bench: Bench, door: Motion, wall: float, inward: Vector, rise: tuple[float, float]) -> float:
    """How far a door open at 90° stands into the opening past the wall that it hangs on, within a rise of heights.

    By hand, an inset door 18 thick on butt hinges, the gap 2.5, the pin 3.5 before its face: 1.25 + 3.5 + 18 = 22.75. Source:
    geometry, the boxes of all that swings turned about the pin.
    """
    angle = math.radians(min(OPEN, door.reach)) * (1 if door.axis[2] > 0 else -1)
    cos, sin = math.cos(angle), math.sin(angle)
    reach = 0.0
    for (a, b, low), (c, d, high) in (box for key in door.moves for box in boxes_on(bench, key)):
        if high <= rise[0] or rise[1] <= low:
            continue
        for x, y in itertools.product((a, c), (b, d)):
            turned = door.through[0] + (x - door.through[0]) * cos - (y - door.through[1]) * sin
            reach = max(reach, (turned - wall) * inward[0])
    return round(reach, 6)


def _packed_out(bench: Bench, out: SettingOut, place: DrawerPlace) -> DrawerPlace:
    """The place between packs that bring the drawer clear of the open door, its hinges and its stop strip, its front behind the shut one."""
    door = door_of(out, place.front)
    closed = out.closed_by(door)
    at_door = {"left": place.space.left == closed.left, "right": place.space.right == closed.right}
    into = {side: _into(bench, place, door, side) if at_door[side] else 0.0 for side in ("left", "right")}
    left, right = (_pack(bench, out, place, side, into[side]) if into[side] else 0.0 for side in ("left", "right"))
    space = Rect(
        round(place.space.left + left, 6), round(place.space.right - right, 6), place.space.bottom, place.space.top
    )
    opening = Opening(
        key=place.opening.key, name=place.opening.name, left=round(place.opening.left + left, 6), right=round(place.opening.right - right, 6), bottom=place.opening.bottom,
        top=place.opening.top, front=out.y(place.face),
    )  # fmt: skip
    walls = dict(place.walls)
    for side, packed in (("left", left), ("right", right)):
        if packed:
            walls[side] = max(key for key in bench.parts if key.startswith(f"{place.front.id}/pack.{side}."))
    if opening.right - opening.left < 1.0:
        raise ParameterError(
            f"{place.path}.closes",
            f"packs {left:g} and {right:g} mm thick leave nothing of an opening {place.opening.width:g} mm wide behind the door",
        )
    return DrawerPlace(
        front=place.front, path=place.path, space=space, opening=opening, walls=walls, rails=place.rails, rail_depth=place.rail_depth, face=place.face, behind=place.behind,
        room=place.room, above=place.above,
    )  # fmt: skip


def _into(bench: Bench, place: DrawerPlace, door: Front, side: str) -> float:
    """How far the open door, or the strip that it stops on, stands into the drawer's way past the wall at a side; 0 where nothing does."""
    wall, inward = (place.space.left, RIGHT) if side == "left" else (place.space.right, LEFT)
    rise = place.space.bottom, place.space.top
    swing = next((each for each in bench.motions if each.key == f"{door.id}/leaf.{side}"), None)
    if swing and (door.kind == "pair" or door.hanging.hand == side):
        return intrusion(bench, swing, wall, inward, rise)
    if door.hanging.stop_strip != "side":
        return 0.0
    strips = [
        standing_box(part)
        for key, part in bench.parts.items()
        if key.startswith(f"{door.id}/leaf.{door.hanging.hand}/stop")
    ]
    beside = [(low, high) for low, high in strips if low[2] < rise[1] and rise[0] < high[2]]
    return round(max((abs((high if side == "left" else low)[0] - wall) for low, high in beside), default=0.0), 6)


def _pack(bench: Bench, out: SettingOut, place: DrawerPlace, side: str, into: float) -> float:
    """Layers of board on a wall that something at the door stands past by `into`, from behind the drawer's front to the back; how thick they are."""
    field = f"{place.path}.drawer.pack_board"
    board = out.board(place.front.drawer.pack_board, field)
    layers = max(1, math.ceil((into + CLEAR_OF_DOOR - place.front.gaps.side) / board.thickness - 1e-9))
    inward: Vector = RIGHT if side == "left" else LEFT
    wall = place.space.left if side == "left" else place.space.right
    front, rear = out.y(place.behind + 1.0), out.y(place.behind + place.room)
    long, high = round(rear - front, 6), round(place.space.top - place.above - place.space.bottom, 6)
    if long < 4 * PACK_FROM_END or high < 2 * PACK_FROM_EDGE + 10.0:
        raise ParameterError(
            f"{place.path}.closes",
            f"a pack {long:g} mm long and {high:g} mm high is too small to be screwed on; at least {4 * PACK_FROM_END:g} by {2 * PACK_FROM_EDGE + 10:g}",
        )
    for number in range(1, layers + 1):
        x = round(wall + inward[0] * board.thickness * (number - 1), 6)
        at = (
            Placement(vector(x, front, place.space.bottom), BACK, UP)
            if side == "left"
            else Placement(vector(x, rear, place.space.bottom), FRONT, UP)
        )
        key = f"{place.front.id}/pack.{side}.{number}"
        bench.part(
            key, f"pack, {side}", board, long, high, at, role="pack", finish="inside", grain="length" if board.material.grained else "any", face_side="inside", face_edge="upper edge",
            face_edge_high=True, setting="packs", surviving_mark="against the wall",
        )  # fmt: skip
    return round(layers * board.thickness, 6)


def fix_packs(bench: Bench, out: SettingOut, place: DrawerPlace, runners: tuple[str, ...]) -> list[str]:
    """Screw the packs to the wall, layer by layer, beside the screws of the runners; what of packs and runners goes to the walls."""
    behind, kept = walls_of(out, out.closed_by(place.front)), list(runners)
    for side, inward in (("left", RIGHT), ("right", LEFT)):
        layers = [key for key in bench.parts if key.startswith(f"{place.front.id}/pack.{side}.")]
        if not layers:
            continue
        for number, (holder, key) in enumerate(zip([behind[side], *layers], layers)):
            _fix_pack(bench, f"{place.path}.drawer.pack_board", holder, key, inward, number)
        on_it = [key for key in runners if key.endswith(f".{side}")]
        members = [(key, inward, number) for number, key in enumerate([*layers, *on_it])]
        bench.assemble(f"{place.front.id}/packs.{side}", f"packing, {side}", members, how="screwed")
        kept = [f"{place.front.id}/packs.{side}", *(key for key in kept if key not in on_it)]
    return kept


def _fix_pack(bench: Bench, field: str, holder: str, key: str, inward: Vector, number: int) -> None:
    """Screws from the inner face of a pack into what it lies on, by turns low and high."""
    pack, out = bench.parts[key], (-inward[0], 0.0, 0.0)
    (low, high), thick = standing_box(pack), pack.board.thickness
    size = screw_through(field, PACK_SCREW[0], thick, PACK_SCREW[1], bench.parts[holder].board.thickness)
    names = []
    for index, along in enumerate(row_places(pack.size[0], PACK_FROM_END, PACK_SCREWS_APART)):
        z, toward = (low[2] + PACK_FROM_EDGE, UP) if index % 2 == number % 2 else (high[2] - PACK_FROM_EDGE, DOWN)
        head = vector(high[0] if inward[0] > 0 else low[0], low[1] + along + PACK_STAGGER * number, z)
        free = (
            at for at in shifted(head, toward, PACK_GIVES_WAY, 2.0) if _takes(bench, key, holder, at, out, size, thick)
        )
        at = next(free, None)
        if at is None:
            raise ParameterError(
                field,
                f'a screw {size.name} finds no room in "{key}" within {PACK_GIVES_WAY:g} mm of where it is wanted; other holes are in the way',
            )
        names.append(bench.screw(key, holder, at, out, size, thick, "pack screw"))
    bench.join(f"{holder}|{key}", "screws", holder, key, inward, tuple(names))


def _takes(bench: Bench, key: str, holder: str, at: Vector, out: Vector, size: Screw, thick: float) -> bool:
    """Whether a screw has room in a pack and in what is behind it."""
    return is_free(bench, key, at, out, size.clearance, thick, PACK_CLEAR) and is_free(
        bench, holder, plus(at, out, thick), out, size.pilot, size.length - thick + 1.0, PACK_CLEAR
    )


__all__ = ["CLEAR_OF_DOOR", "check_behind_doors", "door_of", "fix_packs", "intrusion", "place_of", "set_in_drawers"]
