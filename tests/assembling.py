"""An independent judge of the order of building: solids pushed to their places by a boolean library.

A new part is moved along its straight way, out of its place, past what is there already. Every stretch of the way in which the
boxes of two parts overlap is stepped through, and what the two have in common at each step is measured. The steps are
shorter than the two parts are thick together along the way, so nothing jumps over anything. Two that overlap in their places are
the matter of a stop finding, not of the order.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cache

import manifold3d
import numpy as np

from core.meshes import model_meshes
from core.model import Fastener, Model
from core.pages._views import opened
from core.solids.mesh import Mesh

Solid = manifold3d.Manifold
COMMON = 5.0  # mm³ that facets of rounds may share
STEP, MOST_STEPS = 4.0, 120  # mm; steps of one pair
BY_HAND = 15.0  # mm; a fitting is put in place by hand, so much of its way is straight
NEAR = 0.02  # mm by which boxes must overlap to be looked at
STANDS_OUT = ("dowel", "biscuit")  # pegs that stand out of one part and go into the next


@dataclass(frozen=True)
class Clash:
    """Two parts that meet on the way: how far from the place, and what they share, mm³."""

    moving: str
    still: str
    at: float
    volume: float

    def __str__(self) -> str:
        return f"{self.moving} runs into {self.still}, {self.at:.1f} mm from its place ({self.volume:.0f} mm³)"


class Room:
    """A model's solids, made once for a boolean library."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.meshes = model_meshes(model)
        self.boxes = {key: (mesh.vertices.min(0), mesh.vertices.max(0)) for key, mesh in self.meshes.items()}
        self._solids: dict[str, Solid] = {}

    def opened(self, key: str) -> Room:
        """The same with one motion gone as far as it goes."""
        motion = next(each for each in self.model.motions if each.key == key)
        return Room(opened(replace(self.model, motions=(motion,)), 1.0))

    def solid(self, key: str) -> Solid:
        """One part or fitting where it stands."""
        if key not in self._solids:
            self._solids[key] = solid_of(self.meshes[key])
        return self._solids[key]

    def clashes(
        self, moving: Iterable[str], still: Iterable[str], away: Iterable[float], most: float = np.inf
    ) -> list[Clash]:
        """What some solids run into as they come away along a direction from others, as far as `most` mm; each pair once."""
        direction = np.asarray(tuple(away), float)
        found = []
        for one in moving:
            for other in still:
                clash = self._first(one, other, direction, most)
                if clash:
                    found.append(clash)
        return found

    def _first(self, one: str, other: str, direction: np.ndarray, most: float) -> Clash | None:
        since, until, thick = _window(self.boxes[one], self.boxes[other], direction)
        until = min(until, most)
        if until <= since:
            return None
        count = int(np.clip(np.ceil((until - since) / min(STEP, thick / 2)), 1, MOST_STEPS))
        for at in since + (np.arange(count) + 0.5) / count * (until - since):
            common = self.solid(one).translate(tuple(direction * at)) ^ self.solid(other)
            volume = common.volume()
            if (
                volume > COMMON and (self.solid(one) ^ self.solid(other)).volume() <= COMMON
            ):  # else a finding of its own
                return Clash(one, other, float(at), float(volume))
        return None


def solid_of(mesh: Mesh) -> Solid:
    """A mesh as the boolean library wants it; a fitting's shells one by one."""
    made = Solid(manifold3d.Mesh64(mesh.vertices, mesh.triangles().astype(np.uint64)))
    assert made.status() == manifold3d.Error.NoError
    return made


def _window(a: tuple, b: tuple, direction: np.ndarray) -> tuple[float, float, float]:
    """From where to where on its way, in mm, box a overlaps box b, and how thick the two are together along it."""
    since, until, thick = 0.0, np.inf, np.inf
    for axis in range(3):
        (a_low, a_high), (b_low, b_high) = (a[0][axis] + NEAR, a[1][axis] - NEAR), (b[0][axis], b[1][axis])
        speed = direction[axis]
        if abs(speed) < 1e-9:
            if a_high <= b_low or b_high <= a_low:
                return 0.0, 0.0, 1.0
            continue
        ends = sorted(((b_low - a_high) / speed, (b_high - a_low) / speed))
        since, until = max(since, ends[0]), min(until, ends[1])
        thick = min(thick, ((a_high - a_low) + (b_high - b_low)) / abs(speed))
    return since, until, max(thick, 0.5)


# ---------------------------------------------------------------------------------------------------------------- pegs
def pegs_across(model: Model, moving: Iterable[str], still: Iterable[str], away: Iterable[float]) -> list[str]:
    """Dowels and biscuits between what moves and what stands still that do not lie along the way."""
    direction = np.asarray(tuple(away), float)
    ours, theirs = set(moving), set(still)
    return [
        each.key
        for each in model.fasteners
        if each.kind in STANDS_OUT
        and _between(each, ours, theirs)
        and abs(abs(np.dot(each.along, direction)) - 1) > 1e-3
    ]


def _between(peg: Fastener, ours: set[str], theirs: set[str]) -> bool:
    return bool(ours.intersection(peg.parts)) and bool(theirs.intersection(peg.parts))


# ------------------------------------------------------------------------------------------------------ the assemblies
def ways_of_assemblies(model: Model) -> list[tuple[str, list[str], list[str], tuple]]:
    """What comes to each assembly, in the order of building: (names, what moves, what is there, the way it comes away).

    Members of one layer that come the same way come together. A fitting that has no way of its own stays on what it is
    fixed to; within a smaller assembly it goes on last.
    """
    leaves, fittings = leaves_of(model), {each.key for each in model.fittings}
    lifted = {leaf for each in model.fittings if "lift-off" in each.name for leaf in (each.key, each.bought_with)}
    found = []
    for assembly in model.assemblies:
        last = {member.key for member in assembly.members if member.key in fittings and not any(member.apart)}
        there: list[str] = []
        for layer in sorted({member.layer for member in assembly.members}):
            members = [each for each in assembly.members if each.layer == layer]
            members = [each for each in members if assembly.key == "whole" or each.key not in last]
            for way in dict.fromkeys(member.apart for member in members):
                mine = [member for member in members if member.apart == way]
                moving = [leaf for member in mine for leaf in leaves[member.key]]
                if any(way) and there and lifted.isdisjoint(moving):  # a door that is lifted off is open then
                    found.append((", ".join(member.key for member in mine), moving, list(there), way))
                there += moving
    return found


def leaves_of(model: Model) -> Mapping[str, list[str]]:
    """The parts and fittings of each part, fitting and assembly, by its key."""
    assemblies = {each.key: each for each in model.assemblies}

    @cache
    def leaves(key: str) -> tuple[str, ...]:
        if key not in assemblies:
            return (key,)
        return tuple(leaf for member in assemblies[key].members for leaf in leaves(member.key))

    keys = [*(part.key for part in model.parts), *(each.key for each in model.fittings), *assemblies]
    return {key: list(leaves(key)) for key in keys}
