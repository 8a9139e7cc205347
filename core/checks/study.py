"""What several checks reckon from one model, reckoned once: weights, boxes, what moves, what is joined to what."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from functools import cached_property
from typing import TypeVar

import numpy as np

from ..fittings import FittingEntry, fitting_entry
from ..model import Fitting, Model, Motion, Part
from ..placing import COUNTED, placed_words, places_of
from ..weights import Weight, together, weights_of
from ..wording import front_name, sideless
from .assembled import PLAIN, Assembled, assembled

Reckoned = TypeVar("Reckoned")

ABOVE = 0.5  # mm above the carcass; what does not reach so high is no top
KEPT = 4  # models whose study is kept; a panel asks for the same one over and over


class Study:
    """One model, seen by the checks."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self.parts: dict[str, Part] = {part.key: part for part in model.parts}
        self.fittings: dict[str, Fitting] = {fitting.key: fitting for fitting in model.fittings}
        self._reckoned: dict[Callable, object] = {}

    @cached_property
    def weights(self) -> dict[str, Weight]:
        """Of every part, fitting and fastener."""
        return weights_of(self.model)

    @cached_property
    def boxes(self) -> dict[str, np.ndarray]:
        """For each part the two corners, (2, 3), of the box that holds it in the piece."""
        keys = list(self.parts)
        corners = np.array([part.size for part in self.parts.values()])[:, None, :] * _CORNERS
        axes = np.array([part.place.axes() for part in self.parts.values()])
        origins = np.array([part.place.origin for part in self.parts.values()])
        there = np.einsum("pci,pij->pcj", corners, axes) + origins[:, None, :]
        both = np.round(np.stack((there.min(axis=1), there.max(axis=1)), axis=1), 6)
        return dict(zip(keys, both, strict=True))

    @cached_property
    def assembled(self) -> Assembled:
        """Everything as convex solids in the piece."""
        return assembled(self.model)

    @cached_property
    def blocks_of(self) -> dict[str, list[int]]:
        """The numbers of the convex solids of each part and fitting."""
        found: dict[str, list[int]] = {key: [] for key in self.assembled.keys}
        for number, owner in enumerate(self.assembled.owner.tolist()):
            found[self.assembled.keys[owner]].append(number)
        return found

    def shared(self, reckon: Callable[[Study], Reckoned]) -> Reckoned:
        """What a function reckons from this study, reckoned once."""
        if reckon not in self._reckoned:
            self._reckoned[reckon] = reckon(self)
        return self._reckoned[reckon]

    def family(self, key: str) -> str:
        """The key of the fitting that a member is bought with; of anything else its own."""
        fitting = self.fittings.get(key)
        return fitting.bought_with or key if fitting else key

    @cached_property
    def motion_of(self) -> dict[str, Motion]:
        """Which motion moves a part or fitting."""
        return {key: motion for motion in self.model.motions for key in motion.moves}

    @cached_property
    def neighbours(self) -> dict[str, set[str]]:
        """Which parts and fittings each is joined to."""
        found: dict[str, set[str]] = defaultdict(set)
        for joint in self.model.joints:
            found[joint.first].add(joint.second)
            found[joint.second].add(joint.first)
        return found

    @cached_property
    def planes_beside(self) -> dict[str, tuple[np.ndarray, np.ndarray]]:
        """For each part with any: the planes of the convex solids of all parts that are joined to it, normals (b, m, 3) and offsets (b, m)."""
        solids, found = self.assembled, {}
        for key in self.parts:
            blocks = [n for other in self.neighbours.get(key, ()) if other in self.parts for n in self.blocks_of[other]]
            if blocks:
                planes = PLAIN[0] if solids.plain[blocks].all() else solids.most[0]
                found[key] = solids.normals[blocks, :planes], solids.offsets[blocks, :planes]
        return found

    @cached_property
    def main_body(self) -> frozenset[str]:
        """The parts that stay together when doors, drawers, loose shelves and a loose top are taken off.

        The largest group of parts joined by more than a fitting, a loose seat, or screws driven on site.
        """
        groups = self._groups()
        heaviest = max(
            groups, key=lambda keys: (sum(self.weights[key].mass for key in keys), sorted(keys)), default=set()
        )
        return frozenset(heaviest)

    def _groups(self) -> list[set[str]]:
        on_site = {each.key for each in self.model.fasteners if each.when.stage == "on site"}
        linked: dict[str, set[str]] = defaultdict(set)
        for joint in self.model.joints:
            lifts_off = joint.kind in ("loose", "fitting") or (joint.fasteners and set(joint.fasteners) <= on_site)
            if not lifts_off:
                linked[joint.first].add(joint.second)
                linked[joint.second].add(joint.first)
        return connected(list(self.parts), linked)

    @cached_property
    def loose_top(self) -> frozenset[str]:
        """The parts of a top that is screwed down on site and lifts off; strips beside the carcass are screwed on there too."""
        on_site = {each.key: each.parts for each in self.model.fasteners if each.when.stage == "on site"}
        seated = {key for keys in on_site.values() for key in keys} - self.main_body
        above = self.model.carcass[2] + ABOVE
        groups = (group for group in self._groups() if group & seated)
        return frozenset(
            key for group in groups if max(self.boxes[each][1][2] for each in group) > above for key in group
        )

    def name(self, key: str) -> str:
        """The name of a part or fitting."""
        return self._names.get(key, key)

    def called(self, key: str) -> str:
        """What a person calls a part or fitting: its name, and where it is if the name does not tell it from others."""
        return self._called.get(key, key)

    def called_moving(self, motion: Motion) -> str:
        """What a person calls all that a motion moves: "left door", "drawer", "top drawer"."""
        return self._moving_names[motion.key]

    @cached_property
    def _moving_names(self) -> dict[str, str]:
        """Of each motion its name; of those that share one, as its front is called or, where that says less, where it is."""
        assemblies = {each.key: each.name for each in self.model.assemblies}
        of_name, found = defaultdict(list), {}
        for each in self.model.motions:
            of_name[assemblies.get(each.key, each.key)].append(each)
        for name, motions in of_name.items():
            fronts = {each.key: front_name(each.key.split("/")[0]) for each in motions}
            if len(motions) == 1:
                found[motions[0].key] = name
            elif all(front.endswith(f" {name}") for front in fronts.values()):
                found |= fronts
            else:
                places = self._places_in_front(motions) if name == sideless(name) else {}
                found |= {
                    key: f"{places[key]} {name}" if places else f"{name} “{front}”" for key, front in fronts.items()
                }
        return found

    def _places_in_front(self, motions: Sequence[Motion]) -> dict[str, str]:
        boxes = {each.key: self.front_box(each) for each in motions}
        return {} if any(box is None for box in boxes.values()) else placed_words(boxes)

    @cached_property
    def _names(self) -> dict[str, str]:
        return {each.key: each.name for each in (*self.model.parts, *self.model.fittings)}

    @cached_property
    def _called(self) -> dict[str, str]:
        """The name of each with where it is if several have it: in words, or by its key where none tell.

        Parts above one another in one place are counted from the top.
        """
        of_name, found = defaultdict(list), {}
        for key, name in self._names.items():
            of_name[name].append(key)
        for name, keys in of_name.items():
            places = places_of({number: [key] for number, key in enumerate(keys)}, name)
            if len(keys) > 1 and not any(places.values()):
                places = self._stacked(keys) or dict(enumerate(keys))
            found |= {key: f"{name} ({places[n]})" if places[n] else name for n, key in enumerate(keys)}
        return found

    def _stacked(self, keys: Sequence[str]) -> dict[int, str]:
        """For parts of one name by number: what each belongs to, and which of those there it is; nothing where that does not tell."""
        owners: dict[str, list[str]] = defaultdict(list)
        for key in keys:
            if key not in self.parts:
                return {}
            owners[key.split("/")[0]].append(key)
        found = {}
        for owner, some in owners.items():
            rows = placed_words({key: self.boxes[key] for key in some})
            if not rows:
                return {}
            for key, row in rows.items():
                which = f"{row} from the top" if row in COUNTED else row
                found[keys.index(key)] = ", ".join(filter(None, (owner.replace("-", " "), which)))
        return found

    def front_parts(self, motion: Motion) -> list[Part]:
        """The parts of a motion that make the front one sees: its panel and what is planted on it."""
        moved = [self.parts[key] for key in motion.moves if key in self.parts]
        return [part for part in moved if part.role in ("front panel", "panel", "stile", "rail", "muntin", "lipping")]

    def front_box(self, motion: Motion) -> np.ndarray | None:
        """The box, (2, 3), of a front shut; None for a motion without one."""
        boxes = [self.boxes[part.key] for part in self.front_parts(motion)]
        return np.array([np.min(boxes, axis=0)[0], np.max(boxes, axis=0)[1]]) if boxes else None

    def weight(self, keys: Iterable[str]) -> Weight:
        """Some parts and fittings as one weight, with the fasteners that hold in nothing else."""
        chosen = set(keys)
        asked = sorted(n for key in (*chosen, "") for n in self._first_in.get(key, ()))
        fasteners = self.model.fasteners
        held = (fasteners[n].key for n in asked if chosen.issuperset(fasteners[n].parts))
        return together(self.weights[key] for key in (*sorted(chosen), *held))

    @cached_property
    def _first_in(self) -> dict[str, list[int]]:
        """The numbers of the fasteners by the first part that each holds in; under "" those that hold in none."""
        found: dict[str, list[int]] = defaultdict(list)
        for number, each in enumerate(self.model.fasteners):
            found[each.parts[0] if each.parts else ""].append(number)
        return found


