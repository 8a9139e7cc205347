"""What goes in, as the client is told."""

from __future__ import annotations

import pytest
from checks_help import changed, demo, found, moved, only

from core.checks.clothes import hangings, room_for


def test_the_demo_is_shallow_for_coats():
    """By hand 501 mm are clear between door and back: below 530, a warn."""
    finding = only(found(demo(), "depth for coats"))
    assert (finding.severity, finding.value, finding.limit) == ("warn", 501, 530)


def test_a_bay_too_shallow_for_a_rail_across():
    """With the back 30 mm nearer, 471 are left: turn the rail."""
    piece, model = demo()
    bays = tuple(bay for bay in model.bays)
    from dataclasses import replace

    nearer = tuple(replace(bay, high=(bay.high[0], bay.high[1] - 30.0, bay.high[2])) for bay in bays)
    finding = only(found((piece, replace(model, bays=nearer)), "depth for coats"))
    assert (finding.severity, finding.value, finding.limit) == ("stop", 471, 480)


def test_heights_at_the_rail():
    """By hand 1 378 are free under the rail's middle: coats, not long coats; 57.5 above the tube."""
    rail = next(hangings(demo()[1]))
    assert rail.under == pytest.approx(1378)
    assert rail.above == pytest.approx(70 - 12.5)
    assert not found(demo(), "height for coats", "place of the rail")


def test_the_clients_words():
    """5 winter coats or 7 jackets on 506 mm of rail; shelves that hold 16 kg each."""
    assert "5 winter coats or 7 jackets" in only(found(demo(), "room for clothes")).text
    assert "3 loose shelves, reckoned for 16 kg each" in only(found(demo(), "load of shelves")).text
    assert room_for(100) == "1 winter coat or 1 jacket"


def test_a_rail_too_high_for_its_hooks():
    """A rail 52 mm below the top has 39.5 over its tube: hooks do not lift off."""
    drop = changed(layout={"coats": {"holds": {"0": {"drop": 52}}}})
    finding = only(found(drop, "height for coats"))
    assert finding.value == pytest.approx(39.5)


def test_a_rail_near_the_floor():
    """A rail 700 mm above the bay's floor is too low for anything."""
    piece, model = demo()
    spoilt = moved(model, "coats/rail.1/tube", (0.0, 0.0, -678.0))
    assert only(found((piece, spoilt), "height for coats")).value == pytest.approx(700)


def test_a_rail_too_near_the_back():
    """A rail 200 mm from the back leaves no room for hangers."""
    finding = only(found(changed(layout={"coats": {"holds": {"0": {"from_back": 200}}}}), "place of the rail"))
    assert (finding.value, finding.limit) == (200, 250)
