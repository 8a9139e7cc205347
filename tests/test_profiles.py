"""Moulding profiles: named shapes and an outline of one's own, each from the underside to the front."""

import math

import pytest
from pieces import keeps_every_rule, refused

from core.build.profiles import CHORD, PROFILES

CORNICE = {"style": "loose_cornice"}


def taken_off(points: list[tuple[float, float]]) -> float:
    """The area between a profile and the square arris (the shoelace formula)."""
    loop = [(0.0, 0.0), *points]
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(loop, [*loop[1:], loop[0]]))) / 2


AREAS = {  # of size 18, by hand: what the curve leaves of its box
    "chamfer": 18 * 18 / 2,
    "cove": 2 * 2 + 2 * (2 * 16) + math.pi / 4 * 16**2,  # the hollow's quarter and a fillet on both sides
    "ovolo": 18 * 18 - math.pi / 4 * 16**2,
    "bead": 7.5 * 15 - math.pi / 2 * 7.5**2 + 7.5 * 3,
    "step": 18 * 9 + 9 * 9,
}


@pytest.mark.parametrize("name", sorted(PROFILES))
def test_a_profile_runs_from_the_underside_to_the_front(name):
    """It begins at up 0, ends at in 0, and stays within its box."""
    points = PROFILES[name](18.0, 18.0)
    assert points[0][1] == 0 and points[-1][0] == 0
    assert all(-1e-9 <= x <= 18 + 1e-9 and -1e-9 <= y <= 18 + 1e-9 for x, y in points)


@pytest.mark.parametrize("name", sorted(AREAS))
def test_a_profile_takes_off_what_its_shape_says(name):
    """The area by geometry, within the chord error along the curve."""
    assert taken_off(PROFILES[name](18.0, 18.0)) == pytest.approx(AREAS[name], abs=CHORD * 30)


def test_the_two_halves_of_an_ogee_balance():
    """Full and hollow quarters are alike, so the curve takes off as much as the straight line between its ends."""
    points = PROFILES["ogee"](18.0, 22.0)
    straight = [points[0], points[1], points[-2], points[-1]]
    assert taken_off(points) == pytest.approx(taken_off(straight), abs=0.01)


@pytest.mark.parametrize("profile", [*sorted(PROFILES), "own"])
def test_a_cornice_can_have_it(profile):
    """Closed members whose mitres meet, for every profile."""
    points = [20, 0, 20, 4, 14, 6, 6, 16, 0, 16] if profile == "own" else []
    keeps_every_rule(top={**CORNICE, "profile": profile, "profile_points": points})


@pytest.mark.parametrize(
    "points",
    [
        [],
        [20, 0, 5],
        [20, 1, 0, 10],
        [20, 0, 1, 10],
        [20, 0, 10, 5, 12, 8, 0, 10],
        [24, 0, 0, 10],
        [20, 0, 0, 39],
        [20, 0, 20, 0, 0, 10],
    ],
    ids=str,
)
def test_an_outline_that_cannot_be_cut_is_refused(points):
    """Too few or odd numbers, wrong ends, running back, too large, a point twice: by name and value."""
    refused("top.profile_points", top={**CORNICE, "profile": "own", "profile_points": points})


@pytest.mark.parametrize("tie_width, rails", ((30, False), (32, False), (48, True), (60, True), (120, True)))
def test_screws_from_inside_stay_within_a_back_tie_of_any_width(tie_width, rails):
    """The screws into the tie keep 10 mm from both its edges, and their driver from rails under the top; a tie too narrow is refused."""
    carcass = {"stiffeners": {"anchor_rails": rails}}
    made = keeps_every_rule(carcass=carcass, top={**CORNICE, "tie_width": tie_width})
    screws = [
        each.at[1]
        for each in made.model.fasteners
        if each.purpose == "cornice screw" and each.parts[1] == "cornice/tie"
    ]
    assert screws and all(-tie_width + 10 <= y <= -10 for y in screws)
    assert "46.5" in refused(
        "top.tie_width", carcass={"stiffeners": {"anchor_rails": True}}, top={**CORNICE, "tie_width": 40}
    )
