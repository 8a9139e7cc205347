"""Drawers by their runners, corners, bottoms and fronts: sizes by hand, closed solids that fit, drawers behind doors, banks and rails."""

from __future__ import annotations

import itertools
import json
import math
from dataclasses import replace
from typing import Any

import manifold3d
import pytest
from examples import example_model
from pieces import Built, built, data, found, keeps_every_rule, refused
from test_build_properties import solid_of

import core
from core.build.box_joints.lapped_dovetails import LappedDovetails
from core.build.drawers.place import CLEAR_OF_DOOR
from core.checks import findings
from core.checks.drawers import drawers
from core.checks.reading import drawer_room
from core.errors import ParameterError
from core.fittings import fitting_entries, fitting_entry
from core.mechanics import movement
from core.model import CutOut, Hole, Part, Pocket
from core.piece import loads
from core.solids import mesh_of, placed
from core.starters import starter_text

RUNS = ("side_mounted", "under_mounted", "wooden")
CORNERS = ("dowels", "lapped_dovetails", "rebate", "screws")
CLEAR = 900 - 2 * 18  # mm between the sides of the plain piece


def drawer_in(width: float = 900, **drawer: Any) -> dict[str, Any]:
    """The sections of a low piece that is one drawer; `front` and `gaps` of it may be among them."""
    own = {key: drawer.pop(key) for key in ("gaps", "panel", "board", "lay") if key in drawer}
    box = {"runner": "", "bottom_board": "mdf-6", **drawer}
    front = {"id": "drawer", "kind": "drawer", "closes": ["all"], "drawer": box, **own}
    return {"whole": {"width": width, "height": 260, "depth": 500}, "fronts": [front]}


def bank(heights: str, between: str = "rail", **drawer: Any) -> dict[str, Any]:
    """Four drawers one above another."""
    rows = [{"id": f"r{number}", "parent": "all", "order": number} for number in range(4)]
    box = {"runner": "", "bottom_board": "mdf-6", **drawer}
    fronts = [{"id": f"d{number}", "kind": "drawer", "closes": [f"r{number}"], "drawer": box} for number in range(4)]
    layout = [{"id": "all", "divided": "rows", "between": between, "heights": heights}, *rows]
    return {"whole": {"width": 700, "height": 900, "depth": 500}, "layout": layout, "fronts": fronts}


def cupboard(hand: str = "left", kind: str = "door", **drawer: Any) -> dict[str, Any]:
    """A cupboard with two drawers behind its door."""
    rows = [
        {"id": name, "parent": "all", "order": number, "size": size}
        for number, (name, size) in enumerate(
            (("low", {"fixed": 200}), ("high", {"fixed": 200}), ("rest", {"rest": True}))
        )
    ]
    box = {"runner": "", "bottom_board": "mdf-6", "behind_door": True, **drawer}
    fronts: list[dict[str, Any]] = [{"id": "doors", "kind": kind, "closes": ["all"], "hanging": {"hand": hand}}]
    fronts += [{"id": name, "kind": "drawer", "closes": [name], "drawer": box} for name in ("low", "high")]
    layout = [{"id": "all", "divided": "rows", "between": "nothing"}, *rows]
    width = 600 if kind == "door" else 900
    return {
        "whole": {"width": width, "height": 1100, "depth": 560},
        "layout": layout,
        "fronts": fronts,
        "site": {"wall_left": 2000, "wall_right": 2000},
    }


# ------------------------------------------------------------------------------------------------------- every combination
@pytest.mark.parametrize("corners", CORNERS)
@pytest.mark.parametrize("runs_on", RUNS)
def test_every_corner_goes_with_every_runner(runs_on: str, corners: str) -> None:
    """A planted front on any box on any runners: closed, nothing in another, held together, its mirror image too."""
    keeps_every_rule(**drawer_in(runs_on={"style": runs_on}, corners={"style": corners}))


@pytest.mark.parametrize("bottom", ["under_back", "four_sides"])
@pytest.mark.parametrize("muntins", [0, 1, 2])
@pytest.mark.parametrize("runs_on", RUNS)
def test_every_bottom_goes_on_every_runner(runs_on: str, muntins: int, bottom: str) -> None:
    """Bottoms whole or parted by muntins, slid in under the back or held on four sides."""
    made = keeps_every_rule(**drawer_in(runs_on={"style": runs_on}, muntins=muntins, bottom=bottom))
    panels = [part for part in made.model.parts if part.role == "drawer bottom"]
    assert len(panels) == muntins + 1
    assert sum(part.role == "drawer muntin" for part in made.model.parts) == muntins


