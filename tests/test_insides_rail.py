"""A hanging rail longer than its tube is meant for: centre brackets come by themselves, where there is a board to hold them."""

from __future__ import annotations

import json

import numpy as np
import pytest
from checks_help import found
from pieces import keeps_every_rule

from core import build
from core.errors import ParameterError
from core.fittings import fitting_entry
from core.model import Model
from core.piece import Piece, loads

BOARDS = [("mdf-18", "mdf", 18), ("mdf-6", "mdf", 6), ("hardwood-20", "hardwood", 20)]
TUBE, BRACKET = "rail-25", "centre-bracket-25"


def cupboard(width: float, **rail: object) -> tuple[Piece, Model]:
    piece = {
        "format": "muntin piece",
        "schema": 1,
        "id": "cupboard",
        "whole": {"width": width, "height": 1900, "depth": 600},
        "layout": [{"id": "all", "holds": [{"style": "rail", **rail}]}],
        "boards": [{"id": id, "material": material, "thickness": thick} for id, material, thick in BOARDS],
    }
    read = loads(json.dumps(piece))
    return read, build(read)


def brackets(model: Model) -> list[float]:
    """The x of the brackets."""
    return [each.place.origin[0] for each in model.fittings if each.entry == BRACKET]


@pytest.mark.parametrize("width, count", [(900, 0), (1043, 0), (1044, 1), (1600, 1), (2042, 1), (2050, 2), (3100, 3)])
def test_as_many_brackets_as_the_tube_wants(width, count):
    """No length between two supports is more than the longest that the library gives the tube, and no bracket is idle."""
    _, model = cupboard(width)
    places = brackets(model)
    assert len(places) == count
    tube = next(each for each in model.fittings if each.entry == TUBE)
    start = tube.place.origin[0]
    long = tube.bodies[0].high[0]
    spans = np.diff([start, *places, start + long])
    assert spans.max() <= fitting_entry(TUBE).size("longest") + 1e-6
    assert (np.ptp(spans) < 0.01 and not count) or long / count > fitting_entry(TUBE).size("longest") - 1e-6
    assert np.allclose(sorted(places), sorted(-x for x in places))


def test_the_bracket_holds_the_tube():
    """Its plate lies under the carcass top, screwed into it; the tube lies in its hook and is lowered in from above."""
    piece, model = cupboard(1600)
    (bracket,) = [each for each in model.fittings if each.entry == BRACKET]
    tube = next(each for each in model.fittings if each.entry == TUBE)
    assert bracket.place.origin[2] == pytest.approx(1900 - 18) and bracket.parts == ("carcass/top",)
    assert bracket.place.origin[2] - fitting_entry(BRACKET).size("drop") == pytest.approx(tube.place.origin[2])
    assert sum(each.kind == "screw" and bracket.key in each.parts for each in model.fasteners) == 2
    joint = next(each for each in model.joints if {bracket.key, tube.key} == {each.first, each.second})
    assert joint.first == bracket.key and joint.apart == (0.0, 0.0, 1.0)
    assert not found((piece, model), "hanging rail", "overlap", "movement", "holes that meet", "floating")


@pytest.mark.parametrize("rail", [{"drop": 90}, {"bracket": ""}])
def test_without_a_bracket_it_is_said(rail):
    """Where the bracket does not reach the tube, or none is wanted, the finding says how long the rail is and what to do."""
    piece, model = cupboard(1600, **rail)
    assert not brackets(model)
    (finding,) = found((piece, model), "hanging rail")
    assert finding.limit == 1000 and finding.value == pytest.approx(1557.0)
    assert "bracket" in finding.remedy


def test_the_sag_is_of_one_length():
    """Between brackets a rail sags as the short lengths do: 16 times less for half the length (5WL³/384EI, W in step with L)."""
    from core.checks.deflection import rails

    (_, half, little), (_, whole, much) = (
        rails(model)[0] for model in (cupboard(1600)[1], cupboard(1600, bracket="")[1])
    )
    assert whole / half == pytest.approx(2)
    assert much / little == pytest.approx(16)


def test_a_bracket_for_another_tube():
    """A bracket that does not go round the tube is refused by name."""
    with pytest.raises(ParameterError, match="centre bracket"):
        cupboard(1600, bracket="rail-socket-25-open")


def test_rails_at_both_sides_of_an_upright_do_not_share_their_screws_places():
    """Two sockets back to back, screws 16 long from both sides of 18 mm: the second rail stands 8 farther forward, and every rule is kept."""
    halves = [
        {"id": each, "parent": "all", "order": number, "size": {"share": 1}, "holds": [{"style": "rail"}]}
        for number, each in enumerate("ab")
    ]
    whole = {"width": 1400, "height": 1900, "depth": 600}
    made = keeps_every_rule(whole=whole, layout=[{"id": "all", "divided": "columns"}, *halves])
    depths = {each.key[0]: each.place.origin[1] for each in made.model.fittings if each.key.endswith("/tube")}
    assert depths["b"] == pytest.approx(depths["a"] - 8)
