"""The sums against published figures and textbook relations, each with its source in `references/mechanics.json`."""

from __future__ import annotations

import json
import math
from pathlib import Path

import pytest

from core.mechanics import (
    GRAVITY,
    compound_mitre,
    goes_through,
    holding_moment,
    lead_edge_need,
    movement,
    plate_sag,
    point_sag,
    ribbed_stiffness,
    second_moment,
    shelf_sag,
    spread_sag,
    stand_up_height,
    strap_force,
    tube_second_moment,
)

REFERENCES = json.loads((Path(__file__).parent / "references" / "mechanics.json").read_text(encoding="utf-8"))
MM_PER_INCH, PA_PER_PSF, MPA_PER_PSI = 25.4, 47.880259, 0.00689476


@pytest.mark.parametrize(
    "row", REFERENCES["shelf_spans"]["rows"], ids=lambda row: f"{row['psi']}-{row['thick']}-{row['psf']}"
)
def test_shelf_sag_reproduces_a_published_span_table(row):
    """At the span the casework standard prints, sag is just inside L/144; half an inch longer it is not far outside."""
    load_per_mm = row["psf"] * PA_PER_PSF / 1e6  # N per mm of span and mm of depth
    modulus, thick = row["psi"] * MPA_PER_PSI, row["thick"] * MM_PER_INCH

    def sag_share(inches: float) -> float:
        span = inches * MM_PER_INCH
        return shelf_sag(span, 1.0, thick, modulus, load_per_mm * span / GRAVITY) * 144 / span

    assert sag_share(row["table"] - 0.05) <= 1.0
    assert sag_share(row["table"] + 0.75) >= 1.0
    assert sag_share(row["computed"]) == pytest.approx(1.0, abs=0.001)


@pytest.mark.parametrize("thick, span, sag", REFERENCES["mdf_shelves"]["rows"])
def test_shelf_sag_of_mdf(thick, span, sag):
    """300 mm deep, 20 kg, E 2500, by the board industry's own formula."""
    assert shelf_sag(span, 300, thick, 2500, 20) == pytest.approx(sag, abs=0.001)


def test_cabinet_acceptance_load():
    """718.2 Pa on a 762 mm shelf of 18 mm MDF sags 2.595 mm, within 1.6 mm to 305 mm (ANSI/KCMA A161.1 as quoted)."""
    depth = 300.0
    load = 718.2 * 762 * depth / 1e6 / GRAVITY
    assert shelf_sag(762, depth, 18, 2500, load) == pytest.approx(2.595, abs=0.002)
    assert shelf_sag(762, depth, 18, 2500, load) < 762 / 305 * 1.6 == pytest.approx(3.997, abs=0.002)


def test_a_load_in_the_middle_bends_more():
    """One load in the middle bends a beam 1.6 times as much as the same load spread (any text of mechanics)."""
    spread = spread_sag(1e9, 1000, 500)
    assert point_sag(1e9, 1000, 500, 500) == pytest.approx(1.6 * spread)
    assert point_sag(1e9, 1000, 500, 300) == pytest.approx(point_sag(1e9, 1000, 500, 700))
    assert point_sag(1e9, 1000, 500, 0) == 0


def test_a_rib_glued_on_is_stiffer_than_both_apart_and_weaker_than_a_solid_block():
    """The composite lies between two boards that slip on each other and one solid of the same height."""
    apart = 2500 * second_moment(500, 18) + 2500 * second_moment(20, 60)
    glued = ribbed_stiffness((500, 18, 2500), (20, 60, 2500))
    assert apart < glued < 2500 * second_moment(500, 78)
    same = ribbed_stiffness((20, 18, 2500), (20, 60, 2500))
    assert same == pytest.approx(2500 * second_moment(20, 78))