@pytest.mark.parametrize(
    ("runs_on", "corners"),
    [
        ("side_mounted", "dowels"),
        ("side_mounted", "rebate"),
        ("under_mounted", "rebate"),
        ("wooden", "lapped_dovetails"),
        ("wooden", "dowels"),
        ("wooden", "rebate"),
    ],
)
def test_an_integral_front_is_the_front_of_the_box(runs_on: str, corners: str) -> None:
    """No box front is made; the sides meet the drawer's own front."""
    made = keeps_every_rule(
        **drawer_in(runs_on={"style": runs_on}, corners={"style": corners}, front="integral", gaps={"side": 1.0})
    )
    assert "drawer/box/front" not in made.meshes
    assert any(
        {joint.first, joint.second} == {"drawer/box/side.left", "drawer/front/panel"} for joint in made.model.joints
    )


@pytest.mark.parametrize("lay", ["full", "half"])
def test_overlay_fronts_take_any_runners(lay: str) -> None:
    """A front that laps the carcass does not change its box."""
    for runs_on in RUNS:
        keeps_every_rule(**drawer_in(runs_on={"style": runs_on}, lay=lay))


# ------------------------------------------------------------------------------------------------------------------ sizes
def test_widths_by_hand() -> None:
    """In 864: 26 less on side-mounted runners; 42 less inside on under-mounted ones; 1 less on wooden ones."""
    widths = {}
    for runs_on in RUNS:
        drawer = next(drawers(keeps_every_rule(**drawer_in(runs_on={"style": runs_on})).model))
        widths[runs_on] = drawer.width
    assert widths == {"side_mounted": CLEAR - 26, "under_mounted": CLEAR - 42 + 2 * 15, "wooden": CLEAR - 1}


@pytest.mark.parametrize(("width", "runner"), [(660, "runner-400"), (900, "runner-wide-400")])
def test_runners_that_follow_are_stout_under_a_wide_box(width: int, runner: str) -> None:
    """Rule book W3 b: a box up to 1.5 times as wide as its runners are long wants no more; 598 on 400 is, 838 is not."""
    made = built(**drawer_in(width))
    assert {each.entry for each in made.model.fittings if "/runner." in each.key} == {runner}


@pytest.mark.parametrize("starter", ["coat_cupboard", "chest_of_drawers", "linen_press", "sideboard"])
def test_a_starter_s_runners_follow_its_depth(starter: str) -> None:
    """60 less deep, its drawers have shorter runners, and the maker is asked nothing."""
    plain = json.loads(starter_text(starter))
    plain["layout"] = [{**each, "holds": []} if "holds" in each else each for each in plain["layout"]]
    plain["whole"]["depth"] -= 60
    lengths = {}
    for depth in (plain["whole"]["depth"] + 60, plain["whole"]["depth"]):
        model = core.build(loads(json.dumps({**plain, "whole": {**plain["whole"], "depth": depth}})))
        runners = [fitting_entry(each.entry) for each in model.fittings if "/runner." in each.key]
        lengths[depth] = max(each.size("length") for each in runners)
    assert lengths[plain["whole"]["depth"]] < lengths[plain["whole"]["depth"] + 60]


def test_long_pulls_keep_their_bolts_out_of_the_corners_of_the_box() -> None:
    """Pulls 320 long at the quarter points of a front 855 wide would be bolted through the dowels of the box front: they come inward, alike."""
    data = json.loads(starter_text("chest_of_drawers"))
    for front in data["fronts"]:
        front |= {"panel": {"style": "plain"}, "handle": "pull-bar-320"}
    piece = loads(json.dumps(data))
    model = core.build(piece)
    assert not [each.text for each in findings(piece, model) if each.severity == "stop"]
    pulls = [each.place.origin[0] for each in model.fittings if each.key.startswith("drawer-top/pull")]
    assert len(pulls) == 2 and sum(pulls) == pytest.approx(0) and 160 < max(pulls) < 855 / 4
    narrow = json.loads(starter_text("bedside_cabinet"))
    narrow["fronts"][0]["handle"] = "pull-bar-320"
    with pytest.raises(ParameterError, match="a shorter one") as error:
        core.build(loads(json.dumps(narrow)))
    assert error.value.field == "fronts[0].handle"


