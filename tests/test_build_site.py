"""Between walls, over the skirting, lipped and sawn over: what the site and the edges ask of a piece."""

from __future__ import annotations

import json

import numpy as np
import pytest

from core.build import build
from core.checks import findings
from core.checks.study import study
from core.errors import ParameterError
from core.model import Hole
from core.piece.files import dumps, loads
from core.starters import starter_text


def piece(starter: str, **changes):
    data = json.loads(starter_text(starter))
    for path, value in changes.items():
        group = data
        *steps, last = path.split("__")
        for step in steps:
            group = group[step]
        group[last] = group[last] | value if isinstance(value, dict) else value
    known = {each["id"] for each in data["boards"]}
    data["boards"] += [
        each
        for each in (
            {"id": "hardwood-20", "material": "hardwood", "thickness": 20.0},
            {"id": "oak-8", "material": "oak", "thickness": 8.0},
            {"id": "oak-40", "material": "oak", "thickness": 40.0},
        )
        if each["id"] not in known
    ]
    return loads(json.dumps(data))


def volume(part) -> float:
    return float(np.prod(part.size)) / 1e9


# --------------------------------------------------------------------------------------------------------- between walls
WALLS = {"fitted": True, "width_low": 1060.0, "width_middle": 1070.0, "width_high": 1064.0}  # the bookcase is 1000 wide


def test_scribing_strips_close_the_narrowest_gap_and_are_cut_for_the_widest():
    """(1060 − 1000)/2 = 30 as fitted; (1070 − 1000)/2 + 10 = 45 as cut; the three gaps are printed."""
    model = build(piece("bookcase", site__alcove=WALLS))
    for side, sign in (("left", -1), ("right", 1)):
        strip = model.part(f"alcove/strip.{side}")
        assert strip.size[1] == 30.0 and strip.cut_size[1] == 45.0
        assert "30 at the foot, 35 in the middle, 32 at the head" in strip.notes[0]
        box = strip.place.points([(0.0, 0.0, 0.0), strip.size])
        assert sorted(np.abs(box[:, 0]).round(3)) == [500.0, 530.0] and np.sign(box[0, 0]) == sign
        screws = [each for each in model.fasteners if strip.key in each.parts]
        assert len(screws) >= 4 and all(each.when.stage == "on site" for each in screws)


@pytest.mark.parametrize(
    ("support", "foot", "low"),
    [
        ({}, "base", 2.0),
        ({}, "carcass", 80.0),
        ({"style": "bracket_base"}, "base", 2.0),
        ({"style": "square_legs", "height": 80.0, "rail_width": 50.0}, "base", 80.0),
    ],
)
def test_a_scribing_strip_runs_to_the_floor_beside_a_closed_base(support, foot, low):
    """2 mm off the floor beside a plinth or bracket base; on legs, or where asked, to the carcass's underside; screwed to the side alone."""
    made = piece("bookcase", site__alcove={**WALLS, "foot": foot})
    data = json.loads(dumps(made))
    data["support"] = support or {**data["support"], "height": 80.0}
    data["boards"] += [{"id": "oak-45", "material": "oak", "thickness": 45.0}]
    made = loads(json.dumps(data))
    model = build(made)
    under = model.part("carcass/bottom").place.origin[2]
    for side in ("left", "right"):
        strip = model.part(f"alcove/strip.{side}")
        ends = strip.place.points([(0.0, 0.0, 0.0), strip.size])[:, 2]
        assert (ends.min(), ends.max()) == (low, model.carcass[2])
        screws = [each for each in model.fasteners if strip.key in each.parts]
        assert len(screws) >= 4 and all(each.at[2] > under for each in screws)
    assert not [each.text for each in findings(made, model) if each.severity == "stop"]


@pytest.mark.parametrize(
    "walls, said",
    [
        ({**WALLS, "width_low": 1030.0}, "10 mm narrower"),
        ({**WALLS, "width_high": 1200.0}, "80 mm wider"),
    ],
)
def test_a_gap_that_no_strip_closes_is_refused_with_the_way_out(walls, said):
    """Rule book L5: strips 20 to 50; 15 is too narrow, 100 too wide."""
    with pytest.raises(ParameterError) as refused:
        build(piece("bookcase", site__alcove=walls))
    assert refused.value.field == "site.alcove.fitted" and said in str(refused.value)


def test_scribing_strips_are_no_loose_top():
    """Rule: what is screwed beside the carcass on site is not lifted over it: the ceiling wants no room for that."""
    made = piece("bookcase", site__alcove=WALLS, site__ceiling=2400.0)
    model = build(made)
    assert study(model).loose_top == frozenset()
    assert not [each for each in findings(made, model) if each.check == "ceiling"]


def test_a_door_beside_a_wall_is_judged_by_the_alcove():
    """Fitted between walls a door has only the strip's width beside it, whatever else is said of the room."""
    free = piece("media_cabinet")
    fitted = piece(
        "media_cabinet",
        site__alcove={"fitted": True, "width_low": 1680.0, "width_middle": 1680.0, "width_high": 1680.0},
    )
    assert free.site.clear_beside(1600.0) == (free.site.wall_left, free.site.wall_right)
    assert fitted.site.clear_beside(1600.0) == (40.0, 40.0)
    build(fitted)


