"""Part numbers round a drawing: leaders never cross, circles never touch, and all stay inside the frame."""

import math
from itertools import combinations, pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from core.drawing.balloons import HEIGHT, circle_radius, drawing_room, place_balloons
from core.drawing.page import Circle, Rect, RoomError, Text
from core.drawing.sheet import SHEETS, Sheet, TitleBlock
from core.drawing.text import width

FRAME = Sheet(size=SHEETS["A3"], title=TitleBlock(piece="sample", sheet="sample")).room


def crosses(a, b, c, d):
    """Whether two straight lines cross at a point inside both: the textbook test by signed areas."""

    def area(p, q, r):
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    return area(a, b, c) * area(a, b, d) < 0 and area(c, d, a) * area(c, d, b) < 0


def distance(point, a, b):
    """Distance from a point to a straight line between two others."""
    length = math.dist(a, b)
    if length == 0:
        return math.dist(point, a)
    along = ((point[0] - a[0]) * (b[0] - a[0]) + (point[1] - a[1]) * (b[1] - a[1])) / length**2
    along = min(1.0, max(0.0, along))
    return math.dist(point, (a[0] + along * (b[0] - a[0]), a[1] + along * (b[1] - a[1])))


def check_layout(balloons, frame):
    for balloon in balloons:
        assert frame.contains(Circle(*balloon.centre, balloon.radius).bounds())
        assert all(frame.contains(Rect(x, y, 0, 0)) for x, y in balloon.leader)
    for one, two in combinations(balloons, 2):
        assert math.dist(one.centre, two.centre) >= 2 * one.radius + 1
        for a in pairwise(one.leader):
            assert distance(two.centre, *a) >= two.radius + 0.9, f"{one.number}'s leader runs over {two.number}"
            for b in pairwise(two.leader):
                assert not crosses(*a, *b), f"leaders of {one.number} and {two.number} cross"
        for b in pairwise(two.leader):
            assert distance(one.centre, *b) >= one.radius + 0.9


def spots(count, seed_points, room):
    return [(room.x + u * room.width, room.y + v * room.height) for u, v in seed_points[:count]]


shares = st.floats(0, 1, allow_nan=False)


@given(points=st.lists(st.tuples(shares, shares), min_size=1, max_size=120))
@settings(max_examples=40, deadline=None)
def test_no_leader_crosses_and_no_circle_overlaps(points):
    """However the parts lie, up to 120 of them: no crossing leaders, no leader over a circle, nothing outside."""
    numbers = [str(n + 1) for n in range(len(points))]
    room = drawing_room(FRAME, numbers)
    anchors = spots(len(points), points, room)
    balloons = place_balloons(numbers, anchors, frame=FRAME)
    assert [balloon.number for balloon in balloons] == numbers
    assert [balloon.anchor for balloon in balloons] == anchors
    check_layout(balloons, FRAME)


@pytest.mark.parametrize("seed", range(4))
def test_120_parts_anywhere(seed):
    """120 parts strewn over the drawing, as many as a large piece has, keep the rules too."""
    random = np.random.default_rng(seed)
    numbers = [str(n + 1) for n in range(120)]
    room = drawing_room(FRAME, numbers)
    check_layout(place_balloons(numbers, spots(120, random.random((120, 2)).tolist(), room), frame=FRAME), FRAME)


