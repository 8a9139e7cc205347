"""The materials library against published figures."""

import json
from pathlib import Path

import pytest

from core.errors import ParameterError
from core.materials import material, materials, sources

REFERENCES = json.loads((Path(__file__).parent / "references" / "materials.json").read_text(encoding="utf-8"))

DEMO = {
    "mdf": 750,
    "birch-ply": 680,
    "oak": 700,
    "hardwood": 690,
    "softwood": 500,
}  # what the demo piece is weighed with
SPECIES = {
    "red-oak": "red oak, commercial",
    "white-oak": "white oak, commercial",
    "oak": "white oak, commercial",
    "maple": "maple, sugar",
    "cherry": "cherry, black",
    "walnut": "walnut, black",
    "beech": "beech, American",
    "hardwood": "beech, American",
    "ash": "ash, white",
    "birch": "birch, yellow",
}
FROM_MEMORY = {
    "mdf-mr",
    "birch-ply",
    "oak",
    "hardwood",
    "walnut",
    "tulipwood",
    "softwood",
    "pine",
    "steel",
    "brass",
    "zinc",
}
FROM_MEMORY |= {"glass", "mirror"}


@pytest.mark.parametrize("id, density", DEMO.items())
def test_the_demo_is_weighed_with_the_densities_of_its_pencil_sheet(id, density):
    """MDF 750, birch plywood 680, oak 700, hardwood 690, softwood 500 kg/m³."""
    assert material(id).density == density


@pytest.mark.parametrize("id, species", SPECIES.items())
def test_solid_wood_moves_as_the_wood_handbook_tables(id, species):
    """Radial and tangential coefficients are those of Wood Handbook Table 13-5."""
    radial, tangential = REFERENCES["movement"][species]
    assert (material(id).radial, material(id).tangential) == (radial, tangential)


@pytest.mark.parametrize("id", [id for id in REFERENCES["strength"] if id not in ("source", "columns")])
def test_timber_weighs_and_bends_as_the_wood_handbook_tables(id):
    """Density is 1000 × specific gravity × 1.12 at 12 per cent; the modulus is the table's."""
    gravity, modulus = REFERENCES["strength"][id]
    assert material(id).density == pytest.approx(1120 * gravity, abs=0.5)
    assert material(id).modulus == pytest.approx(modulus, rel=0.0005)


def test_a_red_oak_board_moves_as_worked_by_hand():
    """300 mm of red oak from 6 to 9 per cent moisture: 3.321 mm flat sawn, 1.422 mm quarter sawn."""
    oak, worked = material("red-oak"), REFERENCES["worked movement"]
    assert 300 * oak.tangential * 3 == pytest.approx(worked["flat sawn"], abs=0.001)
    assert 300 * oak.radial * 3 == pytest.approx(worked["quarter sawn"], abs=0.001)


def test_creep_is_that_of_eurocode_5():
    """Lasting load adds k_def times the first deflection: solid wood 0.6, plywood 0.8, MDF and particleboard 2.25."""
    creep = REFERENCES["creep"]
    assert {each.creep for each in materials() if each.kind == "solid"} == {creep["solid"]}
    assert material("plywood").creep == material("birch-ply").creep == creep["plywood"]
    assert material("mdf").creep == creep["MDF"]
    assert material("particleboard").creep == creep["particleboard P4"]


def test_a_sheet_of_mdf_weighs_forty_kilograms():
    """2440 × 1220 × 18 of MDF is 40.19 kg."""
    assert 2.440 * 1.220 * 0.018 * material("mdf").density == pytest.approx(40.19, abs=0.005)


def test_weak_edges_are_those_of_the_pressed_boards():
    """Screws near an edge get plugs in MDF and particleboard, not in plywood or solid wood."""
    assert {each.id for each in materials() if each.weak_edge} == {"mdf", "mdf-mr", "particleboard"}


def test_pressed_boards_have_no_grain():
    """MDF and particleboard may be turned on the sheet; plywood and solid wood may not."""
    for each in materials():
        assert each.grained == (each.kind == "solid" or "ply" in each.id), each.id


def test_only_solid_wood_moves_across_the_grain():
    """Every solid wood has both coefficients, the tangential the greater; nothing else has any."""
    for each in materials():
        if each.kind == "solid":
            assert 0 < each.radial < each.tangential < 0.006, each.id
        else:
            assert each.radial == each.tangential == 0.0, each.id


def test_every_figure_says_where_it_comes_from():
    """Each figure has its source in words; a figure from memory makes its material unverified."""
    for each in materials():
        words = sources(each.id)
        for name in ("density", "modulus", "creep", "radial", "tangential"):
            assert getattr(each, name) == 0 or len(words[name]) > 10, f"{each.id}.{name}"
        recalled = any("from memory" in word or "no source" in word for word in words.values())
        assert each.verified != recalled, each.id
    assert {each.id for each in materials() if not each.verified} == FROM_MEMORY


def test_figures_lie_where_such_materials_lie():
    """No density or modulus is off by a factor of ten."""
    ranges = {"sheet": ((450, 900), (1000, 12000)), "solid": ((350, 900), (7000, 16000))}
    ranges |= {"metal": ((2500, 9000), (60000, 220000)), "glass": ((2400, 2600), (60000, 80000))}
    for each in materials():
        (light, heavy), (soft, stiff) = ranges[each.kind]
        assert light <= each.density <= heavy and soft <= each.modulus <= stiff, each.id


def test_an_underscore_is_read_as_a_dash():
    """`birch_ply` and `birch-ply` are the same material."""
    assert material("birch_ply") is material("birch-ply")


def test_an_unknown_material_is_refused_with_the_nearest():
    """The message names what was asked for and what may have been meant."""
    with pytest.raises(ParameterError, match='no material "wallnut"; did you mean "walnut"'):
        material("wallnut")
    with pytest.raises(ParameterError, match="known are ash, beech"):
        material("§")
