"""A rail from front to back: for compartments too shallow to hang coats across."""

import pytest
from pieces import built, keeps_every_rule, refused

SHALLOW = {"whole": {"width": 700, "height": 1900, "depth": 400}}
DOORS = {"fronts": [{"id": "doors", "kind": "pair", "closes": ["all"], "hanging": {"hinge": "hinge-butt-50"}}]}


def layout(**change):
    """The plain layout with a rail front to back."""
    return [{"id": "all", "holds": [{"style": "rail_front_to_back", **change}]}]


@pytest.mark.parametrize(
    "sections",
    [SHALLOW, {**SHALLOW, **DOORS}, {"whole": {"width": 700, "height": 1900, "depth": 600}}],
    ids=("open", "doors", "deep"),
)
def test_it_can_be_built(sections):
    """Open or behind doors; it clears the wall anchor."""
    keeps_every_rule(**sections, layout=layout())


def test_it_hangs_in_the_middle_seventy_below():
    """The tube's axis in the middle of the compartment, 70 below the top, 25 beyond each bracket."""
    made = built(**SHALLOW, layout=layout())
    (tube,) = [each for each in made.model.fittings if each.key.endswith("/tube")]
    assert tube.place.origin[0] == 0 and tube.place.x == (0, 1, 0)
    assert tube.place.origin[2] == pytest.approx(1900 - 18 - 70)
    assert "length 274" in tube.name  # 394 deep − 50 − 120 + 2 × 25


def test_what_cannot_be_is_refused():
    """Too narrow for coats, brackets too near together or into the wall anchor: by name, value and limit."""
    assert "480" in refused("layout[0].holds[0]", whole={"width": 500, "height": 1900}, layout=layout())
    refused("layout[0].holds[0].from_back", whole={"width": 700, "height": 1900, "depth": 300}, layout=layout())
    assert "110" in refused("layout[0].holds[0].from_back", **SHALLOW, layout=layout(from_back=60))
