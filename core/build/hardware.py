"""Putting fittings on: their screws and holes from the library's data into the parts they are fixed to."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from ..errors import ParameterError, blaming
from ..fastenings import SCREW_STOPS_SHORT, Screw, longest_screw, pilot_for, plug_for, screw
from ..fittings import FittingEntry, HolePlace, ScrewPlace, fitting_entry
from ..geometry import BACK, Vector, negative, plus
from ..model import AT_FITTING, IN_THE_PART, When
from .bench import Bench
from .clearance import THIN_WALL, is_free, shifted

PLUG_DEEP = 6.0  # mm of plug over a head; common practice, no source
HOLES_APART = "holes_apart"  # the size of an entry whose screw holes are some of a row, so far apart along y
OVER_A_SCREW = "over a screw"  # ends the purpose of a hole for a plug that covers a head
ROW_PLACES = 3  # holes of the row that a screw gives way by
LEAST_UNDER_HEAD = 6.0  # mm of wood left under a sunk head; common practice, no source


def fitting_for(field: str, id: str, *kinds: str) -> FittingEntry:
    """The fitting of that id where it is of a kind that belongs there; else a ParameterError of that field."""
    with blaming(field):
        entry = fitting_entry(id)
    if entry.kind not in kinds:
        raise ParameterError(field, f'"{id}" is a {entry.kind}, not a {" or a ".join(kinds)}')
    return entry


def screw_through(field: str, diameter: float, through: float, hold: float, room: float = math.inf) -> Screw:
    """The screw to be bought that holds about `hold` mm beyond `through` mm of wood, short of the far side of `room` mm.

    Where there is none, `field` is to blame.
    """
    with blaming(field):
        size = longest_screw(diameter, min(hold + 2 * SCREW_STOPS_SHORT, room), through)
    if size.length < through + hold / 2:
        raise ParameterError(
            field,
            f"no screw {diameter:g} mm thick is long enough to hold beyond {through:g} mm of wood; the longest is {size.length:g} mm",
        )
    return size


def screw_on(
    bench: Bench,
    key: str,
    parts: dict[str, str],
    thickness: dict[str, float] | None = None,
    when: When = AT_FITTING,
    bored: bool = True,
    blame: str = "carcass.board",
    length: float | None = None,
    ahead: float = 0.0,
) -> list[str]:
    """Drive the screws of a fitting; `parts` says which part each word of the library ("carcass", "door") is here.

    `thickness` is what a screw from behind goes through. `bored`: whether pilots are bored into the part (not where plugs are).
    A screw that would come out at the far side is exchanged for the longest that does not; where there is none, `blame` is.
    One that would meet what is in the part already is driven through another hole of the fitting's row, where it has a row.
    `length` is that of a fitting which is cut to it; `ahead` is how much farther in than the fitting stands its screws begin.
    """
    if bench.seen_only:
        return []
    entry = fitting_entry(bench.fittings[key].entry)
    made = []
    screws = entry.screws_for(length)
    for each in screws:
        part = parts.get(each.into)
        if part:
            with blaming(blame):
                if HOLES_APART in entry.sizes and each.into == "carcass":
                    each = _through_a_free_hole(bench, key, entry, each, screws, part)
                made.append(_drive(bench, key, each, part, (thickness or {}).get(each.into, 0.0), when, bored, ahead))
    return made


def plug_over(
    bench: Bench, part: str, at: Vector, along: Vector, size: Screw, deep: float, purpose: str = "screw plug"
) -> None:
    """Sink a screw's head in a part, and glue a plug in over it, pared flush."""
    glue_plug(bench, part, at, along, (plug_for(size.name), deep), OVER_A_SCREW, purpose)


def glue_plug(
    bench: Bench,
    part: str,
    at: Vector,
    along: Vector,
    size: tuple[float, float],
    reason: str,
    purpose: str,
    when: When = IN_THE_PART,
) -> None:
    """Bore for a plug and glue it in; `size` is its diameter and length, `reason` ("for hinge screw") ends the purpose of its hole."""
    diameter, long = size
    name = f"plug {diameter:g} × {long:g}"
    bench.bore(part, at, along, diameter, long, f"{name} {reason}", when)
    bench.fasten("plug", name, diameter, long, at, along, (part,), purpose, when)


def drive(
    bench: Bench,
    size: Screw,
    head: Vector,
    along: Vector,
    parts: tuple[str, ...],
    purpose: str,
    when: When = AT_FITTING,
) -> str:
    """Put a screw in its place, its head at `head`; its key. `parts` are what it goes through and holds in; nothing is bored."""
    return bench.fasten("screw", f"screw {size.name}", size.diameter, size.length, head, along, parts, purpose, when)


