"""A loose cornice: a front and two returns mitred, held by a back tie and corner blocks, screwed down from inside.

It sits over the carcass with clearance on a rebate beneath, its lip hanging before the front and the sides; it is finished apart
and lifts off for moving.
"""

from __future__ import annotations

from ...errors import ParameterError, blaming
from ...fields import choice, ident, items, length, parameters
from ...fastenings import Screw, dowel_for
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, plus, vector
from ...model import Board, Fitting, When
from ..bench import Bench
from ..clearance import Box, is_free, near, shifted, standing_box
from ..hardware import screw_through
from ..profiles import PROFILE_LABELS, PROFILES, own
from ..protocols import BoardById, Overhang
from ..setting_out import SettingOut

BLOCKS_APART = 5.0  # mm between corner blocks and what is beside them; common practice, no source
LIP_ROOM = 3.0  # the lip ends at least gap + 3 above the doors' upper edge; common practice, no source
SCREW = (4.0, 22.0)  # diameter, hold; common practice, no source
DRIVER, TOUCHING = 12.5, 0.1  # mm about a screw that a driver needs (common practice, no source); what lies against the top
SCREW_STEP, SCREW_MOVED = 5.0, 60.0  # mm that a screw gives way to what is in its place
ON_SITE = When("on site")


@parameters
class LooseCornice:
    """A loose cornice."""

    style = "loose_cornice"
    label = "Loose cornice"
    opens_up = False

    board: str = ident("oak-40", "Moulding", "What front and returns are cut from; its thickness is the moulding's height")
    member_width: float = length(70, 40, 90, "Member width", "Front to back of each member; mitred members of solid wood stay under 75")
    lip: float = length(25, 12, 60, "Lip thickness", "Hangs before the front and the sides")
    lip_drop: float = length(12, 0, 30, "Lip drop", "How far the lip hangs below the carcass top")
    clearance: float = length(1, 0.5, 3, "Clearance", "Between lip and carcass at the front and the sides: paint and ease")
    profile: str = choice("cove", PROFILE_LABELS, "Profile", "Of the lip's lower front arris")
    profile_size: float = length(18, 6, 40, "Profile size", "Width and height that the profile takes")
    profile_points: tuple[float, ...] = items(float, "Own outline", "For an outline of one's own: in, up, in, up … from the lip's front and its underside", most=80)
    tie_board: str = ident("softwood-28", "Tie and blocks", "What the back tie and the corner blocks are cut from")
    tie_width: float = length(60, 30, 120, "Back tie width", "Front to back")
    block: float = length(100, 50, 200, "Corner blocks", "Length of the two sides that are glued")

    def overhang(self) -> Overhang:
        """The lip and its clearance at the sides and the front."""
        beyond = round(self.lip + self.clearance, 6)
        return Overhang(side=beyond, front=beyond, covered=self.lip_drop)

    def rise(self, board: BoardById) -> float:
        """The moulding's height less the lip's drop."""
        return round(board(self.board).thickness - self.lip_drop, 6)

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Front, returns, tie and blocks, and the screws that hold it down."""
        self._check(out)
        board, tie = out.board(self.board, "top.board"), out.board(self.tie_board, "top.tie_board")
        self._members(bench, out, board)
        self._tie(bench, out, tie)
        self._blocks(bench, out, tie)
        self._screws(bench, out)
        inward = {"left": LEFT, "right": RIGHT}
        members: list[tuple[str, Vector, int]] = [("cornice/front", (0.0, 0.0, 0.0), 0), ("cornice/tie", BACK, 0)]
        members += [(f"cornice/return.{side}", inward[side], 1) for side in ("left", "right")]
        members += [("cornice/block.left", DOWN, 1), ("cornice/block.right", DOWN, 1)]
        bench.assemble("cornice", "cornice", members, notes=("spline or biscuit in each mitre; size the end grain with glue first",))
        return ["cornice"]

    # ------------------------------------------------------------------------------------------------------------ planes
    def _check(self, out: SettingOut) -> None:
        gap = max((front.gaps.top for front in out.piece.fronts), default=0.0)
        most = out.side_board.thickness + gap - LIP_ROOM
        if self.lip_drop > most:
            raise ParameterError("lip_drop", f"{self.lip_drop:g} mm would hang before the doors; at most {most:g} mm (carcass top + gap − {LIP_ROOM:g})")
        if self.lip >= self.member_width - 20:
            raise ParameterError("lip", f"{self.lip:g} mm leaves {self.member_width - self.lip:g} mm to sit on; use less than {self.member_width - 20:g} mm")
        if self.profile_size > self.lip - 2 and self.profile not in ("square", "own"):
            raise ParameterError("profile_size", f"{self.profile_size:g} mm does not fit a lip {self.lip:g} mm thick; use at most {self.lip - 2:g} mm")

        rise, tie = self.rise(lambda id: out.board(id, "top.board")), out.board(self.tie_board, "top.tie_board").thickness
        if tie > rise:
            raise ParameterError("tie_board", f"{tie:g} mm stands above the moulding, which rises {rise:g} mm over the carcass; use a thinner board")
        deep, inside = round(-self._front_y(out), 6), 2 * (self._half(out) - self.member_width)
        room = min(deep - self.member_width - self.tie_width, inside / 2)
        if self.block > room - BLOCKS_APART:
            raise ParameterError(
                "block", f"corner blocks of {self.block:g} mm find no room in a cornice {inside:g} mm wide inside, {deep:g} mm deep; use at most {room - BLOCKS_APART:g} mm"
            )  # fmt: skip

    def _half(self, out: SettingOut) -> float:
        return out.half + self.lip + self.clearance

    def _front_y(self, out: SettingOut) -> float:
        return out.y(-(self.lip + self.clearance))

    def _low(self, out: SettingOut) -> float:
        return round(out.outer.top - self.lip_drop, 6)

    # ------------------------------------------------------------------------------------------------------------- parts
    def _section(self, board: Board) -> tuple[tuple[float, float], ...]:
        """Outline across a member: y in from the front, z up from the lip's underside; the rebate beneath is part of it."""
        profile = self._profile(board)
        outline = [*reversed(profile), (self.lip, 0.0), (self.lip, self.lip_drop), (self.member_width, self.lip_drop)]
        outline += [(self.member_width, board.thickness), (0.0, board.thickness)]
        return tuple(dict.fromkeys(outline))

    def _profile(self, board: Board) -> list[tuple[float, float]]:
        if self.profile == "own":
            return own("profile_points", self.profile_points, self.lip - 2, board.thickness - 2)
        return PROFILES[self.profile](self.profile_size, self.profile_size)

    def _members(self, bench: Bench, out: SettingOut, board: Board) -> None:
        half, front, low = self._half(out), self._front_y(out), self._low(out)
        section = self._section(board)
        common = dict(role="moulding", finish="top", grain="length", section=section, face_side="up", face_edge="front", surviving_mark="on the seat, underneath")
        place = Placement(vector(-half, front, low), RIGHT, BACK)
        bench.part("cornice/front", "cornice front", board, 2 * half, self.member_width, place, setting="cornice", notes=("long point to long point",), **common)
        self._mitre(bench, "cornice/front", (-1.0, 1.0), vector(-half, front, low), "foot end")
        self._mitre(bench, "cornice/front", (1.0, 1.0), vector(half, front, low), "head end")
        long = -front
        # x runs so that y points inward and z up: from the rear forward at the left, from the front backward at the right
        self._return(bench, "left", board, long, Placement(vector(-half, 0.0, low), FRONT, RIGHT), vector(-half, front, low), common)
        self._return(bench, "right", board, long, Placement(vector(half, front, low), BACK, LEFT), vector(half, front, low), common)
        for side, away in (("left", LEFT), ("right", RIGHT)):
            bench.join(f"cornice/return.{side}|cornice/front", "glue", "cornice/front", f"cornice/return.{side}", away, (), self.member_width * 1.414 * board.thickness)

    def _return(self, bench: Bench, side: str, board: Board, long: float, place: Placement, corner: Vector, common: dict) -> None:
        key = f"cornice/return.{side}"
        bench.part(key, f"cornice return, {side}", board, long, self.member_width, place, setting="cornice", notes=("long point; cut long, trim at the rear",), **{**common, "face_edge": "outer edge"})
        inward = 1.0 if side == "left" else -1.0
        self._mitre(bench, key, (inward, -1.0), corner, "head end" if side == "left" else "foot end")

    def _mitre(self, bench: Bench, key: str, away: tuple[float, float], corner: Vector, where: str) -> None:
        """A vertical plane through an outer corner at 45°; `away` (x, y) looks toward the wood that goes."""
        diagonal = 0.5**0.5
        bench.saw(key, "mitre", corner, (away[0] * diagonal, away[1] * diagonal, 0.0), 45.0, where, "corner of the cornice")

    def _tie(self, bench: Bench, out: SettingOut, board: Board) -> None:
        inner = self._half(out) - self.member_width
        long = round(2 * inner, 6)
        place = Placement(vector(-inner, -self.tie_width, out.outer.top), RIGHT, BACK)
        bench.part("cornice/tie", "cornice back tie", board, long, self.tie_width, place, role="tie", finish="top", grain="length", face_side="up", face_edge="front", surviving_mark="underside")
        with blaming("tie_board"):
            size = dowel_for(min(board.thickness, out.side_board.thickness))
        for side, x, into in (("left", -inner, RIGHT), ("right", inner, LEFT)):
            names = [
                bench.dowel(f"cornice/return.{side}", "cornice/tie", vector(x, -self.tie_width + place_, out.outer.top + board.thickness / 2), into, size, "dowel")
                for place_ in (self.tie_width / 4, 3 * self.tie_width / 4)
            ]
            bench.join(f"cornice/return.{side}|cornice/tie", "dowels", f"cornice/return.{side}", "cornice/tie", into, tuple(names), self.tie_width * board.thickness)

    def _blocks(self, bench: Bench, out: SettingOut, board: Board) -> None:
        inner = self._half(out) - self.member_width
        y = self._front_y(out) + self.member_width
        for side, sign in (("left", -1.0), ("right", 1.0)):
            key = f"cornice/block.{side}"
            # the right angle stands in the corner between front and return
            place = Placement(vector(-inner, y, out.outer.top), RIGHT, BACK) if side == "left" else Placement(vector(inner, y, out.outer.top), BACK, LEFT)
            bench.part(key, f"cornice corner block, {side}", board, self.block, self.block, place, role="block", finish="top", grain="length", face_side="up", face_edge="against the moulding", surviving_mark="underside")
            diagonal = 0.5**0.5
            point = vector(sign * (inner - self.block), y, out.outer.top)
            bench.saw(key, "corner", point, (-sign * diagonal, diagonal, 0.0), 45.0, "head end", "triangular block")
            for other, away in ((f"cornice/return.{side}", (-sign, 0.0, 0.0)), ("cornice/front", BACK)):
                bench.join(f"{key}|{other}", "glue", other, key, away, (), self.block * board.thickness)

    def _screws(self, bench: Bench, out: SettingOut) -> None:
        """Up through the carcass top: into the front member, the back tie and the blocks; driven on site."""
        thick, board, tie = out.side_board.thickness, out.board(self.board, "top.board"), out.board(self.tie_board, "top.tie_board")
        seat = (self.member_width - self.lip - self.clearance) / 2  # middle of the front seat, behind the carcass front
        rear = out.depth - self.tie_width / 2 - 15.0
        reach = max(out.half - 149.0, out.half / 2)
        inner = self._half(out) - self.member_width
        third = self.block / 3
        block_f = -self.lip - self.clearance + self.member_width + third
        within = (150.0, 130.0) if reach > 250.0 else ()
        places = [("cornice/front", x, seat + 3.0, board.thickness - self.lip_drop) for x in _both(reach, *within[:1])]
        places += [("cornice/tie", x, rear, tie.thickness) for x in _both(reach, *within[1:])]
        places += [(f"cornice/block.{side}", sign * (inner - third), block_f, tie.thickness) for side, sign in (("left", -1.0), ("right", 1.0))]
        for key, x, f, room in places:
            size = screw_through("top.board", SCREW[0], thick, SCREW[1], room)
            wanted = vector(x, out.y(round(f, 1)), out.inner.top)
            at = self._free(bench, wanted, size, thick)
            bench.screw("carcass/top", key, at, UP, size, thick, "cornice screw", ON_SITE)
        for key in ("cornice/front", "cornice/tie", "cornice/block.left", "cornice/block.right"):
            names = tuple(name for name, each in bench.fasteners.items() if each.purpose == "cornice screw" and each.parts[1] == key)
            bench.join(f"carcass/top|{key}", "screws", "carcass/top", key, UP, names)
        for side in ("left", "right"):
            under = _under(bench, side)
            if under:
                bench.join(f"{under}|cornice/return.{side}", "loose", under, f"cornice/return.{side}", UP)

    def _free(self, bench: Bench, wanted: Vector, size: Screw, thick: float) -> Vector:
        """The wanted place or the nearest at its side where no hole of the top, no upright and no bracket beneath is in the way."""
        beneath = [standing_box(part) for part in bench.parts.values() if part.role == "upright"]
        beneath += [_footprint(fitting) for fitting in bench.fittings.values() if "carcass/top" in fitting.parts]
        toward = LEFT if wanted[0] > 0 else RIGHT
        for at in shifted(wanted, toward, SCREW_MOVED, SCREW_STEP):
            driver = (plus(at, (-DRIVER, -DRIVER, -1.0)), plus(at, (DRIVER, DRIVER, 0.0)))
            if not any(near(driver, box, TOUCHING) for box in beneath) and is_free(bench, "carcass/top", at, UP, size.clearance, thick):
                return at
        return wanted


def _under(bench: Bench, side: str) -> str | None:
    """The part of a side that a return lies on: the panel, or the top rail of a framed side."""
    member = standing_box(bench.parts[f"cornice/return.{side}"])
    parts = [part for key, part in bench.parts.items() if key == f"carcass/side.{side}" or key.startswith(f"side.{side}/")]
    return next((part.key for part in parts if near(standing_box(part), member, TOUCHING)), None)


def _footprint(fitting: Fitting) -> Box:
    corners = [fitting.place.point(end) for body in fitting.bodies for end in (body.low, body.high)]
    return tuple(map(min, *corners)), tuple(map(max, *corners))  # type: ignore[return-value]


def _both(*reach: float) -> list[float]:
    """Each of the distances to the left and to the right of the middle."""
    return [sign * each for each in reach for sign in (-1.0, 1.0)]


ENTRY = LooseCornice