def test_an_integral_front_is_thirteen_wider_than_its_box_at_each_side() -> None:
    """Less its own gap: 13 − 2.5 = 10.5 with side-mounted runners; flush on wooden ones."""
    for runs_on, beyond in (("side_mounted", 10.5), ("wooden", 0.0)):
        made = keeps_every_rule(**drawer_in(runs_on={"style": runs_on}, front="integral"))
        front, side = made.boxes["drawer/front/panel"], made.boxes["drawer/box/side.left"]
        assert side[0][0] - front[0][0] == pytest.approx(beyond)


def test_under_mounted_runners_by_their_data() -> None:
    """The bottom is 13 up, the back notched over the runners, a hole for a hook at each side; nothing of it verified."""
    made = keeps_every_rule(**drawer_in(runs_on={"style": "under_mounted"}, bottom="four_sides"))
    side, bottom, back = (made.boxes[f"drawer/box/{name}"] for name in ("side.left", "bottom", "back"))
    assert bottom[0][2] - side[0][2] == pytest.approx(13) and back[0][2] == pytest.approx(side[0][2])
    notches = [
        each
        for each in made.model.part("drawer/box/back").shape.features
        if isinstance(each, Pocket) and each.kind == "notch"
    ]
    hooks = [
        each
        for each in made.model.part("drawer/box/back").shape.features
        if isinstance(each, Hole) and "hook" in each.purpose
    ]
    assert len(notches) == len(hooks) == 2 and {each.diameter for each in hooks} == {6}
    entries = fitting_entries("under-mounted runner")
    assert (
        entries
        and not any(entry.load_verified for entry in entries)
        and all("unverified" in entry.source for entry in entries)
    )
    assert all(
        12 <= entry.size("recess") <= 13 and entry.size("inside_less") == 42 and entry.size("side_most") <= 16
        for entry in entries
    )


def test_under_mounted_runners_refuse_thick_sides_and_bottoms() -> None:
    """Sides above 16, and a bottom under the back so thick that the hook misses the back."""
    under = {"style": "under_mounted"}
    assert "at most 16" in refused("fronts[0].drawer.board", **_with_box(runs_on=under, board="mdf-18"))
    refused("fronts[0].drawer.bottom", **_with_box(runs_on=under, bottom_board="birch-ply-15"))


def _with_box(**drawer: Any) -> dict[str, Any]:
    sections = drawer_in()
    sections["fronts"][0]["drawer"].update(drawer)
    return sections


def test_wooden_runners_fill_what_is_clear() -> None:
    """Runner 20 wide and as high as is clear below; kicker 1.5 over the box; stops behind; the front closes 0.5 back."""
    made = keeps_every_rule(**drawer_in(runs_on={"style": "wooden"}))
    side, runner, kicker, stop = (
        made.boxes[f"drawer/{name}.left"] for name in ("box/side", "runner", "kicker", "stop")
    )
    assert runner[1][2] == pytest.approx(side[0][2]) and runner[1][2] - runner[0][2] == pytest.approx(14)
    assert runner[1][0] - runner[0][0] == pytest.approx(20)
    assert kicker[0][2] - side[1][2] == pytest.approx(1.5) and kicker[1][2] - side[1][2] == pytest.approx(16)
    assert stop[0][1] == pytest.approx(side[1][1])
    assert made.boxes["drawer/front/panel"][0][1] == pytest.approx(-500 + 0.5)
    assert not [each for each in found(made) if each.check in ("side play", "clear of the box")]


def test_a_solid_box_has_its_movement_in_height() -> None:
    """Play over a solid box on wooden runners: its season's movement and one more."""
    sections = _with_box(runs_on={"style": "wooden"}, board="oak-25", corners={"style": "lapped_dovetails"})
    made = keeps_every_rule(**sections)
    side, kicker = made.boxes["drawer/box/side.left"], made.boxes["drawer/kicker.left"]
    moves = movement(side[1][2] - side[0][2], made.model.part("drawer/box/side.left").board.material.tangential, 4)
    assert kicker[0][2] - side[1][2] == pytest.approx(math.ceil(10 * (moves + 1)) / 10)


def test_a_piece_too_shallow_for_a_drawer_is_refused() -> None:
    """Wooden runners take any depth, but not one that leaves no box."""
    sections = drawer_in(runs_on={"style": "wooden"})
    sections["whole"]["depth"] = 150
    sections["fronts"][0] |= {"board": "hardwood-20", "handle": ""}
    sections["boards"] = [
        *data()["boards"][:3],
        *({"id": id, "material": "beech", "thickness": 29} for id in ("birch-ply-15", "hardwood-20")),
    ]
    sections["carcass"] = {"stiffeners": {"anchor_rails": False}}
    assert "at least 108" in refused("fronts[0].drawer.runs_on.style", **sections)


