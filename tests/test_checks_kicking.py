"""A kick against the foot of whatever a piece stands on."""

from __future__ import annotations

import json
from dataclasses import replace

import numpy as np
import pytest
from checks_help import found, only
from pieces import built as on_a_stand
from pieces import data as piece_on
from strategies import mirrored
from test_build_framed_sides import data as framed_data

from core.build import build
from core.checks import breaking
from core.checks.kicking import kicked_leg
from core.materials import material, strength
from core.model import Fastener, Model
from core.piece import Piece
from core.piece.files import loads
from core.starters import starter_kinds, starter_text


def kicked(height: float, **support):
    data = json.loads(starter_text("coat-cupboard"))
    data["support"] |= {"height": height, **support}
    piece = loads(json.dumps(data))
    return list(kicked_leg(piece, build(piece)))


def test_the_leg_of_the_coat_cupboard_bears_a_kick():
    """Worked by hand: 200 N × 150 = 30 000 N·mm; the stile 9 × 80 takes 20 × 80 × 81 / 6 = 21 600; 8 400 / 27 = 311 N on one screw,
    over 10 847 mm² of glue 0.03 N/mm²."""
    (told,) = kicked(150.0)
    assert told.severity == "note" and told.value == pytest.approx(311.1, abs=0.1)
    assert "0.03 N/mm²" in told.text


def test_a_long_leg_is_told():
    """A known bad one: 250 mm up, (200 × 250 − 21 600) / 27 = 1052 N is more than the 750 N of a screw in an edge."""
    (told,) = kicked(250.0)
    assert told.severity == "warn" and told.value == pytest.approx(1051.9, abs=0.1)


def test_a_piece_without_such_legs_is_not_told():
    """A plinth has no leg to kick."""
    piece = loads(starter_text("bookcase"))
    assert not list(kicked_leg(piece, build(piece)))


# ------------------------------------------------------------------------------------------------ what other feet bear
PLY_RAILS = {"style": "square_legs", "leg_board": "oak-40", "rail_board": "birch-ply-15"}


def stood(kind: str, boards: tuple[dict, ...] = (), **support) -> tuple[Piece, Model]:
    """A starter piece on another support, or with values of its own changed."""
    data = json.loads(starter_text(kind))
    data["support"] = support if "style" in support else data["support"] | support
    data["boards"] += [each for each in boards if each["id"] not in {known["id"] for known in data["boards"]}]
    piece = loads(json.dumps(data))
    return piece, build(piece)


def posts(**panel) -> tuple[Piece, Model]:
    """A piece on posts, 150 high."""
    framed = framed_data(**panel)
    framed["support"] = {"style": "stile_posts", "height": 150}
    piece = loads(json.dumps(framed))
    return piece, build(piece)


def told(built: tuple[Piece, Model]):
    """The one finding about a kick."""
    return only(found(built, "kicked leg", "kicked foot"))


def board(material: str, thickness: float) -> dict:
    return {"id": f"{material}-{thickness:g}", "material": material, "thickness": thickness}


@pytest.mark.parametrize(
    ("id", "rupture", "sheared"),
    [("white-oak", 15200, None), ("ash", 15400, 1910), ("beech", 14900, 2010), ("birch", 16600, 1880), ("cherry", 12300, 1700)],
)  # fmt: skip
def test_wood_breaks_as_the_wood_handbook_tables(id, rupture, sheared):
    """Wood Handbook Table 5-3b prints psi; 145.04 psi are 1 N/mm²."""
    assert strength(id).bending == pytest.approx(rupture / 145.04, abs=0.6)
    assert sheared is None or strength(id).shear == pytest.approx(sheared / 145.04, abs=0.06)


