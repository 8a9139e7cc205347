"""How fronts lie to the carcass: inset, full and half overlay, alone and mixed on one piece."""

from __future__ import annotations

import pytest
from pieces import built, data, found, keeps_every_rule, refused
from test_build_properties import mirror_image_is_built

from core.build.hinging.cup import axis_before
from core.build.laying import lap_over
from core.fittings import fitting_entry, least_reveal

TWO = [
    {"id": "all", "divided": "columns"},
    {"id": "a", "parent": "all", "order": 0, "size": {"share": 1}},
    {"id": "b", "parent": "all", "order": 1, "size": {"share": 1}},
]
STACKED = [{**each, "divided": "rows"} if each["id"] == "all" else each for each in TWO]
CORNICE = {"style": "loose_cornice", "lip_drop": 12}


def door(id: str, closes: str, **more) -> dict:
    return {"id": id, "kind": "door", "closes": [closes], **more}


def edges(made, key: str) -> tuple[float, float, float, float]:
    """Left, right, bottom and top of a part."""
    low, high = made.boxes[key]
    return float(low[0]), float(high[0]), float(low[2]), float(high[2])


@pytest.mark.parametrize(
    ("thickness", "gap", "shared", "shown", "lap"),
    [(18, 3, False, 1.5, 16.5), (18, 3, True, 1.5, 7.5), (18, 3, False, 2, 16), (16, 3, True, 1.5, 6.5)],
)
def test_how_far_an_overlay_front_laps(thickness, gap, shared, shown, lap):
    """A side but for 1.5, top and bottom but for 2, half of a shared board less the gap: 16.5, 16 and 7.5 on 18 with 3."""
    assert lap_over(thickness, gap, shared, shown) == lap


def test_a_full_overlay_pair():
    """900 wide: from 1.5 inside the left to 1.5 inside the right, 3 between; 2 below the top; depth counts the doors and their pads."""
    made = keeps_every_rule(fronts=[{"id": "d", "kind": "pair", "closes": ["all"], "lay": "full"}])
    assert edges(made, "d/leaf.left/panel")[:2] == (-448.5, -1.5)
    assert edges(made, "d/leaf.right/panel")[:2] == (1.5, 448.5)
    assert edges(made, "d/leaf.left/panel")[2:] == (7.0, 898.0)
    assert made.model.overall[1] == 450 and made.model.carcass[1] == 431
    assert {each.entry for each in made.model.fittings if "/hinge" in each.key} == {"hinge-cup-35-full"}


def test_a_half_overlay_door():
    """It laps 7.5 of every board 18 thick."""
    made = keeps_every_rule(whole={"width": 500}, fronts=[door("d", "all", lay="half")])
    assert edges(made, "d/leaf.left/panel") == (-239.5, 239.5, 15.5, 889.5)
    assert {each.entry for each in made.model.fittings if "/hinge" in each.key} == {"hinge-cup-35-half"}


def test_two_doors_share_an_upright():
    """Each laps 7.5 of it, 3 between; their plates stand one beside the other's, not point to point."""
    made = keeps_every_rule(
        layout=TWO,
        fronts=[
            door("d", "a", lay="full", hanging={"hand": "right"}, handle=""),
            door("e", "b", lay="full", handle=""),
        ],
    )
    assert edges(made, "e/leaf.left/panel")[0] - edges(made, "d/leaf.right/panel")[1] == pytest.approx(3)
    hinges = {each.key: each for each in made.model.fittings if "/hinge" in each.key and not each.bought_with}
    assert {each.entry for each in hinges.values()} == {"hinge-cup-35-half"}
    heights = [hinges[f"{door}/hinge.1"].place.origin[2] for door in ("d/leaf.right", "e/leaf.left")]
    assert 5 <= abs(heights[0] - heights[1]) <= 20
    assert not [
        each for each in found(made) if each.check in ("fasteners meet", "holes meet", "gap for paint", "movement")
    ]


