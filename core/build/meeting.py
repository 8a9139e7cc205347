"""Where the two doors of a pair meet: square edges, rebates cut into each other, or a cover bead; bolts for the door that follows."""

from __future__ import annotations

import math

from ..errors import ParameterError
from ..fittings import FittingEntry
from ..geometry import BACK, DOWN, FRONT, RIGHT, UP, Placement, Vector, negative, vector
from ..model import AT_FITTING, CLOSING_BEVEL, HINGE_RELIEF, MEETING_STILE, Opening, Pocket, When
from ..piece.fronts import Front
from ..units import up_to
from .bench import Bench
from .carcass import walls_of
from .clearance import is_free, nearest, own_box, standing_box
from .hanging import Leaf, stands_free
from .hardware import fitting_for, hole_for, screw_on
from .setting_out import SettingOut, has_bead
from .standing import saw_side
from .stops import above

REBATE_PLAY = 0.5  # mm between the two rebates through the doors' thickness: paint; common practice, no source
LEAST_NOSE = 4.0  # mm of door left at a rebate; common practice, no source
LEAST_BEAD_LAP = 3.0  # mm that a cover bead lies on each door; common practice, no source
BOLT_FROM_EDGE = 32.0  # mm from the closing edge to the middle of a bolt; common practice, no source
BOLT_STEPS, BEYOND_BOLT = 8, 2.0  # of 5 mm that a bolt gives way; mm of wood beyond its hole
BOLT_SHORT = 3.0  # mm from the board that a bolt shoots into to its plate; common practice, no source


def between_leaves(front: Front) -> float:
    """What two leaves take less than their opening: the meeting gap, less the rebate that they share.

    Both doors are (opening − 2 gaps − meeting gap + rebate) / 2 wide. Common practice, no source.
    """
    return front.gaps.meeting - (front.meeting_stiles.rebate if front.meeting_stiles.joint == "rebated" else 0.0)


def follows(front: Front, hand: str) -> bool:
    """Whether a leaf opens only after the other."""
    return front.kind == "pair" and front.meeting_stiles.joint != "square" and hand != front.meeting_stiles.leads


def tongue_of(front: Front, hand: str) -> float:
    """How much of a leaf at its closing edge lies behind the other."""
    return (
        front.meeting_stiles.rebate
        if front.kind == "pair" and front.meeting_stiles.joint == "rebated" and follows(front, hand)
        else 0.0
    )


def nose_of(front: Front, hand: str) -> float:
    """How much of a leaf at its closing edge laps the other."""
    return (
        front.meeting_stiles.rebate
        if front.kind == "pair" and front.meeting_stiles.joint == "rebated" and not follows(front, hand)
        else 0.0
    )


def shape_meeting(bench: Bench, out: SettingOut, leaf: Leaf) -> list[str]:
    """Cut a leaf's rebate, or plant the bead on the leading one; the keys of parts that are added."""
    if leaf.front.kind != "pair" or leaf.front.meeting_stiles.joint == "square":
        return []
    if has_bead(leaf.front):
        return [] if follows(leaf.front, leaf.hand) else [_bead(bench, out, leaf)]
    _rebate(bench, out, leaf)
    return []


def bevel_closing(bench: Bench, leaf: Leaf) -> None:
    """Plane the closing edge of an inset door toward the inside, from its face arris, so that it clears what it closes against."""
    angle, path = leaf.front.hanging.closing_bevel, f"{leaf.path}.hanging.closing_bevel"
    if not angle:
        return
    if leaf.front.lay != "inset":
        raise ParameterError(
            path, f'{angle:g}°: "{leaf.front.id}" is an overlay front, whose closing edge meets nothing; use 0'
        )
    if leaf.front.kind == "pair" and leaf.front.meeting_stiles.joint == "rebated":
        raise ParameterError(
            path, f"{angle:g}°: rebated meeting stiles lap one another and open in turn; use 0, or square meeting edges"
        )
    _plane_edge(
        bench, leaf, leaf.closing_x, negative(leaf.toward), angle, ("stile.meeting", "stile.closing"), CLOSING_BEVEL
    )


def relieve_hinge_edge(bench: Bench, leaf: Leaf) -> None:
    """Plane the hinge edge of an inset door a little under, from its face arris, so that its back never binds on the carcass."""
    angle, path = leaf.front.hanging.hinge_relief, f"{leaf.path}.hanging.hinge_relief"
    if not angle:
        return
    if leaf.front.lay != "inset":
        raise ParameterError(
            path, f'{angle:g}°: "{leaf.front.id}" is an overlay front, whose hinge edge meets nothing; use 0'
        )
    _plane_edge(bench, leaf, leaf.hinge_x, leaf.toward, angle, ("stile.hinge",), HINGE_RELIEF)


