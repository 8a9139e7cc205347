"""The frieze: flat boards on edge round the carcass between its top and the moulding, as high as is asked for.

Front and returns stand flush with the carcass's faces and are mitred at the front corners. Fillets inside their upper edges take the
screws that go up into the moulding, on the bench; a back tie, corner blocks and blocks behind the front take those that come up through
the carcass top, from inside. Frieze and moulding are lifted on together; the moulding itself is made as it would be without.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..errors import ParameterError
from ..fields import flag, ident, length
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ..model import Board
from .bench import Bench
from .cornice import SCREW, Hold, lies_on
from .hardware import screw_through
from .setting_out import SettingOut
from .standing import least_thickness, spread

LEAST_BOARD = 15.0  # mm thick on edge, for its mitres and dowels; common practice, no source
LEAST_SEAT = 20.0  # mm of wood behind the frieze for the screws up into the moulding; common practice, no source
# mm: blocks behind the front at the carcass top; common practice, no source
FOOT, FOOT_WIDTH, FEET_APART = 120.0, 45.0, 450.0
ROW, FROM_BLOCK = 300.0, 15.0  # mm between screws up into the moulding; from them to what would be in a driver's way
OPEN = 100.0  # mm of the front between the corner blocks that two screws find room in


def frieze_height() -> float:
    """The parameter of a top that may have a frieze under it: its height, 0 for none."""
    return length(
        0, 0, 300, "Frieze", "Height of a flat board round the carcass, between its top and the moulding; 0 for none"
    )


def frieze_board() -> str:
    """The parameter of what it is cut from."""
    return ident("mdf-18", "Frieze board", "What the frieze is cut from; it is coated with the carcass")


def frieze_later() -> bool:
    """The parameter of one that comes when the sides are made."""
    return flag(
        False,
        "Frieze comes later",
        "Top rails of the sides are as wide as under the moulding alone: for sides that are made already",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Frieze:
    """A frieze and what lies on it.

    `fillet` is what fillets, tie and blocks are cut from, `tie_field` the parameter that says so; `over` the key of the moulding's part over each of "front", "left", "right";
    `seat` from where to where that part's wood lies behind the carcass's faces, and `into` how much of it there is for a screw; `rear`
    how far before the back the moulding's tie ends.
    """

    out: SettingOut
    height: float
    board: Board
    fillet: Board
    block: float
    tie_width: float
    over: dict[str, str]
    seat: tuple[float, float]
    into: float
    rear: float
    tie_field: str = "tie_board"

    @property
    def _deep(self) -> float:
        """How far the fillets reach behind the frieze: to where the wood over them ends."""
        return round(self.seat[1] - self.board.thickness, 6)

    @property
    def _inner(self) -> float:
        """Half the clear width inside the frieze."""
        return round(self.out.half - self.board.thickness, 6)

    def check(self) -> None:
        """ParameterError where it is too low, or leaves its screws no wood."""
        least_thickness("frieze_board", self.board, LEAST_BOARD, "a frieze on edge")
        thick = self.fillet.thickness
        if self.height < 2 * thick:
            raise ParameterError(
                "frieze",
                f"{self.height:g} mm does not hide a fillet over a block, each {thick:g} mm thick; use at least {2 * thick:g} mm, 0 for none, or cut tie and blocks from a thinner board",
            )
        room = round(self.seat[1] - max(self.seat[0], self.board.thickness), 6)
        if room < LEAST_SEAT:
            raise ParameterError(
                "frieze_board",
                f"{self.board.thickness:g} mm: {max(room, 0):g} mm of the moulding lie behind the frieze for its screws; at least {LEAST_SEAT:g} mm are needed: a thinner frieze, or {LEAST_SEAT - room:g} mm more of the moulding on its seat",
            )
        self._hold().check()
        front, rear = self._between()
        if rear - front < 2 * FROM_BLOCK:
            most = max(0.0, self.block - (2 * FROM_BLOCK - rear + front))
            raise ParameterError(
                "block",
                f"{self.block:g} mm leaves no room between corner block and tie for a screw up into the moulding's return; use at most {most:g} mm under a frieze, or a narrower tie",
            )

    def build(self, bench: Bench) -> str:
        """Lay it down under a moulding that is there already; the key of the assembly of both."""
        for side in ("front", "left", "right"):
            self._member(bench, side)
        for side in ("left", "right"):
            self._corner(bench, side)
        for side in ("front", "left", "right"):
            self._fillet(bench, side)
            self._screw_up(bench, side)
        feet = self._feet(bench)
        self._hold(tuple((key, x, self.board.thickness + FOOT_WIDTH / 2) for key, x in feet)).lay(bench)
        self._rest(bench)
        members: list[tuple[str, Vector, int]] = [("frieze/front", (0.0, 0.0, 0.0), 0), ("frieze/tie", BACK, 0)]
        members += [("frieze/return.left", LEFT, 1), ("frieze/return.right", RIGHT, 1)]
        members += [(f"frieze/fillet.{side}", UP, 2) for side in ("front", "left", "right")]
        members += [(key, DOWN, 3) for key in ("frieze/block.left", "frieze/block.right", *(key for key, _ in feet))]
        members += [("cornice", UP, 4)]
        notes = ("the moulding is screwed on from beneath, on the bench; both are lifted on together",)
        bench.assemble("frieze", "frieze with its cornice", members, notes=notes)
        return "frieze"

    # ------------------------------------------------------------------------------------------------------------ boards
    def _member(self, bench: Bench, side: str) -> None:
        """A board on edge, its face flush with the carcass's."""
        out, t, z = self.out, self.board.thickness, self.out.outer.top
        half, front, inner = out.half, out.y(0.0), self._inner
        place, long = {
            "front": (Placement(vector(-half, front + t, z), RIGHT, UP), 2 * half),
            "left": (Placement(vector(-inner, 0.0, z), FRONT, UP), -front),
            "right": (Placement(vector(inner, front, z), BACK, UP), -front),
        }[side]
        bench.part(
            _key(side),
            "frieze front" if side == "front" else f"frieze return, {side}",
            self.board,
            round(long, 6),
            self.height,
            place,
            role="frieze",
            finish="carcass",
            grain="length" if self.board.material.grained else "any",
            face_side="outside",
            face_edge="lower edge",
            surviving_mark="on the inside",
            shown_one_side=True,
            setting="frieze",
            notes=("long point to long point; size each mitre with glue first",)
            if side == "front"
            else ("long point; cut long, trim at the rear",),
        )

    def _corner(self, bench: Bench, side: str) -> None:
        """The mitre of front and return."""
        sign, diagonal = (-1.0 if side == "left" else 1.0), 0.5**0.5
        corner, key = vector(sign * self.out.half, self.out.y(0.0), self.out.outer.top), _key(side)
        words, left = "corner of the frieze", side == "left"
        bench.saw(
            "frieze/front", "mitre", corner, (sign * diagonal, diagonal, 0.0), 45.0, "foot end" if left else "head end", words
        )  # fmt: skip
        bench.saw(
            key, "mitre", corner, (-sign * diagonal, -diagonal, 0.0), 45.0, "head end" if left else "foot end", words
        )
        area = self.board.thickness * 1.414 * self.height
        bench.join(f"{key}|frieze/front", "glue", "frieze/front", key, LEFT if left else RIGHT, (), area)

    # ----------------------------------------------------------------------------------------------------------- fillets
    def _fillet(self, bench: Bench, side: str) -> None:
        """A strip inside a board's upper edge, as wide as the moulding lies over it."""
        out, inner, wide, thick = self.out, self._inner, self._deep, self.fillet.thickness
        z, front = round(out.outer.top + self.height - thick, 6), out.y(self.board.thickness)
        behind = round(front + wide, 6)
        place, long = {
            "front": (Placement(vector(-inner, front, z), RIGHT, BACK), 2 * inner),
            "left": (Placement(vector(-inner, 0.0, z), FRONT, RIGHT), -behind),
            "right": (Placement(vector(inner, behind, z), BACK, LEFT), -behind),
        }[side]
        key = f"frieze/fillet.{side}"
        bench.part(
            key,
            f"frieze fillet, {side}",
            self.fillet,
            round(long, 6),
            wide,
            place,
            role="batten",
            finish="carcass",
            grain="length",
            face_side="up",
            face_edge="against the frieze",
            surviving_mark="underside",
            setting="frieze fillets",
        )
        bench.join(f"{_key(side)}|{key}", "glue", _key(side), key, UP, (), long * thick)

    def _screw_up(self, bench: Bench, side: str) -> None:
        """Through a fillet into the moulding over it, where a driver stands clear of what lies beneath."""
        key, over, thick = f"frieze/fillet.{side}", self.over[side], self.fillet.thickness
        size = screw_through("top.board", SCREW[0], thick, SCREW[1], self.into)
        middle = (max(self.seat[0], self.board.thickness) + self.seat[1]) / 2
        z = round(self.out.outer.top + self.height - thick, 6)
        if side == "front":
            places = [vector(x, self.out.y(middle), z) for x in self._along_front()]
        else:
            sign = -1.0 if side == "left" else 1.0
            x = round(sign * (self.out.half - middle), 6)
            places = [vector(x, y, z) for y in spread(*self._between(), ROW, FROM_BLOCK)]
        names = tuple(
            bench.screw(key, over, at, UP, size, thick, "moulding screw", marked_through=True) for at in places
        )
        bench.join(f"{key}|{over}", "screws", key, over, UP, names)

    def _between(self) -> tuple[float, float]:
        """From where to where on a return nothing beneath is in a driver's way."""
        front = self.out.y(self.board.thickness) + max(self.block, self._deep)
        return round(front, 6), round(-self.rear - self.tie_width, 6)

    # ------------------------------------------------------------------------------------------------------------ blocks
    def _stretches(self) -> tuple[float, int]:
        """What of the front is free between the corner blocks, and into how many stretches the blocks behind it divide that."""
        free = 2 * (self._inner - self.block)
        return free, 1 + 2 * max(
            0, math.ceil((free / FEET_APART - 1 - 1e-9) / 2)
        )  # an odd number: an upright stands in the middle

    def _along_front(self) -> list[float]:
        free, count = self._stretches()
        if count == 1:
            return [-free / 4, free / 4] if free >= OPEN else [0.0]
        return [round(free * (number + 0.5) / count - free / 2, 6) for number in range(count)]

    def _feet(self, bench: Bench) -> list[tuple[str, float]]:
        """Blocks behind the front at the carcass top, for the screws from inside; their keys and the x of their middles."""
        free, count = self._stretches()
        made = []
        for number in range(1, count):
            x = round(free * number / count - free / 2, 6)
            side = "left" if x < 0 else "right"
            key = f"frieze/foot.{side}.{min(number, count - number)}"
            bench.part(
                key,
                "frieze block",
                self.fillet,
                FOOT,
                FOOT_WIDTH,
                Placement(vector(x - FOOT / 2, self.out.y(self.board.thickness), self.out.outer.top), RIGHT, BACK),
                role="block",
                finish="carcass",
                grain="length",
                face_side="up",
                face_edge="against the frieze",
                surviving_mark="underside",
                setting="frieze blocks",
            )
            bench.join(f"frieze/front|{key}", "glue", "frieze/front", key, BACK, (), FOOT * self.fillet.thickness)
            made.append((key, x))
        return made

    def _hold(self, more: tuple[tuple[str, float, float], ...] = ()) -> Hold:
        returns = {side: _key(side) for side in ("left", "right")}
        return Hold(
            out=self.out, board=self.fillet, inner=self._inner, behind_front=self.out.y(self.board.thickness), tie_width=self.tie_width, block=self.block,
            front="frieze/front", returns=returns, of="frieze", wall=self.board.thickness, tie_field=self.tie_field, more=more,
        )  # fmt: skip

    def _rest(self, bench: Bench) -> None:
        """What only lies on another: the returns on the sides, the moulding on the frieze."""
        for side in ("left", "right"):
            under = lies_on(bench, side, _key(side))
            if under:
                bench.join(f"{under}|{_key(side)}", "loose", under, _key(side), UP)
        for side in ("front", "left", "right"):
            moulding = _key(side).replace("frieze", "cornice")
            bench.join(f"{_key(side)}|{moulding}", "loose", _key(side), moulding, UP)


def _key(side: str) -> str:
    return "frieze/front" if side == "front" else f"frieze/return.{side}"


__all__ = ["Frieze", "frieze_board", "frieze_height", "frieze_later"]
