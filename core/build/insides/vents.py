"""Ventilation holes in the back of a compartment, half of them low, half high, so that warm air draws through."""

from __future__ import annotations

import math

from ...errors import ParameterError
from ...fields import length, number, parameters
from ...geometry import BACK, vector
from ..bench import Bench
from ..clearance import is_free
from ..contents import around
from ..protocols import BayWalls
from ..setting_out import SettingOut

FROM_WALLS = 30.0  # mm of back left beside the rows, clear of the screws into sides, shelves and uprights; common practice, no source
PITCH = 1.6  # times the diameter, from hole to hole; common practice, no source


@parameters
class Vents:
    """Ventilation holes in the back."""

    style = "vents"
    label = "Ventilation holes"

    share: float = number(
        5, 1, 20, "Free area", "Of the back behind the compartment; media equipment wants 5", unit="%"
    )
    diameter: float = length(35, 15, 60, "Diameter", "Of each hole")

    def build(self, bench: Bench, out: SettingOut, bay: BayWalls, number: int) -> list[str]:
        """Bore rows of holes along the bottom and along the top of the back."""
        back = around(bench.parts["carcass/back"])
        covered = (
            out.piece.carcass.stiffeners.anchor_rail_width
            if bay.top == "carcass/top" and out.piece.carcass.stiffeners.anchor_rails
            else 0.0
        )
        rows = self._rows(bay, covered)
        middle, pitch = (bay.rect.left + bay.rect.right) / 2, self._pitch()
        for height, holes in rows:
            for i in range(holes):
                at = vector(round(middle + pitch * (i - (holes - 1) / 2), 6), back[0][1], height)
                if not is_free(bench, "carcass/back", at, BACK, self.diameter, back[1][1] - back[0][1]):
                    raise ParameterError(
                        "share",
                        f"{self.share:g} %: a hole at height {height:.0f} mm would be within 5 mm of something else in the back",
                    )
                bench.bore(
                    "carcass/back",
                    at,
                    BACK,
                    self.diameter,
                    back[1][1] - back[0][1],
                    f"ventilation hole {self.diameter:g}",
                )
        return []

    def holes(self, width: float, height: float) -> int:
        """How many holes give the free area of a back so large; an even number.

        >>> Vents().holes(700, 400)
        16
        """
        return 2 * math.ceil(self.share / 100 * width * height / (math.pi / 4 * self.diameter**2) / 2 - 1e-9)

    def _pitch(self) -> float:
        return round(self.diameter * PITCH, 1)

    def _rows(self, bay: BayWalls, covered: float) -> list[tuple[float, int]]:
        """Height and number of holes of each row, low ones first."""
        pitch, radius = self._pitch(), self.diameter / 2
        in_a_row = math.floor((bay.rect.width - 2 * FROM_WALLS - self.diameter) / pitch + 1e-9) + 1
        if in_a_row < 1 or bay.rect.width < 2 * FROM_WALLS + self.diameter:
            raise ParameterError(
                "diameter",
                f"{self.diameter:g} mm does not fit in a compartment {bay.rect.width:g} mm wide; use at most {bay.rect.width - 2 * FROM_WALLS:g} mm",
            )
        half = self.holes(bay.rect.width, bay.rect.height) // 2
        count = math.ceil(half / in_a_row)
        low, high = bay.rect.bottom + FROM_WALLS + radius, bay.rect.top - covered - FROM_WALLS - radius
        if high - low < (2 * count - 1) * pitch:
            raise ParameterError(
                "share",
                f"{self.share:g} % needs {2 * half} holes in {2 * count} rows, more than a compartment {bay.rect.height:g} mm high has room for; use less, or larger holes",
            )
        numbers = [half // count + (1 if i < half % count else 0) for i in range(count)]
        return [(low + i * pitch, n) for i, n in enumerate(numbers)] + [
            (high - i * pitch, n) for i, n in enumerate(numbers)
        ]


ENTRY = Vents
