"""One workshop: its stock, its saws and its prices."""

from __future__ import annotations

from ..fields import flag, group, parameters, text
from .company import Company
from .prices import Prices
from .saws import Saws
from .stock import Stock


@parameters
class Workshop:
    """What a workshop can buy, has in the rack and can saw, and whose it is; each section may be left out."""

    name: str = text("", "Name", "Whose workshop it is", longest=60)
    example: bool = flag(False, "Example figures", "Sizes and prices are invented; papers made with them say so")
    company: Company = group(Company, "Company", "Who makes the furniture, as it stands on paper")
    stock: Stock = group(Stock, "Stock", "What parts can be cut from")
    saws: Saws = group(Saws, "Saws", "What they take and what one person can handle")
    prices: Prices = group(Prices, "Prices", "What things cost and what is charged")

    @property
    def maker(self) -> str:
        """Who makes the furniture: the company, else whose workshop it is; nobody where it is only an example."""
        return self.company.name or ("" if self.example else self.name)