def test_a_tube_is_a_rod_less_its_bore():
    """Second moments of a tube and its bore add up to the rod's."""
    assert tube_second_moment(25, 12.5) == pytest.approx(math.pi * 25**4 / 64)
    assert tube_second_moment(25, 1.5) == pytest.approx(tube_second_moment(25, 12.5) - tube_second_moment(22, 11))


def test_plate_sag_of_a_square():
    """A square plate on four edges sags 0.00406 q a⁴/D (Timoshenko, from memory)."""
    rigidity = 2500 * 9**3 / (12 * (1 - 0.09))
    assert plate_sag(500, 500, 9, 2500, 718) == pytest.approx(0.00406 * 718e-6 * 500**4 / rigidity, rel=2e-3)


def test_tip_over_states():
    """The worked case of the references: shut, open, filled, with a child, with one drawer only, and the strap's
    force.
    """
    case = REFERENCES["tip_over"]
    carcass = (32, 230, 480)
    shut = [(5, 220, y) for y in (200, 420, 640, 860)]
    opened = [(5, -180, y) for y in (200, 420, 640, 860)]
    filled = [(5 + 6.43, -180, y) for y in (200, 420, 640, 860)]
    child = (27.2, -410, 900)
    tilt = math.degrees(math.atan2(10.9, 430))  # a block under the rear feet, over the depth that it stands on
    moments = (
        holding_moment([carcass, *shut]),
        holding_moment([carcass, *opened]),
        holding_moment([carcass, *filled]),
        holding_moment([carcass, *opened, child], tilt),
        holding_moment([carcass, *shut[:3], opened[3], child], tilt),
    )
    assert moments == pytest.approx(case["moments"], abs=0.01)
    assert strap_force(moments[3], 1050) == pytest.approx(case["strap"], abs=0.01)
    assert strap_force(10.0, 1050) == 0.0


@pytest.mark.parametrize("width, thick, gap", REFERENCES["lead_edges"]["rows"])
def test_lead_edge_of_a_door_on_a_pin_at_its_corner(width, thick, gap):
    """The far back corner sweeps √(w² + t²); the gap needed is what that is over w."""
    assert lead_edge_need(width, 0.0, thick, 0.0) == pytest.approx(gap, abs=1e-4)


@pytest.mark.parametrize("high, deep, diagonal", REFERENCES["standing_up"]["rows"])
def test_standing_a_case_up(high, deep, diagonal):
    """A case raised from its back needs its diagonal."""
    assert stand_up_height(high, deep) == pytest.approx(diagonal, abs=0.01)


@pytest.mark.parametrize("width, coefficient, change, moved", REFERENCES["movement"]["rows"])
def test_wood_movement(width, coefficient, change, moved):
    """Width × coefficient × change of moisture (Wood Handbook ch. 13)."""
    assert movement(width, coefficient, change) == pytest.approx(moved, abs=1e-3)


def test_a_case_goes_through_a_door_some_way_round():
    """What decides is the smaller section, in either attitude; a case larger every way does not pass."""
    assert goes_through((1150, 560, 1900), 740, 1980)
    assert goes_through((560, 1900, 1150), 740, 1980)
    assert goes_through((700, 1900, 1150), 1980, 740)
    assert not goes_through((800, 800, 800), 740, 1980)


@pytest.mark.parametrize("spring, corner, mitre, bevel", REFERENCES["compound_mitres"]["rows"])
def test_compound_mitres_are_those_of_the_published_table(spring, corner, mitre, bevel):
    """A sprung moulding flat on the saw, for any corner."""
    assert compound_mitre(spring, corner) == pytest.approx((mitre, bevel), abs=0.001)


@pytest.mark.parametrize("sides, mitre", REFERENCES["polygon_mitres"]["rows"])
def test_mitres_of_frames_with_equal_sides(sides, mitre):
    """Upright members, the moulding of a spring of 90°, are mitred at half of what the corner turns."""
    assert compound_mitre(90, 180 - 360 / sides) == pytest.approx((mitre, 0.0), abs=1e-9)
