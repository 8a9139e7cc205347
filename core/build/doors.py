"""Doors and pairs: laid down, shaped at their edges, hung, and fitted with what opens, holds and stops them."""

from __future__ import annotations

from dataclasses import replace

from ..errors import ParameterError
from ..fittings import FittingEntry
from ..geometry import DOWN, FRONT, UP
from ..mechanics import hinges_wanted
from ..model import Member, Motion, Opening
from ..piece.fronts import Front
from ..units import down_to
from .bench import Bench
from .carcass import walls_of
from .front_boards import FrontBoard, front_members, front_thickness, lay_front
from .handles import door_handle
from .hanging import Leaf
from .hinge_choice import hinge_of, kind_of
from .laying import Laps, height_of, laps_of, rectangle
from .locking import lock_door, lock_pair, stay_door
from .meeting import (
    between_leaves,
    bevel_closing,
    bolt_leaf,
    follows,
    nose_of,
    relieve_hinge_edge,
    shape_meeting,
    tongue_of,
)
from .setting_out import Rect, SettingOut
from .stops import lay_strip_above, stop_door

LIPPING_HOLDS = 10.0  # mm of lipping that hold hinge screws without plugs; common practice, no source


def build_doors(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> list[str]:
    """One door or a pair; the keys of the assemblies."""
    laps = laps_of(out, front)
    high = height_of(out, opening, laps)
    hands = ("left", "right") if front.kind == "pair" else (front.hanging.hand,)
    designed = _as_designed(out, front, opening)
    rod_high = height_of(out, designed, laps)
    hinges = {hand: hinge_of(out, front, hand, rod_high, laps.at(hand)) for hand in hands}
    laps = _beside_hinges(front, laps, hinges, front_thickness(out, front))
    between = between_leaves(front) if front.kind == "pair" else 0.0
    whole, wide = _leaves(out, front, opening, laps, between, len(hands))
    rod, rod_wide = _leaves(out, front, designed, laps, between, len(hands))
    lay_strip_above(bench, out, front)
    made: list[str] = []
    leaves: dict[str, Leaf] = {}
    for hand in hands:
        made.append(f"{front.id}/leaf.{hand}")
        at_left = hand == "left"
        asked = FrontBoard(
            key=made[-1],
            what=_called(front, hand),
            left=round(whole.left if at_left else whole.right - wide, 6),
            bottom=whole.bottom,
            wide=wide,
            high=high,
            edges=_edges(front, hand),
            face_edge=hand,
            tongue=_tongues(front, hand),
        )
        rod_closing_x = round(rod.left + rod_wide if at_left else rod.right - rod_wide, 6)
        leaves[hand] = _lay_leaf(bench, out, front, hand, asked, rod_high, rod_closing_x)
        _hang(bench, out, leaves[hand], opening, hinges[hand])
    if front.kind == "pair":
        leads = front.meeting_stiles.leads
        held = next(hand for hand in hands if hand != leads)
        for key, fitting in lock_pair(bench, leaves[leads], leaves[held]).items():
            _goes_with(bench, key, fitting)
    return sorted(made, key=lambda key: not follows(front, key.rsplit(".", 1)[-1]))  # the leading door is hung last


def _as_designed(out: SettingOut, front: Front, opening: Opening) -> Opening:
    """The opening of a front before anything was measured."""
    closed = out.closed_by(front)
    return replace(opening, left=closed.left, right=closed.right, bottom=closed.bottom, top=closed.top)


def _leaves(
    out: SettingOut, front: Front, opening: Opening, laps: Laps, between: float, count: int
) -> tuple[Rect, float]:
    """What one door or a pair covers, and how wide each door is."""
    width = opening.width + laps.left + laps.right - between
    return rectangle(out, front, opening, laps), down_to(width / count, out.step)


def _beside_hinges(front: Front, laps: Laps, hinges: dict[str, FittingEntry], thick: float) -> Laps:
    """The gaps of an inset front as its hinges make them."""
    if front.lay != "inset":
        return laps
    made = {hand: -kind_of(entry).gap(entry, front.gaps.side, thick) for hand, entry in hinges.items()}
    return Laps(made.get("left", laps.left), made.get("right", laps.right), laps.bottom, laps.top)


# --------------------------------------------------------------------------------------------------------------------- doors
def _called(front: Front, hand: str) -> str:
    return "door" if front.kind == "door" else f"{hand} door"


def _edges(front: Front, hand: str) -> tuple[str, str]:
    """What the stiles of a door at its left and its right are called."""
    closing = "meeting" if front.kind == "pair" else "closing"
    return ("hinge", closing) if hand == "left" else (closing, "hinge")


def _tongues(front: Front, hand: str) -> tuple[float, float]:
    """How much of a door at its left and its right lies behind the leading one."""
    hidden = tongue_of(front, hand)
    return (0.0, hidden) if hand == "left" else (hidden, 0.0)


def _lay_leaf(
    bench: Bench,
    out: SettingOut,
    front: Front,
    hand: str,
    asked: FrontBoard,
    rod_high: float,
    rod_closing_x: float,
) -> Leaf:
    """Lay down one door; `rod_high` and `rod_closing_x` are its height and its closing edge as designed."""
    closed, (face_f, back_f) = out.closed_by(front), out.front_f(front)
    return Leaf(
        front=front,
        path=out.path(front),
        key=asked.key,
        hand=hand,
        left=asked.left,
        bottom=asked.bottom,
        wide=asked.wide,
        high=asked.high,
        face_y=out.y(face_f),
        back_y=out.y(back_f),
        parts=tuple(lay_front(bench, out, front, asked)),
        tongue=tongue_of(front, hand),
        nose=nose_of(front, hand),
        lipped=_lipping_holds(out, front),
        rod_high=rod_high,
        rod_closing_x=rod_closing_x,
        wall=_wall(out, front, hand),
        wall_x=closed.left if hand == "left" else closed.right,
    )


def _hang(bench: Bench, out: SettingOut, leaf: Leaf, opening: Opening, entry: FittingEntry) -> None:
    """Shape the edges of a door that was laid down, hang it, put on what it is opened, held and stopped by."""
    front = leaf.front
    parts = [*leaf.parts, *shape_meeting(bench, out, leaf)]
    bevel_closing(bench, leaf)
    relieve_hinge_edge(bench, leaf)
    count = front.hanging.hinges or hinges_wanted(leaf.rod_high, _mass(bench, out, leaf))
    hung = kind_of(entry).hang(bench, out, leaf, entry, count)
    knobs = door_handle(bench, out, leaf)
    moving = [*hung.moving, *lock_door(bench, out, leaf)]
    held = follows(front, leaf.hand)
    moving += bolt_leaf(bench, out, leaf, opening) if held else []
    moving += stop_door(bench, out, leaf, opening, catch=not held)
    stayed, reach = stay_door(bench, out, leaf, opening, hung.reach)
    moving += stayed
    _assemble(bench, leaf, parts, knobs, moving)
    bench.motions.append(
        Motion(
            key=leaf.key,
            kind="swing",
            moves=(*parts, *knobs, *moving),
            through=hung.pin,
            axis=DOWN if leaf.hand == "left" else UP,  # a positive swing opens the door
            reach=reach,
            after=f"{front.id}/leaf.{front.meeting_stiles.leads}" if held else "",
        )
    )


def _assemble(bench: Bench, leaf: Leaf, parts: list[str], knobs: list[str], moving: list[str]) -> None:
    """A door as an assembly: its board or frame, then knobs from the front, then what was screwed to it."""
    members = front_members(bench, leaf.key, parts) + [(knob, FRONT, 2) for knob in knobs]
    members += [(each, (0.0, 0.0, 0.0), 0) for each in moving]
    name = _called(leaf.front, leaf.hand)
    if leaf.front.panel.stands_alone:
        glazed = any(bench.parts[each].role == "pane" for each in parts)
        after = "; panes and beads go in after that" if glazed else ""
        bench.assemble(leaf.key, name, members, how="screwed", notes=(f"both faces get the same coats{after}",))
    else:
        bench.assemble(leaf.key, name, members, notes=("stiles first, then rails; both faces get the same coats",))


def _lipping_holds(out: SettingOut, front: Front) -> bool:
    """Whether the lipping of a door is of wood and thick enough to hold the screws of its hinges."""
    if not front.lipping:
        return False
    board = out.board(front.lipping, f"{out.path(front)}.lipping")
    return not board.material.weak_edge and board.thickness >= LIPPING_HOLDS


def _goes_with(bench: Bench, leaf: str, fitting: str) -> None:
    """Let a fitting that was put on late be one of a door's, and swing with it."""
    for number, assembly in enumerate(bench.assemblies):
        if assembly.key == leaf:
            members = (*assembly.members, Member(fitting, (0.0, 0.0, 0.0), 0))
            bench.assemblies[number] = replace(assembly, members=members)
    for number, motion in enumerate(bench.motions):
        if motion.key == leaf:
            bench.motions[number] = replace(motion, moves=(*motion.moves, fitting))


def _mass(bench: Bench, out: SettingOut, leaf: Leaf) -> float:
    """What the hinges of a door carry, kg."""
    mass = (
        sum(
            bench.parts[part].size[0]
            * bench.parts[part].size[1]
            * bench.parts[part].size[2]
            * bench.parts[part].board.material.density
            for part in leaf.parts
        )
        / 1e9
    )
    return mass + _hung_on(out, leaf.front, leaf.hand)


def _hung_on(out: SettingOut, front: Front, hand: str) -> float:
    """The mass of what the compartments behind a door hang on its inside, kg."""
    closed = {leaf for id in front.closes for leaf in out.layout.within(id)}
    things = [
        (leaf, number, each)
        for leaf in out.layout.leaves()
        if leaf.id in closed
        for number, each in enumerate(leaf.holds)
        if getattr(each, "on_front", False)
    ]
    return sum(
        each.mass(lambda id, leaf=leaf, number=number: out.board(id, f"{out.path_of(leaf.id)}.holds[{number}].board"))
        for leaf, number, each in things
        if each.hangs_on(front, hand)
    )


def _wall(out: SettingOut, front: Front, hand: str) -> str:
    walls = walls_of(out, out.closed_by(front))
    if hand not in walls:
        raise ParameterError(
            f"{out.path(front)}.closes",
            f'there is no board at the {hand} of "{front.id}", over its whole height, to hang a door on; put an upright there',
        )
    return walls[hand]
