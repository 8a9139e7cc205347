"""Fronts: doors and pairs laid down and hung; a drawer's front is dressed here too."""

from __future__ import annotations

from dataclasses import replace

from ..catalogue import entries
from ..errors import ParameterError, within
from ..fittings import FittingEntry, fitting_entries
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ..mechanics import hinges_wanted
from ..model import Board, Member, Motion, Opening
from ..piece.fronts import Front
from ..units import down_to
from .bench import Bench
from .carcass import walls_of
from .handles import door_handle
from .hanging import HingeKind, Leaf
from .hardware import fitting_for
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
from .protocols import Face
from .setting_out import Rect, SettingOut, thickness_of
from .stops import lay_strip_above, stop_door

LEAF_BY_HEIGHT = (
    (900.0, 65.0),
    (1500.0, 75.0),
    (2000.0, 90.0),
    (9999.0, 100.0),
)  # mm of door up to, hinge; common practice, no source
LIPPING_HOLDS = 10.0  # mm of lipping that hold hinge screws without plugs; common practice, no source


def front_thickness(out: SettingOut, front: Front) -> float:
    """The whole thickness of a front: its board and what is planted on it, or its true frame."""
    return thickness_of(front, out.path(front), out.board)


def front_board(out: SettingOut, front: Front) -> Board:
    """What a front is screwed through and into: its board, or that of its true frame."""
    if front.panel.stands_alone:
        return out.board(front.panel.board, f"{out.path(front)}.panel.board")
    return out.board(front.board, f"{out.path(front)}.board")


def build_doors(bench: Bench, out: SettingOut, front: Front, opening: Opening) -> list[str]:
    """One door or a pair; the keys of the assemblies."""
    laps = laps_of(out, front)
    high = height_of(out, opening, laps)
    hands = ("left", "right") if front.kind == "pair" else (front.hanging.hand,)
    designed = _as_designed(out, front, opening)
    rod_high = height_of(out, designed, laps)
    hinges = {hand: _hinge(out, front, hand, rod_high, laps.at(hand)) for hand in hands}
    laps = _beside_hinges(front, laps, hinges, front_thickness(out, front))
    between = between_leaves(front) if front.kind == "pair" else 0.0
    whole, wide = _leaves(out, front, opening, laps, between, len(hands))
    rod, rod_wide = _leaves(out, front, designed, laps, between, len(hands))
    lay_strip_above(bench, out, front)
    made: list[str] = []
    leaves: dict[str, Leaf] = {}
    for hand in hands:
        made.append(f"{front.id}/leaf.{hand}")
        x = whole.left if hand == "left" else whole.right - wide
        rod_x = rod.left + rod_wide if hand == "left" else rod.right - rod_wide
        leaves[hand] = _leaf(
            bench,
            out,
            front,
            opening,
            made[-1],
            hand,
            round(x, 6),
            whole.bottom,
            wide,
            high,
            hinges[hand],
            (rod_high, round(rod_x, 6)),
        )
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
    made = {hand: -_kind(entry).gap(entry, front.gaps.side, thick) for hand, entry in hinges.items()}
    return Laps(made.get("left", laps.left), made.get("right", laps.right), laps.bottom, laps.top)


def lay_front(
    bench: Bench,
    out: SettingOut,
    front: Front,
    key: str,
    what: str,
    left: float,
    bottom: float,
    wide: float,
    high: float,
    edges: tuple[str, str],
    datum: str,
    tongue: tuple[float, float] = (0.0, 0.0),
) -> list[str]:
    """A front's board and what is planted on its face, or its true frame; the keys of all its parts.

    `tongue` is how much of it at the left and the right lies behind another front: strips end there, a true frame's stile is made wider.
    """
    back = out.y(out.front_f(front)[1])
    laid = (
        []
        if front.panel.stands_alone
        else [_front_panel(bench, out, front, key, what, left, back, bottom, wide, high, datum)]
    )
    behind = bench.parts[laid[0]].board.thickness if laid else 0.0
    short = tongue if laid else (0.0, 0.0)
    face = Face(
        key=key, panel=laid[0] if laid else "", what=what, corner=vector(left + short[0], back - behind, bottom), right=RIGHT, up=UP, width=round(wide - sum(short), 6), height=high,
        floor=bottom, left_name=edges[0], right_name=edges[1], covered_left=tongue[0] - short[0], covered_right=tongue[1] - short[1], smaller=out.lost(front),
    )  # fmt: skip
    with within(f"{out.path(front)}.panel"):
        laid += front.panel.dress(bench, face, lambda id: out.board(id, f"{out.path(front)}.panel.board"))
    if front.trim:
        _leave_to_trim(bench, laid, front.trim)
    return laid