def test_glued_cheeks_bear_less_by_reckoning_than_tested_joints_did():
    """Red oak, tenon 32 long, 38 high: J = 2 × 1216 × 2468 / 12 = 500 181, r = 24.84; at 12.3 N/mm² that is 248 N·m. Of 215 such joints
    95 in 100 bore 266 N·m, 353 in the mean (Eckelman, Uysal and Haviarova 2016)."""
    at_rupture = strength("red-oak").shear / breaking.Tenon(32, 38, 9.5, 0).cheek_shear(1.0)
    assert at_rupture == pytest.approx(248_000, abs=500) and at_rupture < 266_000


def test_a_mortise_weakens_a_leg():
    """40 square, mortised 10 wide and 20 deep: across 211 667 / 20; the deep way 183 810 / 21.43, its middle moved by the mortise."""
    hole = np.array([[15.0, -1.0, 0.0], [25.0, 20.0, 50.0]])
    bent = [breaking.section_modulus((0, 0, 0), (40, 40, 99), [hole], axis) for axis in (0, 1)]
    assert bent == pytest.approx([10_583.3, 8_577.8], abs=0.1)
    assert breaking.section_modulus((0, 0, 0), (40, 40, 99), [hole, hole], 0) == pytest.approx(bent[0])  # counted once


def test_screws_in_solid_wood_hold_as_the_wood_handbook_is_quoted():
    """15,700 G² D lb an inch: diameter 0.164 in, 1 in deep, G 0.70: 1262 lb, 5613 N; half of that is allowed, in wood whose weight was read."""
    wood, put = (
        replace(material("red-oak"), density=0.70 * 1120),
        Fastener(
            key="", kind="screw", name="", diameter=0.164 * 25.4, length=45.4, at=(0, 0, 0), along=(0, 0, 1), parts=()
        ),
    )
    bears = breaking.screw_bears(put, 20.0, wood)
    assert bears.most == pytest.approx(5613 / 2, rel=0.001) and bears.read
    assert not breaking.screw_bears(put, 20.0, material("pine")).read
    assert not breaking.screw_bears(put, 20.0, material("birch-ply")).read


def test_tenons_of_the_sideboard_bear_a_kick():
    """Rail 140 to 200, tenon 25 × 45 × 7 from 145: 200 N × 167.5 = 33 500 N·mm, over 7 × 45² / 6 = 2362.5 mm³ is 14.18 N/mm²; beech half of
    103."""
    kick = told(stood("sideboard"))
    assert (kick.severity, kick.unit) == ("note", "N/mm²") and "bends the tenon of the front rail" in kick.text
    assert (kick.value, kick.limit) == (pytest.approx(14.180, abs=0.001), pytest.approx(51.5))


def test_tenons_of_a_narrow_rail_on_long_legs_are_told():
    """A known bad one: rail 40 at 220, tenon 25 × 25 × 7 from 225: 200 × 237.5 / (7 × 25² / 6) = 65.14."""
    kick = told(stood("sideboard", height=260, rail_width=40))
    assert kick.severity == "warn" and kick.value == pytest.approx(65.143, abs=0.001) and "ider rails" in kick.remedy


@pytest.mark.parametrize(("height", "rail", "pull", "severity"), [(200, 60, 800, "note"), (240, 44, 2181.8, "warn")])
def test_dowels_of_a_leg_draw(height, rail, pull, severity):
    """Outward the leg turns about the rail's upper edge: 200 N × 200 × 45 / (45² + 15²) = 800 N; a dowel 8, 20 deep in its hole, may have
    π × 8 × 20 × 4.9 / 2 = 1231. A rail 44 wide has one, 22 from its edge: 240 high, 200 N × 240 / 22 = 2182."""
    kick = told(stood("sideboard", joint="dowels", height=height, rail_width=rail))
    assert (kick.severity, kick.unit) == (severity, "N") and kick.value == pytest.approx(pull, abs=0.05)
    assert kick.limit == pytest.approx(1231.5, abs=0.1)


