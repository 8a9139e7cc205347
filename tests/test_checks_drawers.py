"""Drawers: width, pulls, load and room, as the demo piece has them and spoilt."""

from __future__ import annotations

import pytest
from checks_help import changed, demo, found, moved, only, reworked

from core.checks.drawers import clearances, drawers
from core.materials import material
from core.model import Board


def test_the_ratio_of_the_demo():
    """1 018 on 450 mm runners: 2.26, above 1.5, a warn; with its two pulls nothing is said about pulls."""
    finding = only(found(demo(), "drawer width"))
    assert (finding.severity, finding.value, finding.limit) == ("warn", 2.26, 1.5)
    assert not found(demo(), "one pull", "runner load", "clear of the box")


def test_a_drawer_that_racks():
    """On 400 mm runners the same box is 2.55 times as wide as long: refused."""
    finding = only(found(changed(fronts={"drawer": {"drawer": {"runner": "runner-wide-400"}}}), "drawer width"))
    assert (finding.severity, finding.limit) == ("stop", 2.5)
    assert finding.value == pytest.approx(1018 / 400, abs=0.01)


def test_one_pull_on_a_wide_front():
    """One pull of 160 on a front 1 039 wide."""
    finding = only(found(changed(fronts={"drawer": {"handles": 1}}), "one pull"))
    assert (finding.severity, finding.value, finding.limit) == ("warn", 1039, 700)


def test_sixteen_are_clear_under_the_stiffener():
    """By hand the demo's box is 16 below the stiffener and 14 above the bottom."""
    drawer = next(drawers(demo()[1]))
    assert clearances(demo()[1], drawer) == (pytest.approx(16), pytest.approx(14))


def test_too_little_over_the_box():
    """8 mm over the box is less than the 10 a drawer is lifted in by; a stiffener that touches it is a stop."""
    finding = only(found(changed(fronts={"drawer": {"drawer": {"clear_above": 8}}}), "clear of the box"))
    assert (finding.severity, finding.value, finding.limit) == ("warn", 8, 10)
    piece, model = demo()
    lowered = moved(model, "carcass/stiffener.shelf.drawer+upper", (0.0, 0.0, -16.0))
    assert only(found((piece, lowered), "clear of the box")).severity == "stop"


def test_runners_that_carry_too_little():
    """Plain runners of 450 are sold for 45 kg, and the demo's drawer full is about 42; with a front of glass it is
    too heavy.
    """
    piece, model = changed(fronts={"drawer": {"drawer": {"runner": "runner-450"}}})
    assert not found((piece, model), "runner load")
    glazed = reworked(model, "drawer/front/panel", board=Board(material("glass"), 18.0))
    finding = only(found((piece, glazed), "runner load"))
    assert (finding.severity, finding.limit) == ("warn", 45)
    assert finding.value == pytest.approx(42 + 1039 * 215 * 18 * (2500 - 750) / 1e9, abs=1.0)
