"""Strips planted on a flat board so that it reads as frame and panel: stiles full height, rails between, muntins between those.

Bevelled inner edges go through the strip's whole thickness, wide face down on the board; the rails' ends are undercut at the
same angle, so that each inside corner is one clean mitre line with one saw setting. A chamfer stops short of the board: below it
the edge stays square, and a rail's end is scribed, square below and undercut above, so that it laps the stile's chamfer. Or the
frame's four corners are mitred right through, which wants equal widths all round; what stands between is scribed. Chamfers routed
after glue-up end in round corners: another joint, which is not offered.
"""

from __future__ import annotations

import itertools
import math

from ...errors import ParameterError
from ...fields import angle, choice, count, ident, items, length, parameters
from ...geometry import Placement, Vector, negative
from ...model import Board
from ..bench import Bench
from ..framing import Rail, across_names, check_fields, muntin_places, rails_of
from ..pinning import pin_for
from ..protocols import BoardById, Face

EDGES = {
    "bevelled": "Bevelled through",
    "square": "Square",
    "chamfered": "Chamfered, rail ends scribed",
    "mitred": "Chamfered, corners mitred",
}
MITRE = 45.0
LEAST_SQUARE = 1.0  # mm of square edge below a chamfer; common practice, no source
LEAST_FACE = 10.0  # mm of a strip's face between its bevels; common practice, no source
MAX_BEVEL = 45.0
GLUE_SPREAD_EDGE = 5.0  # glue stops this short of the inner edge


