"""What stops a door and keeps it shut: a catch above its closing edge, pads on what stands behind it."""

from __future__ import annotations

from ..errors import ParameterError
from ..fastenings import plug_for
from ..fittings import FittingEntry, fitting_entry
from ..geometry import DOWN, FRONT, RIGHT, UP, Placement, vector
from ..model import AT_FITTING, Opening
from ..piece.fronts import Front
from ..units import nearest
from .bench import Bench
from .carcass import walls_of
from .clearance import is_free, is_whole, standing_box
from .contents import check_room
from .hanging import WALL_LEFT, WALL_PLUG_DEPTH, Leaf
from .hardware import fitting_for, plug_screws, screw_on
from .setting_out import Rect, SettingOut
from .strips import AWAY, lay_strip, screw_strip

PAD, THIN_PAD = "pad-8", "pad-8-thin"  # before an inset door; between an overlay door and the carcass
CATCH_STEP = 5.0  # mm that a catch gives way to an upright behind it
PAD_LAP = 1.001  # mm; not quite round, so that the last digit of a sum decides nothing
# mm from the closing edge to its middle, and beside an upright; common practice, no source
CATCH_FROM_EDGE, CATCH_CLEAR = 60.0, 1.999
STRIKE_TO_STILE = 3.0  # mm between a catch's strike and the stile of a true frame; common practice, no source
PAD_FROM_END = 60.0
# front to back, as thick as the carcass's board: 18 × 12; common practice, no source
STRIP, STRIP_DEPTH = "stop strip", 12.0
# mm that it is short of the boards at its ends; long at least; beside a lock
STRIP_SHORT, LEAST_STRIP, CLEAR_OF_LOCK = 1.0, 150.0, 5.0


def stop_door(bench: Bench, out: SettingOut, leaf: Leaf, opening: Opening, catch: bool) -> list[str]:
    """A catch at the top of the closing side, where the door has one, and pads where it meets the carcass; the keys of what moves with it."""
    front = leaf.front
    if front.hanging.stop_strip != "none":
        _stop_strip(bench, out, leaf)
    if front.hanging.catch and catch:
        _catch(bench, out, leaf, opening)
    if front.stop and front.lay != "inset":
        _overlay_pads(bench, out, leaf)
    elif _has_pads(out, front):
        _pads(bench, out, leaf)
    strike = f"{leaf.key}/catch/strike"
    return [strike] if strike in bench.fittings else []


def _stop_strip(bench: Bench, out: SettingOut, leaf: Leaf) -> None:
    """A strip behind the closing edge of a door, or under what is above it; its pads are what the door meets."""
    front, path = leaf.front, f"{leaf.path}.hanging.stop_strip"
    if front.lay != "inset":
        raise ParameterError(
            path, f'"{front.id}" is {front.lay} overlay and is stopped by the carcass; a stop strip is for inset doors'
        )
    if front.hanging.stop_strip == "top":
        if _has_pads(out, front):
            _pad_above(bench, leaf)
        return
    side, walls = ("right" if leaf.hand == "left" else "left"), walls_of(out, out.closed_by(front))
    if front.kind == "pair" or side not in walls:
        raise ParameterError(
            path,
            f'there is no board at the closing edge of "{leaf.key}" for a stop strip; put it under the board above, or take none',
        )
    spans = _free_for_strip(bench, out, leaf, side)
    if not spans:
        raise ParameterError(
            path, f"no stretch of {LEAST_STRIP:g} mm is free for a stop strip at the {side}; take none"
        )
    keys = [f"{leaf.key}/stop" + (f".{number}" if len(spans) > 1 else "") for number in range(1, len(spans) + 1)]
    for key, span in zip(keys, spans, strict=True):
        _lay_beside(bench, out, leaf, key, (side, walls[side]), span)
    if _has_pads(out, front):
        _pads_beside(bench, out, leaf, side, (keys[0], spans[0][0]), (keys[-1], spans[-1][1]))


