"""What findings call things, and the names that client and painter go by."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from checks_help import found

from core.build import build
from core.checks.study import study
from core.piece.files import loads

PIECES = Path(__file__).parent.parent / "core" / "library" / "pieces"


def made(kind, **sections):
    """A starter piece and its model, some of its sections changed."""
    data = json.loads((PIECES / f"{kind}.json").read_text("utf-8"))
    for name, values in sections.items():
        data[name] |= values
    piece = loads(json.dumps(data))
    return piece, build(piece)


@pytest.mark.parametrize(
    ("kind", "names"),
    [
        ("media_cabinet", {"left door", "right door"}),
        ("chest_of_drawers", {"top drawer", "second drawer", "third drawer", "bottom drawer"}),
        ("desk_pedestal", {"files drawer", "middle drawer", "pens drawer"}),
        ("wardrobe", {"left door", "right door"}),
        ("bedside_cabinet", {"drawer"}),
    ],
)
def test_what_moves_is_told_by_where_it_is(kind, names):
    """Rule: several doors or drawers of one name are told apart in words, not by their ids."""
    _, model = made(kind)
    assert {study(model).called_moving(motion) for motion in model.motions} == names


def test_what_moves_is_told_apart_whatever_its_front_is_called():
    """Rule: where the ids of fronts say nothing their places do."""
    data = json.loads((PIECES / "media_cabinet.json").read_text("utf-8"))
    for front, id in zip(data["fronts"], ("ada", "bea"), strict=True):
        front["id"] = id
    model = build(loads(json.dumps(data)))
    assert {study(model).called_moving(motion) for motion in model.motions} == {"left door", "right door"}


def test_loose_shelves_are_told_from_the_top():
    """Rule: a finding names which of several loose shelves it means by compartment and row, not by its key."""
    built = made("bookcase", whole={"width": 1400})
    told = [each.text for each in found(built, "shelf sag") if "loose shelf" in each.text]
    assert any("loose shelf (high left, middle)" in each for each in told)
    assert not any("/" in each.replace("kg/m", "") for each in told)


def test_one_name_of_a_paint_is_for_one_colour():
    """Rule: a colour that is changed under its old name is told, for the client book would print the old name beside it."""
    piece, model = made("wardrobe")
    assert not found((piece, model), "name of a colour")
    data = json.loads((PIECES / "wardrobe.json").read_text("utf-8"))
    (coats,) = [each["coats"] for each in data["finish"]["schemes"]]
    next(each for each in coats if each["group"] == "fronts")["colour"] = "#0008e1"
    changed = loads(json.dumps(data))
    (told,) = found((changed, model), "name of a colour")
    assert (
        told.severity == "warn" and "“oat white” stands for 2 colours: #e2ddcf (carcass outside and legs)" in told.text
    )
    assert "#0008e1 (doors and drawer fronts)" in told.text
