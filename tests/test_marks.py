"""Marks: equal parts share a number, mirror images never do, and a number once written on a part stays with it."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from typing import Any

import pytest
from examples import DEMO, EXAMPLES, example_model, example_piece, example_text
from hypothesis import given, settings
from hypothesis import strategies as st
from strategies import mirrored

import core
from core.geometry import Placement
from core.materials import material
from core.model import Board, Cut, CutOut, Hole, Model, Part, Pocket, Shape, When
from core.piece import loads
from core.revisions.marks import are_equal, marks

BOARD = Board(material("mdf"), 18.0)
GLUED = When("after glue-up", "side.left")
TURNS = {"as it is": (1, 1, 1), "end for end": (-1, -1, 1), "over, along": (1, -1, -1), "over, across": (-1, 1, -1)}
MIRRORS = {
    "across the length": (-1, 1, 1),
    "across the width": (1, -1, 1),
    "across the thickness": (1, 1, -1),
    "through the middle": (-1, -1, -1),
}


def part(*features: Any, size: tuple[float, float, float] = (600.0, 300.0, 18.0), **more: Any) -> Part:
    """A part of a size with features, laid anywhere."""
    return Part(
        key="part",
        name="part",
        board=BOARD,
        shape=Shape(size=size, features=features),
        place=Placement((0.0, 0.0, 0.0)),
        **more,
    )


def hole(
    x: float,
    y: float,
    z: float = 18.0,
    into: tuple[float, float, float] = (0.0, 0.0, -1.0),
    diameter: float = 5.0,
    when: When | None = None,
) -> Hole:
    return Hole(
        at=(x, y, z), into=into, diameter=diameter, depth=10.0, purpose="test", **({"when": when} if when else {})
    )


def moved(found: Part, signs: tuple[int, int, int]) -> Part:
    """The part as it looks after each axis is kept or reversed about its middle: a half turn, or a mirror image."""

    def point(at: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(c if s > 0 else size - c for c, s, size in zip(at, signs, found.size, strict=True))

    def way(direction: tuple[float, ...]) -> tuple[float, ...]:
        return tuple(c * s + 0.0 for c, s in zip(direction, signs, strict=True))

    features: list[Any] = []
    for each in found.shape.features:
        if isinstance(each, Hole):
            features.append(replace(each, at=point(each.at), into=way(each.into)))
        elif isinstance(each, Cut):
            features.append(replace(each, point=point(each.point), normal=way(each.normal)))
        elif isinstance(each, CutOut):
            features.append(moved_cut_out(each, signs, found.size))
        else:
            low, high = point(each.low), point(each.high)
            features.append(replace(each, low=tuple(map(min, low, high)), high=tuple(map(max, low, high))))
    return replace(found, shape=replace(found.shape, features=tuple(reversed(features))))


def moved_cut_out(each: CutOut, signs: tuple[int, int, int], size: tuple[float, ...]) -> CutOut:
    """A cut-out of a part turned so: its ends and corners, which run round the other way where one of the two axes is reversed."""
    axes = [(each.axis + i) % 3 for i in range(3)]
    ends, outline = sorted((each.start, each.end)), [list(corner) for corner in each.outline]
    if signs[axes[0]] < 0:
        ends = sorted(size[axes[0]] - at for at in ends)
    for i in (0, 1):
        if signs[axes[i + 1]] < 0:
            for corner in outline:
                corner[i] = size[axes[i + 1]] - corner[i]
    rises = list(each.rises)
    if signs[axes[1]] * signs[axes[2]] < 0:
        outline, rises = outline[::-1], [*rises[-2::-1], *rises[-1:]]
    return replace(each, start=ends[0], end=ends[1], outline=tuple(map(tuple, outline)), rises=tuple(rises))


ONE_HOLE = part(hole(100, 80))


# --------------------------------------------------------------------------------------------------------- equal parts
@pytest.mark.parametrize("turn", TURNS)
def test_a_part_turned_end_for_end_or_over_is_the_same_part(turn: str) -> None:
    """The saw and the drill do not care which way round it lies."""
    assert are_equal(ONE_HOLE, moved(ONE_HOLE, TURNS[turn]))


@pytest.mark.parametrize("mirror", MIRRORS)
def test_a_mirror_image_is_never_the_same_part(mirror: str) -> None:
    """A left part does not fit on the right."""
    chiral = part(hole(100, 80), hole(300, 40))
    assert not are_equal(chiral, moved(chiral, MIRRORS[mirror]))


def test_a_part_with_a_show_side_is_not_turned_over() -> None:
    """Turned over, its face would look at the wall; end for end it may lie."""
    door = replace(ONE_HOLE, shown_one_side=True)
    assert are_equal(door, moved(door, TURNS["end for end"]))
    for turn in ("over, along", "over, across"):
        assert not are_equal(door, moved(door, TURNS[turn]))


def test_what_is_done_after_the_glue_up_belongs_to_the_assembly() -> None:
    """Hinge recesses and knob holes leave the four stiles of a pair of doors equal; a saw cut does not."""
    glued = part(
        hole(100, 80),
        hole(50, 20, when=GLUED),
        Pocket(kind="recess", low=(0, 0, 16), high=(75, 16, 18), purpose="hinge", when=GLUED),
    )
    assert are_equal(ONE_HOLE, glued)
    sawn = part(
        hole(100, 80),
        Cut(
            kind="taper",
            point=(0, 250, 0),
            normal=(-0.2, math.sqrt(0.96), 0.0),
            angle=11.5,
            where="back edge",
            when=GLUED,
        ),
    )
    assert not are_equal(ONE_HOLE, sawn)


@pytest.mark.parametrize(
    "other",
    [
        part(hole(100, 80), size=(600.5, 300.0, 18.0)),
        part(hole(100.1, 80)),
        part(hole(100, 80, diameter=8.0)),
        part(hole(100, 80, z=0.0, into=(0.0, 0.0, 1.0)), shown_one_side=True),
        part(hole(100, 80), grain="length"),
        replace(ONE_HOLE, board=Board(material("birch-ply"), 18.0)),
        part(),
        part(hole(100, 80), hole(100, 90)),
    ],
)
def test_parts_that_differ_for_saw_drill_or_board_are_not_equal(other: Part) -> None:
    """A size, a place, a diameter, a side, the grain, the material, a hole too few or too many."""
    assert not are_equal(ONE_HOLE, other)


def test_a_hundredth_of_a_millimetre_is_no_difference() -> None:
    """What no drill can do is not told apart, wherever on the scale it lies."""
    assert are_equal(ONE_HOLE, part(hole(100.000002, 79.999998)))


def test_names_finishes_places_and_order_do_not_count() -> None:
    """Equal is what is cut and drilled, not where it goes or what it is called."""
    one = part(hole(100, 80), hole(200, 30))
    other = replace(
        part(hole(200, 30), hole(100, 80)), key="other", name="other", finish="fronts", place=Placement((5.0, 6.0, 7.0))
    )
    assert are_equal(one, other)


# ---------------------------------------------------------------------------------------------------------- properties
GRID = st.integers(1, 5)  # few places, so that symmetry is common


@st.composite
def parts(draw: st.DrawFn) -> Part:
    """A part with a few holes, a groove, a bevel, on a coarse grid."""
    features: list[Any] = [
        hole(
            100.0 * draw(GRID),
            50.0 * draw(GRID),
            *draw(st.sampled_from(((18.0, (0.0, 0.0, -1.0)), (0.0, (0.0, 0.0, 1.0))))),
        )
        for _ in range(draw(st.integers(0, 3)))
    ]
    if draw(st.booleans()):
        low = 50.0 * draw(st.integers(0, 5))
        features.append(Pocket(kind="groove", low=(0.0, low, 12.0), high=(600.0, low + 50.0, 18.0), purpose="test"))
    if draw(st.booleans()):
        sign = draw(st.sampled_from((-1.0, 1.0)))
        features.append(
            Cut(
                kind="bevel",
                point=(0.0, 300.0 if sign > 0 else 0.0, 0.0),
                normal=(0.0, sign * 0.8, 0.6),
                angle=36.87,
                where="back edge",
            )
        )
    if draw(st.booleans()):
        x, y, lean = 100.0 * draw(GRID), 50.0 * draw(GRID), 20.0 * draw(st.integers(-1, 1))
        outline = ((x, y), (x + 60, y), (x + 60 + lean, y + 30), (x + lean, y + 30))
        low, high = draw(st.sampled_from(((0.0, 18.0), (0.0, 9.0), (9.0, 18.0))))
        rises = draw(st.sampled_from(((), (0.0, 10.0, 0.0, 0.0), (0.0, 10.0, 0.0, 10.0))))
        features.append(
            CutOut(kind="cut-out", axis=2, outline=outline, start=low, end=high, rises=rises, purpose="test")
        )
    return part(*dict.fromkeys(features), shown_one_side=draw(st.booleans()))


def exactly(found: Part) -> frozenset[Any]:
    """What a part's features are, without our signatures: exact on this grid."""
    said = []
    for each in found.shape.features:
        if isinstance(each, Hole):
            said.append(("hole", each.at, each.into))
        elif isinstance(each, Pocket):
            said.append(("pocket", each.low, each.high))
        elif isinstance(each, CutOut):
            rises = each.rises or (0.0,) * len(each.outline)
            sides = zip(each.outline, (*each.outline[1:], each.outline[0]), rises, strict=True)
            said.append(
                (
                    "cut-out",
                    each.axis,
                    each.start,
                    each.end,
                    frozenset((frozenset(side[:2]), side[2]) for side in sides),
                )
            )
        else:
            half = tuple(size / 2 for size in found.size)
            offset = sum(n * (p - h) for n, p, h in zip(each.normal, each.point, half, strict=True))
            said.append(("plane", tuple(round(n, 9) + 0.0 for n in each.normal), round(offset, 6)))
    return frozenset(said)


