"""The carcass stands on glides under its bottom, with no legs."""

from __future__ import annotations

from ...fields import length, ident, parameters
from ...fastenings import longest_screw, pilot_for, screw
from ...fittings import fitting_entry
from ...geometry import BACK, RIGHT, UP, Placement, vector
from ...model import AT_FITTING
from ..bench import Bench
from ..hardware import fitting_for
from ..protocols import BoardById
from ..setting_out import SettingOut


@parameters
class Glides:
    """Four glides under the bottom."""

    style = "glides"
    label = "Glides under the bottom"

    glide: str = ident("glide-25", "Glide", "An entry of the fittings library")
    inset: float = length(40, 15, 200, "From the edges", "Of the bottom to the centre of each glide")

    def under(self, board: BoardById) -> float:
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
                self._screw(bench, place)
                made.append(key)
        return made

    def _screw(self, bench: Bench, place: Placement) -> None:
        """The glide's screw, as long as the bottom allows; its head lies within the glide."""
        wanted, bottom = fitting_entry(self.glide).screws_for()[0], bench.parts["carcass/bottom"].board
        head = place.point(wanted.at)
        outside = place.origin[2] - head[2]
        size = longest_screw(screw(wanted.screw).diameter, bottom.thickness, outside)
        bench.bore("carcass/bottom", place.origin, UP, pilot_for(size, bottom.material), size.length - outside + 1.0, f"pilot for screw {size.name}", AT_FITTING)
        bench.fasten("screw", f"screw {size.name}", size.diameter, size.length, head, UP, ("carcass/bottom",), "glide screw", AT_FITTING)


ENTRY = Glides
