"""Values made by the thousand are made quickly and are frozen all the same."""

from __future__ import annotations

import copy
import dataclasses
import gc
import inspect
import pickle

import pytest
from examples import DEMO, example_piece

from core import build, geometry, model
from core.errors import ParameterError

QUICK = [
    each
    for module in (geometry, model)
    for each in vars(module).values()
    if isinstance(each, type) and dataclasses.is_dataclass(each) and each.__module__ == module.__name__
]


@pytest.mark.parametrize("cls", QUICK, ids=lambda cls: cls.__name__)
def test_every_value_takes_what_its_fields_say(cls: type) -> None:
    """The arguments of each value of the model are its fields in their order, with their defaults, by name or by place."""
    given = [field for field in dataclasses.fields(cls) if field.init]
    arguments = list(inspect.signature(cls).parameters.values())
    assert [each.name for each in arguments] == [field.name for field in given]
    for argument, field in zip(arguments, given, strict=True):
        if field.default_factory is dataclasses.MISSING:
            has = inspect.Parameter.empty if field.default is dataclasses.MISSING else field.default
            assert argument.default is has
        assert argument.kind == (argument.KEYWORD_ONLY if field.kw_only else argument.POSITIONAL_OR_KEYWORD)


def test_a_value_made_quickly_is_frozen_and_compares_copies_and_pickles() -> None:
    """As any frozen dataclass: equal by value, changed only by a copy, the same after a copy and a round trip."""
    hole = model.Hole(at=(1.0, 2.0, 3.0), into=(0.0, 0.0, -1.0), diameter=8.0, depth=12.0, purpose="dowel 8 × 40")
    assert hole.when == model.IN_THE_PART
    deeper = dataclasses.replace(hole, depth=13.0)
    assert deeper != hole and dataclasses.replace(deeper, depth=12.0) == hole and hash(hole) == hash(copy.copy(hole))
    assert pickle.loads(pickle.dumps(hole)) == hole
    with pytest.raises(dataclasses.FrozenInstanceError):
        hole.depth = 1.0  # type: ignore[misc]
    with pytest.raises(TypeError):
        model.Hole(at=(1.0, 2.0, 3.0))  # type: ignore[call-arg]
    place = geometry.Placement((0.0, 0.0, 5.0), geometry.UP, y=geometry.BACK)
    assert place.z == geometry.cross(geometry.UP, geometry.BACK)
    assert dataclasses.replace(place, y=geometry.FRONT).z == geometry.cross(geometry.UP, geometry.FRONT)


def test_the_search_for_garbage_goes_on_after_a_piece_is_built_or_refused() -> None:
    """It is put off only while a piece is built, whatever comes of it; where it was off before it stays off."""
    piece = example_piece(DEMO)
    for on in (True, False):
        (gc.enable if on else gc.disable)()
        try:
            build(piece)
            assert gc.isenabled() == on
            with pytest.raises(ParameterError):
                build(dataclasses.replace(piece, whole=dataclasses.replace(piece.whole, depth=piece.whole.depth / 10)))
            assert gc.isenabled() == on
        finally:
            gc.enable()
