"""Fixed panels, stop strips, trimming allowance, locks and stays."""

from __future__ import annotations

import numpy as np
import pytest
from pieces import COLUMNS, built, found, keeps_every_rule, refused

from core.fittings import fitting_entry
from core.model import Hole, Pocket
from core.pages._main_sizes import front_sizes, gaps
from core.steps import steps

TWO = [{**each, "size": {"share": 1}} if each.get("parent") else each for each in COLUMNS]
ONE = {"width": 560}


def fixed(**more) -> dict:
    return {"id": "f", "kind": "fixed", "closes": ["a"], **more}


def door(**more) -> dict:
    return {"id": "d", "kind": "door", "closes": ["all"], **more}


@pytest.mark.parametrize("between", ["board", "nothing"])
@pytest.mark.parametrize(
    "panel", [{"style": "plain"}, {"style": "planted_frame"}, {"style": "frame_and_panel", "board": "hardwood-20"}]
)
@pytest.mark.parametrize("lay", ["inset", "full"])
def test_a_fixed_panel_beside_a_door(lay, panel, between):
    """It is held by fillets at two opposite edges, does not move, and keeps every rule."""
    layout = [{**each, "between": between} if each["id"] == "all" else each for each in TWO]
    hanging = {"hand": "right", **({"hinge": "hinge-butt-50"} if lay == "inset" else {})}
    made = keeps_every_rule(
        layout=layout,
        fronts=[
            fixed(lay=lay, panel=panel),
            {"id": "d", "kind": "door", "closes": ["b"], "lay": lay, "panel": panel, "hanging": hanging},
        ],
    )
    assert [each.key for each in made.model.motions] == ["d/leaf.right"]
    sides = {key.rsplit(".", 1)[-1] for key in made.boxes if key.startswith("f/fillet.")}
    assert sides == ({"left", "right"} if between == "board" else {"bottom", "top"})
    held = {each.purpose for each in made.model.fasteners if each.parts[0].startswith("f/fillet")}
    assert held == {"fillet screw", "fixed panel screw"}


@pytest.mark.parametrize("panel", [{"style": "plain"}, {"style": "planted_frame"}])
def test_fillets_are_screwed_to_the_boards_before_the_panel_is_set_in(panel):
    """The panel is packed to its gaps before fillets that stand already: its screws are driven in that step and no other."""
    made = built(layout=TWO, fronts=[fixed(panel=panel)])
    course = {step.title: step for step in steps(made.piece, made.model)}
    fillets, panel_in = course["fixed panel: fillets"], course["fixed panel: set it in"]
    assert {key for each in fillets.comes for key in each.keys} == {"f/fillet.left", "f/fillet.right"}
    purposes = {each.key: each.purpose for each in made.model.fasteners}
    assert {purposes[key] for key in fillets.fasteners} == {"fillet screw"}
    assert {purposes[key] for key in panel_in.fasteners} == {"fixed panel screw"}
    assert ("fixed front: strips" in course) == (panel["style"] == "planted_frame")


def test_nothing_lies_behind_a_fixed_panel():
    """Contents that nobody could reach are refused."""
    layout = [{**each, "holds": [{"style": "shelves"}]} if each["id"] == "a" else each for each in TWO]
    refused("layout[1].holds", layout=layout, fronts=[fixed()])


def test_a_fixed_panel_with_no_boards_to_hold_it():
    """Between two compartments that nothing parts, above and below likewise: refused."""
    layout = [
        {"id": "all", "divided": "rows", "between": "nothing"},
        {"id": "a", "parent": "all", "order": 0, "divided": "columns", "between": "nothing"},
        *({"id": id, "parent": "a", "order": order} for order, id in enumerate("xyz")),
        {"id": "b", "parent": "all", "order": 1},
    ]
    refused("fronts[0].closes", layout=layout, fronts=[{**fixed(), "closes": ["y"]}])


@pytest.mark.parametrize("where", ["side", "top"])
@pytest.mark.parametrize("panel", ["plain", "planted_frame"])
def test_a_stop_strip(where, panel):
    """18 × 12, set back by the pad behind the door; pads on it; loose shelves stand behind it."""
    made = keeps_every_rule(
        whole=ONE,
        layout=[{"id": "all", "holds": [{"style": "shelves"}]}],
        fronts=[door(panel={"style": panel}, hanging={"hinge": "hinge-butt-50", "stop_strip": where})],
    )
    strip = next(part for part in made.model.parts if part.role == "stop strip")
    assert strip.size[1:] == (12.0, 18.0)
    back = float(made.boxes["d/leaf.left/panel"][1][1])
    assert made.boxes[strip.key][0][1] - back == pytest.approx(2.0)
    pads = [each for each in made.model.fittings if "/pad." in each.key]
    assert len(pads) == (2 if where == "side" else 1) and all(each.parts == (strip.key,) for each in pads)


