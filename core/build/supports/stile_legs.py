"""Legs made of the side frames' own stiles run down, thickened by glued laminations and tapered on the inner faces.

Lamination 1 fills the thickness of the side panel and butts its lower edge; lamination 2 and further ones stand under the
carcass bottom. The outer faces stay plumb. The taper seen from the side starts at the underside of the bottom rail, at the
stile's face arris, so that it takes the whole bevel away below; the taper seen from the front goes through the innermost
laminations only. All are sawn after the glue-up.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...errors import ParameterError
from ...fastenings import SCREW_STOPS_SHORT, screw
from ...fields import count, ident, length, parameters
from ...fittings import fitting_entry
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, negative, vector
from ...model import Board, When
from ..bench import Bench
from ..clearance import first_free, shifted, standing_box
from ..hardware import drive, fitting_for, glue_plug, screw_through
from ..protocols import BoardById
from ..setting_out import SettingOut

CUT_OVER = (5.0, 3.0)  # length, width left over until the saw cuts flush after gluing; common practice, no source
# diameter, hold; from the lamination's edges; common practice, no source
LEG_SCREW, LEG_SCREW_FROM_EDGE = (4.0, 32.0), 15.0
UNLIKE = 1.0  # mm that lamination and side panel may differ in thickness; common practice, no source
LEAST_FOOT = 30.0  # mm square on the floor; common practice, no source
GLIDE_PLUG = (12.0, 40.0)  # diameter, length of the hardwood plug that takes the glide's screw


@dataclass(frozen=True, slots=True, kw_only=True)
class _Leg:
    """One corner where a stile of a side runs down to the floor as a leg."""

    side: str  # "left" or "right"
    end: str  # "front" or "rear"
    inner_x: float  # the inner face of the carcass's side
    outer_y: float  # the stile's outer edge
    foot: float  # height of its lower end: over the glide
    high: float  # from there to the underside of the carcass
    shown: float  # how wide its stile is to the eye

    @property
    def key(self) -> str:
        """How the keys of its laminations begin."""
        return f"side.{self.side}/leg.{self.end}"

    @property
    def stile(self) -> str:
        """The key of its stile."""
        return f"side.{self.side}/stile.{self.end}"

    @property
    def outward(self) -> Vector:
        """From the inside of the piece to this side."""
        return LEFT if self.side == "left" else RIGHT

    @property
    def inward(self) -> Vector:
        """From the stile's outer edge to its inner one."""
        return BACK if self.end == "front" else FRONT

    @property
    def across(self) -> Vector:
        """The y axis of a lamination whose face side looks inward and whose x axis points up."""
        return BACK if self.side == "right" else FRONT

    @property
    def glued_up(self) -> When:
        """When its side is glued up."""
        return When("after glue-up", f"side.{self.side}")

    def layer_place(self, outer_x: float) -> Placement:
        """Where a lamination stands whose back side is at `outer_x`."""
        near = self.outer_y if self.across == self.inward else self.outer_y + self.inward[1] * self.shown
        return Placement(vector(outer_x, near, self.foot), UP, self.across)


