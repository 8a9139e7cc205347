"""The front of a drawer: laid in its place, screwed to the box where it is planted on, with its knobs or pulls."""

from __future__ import annotations

from ...errors import ParameterError, blaming, within
from ...fastenings import SCREW_STOPS_SHORT, Screw, pilot_for
from ...fittings import FittingEntry
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ...model import AT_FITTING
from ...units import nearest
from ..bench import Bench
from ..clearance import THIN_WALL, is_free, shifted, standing_box
from ..front_boards import front_board, lay_front, single_board
from ..handles import handle_count, handle_places, seat_handle
from ..hardware import drive, fitting_for, screw_through
from ..setting_out import SettingOut
from .corners import CLEAR_OF_EDGE
from .values import Box, DrawerPlace, LaidFront

FRONT_SCREW = (4.0, 10.0)  # diameter, hold in the front; common practice, no source
FRONT_STOPS_SHORT = 4.0  # mm of the front's board left beyond the point; common practice, no source
# mm that a screw may be moved along a stile to keep clear of a mortise; common practice, no source
FRONT_SCREW_MOVES = 60.0
# mm that two pulls may come inward each, and by which they are tried; common practice, no source
PULLS_MOVED, PULL_STEP = 105, 5
FRONT_SCREW_HOLE = 6.0  # clearance that lets the front be shimmed; common practice, no source


def lay_drawer_front(bench: Bench, out: SettingOut, place: DrawerPlace) -> LaidFront:
    """The front's board with what is planted on it, or its true frame."""
    front = place.front
    asked = single_board(out, front, place.opening, f"{front.id}/front", "drawer front")
    return LaidFront(
        parts=tuple(lay_front(bench, out, front, asked)),
        board=front_board(out, front),
        left=asked.left,
        bottom=asked.bottom,
        wide=asked.wide,
        high=asked.high,
        face_board="" if front.panel.stands_alone else f"{asked.key}/panel",
    )


# ----------------------------------------------------------------------------------------------------------------------- screws
def front_on_box(bench: Bench, place: DrawerPlace, box: Box, laid: LaidFront) -> None:
    """Two screws, or four in a high box, from inside; moved toward the middle where a handle's bolt is in the way."""
    t, path = box.t, place.path
    size = screw_through(
        f"{path}.drawer.board",
        FRONT_SCREW[0],
        t,
        FRONT_SCREW[1],
        laid.board.thickness - FRONT_STOPS_SHORT + SCREW_STOPS_SHORT,
    )
    names: dict[str, list[str]] = {}
    places = [(_from_side(bench, box, z), z) for z in _heights(box)]
    for inward, x in ((RIGHT, box.inside[0]), (LEFT, box.inside[1])):
        holder, in_stile = _holder(bench, place, box, inward)
        for number, (start, z) in enumerate(places):
            at = vector(x + inward[0] * (start if in_stile is None else in_stile), box.inner_front, z)
            if in_stile is not None:
                at = _clear_of_mortises(bench, place, box, holder, at, DOWN if number else UP, size)
            bench.bore(
                box.front_key,
                at,
                FRONT,
                FRONT_SCREW_HOLE,
                t,
                "clearance for the front's screw, washer under the head",
                AT_FITTING,
            )
            mouth = vector(at[0], box.start, at[2])
            pilot = pilot_for(size, bench.parts[holder].board.material)
            bench.bore(holder, mouth, FRONT, pilot, size.length - t + 1.0, f"pilot for screw {size.name}", AT_FITTING)
            made = drive(bench, size, at, FRONT, (box.front_key, holder), "drawer front screw")
            names.setdefault(holder, []).append(made)
    for holder, screws in names.items():
        bench.join(f"{box.front_key}|{holder}", "screws", box.front_key, holder, FRONT, tuple(screws))


