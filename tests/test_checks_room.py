"""Getting in and up: every check bites on a piece that is wrong, and keeps still on one that is right."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from checks_help import changed, demo, found, only
from examples import example_model, example_piece

from core.checks import findings


def test_the_demo_is_raised_by_two():
    """The glued carcass of the demo weighs about 74 kg without what lifts off; that is more than one person raises."""
    finding = only(found(demo(), "raising the carcass"))
    assert finding.severity == "warn"
    assert finding.value == pytest.approx(74, abs=1.0)  # by hand 74, from the solids with holes and dowels 73.5
    assert "360 N" in finding.text and "2 people" in finding.remedy
    assert "Doors, drawers, loose shelves and the loose top are" in finding.remedy


def test_only_what_a_piece_has_is_taken_off_it():
    """A bookcase has shelves to take out, and nothing else."""
    name = "starter bookcase"
    finding = only(found((example_piece(name), example_model(name)), "raising the carcass"))
    assert "Loose shelves are" in finding.remedy and "oors" not in finding.remedy and "top" not in finding.remedy


def test_a_light_carcass_needs_no_second_person():
    """A workshop where one person lifts 60 kg raises it alone."""
    assert not found(changed(shop={"one_person": 60}), "raising the carcass")


def test_the_demo_stands_up_and_goes_in():
    """1 981 mm to stand up under 2 400 mm, and 560 mm through a doorway of 760 mm: nothing to say."""
    assert not found(demo(), "standing up", "ceiling", "way in", "lifting")


@pytest.mark.parametrize("ceiling, severity", [(1940, "stop"), (1960, "warn"), (2020, "warn"), (2040, None)])
def test_standing_up_under_a_low_ceiling(ceiling, severity):
    """1 947 mm without the loose cornice, 1 981 with it, 50 more for ease: each limit bites by itself."""
    seen = found(changed(site={"ceiling": ceiling}), "standing up")
    assert [each.severity for each in seen] == ([severity] if severity else [])


def test_no_room_to_lift_the_cornice_on():
    """The lip hangs 12 mm, so 32 mm are wanted above the piece; under 1 920 mm there are 20."""
    finding = only(found(changed(site={"ceiling": 1920}), "ceiling"))
    assert (finding.severity, finding.value, finding.limit) == ("warn", 20, 32)


def test_a_narrow_way_in():
    """560 mm deep, 534 without the cornice: a doorway of 570 takes the carcass only, one of 540 nothing."""
    assert only(found(changed(site={"door_width": 570}), "way in")).severity == "warn"
    assert only(found(changed(site={"door_width": 540}), "way in")).severity == "stop"


@pytest.mark.parametrize(
    "stairs, severity, words",
    [
        ({"width": 0, "landing": 300}, None, ""),
        ({"width": 800}, None, ""),
        ({"width": 570}, "warn", "Carry the top up apart"),
        ({"width": 540}, "stop", "Build it in sections"),
        ({"width": 800, "headroom": 1200, "landing": 900}, "warn", "laths"),
        ({"width": 800, "landing": 700}, "warn", "laths"),
        ({"width": 800, "landing": 800}, "warn", "Carry the top up apart"),
        ({"width": 800, "landing": 850}, None, ""),
    ],
)
def test_stairs_on_the_way(stairs, severity, words):
    """560 mm deep, 534 without the cornice: as through a door, and upright, or on its back, round the landing at their end."""
    seen = found(changed(site={"stairs": stairs}), "stairs")
    assert [each.severity for each in seen] == ([severity] if severity else [])
    assert all(words in each.remedy for each in seen)


def test_parts_heavier_than_one_person():
    """Where one person lifts 12 kg, both sides (12.3) and both doors with their knobs are named."""
    keys = {each.keys[0] for each in found(changed(shop={"one_person": 12}), "lifting")}
    assert {"doors/leaf.left/panel", "doors/leaf.right/panel"} <= keys
    assert "carcass/side.left" in keys


def test_the_skirting_keeps_the_piece_off_the_wall():
    """With 18 mm of skirting the client's 560 is 578 in the room; without skirting nothing is said."""
    assert "578" in only(found(demo(), "stand-off")).text
    assert not found(changed(site={"skirting": {"height": 0}}), "stand-off")


def test_findings_are_sorted_and_repeatable():
    """Stops before warns before notes, then by check; the same piece twice gives the same findings."""
    piece, model = demo()
    first = findings(piece, model)
    assert first == findings(piece, replace(model))
    order = {"stop": 0, "warn": 1, "note": 2}
    assert list(first) == sorted(first, key=lambda each: (order[each.severity], each.check))


def test_a_lid_has_room_to_open():
    """A chest stands off the wall by what its lid reaches behind its back; that is told in the findings."""
    piece, model = example_piece("starter blanket_chest"), example_model("starter blanket_chest")
    note = next(line for each in model.assemblies for line in each.notes if "behind the back" in line)
    told = float(re.search(r"reaches (\d+) mm behind", note)[1])
    finding = only(found((piece, model), "stand-off"))
    assert abs(finding.value - told) <= 1 and finding.value > piece.site.stands_off
    assert "legs" not in finding.remedy


def test_legs_are_notched_only_where_there_are_legs():
    """What stands off by a skirting: legs are spoken of where it has them, anchors where it has them."""
    assert "notch the rear legs" in only(found(demo(), "stand-off")).remedy
    plinth = changed(
        support={"style": "recessed_plinth"}, carcass={"side_panel": {"style": "plain"}}, top={"style": "flush"}
    )
    assert "legs" not in only(found(plinth, "stand-off")).remedy
