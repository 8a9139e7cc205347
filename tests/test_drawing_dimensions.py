"""Dimensions: every figure is printed once, the right way round, and nothing lies over it."""

from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.drawing.dimensions import DimensionRow, chain, figures, parallel, place_dimensions
from core.drawing.page import Lines, Rect, RoomError, Stroke, Text

DRAWING = Rect(100, 100, 120, 150)
SIDES = ("below", "above", "left", "right")


def printed(dimensions):
    return [item for item in dimensions.items if isinstance(item, Text)]


def strokes(dimensions):
    for item in dimensions.items:
        assert not isinstance(item, Lines)
        if isinstance(item, Stroke):
            yield from pairwise(item.points)


def enters(rect, a, b):
    """Whether a straight line comes inside the rectangle, found by walking along it."""
    t = np.linspace(0, 1, 401)
    x, y = a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])
    return bool(np.any((rect.x < x) & (x < rect.right) & (rect.y < y) & (y < rect.top)))


def test_chain_adds_up():
    """A chain gives every gap its own length, in order along the side."""
    (row,) = chain([0, 18, 566, 584], origin=20, scale=0.1)
    assert row.labels == ("18", "548", "18")
    assert row.stations == pytest.approx((20, 21.8, 76.6, 78.4))


@pytest.mark.parametrize(("datum", "expected"), [(0, ["300", "900", "1500"]), (1500, ["600", "1200", "1500"])])
def test_parallel_counts_from_its_datum(datum, expected):
    """Parallel dimensions all start at the datum, the shortest nearest the drawing, from whichever end."""
    others = [station for station in (0, 300, 900, 1500) if station != datum]
    assert [row.labels[0] for row in parallel([datum, *others])] == expected


@pytest.mark.parametrize("side", SIDES)
def test_figures_read_from_below_or_from_the_right(side):
    """ISO 129-1: figures stand above their line as read from the bottom or the right of the sheet."""
    dimensions = place_dimensions(chain([100, 200]), side=side, drawing=DRAWING)
    (figure,) = printed(dimensions)
    line = next(
        item
        for item in dimensions.items
        if isinstance(item, Stroke)
        and len(item.points) == 2
        and sorted(value for point in item.points for value in point if value in (100, 200)) == [100, 200]
    )
    (x1, y1), (x2, y2) = line.points
    box = figure.bounds()
    if side in ("below", "above"):
        assert figure.angle == 0 and box.y > max(y1, y2)
    else:
        assert figure.angle == 90 and box.right < min(x1, x2)


@pytest.mark.parametrize("side", SIDES)
def test_roomy_figure_stands_in_the_middle(side):
    """A figure with room stands in the middle of its dimension line."""
    (figure,) = printed(place_dimensions(chain([110, 190]), side=side, drawing=DRAWING))
    middle = figure.bounds().centre[0 if side in ("below", "above") else 1]
    assert middle == pytest.approx(150, abs=0.5)


def test_narrow_gap_keeps_its_figure_legible():
    """A figure too wide for its gap is not shrunk or dropped: it goes outside, at the same height."""
    (figure,) = printed(place_dimensions(chain([150, 152]), side="below", drawing=DRAWING))
    assert figure.string == "2" and figure.height == 2.5
    assert not 150 < figure.bounds().centre[0] < 152


def test_figures_keep_away_from_what_is_there():
    """A figure does not cover what the caller says is printed already, nor leave its limits."""
    free = place_dimensions(chain([110, 190]), side="below", drawing=DRAWING)
    taken = printed(free)[0].bounds()
    (moved,) = printed(place_dimensions(chain([110, 190]), side="below", drawing=DRAWING, avoid=[taken]))
    assert not moved.bounds().overlaps(taken)
    with pytest.raises(RoomError, match="80"):
        place_dimensions(chain([110, 190]), side="below", drawing=DRAWING, limits=Rect(100, 100, 120, 150))


@pytest.mark.parametrize(
    ("stations", "labels"), [((1.0,), ()), ((1.0, 1.0), ("0",)), ((2.0, 1.0), ("1",)), ((1.0, 2.0), ())]
)
def test_senseless_rows_are_refused(stations, labels):
    """A dimension line has two or more rising stations and one label for each gap."""
    with pytest.raises(ValueError):
        DimensionRow(stations, labels)


@given(
    side=st.sampled_from(SIDES),
    terminator=st.sampled_from(["oblique", "arrow"]),
    sets=st.lists(st.lists(st.integers(0, 2400), min_size=2, max_size=9, unique=True), min_size=1, max_size=4),
)
@settings(max_examples=60, deadline=None)
def test_nothing_lies_over_a_figure(side, terminator, sets):
    """No figure overlaps another, and no line of any kind runs through one; every label is printed once."""
    rows = [row for stations in sets for row in chain(stations, origin=100, scale=0.05)]
    dimensions = place_dimensions(rows, side=side, drawing=DRAWING, terminator=terminator)
    texts = printed(dimensions)
    assert sorted(text.string for text in texts) == sorted(label for row in rows for label in row.labels)
    boxes = [text.bounds() for text in texts]
    assert not any(a.overlaps(b) for a, b in combinations(boxes, 2))
    assert not any(enters(box, *line) for box in boxes for line in strokes(dimensions))
    assert not any(box.overlaps(DRAWING) for box in boxes)


@given(stations=st.lists(st.integers(0, 2400), min_size=2, max_size=9, unique=True), side=st.sampled_from(SIDES))
@settings(max_examples=40, deadline=None)
def test_parallel_figures_are_clear_too(stations, side):
    """Parallel dimensions from a common datum never print over one another."""
    rows = parallel(sorted(stations), origin=100, scale=0.05)
    boxes = [text.bounds() for text in printed(place_dimensions(rows, side=side, drawing=DRAWING))]
    assert len(boxes) == len(stations) - 1
    assert not any(a.overlaps(b) for a, b in combinations(boxes, 2))


def test_occupied_covers_the_figures():
    """What a layout says it occupies includes every figure, so that notes and part numbers can keep clear."""
    dimensions = place_dimensions(chain([100, 104, 180]), side="left", drawing=DRAWING)
    for text in printed(dimensions):
        assert any(rect.contains(text.bounds()) for rect in dimensions.occupied)
        assert DRAWING.x - dimensions.depth <= text.bounds().x + 1e-6


def test_lengths_print_to_a_tenth():
    """Lengths are multiples of 0.1 mm and print without a nought after the point."""
    assert [figures(value) for value in (450, 96.5, 0.1, 1204.04)] == ["450", "96.5", "0.1", "1204"]
