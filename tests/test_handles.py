"""Other handles for a piece, to be looked at beside its own."""

from __future__ import annotations

import pytest
from examples import DEMO, example_piece

from core.build import build
from core.errors import ParameterError
from core.handles import choices, handle_ids, with_handles


def fitted(piece):
    """What is fitted to the fronts, by the front's id."""
    return {
        front.id: {
            each.entry
            for each in build(piece).fittings
            if each.key.startswith(f"{front.id}/") and each.entry in handle_ids()
        }
        for front in piece.fronts
    }


def test_every_front_that_has_a_handle_gets_the_other():
    """One id stands for all; two with a plus part doors from drawers; a front without a handle stays without."""
    piece = example_piece(DEMO)
    for choice, doors, drawers in (("pull-128", "pull-128", "pull-128"), ("knob-40+pull-224", "knob-40", "pull-224")):
        made = with_handles(piece, choice)
        for before, front in zip(piece.fronts, made.fronts, strict=True):
            wanted = drawers if front.kind == "drawer" else doors
            assert front.handle == (wanted if before.handle else "")
        assert {id: found for id, found in fitted(made).items() if found} == {
            front.id: {front.handle} for front in made.fronts if front.handle
        }


def test_choices_are_read_once_and_refused_by_name():
    """Blanks do not matter, a choice given twice is one; what is no handle of the library is named with those that are."""
    assert choices(" knob-40 , knob-40+pull-224,knob-40,") == ("knob-40", "knob-40+pull-224")
    assert choices("") == ()
    for wrong in ("doorbell", "knob-40+doorbell", "hinge-76", "+pull-128"):
        with pytest.raises(ParameterError, match="handle"):
            choices(wrong)
