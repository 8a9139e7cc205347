"""Quantised coordinates and frames."""

from __future__ import annotations

import struct

from hypothesis import example, given
from hypothesis import strategies as st

from core.geometry import UP, Placement, cross, quantised, vector

LENGTHS = st.one_of(
    st.floats(-1e7, 1e7),
    st.integers(-(10**9), 10**9).map(lambda number: number / 128),  # inches halved again and again
    st.integers(-(10**12), 10**12).map(lambda number: (number + 0.5) / 1e6),  # half way between two quanta
    st.integers(-(10**9), 10**9).map(lambda number: number * 0.396875 / 32),
)


@given(LENGTHS)
@example(-0.0)
@example(5e-7)
@example(-5e-7)
@example(0.1984375)
def test_a_quantised_value_is_the_decimal_one_to_the_last_bit(value):
    """The quick way of rounding gives the very float that rounding in decimals gives, and no negative zero."""
    wanted = struct.pack("d", round(value, 6) + 0.0)
    assert struct.pack("d", quantised(value)) == wanted
    assert [struct.pack("d", each) for each in vector(value, 1.0, value)] == [wanted, struct.pack("d", 1.0), wanted]


def test_the_third_axis_takes_no_part_in_comparing():
    """A placement is its origin and two axes; the third follows, in a moved one too."""
    place = Placement((1.0, 2.0, 3.0), UP)
    assert place.z == cross(place.x, place.y) == place.moved(UP).z
    assert place == Placement((1.0, 2.0, 3.0), UP) and hash(place) == hash(Placement((1.0, 2.0, 3.0), UP))
    assert "z=" not in repr(place)
