"""An interlock behind a stack of drawers: one comes out at a time, and the piece is reckoned so."""

from __future__ import annotations

from typing import Any

import pytest
from pieces import built, data, found, keeps_every_rule, refused
from test_drawers import bank, cupboard

from core.built import build_job
from core.checks.tipping import CHILD, OPEN_EMPTY, OPEN_TOGETHER, TOGETHER_EMPTY, states
from core.mechanics import GRAVITY, holding_moment
from core.pages.handover import ENTRY as HANDOVER
from core.piece.job import Job, JobItem
from core.weights import weights_of

BAR = {"interlock": "interlock-bar", "runner": "runner-400"}
UNDER = {"runs_on": {"style": "under_mounted", "pair": "runner-under-400"}}
WHERE = "fronts[0].drawer.interlock"


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("drawer", [BAR, {**BAR, **UNDER}, {**BAR, "corners": {"style": "lapped_dovetails"}}])
def test_a_stack_with_an_interlock_keeps_every_rule(hand, drawer):
    """Rule book, G12: a bar on one wall, a trip and a striker for each drawer; nothing runs into anything as they come out."""
    made = keeps_every_rule(**bank("equal", interlock_hand=hand, **drawer))
    entries = [each.entry for each in made.model.fittings]
    assert entries.count("interlock-bar") == 1
    assert entries.count("interlock-trip") == entries.count("interlock-striker") == 4
    assert not [each for each in found(made) if each.check == "movement"]


@pytest.mark.parametrize("hand", ["left", "right"])
def test_each_striker_stands_1_before_its_trip(hand):
    """Shut, they meet by 8 or more across and share their height; the striker goes with its drawer, the trip stays."""
    made = built(**bank("ratio", interlock_hand=hand, **BAR))
    for motion in made.model.motions:
        striker, trip = made.boxes[f"{motion.key}/striker"], made.boxes[f"{motion.key}/trip"]
        assert trip[0][1] - striker[1][1] == pytest.approx(1.0)
        for axis, least in ((0, 8.0), (2, 16.0)):
            assert min(trip[1][axis], striker[1][axis]) - max(trip[0][axis], striker[0][axis]) >= least
        assert f"{motion.key}/striker" in motion.moves and f"{motion.key}/trip" not in motion.moves


def test_the_bar_is_screwed_to_one_wall_behind_the_boxes():
    """It reaches past the outermost trips, stands behind every box and runner, and its screws hold in the board at that hand."""
    made = built(**bank("equal", interlock_hand="right", **BAR))
    low, high = made.boxes["d0/interlock"]
    assert low[2] < made.boxes["d0/trip"][0][2] and high[2] > made.boxes["d3/trip"][1][2]
    assert low[1] > max(box[1][1] for key, box in made.boxes.items() if "/box/" in key or "/runner." in key)
    screws = [each for each in made.model.fasteners if each.parts[0] == "d0/interlock"]
    assert len(screws) >= 3 and {each.parts[1] for each in screws} == {"carcass/side.right"}


def test_one_at_a_time_is_told():
    """Four drawers without: a note that names the interlock; with one it says how many can be out, and the handing over tries it."""
    (without,) = [each for each in found(built(**bank("equal"))) if each.check == "one drawer at a time"]
    assert without.value == 4 and "interlock-bar" in without.remedy
    made = built(**bank("equal", **BAR))
    (told,) = [each for each in found(made) if each.check == "one drawer at a time"]
    assert (told.severity, told.value) == ("note", 1) and "of 4 one comes out at a time" in told.text
    job = build_job(Job("job", (JobItem(made.piece),)))
    words = str([sheet.items for sheet in HANDOVER.sheets(job)])
    assert "Interlock: with one drawer out" in words


# ----------------------------------------------------------------------------------------------------------------- tipping
def test_the_worked_case_with_an_interlock():
    """32 kg at (230, 480), four drawers of 5 kg, shut at 220 and open at −180; the child at (−410, 900): only the top one out, −26.190 N·m.

    Source: our own worked case after 16 CFR 1261, the block of 10.9 mm under 430 of depth.
    """
    shut = [(5.0, 220.0, up) for up in (200.0, 420.0, 640.0)]
    loads = [(32.0, 230.0, 480.0), *shut, (5.0, -180.0, 860.0), (CHILD, -410.0, 900.0)]
    assert holding_moment(loads, 1.4521) == pytest.approx(-26.190, abs=0.002)


def test_drawers_that_stay_shut_keep_the_piece_standing():
    """By hand: three of four drawers shut, each adds what moves times how far it would have gone (runners half as far with their middle)."""
    drawer = {"runner": "runner-400", "bottom_board": "mdf-6"}
    free, held = (built(**bank("equal", **more)) for more in (drawer, {**BAR, **drawer}))
    moments = {each.words: each.moment for each in states(held.model)}
    weights = weights_of(held.model)
    pulls = []
    for motion in held.model.motions:
        own = set(motion.moves)
        carried = sum(weights[key].mass for key in motion.moves)
        carried += sum(weights[each.key].mass for each in held.model.fasteners if own.issuperset(each.parts))
        half = sum(weights[key].mass for key in motion.half)
        pulls.append((carried + half / 2) * motion.reach * GRAVITY / 1000)
    assert moments["everything shut"] - moments[TOGETHER_EMPTY] == pytest.approx(max(pulls), abs=0.15)
    all_open = {each.words: each.moment for each in states(free.model)}[OPEN_EMPTY]
    assert moments[TOGETHER_EMPTY] > all_open + 2 * min(pulls)
    assert all(OPEN_TOGETHER in words or words == "everything shut" for words in moments)


# ---------------------------------------------------------------------------------------------------------------- refusals
def test_what_cannot_have_an_interlock_is_refused():
    """One drawer alone, boxes that end apart, a board between, wooden runners, no room behind, a shaft there, a door before."""
    alone = bank("equal", **BAR)
    for front in alone["fronts"][1:]:
        front["drawer"] = {**front["drawer"], "interlock": ""}
    assert "only 1 drawer" in refused(WHERE, **alone)
    assert "50 mm apart" in refused(WHERE, **bank("equal", interlock="interlock-bar"))
    assert '"carcass/shelf.r0+r1" is in its way' in refused(WHERE, **bank("equal", "board", **BAR))
    assert "in its way" in refused(
        WHERE, **bank("equal", interlock="interlock-bar", runs_on={"style": "wooden"}), carcass=_without_rails()
    )
    assert "11.5 mm are free behind the box" in refused(WHERE, **_deep(bank("equal", **BAR), 435.5))
    assert "not a drawer interlock" in refused(WHERE, **bank("equal", interlock="interlock-trip"))
    linked = {"runner": "runner-linked-400", "runs_on": {"style": "side_mounted", "linking_shaft": "shaft-linking-8"}}
    assert "linking shaft" in refused(WHERE, **bank("equal", **{**BAR, **linked}))


def test_a_drawer_behind_a_door_has_none():
    """Packed out past a door there is no wall for its bar; the door is opened first anyway."""
    text = refused("fronts[1].drawer.interlock", **cupboard(**BAR))
    assert "packed out past a door" in text


def _without_rails() -> dict[str, Any]:
    return {"stiffeners": {"anchor_rails": False}}


def _deep(piece: dict[str, Any], depth: float) -> dict[str, Any]:
    return {**piece, "whole": {**piece["whole"], "depth": depth}, "carcass": _without_rails()}


def test_the_plain_piece_has_none():
    """A drawer has no interlock unless it is asked for."""
    assert not [each for each in built(**bank("equal")).model.fittings if "interlock" in each.entry]
    assert data()["fronts"] == []
