"""The interlock of a stack of drawers: a bar on the wall behind the boxes, a trip on it for each, a striker on each box's back.

While one drawer of the stack is out the bar keeps the others shut. It says nothing of drawers that are not in the stack.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...errors import ParameterError, blaming
from ...fastenings import screw
from ...fittings import FittingEntry, fitting_entry
from ...geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ...piece.fronts import Front
from ..bench import Bench
from ..carcass import walls_of
from ..clearance import is_free, shifted, standing_box
from ..hanging import in_the_way
from ..hardware import fitting_for, screw_on
from ..setting_out import SettingOut
from .values import Box, DrawerPlace

TRIP, STRIKER = "interlock-trip", "interlock-striker"
BESIDE_INSIDE = 2.0  # mm from the box's inner face to its striker
BEFORE_TRIP = 1.0  # mm between striker and trip
LEAST_MET = 8.0  # mm of the striker that the trip stands behind; common practice, no source
GIVES_WAY, STEP = 40.0, 2.0  # mm that a striker or bar gives way to what is bored there
WOOD = 2.0  # mm of wood between its screws and other holes
SAME_REAR = 0.5  # mm; boxes of one stack end in one plane


def put_striker(bench: Bench, out: SettingOut, place: DrawerPlace, box: Box) -> tuple[str, ...]:
    """The striker on the back of a box that goes with an interlock; its key, nothing for a drawer without."""
    drawer = place.front.drawer
    if not drawer.interlock:
        return ()
    path = f"{place.path}.drawer.interlock"
    room = fitting_for(path, drawer.interlock, "drawer interlock").size("room")
    free = round(out.y(max(place.behind, 0.0) + place.room) - box.rear, 6)
    if free < room:
        raise ParameterError(
            path,
            f'{free:g} mm are free behind the box and "{drawer.interlock}" takes {room:g} mm: shorter runners; on wooden ones, whose boxes fill the depth, no interlock',
        )
    if any(key.startswith(f"{place.front.id}/pack.") for key in bench.parts):
        raise ParameterError(
            path,
            f'"{drawer.interlock}" stands on the wall beside a stack, and "{place.front.id}" is packed out past a door; leave it out: the door is opened first',
        )
    if f"{place.front.id}/linking_shaft" in bench.fittings:
        raise ParameterError(
            path, f'"{drawer.interlock}" and the linking shaft of "{place.front.id}" take the same room behind the box; leave one out'
        )  # fmt: skip
    entry, hand = fitting_entry(STRIKER), drawer.interlock_hand
    from_inside = BESIDE_INSIDE + entry.size("length") / 2
    x = box.inside[0] + from_inside if hand == "left" else box.inside[1] - from_inside
    wall = place.space.left if hand == "left" else place.space.right
    _check_met(path, drawer.interlock, abs(x - wall) - entry.size("length") / 2)
    low, high = (standing_box(bench.parts[box.back_key])[end][2] for end in (0, 1))
    wanted = vector(round(x, 6), box.rear, round((low + high) / 2, 1))
    reach = (high - low - entry.size("height")) / 2
    at = next((each for each in shifted(wanted, UP, reach, STEP) if _holds(bench, box.back_key, entry, each)), None)
    if at is None:
        raise ParameterError(
            path,
            f'the striker of "{drawer.interlock}", {entry.size("height"):g} mm high, finds no room on the back of the box, {high - low:g} mm high; make the drawer higher',
        )
    key = f"{place.front.id}/striker"
    bench.fit(key, entry, Placement(at, BACK, LEFT), (box.back_key,))
    screw_on(bench, key, {"drawer": box.back_key}, blame=f"{place.path}.drawer.board")
    return (key,)


def _check_met(path: str, id: str, begins: float) -> None:
    """Refuse a striker that begins farther from the wall, in mm, than a trip reaches."""
    bar, trip = fitting_entry(id), fitting_entry(TRIP)
    met = bar.size("width") + trip.size("arm") - begins
    if met < LEAST_MET:
        raise ParameterError(
            path,
            f'the striker begins {begins:g} mm from the wall and the trip of "{id}" reaches {bar.size("width") + trip.size("arm"):g} mm; they must meet by {LEAST_MET:g} mm: thinner sides of the box, or no interlock',
        )


def _holds(bench: Bench, back: str, entry: FittingEntry, at: Vector) -> bool:
    """Whether both screws of a striker have room in a box's back."""
    thick = bench.parts[back].board.thickness
    place = Placement(at, BACK, LEFT)
    mouths = [(place.point(each.at), screw(each.screw)) for each in entry.screws_for()]
    return all(
        is_free(bench, back, vector(x, at[1], z), FRONT, size.pilot, min(size.length, thick - WOOD), WOOD)
        for (x, _, z), size in mouths
    )


def interlock_stacks(bench: Bench, out: SettingOut) -> None:
    """The bar and the trips of each stack of drawers that have an interlock, when all of them are hung."""
    for fronts in _stacks(out):
        _lay_bar(bench, out, fronts)


