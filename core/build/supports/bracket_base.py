"""A bracket base: a foot at each corner made of two brackets, mitred in front, with glue blocks behind.

A bracket runs along the carcass's lower edge from its corner, stands on the floor with a pad, and rises from there to a thin end: straight
up and along, on a slope, in a hollow, or in an ogee. Behind every corner stands a block on the floor that carries the load; blocks along the top of each bracket
are glued and screwed up to the bottom. The rear brackets stand behind the sides', butted and dowelled.
"""

from __future__ import annotations

import math

from ...errors import ParameterError, blaming
from ...fastenings import dowel_for
from ...fields import choice, ident, length, number, parameters
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, plus, vector
from ...model import Board
from ...outlines import arc_of
from ..bench import Bench
from ..clearance import standing_box
from ..protocols import BoardById
from ..setting_out import SettingOut
from ..standing import dowel_heights, least_thickness, screw_up, spread

OUTLINES = {
    "sloped": "On a slope from pad to end", "stepped": "Square: a pad and a thin end", "hollow": "In a hollow of one radius",
    "ogee": "In an ogee: hollow above the pad, round at the thin end",
}  # fmt: skip
LEAST_SLOPE = 20.0  # mm between pad and end; common practice, no source
LEAST_BLOCK = 40.0  # mm of glue block along a bracket; common practice, no source
SCREW_MOVED = 44.0  # mm, at most, that a screw gives way along its block to a dowel above; common practice, no source
BETWEEN_FEET = 10.0  # mm from each of two feet to the middle between them
SHORT_OF_END = 10.0  # mm that a block ends before its bracket does; common practice, no source
THINNEST_BLOCK = 9.0  # mm; about 2 left at either side of a screw's clearance; common practice, no source
BOTTOM_LAP = 12.0  # mm from a screw to the edge of the bottom; European MDF industry guide (mdf-info.eu)