def plug_screws(bench: Bench, key: str, into: str, part: str, deep: float) -> bool:
    """Hardwood plugs under the screws of a fitting that hold in the face of a weak board near its edge; whether there are any.

    They are bored for in the part itself, as those of hinges are: pared flush before anything is coated.
    """
    if not bench.parts[part].board.is_plugged:
        return False
    place = bench.fittings[key].place
    for each in fitting_entry(bench.fittings[key].entry).screws_for(None):
        if each.into == into:
            at, along = place.point(each.at), place.direction(each.along)
            mouth, purpose = _surface(bench, part, at, along), f"{key.rsplit('/', 1)[-1].split('.')[0]} plug"
            glue_plug(bench, part, mouth, along, (plug_for(each.screw), deep), f"for screw {each.screw}", purpose)
    return True


def hole_for(bench: Bench, key: str, parts: dict[str, str], when: When = AT_FITTING) -> None:
    """Bore the holes that a fitting needs besides its screws."""
    place = bench.fittings[key].place
    for each in fitting_entry(bench.fittings[key].entry).holes_for(None):
        part = parts.get(each.part)
        if part:
            _bore(bench, each, place.point(each.at), place.direction(each.direction), part, when)


def _bore(bench: Bench, each: HolePlace, at: Vector, into: Vector, part: str, when: When) -> None:
    deep = each.depth if each.depth is not None else bench.parts[part].board.thickness
    bench.bore(part, at, into, each.diameter, deep, each.purpose, when)


def _drive(
    bench: Bench, key: str, each: ScrewPlace, part: str, thickness: float, when: When, bored: bool, ahead: float
) -> str:
    place = bench.fittings[key].place
    along = place.direction(each.along)
    at = plus(place.point(each.at), along, ahead)
    size = _short_enough(bench, each, part, at, along)
    if each.from_behind:
        at = plus(at, negative(along), thickness)
    elif bored:
        mouth = _surface(bench, part, at, along)
        bench.bore(
            part,
            mouth,
            along,
            pilot_for(size, bench.parts[part].board.material),
            size.length - _distance(at, mouth) + 1.0,
            f"pilot for screw {size.name}",
            when,
        )
    purpose = f"{key.rsplit('/', 1)[-1].split('.')[0].replace('_', ' ')} screw"
    return drive(bench, size, at, along, (key, part), purpose, when)


def _through_a_free_hole(
    bench: Bench, key: str, entry: FittingEntry, wanted: ScrewPlace, screws: Sequence[ScrewPlace], part: str
) -> ScrewPlace:
    """The screw in the hole of its row along y, nearest to the usual one, where it is clear of what is in the part; else as it was."""
    place, apart = bench.fittings[key].place, entry.size(HOLES_APART)
    others = [each.at[1] for each in screws if each is not wanted and each.into == wanted.into]
    for at in shifted(wanted.at, BACK, ROW_PLACES * apart, apart):
        if not apart / 2 < at[1] < entry.size("length") - apart / 2 or any(abs(at[1] - each) < 1.0 for each in others):
            continue
        there, along = place.point(at), place.direction(wanted.along)
        size = _short_enough(bench, wanted, part, there, along)
        mouth = _surface(bench, part, there, along)
        if is_free(bench, part, mouth, along, size.pilot, size.length - _distance(there, mouth) + 1.0, THIN_WALL):
            return replace(wanted, at=at)
    return wanted


def _short_enough(bench: Bench, each: ScrewPlace, part: str, at: Vector, along: Vector) -> Screw:
    size = screw(each.screw)
    room = _to_far_side(bench, part, at, along)
    return (
        size
        if each.from_behind or size.length <= room - SCREW_STOPS_SHORT + 1e-6
        else longest_screw(size.diameter, room)
    )


def _to_far_side(bench: Bench, part: str, at: Vector, along: Vector) -> float:
    """How far it is from a place along a direction of the frame to where the part's box ends."""
    place, size = bench.parts[part].place, bench.parts[part].shape.size
    own, way = place.own_point(at), place.own_direction(along)
    axis = max(range(3), key=lambda i: abs(way[i]))
    return size[axis] - own[axis] if way[axis] > 0 else own[axis]


def _surface(bench: Bench, part: str, at: Vector, along: Vector) -> Vector:
    """Where a screw at `at` going `along` enters the part's box."""
    place, size = bench.parts[part].place, bench.parts[part].shape.size
    own, way = place.own_point(at), place.own_direction(along)
    ahead = 0.0
    for i in range(3):
        if way[i] > 0.5 and own[i] < 0:
            ahead = -own[i]
        elif way[i] < -0.5 and own[i] > size[i]:
            ahead = own[i] - size[i]
    return plus(at, along, ahead)


def _distance(a: Vector, b: Vector) -> float:
    return sum((u - v) ** 2 for u, v in zip(a, b)) ** 0.5
