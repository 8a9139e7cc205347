"""What things cost the workshop and what it charges: fittings, packs, tins, labour, overhead, margin, tax.

Prices are without tax, in one currency. 0 is "not known" wherever a price or a rate of labour stands: papers then name
it as missing and never reckon with nothing.
"""

from __future__ import annotations

from ..errors import ParameterError
from ..fields import choice, count, group, ident, items, number, parameters, text
from ..fittings import fitting_entry
from .stock import DEAREST

TINS = {
    "sealer": "Sealer",
    "undercoat": "Undercoat",
    "paint": "Top coat",
    "clear": "Clear varnish",
    "oil": "Oil",
    "glue": "Glue",
}
LONGEST = 600.0  # minutes for one of anything: beyond it a rate is a slip of the pen


@parameters
class FittingPrice:
    """The price of one fitting, of a pair where it is sold in pairs."""

    fitting: str = ident("", "Fitting", "An entry of the fittings library")
    price: float = number(0, 0, DEAREST, "Price", "Of one, or of one pair; 0 where it is not known")

    def __post_init__(self) -> None:
        fitting_entry(self.fitting)


@parameters
class PackPrice:
    """The price of a pack of fastenings or abrasives."""

    what: str = text("", "What", 'As the buying list names it: "screw 3.5 × 16", "abrasive 240"', longest=60)
    holds: int = count(100, 1, 100_000, "Holds", "How many are in a pack")
    price: float = number(0, 0, DEAREST, "Price", "Of one pack; 0 where it is not known")

    def __post_init__(self) -> None:
        if not self.what:
            raise ParameterError("what", 'must not be empty; name it as the buying list does: "screw 3.5 × 16"')


@parameters
class TinPrice:
    """The price of a tin of a coating, or of a pack of glue."""

    coating: str = choice("undercoat", TINS, "Coating", "What is in it")
    holds: float = number(1, 0.05, 200, "Holds", "Litres; kilograms of glue")
    price: float = number(0, 0, DEAREST, "Price", "Of one tin; 0 where it is not known")


@parameters
class Minutes:
    """How long things take here; 0 where it is not known."""

    piece: float = number(0, 0, 6000, "Each piece", "Setting out, checking, packing, whatever its size", unit="min")
    part: float = number(0, 0, LONGEST, "Each part", "Sawn to size and marked", unit="min")
    metre: float = number(0, 0, LONGEST, "Each metre", "Of rebate, groove, bevel, taper or mitre", unit="min")
    hole: float = number(0, 0, LONGEST, "Each hole", "Drilled, for whatever it is", unit="min")
    glue_up: float = number(0, 0, LONGEST, "Each glue-up", "Of an assembly, cramps and cleaning included", unit="min")
    fastening: float = number(0, 0, LONGEST, "Each fastening", "Screw, pin, dowel or biscuit put in", unit="min")
    plug: float = number(0, 0, LONGEST, "Each plug", "Glued in and pared flush", unit="min")
    fitting: float = number(0, 0, LONGEST, "Each fitting", "Set, tried, taken off for paint and put back", unit="min")
    coat: float = number(0, 0, LONGEST, "Each m² of coat", "Brushed, rolled or sprayed, once", unit="min")
    rub: float = number(0, 0, LONGEST, "Each m² rubbed down", "Once, dusting off included", unit="min")


@parameters
class Prices:
    """What the workshop pays and charges, without tax."""

    currency: str = text("", "Currency", "ISO 4217, such as AUD; empty for that of the paper's locale", longest=3)
    fittings: tuple[FittingPrice, ...] = items(FittingPrice, "Fittings", "Price of each", most=400)
    packs: tuple[PackPrice, ...] = items(PackPrice, "Packs", "Of screws, dowels, pins, plugs and abrasives", most=400)
    tins: tuple[TinPrice, ...] = items(TinPrice, "Tins", "Of coatings, and packs of glue", most=100)
    glass: float = number(0, 0, DEAREST, "Glass", "A m² of it, cut to size, edges arrissed; 0 where it is not known")
    mirror: float = number(0, 0, DEAREST, "Mirror", "A m² of it, cut to size, edges arrissed; 0 where it is not known")
    minutes: Minutes = group(Minutes, "Minutes", "How long things take")
    hour: float = number(0, 0, DEAREST, "An hour", "What an hour of labour costs; 0 where it is not known")
    overhead: float = number(0, 0, 500, "Overhead", "On labour: rent, tools, insurance", unit="%")
    margin: float = number(0, 0, 500, "Margin", "On all of it", unit="%")
    tax: float = number(0, 0, 100, "Tax", "Put on at the end; 0 where none is charged", unit="%")
    tax_name: str = text("", "Tax is called", "As your country calls it: GST, VAT", longest=20)
    delivery: float = number(0, 0, DEAREST, "Delivery and fixing", "As charged for the job; 0 where it is not included")
    valid_days: int = count(30, 1, 730, "Valid for", "Days from the date of the quotation")
    deposit: float = number(0, 0, 100, "Deposit", "With the order; 0 for none", unit="%")
    includes: str = text("", "Includes", "What the client may count on besides the piece itself", longest=400)
    excludes: str = text("", "Does not include", "What the client must see to", longest=400)

    def __post_init__(self) -> None:
        if self.currency and not (len(self.currency) == 3 and self.currency.isascii() and self.currency.isupper()):
            raise ParameterError("currency", f'"{self.currency}" is not a code of ISO 4217 such as AUD, EUR, GBP, USD')
