"""A true frame and panel: grooved stiles and rails, tenoned together, with a panel that lies loose in the grooves.

A panel of solid wood is made narrower than its place by the season's movement, so that it can swell without driving the frame
apart and shrink without falling out. A thick panel is rebated, or raised with a bevel, to a tongue that the groove takes.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...errors import ParameterError, blaming
from ...fields import angle, choice, flag, ident, length, number, parameters
from ...geometry import Placement, negative
from ...mechanics import movement
from ...model import Board
from ...units import down_to
from ..bench import Bench
from ..framing import (
    LEAST_WALL,
    Channel,
    Field,
    Tenon,
    TrueFrame,
    assemble_frame,
    full_tenon_length,
    full_tenon_thickness,
)
from ..moving import SEASON, moves
from ..protocols import BoardById, Face

PANELS = {
    "flat": "Flat, its whole thickness in the groove",
    "rebated": "Flat, rebated to a tongue",
    "raised": "Raised: bevelled to a tongue",
}
TENONS = {"stub": "Stub tenons, as long as the groove is deep", "full": "Full tenons, haunched at the corners"}
SAWN = {"plain": "Plain-sawn: moves most", "quarter": "Quarter-sawn: moves least"}
GRAIN = {"upright": "Upright", "across": "From side to side"}
LEAST_HELD = 3.0  # mm of a shrunken panel left in each groove; common practice, no source
LEAST_FLAT = 20.0  # mm of a raised panel's field that stays flat; common practice, no source
LEAST_STEP = 1.0  # mm from a tongue to the panel's face; common practice, no source
SHOULDER_CLEAR = 0.5  # mm that a panel's shoulder keeps from the frame when its edge is at the bottom of the groove; common practice, no source
CUT_STEP = 0.1  # mm; panels are cut to it


@parameters
class FrameAndPanel(TrueFrame):
    """Grooved stiles and rails with a panel between them."""

    style = "frame_and_panel"
    label = "Frame and panel"

    tenons: str = choice("stub", TENONS, "Tenons", "At the ends of the rails; muntins have stub tenons always")
    panel_board: str = ident("mdf-6", "Panel", "What lies in the grooves")
    panel: str = choice("flat", PANELS, "Panel form", "How the panel comes to fit the groove")
    groove_depth: float = length(10, 6, 20, "Groove depth", "Into the inner edges of the frame")
    groove_play: float = length(
        0.2, 0, 1, "Play in the groove", "Width of the groove beyond the panel's edge, for paint"
    )
    room: float = length(
        1, 0.5, 5, "Room at each edge", "From the panel's edge to the bottom of the groove, movement not counted"
    )
    panel_glued: bool = flag(
        False, "Panel glued in", "Sheets only; it stiffens a door with stub tenons. Solid wood must be free to move"
    )
    grain: str = choice("upright", GRAIN, "Panel grain", "Which way the grain of a grained panel runs")
    sawn: str = choice("plain", SAWN, "Panel sawn", "How far solid wood moves across the grain")
    season: float = number(
        SEASON, 1, 8, "Season's moisture", "Between a dry and a wet season; the panel has room for it", unit="%"
    )
    tongue: float = length(6, 3, 20, "Tongue", "Thickness of the edge of a rebated or raised panel")
    behind_face: float = length(
        1, 0, 15, "Panel behind the face", "How far a rebated or raised panel lies behind the frame's face"
    )
    raise_angle: float = angle(12, 3, 30, "Angle of the raising", "Of a raised panel's bevel, from its face")
    fielding: float = length(45, 10, 120, "Fielding", "Width of a raised panel's bevel")

    def channel_depth(self) -> float:
        """The groove's."""
        return self.groove_depth

    def field_depth(self, board: BoardById) -> float:
        """From the frame's face to the panel's."""
        frame = board(self.board)
        return round(frame.thickness - self._profile(frame, self._stuff(board)).face, 6)

    def dress(self, bench: Bench, face: Face, board: BoardById) -> list[str]:
        """Lay down the frame and its panels."""
        frame, stuff = board(self.board), self._stuff(board)
        profile = self._profile(frame, stuff)
        channel = Channel(
            kind="groove",
            low=profile.groove[0],
            high=profile.groove[1],
            depth=self.groove_depth,
            purpose=f"{profile.groove[1] - profile.groove[0]:.4g} × {self.groove_depth:g} for the panel",
        )
        members, fields = self.lay(bench, face, frame, channel, self._tenon(frame, channel))
        infill: dict[str, tuple[str, ...]] = {}
        for field in fields:
            key = self._panel(bench, face, stuff, profile, field)
            below = field.around[2]
            infill[below] = (*infill.get(below, ()), key)
        assemble_frame(bench, face, members, infill)
        return [*members, *(key for keys in infill.values() for key in keys)]

    # ------------------------------------------------------------------------------------------------------------- sizes
    def _stuff(self, board: BoardById) -> Board:
        with blaming("panel_board"):
            return board(self.panel_board)

    def _profile(self, frame: Board, stuff: Board) -> _Profile:
        """Where groove, tongue and panel lie, out from the frame's back; ParameterError where they find no room."""
        thick, whole = frame.thickness, stuff.thickness
        edge = whole if self.panel == "flat" else self.tongue
        wide = edge + self.groove_play
        if wide > thick - 2 * LEAST_WALL:
            field = "panel_board" if self.panel == "flat" else "tongue"
            raise ParameterError(
                field,
                f"an edge {edge:g} mm thick leaves too little wood beside its groove in a frame {thick:g} mm thick; use at most {thick - 2 * LEAST_WALL - self.groove_play:g} mm, a rebated or raised panel, or a thicker frame",
            )
        groove = (round((thick - wide) / 2, 6), round((thick + wide) / 2, 6))
        back_of_tongue = round(groove[0] + self.groove_play / 2, 6)
        if self.panel == "flat":
            return _Profile(groove, back_of_tongue, round(back_of_tongue + whole, 6), 0.0, whole, 0.0)
        back = round(min(thick - self.behind_face - whole, back_of_tongue), 6)
        if back < 0:
            raise ParameterError(
                "panel_board",
                f"a panel {whole:g} mm thick stands {-back:g} mm out of the back of a frame {thick:g} mm thick; use at most {thick - self.behind_face:g} mm",
            )
        rebate = round(back_of_tongue - back, 6)
        step = round(whole - rebate - self.tongue, 6)
        if step < LEAST_STEP:
            raise ParameterError(
                "panel_board",
                f"a panel {whole:g} mm thick leaves {max(step, 0):g} mm above a tongue {self.tongue:g} mm thick; at least {self.tongue + LEAST_STEP:g} mm is needed, or a flat panel",
            )
        lip = step if self.panel == "rebated" else self._lip(step)
        return _Profile(groove, back, round(back + whole, 6), rebate, self.tongue, lip)

    def _lip(self, step: float) -> float:
        """The height of a raised panel's shoulder above its tongue: what the bevel leaves, and enough that the bevel's plane clears the tongue."""
        slope = math.tan(math.radians(self.raise_angle))
        most = step / slope - self._tongue_long()
        if self.fielding > most:
            raise ParameterError(
                "fielding",
                f"a bevel {self.fielding:g} mm wide at {self.raise_angle:g}° would run into the tongue: the panel stands {step:g} mm above it; use at most {max(most, 0):.1f} mm, a smaller angle, or a thicker panel and frame",
            )
        return round(step - self.fielding * slope, 6)

    def _tongue_long(self) -> float:
        return self.groove_depth + SHOULDER_CLEAR

    def _tenon(self, frame: Board, channel: Channel) -> Tenon:
        if self.tenons == "stub":
            return Tenon(low=channel.low, high=channel.high, long=self.groove_depth, full=False)
        thick, long = (
            full_tenon_thickness(frame.thickness, round(channel.high - channel.low, 6)),
            full_tenon_length(self.stile_width),
        )
        if long <= self.groove_depth:
            raise ParameterError(
                "groove_depth",
                f"{self.groove_depth:g} mm is as deep as a full tenon is long in a stile {self.stile_width:g} mm wide; use less than {long:g} mm",
            )
        return Tenon(
            low=round((frame.thickness - thick) / 2, 6),
            high=round((frame.thickness + thick) / 2, 6),
            long=long,
            full=True,
        )

    def season_moves(self, stuff: Board, across: float) -> float:
        """How much a panel so wide across its grain moves between the seasons; 0 for a sheet.

        Source: Wood Handbook ch. 13, ΔD = D C ΔM.
        """
        if not moves(stuff.material):
            return 0.0
        return movement(
            across, stuff.material.tangential if self.sawn == "plain" else stuff.material.radial, self.season
        )

    def _size(self, stuff: Board, sight: float, across_grain: bool, where: str) -> float:
        """A panel's size one way: its place less the room at both edges and, across the grain of solid wood, the season's movement."""
        place = sight + 2 * self.groove_depth
        moved = self.season_moves(stuff, place) if across_grain else 0.0
        held = self.groove_depth - self.room - moved
        if held < LEAST_HELD:
            raise ParameterError(
                "groove_depth",
                f"{where}: {place:g} mm of {stuff.material.name} moves {moved:.1f} mm with the seasons; of {self.groove_depth:g} mm of groove {max(held, 0):.1f} mm would hold the shrunken panel, at least {LEAST_HELD:g} is needed: a deeper groove, muntins, or quarter-sawn wood",
            )
        return down_to(place - 2 * self.room - moved, CUT_STEP)

    # ------------------------------------------------------------------------------------------------------------- panel
    def _panel(self, bench: Bench, face: Face, stuff: Board, profile: _Profile, field: Field) -> str:
        """Lay the panel in the middle of a field, its grain as asked."""
        if self.panel_glued and moves(stuff.material):
            raise ParameterError(
                "panel_glued",
                f'"{self.panel_board}" is {stuff.material.name}, which moves {self.season_moves(stuff, field.right - field.left):.1f} mm; solid wood must be free to move',
            )
        key = f"{face.key}/field" + (f".{field.name}" if field.name else "")
        upright = (
            self.grain == "upright" if stuff.material.grained else field.high - field.low >= field.right - field.left
        )
        wide = self._size(stuff, round(field.right - field.left, 6), upright, face.key)
        high = self._size(stuff, round(field.high - field.low, 6), not upright, face.key)
        left, low = (field.left + field.right - wide) / 2, (field.low + field.high - high) / 2
        place = (
            Placement(face.at(left + wide, low, profile.back), face.up, negative(face.right))
            if upright
            else Placement(face.at(left, low, profile.back), face.right, face.up)
        )
        size = (high, wide) if upright else (wide, high)
        moved = self.season_moves(stuff, wide if upright else high)
        notes = (
            (f"moves {moved:.1f} mm across the grain with the seasons: no glue, finished before it goes in",)
            if moved
            else ()
        )
        bench.part(
            key, f"{face.what} field", stuff, *size, place, grain="length" if stuff.material.grained else "any", role="panel", finish=face.finish, face_side="outside",
            face_edge="right edge" if upright else "lower edge", surviving_mark="edge, in the groove", shown_one_side=True, setting=f"{face.what} fields", notes=notes,
        )  # fmt: skip
        self._shape(bench, key, profile)
        kind, way = ("glue", 1.0) if self.panel_glued else ("groove", 0.0)
        for member, apart, run in zip(
            field.around, (face.right, negative(face.right), face.up, negative(face.up)), (high, high, wide, wide)
        ):
            bench.join(f"{member}|{key}", kind, member, key, apart, (), way * run * self.groove_depth)
        return key

    def _shape(self, bench: Bench, key: str, profile: _Profile) -> None:
        """Rebate and raise a panel's four edges."""
        if self.panel == "flat":
            return
        place, (long, wide, thick) = bench.parts[key].place, bench.parts[key].size
        tongue, top = self._tongue_long(), round(profile.rebate + profile.edge, 6)
        bevel = math.radians(self.raise_angle)
        if self.panel == "raised" and min(long, wide) - 2 * (tongue + self.fielding) < LEAST_FLAT:
            raise ParameterError(
                "fielding",
                f"{self.fielding:g} mm at both edges leaves too little of a panel {min(long, wide):g} mm wide flat; use at most {(min(long, wide) - LEAST_FLAT) / 2 - tongue:.1f} mm",
            )
        for axis, end, sign in ((0, 0.0, -1.0), (0, long, 1.0), (1, 0.0, -1.0), (1, wide, 1.0)):
            outer, inner = end + sign, end - sign * tongue
            low, high = [-1.0, -1.0], [long + 1.0, wide + 1.0]
            low[axis], high[axis] = outer, inner
            for name, below, above in (("back", -1.0, profile.rebate), ("face", top, thick + 1.0)):
                if above - below > 1 + 1e-6:
                    corner, opposite = place.point((low[0], low[1], below)), place.point((high[0], high[1], above))
                    bench.take_out(
                        key, "rebate", corner, opposite, f"to a tongue {profile.edge:g} × {tongue:g}, {name}"
                    )
            if self.panel == "raised":
                normal = [0.0, 0.0, math.cos(bevel)]
                point = [0.0, 0.0, round(top + profile.lip, 6)]
                normal[axis], point[axis] = sign * math.sin(bevel), inner
                where = (("foot end", "head end"), ("face edge", "back edge"))[axis][sign > 0]
                bench.saw_own(
                    key,
                    "bevel",
                    tuple(point),
                    tuple(normal),
                    self.raise_angle,
                    where,
                    f"raising {self.fielding:g} wide",
                )  # type: ignore[arg-type]


@dataclass(frozen=True, slots=True)
class _Profile:
    """How a panel lies in its frame, out from the frame's back."""

    groove: tuple[float, float]
    back: float  # of the panel
    face: float  # of the panel
    rebate: float  # from the panel's back to its tongue
    edge: float  # thickness of the tongue, or of a flat panel
    lip: float  # from the tongue to where the bevel begins


ENTRY = FrameAndPanel