@pytest.mark.parametrize("corner", [(0, 0), (1, 0), (0.5, 0.5), (1, 1)])
def test_crowded_parts(corner):
    """120 parts shown close together, even in a corner of the drawing, still get leaders that do not cross."""
    numbers = [str(n + 1) for n in range(120)]
    room = drawing_room(FRAME, numbers)
    side = 12
    points = [
        (0.9 * corner[0] + 0.1 * (n % side) / side, 0.9 * corner[1] + 0.1 * (n // side) / side) for n in range(120)
    ]
    check_layout(place_balloons(numbers, spots(120, points, room), frame=FRAME), FRAME)


@given(
    points=st.lists(st.tuples(shares, shares), min_size=1, max_size=30),
    sides=st.sets(st.sampled_from(["left", "right", "top", "bottom"]), min_size=1),
)
@settings(max_examples=40, deadline=None)
def test_only_the_sides_asked_for(points, sides):
    """Circles stand only on the sides asked for, so that a parts list can have another."""
    numbers = [str(n + 1) for n in range(len(points))]
    room = drawing_room(FRAME, numbers, tuple(sides))
    balloons = place_balloons(numbers, spots(len(points), points, room), frame=FRAME, sides=tuple(sides))
    check_layout(balloons, FRAME)
    for balloon in balloons:
        x, y = balloon.centre
        where = {"left": x < room.x, "right": x > room.right, "top": y > room.top, "bottom": y < room.y}
        assert next(side for side, outside in where.items() if outside) in sides


def test_rows_are_straight_and_even():
    """ISO 6433: numbers stand in rows and columns; here also at even distances along each."""
    numbers = [str(n + 1) for n in range(40)]
    room = drawing_room(FRAME, numbers)
    points = [((n * 37 % 40) / 40, (n * 23 % 40) / 40) for n in range(40)]
    balloons = place_balloons(numbers, spots(40, points, room), frame=FRAME)
    for axis, limits in ((0, (room.x, room.right)), (1, (room.y, room.top))):
        for beyond in (lambda v, low=limits[0]: v < low, lambda v, high=limits[1]: v > high):
            centres = [balloon.centre for balloon in balloons if beyond(balloon.centre[axis])]
            assert len({round(centre[axis], 6) for centre in centres}) <= 1
            along = sorted(centre[1 - axis] for centre in centres)
            steps = [b - a for a, b in pairwise(along)]
            assert not steps or max(steps) - min(steps) < 1e-6


def test_numbers_fit_their_circles():
    """The number, 3.5 mm high as it must be larger than the dimensions, lies wholly inside its circle."""
    for numbers in (["1"], ["88"], ["100", "120"], ["1000"]):
        radius = circle_radius(numbers)
        assert all(math.hypot(width(number, HEIGHT), HEIGHT) / 2 < radius for number in numbers)


def test_ends_on_faces_and_edges():
    """A leader ends with a dot on a face and an arrowhead on an edge, both exactly at the anchor."""
    room = drawing_room(FRAME, ["1", "2"])
    anchors = [(room.x + 50, room.y + 40), (room.x + 90, room.y + 40)]
    face, edge = place_balloons(["1", "2"], anchors, frame=FRAME, ends=["dot", "arrow"])
    dot = [item for item in face.items if isinstance(item, Circle)][1]
    assert (dot.x, dot.y) == anchors[0] and dot.fill == 0.0
    assert edge.items[-1].points[0] == anchors[1]
    assert any(isinstance(item, Text) and item.string == "2" for item in edge.items)


def test_equal_anchors_are_allowed():
    """Two numbers may point to one place; their leaders meet there and nowhere else."""
    room = drawing_room(FRAME, ["1", "2", "3"])
    check_layout(place_balloons(["1", "2", "3"], [room.centre] * 3, frame=FRAME), FRAME)


def test_no_numbers():
    """A drawing without part numbers gets no circles."""
    assert place_balloons([], [], frame=FRAME) == ()


def test_too_many_are_refused():
    """More numbers than two rows hold are refused with the count and what to do, not squeezed in."""
    small = Rect(0, 0, 120, 100)
    numbers = [str(n + 1) for n in range(120)]
    with pytest.raises(RoomError, match=r"120 part numbers .* larger sheet"):
        drawing_room(small, numbers)
    with pytest.raises(RoomError, match="part 1 is shown at"):
        place_balloons(["1"], [(1, 1)], frame=FRAME)


def test_same_input_same_places():
    """The places follow from the input alone, mirrored ties included."""
    numbers = [str(n + 1) for n in range(16)]
    room = drawing_room(FRAME, numbers)
    x, y = room.centre
    anchors = [(x + 60 * math.cos(n * math.pi / 8), y + 60 * math.sin(n * math.pi / 8)) for n in range(16)]
    assert place_balloons(numbers, anchors, frame=FRAME) == place_balloons(numbers, anchors, frame=FRAME)
