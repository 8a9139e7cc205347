"""Lists as CSV: read back by the standard reader, safe to open, numbers intact."""

import csv
import io
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from core.exports.table import SEPARATORS, csv_text


def read(text, delimiter=","):
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter))


def test_numbers_stay_numbers():
    """Lengths print without needless noughts, exponents or a negative nought, and keep their sign."""
    (row,) = read(csv_text(list("abcdefg"), [[450.0, 12.5, -0.0, 1e-9, 1234567.125, 3, -7.25]]))[1:]
    assert row == ["450", "12.5", "0", "0", "1234567.125", "3", "-7.25"]


def test_locale_with_decimal_comma():
    """With the decimal comma, cells are parted by semicolons and numbers are not put in quotation marks."""
    text = csv_text(["mark", "length"], [[1, 12.5]], separators=SEPARATORS["comma"])
    assert text == "mark;length\r\n1;12,5\r\n"


@pytest.mark.parametrize("command", ["=1+1", "+SUM(A1)", "-cmd", "@x", "\t=1", "\r=1", "＝1", " =1", "=", "-", "+-1"])
def test_formulas_are_made_harmless(command):
    """No cell of text begins with what a spreadsheet would run."""
    cell = read(csv_text(["a"], [[command]]))[1][0]
    assert cell == "'" + command


@pytest.mark.parametrize("number", ["-3.5", "+5", "12", "0.125", "-.5"])
def test_numbers_given_as_text_stay_intact(number):
    """Text that is nothing but a number is not marred by an apostrophe."""
    assert read(csv_text(["a"], [[number]]))[1][0] == number


def test_text_survives():
    """Separators, quotation marks, line ends and every script come back as they were."""
    cells = ["a,b", "c;d", 'e"f', "g\nh", "½ × Ø → ≤", "naïve Ж λ", " padded ", "", None]
    (row,) = read(csv_text([str(n) for n in range(len(cells))], [cells]))[1:]
    assert row == [cell or "" for cell in cells]


@given(cell=st.text(st.characters(codec="utf-8", exclude_characters="\0")), comma=st.booleans())
def test_any_text_comes_back(cell, comma):
    """Whatever a person types comes back, but for the apostrophe before a formula, under either locale."""
    separators = SEPARATORS["comma" if comma else "point"]
    rows = read(csv_text(["a", "b"], [[cell, 1]], separators=separators), separators.cell)
    assert len(rows) == 2 and rows[1] in ([cell, "1"], ["'" + cell, "1"])
    assert not rows[1][0].startswith(("=", "@"))


def test_stamp_is_in_every_row():
    """A list that must not be cut from says so in every row, under a heading of its own."""
    rows = list(csv.DictReader(io.StringIO(csv_text(["mark"], [[1], [2]], stamp="DO NOT CUT: 2 stop findings"))))
    assert [row["caution"] for row in rows] == ["DO NOT CUT: 2 stop findings"] * 2
    assert [row["mark"] for row in rows] == ["1", "2"]


def test_wrong_tables_are_refused():
    """A row of another length, or a number that is none, is an error and not a crooked list."""
    with pytest.raises(ValueError, match="a row of 1 cells under 2 headings"):
        csv_text(["a", "b"], [[1]])
    for value in (math.nan, math.inf):
        with pytest.raises(ValueError, match="not a number"):
            csv_text(["a"], [[value]])
