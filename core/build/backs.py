"""The back of a carcass: in a rebate or a groove of the sides, or planted on their rear edges.

It lies against the rear edges of top, bottom, shelves and uprights, and is screwed to them from behind.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..errors import ParameterError
from ..fastenings import Screw
from ..geometry import BACK, DOWN, FRONT, LEFT, UP, Placement, vector
from ..model import Board, Part
from ..units import from_middle
from .back_parts import Seam, check_seams, clear_of_seams, regions_of
from .bench import Bench
from .clearance import WOOD_BETWEEN, nearest, taken
from .hardware import screw_through
from .setting_out import Rect, SettingOut

PIN = (1.4, 25.0)  # diameter, length; common practice, no source
SCREW = (3.0, 19.0)  # diameter, hold; common practice, no source
SCREW_PITCH, PIN_PITCH = 150.0, 100.0  # common practice, no source
FROM_CORNER = 40.0  # mm; common practice, no source
SCREW_FROM_SEAM, PIN_FROM_SEAM = 15.0, 10.0  # mm from where two parts of the back meet; common practice, no source
# mm of wood left beside a rebate, and of the back lying in it; common practice, no source
LEAST_WALL, LEAST_LAP = 5.0, 3.0


def seat_back(bench: Bench, out: SettingOut) -> None:
    """Cut what the sides hold the back with."""
    back = out.piece.carcass.back
    _check(out, out.board(back.board, "carcass.back.board"))
    if back.kind == "planted_on":
        return
    rear = 1.0 if back.kind == "rebate" else -back.set_in
    for side, x, sign in (("left", out.inner.left, -1.0), ("right", out.inner.right, 1.0)):
        corner = vector(x - sign * 1.0, out.back_y, out.outer.bottom - 1.0)
        opposite = vector(x + sign * back.rebate_width, rear, out.side_top + 1.0)
        bench.take_out(f"carcass/side.{side}", back.kind, corner, opposite, "for the back, through")


def seat_back_above(bench: Bench, out: SettingOut) -> None:
    """Cut the rebate or groove of a top that runs through: in its underside, stopped where those of the sides end."""
    back = out.piece.carcass.back
    if back.kind == "planted_on":
        return
    rear = 1.0 if back.kind == "rebate" else -back.set_in
    corner = vector(out.inner.left - back.rebate_width, out.back_y, out.side_top - 1.0)
    opposite = vector(out.inner.right + back.rebate_width, rear, out.side_top + back.rebate_width)
    bench.take_out("carcass/top", back.kind, corner, opposite, "for the back, stopped at both ends")


def build_back(bench: Bench, out: SettingOut) -> None:
    """Lay down the back and fix it to all that it covers."""
    board = out.board(out.piece.carcass.back.board, "carcass.back.board")
    seams = _lay(bench, out, board)
    if not bench.seen_only:
        _fix_to_boards(bench, out, board, seams)
        _fix_to_sides(bench, out, board, seams)
        _fix_to_through_top(bench, out, board, seams)


def _lay(bench: Bench, out: SettingOut, board: Board) -> Sequence[Seam]:
    """Lay down the back in one; where it will be parted."""
    back = out.piece.carcass.back
    lapped = out.outer.width if back.kind == "planted_on" else out.inner.width + 2 * back.rebate_width
    wide = round(lapped - 2 * back.clearance, 6)
    upper = out.side_top + back.rebate_width if _is_let_in_above(out) else out.outer.top
    # a lid hangs on the back, flush above
    high = round(upper - out.outer.bottom - (1 if out.open_top else 2) * back.clearance, 6)
    # face side to the front: y = z × x runs to the left
    place = Placement(vector(wide / 2, out.back_y + board.thickness, out.outer.bottom + back.clearance), UP, LEFT)
    bench.part(
        "carcass/back",
        "back",
        board,
        high,
        wide,
        place,
        role="back",
        finish="inside",
        face_side="front",
        face_edge="right edge",
        surviving_mark="rear face",
    )
    low = place.origin[2]
    _, seams = regions_of(out, Rect(-wide / 2, wide / 2, low, round(low + high, 6)))
    check_seams(out, seams)
    return seams


def _is_let_in_above(out: SettingOut) -> bool:
    """Whether the back is let into the underside of a top that runs through."""
    return out.top_through and out.piece.carcass.back.kind != "planted_on"


def _fix_to_boards(bench: Bench, out: SettingOut, board: Board, seams: Sequence[Seam]) -> None:
    """Fix the back to top, bottom, uprights and fixed shelves: with screws, or with a seam where it is parted."""
    parted, half = {seam.board: seam for seam in seams}, out.side_board.thickness / 2
    lines = [("carcass/bottom", "across", out.outer.bottom + half)]
    if not (out.open_top or _is_let_in_above(out)):
        lines.insert(0, ("carcass/top", "across", out.outer.top - half))
    for divider in out.dividers:
        rect = divider.rect
        if divider.kind == "upright":
            lines.append((divider.key, "up", (rect.left + rect.right) / 2))
        elif divider.kind != "rail":
            lines.append((divider.key, "across", (rect.bottom + rect.top) / 2))
    for key, way, at in lines:
        if key in parted:
            _seamed(bench, out, parted[key], seams)
        else:
            _screwed(bench, out, key, way, at, board, seams)


def _fix_to_sides(bench: Bench, out: SettingOut, board: Board, seams: Sequence[Seam]) -> None:
    """Screw the back on the sides, slide it into their grooves, or pin it in their rebates."""
    back = out.piece.carcass.back
    for side, x, sign in (("left", out.inner.left, -1.0), ("right", out.inner.right, 1.0)):
        key = f"carcass/side.{side}"
        if back.kind == "planted_on":
            _screwed(bench, out, key, "up", x + sign * out.wall_board.thickness / 2, board, seams)
        elif back.kind == "groove":
            bench.join(f"{key}|carcass/back", "groove", key, "carcass/back", DOWN if out.top_through else UP)
        else:
            _pinned(bench, out, side, x + sign * back.rebate_width / 2, out.back_y + board.thickness, seams)


def _fix_to_through_top(bench: Bench, out: SettingOut, board: Board, seams: Sequence[Seam]) -> None:
    """Hold the back in the groove or the rebate of a top that runs through, where it is let into one."""
    if _is_let_in_above(out) and out.piece.carcass.back.kind == "groove":
        bench.join("carcass/top|carcass/back", "groove", "carcass/top", "carcass/back", DOWN)
    elif _is_let_in_above(out):
        _pinned_above(bench, out, out.back_y + board.thickness, seams)


def _check(out: SettingOut, board: Board) -> None:
    back, side = out.piece.carcass.back, out.wall_board.thickness
    if out.open_top and back.kind != "rebate":
        raise ParameterError(
            "carcass.back.kind", f'"{back.kind}": a lid is hung on the back, which needs a back in a rebate'
        )
    if back.kind == "planted_on":
        return
    if back.kind == "rebate" and board.thickness > -out.back_y:
        raise ParameterError(
            "carcass.back.rebate_depth",
            f"{back.rebate_depth:g} mm is less than the back, {board.thickness:g} mm thick; it would stand proud of the sides; take 0, as deep as the back is thick",
        )
    if out.top_through:
        side = min(side, out.side_board.thickness)
    if back.rebate_width > side - LEAST_WALL:
        raise ParameterError(
            "carcass.back.rebate_width",
            f"{back.rebate_width:g} mm leaves {side - back.rebate_width:g} mm of a side {side:g} mm thick; use at most {side - LEAST_WALL:g} mm",
        )
    if back.clearance > back.rebate_width - LEAST_LAP:
        raise ParameterError(
            "carcass.back.clearance",
            f"{back.clearance:g} mm leaves the back {back.rebate_width - back.clearance:g} mm to lie on in the rebate; use at most {back.rebate_width - LEAST_LAP:g} mm",
        )


def _crossing(seams: Sequence[Seam], way: str, at: float) -> list[float]:
    """Where joints of the back cross a line that runs "across" at a height or "up" at an x."""
    kind = "upright" if way == "across" else "shelf"
    return [seam.at for seam in seams if seam.kind == kind and seam.span[0] - 1.0 < at < seam.span[1] + 1.0]


def _seamed(bench: Bench, out: SettingOut, seam: Seam, seams: Sequence[Seam]) -> None:
    """Two rows of pins into the board on which two parts of the back meet, each in the middle of what lies on it; glue with them."""
    part, (diameter, long) = bench.parts[seam.board], PIN
    upright, surface = (
        seam.kind == "upright",
        out.back_y + out.board(out.piece.carcass.back.board, "carcass.back.board").thickness,
    )
    start, quarter = part.place.origin[2 if upright else 0], out.side_board.thickness / 4
    names = []
    for off in (-quarter, quarter):
        at = seam.at + off
        places = [start + each for each in _spread(part.size[0], PIN_PITCH, FROM_CORNER)]
        for place in clear_of_seams(places, _crossing(seams, "up" if upright else "across", at), PIN_FROM_SEAM):
            where = vector(at, surface, place) if upright else vector(place, surface, at)
            parts = ("carcass/back", seam.board)
            names.append(
                bench.fasten("pin", f"pin {diameter:g} × {long:g}", diameter, long, where, FRONT, parts, "back pin")
            )
    area = part.size[0] * out.side_board.thickness
    bench.join(f"{seam.board}|carcass/back", "rebate", seam.board, "carcass/back", BACK, tuple(names), area)


def _screwed(bench: Bench, out: SettingOut, key: str, way: str, at: float, board: Board, seams: Sequence[Seam]) -> None:
    part = bench.parts[key]
    place, long, surface = part.place, part.size[0], out.back_y + board.thickness
    start = place.origin[0] if way == "across" else place.origin[2]
    size = screw_through("carcass.back.board", SCREW[0], board.thickness, SCREW[1])
    names = []
    places = [start + along for along in _spread(long, SCREW_PITCH, FROM_CORNER + 30.0)]
    away_from = _crossing(seams, way, at) + _in_their_way(bench, part, [each - start for each in places], size)
    for place_ in clear_of_seams(places, away_from, SCREW_FROM_SEAM):
        head = vector(place_, surface, at) if way == "across" else vector(at, surface, place_)
        names.append(bench.screw("carcass/back", key, head, FRONT, size, board.thickness, "back screw"))
    bench.join(f"{key}|carcass/back", "screws", key, "carcass/back", BACK, tuple(names))


def _in_their_way(bench: Bench, part: Part, places: Sequence[float], size: Screw) -> list[float]:
    """Where holes that a board has already are met by screws into the middle of its rear edge, along the back."""
    rear, thick = part.place.own_point(vector(0.0, 0.0, 0.0))[1], part.size[2]
    edge = 0.0 if abs(rear) < abs(rear - part.size[1]) else part.size[1]
    inward = size.length if edge == 0.0 else -size.length
    low, high = sorted((edge, edge + inward))
    start = part.place.origin[0 if abs(part.place.x[0]) > 0.5 else 2]
    half = size.diameter / 2
    found = []
    for place in places:
        pilot = (place - half, low, thick / 2 - half), (place + half, high, thick / 2 + half)
        for (begin, *_), (end, *_) in nearest(pilot, taken(bench, part), WOOD_BETWEEN):
            if end - begin < SCREW_FROM_SEAM:  # no groove that runs along
                found.append(round(start + (begin + end) / 2, 6))
    return found


def _pinned(bench: Bench, out: SettingOut, side: str, x: float, surface: float, seams: Sequence[Seam]) -> None:
    diameter, long = PIN
    names = []
    places = [out.outer.bottom + along for along in _spread(out.side_height, PIN_PITCH, FROM_CORNER)]
    for z in clear_of_seams(places, _crossing(seams, "up", x), PIN_FROM_SEAM):
        at = vector(x, surface, z)
        names.append(
            bench.fasten(
                "pin",
                f"pin {diameter:g} × {long:g}",
                diameter,
                long,
                at,
                FRONT,
                ("carcass/back", f"carcass/side.{side}"),
                "back pin",
            )
        )
    bench.join(
        f"carcass/side.{side}|carcass/back",
        "rebate",
        f"carcass/side.{side}",
        "carcass/back",
        BACK,
        tuple(names),
        out.side_height * out.piece.carcass.back.rebate_width,
    )


def _pinned_above(bench: Bench, out: SettingOut, surface: float, seams: Sequence[Seam]) -> None:
    """Pins through the back into the rebate of a top that runs through."""
    (diameter, long), wide = PIN, out.inner.width
    z = out.side_top + out.piece.carcass.back.rebate_width / 2
    what, parts = f"pin {diameter:g} × {long:g}", ("carcass/back", "carcass/top")
    places = [along - wide / 2 for along in _spread(wide, PIN_PITCH, FROM_CORNER, even=True)]
    names = tuple(
        bench.fasten("pin", what, diameter, long, vector(x, surface, z), FRONT, parts, "back pin")
        for x in clear_of_seams(places, _crossing(seams, "across", z), PIN_FROM_SEAM)
    )
    area = wide * out.piece.carcass.back.rebate_width
    bench.join("carcass/top|carcass/back", "rebate", "carcass/top", "carcass/back", BACK, names, area)


def _spread(long: float, pitch: float, from_end: float, even: bool = False) -> list[float]:
    """Places along a line, the first and last `from_end` from its ends, at most `pitch` apart; `even`: none in the middle."""
    free = long - 2 * from_end
    if free <= 0:
        return [long / 2]
    count = max(2, int(-(-free // pitch)) + 1)
    count += count % 2 if even else 0
    return [long / 2 + from_middle(free, i, count) for i in range(count)]