def _leave_to_trim(bench: Bench, keys: list[str], allowance: float) -> None:
    """Cut what makes the outer edges of a front so much larger on each of them."""
    for key in keys:
        part, name = bench.parts[key], key.rsplit("/", 1)[-1]
        long, wide, thick = part.cut_size or part.size
        outer = {
            "front panel": (2, 2),
            "stile": (2, 1),
            "rail": (0, 1 if name in ("rail.top", "rail.bottom") else 0),
        }.get(part.role, (0, 0))
        if any(outer):
            cut = (
                max(long, round(part.size[0] + outer[0] * allowance, 6)),
                round(wide + outer[1] * allowance, 6),
                thick,
            )
            notes = (*part.notes, f"{allowance:g} on each outer edge: fit, then bevel, then paint")
            bench.parts[key] = replace(part, cut_size=cut, notes=notes)


def _front_panel(
    bench: Bench,
    out: SettingOut,
    front: Front,
    key: str,
    what: str,
    left: float,
    back: float,
    bottom: float,
    wide: float,
    high: float,
    datum: str,
) -> str:
    """The board of a front, its length along the longer side."""
    board = front_board(out, front)
    # x up, face side to the front: y = z × x runs to the left
    place = Placement(vector(left + wide, back, bottom), UP, LEFT)
    long_ways = high >= wide
    if not long_ways:  # x to the right, y up
        place = Placement(vector(left, back, bottom), RIGHT, UP)
    size = (high, wide) if long_ways else (wide, high)
    high_edge = datum == "left" if long_ways else False
    bench.part(
        f"{key}/panel", f"{what} panel", board, *size, place, role="front panel", finish="fronts", grain="length" if board.material.kind == "solid" else "any", face_side="outside", shown_one_side=True,
        face_edge=("left edge" if high_edge else "right edge") if long_ways else "lower edge", face_edge_high=high_edge, surviving_mark="hinge recess" if "leaf" in key else "back",
    )  # fmt: skip
    return f"{key}/panel"


def front_members(bench: Bench, key: str, parts: list[str]) -> list[tuple[str, Vector, int]]:
    """A front's parts as members of its assembly: a true frame as the one thing that it was glued up to, glass and beads from behind."""
    frame = next((assembly for assembly in bench.assemblies if assembly.key == f"{key}/frame"), None)
    if frame:
        framed = {member.key for member in frame.members}
        before = [(part, FRONT, 1) for part in parts if bench.parts[part].role == "cover bead"]
        behind = [
            (part, BACK, 1 if bench.parts[part].role == "pane" else 2)
            for part in parts
            if part not in framed and bench.parts[part].role != "cover bead"
        ]
        return [(frame.key, (0.0, 0.0, 0.0), 0), *before, *behind]
    return [(part, FRONT, min(number, 1)) for number, part in enumerate(parts)]


# --------------------------------------------------------------------------------------------------------------------- doors
def _leaf(
    bench: Bench,
    out: SettingOut,
    front: Front,
    opening: Opening,
    key: str,
    hand: str,
    left: float,
    bottom: float,
    wide: float,
    high: float,
    entry: FittingEntry,
    rod: tuple[float, float],
) -> Leaf:
    closing = "meeting" if front.kind == "pair" else "closing"
    edges = ("hinge", closing) if hand == "left" else (closing, "hinge")
    name = "door" if front.kind == "door" else f"{hand} door"
    hidden = tongue_of(front, hand)
    parts = lay_front(
        bench,
        out,
        front,
        key,
        name,
        left,
        bottom,
        wide,
        high,
        edges,
        hand,
        (0.0, hidden) if hand == "left" else (hidden, 0.0),
    )
    closed, (face_f, back_f) = out.closed_by(front), out.front_f(front)
    leaf = Leaf(
        front=front, path=out.path(front), key=key, hand=hand, left=left, bottom=bottom, wide=wide, high=high, face_y=out.y(face_f), back_y=out.y(back_f), parts=tuple(parts), tongue=hidden, nose=nose_of(front, hand), lipped=_lipping_holds(out, front), rod_high=rod[0], rod_closing_x=rod[1],
        wall=_wall(out, front, hand), wall_x=closed.left if hand == "left" else closed.right,
    )  # fmt: skip
    parts += shape_meeting(bench, out, leaf)
    bevel_closing(bench, leaf)
    relieve_hinge_edge(bench, leaf)
    hung = _kind(entry).hang(
        bench, out, leaf, entry, front.hanging.hinges or hinges_wanted(leaf.rod_high, _mass(bench, out, leaf))
    )
    knobs = door_handle(bench, out, leaf)
    moving = [*hung.moving, *lock_door(bench, out, leaf)]
    held = follows(front, hand)
    moving += [
        *(bolt_leaf(bench, out, leaf, opening) if held else []),
        *stop_door(bench, out, leaf, opening, catch=not held),
    ]
    stayed, reach = stay_door(bench, out, leaf, opening, hung.reach)
    moving += stayed
    members = front_members(bench, key, parts) + [(knob, FRONT, 2) for knob in knobs]
    members += [(each, (0.0, 0.0, 0.0), 0) for each in moving]
    if front.panel.stands_alone:
        glazed = any(bench.parts[each].role == "pane" for each in parts)
        after = "; panes and beads go in after that" if glazed else ""
        bench.assemble(key, name, members, how="screwed", notes=(f"both faces get the same coats{after}",))
    else:
        bench.assemble(key, name, members, notes=("stiles first, then rails; both faces get the same coats",))
    axis = DOWN if hand == "left" else UP  # a positive swing opens the door
    bench.motions.append(
        Motion(
            key=key,
            kind="swing",
            moves=(*parts, *knobs, *moving),
            through=hung.pin,
            axis=axis,
            reach=reach,
            after=f"{front.id}/leaf.{front.meeting_stiles.leads}" if held else "",
        )
    )
    return leaf


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


