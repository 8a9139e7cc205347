"""A flat top on the carcass, overhanging at the front and the sides, screwed up from inside through the carcass top.

Of solid wood it is held fast along the front only, where its edge must stay in line; every screw behind sits in a slot across the
grain, as long as the season's movement there. Its underside can be chamfered so that it looks lighter.
"""

from __future__ import annotations

import math

from ...errors import ParameterError
from ...fastenings import DRIVER, Screw
from ...fields import choice, ident, length, parameters
from ...geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, plus, vector
from ...mechanics import movement
from ...model import Bay, Board, Fitting
from ..bench import Bench
from ..clearance import WOOD_BETWEEN, Box, is_free, near, shifted, standing_box
from ..hardware import screw_through
from ..moving import LEAST_SLOT, moves, season, slot_length, slotted_screw
from ..profiles import PROFILE_LABELS, true_arcs
from ..protocols import BoardById, Overhang
from ..setting_out import SettingOut
from ..standing import spread
from ..stiffeners import UNDER_TOP
from ..top_fixings import hold_with_buttons, hold_with_plates
from ..top_rails import FROM_EDGE, between_rails

SCREW = (4.0, 22.0)  # diameter, hold; common practice, no source
FROM_FRONT, FROM_REAR, ROWS_APART = 60.0, 50.0, 300.0  # mm; common practice, no source
FROM_WALL = 50.0  # mm from an upright or side to the first screw: room for a driver; common practice, no source
TOUCHING = 0.1  # mm; what lies against the top
STEP, MOVED = 5.0, 60.0  # mm that a screw gives way to what is in its place
LEAST_EDGE = 2.0  # mm of square edge beside a profile; common practice, no source
LEAST_CURVE = 6.0  # mm of a profile with fillets; common practice, no source
EDGE_LEFT = 6.0  # mm of square edge above a chamfer; common practice, no source


EDGES = {word: label for word, label in PROFILE_LABELS.items() if word != "own"}
ARRISES = {"upper": "The upper arris", "lower": "The lower arris"}


LIES_ON = {"board": "The carcass top, a whole board", "rails": "Two rails of the carcass, one in front, one behind"}
FIXINGS = {
    "screws": "Screws from below, in slots behind the front",
    "buttons": "Wooden buttons in a groove of each side, screws in front and behind",
    "plates": "Expansion plates on each side, screws in front and behind",
}


