"""A mirror on the inside of a door that closes the compartment, held by four clips; it moves with the door and weighs on its hinges."""

from __future__ import annotations

import dataclasses

from ...errors import ParameterError
from ...fields import choice, ident, length, parameters
from ...fittings import FittingEntry
from ...geometry import BACK, DOWN, RIGHT, UP, Placement, Vector, vector
from ...model import Board, Member
from ...piece.fronts import Front
from ..bench import Bench
from ..clearance import Box, near
from ..contents import around, stem
from ..hardware import fitting_for, screw_on
from ..protocols import BayWalls, BoardById
from ..setting_out import SettingOut

HANDS = {"left": "The left door of a pair", "right": "The right door of a pair"}
FROM_EDGES = 60.0  # mm of door around the glass: hinges, knob and catch keep theirs; common practice, no source
STANDS_BACK = 5.0  # mm between the mirror and what stands opposite; common practice, no source


@parameters
class Mirror:
    """A mirror inside a door."""

    style = "mirror"
    label = "Mirror on a door's inside"
    on_front = True

    board: str = ident("mirror-4", "Glass", "A board of the material mirror, safety-backed")
    width: float = length(260, 100, 1000, "Width", "Of the glass")
    height: float = length(1000, 150, 2000, "Height", "Of the glass")
    centre: float = length(1350, 300, 2200, "Centre", "Middle of the glass above the floor")
    hand: str = choice("right", HANDS, "Door", "Which door of a pair")
    clip: str = ident("mirror-clip-4", "Clips", "An entry of the fittings library, for glass of that thickness")

    def hangs_on(self, front: Front, hand: str) -> bool:
        """Whether it is this leaf of a front that carries it."""
        return front.kind == "door" or (front.kind == "pair" and hand == self.hand)

    def mass(self, board: BoardById) -> float:
        """What it adds to its door, kg."""
        glass = board(self.board)
        return self.width * self.height * glass.thickness * glass.material.density / 1e9

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """The glass, its clips, and both in the door's movement and assembly; called when the doors are hung."""
        glass, entry = out.board(self.board, "board"), fitting_for("clip", self.clip, "mirror clip")
        self._check_glass(glass, entry)
        front = next(
            (
                each
                for each in out.piece.fronts
                if each.kind in ("door", "pair") and out.closed_by(each).holds(bay.rect)
            ),
            None,
        )
        if front is None:
            raise ParameterError("", f'no door closes "{bay.key}", so there is none for a mirror to hang on')
        leaf = f"{front.id}/leaf.{self.hand if front.kind == 'pair' else front.hanging.hand}"
        panel = f"{leaf}/panel"
        if panel not in bench.parts or bench.parts[panel].role != "front panel":
            raise ParameterError(
                "", f'the door "{leaf}" has no flat back for a mirror; give it a plain panel or a planted frame'
            )
        low = self._place(around(bench.parts[panel]))
        key = stem(bay.key, "mirror", number)
        bench.part(
            key,
            "mirror",
            glass,
            self.height,
            self.width,
            Placement(low, UP, RIGHT),
            role="mirror",
            finish="inside",
            face_side="inside",
            face_edge="left edge",
            surviving_mark="back",
            notes=("safety-backed; edges ground",),
        )
        bench.join(f"{panel}|{key}", "loose", panel, key, BACK)
        clips = self._clips(bench, entry, key, panel, low)
        self._check_opposite(bench, [key], leaf)
        _move_along(bench, leaf, key, clips)
        return []

    def _check_glass(self, glass: Board, entry: FittingEntry) -> None:
        if glass.material.kind != "glass":
            raise ParameterError("board", f'"{self.board}" is {glass.name}, not a mirror')
        if abs(entry.size("mirror") - glass.thickness) > 0.5:
            raise ParameterError(
                "clip", f'"{self.clip}" is for glass {entry.size("mirror"):g} mm thick; this is {glass.thickness:g} mm'
            )

    def _place(self, door: Box) -> Vector:
        """The lower left corner of the glass, on the back of the door."""
        (left, _, bottom), (right, back, top) = door
        most = right - left - 2 * FROM_EDGES
        if self.width > most:
            raise ParameterError(
                "width", f"{self.width:g} mm is too wide for a door {right - left:g} mm wide; use at most {most:g} mm"
            )
        least, high = bottom + FROM_EDGES + self.height / 2, top - FROM_EDGES - self.height / 2
        if least > high:
            raise ParameterError(
                "height",
                f"{self.height:g} mm is too high for a door {top - bottom:g} mm high; use at most {top - bottom - 2 * FROM_EDGES:g} mm",
            )
        if not least <= self.centre <= high:
            raise ParameterError(
                "centre",
                f"{self.centre:g} mm is out of range on this door; it must be between {least:g} and {high:g} mm above the floor",
            )
        return vector((left + right - self.width) / 2, back, self.centre - self.height / 2)

    def _clips(self, bench: Bench, entry: FittingEntry, key: str, panel: str, low: Vector) -> list[str]:
        made = []
        for end, z, toward in (("bottom", low[2], UP), ("top", low[2] + self.height, DOWN)):
            for side, share in (("left", 0.25), ("right", 0.75)):
                clip = f"{key}/clip.{end}.{side}"
                bench.fit(
                    clip, entry, Placement(vector(low[0] + share * self.width, low[1], z), BACK, toward), (panel, key)
                )
                screw_on(bench, clip, {"door": panel}, blame="clip")
                made.append(clip)
        return made

    def _check_opposite(self, bench: Bench, keys: list[str], leaf: str) -> None:
        """What stands opposite inside keeps clear of the glass."""
        box = around(bench.parts[keys[0]])
        for other in bench.parts.values():
            if not other.key.startswith(f"{leaf}/") and other.key not in keys and near(box, around(other), STANDS_BACK):
                raise ParameterError(
                    "",
                    f'the mirror "{keys[0]}" comes within {STANDS_BACK:g} mm of the {other.name} "{other.key}"; set that back',
                )


def _move_along(bench: Bench, leaf: str, mirror: str, clips: list[str]) -> None:
    """Glass and clips swing with the door and belong to its assembly."""
    for number, motion in enumerate(bench.motions):
        if motion.key == leaf:
            bench.motions[number] = dataclasses.replace(motion, moves=(*motion.moves, mirror, *clips))
    for number, assembly in enumerate(bench.assemblies):
        if assembly.key == leaf:
            more = (Member(mirror, BACK, 3), *(Member(clip, BACK, 4) for clip in clips))
            bench.assemblies[number] = dataclasses.replace(assembly, members=(*assembly.members, *more))


ENTRY = Mirror
