"""The centre guide of a wide drawer on wooden runners: a strip on the board beneath, between two cheeks under the box's bottom."""

from __future__ import annotations

from typing import Any

import pytest
from pieces import PLAIN, built, found, keeps_every_rule, refused

WIDE = {"width": 900, "height": 260, "depth": 450}


def drawer(**more: Any) -> dict[str, Any]:
    runs_on = {"style": "wooden", "centre_guide": True, **more.pop("runs_on", {})}
    return {"id": "d", "kind": "drawer", "closes": ["all"], "drawer": {"runner": "", "runs_on": runs_on, **more}}


@pytest.mark.parametrize("front", ["planted", "integral"])
@pytest.mark.parametrize("corners", ["dowels", "rebate", "lapped_dovetails"])
@pytest.mark.parametrize("muntins", [0, 2])
def test_a_guided_drawer_keeps_every_rule(muntins, corners, front):
    """Nothing overlaps or fouls along its travel, the mirror image is the same; with muntins the cheeks are on the middle panel."""
    spec = drawer(
        front=front, corners={"style": corners}, muntins=muntins, bottom_board="mdf-6" if muntins else "mdf-9"
    )
    made = keeps_every_rule(whole=WIDE, fronts=[spec])
    assert {"d/cheek.left", "d/cheek.right"} <= set(made.model.motions[0].moves)
    assert "d/centre_guide" not in made.model.motions[0].moves


def test_the_cheeks_run_beside_the_guide_with_the_runners_play():
    """0.5 at each side of the guide; it ends 1 below the bottom, and at least 6 of it stand between the cheeks."""
    made = built(whole=WIDE, fronts=[drawer()])
    guide, left, right = (made.boxes[f"d/{key}"] for key in ("centre_guide", "cheek.left", "cheek.right"))
    assert guide[0][0] - left[1][0] == pytest.approx(0.5) and right[0][0] - guide[1][0] == pytest.approx(0.5)
    bottom = made.boxes["d/box/bottom"]
    assert bottom[0][2] - guide[1][2] == pytest.approx(1) and left[1][2] == pytest.approx(bottom[0][2])
    assert guide[1][2] - left[0][2] >= 6
    assert guide[0][2] == pytest.approx(made.boxes["carcass/bottom"][1][2])  # it lies on the board beneath


def test_a_wide_drawer_is_told_unless_something_keeps_it_from_racking():
    """Wider than 1.5 times its depth: warned of; not with a centre guide; above 2.5 nothing helps."""
    plain = {"runs_on": {"centre_guide": False}}
    ratio = {}
    for name, spec in (("plain", drawer(**plain)), ("guided", drawer())):
        ratio[name] = [
            each.severity for each in found(built(whole=WIDE, fronts=[spec])) if each.check == "drawer width"
        ]
    assert ratio == {"plain": ["warn"], "guided": []}
    far = built(whole={**WIDE, "width": 1200}, fronts=[drawer()])
    assert [each.severity for each in found(far) if each.check == "drawer width"] == ["stop"]


@pytest.mark.parametrize(
    ("more", "field", "word"),
    [
        ({"bottom": "four_sides"}, "centre_guide", "under_back"),
        ({"muntins": 1, "bottom_board": "mdf-6"}, "centre_guide", "muntin"),
        ({"bottom_board": "oak-9"}, "centre_guide", "sheet"),
    ],
)
def test_where_a_centre_guide_cannot_be_the_refusal_says_what_to_take(more, field, word):
    """Not through a back on four sides, not in a muntin's place, not glued across a solid bottom."""
    boards = [*PLAIN["boards"], {"id": "oak-9", "material": "oak", "thickness": 9}]
    assert word in refused(f"fronts[0].drawer.runs_on.{field}", whole=WIDE, boards=boards, fronts=[drawer(**more)])


def test_a_centre_guide_needs_a_board_beneath():
    """Between drawers with nothing between them it has nothing to lie on."""
    rows = [{"id": "all", "divided": "rows", "between": "nothing"}]
    rows += [{"id": id, "parent": "all", "order": n, "size": {"share": 1}} for n, id in enumerate(("a", "b"))]
    fronts = [{**drawer(), "id": id, "closes": [id]} for id in ("a", "b")]
    fronts[0]["drawer"] = {**fronts[0]["drawer"], "runs_on": {"style": "wooden"}}
    said = refused("fronts[1].drawer.runs_on.centre_guide", whole={**WIDE, "height": 500}, layout=rows, fronts=fronts)
    assert "board between the drawers" in said
