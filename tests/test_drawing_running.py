"""Running dimensions: told from one datum, in order, no figure over another, no line across another."""

from itertools import combinations, pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.drawing.balloons import segments_cross
from core.drawing.page import Lines, Rect, Text
from core.drawing.running import PITCH, running, spread_out

DRAWING = Rect(0.0, 0.0, 180.0, 60.0)
VALUES = st.lists(st.floats(0.5, 900.0).map(lambda value: round(value, 1)), min_size=1, max_size=40, unique=True)


def placed(values, side="below"):
    return running(values, side=side, drawing=DRAWING, place=lambda value: value * 0.2)


@given(VALUES, st.sampled_from(["below", "above", "left", "right"]))
def test_figures_keep_apart_and_lines_do_not_cross(values, side):
    """Whatever the places, no two figures touch and no two lines to figures cross, on any side."""
    found = placed(values, side)
    boxes = [item.bounds() for item in found.items if isinstance(item, Text)]
    assert len(boxes) == len(values) + 1
    assert not any(a.overlaps(b) for a, b in combinations(boxes, 2))
    lines = next(item for item in found.items if isinstance(item, Lines)).segments[: 2 * len(boxes)]
    bent = [((a, b), (c, d)) for a, b, c, d in lines[1::2]]
    assert not any(segments_cross(*one, *other) for one, other in combinations(bent, 2))
    assert not any(box.overlaps(DRAWING) for box in boxes)


@given(st.lists(st.floats(0, 300), min_size=1, max_size=30).map(sorted))
def test_places_move_as_little_as_may_be(at):
    """Neighbours stand a pitch apart, order is kept, and the middle of all stays where it was."""
    found = spread_out(at, PITCH)
    assert all(b - a >= PITCH - 1e-9 for a, b in pairwise(found))
    assert sum(found) == pytest.approx(sum(at))


def test_each_line_begins_at_its_place():
    """The line of a figure starts at the scaled distance from the datum, and its figure says the distance."""
    found = placed([9.0, 247.0, 1713.0])
    lines = next(item for item in found.items if isinstance(item, Lines)).segments
    assert [round(a, 6) for a, _, _, _ in lines[0:8:2]] == [0.0, 1.8, 49.4, 342.6]
    assert [item.string for item in found.items if isinstance(item, Text)] == ["0", "9", "247", "1713"]


def test_what_lies_before_the_datum_is_told_without_a_sign():
    """A foot that reaches 145 below the end of the panel is told as 145, beside the 145 above it."""
    assert [item.string for item in placed([-145.0, 145.0]).items if isinstance(item, Text)] == ["145", "0", "145"]
