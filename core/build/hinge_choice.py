"""Which hinge a door has: the one that is named where it suits, else one by the door's lay, height and thickness."""

from __future__ import annotations

from ..catalogue import entries
from ..errors import ParameterError
from ..fittings import FittingEntry, fitting_entries
from ..piece.fronts import Front
from .front_boards import front_thickness
from .hanging import HingeKind
from .hardware import fitting_for
from .setting_out import SettingOut

# mm of door up to, length of its butt hinges; common practice, no source
LEAF_BY_HEIGHT = ((900.0, 65.0), (1500.0, 75.0), (2000.0, 90.0), (9999.0, 100.0))


def hinge_of(out: SettingOut, front: Front, hand: str, high: float, lap: float) -> FittingEntry:
    """The hinge that is named, where it suits the front; where none is, one by the door's lay, height and thickness."""
    path, thick = f"{out.path(front)}.hanging.hinge", front_thickness(out, front)
    if front.hanging.hinge:
        return _named_hinge(path, front, thick, lap)
    if front.lay == "inset":
        return _butt_hinge(path, front, thick, high)
    fit = [each for each in fitting_entries("concealed hinge") if not kind_of(each).suits(each, thick, lap)]
    if not fit:
        known = "; ".join(
            f"{each.id}: {kind_of(each).suits(each, thick, lap)}" for each in fitting_entries("concealed hinge")[:1]
        )
        raise ParameterError(
            path, f'no concealed hinge hangs "{front.id}" at the {hand}, where it laps {lap:g} mm ({known})'
        )
    return min(fit, key=lambda each: (abs(each.size("overlay") - lap), each.id))


def kind_of(entry: FittingEntry) -> HingeKind:
    """How hinges of an entry's kind hang a door."""
    return entries("build.hinging")[entry.kind]()


def _named_hinge(path: str, front: Front, thick: float, lap: float) -> FittingEntry:
    known = entries("build.hinging")
    entry = fitting_for(path, front.hanging.hinge, *known)
    kind = kind_of(entry)
    if front.lay not in kind.lays:
        raise ParameterError(
            path,
            f'"{entry.id}" is a {entry.kind} and hangs {kind.label}; "{front.id}" is {front.lay} overlay and wants a concealed hinge: leave it empty to have the right one',
        )
    if front.lay == "inset":
        lap = -kind.gap(entry, front.gaps.side, thick)
    why = kind.suits(entry, thick, lap)
    if why:
        raise ParameterError(path, f'"{entry.id}" does not suit "{front.id}": {why}')
    return entry


def _butt_hinge(path: str, front: Front, thick: float, high: float) -> FittingEntry:
    """The longest butt hinge that the door's height and thickness take."""
    fit = [
        each
        for each in fitting_entries("butt hinge")
        if not kind_of(each).suits(each, thick, -front.gaps.side) and each.size("closed_thickness") > front.gaps.side
    ]
    if not fit:
        raise ParameterError(
            path,
            f"no butt hinge goes into a door {thick:g} mm thick with a gap of {front.gaps.side:g} mm; take a thicker board or a narrower gap",
        )
    wanted = next((leaf for most, leaf in LEAF_BY_HEIGHT if high <= most), LEAF_BY_HEIGHT[-1][1])
    fit.sort(key=lambda each: each.size("length"))
    return next((each for each in reversed(fit) if each.size("length") <= wanted), fit[0])
