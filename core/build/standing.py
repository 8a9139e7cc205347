"""What the ways of standing share: feet under a part, screws up into the bottom, even spacing, names that a mirror keeps."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from ..errors import ParameterError, blaming
from ..fastenings import SCREW_STOPS_SHORT, Screw, longest_screw, pilot_for, screw
from ..geometry import BACK, RIGHT, UP, Placement, Vector, plus, vector
from ..model import AT_FITTING, Board, End, Part
from ..units import from_middle
from .bench import Bench
from .clearance import first_free, shifted, standing_box
from .hardware import drive, fitting_for, hole_for, screw_through

SCREW = 4.0  # mm thick: what holds blocks and battens to a bottom; common practice, no source
FOOT_KINDS = ("glide", "levelling foot")
IN_BLOCK = 8.0  # mm from a screw that gave way to the end of its block; common practice, no source
FROM_THE_ENDS, SCREWS_APART = 40.0, 250.0  # mm, screws along a batten; common practice, no source
DOWEL_FROM_EDGE = 20.0  # mm on rails 80 to 110 wide; common practice, no source


# ---------------------------------------------------------------------------------------------------------------------- feet
def foot_height(field: str, id: str) -> float:
    """The height of a glide or levelling foot; 0 for none."""
    return fitting_for(field, id, *FOOT_KINDS).size("height") if id else 0.0


def foot_width(field: str, id: str) -> float:
    """The diameter of a glide or levelling foot on the floor; 0 for none."""
    if not id:
        return 0.0
    entry = fitting_for(field, id, *FOOT_KINDS)
    return entry.size("pad" if entry.kind == "levelling foot" else "diameter")


def put_foot(bench: Bench, field: str, id: str, key: str, under: Vector, part: str) -> list[str]:
    """Fit a glide or levelling foot under a part that stands on its end; the fitting's key, nothing for no foot."""
    if not id:
        return []
    entry = fitting_for(field, id, *FOOT_KINDS)
    bench.fit(key, entry, Placement(under, RIGHT, BACK), (part,))
    if entry.kind == "levelling foot":
        hole_for(bench, key, {"foot": part})
    else:
        screw_up_fitting(bench, field, key, part)
    return [key]


def screw_up_fitting(bench: Bench, field: str, key: str, part: str) -> None:
    """Drive a fitting's upright screws into the part above it, each as long as the part allows."""
    fitting, wood = bench.fittings[key], bench.parts[part]
    entry = fitting_for(field, fitting.entry, "glide", "castor")
    surface = fitting.place.origin[2]
    deep = _thickness_up(wood)
    for each in entry.screws_for():
        head = fitting.place.point(each.at)
        outside = surface - head[2]
        with blaming(field):
            size = min(
                longest_screw(screw(each.screw).diameter, deep, outside), screw(each.screw), key=lambda one: one.length
            )
        mouth = vector(head[0], head[1], surface)
        bench.bore(
            part,
            mouth,
            UP,
            pilot_for(size, wood.board.material),
            size.length - outside + 1.0,
            f"pilot for screw {size.name}",
            AT_FITTING,
        )
        drive(bench, size, head, UP, (key, part), f"{entry.kind} screw")


def _keeps_in(part: Part, at: Vector, along: Vector) -> bool:
    """Whether a screw that has given way `along` a block still has wood of it beyond."""
    low, high = standing_box(part)
    axis = max(range(3), key=lambda i: abs(along[i]))
    return low[axis] + IN_BLOCK <= at[axis] <= high[axis] - IN_BLOCK


# -------------------------------------------------------------------------------------------------------------------- screws
def screw_up(
    bench: Bench,
    field: str,
    through: str,
    into: str,
    places: Sequence[Vector],
    along: Vector = BACK,
    most: float = 0.0,
    glued: bool = False,
) -> None:
    """Screw a block or batten up to what it lies under: one screw from each place on its underside.

    Where a screw would meet a dowel above, it gives way by at most `most` mm, `along` first, and stays in the block. The joint is noted
    too; `glued`: where they touch there is glue besides.
    """
    deep, size = _thickness_up(bench.parts[through]), _screw_up(bench, field, through, into)
    names = []
    for place in places:
        at = _free_above(bench, through, into, place, along, most, size)
        if at is None:
            raise ParameterError(
                field,
                f"a screw {size.name} up into the bottom has no room at x {place[0]:.0f}, y {place[1]:.0f} mm; dowels or edges are nearer than 2 mm: take a board of another thickness there, or another joint of the carcass",
            )
        names.append(bench.screw(through, into, plus(at, UP, -deep), UP, size, deep, "fixing screw"))
    kind, area = ("glue and screws", _touching(bench, through, into)) if glued else ("screws", 0.0)
    bench.join(f"{into}|{through}", kind, into, through, vector(0.0, 0.0, -1.0), tuple(names), area)


def has_room_up(
    bench: Bench, field: str, through: str, into: str, places: Sequence[Vector], along: Vector = BACK, most: float = 0.0
) -> bool:
    """Whether `screw_up` finds room for all its screws."""
    size = _screw_up(bench, field, through, into)
    return all(_free_above(bench, through, into, place, along, most, size) is not None for place in places)


