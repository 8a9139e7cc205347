"""Which coatings of a scheme come on something that a model has."""

from __future__ import annotations

from functools import lru_cache

from .materials import materials
from .model import Fitting, Model
from .piece.finish import GROUPS, Scheme

COATED = ("sheet", "solid")  # kinds of material; glass and metal are not coated
HANDLES, INSIDE = "handles", "inside"


def coatings_on(scheme: Scheme, model: Model, groups: frozenset[str] = frozenset(GROUPS)) -> set[str]:
    """What comes on the parts and wooden handles of some groups: words of `COATINGS`; on metal handles only paint does."""
    found = {scheme.coat(group).coating for group in _groups(model) & groups}
    handles = [each for each in model.fittings if each.finish == HANDLES and each.bodies]
    coating = scheme.coat(HANDLES).coating
    if HANDLES in groups and any(coating == "paint" or is_wooden(each) for each in handles):
        found.add(coating)
    return found


def is_wooden(fitting: Fitting) -> bool:
    """Whether some of a fitting is of solid wood."""
    return any(body.substance in _timbers() for body in fitting.bodies)


@lru_cache(maxsize=1)
def _timbers() -> frozenset[str]:
    return frozenset(each.id for each in materials() if each.kind == "solid")


def _groups(model: Model) -> set[str]:
    """The groups of the boards; the inside too, which is faces of boards of another group."""
    found = {part.finish for part in model.parts if part.board.material.kind in COATED}
    return found | ({INSIDE} if model.bays else set())