_CORNERS = np.array([(x, y, z) for x in (0, 1) for y in (0, 1) for z in (0, 1)], dtype=float)
_recent: list[Study] = []


def study(model: Model) -> Study:
    """The study of a model, kept for the last few models asked about."""
    for each in _recent:
        if each.model is model:
            return each
    made = Study(model)
    _recent.insert(0, made)
    del _recent[KEPT:]
    return made


def connected(keys: list[str], linked: dict[str, set[str]]) -> list[set[str]]:
    """The groups of keys that hang together, in the order of their first key."""
    groups, seen = [], set()
    for key in keys:
        if key in seen:
            continue
        group, ahead = {key}, [key]
        while ahead:
            for other in linked.get(ahead.pop(), ()):
                if other not in group:
                    group.add(other)
                    ahead.append(other)
        seen |= group
        groups.append(group)
    return groups


def kind_of(fitting: Fitting) -> str:
    """The kind of a fitting, as the library says: "butt hinge"."""
    return entry_of(fitting).kind


def entry_of(fitting: Fitting) -> FittingEntry:
    """The library entry of a fitting."""
    return fitting_entry(fitting.entry)


def bought(model: Model) -> tuple[Fitting, ...]:
    """The fittings that are bought, their members that move on their own not counted again."""
    return tuple(fitting for fitting in model.fittings if not fitting.bought_with)
