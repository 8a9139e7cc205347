"""Biscuits, housings and screws: both parts are cut on one axis, fit each other, and what finds no room is refused."""

import itertools

import numpy as np
import pytest
from pieces import COLUMNS, FRAMED, keeps_every_rule, refused
from pieces import built as build_piece

from core.fastenings import biscuit_for
from core.model import Hole, Pocket

ROWS = [
    {"id": "all", "divided": "columns"},
    {"id": "a", "parent": "all", "order": 0, "divided": "rows", "size": {"fixed": 380}},
    {"id": "a1", "parent": "a", "order": 0, "size": {"fixed": 300}},
    {"id": "a2", "parent": "a", "order": 1, "size": {"rest": True}},
    {"id": "b", "parent": "all", "order": 1, "divided": "rows", "size": {"rest": True}},
    {"id": "b1", "parent": "b", "order": 0, "size": {"fixed": 420}},
    {"id": "b2", "parent": "b", "order": 1, "size": {"rest": True}},
]
CROSS = [
    {**each, "size": {"fixed": 300}} if each["id"] == "b1" else each for each in ROWS
]  # shelves meet the upright at one height
DOORS = [{"id": "d", "kind": "door", "closes": ["b"], "hanging": {"hand": "right", "hinge": "hinge-butt-50"}}]
JOINTS = [
    {"style": "biscuits"},
    {"style": "biscuits", "size": "10", "pitch": 120},
    {"style": "biscuits", "size": "0"},
    {"style": "housing"},
    {"style": "housing", "stopped": False},
    {"style": "housing", "depth": 4, "play": 0.2, "stop": 20},
    {"style": "screws"},
    {"style": "screws", "heads": "seen", "glued": False},
    {"style": "screws", "heads": "covered", "diameter": 5, "pitch": 150},
]


@pytest.mark.parametrize("joint", JOINTS, ids=str)
@pytest.mark.parametrize(
    "sections",
    [{}, {"layout": COLUMNS}, {"layout": ROWS, "fronts": DOORS}],
    ids=("plain", "columns", "rows behind a door"),
)
def test_every_joint_goes_into_every_carcass(joint, sections):
    """Sides, top, bottom, uprights and shelves at different heights, some set back behind a door."""
    keeps_every_rule(**sections, carcass={"joint": joint})


@pytest.mark.parametrize("joint", [{"style": "housing"}, {"style": "biscuits", "pitch": 300}], ids=str)
def test_boards_meet_one_from_both_sides(joint):
    """Two shelves at one height on both sides of an upright: slots between slots, housings back to back with wood between."""
    keeps_every_rule(layout=CROSS, carcass={"joint": joint})


@pytest.mark.parametrize("joint", [{"style": "housing"}, {"style": "biscuits"}], ids=str)
@pytest.mark.parametrize("support", ["stile_legs", "recessed_plinth", "tapered_legs"])
def test_it_stands_on_any_support(joint, support):
    """Joints that cut or lengthen the bottom leave room for what stands under it."""
    framed = {"side_panel": {**FRAMED["side_panel"], "stile_width": 70}}
    keeps_every_rule(carcass={"joint": joint, **framed}, support={"style": support})


@pytest.mark.parametrize("depth", [320, 450])
def test_a_row_that_two_boards_share_has_as_many_biscuits_as_leave_room_for_the_others(depth):
    """At the usual pitch: slots 64 long with 4 between them, so 136 from one of a board's own to the next, wider than 150 only where it must be."""
    made = keeps_every_rule(layout=CROSS, whole={"depth": depth}, carcass={"joint": {"style": "biscuits"}})
    upright = "carcass/upright.a+b"
    rows = {
        joint.second: sorted(each.at[1] for each in made.model.fasteners if each.key in joint.fasteners)
        for joint in made.model.joints
        if joint.kind == "biscuits" and joint.first == upright and "shelf" in joint.second
    }
    (one, other) = rows.values()
    both = sorted([*one, *other])
    assert len(one) + len(other) >= 3 and min(b - a for a, b in itertools.pairwise(both)) >= 68.0
    taking_turns = [place in one for place in both]
    assert all(a != b for a, b in itertools.pairwise(taking_turns))


# -------------------------------------------------------------------------------------------------------------- biscuits
@pytest.mark.parametrize(
    ("number", "long", "wide", "depth", "board"),
    [("0", 47, 15, 8.5, 9), ("10", 53, 19, 10.5, 12), ("20", 56, 23, 12.5, 18)],
)
def test_biscuits_have_the_published_sizes(number, long, wide, depth, board):
    """No. 0 47 × 15, no. 10 53 × 19 (a how-to page, read), no. 20 56 × 23 (from memory); slot depth half the width and 1."""
    biscuit = biscuit_for(board)
    assert (biscuit.name, biscuit.length, biscuit.width, biscuit.slot, biscuit.slot_depth) == (
        number,
        long,
        wide,
        4,
        depth,
    )


