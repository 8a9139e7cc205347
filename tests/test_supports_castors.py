"""Castors stand on the floor, under the bottom and clear of the dowels in it."""

import numpy as np
import pytest
from pieces import COLUMNS, FRAMED, box, built, keeps_every_rule, refused

STYLE = {"style": "castors"}


@pytest.mark.parametrize(
    "sections",
    [{}, {"layout": COLUMNS}, {"carcass": FRAMED}, {"whole": {"width": 400, "height": 620, "depth": 560}}],
    ids=("plain", "columns", "framed", "pedestal"),
)
def test_it_can_be_built(sections):
    """Closed, standing on the wheels, screws no longer than the bottom allows."""
    made = keeps_every_rule(**sections, support=STYLE)
    assert np.allclose(box(made, "carcass/castor")[0][2], 0)
    assert box(made, "carcass/bottom")[0][2] == pytest.approx(70)


def test_screws_stay_in_the_bottom():
    """4 × 16 from 2.5 below: 13.5 in a bottom of 18; its point stays 3 mm short of the top face."""
    made = built(support=STYLE)
    screws = [each for each in made.model.fasteners if each.purpose == "castor screw"]
    assert len(screws) == 16 and {each.name for each in screws} == {"screw 4 × 16"}
    assert all(each.at[2] + each.length <= 70 + 18 - 3 + 1e-9 for each in screws)


def test_those_with_a_brake_stand_at_the_front():
    """Two of each are bought: where a foot finds the brake, the same castor with one."""
    castors = [each for each in built(support=STYLE).model.fittings if "/castor." in each.key]
    at_front = {each.key for each in castors if each.key.endswith(".front")}
    assert {each.key for each in castors if each.entry == "castor-50-braked"} == at_front and len(at_front) == 2
    assert {each.entry for each in castors} == {"castor-50", "castor-50-braked"}


def test_what_cannot_be_is_refused():
    """Wheels that meet as they turn, what is not a castor: by name, value and limit."""
    assert "110" in refused("support.inset", whole={"width": 240}, support={**STYLE, "inset": 60})
    refused("support.castor", support={**STYLE, "castor": "glide-25"})
