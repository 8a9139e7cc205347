"""Layouts changed compartment by compartment: what is put in can be taken out, and no id is used twice."""

import json
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core import arranging
from core.build import build
from core.errors import ParameterError
from core.fields import Size, style_of
from core.piece import Piece, dumps, loads, read_piece_file
from core.piece.layout import Compartment, Layout
from core.starters import starter_kinds, starter_text

DEMO = read_piece_file("docs/examples/coat_cupboard.json")


def bookcase() -> Piece:
    """An open carcass of one compartment."""
    return replace(loads(starter_text("bookcase")), layout=(Compartment(id="all"),), fronts=())


def test_an_upright_and_a_shelf_part_a_compartment_in_the_middle():
    """A board put in leaves two equal clear spaces, and the parts are named by their place."""
    piece = arranging.add_fixed_shelf(arranging.add_upright(bookcase(), "all"), "all-right")
    bays = {bay.key: bay for bay in build(piece).bays}
    assert set(bays) == {"all-left", "all-right-lower", "all-right-upper"}
    wide = {key: round(bay.high[0] - bay.low[0], 3) for key, bay in bays.items()}
    assert abs(wide["all-left"] - wide["all-right-lower"]) <= 0.1001
    assert len([part for part in build(piece).parts if "upright" in part.key or "/shelf.all" in part.key]) == 2


def test_what_is_held_stays_where_it_belongs():
    """Under a new fixed shelf stay the loose shelves, above it hangs the rail."""
    piece = arranging.fit_shelves(arranging.fit_rail(bookcase(), "all"), "all", 2)
    parted = arranging.add_fixed_shelf(piece, "all")
    held = {each.id: [style_of(inner) for inner in each.holds] for each in parted.layout}
    assert held == {"all": [], "all-lower": ["shelves"], "all-upper": ["rail"]}


def test_taking_out_what_was_put_in_leaves_the_layout_as_it_was():
    """Add Upright, then Take Out: the same compartments with the same contents, and the ids between are given up."""
    before = arranging.fit_shelves(bookcase(), "all", 3)
    after = arranging.take_out(arranging.add_upright(before, "all"), "all-left")
    assert after.layout == before.layout
    assert after.retired == ("all-left", "all-right")
    assert {each.id for each in arranging.add_upright(after, "all").layout} == {"all", "all-left.2", "all-right.2"}


def test_one_of_three_is_taken_out():
    """Of three columns the picked one takes over its neighbour's space; fixed sizes add up with the board between."""
    layout = DEMO.layout[:1] + tuple(
        replace(DEMO.layout[1], id=name, parent="all", order=order, size=size, holds=())
        for order, (name, size) in enumerate(
            (("a", Size("fixed", 300.0)), ("b", Size("fixed", 250.0)), ("c", Size("rest", 1.0)))
        )
    )
    piece = replace(bookcase(), layout=(replace(layout[0], divided="columns"), *layout[1:]))
    board = next(each.thickness for each in piece.boards if each.id == piece.carcass.board)
    merged = arranging.take_out(piece, "a")
    assert {each.id: each.size for each in merged.layout if each.parent} == {
        "a": Size("fixed", 550.0 + board),
        "c": Size("rest", 1.0),
    }
    assert merged.retired == ("b",)
    assert {each.id for each in arranging.take_out(piece, "c").layout} == {"all", "a", "c"}


def test_doors_fit_their_opening():
    """A narrow compartment gets a door, a wide one a pair; fitted another time, that front is changed."""
    piece = arranging.add_upright(bookcase(), "all")
    piece = arranging.fit_doors(arranging.fit_doors(piece, "all-left", 400.0), "all-right", 700.0)
    assert {(front.id, front.kind, front.closes) for front in piece.fronts} == {
        ("door-all-left", "door", ("all-left",)), ("doors-all-right", "pair", ("all-right",)),
    }  # fmt: skip
    again = arranging.fit_doors(piece, "all-left", 700.0)
    assert [front.kind for front in again.fronts] == ["pair", "pair"] and again.retired == ()
    with pytest.raises(ParameterError, match='closed by "doors" together with others'):
        arranging.fit_doors(DEMO, "coats", 500.0)


