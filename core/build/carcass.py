"""The carcass: sides, top, bottom, uprights, fixed shelves, back, stiffeners and anchor rails."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from ..errors import ParameterError, blaming, within
from ..fastenings import DRIVER, Screw, dowel_for, plug_for
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, plus, vector
from ..units import from_middle
from .backs import build_back, seat_back, seat_back_above
from .bench import Bench
from .clearance import first_free, is_free, nearest, shifted, standing_box
from .contents import named_grain
from .framed_sides import reserve_fields, side_face
from .hardware import LEAST_UNDER_HEAD, PLUG_DEEP, plug_over, screw_through
from .protocols import BayWalls, Meeting
from .setting_out import DividingBoard, Rect, SettingOut
from .standing import least_thickness
from .top_rails import keep_between_rails_free

RAIL_SCREW, STIFFENER_SCREW = (4.0, 22.0), (4.0, 27.0)  # diameter, hold; common practice, no source
STIFFENER_SCREWS = 5
STIFFENER_SCREW_STEP = 6.0  # mm by which they give way; common practice, no source
THINNEST_STIFFENER = 2.5 * STIFFENER_SCREW[0]  # mm round a screw in its edge; common practice, no source
ANCHOR_RAIL_SCREWS = 3
BESIDE_SCREW = 12.0  # mm between the axes of two screws that cross in one board; common practice, no source
RAIL_END = 12.0  # mm between a screw and the end of an anchor rail; common practice, no source
BELOW_RAIL = 10.0  # mm left free under an anchor rail or a stiffener; common practice, no source
RAIL_SCREWS_APART = 25.0  # mm at the least between screws into the edge of an anchor rail; common practice, no source
SAME_PLACE = 0.05  # mm within which two places are one: half of the finest step that a place is rounded to
ANCHOR_RAIL = "carcass/anchor_rail."  # how the keys of the rails begin
TOP_STIFFENER = "carcass/stiffener.top."  # how the keys of those under the top begin
MARK_ON = {  # where a number survives the painting: on the boards that the back lies on, and on the sides
    "rebate": ("rear edge, in the rebate", "in the rebate"),
    "groove": ("rear edge, against the back", "in the groove for the back"),
    "planted_on": ("rear edge, under the back", "rear edge, under the back"),
}


def build_carcass(bench: Bench, out: SettingOut, set_backs: dict[str, float]) -> None:
    """Lay down and joint the carcass; `set_backs` says how far behind the front each dividing board stands."""
    _sides(bench, out)
    _horizontals(bench, out)
    for divider in out.dividers:
        _divider(bench, out, divider, set_backs[divider.key])
    _side_frames(bench, out)
    _joints(bench, out, set_backs)
    build_back(bench, out)
    _stiffeners(bench, out, set_backs)
    _anchor_rails(bench, out)


def row_length(out: SettingOut) -> float:
    """The depth of top, bottom and fixed shelves, which every row of fasteners shares."""
    return round(out.depth + out.back_y, 6)


def walls_of(out: SettingOut, rect: Rect) -> dict[str, str]:
    """The keys of the boards at the left, right, bottom and top of a rectangle of the elevation."""
    found = {}
    if rect.left == out.inner.left:
        found["left"] = "carcass/side.left"
    if rect.right == out.inner.right:
        found["right"] = "carcass/side.right"
    if rect.bottom == out.inner.bottom:
        found["bottom"] = "carcass/bottom"
    if rect.top == out.inner.top and not out.open_top:
        found["top"] = "carcass/top"
    for divider in out.dividers:
        other = divider.rect
        if divider.kind == "upright" and other.bottom <= rect.bottom and rect.top <= other.top:
            if other.right == rect.left:
                found["left"] = divider.key
            if other.left == rect.right:
                found["right"] = divider.key
        if divider.kind != "upright" and other.left <= rect.left and rect.right <= other.right:
            if other.top == rect.bottom:
                found["bottom"] = divider.key
            if other.bottom == rect.top:
                found["top"] = divider.key
    return found


# -------------------------------------------------------------------------------------------------------------------- boards
def _sides(bench: Bench, out: SettingOut) -> None:
    high, low = out.side_height, out.outer.bottom
    common = dict(
        role="side",
        finish="carcass",
        face_side="inside",
        face_edge="front edge",
        surviving_mark=MARK_ON[out.piece.carcass.back.kind][1],
        setting="sides",
    )
    board = out.wall_board
    left = Placement(vector(out.outer.left, 0.0, low), UP, FRONT)
    right = Placement(vector(out.outer.right, -out.depth, low), UP, BACK)
    bench.part("carcass/side.left", "side panel, left", board, high, out.depth, left, face_edge_high=True, **common)
    bench.part("carcass/side.right", "side panel, right", board, high, out.depth, right, **common)
    seat_back(bench, out)


def _mark_on(out: SettingOut) -> str:
    """Where the number of a board that the back lies on is pencilled."""
    return MARK_ON[out.piece.carcass.back.kind][0]


def _horizontals(bench: Bench, out: SettingOut) -> None:
    deep = row_length(out)
    common = dict(
        role="horizontal",
        finish="carcass",
        face_edge="front edge",
        surviving_mark=_mark_on(out),
        setting="between the sides",
    )
    low = vector(out.inner.left, -out.depth, out.outer.bottom)
    bench.part(
        "carcass/bottom",
        "bottom",
        out.side_board,
        out.inner.width,
        deep,
        Placement(low, RIGHT, BACK),
        face_side="up",
        **common,
    )
    if out.open_top:
        return
    if out.top_through:
        keep_between_rails_free(bench, out)  # refuses rails under it
        _through_top(bench, out)
        return
    high = vector(out.inner.left, out.y(deep), out.outer.top)  # face down: y runs to the front
    bench.part(
        "carcass/top",
        "top",
        out.side_board,
        out.inner.width,
        deep,
        Placement(high, RIGHT, FRONT),
        face_side="down",
        face_edge_high=True,
        **common,
    )
    keep_between_rails_free(bench, out)


def _through_top(bench: Bench, out: SettingOut) -> None:
    """The top over the sides: as wide as they and what is planted on them, as deep as they are."""
    place = Placement(vector(-out.half, 0.0, out.outer.top), RIGHT, FRONT)  # face down: y runs to the front
    bench.part(
        "carcass/top",
        "top",
        out.side_board,
        out.over_frames,
        out.depth,
        place,
        role="horizontal",
        finish="carcass",
        face_side="down",
        face_edge="front edge",
        face_edge_high=True,
        surviving_mark=_mark_on(out) if out.piece.carcass.back.kind != "groove" else "rear edge",
    )
    seat_back_above(bench, out)


def _divider(bench: Bench, out: SettingOut, divider: DividingBoard, set_back: float) -> None:
    deep, rect, y = round(row_length(out) - set_back, 6), divider.rect, out.y(set_back)
    common = dict(finish="inside" if set_back else "carcass", face_edge="front edge", surviving_mark=_mark_on(out))
    if divider.kind == "rail":
        wide = rail_width(out)
        place = Placement(vector(rect.left, y, rect.bottom), RIGHT, BACK)
        grain = named_grain(out.side_board)
        bench.part(
            divider.key, "drawer rail", out.side_board, rect.width, wide, place, role="drawer rail", grain=grain, face_side="up", setting=f"drawer rails {rect.width:g}", **{**common, "surviving_mark": "rear edge"}
        )  # fmt: skip
    elif divider.kind == "shelf":
        place = Placement(vector(rect.left, y, rect.bottom), RIGHT, BACK)
        setting = "between the sides" if rect.width == out.inner.width else f"shelves {rect.width:g}"
        bench.part(
            divider.key,
            "fixed shelf",
            out.side_board,
            rect.width,
            deep,
            place,
            role="fixed shelf",
            face_side="up",
            setting=setting,
            **common,
        )
    else:
        place = Placement(vector(rect.left, y, rect.bottom), UP, BACK)  # face side looks right
        bench.part(
            divider.key,
            "upright",
            out.side_board,
            rect.height,
            deep,
            _facing_right(place, rect, deep),
            role="upright",
            face_side="right",
            face_edge_high=True,
            setting=f"uprights {rect.height:g}",
            **common,
        )


def _facing_right(place: Placement, rect: Rect, deep: float) -> Placement:
    """x up, z to the right: y runs to the front, so the origin stands at the rear."""
    return Placement(vector(rect.left, place.origin[1] + deep, rect.bottom), UP, FRONT)


def _side_frames(bench: Bench, out: SettingOut) -> None:
    """Dress the boards of the sides; where the sides are frames themselves, keep what is bored clear of their panels."""
    if out.framed_sides:
        for side in ("left", "right"):
            reserve_fields(bench, out, side)
        return
    with within("carcass.side_panel"):
        for side in ("left", "right"):
            out.piece.carcass.side_panel.dress(
                bench, side_face(out, side), lambda id: out.board(id, "carcass.side_panel.board")
            )


# -------------------------------------------------------------------------------------------------------------------- joints
def _joints(bench: Bench, out: SettingOut, set_backs: dict[str, float]) -> None:
    joint = out.piece.carcass.joint
    boards = [
        ("carcass/bottom", Rect(out.inner.left, out.inner.right, out.outer.bottom, out.inner.bottom), "shelf", 0.0)
    ]
    if not out.open_top and not out.top_through:
        boards += [("carcass/top", Rect(out.inner.left, out.inner.right, out.inner.top, out.outer.top), "shelf", 0.0)]
    boards += [(each.key, each.rect, each.kind, set_backs[each.key]) for each in out.dividers if each.kind != "rail"]
    meetings = [
        meeting
        for key, rect, kind, set_back in boards
        for meeting in _meetings(out, key, rect, kind, set_back, set_backs)
    ]
    for meeting in meetings:
        with within("carcass.joint"):
            gives_way = any(_opposite(meeting, other) for other in meetings)
            keeps = any(_opposite(other, meeting) for other in meetings)
            joint.make(bench, replace(meeting, staggered=gives_way, opposed=gives_way or keeps))
    if out.top_through:
        _sides_under_top(bench, out)
    _dowel_rails(bench, out)


def _sides_under_top(bench: Bench, out: SettingOut) -> None:
    """Joint the upper ends of the sides to the underside of a top that runs through."""
    t = out.wall_board.thickness
    for side, x in (("left", out.outer.left + t / 2), ("right", out.outer.right - t / 2)):
        key, start = f"carcass/side.{side}", vector(x, -out.depth, out.side_top)
        long = bench.parts[key].size[0]
        meeting = Meeting(face="carcass/top", edge=key, start=start, along=BACK, into=DOWN, row=row_length(out), set_back=0.0, thickness=t)  # fmt: skip
        with within("carcass.joint"):
            out.piece.carcass.joint.make(bench, meeting)
        let_in = round(bench.parts[key].size[0] - long, 6)
        if let_in > 0 and out.back_y < 0:
            bench.take_out(
                key,
                "notch",
                vector(x - t, out.back_y, out.side_top),
                vector(x + t, 1.0, out.side_top + let_in + 1.0),
                f"rear corner {let_in:g} × {-out.back_y:g}, behind the housing",
            )


def rail_width(out: SettingOut) -> float:
    """How far a drawer rail reaches from the carcass front toward the back."""
    return min(out.piece.carcass.drawer_rail, row_length(out))


def _dowel_rails(bench: Bench, out: SettingOut) -> None:
    """Two dowels in each end of a drawer rail, at a quarter of its width from its edges; beside those of a rail beyond an upright.

    Common practice, no source.
    """
    wide, t = rail_width(out), out.side_board.thickness
    met: dict[str, list[float]] = {}
    for divider in sorted((each for each in out.dividers if each.kind == "rail"), key=lambda each: each.key):
        walls, height = walls_of(out, divider.rect), divider.rect.bottom + t / 2
        for end, x, into in (("left", divider.rect.left, RIGHT), ("right", divider.rect.right, LEFT)):
            if end not in walls:
                raise ParameterError(*_nothing_to_stand_against(out, divider.key, divider.kind, end))
            with blaming("carcass.board"):  # a framed side may be thinner
                size = dowel_for(min(t, bench.parts[walls[end]].board.thickness))
            there = met.setdefault(walls[end], [])
            beside = any(abs(other - height) < t for other in there) or _shelf_beyond(out, walls[end], height)
            there.append(height)
            places = [wide / 2] if beside else [round(wide / 4, 1), round(wide * 3 / 4, 1)]
            names = [
                bench.dowel(walls[end], divider.key, vector(x, out.y(place), height), into, size, "dowel")
                for place in places
            ]
            bench.join(f"{walls[end]}|{divider.key}", "dowels", walls[end], divider.key, into, tuple(names), wide * t)


def _shelf_beyond(out: SettingOut, wall: str, height: float) -> bool:
    """Whether a fixed shelf meets a wall at the height of a rail, from its other side."""
    return any(
        each.kind == "shelf"
        and wall in walls_of(out, each.rect).values()
        and abs(each.rect.bottom + out.side_board.thickness / 2 - height) < out.side_board.thickness
        for each in out.dividers
    )


def _meetings(
    out: SettingOut, key: str, rect: Rect, kind: str, set_back: float, set_backs: dict[str, float]
) -> list[Meeting]:
    """Where the two ends of a board meet the faces of others."""
    walls, t = walls_of(out, rect), out.side_board.thickness
    if kind == "shelf":
        height = rect.bottom + t / 2
        ends = (
            ("left", vector(rect.left, -out.depth, height), RIGHT),
            ("right", vector(rect.right, -out.depth, height), LEFT),
        )
    else:
        middle = rect.left + t / 2
        ends = (
            ("bottom", vector(middle, -out.depth, rect.bottom), UP),
            ("top", vector(middle, -out.depth, rect.top), DOWN),
        )
    made = []
    for end, start, into in ends:
        if end not in walls:
            raise ParameterError(*_nothing_to_stand_against(out, key, kind, end))
        behind = max(set_back, set_backs.get(walls[end], 0.0))
        made.append(
            Meeting(
                face=walls[end],
                edge=key,
                start=start,
                along=BACK,
                into=into,
                row=row_length(out),
                set_back=behind,
                thickness=t,
            )
        )
    return made


def _opposite(meeting: Meeting, other: Meeting) -> bool:
    """Whether another board meets the same board from its other side in the same place, and keeps the row (by its key)."""
    if meeting.face != other.face or meeting.into == other.into or meeting.edge <= other.edge:
        return False
    axis = 2 if meeting.into[0] else 0
    return abs(meeting.start[axis] - other.start[axis]) < meeting.thickness


def _nothing_to_stand_against(out: SettingOut, key: str, kind: str, end: str) -> tuple[str, str]:
    divider = next(each for each in out.dividers if each.key == key)
    parent = out.layout.by_id[divider.before[0]].parent
    what = {"upright": "upright", "rail": "drawer rail"}.get(kind, "fixed shelf")
    return (
        f"{out.path_of(parent)}.divided",
        f'the {what} in "{parent}" has no board at its {end} to be joined to; put one between the compartments there',
    )


# ------------------------------------------------------------------------------------------------------ stiffeners and rails
def _stiffeners(bench: Bench, out: SettingOut, set_backs: dict[str, float]) -> None:
    spec = out.piece.carcass.stiffeners
    for divider in out.dividers:
        below = divider.before[0]
        if divider.kind == "shelf" and out.rects[below].width > spec.over_length and not out.layout.parts(below):
            rect = out.rects[below]
            if rect.height < spec.shelf_depth + BELOW_RAIL:
                raise ParameterError(
                    "carcass.stiffeners.shelf_depth", f'{spec.shelf_depth:g} mm finds no room in "{below}", {rect.height:g} mm high; use at most {rect.height - BELOW_RAIL:g} mm'
                )  # fmt: skip
            name = divider.key.rsplit("/", 1)[-1]
            _stiffener(
                bench,
                out,
                f"carcass/stiffener.{name}",
                f"stiffener under {name.split('.')[0]}",
                divider.key,
                rect.left,
                rect.right,
                rect.top,
                spec.shelf_depth,
                _stiffener_f(out, below, set_backs),
                "glue",
            )
    if spec.under_top and not out.open_top:
        _stiffen_top(bench, out, set_backs)
    span = out.piece.support.clear_under(out)
    if span and out.inner.width > spec.over_length and out.outer.bottom > spec.bottom_depth + 20:
        key = "carcass/stiffener.bottom"
        _stiffener(
            bench,
            out,
            key,
            "stiffener under bottom",
            "carcass/bottom",
            span[0],
            span[1],
            out.outer.bottom,
            spec.bottom_depth,
            spec.bottom_set_back,
            "glue and screws",
        )


def _stiffener_f(out: SettingOut, id: str, set_backs: dict[str, float]) -> float:
    """How far behind the carcass front a stiffener above a compartment stands: behind an inset front, flush under an overlay one."""
    overlaid = any(each.lay != "inset" and out.closed_by(each).holds(out.rects[id]) for each in out.piece.fronts)
    return set_backs.get(f"bay.{id}", 0.0) or (0.0 if overlaid else out.piece.carcass.stiffeners.bottom_set_back)


def _stiffen_top(bench: Bench, out: SettingOut, set_backs: dict[str, float]) -> None:
    """A stiffener under the top over each bay that is longer than boards go without; not where a front closes the bay beside it too."""
    spec = out.piece.carcass.stiffeners
    for leaf in out.layout.leaves():
        rect = out.rects[leaf.id]
        if rect.top != out.inner.top or rect.width <= spec.over_length or _shares_a_front(out, rect):
            continue
        least = max(spec.shelf_depth, spec.anchor_rail_width) + BELOW_RAIL
        if rect.height < least:
            raise ParameterError(
                "carcass.stiffeners.under_top",
                f'a stiffener {spec.shelf_depth:g} mm deep finds no room in "{leaf.id}", {rect.height:g} mm high; at least {least:g} mm is needed: turn it off, or make the stiffener less deep',
            )
        _stiffener(
            bench,
            out,
            f"{TOP_STIFFENER}{leaf.id}",
            "stiffener under top",
            "carcass/top",
            rect.left,
            rect.right,
            rect.top,
            spec.shelf_depth,
            _stiffener_f(out, leaf.id, set_backs),
            "glue",
        )


def _shares_a_front(out: SettingOut, rect: Rect) -> bool:
    """Whether a front reaches from a bay over its neighbour."""
    closed = [out.closed_by(front) for front in out.piece.fronts]
    return any(each.holds(rect) and each.width > rect.width for each in closed)


def _stiffener(
    bench: Bench,
    out: SettingOut,
    key: str,
    name: str,
    under: str,
    left: float,
    right: float,
    top: float,
    deep: float,
    f: float,
    how: str,
) -> None:
    board = out.board(out.piece.carcass.stiffeners.board, "carcass.stiffeners.board")
    least_thickness("carcass.stiffeners.board", board, THINNEST_STIFFENER, "a stiffener with screws into its edge")
    long = round(right - left, 6)
    # on edge: x to the right, y up, face side toward the front
    place = Placement(vector(left, out.y(f) + board.thickness, top - deep), RIGHT, UP)
    bench.part(
        key,
        name,
        board,
        long,
        deep,
        place,
        grain="length",
        role="stiffener",
        finish="carcass" if under == "carcass/bottom" else "inside",
        face_side="front",
        face_edge="upper edge",
        face_edge_high=True,
        surviving_mark="upper edge",
    )
    names: list[str] = []
    if how == "glue and screws" and not bench.seen_only:
        thick = out.side_board.thickness
        size = screw_through("carcass.board", STIFFENER_SCREW[0], thick, STIFFENER_SCREW[1], deep)
        for x in _stiffener_screw_places(bench, under, left, right, out.y(f) + board.thickness / 2, top + thick, size):
            at = vector(x, out.y(f) + board.thickness / 2, top + thick)
            names.append(bench.screw(under, key, at, DOWN, size, thick, "stiffener screw"))
    bench.join(f"{under}|{key}", how, under, key, DOWN, tuple(names), long * board.thickness)


def _stiffener_screw_places(
    bench: Bench, under: str, left: float, right: float, y: float, z: float, size: Screw
) -> list[float]:
    """Where screws go down into a stiffener: moved outward, or inward, from under what stands on the board; of one in the middle, to both sides."""
    board = bench.parts[under]
    standing = [standing_box(part) for part in bench.parts.values() if part.key != under]

    def clear(x: float) -> bool:
        over = vector(x - DRIVER, y - DRIVER, z - 1.0), vector(x + DRIVER, y + DRIVER, z + 1.0)
        depth = board.size[2]
        return is_free(bench, under, vector(x, y, z), DOWN, size.clearance, depth) and not any(nearest(over, standing))

    middle, found = (left + right) / 2, []
    for i in range(STIFFENER_SCREWS):
        x = middle + from_middle(right - left - 120.0, i, STIFFENER_SCREWS)
        if clear(x):
            found.append(x)
            continue
        aside = (step * STIFFENER_SCREW_STEP for step in range(1, 9))
        if abs(x - middle) < SAME_PLACE:
            found += next(([x - by, x + by] for by in aside if clear(x - by) and clear(x + by)), [])
            continue
        outward = math.copysign(1.0, x - middle)
        places = (round(x + way * outward * by, 6) for by in aside for way in (1, -1))
        found += [place for place in places if left + RAIL_END < place < right - RAIL_END and clear(place)][:1]
    return found


def _anchor_rails(bench: Bench, out: SettingOut) -> None:
    spec = out.piece.carcass.stiffeners
    if not spec.anchor_rails or out.open_top:
        return
    thick = out.side_board.thickness
    sunk = PLUG_DEEP if out.piece.top.style == "flush" and thick - PLUG_DEEP >= LEAST_UNDER_HEAD else 0.0
    size = screw_through("carcass.board", RAIL_SCREW[0], thick - sunk, RAIL_SCREW[1])
    wide = max(size.clearance, plug_for(size.name) if sunk else 0.0)
    rear = out.back_y
    for leaf in out.layout.leaves():
        rect = out.rects[leaf.id]
        if rect.top != out.inner.top:
            continue
        if rect.height < spec.anchor_rail_width + BELOW_RAIL:
            raise ParameterError(
                "carcass.stiffeners.anchor_rail_width", f'{spec.anchor_rail_width:g} mm finds no room in "{leaf.id}", {rect.height:g} mm high; use at most {rect.height - BELOW_RAIL:g} mm'
            )  # fmt: skip
        key = f"{ANCHOR_RAIL}{leaf.id}"
        # on edge against the back: x to the right, y up, face side toward the front
        place = Placement(vector(rect.left, rear, rect.top - spec.anchor_rail_width), RIGHT, UP)
        bench.part(
            key,
            "anchor rail",
            out.side_board,
            rect.width,
            spec.anchor_rail_width,
            place,
            role="anchor rail",
            finish="inside",
            face_side="front",
            face_edge="upper edge",
            face_edge_high=True,
            surviving_mark="rear face",
            setting="anchor rails",
        )
        names: list[str] = []
        stand: list[float] = []
        places = _anchor_screw_places(bench, rect)
        ends = places[:1] + places[-1:]
        if out.framed_sides:  # the ends first, from outside in: what gives way, gives way alike in a mirror image
            places.sort(key=lambda x: (x not in ends, -abs(x), x))
        for x in places:
            at = vector(x, rear - out.side_board.thickness / 2, out.outer.top)
            if out.framed_sides:  # whose dowels stand nearer to the back than those of a board
                most = rect.width / 3 if abs(x) > SAME_PLACE else 0.0  # one in the very middle favours no side
                tried = shifted(at, LEFT if x > 0 else RIGHT, most, 4.0)
                at = first_free(bench, "carcass/top", tried, DOWN, wide, thick, 2.0)
            crowded = x not in ends and at is not None and any(abs(at[0] - each) < RAIL_SCREWS_APART for each in stand)
            if at is None or crowded:
                continue
            stand.append(at[0])
            if sunk:
                plug_over(bench, "carcass/top", at, DOWN, size, sunk, "anchor rail plug")
            names.append(
                bench.screw(
                    "carcass/top",
                    key,
                    plus(at, DOWN, sunk),
                    DOWN,
                    size,
                    thick - sunk,
                    "anchor rail screw",
                )
            )
        bench.join(
            f"carcass/top|{key}",
            "glue and screws",
            "carcass/top",
            key,
            DOWN,
            tuple(names),
            rect.width * out.side_board.thickness,
        )
        bench.join(f"carcass/back|{key}", "glue", "carcass/back", key, FRONT, (), rect.width * spec.anchor_rail_width)


def _anchor_screw_places(bench: Bench, rail: Rect) -> list[float]:
    """Where screws go down into an anchor rail, from left to right; one that would stand too near to the last at an end is left out."""
    reach = rail.width * (ANCHOR_RAIL_SCREWS - 1) / ANCHOR_RAIL_SCREWS
    wanted = [
        (rail.left + rail.right) / 2 + from_middle(reach, i, ANCHOR_RAIL_SCREWS) for i in range(ANCHOR_RAIL_SCREWS)
    ]
    in_the_way = [
        each.at[0]
        for each in bench.fasteners.values()
        if each.purpose in ("back screw", "back pin") and each.parts[1] == "carcass/top"
    ]
    first, *between, last = (_clear_of(in_the_way, x, rail) for x in wanted)
    ends = {place for place in (first, last) if place is not None}
    inner = {
        place for place in between if place is not None and all(abs(place - end) >= RAIL_SCREWS_APART for end in ends)
    }
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
        (place for place in places if rail.left + RAIL_END < place < rail.right - RAIL_END and clear(place)), None
    )


def bay_walls(out: SettingOut, id: str, set_backs: dict[str, float]) -> BayWalls:
    """A compartment as built; it must have a board at each side to hold anything."""
    rect = out.rects[id]
    walls = walls_of(out, rect)
    for side in ("left", "right"):
        if side not in walls:
            raise ParameterError(
                f"{out.path_of(id)}.holds",
                f'there is no board at the {side} of "{id}" for its contents to be fixed to; put an upright there',
            )
    return BayWalls(
        key=id, path=out.path_of(id), rect=rect, front_f=set_backs.get(f"bay.{id}", 0.0), back_f=row_length(out), left=walls["left"], right=walls["right"],
        bottom=walls.get("bottom", ""), top=walls.get("top", ""),
    )  # fmt: skip


__all__ = ["bay_walls", "build_carcass", "row_length", "walls_of"]
