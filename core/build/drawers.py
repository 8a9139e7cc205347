"""Drawers: a dowelled box on side-mounted runners behind an inset, planted-on front."""

from __future__ import annotations

from ..errors import ParameterError, blaming, within
from ..fastenings import SCREW_STOPS_SHORT, Dowel, Screw, dowel_for
from ..fittings import FittingEntry, fitting_entries
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ..model import AT_FITTING, Board, Motion, Opening
from ..piece.fronts import Front
from ..units import down_to, from_middle, nearest
from .bench import Bench
from .carcass import row_length, walls_of
from .clearance import is_free, shifted, standing_box
from .fronts import drawer_front, front_members
from .handles import handle_count, handle_places, seat_handle
from .hardware import fitting_for, screw_on, screw_through
from .setting_out import Rect, SettingOut

REAR_ROOM = 10.0  # mm behind a runner; common practice, no source
FRONT_SCREW = (4.0, 10.0)  # diameter, hold in the front; common practice, no source
FRONT_STOPS_SHORT = 4.0  # mm of the front's board left beyond the point; common practice, no source
FRONT_SCREW_MOVES = 60.0  # mm that a screw may be moved along a stile to keep clear of a mortise; common practice, no source
FRONT_SCREW_HOLE = 6.0  # clearance that lets the front be shimmed; common practice, no source
BOTTOM_SCREW, BOTTOM_SCREW_PITCH = (3.0, 7.0), 150.0  # diameter, hold; common practice, no source
CORNER_DOWEL = 25.0  # first and last dowel of a corner from the edges; common practice, no source
CLEAR_OF_GROOVE = 8.0  # wood between dowel and groove; common practice, no source
LEAST_BOX, LEAST_BACK = 50.0, 30.0  # mm inside a box across, and height of a box or its back; common practice, no source
CLEAR_OF_EDGE = 8.0  # mm of wood between a dowel or bolt and an edge; common practice, no source
STAY = (0.0, 0.0, 0.0)