def test_a_stop_strip_stops_at_a_fixed_shelf():
    """One stretch below it, one above."""
    rows = [{**each, "divided": "rows"} if each["id"] == "all" else each for each in TWO]
    made = keeps_every_rule(whole=ONE, layout=rows, fronts=[door(hanging={"stop_strip": "side"})])
    assert sorted(part.key for part in made.model.parts if part.role == "stop strip") == [
        "d/leaf.left/stop.1",
        "d/leaf.left/stop.2",
    ]


def test_an_overlay_door_has_no_stop_strip():
    """The carcass stops it."""
    assert "overlay" in refused(
        "fronts[0].hanging.stop_strip", whole=ONE, fronts=[door(lay="full", hanging={"stop_strip": "side"})]
    )


def test_a_door_with_nothing_but_its_catch_to_stop_it():
    """It is found, and a strip at the side mends it; under the top there is one stop of two; an upright behind a pair is one."""
    assert [each.severity for each in found(built(whole=ONE, fronts=[door()])) if each.check == "door stop"] == ["warn"]
    assert not [
        each
        for each in found(built(whole=ONE, fronts=[door(hanging={"stop_strip": "side"})]))
        if each.check == "door stop"
    ]
    assert [
        each.value
        for each in found(built(whole=ONE, fronts=[door(hanging={"stop_strip": "top"})]))
        if each.check == "door stop"
    ] == [1.0]
    behind = built(layout=TWO, fronts=[{"id": "d", "kind": "pair", "closes": ["all"]}])
    assert not [each for each in found(behind) if each.check == "door stop"]


def test_trimming_allowance():
    """1 on each outer edge of what is cut, not of the finished door; said on the part."""
    made = built(whole=ONE, fronts=[door(trim=1, panel={"style": "planted_frame"})])
    plain = built(whole=ONE, fronts=[door(panel={"style": "planted_frame"})])
    panel, stile, rail = (made.model.part(f"d/leaf.left/{name}") for name in ("panel", "stile.hinge", "rail.top"))
    assert panel.cut_size == (panel.size[0] + 2, panel.size[1] + 2, 18.0)
    assert stile.cut_size == (stile.size[0] + 2, stile.size[1] + 1, 9.0)
    assert rail.cut_size == (rail.size[0], rail.size[1] + 1, 9.0)
    assert all(part.notes[-1] == "1 on each outer edge: fit, then bevel, then paint" for part in (panel, stile, rail))
    assert panel.size == plain.model.part(panel.key).size and plain.model.part(panel.key).cut_size is None


@pytest.mark.parametrize("lay", ["inset", "full"])
@pytest.mark.parametrize("panel", ["plain", "planted_frame"])
def test_a_lock(lay, panel):
    """On the inside behind the closing edge, its key hole through the whole door, a recess for its bolt in the board beside."""
    made = keeps_every_rule(
        whole=ONE, fronts=[door(lay=lay, panel={"style": panel}, hanging={"lock": "lock-cupboard-50"})]
    )
    bored = {
        part.key: hole
        for part in made.model.parts
        for hole in part.shape.features
        if isinstance(hole, Hole) and "key" in hole.purpose
    }
    assert set(bored) == {
        f"d/leaf.left/{name}" for name in (("panel",) if panel == "plain" else ("panel", "stile.closing"))
    }
    keep = [
        each
        for each in made.model.part("carcass/side.right").shape.features
        if isinstance(each, Pocket) and "lock" in each.purpose
    ]
    assert len(keep) == 1


def locked_pair(joint: str = "rebated", lay: str = "inset", panel: dict | None = None, **more) -> dict:
    hanging = {"lock": "lock-cupboard-50", **({"hinge": "hinge-butt-50"} if lay == "inset" else {})}
    front = {
        "id": "d",
        "kind": "pair",
        "closes": ["all"],
        "lay": lay,
        "panel": panel or {"style": "plain"},
        "hanging": hanging,
    }
    return {
        "whole": {"width": 1000, "height": 1400, "depth": 500},
        "fronts": [{**front, "meeting_stiles": {"joint": joint, **more}}],
    }


