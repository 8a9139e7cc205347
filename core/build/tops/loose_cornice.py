"""A loose cornice: a front and two returns mitred, held by a back tie and corner blocks, screwed down from inside.

It sits over the carcass with clearance on a rebate beneath, its lip hanging before the front and the sides; it is finished apart
and lifts off for moving.
"""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import choice, ident, items, length, parameters
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ...model import Board
from ..bench import Bench
from ..cornice import Hold, lies_on, mitre, seat_of
from ..frieze import Frieze, frieze_board, frieze_height, frieze_later
from ..profiles import PROFILE_LABELS, PROFILES, own
from ..protocols import BoardById, Overhang
from ..setting_out import SettingOut

TAIL = 5.0  # mm of a returned end left square at its short point; common practice, no source
LEAST_RETURN = 60.0  # mm of a return that runs straight; common practice, no source
LIP_ROOM = 3.0  # the lip ends at least gap + 3 above the doors' upper edge; common practice, no source


@parameters
class LooseCornice:
    """A loose cornice."""

    style = "loose_cornice"
    label = "Loose cornice"
    opens_up = False

    board: str = ident(
        "oak-40", "Moulding", "What front and returns are cut from; its thickness is the moulding's height"
    )
    member_width: float = length(
        70, 40, 90, "Member width", "Front to back of each member; mitred members of solid wood stay under 75"
    )
    lip: float = length(25, 12, 60, "Lip thickness", "Hangs before the front and the sides")
    lip_drop: float = length(12, 0, 30, "Lip drop", "How far the lip hangs below the carcass top")
    clearance: float = length(
        1, 0.5, 3, "Clearance", "Between lip and carcass at the front and the sides: paint and ease"
    )
    profile: str = choice("cove", PROFILE_LABELS, "Profile", "Of the lip's lower front arris")
    profile_size: float = length(18, 6, 40, "Profile size", "Width and height that the profile takes")
    profile_points: tuple[float, ...] = items(
        float,
        "Own outline",
        "For an outline of one's own: in, up, in, up … from the lip's front and its underside",
        most=80,
    )
    tie_board: str = ident("softwood-28", "Tie and blocks", "What the back tie and the corner blocks are cut from")
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
    frieze_later: bool = frieze_later()

    def overhang(self) -> Overhang:
        """The lip and its clearance at the sides and the front."""
        beyond = round(self.lip + self.clearance, 6)
        covered = self.lip_drop if not self.frieze or self.frieze_later else 0.0
        return Overhang(side=beyond, front=beyond, covered=covered)

    def rise(self, board: BoardById) -> float:
        """The moulding's height less the lip's drop, and what is under it."""
        return round(self.frieze + self._above(board(self.board)), 6)

    def _above(self, board: Board) -> float:
        """How far the moulding stands above what it lies on."""
        return round(board.thickness - self.lip_drop, 6)

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Front, returns, tie and blocks, and the screws that hold it down."""
        self._check(out)
        board, tie = out.board(self.board, "top.board"), out.board(self.tie_board, "top.tie_board")
        self._members(bench, out, board)
        self._hold(out, tie).lay(bench)
        for side in ("left", "right"):
            under = lies_on(bench, side, f"cornice/return.{side}")
            if under:
                bench.join(f"{under}|cornice/return.{side}", "loose", under, f"cornice/return.{side}", UP)
        if self.stops_short:
            for side in ("left", "right"):
                self._returned_end(bench, out, side, board)
        self._assemble(bench)
        return [self._frieze(out, board, tie).build(bench)] if self.frieze else ["cornice"]

    def _assemble(self, bench: Bench) -> None:
        inward = {"left": LEFT, "right": RIGHT}
        members: list[tuple[str, Vector, int]] = [("cornice/front", (0.0, 0.0, 0.0), 0), ("cornice/tie", BACK, 0)]
        members += [(f"cornice/return.{side}", inward[side], 1) for side in ("left", "right")]
        members += [("cornice/block.left", DOWN, 1), ("cornice/block.right", DOWN, 1)]
        members += [(f"cornice/end.{side}", BACK, 2) for side in ("left", "right") if self.stops_short]
        bench.assemble(
            "cornice",
            "cornice",
            members,
            notes=("spline or biscuit in each mitre; size the end grain with glue first",),
        )

    def _frieze(self, out: SettingOut, board: Board, tie: Board) -> Frieze:
        seat = (-self.clearance, round(self.member_width - self.lip - self.clearance, 6))
        over = {"front": "cornice/front", "left": "cornice/return.left", "right": "cornice/return.right"}
        return Frieze(
            out=out, height=self.frieze, board=out.board(self.frieze_board, "top.frieze_board"), fillet=tie, block=self.block,
            tie_width=self.tie_width, over=over, seat=seat, into=self._above(board), rear=self._rear,
        )  # fmt: skip

    @property
    def _rear(self) -> float:
        """How far before the back the tie's rear edge lies."""
        return self.stops_short + self.member_width if self.stops_short else 0.0

    # ------------------------------------------------------------------------------------------------------------ planes
    def _check(self, out: SettingOut) -> None:
        gap = max((front.gaps.top for front in out.piece.fronts), default=0.0)
        most = out.side_board.thickness + gap - LIP_ROOM
        if self.lip_drop > most and not self.frieze:
            raise ParameterError(
                "lip_drop",
                f"{self.lip_drop:g} mm would hang before the doors; at most {most:g} mm (carcass top + gap − {LIP_ROOM:g})",
            )
        if self.lip >= self.member_width - 20:
            raise ParameterError(
                "lip",
                f"{self.lip:g} mm leaves {self.member_width - self.lip:g} mm to sit on; use less than {self.member_width - 20:g} mm",
            )
        if self.profile_size > self.lip - 2 and self.profile not in ("square", "own"):
            raise ParameterError(
                "profile_size",
                f"{self.profile_size:g} mm does not fit a lip {self.lip:g} mm thick; use at most {self.lip - 2:g} mm",
            )

        board, tie_board = out.board(self.board, "top.board"), out.board(self.tie_board, "top.tie_board")
        rise, tie = self._above(board), tie_board.thickness
        if tie > rise:
            raise ParameterError(
                "tie_board",
                f"{tie:g} mm stands above the moulding, which rises {rise:g} mm over the carcass; use a thinner board",
            )
        straight = round(-self._front_y(out) - self.stops_short - 2 * self.member_width - self.tie_width, 6)
        if self.stops_short and straight < LEAST_RETURN:
            raise ParameterError(
                "stops_short",
                f"{self.stops_short:g} mm leaves the returns {straight:g} mm between their mitres and the tie; use at most {max(0.0, self.stops_short + straight - LEAST_RETURN):g} mm",
            )
        self._hold(out, tie_board).check()
        if self.frieze:
            self._frieze(out, board, tie_board).check()

    def _half(self, out: SettingOut) -> float:
        return out.half + self.lip + self.clearance

    def _front_y(self, out: SettingOut) -> float:
        return out.y(-(self.lip + self.clearance))

    def _low(self, out: SettingOut) -> float:
        return round(out.outer.top + self.frieze - self.lip_drop, 6)

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
        common = dict(
            role="moulding",
            finish="top",
            grain="length",
            section=section,
            face_side="up",
            face_edge="front",
            surviving_mark="on the seat, underneath",
        )
        place = Placement(vector(-half, front, low), RIGHT, BACK)
        bench.part(
            "cornice/front",
            "cornice front",
            board,
            2 * half,
            self.member_width,
            place,
            setting="cornice",
            notes=("long point to long point",),
            **common,
        )
        mitre(bench, "cornice/front", (-1.0, 1.0), vector(-half, front, low), "foot end")
        mitre(bench, "cornice/front", (1.0, 1.0), vector(half, front, low), "head end")
        long, rear = round(-front - self.stops_short, 6), -self.stops_short
        # x runs so that y points inward and z up: from the rear forward at the left, from the front backward at the right
        self._return(
            bench,
            "left",
            board,
            long,
            Placement(vector(-half, rear, low), FRONT, RIGHT),
            vector(-half, front, low),
            common,
        )
        self._return(
            bench,
            "right",
            board,
            long,
            Placement(vector(half, front, low), BACK, LEFT),
            vector(half, front, low),
            common,
        )
        for side, away in (("left", LEFT), ("right", RIGHT)):
            bench.join(
                f"cornice/return.{side}|cornice/front",
                "glue",
                "cornice/front",
                f"cornice/return.{side}",
                away,
                (),
                self.member_width * 1.414 * board.thickness,
            )

    def _return(
        self, bench: Bench, side: str, board: Board, long: float, place: Placement, corner: Vector, common: dict
    ) -> None:
        key = f"cornice/return.{side}"
        bench.part(
            key,
            f"cornice return, {side}",
            board,
            long,
            self.member_width,
            place,
            setting="cornice",
            notes=("long point to long point" if self.stops_short else "long point; cut long, trim at the rear",),
            **{**common, "face_edge": "outer edge"},
        )
        inward = 1.0 if side == "left" else -1.0
        mitre(bench, key, (inward, -1.0), corner, "head end" if side == "left" else "foot end")

    def _returned_end(self, bench: Bench, out: SettingOut, side: str, board: Board) -> None:
        """Mitre a return's rear end and glue on the small piece that turns the moulding back into itself, over the carcass.

        Its lip ends where the carcass begins. The long point is a member's width and a little more (rule book: no less than that).
        """
        half, low, rear = self._half(out), self._low(out), -self.stops_short
        sign = -1.0 if side == "left" else 1.0
        key, member, long = f"cornice/end.{side}", f"cornice/return.{side}", round(self.member_width + TAIL, 6)
        corner = vector(sign * half, rear, low)
        # seen from behind it runs as the front does from before: y points forward, z up
        place = Placement(corner if side == "right" else vector(-half + long, rear, low), LEFT, FRONT)
        bench.part(
            key,
            f"cornice returned end, {side}",
            board,
            long,
            self.member_width,
            place,
            role="moulding",
            finish="top",
            grain="length",
            section=self._section(board),
            face_side="up",
            face_edge="outer edge",
            surviving_mark="on the seat, underneath",
            setting="cornice",
            notes=(
                "sawn off the end of a longer length: hands stay clear of the blade",
                "glued, not pinned; held by tape while the glue sets",
            ),
        )
        mitre(bench, key, (sign, -1.0), corner, "foot end" if side == "right" else "head end")
        mitre(bench, member, (-sign, 1.0), corner, "foot end" if side == "left" else "head end")
        if self.lip_drop:
            inner = sign * (half - self.lip)
            bench.take_out(
                key,
                "notch",
                vector(inner, rear + 1.0, low - 1.0),
                vector(inner - sign * (long + 1.0), rear - self.member_width - 1.0, low + self.lip_drop),
                f"lip cut away over the carcass, {self.lip_drop:g} high",
            )
        bench.join(f"{member}|{key}", "glue", member, key, BACK, (), self.member_width * 1.414 * board.thickness)
        seat = seat_of(bench, side, key)  # on a frieze the two mitres hold it
        if seat:
            bench.join(f"{seat}|{key}", "loose", seat, key, UP)

    def _hold(self, out: SettingOut, tie: Board) -> Hold:
        seat = (self.member_width - self.lip - self.clearance) / 2  # middle of the front seat, behind the carcass front
        return Hold(
            out=out, board=tie, inner=self._half(out) - self.member_width, behind_front=self._front_y(out) + self.member_width, tie_width=self.tie_width, block=self.block,
            front="cornice/front", returns={side: f"cornice/return.{side}" for side in ("left", "right")}, seat=seat + 3.0,
            into_front=out.board(self.board, "top.board").thickness - self.lip_drop,
            rear=self._rear, raised=self.frieze,
        )  # fmt: skip


ENTRY = LooseCornice
