"""Boards, feet and cautions."""

from __future__ import annotations

from dataclasses import replace

from checks_help import changed, demo, found, moved, only, reworked

from core import build
from core.checks.cautions import (
    BEVEL_RIPPING,
    DUST,
    GLASS,
    NO_ANCHOR,
    RAGS,
    TIPPING,
    TWO_PEOPLE,
    cautions,
    cautions_for,
)
from core.coated import coatings_on
from core.materials import material
from core.model import Board, Cut, Fitting
from core.piece import Piece


def test_mdf_feet():
    """The demo's legs are standard MDF 5 mm above a floor that is mopped; of moisture-resistant board they would not
    be told.
    """
    finding = only(found(demo(), "wet feet"))
    assert (finding.severity, finding.value, finding.limit) == ("warn", 5, 20)
    better = {"0": {"material": "mdf-mr"}, "2": {"material": "mdf-mr"}}
    boards = [{**each, "material": "mdf-mr"} if each["material"] == "mdf" else each for each in _boards()]
    assert better and not found(changed(boards=boards), "wet feet")


def _boards() -> list[dict]:
    return [{"id": each.id, "material": each.material, "thickness": each.thickness} for each in demo()[0].boards]


def test_wood_on_the_floor():
    """A piece without glides stands on its wood: told."""
    piece, model = demo()
    bare = replace(
        model,
        parts=tuple(replace(part, place=part.place.moved((0, 0, -5.0))) for part in model.parts),
        fittings=tuple(each for each in model.fittings if "glide" not in each.key),
    )
    assert {each.severity for each in found((piece, bare), "wet feet")} == {"warn", "note"}


def test_a_part_larger_than_the_sheet():
    """A side 2 500 high comes out of no sheet of 2 440; turned it would not fit either."""
    piece, model = demo()
    side = model.part("carcass/back")
    large = replace(side, shape=replace(side.shape, size=(2500.0, 1060.0, 6.0)))
    spoilt = replace(model, parts=tuple(large if part is side else part for part in model.parts))
    finding = only(found((piece, spoilt), "larger than the sheet"))
    assert (finding.severity, finding.value, finding.limit) == ("stop", 2500, 2440)


def test_grain_may_forbid_to_turn():
    """A part 1 000 long and 1 300 wide fits turned where it has no grain, and not where it has."""
    piece, model = demo()
    back = model.part("carcass/back")
    for grain, count in (("any", 0), ("length", 1)):
        wide = replace(back, grain=grain, shape=replace(back.shape, size=(1000.0, 1300.0, 6.0)))
        spoilt = replace(model, parts=tuple(wide if part is back else part for part in model.parts))
        assert len(found((piece, spoilt), "larger than the sheet")) == count


def test_long_solid_wood():
    """A cornice front of 3 200 mm is hard to buy."""
    piece, model = demo()
    front = model.part("cornice/front")
    long = replace(front, shape=replace(front.shape, size=(3200.0, *front.size[1:])))
    spoilt = replace(model, parts=tuple(long if part is front else part for part in model.parts))
    assert only(found((piece, spoilt), "longer than is bought")).limit == 3000


def test_strips_on_a_thin_panel_bow_it():
    """9 mm strips want an 18 mm panel: with 15 mm fronts each is told once, the demo's 18 not at all."""
    assert not found(demo(), "bowing")
    boards = [*_boards(), {"id": "thin", "material": "mdf", "thickness": 15}]
    seen = found(changed(boards=boards, fronts={"drawer": {"board": "thin"}}), "bowing")
    assert (only(seen).value, only(seen).limit) == (15, 18)


def test_wide_members_open_their_mitres():
    """A mitred member of 70 is sound, one of 80 is told."""
    assert not found(demo(), "wood moving")
    seen = found(changed(top={"member_width": 80}), "wood moving")
    assert {each.value for each in seen} == {80}


def test_a_wide_board_held_fast():
    """560 mm of flat-sawn oak held fast moves 8.2 mm for 4 %."""
    piece, model = demo()
    oak = Board(material("oak"), 18.0)
    shelf = model.part("carcass/top")
    spoilt = reworked(model, "carcass/top", board=oak, shape=replace(shelf.shape, size=(1044.0, 560.0, 18.0)))
    assert only(found((piece, spoilt), "wood moving")).value == 8.2


def test_anchors_too_near_each_other():
    """Two anchors 231 mm apart do not hold a piece 1 150 wide."""
    piece, model = demo()
    spoilt = moved(model, "anchor.coats", (300.0, 0.0, 0.0))
    assert [each.limit for each in found((piece, spoilt), "wall anchor") if each.severity == "warn"] == [400]


def test_cautions_of_the_demo():
    """Tipping first; dust, bevel ripping, two people and oily rags, for it is of MDF, bevelled, heavy and oiled on
    top; no glass.
    """
    said = cautions(*demo())
    assert said[0] is TIPPING
    assert {DUST, BEVEL_RIPPING, TWO_PEOPLE, RAGS} <= set(said)
    assert GLASS not in said and NO_ANCHOR not in said
    assert set(cautions_for(*demo(), "sawing")) >= {DUST, BEVEL_RIPPING}
    assert all(TIPPING in cautions_for(*demo(), page) for page in ("front page", "fitting", "handing over"))


def test_cautions_follow_the_piece():
    """A small plain painted piece without bevels and oil calls for fewer; one without anchors for the stronger word;
    glass for its own.
    """
    piece = Piece()
    model = build(piece)
    said = cautions(piece, model)
    assert DUST in said and BEVEL_RIPPING not in said
    free = changed(carcass={"stiffeners": {"anchor_rails": False}})
    assert NO_ANCHOR in cautions(*free) and TIPPING not in cautions(*free)
    glazed = reworked(demo()[1], "shelves/shelf.1", board=Board(material("glass"), 6.0))
    assert GLASS in cautions(demo()[0], glazed)


def test_oily_rags_are_told_only_where_something_is_oiled():
    """A scheme oils tops and handles: where there is no part of the top and the handles are of metal, nothing is oiled."""
    piece, model = demo()
    assert {each.coating for each in piece.finish.scheme().coats if each.group in ("top", "handles")} == {"oil"}
    bare = replace(model, parts=tuple(part for part in model.parts if part.finish != "top"))
    metal = replace(bare, fittings=tuple(_of_metal(each) for each in bare.fittings))
    assert RAGS in cautions(piece, bare)  # its knobs are of oak
    assert RAGS not in cautions(piece, metal)
    assert "oil" not in coatings_on(piece.finish.scheme(), metal)


def _of_metal(fitting: Fitting) -> Fitting:
    return replace(fitting, bodies=tuple(replace(body, substance="steel") for body in fitting.bodies))


def test_no_caution_promises_compliance():
    """Cautions defer to local rules and claim no standard."""
    text = " ".join(each.text for each in (TIPPING, NO_ANCHOR))
    assert "no compliance" in text and "complies" not in text


def test_every_cut_that_bevels_is_told():
    """A chamfer asks for the same caution as a bevel."""
    cut = Cut(kind="chamfer", point=(0, 0, 18), normal=(0, -0.7071, 0.7071), angle=45.0, where="face edge")
    piece = Piece()
    assert BEVEL_RIPPING in cautions(piece, reworked(build(piece), "carcass/top", cut))
