"""A flat top on two rails of the carcass, held at the sides by screws alone, by wooden buttons in grooves, or by expansion plates."""

from __future__ import annotations

from typing import Any

import pytest
from pieces import COLUMNS, FRAMED, PLAIN, built, found, keeps_every_rule, refused

from core.mechanics import movement
from core.model import Pocket

SIZE = {"width": 900, "height": 420, "depth": 500}
DRAWER = {"id": "y", "kind": "drawer", "closes": ["b"], "drawer": {"runner": ""}}
DOOR = {"id": "x", "kind": "door", "closes": ["a"]}


def top(fixing: str = "screws", **more: Any) -> dict[str, Any]:
    return {"style": "flat_top", "lies_on": "rails", "fixing": fixing, **more}


@pytest.mark.parametrize("fixing", ["screws", "buttons", "plates"])
@pytest.mark.parametrize(
    "sections",
    [{}, {"layout": COLUMNS, "fronts": [DOOR, DRAWER]}, {"carcass": FRAMED}],
    ids=["plain", "fronts", "framed"],
)
@pytest.mark.parametrize("wide", [80, 150])
def test_a_top_on_rails_keeps_every_rule(wide, sections, fixing):
    """Closed, held together, no overlap, its mirror image the same; no hole too near an edge of the rails."""
    made = keeps_every_rule(whole=SIZE, **sections, top=top(fixing, rail_width=wide))
    assert not [each.text for each in found(made) if each.check in ("thin wall", "wood moving", "holes that meet")]
    keys = {part.key: part.size for part in made.model.parts if "carcass/top" in part.key and "lipping" not in part.key}
    assert {key: size[1] for key, size in keys.items()} == {
        "carcass/top_rail.front": wide,
        "carcass/top_rail.rear": wide,
    }


@pytest.mark.parametrize("joint", ["dowels", "biscuits", "screws"])
def test_each_rail_is_jointed_at_both_ends(joint):
    """At least two fasteners hold each end of a rail to its side; an upright meets both rails."""
    made = built(whole=SIZE, layout=COLUMNS, top=top(), carcass={"joint": {"style": joint}})
    for rail in ("carcass/top_rail.front", "carcass/top_rail.rear"):
        for other in ("carcass/side.left", "carcass/side.right", "carcass/upright.a+b"):
            held = [each for each in made.model.fasteners if {rail, other} <= set(each.parts)]
            assert len(held) >= (1 if joint == "biscuits" else 2), (rail, other)


def test_a_button_slides_in_its_groove():
    """Groove 6 × 8 set 12 down (rule book); the tongue is 5.8 thick and stops 1 short of its bottom, and meets its upper wall."""
    made = built(whole=SIZE, top=top("buttons"))
    under = made.boxes["top/board"][0][2]
    side = made.model.part("carcass/side.left")
    (groove,) = [each for each in side.shape.features if isinstance(each, Pocket) and "buttons" in each.purpose]
    ends = [side.place.point(each) for each in (groove.low, groove.high)]
    low, high = (tuple(map(pick, *ends)) for pick in (min, max))
    face = made.boxes["carcass/side.left"][1][0]
    assert (high[2], low[2]) == (pytest.approx(under - 12), pytest.approx(under - 18)) and low[0] == pytest.approx(
        face - 8
    )
    buttons = [each for each in made.model.fittings if each.key.startswith("top/button.left")]
    assert len(buttons) >= 2 and {each.entry for each in buttons} == {"button-38"}
    for each in buttons:
        (body, tongue) = each.bodies
        ends = [each.place.point(end) for end in (tongue.low, tongue.high)]
        assert min(end[0] for end in ends) - low[0] == pytest.approx(1)  # left open
        assert max(end[2] for end in ends) == pytest.approx(high[2])  # it bears on the upper wall
        assert min(end[2] for end in ends) - low[2] == pytest.approx(0.2)
        assert max(each.place.point(end)[2] for end in (body.low, body.high)) == pytest.approx(under)
        (screw,) = [one for one in made.model.fasteners if each.key in one.parts]
        assert screw.parts[1] == "top/board" and screw.length < 20 + 25
    assert movement(500, 0.00365, 4) < high[1] - low[1]  # it has the whole groove to slide along


def test_solid_wood_is_fast_in_front_and_free_behind():
    """Round holes in the front rail, slots in the rear one as long as the season's movement between them (Wood Handbook), at least 15."""
    made = built(whole=SIZE, top=top("plates"))
    slots = {
        rail: [
            each
            for each in made.model.part(f"carcass/top_rail.{rail}").shape.features
            if isinstance(each, Pocket) and each.kind == "slot"
        ]
        for rail in ("front", "rear")
    }
    assert not slots["front"] and len(slots["rear"]) >= 2
    assert all(each.high[1] - each.low[1] >= 15 for each in slots["rear"])
    assert len([each for each in made.model.fasteners if each.purpose == "top screw"]) > len(slots["rear"])


def test_expansion_plates_are_bought_and_screwed_to_side_and_top():
    """Two screws into the side and one into the top for each plate, an even number of them."""
    made = built(whole=SIZE, top=top("plates"))
    plates = [each for each in made.model.fittings if each.entry == "plate-expansion-38"]
    assert len(plates) >= 4 and len(plates) % 2 == 0
    for plate in plates:
        into = [
            next(part for part in each.parts if part != plate.key)
            for each in made.model.fasteners
            if plate.key in each.parts
        ]
        assert sorted(key.split(".")[0] for key in into) == ["carcass/side", "carcass/side", "top/board"]


@pytest.mark.parametrize(
    ("field", "sections", "word"),
    [
        ("top.fixing", {"top": {"style": "flat_top", "fixing": "buttons"}}, '"rails"'),
        ("top.lies_on", {"top": top(), "carcass": {"runs_through": "top"}}, "sides run through"),
        ("top.lies_on", {"top": top(), "carcass": {"joint": {"style": "housing"}}}, "dowels"),
        ("top.lies_on", {"top": top(), "carcass": {"stiffeners": {"under_top": True}}}, "turn it off"),
        ("top.rail_width", {"top": top(rail_width=200), "whole": {**SIZE, "depth": 400}}, "at most 1"),
        (
            "top.fixing",
            {
                "top": top("buttons"),
                "carcass": {"back": {"kind": "planted_on"}},
                "boards": [{**each, "thickness": 13.9} if each["id"] == "mdf-18" else each for each in PLAIN["boards"]],
            },
            "plates",
        ),
    ],
)
def test_what_cannot_be_is_refused_with_the_way_out(field, sections, word):
    """Each refusal names what to take instead."""
    assert word in refused(field, **{"whole": SIZE, **sections})


def test_a_long_hanging_rail_under_top_rails_is_told():
    """Its centre bracket has no board to hold in between the rails: it is left away, and the rail too long without it is told."""
    holds = [{"style": "rail"}]
    for lies_on, seen in (("board", []), ("rails", ["warn"])):
        sections = {"whole": {"width": 1300, "height": 1200, "depth": 560}, "layout": [{"id": "all", "holds": holds}]}
        made = built(**sections, top={"style": "flat_top", "lies_on": lies_on})
        assert [each.severity for each in found(made) if each.check == "hanging rail"] == seen


def test_a_rails_number_is_where_it_has_wood():
    """The rear rail's is in the rebate; the front one has no back behind it, and lies under the top."""
    model = built(whole=SIZE, top=top()).model
    assert "rebate" in model.part("carcass/top_rail.rear").surviving_mark
    assert model.part("carcass/top_rail.front").surviving_mark == "upper side, under the top"