def test_both_slots_lie_on_one_axis():
    """In the assembled piece the two slots of a biscuit have one middle plane and one middle line, within 0.01 mm."""
    made = build_piece(carcass={"joint": {"style": "biscuits"}})
    middles = {}
    for key in ("carcass/side.left", "carcass/bottom"):
        part = made.model.part(key)
        slots = [each for each in part.shape.features if isinstance(each, Pocket) and each.kind == "slot"]
        middles[key] = np.array([np.mean(part.place.points(np.array((each.low, each.high))), axis=0) for each in slots])
    ends = {key: found[(found[:, 0] < 0) & (found[:, 2] < 100)] for key, found in middles.items()}
    mine, other = (found[np.argsort(found[:, 1])] for found in ends.values())
    assert len(mine) == len(other) == 4
    assert np.allclose(mine[:, 1:], other[:, 1:], atol=0.01)


def test_a_thin_face_gets_a_smaller_biscuit():
    """A slot leaves 2 mm of the face; a fixed number that does not is refused."""
    boards = [
        {"id": "mdf-18", "material": "mdf", "thickness": 12},
        {"id": "mdf-6", "material": "mdf", "thickness": 4},
        {"id": "softwood-28", "material": "pine", "thickness": 28},
    ]
    small = {
        "boards": [*boards, {"id": "hardwood-20", "material": "beech", "thickness": 20}],
        "carcass": {"joint": {"style": "biscuits"}, "back": {"rebate_width": 6}, "stiffeners": {"anchor_rails": False}},
        "whole": {"width": 500, "height": 500, "depth": 300},
        "support": {"style": "recessed_plinth"},
    }
    made = build_piece(**small)
    assert {each.name for each in made.model.fasteners if each.kind == "biscuit"} == {"biscuit 0, 47 × 15"}
    assert "12.5" in refused(
        "carcass.joint.size", **{**small, "carcass": {**small["carcass"], "joint": {"style": "biscuits", "size": "20"}}}
    )


# --------------------------------------------------------------------------------------------------------------- housing
def test_a_shelf_is_longer_by_both_housings():
    """Shelf length = clear + 2 × depth − 0.5."""
    plain, housed = (
        build_piece(layout=ROWS, carcass={"joint": joint})
        for joint in ({"style": "dowels"}, {"style": "housing", "depth": 6})
    )
    for key in ("carcass/shelf.a1+a2", "carcass/upright.a+b", "carcass/top"):
        assert housed.model.part(key).size[0] == pytest.approx(plain.model.part(key).size[0] + 2 * 6 - 0.5)


def test_a_stopped_housing_does_not_show():
    """It begins 10 mm behind the front, and the shelf's corners are notched as far; a through one begins at the front."""
    for stopped, begins in ((True, 10.0), (False, 0.0)):
        made = build_piece(layout=ROWS, carcass={"joint": {"style": "housing", "stopped": stopped}})
        side = made.model.part("carcass/side.left")
        housings = [
            side.place.points(np.array((each.low, each.high)))
            for each in side.shape.features
            if isinstance(each, Pocket) and each.kind == "housing"
        ]
        assert {round(float(each[:, 1].min()) + 450, 3) for each in housings} == {begins}
        notches = [
            each
            for each in made.model.part("carcass/shelf.a1+a2").shape.features
            if isinstance(each, Pocket) and each.kind == "notch"
        ]
        assert len(notches) == (2 if stopped else 0)


# ---------------------------------------------------------------------------------------------------------------- screws
def test_screws_keep_off_the_corners_of_fibreboard():
    """First screw at least 70 mm from the corner (mdf-info.eu, read); pilot 3.0 and clearance 4.2 for 4 mm."""
    made = build_piece(carcass={"joint": {"style": "screws", "heads": "seen"}})
    bottom = made.model.part("carcass/bottom")
    pilots = [
        each
        for each in bottom.shape.features
        if isinstance(each, Hole) and each.purpose.startswith("pilot for screw 4 ×") and abs(each.into[0]) > 0.5
    ]
    assert pilots and all(each.diameter == 3.0 and 70 <= each.at[1] <= bottom.size[1] - 70 for each in pilots)
    side = made.model.part("carcass/side.left")
    assert {
        each.diameter
        for each in side.shape.features
        if isinstance(each, Hole) and each.purpose.startswith("clearance for screw 4 ×")
    } == {4.2}


def test_plugs_stand_over_the_heads():
    """Every plugged screw has its plug on its axis, and the screw begins below it."""
    made = build_piece(carcass={"joint": {"style": "screws"}})
    screws = [each for each in made.model.fasteners if each.purpose == "joint screw"]
    plugs = [each for each in made.model.fasteners if each.purpose == "screw plug"]
    assert len(screws) == len(plugs) > 0
    for screw in screws:
        assert any(
            np.allclose(np.add(plug.at, np.multiply(plug.along, plug.length)), screw.at, atol=1e-6) for plug in plugs
        )


# --------------------------------------------------------------------------------------------------------------- refused
def test_what_cannot_be_is_refused():
    """By name, value and limit."""
    assert '"screws"' in refused("carcass.joint.style", carcass={"joint": {"style": "screws"}, **FRAMED})
    assert '"screws"' in refused("carcass.joint.style", layout=CROSS, carcass={"joint": {"style": "screws"}})
    assert "9 mm" in refused("carcass.joint.depth", carcass={"joint": {"style": "housing", "depth": 12}})
    assert "6.5" in refused("carcass.joint.depth", layout=CROSS, carcass={"joint": {"style": "housing", "depth": 8}})
    narrow = {"style": "biscuits", "from_ends": 90}
    assert "136" in refused("carcass.joint.from_ends", layout=CROSS, whole={"depth": 300}, carcass={"joint": narrow})
