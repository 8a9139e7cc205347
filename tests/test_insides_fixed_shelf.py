"""A fixed shelf lies on bearers that are screwed to walls and back, and holds even where its neighbour's screws are."""

import numpy as np
import pytest
from pieces import COLUMNS, box, built, keeps_every_rule, refused


def layout(**change):
    """The plain layout with a fixed shelf in the whole of it."""
    return [{"id": "all", "holds": [{"style": "fixed_shelf", **change}]}]


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"rear_bearer": False},
        {"board": "oak-25"},
        {"height": 600, "set_back": 40},
        {"bearer_width": 45, "bearer_board": "softwood-28"},
    ],
    ids=str,
)
def test_it_can_be_built(change):
    """With and without a rear bearer, of sheet or solid wood."""
    keeps_every_rule(layout=layout(**change))


def test_it_lies_at_the_height_asked_for():
    """Underside 300 above the floor of the compartment, on three bearers; the bearers 20 short of its front edge."""
    made = built(layout=layout())
    floor = box(made, "carcass/bottom")[1][2]
    shelf, side = box(made, "all/fixed_shelf.1/shelf"), box(made, "all/fixed_shelf.1/bearer.left")
    assert shelf[0][2] == pytest.approx(floor + 300) == box(made, "all/fixed_shelf.1/bearer")[1][2]
    assert side[0][1] - shelf[0][1] == pytest.approx(20)
    assert np.isclose(shelf[1][0] - shelf[0][0], 900 - 36 - 1)


def test_two_shelves_on_one_upright_do_not_share_their_screws():
    """Bearers at one height on both faces of an upright: the second's screws give way to the first's."""
    columns = [
        {**each, "holds": [{"style": "fixed_shelf", "height": 300}]} if each["id"] != "all" else each
        for each in COLUMNS
    ]
    made = keeps_every_rule(layout=columns)
    into = [each for each in made.model.fasteners if each.purpose == "bearer screw" and "upright" in each.parts[1]]
    assert len(into) == 6
    left, right = ({round(each.at[1], 1) for each in into if each.along[0] * way > 0} for way in (1, -1))
    assert min(abs(a - b) for a in left for b in right) > 5


def test_what_cannot_be_is_refused():
    """Too high, too shallow, into another shelf: by name, value and limit."""
    assert "between 60" in refused("layout[0].holds[0].height", layout=layout(height=900))
    refused("layout[0].holds[0].set_back", layout=layout(set_back=380))
    two = [{"id": "all", "holds": [{"style": "fixed_shelf"}, {"style": "fixed_shelf", "height": 310}]}]
    refused("layout[0].holds[1].height", layout=two)
