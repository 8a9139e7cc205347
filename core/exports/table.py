"""Lists as CSV (RFC 4180, UTF-8) that a spreadsheet opens as text and numbers, never as commands."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

Cell = str | int | float | None

DECIMALS = 3  # of a millimetre or a kilogram; finer than any saw or scale


@dataclass(frozen=True, slots=True)
class Separators:
    """What parts the cells of a row, and what stands before the decimals."""

    cell: str
    decimal: str

    def __post_init__(self) -> None:
        if self.cell == self.decimal or len(self.cell) != 1 or len(self.decimal) != 1:
            raise ValueError(f"cells parted by {self.cell!r} cannot hold numbers with {self.decimal!r}")


SEPARATORS = {  # by locale setting
    "point": Separators(",", "."),
    "comma": Separators(";", ","),
}

# A cell that begins so is run as a formula by common spreadsheets; full-width forms by some.
_COMMANDS = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")
_PARTING = set(',;\t"\r\n')


def csv_text(
    headings: Sequence[str],
    rows: Iterable[Sequence[Cell]],
    *,
    separators: Separators = SEPARATORS["point"],
    stamp: str = "",
) -> str:
    """The table as CSV text, line ends CR LF.

    Numbers (int, float, or text that is nothing but a number) stay numbers; text that begins like a formula gets an
    apostrophe before it. An empty cell is None or "". A stamp, such as "DO NOT CUT: 2 stop findings", becomes
    a first column that says so in every row. Raises ValueError for a number that is not finite, or a row
    as long as the headings are not.

    >>> csv_text(["mark", "length"], [[1, 450.0], ["=2", -3.25]])
    "mark,length\\r\\n1,450\\r\\n'=2,-3.25\\r\\n"
    """
    lines = [[stamp or None, *row] for row in rows] if stamp else [list(row) for row in rows]
    table = [["caution", *headings] if stamp else list(headings), *lines]
    for row in table:
        if len(row) != len(table[0]):
            raise ValueError(f"a row of {len(row)} cells under {len(table[0])} headings: {row!r}")
    return "".join(separators.cell.join(_cell(cell, separators) for cell in row) + "\r\n" for row in table)


# --- helpers


def _cell(cell: Cell, separators: Separators) -> str:
    if cell is None:
        return ""
    if isinstance(cell, str):
        return cell if _is_number(cell, separators) else _quoted(_harmless(cell))
    return _number(cell).replace(".", separators.decimal)


def _number(value: int | float) -> str:
    """Shortest form with at most three decimals: 450, 12.5, 0.125; never an exponent or a negative nought."""
    if not math.isfinite(value):
        raise ValueError(f"{value} is not a number that a list can hold")
    if isinstance(value, int):
        return str(int(value))
    figures = f"{value:.{DECIMALS}f}".rstrip("0").rstrip(".")
    return "0" if figures == "-0" else figures


def _harmless(text: str) -> str:
    return "'" + text if text.lstrip(" ").startswith(_COMMANDS) else text


def _is_number(text: str, separators: Separators) -> bool:
    """Whether the text is a plain decimal number, as the spreadsheet of this locale would read it."""
    unsigned = text[1:] if text[:1] in ("+", "-") else text
    digits = unsigned.replace(separators.decimal, "", 1)
    return digits.isascii() and digits.isdigit()


def _quoted(text: str) -> str:
    """The cell in quotation marks when any locale might part it, or trim it, otherwise."""
    if _PARTING.intersection(text) or text != text.strip():
        return '"' + text.replace('"', '""') + '"'
    return text
