"""Openings in the back: for cables, and enough holes for air."""

import math

import pytest
from pieces import COLUMNS, built, keeps_every_rule, refused

from core.model import Hole


def layout(*holds):
    """The plain layout with some contents."""
    return [{"id": "all", "holds": list(holds)}]


def holes(made, word):
    """The holes of the back with a word in their purpose."""
    return [
        each
        for each in made.model.part("carcass/back").shape.features
        if isinstance(each, Hole) and word in each.purpose
    ]


CABLE, VENTS = {"style": "cable_opening"}, {"style": "vents"}


@pytest.mark.parametrize(
    "holds",
    [
        [CABLE],
        [{**CABLE, "quantity": 3}],
        [{**CABLE, "grommet": "grommet-60"}],
        [VENTS],
        [{**VENTS, "share": 10, "diameter": 50}],
        [VENTS, {**CABLE, "height": 400}],
    ],
    ids=str,
)
def test_it_can_be_built(holds):
    """One or more openings, bare or with grommets, and holes for air beside them."""
    keeps_every_rule(layout=layout(*holds))


def test_an_opening_is_where_it_was_asked_for():
    """60 wide, 100 above the floor of the compartment, in the middle, through the back."""
    made = built(layout=layout(CABLE))
    (hole,) = holes(made, "cable")
    back = made.model.part("carcass/back")
    x, _, z = back.place.point(hole.at)
    assert (x, z) == (0, pytest.approx(23 + 100)) and hole.diameter == 60 and hole.depth == pytest.approx(6)


@pytest.mark.parametrize("share", [2, 5, 10])
def test_the_free_area_is_at_least_what_was_asked_for(share):
    """Common practice for media cabinets: 5 % of the back, half of it low and half high."""
    made = built(
        layout=[{**each, "holds": [{**VENTS, "share": share}]} if each["id"] == "b" else each for each in COLUMNS]
    )
    found = holes(made, "ventilation")
    (bay,) = [each for each in made.model.bays if each.key == "b"]
    area = (bay.high[0] - bay.low[0]) * (bay.high[2] - bay.low[2])
    assert sum(math.pi / 4 * each.diameter**2 for each in found) >= share / 100 * area
    middle = (bay.low[2] + bay.high[2]) / 2
    back = made.model.part("carcass/back")
    assert sum(back.place.point(each.at)[2] < middle for each in found) == len(found) / 2


def test_what_cannot_be_is_refused():
    """Too near the floor, too many, behind the wall, more air than there is room for: by name, value and limit."""
    assert "50" in refused("layout[0].holds[0].height", layout=layout({**CABLE, "height": 40}))
    refused("layout[0].holds[0].quantity", whole={"width": 380}, layout=layout({**CABLE, "quantity": 6}))
    assert "11" in refused(
        "layout[0].holds[0].grommet",
        layout=layout({**CABLE, "grommet": "grommet-60"}),
        site={"skirting": {"height": 0}},
    )
    refused("layout[0].holds[0].share", layout=layout({**VENTS, "share": 20, "diameter": 15}), whole={"height": 250})
    refused("layout[0].holds[1]", layout=layout(CABLE, CABLE))
    refused("layout[0].holds[1].height", layout=layout(CABLE, {**CABLE, "height": 130}))
