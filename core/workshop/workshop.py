"""One workshop: its stock, its saws and its prices."""

from __future__ import annotations

from ..fields import flag, group, parameters, text
from .prices import Prices
from .saws import Saws
from .stock import Stock


@parameters
class Workshop:
    """What a workshop can buy, has in the rack and can saw; each section may be left out."""

    name: str = text("", "Name", "Whose workshop it is", longest=60)
    example: bool = flag(False, "Example figures", "Sizes and prices are invented; papers made with them say so")
    stock: Stock = group(Stock, "Stock", "What parts can be cut from")
    saws: Saws = group(Saws, "Saws", "What they take and what one person can handle")
    prices: Prices = group(Prices, "Prices", "What things cost and what is charged")