def can_stand_in(one: Part, other: Part) -> bool:
    """The rule itself: some turn that is allowed carries every feature onto the other's."""
    allowed = [signs for turn, signs in TURNS.items() if not one.shown_one_side or not turn.startswith("over")]
    return any(exactly(moved(one, signs)) == exactly(other) for signs in allowed)


RULES = settings(max_examples=200, deadline=None, derandomize=True, database=None)


@RULES
@given(parts(), st.sampled_from(sorted(TURNS)), st.sampled_from(sorted(MIRRORS)))
def test_equality_is_what_the_rule_says(found: Part, turn: str, mirror: str) -> None:
    """A turned part and a mirrored one are equal to the first exactly where a turn that is allowed makes them so."""
    for other in (moved(found, TURNS[turn]), moved(found, MIRRORS[mirror])):
        assert are_equal(found, other) == can_stand_in(found, other)


@RULES
@given(parts(), parts())
def test_equality_works_both_ways_and_marks_follow_it(one: Part, other: Part) -> None:
    """A may stand in for B exactly where B may for A; then, and only then, they share a mark."""
    assert (
        are_equal(one, other)
        == are_equal(other, one)
        == (can_stand_in(one, other) and one.shown_one_side == other.shown_one_side)
    )
    model = Model(name="two", parts=(replace(one, key="a"), replace(other, key="b")))
    found = marks([model])
    assert (found[0, "a"] == found[0, "b"]) == are_equal(one, other)


