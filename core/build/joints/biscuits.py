"""Biscuits: glued beech lozenges in slots cut by a small saw, one row on the centre line of the board that stands against the face.

The slots are drawn square; the saw leaves their bottoms round. The biscuit of a slot is 1 mm narrower than both depths together.
"""

from __future__ import annotations

import itertools

from ...errors import ParameterError, blaming
from ...fastenings import Biscuit, biscuit_for
from ...fields import choice, length, parameters
from ...geometry import Vector, negative, plus
from ..bench import Bench
from ..protocols import Meeting
from ..rows import places_behind, places_between
from ..wood import in_wood

SIZES = {"board": "By the board's thickness", "0": "No. 0, 47 × 15", "10": "No. 10, 53 × 19", "20": "No. 20, 56 × 23"}
FITS_FROM = {"0": 9.0, "10": 12.0, "20": 16.0}  # mm of board from which each is the usual one
SLOT_LONGER = 8.0  # mm than the biscuit, so that it can be shifted; common practice, no source
LEAST_WALL = 2.0  # mm of a face left beyond a slot; common practice, no source
BETWEEN_SLOTS = 4.0  # mm of wood between two slots of one board; common practice, no source


@parameters
class Biscuits:
    """A row of glued biscuits."""

    style = "biscuits"
    label = "Biscuits"

    size: str = choice("board", SIZES, "Biscuit", "Its number")
    from_ends: float = length(55, 40, 100, "First biscuit", "Its middle from each end of the joint")
    pitch: float = length(150, 80, 300, "Pitch at most", "Between the middles of biscuits")

    def make(self, bench: Bench, meeting: Meeting) -> None:
        """Slot both parts on shared axes, put the biscuits in, glue the joint."""
        face = bench.parts[meeting.face].board.thickness
        biscuit = self._biscuit(meeting.thickness, face)
        names = []
        half = (biscuit.length + SLOT_LONGER) / 2
        deep = (biscuit.slot_depth, biscuit.slot_depth)
        for place in in_wood(bench, meeting, self._places(meeting, biscuit), half, biscuit.slot / 2, deep):
            at = plus(meeting.start, meeting.along, place)
            for key, into in ((meeting.face, negative(meeting.into)), (meeting.edge, meeting.into)):
                _slot(bench, key, at, into, meeting.along, biscuit)
            name = f"biscuit {biscuit.name}, {biscuit.length:g} × {biscuit.width:g}"
            names.append(
                bench.fasten(
                    "biscuit",
                    name,
                    biscuit.slot,
                    biscuit.width,
                    plus(at, meeting.into, -biscuit.width / 2),
                    meeting.into,
                    (meeting.face, meeting.edge),
                    "biscuit",
                )
            )
        bench.join(
            f"{meeting.face}|{meeting.edge}",
            "biscuits",
            meeting.face,
            meeting.edge,
            meeting.into,
            tuple(names),
            meeting.length * meeting.thickness,
        )

    def _biscuit(self, thickness: float, face: float) -> Biscuit:
        """The biscuit asked for, or the largest that suits both boards."""
        if self.size != "board":
            biscuit = biscuit_for(FITS_FROM[self.size])
            if biscuit.slot_depth > face - LEAST_WALL:
                raise ParameterError(
                    "size",
                    f'the slot of biscuit "{self.size}" is {biscuit.slot_depth:g} mm deep; a face {face:g} mm thick takes at most {face - LEAST_WALL:g} mm',
                )
            return biscuit
        with blaming("carcass.board"):
            usual = biscuit_for(thickness)
            for biscuit in (usual, *map(biscuit_for, sorted(FITS_FROM.values(), reverse=True))):
                if biscuit.width <= usual.width and biscuit.slot_depth <= face - LEAST_WALL:
                    return biscuit
            raise ParameterError("", f"no biscuit's slot leaves {LEAST_WALL:g} mm of a board {face:g} mm thick")

    def _places(self, meeting: Meeting, biscuit: Biscuit) -> tuple[float, ...]:
        """Where the middles of the biscuits are, behind the carcass front."""
        half = (biscuit.length + SLOT_LONGER) / 2
        places = places_behind(meeting.row, meeting.set_back, self.from_ends, self.pitch)
        if meeting.opposed:
            places = self._wide_apart(meeting, places, 2 * (2 * half + BETWEEN_SLOTS))
        if min(places[0] - meeting.set_back, meeting.row - places[-1]) < half:
            raise ParameterError(
                "from_ends",
                f"a slot {2 * half:g} mm long about a biscuit finds no room in a joint {meeting.length:g} mm long, {self.from_ends:g} mm from its ends",
            )
        needed = 2 * half + BETWEEN_SLOTS
        if any(b - a < needed for a, b in itertools.pairwise(places)):
            raise ParameterError(
                "pitch",
                f"{self.pitch:g} mm brings slots {2 * half:g} mm long nearer than {BETWEEN_SLOTS:g} mm; use more than {needed:g} mm",
            )
        if not meeting.staggered:
            return places
        between = tuple(place for place in places_between(places) if place - half >= meeting.set_back)
        if not between or any(b - a < 2 * needed for a, b in itertools.pairwise(places)):
            raise ParameterError(
                "from_ends",
                f"{self.from_ends:g} mm: two boards meet one from both sides, and slots {2 * half:g} mm long must stand between each other; that takes {2 * needed:g} mm between the first and the last in a row of {meeting.row:g} mm: a smaller biscuit, or dowels",
            )
        return between

    def _wide_apart(self, meeting: Meeting, places: tuple[float, ...], least: float) -> tuple[float, ...]:
        """The row, or where its slots leave no room for others between them, one with as many as do, at most two wider than the pitch."""
        row = places_behind(meeting.row, 0.0, self.from_ends, self.pitch)
        free = row[-1] - row[0]
        if not any(b - a < least for a, b in itertools.pairwise(row)) or free < least:
            return places
        pitch = free / int(free / least + 1e-9)
        return places_behind(meeting.row, meeting.set_back, self.from_ends, max(self.pitch, round(pitch, 6)))


def _slot(bench: Bench, key: str, at: Vector, into: Vector, along: Vector, biscuit: Biscuit) -> None:
    across = tuple(1.0 - abs(a) - abs(b) for a, b in zip(along, into))
    long = biscuit.length + SLOT_LONGER
    low = plus(plus(plus(at, along, -long / 2), across, -biscuit.slot / 2), into, -1.0)
    high = plus(plus(plus(at, along, long / 2), across, biscuit.slot / 2), into, biscuit.slot_depth)
    bench.take_out(
        key, "slot", low, high, f"for biscuit {biscuit.name}, {biscuit.slot:g} × {long:g}, {biscuit.slot_depth:g} deep"
    )


ENTRY = Biscuits
