"""The boards of fronts, which doors, drawers and fixed panels share: a board with what is planted on it, or a true frame."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ..errors import within
from ..geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ..model import Board, Opening
from ..piece.fronts import Front
from ..units import down_to
from .bench import Bench
from .laying import height_of, laps_of, rectangle
from .protocols import Face
from .setting_out import SettingOut, thickness_of


@dataclass(frozen=True, slots=True, kw_only=True)
class FrontBoard:
    """A front to be laid down: its key, what it is called, and where it lies in the elevation."""

    key: str
    what: str  # "left door", "drawer front"
    left: float
    bottom: float
    wide: float
    high: float
    edges: tuple[str, str] = ("left", "right")  # what its stiles at the left and the right are called
    face_edge: str = "bottom"  # "left", "right" or "bottom"; a front that is wider than high has it below
    tongue: tuple[float, float] = (0.0, 0.0)  # how much of it at the left and the right lies behind another front


def front_thickness(out: SettingOut, front: Front) -> float:
    """The whole thickness of a front: its board and what is planted on it, or its true frame."""
    return thickness_of(front, out.path(front), out.board)


def front_board(out: SettingOut, front: Front) -> Board:
    """What a front is screwed through and into: its board, or that of its true frame."""
    if front.panel.stands_alone:
        return out.board(front.panel.board, f"{out.path(front)}.panel.board")
    return out.board(front.board, f"{out.path(front)}.board")


def single_board(
    out: SettingOut, front: Front, opening: Opening, key: str, what: str, face_edge: str = "bottom"
) -> FrontBoard:
    """The board of a front that closes an opening alone, in the middle of it."""
    laps = laps_of(out, front)
    whole, wide = rectangle(out, front, opening, laps), down_to(opening.width + laps.left + laps.right, out.step)
    return FrontBoard(
        key=key,
        what=what,
        left=round((whole.left + whole.right - wide) / 2, 6),
        bottom=whole.bottom,
        wide=wide,
        high=height_of(out, opening, laps),
        face_edge=face_edge,
    )


def lay_front(bench: Bench, out: SettingOut, front: Front, asked: FrontBoard) -> list[str]:
    """A front's board and what is planted on its face, or its true frame; the keys of all its parts.

    Strips end where a tongue begins; a true frame's stile is made wider by it.
    """
    back = out.y(out.front_f(front)[1])
    laid = [] if front.panel.stands_alone else [_lay_board(bench, out, front, asked, back)]
    behind = bench.parts[laid[0]].board.thickness if laid else 0.0
    short = asked.tongue if laid else (0.0, 0.0)
    face = Face(
        key=asked.key,
        panel=laid[0] if laid else "",
        what=asked.what,
        corner=vector(asked.left + short[0], back - behind, asked.bottom),
        right=RIGHT,
        up=UP,
        width=round(asked.wide - sum(short), 6),
        height=asked.high,
        floor=asked.bottom,
        left_name=asked.edges[0],
        right_name=asked.edges[1],
        covered_left=asked.tongue[0] - short[0],
        covered_right=asked.tongue[1] - short[1],
        smaller=out.lost(front),
    )
    with within(f"{out.path(front)}.panel"):
        laid += front.panel.dress(bench, face, lambda id: out.board(id, f"{out.path(front)}.panel.board"))
    if front.trim:
        _leave_to_trim(bench, laid, front.trim)
    return laid


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


def _lay_board(bench: Bench, out: SettingOut, front: Front, asked: FrontBoard, back: float) -> str:
    """The board of a front, its length along the longer side; its key."""
    board, key = front_board(out, front), f"{asked.key}/panel"
    common = dict(
        role="front panel",
        finish="fronts",
        grain="length" if board.material.kind == "solid" else "any",
        face_side="outside",
        shown_one_side=True,
        surviving_mark="hinge recess" if "leaf" in asked.key else "back",
    )
    if asked.high >= asked.wide:
        # x up, face side to the front: y = z × x runs to the left
        place = Placement(vector(asked.left + asked.wide, back, asked.bottom), UP, LEFT)
        at_left = asked.face_edge == "left"
        edge = dict(face_edge="left edge" if at_left else "right edge", face_edge_high=at_left)
        bench.part(key, f"{asked.what} panel", board, asked.high, asked.wide, place, **edge, **common)
    else:  # x to the right, y up
        place = Placement(vector(asked.left, back, asked.bottom), RIGHT, UP)
        edge = dict(face_edge="lower edge", face_edge_high=False)
        bench.part(key, f"{asked.what} panel", board, asked.wide, asked.high, place, **edge, **common)
    return key


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
