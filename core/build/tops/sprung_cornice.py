"""A sprung cornice: a thin moulding that leans out from the carcass's top edge, its returns mitred at compound angles.

It is ripped with both edges bevelled at the spring angle, so that it stands and ends level, and glued to a backing whose outer edge is
sawn at the same angle. The backing's front and returns, a tie and corner blocks make a frame that is screwed down from inside and
lifts off.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...errors import ParameterError
from ...fields import angle, choice, ident, length, parameters
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, negative, plus, vector
from ...mechanics import compound_mitre
from ...model import Board
from ...outlines import arc_of
from ..bench import Bench
from ..cornice import Hold, mitre, seat_of
from ..frieze import Frieze, frieze_board, frieze_height
from ..protocols import BoardById, Overhang
from ..setting_out import SettingOut

FACES = {
    "flat": "Flat",
    "hollow": "A hollow between two flats",
    "ogee": "An ogee: round below, hollow above, a quirk over it",
}
FLAT = 6.0  # mm of the face left flat at both edges; common practice, no source
# how deep the middle of a hollow lies under its edges, the end of an ogee under its beginning, by the chord; common
# practice, no source
HOLLOW, OGEE = 0.12, 0.22
QUIRK = 2.0  # mm that an ogee begins under the face; common practice, no source
MOST_TAKEN = 0.6  # of the moulding's thickness that the face may take; common practice, no source
LEAST_BACKED = 0.5  # of the moulding's height that its backing stands behind; common practice, no source
LEAST_STANDING = 5.0  # mm of a moulding's foot on the frieze under it; common practice, no source
LEAST_RETURN = 40.0  # mm of a return between its corner and the tie; common practice, no source
CUT_STEP = 0.1  # mm
CORNER = 90.0  # degrees between the front and a side


@parameters
class SprungCornice:
    """A sprung cornice on a backing."""

    style = "sprung_cornice"
    label = "Sprung cornice"
    opens_up = False

    board: str = ident("hardwood-20", "Moulding", "What front and returns are cut from")
    spring: float = angle(
        38, 25, 60, "Spring angle", "Between the back of the moulding and upright; 38 and 45 are usual"
    )
    height: float = length(44, 25, 120, "Height", "From the carcass top to the top of the moulding")
    set_in: float = length(3, 0, 20, "Set in", "From the carcass's outer faces to the moulding's lower arris")
    face: str = choice("hollow", FACES, "Face", "Of the moulding")
    backing_board: str = ident("softwood-28", "Backing", "What backing, tie and corner blocks are cut from")
    seat: float = length(50, 40, 120, "Seat", "Width of the backing on the carcass top")
    tie_width: float = length(60, 30, 120, "Back tie width", "Front to back")
    block: float = length(100, 50, 200, "Corner blocks", "Length of the two sides that are glued")
    stops_short: float = length(
        0,
        0,
        600,
        "Returns stop short",
        "Of the back, where their ends stay in the open: each is mitred and returned into itself; 0: they run to the back",
    )

    frieze: float = frieze_height()
    frieze_board: str = frieze_board()

    def overhang(self) -> Overhang:
        """How far the moulding's upper arris leans out over the front and the sides."""
        beyond = max(0.0, round(self._leaning(self.height) - self.set_in, 6))
        return Overhang(side=beyond, front=beyond)

    def rise(self, board: BoardById) -> float:
        """The moulding's height, and what is under it."""
        return round(self.frieze + self.height, 6)

    def _foot(self, out: SettingOut) -> float:
        """The height of what it stands on."""
        return round(out.outer.top + self.frieze, 6)

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Moulding, backing, tie and blocks, and the screws that hold it down."""
        board, backing = out.board(self.board, "top.board"), out.board(self.backing_board, "top.backing_board")
        self._check(board, backing)
        self._check_ends(out, board)
        hold = self._hold(out, board, backing)
        hold.check()
        frieze = self._frieze(out, board, backing)
        if frieze:
            self._check_on_frieze(frieze)
        for side in _SIDES:
            self._member(bench, out, side, board)
            self._backing(bench, out, side, board, backing)
        for side in ("left", "right"):
            self._corners(bench, out, side, board, backing)
        if self.stops_short:
            for side in ("left", "right"):
                self._returned_end(bench, out, side, board)
        hold.lay(bench)
        members: list[tuple[str, Vector, int]] = [
            ("cornice/backing.front", (0.0, 0.0, 0.0), 0),
            ("cornice/tie", BACK, 0),
        ]
        members += [(f"cornice/backing.{side}", _SIDES[side].out, 1) for side in ("left", "right")]
        members += [("cornice/block.left", DOWN, 1), ("cornice/block.right", DOWN, 1)]
        members += [("cornice/front", FRONT, 2), ("cornice/return.left", LEFT, 3), ("cornice/return.right", RIGHT, 3)]
        members += [(f"cornice/end.{side}", BACK, 4) for side in ("left", "right") if self.stops_short]
        notes = (
            "moulding cut upside down and backwards, or flat at the compound angle",
            "size the end grain of each mitre with glue first",
        )
        bench.assemble("cornice", "cornice", members, notes=notes)
        return [frieze.build(bench)] if frieze else ["cornice"]

    # ------------------------------------------------------------------------------------------------------------- sizes
    def _leaning(self, up: float) -> float:
        return round(up * math.tan(math.radians(self.spring)), 6)

    def _through(self, board: Board) -> float:
        """The moulding's thickness measured level."""
        return round(board.thickness / math.cos(math.radians(self.spring)), 6)

    def _edge(self, board: Board) -> float:
        """How far each bevelled edge runs across the moulding's width."""
        return board.thickness * math.tan(math.radians(self.spring))

    def _flat_width(self) -> float:
        return self.height / math.cos(math.radians(self.spring))

    def _check(self, board: Board, backing: Board) -> None:
        if backing.thickness > self.height:
            raise ParameterError(
                "backing_board",
                f"{backing.thickness:g} mm stands above a moulding {self.height:g} mm high; use a thinner board",
            )
        if backing.thickness < LEAST_BACKED * self.height:
            raise ParameterError(
                "height",
                f"a backing {backing.thickness:g} mm thick holds less than half of a moulding {self.height:g} mm high; use at most {backing.thickness / LEAST_BACKED:g} mm, or a thicker backing",
            )
        lost = self._leaning(backing.thickness)
        if self.seat <= lost - 10:
            raise ParameterError(
                "seat",
                f"{self.seat:g} mm is too little under a backing that leans out by {lost:.1f} mm; use more than {lost - 10:.1f} mm",
            )
        face, taken = self._flat_width() - 2 * FLAT, self._depth()
        if self.face != "flat" and taken > MOST_TAKEN * board.thickness:
            raise ParameterError(
                "face",
                f'"{self.face}" on a moulding {face + 2 * FLAT:.1f} mm wide goes {taken:.1f} mm deep, too much for a board {board.thickness:g} mm thick; use a board of at least {taken / MOST_TAKEN:.1f} mm, or a flat face',
            )

    def _check_ends(self, out: SettingOut, board: Board) -> None:
        """Returns that stop short leave something straight between their mitres and the tie."""
        straight = round(-out.y(self._behind(board)) - self._rear(board) - self.tie_width, 6)
        if self.stops_short and straight < LEAST_RETURN:
            raise ParameterError(
                "stops_short",
                f"{self.stops_short:g} mm leaves the returns {max(straight, 0):g} mm between their corners and the tie, and {LEAST_RETURN:g} mm are needed; use at most {max(0.0, self.stops_short + straight - LEAST_RETURN):g} mm",
            )

    def _check_on_frieze(self, frieze: Frieze) -> None:
        """The moulding's foot stands on the frieze, not behind it."""
        frieze.check()
        most = frieze.board.thickness - LEAST_STANDING
        if self.set_in > most:
            raise ParameterError(
                "set_in",
                f"{self.set_in:g} mm: the moulding's foot would stand behind a frieze {frieze.board.thickness:g} mm thick; use at most {most:g} mm",
            )

    def _beyond(self) -> float:
        """How far the moulding's upper arris leans out beyond the carcass."""
        return round(self._leaning(self.height) - self.set_in, 6)

    def _turns_at(self) -> float:
        """The y at which a return that stops short turns the corner, as the front does at the carcass front."""
        return round(-self.stops_short - self._beyond(), 6)

    def _rear(self, board: Board) -> float:
        """How far before the back the backing ends: where the moulding of the returned end stands on the carcass."""
        return round(self._in(board) - self._turns_at(), 6) if self.stops_short else 0.0

    def _depth(self) -> float:
        """How deep the face's shaping goes."""
        chord = self._flat_width() - 2 * FLAT
        return chord * HOLLOW if self.face == "hollow" else QUIRK + chord * OGEE

    # ------------------------------------------------------------------------------------------------------------- parts
    def _member(self, bench: Bench, out: SettingOut, side: str, board: Board) -> None:
        """One length of moulding, its back against the slope, from rear to corner or corner to corner."""
        run, key = _SIDES[side], _key(side)
        lean = math.radians(self.spring)
        # y up the slope, z out of its face
        up = tuple(math.cos(lean) * u + math.sin(lean) * o for u, o in zip(UP, run.out))
        back = self.set_in + self._through(
            board
        )  # of the moulding's back at its foot, in from the carcass's outer face
        foot, long = _stretch(out, side, self._beyond(), self.stops_short)
        origin = plus(plus(foot, run.out, -back), UP, self._foot(out))
        setting, _ = compound_mitre(self.spring, CORNER)
        wide = round(self._flat_width() + self._edge(board), 6)
        bench.part(
            key, "cornice front" if side == "front" else f"cornice return, {side}", board, long, wide, Placement(origin, run.along, up), role="moulding", finish="top",  # type: ignore[arg-type]
            grain="length", face_side="outside", face_edge="lower edge", surviving_mark="on the back", setting="cornice",
            notes=(("long point; cut long, trim at the rear" if side != "front" and not self.stops_short else "long point to long point"), f"flat on the saw: mitre {setting:.1f}°, blade {compound_mitre(self.spring, CORNER)[1]:.1f}°; sprung against its fence, upside down and backwards: mitre {CORNER / 2:g}°, blade upright"),
        )  # fmt: skip
        self._make_level(bench, key)
        self._shape_face(bench, key, board, long)

    def _returned_end(self, bench: Bench, out: SettingOut, side: str, board: Board) -> None:
        """Mitre a return's rear end at the compound angle and glue on the small piece that turns the moulding back into itself.

        Its inner end is sawn square in line with the return's back, over the carcass; it is longer than the moulding is thick.
        """
        sign, lean, inside = -1.0 if side == "left" else 1.0, math.radians(self.spring), self._in(board)
        key, member = f"cornice/end.{side}", f"cornice/return.{side}"
        up = tuple(math.cos(lean) * u + math.sin(lean) * o for u, o in zip(UP, BACK))
        long, turns = round(self._beyond() + inside, 6), self._turns_at()
        foot = (
            out.half + self._beyond() if side == "right" else -out.half + inside
        )  # seen from behind it runs to the left
        mitred, blade = compound_mitre(self.spring, CORNER)
        bench.part(
            key, f"cornice returned end, {side}", board, long, round(self._flat_width() + self._edge(board), 6), Placement(vector(foot, turns - inside, self._foot(out)), LEFT, up), role="moulding", finish="top",  # type: ignore[arg-type]
            grain="length", face_side="outside", face_edge="lower edge", surviving_mark="on the back", setting="cornice",
            notes=(f"sawn off the end of a longer length: hands stay clear of the blade; mitre {mitred:.1f}°, blade {blade:.1f}°", "glued, not pinned; held by tape while the glue sets"),
        )  # fmt: skip
        self._make_level(bench, key)
        self._shape_face(bench, key, board, long)
        corner = vector(sign * out.half, turns, self._foot(out))
        mitre(bench, key, (sign, -1.0), corner, "foot end" if side == "right" else "head end")
        mitre(bench, member, (-sign, 1.0), corner, "foot end" if side == "left" else "head end")
        bench.join(f"{member}|{key}", "glue", member, key, BACK, (), self._flat_width() * board.thickness)

    def _make_level(self, bench: Bench, key: str) -> None:
        """Bevel both edges of a length, so that it stands and ends level."""
        lean = math.radians(self.spring)
        cos, sin = math.cos(lean), math.sin(lean)
        bench.saw_own(
            key, "bevel", (0.0, 0.0, 0.0), (0.0, -cos, sin), self.spring, "face edge", "stands level on the carcass top"
        )
        bench.saw_own(
            key,
            "bevel",
            (0.0, round(self._flat_width(), 6), 0.0),
            (0.0, cos, -sin),
            self.spring,
            "back edge",
            "level on top",
        )

    def _shape_face(self, bench: Bench, key: str, board: Board, long: float) -> None:
        if self.face == "flat":
            return
        thick, low = board.thickness, self._edge(board) + FLAT
        high = low + self._flat_width() - 2 * FLAT
        chord = high - low
        if self.face == "hollow":
            bow, bows, half = chord * HOLLOW, [1.0], chord
            corners = [(low, thick), (high, thick)]
        else:  # both arcs leave the ends of the ogee level with the face
            lean = math.atan(OGEE)
            half = chord / 2 / math.cos(lean)
            bow, bows = half / 2 * math.tan(lean / 2), [-1.0, 1.0]
            corners = [
                (low, thick - QUIRK),
                ((low + high) / 2, thick - QUIRK - chord * OGEE / 2),
                (high, thick - QUIRK - chord * OGEE),
            ]
        radius = arc_of((0.0, 0.0), (half, 0.0), bow)[1]
        rises = [*(round(bow * way, 6) for way in bows), 0.0, 0.0, 0.0]
        outline = [(round(y, 6), round(z, 6)) for y, z in (*corners, (high, thick + 2.0), (low, thick + 2.0))]
        bench.cut_out_own(
            key,
            "shaping",
            0,
            outline,
            -1.0,
            long + 1.0,
            f"{self.face} face of the moulding, {chord:.0f} wide, radius {radius:.0f}",
            rises,
        )

    def _backing(self, bench: Bench, out: SettingOut, side: str, board: Board, backing: Board) -> None:
        """A length of backing, its outer edge sawn at the spring angle."""
        run, thick = _SIDES[side], backing.thickness
        key, lean = _backing_key(side), self._leaning(thick)
        foot, long = _stretch(out, side, -self._in(board) + lean, self._rear(board))
        origin = plus(plus(foot, run.out, lean - self._in(board)), UP, self._foot(out))
        wide = round(self._behind(board) - self._in(board) + lean, 6)
        bench.part(
            key, f"cornice backing, {side}", backing, long, wide, Placement(origin, run.along, negative(run.out)), role="backing", finish="top", grain="length", face_side="up",
            face_edge="outer edge", surviving_mark="underside", setting="cornice backing",
        )  # fmt: skip
        spring = math.radians(self.spring)
        bench.saw_own(
            key,
            "bevel",
            (0.0, 0.0, thick),
            (0.0, -math.cos(spring), -math.sin(spring)),
            self.spring,
            "face edge",
            "slope for the moulding, sawn and glued wide face up",
        )
        bench.join(f"{key}|{_key(side)}", "glue", key, _key(side), run.out, (), long * thick / math.cos(spring))

    def _in(self, board: Board) -> float:
        """How far the backing's foot stands in from the carcass's outer faces."""
        return round(self.set_in + self._through(board), 6)

    def _behind(self, board: Board) -> float:
        """How far the backing's inner face stands in: to a tenth of a millimetre, so that the tie's length is what a tape reads."""
        return math.ceil((self._in(board) + self.seat) / CUT_STEP - 1e-6) * CUT_STEP

    def _corners(self, bench: Bench, out: SettingOut, side: str, board: Board, backing: Board) -> None:
        """The mitres of moulding and backing at one front corner."""
        sign = -1.0 if side == "left" else 1.0
        corner = vector(sign * out.half, out.y(0.0), self._foot(out))
        for front, other, area in (
            ("cornice/front", f"cornice/return.{side}", self._flat_width() * board.thickness),
            ("cornice/backing.front", f"cornice/backing.{side}", self.seat * 1.414 * backing.thickness),
        ):
            mitre(bench, front, (sign, 1.0), corner, "foot end" if side == "left" else "head end")
            mitre(bench, other, (-sign, -1.0), corner, "head end" if side == "left" else "foot end")
            bench.join(f"{other}|{front}", "glue", front, other, _SIDES[side].out, (), area)
        if not self.frieze:
            seat = seat_of(bench, side, _backing_key(side))
            if seat:
                bench.join(f"{seat}|{_backing_key(side)}", "loose", seat, _backing_key(side), UP)

    def _hold(self, out: SettingOut, board: Board, backing: Board) -> Hold:
        behind = round(self._behind(board), 6)
        return Hold(
            out=out, board=backing, inner=round(out.half - behind, 6), behind_front=out.y(behind), tie_width=self.tie_width, block=self.block, front="cornice/backing.front",
            returns={side: f"cornice/backing.{side}" for side in ("left", "right")}, seat=self._in(board) + self.seat / 2, into_front=backing.thickness,
            rear=self._rear(board), raised=self.frieze, tie_field="backing_board",
        )  # fmt: skip

    def _frieze(self, out: SettingOut, board: Board, backing: Board) -> Frieze | None:
        if not self.frieze:
            return None
        return Frieze(
            out=out, height=self.frieze, board=out.board(self.frieze_board, "top.frieze_board"), fillet=backing, block=self.block,
            tie_width=self.tie_width, over={side: _backing_key(side) for side in _SIDES}, seat=(self._in(board), round(self._behind(board), 6)),
            into=backing.thickness, rear=self._rear(board), tie_field="backing_board",
        )  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Run:
    """Which way a length runs and looks."""

    along: Vector
    out: Vector


_SIDES = {"front": _Run(RIGHT, FRONT), "left": _Run(FRONT, LEFT), "right": _Run(BACK, RIGHT)}


def _key(side: str) -> str:
    return "cornice/front" if side == "front" else f"cornice/return.{side}"


def _backing_key(side: str) -> str:
    return f"cornice/backing.{side}"


def _stretch(out: SettingOut, side: str, beyond: float, rear: float) -> tuple[Vector, float]:
    """Where a length begins on the carcass's outer face (height 0), and how long it is: `beyond` the corners, `rear` short of the back."""
    half, front = out.half, out.y(0.0)
    if side == "front":
        return vector(-half - beyond, front, 0.0), round(2 * (half + beyond), 6)
    if side == "left":
        return vector(-half, -rear, 0.0), round(beyond - front - rear, 6)
    return vector(half, front - beyond, 0.0), round(beyond - front - rear, 6)


ENTRY = SprungCornice
