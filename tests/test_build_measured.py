"""The golden table of measured values: which keys change when the bench reads another size, and nothing else does."""

from __future__ import annotations

import json

import pytest
from examples import EXAMPLES, example_text
from pieces import PLAIN
from test_build_properties import ALL_RULES, Built

from core.build import build
from core.model import Model
from core.piece.files import loads

BOARDS = [*PLAIN["boards"], {"id": "mdf-22", "material": "mdf", "thickness": 22}]


def one_front(**front) -> str:
    """The text of a cabinet with one front."""
    made = {
        "format": "muntin piece",
        "schema": 1,
        "id": "p",
        "boards": BOARDS,
        "whole": {"width": 1000 if front.get("kind") == "pair" else 560, "height": 900, "depth": 500},
        "layout": [{"id": "all"}],
        "fronts": [{"id": "d", "kind": "door", "closes": ["all"], "board": "mdf-22", **front}],
    }
    return json.dumps(made)


PIECES = {
    **{name: example_text(name) for name in EXAMPLES},
    "butt hinges": one_front(hanging={"hinge": "hinge-butt-50"}),
    "piano hinge": one_front(hanging={"hinge": "hinge-piano-32"}),
    "lift-off hinges": one_front(hanging={"hinge": "hinge-lift-off-75-left"}),
    "cup hinges": one_front(lay="full"),
    "bolted pair": one_front(kind="pair", meeting_stiles={"joint": "rebated"}, hanging={"hinge": "hinge-butt-50"}),
    "locked door": one_front(hanging={"hinge": "hinge-butt-50", "lock": "lock-cupboard-50"}),
}


def model_of(text: str, **measured: float) -> Model:
    data = json.loads(text)
    data["measured"] = [{"what": what.replace("__", "."), "value": value} for what, value in measured.items()]
    return build(loads(json.dumps(data)))


def places(model: Model) -> dict[str, tuple]:
    """Of every part its size, place and shape, of every fastener and fitting where it is."""
    found: dict[str, tuple] = {each.key: (each.shape, each.place) for each in model.parts}
    found |= {f"fastener {each.key}": (each.name, each.at, each.along) for each in model.fasteners}
    return found | {f"fitting {each.key}": (each.name, each.place) for each in model.fittings}


def is_of(word: str, front: str, before: Model) -> bool:
    """Whether what changed belongs to a front: its parts, what is fixed to them, what of its hardware moves with it."""
    kind, _, key = word.rpartition(" ")
    if key.startswith(f"{front}/"):
        return True
    fastener = next((each for each in before.fasteners if each.key == key), None) if kind == "fastener" else None
    return fastener is not None and any(part.startswith(f"{front}/") for part in fastener.parts if "/hinge" not in part)


@pytest.mark.parametrize("what", ["width", "height"])
@pytest.mark.parametrize("name", PIECES)
def test_a_measured_opening_changes_its_front_and_nothing_else(name, what):
    """`opening.<front>.width` and `.height` → keys of that front; carcass, its holes, plugs and screws stay as they were drilled."""
    before = model_of(PIECES[name])
    was = places(before)
    for opening in before.openings:
        for off in (-2.0, -0.5, 0.5, 2.0):
            size = round(getattr(opening, what) + off, 1)
            after = model_of(PIECES[name], **{f"opening__{opening.key}__{what}": size})
            now = places(after)
            changed = [word for word in {**was, **now} if was.get(word) != now.get(word)]
            others = [word for word in changed if not is_of(word, opening.key, before)]
            assert not others, f"{opening.key}, {off:+g}: {others[:6]}"
            assert changed or abs(off) < 1, f"{opening.key} does not follow {off:+g}"


def test_a_front_that_follows_keeps_every_rule():
    """A door and a drawer made to what was measured are whole: no hole beside its mate, nothing in another."""
    for name, what in (("starter sideboard", "height"), ("starter linen_press", "height"), ("cup hinges", "height")):
        before = model_of(PIECES[name])
        for opening in before.openings:
            for off in (-2.0, 2.0):
                data = json.loads(PIECES[name])
                size = round(getattr(opening, what) + off, 1)
                data["measured"] = [{"what": f"opening.{opening.key}.{what}", "value": size}]
                made = Built(loads(json.dumps(data)), build(loads(json.dumps(data))))
                for rule in ALL_RULES:
                    rule(made)