def _free_for_strip(bench: Bench, out: SettingOut, leaf: Leaf, side: str) -> list[tuple[float, float]]:
    """From where to where, in mm above the floor, a strip finds room at a side: between fixed shelves, past the lock."""
    closed = out.closed_by(leaf.front)
    face = _face(closed, side)
    taken = [
        (each.rect.bottom, each.rect.top)
        for each in out.dividers
        if each.kind == "shelf" and closed.meets(each.rect) and face in (each.rect.left, each.rect.right)
    ]
    lock = bench.fittings.get(f"{leaf.key}/lock")
    if lock:  # the strip is cut where the lock is
        middle, half = lock.place.origin[2], fitting_entry(lock.entry).size("height") / 2 + CLEAR_OF_LOCK
        taken.append((middle - half, middle + half))
    edges = [closed.bottom, *(edge for span in sorted(taken) for edge in span), closed.top]
    return [
        (round(low + STRIP_SHORT, 1), round(high - STRIP_SHORT, 1))
        for low, high in zip(edges[::2], edges[1::2])
        if high - low >= LEAST_STRIP
    ]


def _lay_beside(
    bench: Bench, out: SettingOut, leaf: Leaf, key: str, at: tuple[str, str], span: tuple[float, float]
) -> None:
    """One stretch of a strip at the closing side of a door; `at` is the side and the board there."""
    (side, wall), (low, high) = at, span
    closed, y, thick = out.closed_by(leaf.front), _strip_y(out, leaf), out.side_board.thickness
    path = f"{leaf.path}.hanging.stop_strip"
    lay_strip(bench, out, key, STRIP, side, Rect(closed.left, closed.right, low, high), y, (thick, STRIP_DEPTH))
    check_room(bench, path, [key], f'"{leaf.front.hanging.stop_strip}"')
    start = vector(_face(closed, side), y + STRIP_DEPTH / 2, low)
    screw_strip(bench, path, key, wall, side, start, round(high - low, 6), thick)


def _pads_beside(
    bench: Bench, out: SettingOut, leaf: Leaf, side: str, lowest: tuple[str, float], highest: tuple[str, float]
) -> None:
    """A pad near each end of the strip at the closing side; each end is the key of its stretch and its height."""
    inner = _face(out.closed_by(leaf.front), side) - AWAY[side][0] * out.side_board.thickness
    x, y = (leaf.closing_x + inner) / 2, _strip_y(out, leaf)
    for end, key, z in (
        ("bottom", lowest[0], lowest[1] + PAD_FROM_END),
        ("top", highest[0], highest[1] - PAD_FROM_END),
    ):
        place = Placement(vector(x, y, z), FRONT, RIGHT)
        bench.fit(f"{leaf.key}/pad.{end}.stop", fitting_entry(PAD), place, (key,))


def _face(closed: Rect, side: str) -> float:
    """The x of the board's face at a side."""
    return closed.left if side == "left" else closed.right


def _strip_y(out: SettingOut, leaf: Leaf) -> float:
    """Where the front of a strip stands: a pad's thickness behind the door."""
    return round(leaf.back_y + out.piece.carcass.set_back_pad, 6)


def lay_strip_above(bench: Bench, out: SettingOut, front: Front) -> None:
    """The stop strip over a door or a pair, where it is wanted there; bolts, catches and stays hold in it then."""
    if front.hanging.stop_strip != "top" or front.lay != "inset":
        return
    path, key = f"{out.path(front)}.hanging.stop_strip", f"{front.id}/stop"
    closed, thick = out.closed_by(front), out.side_board.thickness
    holder = walls_of(out, closed).get("top")
    if holder is None:
        raise ParameterError(path, f'there is no board above "{front.id}" for a stop strip')
    y = round(out.y(out.front_f(front)[1]) + out.piece.carcass.set_back_pad, 6)
    rect = Rect(closed.left + STRIP_SHORT, closed.right - STRIP_SHORT, closed.bottom, closed.top)
    lay_strip(bench, out, key, STRIP, "top", rect, y, (thick, STRIP_DEPTH))
    check_room(bench, path, [key], f'"{front.hanging.stop_strip}"')
    screw_strip(bench, path, key, holder, "top", vector(rect.left, y + STRIP_DEPTH / 2, closed.top), rect.width, thick)