def test_a_box_keeps_below_the_wall_bracket() -> None:
    """Under the top, before the anchor rail, a bracket is screwed up: 6 over the box at least, where there is a rail."""
    close = _with_box(runs_on={"style": "wooden"}, clear_above=2)
    assert "at least 6" in refused("fronts[0].drawer.clear_above", **close)
    keeps_every_rule(**_with_box(runs_on={"style": "wooden"}, clear_above=6))
    keeps_every_rule(**close, carcass={"stiffeners": {"anchor_rails": False}})


def test_loose_wooden_drawers_are_found() -> None:
    """An integral front with a gap of 2.5 leaves its box 2.5 of play at each side; 1.5 is the most."""
    made = keeps_every_rule(**drawer_in(runs_on={"style": "wooden"}, front="integral"))
    (finding,) = (each for each in found(made) if each.check == "side play")
    assert (finding.severity, finding.value, finding.limit) == ("warn", 2.5, 1.5)


# -------------------------------------------------------------------------------------------------------------- dovetails
def test_tails_by_hand() -> None:
    """100 high, 15 thick, lap 4.5: three tails (90 − 16) / 3 wide at the tip, 1.5 less at the root each side, slope 1 in 7."""
    tails = LappedDovetails().tails(0, 100, 0, 10.5)
    assert [(each.low, each.high, each.slant) for each in tails] == [
        (5, 29.667, 1.5),
        (37.667, 62.333, 1.5),
        (70.333, 95, 1.5),
    ]


def test_the_lowest_tail_holds_the_groove() -> None:
    """With a groove up to 40 the lowest tail reaches 3 beyond it at its root; the rest is divided anew."""
    tails = LappedDovetails().tails(0, 130, 40, 10.5)
    assert tails[0].low == 5 and tails[0].high - tails[0].slant == pytest.approx(43)
    assert tails[-1].high == pytest.approx(125) and len({round(each.high - each.low, 3) for each in tails[1:]}) == 1


def test_tails_fill_their_sockets() -> None:
    """What the sockets take out of the box front is Σ t · d · (tip + root) / 2, and the sides fill it without gap or overlap."""
    made = keeps_every_rule(**drawer_in(corners={"style": "lapped_dovetails"}))
    front, side = made.model.part("drawer/box/front"), made.model.part("drawer/box/side.left")
    sockets = [each for each in front.shape.features if isinstance(each, CutOut)]
    assert sockets and all(each.kind == "dovetail" and each.end - each.start == pytest.approx(15) for each in sockets)
    cut, whole = _with_only(front, CutOut).volume(), math.prod(front.size)
    tails = LappedDovetails().tails(0, front.size[1], 18, 10.5)
    by_hand = sum(15 * 10.5 * ((each.high - each.low) + (each.high - each.low - 2 * each.slant)) / 2 for each in tails)
    assert whole - cut == pytest.approx(2 * by_hand, rel=1e-6)
    # without the groove for the bottom, side and front together fill the corner's box but for the lap's side
    bare = {part.key: _with_only(part, CutOut) for part in (front, side)}
    low, high = made.boxes[side.key]
    corner = _box_solid(
        (low[0], made.boxes[front.key][0][1], low[2]), (low[0] + 15, made.boxes[front.key][1][1], high[2])
    )
    filled = sum((solid ^ corner).volume() for solid in bare.values())
    assert filled == pytest.approx(corner.volume(), rel=1e-6) and (bare[front.key] ^ bare[side.key]).volume() < 1e-3


def _with_only(part: Part, kind: type) -> manifold3d.Manifold:
    """The judge's solid of a part where it stands, with its features of one kind alone."""
    kept = tuple(each for each in part.shape.features if isinstance(each, kind))
    return solid_of(placed(mesh_of(replace(part.shape, features=kept)), part.place))


def _box_solid(low: tuple[float, ...], high: tuple[float, ...]) -> Any:
    return manifold3d.Manifold.cube([float(b - a) for a, b in zip(low, high, strict=True)]).translate(
        [float(a) for a in low]
    )


def test_no_groove_shows_at_the_ends_of_an_integral_front() -> None:
    """A slice at either end of the front is whole but for the sockets, which the tails fill; with dowels it is whole."""
    made = keeps_every_rule(**drawer_in(runs_on={"style": "wooden"}, front="integral", gaps={"side": 1.0}))
    low, high = made.boxes["drawer/front/panel"]
    for x in (low[0], high[0] - 1):
        slice_ = _box_solid((x, low[1], low[2]), (x + 1, high[1], high[2]))
        assert (made.solids["drawer/front/panel"] ^ slice_).volume() == pytest.approx(slice_.volume(), rel=1e-6)


