"""Screws, pins, dowels and holes: each fault bites, the demo has none but its catches' strikes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from checks_help import demo, fastener, found, only, refastened, reworked

from core.checks.bores import Rod, gap_between, gaps_between, passages, rods_of
from core.checks.holes import _from_rods
from core.geometry import DOWN, UP
from core.model import Cut, CutOut, Hole, Pocket, When

ALL = (
    "fastener out of the wood",
    "fastener near the surface",
    "fastener that holds little",
    "bolt",
    "dowel",
    "holes that meet",
    "hole that comes out",
    "thin wall",
    "pin in the way",
    "pin near an edge",
    "screw in a weak edge",
)


def longer(model, purpose, by, nth=0):
    each = fastener(model, purpose, nth)
    return each, refastened(model, each.key, length=each.length + by)


def test_the_demo_is_soundly_fastened():
    """Nothing comes out, meets, splits or stands in a blade's way in the demo."""
    assert not [each for each in found(demo(), *ALL) if each.check != "screw in a weak edge"]


def test_screws_of_the_strikes_are_near_an_edge():
    """The demo's strikes are screwed 4 mm below the upper edge of MDF doors, where 12 are wanted: told, once a door.

    The screws into the legs' laminations, 28 mm from a corner in their ends, are not: glued face to face those cannot
    split.
    """
    seen = found(demo(), "screw in a weak edge")
    assert all("catch screw" in each.text and each.limit == 12 for each in seen)


def test_a_screw_in_the_end_of_a_single_board():
    """A lamination's screw in a board that nothing is glued to is 28 mm from its corner, where 70 are wanted."""
    piece, model = demo()
    each = fastener(model, "leg screw")
    part = passages(model)[each.key][-1].part
    alone = replace(model, joints=tuple(joint for joint in model.joints if part not in (joint.first, joint.second)))
    seen = [finding for finding in found((piece, alone), "screw in a weak edge") if part in finding.keys]
    assert only(seen).limit == 70


def test_a_screw_that_comes_out():
    """A socket's screw is 13 mm in an 18 mm upright; 6 longer it comes 1 mm out, 4 longer it stops 1 short of it."""
    piece, model = demo()
    sockets = [each for each in model.fasteners if each.purpose == "socket screw"]
    upright = next(n for n, each in enumerate(sockets) if "upright" in each.parts[1])
    each, spoilt = longer(model, "socket screw", 6.0, upright)
    finding = only(found((piece, spoilt), "fastener out of the wood"))
    assert (finding.severity, finding.value) == ("stop", pytest.approx(1.0))
    assert each.key in finding.keys
    _, near = longer(model, "socket screw", 4.0, upright)
    finding = only(found((piece, near), "fastener near the surface"))
    assert (finding.severity, finding.value, finding.limit) == ("warn", pytest.approx(1.0), 3)


def test_wood_glued_behind_counts():
    """A hinge's screw 4 mm longer goes through the side into the strip planted on it: nothing comes out."""
    piece, model = demo()
    hinges = [each for each in model.fasteners if each.purpose == "hinge screw"]
    side = next(n for n, each in enumerate(hinges) if each.parts[1] == "carcass/side.left")
    assert not found((piece, longer(model, "hinge screw", 4.0, side)[1]), "fastener out of the wood")


def test_a_screw_beside_the_wood():
    """An anchor rail's screw set 30 mm behind the rail holds in nothing below the top; beyond the top, in nothing at
    all.
    """
    piece, model = demo()
    each = fastener(model, "anchor rail screw")
    off = refastened(model, each.key, at=(each.at[0], each.at[1] + 30.0, each.at[2]))
    assert {finding.severity for finding in found((piece, off), "fastener out of the wood")} == {"stop"}


def test_a_pin_that_hardly_holds():
    """A pin of 10 mm through a 9 mm strip is 1 mm in the panel."""
    piece, model = demo()
    each = fastener(model, "strip pin")
    finding = only(found((piece, refastened(model, each.key, length=10.0)), "fastener that holds little"))
    assert finding.value == pytest.approx(1.0)


def test_a_bolt_too_short_and_too_long():
    """A knob's bolt of 30 reaches 3 mm into the knob; one of 60 strikes its bottom."""
    piece, model = demo()
    each = fastener(model, "knob bolt")
    assert only(found((piece, refastened(model, each.key, length=30.0)), "bolt")).value == pytest.approx(3.0)
    assert only(found((piece, refastened(model, each.key, length=60.0)), "bolt")).value == pytest.approx(33.0)


def test_a_dowel_longer_than_its_holes():
    """Holes 12 and 30 deep take a dowel of 40; one of 44 keeps the joint open."""
    piece, model = demo()
    each = fastener(model, "dowel")
    seen = found((piece, refastened(model, each.key, length=44.0)), "dowel")
    assert (only(seen).severity, only(seen).value, only(seen).limit) == ("stop", 42, 44)


def bored(model, key, at, into, diameter, depth, purpose="shelf pin"):
    return reworked(model, key, Hole(at=at, into=into, diameter=diameter, depth=depth, purpose=purpose))