@parameters
class PlantedFrame:
    """Planted stiles and rails."""

    style = "planted_frame"
    label = "Planted frame"
    stands_alone = False

    board: str = ident("mdf-9", "Strips", "What stiles and rails are ripped from")
    stile_width: float = length(80, 25, 200, "Stile width", "As ripped; a bevel takes some of it from the face")
    top_rail_width: float = length(80, 25, 300, "Top rail width", "As ripped; what a moulding covers is added to it")
    mid_rail_width: float = length(80, 25, 300, "Mid rail width", "As ripped")
    bottom_rail_width: float = length(80, 25, 300, "Bottom rail width", "As ripped")
    mid_rails: tuple[float, ...] = items(float, "Mid rails", "Height of the centre of each above the floor", most=12)
    muntins: int = count(0, 0, 8, "Muntins", "Middle uprights in each field, evenly spread")
    muntin_width: float = length(80, 25, 300, "Muntin width", "As ripped")
    edge: str = choice("bevelled", EDGES, "Inner edges", "Of stiles and rails")
    bevel: float = angle(30, 5, MAX_BEVEL, "Bevel", "From square")
    chamfer: float = length(5, 1.5, 20, "Chamfer", "How deep a chamfer goes from the face; the edge below stays square")

    def face_thickness(self, board: BoardById) -> float:
        """The strips' thickness."""
        return board(self.board).thickness

    def field_depth(self, board: BoardById) -> float:
        """The field lies behind by the strips' thickness."""
        return board(self.board).thickness

    def stile_shown(self, board: BoardById) -> float:
        """Ripped width less what the bevel takes from the face."""
        return self.stile_width - self._loss(board(self.board))

    def dress(self, bench: Bench, face: Face, board: BoardById) -> list[str]:
        """Lay down two stiles, the rails between them and the muntins between those, glued and pinned."""
        strip = board(self.board)
        loss = self._loss(strip)
        rails = rails_of(face, self.bottom_rail_width, self.mid_rail_width, self.top_rail_width, self.mid_rails)
        check_fields(face, self.stile_width, rails, self.muntins, self.muntin_width)
        self._check_faces(strip)
        if self.edge == "mitred":
            self._check_mitres(face)
        pin_for(strip.thickness, bench.parts[face.panel].board.thickness)  # there must be one to buy
        laid = [self._stile(bench, face, strip, left) for left in (True, False)]
        laid += [self._rail(bench, face, strip, loss, rail) for rail in rails]
        for number, (below, above) in enumerate(itertools.pairwise(rails), 1):
            row = f"{number}." if len(rails) > 2 else ""
            laid += self._muntins(bench, face, strip, loss, row, below.high, above.low)
        return laid

    # ------------------------------------------------------------------------------------------------------------- sizes
    def _loss(self, strip: Board) -> float:
        """How much a bevel or chamfer takes from a strip's face."""
        return self._sloped(strip) * math.tan(math.radians(self.bevel))

    def _sloped(self, strip: Board) -> float:
        """How far down from the face the slope goes."""
        return {"bevelled": strip.thickness, "square": 0.0}.get(self.edge, self.chamfer)

    def _check_mitres(self, face: Face) -> None:
        """A mitre at 45° wants strips of one width, and a stile that ends with the frame."""
        if face.run_down:
            raise ParameterError(
                "edge",
                '"mitred": stiles that run down as legs cannot be mitred at their foot; take "chamfered", or another support',
            )
        if face.covered_top:
            raise ParameterError(
                "edge",
                f'"mitred": the top hangs {face.covered_top:g} mm over the top rail, which is made as much wider, and mitred corners want equal widths; take "chamfered"',
            )
        for name in ("top_rail_width", "bottom_rail_width"):
            if abs(getattr(self, name) - self.stile_width) > 1e-6:
                raise ParameterError(
                    name,
                    f"{getattr(self, name):g} mm beside stiles {self.stile_width:g} mm wide: mitred corners want equal widths; make it {self.stile_width:g} mm",
                )

    def _check_faces(self, strip: Board) -> None:
        """A bevel leaves some of every strip's face, a chamfer some of its edge square."""
        most = strip.thickness - LEAST_SQUARE
        if self.edge in ("chamfered", "mitred") and self.chamfer > most:
            raise ParameterError(
                "chamfer",
                f"{self.chamfer:g} mm leaves too little square below it on strips {strip.thickness:g} mm thick; use at most {most:g} mm, or bevel them through",
            )
        bevels = {"stile_width": 1, "top_rail_width": 1, "bottom_rail_width": 1, "mid_rail_width": 2, "muntin_width": 2}
        unused = {"mid_rail_width": not self.mid_rails, "muntin_width": not self.muntins}
        for name, number in bevels.items():
            taken = number * self._loss(strip)
            if getattr(self, name) - taken < LEAST_FACE and not unused.get(name):
                raise ParameterError(
                    name,
                    f"{getattr(self, name):g} mm less {taken:.1f} mm of bevel leaves too little to see; use at least {taken + LEAST_FACE:.1f} mm, or a smaller bevel",
                )

    # ------------------------------------------------------------------------------------------------------------- parts
    def _stile(self, bench: Bench, face: Face, strip: Board, left: bool) -> str:
        edge_name = face.left_name if left else face.right_name
        key = f"{face.key}/stile.{edge_name}"
        length_ = round(face.height + face.run_down, 6)
        across = negative(face.right)  # y = z × x = out × up looks to the left, seen from outside
        corner = face.at(self.stile_width if left else face.width, -face.run_down)
        bench.part(
            key, f"{face.what} stile, {edge_name}", strip, length_, self.stile_width, Placement(corner, face.up, across),
            role="stile", finish=face.finish, face_side="outside", face_edge="outer edge", face_edge_high=left, setting="stile",
            surviving_mark="back of the strip, before gluing",
        )  # fmt: skip
        inner = 0.0 if left else self.stile_width
        self._bevel(bench, key, strip, inner, high=not left)
        if self.edge == "mitred":
            self._mitre(bench, key, length_, self.stile_width - inner, inner)
        self._glue(bench, face, key, length_ - face.run_down, self.stile_width)
        return key

    def _rail(self, bench: Bench, face: Face, strip: Board, loss: float, rail: Rail) -> str:
        key, width = f"{face.key}/rail.{rail.name}", rail.width
        mitred = self.edge == "mitred" and rail.name in ("top", "bottom")
        start = 0.0 if mitred else self.stile_width - loss
        long = round(face.width - 2 * start, 6)
        bench.part(
            key, f"{face.what} {rail.name.split('.')[0]} rail", strip, long, width, Placement(face.at(start, rail.low), face.right, face.up),
            role="rail", finish=face.finish, face_side="outside", face_edge="lower edge", setting=f"{face.what} rails",
            surviving_mark="back of the strip, before gluing", shown_one_side=True,
            notes=() if mitred else self._end_notes(long, loss),
        )  # fmt: skip
        if rail.name != "top":
            self._bevel(bench, key, strip, width, high=True)
        if rail.name != "bottom":
            self._bevel(bench, key, strip, 0.0, high=False)
        if mitred:
            self._mitre(bench, key, long, *((width, 0.0) if rail.name == "top" else (0.0, width)))
        else:
            self._end(bench, key, strip, long, width)
        self._glue(bench, face, key, long, width)
        return key

    def _muntins(
        self, bench: Bench, face: Face, strip: Board, loss: float, row: str, low: float, high: float
    ) -> list[str]:
        """The muntins of one row of fields, fitted between its rails as rails are between stiles."""
        laid = []
        between, long = face.width - 2 * self.stile_width, round(high - low + 2 * loss, 6)
        places = muntin_places(between, self.muntin_width, self.muntins)
        for name, place in zip(across_names(self.muntins, face.left_name, face.right_name), places):
            key = f"{face.key}/muntin.{row}{name}"
            corner = face.at(round(self.stile_width + place + self.muntin_width, 6), round(low - loss, 6))
            bench.part(
                key, f"{face.what} muntin", strip, long, self.muntin_width, Placement(corner, face.up, negative(face.right)),
                role="muntin", finish=face.finish, face_side="outside", face_edge="right edge", setting=f"{face.what} muntins",
                surviving_mark="back of the strip, before gluing", shown_one_side=True,
                notes=self._end_notes(long, loss),
            )  # fmt: skip
            self._bevel(bench, key, strip, 0.0, high=False)
            self._bevel(bench, key, strip, self.muntin_width, high=True)
            self._end(bench, key, strip, long, self.muntin_width)
            self._glue(bench, face, key, long, self.muntin_width)
            laid.append(key)
        return laid

    def _bevel(self, bench: Bench, key: str, strip: Board, edge_y: float, high: bool) -> None:
        if self.edge == "square":
            return
        side, up = math.cos(math.radians(self.bevel)), math.sin(math.radians(self.bevel))
        normal: Vector = (0.0, side if high else -side, up)
        part = bench.parts[key]
        where = "face edge" if high == part.face_edge_high else "back edge"
        kind, words = (
            ("bevel", "inner edge, sawn wide face up, planted wide face down")
            if self.edge == "bevelled"
            else ("chamfer", f"inner edge, {self.chamfer:g} deep")
        )
        bench.saw_own(
            key, kind, (0.0, edge_y, round(strip.thickness - self._sloped(strip), 6)), normal, self.bevel, where, words
        )

    def _end_notes(self, long: float, loss: float) -> tuple[str, ...]:
        """What the saw's own words (undercut at both ends) do not say."""
        ends = {
            "bevelled": "",
            "chamfered": (scribed := f", ends scribed over a chamfer {self.chamfer:g} deep at {self.bevel:g}°"),
            "mitred": scribed,
        }.get(self.edge)
        return () if ends is None else (f"back {long - 2 * loss:.1f} long{ends}",)

    def _end(self, bench: Bench, key: str, strip: Board, long: float, width: float) -> None:
        """Fit both ends of a strip to the edges that it stands between."""
        if self.edge == "bevelled":
            self._undercut(bench, key, strip, long)
        elif self.edge != "square":
            self._scribe(bench, key, strip, long, width)

    def _mitre(self, bench: Bench, key: str, long: float, outer: float, inner: float) -> None:
        """Saw both ends at 45° through, long at the outer edge; `outer` and `inner` say where the edges lie across the strip."""
        side, across = math.cos(math.radians(MITRE)), math.sin(math.radians(MITRE))
        inward = across if inner > outer else -across
        for x, way, where in ((0.0, -side, "foot end"), (long, side, "head end")):
            bench.saw_own(key, "mitre", (x, outer, 0.0), (way, inward, 0.0), MITRE, where, "long at the outer edge")

    def _scribe(self, bench: Bench, key: str, strip: Board, long: float, width: float) -> None:
        """Square below, undercut above at the chamfer's angle: the end laps the chamfer that it meets."""
        face, square, loss = strip.thickness, round(strip.thickness - self.chamfer, 6), round(self._loss(strip), 6)
        end = (
            (-1.0, -1.0),
            (face + 1.0, -1.0),
            (face, 0.0),
            (square, loss),
            (-1.0, loss),
        )  # up from the back, in from the end
        words = f"over the stile's chamfer: square below, undercut {self.bevel:g}° above"
        bench.cut_out_own(key, "scribe", 1, end, -1.0, width + 1.0, words)
        bench.cut_out_own(key, "scribe", 1, tuple((z, round(long - x, 6)) for z, x in end), -1.0, width + 1.0, words)

    def _undercut(self, bench: Bench, key: str, strip: Board, long: float) -> None:
        along, down = math.cos(math.radians(self.bevel)), -math.sin(math.radians(self.bevel))
        bench.saw_own(
            key,
            "undercut",
            (0.0, 0.0, strip.thickness),
            (-along, 0.0, down),
            self.bevel,
            "foot end",
            "fits the stile's bevel, long side up",
        )
        bench.saw_own(
            key,
            "undercut",
            (long, 0.0, strip.thickness),
            (along, 0.0, down),
            self.bevel,
            "head end",
            "fits the stile's bevel, long side up",
        )

    def _glue(self, bench: Bench, face: Face, key: str, long: float, width: float) -> None:
        """Glued and pinned; the pins find their places when all that is cut and drilled is known."""
        bench.join(
            f"{key}|{face.panel}",
            "glue and pins",
            face.panel,
            key,
            face.out,
            (),
            long * max(width - GLUE_SPREAD_EDGE, 0.0),
        )


ENTRY = PlantedFrame
