"""A glazed door: a frame rebated at the back, full tenons, panes held by mitred beads that come out again when a pane breaks."""

from __future__ import annotations

import math

from ...errors import ParameterError
from ...fastenings import pin, pin_length
from ...fields import length, parameters
from ...geometry import Placement, Vector, negative, plus
from ...materials import material
from ...model import Board
from ...units import from_middle
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
from ..protocols import BoardById, Face

PIN_FROM_CORNER, PINS_APART = 30.0, 150.0  # mm; common practice, no source
LEAST_LAP = 3.0  # mm of the pane on the rebate when it lies to one side; common practice, no source
MOST_PINNED = 20.0  # mm of a frame that a bead's pin may go into; common practice, no source


@parameters
class Glazed(TrueFrame):
    """A rebated frame with panes and beads."""

    style = "glazed"
    label = "Glazed"

    glass: float = length(
        4, 3, 10, "Glass thickness", "2.5 kg to the square metre for each mm; toughened or laminated by the local code"
    )
    rebate_width: float = length(10, 6, 20, "Rebate width", "How far the frame laps the pane")
    bead: float = length(8, 5, 20, "Bead depth", "From the back of the pane to the back of the frame")
    room: float = length(1.5, 1, 4, "Room at each edge", "From the edge of the pane to the rebate")

    def channel_depth(self) -> float:
        """The rebate's width."""
        return self.rebate_width

    def field_depth(self, board: BoardById) -> float:
        """From the frame's face to the pane."""
        return round(board(self.board).thickness - self.bead - self.glass, 6)

    def dress(self, bench: Bench, face: Face, board: BoardById) -> list[str]:
        """Lay down the frame, its panes and their beads."""
        if face.panel or face.what == "drawer front":
            raise ParameterError(
                "style", f'"glazed" is for doors: behind a {face.what} there is nothing to see; choose another panel'
            )
        frame = board(self.board)
        members, fields = self.lay(bench, face, frame, self._channel(frame), self._tenon(frame))
        assemble_frame(bench, face, members, {})
        panes: list[str] = []
        for field in fields:
            panes += [self._pane(bench, face, field), *self._beads(bench, face, frame, field)]
        return [*members, *panes]

    # ------------------------------------------------------------------------------------------------------------- sizes
    def _channel(self, frame: Board) -> Channel:
        deep = self.glass + self.bead
        if frame.thickness - deep < LEAST_WALL:
            raise ParameterError(
                "bead",
                f"glass {self.glass:g} mm and bead {self.bead:g} mm leave {max(frame.thickness - deep, 0):g} mm of a frame {frame.thickness:g} mm thick before the pane; at least {LEAST_WALL:g} is needed",
            )
        if self.rebate_width - 2 * self.room < LEAST_LAP:
            raise ParameterError(
                "rebate_width",
                f"{self.rebate_width:g} mm less {2 * self.room:g} mm of room holds too little of the pane; use at least {LEAST_LAP + 2 * self.room:g} mm",
            )
        return Channel(
            kind="rebate",
            low=0.0,
            high=deep,
            depth=self.rebate_width,
            purpose=f"{self.rebate_width:g} × {deep:g} for glass and bead",
        )

    def _tenon(self, frame: Board) -> Tenon:
        """In line with the front of the rebate, so that one setting cuts both."""
        deep, long = self.glass + self.bead, full_tenon_length(self.stile_width)
        thick = min(full_tenon_thickness(frame.thickness), deep)
        if long <= self.rebate_width:
            raise ParameterError(
                "rebate_width",
                f"{self.rebate_width:g} mm is as wide as a tenon is long in a stile {self.stile_width:g} mm wide; use less than {long:g} mm",
            )
        return Tenon(low=round(deep - thick, 6), high=deep, long=long, full=True)

    # -------------------------------------------------------------------------------------------------------------- glass
    def _pane(self, bench: Bench, face: Face, field: Field) -> str:
        key = f"{face.key}/pane" + (f".{field.name}" if field.name else "")
        edge = self.rebate_width - self.room
        wide, high = (round(b - a + 2 * edge, 6) for a, b in ((field.left, field.right), (field.low, field.high)))
        place = Placement(face.at(field.right + edge, field.low - edge, self.bead), face.up, negative(face.right))
        stuff = Board(material("glass"), self.glass)
        bench.part(
            key, f"{face.what} pane", stuff, high, wide, place, role="pane", finish=face.finish, face_side="outside", face_edge="right edge", surviving_mark="a label, until it is in",
            setting=f"{face.what} panes", notes=("toughened or laminated where the local code asks for it; edges arrissed; ordered to size",),
        )  # fmt: skip
        for member in field.around:
            bench.join(f"{member}|{key}", "rebate", member, key, negative(face.out))
        return key

    def _beads(self, bench: Bench, face: Face, frame: Board, field: Field) -> list[str]:
        """Four beads behind a pane, mitred at the corners, pinned into the frame beside it."""
        edge = self.rebate_width
        a, b, low, high = field.left - edge, field.right + edge, field.low - edge, field.high + edge
        stem = f"{face.key}/bead" + (f".{field.name}" if field.name else "")
        # x along the bead, y from the rebate toward the middle of the pane, z outward: which end is the foot follows
        sides = (
            (face.left_name, face.at(a, high), negative(face.up), face.right, high - low),
            (face.right_name, face.at(b, low), face.up, negative(face.right), high - low),
            ("bottom", face.at(a, low), face.right, face.up, b - a),
            ("top", face.at(b, high), negative(face.right), negative(face.up), b - a),
        )
        made = []
        for member, (name, corner, x, y, long) in zip(field.around, sides):
            key = f"{stem}.{name}"
            bench.part(
                key, f"{face.what} bead", Board(frame.material, self.bead), round(long, 6), edge, Placement(corner, x, y), role="bead", finish=face.finish,
                grain="length" if frame.material.grained else "any", face_side="outside", face_edge="outer edge", setting=f"{face.what} beads", surviving_mark="face side, against the glass",
            )  # fmt: skip
            for end, sign, where in ((0.0, -1.0, "foot end"), (round(long, 6), 1.0, "head end")):
                slope = math.sqrt(0.5)
                bench.saw_own(key, "mitre", (end, 0.0, 0.0), (sign * slope, slope, 0.0), 45.0, where, "bead corner")
            bench.join(
                f"{member}|{key}",
                "rebate",
                member,
                key,
                negative(face.out),
                self._pins(bench, key, member, corner, x, y, round(long, 6)),
            )
            made.append(key)
        return made

    def _pins(
        self, bench: Bench, key: str, member: str, corner: Vector, x: Vector, y: Vector, long: float
    ) -> tuple[str, ...]:
        """Pins through a bead into the frame, in the middle of the bead's depth, clear of the glass."""
        part = bench.parts[member]
        both = 2 if part.role == "muntin" or "/rail.mid" in member else 1
        core = (part.size[1] - both * self.rebate_width) / both
        try:
            nail = pin(pin_length(self.rebate_width, min(core, MOST_PINNED)))
        except ParameterError as error:
            field = (
                "muntin_width"
                if part.role == "muntin"
                else "stile_width"
                if part.role == "stile"
                else f"{member.rsplit('.', 1)[-1] if both == 1 else 'mid'}_rail_width"
            )
            raise ParameterError(
                field,
                f"{part.size[1]:g} mm leaves {core:g} mm for the pins of a bead {self.rebate_width:g} mm wide: {error.message}",
            ) from None
        free = long - 2 * (self.rebate_width + PIN_FROM_CORNER)
        count = max(2, math.ceil(free / PINS_APART) + 1) if free > PIN_FROM_CORNER else 1
        names = []
        for i in range(count):
            along = long / 2 + (from_middle(free, i, count) if count > 1 else 0.0)
            head = plus(plus(plus(corner, x, along), y, self.rebate_width), _out_of(x, y), self.bead / 2)
            names.append(
                bench.fasten(
                    "pin", f"pin {nail.name}", nail.diameter, nail.length, head, negative(y), (member, key), "bead pin"
                )
            )
        return tuple(names)


def _out_of(x: Vector, y: Vector) -> Vector:
    return Placement((0.0, 0.0, 0.0), x, y).z


ENTRY = Glazed
