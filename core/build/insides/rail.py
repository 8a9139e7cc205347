"""A hanging rail across a bay, on a socket at each end."""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import choice, ident, length, parameters
from ...fittings import fitting_entry
from ...geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, vector
from ..bench import Bench
from ..contents import keep_tube_clear
from ..hardware import fitting_for, screw_on
from ..protocols import BayWalls
from ..setting_out import SettingOut

ENDS = {"left": "The left, seen from the front", "right": "The right, seen from the front"}
AROUND = 10.0  # mm about a tube for its sockets; common practice, no source
LEAST_DEPTH = 480.0  # mm clear for coats across a rail; common practice, no source


@parameters
class Rail:
    """A hanging rail."""

    style = "rail"
    label = "Hanging rail"

    drop: float = length(70, 50, 300, "Below what is above", "To the centre of the tube")
    from_back: float = length(250, 100, 600, "From the back", "To the centre of the tube; as much to the door")
    tube: str = ident("rail-25", "Rail", "An entry of the fittings library")
    socket_closed: str = ident("rail-socket-25-closed", "Closed socket", "An entry of the fittings library")
    socket_open: str = ident("rail-socket-25-open", "Open socket", "Lets the rail be lifted in")
    open_end: str = choice("right", ENDS, "Lifted in at", "Which end has the open socket")

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Two sockets and the tube between them."""
        if bay.back_f - bay.front_f < LEAST_DEPTH:
            raise ParameterError(
                "", f"the bay is {bay.back_f - bay.front_f:g} mm deep; a rail across it needs at least {LEAST_DEPTH:g} (turn it front to back)"
            )  # fmt: skip
        tube = fitting_for("tube", self.tube, "hanging rail")
        self._check(bay, tube.size("diameter") / 2 + AROUND)
        height, y = round(bay.rect.top - self.drop, 6), out.y(bay.back_f - self.from_back)
        stem = f"{bay.key}/rail.{number}"
        ends = (("left", bay.left, bay.rect.left, RIGHT), ("right", bay.right, bay.rect.right, LEFT))
        made = []
        for side, wall, x, inward in ends:
            socket = "socket_open" if side == self.open_end else "socket_closed"
            entry = fitting_for(socket, getattr(self, socket), "rail socket")
            key = f"{stem}/socket.{side}"
            y_axis = BACK if inward == RIGHT else FRONT
            bench.fit(key, entry, Placement(vector(x, y, height), inward, y_axis), (wall,))
            screw_on(bench, key, {"piece": wall, "carcass": wall})
            made.append(key)
        base = fitting_entry(self.socket_closed).size("base")
        long = round(bay.rect.width - 2 * base - 1.0, 6)
        start = vector(bay.rect.left + base + 0.5, y, height)
        stop = vector(start[0] + long, y, height)
        keep_tube_clear(bench, "drop", start, stop, tube.size("diameter"), "hang it lower or farther from the back")
        bench.fit(f"{stem}/tube", tube, Placement(start, RIGHT, BACK), (), length=long)
        for key in made:
            bench.join(f"{stem}/tube|{key}", "loose", key, f"{stem}/tube", UP)
        return [*made, f"{stem}/tube"]

    def _check(self, bay: BayWalls, room: float) -> None:
        """The tube hangs within the bay."""
        deep, high = round(bay.back_f - bay.front_f, 6), bay.rect.height
        if not room <= self.from_back <= deep - room:
            raise ParameterError(
                "from_back",
                f"{self.from_back:g} mm is out of range in a bay {deep:g} mm deep; it must be between {room:g} and {deep - room:g} mm",
            )
        if self.drop > high - room:
            raise ParameterError(
                "drop", f"{self.drop:g} mm is too much in a bay {high:g} mm high; at most {high - room:g} mm"
            )


ENTRY = Rail
