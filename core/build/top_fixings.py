"""What holds a top of solid wood down to the sides and lets it move: wooden buttons in a groove, or expansion plates.

Both stand between the front and the rear rail. A button's tongue slides along the groove, a plate's screw along its slot, as the top
swells and shrinks from front to back (its grain runs from side to side). The groove is 6 wide
and 8 deep, set 12 down, and leaves 1 open before the tongue.
"""

from __future__ import annotations

from collections.abc import Iterator

from ..errors import ParameterError
from ..fastenings import screw
from ..fittings import FittingEntry, ScrewPlace, fitting_entry
from ..geometry import BACK, FRONT, LEFT, RIGHT, Placement, Vector, vector
from ..wording import in_sentence
from .bench import Bench
from .clearance import is_free, shifted
from .hanging import in_the_way, stands_free
from .hardware import screw_on
from .setting_out import SettingOut
from .standing import spread
from .top_rails import TOP, between_rails

GROOVE, GROOVE_DEEP, GROOVE_DOWN = 6.0, 8.0, 12.0  # mm: wide, deep, set down; common practice, no source
FROM_RAIL, APART = 60.0, 300.0  # mm from a rail to the first one; between them at most; common practice, no source
LEAST_LEFT = 6.0  # mm of the side behind a groove; common practice, no source
PLATE, BUTTON = "plate-expansion-38", "button-38"
PAST = 1.0  # mm that a pilot goes beyond its screw
THIN = 2.0  # mm of wood that is left between a hole or a groove and another; findings: holes that meet
CLEAR = 0.5  # mm between a button or a plate and what stands beside it
STEP, MOVED = 5.0, 100.0  # mm that a button or a plate gives way to what is bored there
SIDES = (("left", RIGHT, FRONT), ("right", LEFT, BACK))  # name, the way inward, and along so that z looks up


def hold_with_buttons(bench: Bench, out: SettingOut) -> list[str]:
    """A groove along the inside of each side, and the buttons in it; their keys."""
    entry, side = fitting_entry(BUTTON), out.side_board.thickness
    if out.framed_sides:
        raise ParameterError(
            "top.fixing", '"buttons" want a groove along a whole side, and the sides are "frame"; take "plates"'
        )
    if side - GROOVE_DEEP < LEAST_LEFT:
        raise ParameterError(
            "top.fixing",
            f'"buttons": a groove {GROOVE_DEEP:g} mm deep leaves {side - GROOVE_DEEP:g} mm of a side {side:g} mm thick; at least {LEAST_LEFT:g} mm is needed: take "plates"',
        )
    (front, rear), top = between_rails(out), out.outer.top
    low, high = top - GROOVE_DOWN - GROOVE, top - GROOVE_DOWN
    made = []
    for name, inward, x in SIDES:
        wall, face = f"carcass/side.{name}", out.inner.left if name == "left" else out.inner.right
        deep = face - inward[0] * GROOVE_DEEP
        _check_groove(bench, out, wall, (vector(face, front, low), vector(deep, rear, high)))
        bench.take_out(
            wall,
            "groove",
            vector(face + inward[0], front, low),
            vector(deep, rear, high),
            f"groove {GROOVE:g} × {GROOVE_DEEP:g} for the buttons, {GROOVE_DOWN:g} down, from rail to rail",
        )
        for number, wanted in enumerate(_places(front, rear), 1):
            tried = _tried(vector(face, wanted, top), x, inward)
            place = next((each for each in tried if _stands(bench, wall, each, entry, "width", (front, rear))), None)
            if place is None:
                raise _no_room("buttons", bench, wall, Placement(vector(face, wanted, top), x, inward), entry, out)
            key = f"top/button.{name}.{number}"
            bench.fit(key, entry, place, (wall, "top/board"))
            screw_on(bench, key, {"top": "top/board"}, blame="top.board")
            made.append(key)
    return made