def _pad_above(bench: Bench, leaf: Leaf) -> None:
    """A pad on the strip above a door, near its closing edge."""
    low, _high = standing_box(bench.parts[f"{leaf.front.id}/stop"])
    lap = (leaf.bottom + leaf.high + low[2]) / 2
    bench.fit(
        f"{leaf.key}/pad.top.stop",
        fitting_entry(PAD),
        Placement(vector(leaf.closing_x + leaf.sign * PAD_FROM_END / 3, low[1], lap), FRONT, RIGHT),
        (f"{leaf.front.id}/stop",),
    )


def _has_pads(out: SettingOut, front: Front) -> bool:
    """Whether a door stops on pads; with less room than a pad's thickness it stops on the wood."""
    return front.stop and out.piece.carcass.set_back_pad >= fitting_entry(PAD).size("thickness")


def _catch(bench: Bench, out: SettingOut, leaf: Leaf, opening: Opening) -> None:
    """The catch on what is above the door, near its closing edge; its strike is let into the door's back."""
    front, key, wide, closing_x, inward = leaf.front, leaf.key, leaf.wide, leaf.rod_closing_x, leaf.sign
    entry = fitting_for(f"{out.path(front)}.hanging.catch", front.hanging.catch, "magnetic catch")
    holder, under = above(bench, out, front, opening, f"{leaf.path}.hanging.catch")
    strip = f"{front.id}/stop"
    least, key_of_back = CATCH_FROM_EDGE, f"{key}/panel"
    if front.panel.stands_alone:  # the strike is let into the top rail, beside the closing stile
        beside = front.panel.stile_width + entry.size("strike_length") / 2 + STRIKE_TO_STILE
        least, key_of_back = max(least, nearest(beside, out.finest)), f"{key}/rail.top"
        if wide < least + beside:
            raise ParameterError(
                f"{out.path(front)}.hanging.catch",
                f'the strike of "{front.hanging.catch}", {entry.size("strike_length"):g} mm long, finds no room in the top rail of a door {wide:g} mm wide; leave it empty',
            )
    from_edge = _catch_from_edge(out, front, closing_x, inward, wide, entry.size("length"), least)
    if holder == strip:  # beside the strip's own screws
        places = (from_edge + CATCH_STEP * i for i in range(12))
        held = next((each for each in places if _strip_holds(bench, leaf, entry, strip, under, each)), None)
        if held is None:
            raise ParameterError(
                f"{out.path(front)}.hanging.catch",
                f'the screws of "{front.hanging.catch}" find no wood in the stop strip, which lies {out.piece.carcass.set_back_pad:g} mm behind a door {wide:g} mm wide; a thinner pad, or leave it empty',
            )
        from_edge = held
    half, x = entry.size("length") / 2, closing_x + inward * from_edge
    if wide < from_edge + half or x - half < opening.left or opening.right < x + half:
        raise ParameterError(
            f"{out.path(front)}.hanging.catch",
            f'"{front.hanging.catch}" finds no room on a door {wide:g} mm wide; leave it empty',
        )
    place = Placement(vector(x, leaf.back_y, under), DOWN, FRONT)
    catch, middle = f"{key}/catch", entry.size("strike_middle")
    bench.fit(catch, entry, place, (holder, key_of_back))
    along, across, thick = entry.size("strike_length"), entry.size("strike_width"), entry.size("strike_thickness")
    corner, opposite = (
        place.point((middle - across / 2, -1.0, -along / 2)),
        place.point((middle + across / 2, thick, along / 2)),
    )
    part = bench.parts[key_of_back]
    low, high = standing_box(part)
    if not (low[2] <= min(corner[2], opposite[2]) and max(corner[2], opposite[2]) <= high[2]):
        raise ParameterError(
            f"{out.path(front)}.hanging.catch",
            f'the strike of "{front.hanging.catch}", {under - middle:g} mm above the floor, does not meet the {part.name} ({low[2]:g} to {high[2]:g} mm); leave it empty',
        )
    if not is_whole(bench, part, corner, opposite):
        raise ParameterError(
            f"{out.path(front)}.hanging.catch",
            f'the strike of "{front.hanging.catch}", {under - middle:g} mm above the floor, meets what is cut out of the {part.name} there; a wider rail, or leave it empty',
        )
    bench.take_out(key_of_back, "recess", corner, opposite, f"strike {along:g} × {across:g} × {thick:g}", AT_FITTING)
    thick = bench.parts[holder].board.thickness  # of a strip too: it lies with its thickness up and down
    near_edge = holder == strip or (front.lay != "inset" and bench.parts[holder].role != "stiffener")
    plugged = near_edge and plug_screws(bench, catch, "carcass", holder, min(WALL_PLUG_DEPTH, thick - WALL_LEFT))
    screw_on(bench, catch, {"carcass": holder}, bored=not plugged)
    screw_on(bench, catch, {"door": key_of_back}, blame=leaf.blamed())