@parameters
class StileLegs:
    """Tapered, laminated legs that are the side frames' stiles."""

    style = "stile_legs"
    label = "Legs of the side frames' stiles"

    height: float = length(150, 60, 400, "Height under the carcass", "Floor to the underside of the bottom")
    board: str = ident(
        "mdf-18",
        "Lamination board",
        "What the laminations are cut from; moisture-resistant board or hardwood is better",
    )
    laminations: int = count(
        2, 2, 3, "Laminations", "Glued behind the stile: the first under the side panel, the others under the bottom"
    )
    foot_from_side: float = length(45, 25, 150, "Foot, seen from the side", "Width of the leg at the floor")
    foot_from_front: float = length(33, 25, 120, "Foot, seen from the front", "Thickness of the leg at the floor")
    glide: str = ident("glide-25", "Glide", "An entry of the fittings library")

    def under(self, board: BoardById) -> float:
        """The height under the carcass."""
        return self.height

    def run_down(self) -> float:
        """The stiles end at the top of the glide."""
        return round(self.height - self._glide_height(), 6)

    def clear_under(self, out: SettingOut) -> tuple[float, float]:
        """Between the innermost laminations."""
        taken = out.board(self.board, "support.board").thickness * self.laminations - out.side_board.thickness
        return out.inner.left + taken, out.inner.right - taken

    def _glide_height(self) -> float:
        return fitting_for("glide", self.glide, "glide").size("height")

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Laminations, tapers, plugs and glides of four legs."""
        shown = out.piece.carcass.side_panel.stile_shown(lambda id: out.board(id, "carcass.side_panel.board"))
        if out.framed_sides:
            raise ParameterError(
                "style",
                '"stile_legs" are thin strips planted on a board, made stout by laminations under it; where the sides are "frame" their stiles are whole posts with no board behind to fill: take "stile_posts", or "board" for the sides',
            )
        if not shown:
            raise ParameterError(
                "style",
                '"stile_legs" needs side panels with a planted frame, whose stiles run down; choose another support or panel',
            )
        self._check(out, shown)
        board = out.board(self.board, "support.board")
        for side in ("left", "right"):
            for end in ("front", "rear"):
                self._leg(bench, out, board, shown, side, end)
        return []

    def _check(self, out: SettingOut, shown: float) -> None:
        board, side = out.board(self.board, "support.board"), out.side_board.thickness
        if abs(board.thickness - side) > UNLIKE:
            raise ParameterError(
                "board",
                f"{board.thickness:g} mm is not as thick as the side panels, {side:g} mm, whose thickness the first lamination fills: take a board {side:g} mm thick here",
            )
        thick = out.strip + board.thickness * self.laminations
        for field, foot, top in (
            ("foot_from_side", self.foot_from_side, shown),
            ("foot_from_front", self.foot_from_front, thick),
        ):
            if not LEAST_FOOT <= foot <= top:
                raise ParameterError(
                    field,
                    f"{foot:g} mm is out of range; the leg is {top:.1f} mm there at the top, and a foot needs at least {LEAST_FOOT:g} mm",
                )

    def _leg(self, bench: Bench, out: SettingOut, board: Board, shown: float, side: str, end: str) -> None:
        glide = self._glide_height()
        leg = _Leg(
            side=side,
            end=end,
            inner_x=out.inner.left if side == "left" else out.inner.right,
            outer_y=-out.depth if end == "front" else 0.0,
            foot=glide,
            high=round(self.height - glide, 6),
            shown=shown,
        )
        laid = []
        for layer in range(1, self.laminations + 1):
            part = f"{leg.key}/lamination.{layer}"
            # the back side of each layer lies against the one outside it
            outer_x = leg.inner_x + (out.side_board.thickness - (layer - 1) * board.thickness) * leg.outward[0]
            bench.part(
                part, f"leg lamination {layer}", board, leg.high, shown, leg.layer_place(outer_x),
                role="lamination", finish="legs", face_side="inside", face_edge="outer edge", face_edge_high=leg.across != leg.inward,
                cut_size=(leg.high + CUT_OVER[0], math.ceil(shown + CUT_OVER[1]), board.thickness), surviving_mark="foot end, under the glide", setting="laminations",
            )  # fmt: skip
            laid.append(part)
        self._joints(bench, leg, laid)
        self._side_taper(bench, leg, laid)
        self._front_taper(bench, out, leg, laid[1:])
        self._foot(bench, out, leg, laid[0])

    def _joints(self, bench: Bench, leg: _Leg, laid: list[str]) -> None:
        inward = negative(leg.outward)
        area = bench.parts[laid[0]].size[0] * bench.parts[laid[0]].size[1]
        for outer, inner in zip([leg.stile, *laid], laid):
            bench.join(f"{inner}|{outer}", "glue", outer, inner, inward, (), area)
        bench.join(f"{laid[0]}|carcass/side.{leg.side}", "glue", f"carcass/side.{leg.side}", laid[0], DOWN, (), 0.0)
        for inner in laid[1:]:
            names = self._screw_from_above(bench, inner)
            bench.join(
                f"{inner}|carcass/bottom",
                "glue and screws" if names else "glue",
                "carcass/bottom",
                inner,
                DOWN,
                names,
                0.0,
            )

    def _screw_from_above(self, bench: Bench, inner: str) -> tuple[str, ...]:
        """One screw down through the bottom into the end of an inner lamination, clear of the dowels."""
        if bench.seen_only:
            return ()
        (x0, y0, _), (x1, y1, top) = standing_box(bench.parts[inner])
        bottom = bench.parts["carcass/bottom"].board.thickness
        size = screw_through(
            "carcass.board", LEG_SCREW[0], bottom, LEG_SCREW[1], bench.parts[inner].size[0] - SCREW_STOPS_SHORT
        )
        wanted = vector((x0 + x1) / 2, (y0 + y1) / 2, top + bottom)
        outward = (
            FRONT
            if wanted[1]
            < bench.parts["carcass/bottom"].place.point((0.0, bench.parts["carcass/bottom"].size[1] / 2, 0.0))[1]
            else BACK
        )
        at = first_free(
            bench,
            "carcass/bottom",
            shifted(wanted, outward, (y1 - y0) / 2 - LEG_SCREW_FROM_EDGE),
            DOWN,
            size.clearance,
            bottom,
        )
        return (
            (
                bench.screw(
                    "carcass/bottom", inner, at, DOWN, size, bottom, "leg screw", When("after glue-up", "carcass")
                ),
            )
            if at
            else ()
        )

    def _side_taper(self, bench: Bench, leg: _Leg, laid: list[str]) -> None:
        """Taper stile and laminations from the inner edge, as seen from the side."""
        loss = leg.shown - self.foot_from_side
        if loss <= 0:
            return
        angle = math.atan2(loss, leg.high)
        normal = (0.0, leg.inward[1] * math.cos(angle), -math.sin(angle))
        point = vector(0.0, leg.outer_y + leg.inward[1] * leg.shown, leg.foot + leg.high)
        for key in [leg.stile, *laid]:
            where = "back edge" if bench.parts[key].face_edge == "outer edge" else "face edge"
            words = "leg, seen from the side"
            bench.saw(key, "taper", point, normal, math.degrees(angle), where, words, leg.glued_up)

    def _front_taper(self, bench: Bench, out: SettingOut, leg: _Leg, laid: list[str]) -> None:
        """Taper the inner laminations from their face sides, as seen from the front."""
        glued = bench.parts[laid[0]].board.thickness * self.laminations
        loss = out.strip + glued - self.foot_from_front
        if loss <= 0:
            return
        angle = math.atan2(loss, leg.high)
        inward = -leg.outward[0]
        face_x = leg.inner_x + inward * (glued - out.side_board.thickness)
        normal = (inward * math.cos(angle), 0.0, -math.sin(angle))
        point = vector(face_x, 0.0, leg.foot + leg.high)
        for key in laid:
            words = "leg, seen from the front"
            bench.saw(key, "taper", point, normal, math.degrees(angle), "face side", words, leg.glued_up)

    def _foot(self, bench: Bench, out: SettingOut, leg: _Leg, lamination: str) -> None:
        """The glide in the middle of the tapered foot, screwed into a plug."""
        entry = fitting_entry(self.glide)
        outer_x = leg.inner_x + leg.outward[0] * (out.side_board.thickness + out.strip)
        centre = vector(
            outer_x - leg.outward[0] * self.foot_from_front / 2,
            leg.outer_y + leg.inward[1] * self.foot_from_side / 2,
            leg.foot,
        )
        holds = self._layer_at(bench, leg, centre) or lamination
        glue_plug(bench, holds, centre, UP, GLIDE_PLUG, "for the glide", "glide plug", leg.glued_up)
        drive(bench, screw(entry.screws_for()[0].screw), centre, UP, (holds,), "glide screw")
        bench.fit(f"{leg.key}/glide", entry, Placement(centre, RIGHT, BACK), (holds,))

    def _layer_at(self, bench: Bench, leg: _Leg, centre: Vector) -> str | None:
        """The stile or the lamination over the middle of the foot: what the glide is screwed into."""
        for layer in (leg.stile, *(f"{leg.key}/lamination.{number}" for number in range(1, self.laminations + 1))):
            part = bench.parts[layer]
            depth = part.place.own_point(centre)[2]
            if 0 < depth < part.board.thickness:
                return part.key
        return None


ENTRY = StileLegs
