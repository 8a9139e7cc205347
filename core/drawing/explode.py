"""Taking a model apart: every part moves along the direction in which it really comes away, sub-assemblies first as a whole.

Each member of an assembly moves until it is clear of all that stays behind it along its direction, plus a gap; what lies side by
side moves together. The result is again a model, so that everything that draws a model draws it apart.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from ..geometry import Vector, vector
from ..meshes import model_meshes
from ..model import Model

GAP = 90.0  # mm between what has come apart
TOUCH = 1.0  # mm; boxes that overlap less than this to the side are beside one another

Box = tuple[np.ndarray, np.ndarray]


def taken_apart(model: Model, amount: float, gap: float = GAP) -> Model:
    """The model with its parts and fittings moved; `amount` runs from 0 (together) to 1 (apart)."""
    if amount == 0:
        return model
    paths = directions_apart(model, gap)
    parts = tuple(replace(part, place=part.place.moved(_scaled(paths[part.key], amount))) for part in model.parts)
    fittings = tuple(replace(fitting, place=fitting.place.moved(_scaled(paths[fitting.key], amount))) for fitting in model.fittings)
    return replace(model, parts=parts, fittings=fittings)


def directions_apart(model: Model, gap: float = GAP, below: str = "") -> dict[str, Vector]:
    """How far each part and fitting moves, in mm, when everything is apart.

    `below` names an assembly: then only that one and what it consists of comes apart.
    """
    boxes = {key: (mesh.vertices.min(0), mesh.vertices.max(0)) for key, mesh in model_meshes(model).items()}
    assemblies = {assembly.key: assembly for assembly in model.assemblies}
    moves: dict[str, np.ndarray] = {key: np.zeros(3) for key in boxes}
    root = below or (model.assemblies[-1].key if model.assemblies else "")
    if root in assemblies:
        _open(root, assemblies, boxes, moves, gap)
    return {key: vector(*(float(c) for c in move)) for key, move in moves.items()}


def within(model: Model, assembly: str) -> list[str]:
    """Keys of all parts and fittings of an assembly and of the smaller ones in it."""
    assemblies = {each.key: each for each in model.assemblies}
    return _leaves(assembly, assemblies)


def shown_alone(model: Model, keys: set[str]) -> Model:
    """The model with only these parts and fittings."""
    return replace(model, parts=tuple(p for p in model.parts if p.key in keys), fittings=tuple(f for f in model.fittings if f.key in keys))


# ------------------------------------------------------------------------------------------------------------------- helpers
def _open(key: str, assemblies: dict, boxes: dict[str, Box], moves: dict[str, np.ndarray], gap: float) -> Box | None:
    """Take one assembly apart, the smaller ones in it first; its box afterwards."""
    behind: list[Box] = []
    for member in assemblies[key].members:
        leaves = [leaf for leaf in _leaves(member.key, assemblies) if leaf in boxes]
        if not leaves:
            continue
        box = _open(member.key, assemblies, boxes, moves, gap) if member.key in assemblies else None
        box = box or _around([_moved(boxes[leaf], moves[leaf]) for leaf in leaves])
        shift = _clear(box, np.array(member.apart), behind, gap)
        for leaf in leaves:
            moves[leaf] = moves[leaf] + shift
        behind.append(_moved(box, shift))
    return _around(behind) if behind else None


def _clear(box: Box, along: np.ndarray, behind: list[Box], gap: float) -> np.ndarray:
    """The shortest move along a direction that leaves a gap to every box that lies in its way."""
    if not along.any() or not behind:
        return np.zeros(3)
    axis = int(np.abs(along).argmax())
    sign = 1.0 if along[axis] > 0 else -1.0
    across = [i for i in range(3) if i != axis]
    need = gap * 0.5
    for other in behind:
        beside = any(box[1][i] <= other[0][i] + TOUCH or other[1][i] <= box[0][i] + TOUCH for i in across)
        if beside:
            continue
        reach = other[1][axis] - box[0][axis] if sign > 0 else box[1][axis] - other[0][axis]
        need = max(need, reach + gap)
    return along * need


def _leaves(key: str, assemblies: dict) -> list[str]:
    if key not in assemblies:
        return [key]
    return [leaf for member in assemblies[key].members for leaf in _leaves(member.key, assemblies)]


def _around(boxes: list[Box]) -> Box:
    return np.min([low for low, _ in boxes], 0), np.max([high for _, high in boxes], 0)


def _moved(box: Box, by: np.ndarray) -> Box:
    return box[0] + by, box[1] + by


def _scaled(move: Vector, amount: float) -> Vector:
    return vector(*(c * amount for c in move))
