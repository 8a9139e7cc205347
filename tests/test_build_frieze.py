"""A frieze: flat boards on edge round the carcass between its top and the moulding."""

from __future__ import annotations

import dataclasses
import json

import numpy as np
import pytest
from pieces import FRAMED, PLAIN, built, keeps_every_rule, refused

from core import build
from core.built import build_job, revision_of
from core.changing import changed
from core.model import Cut
from core.piece import loads
from core.piece.job import Job, JobItem
from core.starters import starter_text

LOOSE, SPRUNG = {"style": "loose_cornice"}, {"style": "sprung_cornice"}
DRIVER = 12.5  # mm about a screw that a driver needs; common practice, no source


def cupboard(height: float = 1900.0, **top: object):
    data = json.loads(starter_text("coat_cupboard"))
    data["whole"]["height"] = height
    data["top"].update(top)
    return loads(json.dumps(data))


@pytest.mark.parametrize(
    "top",
    [
        {**LOOSE, "frieze": 60},
        {**LOOSE, "frieze": 57.5, "frieze_later": True, "lip_drop": 0},
        {**LOOSE, "frieze": 120, "stops_short": 100, "block": 90},
        {**SPRUNG, "frieze": 90},
        {**SPRUNG, "frieze": 80, "stops_short": 60, "block": 90},
    ],
)
def test_a_frieze_keeps_every_rule(top):
    """Closed, nothing runs into anything, mating holes on one axis, held together down to the floor, in the mirror image too."""
    model = keeps_every_rule(top=top, carcass=FRAMED).model
    assert {part.key for part in model.parts if part.role == "frieze"} == {
        "frieze/front",
        "frieze/return.left",
        "frieze/return.right",
    }


def test_it_stands_flush_with_the_carcass_and_is_mitred_at_the_front():
    """Rule book, W29 and B14: front and returns continue the faces of carcass and side frames, as high as asked, and meet in mitres."""
    made = built(top={**LOOSE, "frieze": 64}, carcass=FRAMED)
    low, high = np.array(made.boxes["frieze/front"])
    width, depth, top = made.model.carcass
    assert [low[0], high[0], low[1], low[2], high[2]] == pytest.approx([-width / 2, width / 2, -depth, top, top + 64])
    for side, face in (("left", 0), ("right", 1)):
        box = np.array(made.boxes[f"frieze/return.{side}"])
        assert box[face][0] == pytest.approx((-width / 2, width / 2)[face])
        assert [box[0][1], box[1][1], box[1][2]] == pytest.approx([-depth, 0.0, top + 64])
    cuts = [
        each
        for part in made.model.parts
        if part.role == "frieze"
        for each in part.shape.features
        if isinstance(each, Cut)
    ]
    assert [each.angle for each in cuts] == [45.0] * 4


def test_higher_by_a_frieze_the_carcass_and_the_moulding_stay_as_they_are():
    """Rule book, W29: what is cut is kept; every part of before but the carcass top, bored for other screws, is the same, in its place or
    higher."""
    before, after = build(cupboard()), build(cupboard(1960.0, frieze=60.0, frieze_later=True))
    assert after.overall[2] == before.overall[2] + 60 and after.carcass == before.carcass
    for part in before.parts:
        now = after.part(part.key)
        early = [[f for f in each.shape.features if f.when.stage != "on site"] for each in (part, now)]
        assert part.size == now.size, part.key
        if not part.key.startswith(("cornice/front", "cornice/return")):  # bored from beneath on the bench now
            assert early[0] == early[1], part.key
        assert now.place.origin[2] - part.place.origin[2] == (60.0 if part.key.startswith("cornice/") else 0.0)


def test_shown_widths_match_under_a_frieze():
    """Rule book, D4: a lip over the frieze hides nothing of the sides, so their top rails are narrower by it than under the lip."""
    under_lip, under_frieze = build(cupboard()), build(cupboard(frieze=60.0))
    widths = [model.part("side.left/rail.top").size[1] for model in (under_lip, under_frieze)]
    assert widths[0] - widths[1] == pytest.approx(cupboard().top.lip_drop)


