"""What the makers of a drawer hand to one another: where it goes, how its box fits its runners, the box, its corners."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Protocol

from ...geometry import Vector
from ...model import Board, Opening
from ...piece.fronts import Front
from ..bench import Bench
from ..setting_out import Rect, SettingOut

LEAST_ABOVE = 5.0  # mm above a box as built; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawerPlace:
    """Where one drawer goes. Depths f count from the carcass front."""

    front: Front
    path: str  # where it stands among the parameters: "fronts[2]"
    space: Rect  # clear between what its runners are fixed to, as designed
    opening: Opening  # the same as measured; its front closes it
    walls: Mapping[str, str]  # keys of what stands at its "left" and "right", and of the boards at "bottom" and "top"
    rails: Mapping[str, str]  # keys of the rails at "bottom" and "top", where there is a rail and no board
    rail_depth: float  # f of the rear edge of those rails
    face: float  # f of the front's outer face
    behind: float  # f of the front's back, where the box begins; below 0 where it lies over the carcass
    room: float  # clear depth behind the front
    above: float  # how far a stiffener hangs into the opening

    @property
    def clear_height(self) -> float:
        """The height that box and runners are set out in: as designed, so that a measured opening changes the front alone.

        Only where what was measured would leave too little above the box, that counts.
        """
        measured = round(self.opening.height - self.above, 6)
        designed = measured if self.above else self.space.height
        spare = max(self.front.drawer.clear_above - LEAST_ABOVE, 0.0)
        return designed if designed - measured <= spare + 1e-6 else measured


@dataclass(frozen=True, slots=True, kw_only=True)
class LaidFront:
    """A drawer's front as laid down."""

    parts: tuple[str, ...]
    board: Board
    left: float
    bottom: float
    wide: float
    high: float
    face_board: str  # key of its board; empty for a true frame

    @property
    def right(self) -> float:
        """Its right edge."""
        return round(self.left + self.wide, 6)

    @property
    def top(self) -> float:
        """Its upper edge."""
        return round(self.bottom + self.high, 6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How a box fits its runners."""

    left: float  # of the box, over its sides
    right: float
    bottom: float
    height: float
    depth: float
    groove_up: float  # underside of the groove for the bottom above the lower edge of the box
    notch: tuple[float, float] = (
        0.0,
        0.0,
    )  # width and height taken out of the lower corners of the back, from the sides' inner faces


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """The sizes of one drawer box, fixed once; its front is its own or the drawer's front itself."""

    key: str  # how the keys of its parts begin: "drawer/box"
    fit: Fit
    board: Board
    bottom_board: Board
    start: float  # y of the plane behind the planted front, or of the back of an integral one
    front_key: str  # key of the part that is its front
    front_thick: float
    integral: bool
    front_span: tuple[float, float]  # of the part that is its front: left and right x
    front_rise: tuple[float, float]  # lower and upper z
    groove_depth: float
    on_four_sides: bool

    @property
    def t(self) -> float:
        """The thickness of its sides."""
        return self.board.thickness

    @property
    def left(self) -> float:
        """Its left, over the side."""
        return self.fit.left

    @property
    def right(self) -> float:
        """Its right, over the side."""
        return self.fit.right

    @property
    def inside(self) -> tuple[float, float]:
        """The x of the sides' inner faces."""
        return round(self.left + self.t, 6), round(self.right - self.t, 6)

    @property
    def bottom(self) -> float:
        """The lower edge of its sides."""
        return self.fit.bottom

    @property
    def top(self) -> float:
        """The upper edge of its sides."""
        return round(self.fit.bottom + self.fit.height, 6)

    @property
    def rear(self) -> float:
        """The y of its rear."""
        return round(self.start + self.fit.depth, 6)

    @property
    def inner_front(self) -> float:
        """The y of its front's inner face."""
        return self.start if self.integral else round(self.start + self.front_thick, 6)

    @property
    def inner_back(self) -> float:
        """The y of its back's inner face."""
        return round(self.rear - self.t, 6)

    @property
    def groove(self) -> tuple[float, float]:
        """The z of the lower and upper wall of the groove for the bottom."""
        low = self.fit.bottom + self.fit.groove_up
        return round(low, 6), round(low + self.bottom_board.thickness, 6)

    @property
    def back_low(self) -> float:
        """The lower edge of the back: on the bottom that is slid in under it, or level with the sides."""
        return self.bottom if self.on_four_sides else self.groove[1]

    def side(self, hand: str) -> str:
        """The key of a side."""
        return f"{self.key}/side.{hand}"

    @property
    def back_key(self) -> str:
        """The key of its back."""
        return f"{self.key}/back"


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxCorner:
    """Where a side of the box meets its front or its back."""

    path: str  # of the drawer's parameters
    side: str
    end: str  # key of the front or back
    is_front: bool
    butts: bool  # the side stands against the face of an integral front
    outer: float  # x of the side's outer face
    inward: Vector  # into the box, along the front
    t: float  # thickness of the side
    inner: float  # y of the inner face of the front or back
    outward: Vector  # from that face out of the box: FRONT at the front, BACK at the back
    thick: float  # of the front or back
    low: float  # z between which the two meet
    high: float
    side_low: float  # lower edge of the side
    end_low: float  # lower and upper edge of the front or back
    end_high: float
    clear: tuple[float, float]  # z of the walls of the groove for the bottom; equal where none is near
    beyond: float  # how far an integral front runs on past the side's outer face

    @property
    def inner_x(self) -> float:
        """The x of the side's inner face."""
        return round(self.outer + self.inward[0] * self.t, 6)

    def y(self, out: float) -> float:
        """The y of a place so far out from the inner face of the front or back."""
        return round(self.inner + self.outward[1] * out, 6)

    @property
    def hand(self) -> str:
        """Which corner it is: "left" or "right"."""
        return "left" if self.inward[0] > 0 else "right"


class BoxJoint(Protocol):
    """How the corners of a drawer box are made (open folder build/box_joints)."""

    style: str
    spans: bool  # the box front and back run over the ends of the sides; else they stand between them

    def reach(self, thick: float, is_front: bool) -> float:
        """How far a side reaches past the inner face of a front or back so thick."""

    def make(self, bench: Bench, corner: BoxCorner) -> None:
        """Cut both parts, put the fasteners in, glue the corner."""


@dataclass(frozen=True, slots=True)
class Hung:
    """What the runners of a drawer came to."""

    moves: tuple[str, ...] = ()  # what goes with the drawer
    half: tuple[str, ...] = ()  # what goes half as far
    fixed: tuple[str, ...] = ()  # assemblies and fittings that stay
    travel: float = 0.0


class Runners(Protocol):
    """What a drawer runs on (open folder build/runners)."""

    style: str

    def fit(self, bench: Bench, out: SettingOut, place: DrawerPlace, laid: LaidFront) -> Fit:
        """How large the box is, and where it runs."""

    def hang(self, bench: Bench, out: SettingOut, place: DrawerPlace, box: Box) -> Hung:
        """Lay down the runners and fix them to the walls and the box."""

    def face(self) -> float:
        """How far behind the carcass front a stop brings the face of the front."""


__all__ = ["Box", "BoxCorner", "BoxJoint", "DrawerPlace", "Fit", "Hung", "LaidFront", "Runners"]
