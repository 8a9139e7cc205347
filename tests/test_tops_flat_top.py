"""The flat top: as large as asked with its overhang, chamfered beneath, screwed from inside, solid wood free to move."""

import math

import numpy as np
import pytest
from pieces import CARCASSES, box, built, found, keeps_every_rule, refused

from core.build.moving import slot_length
from core.checks.deflection import fixed_shelves
from core.materials import material
from core.model import Cut, Hole, Pocket

STYLE = {"style": "flat_top"}
DOORS = {
    "layout": [{"id": "all"}],
    "fronts": [{"id": "doors", "kind": "pair", "closes": ["all"], "hanging": {"hinge": "hinge-butt-50"}}],
    "whole": {"width": 900, "height": 800},
}


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"board": "mdf-18"},
        {"front": 0, "side": 0},
        {"chamfer_in": 15, "chamfer_up": 12},
        {"board": "oak-40", "screws_apart": 150},
    ],
    ids=str,
)
@pytest.mark.parametrize("sections", [*CARCASSES.values(), DOORS], ids=[*CARCASSES, "doors"])
def test_it_can_be_built(sections, change):
    """Sheet or solid, with any overhang, over any carcass."""
    keeps_every_rule(**sections, top={**STYLE, **change})


def test_overall_counts_the_overhang():
    """900 × 450 over the top with 20 at front and sides: the carcass is 860 × 430, its rear flush."""
    made = built(top=STYLE)
    assert np.allclose(box(made, "top/"), [[-450, -450, 875], [450, 0, 900]])
    assert made.model.carcass == pytest.approx((860, 430, 875))


def test_slots_are_long_enough_for_the_season():
    """Wood Handbook: 560 of flat-sawn white oak moves 560 × 0.00365 × 4 = 8.2; a slot is the clearance and that, at least 15."""
    assert slot_length(material("oak"), 560, 4, 4.2) == 15.0
    assert slot_length(material("oak"), 1000, 4, 4.2) == math.ceil(4.2 + 1000 * 0.00365 * 4)
    made = built(top=STYLE, whole={"depth": 600})
    slots = [
        each
        for each in made.model.part("carcass/top").shape.features
        if isinstance(each, Pocket) and each.kind == "slot"
    ]
    assert slots
    for slot in slots:
        long, wide = slot.high[1] - slot.low[1], slot.high[0] - slot.low[0]
        assert long >= 15 and wide == pytest.approx(5)  # they run across the grain, front to back
    assert "8.8 mm" in made.model.part("top/board").notes[0]
    assert not [each for each in found(made) if each.check == "wood moving"]


def test_the_front_is_held_fast_and_a_sheet_everywhere():
    """The front row of a solid top has round holes; a sheet has no slot at all."""
    solid, sheet = built(top=STYLE), built(top={**STYLE, "board": "mdf-18"})
    screws = [each for each in solid.model.fasteners if each.purpose == "top screw"]
    slots = [
        each
        for each in solid.model.part("carcass/top").shape.features
        if isinstance(each, Pocket) and each.kind == "slot"
    ]
    front = min(each.at[1] for each in screws)
    assert len(slots) == sum(each.at[1] > front + 1 for each in screws) > 0
    assert not [each for each in sheet.model.part("carcass/top").shape.features if isinstance(each, Pocket)]


def test_a_chamfer_leaves_the_carcass_covered():
    """15 in and 12 up: sawn on edge, the blade at atan(12 / 15) = 38.7°, as no blade tilts by 51.3°; the underside still covers the carcass."""
    made = built(top={**STYLE, "chamfer_in": 15, "chamfer_up": 12})
    cuts = [each for each in made.model.part("top/board").shape.features if isinstance(each, Cut)]
    assert len(cuts) == 3 and all(each.angle == pytest.approx(math.degrees(math.atan2(12, 15))) for each in cuts)
    vertices = made.meshes["top/board"].vertices
    under = vertices[np.isclose(vertices[:, 2], vertices[:, 2].min())]
    assert np.allclose((under[:, 0].min(), under[:, 0].max(), under[:, 1].min()), (-435, 435, -435))


def test_what_cannot_be_is_refused():
    """A chamfer wider than the overhang, deeper than the edge, or half given: by name, value and limit."""
    assert "20" in refused("top.chamfer_in", top={**STYLE, "chamfer_in": 25, "chamfer_up": 10})
    assert "19" in refused("top.chamfer_up", top={**STYLE, "chamfer_in": 10, "chamfer_up": 20})
    refused("top.chamfer_up", top={**STYLE, "chamfer_in": 10})
    refused("top.board", top={**STYLE, "board": "nothing"})


def test_it_shares_the_load_of_the_carcass_top():
    """Two boards screwed together bend as one after the other: 18 of MDF and 25 of oak sag less by the sum of their EI."""
    bare, topped = built(whole={"basis": "carcass"}), built(whole={"basis": "carcass"}, top=STYLE)
    (one,), (two,) = (
        [each for each in fixed_shelves(made.piece, made.model) if each.part.key == "carcass/top"]
        for made in (bare, topped)
    )
    mdf, oak = 2500 * 18**3, 12000 * 25**3 * 450 / 444  # E × t³; the top is a little deeper than the carcass top
    assert two.now == pytest.approx(one.now * mdf / (mdf + oak), rel=0.05)


def test_what_the_screws_go_through_is_made_in_the_part():
    """Round holes and slots of the carcass top are made before it is glued up; what they hold is marked through them."""
    made = built(top=STYLE)
    through = [
        each
        for each in made.model.part("carcass/top").shape.features
        if "slot" in each.purpose or "clearance" in each.purpose
    ]
    assert {isinstance(each, Pocket) for each in through} == {True, False}
    assert {each.when.stage for each in through} == {"in the part"}
    pilots = [each for each in made.model.part("top/board").shape.features if isinstance(each, Hole)]
    assert pilots and {each.when.stage for each in pilots} == {"at fitting"}
