"""Coat hooks: on a rail screwed from behind, evenly spread, with room before them."""

import pytest
from pieces import COLUMNS, box, built, keeps_every_rule, refused

TALL = {"whole": {"width": 900, "height": 2000, "depth": 400}}


def layout(**change):
    """The plain layout with hooks in the whole of it."""
    return [{"id": "all", "holds": [{"style": "hooks", **change}]}]


@pytest.mark.parametrize(
    "change", [{}, {"quantity": 3}, {"height": 1100, "apart": 150}, {"rail_board": "hardwood-20"}], ids=str
)
def test_it_can_be_built(change):
    """As many as fit, or as many as asked, at any height."""
    keeps_every_rule(**TALL, layout=layout(**change))


def test_it_fits_an_open_compartment_beside_an_upright():
    """In one of two columns."""
    keeps_every_rule(
        **TALL, layout=[{**each, "holds": [{"style": "hooks"}]} if each["id"] == "b" else each for each in COLUMNS]
    )


def test_as_many_as_find_room_120_apart():
    """864 clear less 60 at each side: 6 spaces of 120 and 7 hooks, spread evenly; the rail's middle at 1650."""
    made = built(**TALL, layout=layout())
    hooks = sorted(each.place.origin[0] for each in made.model.fittings if "hook." in each.key)
    assert len(hooks) == 7 and hooks[1] - hooks[0] == pytest.approx((864 - 120) / 6)
    assert sum(box(made, "all/hooks.1/rail")[:, 2]) / 2 == pytest.approx(1650)


def test_what_cannot_be_is_refused():
    """No room before the hooks, above the compartment, too many: by name, value and limit."""
    assert "60" in refused(
        "layout[0].holds[0].hook",
        whole={"width": 900, "height": 2000, "depth": 150},
        layout=layout(rail_board="oak-40"),
    )
    assert "1" in refused("layout[0].holds[0].height", layout=layout())
    assert "7" in refused("layout[0].holds[0].quantity", **TALL, layout=layout(quantity=9))
