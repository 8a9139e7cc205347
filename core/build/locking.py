"""What a door may have besides its hinges and catch: a lock, and a stay that stops its swing."""

from __future__ import annotations

from ..errors import ParameterError
from ..fittings import FittingEntry, fitting_entry
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, Placement, vector
from ..model import AT_FITTING, Opening, When
from .bench import Bench
from .carcass import walls_of
from .clearance import is_free, standing_box
from .hanging import WALL_LEFT, WALL_PLUG_DEPTH, Leaf, stands_free
from .hardware import fitting_for, plug_screws, screw_on
from .setting_out import SettingOut
from .stops import above

LOCK_SHORT = 3.0  # mm from the face that a bolt shoots into to the lock (the fittings library)
# mm: the lock's middle below the handle's; common practice, no source
LOCK_BELOW_KNOB, LOCK_STEP, LOCK_MOVES = 70.0, 10.0, 200.0
KEEP, KEEP_SCREW = "keep-cupboard-48", 11.0  # the box keep on the other door of a pair; mm that its screws go in
# mm of bolt in a keep; mm of wood between a key's hole and a cover bead; common practice, no source
LEAST_SHOT, BESIDE_BEAD = 5.0, 1.0
KEEP_PLAY = 0.5  # mm around a lock's bolt in its recess
STAY_FROM_HINGE = 90.0  # mm from the hinge edge to the nearer end of a stay's arms; common practice, no source
STAY_MOVES = 150.0  # mm that a stay gives way


def lock_door(bench: Bench, out: SettingOut, leaf: Leaf) -> list[str]:
    """A lock behind the closing edge of a single door, its bolt shooting into the board there; the keys of what moves."""
    if not leaf.front.hanging.lock:
        return []
    path, closed = f"{leaf.path}.hanging.lock", out.closed_by(leaf.front)
    entry, side = (
        fitting_for(path, leaf.front.hanging.lock, "cupboard lock"),
        "right" if leaf.hand == "left" else "left",
    )
    wall = walls_of(out, closed).get(side)
    if leaf.front.kind == "pair":
        return []  # locked to each other when both hang
    if wall is None:
        raise ParameterError(
            path,
            f'"{entry.id}" shoots its bolt into a board beside the door, and there is none at the closing edge of "{leaf.key}"; leave it empty',
        )
    face = closed.right if side == "right" else closed.left
    toward = RIGHT if side == "right" else LEFT
    for z in _heights(bench, leaf):
        place = Placement(vector(face - toward[0] * LOCK_SHORT, leaf.back_y, z), BACK, toward)
        if _lock_is_free(bench, leaf, entry, place):
            return [_fit_lock(bench, leaf, entry, place, wall, face, toward[0])]
    raise ParameterError(
        path,
        f'"{entry.id}", {entry.size("height"):g} mm high, finds no room behind the closing edge of "{leaf.key}" within {LOCK_MOVES:g} mm of its handle; leave it empty',
    )


def lock_pair(bench: Bench, leads: Leaf, held: Leaf) -> dict[str, str]:
    """A lock on the leading door of a pair and a keep on the other, which bolts hold: what of them moves, by the door's key."""
    front, path = leads.front, f"{leads.path}.hanging.lock"
    if not front.hanging.lock:
        return {}
    entry, keep = fitting_for(path, front.hanging.lock, "cupboard lock"), fitting_entry(KEEP)
    if front.meeting_stiles.joint == "square" or not front.meeting_stiles.bolt:
        raise ParameterError(
            path,
            f'"{entry.id}" locks the leading door of "{front.id}" to the other, which nothing holds; let them meet rebated or under a bead with bolts on the other door, or leave it empty',
        )
    edge, toward = held.closing_x, vector(-leads.sign, 0.0, 0.0)
    short = max(LOCK_SHORT, round(abs(edge - leads.back_closing_x), 6))
    if entry.size("shoots") - short < LEAST_SHOT:
        raise ParameterError(
            f"{leads.path}.gaps.meeting",
            f'the bolt of "{entry.id}" shoots {entry.size("shoots"):g} mm and would reach {entry.size("shoots") - short:g} mm over the other door; at least {LEAST_SHOT:g} mm is needed: a narrower gap, or no lock',
        )
    for z in _heights(bench, leads):
        place = Placement(vector(edge - toward[0] * short, leads.back_y, z), BACK, toward)
        beyond = Placement(vector(edge, held.back_y, z), BACK, toward)
        if (
            _clear_of_bead(bench, leads, entry, place)
            and _lock_is_free(bench, leads, entry, place)
            and _keep_is_free(bench, held, keep, beyond, leads.parts)
        ):
            lock, box = f"{leads.key}/lock", f"{held.key}/keep"
            _put_on_lock(bench, leads, entry, place)
            bench.fit(box, keep, beyond, (held.closing_back,))
            screw_on(bench, box, {"door": held.closing_back}, blame=held.blamed())
            return {leads.key: lock, held.key: box}
    raise ParameterError(
        path,
        f'"{entry.id}", {entry.size("height"):g} mm high, and its keep find no room behind the meeting edges of "{front.id}" within {LOCK_MOVES:g} mm of the handle; leave it empty',
    )