def test_the_grain_of_a_solid_front_runs_along_it() -> None:
    """A dovetailed front of oak is cut with its grain from end to end, as its tails need; of a sheet it may be turned."""
    for board, grain in (("oak-25", "length"), ("mdf-18", "any")):
        made = keeps_every_rule(
            **drawer_in(
                runs_on={"style": "wooden"},
                corners={"style": "lapped_dovetails"},
                front="integral",
                gaps={"side": 1.0},
                board=board,
            )
        )
        panel = made.model.part("drawer/front/panel")
        assert (panel.grain, panel.place.x) == (grain, (1.0, 0.0, 0.0))


def test_dovetails_need_a_flush_front_and_a_groove_in_the_tail() -> None:
    """An integral front wider than its box, and a groove below the lowest tail, are refused."""
    dovetails = {"style": "lapped_dovetails"}
    assert "planted front" in refused(
        "fronts[0].drawer.corners.style", **drawer_in(corners=dovetails, front="integral")
    )
    assert "at least 6.5" in refused("fronts[0].drawer.groove_up", **drawer_in(corners=dovetails, groove_up=6))
    refused("fronts[0].drawer.corners.style", **drawer_in(corners={"style": "screws"}, front="integral"))


# ---------------------------------------------------------------------------------------------------------------- bottoms
def test_a_solid_bottom_can_move() -> None:
    """Its grain runs from side to side; the screws under the back stand in slots, and on four sides it has room in its grooves."""
    under = keeps_every_rule(**_with_box(bottom_board="oak-9"), boards=_with_oak_nine())
    bottom = under.model.part("drawer/box/bottom")
    assert bottom.grain == "length" and bottom.size[0] > bottom.size[1]
    assert [each.kind for each in bottom.shape.features if isinstance(each, Pocket)].count("slot") >= 2
    shallow = _with_box(bottom_board="oak-9", bottom="four_sides", groove_depth=7)
    assert "moves" in refused("fronts[0].drawer.bottom", **shallow, boards=_with_oak_nine())
    shallow["whole"] = {"width": 600, "height": 260, "depth": 380}
    made = keeps_every_rule(**shallow, boards=_with_oak_nine())
    free = made.boxes["drawer/box/back"][0][1] + 7 - made.boxes["drawer/box/bottom"][1][1]
    moves = movement(made.model.part("drawer/box/bottom").size[1], bottom.board.material.tangential, 4)
    assert free >= 0.5 + moves / 2 and free < 0.5 + moves / 2 + 0.2


def _with_oak_nine() -> list[dict[str, Any]]:
    return [*data()["boards"], {"id": "oak-9", "material": "oak", "thickness": 9}]


def test_muntins_make_a_wide_thin_bottom_stiff() -> None:
    """6 mm to 600 wide: a bottom of 850 is found too thin, and not when a muntin parts it."""
    plain, parted = (found(keeps_every_rule(**drawer_in(muntins=number))) for number in (0, 1))
    assert [each for each in plain if each.check == "drawer bottom"]
    assert not [each for each in parted if each.check == "drawer bottom"]


# ------------------------------------------------------------------------------------------------------------------ banks
def test_graduated_heights_by_hand() -> None:
    """In four rows with rails of 18 between, the clear height less 54 is shared 1 : 1.2 : 1.44 : 1.728 from the top down, or in steps of 25."""
    for heights, expected in (
        ("ratio", lambda top, n: top * 1.2**n),
        ("step", lambda top, n: top + 25 * n),
        ("equal", lambda top, n: top),
    ):
        made = keeps_every_rule(**bank(heights))
        high = {each.key: each.height for each in made.model.openings}
        downward = [high[f"d{number}"] for number in (3, 2, 1, 0)]
        for number, height in enumerate(downward):
            assert height == pytest.approx(expected(downward[0], number), abs=0.5), heights
        inside = made.model.carcass[2] - 2 * 18 - _under(made)
        assert sum(downward) == pytest.approx(inside - 3 * 18)


def _under(made: Built) -> float:
    return float(made.boxes["carcass/side.left"][0][2])