# ------------------------------------------------------------------------------------------------------ marks of a job
@pytest.mark.parametrize("name", EXAMPLES)
def test_marks_are_whole_numbers_from_1_in_the_order_of_the_parts(name: str) -> None:
    """Nothing is left out, and a new number appears when a new kind of part does."""
    found = marks([example_model(name)])
    assert [key for _, key in found] == [each.key for each in example_model(name).parts]
    numbers = list(dict.fromkeys(found.values()))
    assert numbers == list(range(1, len(numbers) + 1))


@pytest.mark.parametrize("name", EXAMPLES)
def test_parts_of_one_mark_can_stand_in_for_one_another(name: str) -> None:
    """And parts of two marks cannot."""
    model = example_model(name)
    found = marks([model])
    for i, one in enumerate(model.parts):
        for other in model.parts[i + 1 :]:
            assert (found[0, one.key] == found[0, other.key]) == are_equal(one, other), f"{one.key}, {other.key}"


def test_left_and_right_of_the_demo_are_two_marks_where_they_must_be() -> None:
    """Sides, drawer sides and returns are pairs; stiles of the legs go two and two; all door stiles are one."""
    found = {key: mark for (_, key), mark in marks([example_model(DEMO)]).items()}
    for left in ("carcass/side.left", "drawer/box/side.left", "cornice/return.left"):
        assert found[left] != found[left.replace("left", "right")]
    assert (
        found["side.left/stile.front"]
        == found["side.right/stile.rear"]
        != found["side.right/stile.front"]
        == found["side.left/stile.rear"]
    )
    assert len({mark for key, mark in found.items() if key.startswith("doors/") and "stile" in key}) == 1


