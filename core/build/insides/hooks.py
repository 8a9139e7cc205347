"""Coat hooks on a rail across the back of a compartment."""

from __future__ import annotations

import itertools
import math

from ...errors import ParameterError
from ...fields import count, ident, length, parameters
from ...geometry import FRONT, RIGHT, UP, Placement, Vector, vector
from ..bench import Bench
from ..contents import check_room, named_grain, screw_through_back, stem
from ..hardware import fitting_for, screw_on
from ..protocols import BayWalls
from ..setting_out import SettingOut
from ..standing import sided_names

# mm to the first hook; before a hook for what hangs on it; common practice, no source
FROM_SIDE, ROOM_BEFORE = 60.0, 60.0
FROM_END, BESIDE_HOOK = 20.0, 40.0  # mm from the rail's end; from a hook to a screw from behind


@parameters
class Hooks:
    """Coat hooks on a rail."""

    style = "hooks"
    label = "Coat hooks"

    hook: str = ident("hook-coat", "Hook", "An entry of the fittings library")
    quantity: int = count(0, 0, 30, "Hooks", "0: as many as find room")
    apart: float = length(120, 60, 400, "Apart", "From hook to hook, at least")
    height: float = length(
        1650, 300, 2200, "Height", "Middle of the rail above the floor: 1650 for adults, 1100 for children"
    )
    rail_board: str = ident("mdf-18", "Rail", "What the rail is cut from; a thin back holds no hook")
    rail_width: float = length(90, 60, 200, "Rail width", "Its height")

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """The rail, glued and screwed from behind, and its hooks."""
        board, entry = out.board(self.rail_board, "rail_board"), fitting_for("hook", self.hook, "coat hook")
        key, low = stem(bay.key, "hooks", number), round(self.height - self.rail_width / 2, 6)
        self._check(bay, board.thickness, entry.size("projection"), entry.size("height"))
        places = self._places(bay)
        rear, middle = out.y(bay.back_f), (bay.rect.left + bay.rect.right) / 2
        rail = f"{key}/rail"
        bench.part(
            rail, "hook rail", board, bay.rect.width, self.rail_width, Placement(vector(bay.rect.left, rear, low), RIGHT, UP), grain=named_grain(board), role="hook rail",
            finish="inside", face_side="front", face_edge="upper edge", face_edge_high=True, surviving_mark="back", setting="hook rails",
        )  # fmt: skip
        check_room(bench, "height", [rail], f"{self.height:g} mm")
        heights = [low + self.rail_width / 4, low + 3 * self.rail_width / 4]
        screw_through_back(bench, "rail_board", rail, heights, self._screws(bay, places), middle)
        members: list[tuple[str, Vector, int]] = [(rail, (0.0, 0.0, 0.0), 0)]
        for x, name in zip(places, sided_names([round(x - middle, 6) for x in places])):
            hook = f"{key}/hook.{name}"
            bench.fit(hook, entry, Placement(vector(x, rear - board.thickness, self.height), FRONT, RIGHT), (rail,))
            screw_on(bench, hook, {"piece": rail}, blame="rail_board")
            members.append((hook, FRONT, 1))
        bench.assemble(key, "hook rail", members, how="screwed")
        return [key]

    def _check(self, bay: BayWalls, thick: float, projection: float, tall: float) -> None:
        clear = bay.back_f - bay.front_f - thick - projection
        if clear < ROOM_BEFORE:
            raise ParameterError(
                "hook",
                f"projects {projection:g} mm on a rail {thick:g} mm thick and leaves {clear:g} mm before it; at least {ROOM_BEFORE:g} is needed",
            )
        half = max(self.rail_width, tall) / 2
        low, high = bay.rect.bottom + half, bay.rect.top - half
        if not low <= self.height <= high:
            raise ParameterError(
                "height",
                f"{self.height:g} mm is not within its compartment; it must be between {low:g} and {high:g} mm above the floor",
            )
        if tall > self.rail_width:
            raise ParameterError("rail_width", f"{self.rail_width:g} mm is less than the hook, {tall:g} mm high")

    def _screws(self, bay: BayWalls, hooks: list[float]) -> list[float]:
        """Where the rail is screwed from behind: midway between hooks, whose own screws come from before, and outside the last ones."""
        ends = [
            max(bay.rect.left + FROM_END, hooks[0] - BESIDE_HOOK),
            min(bay.rect.right - FROM_END, hooks[-1] + BESIDE_HOOK),
        ]
        return sorted({ends[0], *((a + b) / 2 for a, b in itertools.pairwise(hooks)), ends[1]})

    def _places(self, bay: BayWalls) -> list[float]:
        room = bay.rect.width - 2 * FROM_SIDE
        most = math.floor(room / self.apart + 1e-9) + 1 if room >= 0 else 0
        wanted = self.quantity or most
        if wanted > most or not wanted:
            raise ParameterError(
                "quantity",
                f"{wanted or 1} hooks {self.apart:g} mm apart do not fit in {bay.rect.width:g} mm; at most {most} do",
            )
        middle = (bay.rect.left + bay.rect.right) / 2
        pitch = room / (wanted - 1) if wanted > 1 and not self.quantity else self.apart
        return [round(middle + round(pitch * (i - (wanted - 1) / 2), 1), 6) for i in range(wanted)]


ENTRY = Hooks
