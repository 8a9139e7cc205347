"""A whole model moved toward the front, so that what stands behind the carcass begins at the back plane."""

from __future__ import annotations

from dataclasses import replace

from ..geometry import Vector, plus
from ..model import Model


def moved_forward(model: Model, by: float) -> Model:
    """The model with everything so many mm nearer to the front; itself where that is nothing."""
    if not by:
        return model
    step: Vector = (0.0, -by, 0.0)
    return replace(
        model,
        parts=tuple(replace(each, place=each.place.moved(step)) for each in model.parts),
        fasteners=tuple(replace(each, at=plus(each.at, step)) for each in model.fasteners),
        fittings=tuple(replace(each, place=each.place.moved(step)) for each in model.fittings),
        motions=tuple(replace(each, through=plus(each.through, step)) for each in model.motions),
        openings=tuple(replace(each, front=round(each.front - by, 6)) for each in model.openings),
        bays=tuple(replace(each, low=plus(each.low, step), high=plus(each.high, step)) for each in model.bays),
    )
