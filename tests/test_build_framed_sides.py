"""Sides that are frames themselves: stiles, rails and panels, with no board behind."""

from __future__ import annotations

import json

import pytest
from examples import example_text
from test_assemblies import faults
from test_build_properties import ALL_RULES, Built, mirror_image_is_built, without_hands

from core.build import build
from core.checks import findings
from core.errors import ParameterError
from core.model import Hole, Model
from core.pages._part_sheets import _flat_groups
from core.piece.files import loads
from core.steps.course import steps

FRAME = ("stile", "rail", "muntin")
BOARDS = (
    ("oak-6", "oak", 6),
    ("oak-15", "oak", 15),
    ("oak-25", "oak", 25),
    ("mdf-6", "mdf", 6),
    ("softwood-28", "softwood", 28),
)


def data(starter: str = "bookcase", style: str = "frame_and_panel", carcass: dict | None = None, **panel) -> dict:
    made = json.loads(example_text(f"starter {starter}"))
    known = {each["id"] for each in made["boards"]}
    made["boards"] += [{"id": i, "material": m, "thickness": t} for i, m, t in BOARDS if i not in known]
    side = {"style": style, "board": "hardwood-20", "stile_width": 100, **panel}
    made["carcass"] |= {"sides": "frame", "side_panel": side, **(carcass or {})}
    return made


def built(made: dict) -> Built:
    piece = loads(json.dumps(made))
    return Built(piece, build(piece))


def box(model: Model, key: str):
    part = model.part(key)
    points = part.place.points([(0.0, 0.0, 0.0), part.size])
    return points.min(axis=0), points.max(axis=0)


@pytest.mark.parametrize(
    ("starter", "style", "carcass", "panel"),
    [
        ("bookcase", "frame_and_panel", {}, {}),
        ("bookcase", "frame_and_panel", {"joint": {"style": "housing"}}, {"tenons": "full"}),
        ("bookcase", "frame_and_panel", {"runs_through": "top"}, {"muntins": 1, "stile_width": 70}),
        ("bookcase", "glazed", {}, {}),
        ("blanket_chest", "frame_and_panel", {"joint": {"style": "biscuits"}}, {"mid_rails": [300]}),
        ("sideboard", "frame_and_panel", {}, {"panel_board": "oak-6", "groove_depth": 14}),
        (
            "media_cabinet",
            "frame_and_panel",
            {"joint": {"style": "screws"}},
            {"panel": "raised", "panel_board": "oak-15", "board": "oak-25", "groove_depth": 14, "fielding": 25},
        ),
    ],
)
def test_a_framed_side_keeps_every_rule(starter, style, carcass, panel):
    """Closed, nothing in another, mating holes on one axis, all held together; no pin or screw in the way; its mirror image is built."""
    made = data(starter, style, carcass, **panel)
    one = built(made)
    for rule in ALL_RULES:
        rule(one)
    keys = {part.key for part in one.model.parts}
    assert not {"carcass/side.left", "carcass/side.right"} & keys
    assert not faults(one.model), "something is in the way when it is put together"
    stops = [each.text for each in findings(one.piece, one.model) if each.severity == "stop"]
    assert not [each for each in stops if "side." in each], stops
    mirror_image_is_built(without_hands(made))


def test_a_side_is_as_thick_as_its_frame():
    """The overall size stays; the clear width is what two frames leave, to the finest step."""
    for board, thick in (("hardwood-20", 20.0), ("oak-25", 25.0)):
        model = built(data(board=board)).model
        low, high = box(model, "side.left/stile.front")
        bottom = box(model, "carcass/bottom")
        assert high[0] - low[0] == thick
        assert bottom[0][0] == pytest.approx(high[0]) and low[0] == pytest.approx(-model.carcass[0] / 2)
        assert bottom[1][0] - bottom[0][0] == pytest.approx(model.overall[0] - 2 * thick)


def test_every_fastening_holds_in_the_frame():
    """Holes of dowels, pins and screws lie within one member, clear of its groove by more than nothing; none is in a panel."""
    model = built(data(mid_rails=[900])).model
    bored = {part.key: [f for f in part.shape.features if isinstance(f, Hole)] for part in model.parts}
    for part in model.parts:
        if part.key.startswith("side."):
            assert part.role in FRAME or not bored[part.key]
        if part.key.startswith("side.left/stile"):
            groove = 10.0
            inner = 0.0 if part.face_edge_high else part.size[1]
            for hole in bored[part.key]:
                assert abs(hole.at[1] - inner) - hole.diameter / 2 > groove


def test_a_shelf_end_has_two_dowels_in_each_stile():
    """Between the stiles a shelf meets nothing: four dowels, two in front and two behind, and a joint with each stile."""
    model = built(data()).model
    (shelf,) = [part.key for part in model.parts if part.role == "fixed shelf"]
    for end in ("front", "rear"):
        stile = f"side.left/stile.{end}"
        (joint,) = [each for each in model.joints if (each.first, each.second) == (stile, shelf)]
        assert len(joint.fasteners) == 2
        assert all(set(f.parts) == {stile, shelf} for f in model.fasteners if f.key in joint.fasteners)