@parameters
class BracketBase:
    """Mitred bracket feet with glue blocks."""

    style = "bracket_base"
    label = "Bracket base"
    closed_to_floor = True  # no gap beside it is left open

    height: float = length(110, 60, 200, "Height", "Floor to the underside of the carcass")
    board: str = ident("hardwood-20", "Brackets", "What the brackets are cut from")
    foot: float = length(180, 110, 500, "Bracket length", "Along the carcass, from the corner to the thin end")
    pad: float = length(75, 40, 300, "Pad", "How much of it stands on the floor")
    end: float = length(40, 20, 150, "Thin end", "Height of the bracket at its inner end")
    outline: str = choice("sloped", OUTLINES, "Outline", "From pad to thin end")
    fullness: float = number(
        80,
        20,
        100,
        "Fullness",
        "Of a curved outline; at 100 % it leaves the pad upright or reaches the thin end level",
        unit="%",
    )
    rear_set_in: float = length(10, 0, 120, "Set in at the back", "Clear of the skirting")
    block_board: str = ident(
        "softwood-28", "Glue blocks", "Square blocks in the corners and along the top of each bracket"
    )

    def under(self, board: BoardById) -> float:
        """The base's height."""
        return self.height

    def run_down(self) -> float:
        """Nothing runs down."""
        return 0.0

    def clear_under(self, out: SettingOut) -> tuple[float, float] | None:
        """Between the front feet."""
        clear = round(out.half - self.foot, 6)
        return (-clear, clear) if clear > 200 else None

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Eight brackets, their mitres, blocks and screws."""
        board, block = out.board(self.board, "support.board"), out.board(self.block_board, "support.block_board")
        self._check(out, board, block)
        for side in ("left", "right"):
            for end in ("front", "rear"):
                corner = _Corner(self, out, board, block, side, end)
                corner.brackets(bench)
                corner.blocks(bench)
        members: list[tuple[str, Vector, int]] = []
        for side, away in (("left", LEFT), ("right", RIGHT)):
            for end, out_of in (("front", FRONT), ("rear", BACK)):
                stem = f"base/{side}.{end}"
                inner = [
                    (f"{stem}/bracket.side", (0.0, 0.0, 0.0), 0),
                    (f"{stem}/bracket.{end}", (-away[0], 0.0, 0.0) if end == "rear" else out_of, 1),
                ]
                inner += [
                    (f"{stem}/block.corner", DOWN, 2),
                    (f"{stem}/block.side", DOWN, 3),
                    (f"{stem}/block.{end}", DOWN, 3),
                ]
                bench.assemble(
                    stem,
                    f"bracket foot, {side} {end}",
                    inner,
                    notes=("size the mitre with glue first; blocks rubbed in",) if end == "front" else (),
                )
                members.append((stem, (0.0, 0.0, 0.0), 0))
        bench.assemble(
            "base",
            "bracket base",
            members,
            notes=("each foot glued and screwed up to the bottom",),
        )
        return ["base"]

    def _check(self, out: SettingOut, board: Board, block: Board) -> None:
        least_thickness("board", board, 15.0, "a bracket")
        least_thickness("block_board", block, THINNEST_BLOCK, "a glue block with screws up through it")
        short = self.side_foot(out)
        if self.pad > short - LEAST_SLOPE:
            raise ParameterError(
                "pad",
                f"{self.pad:g} mm of a bracket {short:g} mm long leaves no outline; use at most {short - LEAST_SLOPE:g} mm",
            )
        if self.end > self.height - LEAST_SLOPE:
            raise ParameterError(
                "end",
                f"{self.end:g} mm of {self.height:g} mm leaves no outline; use at most {self.height - LEAST_SLOPE:g} mm",
            )
        if block.thickness > self.end:
            raise ParameterError(
                "end",
                f"{self.end:g} mm does not hide glue blocks {block.thickness:g} mm thick; use at least {block.thickness:g} mm",
            )
        if block.thickness > self.pad - board.thickness:
            raise ParameterError(
                "pad",
                f"{self.pad:g} mm does not hide a corner block {block.thickness:g} mm wide behind a bracket {board.thickness:g} thick; use at least {block.thickness + board.thickness:g} mm",
            )
        least = board.thickness + block.thickness + LEAST_BLOCK + SHORT_OF_END
        if short < least:
            raise ParameterError(
                "foot",
                f"brackets {short:g} mm long leave no room for glue blocks; at least {least:g} mm is needed, on a carcass deep enough",
            )
        if self.foot > out.half - BETWEEN_FEET:
            raise ParameterError(
                "foot", f"{self.foot:g} mm is more than half the carcass; use at most {out.half - BETWEEN_FEET:g} mm"
            )

    def side_foot(self, out: SettingOut) -> float:
        """How long the brackets at the sides are: as those in front, or shorter where the carcass is shallow."""
        return min(self.foot, float(math.floor((out.depth - self.rear_set_in) / 2 - BETWEEN_FEET)))


class _Corner:
    """One foot: what its brackets and blocks are measured from."""

    def __init__(self, spec: BracketBase, out: SettingOut, board: Board, block: Board, side: str, end: str) -> None:
        self.spec, self.out, self.board, self.block_board, self.side, self.end = spec, out, board, block, side, end
        self.stem = f"base/{side}.{end}"
        left, front = side == "left", end == "front"
        self.point = vector(
            -out.half if left else out.half, -out.depth if front else -spec.rear_set_in, 0.0
        )  # outer corner on the floor
        self.across: Vector = RIGHT if left else LEFT  # inward along front or rear
        self.deep: Vector = BACK if front else FRONT  # inward along the side

    def at(self, across: float, deep: float, up: float = 0.0) -> Vector:
        """A point so far inward from the outer corner."""
        return plus(plus(plus(self.point, self.across, across), self.deep, deep), UP, up)

    # ---------------------------------------------------------------------------------------------------------- brackets
    def brackets(self, bench: Bench) -> None:
        spec, t, front = self.spec, self.board.thickness, self.end == "front"
        side_key, other = f"{self.stem}/bracket.side", f"{self.stem}/bracket.{self.end}"
        # the side's bracket begins at the corner; a rear one begins behind it
        start = 0.0 if front else t
        self._bracket(
            bench,
            side_key,
            f"side bracket, {self.side} {self.end}",
            self.at(0, 0),
            self.deep,
            self.across,
            0.0,
            self.spec.side_foot(self.out),
        )
        self._bracket(
            bench,
            other,
            f"{self.end} bracket, {self.side}",
            self.at(start, 0),
            self.across,
            self.deep,
            start,
            self.spec.foot,
        )
        if front:
            for key, along in ((side_key, self.deep), (other, self.across)):
                self._mitre(bench, key, along)
            bench.join(f"{side_key}|{other}", "glue", side_key, other, FRONT, (), spec.height * t * 1.414)
        else:
            with blaming("board"):
                size = dowel_for(t)
            heights = [z for z in dowel_heights(spec.height) if z > 12]
            names = tuple(
                bench.dowel(side_key, other, self.at(t, t / 2, z), self.across, size, "dowel") for z in heights
            )
            bench.join(f"{side_key}|{other}", "dowels", side_key, other, self.across, names, spec.height * t)
        for key in (side_key, other):
            if self._lies_under_bottom(bench, key):
                bench.join(f"carcass/bottom|{key}", "loose", "carcass/bottom", key, DOWN)

    def _lies_under_bottom(self, bench: Bench, key: str) -> bool:
        """Whether a bracket reaches under the bottom, not only under the side panel, a lipping as thick as itself, or the back."""
        if key.endswith(".rear"):
            return standing_box(bench.parts[key])[0][1] < standing_box(bench.parts["carcass/bottom"])[1][1]
        lipping = self.out.piece.carcass.lipping.board
        lipped = self.out.board(lipping, "carcass.lipping.board").thickness if lipping else 0.0
        return key.endswith(".front") and lipped < self.board.thickness

    def _bracket(
        self, bench: Bench, key: str, name: str, start: Vector, along: Vector, thick: Vector, begun: float, foot: float
    ) -> None:
        """A bracket from `start` at its outer lower arris, running `along`; `thick` points from its face to its back."""
        spec, t = self.spec, self.board.thickness
        long = round(foot - begun, 6)
        outward = tuple(-c + 0.0 for c in thick)
        forward = _cross(along, UP) == outward  # x along gives z outward; else x runs the other way
        origin = plus(start, thick, t) if forward else plus(plus(start, thick, t), along, long)
        x_axis = along if forward else tuple(-c + 0.0 for c in along)
        bench.part(
            key, name, self.board, long, spec.height, Placement(origin, x_axis, UP), grain="length", role="bracket", finish="legs", face_side="outside", face_edge="upper edge",
            face_edge_high=True, surviving_mark="inner face", setting="brackets", notes=("mitre held by tape while the glue sets",) if self.end == "front" else (),
        )  # fmt: skip
        where = "head end" if forward else "foot end"
        rise, run = spec.height - spec.end, foot - spec.pad
        toe, tip = plus(start, along, spec.pad - begun), plus(plus(start, along, long), UP, rise)
        if spec.outline == "sloped":
            slope = math.hypot(rise, run)
            normal = tuple(a * rise / slope - u * run / slope for a, u in zip(along, UP))
            bench.saw(key, "corner", toe, normal, math.degrees(math.atan2(run, rise)), where, "outline of the bracket")
        elif spec.outline == "stepped":
            far = plus(plus(tip, along, 1.0), thick, t + 1.0)
            bench.take_out(
                key, "notch", plus(plus(toe, thick, -1.0), UP, -1.0), far, f"outline of the bracket, {run:g} × {rise:g}"
            )
        else:
            self._curve(bench, key, plus(toe, thick, -1.0), along, thick, run, rise)

    def _curve(
        self, bench: Bench, key: str, toe: Vector, along: Vector, thick: Vector, run: float, rise: float
    ) -> None:
        """Take out what lies under a curve from the pad's inner end to the thin end, `run` along and `rise` up.

        Each arc turns by no more than brings it level or upright, so that the curve keeps between pad and end.
        """
        tip = plus(plus(toe, along, run), UP, rise)
        below = [plus(plus(toe, along, run + 1.0), UP, -1.0), plus(tip, along, 1.0)]
        lean = math.degrees(math.atan2(rise, run))
        half_turn = self.spec.fullness / 100 * min(lean, 90 - lean)
        ogee = self.spec.outline == "ogee"
        chord = math.hypot(rise, run) / (2 if ogee else 1)
        bow = round(chord / 2 * math.tan(math.radians(half_turn / 2)), 6)
        middle = [plus(plus(toe, along, run / 2), UP, rise / 2)] if ogee else []
        bows = [-bow, bow] if ogee else [bow]
        radius = arc_of((0.0, 0.0), (chord, 0.0), bow)[1]
        arcs = f"two arcs of radius {radius:.0f} that meet midway" if ogee else f"one arc of radius {radius:.0f}"
        words = f"{self.spec.outline} outline of the bracket, {run:g} × {rise:g}, {arcs}"
        bench.cut_out(
            key,
            "shaping",
            [toe, *below, tip, *middle],
            thick,
            self.board.thickness + 2.0,
            words,
            [0.0, 0.0, 0.0, *bows],
        )

    def _mitre(self, bench: Bench, key: str, along: Vector) -> None:
        diagonal = 0.5**0.5
        other = self.deep if along == self.across else self.across
        normal = tuple((o - a) * diagonal for a, o in zip(along, other))
        part = bench.parts[key]
        bench.saw(
            key,
            "mitre",
            self.point,
            normal,
            45.0,
            "foot end" if part.place.x == along else "head end",
            "corner of the base",
        )

    # ------------------------------------------------------------------------------------------------------------ blocks
    def blocks(self, bench: Bench) -> None:
        spec, t, b = self.spec, self.board.thickness, self.block_board.thickness
        corner = f"{self.stem}/block.corner"
        low = self.at(t, t)
        place = (
            Placement(low, UP, self.across) if _cross(UP, self.across) == self.deep else Placement(low, UP, self.deep)
        )
        bench.part(
            corner,
            "corner block",
            self.block_board,
            spec.height,
            b,
            place,
            grain="length",
            role="block",
            finish="inside",
            face_side="inside",
            face_edge="outer edge",
            surviving_mark="upper end",
            setting="corner blocks",
        )
        for key, away in ((f"{self.stem}/bracket.side", self.across), (f"{self.stem}/bracket.{self.end}", self.deep)):
            bench.join(f"{key}|{corner}", "glue", key, corner, away, (), spec.height * b)
        start, stop, side_stop = t + b, spec.foot - SHORT_OF_END, spec.side_foot(self.out) - SHORT_OF_END
        self._top_block(
            bench,
            f"{self.stem}/block.{self.end}",
            f"{self.stem}/bracket.{self.end}",
            self.at(start, t, spec.height - b),
            self.across,
            self.deep,
            stop - start,
            b / 2,
        )
        edge = self.out.half - self.out.inner.right  # from the outer face to the end of the bottom
        in_block = max(b / 2, min(edge + BOTTOM_LAP - t, b - 8.0))
        if t + in_block < edge + 6:
            raise ParameterError(
                "block_board",
                f"blocks {b:g} mm wide behind brackets of {t:g} mm do not reach under the bottom, which begins {edge:g} mm in; at least {edge + 14 - t:g} is needed",
            )
        self._top_block(
            bench,
            f"{self.stem}/block.side",
            f"{self.stem}/bracket.side",
            self.at(t, start, spec.height - b),
            self.deep,
            self.across,
            side_stop - start,
            in_block,
        )

    def _top_block(
        self,
        bench: Bench,
        key: str,
        bracket: str,
        low: Vector,
        along: Vector,
        off: Vector,
        long: float,
        in_block: float,
    ) -> None:
        """A block under the bottom along a bracket, from `low` on; its screws go up `in_block` off the bracket."""
        b = self.block_board.thickness
        forward = _cross(along, off) == UP
        place = (
            Placement(low, along, off)
            if forward
            else Placement(plus(low, along, long), tuple(-c + 0.0 for c in along), off)
        )
        bench.part(
            key,
            "glue block",
            self.block_board,
            round(long, 6),
            b,
            place,
            grain="length",
            role="block",
            finish="inside",
            face_side="up",
            face_edge="against the bracket",
            surviving_mark="underside",
            setting="glue blocks",
        )
        bench.join(f"{bracket}|{key}", "glue", bracket, key, off, (), long * b)
        places = [plus(plus(low, along, x), off, in_block) for x in spread(0.0, long, 150.0, 25.0)]
        screw_up(bench, "block_board", key, "carcass/bottom", places, along, SCREW_MOVED, glued=True)


def _cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1] + 0.0, a[2] * b[0] - a[0] * b[2] + 0.0, a[0] * b[1] - a[1] * b[0] + 0.0)


ENTRY = BracketBase
