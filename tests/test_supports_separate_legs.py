"""Separate legs: square or tapered, tenoned or dowelled, screwed to the bottom through corner blocks."""

import math

import numpy as np
import pytest
from pieces import COLUMNS, FRAMED, box, built, keeps_every_rule, refused

from core.model import Cut, Pocket

STYLES = ("square_legs", "tapered_legs")
CHANGES = [
    {},
    {"joint": "dowels"},
    {"joint": "dowels", "reveal": 8},
    {"inset": 30, "rear_set_in": 20},
    {"reveal": 0, "rail_width": 45},
    {"foot": "", "height": 300},
]
LEVELLED = {"style": "square_legs", "foot": "foot-m8"}


@pytest.mark.parametrize("change", CHANGES, ids=str)
@pytest.mark.parametrize("style", STYLES)
def test_it_can_be_built(style, change):
    """Every joint, inset and foot gives closed parts, tenons that fill mortises without overlap, and a stand that reaches the floor."""
    keeps_every_rule(support={"style": style, **change})


def test_it_may_stand_on_levelling_feet():
    """A foot with a thread, in an insert in the end of the leg."""
    made = keeps_every_rule(support=LEVELLED)
    assert np.allclose(box(made, "stand/leg")[0][2], 16)


@pytest.mark.parametrize(
    "sections",
    [{"layout": COLUMNS}, {"carcass": FRAMED}, {"whole": {"width": 1600, "depth": 600}}],
    ids=("columns", "framed", "wide"),
)
def test_it_goes_under_any_carcass(sections):
    """Columns, planted frames and wide pieces."""
    keeps_every_rule(**sections, support={"style": "tapered_legs"})


def test_legs_stand_at_the_corners():
    """Outer faces of the legs flush with the carcass, from glide to bottom; glides to the floor."""
    made = built(support={"style": "square_legs"})
    assert np.allclose(box(made, "stand/leg"), [[-450, -450, 5], [450, 0, 150]])
    assert np.allclose(box(made, "stand/foot")[0][2], 0)


@pytest.mark.parametrize(("reveal", "in_leg"), [(3, 21.0), (8, 17.0)])
def test_a_dowel_lies_half_in_the_leg_or_as_far_as_the_other_rails_let_it(reveal, in_leg):
    """8 × 40 in holes 42 deep together; leg 40, rails 20: with a reveal of 8 there are 40 − (8 + 10) − 4 − 1 = 17 mm."""
    made = built(support={"style": "square_legs", "joint": "dowels", "reveal": reveal})
    depths = {}
    for key in ("stand/leg.left.front", "stand/rail.front"):
        holes = [each for each in made.model.part(key).shape.features if each.kind == "hole"]
        depths[key] = {each.depth for each in holes if each.purpose.startswith("dowel")}
    assert depths == {"stand/leg.left.front": {in_leg}, "stand/rail.front": {42.0 - in_leg}}


def test_tenons_are_as_long_as_the_leg_allows_and_fit():
    """Leg 40, rails 20 set back 3: tenon 7 thick, at most 40 − (3 + 10 + 3.5) − 1 − 1 = 21.5 long, the mortise 1 deeper."""
    made = built(support={"style": "square_legs"})
    rail, leg = made.model.part("stand/rail.front"), made.model.part("stand/leg.left.front")
    assert rail.size[0] == pytest.approx(900 - 80 + 2 * 21.5)
    mortises = [each for each in leg.shape.features if isinstance(each, Pocket) and each.kind == "mortise"]
    assert len(mortises) == 2
    for each in mortises:
        (x, y, z), (p, q, r) = each.low, each.high
        assert (
            p - x == pytest.approx(45) and p <= leg.size[0] - 10 + 1e-6
        )  # 60 − 10 − 5 high, at least 10 below the top
        inside = (min(q, 40) - max(y, 0), min(r, 40) - max(z, 0))
        assert sorted(inside) == pytest.approx([7, 22.5])


def test_tapers_are_on_the_inner_faces_at_the_angle_of_loss_and_height():
    """40 to 28 over 150 − 60 − 5 − 5 = 80 mm: atan(12 / 80) on two faces, and the outer faces stay plumb."""
    made = built(support={"style": "tapered_legs"})
    for side in ("left", "right"):
        for end in ("front", "rear"):
            part = made.model.part(f"stand/leg.{side}.{end}")
            cuts = [each for each in part.shape.features if isinstance(each, Cut)]
            assert [each.angle for each in cuts] == pytest.approx([math.degrees(math.atan2(12, 80))] * 2)
            vertices = made.meshes[part.key].vertices
            foot = vertices[np.isclose(vertices[:, 2], 5)]
            assert foot[:, 0].max() - foot[:, 0].min() == pytest.approx(28) and foot[:, 1].max() - foot[
                :, 1
            ].min() == pytest.approx(28)
            assert np.abs(foot[:, 0]).max() == pytest.approx(450) and (
                foot[:, 1].min() == pytest.approx(-450) or foot[:, 1].max() == pytest.approx(0)
            )


def test_what_cannot_be_is_refused():
    """A foot too slim or its glide too wide, rails too wide, legs too slender for two dowels: by name, value and limit."""
    assert "22" in refused("support.foot_section", support={"style": "tapered_legs", "foot_section": 21})
    assert "28" in refused("support.foot", support={"style": "tapered_legs", "foot": "glide-30"})
    assert "75" in refused("support.rail_width", support={"style": "square_legs", "height": 100, "rail_width": 90})
    refused(
        "support.joint",
        support={"style": "square_legs", "leg_board": "oak-25", "rail_board": "birch-ply-15", "foot": "glide-20"},
    )
    refused("support.inset", whole={"width": 400}, support={"style": "square_legs", "inset": 120})
    refused(
        "support.block",
        support={"style": "square_legs", "block": 60, "reveal": 0, "rail_board": "birch-ply-15", "leg_board": "oak-40"},
        whole={"width": 900},
        carcass={**FRAMED},
    )