def test_each_hinge_by_its_own_lap():
    """A door hinged at the end side laps 16.5 there and takes the straight arm, its neighbour on the upright the half crank."""
    made = built(layout=TWO, fronts=[door("d", "a", lay="full"), door("e", "b", lay="full")])
    entries = {each.key.split("/")[0]: each.entry for each in made.model.fittings if "/hinge" in each.key}
    assert entries == {"d": "hinge-cup-35-full", "e": "hinge-cup-35-half"}


def test_what_stands_behind_an_overlay_front_is_not_set_back():
    """The upright behind an inset pair stands 20 back, behind an overlay pair flush with the carcass front."""
    for lay, front in (("inset", -430.0), ("full", -431.0)):
        made = built(layout=TWO, fronts=[{"id": "d", "kind": "pair", "closes": ["all"], "lay": lay}])
        assert made.boxes["carcass/upright.a+b"][0][1] == front


def test_inset_and_overlay_on_one_piece():
    """With a board between them an inset and an overlay door stand side by side; the overlay one laps half of it."""
    made = keeps_every_rule(
        layout=TWO, fronts=[door("d", "a", lay="full", handle=""), door("e", "b", hanging={"hand": "right"}, handle="")]
    )
    assert edges(made, "d/leaf.left/panel")[1] == pytest.approx(-1.5)
    assert made.boxes["e/leaf.right/panel"][0][1] == pytest.approx(-431.0)


def test_inset_and_overlay_with_nothing_between_are_refused():
    """They lie in two planes; without a board between there would be a hole."""
    layout = [{**each, "between": "nothing"} if each["id"] == "all" else each for each in TWO]
    said = refused(
        "fronts[0].lay", layout=layout, fronts=[door("d", "a", lay="full"), door("e", "b", hanging={"hand": "right"})]
    )
    assert "no board stands between" in said


def test_an_overlay_door_under_a_cornice():
    """The lip hangs 12 down an edge of 18; the door ends 3 below it."""
    made = keeps_every_rule(top=CORNICE, fronts=[{"id": "d", "kind": "pair", "closes": ["all"], "lay": "full"}])
    lip = min(float(made.boxes[key][0][2]) for key in made.boxes if key == "cornice/front")
    assert edges(made, "d/leaf.left/panel")[3] == pytest.approx(lip - 3)


def test_no_room_under_a_cornice():
    """A lip 17 mm down leaves nothing to lap."""
    refused(
        "fronts[0].lay",
        top={**CORNICE, "lip_drop": 14.5},
        fronts=[{"id": "d", "kind": "pair", "closes": ["all"], "lay": "full"}],
    )


def test_overlay_drawers():
    """Fronts over the edges, 3 between, their boxes behind at the runner's own set-back."""
    fronts = [
        {"id": id, "kind": "drawer", "closes": [closes], "lay": "full", "drawer": {"runner": ""}}
        for id, closes in (("low", "a"), ("high", "b"))
    ]
    made = keeps_every_rule(whole={"height": 520, "width": 600}, layout=STACKED, fronts=fronts)
    assert edges(made, "high/front/panel")[2] - edges(made, "low/front/panel")[3] == pytest.approx(3)
    runner = next(each for each in made.model.fittings if each.key == "low/runner.left")
    assert runner.place.origin[1] == pytest.approx(
        -made.model.carcass[1] + fitting_entry(runner.entry).size("set_back_overlay")
    )


def test_overlay_fronts_too_near_each_other():
    """With a meeting gap of 1 two overlay drawers have 0.7 left after paint."""
    fronts = [
        {
            "id": id,
            "kind": "drawer",
            "closes": [closes],
            "lay": "full",
            "drawer": {"runner": ""},
            "gaps": {"meeting": 1},
        }
        for id, closes in (("low", "a"), ("high", "b"))
    ]
    made = built(whole={"height": 520, "width": 600}, layout=STACKED, fronts=fronts)
    assert [each.value for each in found(made) if each.check == "gap for paint"] == [1.0]