def _clear_of_bead(bench: Bench, leaf: Leaf, entry: FittingEntry, place: Placement) -> bool:
    """Whether the key goes in beside the cover bead and not through it."""
    bead = bench.parts.get(f"{leaf.key}/bead")
    if bead is None:
        return True
    low, high = standing_box(bead)
    x, half = place.point((0.0, -entry.size("key_line"), 0.0))[0], entry.size("key_hole") / 2 + BESIDE_BEAD
    return x + half <= low[0] or high[0] <= x - half


def _keep_is_free(bench: Bench, leaf: Leaf, keep: FittingEntry, place: Placement, beside: tuple[str, ...]) -> bool:
    """Whether the keep lies on wood, and its screws hold clear of a rebate and of what is bored there."""
    holds = leaf.closing_back
    low, high = standing_box(bench.parts[holds])
    far = place.point((0.0, keep.size("width"), 0.0))[0]
    if not low[0] + 1.0 <= far <= high[0] - 1.0:
        return False
    for each in keep.screws_for():
        at = place.point(each.at)
        deep = min(KEEP_SCREW, bench.parts[holds].board.thickness - 3.0)
        if not is_free(bench, holds, vector(at[0], leaf.back_y, at[2]), FRONT, 3.0, deep, 2.0):
            return False
    return stands_free(bench, keep.bodies_for(), place, {*leaf.parts, *beside}, 0.5)


def _heights(bench: Bench, leaf: Leaf) -> list[float]:
    """Below the handle, where there is one, then farther down, then above it."""
    knob = bench.fittings.get(f"{leaf.key}/knob")
    wanted = (knob.place.origin[2] if knob else leaf.bottom + leaf.rod_high / 2 + LOCK_BELOW_KNOB) - LOCK_BELOW_KNOB
    tried = [wanted - LOCK_STEP * i for i in range(int(LOCK_MOVES / LOCK_STEP))] + [
        wanted + 2 * LOCK_BELOW_KNOB + LOCK_STEP * i for i in range(int(LOCK_MOVES / LOCK_STEP))
    ]
    return [round(z, 1) for z in tried if leaf.bottom + 60.0 <= z <= leaf.bottom + leaf.rod_high - 60.0]


def _lock_is_free(bench: Bench, leaf: Leaf, entry: FittingEntry, place: Placement) -> bool:
    holds, key_line = leaf.closing_back, place.point((0.0, -entry.size("key_line"), 0.0))
    low, high = standing_box(bench.parts[holds])
    if (
        not low[0] + 4.0 <= min(key_line[0], place.origin[0] - place.y[0] * entry.size("width"))
        and max(key_line[0], place.origin[0]) <= high[0]
    ):
        return False
    if not is_free(
        bench, holds, key_line, FRONT, entry.size("key_hole"), bench.parts[holds].board.thickness - 0.1, 2.0
    ):
        return False
    return stands_free(bench, entry.bodies_for(), place, {leaf.wall, *leaf.parts}, 0.5)


