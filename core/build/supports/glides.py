"""The carcass stands on glides under its bottom, with no legs."""

from __future__ import annotations

from ...fields import length, ident, parameters
from ...errors import blaming
from ...fastenings import longest_screw, pilot_for, screw
from ...fittings import fitting_entry
from ...geometry import BACK, FRONT, RIGHT, UP, Placement, vector
from ...model import AT_FITTING
from ..bench import Bench
from ..hardware import fitting_for
from ..protocols import BoardById
from ..clearance import first_free, shifted
from ..setting_out import SettingOut
from ..standing import filled_up, sided_names


MOVED = 40.0  # mm that a glide may give way to the dowels above it; common practice, no source


@parameters
class Glides:
    """Glides under the bottom."""

    style = "glides"
    label = "Glides under the bottom"

    glide: str = ident("glide-25", "Glide", "An entry of the fittings library")
    inset: float = length(40, 15, 200, "From the edges", "Of the bottom to the centre of each glide")
    apart: float = length(600, 200, 1500, "Apart at most", "Between glides, so that the bottom does not sag; one stands under each upright")

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
        """Screw glides to the underside of the bottom: at its corners, under each upright, and so that it does not sag between."""
        entry = fitting_entry(self.glide)
        outer = out.inner.right - self.inset
        uprights = [(each.rect.left + each.rect.right) / 2 for each in out.dividers if each.kind == "upright" and each.rect.bottom == out.inner.bottom]
        places = [-outer, *filled_up([x for x in uprights if abs(x) < outer - self.inset], -outer, outer, self.apart), outer]
        made = []
        for x, side in zip(places, sided_names(places)):
            for end, y in (("front", out.y(self.inset)), ("rear", -self.inset)):
                key = f"carcass/glide.{side}.{end}"
                at = vector(x, y, out.outer.bottom)
                free = first_free(bench, "carcass/bottom", shifted(at, BACK if end == "front" else FRONT, MOVED), UP, 4.0, out.side_board.thickness - 2.0)
                place = Placement(free or at, RIGHT, BACK)
                bench.fit(key, entry, place, ("carcass/bottom",))
                self._screw(bench, place)
                made.append(key)
        return made

    def _screw(self, bench: Bench, place: Placement) -> None:
        """The glide's screw, as long as the bottom allows; its head lies within the glide."""
        wanted, bottom = fitting_entry(self.glide).screws_for()[0], bench.parts["carcass/bottom"].board
        head = place.point(wanted.at)
        outside = place.origin[2] - head[2]
        with blaming("carcass.board"):
            size = longest_screw(screw(wanted.screw).diameter, bottom.thickness, outside)
        bench.bore("carcass/bottom", place.origin, UP, pilot_for(size, bottom.material), size.length - outside + 1.0, f"pilot for screw {size.name}", AT_FITTING)
        bench.fasten("screw", f"screw {size.name}", size.diameter, size.length, head, UP, ("carcass/bottom",), "glide screw", AT_FITTING)


ENTRY = Glides