def test_rails_stand_at_the_front_and_runners_behind_them() -> None:
    """A rail is 60 deep and as thick as the carcass, two dowels in each end at its quarters; the runner lies behind it."""
    made = keeps_every_rule(**bank("ratio", runs_on={"style": "wooden"}))
    rail, runner = made.boxes["carcass/rail.r0+r1"], made.boxes["d1/runner.left"]
    assert tuple(rail[1] - rail[0])[1:] == pytest.approx((60, 18)) and rail[0][1] == pytest.approx(-500)
    assert runner[0][1] == pytest.approx(rail[1][1]) and runner[0][2] == pytest.approx(rail[0][2])
    pegs = [each for each in made.model.fasteners if "carcass/rail.r0+r1" in each.parts and each.kind == "dowel"]
    assert sorted(round(each.at[1] + 500, 3) for each in pegs) == [15, 15, 45, 45]


def test_rails_only_part_drawers() -> None:
    """A rail over shelves would leave them nothing to stand on; between columns it is no rail."""
    sections = bank("sizes")
    del sections["fronts"][0]
    assert '"r0"' in refused("layout[0].between", **sections)
    steep = bank("step")
    steep["layout"][0]["step"], steep["whole"]["height"] = 100, 700
    assert "topmost of 4" in refused("layout[0].step", **steep)


def test_a_low_topmost_drawer_is_found() -> None:
    """Four drawers graduated 1 : 1.6 leave the topmost front less than 100 high; 1 : 1.2 do not."""
    steep = bank("ratio", clear_above=8, clear_below=6)
    steep["layout"][0]["ratio"], steep["whole"]["height"] = 1.6, 1000
    (finding,) = (each for each in found(keeps_every_rule(**steep)) if each.check == "topmost drawer")
    assert (finding.severity, finding.limit) == ("note", 100) and finding.value < 100
    assert not [each for each in found(keeps_every_rule(**bank("ratio"))) if each.check == "topmost drawer"]


def test_more_than_three_drawers_want_an_interlock() -> None:
    """Four drawers give a note, and it names all four."""
    (finding,) = (each for each in found(keeps_every_rule(**bank("equal"))) if each.check == "one drawer at a time")
    assert (finding.severity, finding.value, finding.limit) == ("note", 4, 3) and len(finding.keys) == 4


# ------------------------------------------------------------------------------------------------------------ behind doors
@pytest.mark.parametrize("runs_on", RUNS)
@pytest.mark.parametrize(("kind", "hand"), [("door", "left"), ("door", "right"), ("pair", "left")])
def test_drawers_behind_doors_come_out(kind: str, hand: str, runs_on: str) -> None:
    """They keep every rule, and neither their way nor the door's is barred."""
    made = keeps_every_rule(**cupboard(hand, kind, runs_on={"style": runs_on}))
    assert not [each for each in found(made) if each.check in ("movement", "drawer behind a door")]


def test_a_drawer_is_packed_out_past_the_open_door() -> None:
    """A door 18 thick, gap 2.5, its pin 3.5 before the face, stands 1.25 + 3.5 + 18 = 22.75 into the opening; 5 more are kept.

    The packs are two layers of 18, the drawer's front begins 36 + 2.5 from the wall, and at the other side there is no pack.
    """
    made = keeps_every_rule(**cupboard())
    wall = made.boxes["carcass/side.left"][1][0]
    front = made.boxes["low/front/panel"]
    assert front[0][0] - wall == pytest.approx(38.5) and front[0][0] - wall >= 22.75 + CLEAR_OF_DOOR
    assert made.boxes["carcass/side.right"][0][0] - front[1][0] == pytest.approx(2.5)
    assert not any(key.startswith("low/pack.right") for key in made.meshes)
    knob = made.boxes["low/pull"]
    assert knob[0][1] - (-560 + 18) == pytest.approx(CLEAR_OF_DOOR)  # its handle is 5 behind the back of the door


@pytest.mark.parametrize("hand", ["left", "right"])
def test_a_drawer_is_packed_out_past_the_stop_strip(hand: str) -> None:
    """A strip 18 thick stops the door at its closing edge: packs keep the drawer's front 5 clear of it, so that its way is free."""
    sections = cupboard(hand)
    sections["fronts"][0]["hanging"]["stop_strip"] = "side"
    made = keeps_every_rule(**sections)
    assert not [each for each in found(made) if each.check in ("movement", "drawer behind a door")]
    axis, (strip, front) = 1, (made.boxes[key] for key in (f"doors/leaf.{hand}/stop", "low/front/panel"))
    clear = strip[0][0] - front[axis][0] if hand == "left" else front[0][0] - strip[axis][0]
    assert clear >= CLEAR_OF_DOOR