def _strip_holds(bench: Bench, leaf: Leaf, entry: FittingEntry, strip: str, under: float, from_edge: float) -> bool:
    """Whether the plugs or screws of a catch find room in a stop strip."""
    place = Placement(vector(leaf.rod_closing_x + leaf.sign * from_edge, leaf.back_y, under), DOWN, FRONT)
    weak = bench.parts[strip].board.is_plugged
    for each in entry.screws_for():
        if each.into == "carcass":
            x, y, _ = place.point(each.at)
            if not is_free(
                bench,
                strip,
                vector(x, y, under),
                UP,
                plug_for(each.screw) if weak else 3.0,
                min(WALL_PLUG_DEPTH, bench.parts[strip].board.thickness - WALL_LEFT),
                1.9,
            ):
                return False
    return True


def _catch_from_edge(
    out: SettingOut, front: Front, closing_x: float, inward: float, wide: float, long: float, least: float
) -> float:
    """How far from the closing edge the middle of a catch sits: as little as may be, or farther in where an upright stands behind.

    Raises ParameterError where the upright leaves it no room.
    """
    closed = out.closed_by(front)
    uprights = [
        each.rect
        for each in out.dividers
        if each.kind == "upright" and closed.meets(each.rect) and each.rect.top == closed.top
    ]
    for clear in (CATCH_CLEAR, 0.0):
        for step in range(max(1, int((wide - long - least) / CATCH_STEP))):
            from_edge = least + step * CATCH_STEP
            middle = closing_x + inward * from_edge
            low, high = middle - long / 2 - clear, middle + long / 2 + clear
            if not any(rect.left < high and low < rect.right for rect in uprights):
                return from_edge
    raise ParameterError(
        f"{out.path(front)}.hanging.catch",
        f'"{front.hanging.catch}" finds no room beside the upright behind a door {wide:g} mm wide; leave it empty',
    )


def above(bench: Bench, out: SettingOut, front: Front, opening: Opening, path: str) -> tuple[str, float]:
    """What a catch or bolt holds in above a door, and the height of its underside: a stop strip or a stiffener where one is there."""
    strip = f"{front.id}/stop"
    if strip in bench.parts:
        return strip, standing_box(bench.parts[strip])[0][2]
    top = walls_of(out, out.closed_by(front)).get("top")
    if top is None:
        raise ParameterError(
            path, f'there is no board above "{front.id}" to hold it; leave it empty or put a board there'
        )
    for joint in bench.joints:
        if joint.first == top and bench.parts.get(joint.second, bench.parts[top]).role == "stiffener":
            low, high = standing_box(bench.parts[joint.second])
            if low[0] < opening.right and opening.left < high[0] and low[2] < opening.top:
                return joint.second, low[2]
    return top, out.closed_by(front).top