@parameters
class FlatTop:
    """A flat top with an overhang."""

    style = "flat_top"
    label = "Flat top"
    opens_up = False

    board: str = ident("oak-25", "Top", "What it is cut or glued up from; 22 or thicker looks right")
    front: float = length(20, 0, 80, "Overhang at the front", "Beyond the carcass front")
    side: float = length(20, 0, 80, "Overhang at the sides", "Beyond the side frames")
    chamfer_in: float = length(
        0, 0, 80, "Chamfer, inward", "Along the underside, at the front and the sides; 0 for none"
    )
    chamfer_up: float = length(0, 0, 60, "Chamfer, upward", "On the edge")
    edge: str = choice("square", EDGES, "Edge profile", "Run round the front and the sides")
    edge_size: float = length(8, 2, 40, "Profile size", "Width and height that the edge profile takes")
    edge_at: str = choice("upper", ARRISES, "Profile at", "Which arris the edge profile is run on")
    screws_apart: float = length(300, 100, 600, "Screws apart at most", "In each row")
    moisture: float = season()
    lies_on: str = choice("board", LIES_ON, "Lies on", "What of the carcass is under it")
    rail_width: float = length(100, 80, 200, "Rail width", "Of those rails, from front to back")
    fixing: str = choice("screws", FIXINGS, "Held down by", "At the sides; solid wood is left free to move by each")

    def overhang(self) -> Overhang:
        """As asked at the sides and the front."""
        return Overhang(side=self.side, front=self.front)

    def rise(self, board: BoardById) -> float:
        """The top's thickness."""
        return board(self.board).thickness

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """The top, its chamfers, and the screws from inside."""
        board = out.board(self.board, "top.board")
        self._check(board)
        half, deep = out.half + self.side, out.depth + self.front
        moved = movement(deep, board.material.tangential, self.moisture) if moves(board.material) else 0.0
        notes = (
            (
                f"moves {moved:.1f} mm across the grain for {self.moisture:g} % of moisture; held fast along the front only",
            )
            if moved
            else ()
        )
        bench.part(
            "top/board", "top", board, round(2 * half, 6), round(deep, 6), Placement(vector(-half, -deep, out.outer.top), RIGHT, BACK), role="top", finish="top",
            grain="length" if board.material.grained else "any", face_side="up", face_edge="front edge", surviving_mark="underside, on the carcass", shown_one_side=True, notes=notes,
        )  # fmt: skip
        self._chamfers(bench, out, half, deep)
        self._edge(bench, board)
        self._check_fixing()
        names = self._screws(bench, out, board)
        bench.join(
            "carcass/top|top/board",
            "slotted screws" if moved else "screws",
            "carcass/top",
            "top/board",
            UP,
            tuple(names),
        )
        if self.fixing == "plates":
            hold_with_plates(bench, out)
        buttons = hold_with_buttons(bench, out) if self.fixing == "buttons" else []
        return ["top/board", *buttons]

    def _check_fixing(self) -> None:
        if self.fixing != "screws" and self.lies_on == "board":
            raise ParameterError(
                "fixing",
                f'"{self.fixing}" hold the top from between two rails, and it lies on a whole board; take "rails" for it to lie on, or "screws"',
            )

    def _check(self, board: Board) -> None:
        if (self.chamfer_in > 0) != (self.chamfer_up > 0):
            raise ParameterError(
                "chamfer_up" if self.chamfer_in else "chamfer_in",
                "0 mm makes no chamfer; give both its sizes, or neither",
            )
        if self.chamfer_in > min(self.front, self.side):
            raise ParameterError(
                "chamfer_in",
                f"{self.chamfer_in:g} mm is more than the overhang; use at most {min(self.front, self.side):g} mm",
            )
        if self.chamfer_up > board.thickness - EDGE_LEFT:
            raise ParameterError(
                "chamfer_up",
                f"{self.chamfer_up:g} mm leaves {board.thickness - self.chamfer_up:g} mm of edge; use at most {board.thickness - EDGE_LEFT:g} mm",
            )

        self._check_edge(board)

    def _check_edge(self, board: Board) -> None:
        """An edge profile leaves some of the edge square; at the lower arris it keeps before the carcass, and there is one shape."""
        if self.edge == "square":
            return
        if self.edge_at == "lower" and self.chamfer_in:
            raise ParameterError(
                "edge_at",
                '"lower": the chamfer beneath lies there already; run the profile on the upper arris, or leave the chamfer out',
            )
        if self.edge_size < LEAST_CURVE and self.edge in ("cove", "ovolo", "ogee", "bead"):
            raise ParameterError(
                "edge_size",
                f'{self.edge_size:g} mm is too small for "{self.edge}" with its fillets; use at least {LEAST_CURVE:g} mm',
            )
        most = board.thickness - LEAST_EDGE - self.chamfer_up
        if self.edge_at == "lower":
            most = min(most, self.front, self.side)
        if self.edge_size > most:
            raise ParameterError(
                "edge_size",
                f"{self.edge_size:g} mm is too much for an edge {board.thickness:g} mm thick with what is beneath it; use at most {max(most, 0):g} mm",
            )

    def _edge(self, bench: Bench, board: Board) -> None:
        """Run the profile round the front and the two ends; where two meet, both cutters have been past."""
        if self.edge == "square":
            return
        (long, wide, _), thick, upper = bench.parts["top/board"].size, board.thickness, self.edge_at == "upper"
        size, words = self.edge_size, f"{EDGES[self.edge].lower()} {self.edge_size:g} × {self.edge_size:g}"
        profile = true_arcs(self.edge, size)
        line = [
            (into, thick - up if upper else up) for into, up, _ in profile
        ]  # in from the edge, up from the underside
        beyond = thick + 1.0 if upper else -1.0
        line += [(-1.0, line[-1][1]), (-1.0, beyond), (line[0][0], beyond)]
        rises = [*(rise for _, _, rise in profile), 0.0, 0.0, 0.0]
        for axis, run, outline, where in (
            (0, long, line, "front edge"),
            (1, wide, [(up, into) for into, up in line], "end"),
            (1, wide, [(up, round(long - into, 6)) for into, up in line], "end"),
        ):
            bench.cut_out_own(
                "top/board", "shaping", axis, outline, -1.0, run + 1.0, f"{words}, {where}, {self.edge_at} arris", rises
            )

    def _chamfers(self, bench: Bench, out: SettingOut, half: float, deep: float) -> None:
        if not self.chamfer_in:
            return
        slope = math.hypot(self.chamfer_in, self.chamfer_up)
        away, down = self.chamfer_up / slope, -self.chamfer_in / slope
        lean = math.degrees(math.atan2(self.chamfer_in, self.chamfer_up))
        angle = min(lean, 90 - lean)  # what is flatter than a blade tilts is sawn on edge
        z = out.outer.top + self.chamfer_up
        for point, normal, where in (
            (vector(0.0, -deep, z), (0.0, -away, down), "face edge"),
            (vector(-half, 0.0, z), (-away, 0.0, down), "foot end"),
            (vector(half, 0.0, z), (away, 0.0, down), "head end"),
        ):
            bench.saw(
                "top/board",
                "chamfer",
                point,
                normal,
                angle,
                where,
                f"underside, {self.chamfer_in:g} in × {self.chamfer_up:g} up",
            )

    # ------------------------------------------------------------------------------------------------------------ screws
    def _screws(self, bench: Bench, out: SettingOut, board: Board) -> list[str]:
        thick = bench.parts["carcass/top"].board.thickness
        size = screw_through("top.board", SCREW[0], thick, SCREW[1], board.thickness)
        rails, uprights = (
            [standing_box(part) for part in bench.parts.values() if part.role == role]
            for role in ("anchor rail", "upright")
        )
        stiffeners = [standing_box(part) for key, part in bench.parts.items() if key.startswith(UNDER_TOP)]
        beneath = [*rails, *uprights, *stiffeners]
        beneath += [_footprint(fitting) for fitting in bench.fittings.values() if "carcass/top" in fitting.parts]
        bays = [bay for bay in bench.bays if abs(bay.high[2] - out.inner.top) < 1e-6]
        names: list[str] = []
        wanted = [
            (x, y, abs(y - bay.low[1]) if number else 0.0)
            for bay in bays
            for number, y in enumerate(self._rows_of(out, bay, rails))
            for x in spread(bay.low[0], bay.high[0], self.screws_apart, FROM_WALL)
        ]
        for x, y, behind in sorted(wanted, key=lambda each: (-round(abs(each[0]), 3), each[2])):  # in mirror images too
            slot = (
                slot_length(board.material, behind, self.moisture, size.clearance)
                if behind and moves(board.material)
                else 0.0
            )
            at = self._free(bench, vector(x, y, out.inner.top), size, thick, slot, beneath)
            if at and slot:
                way = (BACK, slot)
                names.append(slotted_screw(bench, "carcass/top", "top/board", at, UP, size, thick, way, "top screw"))
            elif at:
                names.append(
                    bench.screw("carcass/top", "top/board", at, UP, size, thick, "top screw", marked_through=True)
                )
        if len(names) < 2:
            raise ParameterError(
                "screws_apart",
                f"{self.screws_apart:g} mm: only {len(names)} screws find room in the carcass top between dowels, uprights and brackets; at least 2 are needed",
            )
        return names

    def _rows(self, front: float, rear: float, rails: list[Box]) -> list[float]:
        """The y of the rows of screws in a bay: one near its front, the others behind, before the anchor rail."""
        rear = min([rear, *(box[0][1] for box in rails)]) - FROM_REAR
        front = front + FROM_FRONT
        if rear - front < 2 * LEAST_SLOT:
            return [round((front + rear) / 2, 1)]
        count = math.ceil((rear - front) / ROWS_APART - 1e-9) + 1
        return [round(front + (rear - front) * i / (count - 1), 1) for i in range(count)]

    def _rows_of(self, out: SettingOut, bay: Bay, rails: list[Box]) -> list[float]:
        """The y of the rows of screws over a bay; where the top lies on rails, one in the middle of what is free of each."""
        front, rear = bay.low[1], bay.high[1]
        if self.lies_on == "board":
            return self._rows(front, rear, rails)
        begins, ends = between_rails(out)
        rear = min([rear, *(box[0][1] for box in rails)]) - DRIVER
        return [round((front + begins - FROM_EDGE) / 2, 1), round((ends + FROM_EDGE + rear) / 2, 1)]

    def _free(
        self, bench: Bench, wanted: Vector, size: Screw, thick: float, slot: float, beneath: list[Box]
    ) -> Vector | None:
        """The wanted place or the nearest at its side where no hole of the top, no upright and no bracket beneath is in the way."""
        across, lone = max(size.clearance, slot), abs(wanted[0]) < 1e-6
        toward = FRONT if lone else LEFT if wanted[0] > 0 else RIGHT  # what a mirror image does too
        for at in shifted(wanted, toward, MOVED, STEP):
            if not lone and at[0] * wanted[0] < abs(wanted[0]) * (across + WOOD_BETWEEN) / 2:
                continue  # not in the way of its like at the other side
            driver = (plus(at, (-DRIVER, -DRIVER, -1.0)), plus(at, (DRIVER, DRIVER, 0.0)))
            if not any(near(driver, box, TOUCHING) for box in beneath) and is_free(
                bench, "carcass/top", at, UP, across, thick
            ):
                return at
        return None


def _footprint(fitting: Fitting) -> Box:
    corners = [fitting.place.point(end) for body in fitting.bodies for end in (body.low, body.high)]
    return tuple(map(min, *corners)), tuple(map(max, *corners))  # type: ignore[return-value]


ENTRY = FlatTop