def test_a_scribing_strip_ends_under_the_lip_of_a_loose_cornice():
    """The lip hangs 12 mm down around the carcass, over the strip's place: the strip is as much shorter, and nothing overlaps."""
    room = {"fitted": True, "width_low": 1040.0, "width_middle": 1040.0, "width_high": 1040.0, "foot": "carcass"}
    cornice = {"style": "loose_cornice", "board": "oak-40", "lip_drop": 12.0}
    made = piece("bookcase", site__alcove=room, top=cornice)
    model = build(made)
    strip = model.part("alcove/strip.left")
    assert strip.size[0] == model.part("carcass/side.left").size[0] - 12.0
    assert not [each.text for each in findings(made, model) if each.check == "overlap"]


def test_over_the_skirting_the_foot_keeps_clear_or_is_refused():
    """A skirting 60 × 15 needs 18 behind the foot and the carcass at 65; the piece then stands against the wall."""
    over = {"height": 60.0, "thickness": 15.0, "meets": "over"}
    with pytest.raises(ParameterError, match="set the foot in 18 mm"):
        build(piece("bookcase", site__skirting=over))
    clear = piece("bookcase", site__skirting=over, support__rear_set_in=18.0)
    model = build(clear)
    assert clear.site.stands_off == 0.0
    assert not [each for each in findings(clear, model) if each.check == "stand-off"]
    for part in model.parts:
        points = part.place.points([(0.0, 0.0, 0.0), part.size])
        assert points[:, 1].max() <= -18.0 + 1e-6 or points[:, 2].min() >= 65.0 - 1e-6, part.key


# --------------------------------------------------------------------------------------------------------------- lipping
def test_a_lipped_board_and_its_lipping_are_what_the_bare_board_was():
    """The panel is narrower by the lipping; volumes add up; the front edges stand where they stood (rule book B15)."""
    bare, lipped = build(piece("bookcase")), build(piece("bookcase", carcass__lipping={"board": "oak-8"}))
    strips = [part for part in lipped.parts if part.role == "lipping"]
    assert len(strips) > 10
    for strip in strips:
        key = strip.key.removesuffix("/lipping")
        before, panel = bare.part(key), lipped.part(key)
        assert panel.size == (before.size[0], before.size[1] - 8.0, before.size[2])
        assert volume(panel) + volume(strip) == pytest.approx(volume(before))
        assert strip.cut_size[1] == before.size[2] + 1.0 and strip.size[2] == 8.0
        front = min(part.place.points([(0.0, 0.0, 0.0), part.size])[:, 1].min() for part in (panel, strip))
        assert front == pytest.approx(before.place.points([(0.0, 0.0, 0.0), before.size])[:, 1].min())


def test_holes_of_a_lipped_board_stand_where_they_stood_in_the_piece():
    """Drilled from the bare edge or from the lipped one, a shelf pin's hole is in the same place."""
    bare, lipped = build(piece("bookcase")), build(piece("bookcase", carcass__lipping={"board": "oak-8"}))
    for key in ("carcass/side.left", "carcass/side.right"):
        places = [
            sorted(
                model.part(key).place.point(each.at)
                for each in model.part(key).shape.features
                if isinstance(each, Hole)
            )
            for model in (bare, lipped)
        ]
        assert places[0] == places[1] and places[0]


def test_lipped_pieces_have_no_stop_finding():
    """Nothing floats, overlaps or comes out of the wood."""
    for starter in ("bookcase", "desk_pedestal", "chest_of_drawers"):
        made = piece(starter, carcass__lipping={"board": "oak-8"})
        assert not [each.text for each in findings(made, build(made)) if each.severity == "stop"]


def test_a_hole_on_the_glue_line_is_refused():
    """The hinge plugs of a cupboard lie 8 from the front edge: no lipping can end there."""
    with pytest.raises(ParameterError) as refused:
        build(piece("sideboard", carcass__lipping={"board": "oak-8"}))
    assert refused.value.field == "carcass.lipping.board" and "glue line" in str(refused.value)


# -------------------------------------------------------------------------------------------------------------- sawn over
def test_solid_parts_are_sawn_over_and_boards_are_not():
    """3 in width and 15 in length on solid wood that has no cut size of its own; sheet parts keep theirs."""
    model = build(piece("coat_cupboard", shop__solid_over={"width": 3.0, "length": 15.0}))
    plain = build(piece("coat_cupboard"))
    for part in model.parts:
        if part.board.material.kind == "solid" and plain.part(part.key).cut_size is None:
            assert part.cut_size == (part.size[0] + 15.0, part.size[1] + 3.0, part.size[2])
        else:
            assert part.cut_size == plain.part(part.key).cut_size


def test_the_arris_of_a_lipped_shelf_is_rounded_on_its_lipping():
    """A loose shelf that is lipped is not rounded before; its lipping is, planed flush; and nothing is drilled in it."""
    model = build(piece("bookcase", carcass__lipping={"board": "oak-8"}))
    shelves = [part for part in model.parts if part.role == "loose shelf"]
    assert shelves
    for shelf in shelves:
        said, strip = " ".join(shelf.notes), model.part(f"{shelf.key}/lipping")
        assert "arris" not in said and "lipped, 8 mm" in said
        assert strip.notes == ("planed flush with its board when the glue is dry, then its front arris rounded 1.5",)
    side = next(part for part in model.parts if part.role == "side")
    assert "lipped after it is drilled, 8 mm" in " ".join(side.notes)
