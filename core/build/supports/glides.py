"""The carcass stands on glides under its bottom, with no legs."""

from __future__ import annotations

from ...errors import ParameterError, blaming
from ...fastenings import longest_screw, pilot_for, screw
from ...fields import ident, length, parameters
from ...fittings import fitting_entry
from ...geometry import BACK, FRONT, RIGHT, UP, Placement, Vector, vector
from ...model import AT_FITTING, Pocket
from ..bench import Bench
from ..clearance import WOOD_BETWEEN, first_free, shifted
from ..hardware import drive, fitting_for
from ..protocols import BoardById
from ..setting_out import SettingOut
from ..standing import filled_up, sided_names

NEARER = 1.0  # mm that a screw's point may come nearer to a filled housing than to the open; common practice, no source
MOVED = 40.0  # mm that a glide may give way to the dowels above it; common practice, no source


@parameters
class Glides:
    """Glides under the bottom."""

    style = "glides"
    label = "Glides under the bottom"

    glide: str = ident("glide-25", "Glide", "An entry of the fittings library")
    inset: float = length(40, 15, 200, "From the edges", "Of the bottom to the centre of each glide")
    apart: float = length(
        600,
        200,
        1500,
        "Apart at most",
        "Between glides, so that the bottom does not sag; one stands under each upright",
    )

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
        most = min(bench.parts["carcass/bottom"].size[:2]) / 2 - entry.size("diameter")
        if self.inset > most:
            raise ParameterError(
                "inset",
                f"{self.inset:g} mm brings the glides together under a bottom {2 * (most + entry.size('diameter')):g} mm across; use at most {most:g} mm",
            )
        outer = out.inner.right - self.inset
        uprights = [
            (each.rect.left + each.rect.right) / 2
            for each in out.dividers
            if each.kind == "upright" and each.rect.bottom == out.inner.bottom
        ]
        places = [
            -outer,
            *filled_up([x for x in uprights if abs(x) < outer - self.inset], -outer, outer, self.apart),
            outer,
        ]
        made, reach = [], entry.size("diameter") / 2
        for x, side in zip(places, sided_names(places)):
            for end, y in (("front", out.y(self.inset)), ("rear", -self.inset)):
                key = f"carcass/glide.{side}.{end}"
                at = vector(x, y, out.outer.bottom)
                wood = wood_above(bench, at)
                deep = wood - 2.0 if wood == out.side_board.thickness else wood - WOOD_BETWEEN
                tried = [
                    each
                    for each in shifted(at, BACK if end == "front" else FRONT, MOVED)
                    if out.y(reach) <= each[1] <= -reach
                ]  # none sticks out of the piece
                free = first_free(bench, "carcass/bottom", tried, UP, 4.0, deep)
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
        wood = wood_above(bench, place.origin)
        with blaming(
            "glide"
        ):  # the end of a housed upright closes the housing, so that the point may come nearer to it
            size = longest_screw(
                screw(wanted.screw).diameter, wood + (NEARER if wood < bottom.thickness else 0.0), outside
            )
        bench.bore(
            "carcass/bottom",
            place.origin,
            UP,
            pilot_for(size, bottom.material),
            size.length - outside + 1.0,
            f"pilot for screw {size.name}",
            AT_FITTING,
        )
        drive(bench, size, head, UP, ("carcass/bottom",), "glide screw")


def wood_above(bench: Bench, at: Vector) -> float:
    """How much of the bottom is left above a place under it: less where an upright is housed in it from above."""
    part = bench.parts["carcass/bottom"]
    x, y, _ = part.place.own_point(at)
    floors = [
        each.low[2]
        for each in bench.features[part.key]
        if isinstance(each, Pocket)
        and each.kind == "housing"
        and each.low[0] < x < each.high[0]
        and each.low[1] < y < each.high[1]
    ]
    return min([part.board.thickness, *floors])


ENTRY = Glides