def _holder(bench: Bench, place: DrawerPlace, box: Box, inward: Vector) -> tuple[str, float | None]:
    """What the front's screws hold in at one side: the board, or a true frame's stile, and how far they stand in from the box's side there."""
    front = place.front
    if not front.panel.stands_alone:
        return f"{front.id}/front/panel", None
    side = "left" if inward == RIGHT else "right"
    low, high = standing_box(bench.parts[f"{front.id}/front/stile.{side}"])
    reach = (high[0] - box.inside[0]) if side == "left" else box.inside[1] - low[0]
    clear = reach - front.panel.channel_depth()
    if clear < 2 * CLEAR_OF_EDGE:
        least = front.panel.stile_width + 2 * CLEAR_OF_EDGE - clear
        raise ParameterError(
            f"{place.path}.panel.stile_width",
            f"{front.panel.stile_width:g} mm reaches {max(clear, 0):.1f} mm behind the box for the front's screws; use at least {least:.1f} mm",
        )
    return f"{front.id}/front/stile.{side}", round(clear / 2, 1)


def _clear_of_mortises(
    bench: Bench, place: DrawerPlace, box: Box, stile: str, wanted: Vector, way: Vector, size: Screw
) -> Vector:
    """The place nearest to the wanted one, `way` first, where a front's screw is clear of what is cut in the stile and the box front."""
    t = box.t
    for at in shifted(wanted, way, FRONT_SCREW_MOVES):
        mouth = vector(at[0], at[1] - t, at[2])
        if is_free(bench, stile, mouth, FRONT, size.pilot, size.length - t + 1.0, 2.0) and is_free(
            bench, box.front_key, at, FRONT, FRONT_SCREW_HOLE, t, 4.0
        ):
            return at
    panel = place.front.panel
    raise ParameterError(
        f"{place.path}.panel.tenons",
        f'"{panel.tenons}" tenons leave no room for the front\'s screws within {FRONT_SCREW_MOVES:g} mm of where they are wanted; use stub tenons or a higher front',
    )


def _from_side(bench: Bench, box: Box, z: float) -> float:
    """How far from both sides a screw of the front sits: an eighth of the width, or the nearest inward where both are free."""
    low, high = box.inside
    wide = high - low
    start = round(wide * 0.12, 1)
    for more in range(int(max(0.0, min(40.0, wide / 2 - start - FRONT_SCREW_HOLE)))):
        both = [vector(x, box.inner_front, z) for x in (low + start + more, high - start - more)]
        if all(is_free(bench, box.front_key, at, FRONT, FRONT_SCREW_HOLE, box.t, 4.0) for at in both):
            return start + more
    return start


def _heights(box: Box) -> tuple[float, ...]:
    groove_top = box.groove[1] - box.bottom
    low, high = box.bottom + max(45.0, groove_top + 12.0), box.top - 30.0
    return (round(low, 1), round(high, 1)) if high - low >= 25.0 else (round((box.groove[1] + box.top) / 2, 1),)


# ---------------------------------------------------------------------------------------------------------------------- handles
def handles_on(bench: Bench, out: SettingOut, place: DrawerPlace, box: Box, laid: LaidFront) -> list[str]:
    """Knobs or pulls on the middle height of the front, bolted through front and box."""
    front, path, wide = place.front, place.path, laid.wide
    if not front.handle:
        return []
    entry = fitting_for(f"{path}.handle", front.handle, "knob", "pull")
    count = handle_count(front, wide)
    z = nearest((laid.bottom + laid.top) / 2, out.finest)
    reach = entry.sizes.get("overall", entry.sizes.get("diameter", 0.0)) / 2
    shown = front.panel.stile_shown(lambda id: out.board(id, f"{path}.panel.board"))
    with within(f"{path}.panel"):
        beside = front.panel.field_depth(
            lambda id: out.board(id, f"{path}.panel.board")
        )  # a bevel takes no more than the strip's thickness
    made = []
    wanted = handle_places(wide, count)
    places = _clear_of_corners(bench, place, box, laid, entry, z, wanted)
    kept_clear = "" if places == wanted else ", where its bolts are clear of the corners of the box"
    for name, x in zip(("left", "right") if count == 2 else ("middle",), places):
        if min(x, wide - x) < reach + shown + beside or (count == 2 and wide - 2 * min(x, wide - x) < 2 * reach):
            raise ParameterError(
                f"{path}.handle",
                f'"{front.handle}", {2 * reach:g} mm wide, finds no room {x:g} mm from the left of a front {wide:g} mm wide{kept_clear}',
            )
        strip = _strip_at(bench, place, entry, laid.left + x, z)
        if front.panel.stands_alone and not strip:  # a loose panel holds no handle: up on to the top rail
            low, high = standing_box(bench.parts[f"{front.id}/front/rail.top"])
            z = nearest((low[2] + high[2]) / 2, out.finest)
            strip = _strip_at(bench, place, entry, laid.left + x, z)
        deep = 0.0 if strip else beside
        seat = vector(laid.left + x, out.y(place.face) + deep, z)
        key = f"{front.id}/pull.{name}" if count == 2 else f"{front.id}/pull"
        board = [] if front.panel.stands_alone else [laid.face_board]
        through = [*strip, *board, *_box_front_at(place, box, z, entry)]
        with blaming(f"{path}.handle"):
            made.append(seat_handle(bench, key, entry, seat, through, RIGHT, "pull bolt", front.id))
    return made


