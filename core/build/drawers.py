"""Drawers: a dowelled box on side-mounted runners behind an inset, planted-on front."""

from __future__ import annotations

from ..errors import ParameterError, blaming
from ..fastenings import Dowel, dowel_for, screw
from ..fittings import FittingEntry, fitting_entries
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, vector
from ..model import AT_FITTING, Board, Motion, Opening
from ..piece.fronts import Front
from ..units import down_to, nearest
from .bench import Bench
from .carcass import row_length, walls_of
from .fronts import drawer_front, front_thickness, handle_count, handle_places, seat_handle
from .hardware import fitting_for, screw_on
from .setting_out import SettingOut

REAR_ROOM = 10.0  # mm behind a runner; common practice, no source
FRONT_SCREW = "4 × 25"
FRONT_SCREW_HOLE = 6.0  # clearance that lets the front be shimmed; common practice, no source
BOTTOM_SCREW, BOTTOM_SCREW_PITCH = "3 × 16", 150.0
CORNER_DOWEL = 25.0  # first and last dowel of a corner from the edges; common practice, no source
CLEAR_OF_GROOVE = 8.0  # wood between dowel and groove; common practice, no source
LEAST_BOX = 50.0
STAY = (0.0, 0.0, 0.0)


def build_drawer(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> list[str]:
    """The front, the box, the runners; the keys of the assemblies."""
    spec = front.drawer
    front_parts, front_board, left, bottom, wide, high = drawer_front(bench, out, front, opening)
    runner = _runner(out, front)
    board = out.board(spec.board, f"{out.path(front)}.drawer.board")
    thick = front_thickness(out, front)
    box = _Box.of(bench, out, front, opening, runner, board, thick)
    parts = _box(bench, out, front, box, board)
    key = front.id
    bench.assemble(f"{key}/front", "drawer front", [(part, FRONT, min(i, 1)) for i, part in enumerate(front_parts)])
    away = {"bottom": (STAY, 0), "front": (FRONT, 1), "back": (BACK, 1), "side.left": (LEFT, 2), "side.right": (RIGHT, 2)}
    bench.assemble(f"{key}/box", "drawer box", [(part, *away[part.rsplit("/", 1)[-1]]) for part in parts], notes=("check the diagonals before the bottom goes in",))
    runners = _runners(bench, out, front, opening, runner, box, thick)
    _front_on_box(bench, front, box, board, front_board)
    handles = _handles(bench, out, front, left, bottom, wide, high, board, front_board)
    members = [(f"{key}/box", STAY, 0), (f"{key}/front", FRONT, 1), *((handle, FRONT, 2) for handle in handles)]
    members += [(f"{runner_key}/drawer_member", STAY, 0) for runner_key in runners]
    bench.assemble(key, "drawer", members, how="screwed")
    moved = (*front_parts, *parts, *handles, *(f"{key}/drawer_member" for key in runners))
    half = tuple(f"{key}/middle_member" for key in runners)
    bench.motions.append(Motion(key=key, kind="travel", moves=moved, through=vector(0, -out.depth, opening.bottom), axis=FRONT, reach=runner.size("travel"), half=half))
    return [key, *runners]


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
        above = _hanging_below(bench, opening)
        height = round(opening.height - above - spec.clear_above - spec.clear_below, 6)
        if height < max(LEAST_BOX, runner.size("height") + 5):
            raise ParameterError(f"{out.path(front)}", f"the drawer box would be {height:g} mm high; at least {max(LEAST_BOX, runner.size('height') + 5):g} is needed")
        middle = (opening.left + opening.right) / 2
        return cls(middle - wide / 2, middle + wide / 2, round(opening.bottom + spec.clear_below, 6), height, out.y(thick), runner.size("length"))


def _hanging_below(bench: Bench, opening: Opening) -> float:
    """How far a stiffener hangs into the top of an opening."""
    hanging = [part for part in bench.parts.values() if part.role == "stiffener" and opening.bottom < part.place.origin[2] < opening.top]
    return max((round(opening.top - part.place.origin[2], 6) for part in hanging), default=0.0)


def longest_runner(room: float, lengths: list[float]) -> float | None:
    """The longest runner that goes into the clear depth behind a front, with room behind it.

    >>> longest_runner(501, [400, 450, 500])
    450
    """
    fitting = [length for length in lengths if length <= room - REAR_ROOM]
    return max(fitting, default=None)


def _runner(out: SettingOut, front: Front) -> FittingEntry:
    room = round(row_length(out) - front_thickness(out, front), 6)
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


# ----------------------------------------------------------------------------------------------------------------------- box
def _box(bench: Bench, out: SettingOut, front: Front, box: _Box, board: Board) -> list[str]:
    spec, t, key = front.drawer, board.thickness, f"{front.id}/box"
    bottom_board = out.board(spec.bottom_board, f"{out.path(front)}.drawer.bottom_board")
    if spec.groove_depth > t / 2:
        raise ParameterError(f"{out.path(front)}.drawer.groove_depth", f"{spec.groove_depth:g} mm is more than half of the {t:g} mm sides")
    inside = round(box.right - box.left - 2 * t, 6)
    common = dict(role="drawer box", finish="drawer_boxes", grain="length" if board.material.grained else "any", face_side="inside", face_edge="lower edge", surviving_mark="underside of the groove")
    # sides and ends on edge: y up from the lower edge, face side inside
    left = Placement(vector(box.left, box.rear_y, box.bottom), FRONT, UP)
    right = Placement(vector(box.right, box.front_y, box.bottom), BACK, UP)
    bench.part(f"{key}/side.left", "drawer side, left", board, box.depth, box.height, _inward(left, RIGHT, t), setting="drawer sides", **common)
    bench.part(f"{key}/side.right", "drawer side, right", board, box.depth, box.height, _inward(right, LEFT, t), setting="drawer sides", **common)
    ends = vector(box.left + t, box.front_y, box.bottom)
    bench.part(f"{key}/front", "drawer box front", board, inside, box.height, _inward(Placement(vector(box.right - t, box.front_y, box.bottom), LEFT, UP), BACK, t), setting="drawer ends", **common)
    back_low = round(box.bottom + spec.groove_up + bottom_board.thickness, 6)
    back_high = round(box.height - spec.groove_up - bottom_board.thickness, 6)
    bench.part(f"{key}/back", "drawer box back", board, inside, back_high, _inward(Placement(vector(ends[0], box.rear_y, back_low), RIGHT, UP), FRONT, t), setting="drawer ends", **common)
    wide = round(inside + 2 * spec.groove_depth - 1.0, 6)
    front_edge = box.front_y + t - spec.groove_depth + 1.0
    deep = round(box.rear_y - front_edge, 6)
    place = Placement(vector(-wide / 2 + (box.left + box.right) / 2, front_edge, box.bottom + spec.groove_up), RIGHT, BACK)
    bench.part(f"{key}/bottom", "drawer bottom", bottom_board, wide, deep, place, role="drawer bottom", finish="drawer_boxes", face_side="up", face_edge="front edge", surviving_mark="underside")
    _grooves(bench, box, spec.groove_up, spec.groove_depth, bottom_board.thickness, t, key)
    with blaming(f"{out.path(front)}.drawer.board"):
        size = dowel_for(t)
    _corners(bench, box, size, t, key, back_low, back_high, spec.groove_up + bottom_board.thickness)
    _bottom_screws(bench, box, key, t, place.origin[2], wide)
    return [f"{key}/bottom", f"{key}/front", f"{key}/back", f"{key}/side.left", f"{key}/side.right"]


def _inward(place: Placement, inside: tuple[float, float, float], thickness: float) -> Placement:
    """The placement moved so that the part's back side lies on the outer face of the box and its face side looks inside."""
    return place if place.z == inside else Placement(tuple(o + i * thickness for o, i in zip(place.origin, inside)), place.x, place.y)  # type: ignore[arg-type]


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
    clear = groove_top + CLEAR_OF_GROOVE + size.diameter / 2
    front_heights = _corner_places(box.bottom, box.height, max(CORNER_DOWEL, clear))
    back_heights = _corner_places(back_low, back_high, CORNER_DOWEL)
    for end, y, heights in (("front", box.front_y + t / 2, front_heights), ("back", box.rear_y - t / 2, back_heights)):
        for side, x, into in (("left", box.left + t, RIGHT), ("right", box.right - t, LEFT)):
            names = [bench.dowel(f"{key}/side.{side}", f"{key}/{end}", vector(x, y, z), into, size, "dowel") for z in heights]
            bench.join(f"{key}/side.{side}|{key}/{end}", "dowels", f"{key}/side.{side}", f"{key}/{end}", into, tuple(names), (heights[-1] - heights[0] + 50) * t)


def _corner_places(low: float, high: float, first: float) -> list[float]:
    last = high - CORNER_DOWEL
    if last - first < 20:
        return [round(low + (first + max(last, first)) / 2, 1)]
    if high < 90:
        return [round(low + first, 1), round(low + last, 1)]
    return [round(low + first, 1), round(low + (first + last) / 2, 1), round(low + last, 1)]


def _bottom_screws(bench: Bench, box: _Box, key: str, t: float, underside: float, wide: float) -> None:
    size, board = screw(BOTTOM_SCREW), bench.parts[f"{key}/bottom"].board
    count = max(2, int(wide // BOTTOM_SCREW_PITCH) + 1)
    start, free = (box.left + box.right) / 2 - wide / 2 + 60.0, wide - 120.0
    names = [
        bench.screw(f"{key}/bottom", f"{key}/back", vector(round(start + free * i / (count - 1), 1), box.rear_y - t / 2, underside), UP, size, board.thickness, "bottom screw")
        for i in range(count)
    ]
    bench.join(f"{key}/back|{key}/bottom", "screws", f"{key}/back", f"{key}/bottom", DOWN, tuple(names))


# ------------------------------------------------------------------------------------------------- runners, front and handles
def runner_height(box_bottom: float, box_height: float) -> float:
    """Height of the runners' centre: half way up the box; common practice, no source."""
    return round(box_bottom + box_height / 2, 1)


def _runners(bench: Bench, out: SettingOut, front: Front, opening: Opening, runner: FittingEntry, box: _Box, thick: float) -> list[str]:
    walls = walls_of(out, out.rects[front.closes[0]])
    height = runner_height(box.bottom, box.height)
    y = out.y(thick + runner.size("set_back_inset"))
    made = []
    for side, x, inward in (("left", opening.left, RIGHT), ("right", opening.right, LEFT)):
        key = f"{front.id}/runner.{side}"
        bench.fit(key, runner, Placement(vector(x, y, height), inward, BACK), (walls[side], f"{front.id}/box/side.{side}"))
        screw_on(bench, key, {"carcass": walls[side], "drawer": f"{front.id}/box/side.{side}"})
        made.append(key)
    return made


def _front_on_box(bench: Bench, front: Front, box: _Box, board: Board, front_board: Board) -> None:
    size = screw(FRONT_SCREW)
    inside = box.right - box.left - 2 * board.thickness
    names = []
    for x in (box.left + board.thickness + inside * 0.12, box.right - board.thickness - inside * 0.12):
        for z in (box.bottom + 45.0, box.bottom + box.height - 30.0):
            at = vector(round(x, 1), box.front_y + board.thickness, round(z, 1))
            bench.bore(f"{front.id}/box/front", at, FRONT, FRONT_SCREW_HOLE, board.thickness, "clearance for the front's screw, washer under the head", AT_FITTING)
            mouth = vector(at[0], box.front_y, at[2])
            bench.bore(f"{front.id}/front/panel", mouth, FRONT, size.pilot, size.length - board.thickness + 1.0, f"pilot for screw {size.name}", AT_FITTING)
            names.append(bench.fasten("screw", f"screw {size.name}", size.diameter, size.length, at, FRONT, (f"{front.id}/box/front", f"{front.id}/front/panel"), "drawer front screw", AT_FITTING))
    bench.join(f"{front.id}/box/front|{front.id}/front/panel", "screws", f"{front.id}/box/front", f"{front.id}/front/panel", FRONT, tuple(names))


def _handles(bench: Bench, out: SettingOut, front: Front, left: float, bottom: float, wide: float, high: float, board: Board, front_board: Board) -> list[str]:
    if not front.handle:
        return []
    entry = fitting_for(f"{out.path(front)}.handle", front.handle, "knob", "pull")
    deep = front.panel.field_depth(lambda id: out.board(id, f"{out.path(front)}.panel.board"))
    count = handle_count(front, wide)
    z = nearest(bottom + high / 2, out.finest)
    made = []
    for name, place in zip(("left", "right") if count == 2 else ("middle",), handle_places(wide, count)):
        seat = vector(left + place, -out.depth + deep, z)
        key = f"{front.id}/pull.{name}" if count == 2 else f"{front.id}/pull"
        with blaming(f"{out.path(front)}.handle"):
            made.append(seat_handle(bench, out, key, entry, seat, [f"{front.id}/front/panel", f"{front.id}/box/front"], RIGHT, "pull bolt", front.id))
    return made


