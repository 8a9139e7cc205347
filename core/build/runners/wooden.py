"""Wooden runners: waxed hardwood strips that the sides slide on, kickers over them, guides, and stops behind.

Runner 20 × 12, play 0.5 a side, the front stopped 0.5 back: common practice, no source. The runner fills what is kept clear
below the box, the kicker what is kept clear above it, so that the box neither drops nor tips when it is drawn.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ...errors import ParameterError
from ...fields import flag, ident, length, parameters
from ...geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ...mechanics import movement
from ...model import Board
from ...units import down_to
from ..bench import Bench
from ..contents import screw_to_wall
from ..drawers.centre_guide import lay_centre_guide
from ..drawers.values import Box, DrawerPlace, Fit, Hung, LaidFront
from ..moving import SEASON, moves, moves_along
from ..rows import row_places
from ..setting_out import SettingOut

STOP = 12.0  # mm deep, a block behind each side
BEHIND_STOP = 3.0  # mm free behind the stops; common practice, no source
BEHIND_FRONT = 1.0  # mm between a front and the strips behind it
STAYS_IN = 0.3  # of the box that stays between its runners when it is drawn; common practice, no source
LEAST_STRIP = 9.0  # mm high, to hold a screw; a lower kicker is left away, a lower runner glued to the board; common practice, no source
STOP_HIGH = 30.0  # mm
SCREWS_FROM_END, SCREWS_APART = 40.0, 180.0  # mm along a runner; common practice, no source
WAXED = "candle wax or hard wax on all that slides, no paint"


@dataclass(frozen=True, slots=True)
class _Side:
    """One side of a drawer's space, for its runner and what goes with it."""

    path: str  # of the runners among the parameters
    board: Board  # what the strips are ripped from
    side: str  # "left" or "right"
    wall: float  # the x of the wall's face
    inward: Vector  # from there into the space


