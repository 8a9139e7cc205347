"""Small pieces made for one entry, and the rules that every piece keeps, for the tests of supports, tops and contents."""

from __future__ import annotations

import copy
import json
from typing import Any

import numpy as np
import pytest
from test_build_properties import ALL_RULES, Built, mirror_image_is_built

import core
from core.checks import findings
from core.errors import ParameterError
from core.piece import loads

PLAIN = {
    "format": "muntin piece",
    "schema": 1,
    "id": "piece",
    "whole": {"width": 900, "height": 900, "depth": 450},
    "boards": [
        {"id": "mdf-18", "material": "mdf", "thickness": 18},
        {"id": "mdf-9", "material": "mdf", "thickness": 9},
        {"id": "mdf-6", "material": "mdf", "thickness": 6},
        {"id": "birch-ply-15", "material": "birch-ply", "thickness": 15},
        {"id": "oak-25", "material": "oak", "thickness": 25},
        {"id": "oak-40", "material": "oak", "thickness": 40},
        {"id": "hardwood-20", "material": "beech", "thickness": 20},
        {"id": "softwood-28", "material": "pine", "thickness": 28},
        {"id": "mirror-4", "material": "mirror", "thickness": 4},
    ],
    "layout": [{"id": "all"}],
    "fronts": [],
}
COLUMNS = [
    {"id": "all", "divided": "columns"},
    {"id": "a", "parent": "all", "order": 0, "size": {"fixed": 300}},
    {"id": "b", "parent": "all", "order": 1, "size": {"rest": True}},
]
OF_THE_SIZE = (
    "larger than the sheet",
    "ceiling",
    "tipping",
    "standing up",
    "way in",
    "load of shelves",
    "front edge sag",
)  # stops that a piece has for its size
FRAMED = {"side_panel": {"style": "planted_frame", "stile_width": 50}}
CARCASSES = {  # what a support or a top must go with
    "plain": {},
    "columns": {"layout": COLUMNS},
    "framed": {"carcass": FRAMED},
    "wide": {"whole": {"width": 1800, "depth": 600}},
}
any_carcass = pytest.mark.parametrize("sections", CARCASSES.values(), ids=CARCASSES)


def data(**sections: Any) -> dict[str, Any]:
    """The plain piece with some sections replaced or, where they are tables, changed."""
    made = copy.deepcopy(PLAIN)
    for name, value in sections.items():
        made[name] = {**made[name], **value} if isinstance(made.get(name), dict) and isinstance(value, dict) else value
    return made


def built(**sections: Any) -> Built:
    """The plain piece with some sections changed, built."""
    piece = loads(json.dumps(data(**sections)))
    return Built(piece, core.build(piece))


def keeps_every_rule(**sections: Any) -> Built:
    """Build a piece and its mirror image; closed, as large as asked, no overlap, coaxial holes, held together, no stop of contact or overlap."""
    made = built(**sections)
    for rule in ALL_RULES:
        rule(made)
    mirror_image_is_built(data(**sections))
    stops = [each for each in found(made) if each.severity == "stop" and each.check not in OF_THE_SIZE]
    assert not stops, stops[0].text
    return made


def one_door(panel: dict[str, Any], hinge: str = "hinge-butt-65") -> dict[str, Any]:
    """The sections of a piece 560 wide that a door with such a panel closes."""
    door = {"id": "door", "kind": "door", "closes": ["all"], "hanging": {"hinge": hinge}, "panel": panel}
    return {"whole": {"width": 560}, "fronts": [door]}


def found(made: Built) -> list:
    """The findings of a piece."""
    return list(findings(made.piece, made.model))


def refused(field: str, **sections: Any) -> str:
    """The line in which a piece is refused; it must name the field."""
    with pytest.raises(ParameterError) as error:
        built(**sections)
    assert error.value.field == field, f"{error.value.field}: {error.value.message}"
    assert any(c.isdigit() or c == '"' for c in error.value.message)
    return str(error.value)


def box(made: Built, *words: str) -> np.ndarray:
    """The corners, (2, 3), of the box around all parts and fittings whose key begins with one of some words."""
    chosen = [both for key, both in made.boxes.items() if key.startswith(words)]
    return np.array((np.min([low for low, _ in chosen], axis=0), np.max([high for _, high in chosen], axis=0)))
