"""A fixed shelf on bearers: battens screwed to the walls at both sides and to the back, the shelf laid on and screwed from below."""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import flag, ident, length, parameters
from ...geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, plus, vector
from ...model import Board
from ...units import down_to
from ..bench import Bench
from ..contents import (
    LEAST_BEARER,
    beside,
    between,
    check_room,
    from_edge,
    named_grain,
    screw_through_back,
    screw_to_wall,
    stem,
)
from ..moving import moves
from ..protocols import BayWalls
from ..setting_out import SettingOut
from ..standing import least_thickness, screw_up, spread

END_PLAY = 0.5  # mm at each end, to lay it in; common practice, no source
BEARER_SHORT = 20.0  # mm that bearers end behind the shelf's front edge, out of sight; common practice, no source
LEAST_DEPTH, LEAST_ROOM = 100.0, 60.0  # mm of shelf; above and below it


@parameters
class FixedShelf:
    """A fixed shelf on bearers."""

    style = "fixed_shelf"
    label = "Fixed shelf on bearers"

    height: float = length(300, 40, 2800, "Height", "Underside of the shelf above the floor of the compartment")
    board: str = ident("mdf-18", "Board", "What the shelf is cut from")
    set_back: float = length(12, 0, 400, "Set back", "Behind what closes the compartment")
    bearer_board: str = ident("hardwood-20", "Bearers", "What the bearers are ripped from")
    bearer_width: float = length(30, 20, 80, "Bearer width", "Their height on the wall")
    rear_bearer: bool = flag(True, "Rear bearer", "Along the back too; leave it on where the shelf is long")

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Bearers at the walls, the shelf on them."""
        board, bearer = out.board(self.board, "board"), out.board(self.bearer_board, "bearer_board")
        least_thickness("bearer_board", bearer, LEAST_BEARER, "a bearer")
        depth = bay.back_f - bay.front_f - self.set_back
        low = round(bay.rect.bottom + self.height, 6)
        self._check(bay, board, depth)
        key, front, rear = stem(bay.key, "fixed_shelf", number), out.y(bay.front_f + self.set_back), out.y(bay.back_f)
        width = down_to(bay.rect.width - 2 * END_PLAY, out.step)
        x = round((bay.rect.left + bay.rect.right - width) / 2, 6)
        shelf = f"{key}/shelf"
        bench.part(
            shelf, "fixed shelf", board, width, round(depth, 6), Placement(vector(x, front, low), RIGHT, BACK), grain=named_grain(board), role="fixed shelf", finish="inside",
            face_side="up", face_edge="front edge", surviving_mark="rear edge", setting="shelves on bearers",
        )  # fmt: skip
        bearers = self._side_bearers(bench, bay, bearer, key, front + BEARER_SHORT, rear, low)
        if self.rear_bearer:
            bearers.append(self._rear_bearer(bench, bay, bearer, key, rear, low))
        check_room(bench, "height", [shelf, *bearers], f"{self.height:g} mm")
        for each in bearers:
            self._lay_on(bench, shelf, each, board)
        return [*bearers, shelf]

    def _check(self, bay: BayWalls, board: Board, depth: float) -> None:
        if depth < LEAST_DEPTH:
            raise ParameterError(
                "set_back", f"{self.set_back:g} mm leaves a shelf {depth:g} mm deep; at least {LEAST_DEPTH:g} is needed"
            )
        most = bay.rect.height - board.thickness - LEAST_ROOM
        least = max(LEAST_ROOM, self.bearer_width)
        if not least <= self.height <= most:
            raise ParameterError(
                "height",
                f"{self.height:g} mm is out of range in a compartment {bay.rect.height:g} mm high; it must be between {least:g} and {most:g} mm",
            )

    def _side_bearers(
        self, bench: Bench, bay: BayWalls, board: Board, key: str, front: float, rear: float, low: float
    ) -> list[str]:
        made = []
        bottom, long = low - self.bearer_width, round(rear - front, 6)
        for side, wall, x, outward, place in (
            ("left", bay.left, bay.rect.left, LEFT, Placement(vector(bay.rect.left, front, bottom), BACK, UP)),
            ("right", bay.right, bay.rect.right, RIGHT, Placement(vector(bay.rect.right, rear, bottom), FRONT, UP)),
        ):
            bearer = f"{key}/bearer.{side}"
            bench.part(
                bearer,
                "shelf bearer",
                board,
                long,
                self.bearer_width,
                place,
                grain="length",
                role="bearer",
                finish="inside",
                face_side="inside",
                face_edge="upper edge",
                face_edge_high=True,
                surviving_mark="back",
                setting="bearers",
            )
            inner = x - outward[0] * board.thickness
            places = [vector(inner, y, bottom + self.bearer_width / 2) for y in spread(front, rear, 200.0, 45.0)]
            screw_to_wall(bench, "bearer_board", bearer, wall, places, outward, BACK)
            made.append(bearer)
        return made

    def _rear_bearer(self, bench: Bench, bay: BayWalls, board: Board, key: str, rear: float, low: float) -> str:
        bearer, bottom = f"{key}/bearer.rear", low - self.bearer_width
        left, right = bay.rect.left + board.thickness, bay.rect.right - board.thickness
        if right - left < 60:
            raise ParameterError(
                "rear_bearer",
                f"the compartment leaves {right - left:g} mm between the side bearers; at least 60 is needed: leave the rear one off",
            )
        place = Placement(vector(left, rear, bottom), RIGHT, UP)
        bench.part(
            bearer,
            "shelf bearer, rear",
            board,
            round(right - left, 6),
            self.bearer_width,
            place,
            grain="length",
            role="bearer",
            finish="inside",
            face_side="front",
            face_edge="upper edge",
            face_edge_high=True,
            surviving_mark="back",
            setting="rear bearers",
        )
        screw_through_back(
            bench,
            "bearer_board",
            bearer,
            [bottom + self.bearer_width / 2],
            spread(left, right, 150.0, 40.0),
            (left + right) / 2,
        )
        return bearer

    def _lay_on(self, bench: Bench, shelf: str, bearer: str, board: Board) -> None:
        """Screwed from below; a shelf of solid wood is only laid on, so that it can move."""
        if moves(board.material):
            bench.join(f"{bearer}|{shelf}", "loose", bearer, shelf, UP)
            return
        part, rear = bench.parts[bearer], "bearer.rear" in bearer
        along: Vector = part.place.x
        start = part.place.point((0.0, 0.0, from_edge(part.board.thickness, 0.0 if rear else END_PLAY)))
        held = spread(0.0, part.size[0], *((150.0, 40.0) if rear else (200.0, 45.0)))
        places = [plus(start, along, x) for x in (between(held) if rear else beside(held))]
        screw_up(bench, "bearer_board", bearer, shelf, places)


ENTRY = FixedShelf