def _stacks(out: SettingOut) -> Iterator[list[Front]]:
    """The drawers with an interlock that stand above one another, lowest first."""
    found: dict[tuple, list[Front]] = {}
    for front in out.piece.fronts:
        if front.kind == "drawer" and front.drawer.interlock:
            rect, drawer = out.closed_by(front), front.drawer
            found.setdefault((rect.left, rect.right, drawer.interlock, drawer.interlock_hand), []).append(front)
    for fronts in found.values():
        if len(fronts) == 1:
            raise ParameterError(
                f"{out.path(fronts[0])}.drawer.interlock",
                f'only 1 drawer, "{fronts[0].id}", has an interlock there; give the same, at the same hand, to the others of its stack, or leave it out',
            )
        yield sorted(fronts, key=lambda front: out.closed_by(front).bottom)


def _lay_bar(bench: Bench, out: SettingOut, fronts: Sequence[Front]) -> None:
    lowest, hand = fronts[0], fronts[0].drawer.interlock_hand
    path = f"{out.path(lowest)}.drawer.interlock"
    bar, trip, inward = fitting_entry(lowest.drawer.interlock), fitting_entry(TRIP), RIGHT if hand == "left" else LEFT
    rects = [out.closed_by(front) for front in fronts]
    wall = _one_wall(bench, out, path, fronts, hand)
    rear = _one_rear(bench, path, bar, fronts)
    x, along = (rects[0].left if hand == "left" else rects[0].right), BACK if inward == RIGHT else FRONT
    y = round(rear + fitting_entry(STRIKER).size("thickness") + BEFORE_TRIP + bar.size("depth") / 2, 6)
    heights = [bench.fittings[f"{front.id}/striker"].place.origin[2] for front in fronts]
    long = round(heights[-1] - heights[0] + 2 * bar.size("beyond"), 1)
    if long > bar.size("longest"):
        raise ParameterError(
            path, f"{long:g} mm of bar are needed; it is made up to {bar.size('longest'):g} mm: two stacks"
        )
    trips = [
        (front, Placement(vector(x + inward[0] * bar.size("width"), y, z), inward, along))
        for front, z in zip(fronts, heights, strict=True)
    ]
    foot = vector(x, y, heights[0] - bar.size("beyond"))
    # it may stand lower or higher as long as it holds every trip
    tried = shifted(foot, UP, bar.size("beyond") - trip.size("height") / 2, STEP)
    places = [Placement(at, inward, along) for at in tried]
    place = next((each for each in places if _takes_screws(bench, wall, bar, each, long)), None)
    if place is None:
        raise ParameterError(
            path,
            f"{len(bar.screws_for(long))} screws of a bar {long:g} mm long find no room in the {bench.parts[wall].name} behind the runners; put it at the other hand",
        )
    for bodies, at in ((bar.bodies_for(long), place), *((trip.bodies_for(), each) for _, each in trips)):
        other = in_the_way(bench, bodies, at, {wall}, 0.0)
        if other:
            raise ParameterError(
                path,
                f'the bar takes {bar.size("room"):g} mm behind the boxes, and "{other}" is in its way; shorter runners, no board between the drawers, or the other hand',
            )
    key = f"{lowest.id}/interlock"
    bench.fit(key, bar, place, (wall,), long)
    with blaming(path):
        screw_on(bench, key, {"carcass": wall}, length=long, blame=path)
    for front, at in trips:
        bench.fit(f"{front.id}/trip", trip, at, (key,))


def _one_wall(bench: Bench, out: SettingOut, path: str, fronts: Sequence[Front], hand: str) -> str:
    """The board beside all drawers of a stack."""
    walls = sorted({walls_of(out, out.closed_by(front)).get(hand, "") for front in fronts})
    if len(walls) > 1:
        raise ParameterError(
            path, f'there is no one board at the {hand} of the stack, but "{walls[0]}" and "{walls[1]}"; put it at the other hand'
        )  # fmt: skip
    if walls[0] not in bench.parts:
        raise ParameterError(
            path, f'"{hand}": there is no board to screw the bar to; sides of board, or the other hand'
        )
    return walls[0]


def _one_rear(bench: Bench, path: str, bar: FittingEntry, fronts: Sequence[Front]) -> float:
    """The plane in which the boxes of a stack end."""
    rears = [bench.fittings[f"{front.id}/striker"].place.origin[1] for front in fronts]
    if max(rears) - min(rears) > SAME_REAR:
        raise ParameterError(
            path,
            f'"{bar.id}" wants boxes that end in one plane; those of its stack end {max(rears) - min(rears):g} mm apart: runners of one length',
        )
    return max(rears)


def _takes_screws(bench: Bench, wall: str, bar: FittingEntry, place: Placement, long: float) -> bool:
    """Whether the screws of a bar have room in its wall."""
    for each in bar.screws_for(long):
        size, (_, y, z) = screw(each.screw), place.point(each.at)
        into = place.direction(each.along)
        if not is_free(bench, wall, vector(place.origin[0], y, z), into, size.pilot, size.length, WOOD):
            return False
    return True


__all__ = ["interlock_stacks", "put_striker"]
