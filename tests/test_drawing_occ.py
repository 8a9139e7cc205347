"""Visible lines beside Open CASCADE's, a general-purpose library; what the two see otherwise is decided by sight lines."""

from __future__ import annotations

import occ_judge
import pytest
from examples import DEMO, example_model
from line_report import NAMED, SCENES, beside_open_cascade, compared
from line_scenes import HARD
from line_stretches import Reason

from core.drawing.views import View
from core.meshes import model_meshes

VIEWS = (
    *map(View.named, NAMED),
    *map(View.toward, ((-1.0, -1.0, 1.0), (0.3, -1.0, 0.5), (1.0, 1.0, -0.7))),
)
REST = 1e-4  # share of the whole length that differing stretches too short to be told may come to
STUBS = 3.0  # mm that they may come to in a small scene

pytestmark = [pytest.mark.soak, pytest.mark.skipif(occ_judge.PYTHON is None, reason=occ_judge.MISSING)]


@pytest.mark.parametrize("name", HARD)
def test_hard_scenes_are_drawn_alike(name: str) -> None:
    """Rule: no stretch over 1 mm is drawn by one alone unless sight lines show that ours is right."""
    meshes = HARD[name]()
    _, seen = occ_judge.visible(meshes, VIEWS)
    for view, each in zip(VIEWS, seen, strict=True):
        found = compared(meshes, view, each.lines)
        assert not found.against, (view.direction, found.against)
        assert found.rest <= max(REST * found.ours, STUBS), (view.direction, found.rest)


@pytest.mark.parametrize("scene", SCENES)
def test_the_demo_piece_is_drawn_alike_or_the_difference_is_explained(scene: str) -> None:
    """Rule: on every stretch over 1 mm that one draws alone sight lines bear us out, and something there misled the other."""
    for name, found in beside_open_cascade(SCENES[scene]):
        assert not found.against, (name, found.against)
        assert not found.unexplained, (name, found.unexplained)
        assert found.rest_share <= REST, (name, found.rest)


def test_a_rail_that_meets_a_stile_takes_its_whole_edge_out_of_the_other_drawing() -> None:
    """Why the demo piece differs most: alone or beside a rail at its end a stile is drawn alike, beside one half way up it is not."""
    shapes, view = model_meshes(example_model(DEMO)), View.named("front")
    stile, top, middle = (shapes[f"doors/leaf.left/{name}"] for name in ("stile.hinge", "rail.top", "rail.mid"))
    for meshes, alike in (([stile], True), ([stile, top], True), ([stile, middle], False)):
        _, (seen,) = occ_judge.visible(meshes, [view])
        found = compared(meshes, view, seen.lines)
        assert (not found.stretches) is alike, found
        assert not found.against
        assert {reason for *_, reason in found.stretches} <= {Reason.MEETING, Reason.TOUCHING}
