"""Levelling feet: blocks under the bottom, a foot in each, more under uprights and in wide pieces."""

import numpy as np
import pytest
from pieces import COLUMNS, FRAMED, box, built, keeps_every_rule, refused

STYLE = {"style": "levelling_feet"}


@pytest.mark.parametrize("change", [{}, {"block_board": "oak-40"}, {"block": 70, "inset": 60}], ids=str)
@pytest.mark.parametrize(
    "sections",
    [{}, {"layout": COLUMNS}, {"carcass": FRAMED}, {"whole": {"width": 2200, "depth": 600}}],
    ids=("plain", "columns", "framed", "wide"),
)
def test_it_can_be_built(sections, change):
    """Every block and inset gives feet on the floor and screws clear of dowels."""
    keeps_every_rule(**sections, support={**STYLE, **change})


@pytest.mark.parametrize("joint", ["dowels", "housing"])
def test_a_block_under_an_upright_is_screwed_beside_its_housing(joint):
    """A housing runs the whole depth over the block: its two screws stand at either side; under dowels one before the other."""
    made = keeps_every_rule(layout=COLUMNS, carcass={"joint": {"style": joint}}, support=STYLE)
    (low, high) = made.boxes[next(key for key in made.boxes if key.startswith("carcass/upright"))]
    under = [
        each.at
        for each in made.model.fasteners
        if each.purpose == "fixing screw" and low[0] - 40 < each.at[0] < high[0] + 40
    ]
    assert len(under) >= 4
    assert all((low[0] < at[0] < high[0]) == (joint == "dowels") for at in under)


def test_the_height_is_that_of_foot_and_block():
    """16 of foot and 28 of block as measured: the carcass begins at 44."""
    made = built(support=STYLE)
    assert box(made, "carcass/bottom")[0][2] == pytest.approx(44)
    assert np.allclose(box(made, "feet/foot")[0][2], 0)


@pytest.mark.parametrize("width, pairs", [(900, 2), (1100, 3), (2200, 4)])
def test_a_wide_piece_has_more_pairs(width, pairs):
    """No two pairs of feet are more than 900 apart."""
    made = built(whole={"width": width}, support=STYLE)
    assert sum("feet/foot" in key for key in made.boxes) == 2 * pairs


def test_what_cannot_be_is_refused():
    """A block too thin for the thread, feet beyond the bottom or into each other: by name, value and limit."""
    assert "20" in refused("support.block_board", support={**STYLE, "block_board": "birch-ply-15"})
    refused("support.inset", whole={"depth": 250}, support={**STYLE, "inset": 60})
    refused("support.foot", support={**STYLE, "foot": "glide-25"})


def test_blocks_are_glued_as_they_are_said_to_be():
    """All of each block's top, 90 × 90, is glued and screwed up to the bottom."""
    made = built(support=STYLE)
    joints = [each for each in made.model.joints if each.second.startswith("feet/block")]
    assert len(joints) == 4
    assert all(each.kind == "glue and screws" and each.glue_area == pytest.approx(8100) for each in joints)
