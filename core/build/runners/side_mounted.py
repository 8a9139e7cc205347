"""Side-mounted ball-bearing runners: the box stands between them, its width and its length theirs."""

from __future__ import annotations

from typing import Literal

from ...errors import ParameterError
from ...fields import ident, parameters
from ...fittings import FittingEntry, fitting_entries
from ...geometry import BACK, LEFT, RIGHT, Placement, vector
from ...piece.fronts import PLAIN_RATIO
from ...units import down_to
from ..bench import Bench
from ..drawers.lengths import REAR_ROOM, check_length, longest_of
from ..drawers.values import Box, DrawerPlace, Fit, Hung, LaidFront
from ..hardware import fitting_for, screw_on
from ..setting_out import SettingOut

STEP = 0.5  # mm; the width of a box is rounded down to it, never up: a tight box binds
# mm clear over and under the box, to lift it in and off; common practice, no source
LEAST_ABOVE, LEAST_BELOW = 8.0, 6.0
OVER_RUNNER = 5.0  # mm of a box's height beyond that of its runners; common practice, no source

BESIDE_SHAFT = 1.6  # mm between an end of a linking shaft and the wall: past the plate of the rack
LEAST_UNDER_SCREW = 8.0  # mm of the back below the screws of its bearings; common practice, no source


@parameters
class SideMounted:
    """On runners screwed to the walls and to the sides of the box; which, the drawer's runner says."""

    style = "side_mounted"
    label = "Side-mounted runners"

    linking_shaft: str = ident(
        "",
        "Linking shaft",
        "An entry of the fittings library that keeps both sides of a wide drawer alike; on runners with racks; empty for none",
    )

    def face(self) -> float:
        """The front closes flush."""
        return 0.0

    def fit(self, bench: Bench, out: SettingOut, place: DrawerPlace, laid: LaidFront) -> Fit:
        """Width from the opening and the side space, rounded down; height from the opening less what is kept clear."""
        spec, runner = place.front.drawer, _runner(place)
        wide = down_to(place.opening.width - 2 * runner.size("side_space"), STEP)
        for field, asked, least in (
            ("clear_above", spec.clear_above, LEAST_ABOVE),
            ("clear_below", spec.clear_below, LEAST_BELOW),
        ):
            if asked < least:
                raise ParameterError(
                    f"{place.path}.drawer.{field}",
                    f"{asked:g} mm does not let a box be lifted on to side-mounted runners; at least {least:g} mm",
                )
        height = round(place.clear_height - spec.clear_above - spec.clear_below, 6)
        least = runner.size("height") + OVER_RUNNER
        if height < least:
            raise ParameterError(
                f"{place.path}.closes", f"the drawer box would be {height:g} mm high; at least {least:g} is needed"
            )
        middle = (place.opening.left + place.opening.right) / 2
        bottom = round(place.opening.bottom + spec.clear_below, 6)
        return Fit(
            left=middle - wide / 2,
            right=middle + wide / 2,
            bottom=bottom,
            height=height,
            depth=runner.size("length"),
            groove_up=spec.groove_up,
        )

    def hang(self, bench: Bench, out: SettingOut, place: DrawerPlace, box: Box) -> Hung:
        """A runner at each side, its centre half way up the box."""
        runner, height = _runner(place), runner_height(box.bottom, box.fit.height)
        y = out.y(
            place.behind + runner.size("set_back_inset")
            if place.front.lay == "inset"
            else runner.size("set_back_overlay")
        )
        made = []
        for side, x, inward in (("left", place.space.left, RIGHT), ("right", place.space.right, LEFT)):
            key = f"{place.front.id}/runner.{side}"
            bench.fit(key, runner, Placement(vector(x, y, height), inward, BACK), (place.walls[side], box.side(side)))
            screw_on(bench, key, {"carcass": place.walls[side], "drawer": box.side(side)})
            made.append(key)
        shaft = self._shaft(bench, out, place, box, runner, height) if self.linking_shaft else ()
        moves, half = (tuple(f"{key}/{member}" for key in made) for member in ("drawer_member", "middle_member"))
        return Hung(moves=(*moves, *shaft), half=half, fixed=tuple(made), travel=runner.size("travel"))

    def _shaft(
        self, bench: Bench, out: SettingOut, place: DrawerPlace, box: Box, runner: FittingEntry, height: float
    ) -> tuple[str, ...]:
        """A shaft behind the box from rack to rack, its bearings on the back."""
        path = f"{place.path}.drawer.runs_on.linking_shaft"
        shaft = fitting_for(path, self.linking_shaft, "linking shaft")
        if "shaft_below" not in runner.sizes:
            raise ParameterError(
                f"{place.path}.drawer.runner",
                f'"{runner.id}" has no racks for the linking shaft; take "runner-linked-{runner.size("length"):g}"',
            )
        long, most = round(place.opening.width - 2 * BESIDE_SHAFT, 6), shaft.size("longest")
        if long > most:
            raise ParameterError(
                path, f"{long:g} mm of shaft are needed; it is made up to {most:g} mm: make two drawers"
            )
        at = vector(
            (place.opening.left + place.opening.right - long) / 2,
            box.rear + shaft.size("behind"),
            height - runner.size("shaft_below"),
        )
        free = round(out.y(max(place.behind, 0.0) + place.room) - box.rear, 6)
        if free < shaft.size("room"):
            raise ParameterError(
                f"{place.path}.drawer.runner",
                f"{free:g} mm are free behind the box; the linking shaft takes {shaft.size('room'):g} mm: shorter runners",
            )
        low = round(at[2] + min(each.at[2] for each in shaft.screws_for(long)) - LEAST_UNDER_SCREW, 6)
        if low < box.back_low:
            raise ParameterError(
                f"{place.path}.drawer.clear_above",
                f"the box is {box.fit.height:g} mm high; the bearings of the linking shaft need {box.fit.height + 2 * (box.back_low - low):g} mm: leave less clear, or make the drawer higher",
            )
        key = f"{place.front.id}/linking_shaft"
        bench.fit(key, shaft, Placement(at, RIGHT, BACK), (box.back_key,), long)
        screw_on(bench, key, {"drawer": box.back_key}, blame=f"{place.path}.drawer.board", length=long)
        return (key,)


