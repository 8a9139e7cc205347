"""Lengths as they are typed and shown where they are inches."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.errors import ParameterError
from core.units import read_length, shown_length


@pytest.mark.parametrize(
    ("typed", "mm"),
    [
        ('23-5/8"', 600.075),  # 23.625 × 25.4, by hand
        ('23 5/8"', 600.075),
        ("23 - 5/8", 600.075),
        ("23⅝″", 600.075),
        ("23.625 in", 600.075),
        ("23,5 in", 596.9),
        ("23", 584.2),
        ('5/8"', 15.875),
        ("⅝", 15.875),
        ("600 mm", 600.0),
        ("600mm", 600.0),
        ("600,5 mm", 600.5),
        ("60 cm", 600.0),
        ("0.6 m", 600.0),
        ("6' 3-1/2\"", 1917.7),  # 75.5 × 25.4
        ("6 ft 3 1/2 in", 1917.7),
        ("6'", 1828.8),
        ("6’-3½”", 1917.7),
        ("-1/2", -12.7),
        (" 0 ", 0.0),
    ],
)
def test_a_length_is_read_as_a_joiner_writes_it(typed, mm):
    """Inches with a fraction after a hyphen or a space, feet, and metric lengths with their unit."""
    assert read_length(typed) == mm


NO_LENGTHS = ["", "wide", '23-5/8" mm', "23 5/0", "1,200 mm", "5/8/2", "600 furlongs", "--3", "3'' 4'", "1e3", "'"]


@pytest.mark.parametrize("typed", NO_LENGTHS)
def test_what_is_no_length_is_refused_with_a_way_out(typed):
    """Anything else is refused, never guessed: the comma of "1,200 mm" may mean two things."""
    with pytest.raises(ParameterError, match=r"such as"):
        read_length(typed)


@given(st.integers(-64 * 200, 64 * 200))
def test_every_sixty_fourth_of_an_inch_comes_back_as_it_was_shown(parts):
    """A fraction to 1/64 is shown reduced, and read again as the same length."""
    mm = float(Fraction(parts, 64) * Fraction("25.4"))
    shown = shown_length(mm)
    assert "." not in shown and read_length(shown) == pytest.approx(mm, abs=1e-6)
    if "/" in shown:
        assert int(shown.strip('"').rpartition("/")[0][-1]) % 2 == 1  # reduced


@given(st.floats(-5000, 5000))
def test_any_length_is_shown_to_a_hundredth_of_a_millimetre(mm):
    """What is shown, read again, is within half a thousandth of an inch."""
    assert read_length(shown_length(mm)) == pytest.approx(mm, abs=0.0128)