@pytest.mark.parametrize("style", [LOOSE, SPRUNG])
@pytest.mark.parametrize("wide", [520.0, 900.0, 1700.0])
def test_a_driver_reaches_every_screw_up_into_the_moulding(style, wide):
    """Rule book, K3: on the bench, from beneath; nothing of the frieze stands within 12.5 mm of a screw's axis under its head."""
    made = built(top={**style, "frieze": 70, "block": 90}, whole={"width": wide})
    screws = [each for each in made.model.fasteners if each.purpose == "moulding screw"]
    assert {each.parts[1].rsplit("/", 1)[-1].removeprefix("backing.") for each in screws} >= {"front"}
    assert len(screws) >= 4 and len({each.parts[0] for each in screws}) == 3
    for screw in screws:
        for key, (low, high) in made.boxes.items():
            if key.startswith("frieze/") and high[2] <= screw.at[2] + 0.01:
                beside = any(
                    low[axis] - DRIVER >= screw.at[axis] or high[axis] + DRIVER <= screw.at[axis] for axis in (0, 1)
                )
                assert beside, f"{key} is under {screw.key}"


def test_it_is_held_down_from_inside():
    """Rule book, W4: screws through the carcass top into tie, corner blocks and blocks behind a long front; none into what lies over a side."""
    model = build(cupboard(1960.0, frieze=60.0))
    into = [each.parts[1] for each in model.fasteners if each.purpose == "frieze screw"]
    assert set(into) == {
        "frieze/tie", "frieze/block.left", "frieze/block.right", "frieze/foot.left.1", "frieze/foot.right.1"
    }  # fmt: skip
    assert not [each for each in model.fasteners if each.purpose == "cornice screw"]


def test_what_cannot_be_made_is_refused_with_the_way_out():
    """Too low for a fillet over a block; too thick under a narrow moulding; no room between block and tie; a foot behind the frieze."""
    assert "at least 56 mm" in refused("top.frieze", top={**LOOSE, "frieze": 40})
    assert "5 mm more of the moulding" in refused(
        "top.frieze_board", top={**LOOSE, "frieze": 60, "frieze_board": "oak-25", "member_width": 66}
    )
    assert "at least 15 mm" in refused("top.frieze_board", top={**LOOSE, "frieze": 60, "frieze_board": "mdf-9"})
    assert "at most" in refused("top.block", top={**LOOSE, "frieze": 60, "block": 110}, whole={"depth": 240})
    boards = [{**each, "thickness": 40.0} if each["id"] == "softwood-28" else each for each in PLAIN["boards"]]
    top = {**SPRUNG, "frieze": 120, "frieze_board": "oak-40"}  # no dowel is listed for a backing and a frieze of 40 mm
    assert "to below 30 mm" in refused("top.backing_board", top=top, boards=boards, whole={"depth": 600})
    assert "at most 13 mm" in refused("top.set_in", top={**SPRUNG, "frieze": 60, "set_in": 14})


def test_asked_for_60_more_a_frieze_is_offered_by_name():
    """Rule book, W29: with all of it made, longer legs or a frieze; the frieze loses nothing that is made but adds to it."""
    first = build_job(Job("job", items=(JobItem(piece=cupboard()),)))
    marks = list(first.marks.values())
    since = dataclasses.replace(revision_of(first), ticks={mark: (marks.count(mark),) * 3 + (0,) for mark in marks})
    found = changed(build_job(Job("job", items=(JobItem(piece=cupboard(1960.0)),)), since=since))
    ways = {way.words: way for way in found.pieces[0].other_ways}
    assert set(ways) == {"60 more under the carcass (210 instead of 150)", "a frieze 60 high under the moulding"}
    frieze = ways["a frieze 60 high under the moulding"]
    assert frieze.piece.top.frieze == 60 and frieze.piece.top.frieze_later and frieze.lost == 0.0 < found.saving.lost
    assert next(iter(ways.values())) is frieze  # the least lost first
    again = changed(build_job(Job("job", items=(JobItem(piece=frieze.piece),)), since=since))
    assert [use.made.key for use in again.saving.kept if "carcass/side" in use.key]
