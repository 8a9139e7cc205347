"""Hardwood plugs under the screws of fittings: where the material is weak, or as the maker switches it for a board."""

from __future__ import annotations

import json

import pytest
from examples import example_text
from test_build_properties import ALL_RULES, Built, mirror_image_is_built, without_hands

from core.build import build
from core.checks import findings
from core.piece.files import loads


def sideboard(material: str, plugs: str) -> dict:
    data = json.loads(example_text("starter sideboard"))
    for board in data["boards"]:
        if board["id"] in ("mdf-18", "mdf-9"):
            board |= {"material": material, "plugs": plugs}
    return data


@pytest.mark.parametrize(
    ("material", "plugs", "plugged"),
    [
        ("mdf", "weak", True),
        ("mdf", "never", False),
        ("mdf", "always", True),
        ("birch-ply", "weak", False),
        ("birch-ply", "always", True),
    ],
)
def test_the_maker_switches_plugs_for_each_board(material, plugs, plugged):
    """By default weak board has plugs and sound board none; switched, the screws have pilots in the board, or plugs in it, all rules kept."""
    data = sideboard(material, plugs)
    made = Built(loads(json.dumps(data)), build(loads(json.dumps(data))))
    for rule in ALL_RULES:
        rule(made)
    mirror_image_is_built(without_hands(data))
    screws = [each for each in made.model.fasteners if each.kind == "screw" and "hinge" in each.purpose]
    plugs_found = [each for each in made.model.fasteners if each.kind == "plug" and "hinge" in each.purpose]
    assert len(screws) >= 16 and bool(plugs_found) == plugged
    told = [each for each in findings(made.piece, made.model) if each.check == "screw in a weak edge"]
    assert bool([each for each in told if "hinge" in each.text]) == (material == "mdf" and not plugged)


def test_boards_are_one_material_whatever_their_plugs():
    """The switch is the workshop's way of screwing: cutting lists and plans take the board as the same."""
    one, other = (
        build(loads(json.dumps(sideboard("mdf", plugs)))).part("carcass/bottom") for plugs in ("weak", "never")
    )
    assert one.board == other.board and hash(one.board) == hash(other.board)
