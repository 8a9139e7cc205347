"""Screws through the face of one board into the end of another: clearance, pilot, countersink, under plugs or covers or seen."""

from __future__ import annotations

from ...errors import ParameterError
from ...fastenings import Screw, plug_for
from ...fields import choice, flag, length, parameters
from ...geometry import Vector, plus
from ..bench import Bench
from ..hardware import LEAST_UNDER_HEAD, PLUG_DEEP, plug_over, screw_through
from ..protocols import Meeting
from ..rows import places_behind
from ..wood import in_wood

HEADS = {
    "plugged": "Under wooden plugs, pared flush",
    "covered": "Countersunk, under covers",
    "seen": "Countersunk, seen",
}
HOLD = 32.0  # mm of a 4 × 50 through 18; common practice, no source


@parameters
class Screws:
    """A row of screws."""

    style = "screws"
    label = "Screws"

    diameter: float = length(4, 3, 5, "Screw diameter", "3, 3.5, 4, 4.5 or 5; the length follows from the boards")
    from_ends: float = length(
        70, 25, 150, "First screw", "From each end of the joint; in fibreboard's edge not less than 70"
    )
    pitch: float = length(175, 80, 300, "Pitch at most", "Between screws")
    heads: str = choice("plugged", HEADS, "Heads", "What becomes of them")
    glued: bool = flag(True, "Glued too", "Without glue it comes apart again")

    def make(self, bench: Bench, meeting: Meeting) -> None:
        """Bore clearance and pilot on one axis, drive the screws, plug them where asked."""
        self._check_reach(bench, meeting)
        face = bench.parts[meeting.face].board.thickness
        sunk = PLUG_DEEP if self.heads == "plugged" else 0.0
        if face - sunk < LEAST_UNDER_HEAD:
            raise ParameterError(
                "heads",
                f'"{self.heads}" leaves {face - sunk:g} mm of a face {face:g} mm thick under the head; at least {LEAST_UNDER_HEAD:g} is needed',
            )
        size = screw_through("diameter", self.diameter, face - sunk, HOLD)
        names = []
        places = places_behind(meeting.row, meeting.set_back, self.from_ends, self.pitch)
        wide = (plug_for(size.name) if sunk else size.head) / 2
        for place in in_wood(bench, meeting, places, wide, wide, (face, size.length)):
            at = plus(plus(meeting.start, meeting.along, place), meeting.into, -face)
            names.append(self._drive(bench, meeting, at, face, sunk, size))
        kind = "glue and screws" if self.glued else "screws"
        bench.join(
            f"{meeting.face}|{meeting.edge}",
            kind,
            meeting.face,
            meeting.edge,
            meeting.into,
            tuple(names),
            meeting.length * meeting.thickness if self.glued else 0.0,
        )

    def _drive(self, bench: Bench, meeting: Meeting, at: Vector, face: float, sunk: float, size: Screw) -> str:
        if sunk:
            plug_over(bench, meeting.face, at, meeting.into, size, sunk)
            return bench.screw(
                meeting.face, meeting.edge, plus(at, meeting.into, sunk), meeting.into, size, face - sunk, "joint screw"
            )
        name = bench.screw(
            meeting.face, meeting.edge, at, meeting.into, size, face, f"joint screw, countersunk {size.head:g}"
        )
        return name

    def _check_reach(self, bench: Bench, meeting: Meeting) -> None:
        """A driver must get at the outer side of the face."""
        if meeting.staggered:
            raise ParameterError(
                "style",
                f'"screws" cannot be driven into {meeting.edge.split("/")[-1]}: another board stands on the other side of {meeting.face.split("/")[-1]} there; stagger the boards, or choose dowels or a housing',
            )
        frame = meeting.face.removeprefix("carcass/") + "/"
        if any(key.startswith(frame) for key in bench.parts):
            raise ParameterError(
                "style",
                f'"screws" through {meeting.face.split("/")[-1]} would lie under the frame on it, which is made first; choose plain side panels, dowels, biscuits or a housing',
            )


ENTRY = Screws
