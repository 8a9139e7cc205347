"""Overlaps and joints: nothing shares space, everything hangs together; a boolean library is the judge."""

from __future__ import annotations

import math
import random
from dataclasses import replace

import manifold3d
import numpy as np
import pytest
from checks_help import changed, demo, found, moved, only

from core.checks.blocks import bar_blocks, body_blocks, cutters_of, placed_blocks
from core.checks.contact import joint_gaps
from core.checks.convex import shared_volume, whole_block
from core.checks.overlap import overlaps
from core.checks.study import study
from core.geometry import BACK, DOWN, LEFT, RIGHT, UP, Placement
from core.model import Body, Cut, CutOut, Hole, Pocket, Shape
from core.solids import mesh_of, mesh_of_body, placed, volume


def judge(mesh) -> manifold3d.Manifold:
    points = np.asarray(mesh.vertices, dtype=np.float64)
    return manifold3d.Manifold(manifold3d.Mesh64(points, np.asarray(mesh.triangles(), dtype=np.uint64)))


def solids_of(model) -> dict[str, manifold3d.Manifold]:
    """Parts and fittings of a model as solids of the boolean library."""
    solids = {part.key: judge(placed(mesh_of(part.shape), part.place)) for part in model.parts}
    for fitting in model.fittings:
        bodies = [judge(placed(mesh_of_body(body), fitting.place)) for body in fitting.bodies]
        solids[fitting.key] = manifold3d.Manifold.batch_boolean(bodies, manifold3d.OpType.Add)
    return solids


def shares_of(solids: dict[str, manifold3d.Manifold]) -> dict[tuple[str, str], float]:
    """The volumes that pairs of solids share, by the boolean library."""
    boxes = {key: solid.bounding_box() for key, solid in solids.items()}
    keys, shares = sorted(solids), {}
    for n, a in enumerate(keys):
        for b in keys[n + 1 :]:
            if all(boxes[a][k] < boxes[b][k + 3] and boxes[b][k] < boxes[a][k + 3] for k in range(3)):
                share = (solids[a] ^ solids[b]).volume()
                if share > 1e-3:
                    shares[a, b] = share
    return shares


def judged(model) -> dict[tuple[str, str], float]:
    """The volumes that things of a model share, by the boolean library."""
    return shares_of(solids_of(model))


def test_nothing_of_the_demo_overlaps():
    """The demo's parts and fittings share no space, by our reckoning and by the boolean library's."""
    piece, model = demo()
    assert not found((piece, model), "overlap", "joint that gapes", "floating part")
    assert not [pair for pair, share in judged(model).items() if share > 1.0]


def test_shared_volumes_are_the_judges():
    """Everything shifted at random, each pair shares what the boolean library says; recesses, bevels, mitres and holes counted.

    Solids of one fitting that reach into each other (a hinge's barrel and leaf) are counted twice by us, never less.
    """
    dice = random.Random(7)
    shift = lambda: tuple(dice.uniform(-3, 3) for _ in range(3))  # noqa: E731
    model = demo()[1]
    shaken = replace(
        model,
        parts=tuple(replace(each, place=each.place.moved(shift())) for each in model.parts),
        fittings=tuple(replace(each, place=each.place.moved(shift())) for each in model.fittings),
    )
    ours = {tuple(sorted(pair)): share for pair, (share, _) in overlaps(study(shaken).assembled).items()}
    theirs = judged(shaken)
    assert ours.keys() == theirs.keys()
    assert len(ours) > 100
    for pair, share in theirs.items():
        if any("hinge" in key for key in pair):
            assert ours[pair] >= share - 1e-2
        else:
            assert ours[pair] == pytest.approx(share, rel=1e-6, abs=1e-2), pair


def test_a_shelf_pushed_into_the_upright():
    """A loose shelf 3 mm too far to the left cuts into the upright: 3 − 1.5 mm of its 485 × 18 end."""
    piece, model = demo()
    seen = found((piece, moved(model, "shelves/shelf.1", (-3.0, 0.0, 0.0))), "overlap")
    finding = next(each for each in seen if "carcass/upright.coats+shelves" in each.keys)
    assert finding.severity == "stop"
    assert finding.value == pytest.approx(1.5 * 485 * 18, rel=1e-6)
    assert finding.at is not None and -9 < finding.at[0] < 9.0


def test_what_lies_in_a_recess_does_not_overlap():
    """The back lies in the sides' rebates: not an overlap; a back 3 mm thicker would stand proud, still none; 2 mm
    wider is one.
    """
    piece, model = demo()
    back = model.part("carcass/back")
    wider = replace(
        back, shape=replace(back.shape, size=(back.size[0], back.size[1] + 4, 6.0)), place=back.place.moved((2.0, 0, 0))
    )
    spoilt = replace(model, parts=tuple(wider if part is back else part for part in model.parts))
    keys = {key for each in found((piece, spoilt), "overlap") for key in each.keys}
    assert {"carcass/side.left", "carcass/side.right", "carcass/back"} <= keys


def test_a_part_without_joints_floats():
    """A stiffener whose joint is forgotten hangs on nothing."""
    piece, model = demo()
    key = "carcass/stiffener.bottom"
    spoilt = replace(model, joints=tuple(joint for joint in model.joints if key not in (joint.first, joint.second)))
    finding = only(found((piece, spoilt), "floating part"))
    assert (finding.severity, finding.keys) == ("stop", (key,))


