"""What stops a door and keeps it shut: a catch above its closing edge, pads on what stands behind it."""

from __future__ import annotations

from ..errors import ParameterError
from ..fittings import FittingEntry, fitting_entry
from ..geometry import DOWN, FRONT, RIGHT, Placement, vector
from ..model import AT_FITTING, Opening
from ..piece.fronts import Front
from ..units import nearest
from .bench import Bench
from .carcass import walls_of
from .clearance import standing_box
from .hanging import WALL_LEFT, WALL_PLUG_DEPTH, Leaf
from .hardware import fitting_for, plug_screws, screw_on
from .setting_out import SettingOut

PAD, THIN_PAD = "pad-8", "pad-8-thin"  # before an inset door; between an overlay door and the carcass
CATCH_STEP = 5.0  # mm that a catch gives way to an upright behind it
PAD_LAP = 1.001  # mm; not quite round, so that the last digit of a sum decides nothing
CATCH_FROM_EDGE, CATCH_CLEAR = 60.0, 1.999  # mm from the closing edge to its middle, and beside an upright; common practice, no source
STRIKE_TO_STILE = 3.0  # mm between a catch's strike and the stile of a true frame; common practice, no source
PAD_FROM_END = 60.0


def stop_door(bench: Bench, out: SettingOut, leaf: Leaf, opening: Opening) -> list[str]:
    """A catch at the top of the closing side, and pads where the door meets the carcass; the keys of what moves with it."""
    front = leaf.front
    if front.hanging.catch:
        _catch(bench, out, leaf, opening)
    if front.stop and front.lay != "inset":
        _overlay_pads(bench, out, leaf)
    elif front.stop and out.piece.carcass.set_back_pad >= fitting_entry(PAD).size("thickness"):  # with less the door stops on the wood
        _pads(bench, out, leaf)
    strike = f"{leaf.key}/catch/strike"
    return [strike] if strike in bench.fittings else []


def _catch(bench: Bench, out: SettingOut, leaf: Leaf, opening: Opening) -> None:
    """The catch on what is above the door, near its closing edge; its strike is let into the door's back."""
    front, key, wide, closing_x, inward = leaf.front, leaf.key, leaf.wide, leaf.closing_x, leaf.sign
    entry = fitting_for(f"{out.path(front)}.hanging.catch", front.hanging.catch, "magnetic catch")
    holder, under = _above(bench, out, front, opening)
    least, key_of_back = CATCH_FROM_EDGE, f"{key}/panel"
    if front.panel.stands_alone:  # the strike is let into the top rail, beside the closing stile
        beside = front.panel.stile_width + entry.size("strike_length") / 2 + STRIKE_TO_STILE
        least, key_of_back = max(least, nearest(beside, out.finest)), f"{key}/rail.top"
        if wide < least + beside:
            raise ParameterError(f"{out.path(front)}.hanging.catch", f'the strike of "{front.hanging.catch}", {entry.size("strike_length"):g} mm long, finds no room in the top rail of a door {wide:g} mm wide; leave it empty')
    from_edge = _catch_from_edge(out, front, closing_x, inward, wide, entry.size("length"), least)
    if wide < from_edge + entry.size("length") / 2:
        raise ParameterError(f"{out.path(front)}.hanging.catch", f'"{front.hanging.catch}" finds no room on a door {wide:g} mm wide; leave it empty')
    place = Placement(vector(closing_x + inward * from_edge, leaf.back_y, under), DOWN, FRONT)
    catch, middle = f"{key}/catch", entry.size("strike_middle")
    bench.fit(catch, entry, place, (holder, key_of_back))
    along, across, thick = entry.size("strike_length"), entry.size("strike_width"), entry.size("strike_thickness")
    corner, opposite = place.point((middle - across / 2, -1.0, -along / 2)), place.point((middle + across / 2, thick, along / 2))
    low, high = standing_box(bench.parts[key_of_back])
    if not (low[2] <= min(corner[2], opposite[2]) and max(corner[2], opposite[2]) <= high[2]):
        name = bench.parts[key_of_back].name
        raise ParameterError(f"{out.path(front)}.hanging.catch", f'the strike of "{front.hanging.catch}", {under - middle:g} mm above the floor, does not meet the {name} ({low[2]:g} to {high[2]:g} mm); leave it empty')
    bench.take_out(key_of_back, "recess", corner, opposite, f"strike {along:g} × {across:g} × {thick:g}", AT_FITTING)
    thick = bench.parts[holder].board.thickness
    plugged = front.lay != "inset" and bench.parts[holder].role != "stiffener" and plug_screws(bench, catch, "carcass", holder, min(WALL_PLUG_DEPTH, thick - WALL_LEFT))
    screw_on(bench, catch, {"carcass": holder}, bored=not plugged)
    screw_on(bench, catch, {"door": key_of_back}, blame=leaf.blamed())


