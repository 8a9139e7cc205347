"""The bottom of a drawer in its grooves: whole, or parted by drawer muntins; slid in under the back or held on four sides."""

from __future__ import annotations

import math

from ...errors import ParameterError
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, vector
from ...mechanics import movement
from ...model import AT_FITTING
from ...units import from_middle
from ..bench import Bench
from ..hardware import screw_through
from ..moving import SEASON, moves, slot_length, slotted_screw
from .values import Box, DrawerPlace

BOTTOM_SCREW, BOTTOM_SCREW_PITCH = (3.0, 7.0), 150.0  # diameter, hold; common practice, no source
CLEAR_IN_GROOVE = 1.0  # mm that a bottom is smaller than between the floors of its grooves; common practice, no source
LEAST_HELD = 2.0  # mm of a solid bottom in its groove when it is dry; common practice, no source
MUNTIN = 45.0  # mm wide; common practice, no source
MUNTIN_LIP = 2.5  # mm of a muntin above and below its grooves at least; common practice, no source
ABOVE_RUNNER = 1.0  # mm that a muntin stays above the lower edge of the box
PANELS = {0: ("",), 1: (".left", ".right"), 2: (".left", ".middle", ".right")}
MUNTINS = {0: (), 1: (".middle",), 2: (".left", ".right")}


def lay_bottom(bench: Bench, place: DrawerPlace, box: Box) -> list[str]:
    """Cut the grooves, lay the bottom in them with its muntins; the keys of the bottom's panels and of the muntins."""
    made = []
    low, high = _along(place, box)
    left, right = _floors(box)
    count = place.front.drawer.muntins
    if count == 0:
        wide = round(right - left - CLEAR_IN_GROOVE, 6)
        made.append(_panel(bench, box, "", (left + right) / 2 - wide / 2, wide, low, high))
        _grooves(bench, place, box)
        return made
    each = (box.inside[1] - box.inside[0] - count * MUNTIN) / (count + 1)
    lip = _check_muntins(place, box, each)
    edges = [
        box.inside[0] + number * (each + MUNTIN) for number in range(count + 1)
    ]  # where the panels are seen to begin
    deep = box.groove_depth
    for number, name in enumerate(PANELS[count]):
        begin = left + CLEAR_IN_GROOVE / 2 if number == 0 else edges[number] - deep + CLEAR_IN_GROOVE / 2
        end = right - CLEAR_IN_GROOVE / 2 if number == count else edges[number] + each + deep - CLEAR_IN_GROOVE / 2
        made.append(_panel(bench, box, name, begin, round(end - begin, 6), low, high))
    muntins = [_muntin(bench, box, name, edges[number] + each, lip) for number, name in enumerate(MUNTINS[count])]
    _grooves(
        bench,
        place,
        box,
        dict(zip(MUNTINS[count], ((edges[n] + each, edges[n] + each + MUNTIN) for n in range(count)))),
    )
    return [*made, *muntins]