def _plane_edge(
    bench: Bench, leaf: Leaf, x: float, outward: Vector, angle: float, stiles: tuple[str, ...], purpose: str
) -> None:
    """Plane one upright edge of a leaf toward its back, through its board and the stile that lies on it."""
    turn = math.radians(angle)
    normal = (outward[0] * math.cos(turn), math.sin(turn), 0.0)
    for part in leaf.parts:
        if part.endswith(stiles) or (part == leaf.closing_back and "/stile." not in part):
            bench.saw(
                part,
                "bevel",
                vector(x, leaf.face_y, leaf.bottom),
                normal,
                angle,
                saw_side(bench.parts[part], outward),
                purpose,
                When("after glue-up", leaf.key),
            )


def _rebate(bench: Bench, out: SettingOut, leaf: Leaf) -> None:
    """Behind in the leading leaf, in front in the other, half of the thickness deep."""
    spec, path = leaf.front.meeting_stiles, f"{leaf.path}.meeting_stiles"
    deep = up_to((leaf.thick + REBATE_PLAY) / 2, out.finest)
    if spec.rebate <= leaf.front.gaps.meeting:
        raise ParameterError(
            f"{path}.rebate",
            f"{spec.rebate:g} mm is not more than the meeting gap, {leaf.front.gaps.meeting:g} mm: the doors would not lap",
        )
    if leaf.thick - deep < LEAST_NOSE:
        raise ParameterError(
            f"{path}.joint",
            f"rebates {deep:g} mm deep leave {leaf.thick - deep:g} mm of doors {leaf.thick:g} mm thick; at least {LEAST_NOSE:g} mm is needed: thicker doors, or a cover bead",
        )
    outward = negative(leaf.toward)[0]
    x, inner = leaf.closing_x + outward, leaf.closing_x - outward * spec.rebate
    y = (leaf.face_y - 1, leaf.face_y + deep) if leaf.tongue else (leaf.back_y - deep, leaf.back_y + 1)
    purpose = f"{MEETING_STILE} {spec.rebate:g} × {deep:g}, {'in front' if leaf.tongue else 'behind'}"
    for part in leaf.parts:
        if part != leaf.closing_back and not part.endswith("stile.meeting"):
            continue
        low, high = (
            bench.parts[part].place.point((0.0, 0.0, 0.0)),
            bench.parts[part].place.point(bench.parts[part].size),
        )
        near, far, ends = min(low[1], high[1]), max(low[1], high[1]), sorted((low[0], high[0]))
        if near < y[1] - 1e-6 and y[0] + 1e-6 < far and ends[0] < max(x, inner) and min(x, inner) < ends[1]:
            corners = vector(x, y[0], leaf.bottom - 1), vector(inner, y[1], leaf.bottom + leaf.high + 1)
            _keep_from_mortises(bench, part, corners, spec.rebate, f"{path}.rebate")
            bench.take_out(part, "rebate", *corners, purpose, When("after glue-up", leaf.key))


def _keep_from_mortises(bench: Bench, stile: str, corners: tuple[Vector, Vector], wide: float, path: str) -> None:
    """Refuse a rebate so wide, between two opposite corners, that would lay open the tenons in a meeting stile."""
    part = bench.parts[stile]
    rebate = own_box(part, *corners)
    for each in bench.features[stile]:
        if isinstance(each, Pocket) and each.kind == "mortise" and any(nearest(rebate, [(each.low, each.high)])):
            raise ParameterError(
                path,
                f"{wide:g} mm reaches the tenons in a meeting stile {part.size[1]:g} mm wide; a narrower rebate, a wider stile, or square meeting edges",
            )


def _bead(bench: Bench, out: SettingOut, leaf: Leaf) -> str:
    """Planted on the leading leaf's face, the meeting gap behind its middle."""
    spec, path = leaf.front.meeting_stiles, f"{leaf.path}.meeting_stiles"
    board, gap = out.board(spec.bead_board, f"{path}.bead_board"), leaf.front.gaps.meeting
    lap = (spec.bead_width - gap) / 2
    if lap < LEAST_BEAD_LAP:
        raise ParameterError(
            f"{path}.bead_width",
            f"{spec.bead_width:g} mm laps {lap:g} mm over each door beside a gap of {gap:g} mm; at least {gap + 2 * LEAST_BEAD_LAP:g} mm is needed",
        )
    outward = negative(leaf.toward)[0]
    middle = leaf.closing_x + outward * gap / 2
    key, on = (
        f"{leaf.key}/bead",
        next((part for part in leaf.parts if part.endswith("stile.meeting")), leaf.closing_back),
    )
    # x up, face side to the front: y runs to the left
    place = Placement(vector(middle + spec.bead_width / 2, leaf.face_y, leaf.bottom), UP, negative(RIGHT))
    bench.part(
        key, "cover bead", board, leaf.high, spec.bead_width, place, role="cover bead", finish="fronts", grain="length" if board.material.grained else "any",
        face_side="outside", face_edge="right edge", surviving_mark="back, on the door", setting="cover beads", notes=("planted on the leading door after it is hung and trimmed",),
    )  # fmt: skip
    bench.join(f"{on}|{key}", "glue", on, key, FRONT, (), leaf.high * lap)
    return key


