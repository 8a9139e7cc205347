"""A plinth: a separate frame set back at the front, screwed from inside itself up into the bottom, clear of the skirting behind.

The front board laps the sides for paint, or meets them in a mitre with a glue block behind for a clear finish. Battens along the top of
front and rear take the screws; bearers on edge stand under every upright and wherever else the bottom would be left long.
"""

from __future__ import annotations

import itertools

from ...errors import ParameterError, blaming
from ...fastenings import dowel_for
from ...fields import choice, ident, length, parameters
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, negative, vector
from ...model import Board
from ..bench import Bench
from ..protocols import BoardById
from ..setting_out import SettingOut
from ..standing import dowel_heights, filled_up, screw_up, sided_names, spread

CORNERS = {"lapped": "The front laps the sides", "mitred": "Mitred, with a glue block"}
LEAST_INSIDE = 60.0  # mm between the battens, for a hand and a driver; common practice, no source
LEAST_BATTEN = 60.0  # mm; a shorter gap between bearers gets no batten; common practice, no source
BLOCK_BELOW = 2.0  # mm that a glue block ends above the floor; common practice, no source


@parameters
class RecessedPlinth:
    """A plinth, set back or flush."""

    style = "recessed_plinth"
    label = "Plinth"
    closed_to_floor = True  # no gap beside it is left open

    height: float = length(100, 40, 250, "Height", "Floor to the underside of the carcass")
    set_back: float = length(
        45, 0, 100, "Set back at the front", "Room for the feet of whoever stands there; 0 for a flush plinth"
    )
    side_set_in: float = length(0, 0, 100, "Set in at the sides", "0 against walls, and under the sides to carry them")
    rear_set_in: float = length(10, 0, 120, "Set in at the back", "Clear of the skirting")
    board: str = ident(
        "mdf-18",
        "Board",
        "What front, rear, sides and bearers are cut from; moisture-resistant board is better on a floor that is mopped",
    )
    corner: str = choice("lapped", CORNERS, "Front corners", "Lapped for paint, mitred for a clear finish")
    batten_board: str = ident("softwood-28", "Battens", "Laid flat inside front and rear; they take the screws")
    batten_width: float = length(40, 25, 100, "Batten width", "Front to back")
    bearers_apart: float = length(600, 200, 1500, "Bearers apart at most", "Besides those under uprights")

    def under(self, board: BoardById) -> float:
        """The plinth's height."""
        return self.height

    def run_down(self) -> float:
        """Nothing runs down."""
        return 0.0

    def clear_under(self, out: SettingOut) -> None:
        """The plinth itself carries the bottom; nothing hangs before it."""
        return None

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Front, rear, sides, bearers, battens, and the screws into the bottom."""
        board, batten = out.board(self.board, "support.board"), out.board(self.batten_board, "support.batten_board")
        self._check(out, board, batten)
        self._long_boards(bench, out, board)
        self._sides(bench, out, board)
        bearers = self._bearers(bench, out, board)
        battens = self._battens(bench, out, board, batten, bearers)
        blocks = self._glue_blocks(bench, out, board, batten) if self.corner == "mitred" else []
        members: list[tuple[str, Vector, int]] = [("plinth/front", (0.0, 0.0, 0.0), 0)]
        members += (
            [("plinth/side.left", LEFT, 1), ("plinth/side.right", RIGHT, 1)]
            if self.corner == "mitred"
            else [("plinth/side.left", BACK, 1), ("plinth/side.right", BACK, 1)]
        )
        members += [(key, BACK, 1) for key in bearers.values()] + [("plinth/rear", BACK, 2)]
        members += [(key, DOWN, 3) for key in battens] + [(key, DOWN, 4) for key in blocks]
        bench.assemble(
            "plinth",
            "plinth",
            members,
            notes=(
                "square it by its diagonals; screw it to the bottom from inside the plinth, the carcass lying on its back",
            ),
        )
        return ["plinth"]

    # ------------------------------------------------------------------------------------------------------------ planes
    def _front(self, out: SettingOut) -> float:
        return out.y(self.set_back)

    def _half(self, out: SettingOut) -> float:
        return round(out.half - self.side_set_in, 6)

    def _check(self, out: SettingOut, board: Board, batten: Board) -> None:
        inside = -self.rear_set_in - self._front(out) - 2 * board.thickness - 2 * self.batten_width
        if inside < LEAST_INSIDE:
            raise ParameterError(
                "set_back", f"{self.set_back:g} mm, with {self.rear_set_in:g} mm at the back, leaves {inside:g} mm between the battens; at least {LEAST_INSIDE:g} is needed"
            )  # fmt: skip
        if self._half(out) * 2 < 200:
            raise ParameterError(
                "side_set_in",
                f"{self.side_set_in:g} mm leaves a plinth {2 * self._half(out):g} mm wide; at least 200 is needed",
            )
        if batten.thickness > self.height - 10:
            raise ParameterError(
                "height",
                f"{self.height:g} mm is too low for battens {batten.thickness:g} mm thick; use at least {batten.thickness + 10:g} mm",
            )
        beyond = out.half - out.inner.right + board.thickness + self.batten_width
        if self.side_set_in > out.half - 100 - beyond:
            raise ParameterError(
                "side_set_in",
                f"{self.side_set_in:g} mm leaves no room for bearers; use at most {max(0.0, out.half - 100 - beyond):g} mm",
            )

    # ------------------------------------------------------------------------------------------------------------- parts
    def _long_boards(self, bench: Bench, out: SettingOut, board: Board) -> None:
        half, t = self._half(out), board.thickness
        common = dict(
            role="plinth",
            face_side="outside",
            face_edge="upper edge",
            face_edge_high=True,
            surviving_mark="inner face",
            setting="plinth",
        )
        front = Placement(vector(-half, self._front(out) + t, 0.0), RIGHT, UP)
        bench.part(
            "plinth/front",
            "plinth front",
            board,
            2 * half,
            self.height,
            front,
            finish="carcass",
            **_grain(board),
            **common,
        )
        rear = Placement(vector(half, -self.rear_set_in - t, 0.0), LEFT, UP)
        bench.part(
            "plinth/rear", "plinth rear", board, 2 * half, self.height, rear, finish="inside", **_grain(board), **common
        )
        if self.corner == "mitred":
            for side, end in ((-1.0, "foot end"), (1.0, "head end")):
                self._mitre(bench, "plinth/front", vector(side * half, self._front(out), 0.0), (side, 1.0), end)

    def _sides(self, bench: Bench, out: SettingOut, board: Board) -> None:
        half, t, mitred = self._half(out), board.thickness, self.corner == "mitred"
        front, rear = self._front(out) + (0.0 if mitred else t), -self.rear_set_in - t
        long = round(rear - front, 6)
        for side, sign, place in (
            ("left", -1.0, Placement(vector(-half + t, rear, 0.0), FRONT, UP)),
            ("right", 1.0, Placement(vector(half - t, front, 0.0), BACK, UP)),
        ):
            key = f"plinth/side.{side}"
            bench.part(
                key, f"plinth side, {side}", board, long, self.height, place, role="plinth", finish="carcass", face_side="outside", face_edge="upper edge", face_edge_high=True,
                surviving_mark="inner face", setting="plinth sides", **_grain(board),
            )  # fmt: skip
            if mitred:
                self._mitre(
                    bench,
                    key,
                    vector(sign * half, front, 0.0),
                    (-sign, -1.0),
                    "head end" if side == "left" else "foot end",
                )
                bench.join(
                    f"plinth/front|{key}", "glue", "plinth/front", key, (sign, 0.0, 0.0), (), self.height * t * 1.414
                )
            else:
                self._dowelled(bench, board, "plinth/front", key, vector(sign * (half - t / 2), front, 0.0), BACK)
            self._dowelled(bench, board, "plinth/rear", key, vector(sign * (half - t / 2), rear, 0.0), FRONT)

    def _mitre(self, bench: Bench, key: str, corner: Vector, away: tuple[float, float], where: str) -> None:
        diagonal = 0.5**0.5
        bench.saw(
            key,
            "mitre",
            corner,
            (away[0] * diagonal, away[1] * diagonal, 0.0),
            45.0,
            where,
            "front corner of the plinth",
        )

    def _bearers(self, bench: Bench, out: SettingOut, board: Board) -> dict[float, str]:
        """Boards on edge, front to back, by the x of their middles."""
        half, t = self._half(out), board.thickness
        under = [
            (d.rect.left + d.rect.right) / 2
            for d in out.dividers
            if d.kind == "upright" and d.rect.bottom == out.inner.bottom
        ]
        clear = half - t - LEAST_BATTEN
        places = filled_up([x for x in under if abs(x) < clear], -half + t, half - t, self.bearers_apart)
        front, rear = self._front(out) + t, -self.rear_set_in - t
        made = {}
        for x, name in zip(places, sided_names(places)):
            key = f"plinth/bearer.{name}"
            place = Placement(vector(x + t / 2, rear, 0.0), FRONT, UP)  # face side to the left
            if x > 0:
                place = Placement(vector(x - t / 2, front, 0.0), BACK, UP)
            bench.part(
                key, "plinth bearer", board, round(rear - front, 6), self.height, place, role="plinth", finish="inside", face_side="outside", face_edge="upper edge",
                face_edge_high=True, surviving_mark="any face", setting="plinth bearers", **_grain(board),
            )  # fmt: skip
            self._dowelled(bench, board, "plinth/front", key, vector(x, front, 0.0), BACK)
            self._dowelled(bench, board, "plinth/rear", key, vector(x, rear, 0.0), FRONT)
            bench.join(f"carcass/bottom|{key}", "loose", "carcass/bottom", key, DOWN)
            made[x] = key
        return made

    def _dowelled(self, bench: Bench, board: Board, face: str, edge: str, foot: Vector, into: Vector) -> None:
        with blaming("board"):
            size = dowel_for(board.thickness)
        names = tuple(
            bench.dowel(face, edge, vector(foot[0], foot[1], z), into, size, "dowel")
            for z in dowel_heights(self.height)
        )
        bench.join(f"{face}|{edge}", "dowels", face, edge, into, names, self.height * board.thickness)

    def _battens(
        self, bench: Bench, out: SettingOut, board: Board, batten: Board, bearers: dict[float, str]
    ) -> list[str]:
        half, t = self._half(out), board.thickness
        walls = [-half + t / 2, *sorted(bearers), half - t / 2]
        stretches = [(a + t / 2, b - t / 2) for a, b in itertools.pairwise(walls) if b - a - t >= LEAST_BATTEN]
        if not stretches:
            raise ParameterError(
                "bearers_apart",
                f"{self.bearers_apart:g} mm leaves no batten {LEAST_BATTEN:g} mm long between the bearers; use more",
            )
        names = sided_names([round((a + b) / 2, 3) for a, b in stretches])
        made = []
        for where, y, away in (
            ("front", self._front(out) + t, BACK),
            ("rear", -self.rear_set_in - t - self.batten_width, FRONT),
        ):
            for (a, b), name in zip(stretches, names):
                key = f"plinth/batten.{where}.{name}"
                low = round(self.height - batten.thickness, 6)
                bench.part(
                    key, f"plinth batten, {where}", batten, round(b - a, 6), self.batten_width, Placement(vector(a, y, low), RIGHT, BACK), grain="length", role="batten",
                    finish="inside", face_side="up", face_edge="front edge", surviving_mark="underside", setting="plinth battens",
                )  # fmt: skip
                bench.join(
                    f"plinth/{where}|{key}", "glue", f"plinth/{where}", key, away, (), (b - a) * batten.thickness
                )
                places = [vector(x, y + self.batten_width / 2, low) for x in spread(a, b)]
                screw_up(bench, "batten_board", key, "carcass/bottom", places, away, self.batten_width / 2 - 8)
                made.append(key)
        return made

    def _glue_blocks(self, bench: Bench, out: SettingOut, board: Board, batten: Board) -> list[str]:
        half, t, front = self._half(out), board.thickness, self._front(out)
        high, wide = round(self.height - batten.thickness - BLOCK_BELOW, 6), batten.thickness
        if high < 30:
            raise ParameterError(
                "height",
                f"{self.height:g} mm leaves {high:g} mm for the glue blocks behind the mitres; use at least {batten.thickness + BLOCK_BELOW + 30:g} mm",
            )
        made = []
        for side, sign in (("left", -1.0), ("right", 1.0)):
            key = f"plinth/block.{side}"
            x = sign * (half - t)
            place = (
                Placement(vector(x, front + t, BLOCK_BELOW), UP, RIGHT)
                if side == "left"
                else Placement(vector(x, front + t, BLOCK_BELOW), UP, BACK)
            )
            bench.part(
                key,
                "glue block",
                batten,
                high,
                wide,
                place,
                grain="length",
                role="block",
                finish="inside",
                face_side="inside",
                face_edge="front edge",
                surviving_mark="lower end",
                setting="glue blocks",
            )
            bench.join(f"plinth/front|{key}", "glue", "plinth/front", key, BACK, (), high * wide)
            bench.join(
                f"plinth/side.{side}|{key}",
                "glue",
                f"plinth/side.{side}",
                key,
                negative((sign, 0.0, 0.0)),
                (),
                high * wide,
            )
            made.append(key)
        return made


def _grain(board: Board) -> dict[str, str]:
    return {"grain": "length"} if board.material.grained else {}


ENTRY = RecessedPlinth
