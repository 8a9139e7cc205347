"""Closing edges bevelled toward the inside: the cut on every part of the door, what it does for the swing, what is refused."""

from __future__ import annotations

import math

import pytest
from pieces import PLAIN, built, found, keeps_every_rule, refused
from test_build_properties import solid_of

from core.meshes import part_meshes
from core.model import CLOSING_BEVEL, HINGE_RELIEF, Cut

BOARDS = [
    *PLAIN["boards"],
    {"id": "mdf-22", "material": "mdf", "thickness": 22},
    {"id": "oak-10", "material": "oak", "thickness": 10},
]
PANELS = {"plain": {}, "planted_frame": {}, "frame_and_panel": {"board": "hardwood-20"}}


def bevelled(angle: float = 3.0, kind: str = "door", panel: str = "plain", **more) -> dict:
    hanging = {"hinge": "hinge-butt-50", "closing_bevel": angle, **more.pop("hanging", {})}
    front = {"id": "d", "kind": kind, "closes": ["all"], "board": "mdf-22", "panel": {"style": panel, **PANELS[panel]}}
    return {
        "boards": BOARDS,
        "whole": {"width": 420 if kind == "door" else 800},
        "fronts": [{**front, "hanging": hanging, **more}],
    }


@pytest.mark.parametrize(
    ("kind", "panel", "more"),
    [
        ("door", "plain", {}),
        ("door", "plain", {"hanging": {"hand": "right"}}),
        ("pair", "plain", {}),
        ("pair", "planted_frame", {}),
        ("door", "frame_and_panel", {}),
        ("pair", "plain", {"meeting_stiles": {"joint": "bead"}}),
        ("door", "plain", {"lipping": "oak-10"}),
    ],
)
def test_the_closing_edge_is_planed_from_its_face_arris(kind, panel, more):
    """A wedge half of D × D·tan(bevel) is gone along the whole edge, from board, strip or lipping; the face is as wide as before."""
    square, made = (keeps_every_rule(**bevelled(angle, kind, panel, **more)) for angle in (0.0, 3.0))
    before, after = part_meshes(square.model), part_meshes(made.model)
    for motion in made.model.motions:
        parts = [part for part in made.model.parts if part.key in motion.moves]
        cut = [
            part
            for part in parts
            if any(isinstance(each, Cut) and each.purpose == CLOSING_BEVEL for each in part.shape.features)
        ]
        assert cut
        gone = sum(solid_of(before[part.key]).volume() - solid_of(after[part.key]).volume() for part in parts)
        (long,) = {part.size[0] for part in cut}
        thick = sum(part.size[2] if part.role != "lipping" else part.size[1] for part in cut)
        assert gone == pytest.approx(long * thick**2 * math.tan(math.radians(3)) / 2, rel=0.01)
    assert [each.size for each in square.model.parts] == [each.size for each in made.model.parts]


def test_a_bevel_lets_a_tight_door_swing():
    """A door 27 thick and 300 wide needs 1.2 mm square and nothing bevelled 3°: what was found is not found any more."""
    gaps = {"side": 1.3, "meeting": 1.5}

    def told(angle: float) -> list[str]:
        section = bevelled(angle, "pair", gaps=gaps)
        section["whole"] = {"width": 420}
        return [each.severity for each in found(built(**section)) if each.check == "lead edge"]

    assert told(0.0) and not told(3.0)


@pytest.mark.parametrize(
    "more",
    [{"lay": "full", "hanging": {"hinge": ""}}, {"kind": "pair", "meeting_stiles": {"joint": "rebated"}}],
)
def test_a_bevel_that_would_do_nothing_is_refused(more):
    """Overlay doors meet nothing; rebated ones open in turn."""
    refused("fronts[0].hanging.closing_bevel", **bevelled(**more))


@pytest.mark.parametrize("hand", ["left", "right"])
@pytest.mark.parametrize("panel", ["plain", "planted_frame"])
def test_the_hinge_edge_is_relieved_from_its_face_arris(hand, panel):
    """Rule book F3: 1 degree toward the back over the whole edge: D × D·tan 1° / 2 is gone; face, hinges and gap stay as they are."""
    square, made = (
        keeps_every_rule(**bevelled(0.0, panel=panel, hanging={"hinge_relief": angle, "hand": hand}))
        for angle in (0.0, 1.0)
    )
    cut = [
        part
        for part in made.model.parts
        if any(getattr(each, "purpose", "") == HINGE_RELIEF for each in part.shape.features)
    ]
    before, after = part_meshes(square.model), part_meshes(made.model)
    thick = sum(part.size[2] for part in cut)
    gone = sum(solid_of(before[part.key]).volume() - solid_of(after[part.key]).volume() for part in cut)
    recesses = 2 * 50 * thick * math.tan(math.radians(1)) * thick / 2  # there the wood was gone already
    whole = cut[0].size[0] * thick**2 * math.tan(math.radians(1)) / 2
    assert whole - recesses - 1 <= gone <= whole + 1
    assert [each.size for each in square.model.parts] == [each.size for each in made.model.parts]
    assert [each.place for each in square.model.fittings] == [each.place for each in made.model.fittings]


def test_an_overlay_front_has_no_hinge_edge_to_relieve():
    """Its hinge edge meets nothing."""
    assert "overlay" in refused(
        "fronts[0].hanging.hinge_relief", **bevelled(0.0, lay="full", hanging={"hinge": "", "hinge_relief": 1.0})
    )