def test_shelf_pins_from_both_faces_of_one_upright_meet():
    """10 deep from each face of 18 mm: they run into each other; 8 deep from one side 0 are left; 6 deep 2 are left,
    which will do.
    """
    piece, model = demo()
    key = "carcass/upright.coats+shelves"
    rod = next(rod for rod in rods_of(model)[key] if rod.purpose == "shelf pin")
    own, into = model.part(key).place.own_point(rod.at), model.part(key).place.own_direction(rod.along)
    far = tuple(a + 18.0 * d for a, d in zip(own, into, strict=True))
    back = tuple(-d for d in into)
    for depth, check, severity in ((10.0, "holes that meet", "stop"), (7.0, "thin wall", "warn")):
        finding = only(found((piece, bored(model, key, far, back, 5.0, depth)), "holes that meet", "thin wall"))
        assert (finding.check, finding.severity) == (check, severity)
    assert not found((piece, bored(model, key, far, back, 5.0, 6.0)), "holes that meet", "thin wall")


def test_a_hole_that_comes_through():
    """A shelf pin hole 10 deep in an 18 mm side is sound; 17 deep it leaves 1, 18 deep it comes out."""
    piece, model = demo()
    key, at = "carcass/side.left", (700.0, 300.0, 18.0)
    assert model.part(key).place.direction((0, 0, 1)) == (1, 0, 0)
    assert not found((piece, bored(model, key, at, DOWN, 5.0, 10.0)), "thin wall", "hole that comes out")
    assert only(found((piece, bored(model, key, at, DOWN, 5.0, 17.0)), "thin wall")).value == pytest.approx(1.0)
    assert only(found((piece, bored(model, key, at, DOWN, 5.0, 18.0)), "hole that comes out")).severity == "stop"


def test_a_dowel_near_a_face():
    """A dowel of 8 wants its radius of wood beside it: 3 mm from the edge is a warn, breaking out a stop."""
    piece, model = demo()
    key = "carcass/side.left"
    for y, severity in ((7.0, "warn"), (3.0, "stop")):
        spoilt = bored(model, key, (700.0, 534.0 - y, 18.0), DOWN, 8.0, 10.0, "dowel 8 × 40")
        finding = only(found((piece, spoilt), "thin wall", "hole that comes out"))
        assert (finding.severity, finding.limit) == (severity, 4)


def test_a_hole_in_a_groove():
    """A hole bored into a drawer side's groove is a stop, one 1 mm beside it a warn."""
    piece, model = demo()
    key = "drawer/box/side.left"
    part = model.part(key)
    groove = next(feature for feature in part.shape.features if isinstance(feature, Pocket))
    depth = part.size[2]
    for y, severity in (((groove.low[1] + groove.high[1]) / 2, "stop"), (groove.high[1] + 3.5, "warn")):
        spoilt = bored(model, key, (200.0, y, depth), DOWN, 5.0, 8.0)
        seen = [each for each in found((piece, spoilt), "holes that meet", "thin wall") if "groove" in each.text]
        assert [each.severity for each in seen] == [severity]


def test_a_hole_beside_a_cut_out():
    """A hole bored into the round end of a finger hole is a stop, one 1 mm beside it a warn, one 6 mm off nothing."""
    piece, model = demo()
    key = "carcass/shelf.drawer+upper"
    part = model.part(key)
    slot = ((300.0, 200.0), (360.0, 200.0), (360.0, 230.0), (300.0, 230.0))
    finger = CutOut(
        kind="cut-out", axis=2, outline=slot, rises=(0.0, 15.0, 0.0, 15.0), start=-1.0, end=19.0, purpose="finger hole"
    )
    holed = reworked(model, key, finger)
    for x, severities in ((374.0, ["stop"]), (378.5, ["warn"]), (383.5, [])):
        spoilt = bored(holed, key, (x, 215.0, part.size[2]), DOWN, 5.0, 8.0)
        seen = [each for each in found((piece, spoilt), "holes that meet", "thin wall") if "cut-out" in each.text]
        assert [each.severity for each in seen] == severities


def test_a_pin_in_the_path_of_a_blade():
    """A taper sawn after glue-up through a pin is a stop; one that passes 3 mm beside it a warn."""
    piece, model = demo()
    each = fastener(model, "strip pin")
    way = passages(model)[each.key][0]
    part = model.part(way.part)
    own = part.place.own_point(each.at)
    for off, severity in ((0.0, "stop"), (3.6, "warn")):
        cut = Cut(
            kind="taper",
            point=(own[0] + off, 0.0, 0.0),
            normal=(1.0, 0.0, 0.0),
            angle=0.0,
            where="head end",
            when=When("after glue-up", "x"),
        )
        seen = [
            finding
            for finding in found((piece, reworked(model, way.part, cut)), "pin in the way")
            if each.key in finding.keys
        ]
        assert severity in {finding.severity for finding in seen}


