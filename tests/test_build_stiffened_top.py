"""A stiffener under the top, brackets along one long anchor rail, and panels that close a compartment for good."""

from __future__ import annotations

import pytest
from pieces import COLUMNS, built, found, keeps_every_rule, refused

WIDE = {"width": 1100, "height": 900, "depth": 450}
UNDER_TOP = {"stiffeners": {"under_top": True}}
PAIR = {"id": "p", "kind": "pair", "closes": ["all"]}


@pytest.mark.parametrize("through", ["sides", "top"])
@pytest.mark.parametrize("lay", ["inset", "full"])
@pytest.mark.parametrize("top", ["flush", "flat_top"])
def test_a_stiffened_top_keeps_every_rule(top, lay, through):
    """Hardwood on edge under the top, behind the doors; catch and pads find their place on it."""
    made = keeps_every_rule(
        whole=WIDE, top={"style": top}, fronts=[{**PAIR, "lay": lay}], carcass={**UNDER_TOP, "runs_through": through}
    )
    low, high = made.boxes["carcass/stiffener.top.all"]
    assert high[2] == made.boxes["carcass/top"][0][2] and high[2] - low[2] == 60


def test_a_stiffener_stiffens_the_top():
    """A plain top over a bay of 1064 sags too far loaded for years; with 20 × 60 glued under its front edge it does not."""
    plain, stiffened = (built(whole=WIDE, carcass={"stiffeners": {"under_top": on}}) for on in (False, True))
    sagging = [
        [each.value for each in found(made) if each.check == "shelf sag" and "top" in each.text]
        for made in (plain, stiffened)
    ]
    assert sagging[0] and not sagging[1]


def test_a_stiffener_stands_flush_behind_an_overlay_front_and_behind_an_inset_one():
    """Behind an inset door its thickness and the pad of 2 from the carcass front; behind an overlay door at the carcass front itself."""
    at = {}
    for lay in ("inset", "full"):
        made = built(whole=WIDE, fronts=[{**PAIR, "lay": lay}], carcass=UNDER_TOP)
        at[lay] = made.boxes["carcass/stiffener.top.all"][0][1] - made.boxes["carcass/side.left"][0][1]
    assert at == {"inset": pytest.approx(20), "full": pytest.approx(0)}


def test_a_stiffener_in_the_way_of_a_moulding_s_screws_is_refused():
    """The moulding stiffens the top itself."""
    assert "under_top" in refused("top.style", whole=WIDE, top={"style": "loose_cornice"}, carcass=UNDER_TOP)


@pytest.mark.parametrize("joint", ["dowels", "housing"])
def test_no_screw_of_the_bottom_s_stiffener_stands_under_an_upright(joint):
    """It is driven from inside when the upright is in: two stand a driver's radius beside it in the place of the middle one."""
    halves = [{"id": each, "parent": "all", "order": n, "size": {"share": 1}} for n, each in enumerate("ab")]
    made = keeps_every_rule(
        whole=WIDE, layout=[{"id": "all", "divided": "columns"}, *halves], support={"style": "bracket_base"}, carcass={"joint": {"style": joint}},
    )  # fmt: skip
    (low, high), half = made.boxes[next(key for key in made.boxes if key.startswith("carcass/upright"))], 12.5
    screws = sorted(each.at[0] for each in made.model.fasteners if each.purpose == "stiffener screw")
    assert len(screws) == 6 and sum(screws) == pytest.approx(0)
    assert all(x < low[0] - half or x > high[0] + half for x in screws)


def test_a_stiffener_of_a_thin_board_is_refused():
    """Screws 4 thick into its edge want two and a half times as much wood (common practice, no source): a back's 6 mm is too little, 15 is not."""
    thin = {"stiffeners": {"under_top": True, "board": "mdf-6"}}
    assert "at least 10 mm" in refused("carcass.stiffeners.board", whole=WIDE, carcass=thin)
    keeps_every_rule(whole=WIDE, carcass={"stiffeners": {"under_top": True, "board": "birch-ply-15"}})


def test_one_long_anchor_rail_has_two_brackets():
    """A single bay wider than 500 has two wall brackets, 400 and more apart; a narrow one has one in the middle (common practice, no source)."""
    for width, count in ((1100, 2), (620, 2), (480, 1)):
        made = built(whole={**WIDE, "width": width})
        places = [each.place.origin[0] for each in made.model.fittings if each.entry.startswith("bracket-anchor")]
        assert len(places) == count and sum(places) == pytest.approx(0)
        assert count == 1 or places[1] - places[0] >= 400
        assert not [each for each in found(made) if each.check == "wall anchor" and each.severity == "warn"]


@pytest.mark.parametrize(("beside", "severity"), [(False, "warn"), (True, "note")])
def test_a_panel_that_closes_a_compartment_for_good_is_told(beside, severity):
    """A piece of which nothing can be reached is warned of; a closed compartment beside an open one is a note."""
    panel = {"id": "f", "kind": "fixed", "closes": ["b" if beside else "all"]}
    made = built(layout=COLUMNS if beside else [{"id": "all"}], fronts=[panel])
    assert [each.severity for each in found(made) if each.check == "no way in"] == [severity]
    door = {**panel, "kind": "door", "hanging": {"catch": ""}}
    assert not [
        each
        for each in found(built(whole={"width": 500}, fronts=[{**door, "closes": ["all"]}]))
        if each.check == "no way in"
    ]