def _pads(bench: Bench, out: SettingOut, leaf: Leaf) -> None:
    """Pads on the front edges of uprights that an inset door meets behind its closing edge."""
    closing_x, inward = leaf.back_closing_x, leaf.sign
    behind = [
        each.rect for each in out.dividers if each.kind == "upright" and out.closed_by(leaf.front).meets(each.rect)
    ]
    lapped = {
        rect.bottom: rect for rect in behind if rect.left - PAD_LAP <= closing_x + inward * 8.0 <= rect.right + PAD_LAP
    }
    for number, (_, rect) in enumerate(sorted(lapped.items())):
        divider = next(each for each in out.dividers if each.kind == "upright" and each.rect == rect)
        edge_y = max(-out.depth, bench.parts[divider.key].place.origin[1] - bench.parts[divider.key].size[1])
        lap, edge = min(rect.right, max(rect.left, closing_x)), rect.left if inward < 0 else rect.right
        _stick(
            bench,
            leaf,
            fitting_entry(PAD),
            divider.key,
            (lap + edge) / 2,
            edge_y,
            max(leaf.bottom, rect.bottom),
            min(leaf.bottom + leaf.high, rect.top),
            f".{number + 1}" if number else "",
        )


def _overlay_pads(bench: Bench, out: SettingOut, leaf: Leaf) -> None:
    """Thin pads on the carcass's front edge under the closing edge of an overlay door: on what stands there, else above and below."""
    entry, walls, closing_x = fitting_entry(THIN_PAD), walls_of(out, out.closed_by(leaf.front)), leaf.back_closing_x
    half = entry.size("diameter") / 2
    upright = next(
        (each for each in out.dividers if each.kind == "upright" and each.rect.left < closing_x < each.rect.right and each.rect.bottom < leaf.bottom + leaf.high and leaf.bottom < each.rect.top), None
    )  # fmt: skip
    closing = "right" if leaf.hand == "left" else "left"
    if upright:
        lapped = (closing_x, upright.rect.left if leaf.hand == "left" else upright.rect.right)
        if abs(lapped[1] - lapped[0]) >= 2 * half - 1.0:
            _stick(
                bench,
                leaf,
                entry,
                upright.key,
                sum(lapped) / 2,
                -out.depth,
                max(leaf.bottom, upright.rect.bottom),
                min(leaf.bottom + leaf.high, upright.rect.top),
                "",
            )
            return
    elif leaf.front.kind == "door" and closing in walls:
        face = out.closed_by(leaf.front).right if closing == "right" else out.closed_by(leaf.front).left
        _stick(
            bench,
            leaf,
            entry,
            walls[closing],
            (closing_x + face) / 2,
            -out.depth,
            leaf.bottom,
            leaf.bottom + leaf.high,
            "",
        )
        return
    x, closed = closing_x + leaf.sign * PAD_FROM_END / 2, out.closed_by(leaf.front)
    for end, edge, door in (("bottom", closed.bottom, leaf.bottom), ("top", closed.top, leaf.bottom + leaf.high)):
        if end in walls and abs(edge - door) >= 2 * half - 1.0:
            bench.fit(
                f"{leaf.key}/pad.{end}",
                entry,
                Placement(vector(x, -out.depth, (edge + door) / 2), FRONT, RIGHT),
                (walls[end],),
            )


def _stick(
    bench: Bench, leaf: Leaf, entry: FittingEntry, on: str, x: float, y: float, low: float, top: float, more: str
) -> None:
    """Two pads on an edge, near the ends of what the door meets of it; one where that is short."""
    places = (
        (("bottom", low + PAD_FROM_END), ("top", top - PAD_FROM_END))
        if top - low > 2.5 * PAD_FROM_END
        else (("middle", (low + top) / 2),)
    )
    for end, z in places:
        bench.fit(f"{leaf.key}/pad.{end}{more}", entry, Placement(vector(x, y, z), FRONT, RIGHT), (on,))