def test_a_door_that_opens_too_little_is_found() -> None:
    """With a wall right beside the hinge side the knob stops the door short of 90°: the drawers behind it do not come out."""
    sections = cupboard()
    sections["site"] = {"wall_left": 0, "wall_right": 2000}
    made = keeps_every_rule(**cupboard())
    piece = loads(json.dumps(data(**sections)))
    blocked = Built(piece, core.build(piece))
    narrow = replace(
        made.model,
        motions=tuple(replace(each, reach=70.0) if each.kind == "swing" else each for each in made.model.motions),
    )
    stops = [each for each in found(Built(made.piece, narrow)) if each.check == "drawer behind a door"]
    assert (
        len(stops) == 2 and {each.severity for each in stops} == {"stop"} and {each.limit for each in stops} == {70.0}
    )
    assert all(each.limit <= 90 for each in found(blocked) if each.check == "drawer behind a door")


def test_a_drawer_that_is_not_packed_out_meets_the_door() -> None:
    """The judge sees it: the same drawer moved 20 toward the hinges meets the open door."""
    made = keeps_every_rule(**cupboard())
    motion = next(each for each in made.model.motions if each.key == "low")

    def shifted(thing: Any) -> Any:
        return replace(thing, place=thing.place.moved((-20.0, 0.0, 0.0))) if thing.key in motion.moves else thing

    moved = replace(
        made.model, parts=tuple(map(shifted, made.model.parts)), fittings=tuple(map(shifted, made.model.fittings))
    )
    checks = {each.check for each in found(Built(made.piece, moved)) if each.severity == "stop"}
    assert {"movement", "drawer behind a door"} <= checks


def test_a_drawer_behind_no_door_is_refused() -> None:
    """And so is one that runs into what else is there, or laps the carcass."""
    sections = cupboard()
    sections["fronts"] = sections["fronts"][1:]
    refused("fronts[0].drawer.behind_door", **sections)
    sections = cupboard()
    sections["fronts"][1]["lay"] = "full"
    refused("fronts[1].lay", **sections)
    sections = cupboard()
    sections["fronts"].append({**sections["fronts"][1], "id": "uppermost", "closes": ["rest"], "handle": ""})
    assert "catch" in refused("fronts[3].closes", **sections)


def test_a_drawer_behind_a_door_may_stand_over_a_linking_shaft() -> None:
    """The shaft, 7 to 10 thick behind the box of the drawer under the cupboard, is in nobody's way but its own drawer's."""
    sections = cupboard()
    sections["layout"] = [
        {"id": "piece", "divided": "rows"},
        {"id": "under", "parent": "piece", "order": 0, "size": {"fixed": 180}},
        {**sections["layout"][0], "parent": "piece", "order": 1, "size": {"rest": True}},
        *sections["layout"][1:],
    ]
    shaft = {"runs_on": {"style": "side_mounted", "linking_shaft": "shaft-linking-8"}, "runner": ""}
    sections["fronts"].append({"id": "wide", "kind": "drawer", "closes": ["under"], "drawer": shaft})
    sections["whole"]["height"] = 1300
    keeps_every_rule(**sections)


def test_a_screw_of_a_runner_takes_another_hole_of_the_row() -> None:
    """A dowel at the end of the sideboard's upright is where the runner's second screw goes: it is driven through the next hole at 32 mm."""
    raw = json.loads(starter_text("sideboard"))
    for front in raw["fronts"]:
        front["drawer"] |= {"runs_on": {"style": "under_mounted"}, "front": "integral"}
    made = Built(piece := loads(json.dumps(raw)), core.build(piece))
    runner = min(
        (each for each in made.model.fittings if each.key.endswith("/runner.left")),
        key=lambda each: each.place.origin[2],
    )
    usual = [each.at[1] for each in fitting_entry(runner.entry).screws_for() if each.into == "carcass"]
    places = [runner.place.own_point(each.at)[1] for each in made.model.fasteners if runner.key in each.parts]
    away = [round(place - each, 6) for place, each in zip(places, usual, strict=True)]
    assert away.count(0) == len(usual) - 1 and {abs(each) for each in away if each} == {32}
    assert not [each for each in found(made) if each.check == "holes that meet"]