def runner_height(box_bottom: float, box_height: float) -> float:
    """Height of the runners' centre: half way up the box; common practice, no source."""
    return round(box_bottom + box_height / 2, 1)


def _runner(place: DrawerPlace) -> FittingEntry:
    field = f"{place.path}.drawer.runner"
    if place.front.drawer.runner:
        return check_length(field, place.room, fitting_for(field, place.front.drawer.runner, "drawer runner"))
    linked, room = place.front.drawer.runs_on.linking_shaft, place.room
    if linked:  # it turns behind the box
        shaft = fitting_for(f"{place.path}.drawer.runs_on.linking_shaft", linked, "linking shaft")
        room = round(room - max(0.0, shaft.size("room") - REAR_ROOM), 6)
        return longest_of(field, room, _family("linked"))
    plain = longest_of(field, room, _family("plain"))
    wide = place.opening.width - 2 * plain.size("side_space") > PLAIN_RATIO * plain.size("length")
    return longest_of(field, room, _family("wide")) if wide else plain


def _family(kind: Literal["plain", "wide", "linked"]) -> list[FittingEntry]:
    """The library's side-mounted runners of light section, of heavy section, or with racks for a linking shaft."""
    of_kind = {"plain": [], "wide": [], "linked": []}
    for entry in fitting_entries("drawer runner"):
        of_kind["linked" if "shaft_below" in entry.sizes else "wide" if "wide" in entry.id else "plain"].append(entry)
    return of_kind[kind]


ENTRY = SideMounted
