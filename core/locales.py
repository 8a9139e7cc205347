"""How figures are written for the person who reads them: decimal sign, inches, dates and money by locale.

Every number on paper goes through one `Locale`. A page asks for it once and lets it write:

    locale = drawings_of(job)                # core/pages/_sheets.py: mm always, for drawings, rods and templates
    locale = lists_of(job)                   # mm, or inches where the workshop lists in inches
    sheet = blank(job, "Cutting list", locale=locale)   # the title block then says in what sizes are given

    locale.length(96.54)                     # a length that a tape or a fence sets: 96.5, 96,5 or 3-13/16″
    locale.thickness(18)                     # what the calliper reads: 18 or 0.709″
    locale.triple((1722, 534, 18))           # length × width × thickness
    locale.number(11.615)                    # any other figure, idle noughts left out: 11.6 (angles, diameters of bits)
    locale.fixed(6.8, 2)                     # always so many decimals, for columns that are added up: 6.80
    locale.area(6.85), locale.run(2.27), locale.mass(12.2), locale.volume(1.6)   # with their units
    locale.text("screw 3.5 × 16")            # English words that hold figures: 3,5 × 16 where the comma is used
    locale.date("2026-11-24"), locale.money(Decimal("1234.5"), "AUD")

Whatever else a page prints, its sheet writes with the decimal sign of the locale that `blank` was given (see
`with_decimals`), so a drawing's own figures need nothing.

Words stay English. Diameters of drills, screws and dowels stay in mm, which is what is engraved on them. Title blocks
keep the date as ISO 8601 has it (ISO 7200), which nobody misreads. `csv` names the separators of
`core/exports/table.py`.
"""

from __future__ import annotations

import datetime
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from types import MappingProxyType

