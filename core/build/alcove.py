"""A piece fitted between walls: scribing strips at its sides, and a foot that keeps clear of the skirting."""

from __future__ import annotations

from ..errors import ParameterError
from ..fittings import fitting_entry
from ..geometry import LEFT, RIGHT, UP, Placement, Vector, negative, vector
from ..model import Hole, Part, When
from ..units import from_middle
from .bench import Bench, Box
from .clearance import box_of, fastener_box, first_free, is_free, near, shifted, standing_box
from .hanging import body_box
from .hardware import screw_through
from .setting_out import SettingOut

NARROWEST, WIDEST = 20.0, 60.0  # mm of a scribing strip; rule book L5 says 20 to 50
SCRIBED = 10.0  # mm that a strip is cut wider than the widest gap, to be scribed away; rule book A4 says 10 to 15
SCREW = (3.5, 14.0)  # diameter, hold
OFF_FLOOR = 2.0  # mm between a strip and the floor; common practice, no source
PITCH, FROM_END, GIVES_WAY = 300.0, 60.0, 80.0  # mm; common practice, no source
OVER_SKIRTING = (3.0, 5.0)  # mm clear before and above it; rule book A4
LEAST_BEFORE = 30.0  # mm of a side or leg left before a notch, as of any foot; common practice, no source
FROM_NOTCH = 3.0  # mm of wood between a notch and a hole or fastener; common practice, no source
NOTCHED = "site.skirting.meets"
ON_SITE = When("on site")
ROOM_FOR_TOP = 3.0  # mm between a top and the wall; common practice, no source


def fit_between_walls(bench: Bench, out: SettingOut) -> list[str]:
    """Lay down the scribing strips; their keys. None for a piece that stands free."""
    alcove = out.piece.site.alcove
    if not alcove.fitted:
        return []
    gaps = alcove.gaps(out.outer.width)
    _check(out, gaps)
    return [_strip(bench, out, side, gaps) for side in ("left", "right")]


def keep_clear_of_skirting(bench: Bench, out: SettingOut) -> None:
    """Of a piece that reaches to the wall, notch the sides and their legs around the skirting, or refuse what stands there."""
    skirting = out.piece.site.skirting
    if skirting.meets == "stand_off" or not skirting.height:
        return
    before, above = skirting.thickness + OVER_SKIRTING[0] - out.behind, skirting.height + OVER_SKIRTING[1]
    for part in sorted(bench.parts.values(), key=lambda each: bool(side_of(each))):  # what is refused first
        low, high = standing_box(part)
        if high[1] > -before + 1e-6 and low[2] < above - 1e-6:
            if skirting.meets == "notched":
                _notch(bench, part, before, above)
                continue
            raise ParameterError(
                "site.skirting.meets", f"the {part.name} stands where the skirting is, {skirting.thickness:g} thick and {skirting.height:g} high: set the foot in {before:g} mm at the back, "
                f"raise the carcass to {above:g} mm, or let the piece stand off the wall",
            )  # fmt: skip


def _notch(bench: Bench, part: Part, before: float, above: float) -> None:
    """Take the lower rear corner off a side, or off what is planted on one or thickens its leg; refuse any other part there."""
    side = side_of(part)
    if not side:
        raise ParameterError(
            NOTCHED, f'"notched": the {part.name} stands where the skirting is, and only sides and the legs of their frames are notched: '
            f"put the back in a groove set in {before:g} mm or more, set the foot in as much, or raise the carcass to {above:g} mm",
        )  # fmt: skip
    (left, front, low), (right, _, high) = standing_box(part)
    if -before - front < LEAST_BEFORE:
        raise ParameterError(
            NOTCHED,
            f'"notched": {before:g} mm off the {part.name}, {-front:g} mm deep there, leaves {max(-before - front, 0):g} mm; at least {LEAST_BEFORE:g} mm is needed: make it deeper, or let the piece stand off the wall',
        )
    corner, opposite = vector(left - 1.0, -before, low - 1.0), vector(right + 1.0, 1.0, min(above, high + 1.0))
    _check_notch(bench, part, (corner, opposite), before)
    planted = any(key.startswith(f"{side}/") for key in bench.parts)
    bench.take_out(
        part.key,
        "notch",
        corner,
        opposite,
        f"for the skirting, {round(before, 1):g} from the rear, up to {round(above, 1):g} above the floor",
        When("after glue-up", side) if planted else When("in the part"),
    )


def side_of(part: Part) -> str:
    """The side that a part is, or is planted on or thickens the leg of; empty for all others."""
    return next((each for each in ("side.left", "side.right") if part.key.startswith((each, f"carcass/{each}"))), "")


def _check_notch(bench: Bench, part: Part, taken: Box, before: float) -> None:
    """What holds a part together, or is fixed to it, keeps clear of its notch."""
    own = [part.place.own_point(corner) for corner in taken]
    zone = tuple(map(min, *own)), tuple(map(max, *own))
    near_it = [
        each.name
        for each in bench.fasteners.values()
        if part.key in each.parts and near(fastener_box(each, part.place), zone, FROM_NOTCH)
    ]
    near_it += [
        each.purpose
        for each in bench.features[part.key]
        if isinstance(each, Hole) and near(box_of(each) or zone, zone, FROM_NOTCH)
    ]
    near_it += [
        fitting_entry(fitting.entry).name
        for fitting in bench.fittings.values()
        if part.key in fitting.parts and any(near(body_box(body, fitting.place), taken, 0.0) for body in fitting.bodies)
    ]
    if near_it:
        raise ParameterError(
            NOTCHED,
            f'"notched": the {part.name} has a {near_it[0]} nearer than {FROM_NOTCH:g} mm to a notch {before:g} mm from the rear; make its foot wider, or let the piece stand off the wall',
        )