def _fit_lock(
    bench: Bench, leaf: Leaf, entry: FittingEntry, place: Placement, wall: str, face: float, sign: float
) -> str:
    key, z = _put_on_lock(bench, leaf, entry, place), place.origin[2]
    half, low, high = (
        entry.size("bolt_height") / 2 + KEEP_PLAY,
        leaf.back_y + entry.size("bolt_low") - KEEP_PLAY,
        leaf.back_y + entry.size("bolt_high") + KEEP_PLAY,
    )
    deep = entry.size("keep_depth")
    bench.take_out(
        wall,
        "recess",
        vector(face - sign, low, z - half),
        vector(face + sign * deep, high, z + half),
        f"for the lock's bolt, {deep:g} deep",
        AT_FITTING,
    )
    return key


def _put_on_lock(bench: Bench, leaf: Leaf, entry: FittingEntry, place: Placement) -> str:
    """Screw a lock to the inside of a door, and bore for its key through all of the door."""
    key, holds = f"{leaf.key}/lock", leaf.closing_back
    bench.fit(key, entry, place, (holds,))
    screw_on(bench, key, {"door": holds}, blame=leaf.blamed())
    at = place.point((0.0, -entry.size("key_line"), 0.0))
    for part in leaf.parts:
        (left, front, bottom), (right, back, top) = standing_box(bench.parts[part])
        if left < at[0] < right and bottom < at[2] < top:
            bench.bore(
                part,
                vector(at[0], back, at[2]),
                FRONT,
                entry.size("key_hole"),
                back - front,
                "clearance for the key",
                When("after glue-up", leaf.key),
            )
    return key


def stay_door(bench: Bench, out: SettingOut, leaf: Leaf, opening: Opening, reach: float) -> tuple[list[str], float]:
    """A stay between the door and what is above it: the keys of what moves, and how far the door opens then."""
    if not leaf.front.hanging.door_stay:
        return [], reach
    path = f"{leaf.path}.hanging.door_stay"
    entry = fitting_for(path, leaf.front.hanging.door_stay, "door stay")
    holder, under = above(bench, out, leaf.front, opening, path)
    half = entry.size("reach") / 2
    for step in range(int(STAY_MOVES / 10.0)):
        x = leaf.hinge_x - leaf.sign * (STAY_FROM_HINGE + half + 10.0 * step)
        place, holds = (
            Placement(vector(x, leaf.back_y, under), DOWN, FRONT),
            f"{leaf.key}/rail.top" if leaf.front.panel.stands_alone else f"{leaf.key}/panel",
        )
        if abs(leaf.closing_x - x) < half + 5.0:
            break
        if _stay_is_free(bench, leaf, entry, place, holder, holds, under):
            key = f"{leaf.key}/stay"
            bench.fit(key, entry, place, (holder, holds))
            thick = bench.parts[holder].board.thickness
            plugged = (
                leaf.front.lay != "inset"
                and bench.parts[holder].role != "stiffener"
                and plug_screws(bench, key, "carcass", holder, min(WALL_PLUG_DEPTH, thick - WALL_LEFT))
            )
            screw_on(bench, key, {"carcass": holder}, bored=not plugged)
            screw_on(bench, key, {"door": holds}, blame=leaf.blamed())
            return [f"{key}/door_plate"], min(reach, entry.size("opening"))
    raise ParameterError(
        path,
        f'"{entry.id}", {entry.size("reach"):g} mm long, finds no room above "{leaf.key}", {leaf.wide:g} mm wide; leave it empty',
    )


def _stay_is_free(
    bench: Bench, leaf: Leaf, entry: FittingEntry, place: Placement, holder: str, holds: str, under: float
) -> bool:
    low, high = standing_box(bench.parts[holds])
    for each in entry.screws_for():
        at = place.point(each.at)
        if each.into == "carcass" and not is_free(
            bench,
            holder,
            vector(at[0], at[1], under),
            place.direction(each.along),
            8.0,
            min(WALL_PLUG_DEPTH, bench.parts[holder].board.thickness - WALL_LEFT),
            1.0,
        ):
            return False
        if each.into == "door" and not (
            low[2] + 4.0 < at[2] < high[2] - 4.0
            and is_free(bench, holds, vector(at[0], leaf.back_y, at[2]), FRONT, 3.0, 11.0, 2.0)
        ):
            return False
    return stands_free(bench, entry.bodies_for(), place, {holder, *leaf.parts}, 0.5)


__all__ = ["lock_door", "lock_pair", "stay_door"]
