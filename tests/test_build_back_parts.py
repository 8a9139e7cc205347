"""A back in parts: where a sheet does not give it whole, or a part for each bay; its parts meet on uprights and fixed shelves."""

from __future__ import annotations

import json

import numpy as np
import pytest
from pieces import built, data, found, keeps_every_rule

from core.build import build
from core.build.back_parts import Seam, check_seams
from core.build.setting_out import set_out
from core.errors import ParameterError
from core.piece import loads
from core.starters import starter_text

COLUMNS = [
    {"id": "all", "divided": "columns"},
    {"id": "a", "parent": "all", "order": 0, "size": {"share": 1}},
    {"id": "b", "parent": "all", "order": 1, "size": {"share": 1}},
]
THREE = [*COLUMNS, {"id": "c", "parent": "all", "order": 2, "size": {"share": 1}}]
NESTED = [
    {"id": "all", "divided": "rows"},
    {"id": "low", "parent": "all", "order": 0, "size": {"fixed": 300}},
    {"id": "up", "parent": "all", "order": 1, "size": {"rest": True}, "divided": "columns"},
    {"id": "one", "parent": "up", "order": 0, "size": {"share": 1}},
    {"id": "two", "parent": "up", "order": 1, "size": {"share": 1}},
]
WIDE = {"width": 1400, "height": 1900, "depth": 500}
KINDS = ("rebate", "groove", "planted_on")


def backs(made) -> dict[str, object]:
    """The parts of the back by key."""
    return {part.key: part for part in made.model.parts if part.role == "back"}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("through", ["sides", "top"])
@pytest.mark.parametrize("layout", [COLUMNS, THREE, NESTED], ids=["two", "three", "nested"])
def test_a_back_in_parts_keeps_every_rule(kind, through, layout):
    """Closed, held together, no overlap, its mirror image the same, however the sides hold it."""
    carcass = {"back": {"kind": kind, "in_parts": "bays"}, "runs_through": through}
    made = keeps_every_rule(whole=WIDE, layout=layout, carcass=carcass)
    assert len(backs(made)) == sum("divided" not in each for each in layout)


def test_the_parts_meet_on_the_middle_of_the_board_behind():
    """Half of the clearance is left to each side of the upright's middle, and together they cover what one back would."""
    one = built(whole=WIDE, layout=COLUMNS, carcass={"back": {"in_parts": "one"}})
    two = built(whole=WIDE, layout=COLUMNS, carcass={"back": {"in_parts": "bays"}})
    (whole,) = backs(one)
    left, right = (two.boxes[f"carcass/back.{id}"] for id in "ab")
    middle = np.mean([each[0] for each in two.boxes["carcass/upright.a+b"]])
    assert left[1][0] == pytest.approx(middle - 0.5) and right[0][0] == pytest.approx(middle + 0.5)
    assert np.allclose((left[0], right[1]), one.boxes[whole])


def test_each_part_is_pinned_to_the_board_on_which_they_meet():
    """Pins stand in the middle of the 9 mm of an 18 mm upright that each part lies on: glue and pins there, never screws."""
    made = built(whole=WIDE, layout=COLUMNS, carcass={"back": {"in_parts": "bays"}})
    left, right = made.boxes["carcass/upright.a+b"][0][0] + np.array([4.5, 13.5])
    held = [
        each for each in made.model.fasteners if "carcass/upright.a+b" in each.parts and each.purpose.startswith("back")
    ]
    assert {each.kind for each in held} == {"pin"} and len(held) >= 2 * 18
    for pin in held:
        part = next(key for key in pin.parts if key.startswith("carcass/back"))
        assert pin.at[0] == pytest.approx(left if part.endswith(".a") else right)


def test_no_screw_or_pin_stands_on_a_joint_of_the_back():
    """All fasteners of the back keep 4 from the edges of the part that they hold."""
    for kind in KINDS:
        made = built(whole=WIDE, layout=NESTED, carcass={"back": {"kind": kind, "in_parts": "bays"}})
        for each in made.model.fasteners:
            for key in set(each.parts) & set(backs(made)):
                low, high = made.boxes[key]
                assert all(low[i] + 3.5 <= each.at[i] <= high[i] - 3.5 for i in (0, 2)), (kind, each.key)


@pytest.mark.parametrize("starter", ["coat_cupboard", "linen_press", "wardrobe"])
def test_a_starter_made_wider_still_comes_out_of_a_sheet(starter):
    """A fifth wider its back is parted on the boards that are there, each part within 2420 × 1200 (a sheet 2440 × 1220, 10 off each edge)."""
    piece = json.loads(starter_text(starter))
    piece["whole"]["width"] = round(piece["whole"]["width"] * 1.2)
    model = build(loads(json.dumps(piece)))
    sizes = [sorted(part.size[:2]) for part in model.parts if part.role == "back"]
    assert len(sizes) > 1 and all(short <= 1200 and long <= 2420 for short, long in sizes)


def test_a_sheet_that_gives_the_back_whole_is_not_parted():
    """Up to 1200 one way the back stays in one, as it is stiffer so."""
    made = built(whole={"width": 1180, "height": 1900, "depth": 400}, layout=COLUMNS)
    assert list(backs(made)) == ["carcass/back"]


def test_a_back_that_meets_nothing_is_told_with_the_way_out():
    """One wide bay has nothing for two parts to meet on: a stop that names an upright or a shelf as the way out."""
    (seen,) = [each for each in found(built(whole=WIDE)) if each.check == "larger than the sheet"]
    assert seen.severity == "stop" and seen.keys == ("carcass/back",)
    assert "upright" in seen.remedy and "fixed shelf" in seen.remedy


def test_boards_too_thin_to_meet_on_are_refused():
    """Of a board 10 thick with 5 between them 2.5 are left to each part, and 3 are needed."""
    boards = [{**each, "thickness": 10} if each["id"] == "mdf-18" else each for each in data()["boards"]]
    carcass = {"back": {"in_parts": "bays", "clearance": 5}}
    out = set_out(loads(json.dumps(data(boards=boards, layout=COLUMNS, carcass=carcass))))
    with pytest.raises(ParameterError, match=r"2\.5 mm .* at least 3 mm") as error:
        check_seams(out, [Seam("carcass/upright.a+b", "upright", 0.0, (0.0, 900.0))])
    assert error.value.field == "carcass.back.in_parts"