@pytest.mark.parametrize(("thick", "severity"), [(34, "warn"), (44, "note")])
def test_a_leg_too_thin_is_told(thick, severity):
    """Pine may have two thirds of 24 N/mm². 34 square, kicked 635 below its mortises, bends by more than that; 44 does not."""
    legs = {
        "style": "square_legs",
        "height": 750,
        "leg_board": f"pine-{thick}",
        "rail_board": "beech-16",
        "rail_width": 120,
    }
    boards = [*piece_on()["boards"], board("pine", thick), board("beech", 16)]
    made = on_a_stand(whole={"height": 1400}, boards=boards, support=legs)
    kick = told((made.piece, made.model))
    assert kick.severity == severity and kick.limit == 16.0 and "bends the leg" in kick.text
    whole = 200 * 635 / (thick**3 / 6)
    assert whole < kick.value < 1.6 * whole


@pytest.mark.parametrize(("reveal", "severity"), [(0, "warn"), (3, "note")])
def test_a_corner_block_too_small_is_told(reveal, severity):
    """Blocks 60 of MDF 16, notched 40 − 20 − the set-back around the leg: 200 N / ((60 − 20) × 16) = 0.313 N/mm², 0.291 where 43 are glued;
    two thirds of 0.45 allowed."""
    boards = [*piece_on()["boards"], board("mdf", 16)]
    made = on_a_stand(
        boards=boards, support={"style": "square_legs", "reveal": reveal, "block": 60, "block_board": "mdf-16"}
    )
    kick = told((made.piece, made.model))
    assert kick.severity == severity and "corner block" in kick.text and kick.limit == pytest.approx(0.3)
    assert kick.value == pytest.approx(200 / ((40 + reveal) * 16), abs=0.001)


def test_thin_posts_are_told():
    """A known bad one: pine posts 20 × 50, 400 high: 200 × 400 / (50 × 20² / 6) = 24.0 N/mm² sideways; two thirds of 24 allowed."""
    frame = {
        "style": "frame_and_panel",
        "tenons": "full",
        "stile_width": 50,
        "bottom_rail_width": 150,
        "board": "pine-20",
    }
    made = on_a_stand(
        boards=[*piece_on()["boards"], board("pine", 20)], carcass={"sides": "frame", "side_panel": frame}, support={"style": "stile_posts", "height": 400},
    )  # fmt: skip
    kick = told((made.piece, made.model))
    assert kick.severity == "warn" and "sideways" in kick.text and "stile" in kick.text
    assert (kick.value, kick.limit) == (pytest.approx(24.0), pytest.approx(16.0))


def test_stub_tenons_of_posts_bear_a_kick():
    """Tenon 10 × 70 from 150: 200 N × 185 = 37 000 N·mm; r = 35.36, J = 2 × 700 × 5000 / 12 = 583 333: 2.243 N/mm², of beech half of 13.9."""
    kick = told(posts(style="frame_and_panel"))
    assert kick.severity == "note" and "front to back" in kick.text and "glue of the tenon" in kick.text
    assert (kick.value, kick.limit) == (pytest.approx(2.243, abs=0.001), pytest.approx(6.95))


def test_posts_whose_tenons_are_too_short_are_told():
    """A known bad one: the same joint 2 mm long bears little: glue, 2 × 2 × 70."""
    piece, model = posts(style="frame_and_panel")
    short = [
        replace(each, glue_area=each.glue_area / 5) if each.second.endswith("/rail.bottom") else each
        for each in model.joints
    ]
    kick = told((piece, replace(model, joints=tuple(short))))
    assert kick.severity == "warn" and "tenon" in kick.text


def test_full_tenons_of_posts_are_told_by_their_bending():
    """Tenon 66.5 × 65 × 6.5 from 155: 200 × 187.5 / (6.5 × 65² / 6) = 8.193."""
    assert told(posts(style="frame_and_panel", tenons="full")).value == pytest.approx(8.193, abs=0.001)