def _kind(entry: FittingEntry) -> HingeKind:
    return entries("build.hinging")[entry.kind]()


def _hinge(out: SettingOut, front: Front, hand: str, high: float, lap: float) -> FittingEntry:
    """The hinge that is named, where it suits the front; where none is, one by the door's lay, height and thickness."""
    path, thick = f"{out.path(front)}.hanging.hinge", front_thickness(out, front)
    if front.hanging.hinge:
        return _named_hinge(path, front, thick, lap)
    if front.lay == "inset":
        return _butt_hinge(path, front, thick, high)
    fit = [each for each in fitting_entries("concealed hinge") if not _kind(each).suits(each, thick, lap)]
    if not fit:
        known = "; ".join(
            f"{each.id}: {_kind(each).suits(each, thick, lap)}" for each in fitting_entries("concealed hinge")[:1]
        )
        raise ParameterError(
            path, f'no concealed hinge hangs "{front.id}" at the {hand}, where it laps {lap:g} mm ({known})'
        )
    return min(fit, key=lambda each: (abs(each.size("overlay") - lap), each.id))


def _named_hinge(path: str, front: Front, thick: float, lap: float) -> FittingEntry:
    known = entries("build.hinging")
    entry = fitting_for(path, front.hanging.hinge, *known)
    kind = _kind(entry)
    if front.lay not in kind.lays:
        raise ParameterError(
            path,
            f'"{entry.id}" is a {entry.kind} and hangs {kind.label}; "{front.id}" is {front.lay} overlay and wants a concealed hinge: leave it empty to have the right one',
        )
    if front.lay == "inset":
        lap = -kind.gap(entry, front.gaps.side, thick)
    why = kind.suits(entry, thick, lap)
    if why:
        raise ParameterError(path, f'"{entry.id}" does not suit "{front.id}": {why}')
    return entry


def _butt_hinge(path: str, front: Front, thick: float, high: float) -> FittingEntry:
    """The longest butt hinge that the door's height and thickness take."""
    fit = [
        each
        for each in fitting_entries("butt hinge")
        if not _kind(each).suits(each, thick, -front.gaps.side) and each.size("closed_thickness") > front.gaps.side
    ]
    if not fit:
        raise ParameterError(
            path,
            f"no butt hinge goes into a door {thick:g} mm thick with a gap of {front.gaps.side:g} mm; take a thicker board or a narrower gap",
        )
    wanted = next((leaf for most, leaf in LEAF_BY_HEIGHT if high <= most), LEAF_BY_HEIGHT[-1][1])
    fit.sort(key=lambda each: each.size("length"))
    return next((each for each in reversed(fit) if each.size("length") <= wanted), fit[0])


def _wall(out: SettingOut, front: Front, hand: str) -> str:
    walls = walls_of(out, out.closed_by(front))
    if hand not in walls:
        raise ParameterError(
            f"{out.path(front)}.closes",
            f'there is no board at the {hand} of "{front.id}", over its whole height, to hang a door on; put an upright there',
        )
    return walls[hand]


def drawer_front(
    bench: Bench, out: SettingOut, front: Front, opening: Opening
) -> tuple[list[str], Board, float, float, float, float]:
    """Lay down a drawer's front: its parts, board, left, bottom, width and height."""
    laps = laps_of(out, front)
    whole, high = rectangle(out, front, opening, laps), height_of(out, opening, laps)
    wide = down_to(opening.width + laps.left + laps.right, out.step)
    left = round((whole.left + whole.right - wide) / 2, 6)
    parts = lay_front(
        bench,
        out,
        front,
        f"{front.id}/front",
        "drawer front",
        left,
        whole.bottom,
        wide,
        high,
        ("left", "right"),
        "bottom",
    )
    return parts, front_board(out, front), left, whole.bottom, wide, high