def _clear_of_corners(
    bench: Bench,
    place: DrawerPlace,
    box: Box,
    laid: LaidFront,
    entry: FittingEntry,
    z: float,
    places: tuple[float, ...],
) -> tuple[float, ...]:
    """The places of pulls whose bolts keep out of the joints at the ends of the box front: two come nearer together where they must."""
    if not _box_front_at(place, box, z, entry):
        return places
    thick, face = bench.parts[box.front_key].size[2], standing_box(bench.parts[box.front_key])[0][1]

    def is_clear(x: float) -> bool:
        seat = Placement(vector(laid.left + x, face, z), FRONT, RIGHT)
        mouths = [(seat.point(hole.at), hole.diameter) for hole in entry.holes_for()]
        return all(is_free(bench, box.front_key, at, BACK, diameter, thick, THIN_WALL) for at, diameter in mouths)

    for inward in range(0, PULLS_MOVED if len(places) > 1 else 1, PULL_STEP):
        moved = tuple(x + (inward if x < laid.wide / 2 else -inward) for x in places)
        if all(map(is_clear, moved)):
            return moved
    raise ParameterError(
        f"{place.path}.handle",
        f'the bolts of "{place.front.handle}" would meet what joins the corners of the box, {box.fit.right - box.fit.left:g} mm wide; a shorter one',
    )


def _strip_at(bench: Bench, place: DrawerPlace, entry: FittingEntry, x: float, z: float) -> list[str]:
    """The planted rail or muntin that a handle sits on, where there is one; refused where it would sit astride an edge."""
    reach = entry.sizes.get("overall", entry.sizes.get("diameter", 0.0)) / 2
    rise = entry.sizes.get("width", 2 * reach) / 2
    for part in bench.parts.values():
        if part.role in ("rail", "muntin") and part.key.startswith(f"{place.front.id}/front/"):
            low, high = standing_box(part)
            if low[0] < x + reach and x - reach < high[0] and low[2] < z + rise and z - rise < high[2]:
                if x - reach < low[0] or high[0] < x + reach or z - rise < low[2] or high[2] < z + rise:
                    raise ParameterError(
                        f"{place.path}.handle",
                        f'"{place.front.handle}", {2 * reach:g} mm wide and {2 * rise:g} mm high, would sit astride the edge of a {part.role}; use another size, or move the {part.role}s',
                    )
                return [part.key]
    return []


def _box_front_at(place: DrawerPlace, box: Box, z: float, entry: FittingEntry) -> list[str]:
    """The front of the box where a handle's bolts go through it; none where they pass above or below, or the front is the box's own."""
    room = CLEAR_OF_EDGE + entry.size("bolt_hole") / 2
    low, high = box.groove[1] + room, box.top - room
    if box.integral:
        if box.groove[0] - room < z < low:
            raise ParameterError(
                f"{place.path}.handle",
                f"its bolts, {z:g} mm above the floor, meet the groove of the integral front, which is clear above {low:g} mm",
            )
        return []
    if low <= z <= high:
        return [box.front_key]
    if box.bottom - room < z < high + 2 * room:
        raise ParameterError(
            f"{place.path}.handle",
            f"its bolts, {z:g} mm above the floor, meet the edge or the groove of the box front, which is clear from {low:g} to {high:g} mm",
        )
    return []


__all__ = ["front_on_box", "handles_on", "lay_drawer_front"]