def fix_bottom(bench: Bench, place: DrawerPlace, box: Box) -> None:
    """Screw a bottom, and the muntins in it, up into the back that stands on it."""
    if box.on_four_sides:
        return
    thick, room = box.bottom_board.thickness, bench.parts[box.back_key].size[1]
    field = f"{place.path}.drawer.bottom_board"
    size = screw_through(field, BOTTOM_SCREW[0], thick, BOTTOM_SCREW[1], room)
    count = place.front.drawer.muntins
    underside, y = box.groove[0], round(box.rear - box.t / 2, 6)
    for name in PANELS[count]:
        key = f"{box.key}/bottom{name}"
        part = bench.parts[key]
        wide, begin = part.size[0], part.place.origin[0]
        middle, free = begin + wide / 2, wide - min(120.0, wide / 2)
        number = max(2, int(wide // BOTTOM_SCREW_PITCH) + 1)
        names = []
        for i in range(number):
            at = vector(middle + from_middle(free, i, number), y, underside)
            if moves(part.board.material):
                long = slot_length(part.board.material, part.size[1], SEASON, size.clearance)
                names.append(slotted_screw(bench, key, box.back_key, at, UP, size, thick, (BACK, long), "bottom screw"))
            else:
                names.append(bench.screw(key, box.back_key, at, UP, size, thick, "bottom screw"))
        kind = "slotted screws" if moves(part.board.material) else "screws"
        bench.join(f"{box.back_key}|{key}", kind, box.back_key, key, DOWN, tuple(names))
    for name in MUNTINS[count]:
        _screw_muntin(bench, box, f"{box.key}/muntin{name}", field)


# ----------------------------------------------------------------------------------------------------------------------- panels
def _floors(box: Box) -> tuple[float, float]:
    """The x of the floors of the grooves in the sides."""
    return round(box.inside[0] - box.groove_depth, 6), round(box.inside[1] + box.groove_depth, 6)


def _along(place: DrawerPlace, box: Box) -> tuple[float, float]:
    """The y from which and to which the bottom reaches: from the front's groove to the rear or to the back's groove.

    A solid bottom, its grain from side to side, moves from front to back: under the back it may grow past the rear; on four
    sides it is made smaller by half the season's movement at each end.
    """
    front = box.inner_front - box.groove_depth
    if not box.on_four_sides:
        return round(front + CLEAR_IN_GROOVE, 6), box.rear
    rear, play = box.inner_back + box.groove_depth, CLEAR_IN_GROOVE / 2
    if moves(box.bottom_board.material):
        grows = movement(rear - front, box.bottom_board.material.tangential, SEASON)
        play += math.ceil(grows * 5) / 10  # half of it at each end, to the next tenth
        if box.groove_depth - play - grows / 2 < LEAST_HELD:
            raise ParameterError(
                f"{place.path}.drawer.bottom",
                f"a solid bottom {rear - front:.0f} mm deep moves {grows:.1f} mm; grooves {box.groove_depth:g} mm deep on four sides do not hold it: let it run under the back, or take a sheet",
            )
    return round(front + play, 6), round(rear - play, 6)


def _panel(bench: Bench, box: Box, name: str, begin: float, wide: float, low: float, high: float) -> str:
    key = f"{box.key}/bottom{name}"
    words = f"drawer bottom, {name[1:]}" if name else "drawer bottom"
    at = Placement(vector(begin, low, box.groove[0]), RIGHT, BACK)
    grain = "length" if box.bottom_board.material.kind == "solid" else "any"  # from side to side
    bench.part(
        key, words, box.bottom_board, wide, round(high - low, 6), at, role="drawer bottom", finish="drawer_boxes", grain=grain, face_side="up", face_edge="front edge", surviving_mark="underside"
    )  # fmt: skip
    return key


# ---------------------------------------------------------------------------------------------------------------------- grooves
def _grooves(bench: Bench, place: DrawerPlace, box: Box, muntins: dict[str, tuple[float, float]] | None = None) -> None:
    count = len(muntins or {})
    low, high = box.groove
    deep, thick = box.groove_depth, box.bottom_board.thickness
    purpose = f"groove {thick:g} × {deep:g} for the bottom, through"
    panels = [f"{box.key}/bottom{name}" for name in PANELS[count]]
    begin, end = box.inner_front - box.front_thick - 1, box.rear + 1
    for hand, face, sign, panel in (
        ("left", box.inside[0], -1.0, panels[0]),
        ("right", box.inside[1], 1.0, panels[-1]),
    ):
        bench.take_out(
            box.side(hand), "groove", vector(face - sign, begin, low), vector(face + sign * deep, end, high), purpose
        )
        bench.join(f"{box.side(hand)}|{panel}", "groove", box.side(hand), panel, BACK)
    flush = box.front_span == (box.left, box.right) and place.front.drawer.corners.spans
    _groove_across(bench, box, box.front_key, box.inner_front, -1.0, stopped=box.integral and not flush)
    for panel in panels:
        bench.join(f"{box.front_key}|{panel}", "groove", box.front_key, panel, BACK)
    if box.on_four_sides:
        _groove_across(bench, box, box.back_key, box.inner_back, 1.0, stopped=place.front.drawer.corners.spans)
        for panel in panels:
            bench.join(f"{box.back_key}|{panel}", "groove", box.back_key, panel, FRONT)
    for name, (x, to) in (muntins or {}).items():
        _groove_muntin(
            bench,
            box,
            f"{box.key}/muntin{name}",
            x,
            to,
            panels[list(muntins).index(name)],
            panels[list(muntins).index(name) + 1],
        )


def _groove_across(bench: Bench, box: Box, key: str, inner: float, sign: float, *, stopped: bool) -> None:
    """The groove in the front or the back; a stopped one ends where the grooves of the sides have their floors."""
    low, high = box.groove
    deep, thick = box.groove_depth, box.bottom_board.thickness
    left, right = _floors(box) if stopped else (box.left - 1, box.right + 1)
    words = f"groove {thick:g} × {deep:g} for the bottom, {'stopped' if stopped else 'through'}"
    bench.take_out(key, "groove", vector(left, inner - sign, low), vector(right, inner + sign * deep, high), words)


# ---------------------------------------------------------------------------------------------------------------------- muntins
def _check_muntins(place: DrawerPlace, box: Box, panel: float) -> float:
    """How much wood a muntin has above and below its grooves."""
    lip = round((box.t - box.bottom_board.thickness) / 2, 6)
    path = f"{place.path}.drawer.muntins"
    if panel < MUNTIN:
        raise ParameterError(
            path, f"{place.front.drawer.muntins} drawer muntins leave panels {panel:.0f} mm wide; use fewer"
        )
    if lip < MUNTIN_LIP:
        raise ParameterError(
            path,
            f"a bottom {box.bottom_board.thickness:g} mm thick leaves {lip:g} mm beside the groove of a muntin {box.t:g} mm thick; at least {MUNTIN_LIP:g} is needed: take a thinner bottom, which is what muntins are for",
        )
    if box.fit.groove_up - lip < ABOVE_RUNNER:
        raise ParameterError(
            f"{place.path}.drawer.groove_up",
            f"a muntin would hang {lip - box.fit.groove_up:g} mm below the box; at least {lip + ABOVE_RUNNER:g} mm",
        )
    return lip


def _muntin(bench: Bench, box: Box, name: str, x: float, lip: float) -> str:
    """A grooved bar from front to back, as thick as the sides: tongues in the grooves of front and back, or halved under the back."""
    key = f"{box.key}/muntin{name}"
    front = round(box.inner_front - box.groove_depth + CLEAR_IN_GROOVE, 6)
    rear = round(box.inner_back + box.groove_depth - CLEAR_IN_GROOVE, 6) if box.on_four_sides else box.rear
    place = Placement(vector(x + MUNTIN, front, box.groove[0] - lip), BACK, LEFT)  # face side up
    grain = "length" if box.board.material.grained else "any"
    words = "drawer muntin" if name == ".middle" else f"drawer muntin, {name[1:]}"
    bench.part(
        key, words, box.board, round(rear - front, 6), MUNTIN, place, role="drawer muntin", finish="drawer_boxes", grain=grain, face_side="up", face_edge="right edge",
        setting="drawer muntins", surviving_mark="underside",
    )  # fmt: skip
    return key


def _groove_muntin(bench: Bench, box: Box, key: str, x: float, to: float, left: str, right: str) -> None:
    part = bench.parts[key]
    (front, rear), (low, high) = (part.place.origin[1], part.place.origin[1] + part.size[0]), box.groove
    deep, thick, under, over = (
        box.groove_depth,
        box.bottom_board.thickness,
        part.place.origin[2],
        part.place.origin[2] + box.t,
    )
    purpose = f"groove {thick:g} × {deep:g} for the bottom, through"
    for edge, sign, panel in ((x, 1.0, left), (to, -1.0, right)):
        bench.take_out(
            key, "groove", vector(edge - sign, front - 1, low), vector(edge + sign * deep, rear + 1, high), purpose
        )
        bench.join(f"{key}|{panel}", "groove", key, panel, BACK)
    ends = [(box.front_key, front - 1, box.inner_front, True, FRONT)]
    ends.append((box.back_key, box.inner_back, rear + 1, box.on_four_sides, BACK))
    for holder, begin, end, tongue, apart in ends:
        what = "tongue" if tongue else "halving"
        bench.take_out(
            key, "rebate", vector(x - 1, begin, high), vector(to + 1, end, over + 1), f"{what}, upper shoulder"
        )
        if tongue:
            bench.take_out(
                key, "rebate", vector(x - 1, begin, under - 1), vector(to + 1, end, low), f"{what}, lower shoulder"
            )
            bench.join(f"{holder}|{key}", "groove", holder, key, apart if holder == box.back_key else BACK)


def _screw_muntin(bench: Bench, box: Box, key: str, field: str) -> None:
    part = bench.parts[key]
    under = part.place.origin[2]
    thick = round(box.groove[1] - under, 6)
    size = screw_through(field, BOTTOM_SCREW[0], thick, BOTTOM_SCREW[1], bench.parts[box.back_key].size[1])
    at = vector(part.place.origin[0] - MUNTIN / 2, round(box.rear - box.t / 2, 6), under)
    made = bench.screw(key, box.back_key, at, UP, size, thick, "muntin screw", AT_FITTING)
    bench.join(f"{box.back_key}|{key}", "screws", box.back_key, key, DOWN, (made,))


__all__ = ["fix_bottom", "lay_bottom"]