def test_blocks_of_a_bracket_foot_bear_a_kick():
    """Upright block 28 × 110: 200 / 3080 = 0.065; and 200 N × 55 = 11 000 N·mm × 56.75 / 3 306 893 = 0.189: together 0.254 N/mm²; softwood
    two thirds of 4.0, a third of that across the grain: 0.889."""
    kick = told(stood("chest-of-drawers"))
    assert kick.severity == "note" and "corner block" in kick.text
    assert (kick.value, kick.limit) == (pytest.approx(0.254, abs=0.001), pytest.approx(0.889, abs=0.001))


def test_small_blocks_of_fibreboard_in_a_high_foot_are_told():
    """A known bad one: brackets 110 long, 20 thick, 200 high, blocks of MDF 18: the glue 62 × 18 = 1116 mm² lies 69 from the corner:
    40 000 / 69 / 1116 = 0.519 N/mm²; MDF may have two thirds of 0.45."""
    kick = told(
        stood("bookcase", (board("mdf", 18), board("beech", 20)), style="bracket_base", height=200, foot=110, board="beech-20", block_board="mdf-18")
    )  # fmt: skip
    assert kick.severity == "warn" and "glue block" in kick.text and "Larger blocks" in kick.remedy
    assert (kick.value, kick.limit) == (pytest.approx(0.519, abs=0.001), pytest.approx(0.3))


def test_the_block_of_a_levelling_foot_bears_a_kick_and_not_on_one_screw():
    """Foot 16, block 28: 200 N × 44 = 8800 N·mm, over two screws 45 from the edge 97.8 N; front to back a little more. A known bad one: with one
    screw of the two, 13.5 to 20 from the edge it turns about, and blocks 40 thick, 200 × 56 / 20 = 560 at least."""
    kick = told(stood("bookcase", style="levelling_feet"))
    assert kick.severity == "note" and 97.8 <= kick.value < 130 and kick.limit == pytest.approx(666.667)
    piece, model = stood("bookcase", (board("pine", 40),), style="levelling_feet", block_board="pine-40")
    held = [
        replace(each, fasteners=each.fasteners[:1]) if each.second.startswith("feet/block.") else each
        for each in model.joints
    ]
    kick = told((piece, replace(model, joints=tuple(held))))
    assert kick.severity == "warn" and kick.value > 666.667 and "More screws" in kick.remedy


def test_what_nobody_read_never_warns():
    """Of plywood no strength was read: the finding says so and stays a note, however much is asked."""
    made = on_a_stand(support=PLY_RAILS)
    kick = told((made.piece, made.model))
    assert kick.severity == "note" and kick.value > kick.limit
    assert "unverified" in kick.text and "from memory" in kick.source and kick.remedy


@pytest.mark.parametrize("style", ["recessed_plinth", "glides", "castors"])
def test_what_no_kick_breaks_is_left_out(style):
    """A plinth runs round, a glide has no height, a castor rolls away."""
    assert not found(stood("bookcase", style=style), "kicked leg", "kicked foot")


@pytest.mark.parametrize("kind", starter_kinds())
def test_no_starter_piece_breaks_at_a_kick(kind):
    """A joiner would kick each of them without fear."""
    assert all(each.severity == "note" for each in found(stood(kind), "kicked leg", "kicked foot"))


@pytest.mark.parametrize(
    "support",
    [{"style": "square_legs"}, {"style": "tapered_legs", "joint": "dowels"}, {"style": "bracket_base"}, {"style": "levelling_feet"}],
    ids=str,
)  # fmt: skip
def test_the_mirror_image_is_kicked_alike(support):
    """Left and right exchanged, the same value and limit."""
    data = piece_on(support=support)
    pieces = [loads(json.dumps(each)) for each in (data, mirrored(json.loads(json.dumps(data))))]
    one, other = (told((piece, build(piece))) for piece in pieces)
    assert (one.severity, one.value, one.limit) == (other.severity, other.value, other.limit)
