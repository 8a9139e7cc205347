"""Sag of shelves, rails and drawer bottoms, against the demo piece as worked out by hand."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from checks_help import changed, demo, found, only

from core.build import build
from core.checks import findings
from core.checks.deflection import fixed_shelves, loose_shelves, rails
from core.checks.loads import shelf_load
from core.mechanics import GRAVITY, point_sag, second_moment, spread_sag
from core.piece import dumps, loads
from core.starters import starter_text


def shelf(built, key):
    return next(sag for sag in fixed_shelves(*built) if sag.part.key == key)


MID = "carcass/shelf.drawer+upper"


def test_the_loose_shelves_of_the_demo():
    """By hand 0.45 mm at 16 kg: over the shelf's whole 510 it is 0.46, between its pins 0.44. Nothing to find."""
    sags = list(loose_shelves(*demo()))
    assert len(sags) == 3
    assert all(sag.load == pytest.approx(16, abs=0.1) and sag.now == pytest.approx(0.45, abs=0.02) for sag in sags)
    assert all(sag.later == pytest.approx(sag.now * 3.25) for sag in sags)
    assert not found(demo(), "shelf sag", "front edge sag", "hanging rail", "drawer bottom")


def test_the_wide_shelf_carries_what_it_does_by_hand():
    """By hand about 49 kg through the upright (itself, half of three shelves and of the coats) and 41 kg spread: 90
    kg.
    """
    assert shelf(demo(), MID).load == pytest.approx(49 + 41, abs=1)


def test_the_wide_shelf_without_a_stiffener():
    """By hand a plain 18 mm shelf sags 17.8 mm by the upright and 9.2 by its own load, before creep; a wide drawer
    jams under it.
    """
    built = changed(carcass={"stiffeners": {"over_length": 4000}})
    sag = shelf(built, MID)
    stiff = 2500 * second_moment(528, 18)
    assert sag.now == pytest.approx(
        point_sag(stiff, 1044, 49 * GRAVITY, 522) + spread_sag(stiff, 1044, 40.6 * GRAVITY), abs=0.5
    )
    assert sag.now == pytest.approx(17.8 + 9.2, abs=0.5)
    seen = found(built, "front edge sag")
    assert {each.severity for each in seen} == {"warn"}  # the loads are from memory: never a stop
    assert {each.limit for each in seen} == {1.25, 2.0}


def test_the_stiffener_alone_is_not_enough_without_the_back():
    """By hand, with the stiffener, 0.6 to 1.0 by the upright and 0.3 to 0.5 by its own load; the screwed back halves
    it.
    """
    built = demo()
    piece, model = built
    loose = replace(
        model, joints=tuple(joint for joint in model.joints if "carcass/back" not in (joint.first, joint.second))
    )
    alone, held = shelf((piece, loose), MID), shelf(built, MID)
    assert 0.9 <= alone.now <= 1.5
    assert held.now == pytest.approx(alone.now / 2)
    assert held.later < 2.0 < alone.later


def test_an_upright_below_carries():
    """The top of the demo stands on the upright: two spans of half its width."""
    tops = [sag for sag in fixed_shelves(*demo()) if sag.part.key == "carcass/top"]
    assert [sag.span for sag in tops] == [522, 522]


def test_a_long_thin_shelf():
    """Nine-millimetre shelves sag eight times as much as eighteen: seen at once, and far too much for years."""
    data = json.loads(dumps(demo()[0]))
    data["layout"][4]["holds"][0]["board"] = "mdf-9"
    from core import build

    piece = loads(json.dumps(data))
    built = piece, build(piece)
    assert next(loose_shelves(*built)).now == pytest.approx(8 * 0.46, abs=0.05)
    assert [each.severity for each in found(built, "shelf sag")] == ["warn"] * 3


def test_books_are_heavier():
    """A bookcase's shelves are reckoned for books."""
    assert shelf_load(demo()[0]) < shelf_load(changed(whole={"kind": "bookcase"})[0])


def test_a_rail_too_long_for_its_tube():
    """A rail of 1 200 mm wants a bracket in the middle; one a tenth as stout sags too much."""
    piece, model = demo()
    rail = next(fitting for fitting, _, _ in rails(model))
    body = rail.bodies[0]
    long = replace(rail, bodies=(replace(body, high=(1200.0, 0.0, 0.0)),))
    spoilt = replace(model, fittings=tuple(long if each is rail else each for each in model.fittings))
    finding = only(found((piece, spoilt), "hanging rail"))
    assert (finding.value, finding.limit) == (1200, 1000)


def test_a_thin_drawer_bottom():
    """A bottom 999 wide wants 9 mm; 6 sags 6.0 mm at 718 Pa over all of it (by hand 5.4 between the grooves)."""
    finding = only(found(changed(fronts={"drawer": {"drawer": {"bottom_board": "mdf-6"}}}), "drawer bottom"))
    assert (finding.value, finding.limit) == (6, 9)
    assert "6 mm of sag" in finding.text


def test_two_spans_that_sag_alike_are_told_once():
    """A shelf over two equal bays sags the same in both: one finding, for nobody reads which line is which span."""
    data = json.loads(starter_text("bookcase"))
    data["whole"]["width"] = 1400
    piece = loads(json.dumps(data))
    said = [(each.text, each.keys) for each in findings(piece, build(piece)) if each.check == "shelf sag"]
    assert said and len(said) == len(set(said))