def test_drawers_fill_a_compartment():
    """So many drawers, one above another, each closing a compartment of its own; a door that was there is given up."""
    piece = arranging.fit_doors(
        loads(starter_text("bedside_cabinet")), _open_leaf(loads(starter_text("bedside_cabinet"))), 300.0
    )
    leaf = piece.fronts[-1].closes[0]
    fitted = arranging.fit_drawers(piece, leaf, 2)
    drawers = [front for front in fitted.fronts if front.closes[0].startswith(f"{leaf}-")]
    assert [front.kind for front in drawers] == ["drawer", "drawer"] and piece.fronts[-1].id in fitted.retired
    assert next(each for each in fitted.layout if each.id == leaf).divided == "rows"


def _open_leaf(piece: Piece) -> str:
    layout = Layout(piece.layout)
    closed = {inner for front in piece.fronts for id in front.closes for inner in layout.within(id)}
    return next((each.id for each in layout.leaves() if each.id not in closed), piece.fronts[-1].closes[0])


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda: arranging.add_upright(DEMO, "upper"), "pick one of its parts"),
        (lambda: arranging.add_upright(DEMO, "nowhere"), "no compartment"),
        (lambda: arranging.take_out(bookcase(), "all"), "whole carcass"),
        (lambda: arranging.take_out(DEMO, "drawer"), "divided itself"),
        (lambda: arranging.fit_drawers(DEMO, "drawer", 40), "between 1 and 12"),
        (lambda: arranging.fit_rail(DEMO, "coats"), "already"),
    ],
)
def test_what_cannot_be_done_is_refused_with_a_way_out(change, says):
    """A change that makes no sense leaves the piece alone and says why."""
    with pytest.raises(ParameterError, match=says):
        change()


def test_a_pair_takes_over_nothing_that_only_a_single_door_can_have():
    """Where the doors of a piece have stop strips and locks, a pair fitted like them has neither, and can be built."""
    door = {"stop_strip": "side", "lock": "lock-cupboard-50"}
    piece = changed_fronts(loads(starter_text("media_cabinet")), door)
    id = piece.fronts[0].closes[0]
    made = arranging.fit_doors(piece, id, 2000.0).fronts
    pair = next(each for each in made if each.kind == "pair")
    assert (pair.hanging.stop_strip, pair.hanging.lock) == ("none", "")


def changed_fronts(piece, hanging):
    """The piece with some words of how its doors hang replaced."""
    data = json.loads(dumps(piece))
    for front in data["fronts"]:
        front["hanging"].update(hanging)
    return loads(json.dumps(data))


CHANGES = {
    "upright": arranging.add_upright,
    "shelf": arranging.add_fixed_shelf,
    "out": arranging.take_out,
    "doors": lambda piece, id: arranging.fit_doors(piece, id, 500.0),
    "drawers": lambda piece, id: arranging.fit_drawers(piece, id, 2),
    "shelves": lambda piece, id: arranging.fit_shelves(piece, id, 2),
    "rail": arranging.fit_rail,
}


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(starter_kinds()),
    st.lists(st.tuples(st.sampled_from(sorted(CHANGES)), st.integers(0, 99)), max_size=25),
)
def test_no_id_is_ever_used_twice(kind, changes):
    """Through any changes an id means one compartment or front: once given up it never comes back."""
    piece = loads(starter_text(kind))
    gone: dict[str, set[str]] = {"layout": set(), "fronts": set()}
    for what, where in changes:
        leaves = Layout(piece.layout).leaves()
        try:
            changed = CHANGES[what](piece, leaves[where % len(leaves)].id)
        except ParameterError:
            continue
        for name, given_up in gone.items():
            before, after = ({each.id for each in getattr(one, name)} for one in (piece, changed))
            given_up |= before - after
            assert not given_up & after
        assert gone["layout"] | gone["fronts"] == set(changed.retired)
        assert loads(dumps(changed)) == changed
        piece = changed
