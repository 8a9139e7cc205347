"""Faults that were found once: each is refused or built right from now on."""

from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest
from test_build_properties import ON_DOORS, Built, is_clear, keeps_every_rule, mirror_image_is_built, plainly

import core
from core.build.clearance import standing_box
from core.catalogue import entries
from core.checks import findings
from core.errors import ParameterError
from core.meshes import part_meshes
from core.piece import loads

FOUND = sorted((Path(__file__).parent / "references" / "found").glob("*.json"))


@pytest.mark.parametrize("path", FOUND, ids=lambda path: path.stem)
def test_what_once_was_built_wrong_is_built_right_or_refused(path: Path) -> None:
    """Pieces that the long run found: each broke a rule once, as its file's name says."""
    data = json.loads(path.read_text(encoding="utf-8"))
    try:
        piece = loads(json.dumps(data))
        built = Built(piece, core.build(piece))
    except ParameterError as refused:
        assert is_clear(refused, data), str(refused)
    else:
        keeps_every_rule(data, built)
        mirror_image_is_built(data)
        assert all(each.text for each in findings(piece, built.model))  # no check stumbles over it


@pytest.mark.parametrize("word", sorted(entries("build.insides")))
def test_the_same_content_twice_in_one_compartment_is_refused(word: str) -> None:
    """Two contents of equal parameters would be bored for in the same places; the second is refused by its own path."""
    fronts = [{"id": "doors", "kind": "pair", "closes": ["all"]}] if word in ON_DOORS else []

    def holding(count: int) -> dict:
        holds = [{"style": word}] * count
        return plainly(whole={"height": 2100}, layout=[{"id": "all", "holds": holds}], fronts=fronts)

    core.build(loads(json.dumps(holding(1))))
    with pytest.raises(ParameterError) as refused:
        core.build(loads(json.dumps(holding(2))))
    assert refused.value.field == "layout[0].holds[1]"
    assert "at most 1" in refused.value.message
    assert is_clear(refused.value, holding(2))


@pytest.mark.parametrize(
    ("word", "other", "more"),
    [
        ("rail", "rail", {"drop": 71.0}),
        ("rail", "rail", {"from_back": 270.0}),
        ("rail_front_to_back", "rail_front_to_back", {"from_front": 62.0}),
        ("rail", "rail_front_to_back", {}),
        ("rail_front_to_back", "rail", {}),
    ],
)
def test_contents_that_meet_are_refused(word: str, other: str, more: dict) -> None:
    """Two contents of one compartment whose bodies meet: the second is refused by its path, both by their ids, with the way out."""

    def holding(*holds: dict) -> dict:
        return plainly(whole={"height": 2100}, layout=[{"id": "all", "holds": list(holds)}])

    first, second = {"style": word}, {"style": other, **more}
    for alone in (first, second):
        core.build(loads(json.dumps(holding(alone))))
    with pytest.raises(ParameterError) as refused:
        core.build(loads(json.dumps(holding(first, second))))
    assert refused.value.field.startswith("layout[0].holds[1]")
    assert refused.value.message.count('"all/') == 2
    assert is_clear(refused.value, holding(first, second))


def test_contents_that_keep_clear_of_each_other_are_built() -> None:
    """A second rail half way down hangs free."""
    data = plainly(
        whole={"height": 2100}, layout=[{"id": "all", "holds": [{"style": "rail"}, {"style": "rail", "drop": 300.0}]}]
    )
    assert len([each for each in core.build(loads(json.dumps(data))).fittings if each.key.endswith("/tube")]) == 2


def test_a_hinge_keeps_clear_of_a_bearer_that_leans() -> None:
    """The box around a leaning part holds all its corners: an arm of a cup hinge finds its place above or below a shoe rack's bearers."""
    data = plainly(
        whole={"height": 1260.0, "depth": 550.0},
        layout=[{"id": "all", "holds": [{"style": "shoe_rack", "first": 100.0}]}],
        fronts=[{"id": "door", "kind": "door", "closes": ["all"], "hanging": {"hinge": "hinge-cup-35-inset"}}],
    )
    piece = loads(json.dumps(data))
    model = core.build(piece)
    leaning = [part for part in model.parts if "bearer" in part.key]
    assert leaning
    for part in leaning:
        low, high = standing_box(part)
        seen = part_meshes(model)[part.key].vertices
        assert (seen >= np.array(low) - 1e-3).all() and (seen <= np.array(high) + 1e-3).all()
    assert not [each for each in findings(piece, model) if each.severity == "stop"]
