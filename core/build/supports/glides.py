"""The carcass stands on glides under its bottom, with no legs."""

from __future__ import annotations

from ...fields import length, ident, parameters
from ...fittings import fitting_entry
from ...geometry import BACK, RIGHT, UP, Placement, vector
from ...model import AT_FITTING
from ..bench import Bench
from ..hardware import fitting_for
from ..setting_out import SettingOut


@parameters
class Glides:
    """Four glides under the bottom."""

    style = "glides"
    label = "Glides under the bottom"

    glide: str = ident("glide-25", "Glide", "An entry of the fittings library")
    inset: float = length(40, 15, 200, "From the edges", "Of the bottom to the centre of each glide")

    def under(self) -> float:
        """The height of a glide."""
        return fitting_for("glide", self.glide, "glide").size("height")

    def run_down(self) -> float:
        """Nothing runs down."""
        return 0.0

    def clear_under(self, out: SettingOut) -> None:
        """A glide leaves no room for anything."""
        return None

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Screw four glides to the underside of the bottom."""
        entry = fitting_entry(self.glide)
        made = []
        for side, x in (("left", out.inner.left + self.inset), ("right", out.inner.right - self.inset)):
            for end, y in (("front", out.y(self.inset)), ("rear", -self.inset)):
                key = f"carcass/glide.{side}.{end}"
                place = Placement(vector(x, y, out.outer.bottom), RIGHT, BACK)
                bench.fit(key, entry, place, ("carcass/bottom",))
                bench.fasten("screw", "screw 4 × 16", 4.0, 16.0, place.origin, UP, ("carcass/bottom",), "glide screw", AT_FITTING)
                made.append(key)
        return made


ENTRY = Glides
