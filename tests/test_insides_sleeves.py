"""Shelf-pin rows on both faces of one upright: beside each other, with short pegs, or through sleeves that serve both."""

from __future__ import annotations

import dataclasses
from typing import Any

import pytest
from pieces import built, data, found, keeps_every_rule, refused

from core.checks import findings
from core.fittings import fitting_entries, fitting_entry
from core.model import Hole

COLUMNS = [
    {"id": "all", "divided": "columns"},
    {"id": "a", "parent": "all", "order": 0, "size": {"share": 1}},
    {"id": "b", "parent": "all", "order": 1, "size": {"share": 1}},
]
UPRIGHT, SLEEVE = "carcass/upright.a+b", {"sleeve": "sleeve-5-18"}
HIGH = {"height": 1400}


def bays(left: dict[str, Any], right: dict[str, Any]) -> list[dict[str, Any]]:
    """Two bays beside each other with loose shelves in each."""
    whole, *both = COLUMNS
    return [
        whole,
        *({**bay, "holds": [{"style": "shelves", **more}]} for bay, more in zip(both, (left, right), strict=True)),
    ]


def holes(made, purpose: str, key: str = UPRIGHT) -> list[Hole]:
    return [each for each in made.model.part(key).shape.features if isinstance(each, Hole) and each.purpose == purpose]


@pytest.mark.parametrize("others", [SLEEVE, {**SLEEVE, "quantity": 1, "holes": 3}])
def test_one_sleeved_hole_serves_both_rows(others):
    """Rule book, W21: 5 mm sleeves through: each place is bored once, from one face, as wide as the sleeve; pins of both bays stand in it."""
    made = keeps_every_rule(whole=HIGH, layout=bays(SLEEVE, others))
    bored = holes(made, "shelf-pin sleeve through")
    assert len({each.at for each in bored}) == len(bored) and len({each.into for each in bored}) == 1
    assert {(each.diameter, each.depth) for each in bored} == {(7.0, 18.0)}
    sleeves = [each for each in made.model.fittings if each.entry == "sleeve-5-18"]
    assert len(sleeves) == len(bored)
    places = {tuple(round(c, 3) for c in each.place.origin[1:]) for each in sleeves}
    pins = [each for each in made.model.fittings if each.entry == "shelf-pin-5" and UPRIGHT in each.parts]
    assert pins and {tuple(round(c, 3) for c in each.place.origin[1:]) for each in pins} <= places
    assert not holes(made, "shelf pin") and holes(made, "shelf pin", "carcass/side.left")


def test_a_sleeve_lies_below_both_faces():
    """Of a bored upright a sleeve for boards of 18 leaves as much free at either face."""
    made = built(whole=HIGH, layout=bays(SLEEVE, SLEEVE))
    low, high = made.boxes[UPRIGHT]
    for each in made.model.fittings:
        if each.entry == "sleeve-5-18":
            box = made.boxes[each.key]
            assert box[0][0] - low[0] == pytest.approx(0.25) and high[0] - box[1][0] == pytest.approx(0.25)


def test_only_rows_that_meet_are_sleeved():
    """Sides keep their blind holes, and so does an upright where the shelves beyond have no sleeve; the rows stand 16 apart then."""
    made = keeps_every_rule(whole=HIGH, layout=bays(SLEEVE, {}))
    assert not holes(made, "shelf-pin sleeve through")
    columns = [{each.at[1] for each in holes(made, "shelf pin") if (each.into[2] > 0) is up} for up in (True, False)]
    assert min(abs(a - b) for a in columns[0] for b in columns[1]) >= 16


def test_short_pegs_back_to_back_are_told():
    """Rule book, W21: 8 deep from both faces leaves 2 mm: a warning with the way out; 10 deep never meets."""
    short = {"pin": "shelf-pin-5-short"}
    (told,) = [
        each for each in found(built(whole=HIGH, layout=bays(short, short))) if each.check == "pin rows back to back"
    ]
    assert (told.severity, told.value, told.limit) == ("warn", 2.0, 3.0) and "sleeve" in told.remedy
    assert not [each for each in found(built(whole=HIGH, layout=bays({}, {}))) if each.check == "pin rows back to back"]


def test_rows_that_meet_name_the_ways_out():
    """Known bad: pins 10 deep end to end from both faces of 18; the finding says 16 beside, short pegs, or sleeves."""
    made = built(whole=HIGH, layout=bays({"pin": "shelf-pin-5-short"}, {"pin": "shelf-pin-5-short"}))
    part = made.model.part(UPRIGHT)
    deeper = [
        dataclasses.replace(each, depth=10.0) if isinstance(each, Hole) and each.purpose == "shelf pin" else each
        for each in part.shape.features
    ]
    bad = dataclasses.replace(part, shape=dataclasses.replace(part.shape, features=tuple(deeper)))
    model = dataclasses.replace(
        made.model, parts=tuple(bad if each.key == UPRIGHT else each for each in made.model.parts)
    )
    (meets,) = [each for each in findings(made.piece, model) if each.check == "holes that meet"]
    assert meets.severity == "stop" and all(word in meets.remedy for word in ("16 mm", "short pegs", "sleeve"))


def test_what_does_not_go_together_is_refused():
    """A sleeve longer than the upright is thick, one far shorter, pegs that meet in it, and what is no sleeve."""
    assert "17.5 mm long" in refused("layout[1].holds[0].sleeve", **_thick(17.2))
    assert "14.5 mm long" in refused("layout[1].holds[0].sleeve", **_thick(18.0, "sleeve-5-15"))
    assert "shelf-pin-5-short" in refused("layout[1].holds[0].pin", **_thick(17.8))
    assert "not a shelf-pin sleeve" in refused("layout[1].holds[0].sleeve", **_thick(18.0, "shelf-pin-5"))


def _thick(thickness: float, sleeve: str = "sleeve-5-18") -> dict[str, Any]:
    boards = [{**each, "thickness": thickness} if each["id"] == "mdf-18" else each for each in data()["boards"]]
    return {"whole": HIGH, "boards": boards, "layout": bays({"sleeve": sleeve}, {"sleeve": sleeve})}


@pytest.mark.parametrize("entry", fitting_entries("shelf-pin sleeve"), ids=lambda entry: entry.id)
def test_a_sleeve_takes_the_pin_of_the_trade(entry):
    """Bored 5 for the pin's peg, 1 mm of brass around it, a little shorter than its board."""
    assert entry.size("bore") == fitting_entry("shelf-pin-5").size("diameter")
    assert entry.size("diameter") - entry.size("bore") == 2
    assert 0 < entry.size("board") - entry.size("length") <= 1