def test_a_pin_near_the_edge_of_its_strip():
    """A strip pin 8 mm from the strip's edge splits it."""
    piece, model = demo()
    each = fastener(model, "strip pin")
    part = model.part(passages(model)[each.key][0].part)
    own = part.place.own_point(each.at)
    at = part.place.point((own[0], 8.0, own[2]))
    finding = only(found((piece, refastened(model, each.key, at=at)), "pin near an edge"))
    assert finding.value < finding.limit == 12


def test_an_unplugged_screw_at_an_edge():
    """Without their plugs the hinges' screws sit 8 mm from the edge of MDF."""
    piece, model = demo()
    bare = replace(model, fasteners=tuple(each for each in model.fasteners if each.purpose != "hinge plug"))
    seen = [each for each in found((piece, bare), "screw in a weak edge") if "hinge screw" in each.text]
    assert any(each.value == pytest.approx(8) and "carcass/side.left" in each.keys for each in seen)


def test_equal_faults_are_told_once():
    """All the strip pins of a door's stile too long: one finding for the stile, with how many."""
    piece, model = demo()
    pins = tuple(replace(each, length=40.0) if each.purpose == "strip pin" else each for each in model.fasteners)
    seen = found((piece, replace(model, fasteners=pins)), "fastener out of the wood")
    assert len(seen) == 4  # two sides and two doors, not a hundred pins; behind the drawer front stands its box
    assert all("places" in each.text for each in seen)


def rod(at, along, length, radius) -> Rod:
    return Rod("x", at, along, length, radius, "test", When())


@pytest.mark.parametrize(
    "second, wall",
    [
        (rod((0.0, 0.0, 18.0), DOWN, 10.0, 2.5), 0.0),  # head to head, overlapping
        (rod((0.0, 0.0, 18.0), DOWN, 6.0, 2.5), 2.0),  # flat bottoms 2 apart
        (rod((8.0, 0.0, 0.0), UP, 10.0, 2.5), 3.0),  # side by side
        (rod((20.0, 0.0, 5.0), (-1.0, 0.0, 0.0), 15.0, 2.0), 2.5),  # square to it, its bottom 2.5 short of the side
    ],
)
def test_wood_between_two_holes(second, wall):
    """Flat bottoms count as flat, sides as round."""
    assert max(gap_between(rod((0.0, 0.0, 0.0), UP, 10.0, 2.5), second), 0.0) == pytest.approx(wall, abs=0.05)


def test_distances_of_rods_against_sampling():
    """The closest two points of two segments, against ten thousand tried."""
    dice = np.random.default_rng(5)
    starts, ends = dice.uniform(-10, 10, (60, 3)), dice.uniform(-10, 10, (60, 3))
    a, b = np.arange(0, 60, 2), np.arange(1, 60, 2)
    found_ = gaps_between(starts, ends, np.zeros(60), a, b)
    share = np.linspace(0, 1, 101)[:, None]
    for i, (m, n) in enumerate(zip(a, b, strict=True)):
        p, q = starts[m] + share * (ends[m] - starts[m]), starts[n] + share * (ends[n] - starts[n])
        tried = np.linalg.norm(p[:, None] - q[None], axis=2).min()
        assert found_[i] <= tried + 1e-9
        assert found_[i] == pytest.approx(tried, abs=0.15)


@pytest.mark.parametrize("depth, wall", [(10.0, 2.0), (11.0, 1.0), (13.0, -1.0)])
def test_a_flat_bottom_over_a_housing(depth, wall):
    """A pin hole straight behind a housing leaves what lies between the two bottoms, not less for its width."""
    ends = np.array([[[50.0, 50.0, 0.0], [50.0, 50.0, depth]]])
    housing = Pocket(kind="housing", low=(40.0, 0.0, 12.0), high=(60.0, 100.0, 19.0), purpose="", when=When())
    seen = float(_from_rods(ends, np.array([2.5]), housing)[0])
    assert seen == pytest.approx(wall) if wall > 0 else seen < 0


def test_walls_of_flat_bottomed_holes_against_sampling():
    """The wood between a hole and a hollow, against points of the hole's whole surface."""
    dice = np.random.default_rng(9)
    ring = np.array([(np.cos(a), np.sin(a)) for a in np.linspace(0, 2 * np.pi, 72, endpoint=False)])
    for _ in range(40):
        at, radius, depth = dice.uniform(0, 40, 3), float(dice.uniform(1, 5)), float(dice.uniform(3, 20))
        low = dice.uniform(0, 40, 3)
        hollow = Pocket(kind="slot", low=tuple(low), high=tuple(low + dice.uniform(2, 20, 3)), purpose="", when=When())
        seen = float(_from_rods(np.array([[at, at + np.array((0.0, 0.0, depth))]]), np.array([radius]), hollow)[0])
        disc = np.vstack([ring * radius * share for share in np.linspace(0, 1, 12)])
        points = np.array([(*(at[:2] + xy), at[2] + z) for z in np.linspace(0, depth, 24) for xy in disc])
        out = np.maximum(np.maximum(np.array(hollow.low) - points, points - np.array(hollow.high)), 0)
        true = float(np.sqrt((out**2).sum(axis=1)).min())
        assert (seen <= 0.6 and true <= 1.2) or seen == pytest.approx(true, abs=0.6)
