"""The shoe rack: sloping shelves on sloping bearers, within their compartment."""

import math

import pytest
from pieces import COLUMNS, box, built, keeps_every_rule, refused


def layout(**change):
    """The plain layout with a shoe rack."""
    return [{"id": "all", "holds": [{"style": "shoe_rack", **change}]}]


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"slope": 0},
        {"slope": 30, "depth": 250},
        {"quantity": 4, "pitch": 160, "board": "birch-ply-15"},
        {"first": 200, "bearer_width": 40},
    ],
    ids=str,
)
def test_it_can_be_built(change):
    """Every slope and number, screws and all."""
    keeps_every_rule(layout=layout(**change))


def test_two_racks_on_one_upright():
    """The second's screws give way to the first's."""
    keeps_every_rule(
        layout=[{**each, "holds": [{"style": "shoe_rack"}]} if each["id"] != "all" else each for each in COLUMNS],
        whole={"width": 1000},
    )


def test_shelves_slope_as_asked():
    """300 at 15° rises 300 sin 15° = 77.6 from the lower front edge; nothing stands before the set-back."""
    made = built(layout=layout())
    shelf = made.model.part("all/shoes.1/tier.1/shelf")
    low, rear = shelf.place.point((0, 0, 0)), shelf.place.point((0, 300, 0))
    assert rear[2] - low[2] == pytest.approx(300 * math.sin(math.radians(15)), abs=1e-4)
    assert low[2] == pytest.approx(23 + 60)
    assert box(made, "all/shoes")[0][1] == pytest.approx(-450 + 12, abs=0.01)


def test_what_cannot_be_is_refused():
    """Too deep, too many, too low for its bearers: by name, value and limit."""
    assert "too deep" in refused("layout[0].holds[0].depth", whole={"depth": 280}, layout=layout())
    refused("layout[0].holds[0].quantity", layout=layout(quantity=6))
    assert "65" in refused("layout[0].holds[0].first", layout=layout(bearer_width=60))
