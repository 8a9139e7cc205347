"""Glazed doors: rebates, long and short shoulders, panes with room, beads mitred and pinned, mass and caution."""

import json

import numpy as np
import pytest
from pieces import box, found, keeps_every_rule, one_door, refused
from pieces import built as build_piece

from core.checks.cautions import cautions
from core.exports.gltf import glb_bytes
from core.piece.finish import Finish
from core.weights import weight_of_part

STYLE = {"style": "glazed"}


def door(hanging="hinge-butt-65", **panel):
    """A piece with one glazed door."""
    return one_door({**STYLE, **panel}, hanging)


@pytest.mark.parametrize(
    "panel",
    [{}, {"mid_rails": [450]}, {"muntins": 1, "mid_rails": [300, 600], "muntin_width": 60}, {"glass": 6, "bead": 6, "rebate_width": 12}, {"board": "oak-25", "bead": 10, "stile_width": 60}, {"board": "mdf-18", "bead": 7, "hanging": "hinge-butt-50"}],
    ids=str,
)  # fmt: skip
def test_a_glazed_door_can_be_built(panel):
    """One pane or many, thin glass and thick, in frames of any board."""
    keeps_every_rule(**door(**panel))


def test_the_pair_is_a_mirror_image():
    """Panes and beads of the left door are those of the right, mirrored."""
    keeps_every_rule(
        whole={"width": 1000},
        fronts=[
            {
                "id": "doors",
                "kind": "pair",
                "closes": ["all"],
                "hanging": {"hinge": "hinge-butt-65"},
                "panel": {**STYLE, "muntins": 1, "mid_rails": [450]},
            }
        ],
    )


def test_a_pane_is_the_rebate_less_three():
    """Glass = rebate − 3 each way, 1.5 at each edge; it laps the frame by 8.5."""
    made = build_piece(**door())
    pane, stile, rail = (box(made, f"door/leaf.left/{name}") for name in ("pane", "stile.hinge", "rail.bottom"))
    assert pane[0][0] == pytest.approx(stile[1][0] - 10 + 1.5)
    assert pane[0][2] == pytest.approx(rail[1][2] - 10 + 1.5)
    assert np.diff(pane, axis=0)[0][1] == 4


def test_glass_weighs_two_and_a_half_kilograms():
    """2.5 kg to the square metre for each mm (a glass seller's rule, read): 4 mm is 10 kg/m²."""
    made = build_piece(**door())
    pane = made.model.part("door/leaf.left/pane")
    assert weight_of_part(pane).mass == pytest.approx(pane.size[0] * pane.size[1] / 1e6 * 10)


def test_every_corner_of_the_beads_is_a_mitre():
    """Four beads, each sawn at 45° at both ends, meet without gap or overlap: their volumes add up to the ring."""
    from core.solids import mesh_of, volume

    made = build_piece(**door())
    beads = [each for each in made.model.parts if each.role == "bead"]
    pane = made.model.part("door/leaf.left/pane")
    wide, high = pane.size[1] + 3, pane.size[0] + 3
    ring = (wide * high - (wide - 20) * (high - 20)) * 8
    assert len(beads) == 4 and sum(volume(mesh_of(each.shape)) for each in beads) == pytest.approx(ring)


def test_glass_brings_its_caution_and_its_finding():
    """A low or large pane is told of with its figure and limit, and the caution for glass is printed."""
    made = build_piece(**door())
    (finding,) = [each for each in found(made) if each.check == "glass"]
    assert finding.severity == "note" and finding.value < finding.limit == 1500.0
    assert any(each.about == "glass" for each in cautions(made.piece, made.model))
    assert not [each for each in found(build_piece(fronts=[])) if each.check == "glass"]


def test_what_cannot_be_is_refused():
    """By name, value and limit."""
    assert "4" in refused("fronts[0].panel.bead", **door(bead=14))
    assert "rebate" in refused("fronts[0].panel.rebate_width", **door(stile_width=30, rebate_width=20))
    assert '"glazed"' in refused("carcass.side_panel.style", carcass={"side_panel": STYLE})
    drawer = {"id": "drawer", "kind": "drawer", "closes": ["all"], "drawer": {"runner": ""}, "panel": STYLE}
    assert '"glazed"' in refused("fronts[0].panel.style", whole={"height": 400}, fronts=[drawer])
    assert "pins" in refused("fronts[0].panel.muntin_width", **door(muntins=1, muntin_width=32))


def test_a_pane_is_clear_in_the_exported_model():
    """Rule: nothing paints glass: in the exported model a pane has a see-through material and no coating."""
    data = glb_bytes(build_piece(**door()).model, marks={}, scheme=Finish().scheme())
    length = int.from_bytes(data[12:16], "little")
    document = json.loads(data[20 : 20 + length])
    pane = next(node for node in document["nodes"] if node["name"].endswith("/pane"))
    material = document["materials"][document["meshes"][pane["mesh"]]["primitives"][0]["material"]]
    assert material["alphaMode"] == "BLEND" and material["pbrMetallicRoughness"]["baseColorFactor"][3] < 0.5
    assert "coating" not in pane["extras"] and pane["extras"]["material"]