MM_PER_INCH = 25.4
M_PER_FOOT = 0.3048
M2_PER_SQUARE_FOOT = M_PER_FOOT**2
KG_PER_POUND = 0.45359237
LITRES_PER_US_QUART = 0.946352946
FRACTIONS = MappingProxyType({"mm": 0, "1/16 in": 16, "1/32 in": 32})  # what lists give lengths in: denominator
INCH, FEET_SQUARED = "″", "ft²"
NO_BREAK = "\u00a0"
SIGNS = MappingProxyType({"GBP": "£", "AUD": "$", "USD": "$", "NZD": "$", "CAD": "$", "EUR": "€"})  # ISO 4217 → sign
MONTHS = ("January", "February", "March", "April", "May", "June",
          "July", "August", "September", "October", "November", "December")  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Locale:
    """How figures are written; see the module for which method is for what. `denominator` 0: lengths in mm."""

    id: str
    decimal: str = "."
    thousands: str = ","
    day: str = "{d} {month} {y}"
    currency: str = "GBP"  # ISO 4217, where a price list names none
    sign_first: bool = True
    csv: str = "point"
    denominator: int = 0

    # ------------------------------------------------------------------------------------------------------ figures
    def number(self, value: float, places: int = 1) -> str:
        """A figure with at most so many decimals, none where they are noughts.

        >>> locale_for("en_GB").number(450.0), locale_for("de_DE").number(96.54)
        ('450', '96,5')
        """
        figures = f"{value:.{places}f}"
        if "." in figures:
            figures = figures.rstrip("0").rstrip(".")
        return "0" if figures == "-0" else figures.replace(".", self.decimal)

    def fixed(self, value: float, places: int = 2) -> str:
        """A figure with always so many decimals.

        >>> locale_for("fr_FR").fixed(6.8)
        '6,80'
        """
        return f"{value:.{places}f}".replace(".", self.decimal)

    def text(self, words: str) -> str:
        """English words with the decimals of their figures written as this locale does; not for sources and clauses.

        >>> locale_for("de_DE").text("screw 3.5 × 16, 30° on the face edge")
        'screw 3,5 × 16, 30° on the face edge'
        """
        return with_decimals(words, self.decimal)

    # ------------------------------------------------------------------------------------------------------ lengths
    def length(self, mm: float) -> str:
        """A length: mm with at most one decimal, or inches with a reduced fraction, nearest, half way up.

        >>> locale_for("en_US", "1/32 in").length(96.54), locale_for("en_US", "1/16 in").length(1722)
        ('3-13/16″', '67-13/16″')
        """
        return inches(mm, self.denominator) if self.denominator else self.number(mm)

    def thickness(self, mm: float) -> str:
        """A thickness as the calliper reads it: mm, or thousandths of an inch.

        >>> locale_for("en_US", "1/32 in").thickness(18)
        '0.709″'
        """
        return f"{self.fixed(mm / MM_PER_INCH, 3)}{INCH}" if self.denominator else self.number(mm)

    def triple(self, size: Iterable[float]) -> str:
        """Length × width × thickness of a part.

        >>> locale_for("en_GB").triple((1722, 534, 18))
        '1722 × 534 × 18'
        """
        length, width, thickness = size
        return f"{self.length(length)} × {self.length(width)} × {self.thickness(thickness)}"

    @property
    def unit_words(self) -> str:
        """What sizes are given in, and how they are rounded, for the title block."""
        if not self.denominator:
            return "All sizes in mm."
        return (
            f"Sizes in inches, rounded to the nearest 1/{self.denominator}{INCH}; thicknesses as measured, to "
            f"0.001{INCH}; machining and fasteners in mm."
        )

    # --------------------------------------------------------------------------------------------------- quantities
    def area(self, m2: float) -> str:
        """An area with its unit.

        >>> locale_for("en_GB").area(6.853), locale_for("en_US", "1/16 in").area(6.853)
        ('6.85 m²', '73.8 ft²')
        """
        return f"{self.area_figure(m2)} {self.area_unit}"

    def run(self, metres: float) -> str:
        """A length run of stock with its unit."""
        return f"{self.run_figure(metres)} {self.run_unit}"

    def mass(self, kg: float) -> str:
        """A mass with its unit."""
        return f"{self.mass_figure(kg)} {self.mass_unit}"

    def run_to_buy(self, metres: float) -> str:
        """A length run with its unit, rounded up to whole metres or feet.

        >>> locale_for("en_GB").run_to_buy(22.01), locale_for("en_US", "1/16 in").run_to_buy(22.01)
        ('23 m', '73 ft')
        """
        return f"{math.ceil((metres / M_PER_FOOT if self.denominator else metres) - 1e-6)} {self.run_unit}"

    def mass_to_buy(self, kg: float) -> str:
        """A mass of glue with its unit, rounded up to a hundredth: the smallest packs hold a quarter.

        >>> locale_for("en_GB").mass_to_buy(0.101), locale_for("en_US", "1/16 in").mass_to_buy(0.339)
        ('0.11 kg', '0.75 lb')
        """
        shown = kg / KG_PER_POUND if self.denominator else kg
        return f"{self.fixed(math.ceil(shown * 100 - 1e-6) / 100, 2)} {self.mass_unit}"

    def volume(self, litres: float) -> str:
        """A volume of paint or glue with its unit, rounded up to what can be bought and measured.

        >>> locale_for("en_GB").volume(1.61), locale_for("en_US", "1/16 in").volume(1.61)
        ('1.7 l', '1.8 US qt')
        """
        shown, unit = (litres / LITRES_PER_US_QUART, "US qt") if self.denominator else (litres, "l")
        return f"{self.fixed(math.ceil(shown * 10 - 1e-6) / 10, 1)} {unit}"

    def area_figure(self, m2: float) -> str:
        """An area under a heading that says `area_unit`."""
        return self.fixed(m2 / M2_PER_SQUARE_FOOT, 1) if self.denominator else self.fixed(m2, 2)

    def run_figure(self, metres: float) -> str:
        """A run under a heading that says `run_unit`."""
        return self.fixed(metres / M_PER_FOOT, 1) if self.denominator else self.fixed(metres, 2)

    def mass_figure(self, kg: float) -> str:
        """A mass under a heading that says `mass_unit`."""
        return self.fixed(kg / KG_PER_POUND, 1) if self.denominator else self.fixed(kg, 1)

    @property
    def area_unit(self) -> str:
        """Square metres or square feet."""
        return FEET_SQUARED if self.denominator else "m²"

    @property
    def run_unit(self) -> str:
        """Metres or feet."""
        return "ft" if self.denominator else "m"

    @property
    def mass_unit(self) -> str:
        """Kilograms or pounds."""
        return "lb" if self.denominator else "kg"

    # ----------------------------------------------------------------------------------------------- dates and money
    def date(self, iso: str) -> str:
        """A day such as 2026-11-24 as people write it; nothing for none.

        >>> [locale_for(id).date("2026-11-24") for id in ("en_AU", "en_US", "de_DE", "fr_FR")]
        ['24 November 2026', 'November 24, 2026', '24.11.2026', '24/11/2026']
        """
        if not iso:
            return ""
        day = datetime.date.fromisoformat(iso)
        month = MONTHS[day.month - 1]
        return self.day.format(d=day.day, dd=f"{day.day:02}", mm=f"{day.month:02}", month=month, y=day.year)

    def money(self, amount: Decimal, currency: str = "") -> str:
        """An amount to the cent, half a cent up, with the sign of its currency (its ISO 4217 code where it has none).

        >>> locale_for("en_AU").money(Decimal("1234.5"))
        '$1,234.50'
        """
        currency = currency or self.currency
        sign, figures = SIGNS.get(currency, currency), self.amount(amount)
        if not self.sign_first:
            return f"{figures}{NO_BREAK}{sign}"
        minus = figures.startswith("−")
        return f"{'−' * minus}{sign}{NO_BREAK * (sign == currency)}{figures.removeprefix('−')}"

    def amount(self, amount: Decimal) -> str:
        """An amount without its currency, under a heading that names it."""
        figures = f"{amount.quantize(Decimal('0.01'), ROUND_HALF_UP):,.2f}".replace("-", "−")
        return figures.translate(str.maketrans({",": self.thousands, ".": self.decimal}))