def test_a_joint_that_gapes():
    """An anchor rail 1 mm below the top it is glued to is a finding; 0.1 mm is glue."""
    piece, model = demo()
    key = "carcass/anchor_rail.coats"
    assert not found((piece, moved(model, key, (0, 0, -0.1))), "joint that gapes")
    finding = only(found((piece, moved(model, key, (0, 0, -1.0))), "joint that gapes"))
    assert finding.value == pytest.approx(1.0)
    assert set(finding.keys) == {"carcass/top", key}


def test_gaps_of_slanted_faces_are_measured_across_the_joint():
    """A rail pulled 0.3 mm along its length stands off its neighbours, though the boxes of mitred members still
    overlap.
    """
    model = moved(demo()[1], "cornice/return.left", (-0.5, 0.0, 0.0))
    gaps = {joint.key: gap for joint, gap in joint_gaps(model)}
    assert gaps["cornice/return.left|cornice/front"] == pytest.approx(0.5 / math.sqrt(2), abs=1e-6)


SHAPES = (
    Shape(size=(120.0, 60.0, 18.0)),
    Shape(
        size=(120.0, 60.0, 18.0),
        features=(Cut(kind="bevel", point=(0, 60, 0), normal=(0, 0.8660254, 0.5), angle=30, where="face edge"),),
    ),
    Shape(
        size=(100.0, 40.0, 20.0), features=(Pocket(kind="rebate", low=(-1, 30, 12), high=(101, 41, 21), purpose="t"),)
    ),
    Shape(size=(90.0, 50.0, 20.0), features=(Hole(at=(30, 25, 20), into=DOWN, diameter=12, depth=14, purpose="t"),)),
    Shape(
        size=(90.0, 60.0, 18.0),
        features=(
            CutOut(
                kind="cut-out",
                axis=2,
                outline=((20, 15), (60, 15), (60, 45), (20, 45)),
                rises=(0, 15, 0, -6),
                start=-1,
                end=19,
                purpose="t",
            ),
            CutOut(
                kind="dovetail", axis=2, outline=((70, -1), (85, -1), (88, 20), (67, 20)), start=6, end=19, purpose="t"
            ),
        ),
    ),
    Shape(size=(80.0, 0.0, 0.0), section=((0, 0), (30, 0), (30, 20), (18, 20), (18, 8), (0, 8))),
)
PLACES = (
    Placement((0, 0, 0), RIGHT, BACK),
    Placement((10, 5, 3), UP, LEFT),
    Placement((-20, 10, 4), (0.6, 0.8, 0.0), (-0.8, 0.6, 0.0)),
    Placement((5, 8, -6), (0.6, 0.0, 0.8), BACK),
)


@pytest.mark.parametrize("number", range(36))
def test_any_two_shapes_share_what_the_judge_says(number):
    """Slanted, bevelled, rebated, bored and profiled shapes in any attitude."""
    dice = random.Random(number)
    pair = [
        (dice.choice(SHAPES), dice.choice(PLACES).moved(tuple(dice.uniform(-15, 15) for _ in range(3)))) for _ in (0, 1)
    ]
    solids = [judge(placed(mesh_of(_whole(shape)), place)) for shape, place in pair]
    expected = (solids[0] ^ solids[1]).volume()
    total = 0.0
    cutters = [
        (normals @ place.axes(), offsets + (normals @ place.axes()) @ np.asarray(place.origin))
        for shape, place in pair
        for normals, offsets in cutters_of(_whole(shape))
    ]
    for first in bar_blocks(_whole(pair[0][0])):
        for second in bar_blocks(_whole(pair[1][0])):
            total += shared_volume(
                *placed_blocks((first,), pair[0][1]), *placed_blocks((second,), pair[1][1]), cutters
            )[0]
    assert total == pytest.approx(expected, rel=1e-6, abs=1e-2)


def _whole(shape: Shape) -> Shape:
    """A section's box as its size."""
    if not shape.section:
        return shape
    wide, thick = (max(axis) for axis in zip(*shape.section, strict=True))
    return replace(shape, size=(shape.size[0], wide, thick))


def test_bodies_in_pieces_weigh_what_they_do_whole():
    """A fitting's body cut into convex pieces has the volume of its mesh."""
    bodies = {body for fitting in demo()[1].fittings for body in fitting.bodies}
    bodies.add(Body(form="turned", low=(0, 0, 0), high=(0, 0, 20), outline=((0, 4), (8, 9), (15, 3), (20, 6))))
    assert len(bodies) > 30
    for body in bodies:
        assert sum(block.volume for block in body_blocks(body)) == pytest.approx(volume(mesh_of_body(body)), rel=1e-3)


def test_a_block_cut_in_two_keeps_its_volume():
    """What a plane cuts off and what stays add up, whatever the plane; corners on the plane are no trouble."""
    block = whole_block((0, 0, 0), (30, 20, 10))
    dice = random.Random(3)
    for _ in range(60):
        normal = np.array([dice.choice((-1, 0, 1, dice.uniform(-1, 1))) for _ in range(3)], dtype=float)
        if not normal.any():
            continue
        normal /= np.linalg.norm(normal)
        offset = float(normal @ np.array((dice.choice((0, 30, 15)), dice.choice((0, 20, 7)), dice.choice((0, 10)))))
        parts = [block.clipped(normal, offset), block.clipped(-normal, -offset)]
        assert sum(part.volume for part in parts if part is not None) == pytest.approx(6000, rel=1e-9)


def test_the_demo_with_one_knob_more_is_no_worse():
    """A variant of the demo without its catches still hangs together."""
    assert not found(
        changed(fronts={"doors": {"hanging": {"catch": ""}}}), "overlap", "floating part", "joint that gapes"
    )
