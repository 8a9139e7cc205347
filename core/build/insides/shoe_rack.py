"""A shoe rack: sloping shelves on sloping bearers, each with a strip along its lower edge that the heels stand against."""

from __future__ import annotations

import math

from ...errors import ParameterError
from ...fields import angle, count, ident, length, parameters
from ...geometry import LEFT, RIGHT, Placement, Vector, negative, plus, vector
from ...model import Board
from ...units import down_to
from ..bench import Bench
from ..contents import LEAST_BEARER, beside, check_room, from_edge, named_grain, screw_to_wall, stem
from ..hardware import screw_through
from ..protocols import BayWalls
from ..setting_out import SettingOut
from ..standing import least_thickness, spread

END_PLAY = 1.0  # mm at each end; common practice, no source
BEARER_SHORT = 20.0  # mm that bearers end behind the lower edge
SHELF_SCREW = (4.0, 14.0)  # diameter, hold


@parameters
class ShoeRack:
    """Sloping shelves for shoes."""

    style = "shoe_rack"
    label = "Shoe rack"

    quantity: int = count(2, 1, 10, "Shelves", "One above another")
    depth: float = length(300, 180, 450, "Depth", "Of each shelf, along its slope")
    slope: float = angle(15, 0, 30, "Slope", "The front edge is the lower one")
    pitch: float = length(190, 120, 400, "Pitch", "From shelf to shelf")
    first: float = length(60, 45, 600, "First", "Lower edge of the lowest shelf above the floor of the compartment")
    set_back: float = length(12, 0, 200, "Set back", "Behind what closes the compartment")
    board: str = ident("mdf-18", "Board", "What the shelves are cut from")
    strip_board: str = ident("hardwood-20", "Strips", "What heel strips and bearers are ripped from")
    strip_width: float = length(25, 12, 60, "Heel strip", "Its width on the shelf")
    bearer_width: float = length(30, 20, 60, "Bearer width", "Below the shelf")

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Bearers, shelves and strips, from the lowest up."""
        board, strip = out.board(self.board, "board"), out.board(self.strip_board, "strip_board")
        least_thickness("strip_board", strip, LEAST_BEARER, "a bearer")
        turn = math.radians(self.slope)
        up_slope: Vector = (0.0, math.cos(turn), math.sin(turn))
        off: Vector = (0.0, -math.sin(turn), math.cos(turn))
        front = out.y(bay.front_f + self.set_back) + (board.thickness + strip.thickness) * math.sin(turn)
        self._check(out, bay, front)
        made = []
        for tier in range(self.quantity):
            low = vector(0.0, front, bay.rect.bottom + self.first + tier * self.pitch)
            key = f"{stem(bay.key, 'shoes', number)}/tier.{tier + 1}"
            made += self._tier(bench, out, bay, board, strip, key, low, up_slope, off)
        check_room(bench, "first", made, f"{self.first:g} mm")
        return made

    def _check(self, out: SettingOut, bay: BayWalls, front: float) -> None:
        turn = math.radians(self.slope)
        rear = front + self.depth * math.cos(turn)
        if rear > out.y(bay.back_f):
            raise ParameterError(
                "depth",
                f"{self.depth:g} mm at {self.slope:g}° is {rear - out.y(bay.back_f):.1f} mm too deep for the compartment",
            )
        if self.first < self.bearer_width + 5:
            raise ParameterError(
                "first",
                f"{self.first:g} mm is too low for bearers {self.bearer_width:g} mm wide; use at least {self.bearer_width + 5:g} mm",
            )
        top = self.first + (self.quantity - 1) * self.pitch + self.depth * math.sin(turn) + self.pitch / 2
        if top > bay.rect.height:
            raise ParameterError(
                "quantity",
                f"{self.quantity} shelves {self.pitch:g} mm apart reach {top:.0f} mm up with the shoes on them; the compartment is {bay.rect.height:g} mm high",
            )

    def _tier(
        self,
        bench: Bench,
        out: SettingOut,
        bay: BayWalls,
        board: Board,
        strip: Board,
        key: str,
        low: Vector,
        up_slope: Vector,
        off: Vector,
    ) -> list[str]:
        """One shelf; `low` lies on its lower front arris, `up_slope` leads to its rear edge, `off` off its face."""
        width = down_to(bay.rect.width - 2 * END_PLAY, out.step)
        x = round((bay.rect.left + bay.rect.right - width) / 2, 6)
        corner = vector(x, low[1], low[2])
        common = dict(finish="inside", grain=named_grain(board))
        bench.part(
            f"{key}/shelf",
            "shoe shelf",
            board,
            width,
            self.depth,
            Placement(corner, RIGHT, up_slope),
            role="shoe shelf",
            face_side="up",
            face_edge="front edge",
            surviving_mark="underside",
            setting="shoe shelves",
            **common,
        )
        heel = Placement(plus(corner, off, board.thickness), RIGHT, up_slope)
        bench.part(
            f"{key}/strip",
            "heel strip",
            strip,
            width,
            self.strip_width,
            heel,
            grain="length",
            role="heel strip",
            finish="inside",
            face_side="up",
            face_edge="front edge",
            surviving_mark="underside",
            setting="shoe shelves",
        )
        bench.join(
            f"{key}/shelf|{key}/strip", "glue", f"{key}/shelf", f"{key}/strip", off, (), width * self.strip_width
        )
        bearers = [self._bearer(bench, bay, board, strip, key, side, low, up_slope, off) for side in ("left", "right")]
        return [*bearers, f"{key}/shelf", f"{key}/strip"]

    def _bearer(
        self,
        bench: Bench,
        bay: BayWalls,
        board: Board,
        strip: Board,
        key: str,
        side: str,
        low: Vector,
        up_slope: Vector,
        off: Vector,
    ) -> str:
        bearer, long = f"{key}/bearer.{side}", round(self.depth - BEARER_SHORT, 6)
        start = plus(plus(low, up_slope, BEARER_SHORT), off, -self.bearer_width)
        wall, outward, edge = (bay.left, LEFT, bay.rect.left) if side == "left" else (bay.right, RIGHT, bay.rect.right)
        begin = plus(start, up_slope, 0.0 if side == "left" else long)
        place = Placement(vector(edge, begin[1], begin[2]), up_slope if side == "left" else negative(up_slope), off)
        bench.part(
            bearer,
            "shoe shelf bearer",
            strip,
            long,
            self.bearer_width,
            place,
            grain="length",
            role="bearer",
            finish="inside",
            face_side="inside",
            face_edge="upper edge",
            face_edge_high=True,
            surviving_mark="back",
            setting="shoe bearers",
        )
        inner = edge - outward[0] * strip.thickness
        staggered = [
            (d, self.bearer_width * (0.42 if i % 2 else 0.58)) for i, d in enumerate(spread(0.0, long, 200.0, 45.0))
        ]
        places = [
            plus(vector(inner, start[1], start[2]), tuple(s * d + o * up for s, o in zip(up_slope, off)))
            for d, up in staggered
        ]
        screw_to_wall(bench, "strip_board", bearer, wall, places, outward, up_slope)
        size = screw_through("strip_board", SHELF_SCREW[0], self.bearer_width, SHELF_SCREW[1], board.thickness)
        middle = edge - outward[0] * from_edge(strip.thickness, END_PLAY)
        heads = [plus(vector(middle, start[1], start[2]), up_slope, d) for d in beside([d for d, _ in staggered])]
        names = tuple(
            bench.screw(bearer, f"{key}/shelf", at, off, size, self.bearer_width, "shelf screw") for at in heads
        )
        bench.join(f"{bearer}|{key}/shelf", "screws", bearer, f"{key}/shelf", off, names)
        return bearer


ENTRY = ShoeRack
