"""Profiles run round a flat top's edge, and chamfers on the outer arrises of legs: exact volumes, true arcs, what is refused."""

from __future__ import annotations

import itertools
import math

import pytest
from pieces import built, keeps_every_rule, refused
from test_build_properties import solid_of

from core.build.profiles import PROFILES, true_arcs
from core.meshes import part_meshes
from core.model import CutOut

EDGES = ("chamfer", "round", "cove", "ovolo", "ogee", "bead", "step")


def area(points) -> float:
    """Of a polygon, after Gauss."""
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, [*points[1:], points[0]]))) / 2


def exact_area(line) -> float:
    """Of an outline with arcs, closed at the corner: each quarter or half round adds its segment or takes it off."""
    total = area([(a, b) for a, b, _ in line] + [(0.0, 0.0)])
    for (a, b, rise), (c, d, _) in itertools.pairwise(line):
        if rise:
            chord = math.hypot(c - a, d - b)
            radius = (chord**2 / 4 + rise**2) / (2 * abs(rise))
            angle = 2 * math.asin(min(1.0, chord / 2 / radius))
            total += math.copysign(radius**2 / 2 * (angle - math.sin(angle)), rise)
    return total


@pytest.mark.parametrize("word", EDGES)
def test_true_arcs_are_the_shapes_of_the_mouldings(word):
    """The same area as the polyline that a moulding has, within its chords; the same two ends."""
    line, points = true_arcs(word, 14.0), PROFILES[word](14.0, 14.0)
    assert line[0][:2] == pytest.approx(points[0]) and line[-1][:2] == pytest.approx(points[-1])
    assert exact_area(line) == pytest.approx(area([*points, (0.0, 0.0)]), abs=0.1 * 14 * math.pi)


@pytest.mark.parametrize("at", ["upper", "lower"])
@pytest.mark.parametrize("word", EDGES)
def test_a_profile_is_run_round_front_and_sides(word, at):
    """What is gone is the profile's area along front and sides, less what the two cutters have in common at each corner."""
    plain, made = (
        keeps_every_rule(top={"style": "flat_top", "edge": each, "edge_at": at, "edge_size": 14})
        for each in ("square", word)
    )
    long, wide, _ = made.model.part("top/board").size
    before, after = (solid_of(part_meshes(each.model)["top/board"]).volume() for each in (plain, made))
    cross = exact_area(true_arcs(word, 14.0))
    gone = before - after
    most = cross * (long + 2 * wide)
    assert most * 0.97 - 2 * 14 * cross < gone < most * 1.03  # facets lie within 0.1 of the arcs
    cuts = [each for each in made.model.part("top/board").shape.features if isinstance(each, CutOut)]
    assert len(cuts) == 3 and all(each.rises for each in cuts) == (word not in ("chamfer", "step"))


@pytest.mark.parametrize(
    ("field", "top"),
    [
        ("edge_size", {"edge": "round", "edge_size": 24}),
        ("edge_size", {"edge": "ovolo", "edge_size": 4}),
        ("edge_size", {"edge": "step", "edge_size": 15, "edge_at": "lower", "front": 10}),
        ("edge_at", {"edge": "round", "edge_at": "lower", "chamfer_in": 15, "chamfer_up": 10}),
    ],
)
def test_a_profile_that_cannot_be_is_refused(field, top):
    """Too much of the edge, too small for its fillets, out over the carcass, where the chamfer is already."""
    refused(f"top.{field}", top={"style": "flat_top", **top})


@pytest.mark.parametrize("style", ["square_legs", "tapered_legs"])
def test_the_outer_arris_of_a_leg_is_chamfered(style):
    """A triangle of 6 by 6 is gone from end to end, or between the stops 15 above the foot and below the rails."""
    support = {"style": style, "height": 200, "arris_size": 6, "foot": ""}
    plain = built(support=support)
    for arris, long in (("chamfered", 200.0), ("stopped", 200.0 - 60 - 2 * 15)):
        made = keeps_every_rule(support={**support, "arris": arris})
        for end in ("left.front", "right.rear"):
            before, after = (solid_of(part_meshes(each.model)[f"stand/leg.{end}"]).volume() for each in (plain, made))
            assert before - after == pytest.approx(long * 18, rel=1e-6)


@pytest.mark.parametrize(
    ("field", "support"),
    [
        ("arris_size", {"arris": "chamfered", "arris_size": 15}),
        ("arris", {"arris": "stopped", "height": 120}),
    ],
)
def test_a_chamfer_that_cannot_be_is_refused(field, support):
    """Most of the foot gone; no leg left between the stops."""
    refused(f"support.{field}", support={"style": "square_legs", **support})