def test_two_pieces_of_a_job_share_the_marks_of_equal_parts() -> None:
    """Two cupboards have no more marks than one, and another piece goes on counting."""
    demo, other = example_model(DEMO), example_model(EXAMPLES[1])
    found = marks([demo, demo, other])
    assert all(found[0, each.key] == found[1, each.key] for each in demo.parts)
    again = marks([demo])
    assert all(found[0, key] == mark for (_, key), mark in again.items())
    assert min(mark for (index, _), mark in found.items() if index == 2) >= 1
    assert len({*found.values()}) == max(found.values())


def test_a_cupboard_and_its_mirror_image_share_no_handed_part() -> None:
    """The left side of one is not the left side of the other, whatever their keys say."""
    demo = example_model(DEMO)
    image = core.build(loads(json.dumps(mirrored(json.loads(example_text(DEMO))))))
    for key in ("carcass/side.left", "carcass/side.right"):
        assert not are_equal(demo.part(key), image.part(key))
        assert not are_equal(
            demo.part(key), image.part(key.replace("left", "*").replace("right", "left").replace("*", "right"))
        )


# ------------------------------------------------------------------------------------------------------ recorded marks
def wider(by: float) -> Model:
    piece = example_piece(DEMO)
    return core.build(replace(piece, whole=replace(piece.whole, width=piece.whole.width + by)))


def test_a_mark_stays_with_its_part_from_revision_to_revision() -> None:
    """A part that did not change keeps its number, whatever else was changed."""
    recorded = marks([example_model(DEMO)])
    found = marks([wider(60.0)], recorded)
    before = {each.key: each for each in example_model(DEMO).parts}
    kept = [key for _, key in found if are_equal(before[key], wider(60.0).part(key))]
    assert "carcass/upright.coats+shelves" in kept and "drawer/box/side.left" in kept
    assert all(found[0, key] == recorded[0, key] for key in kept)


def test_nothing_changes_where_nothing_changed() -> None:
    """The same piece again, with its own marks recorded, in any order of the record."""
    recorded = marks([example_model(DEMO)])
    assert marks([example_model(DEMO)], recorded) == recorded
    assert marks([example_model(DEMO)], dict(reversed(list(recorded.items())))) == recorded


def test_a_number_is_never_given_to_another_part() -> None:
    """A part taken out leaves its number unused: an old label in the workshop must not name a new part."""
    a, b, c = part(hole(100, 80)), part(hole(200, 80)), part(hole(300, 80))
    first = Model(name="one", parts=(replace(a, key="a"), replace(b, key="b")))
    recorded = marks([first])
    second = Model(name="one", parts=(replace(c, key="c"), replace(b, key="b")))
    assert marks([second], recorded) == {(0, "c"): 3, (0, "b"): 2}


def test_parts_that_were_equal_and_are_no_more_get_two_numbers() -> None:
    """The first keeps the number, the other gets a fresh one."""
    a, b = part(hole(100, 80)), part(hole(300, 80))
    recorded = marks([Model(name="one", parts=(replace(a, key="a"), replace(a, key="b")))])
    assert recorded == {(0, "a"): 1, (0, "b"): 1}
    assert marks([Model(name="one", parts=(replace(a, key="a"), replace(b, key="b")))], recorded) == {
        (0, "a"): 1,
        (0, "b"): 2,
    }


def test_parts_that_become_equal_share_the_first_number() -> None:
    """One kind, one number."""
    a, b = part(hole(100, 80)), part(hole(200, 80))
    recorded = marks([Model(name="one", parts=(replace(a, key="a"), replace(b, key="b")))])
    found = marks([Model(name="one", parts=(replace(b, key="a"), replace(b, key="b")))], recorded)
    assert len(set(found.values())) == 1
