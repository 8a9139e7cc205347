"""What a tape can set: rounding to the finest step and to the workshop's step, lengths as they are typed."""

from __future__ import annotations

import math
import re
import unicodedata
from fractions import Fraction

from .errors import ParameterError

MM_PER_INCH = Fraction("25.4")  # exactly, by the international yard and pound agreement of 1959
FINEST_INCH = 64  # parts of an inch that a length is shown in
AS_GOOD_AS = 0.002  # mm; nearer than this a length is the fraction of an inch that it is shown as
SLACK = 1e-7  # mm; a sum of exact tenths must not fall below its step through the float's last digit


def down_to(value: float, step: float) -> float:
    """The largest multiple of `step` that is not above `value`, in mm.

    >>> down_to(518.3, 0.5), down_to(1044.0, 0.1)
    (518.0, 1044.0)
    """
    return _multiple(math.floor(value / step + SLACK), step)


def up_to(value: float, step: float) -> float:
    """The smallest multiple of `step` that is not below `value`, in mm."""
    return _multiple(math.ceil(value / step - SLACK), step)


def nearest(value: float, step: float) -> float:
    """The multiple of `step` nearest to `value`, in mm; half way goes up."""
    return _multiple(math.floor(value / step + 0.5 + SLACK), step)


def from_middle(long: float, number: int, count: int) -> float:
    """How far place `number` (from 0) of `count` evenly spread over a length lies from its middle, to 0.1 mm.

    The places are the same on both sides of the middle to the last digit, so that a mirror image has them too.

    >>> [from_middle(100, i, 4) for i in range(4)]
    [-50.0, -16.7, 16.7, 50.0]
    """
    return round(long * (2 * number - (count - 1)) / (2 * (count - 1)), 1) + 0.0


def read_length(words: str) -> float:
    """A length as a person types it where lengths are inches, in mm; a bare figure is inches.

    Raises ParameterError, without a path, for what is no length.

    >>> read_length('23-5/8"'), read_length('23 5/8'), read_length('600 mm'), read_length("6' 3-1/2\\"")
    (600.075, 600.075, 600.0, 1917.7)
    """
    said = _plainly(words)
    found = _FEET_AND_INCHES.fullmatch(said)
    if found and any(found.group("feet", "inches")):
        total = 12 * _figure(found["feet"]) + _figure(found["inches"])
    else:
        found = _WITH_UNIT.fullmatch(said)
        if not found:
            raise ParameterError("", f'must be a length such as 23-5/8", 23 5/8" or 600 mm, not "{words.strip()}"')
        total = _figure(found["figure"]) * _UNITS[found["unit"] or '"'] / MM_PER_INCH
    return round(float((-total if said.startswith("-") else total) * MM_PER_INCH), 6) + 0.0


def shown_length(mm: float) -> str:
    """A length in inches as it is shown in a field: a fraction to 1/64 where it is one, else to a thousandth.

    >>> shown_length(600.075), shown_length(600), shown_length(9.525), shown_length(0)
    ('23-5/8"', '23.622"', '3/8"', '0"')
    """
    parts = Fraction(math.floor(abs(mm) * FINEST_INCH / MM_PER_INCH + Fraction(1, 2)), FINEST_INCH)
    sign = "-" if mm < 0 else ""
    if abs(float(parts * MM_PER_INCH) - abs(mm)) > AS_GOOD_AS:
        return f'{sign}{abs(mm) / float(MM_PER_INCH):.3f}"'
    whole, rest = divmod(parts, 1)
    return sign + "-".join(str(each) for each in (whole, rest) if each or (not parts and each is whole)) + '"'


_NUMBER = r"\d+(?:[-\s]+\d+/\d+)?|\d+/\d+|\d*[.]\d+|\d+[.]"
_FEET_AND_INCHES = re.compile(rf"-?\s*(?:(?P<feet>{_NUMBER})\s*'\s*-?\s*)?(?:(?P<inches>{_NUMBER})\s*\"?)?")
_WITH_UNIT = re.compile(rf"-?\s*(?P<figure>{_NUMBER})\s*(?P<unit>mm|cm|m)")
_SIGNS = (
    ("\N{FRACTION SLASH}", "/"), ("″", '"'), ("”", '"'), ("′′", '"'), ("''", '"'),
    ("′", "'"), ("’", "'"), ("–", "-"), ("−", "-"),
)  # fmt: skip
_UNITS = {'"': MM_PER_INCH, "mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000)}


def _plainly(words: str) -> str:
    """The same with plain signs: ⅝ as 5/8, typographic marks as ' and ", words for inches and feet as those marks."""
    apart = "".join(f" {each}" if unicodedata.category(each) == "No" else each for each in words)
    said = unicodedata.normalize("NFKC", apart).lower().strip()
    for typed, plain in _SIGNS:
        said = said.replace(typed, plain)
    said = re.sub(r"(?<=[\d\s.])(?:inches|inch|in)\b[.]?", '"', said)
    said = re.sub(r"(?<=[\d\s.])(?:feet|foot|ft)\b[.]?", "'", said)
    return re.sub(r"(?<=\d),(?=\d{1,2}(?!\d))", ".", said)  # a decimal comma; before three figures, who knows


def _figure(words: str | None) -> Fraction:
    """A whole number, a decimal, a fraction, or a whole number and a fraction."""
    total = Fraction(0)
    for each in re.split(r"[-\s]+", words or "0"):
        if each.partition("/")[2].strip("0") == "" and "/" in each:
            raise ParameterError("", f'"{each}" divides by nothing; type a fraction such as 5/8')
        total += Fraction(each if each[-1:] != "." else each[:-1])
    return total


def _multiple(times: int, step: float) -> float:
    return round(times * step, 6) + 0.0
