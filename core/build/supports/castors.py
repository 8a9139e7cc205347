"""Castors under the bottom, for what is rolled about: a desk pedestal, a work trolley."""

from __future__ import annotations

from ...errors import ParameterError, blaming
from ...fields import ident, length, parameters
from ...fittings import fitting_entries
from ...geometry import BACK, RIGHT, Placement, vector
from ..bench import Bench
from ..clearance import WOOD_BETWEEN, is_free
from ..hardware import fitting_for
from ..protocols import BoardById
from ..setting_out import SettingOut
from ..standing import screw_up_fitting

BRAKED = "-braked"  # what the id of the same castor with a brake ends in
APART = 20.0  # mm between the circles that two wheels turn in; common practice, no source


@parameters
class Castors:
    """Four castors under the bottom."""

    style = "castors"
    label = "Castors under the bottom"

    castor: str = ident(
        "castor-50",
        "Castor",
        "An entry of the fittings library; the front two are those with a brake, where it has them",
    )
    inset: float = length(60, 30, 250, "From the edges", "Of the bottom to the middle of each castor's plate")

    def under(self, board: BoardById) -> float:
        """The height of a castor."""
        return fitting_for("castor", self.castor, "castor").size("height")

    def run_down(self) -> float:
        """Nothing runs down."""
        return 0.0

    def clear_under(self, out: SettingOut) -> None:
        """Wheels turn there; nothing hangs there."""
        return None

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Screw four castors to the underside of the bottom."""
        entry = fitting_for("castor", self.castor, "castor")
        braked = next((each for each in fitting_entries("castor") if each.id == f"{entry.id}{BRAKED}"), entry)
        low = bench.parts["carcass/bottom"]
        front, rear = out.y(self.inset), round(out.y(low.size[1]) - self.inset, 6)
        self._check(out, rear - front, entry.size("plate"), entry.size("trail") + entry.size("wheel") / 2)
        made = []
        for side, x in (("left", out.inner.left + self.inset), ("right", out.inner.right - self.inset)):
            for end, y in (("front", front), ("rear", rear)):
                key = f"carcass/castor.{side}.{end}"
                bench.fit(
                    key,
                    braked if end == "front" else entry,
                    Placement(vector(x, y, out.outer.bottom), RIGHT, BACK),
                    ("carcass/bottom",),
                )
                self._check_dowels(bench, key, entry.size("plate"))
                with blaming("castor"):
                    screw_up_fitting(bench, "castor", key, "carcass/bottom")
                made.append(key)
        return made

    def _check(self, out: SettingOut, between: float, plate: float, reach: float) -> None:
        turning = 2 * reach + APART
        if self.inset < reach:
            raise ParameterError(
                "inset", f"{self.inset:g} mm lets a wheel turn out beyond the bottom; use at least {reach:g} mm"
            )
        if self.inset < plate / 2:
            raise ParameterError(
                "inset",
                f"{self.inset:g} mm brings a plate {plate:g} mm wide beyond the bottom; use at least {plate / 2:g} mm",
            )
        least = min(between, out.inner.width - 2 * self.inset)
        if least < turning:
            raise ParameterError(
                "inset",
                f"{self.inset:g} mm leaves castors {least:g} mm apart, and their wheels turn in {turning:g} mm; use less, or make the piece larger",
            )

    def _check_dowels(self, bench: Bench, key: str, plate: float) -> None:
        """No screw of a castor may meet what joins the bottom to the sides."""
        fitting = bench.fittings[key]
        surface = fitting.place.origin[2]
        for each in fitting_for("castor", fitting.entry, "castor").screws_for():
            at = fitting.place.point(each.at)
            if not is_free(bench, "carcass/bottom", vector(at[0], at[1], surface), (0.0, 0.0, 1.0), 4.0, 13.0, gap=1.0):
                raise ParameterError(
                    "inset",
                    f"{self.inset:g} mm brings a castor's screw within 1 mm of a dowel or edge of the bottom; {self.inset + plate / 2 + WOOD_BETWEEN:g} mm clears it",
                )


ENTRY = Castors