@pytest.mark.parametrize(("thickness", "gap"), [(21, 1.4), (22, 1.6), (24, 2.4), (28, 3.7), (30, 5.4), (36, 11.1)])
def test_the_least_reveal_is_the_maker_s(thickness, gap):
    """The gap beside a concealed hinge by the door's thickness: a hinge maker's table, cup 3 mm from the edge, read in an excerpt."""
    assert least_reveal(thickness) == gap


@pytest.mark.parametrize("from_edge", [3.0, 5.0, 7.0])
@pytest.mark.parametrize(("thickness", "gap"), [(21, 1.4), (22, 1.6), (24, 2.4), (28, 3.7), (30, 5.4)])
def test_the_one_axis_of_a_concealed_hinge_keeps_to_the_maker_s_table(thickness, gap, from_edge):
    """Swung about the one axis that stands for the linkage, the hinge edge comes out beyond the shut door as far as the table says."""
    entry = fitting_entry("hinge-cup-35-inset")
    inside = from_edge + entry.size("cup") / 2 - entry.size("axis_beside")
    ahead = thickness - axis_before(entry, thickness, from_edge)
    assert (inside**2 + ahead**2) ** 0.5 - inside == pytest.approx(gap)


@pytest.mark.parametrize(("planted", "gap"), [("mdf-6", 2.5), ("mdf-9", 3.5)])
def test_a_thick_inset_door_on_concealed_hinges_takes_the_gap_that_it_needs(planted, gap):
    """A door of 18 and 6 has 2.5 as asked (2.4 by the table), one of 18 and 9 takes 3.5 (3.38); both swing free."""
    doors = door(
        "d",
        "all",
        hanging={"hinge": "hinge-cup-35-inset"},
        handle="",
        panel={"style": "planted_frame", "board": planted},
    )
    made = built(whole={"width": 500}, fronts=[doors])
    left = edges(made, "carcass/side.left")[1]
    assert round(edges(made, "d/leaf.left/panel")[0] - left, 3) == gap
    assert [each.text for each in found(made) if each.check in ("movement", "reveal at the hinge")] == []


def test_a_door_too_thick_for_an_inset_concealed_hinge_is_refused_with_figures():
    """36 thick wants 11.1 beside it and the hinge leaves 4.5: the message says both and what to take instead."""
    boards = [{**each, "thickness": 18} if each["id"] == "mdf-9" else each for each in data()["boards"]]
    doors = door("d", "all", hanging={"hinge": "hinge-cup-35-inset"}, panel={"style": "planted_frame"})
    said = refused("fronts[0].hanging.hinge", boards=boards, fronts=[doors])
    assert "11.5 mm" in said and "4.5 mm" in said and "butt hinges" in said


def test_a_thick_overlay_door_wants_a_wider_reveal():
    """27 thick with 3 beside it: 3.4 is wanted."""
    board = {"style": "planted_frame"}
    fronts = [
        door("d", "a", lay="full", hanging={"hand": "right"}, handle="", panel=board),
        door("e", "b", lay="full", handle="", panel=board),
    ]
    seen = [each for each in found(built(layout=TWO, fronts=fronts)) if each.check == "reveal at the hinge"]
    assert [(each.value, each.limit) for each in seen] == [(3.0, 3.38), (3.0, 3.38)]


def test_the_mirror_image_of_mixed_lays():
    """Laps, cranks and the hinges' heights are mirrored."""
    fronts = [
        door("d", "a", lay="full", hanging={"hand": "right"}),
        {"id": "e", "kind": "door", "closes": ["b"], "lay": "half", "hanging": {"hand": "left"}},
    ]
    mirror_image_is_built(data(layout=TWO, fronts=fronts))
