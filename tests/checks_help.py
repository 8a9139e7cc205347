"""The demo piece and its variants for the tests of checks."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from pathlib import Path

from core import build
from core.checks import Finding, findings
from core.checks import checks as all_checks
from core.checks.motion import movement
from core.model import Fastener, Feature, Model, Part
from core.piece import Piece, dumps, loads, read_piece_file

DEMO = Path(__file__).parent.parent / "docs" / "examples" / "coat_cupboard.json"

Built = tuple[Piece, Model]


@lru_cache(maxsize=1)
def demo() -> Built:
    """The demo piece and its model."""
    piece = read_piece_file(DEMO)
    return piece, build(piece)


def changed(**sections: object) -> Built:
    """The demo with values of some sections replaced: tables are merged unless of another style, items by place or
    id.
    """
    data = _merged(json.loads(dumps(demo()[0])), sections)
    piece = loads(json.dumps(data))
    return piece, build(piece)


def found(built: Built, *checks: str) -> list[Finding]:
    """What some checks (or all) find; the swings and travels, which take longest, are left out where nobody asks for
    them.
    """
    if not checks:
        return list(findings(*built))
    running = (check for check in all_checks() if check is not movement or "movement" in checks)
    return [each for check in running for each in check(*built) if each.check in checks]


def only(seen: Iterable[Finding]) -> Finding:
    """The one finding there is."""
    listed = list(seen)
    assert len(listed) == 1, [each.text for each in listed]
    return listed[0]


def _merged(old: object, new: object) -> object:
    if isinstance(old, dict) and isinstance(new, dict):
        if new.get("style", old.get("style")) != old.get("style"):
            return new
        return {**old, **{key: _merged(old.get(key), value) for key, value in new.items()}}
    if isinstance(old, list) and isinstance(new, dict):
        known = {each.get("id", str(place)): place for place, each in enumerate(old)}
        items = list(old)
        for key, value in new.items():
            items[known[key]] = _merged(items[known[key]], value)
        return items
    return new


# ----------------------------------------------------------------------------------------------------- spoiling a model
def moved(model: Model, key: str, by: tuple[float, float, float]) -> Model:
    """The model with one part or fitting moved, nothing else following."""

    def move(thing):
        return replace(thing, place=thing.place.moved(by)) if thing.key == key else thing

    return replace(model, parts=tuple(map(move, model.parts)), fittings=tuple(map(move, model.fittings)))


def reworked(model: Model, key: str, *features: Feature, **fields: object) -> Model:
    """The model with features added to one part, in its own frame, and fields of it replaced."""

    def work(part: Part) -> Part:
        if part.key != key:
            return part
        shape = fields.pop("shape", part.shape)
        return replace(part, shape=replace(shape, features=(*shape.features, *features)), **fields)

    return replace(model, parts=tuple(map(work, model.parts)))


def refastened(model: Model, key: str, **fields: object) -> Model:
    """The model with fields of one fastener replaced."""
    fasteners = tuple(replace(each, **fields) if each.key == key else each for each in model.fasteners)
    return replace(model, fasteners=fasteners)


def fastener(model: Model, purpose: str, nth: int = 0) -> Fastener:
    """One of the fasteners that serve a purpose."""
    return [each for each in model.fasteners if each.purpose == purpose][nth]