def build_drawer(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> list[str]:
    """The front, the box, the runners; the keys of the assemblies."""
    spec = front.drawer
    walls = _walls(out, front)
    front_parts, front_board, left, bottom, wide, high = drawer_front(bench, out, front, opening)
    runner = _runner(bench, out, front)
    board = out.board(spec.board, f"{out.path(front)}.drawer.board")
    thick = out.front_f(front)[1]  # how far its back lies behind the carcass front; before it where it is overlay
    box = _Box.of(bench, out, front, opening, runner, board, thick)
    parts = _box(bench, out, front, box, board)
    key = front.id
    bench.assemble(f"{key}/front", "drawer front", front_members(bench, f"{key}/front", front_parts))
    away = {"front": (STAY, 0), "back": (STAY, 0), "side.left": (LEFT, 1), "side.right": (RIGHT, 1), "bottom": (BACK, 2)}
    bench.assemble(f"{key}/box", "drawer box", [(f"{key}/box/{name}", *how) for name, how in away.items()], notes=("check the diagonals before the bottom goes in",))
    runners = _runners(bench, out, front, opening, runner, box, thick, walls)
    handles = _handles(bench, out, front, left, wide, box)
    _front_on_box(bench, out, front, box, board, front_board)
    members = [(f"{key}/box", STAY, 0), (f"{key}/front", FRONT, 1), *((handle, FRONT, 2) for handle in handles)]
    members += [(f"{runner_key}/drawer_member", STAY, 0) for runner_key in runners]
    bench.assemble(key, "drawer", members, how="screwed")
    moved = (*front_parts, *parts, *handles, *(f"{key}/drawer_member" for key in runners))
    half = tuple(f"{key}/middle_member" for key in runners)
    bench.motions.append(Motion(key=key, kind="travel", moves=moved, through=vector(0, -out.depth, opening.bottom), axis=FRONT, reach=runner.size("travel"), half=half))
    return [key, *runners]


def _walls(out: SettingOut, front: Front) -> dict[str, str]:
    """The boards around the clear space that a drawer takes; refused where something else is in it."""
    space, path = out.closed_by(front), out.path(front)
    for divider in out.dividers:
        if space.meets(divider.rect):
            what = "an upright" if divider.kind == "upright" else "a fixed shelf"
            raise ParameterError(f"{path}.closes", f'{what} stands in the way of the drawer "{front.id}"; a drawer takes one clear space')
    for leaf in dict.fromkeys(leaf for id in front.closes for leaf in out.layout.within(id)):
        if out.layout.by_id[leaf].holds:
            raise ParameterError(f"{out.path_of(leaf)}.holds", f'"{leaf}" is taken by the drawer "{front.id}"; it can hold nothing else')
    walls = walls_of(out, space)
    for side in ("left", "right"):
        if side not in walls:
            raise ParameterError(f"{path}.closes", f'there is no board at the {side} of the drawer "{front.id}" for its runner; put an upright there')
    return walls


class _Box:
    """The sizes of one drawer box, fixed once."""

    def __init__(self, left: float, right: float, bottom: float, height: float, front_y: float, depth: float) -> None:
        self.left, self.right, self.bottom, self.height = left, right, bottom, height
        self.front_y, self.depth = front_y, depth
        self.rear_y = round(front_y + depth, 6)

    @classmethod
    def of(cls, bench: Bench, out: SettingOut, front: Front, opening: Opening, runner: FittingEntry, board: Board, thick: float) -> "_Box":
        """Width from the opening and the side space, rounded down; height from the opening less what is kept clear."""
        spec = front.drawer
        wide = down_to(opening.width - 2 * runner.size("side_space"), 0.5)
        if wide - 2 * board.thickness < LEAST_BOX:
            raise ParameterError(f"{out.path(front)}.closes", f"the drawer box would be {wide:g} mm wide over sides {board.thickness:g} mm thick; at least {LEAST_BOX + 2 * board.thickness:g} mm is needed")
        above = _hanging_below(bench, opening)
        height = round(opening.height - above - spec.clear_above - spec.clear_below, 6)
        if height < max(LEAST_BOX, runner.size("height") + 5):
            raise ParameterError(f"{out.path(front)}.closes", f"the drawer box would be {height:g} mm high; at least {max(LEAST_BOX, runner.size('height') + 5):g} is needed")
        middle = (opening.left + opening.right) / 2
        return cls(middle - wide / 2, middle + wide / 2, round(opening.bottom + spec.clear_below, 6), height, out.y(thick), runner.size("length"))


def _hanging_below(bench: Bench, opening: Opening) -> float:
    """How far a stiffener hangs into the top of an opening."""
    boxes = [standing_box(part) for part in bench.parts.values() if part.role == "stiffener"]
    lows = [low[2] for low, high in boxes if low[0] < opening.right and opening.left < high[0] and opening.bottom < low[2] < opening.top]
    return max((round(opening.top - low, 6) for low in lows), default=0.0)


def longest_runner(room: float, lengths: list[float]) -> float | None:
    """The longest runner that goes into the clear depth behind a front, with room behind it.

    >>> longest_runner(501, [400, 450, 500])
    450
    """
    fitting = [length for length in lengths if length <= room - REAR_ROOM]
    return max(fitting, default=None)


def _runner(bench: Bench, out: SettingOut, front: Front) -> FittingEntry:
    room = round(row_length(out) - max(out.front_f(front)[1], 0.0) - _at_the_back(bench, out, front), 6)
    if front.drawer.runner:
        entry = fitting_for(f"{out.path(front)}.drawer.runner", front.drawer.runner, "drawer runner")
    else:
        family = [entry for entry in fitting_entries("drawer runner") if "wide" not in entry.id]
        longest = longest_runner(room, [entry.size("length") for entry in family])
        if longest is None:
            raise ParameterError(f"{out.path(front)}.drawer.runner", f"no runner is short enough for {room:g} mm of depth")
        entry = next(each for each in family if each.size("length") == longest)
    if entry.size("length") > room - REAR_ROOM:
        raise ParameterError(
            f"{out.path(front)}.drawer.runner", f"a runner {entry.size('length'):g} mm long needs {entry.size('length') + REAR_ROOM:g} mm behind the front; there are {room:g}"
        )  # fmt: skip
    return entry


def _at_the_back(bench: Bench, out: SettingOut, front: Front) -> float:
    """How much depth an anchor rail behind the drawer takes."""
    space = out.closed_by(front)
    for part in bench.parts.values():
        if part.role == "anchor rail":
            low, high = standing_box(part)
            if space.meets(Rect(low[0], high[0], low[2], high[2])):
                return part.board.thickness
    return 0.0


# ----------------------------------------------------------------------------------------------------------------------- box
def _box(bench: Bench, out: SettingOut, front: Front, box: _Box, board: Board) -> list[str]:
    spec, t, key = front.drawer, board.thickness, f"{front.id}/box"
    bottom_board = out.board(spec.bottom_board, f"{out.path(front)}.drawer.bottom_board")
    if spec.groove_depth > t / 2:
        raise ParameterError(f"{out.path(front)}.drawer.groove_depth", f"{spec.groove_depth:g} mm is more than half of the {t:g} mm sides")
    inside = round(box.right - box.left - 2 * t, 6)
    common = dict(role="drawer box", finish="drawer_boxes", grain="length" if board.material.grained else "any", face_side="inside", face_edge="lower edge", surviving_mark="underside of the groove")
    # sides and ends on edge: y up from the lower edge, face side inside
    left = Placement(vector(box.left, box.front_y, box.bottom), BACK, UP)
    right = Placement(vector(box.right, box.rear_y, box.bottom), FRONT, UP)
    bench.part(f"{key}/side.left", "drawer side, left", board, box.depth, box.height, left, setting="drawer sides", **common)
    bench.part(f"{key}/side.right", "drawer side, right", board, box.depth, box.height, right, setting="drawer sides", **common)
    ends = vector(box.left + t, box.front_y, box.bottom)
    bench.part(f"{key}/front", "drawer box front", board, inside, box.height, Placement(vector(box.right - t, box.front_y, box.bottom), LEFT, UP), setting="drawer ends", **common)
    back_low = round(box.bottom + spec.groove_up + bottom_board.thickness, 6)
    back_high = round(box.height - spec.groove_up - bottom_board.thickness, 6)
    if back_high < LEAST_BACK:
        raise ParameterError(f"{out.path(front)}.drawer.groove_up", f"{spec.groove_up:g} mm and a bottom {bottom_board.thickness:g} mm thick leave {back_high:g} mm of a box {box.height:g} mm high for its back; at least {LEAST_BACK:g} is needed")
    bench.part(f"{key}/back", "drawer box back", board, inside, back_high, Placement(vector(ends[0], box.rear_y, back_low), RIGHT, UP), setting="drawer ends", **common)
    wide = round(inside + 2 * spec.groove_depth - 1.0, 6)
    front_edge = box.front_y + t - spec.groove_depth + 1.0
    deep = round(box.rear_y - front_edge, 6)
    place = Placement(vector(-wide / 2 + (box.left + box.right) / 2, front_edge, box.bottom + spec.groove_up), RIGHT, BACK)
    bench.part(f"{key}/bottom", "drawer bottom", bottom_board, wide, deep, place, role="drawer bottom", finish="drawer_boxes", face_side="up", face_edge="front edge", surviving_mark="underside")
    _grooves(bench, box, spec.groove_up, spec.groove_depth, bottom_board.thickness, t, key)
    with blaming(f"{out.path(front)}.drawer.board"):
        size = dowel_for(t)
    _corners(bench, box, size, t, key, back_low, back_high, spec.groove_up + bottom_board.thickness)
    _bottom_screws(bench, box, out.path(front), key, t, place.origin[2], wide)
    return [f"{key}/bottom", f"{key}/front", f"{key}/back", f"{key}/side.left", f"{key}/side.right"]


def _grooves(bench: Bench, box: _Box, up: float, deep: float, wide: float, t: float, key: str) -> None:
    low, high = box.bottom + up, box.bottom + up + wide
    purpose = f"groove {wide:g} × {deep:g} for the bottom, through"
    for side, face, sign in (("left", box.left + t, -1.0), ("right", box.right - t, 1.0)):
        bench.take_out(f"{key}/side.{side}", "groove", vector(face - sign, box.front_y - 1, low), vector(face + sign * deep, box.rear_y + 1, high), purpose)
        bench.join(f"{key}/side.{side}|{key}/bottom", "groove", f"{key}/side.{side}", f"{key}/bottom", BACK)
    inner = box.front_y + t
    bench.take_out(f"{key}/front", "groove", vector(box.left - 1, inner + 1, low), vector(box.right + 1, inner - deep, high), purpose)
    bench.join(f"{key}/front|{key}/bottom", "groove", f"{key}/front", f"{key}/bottom", BACK)


def _corners(bench: Bench, box: _Box, size: Dowel, t: float, key: str, back_low: float, back_high: float, groove_top: float) -> None:
    edge = CLEAR_OF_EDGE + size.diameter / 2
    front_heights = _corner_places(box.bottom, box.height, groove_top + CLEAR_OF_GROOVE + size.diameter / 2, edge)
    back_heights = _corner_places(back_low, back_high, edge, edge)
    for end, y, heights in (("front", box.front_y + t / 2, front_heights), ("back", box.rear_y - t / 2, back_heights)):
        for side, x, into in (("left", box.left + t, RIGHT), ("right", box.right - t, LEFT)):
            names = [bench.dowel(f"{key}/side.{side}", f"{key}/{end}", vector(x, y, z), into, size, "dowel") for z in heights]
            bench.join(f"{key}/side.{side}|{key}/{end}", "dowels", f"{key}/side.{side}", f"{key}/{end}", into, tuple(names), (heights[-1] - heights[0] + 50) * t)


def _corner_places(low: float, high: float, least: float, edge: float) -> list[float]:
    """Heights of the dowels of a corner `high` mm high whose lowest place is `least` above `low`, in the piece."""
    first, last = max(CORNER_DOWEL, least), high - CORNER_DOWEL
    if last - first < 20:
        return [round(low + (least + high - edge) / 2, 1)]
    if high < 90:
        return [round(low + first, 1), round(low + last, 1)]
    return [round(low + first, 1), round(low + (first + last) / 2, 1), round(low + last, 1)]


def _bottom_screws(bench: Bench, box: _Box, path: str, key: str, t: float, underside: float, wide: float) -> None:
    board, room = bench.parts[f"{key}/bottom"].board, bench.parts[f"{key}/back"].size[1]
    size = screw_through(f"{path}.drawer.bottom_board", BOTTOM_SCREW[0], board.thickness, BOTTOM_SCREW[1], room)
    count = max(2, int(wide // BOTTOM_SCREW_PITCH) + 1)
    middle, free = (box.left + box.right) / 2, wide - min(120.0, wide / 2)
    names = [
        bench.screw(f"{key}/bottom", f"{key}/back", vector(middle + from_middle(free, i, count), box.rear_y - t / 2, underside), UP, size, board.thickness, "bottom screw")
        for i in range(count)
    ]
    bench.join(f"{key}/back|{key}/bottom", "screws", f"{key}/back", f"{key}/bottom", DOWN, tuple(names))


# ------------------------------------------------------------------------------------------------- runners, front and handles
def runner_height(box_bottom: float, box_height: float) -> float:
    """Height of the runners' centre: half way up the box; common practice, no source."""
    return round(box_bottom + box_height / 2, 1)


def _runners(bench: Bench, out: SettingOut, front: Front, opening: Opening, runner: FittingEntry, box: _Box, thick: float, walls: dict[str, str]) -> list[str]:
    height = runner_height(box.bottom, box.height)
    y = out.y(thick + runner.size("set_back_inset") if front.lay == "inset" else runner.size("set_back_overlay"))
    made = []
    space = out.closed_by(front)
    for side, x, inward in (("left", space.left, RIGHT), ("right", space.right, LEFT)):
        key = f"{front.id}/runner.{side}"
        bench.fit(key, runner, Placement(vector(x, y, height), inward, BACK), (walls[side], f"{front.id}/box/side.{side}"))
        screw_on(bench, key, {"carcass": walls[side], "drawer": f"{front.id}/box/side.{side}"})
        made.append(key)
    return made


def _front_on_box(bench: Bench, out: SettingOut, front: Front, box: _Box, board: Board, front_board: Board) -> None:
    """Two screws, or four in a high box, from inside; moved toward the middle where a handle's bolt is in the way."""
    t, path = board.thickness, out.path(front)
    size = screw_through(f"{path}.drawer.board", FRONT_SCREW[0], t, FRONT_SCREW[1], front_board.thickness - FRONT_STOPS_SHORT + SCREW_STOPS_SHORT)
    names: dict[str, list[str]] = {}
    heights = _front_screw_heights(box, front.drawer.groove_up + bench.parts[f"{front.id}/box/bottom"].board.thickness)
    places = [(_from_side(bench, f"{front.id}/box/front", box, t, z), z) for z in heights]
    for inward, x in ((RIGHT, box.left + t), (LEFT, box.right - t)):
        holder, in_stile = _front_holder(bench, out, front, box, t, inward)
        for number, (start, z) in enumerate(places):
            at = vector(x + inward[0] * (start if in_stile is None else in_stile), box.front_y + t, z)
            if in_stile is not None:
                at = _clear_of_mortises(bench, out, front, holder, at, DOWN if number else UP, size, t)
            bench.bore(f"{front.id}/box/front", at, FRONT, FRONT_SCREW_HOLE, t, "clearance for the front's screw, washer under the head", AT_FITTING)
            mouth = vector(at[0], box.front_y, at[2])
            bench.bore(holder, mouth, FRONT, size.pilot, size.length - t + 1.0, f"pilot for screw {size.name}", AT_FITTING)
            made = bench.fasten("screw", f"screw {size.name}", size.diameter, size.length, at, FRONT, (f"{front.id}/box/front", holder), "drawer front screw", AT_FITTING)
            names.setdefault(holder, []).append(made)
    for holder, screws in names.items():
        bench.join(f"{front.id}/box/front|{holder}", "screws", f"{front.id}/box/front", holder, FRONT, tuple(screws))


def _front_holder(bench: Bench, out: SettingOut, front: Front, box: _Box, t: float, inward: Vector) -> tuple[str, float | None]:
    """What the front's screws hold in at one side: the board, or a true frame's stile, and how far they stand in from the box's side there."""
    if not front.panel.stands_alone:
        return f"{front.id}/front/panel", None
    side = "left" if inward == RIGHT else "right"
    low, high = standing_box(bench.parts[f"{front.id}/front/stile.{side}"])
    reach = (high[0] - (box.left + t)) if side == "left" else (box.right - t) - low[0]
    clear = reach - front.panel.channel_depth()
    if clear < 2 * CLEAR_OF_EDGE:
        least = front.panel.stile_width + 2 * CLEAR_OF_EDGE - clear
        raise ParameterError(f"{out.path(front)}.panel.stile_width", f"{front.panel.stile_width:g} mm reaches {max(clear, 0):.1f} mm behind the box for the front's screws; use at least {least:.1f} mm")
    return f"{front.id}/front/stile.{side}", round(clear / 2, 1)


def _clear_of_mortises(bench: Bench, out: SettingOut, front: Front, stile: str, wanted: Vector, way: Vector, size: Screw, t: float) -> Vector:
    """The place nearest to the wanted one, `way` first, where a front's screw is clear of what is cut in the stile and the box front."""
    for at in shifted(wanted, way, FRONT_SCREW_MOVES):
        mouth = vector(at[0], at[1] - t, at[2])
        if is_free(bench, stile, mouth, FRONT, size.pilot, size.length - t + 1.0, 2.0) and is_free(bench, f"{front.id}/box/front", at, FRONT, FRONT_SCREW_HOLE, t, 4.0):
            return at
    raise ParameterError(f"{out.path(front)}.panel.tenons", f'"{front.panel.tenons}" tenons leave no room for the front\'s screws within {FRONT_SCREW_MOVES:g} mm of where they are wanted; use stub tenons or a higher front')


def _from_side(bench: Bench, key: str, box: _Box, t: float, z: float) -> float:
    """How far from both sides a screw of the front sits: an eighth of the width, or the nearest inward where both are free."""
    wide = box.right - box.left - 2 * t
    start = round(wide * 0.12, 1)
    for more in range(int(max(0.0, min(40.0, wide / 2 - start - FRONT_SCREW_HOLE)))):
        both = [vector(x, box.front_y + t, z) for x in (box.left + t + start + more, box.right - t - start - more)]
        if all(is_free(bench, key, at, FRONT, FRONT_SCREW_HOLE, t, 4.0) for at in both):
            return start + more
    return start


def _front_screw_heights(box: _Box, groove_top: float) -> tuple[float, ...]:
    low, high = box.bottom + max(45.0, groove_top + 12.0), box.bottom + box.height - 30.0
    return (round(low, 1), round(high, 1)) if high - low >= 25.0 else (round((box.bottom + groove_top + box.bottom + box.height) / 2, 1),)


def _handles(bench: Bench, out: SettingOut, front: Front, left: float, wide: float, box: _Box) -> list[str]:
    """Knobs or pulls on the middle height of the front, bolted through front and box."""
    if not front.handle:
        return []
    path = out.path(front)
    entry = fitting_for(f"{path}.handle", front.handle, "knob", "pull")
    count = handle_count(front, wide)
    parts = [key for key in bench.parts if key.startswith(f"{front.id}/front/")]
    low, high = (min(standing_box(bench.parts[key])[0][2] for key in parts), max(standing_box(bench.parts[key])[1][2] for key in parts))
    z = nearest((low + high) / 2, out.finest)
    reach = entry.sizes.get("overall", entry.sizes.get("diameter", 0.0)) / 2
    shown = front.panel.stile_shown(lambda id: out.board(id, f"{path}.panel.board"))
    with within(f"{path}.panel"):
        beside = front.panel.field_depth(lambda id: out.board(id, f"{path}.panel.board"))  # a bevel takes no more than the strip's thickness
    made = []
    for name, place in zip(("left", "right") if count == 2 else ("middle",), handle_places(wide, count)):
        if min(place, wide - place) < reach + shown + beside or (count == 2 and wide - 2 * min(place, wide - place) < 2 * reach):
            raise ParameterError(f"{path}.handle", f'"{front.handle}", {2 * reach:g} mm wide, finds no room {place:g} mm from the left of a front {wide:g} mm wide')
        strip = _strip_at(bench, out, front, entry, left + place, z)
        if front.panel.stands_alone and not strip:  # a loose panel holds no handle: up on to the top rail
            low, high = standing_box(bench.parts[f"{front.id}/front/rail.top"])
            z = nearest((low[2] + high[2]) / 2, out.finest)
            strip = _strip_at(bench, out, front, entry, left + place, z)
        deep = 0.0 if strip else beside
        seat = vector(left + place, out.y(out.front_f(front)[0] + deep), z)
        key = f"{front.id}/pull.{name}" if count == 2 else f"{front.id}/pull"
        board = [] if front.panel.stands_alone else [f"{front.id}/front/panel"]
        through = [*strip, *board, *_box_front_at(bench, out, front, box, z, entry)]
        with blaming(f"{path}.handle"):
            made.append(seat_handle(bench, out, key, entry, seat, through, RIGHT, "pull bolt", front.id))
    return made


def _strip_at(bench: Bench, out: SettingOut, front: Front, entry: FittingEntry, x: float, z: float) -> list[str]:
    """The planted rail or muntin that a handle sits on, where there is one; refused where it would sit astride an edge."""
    reach = entry.sizes.get("overall", entry.sizes.get("diameter", 0.0)) / 2
    rise = entry.sizes.get("width", 2 * reach) / 2
    for part in bench.parts.values():
        if part.role in ("rail", "muntin") and part.key.startswith(f"{front.id}/front/"):
            low, high = standing_box(part)
            if low[0] < x + reach and x - reach < high[0] and low[2] < z + rise and z - rise < high[2]:
                if x - reach < low[0] or high[0] < x + reach or z - rise < low[2] or high[2] < z + rise:
                    raise ParameterError(f"{out.path(front)}.handle", f'"{front.handle}", {2 * reach:g} mm wide and {2 * rise:g} mm high, would sit astride the edge of a {part.role}; use another size, or move the {part.role}s')
                return [part.key]
    return []


def _box_front_at(bench: Bench, out: SettingOut, front: Front, box: _Box, z: float, entry: FittingEntry) -> list[str]:
    """The front of the box where a handle's bolts go through it; none where they pass above or below."""
    room = CLEAR_OF_EDGE + entry.size("bolt_hole") / 2
    low = box.bottom + front.drawer.groove_up + bench.parts[f"{front.id}/box/bottom"].board.thickness + room
    high = box.bottom + box.height - room
    if low <= z <= high:
        return [f"{front.id}/box/front"]
    if box.bottom - room < z < high + 2 * room:
        raise ParameterError(f"{out.path(front)}.handle", f"its bolts, {z:g} mm above the floor, meet the edge or the groove of the box front, which is clear from {low:g} to {high:g} mm")
    return []