def _screw_up(bench: Bench, field: str, through: str, into: str) -> Screw:
    deep, above = _thickness_up(bench.parts[through]), _thickness_up(bench.parts[into])
    return screw_through(field, SCREW, deep, above - SCREW_STOPS_SHORT, above)


def _free_above(
    bench: Bench, through: str, into: str, place: Vector, along: Vector, most: float, size: Screw
) -> Vector | None:
    """Where a screw goes into what lies above, at its place on the underside or as far from it as it may give way."""
    deep = _thickness_up(bench.parts[through])
    ahead = [
        plus(each, UP, deep)
        for each in shifted(place, along, most)
        if each == place or _keeps_in(bench.parts[through], each, along)
    ]
    pilot = pilot_for(size, bench.parts[into].board.material)
    return first_free(bench, into, ahead, UP, pilot, size.length - deep + 1.0, gap=2.0)


def _touching(bench: Bench, below: str, above: str) -> float:
    """How much of a part's top lies under another, mm²; both are level."""
    a, b = standing_box(bench.parts[below]), standing_box(bench.parts[above])
    wide, deep = (max(min(a[1][i], b[1][i]) - max(a[0][i], b[0][i]), 0.0) for i in (0, 1))
    return wide * deep


def spread(low: float, high: float, apart: float = SCREWS_APART, from_ends: float = FROM_THE_ENDS) -> list[float]:
    """Places between two ends, the first and last `from_ends` from them, at most `apart`; one in the middle of a short stretch.

    >>> spread(0, 600), spread(0, 60)
    ([40.0, 213.3, 386.7, 560.0], [30.0])
    """
    free, middle = high - low - 2 * from_ends, (low + high) / 2
    if free < from_ends:
        return [round(middle, 6)]
    count = max(2, math.ceil(free / apart - 1e-9) + 1)
    return [round(middle + from_middle(free, i, count), 6) + 0.0 for i in range(count)]


def dowel_heights(wide: float) -> tuple[float, ...]:
    """Heights of the dowels in a rail's end, above its lower edge; common practice, no source.

    >>> dowel_heights(60), dowel_heights(100), dowel_heights(140)
    ((15.0, 45.0), (20.0, 80.0), (20.0, 70.0, 120.0))
    """
    if wide < 50:
        return (wide / 2,)
    if wide < 80:
        return (wide / 4, 3 * wide / 4)
    return (
        (DOWEL_FROM_EDGE, wide - DOWEL_FROM_EDGE)
        if wide <= 110
        else (DOWEL_FROM_EDGE, wide / 2, wide - DOWEL_FROM_EDGE)
    )


# -------------------------------------------------------------------------------------------------------------- even spacing
def filled_up(places: Sequence[float], low: float, high: float, apart: float, least: float = 1.0) -> list[float]:
    """The places, and between them and the two ends as many more as keep neighbours at most `apart`, but none nearer than `least`.

    >>> filled_up([100.0], -600, 600, 500), filled_up([], -175, 175, 300, least=200)
    ([-250.0, 100.0], [])
    """
    stops = [low, *sorted(places), high]
    made: list[float] = []
    for a, b in itertools.pairwise(stops):
        more = max(min(math.ceil((b - a) / apart - 1e-9), math.floor((b - a) / least + 1e-9)), 1) - 1
        made += [round((a + b) / 2 + from_middle(b - a, i, more + 2), 6) + 0.0 for i in range(1, more + 1)] + [b]
    return made[:-1]


def sided_names(places: Sequence[float]) -> list[str]:
    """Names of places across the piece that its mirror image keeps, left and right exchanged: counted from the sides inward.

    >>> sided_names([-300.0, -100.0, 0.0, 250.0])
    ['left.1', 'left.2', 'middle', 'right.1']
    """
    left = sorted(place for place in places if place < -1e-6)
    right = sorted((place for place in places if place > 1e-6), reverse=True)
    return [
        f"left.{left.index(p) + 1}" if p in left else f"right.{right.index(p) + 1}" if p in right else "middle"
        for p in places
    ]


def saw_side(part: Part, normal: Vector) -> End:
    """Which edge or side of a part a lengthwise cut is on, by the direction it looks in, in the piece."""
    _, across, through = part.place.own_direction(normal)
    if abs(through) > abs(across):
        return "face side" if through > 0 else "back side"
    return "face edge" if (across > 0) == part.face_edge_high else "back edge"


def least_thickness(field: str, board: Board, least: float, why: str) -> None:
    """Refuse a board that is too thin for what it does."""
    if board.thickness < least:
        raise ParameterError(field, f"{board.name} is too thin: {why} needs at least {least:g} mm")


def _thickness_up(part: Part) -> float:
    """How far a part reaches upward."""
    axis = max(range(3), key=lambda i: abs((part.place.x, part.place.y, part.place.z)[i][2]))
    return part.size[axis]