@parameters
class Wooden:
    """Hardwood runners under the sides of the box, kickers above."""

    style = "wooden"
    label = "Wooden runners"

    board: str = ident(
        "hardwood-20", "Board", "What runners, kickers, guides and stops are ripped from; as wide as that is thick"
    )
    play: float = length(
        0.5,
        0.2,
        2,
        "Play at each side",
        "Between the box, or its guides, and the walls; a box with an integral front has the front's own gap",
    )
    over: float = length(
        1.5, 0.5, 5, "Play in height", "Between the box and what is over it; a solid box has its season's movement too"
    )
    guide: float = length(0, 0, 40, "Guides", "How thick a strip beside each side of the box; 0: the walls guide it")
    set_in: float = length(0.5, 0, 3, "Front set in", "How far behind the carcass the stops bring the front")
    centre_guide: bool = flag(
        False,
        "Centre guide",
        "A strip under the middle of a wide box, between two cheeks on its bottom: it keeps it from racking",
    )
    kickers: bool = flag(True, "Kickers", "Strips above the sides, where nothing else keeps the box from tipping")

    def face(self) -> float:
        """As far back as the stops bring it."""
        return self.set_in

    def fit(self, bench: Bench, out: SettingOut, place: DrawerPlace, laid: LaidFront) -> Fit:
        """As wide as the walls or guides leave, or as an integral front; as high as runners and kickers leave."""
        spec = place.front.drawer
        aside = self.guide + self.play
        left, right = place.opening.left + aside, place.opening.right - aside
        if spec.front == "integral" and place.front.lay == "inset":
            if self.guide and laid.left - place.opening.left <= self.guide:
                raise ParameterError(
                    f"{place.path}.drawer.runs_on.guide",
                    f"{self.guide:g} mm stands before the edge of an integral front, {laid.left - place.opening.left:g} mm from the wall; use 0",
                )
            left, right = laid.left, laid.right
        else:
            wide = down_to(right - left, out.finest)
            left = (place.opening.left + place.opening.right - wide) / 2
            right = left + wide
        depth = down_to(place.room - STOP - BEHIND_STOP, out.step)
        bottom = round(place.opening.bottom + spec.clear_below, 6)
        height = round(place.opening.height - place.above - spec.clear_above - spec.clear_below, 6)
        fit = Fit(
            left=round(left, 6),
            right=round(right, 6),
            bottom=bottom,
            height=height,
            depth=depth,
            groove_up=spec.groove_up,
        )
        self._check_play(out, place, height)
        return fit

    def hang(self, bench: Bench, out: SettingOut, place: DrawerPlace, box: Box) -> Hung:
        """Runner, kicker, guide and stop at each side."""
        fixed = []
        path = f"{place.path}.drawer.runs_on"
        board = out.board(self.board, f"{path}.board")
        if board.thickness < box.left - place.space.left + box.t / 2:
            raise ParameterError(
                f"{path}.board",
                f"runners {board.thickness:g} mm wide do not reach under sides {box.t:g} mm thick; take a thicker board or thinner guides",
            )
        for side, wall, inward in (("left", place.space.left, RIGHT), ("right", place.space.right, LEFT)):
            runner, key = f"{place.front.id}/runner.{side}", f"{place.front.id}/runners.{side}"
            members = self._side(bench, out, place, box, _Side(path, board, side, wall, inward))
            bench.assemble(key, f"wooden runner, {side}", members, how="screwed", notes=(WAXED,))
            bench.join(f"{runner}|{box.side(side)}", "loose", runner, box.side(side), UP)
            fixed.append(key)
        moves = ()
        if self.centre_guide:
            fixed.append(f"{place.front.id}/runners.middle")
            moves = lay_centre_guide(bench, out, place, box, self.board, self.play)
        return Hung(moves=moves, fixed=tuple(fixed), travel=float(math.floor(box.fit.depth * (1 - STAYS_IN))))

    # ------------------------------------------------------------------------------------------------------------ one side
    def _side(
        self, bench: Bench, out: SettingOut, place: DrawerPlace, box: Box, at: _Side
    ) -> list[tuple[str, Vector, int]]:
        """Runner, kicker, guide and stop of one side, as members of their assembly."""
        id, wide = place.front.id, at.board.thickness
        rear = out.y(round(max(place.behind, 0.0) + place.room, 6))
        front = max(place.behind + BEHIND_FRONT, 0.0, place.rail_depth if "bottom" in place.rails else 0.0)
        made = []
        for what, name, begin, low, high in self._strips(out, place, box, front):
            key = f"{id}/{what}.{at.side}"
            if high - low < LEAST_STRIP and "bottom" not in place.walls:
                raise ParameterError(
                    f"{at.path}.style",
                    f"{high - low:g} mm is too low for a wooden runner that nothing lies under; keep at least {LEAST_STRIP:g} mm clear below the box, or put a rail or a board between the drawers",
                )
            self._strip(bench, at, key, f"{name}, {at.side}", (out.y(begin), rear), (low, high))
            if bench.parts[key].size[1] >= LEAST_STRIP:
                self._fix(bench, at.path, key, place.walls[at.side], at.wall, at.inward)
            else:
                below = place.walls["bottom"]
                self._check_glued(bench, at.path, below, high - low)
                bench.join(f"{below}|{key}", "glue", below, key, UP, (), wide * bench.parts[key].size[0])
            made.append((key, at.inward, 0))
        runner = f"{id}/runner.{at.side}"
        if self.guide:
            guide = f"{id}/guide.{at.side}"
            self._guide(bench, at, guide, (out.y(front), box.rear), box.bottom)
            made.append((guide, at.inward, 1))
            bench.join(f"{runner}|{guide}", "glue", runner, guide, UP, (), self.guide * (box.rear - out.y(front)))
        stop = f"{id}/stop.{at.side}"
        self._stop(bench, at, stop, box)
        bench.join(f"{runner}|{stop}", "glue", runner, stop, UP, (), wide * STOP)
        return [*made, (stop, BACK, 2)]

    def _strips(
        self, out: SettingOut, place: DrawerPlace, box: Box, front: float
    ) -> list[tuple[str, str, float, float, float]]:
        """What goes on a wall: word for its key, name, where it begins behind the carcass front, lower and upper edge."""
        top = round(place.opening.top - place.above, 6)
        strips = [("runner", "drawer runner", front, self._below(out, place), box.bottom)]
        kicker = round(top - box.top - self._over(out, place, box.fit.height), 6)
        if self.kickers and kicker >= LEAST_STRIP:
            strips.append(("kicker", "kicker", max(place.behind + BEHIND_FRONT, 0.0), round(top - kicker, 6), top))
        return strips

    def _strip(
        self, bench: Bench, at: _Side, key: str, name: str, along: tuple[float, float], rise: tuple[float, float]
    ) -> None:
        """A strip along a wall, its face side away from it, from front to rear and from its lower to its upper edge."""
        front, rear = along
        place = (
            Placement(vector(at.wall, front, rise[0]), BACK, UP)
            if at.inward == RIGHT
            else Placement(vector(at.wall, rear, rise[0]), FRONT, UP)
        )
        bench.part(
            key, name, at.board, round(rear - front, 6), round(rise[1] - rise[0], 6), place, role="runner", finish="inside", grain="length", face_side="inside",
            face_edge="upper edge", face_edge_high=True, setting="drawer runners", surviving_mark="against the wall", notes=(WAXED,),
        )  # fmt: skip

    def _check_glued(self, bench: Bench, path: str, below: str, high: float) -> None:
        """A strip too low to be screwed may be glued to a board that does not move along it."""
        if moves_along(bench.parts[below], BACK):
            raise ParameterError(
                f"{path}.style",
                f'a runner {high:g} mm high is too low for screws, and glued to "{below}" it would hold solid wood fast across its grain; keep at least {LEAST_STRIP:g} mm clear below the box',
            )

    def _guide(self, bench: Bench, at: _Side, key: str, along: tuple[float, float], low: float) -> None:
        """A strip on the runner between the wall and the side of the box."""
        front, rear = along
        place = Placement(vector(max(at.wall, at.wall + at.inward[0] * self.guide), front, low), BACK, LEFT)
        bench.part(
            key, f"drawer guide, {at.side}", at.board, round(rear - front, 6), self.guide, place, role="runner", finish="inside", grain="length",
            face_side="up", face_edge="inner edge", setting="drawer guides", surviving_mark="against the wall", notes=(WAXED,),
        )  # fmt: skip

    def _stop(self, bench: Bench, at: _Side, key: str, box: Box) -> None:
        """A block on the runner behind the side, its length upright, its face side away from the wall."""
        place = (
            Placement(vector(at.wall, box.rear + STOP, box.bottom), UP, FRONT)
            if at.inward == RIGHT
            else Placement(vector(at.wall, box.rear, box.bottom), UP, BACK)
        )
        bench.part(
            key, f"drawer stop, {at.side}", at.board, min(STOP_HIGH, box.fit.height), STOP, place, role="stop", finish="inside", grain="length", face_side="inside", face_edge="front edge",
            setting="drawer stops", surviving_mark="underside", notes=(f"set so that the front closes {self.set_in:g} behind the carcass",),
        )  # fmt: skip

    def _fix(self, bench: Bench, path: str, key: str, holder: str, wall: float, inward: Vector) -> None:
        part = bench.parts[key]
        front = min(part.place.origin[1], part.place.origin[1] + part.size[0] * part.place.x[1])
        z = part.place.origin[2] + part.size[1] / 2
        places = [
            vector(wall + inward[0] * part.size[2], front + along, z)
            for along in row_places(part.size[0], SCREWS_FROM_END, SCREWS_APART)
        ]
        outward: Vector = (-inward[0], 0.0, 0.0)
        screw_to_wall(bench, f"{path}.board", key, holder, places, outward, BACK)

    # ------------------------------------------------------------------------------------------------------------- figures
    def _below(self, out: SettingOut, place: DrawerPlace) -> float:
        """Where a runner's underside lies: on what stands below, or level with the underside of the rail that it continues."""
        return round(place.opening.bottom - (out.side_board.thickness if "bottom" in place.rails else 0.0), 6)

    def _over(self, out: SettingOut, place: DrawerPlace, height: float) -> float:
        """The play in height: for a solid box its movement across the grain and one more."""
        material = out.board(place.front.drawer.board, f"{place.path}.drawer.board").material
        return (
            max(self.over, math.ceil(10 * (movement(height, material.tangential, SEASON) + 1.0)) / 10)
            if moves(material)
            else self.over
        )

    def _check_play(self, out: SettingOut, place: DrawerPlace, height: float) -> None:
        play = self._over(out, place, max(height, 1.0))
        if place.front.drawer.clear_above < play:
            raise ParameterError(
                f"{place.path}.drawer.clear_above",
                f"{place.front.drawer.clear_above:g} mm is less than the play that this box needs, {play:g} mm",
            )


ENTRY = Wooden
