"""True frames: grooves, tenons, mortises and panels meet, solid panels have room to move, and what cannot hold is refused."""

import numpy as np
import pytest
from pieces import box, found, keeps_every_rule, one_door, refused
from pieces import built as build_piece

from core.build.framing import full_tenon_length, full_tenon_thickness
from core.solids import mesh_of, volume

STYLE = {"style": "frame_and_panel"}
BOARDS = [
    {"id": "mdf-18", "material": "mdf", "thickness": 18},
    {"id": "mdf-6", "material": "mdf", "thickness": 6},
    {"id": "mdf-9", "material": "mdf", "thickness": 9},
    {"id": "birch-ply-15", "material": "birch-ply", "thickness": 15},
    {"id": "oak-22", "material": "oak", "thickness": 22},
    {"id": "red-oak-6", "material": "red-oak", "thickness": 6},
    {"id": "oak-16", "material": "oak", "thickness": 16},
    {"id": "oak-18", "material": "oak", "thickness": 18},
    {"id": "hardwood-20", "material": "beech", "thickness": 20},
    {"id": "softwood-28", "material": "pine", "thickness": 28},
    {"id": "oak-40", "material": "oak", "thickness": 40},
]
FORMS = [
    {},
    {"panel_board": "red-oak-6"},
    {"panel_board": "red-oak-6", "grain": "across", "sawn": "quarter"},
    {"panel_board": "oak-16", "panel": "rebated", "board": "oak-22"},
    {"panel_board": "oak-16", "panel": "raised", "board": "oak-22", "raise_angle": 8, "fielding": 20, "tongue": 5},
    {"panel_board": "oak-18", "panel": "raised", "board": "softwood-28", "fielding": 36},
]
FRAMES = [
    {},
    {"tenons": "full"},
    {"tenons": "full", "mid_rails": [450]},
    {"muntins": 1, "mid_rails": [350, 550], "mid_rail_width": 50},
    {"muntins": 2, "muntin_width": 30, "tenons": "full", "stile_width": 60},
]
DRAWER = {"id": "drawer", "kind": "drawer", "closes": ["all"], "handle": "pull-96", "drawer": {"runner": ""}}


def door(hanging="hinge-butt-65", **panel):
    """A piece with one door made so."""
    return {"boards": BOARDS, **one_door({**STYLE, **panel}, hanging)}


def part(made, name):
    """A part of the door."""
    return made.model.part(f"door/leaf.left/{name}")


@pytest.mark.parametrize("form", FORMS, ids=str)
@pytest.mark.parametrize("frame", FRAMES, ids=str)
def test_every_form_of_panel_goes_into_every_frame(form, frame):
    """Flat, rebated and raised panels, sheet and solid, in frames with stub and full tenons, mid rails and muntins."""
    keeps_every_rule(**door(**form, **frame))


@pytest.mark.parametrize("frame", FRAMES, ids=str)
def test_a_framed_end_is_glued_on_a_side(frame):
    """On a side the frame stands before the board of the carcass; its stiles run down as legs where those are asked for."""
    keeps_every_rule(boards=BOARDS, carcass={"side_panel": {**STYLE, **frame}})
    keeps_every_rule(boards=BOARDS, carcass={"side_panel": {**STYLE, **frame}}, support={"style": "stile_legs"})


@pytest.mark.parametrize(
    "panel",
    [
        {"stile_width": 80},
        {"stile_width": 80, "tenons": "full"},
        {"stile_width": 80, "muntins": 1, "muntin_width": 150},
    ],
    ids=str,
)
def test_a_drawer_front_is_a_true_frame(panel):
    """The box is screwed to the stiles; the pull sits on a muntin, else on the top rail, never on the loose panel."""
    made = keeps_every_rule(
        boards=BOARDS, whole={"height": 450, "width": 700}, fronts=[{**DRAWER, "panel": {**STYLE, **panel}}]
    )
    screws = [each for each in made.model.fasteners if each.purpose == "drawer front screw"]
    assert screws and all("/stile." in each.parts[1] for each in screws)
    pull = box(made, "drawer/pull").mean(axis=0)
    under = box(made, "drawer/front/muntin") if "muntins" in panel else box(made, "drawer/front/rail.top")
    assert under[0][2] < pull[2] < under[1][2] and under[0][0] < pull[0] < under[1][0]


def test_the_pair_is_a_mirror_image():
    """Left and right doors of a pair have frames of either hand."""
    keeps_every_rule(
        boards=BOARDS,
        whole={"width": 1000},
        fronts=[
            {
                "id": "doors",
                "kind": "pair",
                "closes": ["all"],
                "hanging": {"hinge": "hinge-butt-65"},
                "panel": {**STYLE, "muntins": 2, "muntin_width": 40, "tenons": "full", "stile_width": 60},
            }
        ],
    )