def test_a_runner_is_an_entry_and_not_code() -> None:
    """Each pair of under-mounted runners is two entries of one length, the right one the mirror image of the left."""
    lefts = [entry for entry in fitting_entries("under-mounted runner") if entry.id.endswith("-left")]
    for left in lefts:
        right = fitting_entry(left.id.removesuffix("left") + "right")
        assert left.sizes == right.sizes
        flipped = {
            ((*body.low[:2], -body.high[2] + 0.0), (*body.high[:2], -body.low[2] + 0.0))
            for body in left.bodies_for()
            if body.form == "block"
        }
        assert flipped == {(body.low, body.high) for body in right.bodies_for() if body.form == "block"}


# ------------------------------------------------------------------------------------------------------- sides of solid wood
SOLID_SIDES = {"carcass": {"board": "oak-25"}}


def _slots(made: Any, key: str) -> list[Any]:
    return [each for each in made.model.part(key).shape.features if getattr(each, "kind", "") == "slot"]


def test_wooden_runners_leave_solid_sides_free_to_move() -> None:
    """Across the grain of a solid side no glue: a round hole at the front, a slot 5 × 15 along the runner for each other screw."""
    made = keeps_every_rule(**SOLID_SIDES, **drawer_in(runs_on={"style": "wooden"}))
    for key in ("drawer/runner.left", "drawer/runner.right", "drawer/kicker.left"):
        joint = next(each for each in made.model.joints if each.second == key and each.first.startswith("carcass/side"))
        assert (joint.kind, joint.glue_area) == ("slotted screws", 0)
        screws = sorted(
            (each for each in made.model.fasteners if each.key in joint.fasteners), key=lambda each: each.at[1]
        )
        slots, part = _slots(made, key), made.model.part(key)
        assert len(slots) == len(screws) - 1 > 0
        middles = sorted(part.place.point(tuple((a + b) / 2 for a, b in zip(each.low, each.high)))[1] for each in slots)
        assert middles == pytest.approx([each.at[1] for each in screws[1:]])
        assert {(each.high[0] - each.low[0], each.high[1] - each.low[1]) for each in slots} == {(15.0, 5.0)}


def test_wooden_runners_are_glued_to_sides_that_stay_as_they_are() -> None:
    """Sheet material does not move: glue and screws, no slots."""
    made = built(**drawer_in(runs_on={"style": "wooden"}))
    joint = next(each for each in made.model.joints if each.second == "drawer/runner.left")
    assert joint.kind == "glue and screws" and not _slots(made, "drawer/runner.left")


@pytest.mark.parametrize("content", [{"style": "fixed_shelf", "height": 300}, {"style": "shoe_rack"}])
def test_bearers_leave_solid_sides_free_to_move(content: dict[str, Any]) -> None:
    """So do the bearers of shelves and shoe racks, level or leaning."""
    made = keeps_every_rule(**SOLID_SIDES, layout=[{"id": "all", "holds": [content]}])
    bearers = [part.key for part in made.model.parts if "bearer.left" in part.key or "bearer.right" in part.key]
    assert bearers
    for key in bearers:
        kinds = {each.kind for each in made.model.joints if each.second == key and "side" in each.first}
        assert kinds == {"slotted screws"} and _slots(made, key)


def test_a_low_runner_is_not_glued_across_a_solid_bottom() -> None:
    """7 mm high it has no room for screws; on oak it is refused, on a sheet it may be glued."""
    low = drawer_in(runs_on={"style": "wooden"}, clear_below=7)
    built(**low)
    assert "grain" in refused("fronts[0].drawer.runs_on.style", carcass={"board": "oak-25"}, **low)


def test_the_chest_of_drawers_is_graded_inside_as_it_is_in_front() -> None:
    """Each drawer of the starter has a tenth to a third more height inside than the one above it: no rail or stiffener takes it away."""
    model = example_model("starter chest_of_drawers")
    inside = []
    for name in ("top", "second", "third", "bottom"):
        motion = next(each for each in model.motions if each.key == f"drawer-{name}")
        low, high = drawer_room(model, motion)
        inside.append(high[2] - low[2])
    assert inside[0] >= 90
    assert all(1.1 <= below / above <= 1.33 for above, below in itertools.pairwise(inside)), inside


@pytest.mark.parametrize(
    "bottom, place", [("under_back", "lower edge, on the bottom"), ("four_sides", "underside of the groove")]
)
def test_a_box_backs_number_is_in_its_groove_only_if_it_has_one(bottom, place):
    """A back over the bottom has no groove for its number."""
    made = built(**drawer_in(600, bottom=bottom))
    (back,) = [part for part in made.model.parts if part.name == "drawer box back"]
    assert back.surviving_mark == place
