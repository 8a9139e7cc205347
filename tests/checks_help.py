"""The demo piece and its variants for the tests of checks."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

from core import build
from core.checks import Finding, findings
from core.model import Model
from core.piece import Piece, dumps, loads, read_piece_file

DEMO = Path(__file__).parent.parent / "docs" / "examples" / "coat_cupboard.json"

Built = tuple[Piece, Model]


@lru_cache(maxsize=1)
def demo() -> Built:
    """The demo piece and its model."""
    piece = read_piece_file(DEMO)
    return piece, build(piece)


def changed(**sections: object) -> Built:
    """The demo with values of some sections replaced: tables are merged, a list's items by their place or id."""
    data = _merged(json.loads(dumps(demo()[0])), sections)
    piece = loads(json.dumps(data))
    return piece, build(piece)


def found(built: Built, *checks: str) -> list[Finding]:
    """What some checks (or all) find."""
    return [each for each in findings(*built) if not checks or each.check in checks]


def only(seen: Iterable[Finding]) -> Finding:
    """The one finding there is."""
    listed = list(seen)
    assert len(listed) == 1, [each.text for each in listed]
    return listed[0]


def _merged(old: object, new: object) -> object:
    if isinstance(old, dict) and isinstance(new, dict):
        return {**old, **{key: _merged(old.get(key), value) for key, value in new.items()}}
    if isinstance(old, list) and isinstance(new, dict):
        known = {each.get("id", str(place)): place for place, each in enumerate(old)}
        items = list(old)
        for key, value in new.items():
            items[known[key]] = _merged(items[known[key]], value)
        return items
    return new