@pytest.mark.parametrize(
    "panel", [{"style": "plain"}, {"style": "planted_frame"}, {"style": "frame_and_panel", "board": "hardwood-20"}]
)
@pytest.mark.parametrize("lay", ["inset", "full"])
@pytest.mark.parametrize(("joint", "leads"), [("rebated", "right"), ("bead", "left")])
def test_a_pair_is_locked_to_its_own_other_door(joint, leads, lay, panel):
    """Lock on the leading door, a box keep on the other at the same height, the bolt's way within the keep; each swings with its door."""
    made = keeps_every_rule(**locked_pair(joint, lay, panel, leads=leads))
    held = "left" if leads == "right" else "right"
    fittings = {each.key: each for each in made.model.fittings}
    lock, keep = fittings[f"d/leaf.{leads}/lock"], fittings[f"d/leaf.{held}/keep"]
    moves = {each.key: each.moves for each in made.model.motions}
    assert lock.key in moves[f"d/leaf.{leads}"] and keep.key in moves[f"d/leaf.{held}"]
    assert lock.place.origin[1:] == keep.place.origin[1:]
    entry = fitting_entry("lock-cupboard-50")
    half = entry.size("bolt_height") / 2
    bolt_low = np.array((entry.size("bolt_low"), 0.0, -half))
    bolt_high = np.array((entry.size("bolt_high"), entry.size("shoots"), half))
    shot = np.sort([lock.place.point(tuple(bolt_low)), lock.place.point(tuple(bolt_high))], axis=0)
    for body in keep.bodies:  # shot, the bolt touches nothing of the keep and stands well in it
        low, high = np.sort([keep.place.point(body.low), keep.place.point(body.high)], axis=0)
        assert (shot[0] >= high - 1e-6).any() or (shot[1] <= low + 1e-6).any()
    inside = keep.place.own_point(lock.place.point((6.5, entry.size("shoots"), 0.0)))
    assert 5.0 <= inside[1] <= fitting_entry(keep.entry).size("takes")
    holes = [
        each
        for part in made.model.parts
        for each in part.shape.features
        if getattr(each, "purpose", "") == "clearance for the key"
    ]
    assert holes


def test_a_lock_wants_a_door_that_is_held():
    """Square doors open in any order, a door without bolts gives way: a lock between them holds nothing."""
    for more in ({"joint": "square"}, {"joint": "bead", "bolt": ""}):
        assert "other" in refused("fronts[0].hanging.lock", **locked_pair(**more))


def test_a_lock_keeps_clear_of_a_wide_bead():
    """The key goes in beside the bead, 20 from the lock's edge: a bead 60 wide lies over it and is refused."""
    refused("fronts[0].hanging.lock", **locked_pair("bead", bead_width=60))


def test_a_lock_does_not_reach_over_a_wide_gap():
    """A bolt that shoots 10 reaches 4 over the other door beyond a gap of 6."""
    section = locked_pair("bead")
    section["fronts"][0]["gaps"] = {"meeting": 6}
    refused("fronts[0].gaps.meeting", **section)


@pytest.mark.parametrize("lay", ["inset", "full"])
def test_a_stay_limits_the_swing(lay):
    """The door opens as far as the stay lets it."""
    made = keeps_every_rule(whole=ONE, fronts=[door(lay=lay, hanging={"door_stay": "stay-door-85"})])
    assert made.model.motions[0].reach == 85


def test_a_wall_near_the_knob_wants_a_stay():
    """A door whose knob comes within 10 mm of a wall at right angles; with a stay at 90° there is nothing to say."""

    def seen(**hanging):
        return [
            each.severity
            for each in found(built(whole=ONE, site={"wall_left": 12}, fronts=[door(hanging=hanging)]))
            if each.check == "wall beside"
        ]

    assert seen() == ["note"] and seen(door_stay="stay-door-90") == []


def test_the_arrangement_gives_the_size_of_a_fixed_panel():
    """It stands among the fronts whose edges are dimensioned, with its gaps."""
    made = built(
        layout=TWO, fronts=[fixed(), {"id": "d", "kind": "door", "closes": ["b"], "hanging": {"hand": "right"}}]
    )
    panel = next(each for each in front_sizes(made.model) if each.key == "f")
    low, high = made.boxes["f/panel/panel"]
    assert (panel.left, panel.right) == (pytest.approx(low[0]), pytest.approx(high[0]))
    assert {each.front.key for each in gaps(made.model)} == {"f", "d/leaf.right"}


@pytest.mark.parametrize("lay", ["inset", "full"])
def test_fillets_end_below_a_stiffener(lay):
    """What hangs under the shelf above a fixed panel keeps its place; the panel with its fillets still goes straight in."""
    rows = [{**each, "divided": "rows"} if each["id"] == "all" else each for each in TWO]
    made = keeps_every_rule(whole={"width": 1100}, layout=rows, fronts=[fixed(lay=lay)])
    stiffener = next(part.key for part in made.model.parts if part.role == "stiffener" and "shelf" in part.key)
    assert made.boxes["f/fillet.left"][1][2] == pytest.approx(made.boxes[stiffener][0][2] - 5)