# -------------------------------------------------------------------------------------------------------------------- bolts
def bolt_leaf(bench: Bench, out: SettingOut, leaf: Leaf, opening: Opening) -> list[str]:
    """Bolts at the top and the bottom of the door that follows, into what is above and below it."""
    spec, path = leaf.front.meeting_stiles, f"{leaf.path}.meeting_stiles.bolt"
    if not spec.bolt:
        return []
    entry = fitting_for(path, spec.bolt, "door bolt")
    ends = {"top": above(bench, out, leaf.front, opening, path), "bottom": _below(out, leaf, path)}
    made = []
    for end, (holder, z) in ends.items():
        place = _bolt_place(bench, leaf, entry, end, holder, z, path)
        key = f"{leaf.key}/bolt.{end}"
        bench.fit(key, entry, place, (leaf.closing_back,))
        screw_on(bench, key, {"door": leaf.closing_back}, blame=leaf.blamed())
        hole_for(bench, key, {"carcass": holder}, AT_FITTING)
        made.append(key)
    return made


def _bolt_place(bench: Bench, leaf: Leaf, entry: FittingEntry, end: str, holder: str, z: float, path: str) -> Placement:
    """Where a bolt sits: near the closing edge, or farther in where something is in its way."""
    away, hole = UP if end == "top" else DOWN, entry.holes_for()[0]
    if leaf.wide < 2 * BOLT_FROM_EDGE + leaf.tongue or leaf.high < 3 * entry.size("length"):
        raise ParameterError(
            path,
            f'"{entry.id}", {entry.size("length"):g} mm long, finds no room on a door {leaf.wide:g} mm wide and {leaf.high:g} mm high',
        )
    deep, room = hole.depth or 0.0, _room(bench, holder, away)
    if room < deep + BEYOND_BOLT:
        raise ParameterError(
            path,
            f'"{entry.id}" wants a hole {deep:g} mm deep in "{holder}", which is {room:g} mm thick; at least {deep + BEYOND_BOLT:g} mm is needed: take a thicker board, or leave it empty',
        )
    low, high = standing_box(bench.parts[leaf.closing_back])
    for step in range(BOLT_STEPS):
        x = leaf.rod_closing_x + leaf.sign * (BOLT_FROM_EDGE + leaf.tongue + 5.0 * step)
        place = Placement(
            vector(x, leaf.back_y, z - away[2] * BOLT_SHORT), BACK, RIGHT if end == "bottom" else negative(RIGHT)
        )
        if not low[0] + entry.size("width") / 2 <= x <= high[0] - entry.size("width") / 2:
            continue
        free = is_free(bench, holder, vector(*place.point(hole.at)[:2], z), away, hole.diameter, deep, 1.0)
        if free and stands_free(bench, entry.bodies_for(), place, {*leaf.parts}, 0.2):
            return place
    raise ParameterError(
        path,
        f'"{entry.id}" finds no room at the {end} of "{leaf.key}", {BOLT_FROM_EDGE:g} mm and more from its closing edge; leave it empty, or move what stands or is bored there',
    )


def _below(out: SettingOut, leaf: Leaf, path: str) -> tuple[str, float]:
    closed = out.closed_by(leaf.front)
    holder = walls_of(out, closed).get("bottom")
    if holder is None:
        raise ParameterError(
            path, f'there is no board below "{leaf.front.id}" for a bolt; leave it empty or put a board there'
        )
    return holder, closed.bottom


def _room(bench: Bench, key: str, along: tuple[float, float, float]) -> float:
    part = bench.parts[key]
    own = part.place.own_direction(along)
    return part.size[max(range(3), key=lambda i: abs(own[i]))]


__all__ = [
    "between_leaves",
    "bevel_closing",
    "bolt_leaf",
    "follows",
    "nose_of",
    "relieve_hinge_edge",
    "shape_meeting",
    "tongue_of",
]
