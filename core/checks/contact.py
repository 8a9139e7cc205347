"""Whether everything stands on something: no part or fitting floats."""

from __future__ import annotations

from collections.abc import Iterator

from ..model import Model
from ..piece import Piece
from .finding import ARITHMETIC, Finding
from .study import connected, study

ON_THE_FLOOR = 0.5  # mm; what begins this near to the floor stands on it


def floating(piece: Piece, model: Model) -> Iterator[Finding]:
    """Every part and fitting hangs together, by joints, with something that stands on the floor."""
    seen = study(model)
    keys = [*seen.parts, *seen.fittings]
    standing = _standing(model)
    for group in connected(keys, seen.neighbours):
        if group & standing:
            continue
        named = sorted(group)
        first = named[0]
        also = f" and {len(named) - 1} joined to it" if len(named) > 1 else ""
        yield Finding(
            check="floating part",
            severity="stop",
            text=f"{_name(model, first)}{also} is joined to nothing that stands on the floor.",
            keys=tuple(named),
            at=_place(model, first),
            value=float(len(named)),
            limit=0.0,
            unit="things",
            remedy="Give it a joint with what carries it.",
            source=ARITHMETIC,
        )


CHECKS = (floating,)


def _standing(model: Model) -> set[str]:
    """The keys of what touches the floor."""
    seen = study(model)
    found = {key for key, (low, _) in seen.boxes.items() if low[2] <= ON_THE_FLOOR}
    for fitting in model.fittings:
        heights = [fitting.place.point(end)[2] for body in fitting.bodies for end in (body.low, body.high)]
        if heights and min(heights) <= ON_THE_FLOOR:
            found.add(fitting.key)
    return found


def _name(model: Model, key: str) -> str:
    seen = study(model)
    thing = seen.parts.get(key) or seen.fittings.get(key)
    return f"{thing.name[0].upper()}{thing.name[1:]} ({key})" if thing else key


def _place(model: Model, key: str):
    seen = study(model)
    thing = seen.parts.get(key) or seen.fittings.get(key)
    return thing.place.origin if thing else None
