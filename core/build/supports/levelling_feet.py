"""Levelling feet in blocks under the bottom: each turns up and down by some millimetres where the floor is not level."""

from __future__ import annotations

from ...errors import ParameterError, blaming
from ...fields import ident, length, parameters
from ...fittings import FittingEntry
from ...geometry import BACK, DOWN, RIGHT, UP, Placement, Vector, plus, vector
from ...model import AT_FITTING, Board
from ..bench import Bench
from ..clearance import first_free, shifted
from ..hardware import fitting_for
from ..protocols import BoardById
from ..setting_out import SettingOut
from ..standing import filled_up, has_room_up, screw_up, sided_names

WOOD_LEFT = 3.0  # mm of the bottom above a thread's room; common practice, no source
SCREW_FROM_FOOT = 0.35  # of the block's size, to either side of the foot


@parameters
class LevellingFeet:
    """Levelling feet in blocks."""

    style = "levelling_feet"
    label = "Levelling feet in blocks"

    foot: str = ident("foot-m8", "Foot", "A levelling foot of the fittings library")
    block_board: str = ident(
        "softwood-28", "Blocks", "What the blocks are cut from, laid flat; the threaded insert goes into them"
    )
    block: float = length(90, 60, 200, "Block size", "Both ways")
    inset: float = length(30, 0, 200, "Set in", "From the carcass sides and front to the blocks")
    rear_set_in: float = length(30, 0, 200, "Set in at the back", "Clear of the skirting")
    apart: float = length(
        900, 300, 2000, "Feet apart at most", "More pairs go between the sides, and one under each upright"
    )

    def under(self, board: BoardById) -> float:
        """Foot and block, the foot screwed half way out."""
        with blaming("block_board"):
            thick = board(self.block_board).thickness
        return round(self._entry().size("height") + thick, 6)

    def run_down(self) -> float:
        """Nothing runs down."""
        return 0.0

    def clear_under(self, out: SettingOut) -> None:
        """Too low for anything to hang there."""
        return None

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Blocks, their screws, and a foot in each."""
        entry, board = self._entry(), out.board(self.block_board, "support.block_board")
        rows = self._rows(out)
        places = self._places(out)
        members: list[tuple[str, Vector, int]] = []
        for x, name in zip(places, sided_names(places)):
            for end, y in rows:
                block, foot = f"feet/block.{name}.{end}", f"feet/foot.{name}.{end}"
                low = out.outer.bottom - board.thickness
                corner = vector(x - self.block / 2, y - self.block / 2, low)
                bench.part(
                    block, "foot block", board, self.block, self.block, Placement(corner, RIGHT, BACK), grain="length", role="block", finish="legs", face_side="up",
                    face_edge="front edge", surviving_mark="underside", setting="foot blocks",
                )  # fmt: skip
                away = self.block * SCREW_FROM_FOOT
                inward = BACK if end == "front" else (0.0, -1.0, 0.0)
                held = bench, "block_board", block, "carcass/bottom"
                behind = [vector(x, y + s * away, low) for s in (-1, 1)], inward, self.block * 0.1
                beside = [vector(x + s * away, y, low) for s in (-1, 1)], RIGHT, 0.0  # of an upright's joint above
                found = (each for each in (behind, beside) if has_room_up(*held, *each))
                screw_up(*held, *next(found, behind), glued=True)
                self._foot(
                    bench, entry, board, block, foot, self._clear(bench, entry, board, vector(x, y, low), inward)
                )
                members += [(block, (0.0, 0.0, 0.0), 0), (foot, DOWN, 1)]
        bench.assemble(
            "feet",
            "levelling feet",
            members,
            how="screwed",
            notes=("blocks glued and screwed up into the bottom; feet screwed half way out",),
        )
        return ["feet"]

    def _entry(self) -> FittingEntry:
        return fitting_for("foot", self.foot, "levelling foot")

    def _rows(self, out: SettingOut) -> tuple[tuple[str, float], tuple[str, float]]:
        front, rear = out.y(self.inset + self.block / 2), -self.rear_set_in - self.block / 2
        if rear - front < self.block + 20:
            raise ParameterError(
                "inset",
                f"{self.inset:g} mm, with {self.rear_set_in:g} mm at the back, brings front and rear feet {rear - front:g} mm together; at least {self.block + 20:g} is needed",
            )
        return ("front", front), ("rear", rear)

    def _places(self, out: SettingOut) -> list[float]:
        """The x of the feet: outer ones, one under each upright that has room, more between."""
        outer = out.half - self.inset - self.block / 2
        beyond = outer + self.block * 0.1 + 8 - out.inner.right
        if beyond > 0:
            raise ParameterError(
                "inset",
                f"{self.inset:g} mm brings the feet beyond the bottom; use at least {self.inset + beyond:.0f} mm",
            )
        if 2 * outer < self.block + 20:
            raise ParameterError(
                "inset",
                f"{self.inset:g} mm leaves no room between left and right feet in a piece {out.over_frames:g} mm wide",
            )
        under = [
            (d.rect.left + d.rect.right) / 2
            for d in out.dividers
            if d.kind == "upright" and d.rect.bottom == out.inner.bottom
        ]
        clear = [
            x
            for x in under
            if abs(x) < outer - self.block - 20 and all(x == y or abs(x - y) >= self.block + 20 for y in under)
        ]
        return [-outer, *filled_up(clear, -outer, outer, self.apart, least=self.block + 20), outer]

    def _clear(self, bench: Bench, entry: FittingEntry, board: Board, under: Vector, inward: Vector) -> Vector:
        """The middle of a block, or a little beside it where a dowel from above is in the thread's way."""
        for hole in entry.holes_for():
            above = (hole.depth or 0.0) - board.thickness
            if above > 0.5:
                ahead = [plus(each, UP, board.thickness) for each in shifted(under, inward, self.block * 0.2)]
                at = first_free(bench, "carcass/bottom", ahead, UP, hole.diameter, above, gap=2.0)
                if at is None:
                    raise ParameterError(
                        "block_board",
                        f"a thread {hole.depth:g} mm up finds no room between dowels in the bottom; blocks {hole.depth:g} mm thick keep it out of there",
                    )
                return plus(at, UP, -board.thickness)
        return under

    def _foot(self, bench: Bench, entry: FittingEntry, board: Board, block: str, key: str, under: Vector) -> None:
        """The foot and its holes; a thread longer than the block is thick runs on into the bottom."""
        bench.fit(key, entry, Placement(under, RIGHT, BACK), (block,))
        for hole in entry.holes_for():
            depth = hole.depth or board.thickness
            if depth <= board.thickness - 1:
                bench.bore(block, under, UP, hole.diameter, depth, hole.purpose, AT_FITTING)
                continue
            above, bottom = depth - board.thickness, bench.parts["carcass/bottom"].board.thickness
            if above > bottom - WOOD_LEFT:
                raise ParameterError(
                    "block_board",
                    f"blocks {board.thickness:g} mm thick are too thin for a thread {depth:g} mm up under a bottom of {bottom:g} mm; at least {depth - bottom + WOOD_LEFT:g} is needed",
                )
            bench.bore(block, under, UP, hole.diameter, board.thickness, "clearance for the foot's thread", AT_FITTING)
            if above > 0.5:
                bench.bore(
                    "carcass/bottom",
                    plus(under, UP, board.thickness),
                    UP,
                    hole.diameter,
                    above,
                    "room for the foot's thread",
                    AT_FITTING,
                )


ENTRY = LevellingFeet
