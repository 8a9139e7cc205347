"""Housings: the board's end stands in a channel across the face, glued; where the face ends a tongue takes the whole end's place.

A stopped housing ends short of the front, and the board's front corner is notched to run past it, so that no channel is seen.
"""

from __future__ import annotations

from ...errors import ParameterError
from ...fields import flag, length, parameters
from ...geometry import Vector, negative, plus
from ...units import down_to
from ..bench import Bench
from ..clearance import standing_box
from ..protocols import Meeting

LEAST_WALL = 5.0  # mm of a board left between or beyond housings; common practice, no source
FROM_END = 10.0  # mm of face beyond a housing at least; nearer to its end a tongue is cut; common practice, no source
END_PLAY = 0.25  # mm left at the bottom of each housing; common practice, no source
TONGUE = 1 / 3  # of the board's thickness; common practice, no source
LEAST_JOINT = 50.0  # mm of housing; common practice, no source


@parameters
class Housing:
    """The end of a board let into the face of another."""

    style = "housing"
    label = "Housing"

    depth: float = length(6, 3, 12, "Depth", "Into the face; a third of its thickness is usual, a half the most")
    play: float = length(
        0.1, 0, 0.5, "Play", "Width of the housing beyond the board's measured thickness; 0.2 for painted boards"
    )
    stopped: bool = flag(
        True, "Stopped", "Short of the front, the board's corner notched; otherwise the housing is seen from the front"
    )
    stop: float = length(10, 5, 40, "Stopped behind", "From the front edge of what meets")

    def make(self, bench: Bench, meeting: Meeting) -> None:
        """Cut the housing, lengthen the board into it, notch or tongue its end."""
        face = bench.parts[meeting.face]
        thick = face.board.thickness
        most = (thick - LEAST_WALL) / 2 if meeting.staggered else thick / 2
        if self.depth > most:
            why = "another board is let into its other side there, which" if meeting.staggered else "it"
            raise ParameterError(
                "depth",
                f"{self.depth:g} mm is too deep in {meeting.face.split('/')[-1]}, {thick:g} mm thick: {why} takes at most {most:g} mm",
            )
        begins = round(meeting.set_back + (self.stop if self.stopped else 0.0), 6)
        if meeting.row - begins < LEAST_JOINT:
            raise ParameterError(
                "stop",
                f"{self.stop:g} mm leaves {max(meeting.row - begins, 0):g} mm of housing; at least {LEAST_JOINT:g} is needed",
            )
        into_face = negative(meeting.into)
        let_in = self.depth - END_PLAY
        bench.lengthen(meeting.edge, into_face, let_in)
        low, high = self._across(bench, meeting)
        corner = _corner(meeting, begins, low - self.play / 2, 1.0)
        opposite = _corner(meeting, meeting.row, high + self.play / 2, -self.depth)
        long = "stopped" if self.stopped else "through"
        bench.take_out(
            meeting.face, "housing", corner, opposite, f"{high - low + self.play:.4g} wide, {self.depth:g} deep, {long}"
        )
        half = meeting.thickness / 2
        for one, other in ((-half - 1.0, low), (high, half + 1.0)):
            if other - one > 1.0 + 1e-6:
                corner = _corner(meeting, -1.0, one, -let_in - 1.0)
                bench.take_out(
                    meeting.edge,
                    "rebate",
                    corner,
                    _corner(meeting, meeting.row + 1.0, other, 0.0),
                    f"to a tongue {high - low:g} × {let_in:g}",
                )
        self._notch(bench, meeting, begins, let_in)
        bench.join(
            f"{meeting.face}|{meeting.edge}",
            "housing",
            meeting.face,
            meeting.edge,
            meeting.into,
            (),
            (meeting.row - begins) * (high - low + 2 * self.depth),
        )

    def _across(self, bench: Bench, meeting: Meeting) -> tuple[float, float]:
        """From where to where across the board's thickness its end goes into the face, from its middle: all of it, or a tongue."""
        face, half = bench.parts[meeting.face], meeting.thickness / 2
        place = face.place.own_point(meeting.start)[0]
        if min(place, face.size[0] - place) - half >= FROM_END:
            return -half, half
        tongue = down_to(meeting.thickness * TONGUE, 0.5)
        inward = face.place.x if place < face.size[0] / 2 else negative(face.place.x)
        # toward the middle of the face, so that most wood stays beyond the groove
        return (half - tongue, half) if sum(inward) > 0 else (-half, tongue - half)

    def _notch(self, bench: Bench, meeting: Meeting, begins: float, let_in: float) -> None:
        """Take off the front corner of the board that would stand before the housing."""
        low, _ = standing_box(bench.parts[meeting.edge])
        front = round(low[1] - meeting.start[1], 6)  # its own front edge behind the carcass front
        if begins - front > 1e-6:
            half = meeting.thickness / 2 + 1.0
            corner = _corner(meeting, front - 1.0, -half, -let_in - 1.0)
            bench.take_out(
                meeting.edge,
                "notch",
                corner,
                _corner(meeting, begins, half, 0.0),
                f"front corner {let_in:g} × {begins - front:g}, past the housing's end",
            )


def _corner(meeting: Meeting, along: float, across: float, into: float) -> Vector:
    """A place by how far it is behind the carcass front, across the board from its middle, and into it from the face."""
    way = tuple(1.0 - abs(a) - abs(b) for a, b in zip(meeting.along, meeting.into))
    return plus(plus(plus(meeting.start, meeting.along, along), way, across), meeting.into, into)


ENTRY = Housing
