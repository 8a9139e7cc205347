"""What holds a top of solid wood down to the sides and lets it move: wooden buttons in a groove, or expansion plates.

Both stand between the front and the rear rail. A button's tongue slides along the groove, a plate's screw along its slot, as the top
swells and shrinks from front to back (its grain runs from side to side). Button and groove: rule book, a groove 6 wide and 8 deep, set
12 down; 1 left open before its bottom.
"""

from __future__ import annotations

from ..errors import ParameterError
from ..fittings import fitting_entry
from ..geometry import BACK, FRONT, LEFT, RIGHT, UP, Placement, Vector, vector
from ..model import AT_FITTING
from .bench import Bench
from .clearance import is_free, shifted
from .hardware import screw_on, screw_through
from .setting_out import SettingOut
from .standing import spread
from .top_rails import between_rails

GROOVE, GROOVE_DEEP, GROOVE_DOWN, LEFT_OPEN = 6.0, 8.0, 12.0, 1.0  # mm; rule book
TONGUE_PLAY = 0.2  # mm that the tongue is thinner than the groove is wide; common practice, no source
BUTTON_LONG, BUTTON_WIDE = 38.0, 30.0  # mm, the tongue with it; common practice, no source
FROM_RAIL, APART = 60.0, 300.0  # mm from a rail to the first one; between them at most; common practice, no source
LEAST_LEFT = 6.0  # mm of the side behind a groove; common practice, no source
BUTTON_SCREW = (4.0, 15.0)  # diameter, hold; common practice, no source
PLATE = "plate-expansion-38"
STEP, MOVED = 5.0, 100.0  # mm that a plate gives way to what is bored there
SIDES: tuple[tuple[str, Vector], ...] = (("left", RIGHT), ("right", LEFT))


def hold_with_buttons(bench: Bench, out: SettingOut, board_id: str) -> list[str]:
    """A groove along the inside of each side, and the buttons in it; their keys."""
    board, side = out.board(board_id, "top.button_board"), out.side_board.thickness
    if out.framed_sides:
        raise ParameterError(
            "top.fixing", '"buttons" want a groove along a whole side, and the sides are "frame"; take "plates"'
        )
    if side - GROOVE_DEEP < LEAST_LEFT:
        raise ParameterError(
            "top.fixing",
            f'"buttons": a groove {GROOVE_DEEP:g} mm deep leaves {side - GROOVE_DEEP:g} mm of a side {side:g} mm thick; at least {LEAST_LEFT:g} mm is needed: take "plates"',
        )
    if board.thickness < GROOVE_DOWN + GROOVE:
        raise ParameterError(
            "top.button_board",
            f"{board.thickness:g} mm is too thin for a button whose tongue lies {GROOVE_DOWN:g} mm down; at least {GROOVE_DOWN + GROOVE:g} mm is needed",
        )
    (front, rear), top = between_rails(out), out.outer.top
    made = []
    for name, inward in SIDES:
        wall, face = f"carcass/side.{name}", out.inner.left if name == "left" else out.inner.right
        low = top - GROOVE_DOWN - GROOVE
        _check_groove(
            bench, out, wall, (vector(face, front, low), vector(face - inward[0] * GROOVE_DEEP, rear, low + GROOVE))
        )
        bench.take_out(
            wall,
            "groove",
            vector(face + inward[0], front, low),
            vector(face - inward[0] * GROOVE_DEEP, rear, low + GROOVE),
            f"groove {GROOVE:g} × {GROOVE_DEEP:g} for the buttons, {GROOVE_DOWN:g} down, from rail to rail",
        )
        for number, y in enumerate(_places(front, rear), 1):
            made.append(_button(bench, out, board, name, inward, number, face, y))
    return made


def hold_with_plates(bench: Bench, out: SettingOut) -> None:
    """Steel angles on the inside of each side, their upper legs under the top; the screw up into it sits in a slot."""
    entry = fitting_entry(PLATE)
    front, rear = between_rails(out)
    for name, inward in SIDES:
        wall, face = f"carcass/side.{name}", out.inner.left if name == "left" else out.inner.right
        for number, wanted in enumerate(_places(front, rear), 1):
            x = BACK if name == "right" else FRONT  # so that y looks inward and z up
            tried = (Placement(at, x, inward) for at in shifted(vector(face, wanted, out.outer.top), BACK, MOVED, STEP))
            place = next((each for each in tried if _has_room(bench, wall, each, (front, rear))), None)
            if place is None:
                raise ParameterError(
                    "top.fixing",
                    f'"plates": a plate {entry.size("length"):g} mm long finds no room on the {name} side between the rails, {rear - front:g} mm apart; make the rails narrower, or take "screws"',
                )
            key = f"top/plate.{name}.{number}"
            bench.fit(key, entry, place, (wall, "top/board"))
            screw_on(bench, key, {"carcass": wall, "top": "top/board"}, blame="top.board")


