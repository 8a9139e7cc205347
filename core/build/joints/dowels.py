"""Dowels: glued beech pegs in mating holes, one row on the centre line of the board that stands against the face."""

from __future__ import annotations

import math
from itertools import pairwise

from ...errors import ParameterError, blaming
from ...fastenings import dowel_for
from ...fields import length, parameters
from ...geometry import plus
from ..bench import Bench
from ..protocols import Meeting
from ..wood import in_wood

BESIDE = 24.0  # mm between the dowels of two boards that meet one face from both sides: three diameters; common practice, no source


@parameters
class Dowels:
    """A row of glued dowels."""

    style = "dowels"
    label = "Dowels"

    from_ends: float = length(40, 20, 80, "First dowel", "From each end of the joint")
    pitch: float = length(128, 48, 300, "Pitch at most", "Between dowels")

    def places(self, long: float) -> tuple[float, ...]:
        """Distances of the dowels along a joint: equal pitch, the first and the last at `from_ends`.

        >>> Dowels().places(528)
        (40.0, 152.0, 264.0, 376.0, 488.0)
        """
        free = long - 2 * self.from_ends
        if free <= 0:
            raise ParameterError(
                "from_ends", f"{self.from_ends:g} mm from both ends leaves no room in a joint {long:g} mm long"
            )
        number = max(2, math.ceil(free / self.pitch - 1e-9) + 1)
        return tuple(round(self.from_ends + free * i / (number - 1), 1) for i in range(number))

    def places_between(self, row: float, set_back: float) -> tuple[float, ...]:
        """The places half way between those of the shared row, for a board that meets the other side of the same face.

        >>> Dowels().places_between(528, 0)
        (96.0, 208.0, 320.0, 432.0)
        """
        places = self.places(row)
        middles = [round((a + b) / 2, 1) for a, b in pairwise(places)]
        if len(places) == 2:  # one dowel would let the board turn
            middles = [round(places[0] + BESIDE, 1), round(places[1] - BESIDE, 1)]
        return tuple(place for place in middles if place >= set_back + self.from_ends / 2)

    def places_behind(self, row: float, set_back: float) -> tuple[float, ...]:
        """The places of a shared row that a board set back from the carcass front keeps, and its own first one.

        >>> Dowels().places_behind(528, 29)
        (69.0, 152.0, 264.0, 376.0, 488.0)
        """
        if not set_back:
            return self.places(row)
        first = round(set_back + self.from_ends, 1)
        return (first, *(place for place in self.places(row) if place >= first + self.from_ends))

    def make(self, bench: Bench, meeting: Meeting) -> None:
        """Bore both parts on shared axes, put the dowels in, glue the joint."""
        with blaming("carcass.board"):  # a framed side may be thinner than what stands against it
            size = dowel_for(min(meeting.thickness, bench.parts[meeting.face].board.thickness))
        between = self.places_between if meeting.staggered else self.places_behind
        places = between(meeting.row, meeting.set_back)
        half = size.diameter / 2
        names = [
            bench.dowel(
                meeting.face, meeting.edge, plus(meeting.start, meeting.along, place), meeting.into, size, "dowel"
            )
            for place in in_wood(bench, meeting, places, half, half, (size.face_depth, size.edge_depth))
        ]
        bench.join(
            f"{meeting.face}|{meeting.edge}", "dowels", meeting.face, meeting.edge, meeting.into, tuple(names), meeting.length * meeting.thickness
        )  # fmt: skip


ENTRY = Dowels
