"""A shoe rack: sloping shelves on sloping bearers, each with a strip along its lower edge that the heels stand against."""

from __future__ import annotations

import math
from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True, kw_only=True)
class _Tier:
    """One of the shelves: `low` lies on its lower front arris, `up_slope` leads to its rear edge, `off` off its face."""

    key: str
    board: Board  # of the shelf
    strip: Board  # of heel strip and bearers
    low: Vector
    up_slope: Vector
    off: Vector


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
        for number_up in range(self.quantity):
            tier = _Tier(
                key=f"{stem(bay.key, 'shoes', number)}/tier.{number_up + 1}",
                board=board,
                strip=strip,
                low=vector(0.0, front, bay.rect.bottom + self.first + number_up * self.pitch),
                up_slope=up_slope,
                off=off,
            )
            made += self._lay_tier(bench, out, bay, tier)
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

    def _lay_tier(self, bench: Bench, out: SettingOut, bay: BayWalls, tier: _Tier) -> list[str]:
        """One shelf with its heel strip, on its bearers; the keys of all."""
        shelf, strip = f"{tier.key}/shelf", f"{tier.key}/strip"
        width = down_to(bay.rect.width - 2 * END_PLAY, out.step)
        corner = vector(round((bay.rect.left + bay.rect.right - width) / 2, 6), tier.low[1], tier.low[2])
        common = dict(
            finish="inside",
            face_side="up",
            face_edge="front edge",
            surviving_mark="underside",
            setting="shoe shelves",
        )
        place = Placement(corner, RIGHT, tier.up_slope)
        grain = named_grain(tier.board)
        bench.part(shelf, "shoe shelf", tier.board, width, self.depth, place, role="shoe shelf", grain=grain, **common)
        on_shelf = Placement(plus(corner, tier.off, tier.board.thickness), RIGHT, tier.up_slope)
        bench.part(
            strip,
            "heel strip",
            tier.strip,
            width,
            self.strip_width,
            on_shelf,
            role="heel strip",
            grain="length",
            **common,
        )
        bench.join(f"{shelf}|{strip}", "glue", shelf, strip, tier.off, (), width * self.strip_width)
        return [*(self._bearer(bench, bay, tier, side) for side in ("left", "right")), shelf, strip]

    def _bearer(self, bench: Bench, bay: BayWalls, tier: _Tier, side: str) -> str:
        """A bearer on a wall, screwed to it and up into the shelf."""
        bearer, shelf, long = f"{tier.key}/bearer.{side}", f"{tier.key}/shelf", round(self.depth - BEARER_SHORT, 6)
        up_slope, off = tier.up_slope, tier.off
        start = plus(plus(tier.low, up_slope, BEARER_SHORT), off, -self.bearer_width)
        wall, outward, edge = (bay.left, LEFT, bay.rect.left) if side == "left" else (bay.right, RIGHT, bay.rect.right)
        begin = plus(start, up_slope, 0.0 if side == "left" else long)
        place = Placement(vector(edge, begin[1], begin[2]), up_slope if side == "left" else negative(up_slope), off)
        bench.part(
            bearer,
            "shoe shelf bearer",
            tier.strip,
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
        inner = edge - outward[0] * tier.strip.thickness
        staggered = [
            (d, self.bearer_width * (0.42 if i % 2 else 0.58)) for i, d in enumerate(spread(0.0, long, 200.0, 45.0))
        ]
        places = [
            plus(vector(inner, start[1], start[2]), tuple(s * d + o * up for s, o in zip(up_slope, off)))
            for d, up in staggered
        ]
        screw_to_wall(bench, "strip_board", bearer, wall, places, outward, up_slope)
        middle = vector(edge - outward[0] * from_edge(tier.strip.thickness, END_PLAY), start[1], start[2])
        heads = [plus(middle, up_slope, d) for d in beside([d for d, _ in staggered])]
        size = screw_through("strip_board", SHELF_SCREW[0], self.bearer_width, SHELF_SCREW[1], tier.board.thickness)
        names = [bench.screw(bearer, shelf, at, off, size, self.bearer_width, "shelf screw") for at in heads]
        bench.join(f"{bearer}|{shelf}", "screws", bearer, shelf, off, tuple(names))
        return bearer


ENTRY = ShoeRack