def _places(front: float, rear: float) -> list[float]:
    return spread(front, rear, APART, min(FROM_RAIL, (rear - front) / 2))


def _button(bench: Bench, out: SettingOut, board, name: str, inward: Vector, number: int, face: float, y: float) -> str:
    """One button: a block under the top with a tongue in the groove, its grain along the tongue."""
    key, top, t = f"top/button.{name}.{number}", out.outer.top, board.thickness
    tongue = GROOVE_DEEP - LEFT_OPEN
    tip = face - inward[0] * tongue
    y_way = FRONT if name == "right" else BACK  # z up
    origin = vector(tip, y - y_way[1] * BUTTON_WIDE / 2, top - t)
    bench.part(
        key, f"button of the top, {name}", board, BUTTON_LONG, BUTTON_WIDE, Placement(origin, inward, y_way), role="button", finish="inside", grain="length",
        face_side="up", face_edge="edge", setting="buttons", surviving_mark="underside", notes=("the tongue slides in the groove: no glue",),
    )  # fmt: skip
    low, high = y - BUTTON_WIDE / 2 - 1.0, y + BUTTON_WIDE / 2 + 1.0
    past = tip - inward[0]
    under = top - GROOVE_DOWN - GROOVE + TONGUE_PLAY
    bench.take_out(
        key,
        "rebate",
        vector(past, low, top - GROOVE_DOWN),
        vector(face, high, top + 1.0),
        f"tongue {GROOVE - TONGUE_PLAY:g} thick, {tongue:g} long: {GROOVE_DOWN:g} off above",
    )
    if under - (top - t) > 1e-6:
        bench.take_out(
            key, "rebate", vector(past, low, top - t - 1.0), vector(face, high, under), "tongue: what is left below it"
        )
    size = screw_through("top.board", BUTTON_SCREW[0], t, BUTTON_SCREW[1], bench.parts["top/board"].size[2])
    at = vector(face + inward[0] * (BUTTON_LONG - tongue) / 2, y, top - t)
    screw = bench.screw(key, "top/board", at, UP, size, t, "button screw", AT_FITTING)
    bench.join(f"top/board|{key}", "screws", "top/board", key, (0.0, 0.0, -1.0), (screw,))
    bench.join(f"carcass/side.{name}|{key}", "groove", f"carcass/side.{name}", key, inward)
    return key


def _check_groove(bench: Bench, out: SettingOut, wall: str, groove: tuple[Vector, Vector]) -> None:
    """Refuse a groove that would run into what is bored in the side."""
    part = bench.parts[wall]
    middle = vector(groove[0][0], (groove[0][1] + groove[1][1]) / 2, (groove[0][2] + groove[1][2]) / 2)
    into = LEFT if wall.endswith("left") else RIGHT
    steps = int((groove[1][1] - groove[0][1] - GROOVE) // GROOVE)
    for number in range(steps + 1):
        at = vector(middle[0], groove[0][1] + GROOVE / 2 + number * GROOVE, middle[2])
        if not is_free(bench, wall, at, into, GROOVE, GROOVE_DEEP, 2.0):
            raise ParameterError(
                "top.fixing",
                f'"buttons": the groove {GROOVE_DOWN:g} mm down meets what is bored in the {part.name}, {at[1] + out.depth:.0f} mm behind the front; take "plates" or "screws"',
            )


def _has_room(bench: Bench, wall: str, place: Placement, between: tuple[float, float]) -> bool:
    """Whether a plate lies between the rails and its screws hit nothing in the side."""
    entry = fitting_entry(PLATE)
    half, y = entry.size("length") / 2, place.origin[1]
    if y - half < between[0] + 1.0 or y + half > between[1] - 1.0:
        return False
    return all(
        is_free(
            bench, wall, vector(place.origin[0], *place.point(each.at)[1:]), place.direction(each.along), 3.5, 12.0, 2.0
        )
        for each in entry.screws_for()
        if each.into == "carcass"
    )


__all__ = ["hold_with_buttons", "hold_with_plates"]
