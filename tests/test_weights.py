"""Masses against the demo piece as worked out by hand, and against a general-purpose mesh library."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import trimesh
from checks_help import demo

from core.model import Hole
from core.solids import mesh_of
from core.weights import (
    NOTHING,
    together,
    weight_of_fastener,
    weight_of_fitting,
    weight_of_part,
    weights_of,
)


def without_holes(part):
    kept = tuple(feature for feature in part.shape.features if not isinstance(feature, Hole))
    return replace(part, shape=replace(part.shape, features=kept))


def test_the_demo_weighs_what_it_does_by_hand():
    """122.5 kg of parts by hand, holes not taken off.

    The solids come to 122.1: the hand reckoning leaves on the cornice's cove (0.42 kg of oak) and the hinge and
    strike recesses, and takes hardwood at 690 kg/m³ where the stiffeners are beech at 717. Holes take another 0.14 kg
    off.
    """
    parts = demo()[1].parts
    assert together(weight_of_part(without_holes(part)) for part in parts).mass == pytest.approx(
        122.5 - 0.42 + 0.05, abs=0.1
    )
    assert together(map(weight_of_part, parts)).mass == pytest.approx(122.1 - 0.14, abs=0.1)


def test_the_centre_of_mass_of_the_demo():
    """By hand 309 in front of the back plane, 968 above the floor, 22 to the right."""
    x, y, z = together(map(weight_of_part, demo()[1].parts)).centre
    assert (x, y, z) == (pytest.approx(22, abs=1), pytest.approx(-309, abs=1), pytest.approx(968, abs=4))


@pytest.mark.parametrize(
    "stem, by_hand",
    [
        ("carcass/side.left side.left", 15.3),
        ("doors/leaf.left", 12.2),
        ("drawer", 10.3),
        ("carcass/upright", 9.8),
        ("carcass/bottom", 7.4),
        ("shelves/shelf.1", 3.3),
        ("carcass/back", 8.2),
        ("cornice/front cornice/return", 3.39 - 0.42),
    ],
)
def test_groups_of_the_demo(stem, by_hand):
    """A side with its legs, a door, the drawer, a horizontal, a shelf, the back; the moulding's three members less
    their cove.
    """
    parts = [part for part in demo()[1].parts if part.key.startswith(tuple(stem.split()))]
    assert together(map(weight_of_part, parts)).mass == pytest.approx(by_hand, abs=0.15)


def test_volumes_and_centres_agree_with_a_mesh_library():
    """trimesh finds the same volume and centre for every part's mesh."""
    for part in demo()[1].parts:
        mesh = mesh_of(part.shape)
        judge = trimesh.Trimesh(mesh.vertices, mesh.triangles(), process=False)
        weight = weight_of_part(part)
        assert weight.mass == pytest.approx(judge.volume * part.board.material.density / 1e9, rel=1e-7)
        assert np.allclose(part.place.points(judge.center_mass[None]), weight.centre, atol=1e-5)


def test_fittings_and_fasteners_count():
    """The whole is parts, fittings and fasteners; a dowel 8 × 40 of beech weighs 1.4 g, a hinge what its entry says."""
    model = demo()[1]
    weights = weights_of(model)
    whole = together(weights.values())
    assert whole.mass == pytest.approx(sum(each.mass for each in weights.values()))
    dowel = next(each for each in model.fasteners if each.name == "dowel 8 × 40")
    assert weight_of_fastener(dowel).mass == pytest.approx(np.pi * 16 * 40 * 717 / 1e9)
    hinge = [fitting for fitting in model.fittings if fitting.key.startswith("doors/leaf.left/hinge.1")]
    assert sum(weight_of_fitting(each).mass for each in hinge) == pytest.approx(0.073)
    assert all(isinstance(value, float) for value in whole.centre)


def test_nothing_weighs_nothing():
    """No things together weigh nothing."""
    assert together(()) == NOTHING
