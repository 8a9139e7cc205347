"""Under-mounted runners: hidden beneath the bottom, which is set up for them; everything by the runner's data."""

from __future__ import annotations

from ...errors import ParameterError, blaming
from ...fields import ident, parameters
from ...fittings import fitting_entries, fitting_entry
from ...geometry import BACK, LEFT, RIGHT, Placement, vector
from ...units import down_to
from ..bench import Bench
from ..drawers.lengths import check_length, longest_of
from ..drawers.values import Box, DrawerPlace, Fit, Hung, LaidFront
from ..hardware import hole_for, screw_on
from ..setting_out import SettingOut

KIND = "under-mounted runner"
STEP = 0.5  # mm; the inside width of a box is rounded down to it
LEAST_ABOVE = 6.0  # mm clear over the box, to tilt it in; common practice, no source
OVER_HOOK = 3.0  # mm of the back between a hook's hole and an edge; common practice, no source


@parameters
class UnderMounted:
    """On a pair of runners under the bottom, their hooks in the back."""

    style = "under_mounted"
    label = "Under-mounted runners"

    pair: str = ident(
        "",
        "Pair of runners",
        "An entry of the fittings library without its hand, runner-under-450; empty: the longest that goes in",
    )

    def face(self) -> float:
        """The front closes flush."""
        return 0.0

    def fit(self, bench: Bench, out: SettingOut, place: DrawerPlace, laid: LaidFront) -> Fit:
        """Inside width from the opening, groove as high as the recess; the back notched where it would stand on the runners."""
        spec, path = place.front.drawer, f"{place.path}.drawer"
        t = out.board(spec.board, f"{path}.board").thickness
        ahead = _ahead(place, t)
        runner = fitting_entry(f"{self._name(place, ahead)}-left")
        if t > runner.size("side_most"):
            raise ParameterError(
                f"{path}.board",
                f"sides {t:g} mm thick are too thick for under-mounted runners; at most {runner.size('side_most'):g} mm",
            )
        if spec.clear_above < LEAST_ABOVE:
            raise ParameterError(
                f"{path}.clear_above",
                f"{spec.clear_above:g} mm does not let a box be tilted on to under-mounted runners; at least {LEAST_ABOVE:g} mm",
            )
        if spec.clear_below < runner.size("below"):
            raise ParameterError(
                f"{path}.clear_below",
                f"{spec.clear_below:g} mm is less than the runner needs below the box, {runner.size('below'):g} mm",
            )
        inside = down_to(place.opening.width - runner.size("inside_less"), STEP)
        height = round(place.clear_height - spec.clear_above - spec.clear_below, 6)
        middle, half = (place.opening.left + place.opening.right) / 2, inside / 2 + t
        four = spec.bottom == "four_sides"
        bottom_thick = out.board(spec.bottom_board, f"{path}.bottom_board").thickness
        hook = runner.size("hook_up") - runner.size("hook") / 2
        if not four and hook - bottom_thick < OVER_HOOK:
            raise ParameterError(
                f"{path}.bottom",
                f'the hooks of under-mounted runners, {runner.size("hook_up"):g} mm above the underside of the bottom, find no wood in a back that stands on a bottom {bottom_thick:g} mm thick; use "four_sides", or at most {hook - OVER_HOOK:g} mm',
            )
        return Fit(
            left=middle - half, right=middle + half, bottom=round(place.opening.bottom + spec.clear_below, 6), height=height, depth=round(runner.size("length") + ahead, 6),
            groove_up=runner.size("recess"), notch=(runner.size("notch"), runner.size("recess")) if four else (0.0, 0.0),
        )  # fmt: skip

    def hang(self, bench: Bench, out: SettingOut, place: DrawerPlace, box: Box) -> Hung:
        """A runner at each side from the box front to the back, its top under the bottom, its hook in the back."""
        made, name = [], self._name(place, _ahead(place, box.t))
        for side, x, inward in (("left", place.space.left, RIGHT), ("right", place.space.right, LEFT)):
            runner, key = fitting_entry(f"{name}-{side}"), f"{place.front.id}/runner.{side}"
            at = vector(x, box.inner_front + runner.size("set_back"), box.groove[0])
            # z up for the left hand; the right hand is the mirror image, its own frame turned over
            bench.fit(key, runner, Placement(at, inward, BACK), (place.walls[side], _over(bench, box, side)))
            screw_on(bench, key, {"carcass": place.walls[side]})
            hole_for(bench, key, {"drawer": box.back_key})
            made.append(key)
        moves, half = (tuple(f"{key}/{member}" for key in made) for member in ("drawer_member", "middle_member"))
        return Hung(moves=moves, half=half, fixed=tuple(made), travel=fitting_entry(f"{name}-left").size("travel"))

    def _name(self, place: DrawerPlace, ahead: float) -> str:
        """The pair that is asked for, or the longest that goes in behind the box front."""
        field, room = f"{place.path}.drawer.runs_on.pair", round(place.room - ahead, 6)
        if not self.pair:
            return longest_of(
                field, room, [each for each in fitting_entries(KIND) if each.id.endswith("-left")]
            ).id.removesuffix("-left")
        with blaming(field):
            entry = fitting_entry(f"{self.pair}-left")
        if entry.kind != KIND:
            raise ParameterError(field, f'"{self.pair}" is a {entry.kind}, not a {KIND}')
        check_length(field, room, entry)
        return self.pair


def _ahead(place: DrawerPlace, t: float) -> float:
    """How much of the box stands before the runners: the box front, where the front of the drawer is planted on it."""
    return 0.0 if place.front.drawer.front == "integral" else t


def _over(bench: Bench, box: Box, side: str) -> str:
    """The panel of the bottom that lies on a runner."""
    return next(key for key in (f"{box.key}/bottom", f"{box.key}/bottom.{side}") if key in bench.parts)


ENTRY = UnderMounted
