"""Legs made of the side frames' own stiles run down, thickened by glued laminations and tapered on the inner faces.

Lamination 1 fills the thickness of the side panel and butts its lower edge; lamination 2 and further ones stand under the
carcass bottom. The outer faces stay plumb. The taper seen from the side starts at the underside of the bottom rail, at the
stile's face arris, so that it takes the whole bevel away below; the taper seen from the front goes through the innermost
laminations only. All are sawn after the glue-up.
"""

from __future__ import annotations

import math

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
LEG_SCREW, LEG_SCREW_FROM_EDGE = (
    (4.0, 32.0),
    15.0,
)  # diameter, hold; from the lamination's edges; common practice, no source
UNLIKE = 1.0  # mm that lamination and side panel may differ in thickness; common practice, no source
LEAST_FOOT = 30.0  # mm square on the floor; common practice, no source
GLIDE_PLUG = (12.0, 40.0)  # diameter, length of the hardwood plug that takes the glide's screw


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
        outward: Vector = LEFT if side == "left" else RIGHT
        inner_x = out.inner.left if side == "left" else out.inner.right
        glide = self._glide_height()
        high = round(self.height - glide, 6)
        key = f"side.{side}/leg.{end}"
        assembly = f"side.{side}"
        front_edge = -out.depth if end == "front" else 0.0
        toward = BACK if end == "front" else FRONT  # from the outer edge inward
        laid = []
        for layer in range(1, self.laminations + 1):
            part = f"{key}/lamination.{layer}"
            # the back side of each layer lies against the one outside it
            outer_x = inner_x + (out.side_board.thickness - (layer - 1) * board.thickness) * outward[0]
            corner = self._corner(outer_x, front_edge, glide, outward, toward, shown)
            bench.part(
                part, f"leg lamination {layer}", board, high, shown, Placement(corner, UP, _across(outward)),
                role="lamination", finish="legs", face_side="inside", face_edge="outer edge", face_edge_high=_across(outward) != toward,
                cut_size=(high + CUT_OVER[0], math.ceil(shown + CUT_OVER[1]), board.thickness), surviving_mark="foot end, under the glide", setting="laminations",
            )  # fmt: skip
            laid.append(part)
        self._joints(bench, laid, side, end, outward)
        self._side_taper(bench, laid, shown, high, front_edge, toward, glide, f"side.{side}/stile.{end}", assembly)
        self._front_taper(bench, out, laid[1:], outward, inner_x, high, glide, assembly)
        self._foot(bench, out, laid[0], key, side, inner_x, front_edge, toward, glide, outward)

    def _corner(
        self, outer_x: float, edge_y: float, glide: float, outward: Vector, toward: Vector, shown: float
    ) -> Vector:
        y_axis = _across(outward)
        near = edge_y if y_axis == toward else edge_y + toward[1] * shown
        return vector(outer_x, near, glide)

    def _joints(self, bench: Bench, laid: list[str], side: str, end: str, outward: Vector) -> None:
        stile = f"side.{side}/stile.{end}"
        inward = negative(outward)
        area = bench.parts[laid[0]].size[0] * bench.parts[laid[0]].size[1]
        for outer, inner in zip([stile, *laid], laid):
            bench.join(f"{inner}|{outer}", "glue", outer, inner, inward, (), area)
        bench.join(f"{laid[0]}|carcass/side.{side}", "glue", f"carcass/side.{side}", laid[0], DOWN, (), 0.0)
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

    def _side_taper(
        self,
        bench: Bench,
        laid: list[str],
        shown: float,
        high: float,
        edge_y: float,
        toward: Vector,
        glide: float,
        stile: str,
        assembly: str,
    ) -> None:
        loss = shown - self.foot_from_side
        if loss <= 0:
            return
        angle = math.atan2(loss, high)
        inner_y = edge_y + toward[1] * shown
        normal = (0.0, toward[1] * math.cos(angle), -math.sin(angle))
        point = vector(0.0, inner_y, glide + high)
        for key in [stile, *laid]:
            where = "back edge" if bench.parts[key].face_edge == "outer edge" else "face edge"
            bench.saw(
                key,
                "taper",
                point,
                normal,
                math.degrees(angle),
                where,
                "leg, seen from the side",
                When("after glue-up", assembly),
            )

    def _front_taper(
        self,
        bench: Bench,
        out: SettingOut,
        laid: list[str],
        outward: Vector,
        inner_x: float,
        high: float,
        glide: float,
        assembly: str,
    ) -> None:
        glued = bench.parts[laid[0]].board.thickness * self.laminations
        thick = out.strip + glued
        loss = thick - self.foot_from_front
        if loss <= 0:
            return
        angle = math.atan2(loss, high)
        inward = -outward[0]
        face_x = inner_x + inward * (glued - out.side_board.thickness)
        normal = (inward * math.cos(angle), 0.0, -math.sin(angle))
        for key in laid:
            bench.saw(
                key,
                "taper",
                vector(face_x, 0.0, glide + high),
                normal,
                math.degrees(angle),
                "face side",
                "leg, seen from the front",
                When("after glue-up", assembly),
            )

    def _foot(
        self,
        bench: Bench,
        out: SettingOut,
        lamination: str,
        key: str,
        side: str,
        inner_x: float,
        edge_y: float,
        toward: Vector,
        glide: float,
        outward: Vector,
    ) -> None:
        entry = fitting_entry(self.glide)
        outer_x = inner_x + outward[0] * (out.side_board.thickness + out.strip)
        centre = vector(
            outer_x - outward[0] * self.foot_from_front / 2, edge_y + toward[1] * self.foot_from_side / 2, glide
        )
        foot = self._layer_at(bench, f"side.{side}/stile.{key.rsplit('.', 1)[-1]}", key, centre) or lamination
        glued_up = When("after glue-up", f"side.{side}")
        glue_plug(bench, foot, centre, UP, GLIDE_PLUG, "for the glide", "glide plug", glued_up)
        size = screw(entry.screws_for()[0].screw)
        drive(bench, size, vector(centre[0], centre[1], glide), UP, (foot,), "glide screw")
        bench.fit(f"{key}/glide", entry, Placement(vector(centre[0], centre[1], glide), RIGHT, BACK), (foot,))

    def _layer_at(self, bench: Bench, stile: str, key: str, centre: Vector) -> str | None:
        """The stile or the lamination over the middle of the foot: what the glide is screwed into."""
        for layer in (stile, *(f"{key}/lamination.{number}" for number in range(1, self.laminations + 1))):
            part = bench.parts[layer]
            depth = part.place.own_point(centre)[2]
            if 0 < depth < part.board.thickness:
                return part.key
        return None


def _across(outward: Vector) -> Vector:
    """The y axis of a lamination whose face side looks inward and whose x axis points up."""
    return BACK if outward == RIGHT else FRONT


ENTRY = StileLegs
