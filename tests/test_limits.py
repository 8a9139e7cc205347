"""How far a piece can be changed as it is designed."""

import dataclasses

import pytest

from core.build import build
from core.checks import findings
from core.errors import ParameterError
from core.limits import FINE, limits
from core.piece.files import loads
from core.starters import starter_text


def resized(piece, size, value):
    return dataclasses.replace(piece, whole=dataclasses.replace(piece.whole, **{size: value}))


def with_one_back(piece):
    """The piece with its back of one board: in parts it would set no limit."""
    back = dataclasses.replace(piece.carcass.back, in_parts="one")
    return dataclasses.replace(piece, carcass=dataclasses.replace(piece.carcass, back=back))


def said_of(piece) -> list[str]:
    """Why a piece cannot be built, all reasons."""
    try:
        return [each.text for each in findings(piece, build(piece)) if each.severity == "stop"]
    except ParameterError as error:
        return [error.message]


def causes_of(piece) -> list[str]:
    """The checks that say stop, or the parameter that refuses."""
    try:
        return [each.check for each in findings(piece, build(piece)) if each.severity == "stop"]
    except ParameterError as error:
        return [error.field]


@pytest.mark.parametrize("kind", ["bookcase", "bedside_cabinet"])
def test_the_last_size_works_and_the_next_does_not(kind):
    """Rule: the size that is told can be built without a stop; one step of 20 mm further cannot, for the reason told."""
    piece = with_one_back(loads(starter_text(kind)))
    found = limits(piece)
    assert found
    assert len({(each.size, each.is_most) for each in found}) == len(found)
    for each in found:
        assert said_of(resized(piece, each.size, each.last)) == []
        beyond = resized(piece, each.size, each.last + (FINE if each.is_most else -FINE))
        assert each.reason in said_of(beyond)
        assert each.cause in causes_of(beyond)


def test_a_bookcase_is_as_wide_as_its_back_can_be_cut():
    """Reckoned by hand: the back is 20 narrower than the piece, so that 1240 is the last width whose back comes out of 1220."""
    piece = with_one_back(loads(starter_text("bookcase")))
    (back,) = [part for part in build(piece).parts if part.name == "back"]
    assert back.size[1] == piece.whole.width - 20
    (wide,) = [each for each in limits(piece) if each.size == "width" and each.is_most]
    assert wide.last == 1240
    assert "a sheet is 2440 × 1220 mm" in wide.reason


def test_a_low_ceiling_is_in_the_way():
    """Rule: what the room forbids is told like what the piece forbids."""
    piece = loads(starter_text("bookcase"))
    low = dataclasses.replace(piece, site=dataclasses.replace(piece.site, ceiling=piece.whole.height + 60.0))
    (high,) = [each for each in limits(low) if each.size == "height" and each.is_most]
    assert high.last < piece.whole.height + 60.0
    assert "ceiling" in high.reason


def test_what_cannot_be_built_has_no_limits():
    """A piece that stops as it stands is mended first; nothing is told of it."""
    piece = loads(starter_text("bookcase"))
    assert limits(resized(piece, "height", 3000.0)) == ()