def _catch_from_edge(out: SettingOut, front: Front, closing_x: float, inward: float, wide: float, long: float, least: float) -> float:
    """How far from the closing edge the middle of a catch sits: as little as may be, or farther in where an upright stands behind."""
    closed = out.closed_by(front)
    uprights = [each.rect for each in out.dividers if each.kind == "upright" and closed.meets(each.rect) and each.rect.top == closed.top]
    for step in range(max(1, int((wide - long - least) / CATCH_STEP))):
        from_edge = least + step * CATCH_STEP
        middle = closing_x + inward * from_edge
        if not any(rect.left - CATCH_CLEAR < middle + long / 2 and middle - long / 2 < rect.right + CATCH_CLEAR for rect in uprights):
            return from_edge
    return least


def _above(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> tuple[str, float]:
    """What a catch is screwed to above a door, and the height of its underside: a stiffener where one hangs there."""
    top = walls_of(out, out.closed_by(front)).get("top")
    if top is None:
        raise ParameterError(f"{out.path(front)}.hanging.catch", f'there is no board above "{front.id}" for a catch; leave it empty or put a board there')
    for joint in bench.joints:
        if joint.first == top and bench.parts.get(joint.second, bench.parts[top]).role == "stiffener":
            low, high = standing_box(bench.parts[joint.second])
            if low[0] < opening.right and opening.left < high[0] and low[2] < opening.top:
                return joint.second, low[2]
    return top, out.closed_by(front).top


def _pads(bench: Bench, out: SettingOut, leaf: Leaf) -> None:
    """Pads on the front edges of uprights that an inset door meets behind its closing edge."""
    closing_x, inward = leaf.closing_x, leaf.sign
    behind = [each.rect for each in out.dividers if each.kind == "upright" and out.closed_by(leaf.front).meets(each.rect)]
    lapped = {rect.bottom: rect for rect in behind if rect.left - PAD_LAP <= closing_x + inward * 8.0 <= rect.right + PAD_LAP}
    for number, (_, rect) in enumerate(sorted(lapped.items())):
        divider = next(each for each in out.dividers if each.kind == "upright" and each.rect == rect)
        edge_y = max(-out.depth, bench.parts[divider.key].place.origin[1] - bench.parts[divider.key].size[1])
        lap, edge = min(rect.right, max(rect.left, closing_x)), rect.left if inward < 0 else rect.right
        _stick(bench, leaf, fitting_entry(PAD), divider.key, (lap + edge) / 2, edge_y, max(leaf.bottom, rect.bottom), min(leaf.bottom + leaf.high, rect.top), f".{number + 1}" if number else "")


def _overlay_pads(bench: Bench, out: SettingOut, leaf: Leaf) -> None:
    """Thin pads on the carcass's front edge under the closing edge of an overlay door: on what stands there, else above and below."""
    entry, walls, closing_x = fitting_entry(THIN_PAD), walls_of(out, out.closed_by(leaf.front)), leaf.closing_x
    half = entry.size("diameter") / 2
    upright = next(
        (each for each in out.dividers if each.kind == "upright" and each.rect.left < closing_x < each.rect.right and each.rect.bottom < leaf.bottom + leaf.high and leaf.bottom < each.rect.top), None
    )  # fmt: skip
    closing = "right" if leaf.hand == "left" else "left"
    if upright:
        lapped = (closing_x, upright.rect.left if leaf.hand == "left" else upright.rect.right)
        if abs(lapped[1] - lapped[0]) >= 2 * half - 1.0:
            _stick(bench, leaf, entry, upright.key, sum(lapped) / 2, -out.depth, max(leaf.bottom, upright.rect.bottom), min(leaf.bottom + leaf.high, upright.rect.top), "")
            return
    elif leaf.front.kind == "door" and closing in walls:
        face = out.closed_by(leaf.front).right if closing == "right" else out.closed_by(leaf.front).left
        _stick(bench, leaf, entry, walls[closing], (closing_x + face) / 2, -out.depth, leaf.bottom, leaf.bottom + leaf.high, "")
        return
    x, closed = closing_x + leaf.sign * PAD_FROM_END / 2, out.closed_by(leaf.front)
    for end, edge, door in (("bottom", closed.bottom, leaf.bottom), ("top", closed.top, leaf.bottom + leaf.high)):
        if end in walls and abs(edge - door) >= 2 * half - 1.0:
            bench.fit(f"{leaf.key}/pad.{end}", entry, Placement(vector(x, -out.depth, (edge + door) / 2), FRONT, RIGHT), (walls[end],))


def _stick(bench: Bench, leaf: Leaf, entry: FittingEntry, on: str, x: float, y: float, low: float, top: float, more: str) -> None:
    """Two pads on an edge, near the ends of what the door meets of it; one where that is short."""
    places = (("bottom", low + PAD_FROM_END), ("top", top - PAD_FROM_END)) if top - low > 2.5 * PAD_FROM_END else (("middle", (low + top) / 2),)
    for end, z in places:
        bench.fit(f"{leaf.key}/pad.{end}{more}", entry, Placement(vector(x, y, z), FRONT, RIGHT), (on,))
