"""Four separate square legs with rails between them, under the carcass."""

from __future__ import annotations

from ...fields import parameters
from ..stand import Stand


@parameters
class SquareLegs(Stand):
    """Square legs and rails."""

    style = "square_legs"
    label = "Square legs and rails"


ENTRY = SquareLegs
