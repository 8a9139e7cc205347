"""What an entry of each open folder answers: the questions that setting out and the builders ask of it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

from ..geometry import Vector, cross, plus
from ..model import Board
from .bench import Bench
from .setting_out import DividingBoard, Rect, SettingOut

BoardById = Callable[[str], Board]


@dataclass(frozen=True, slots=True)
class Overhang:
    """How far a top reaches beyond the carcass at each side and at the front."""

    side: float = 0.0
    front: float = 0.0
    covered: float = 0.0  # how much of the carcass's upper edge it hides from the front and the sides


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """A flat face that a panel style dresses: a side of the carcass, a door, a drawer front.

    `corner` is its lower left corner seen from outside; `right` and `up` run along it, `out` looks outward.
    """

    key: str  # of what it belongs to: "side.left", "doors/leaf.right"
    panel: str  # key of the board it is planted on; empty where a true frame is the whole front
    what: str  # for names: "side", "door", "drawer front"
    corner: Vector
    right: Vector
    up: Vector
    width: float
    height: float
    floor: float  # height above the floor of its lower edge
    left_name: str  # what its left and right edges are called: "front", "rear", "hinge", "meeting", "left"
    right_name: str
    covered_top: float = 0.0  # hidden by what hangs over it
    run_down: float = 0.0  # how far its stiles run on below it, as legs
    finish: str = "fronts"
    covered_left: float = (
        0.0  # of a true frame: how much of its stile at that edge is hidden, so that it is made as much wider
    )
    covered_right: float = 0.0
    smaller: float = 0.0  # than designed, where its opening was measured: its fields may be as much smaller

    @property
    def out(self) -> Vector:
        """The outward normal."""
        return cross(self.right, self.up)

    def at(self, across: float, up: float, out: float = 0.0) -> Vector:
        """A point of the face: across from the left edge, up from the lower edge, out from the board."""
        return plus(plus(plus(self.corner, self.right, across), self.up, up), self.out, out)


class Panel(Protocol):
    """A way to dress a face (open folder build/panels)."""

    style: str
    stands_alone: bool  # a true frame: a front made so has no board behind it

    def face_thickness(self, board: BoardById) -> float:
        """How much it adds to the board it dresses."""

    def dress(self, bench: Bench, face: Face, board: BoardById) -> list[str]:
        """Lay down its parts; the keys of what was planted on, in the order of work."""

    def stile_shown(self, board: BoardById) -> float:
        """The width of a stile as seen, 0 where there is none."""

    def field_depth(self, board: BoardById) -> float:
        """How far the middle of a face lies behind its outermost plane."""


class Support(Protocol):
    """What a piece stands on (open folder build/supports)."""

    style: str

    def under(self, board: BoardById) -> float:
        """Height of the carcass's underside above the floor."""

    def run_down(self) -> float:
        """How far the stiles of the side frames run on below the carcass."""

    def clear_under(self, out: SettingOut) -> tuple[float, float] | None:
        """The left and right x between which something may hang under the bottom's front edge; None: no room."""

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Lay down its parts and fittings; the keys of assemblies to join to the whole."""


class Top(Protocol):
    """What closes a piece above (open folder build/tops)."""

    style: str
    opens_up: bool  # a lid: there is no carcass top beneath it

    def overhang(self) -> Overhang:
        """How far it reaches beyond the carcass."""

    def rise(self, board: BoardById) -> float:
        """How far it stands above the carcass."""

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Lay down its parts; the keys of assemblies to join to the whole."""


class CarcassJoint(Protocol):
    """How a board's end meets the face of another (open folder build/joints)."""

    style: str

    def make(self, bench: Bench, meeting: Meeting) -> None:
        """Cut both parts and put the fasteners in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Meeting:
    """The end of one board against the face of another.

    `start` is where the joint's centre line meets the carcass front, the one datum of every row; `along` runs toward the back;
    `row` is the length that all rows share and `set_back` how far behind the carcass front the board's own edge stands. `into`
    points from the face into the board that stands against it.
    """

    face: str
    edge: str
    start: Vector
    along: Vector
    into: Vector
    row: float
    set_back: float
    thickness: float
    staggered: bool = (
        False  # another board meets the face's other side here: the fasteners stand between those of its row
    )
    opposed: bool = False  # another board meets the face's other side here, whichever of the two gives way

    @property
    def length(self) -> float:
        """How far the two boards touch."""
        return self.row - self.set_back


class Inside(Protocol):
    """What a compartment holds (open folder build/insides).

    What hangs on the inside of a door says `on_front = True`, is laid down when the doors are hung, and answers `hangs_on(front, hand)` and
    `mass(board)`, so that the hinges are reckoned for it.
    """

    style: str

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Lay it in the bay; the keys of what was laid in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BayWalls:
    """A compartment as built: its clear space, and the keys of the boards around it."""

    key: str
    path: str  # where the compartment stands among the parameters: "layout[3]"
    rect: Rect
    front_f: float  # where its clear depth begins behind the carcass front
    back_f: float
    left: str
    right: str
    bottom: str
    top: str


__all__ = [
    "BayWalls",
    "Bench",
    "BoardById",
    "CarcassJoint",
    "DividingBoard",
    "Face",
    "Inside",
    "Meeting",
    "Overhang",
    "Panel",
    "Rect",
    "SettingOut",
    "Support",
    "Top",
]