def _check(out: SettingOut, gaps: tuple[float, float, float]) -> None:
    least, most = min(gaps), max(gaps)
    if out.strip:
        raise ParameterError(
            "site.alcove.fitted",
            f'the scribing strips are screwed to the sides, whose panels are "{out.piece.carcass.side_panel.style}": take "plain" ones, between walls they are not seen',
        )
    if least < NARROWEST:
        raise ParameterError(
            "site.alcove.fitted",
            f"{least:g} mm are free at each side; a scribing strip needs {NARROWEST:g}: make the piece {2 * (NARROWEST - least):g} mm narrower",
        )
    if most > WIDEST:
        raise ParameterError(
            "site.alcove.fitted",
            f"{most:g} mm are to be closed at each side; scribing strips are at most {WIDEST:g} wide: make the piece {2 * (most - WIDEST):g} mm wider",
        )
    over = out.piece.top.overhang().side
    if over > least - ROOM_FOR_TOP:
        raise ParameterError(
            "site.alcove.fitted",
            f"the top reaches {over:g} mm beyond the sides, the wall is {least:g} mm away; it may reach {least - ROOM_FOR_TOP:g}",
        )


def _strip(bench: Bench, out: SettingOut, side: str, gaps: tuple[float, float, float]) -> str:
    """One strip on edge beside a side, its wide face to the front; as wide here as the narrowest gap."""
    alcove = out.piece.site.alcove
    board = out.board(alcove.board, "site.alcove.board")
    wide, beside = min(gaps), round(out.outer.height - out.piece.top.overhang().covered, 6)  # a lip hangs over the rest
    low_end = _foot(bench, out, side, wide)
    high = round(beside + out.outer.bottom - low_end, 6)
    left = side == "left"
    x = out.outer.left - wide if left else out.outer.right
    # x up, y to the left, so that the face side looks to the front
    place = Placement(vector(x + wide, out.y(alcove.set_back) + board.thickness, low_end), UP, LEFT)
    low, middle, top = (f"{gap:g}" for gap in gaps)
    key = f"alcove/strip.{side}"
    bench.part(
        key, f"scribing strip, {side}", board, high, wide, place, grain="length" if board.material.grained else "any", role="scribing strip", finish="carcass",
        face_side="front", face_edge="edge at the carcass", face_edge_high=not left, surviving_mark="edge at the carcass",
        cut_size=(high, round(max(gaps) + SCRIBED, 6), board.thickness), setting="scribing strips",
        notes=(f"scribed to the wall on site: {low} at the foot, {middle} in the middle, {top} at the head",),
    )  # fmt: skip
    _screws(bench, out, side, key, RIGHT if not left else LEFT, out.y(alcove.set_back) + board.thickness / 2, beside)
    return key


def _foot(bench: Bench, out: SettingOut, side: str, wide: float) -> float:
    """The height of a strip's lower end: just off the floor beside a closed base that leaves it room, else the carcass's underside.

    Common practice, no source: a gap beside a plinth is closed down to the floor, one beside legs is left open with them.
    """
    alcove = out.piece.site.alcove
    if (
        alcove.foot == "carcass"
        or not getattr(out.piece.support, "closed_to_floor", False)
        or out.outer.bottom <= OFF_FLOOR
    ):
        return out.outer.bottom
    x = (out.outer.left - wide, out.outer.left) if side == "left" else (out.outer.right, out.outer.right + wide)
    y = out.y(alcove.set_back)
    below = (x[0], y, 0.0), (x[1], y + out.board(alcove.board, "site.alcove.board").thickness, out.outer.bottom)
    taken = any(near(standing_box(part), below, -1e-6) for part in bench.parts.values())
    return out.outer.bottom if taken else OFF_FLOOR


def _screws(bench: Bench, out: SettingOut, side: str, strip: str, outward: Vector, y: float, long: float) -> None:
    """Along as much of a strip as stands beside the side."""
    wall, thick = f"carcass/side.{side}", out.wall_board.thickness
    size = screw_through("site.alcove.board", SCREW[0], thick, SCREW[1], thick + bench.parts[strip].size[1])
    face = out.inner.left if side == "left" else out.inner.right
    middle, free = out.outer.bottom + long / 2, max(long - 2 * FROM_END, 0.0)
    count = max(2, int(free // PITCH) + 1)
    names = []
    for number in range(count):
        z = middle + from_middle(free, number, count)
        toward = UP if z <= middle else negative(UP)
        at = first_free(
            bench, wall, shifted(vector(face, y, z), toward, GIVES_WAY, 4.0), outward, 2 * size.diameter, thick
        )
        if at is not None and is_free(
            bench,
            strip,
            vector(at[0] + outward[0] * thick, y, at[2]),
            outward,
            size.diameter,
            size.length - thick,
            gap=2.0,
        ):
            names.append(bench.screw(wall, strip, at, outward, size, thick, "scribing strip screw", ON_SITE))
    if len(names) < 2:
        raise ParameterError(
            "site.alcove.set_back",
            f"{out.piece.site.alcove.set_back:g} mm: hinges or joints leave no room in the side for the screws of the strip; set it back farther",
        )
    bench.join(f"{wall}|{strip}", "screws", wall, strip, outward, tuple(names))
