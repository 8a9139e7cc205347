"""Doors and drawer fronts: gaps, lead edge, hinges, fingers."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from checks_help import changed, demo, found, moved, only
from examples import example_text

from core import build
from core.checks.fronts import film_of, swing_need
from core.checks.reading import fronts, gaps
from core.piece import loads


def test_the_gaps_of_the_demo():
    """2.5 mm all round and 3 between the doors, as the model has them, not as the parameters say; nothing to find."""
    piece, model = demo()
    widths = {
        (front.id, gap.edge): gap.width
        for front, opening, motions in fronts(piece, model)
        for gap in gaps(model, opening, motions)
    }
    assert widths.pop(("doors", "meeting")) == pytest.approx(3.0)
    assert set(widths) == {
        (front, edge) for front in ("doors", "drawer") for edge in ("left", "right", "top", "bottom")
    }
    assert all(width == pytest.approx(2.5) for width in widths.values())
    assert not found(
        demo(),
        "gap for paint",
        "lead edge",
        "hinges",
        "door width",
        "door shape",
        "door mass",
        "moulding lip",
        "fingers",
    )


def test_a_leaf_of_a_pair_is_not_advised_to_be_a_pair():
    """Rule: what would mend a finding is something else than what there is: a wide leaf of a pair wants an upright behind it."""
    wide = [each for each in found(changed(whole={"width": 1400}), "door width")]
    assert len(wide) == 2 and all("upright" in each.remedy and "Make it a pair" not in each.remedy for each in wide)


def test_a_gap_too_small_for_paint():
    """1.0 mm before paint are 0.7 after; at least 1.3 are wanted before. Unpainted, 1.0 will do."""
    seen = found(changed(fronts={"drawer": {"gaps": {"top": 1.0}}}), "gap for paint")
    assert [(each.severity, each.value, each.limit) for each in seen] == [("warn", 1.0, 1.3)]
    bare = changed(
        fronts={"drawer": {"gaps": {"top": 1.0}}}, finish={"schemes": {"sage": {"coats": {"2": {"coating": "bare"}}}}}
    )
    assert film_of(bare[0]) == 0
    assert not found(bare, "gap for paint")


def test_a_gap_that_is_seen():
    """5 mm over a drawer front is a note."""
    assert only(found(changed(fronts={"drawer": {"gaps": {"top": 5}}}), "gap for paint")).severity == "note"


def test_the_lead_edge_of_the_demo():
    """A door 518 wide, 27 thick on a pin 3.5 proud swings 0.89 mm outward; 3.0 is there."""
    piece, model = demo()
    _, opening, motions = next(fronts(piece, model))
    need, gap = swing_need(model, opening, motions, motions[0])
    assert (need, gap) == (pytest.approx(0.89, abs=0.01), pytest.approx(3.0))


@pytest.mark.parametrize("meeting, severity", [(1.0, "warn"), (2.0, None)])
def test_a_lead_edge_that_wants_a_bevel(meeting, severity):
    """With 0.3 of paint and a need of 0.89, a meeting gap below 1.64 wants a bevel."""
    seen = found(changed(fronts={"doors": {"gaps": {"meeting": meeting}}}), "lead edge")
    assert {each.severity for each in seen} == ({severity} if severity else set())


def test_a_lead_edge_that_binds():
    """A pair of doors moved together until 0.5 mm is left between them cannot open past each other."""
    piece, model = demo()
    for key in next(motion for motion in model.motions if motion.key == "doors/leaf.right").moves:
        model = moved(model, key, (-2.5, 0.0, 0.0))
    assert "stop" in {each.severity for each in found((piece, model), "lead edge")}


def test_wide_and_slim_doors():
    """A single door across 1 044 mm is too wide; a piece 520 wide makes doors more than four times as high as wide."""
    wide = found(changed(fronts={"doors": {"kind": "door"}}), "door width", "door mass")
    assert {each.check for each in wide} == {"door width", "door mass"}
    slim = changed(
        whole={"width": 620},
        fronts={"doors": {"panel": {"stile_width": 50}}, "drawer": {"handles": 1, "panel": {"stile_width": 50}}},
    )
    assert only({each.check: each for each in found(slim, "door shape")}.values()).limit == 4


def test_too_few_hinges():
    """Two hinges on a door of 1 443 mm and 12 kg are one too few."""
    seen = found(changed(fronts={"doors": {"hanging": {"hinges": 2}}}), "hinges")
    assert [(each.value, each.limit) for each in seen] == [(2, 3), (2, 3)]


def test_hinges_too_near_each_other():
    """Hinges nearer to each other than the door is wide are drawn at too hard."""
    piece, model = demo()
    for number, lift in ((1, 550.0), (3, -550.0)):
        model = moved(model, f"doors/leaf.left/hinge.{number}", (0.0, 0.0, lift))
    finding = only(found((piece, model), "hinges"))
    assert (finding.value, finding.limit) == (pytest.approx(118), pytest.approx(518))


def test_a_lip_that_hangs_before_the_doors():
    """The demo's lip ends 8.5 mm above the doors; 8 mm lower it nearly touches, 10 lower it is in the way."""
    piece, model = demo()
    assert [each.severity for each in found((piece, moved(model, "cornice/front", (0, 0, -8.0))), "moulding lip")] == [
        "warn",
        "warn",
    ]
    assert [each.severity for each in found((piece, moved(model, "cornice/front", (0, 0, -10.0))), "moulding lip")] == [
        "stop",
        "stop",
    ]


def test_finger_traps_only_where_there_are_children():
    """On pins 1 mm farther out than the demo's, an open door is 5.75 mm off the carcass, which traps a finger."""
    piece, model = demo()
    out = tuple(
        replace(each, through=(each.through[0], each.through[1] - 1.0, 0.0)) if each.kind == "swing" else each
        for each in model.motions
    )
    stout = replace(model, motions=out)
    seen = found((piece, stout), "fingers")
    assert [(each.severity, each.value) for each in seen] == [("note", 5.75), ("note", 5.75)]
    assert not found((changed(site={"children": False})[0], stout), "fingers")


def test_findings_name_fronts_in_words():
    """A finding about one of several doors or drawers says "left door", never the id with its hyphen."""
    data = json.loads(example_text("starter sideboard"))
    for front in data["fronts"]:
        front.update(stop=False, gaps={"side": 1.0, "top": 1.0, "bottom": 1.0, "meeting": 1.0})
    piece = loads(json.dumps(data))
    told = " ".join(each.text for each in found((piece, build(piece))))
    ids = {front.id for front in piece.fronts if "-" in front.id}
    assert ids and not [id for id in ids if id in told]
    assert "gap of “left door” is 1 mm" in told and "gap of “low drawer” is 1 mm" in told
