"""How parts lie at the saw: the words of the saw settings against the geometry of each cut, and the same words on every sheet."""

from __future__ import annotations

import math

import pytest
from examples import DEMO, EXAMPLES, example_model, example_piece

from core.built import build_job
from core.cutting.angles import AWAY_FROM_TILT, STEEPEST, angle_settings
from core.model import Cut
from core.piece.job import Job, JobItem


def settings_of(name: str) -> list:
    return angle_settings(build_job(Job("job", (JobItem(example_piece(name), 1),))))


def along_edges(name: str) -> list[tuple]:
    """(part, cut) of every bevel and every chamfer that a tilted blade saws along an edge with the part flat."""
    return [
        (part, cut)
        for part in example_model(name).parts
        for cut in part.shape.features
        if isinstance(cut, Cut)
        and cut.kind in ("bevel", "chamfer")
        and math.degrees(math.asin(abs(cut.normal[2]))) <= STEEPEST
    ]


def leans_away(cut: Cut, down: str) -> bool:
    """Whether the blade leans away from the part that lies so: the cut comes down to the table inside what it leaves above.

    The cut's normal points to what falls off. Lying with the face side down the part's z points to the table; a blade leans over
    what falls off where that normal points down to the table.
    """
    to_table = 1.0 if down == "face side" else -1.0
    return cut.normal[2] * to_table > 0


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_strip_is_never_trapped_under_a_tilted_blade(name):
    """Bevels and chamfers along an edge: the part between fence and blade lies so that the blade leans away from it."""
    sides = {
        each.lies.split(" down")[0]
        for each in settings_of(name)
        if each.kind in ("bevel", "chamfer") and "on edge" not in each.lies
    }
    wanted = {
        next(side for side in ("face side", "back side") if leans_away(cut, side)) for _, cut in along_edges(name)
    }
    assert sides == wanted
    for each in settings_of(name):
        if each.kind in ("bevel", "chamfer") and "on edge" not in each.lies:
            assert AWAY_FROM_TILT in each.lies


def test_every_sheet_says_the_same_of_a_bevel():
    """Part sheet and saw settings: sawn wide face up, which is the back that is planted down on the panel."""
    bevels = [(part, cut) for part, cut in along_edges(DEMO) if cut.kind == "bevel"]
    assert len(bevels) > 20
    for part, cut in bevels:
        assert "sawn wide face up" in cut.purpose and "planted wide face down" in cut.purpose
        # the face is the narrow side: what is cut away lies at +z, and more of it the nearer to the face
        assert cut.normal[2] > 0, part.key
    for each in settings_of(DEMO):
        if each.kind == "bevel":
            assert each.lies.startswith("face side down, wide face (back side) up")


def test_a_strip_bevelled_on_both_edges_has_a_square_edge_at_the_fence_but_once():
    """A mid rail's second bevel is sawn with the first slope at the fence; stiles keep a square edge."""
    lies = {served.name: each.lies for each in settings_of(DEMO) if each.kind == "bevel" for served in each.serves}
    middle = [words for name, words in lies.items() if "mid rail" in name]
    assert middle and all("then the sharp upper corner" in words for words in middle)
    assert all("then" not in words for name, words in lies.items() if "stile" in name)
