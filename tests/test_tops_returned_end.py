"""A cornice whose returns stop short of the back: each end is mitred and turned back into itself by a small piece, glued."""

from __future__ import annotations

import json

import manifold3d
import numpy as np
import pytest
from pieces import keeps_every_rule, refused
from test_build_properties import solid_of

from core import build
from core.checks import findings
from core.errors import ParameterError
from core.mechanics import compound_mitre
from core.model import Cut, Model
from core.piece import Piece, loads
from core.solids import meshes_of, placed
from core.starters import starter_text

WIDTH, LIP, DROP, CLEAR, THICK = 70.0, 25.0, 12.0, 1.0, 40.0  # mm: the defaults


def cupboard(stops_short: float, **top: object) -> tuple[Piece, Model]:
    data = json.loads(starter_text("coat_cupboard"))
    data["top"].update(stops_short=stops_short, **top)
    piece = loads(json.dumps(data))
    return piece, build(piece)


def solid(model: Model, *keys: str) -> manifold3d.Manifold:
    """The judge's solid of some parts together."""
    parts = [model.part(key) for key in keys]
    meshes = meshes_of(part.shape for part in parts)
    made = [solid_of(placed(mesh, part.place)) for mesh, part in zip(meshes, parts, strict=True)]
    return manifold3d.Manifold.batch_boolean(made, manifold3d.OpType.Add)


def test_lengths_and_mitres():
    """Long points: the return's as much shorter as it stops short, the small piece no less than a member's width; every mitre 45°."""
    whole, short = cupboard(0)[1], cupboard(120)[1]
    for side in ("left", "right"):
        member, end = short.part(f"cornice/return.{side}"), short.part(f"cornice/end.{side}")
        assert member.size[0] == pytest.approx(whole.part(f"cornice/return.{side}").size[0] - 120)
        assert end.size[0] >= WIDTH and end.shape.section == member.shape.section
        mitres = [each for part in (member, end) for each in part.shape.features if isinstance(each, Cut)]
        assert [each.angle for each in mitres] == [45.0] * 3
    assert not [part.key for part in whole.parts if "cornice/end" in part.key]


@pytest.mark.parametrize("drop", [0.0, DROP])
@pytest.mark.parametrize("side", ["left", "right"])
def test_the_profile_runs_round_the_corner(side, drop):
    """The outer corner is its own mirror image about the mitre, so that the profile turns the corner as it is; nothing is left open."""
    _, model = cupboard(120, lip_drop=drop)
    both = solid(model, f"cornice/return.{side}", f"cornice/end.{side}")
    low, high = np.array(both.bounding_box()[:3]), np.array(both.bounding_box()[3:])
    size = (LIP - 0.01, LIP - 0.01, THICK)
    outer = low[0] if side == "left" else high[0] - size[0]
    corner = both ^ manifold3d.Manifold.cube(size).translate((outer, high[1] - size[1], low[2]))
    x, y = (low[0] if side == "left" else high[0]), high[1]
    sign = -1.0 if side == "left" else 1.0  # x − x₀ and y − y₀ change places across the mitre
    turn = [[0, sign, 0, x - sign * y], [sign, 0, 0, y - sign * x], [0, 0, 1, 0]]
    other = corner.transform(np.array(turn, float))
    assert corner.volume() > 0.5 * LIP * LIP * (THICK - 18)
    assert (corner - other).volume() < 1 and (other - corner).volume() < 1


def test_it_lies_over_the_carcass_and_holds():
    """The small piece runs into nothing, is glued without pins, and brings no finding of its own; the tie stands before it."""
    piece, model = cupboard(120)
    stops = [each for each in findings(piece, model) if each.severity == "stop"]
    assert not stops
    assert not [each for each in findings(piece, model) if any("cornice" in key for key in each.keys)]
    for side in ("left", "right"):
        end = solid(model, f"cornice/end.{side}")
        for other in model.parts:
            if other.key != f"cornice/end.{side}":
                assert (end ^ solid(model, other.key)).volume() < 1, other.key
        joint = next(
            each
            for each in model.joints
            if {f"cornice/end.{side}", f"cornice/return.{side}"} == {each.first, each.second}
        )
        assert joint.kind == "glue" and not joint.fasteners
    tie = model.part("cornice/tie")
    assert tie.place.origin[1] + tie.size[1] <= -120 - WIDTH + 1e-6


@pytest.mark.parametrize("short", [1.0, 60.0, 250.0])
def test_any_stop_is_built_or_refused(short):
    """Near the back or far from it."""
    _, model = cupboard(short)
    assert max(model.part(f"cornice/end.{s}").place.origin[1] for s in ("left", "right")) <= -short + 1e-6


def test_too_short_a_return_is_refused():
    """The refusal says how far it may stop short."""
    with pytest.raises(ParameterError, match=r"stops_short: 600 mm .* use at most \d+ mm"):
        cupboard(600)


# --------------------------------------------------------------------------------------------------------------- sprung
@pytest.mark.parametrize("face", ["flat", "hollow"])
@pytest.mark.parametrize("spring", [38, 45])
def test_a_sprung_return_turns_its_corner_at_the_compound_angle(spring, face):
    """Both mitres of a returned end are the table's for 90°, the moulding turns the corner as its own mirror image, nothing runs into another."""
    top = {"style": "sprung_cornice", "spring": spring, "face": face, "stops_short": 60}
    made = keeps_every_rule(whole={"width": 900, "height": 1200, "depth": 450}, top=top)
    rear = max(made.boxes[f"cornice/{key}"][1][1] for key in ("end.left", "end.right"))
    assert rear == pytest.approx(-60)
    for side, sign in (("left", -1.0), ("right", 1.0)):
        member, end = made.model.part(f"cornice/return.{side}"), made.model.part(f"cornice/end.{side}")
        assert end.size[0] > end.board.thickness  # rule book J7: no shorter than the moulding is thick
        mitres = [
            each
            for part in (member, end)
            for each in part.shape.features
            if isinstance(each, Cut) and each.kind == "mitre"
        ]
        assert len(mitres) == 3
        for each in mitres:
            assert (each.mitre, each.bevel) == pytest.approx(compound_mitre(spring, 90), abs=1e-4)
        both = solid(made.model, member.key, end.key)
        low, high = np.array(both.bounding_box()[:3]), np.array(both.bounding_box()[3:])
        x, y, reach = (low[0] if side == "left" else high[0]), high[1], end.size[0]
        at = (x if side == "left" else x - reach, y - reach, low[2])
        corner = both ^ manifold3d.Manifold.cube((reach, reach, float(high[2] - low[2]))).translate(at)
        turn = [[0, sign, 0, x - sign * y], [sign, 0, 0, y - sign * x], [0, 0, 1, 0]]
        other = corner.transform(np.array(turn, float))
        assert corner.volume() > 1000 and (corner - other).volume() < 5 and (other - corner).volume() < 5


def test_too_short_a_sprung_return_is_refused():
    """The refusal says how far it may stop short."""
    said = refused("top.stops_short", top={"style": "sprung_cornice", "stops_short": 500})
    assert "use at most" in said
