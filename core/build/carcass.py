"""The carcass: sides, top, bottom, uprights, fixed shelves, back; stiffeners and anchor rails in it."""

from __future__ import annotations

from dataclasses import replace

from ..errors import ParameterError, blaming, within
from ..fastenings import dowel_for
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, vector
from .anchor_rails import lay_anchor_rails
from .backs import build_back, seat_back, seat_back_above
from .bench import Bench
from .contents import named_grain
from .framed_sides import reserve_fields, side_face
from .protocols import BayWalls, Meeting
from .setting_out import DividingBoard, Rect, SettingOut
from .stiffeners import lay_stiffeners
from .top_rails import keep_between_rails_free

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
    lay_stiffeners(bench, out, set_backs)
    lay_anchor_rails(bench, out)


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
