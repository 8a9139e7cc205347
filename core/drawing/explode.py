"""Taking a model apart: every part moves along the direction in which it really comes away, sub-assemblies first as a whole.

The members of an assembly move layer by layer until they are clear of all that stays behind them along their direction, plus a gap;
those of one layer go equally far. The result is again a model, so that everything that draws a model draws it apart.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..geometry import Vector, vector
from ..meshes import model_meshes
from ..model import Model

GAP = 90.0  # mm between what has come apart
TOUCH = 6.0  # mm; boxes that overlap less than this to the side are beside one another

Box = tuple[Vector, Vector]  # its low and its high corner
ZERO: Vector = (0.0, 0.0, 0.0)


def taken_apart(model: Model, amount: float, gap: float = GAP) -> Model:
    """The model with its parts and fittings moved; `amount` runs from 0 (together) to 1 (apart)."""
    if amount == 0:
        return model
    paths = directions_apart(model, gap)
    parts = tuple(replace(part, place=part.place.moved(_scaled(paths[part.key], amount))) for part in model.parts)
    fittings = tuple(
        replace(fitting, place=fitting.place.moved(_scaled(paths[fitting.key], amount))) for fitting in model.fittings
    )
    return replace(model, parts=parts, fittings=fittings)


def directions_apart(
    model: Model,
    gap: float = GAP,
    below: str = "",
    wholes: Collection[str] = (),
    boxes: Mapping[str, tuple[np.ndarray, np.ndarray]] | None = None,
) -> dict[str, Vector]:
    """How far each part and fitting moves, in mm, when everything is apart.

    `below` names an assembly: then only that one and what it consists of comes apart. `wholes` are assemblies that move but
    stay together. `boxes` are those of the parts and fittings where they are known already.
    """
    boxes = boxes or {key: (mesh.vertices.min(0), mesh.vertices.max(0)) for key, mesh in model_meshes(model).items()}
    assemblies = {assembly.key: assembly for assembly in model.assemblies}
    root = below or (model.assemblies[-1].key if model.assemblies else "")
    moves: dict[str, Vector] = dict.fromkeys(boxes, ZERO)
    if root in assemblies:
        standing = {key: (tuple(low.tolist()), tuple(high.tolist())) for key, (low, high) in boxes.items()}
        _Opening(assemblies, standing, frozenset(wholes), gap, moves).open(root)
    return {key: vector(*move) for key, move in moves.items()}


def within(model: Model, assembly: str) -> list[str]:
    """Keys of all parts and fittings of an assembly and of the smaller ones in it."""
    assemblies = {each.key: each for each in model.assemblies}
    return _leaves(assembly, assemblies)


def shown_alone(model: Model, keys: set[str]) -> Model:
    """The model with only these parts and fittings."""
    return replace(
        model,
        parts=tuple(p for p in model.parts if p.key in keys),
        fittings=tuple(f for f in model.fittings if f.key in keys),
    )


# ------------------------------------------------------------------------------------------------------------------- helpers
@dataclass(frozen=True, slots=True)
class _Opening:
    """Assemblies being taken apart; `moves` is filled on the way."""

    assemblies: dict
    boxes: Mapping[str, Box]
    wholes: frozenset[str]
    gap: float
    moves: dict[str, Vector]

    def open(self, key: str) -> Box | None:
        """Take one assembly apart layer by layer, the smaller ones in it first; its box afterwards."""
        behind: list[Box] = []
        members = self.assemblies[key].members
        for layer in sorted({member.layer for member in members}):
            behind += self.layer_apart([member for member in members if member.layer == layer], behind)
        return _around(behind) if behind else None

    def layer_apart(self, layer: list, behind: list[Box]) -> list[Box]:
        """Move the members of one layer; those that go the same way or opposite ways go equally far. Their boxes afterwards."""
        found = [(member, leaves, self.box(member.key, leaves)) for member, leaves in self.there(layer)]
        need: dict[int, float] = {}
        for member, _, box in found:
            axis = _axis(member.apart)
            if axis is not None:
                need[axis] = max(need.get(axis, 0.0), _clear(box, axis, member.apart[axis], behind, self.gap))
        boxes_after = []
        for member, leaves, box in found:
            axis = _axis(member.apart)
            shift = ZERO if axis is None else tuple(c * need[axis] for c in member.apart)
            for leaf in leaves:
                self.moves[leaf] = _sum(self.moves[leaf], shift)
            boxes_after.append(_moved(box, shift))
        return boxes_after

    def there(self, layer: list) -> list[tuple]:
        """The members of a layer that the model has, with the parts and fittings that each consists of."""
        found = [
            (member, [leaf for leaf in _leaves(member.key, self.assemblies) if leaf in self.boxes]) for member in layer
        ]
        return [(member, leaves) for member, leaves in found if leaves]

    def box(self, key: str, leaves: list[str]) -> Box:
        """The box of a member, which is taken apart first if it is an assembly that does not stay together."""
        opened = self.open(key) if key in self.assemblies and key not in self.wholes else None
        return opened or _around([_moved(self.boxes[leaf], self.moves[leaf]) for leaf in leaves])


def _axis(along: Vector) -> int | None:
    return max(range(3), key=lambda i: abs(along[i])) if any(along) else None


def _clear(box: Box, axis: int, sign: float, behind: list[Box], gap: float) -> float:
    """How far a box must go along an axis to leave a gap to every box in its way."""
    low, high = box
    a, b = (i for i in range(3) if i != axis)
    need = gap * 0.5
    for other_low, other_high in behind:
        beside = (
            high[a] <= other_low[a] + TOUCH
            or other_high[a] <= low[a] + TOUCH
            or high[b] <= other_low[b] + TOUCH
            or other_high[b] <= low[b] + TOUCH
        )
        if not beside:
            need = max(need, (other_high[axis] - low[axis] if sign > 0 else high[axis] - other_low[axis]) + gap)
    return need


def _leaves(key: str, assemblies: dict) -> list[str]:
    if key not in assemblies:
        return [key]
    return [leaf for member in assemblies[key].members for leaf in _leaves(member.key, assemblies)]


def _around(boxes: list[Box]) -> Box:
    lows, highs = zip(*boxes, strict=True)
    (a, b, c), (d, e, f) = zip(*lows, strict=True), zip(*highs, strict=True)
    return (min(a), min(b), min(c)), (max(d), max(e), max(f))


def _moved(box: Box, by: Vector) -> Box:
    return _sum(box[0], by), _sum(box[1], by)


def _sum(a: Vector, b: Vector) -> Vector:
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def _scaled(move: Vector, amount: float) -> Vector:
    return vector(*(c * amount for c in move))