def with_decimals(words: str, sign: str) -> str:
    """Words with the decimal points of their figures made another sign; clauses, dates and sums of money stay.

    >>> with_decimals("⌀8.5 × 12.25, R1.5; EN 312 Table 3.2, X5.9, 24.11.2026, 1.234,50", ",")
    '⌀8,5 × 12,25, R1,5; EN 312 Table 3.2, X5.9, 24.11.2026, 1.234,50'
    """
    return words if sign == "." or "." not in words else _FIGURE.sub(lambda found: _figure(found, sign), words)


_FIGURE = re.compile(r"(?<![\d.,])(\d+)\.(\d+)(?![.,]?\d)")
_CLAUSES = ("Table ", "table ", "CFR ", "clause ", "ch. ", "chapter ", "§", "§ ", "no. ", "version ", "Fig. ")


def _figure(found: re.Match[str], sign: str) -> str:
    before = found.string[: found.start()]
    is_named = before[-1:].isalpha() and before[-1:] != "R"  # X5.9 is a name, R1.5 a radius
    return found[0] if is_named or before.endswith(_CLAUSES) else f"{found[1]}{sign}{found[2]}"


def locale_for(id: str, lengths: str = "mm") -> Locale:
    """The locale of that id, lists in mm or in inches by one of `FRACTIONS`; KeyError for one that is not there."""
    return replace(LOCALES[id], denominator=FRACTIONS[lengths])


_EURO = {"currency": "EUR", "sign_first": False, "csv": "comma"}
# Signs and dates as the Unicode CLDR gives them, from memory.
LOCALES = MappingProxyType({each.id: each for each in (
    Locale(id="en_GB"),
    Locale(id="en_AU", currency="AUD"),
    Locale(id="en_US", currency="USD", day="{month} {d}, {y}"),
    Locale(id="de_DE", decimal=",", thousands=".", day="{dd}.{mm}.{y}", **_EURO),
    Locale(id="fr_FR", decimal=",", thousands=NO_BREAK, day="{dd}/{mm}/{y}", **_EURO),
)})  # fmt: skip


def inches(mm: float, denominator: int) -> str:
    """A length in inches, its fraction reduced, nearest, half way up: 3-13/16″, 7/8″, 12″.

    >>> inches(25.4, 32), inches(22.225, 32), inches(0.3, 16), inches(-40, 16)
    ('1″', '7/8″', '0″', '−1-9/16″')
    """
    parts = Fraction(math.floor(abs(mm) / MM_PER_INCH * denominator + 0.5 + 1e-9), denominator)
    whole, rest = divmod(parts, 1)
    words = "-".join([str(whole)] * (whole > 0 or not rest) + [str(rest)] * (rest > 0))
    return f"{'−' * (mm < 0 and parts > 0)}{words}{INCH}"