def test_a_frame_of_fibreboard_gets_plugs_for_its_hinges():
    """Where the stile is weak in the edge, hinge screws hold in hardwood plugs bored in the stile alone."""
    made = keeps_every_rule(**door(board="mdf-18", hanging="hinge-butt-50"))
    plugs = [
        each
        for each in made.model.fasteners
        if each.purpose == "hinge plug" and each.parts == ("door/leaf.left/stile.hinge",)
    ]
    assert plugs


# ------------------------------------------------------------------------------------------------------------- figures
def test_a_sheet_panel_is_its_sight_and_both_grooves_less_two():
    """Panel = sight + 2 × groove depth − 2: 1 mm of room at each edge; by hand for a door 555 wide with stiles of 70."""
    made = build_piece(**door())
    leaf = box(made, "door/leaf.left/stile", "door/leaf.left/rail")
    wide, high = leaf[1][0] - leaf[0][0], leaf[1][2] - leaf[0][2]
    panel = box(made, "door/leaf.left/field")
    assert np.allclose(np.diff(panel, axis=0)[0][[0, 2]], [wide - 140 + 20 - 2, high - 150 + 20 - 2], atol=0.1)


@pytest.mark.parametrize(("sawn", "moves"), [("plain", 3.321), ("quarter", 1.422)])
def test_red_oak_moves_as_the_handbook_says(sawn, moves):
    """Red oak 300 mm, 6 to 9 %: flat 3.321, quarter 1.422 mm (Wood Handbook Table 13-5; the product is arithmetic)."""
    from core.build.panels.frame_and_panel import FrameAndPanel
    from core.materials import material
    from core.model import Board

    assert FrameAndPanel(sawn=sawn, season=3.0).season_moves(Board(material("red-oak"), 6.0), 300.0) == pytest.approx(
        moves, abs=0.001
    )


def test_a_solid_panel_has_room_to_swell():
    """Across the grain a panel is its place less 2 × (1 + half the season's movement); along it less 2."""
    made = build_piece(**door(panel_board="red-oak-6"))
    panel, sheet = part(made, "field"), build_piece(**door()).model.part("door/leaf.left/field")
    place = sheet.size[1] + 2.0
    assert panel.size[0] == pytest.approx(sheet.size[0], abs=0.1)
    assert panel.size[1] == pytest.approx(place - 2 * (1 + place * 0.00369 * 4 / 2), abs=0.11)
    assert panel.grain == "length" and "moves" in panel.notes[0]


@pytest.mark.parametrize(("grain", "words"), [("upright", "grain upright"), ("across", "grain from side to side")])
def test_the_movement_of_a_solid_panel_is_told_with_species_and_grain(grain, words):
    """Red oak moves 0.00369 plain- and 0.00158 quarter-sawn for each per cent, 4 % a season (Wood Handbook Table 13-5); the room is 2 × 1
    and the movement allowed for. A sheet says nothing."""
    made = build_piece(**door(panel_board="red-oak-6", grain=grain, mid_rails=[450], groove_depth=14))
    finding = next(each for each in found(made) if each.check == "panel movement")
    across = made.model.part(finding.keys[0]).size[1]
    assert finding.severity == "note" and words in finding.text and "oak" in finding.text
    assert finding.limit == pytest.approx(across * 0.00369 * 4, abs=0.06)
    assert finding.value == pytest.approx((across + 2) * 0.00369 * 4 + 2, abs=0.2)
    assert not [each for each in found(build_piece(**door())) if each.check == "panel movement"]


def test_a_panel_without_room_is_warned_of():
    """The same panel cut 6 mm wider, that has less room than red oak moves even quarter-sawn."""
    from dataclasses import replace

    from core.checks import findings

    made = build_piece(**door(panel_board="red-oak-6"))
    panel = part(made, "field")
    long, wide, thick = panel.size
    wider = replace(
        panel,
        shape=replace(panel.shape, size=(long, wide + 6, thick)),
        place=panel.place.moved(tuple(-3.0 * c for c in panel.place.y)),
    )
    model = replace(made.model, parts=tuple(wider if each is panel else each for each in made.model.parts))
    (finding,) = [each for each in findings(made.piece, model) if each.check == "panel movement"]
    assert finding.severity == "warn" and finding.value < finding.limit


def test_no_glue_and_no_finding_hold_a_solid_panel():
    """A floating panel is joined by grooves only, and no check finds that it cannot move."""
    made = keeps_every_rule(**door(panel_board="red-oak-6"))
    kinds = {joint.kind for joint in made.model.joints if joint.second.endswith("/field")}
    assert kinds == {"groove"}


