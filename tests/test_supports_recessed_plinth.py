"""The plinth stands on the floor, carries the bottom under every upright, and is set back as asked."""

import numpy as np
import pytest
from pieces import COLUMNS, any_carcass, box, built, keeps_every_rule, refused

STYLE = {"style": "recessed_plinth"}


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"corner": "mitred"},
        {"set_back": 0, "rear_set_in": 0},
        {"side_set_in": 20, "height": 60},
        {"board": "hardwood-20", "height": 150},
    ],
    ids=str,
)
@any_carcass
def test_it_can_be_built(sections, change):
    """Every corner and set-back gives a closed frame that touches what it should and nothing else."""
    keeps_every_rule(**sections, support={**STYLE, **change})


def test_it_is_set_back_as_asked():
    """Front 45 behind the carcass front, rear 10 before the back plane, sides flush, height floor to bottom."""
    made = built(support=STYLE)
    assert np.allclose(box(made, "plinth/"), [[-450, -405, 0], [450, -10, 100]])


def test_a_bearer_stands_under_every_upright():
    """An upright must stand over a support: a bearer has its middle where the upright has its."""
    made = built(layout=COLUMNS, support={**STYLE, "bearers_apart": 1500})
    (upright,) = [key for key in made.boxes if "upright" in key]
    (bearer,) = [key for key in made.boxes if "bearer" in key]
    assert made.boxes[upright][0][0] == pytest.approx(made.boxes[bearer][0][0])
    assert made.boxes[bearer][1][2] == pytest.approx(made.boxes["carcass/bottom"][0][2])


@pytest.mark.parametrize("width, bearers", [(600, 0), (1200, 1), (1800, 2)])
def test_a_long_bottom_gets_more_bearers(width, bearers):
    """No stretch of bottom is longer than 600 between bearers."""
    made = built(whole={"width": width}, support=STYLE)
    assert sum("bearer" in key for key in made.boxes) == bearers


def test_what_cannot_be_is_refused():
    """A plinth with no room inside, or lower than its battens, is refused by name, value and limit."""
    assert "60" in refused("support.set_back", whole={"depth": 250}, support={**STYLE, "set_back": 80})
    assert "50" in refused("support.height", support={**STYLE, "height": 40, "batten_board": "oak-40"})
    refused("support.board", support={**STYLE, "board": "nothing"})
