"""Faults that were found once: each is refused or built right from now on."""

from __future__ import annotations

import json

import pytest
from test_build_properties import ON_DOORS, is_clear, plainly

import core
from core.catalogue import entries
from core.errors import ParameterError
from core.piece import loads


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