def test_a_mid_rail_behind_a_shelf_takes_dowels_too():
    """Where a rail stands at its height, the row goes on across it."""
    model = built(data()).model
    (shelf,) = [part for part in model.parts if part.role == "fixed shelf"]
    height = shelf.place.origin[2] + shelf.size[2] / 2
    model = built(data(mid_rails=[height + 10])).model
    met = {each.first for each in model.joints if each.second == shelf.key and each.first.startswith("side.left")}
    assert met == {"side.left/stile.front", "side.left/stile.rear", "side.left/rail.mid"}


@pytest.mark.parametrize(
    ("made", "field", "words"),
    [
        (data(style="plain") | {}, "carcass.sides", '"plain"'),
        (data("wardrobe"), "support.style", '"stile_legs"'),
        (
            data("wardrobe") | {"support": {"style": "recessed_plinth"}},
            "carcass.side_panel.mid_rails",
            "above the floor, would fall on the panel",
        ),
        (data(stile_width=30), "carcass.side_panel.stile_width", "too little wood"),
    ],
)
def test_what_a_frame_cannot_hold_is_refused_with_the_reason(made, field, words):
    """A panel that is no frame, legs that need a board, a rail's socket on the panel, stiles too narrow for a joint."""
    if made["carcass"]["side_panel"]["style"] == "plain":
        made["carcass"]["side_panel"] = {"style": "plain"}
    with pytest.raises(ParameterError) as refused:
        built(made)
    assert refused.value.field == field and words in refused.value.message


def test_a_top_rail_at_its_height_takes_the_hanging_rail():
    """What is refused on the panel is built where the maker puts a rail there."""
    made = data("wardrobe", top_rail_width=150, mid_rails=[1000], bottom_rail_width=150, mid_rail_width=100)
    made["support"] = {"style": "recessed_plinth"}
    one = built(made)
    for rule in ALL_RULES:
        rule(one)
    sockets = [each for each in one.model.fittings if "/socket" in each.key and any("side." in k for k in each.parts)]
    assert sockets and all("rail.top" in "".join(each.parts) for each in sockets)


def test_the_frame_is_glued_before_the_carcass():
    """Each side is made up as a frame first; what is bored across its members is bored after that."""
    one = built(data(tenons="full"))
    order = [each.assembly for each in steps(one.piece, one.model)]
    assert order.index("side.left") < order.index("carcass")
    holes = [f for f in one.model.part("side.left/stile.front").shape.features if isinstance(f, Hole)]
    assert holes and all(f.when.stage != "in the part" for f in holes)
    assert {f.when.assembly for f in holes if f.when.stage == "after glue-up"} == {"side.left"}


@pytest.mark.parametrize("style", ["frame_and_panel", "glazed"])
def test_stiles_run_down_as_posts(style):
    """Straight to the floor on glides; the rest of the side ends at the underside of the bottom; the channel is not cut down into the post."""
    made = data(style=style, tenons="full") if style == "frame_and_panel" else data(style=style)
    made["support"] = {"style": "stile_posts", "height": 150}
    one = built(made)
    for rule in ALL_RULES:
        rule(one)
    mirror_image_is_built(without_hands(made))
    assert not faults(one.model)
    for end in ("front", "rear"):
        low, high = box(one.model, f"side.left/stile.{end}")
        assert low[2] == 5.0 and high[2] == pytest.approx(one.model.carcass[2])
    assert box(one.model, "side.left/rail.bottom")[0][2] == 150.0 == box(one.model, "carcass/bottom")[0][2]
    feet = [each for each in one.model.fittings if "/foot." in each.key]
    assert len(feet) == 4
    assert not [each.text for each in findings(one.piece, one.model) if each.severity == "stop"]


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"carcass": {"sides": "board", "side_panel": {"style": "plain"}}}, "support.style"),
        ({"support": {"style": "stile_posts", "foot": "glide-30"}}, "support.foot"),
        ({"site": {"skirting": {"height": 120, "thickness": 18, "meets": "over"}}}, "support.style"),
    ],
)
def test_posts_that_cannot_be_are_refused(change, field):
    """Sides of board have no stiles to run down; a foot wider than the post stands out of it."""
    made = data()
    made["support"] = {"style": "stile_posts"}
    for key, more in change.items():
        made[key] |= more
    with pytest.raises(ParameterError) as refused:
        built(made)
    assert refused.value.field == field


def test_what_is_bored_after_glue_up_is_measured_from_the_front_stile():
    """The panel's edges lie hidden in the grooves; the front stile's outer edge is the carcass front, where every f begins."""
    one = built(data())
    parts = {part.key: part for part in one.model.parts}
    groups = _flat_groups(one.model, parts)
    for side in ("left", "right"):
        assert groups[f"side.{side}/field"][1][0] == f"side.{side}/stile.front"