def test_a_full_tenon_is_a_third_thick_and_two_thirds_long():
    """Tenon T/3 × 2/3 of the stile, its mortise at least 12 mm from the end (common practice)."""
    assert (full_tenon_thickness(20), full_tenon_thickness(22, 6.2), full_tenon_length(70)) == (6.5, 7.0, 46.5)
    made = build_piece(**door(tenons="full"))
    mortises = [each for each in part(made, "stile.hinge").shape.features if getattr(each, "kind", "") == "mortise"]
    long = part(made, "stile.hinge").size[0]
    assert len(mortises) == 2
    for each in mortises:
        assert each.high[2] - each.low[2] == pytest.approx(6.5)
        assert min(each.low[0], long - each.high[0]) >= 12
    assert part(made, "stile.hinge").cut_size[0] == pytest.approx(long + 40)


def test_the_wood_of_a_rail_is_what_is_sawn():
    """Stub-tenoned rail, 20 thick, 80 wide, groove 6.2 × 10: shoulder length × (20 × 80 − 6.2 × 10) + two tenons 6.2 × 10 × 70."""
    made = build_piece(**door())
    rail = part(made, "rail.bottom")
    between = rail.size[0] - 20
    assert volume(mesh_of(rail.shape)) == pytest.approx(between * (20 * 80 - 6.2 * 10) + 2 * 6.2 * 10 * 70, rel=1e-9)


def test_the_wood_of_a_raised_panel_is_what_is_sawn():
    """Prismatoid by hand: tongue all over, and above it a block and a frustum."""
    made = build_piece(**door(panel_board="oak-18", panel="raised", board="softwood-28", fielding=36))
    panel = part(made, "field")
    x, y, p = panel.size
    t, back, f, rise = 10.5, panel_back(panel), 36.0, 36 * np.tan(np.radians(12))
    step = p - back - 6
    inner = (x - 2 * t) * (y - 2 * t)
    top = (x - 2 * t - 2 * f) * (y - 2 * t - 2 * f)
    middle = (x - 2 * t - f) * (y - 2 * t - f)
    expected = inner * back + x * y * 6 + inner * (step - rise) + rise / 6 * (inner + 4 * middle + top)
    assert volume(mesh_of(panel.shape)) == pytest.approx(expected, rel=1e-6)


def panel_back(panel):
    """How deep a panel is rebated at its back."""
    return max(
        (each.high[2] for each in panel.shape.features if getattr(each, "purpose", "").endswith("back")), default=0.0
    )


# -------------------------------------------------------------------------------------------------------------- refused
@pytest.mark.parametrize(
    ("field", "panel"),
    [
        ("panel_board", {"panel_board": "mdf-18"}),
        ("panel_board", {"panel_board": "oak-40", "panel": "rebated"}),
        ("panel_board", {"panel_board": "mdf-6", "panel": "raised"}),
        ("panel_board", {"panel_board": "nothing"}),
        ("fielding", {"panel_board": "oak-16", "panel": "raised"}),
        ("groove_depth", {"panel_board": "red-oak-6", "season": 8}),
        ("groove_depth", {"tenons": "full", "stile_width": 30, "groove_depth": 20}),
        ("panel_glued", {"panel_board": "red-oak-6", "panel_glued": True}),
        ("muntin_width", {"muntins": 1, "muntin_width": 30, "groove_depth": 12}),
        ("top_rail_width", {"tenons": "full", "top_rail_width": 30}),
        ("stile_width", {"stile_width": 200, "bottom_rail_width": 70}),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(field, panel):
    """By name, value and limit."""
    refused(f"fronts[0].panel.{field}", **{**door(**panel), "whole": {"width": 560 if field != "stile_width" else 480}})


def test_a_heavy_door_on_stub_tenons_is_warned_of():
    """Above 5 kg stub tenons want a sheet panel glued in, or full tenons."""
    heavy = {**door(board="softwood-28", stile_width=90), "whole": {"width": 560, "height": 1800}}

    def warned(**panel):
        front = {**heavy["fronts"][0], "panel": {**heavy["fronts"][0]["panel"], **panel}}

        return [each for each in found(build_piece(**{**heavy, "fronts": [front]})) if each.check == "stub tenons"]

    (finding,) = warned()
    assert finding.value > finding.limit == 5.0
    assert not warned(panel_glued=True) and not warned(tenons="full")


def test_a_bolt_through_a_tenon_is_bored_through_both():
    """A knob on the stile at the height of a mid rail with full tenons: one axis through stile and tenon, and no finding."""
    made = keeps_every_rule(**door(tenons="full", mid_rails=[450]))

    bored = [
        key
        for key in ("stile.closing", "rail.mid")
        if any(getattr(each, "purpose", "") == "knob bolt" for each in part(made, key).shape.features)
    ]
    assert bored == ["stile.closing", "rail.mid"]
    assert not [each for each in found(made) if each.severity == "stop"]
