"""A hanging rail across a bay, on a socket at each end."""

from __future__ import annotations

import math

from ...errors import ParameterError
from ...fastenings import screw
from ...fields import choice, ident, length, parameters
from ...fittings import FittingEntry, fitting_entry
from ...geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ..bench import Bench
from ..clearance import is_free, near, standing_box
from ..contents import keep_tube_clear
from ..hanging import body_box
from ..hardware import fitting_for, screw_on
from ..protocols import BayWalls
from ..setting_out import SettingOut

ENDS = {"left": "The left, seen from the front", "right": "The right, seen from the front"}
AROUND = 10.0  # mm about a tube for its sockets; common practice, no source
LEAST_DEPTH = 480.0  # mm clear for coats across a rail; common practice, no source
MORE_BRACKETS = 2  # tried where the places for fewer are taken
# mm to front and back to what is in a wall already; common practice, no source
GIVES_WAY = (0.0, -8.0, 8.0, -16.0, 16.0)
WOOD_LEFT = 2.0  # mm, at least, beyond and beside the hole of a bracket's screw; common practice, no source


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
    bracket: str = ident(
        "centre-bracket-25",
        "Centre bracket",
        "An entry of the fittings library, under the board above where the rail is longer than its tube is meant for; empty for none",
    )

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Two sockets and the tube between them."""
        if bay.back_f - bay.front_f < LEAST_DEPTH:
            raise ParameterError(
                "", f"the bay is {bay.back_f - bay.front_f:g} mm deep; a rail across it needs at least {LEAST_DEPTH:g} (turn it front to back)"
            )  # fmt: skip
        tube = fitting_for("tube", self.tube, "hanging rail")
        room = tube.size("diameter") / 2 + AROUND
        self._check(bay, room)
        height, usual = round(bay.rect.top - self.drop, 6), bay.back_f - self.from_back
        stem = f"{bay.key}/rail.{number}"
        ends = []
        for side, wall, x, inward in (
            ("left", bay.left, bay.rect.left, RIGHT),
            ("right", bay.right, bay.rect.right, LEFT),
        ):
            socket = "socket_open" if side == self.open_end else "socket_closed"
            ends.append((side, wall, x, inward, fitting_for(socket, getattr(self, socket), "rail socket")))

        def seats(f: float) -> list[Placement]:
            """Of the sockets, of a rail so far behind the carcass front."""
            y = out.y(f)
            return [
                Placement(vector(x, y, height), inward, BACK if inward == RIGHT else FRONT)
                for _, _, x, inward, _ in ends
            ]

        def holds(f: float) -> bool:
            inside = bay.front_f + room <= f <= bay.back_f - room
            return inside and all(_screws_hold(bench, end[1], end[4], seat) for end, seat in zip(ends, seats(f)))

        f = next((usual + by for by in GIVES_WAY if holds(usual + by)), usual)
        y, made = out.y(f), []
        for (side, wall, _, _, entry), seat in zip(ends, seats(f)):
            key = f"{stem}/socket.{side}"
            bench.fit(key, entry, seat, (wall,))
            screw_on(bench, key, {"piece": wall, "carcass": wall})
            made.append(key)
        base = fitting_entry(self.socket_closed).size("base")
        long = round(bay.rect.width - 2 * base - 1.0, 6)
        start = vector(bay.rect.left + base + 0.5, y, height)
        stop = vector(start[0] + long, y, height)
        keep_tube_clear(bench, "drop", start, stop, tube.size("diameter"), "hang it lower or farther from the back")
        made += self._brackets(bench, bay, stem, tube, start, long)
        bench.fit(f"{stem}/tube", tube, Placement(start, RIGHT, BACK), (), length=long)
        for key in made:
            bench.join(f"{stem}/tube|{key}", "loose", key, f"{stem}/tube", UP)
        return [*made, f"{stem}/tube"]

    def _brackets(
        self, bench: Bench, bay: BayWalls, stem: str, tube: FittingEntry, start: Vector, long: float
    ) -> list[str]:
        """Brackets that part a long rail into lengths its tube is meant for; none where the board above does not take them.

        They are spread evenly, so that the mirror image has them in the same places; one or two more where those are taken.
        """
        longest = tube.sizes.get("longest", long)
        if long <= longest or not self.bracket or not bay.top:
            return []
        entry = fitting_for("bracket", self.bracket, "centre bracket")
        if entry.size("diameter") != tube.size("diameter"):
            raise ParameterError(
                "bracket",
                f'"{self.bracket}" is for a rail {entry.size("diameter"):g} mm thick and "{self.tube}" is {tube.size("diameter"):g} mm; take another, or leave it empty for none',
            )
        if entry.size("drop") != self.drop:
            return []
        least = math.ceil(long / longest - 1e-9) - 1
        for count in range(least, least + 1 + MORE_BRACKETS):
            places = [
                Placement(vector(round(start[0] + long * i / (count + 1), 6), start[1], bay.rect.top), RIGHT, BACK)
                for i in range(1, count + 1)
            ]
            if all(_finds_room(bench, bay.top, entry, place) for place in places):
                break
        else:
            return []
        made = []
        for number, place in enumerate(places, 1):
            key = f"{stem}/bracket" if count == 1 else f"{stem}/bracket.{_from_ends(number, count)}"
            bench.fit(key, entry, place, (bay.top,))
            screw_on(bench, key, {"carcass": bay.top}, blame="bracket")
            made.append(key)
        return made

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


def _from_ends(number: int, count: int) -> str:
    """What one of several brackets is called, so that the mirror image calls it so: "left.1" … "middle" … "right.1".

    >>> [_from_ends(i, 3) for i in (1, 2, 3)], [_from_ends(i, 2) for i in (1, 2)]
    (['left.1', 'middle', 'right.1'], ['left.1', 'right.1'])
    """
    other = count + 1 - number
    return "middle" if number == other else f"left.{number}" if number < other else f"right.{other}"


def _screws_hold(bench: Bench, wall: str, entry: FittingEntry, seat: Placement) -> bool:
    """Whether a socket's screws keep clear of what is in its wall already: of those of a rail on the other side too."""
    for each in entry.screws_for():
        size = screw(each.screw)
        mouth = seat.point((0.0, each.at[1], each.at[2]))
        if not is_free(bench, wall, mouth, seat.direction(each.along), size.pilot, size.length, gap=WOOD_LEFT):
            return False
    return True


def _finds_room(bench: Bench, board: str, entry: FittingEntry, place: Placement) -> bool:
    """Whether a bracket's screws find wood in the board above, and nothing stands where it goes."""
    thick = bench.parts[board].board.thickness
    for each in entry.screws_for():
        at = vector(*place.point(each.at)[:2], place.origin[2])
        wide, along = screw(each.screw).diameter, place.direction(each.along)
        if not is_free(bench, board, at, along, wide, thick - WOOD_LEFT, gap=WOOD_LEFT):
            return False
    boxes = [body_box(body, place) for body in entry.bodies_for()]
    return not any(near(box, standing_box(part), -0.01) for box in boxes for part in bench.parts.values())


ENTRY = Rail