def hold_with_plates(bench: Bench, out: SettingOut) -> None:
    """Steel angles on the inside of each side, their upper legs under the top; the screw up into it sits in a slot."""
    entry = fitting_entry(PLATE)
    front, rear = between_rails(out)
    for name, inward, x in SIDES:
        wall, face = f"carcass/side.{name}", out.inner.left if name == "left" else out.inner.right
        for number, wanted in enumerate(_places(front, rear), 1):
            tried = _tried(vector(face, wanted, out.outer.top), x, inward)
            place = next((each for each in tried if _has_room(bench, wall, each, (front, rear))), None)
            if place is None:
                at = Placement(vector(face, wanted, out.outer.top), x, inward)
                raise _no_room("plates", bench, wall, at, entry, out)
            key = f"top/plate.{name}.{number}"
            bench.fit(key, entry, place, (wall, "top/board"))
            screw_on(bench, key, {"carcass": wall, "top": "top/board"}, blame="top.board")


def _no_room(
    fixing: str, bench: Bench, wall: str, place: Placement, entry: FittingEntry, out: SettingOut
) -> ParameterError:
    """What to say where a fitting of the top finds no room near a place: what stands there, or that the rails are too near."""
    behind = f"{place.origin[1] + out.depth:.0f} mm behind the front"
    key = in_the_way(bench, entry.bodies_for(), place, {wall, TOP, "top/board"}, CLEAR)
    thing = bench.parts.get(key) or bench.fittings.get(key)
    if thing is None:
        (front, rear), long = between_rails(out), max(entry.size("width"), entry.size("length"))
        why = f'no room for {long:g} mm on the {bench.parts[wall].name}, {behind}, free of what is bored there: the rails leave {rear - front:g} mm; make them narrower, or take "screws"'
    else:
        why = f'no room on the {bench.parts[wall].name}, {behind}: the {in_sentence(thing.name)} is in the way; take "screws"'
    return ParameterError("top.fixing", f'"{fixing}": {why}')


def _tried(wanted: Vector, x: Vector, inward: Vector) -> Iterator[Placement]:
    """The wanted place and those that it gives way to, nearest first."""
    yield from (Placement(at, x, inward) for at in shifted(wanted, BACK, MOVED, STEP))


def _places(front: float, rear: float) -> list[float]:
    return spread(front, rear, APART, min(FROM_RAIL, (rear - front) / 2))


def _check_groove(bench: Bench, out: SettingOut, wall: str, groove: tuple[Vector, Vector]) -> None:
    """Refuse a groove that would run into what is bored in the side."""
    part = bench.parts[wall]
    middle = vector(groove[0][0], (groove[0][1] + groove[1][1]) / 2, (groove[0][2] + groove[1][2]) / 2)
    into = LEFT if wall.endswith("left") else RIGHT
    steps = int((groove[1][1] - groove[0][1] - GROOVE) // GROOVE)
    for number in range(steps + 1):
        at = vector(middle[0], groove[0][1] + GROOVE / 2 + number * GROOVE, middle[2])
        if not is_free(bench, wall, at, into, GROOVE, GROOVE_DEEP, THIN):
            raise ParameterError(
                "top.fixing",
                f'"buttons": the groove {GROOVE_DOWN:g} mm down meets what is bored in the {part.name}, {at[1] + out.depth:.0f} mm behind the front; take "plates" or "screws"',
            )


def _has_room(bench: Bench, wall: str, place: Placement, between: tuple[float, float]) -> bool:
    """Whether a plate finds room between the rails, and its screws hit nothing in the side."""
    entry = fitting_entry(PLATE)
    return _stands(bench, wall, place, entry, "length", between) and all(
        _holds(bench, wall, place, each, screw(each.screw).length - entry.size("thickness") + PAST)
        for each in entry.screws_for()
        if each.into == "carcass"
    )


def _holds(bench: Bench, wall: str, place: Placement, each: ScrewPlace, deep: float) -> bool:
    """Whether a screw goes so deep into a side without meeting anything."""
    mouth = vector(place.origin[0], *place.point(each.at)[1:])
    return is_free(bench, wall, mouth, place.direction(each.along), screw(each.screw).diameter, deep, THIN)


def _stands(
    bench: Bench, wall: str, place: Placement, entry: FittingEntry, along: str, between: tuple[float, float]
) -> bool:
    """Whether a fitting lies between the rails and runs into nothing beside side and top."""
    half, y = entry.size(along) / 2, place.origin[1]
    if y - half < between[0] + 1.0 or y + half > between[1] - 1.0:
        return False
    return stands_free(bench, entry.bodies_for(), place, {wall, TOP, "top/board"}, CLEAR)


__all__ = ["hold_with_buttons", "hold_with_plates"]
