"""The hinged lid: a chest without a carcass top, a finger gap, hinges in the back's edge, stays that stop the lid where asked."""

import math

import numpy as np
import pytest
from pieces import FRAMED, box, built, found, keeps_every_rule, refused

from core.checks.tipping import turned
from core.model import Pocket

STYLE = {"style": "hinged_lid"}
CHEST = {
    "whole": {"width": 1100, "height": 480, "depth": 500},
    "carcass": {"back": {"board": "mdf-18", "rebate_depth": 18}},
}
DRAWER_BELOW = {
    "layout": [
        {"id": "all", "divided": "rows"},
        {"id": "low", "parent": "all", "order": 0, "size": {"fixed": 160}},
        {"id": "high", "parent": "all", "order": 1, "size": {"rest": True}},
    ],
    "fronts": [{"id": "drawer", "kind": "drawer", "closes": ["low"], "drawer": {"runner": "runner-wide-400"}}],
    "whole": {"width": 700, "height": 620, "depth": 520},
    "carcass": CHEST["carcass"],
}


@pytest.mark.parametrize(
    "change",
    [
        {},
        {"hinge": "hinge-butt-65"},
        {"board": "oak-25", "battens": 3},
        {"stay": "", "battens": 0},
        {"front": 0, "side": 0, "finger_gap": 20},
        {"opens": 90},
    ],
    ids=str,
)
@pytest.mark.parametrize(
    "sections",
    [
        CHEST,
        {**CHEST, "carcass": {**CHEST["carcass"], **FRAMED}},
        {**CHEST, "support": {"style": "recessed_plinth"}},
        DRAWER_BELOW,
    ],
    ids=("plain", "framed", "plinth", "drawer below"),
)
def test_it_can_be_built(sections, change):
    """Every hinge, lid and carcass; nothing meets anything as the lid opens."""
    keeps_every_rule(**sections, top={**STYLE, **change})


def test_overall_is_over_the_shut_lid():
    """1100 × 500 × 480 over the lid, its rear flush with the back; 1.5 of pads between lid and sides."""
    made = built(**CHEST, top=STYLE)
    assert np.allclose(box(made, "lid/panel"), [[-550, -500, 462], [550, 0, 480]])
    assert box(made, "carcass/side.left")[1][2] == pytest.approx(460.5)
    assert "carcass/top" not in made.boxes


def test_a_finger_has_room_under_the_lid():
    """The front ends 12 below the shut lid; less is refused."""
    made = built(**CHEST, top=STYLE)
    assert box(made, "lid/panel")[0][2] - box(made, "carcass/front")[1][2] == pytest.approx(12)
    assert "12" in refused("top.finger_gap", **CHEST, top={**STYLE, "finger_gap": 8})


def test_the_lid_opens_upward_and_says_how_far_behind_it_reaches():
    """It turns about the pin behind the back until the front edge stands up, 100° on; the foremost corner is behind the back then."""
    made = built(**CHEST, top=STYLE)
    (motion,) = made.model.motions
    assert motion.reach == 100 and motion.through[1] > 0
    corner = turned((0.0, -500.0, 480.0), motion, 100.0)
    assert corner[2] == pytest.approx(
        motion.through[2] + 502 * math.sin(math.radians(100)) + (480 - motion.through[2]) * math.cos(math.radians(100)),
        abs=0.01,
    )
    (lid,) = [each for each in made.model.assemblies if each.key == "lid"]
    assert f"{corner[1]:.0f} mm behind the back" in lid.notes[1]


def test_hinge_leaves_are_let_in_by_half_of_what_the_hinge_is_thicker_than_the_gap():
    """(3.0 − 1.5) / 2 = 0.75 in the back's edge and in the lid."""
    made = built(**CHEST, top=STYLE)
    for key, _thick in (("carcass/back", 0), ("lid/panel", 2)):
        (recess,) = [
            each for each in made.model.part(key).shape.features if isinstance(each, Pocket) and each.kind == "recess"
        ]
        deep = min(b - a for a, b in zip(recess.low, recess.high))
        assert deep == pytest.approx(0.75 + 1.0)  # it begins 1 outside the wood


def test_stays_are_stretched_when_the_lid_stands_open():
    """From the pivot on the side to its other end, which has turned with the lid, it is 220."""
    made = built(**CHEST, top=STYLE)
    (motion,) = made.model.motions
    for side in ("left", "right"):
        (stay,) = [each for each in made.model.fittings if each.key == f"lid/stay.{side}"]
        x, y, z = stay.place.origin
        assert math.dist((x, y, z), turned((x, y, z + 30), motion, 100.0)) == pytest.approx(220, abs=0.2)


def test_what_cannot_be_is_refused():
    """A back too thin, uprights under the lid, a door where the front is, a chest too shallow for its stays: by name, value and limit."""
    assert "15 mm" in refused("top.hinge", top=STYLE)
    refused(
        "layout[0].divided",
        **{
            **CHEST,
            "layout": [
                {"id": "all", "divided": "columns"},
                {"id": "a", "parent": "all"},
                {"id": "b", "parent": "all", "order": 1},
            ],
        },
        top=STYLE,
    )
    refused(
        "top.style",
        **CHEST,
        top=STYLE,
        fronts=[{"id": "doors", "kind": "drawer", "closes": ["all"], "drawer": {"runner": "runner-wide-400"}}],
    )
    refused("top.stay", **{**CHEST, "whole": {"width": 900, "height": 400, "depth": 260}}, top={**STYLE, "battens": 0})
    refused(
        "top.battens", **{**CHEST, "whole": {"width": 300, "height": 400, "depth": 400}}, top={**STYLE, "battens": 4}
    )


def test_solid_lids_are_free_on_their_battens():
    """Slots in the battens, but for the middle screw; no finding that the wood is held."""
    made = built(**CHEST, top={**STYLE, "board": "oak-25"})
    slots = [
        each
        for each in made.model.part("lid/batten.left.1").shape.features
        if isinstance(each, Pocket) and each.kind == "slot"
    ]
    assert slots and not [each for each in found(made) if each.check == "wood moving"]
