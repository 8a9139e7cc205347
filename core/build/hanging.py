"""What every kind of hinge needs to hang a door: the door as laid down, where hinges go, plugs for weak board, room in the wall.

The kinds themselves are the open folder `hinging/`; each answers `HingeKind`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Protocol

from ..errors import ParameterError, blaming
from ..fastenings import plug_for, screw
from ..fittings import FittingEntry, ScrewPlace, recess_depth, recess_width
from ..geometry import BACK, LEFT, RIGHT, Placement, Vector, negative, vector
from ..model import AT_FITTING, Body, Fitting, Part, When
from ..piece.fronts import Front
from .bench import Bench
from .clearance import SQUARE, Box, is_free, near, standing_box
from .hardware import screw_on
from .setting_out import SettingOut

BEHIND_LEAF = 4.0  # mm of door left behind a hinge's leaf; common practice, no source
HINGES_APART = 20.0  # mm between two hinges at least; common practice, no source
PLUG_STOPS_SHORT = 12.0  # mm of the stile left beyond a plug, its bevel with it; common practice, no source
# mm deep in a face, in an edge; left behind one in a face
WALL_PLUG_DEPTH, EDGE_PLUG_DEPTH, WALL_LEFT = 14.0, 30.0, 4.0
SWING = 95.0  # degrees a door must open; common practice, no source
GIVES_WAY = 60.0  # mm that a hinge moves along its edge where something is in its way
WOOD_BETWEEN = 2.0  # mm between the holes for two hinges that hang on one upright; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Leaf:
    """One door leaf as laid down, before it is hung."""

    front: Front
    path: str  # of the front among the parameters
    key: str
    hand: str  # the side at which it is hinged, seen from the front
    left: float
    bottom: float
    wide: float
    high: float
    face_y: float  # its face shut, and its back
    back_y: float
    parts: tuple[str, ...]
    wall: str  # what it hangs on, and where the face of that stands
    wall_x: float
    tongue: float = 0.0  # how much of it at its closing edge lies behind the leading door of a rebated pair
    nose: float = 0.0  # how much of it there laps the other door of such a pair, rebated behind
    rod_high: float = 0.0  # its height and its closing edge as designed: what the carcass has for it stays when its opening is measured
    rod_closing_x: float = 0.0
    lipped: bool = False  # whether the wood glued to its upright edges holds screws by itself

    @property
    def thick(self) -> float:
        """Its whole thickness."""
        return round(self.back_y - self.face_y, 6)

    @property
    def sign(self) -> float:
        """From the door toward the wall."""
        return -1.0 if self.hand == "left" else 1.0

    @property
    def hinge_x(self) -> float:
        """Its edge at the hinges."""
        return self.left if self.hand == "left" else round(self.left + self.wide, 6)

    @property
    def closing_x(self) -> float:
        """Its other edge."""
        return round(self.left + self.wide, 6) if self.hand == "left" else self.left

    @property
    def back_closing_x(self) -> float:
        """Where its back ends at the closing edge."""
        return round(self.closing_x + self.sign * self.nose, 6)

    @property
    def toward(self) -> Vector:
        """From the door toward the wall."""
        return (self.sign, 0.0, 0.0)

    @property
    def door_parts(self) -> list[str]:
        """What a hinge is let into at the door's edge: the board and the strip planted on it, or a true frame's stile."""
        stile = [part for part in self.parts if part.endswith("stile.hinge")]
        return stile if self.front.panel.stands_alone else [f"{self.key}/panel", *stile]

    @property
    def behind(self) -> str:
        """What lies at the back of its hinge edge: the board, or a true frame's stile."""
        return self.door_parts[0]

    @property
    def closing_back(self) -> str:
        """What lies at the back of its closing edge: the board, or a true frame's stile."""
        stile = [part for part in self.parts if part.endswith(("stile.meeting", "stile.closing"))]
        return stile[0] if self.front.panel.stands_alone else f"{self.key}/panel"

    def blamed(self) -> str:
        """The parameter that says what its screws hold in."""
        return f"{self.path}.panel.board" if self.front.panel.stands_alone else f"{self.path}.board"


@dataclass(frozen=True, slots=True)
class Hung:
    """A door as hung: its hinges, what of them moves with it, and a place on the axis that it swings about."""

    hinges: tuple[str, ...]
    moving: tuple[str, ...]
    pin: Vector
    reach: float = SWING


class HingeKind(Protocol):
    """A kind of hinge (open folder build/hinging); `style` is the library's word for the kind."""

    style: str
    lays: tuple[str, ...]  # of fronts that it hangs
    label: str  # what it hangs, for messages

    def suits(self, entry: FittingEntry, thick: float, lap: float) -> str:
        """Why an entry does not hang a door so thick that laps its wall so far (below 0: keeps a gap); empty where it does."""

    def gap(self, entry: FittingEntry, asked: float, thick: float) -> float:
        """The gap at the hinge edge of an inset door so thick, where so much is asked for."""

    def hang(self, bench: Bench, out: SettingOut, leaf: Leaf, entry: FittingEntry, count: int) -> Hung:
        """Put the hinges on, with their holes, recesses and plugs."""


def places_along(height: float, count: int, first: float, long: float) -> tuple[float, ...]:
    """Lower ends of things so long along a door's edge: the outer ones `first` from its ends, the others between.

    >>> places_along(1443, 3, 75, 75)
    (75.0, 684.0, 1293.0)
    """
    last = height - first - long
    return tuple(round(first + (last - first) * i / (count - 1), 1) for i in range(count))


def check_count(leaf: Leaf, first: float, long: float, count: int) -> None:
    """Refuse hinges that do not find room along a door's edge."""
    if leaf.high < 2 * first + long:
        raise ParameterError(
            f"{leaf.path}.hanging.hinge",
            f"a hinge {long:g} mm long is too long for a door {leaf.high:g} mm high; at least {2 * first + long:g} mm is needed",
        )
    if count < 2:
        raise ParameterError(
            f"{leaf.path}.hanging.hinges", f"{count} hinge does not hold a door; at least 2 (0: by height and mass)"
        )
    if (leaf.high - 2 * first - long) / (count - 1) < long + HINGES_APART:
        raise ParameterError(
            f"{leaf.path}.hanging.hinges",
            f"{count} hinges {long:g} mm long find no room on a door {leaf.high:g} mm high, {HINGES_APART:g} mm between them",
        )


def giving_way(low: float, long: float, high: float) -> Iterator[float]:
    """The place wanted, then others along the edge, nearest first, toward the middle of the door before away from it."""
    yield low
    inward = 1.0 if low + long / 2 <= high / 2 + 0.05 else -1.0
    for step in range(1, int(GIVES_WAY) + 1):
        for there in (low + inward * step, low - inward * step):
            if 10.0 <= there <= high - long - 10.0:
                yield round(there, 6)


# -------------------------------------------------------------------------------------------------------- hinges with leaves
def let_in(hinge: FittingEntry) -> float:
    """How far in from the face a leaf is let."""
    return recess_width(hinge.size("leaf_width"), hinge.size("pin_stand"))


def hang_on_leaves(bench: Bench, leaf: Leaf, entry: FittingEntry, count: int) -> Hung:
    """Hang an inset door on hinges whose leaves are let into its edge and into the wall, half of the closed hinge less the gap each."""
    long = entry.size("length")
    check_count(leaf, long, long, count)
    gap = leaf.front.gaps.side
    with blaming(f"{leaf.path}.gaps.side"):
        deep = recess_depth(entry.size("closed_thickness"), gap)
    across, sign = let_in(entry), leaf.sign
    y = vector(0, leaf.face_y - entry.size("pin_stand"), 0)[1]
    holds = edge_part(bench, leaf, entry)
    made = []
    for number, wanted in enumerate(places_along(leaf.rod_high, count, long, long), 1):
        low = next(
            (
                each
                for each in giving_way(wanted, long, leaf.rod_high)
                if _wall_is_free(bench, leaf, entry, y, leaf.bottom + each + long / 2)
            ),
            wanted,
        )
        z, hinge = leaf.bottom + low, f"{leaf.key}/hinge.{number}"
        fit_leaves(bench, leaf, hinge, entry, at_wall(leaf, gap, y, z + long / 2), holds, gap)
        size, glued = f"hinge recess {long:g} × {across:g} × {deep:g}", When("after glue-up", leaf.key)
        bench.take_out(
            leaf.wall,
            "recess",
            vector(leaf.wall_x - sign, leaf.face_y - 1, z),
            vector(leaf.wall_x + sign * deep, leaf.face_y + across, z + long),
            size,
            AT_FITTING,
        )
        for part in leaf.door_parts:
            bench.take_out(
                part,
                "recess",
                vector(leaf.hinge_x + sign, leaf.face_y - 1, z),
                vector(leaf.hinge_x - sign * deep, leaf.face_y + across, z + long),
                size,
                glued,
            )
        screw_leaves(bench, leaf, hinge, holds, gap)
        made.append(hinge)
    return Hung(
        tuple(made),
        tuple(f"{hinge}/door_leaf" for hinge in made),
        vector(leaf.hinge_x + sign * leaf.front.gaps.side / 2, y, 0.0),
    )


def leaf_suits(entry: FittingEntry, thick: float) -> str:
    """Why a hinge's leaf does not go into a door so thick; empty where it does."""
    most = thick - BEHIND_LEAF
    return (
        f"a leaf let in {let_in(entry):g} mm is too wide for a door {thick:g} mm thick; at most {most:g} mm"
        if let_in(entry) > most
        else ""
    )


def edge_part(bench: Bench, leaf: Leaf, entry: FittingEntry, length: float | None = None) -> str:
    """What the screws in the door's edge hold in: the strip where they lie within it, else the board behind."""
    behind = next(
        each.at[0] for each in entry.screws_for(length) if each.into == "door"
    )  # behind the pin; the pin stands before the face
    line = leaf.face_y - entry.size("pin_stand") + behind
    return next(
        (
            each
            for each in leaf.door_parts
            if each.endswith("stile.hinge") and standing_box(bench.parts[each])[1][1] >= line
        ),
        leaf.behind,
    )


def _wall_is_free(bench: Bench, leaf: Leaf, entry: FittingEntry, y: float, z: float) -> bool:
    """Whether the wall has room for the plugs or screws of a hinge whose middle is so high."""
    place = at_wall(leaf, leaf.front.gaps.side, y, z)
    return wall_holds(bench, leaf, [(place, each) for each in entry.screws_for() if each.into == "carcass"])


def wall_holds(bench: Bench, leaf: Leaf, screws: list[tuple[Placement, ScrewPlace]]) -> bool:
    """Whether the wall has room for what each screw needs in it: its plug, or its pilot."""
    board = bench.parts[leaf.wall].board
    for place, each in screws:
        at = place.point(each.at)
        size = screw(each.screw)
        diameter, deep = (
            (plug_for(each.screw), _wall_plug(board.thickness))
            if board.is_plugged
            else (size.pilot, min(size.length, board.thickness - 3.0))
        )
        if not is_free(bench, leaf.wall, vector(leaf.wall_x, at[1], at[2]), leaf.toward, diameter, deep, WOOD_BETWEEN):
            return False
    return True


def _wall_plug(thickness: float) -> float:
    return min(WALL_PLUG_DEPTH, thickness - WALL_LEFT)


def _holds(bench: Bench, leaf: Leaf, part: str) -> bool:
    """Whether screws hold in the edge of a part as it is; in weak board they go into plugs, unless it is lipped: a strip planted on it is not."""
    return not bench.parts[part].board.is_plugged or (leaf.lipped and part == leaf.behind)


def _plug(bench: Bench, leaf: Leaf, hinge: str, each: ScrewPlace, part: str) -> None:
    if bench.seen_only or _holds(bench, leaf, part):
        return
    at = bench.fittings[hinge].place.point(each.at)
    in_wall, diameter = each.into == "carcass", plug_for(each.screw)
    if in_wall:
        deep = _wall_plug(bench.parts[part].board.thickness)
    else:
        deep = min(
            [
                EDGE_PLUG_DEPTH,
                *(bench.parts[stile].size[1] - PLUG_STOPS_SHORT for stile in leaf.door_parts if "/stile." in stile),
            ]
        )
    mouth, into = (
        vector(leaf.wall_x if in_wall else leaf.hinge_x, at[1], at[2]),
        leaf.toward if in_wall else negative(leaf.toward),
    )
    when = When("in the part") if in_wall else When("after glue-up", leaf.key)
    for bored in [part] if in_wall else leaf.door_parts:
        low, high = standing_box(bench.parts[bored])
        if low[1] >= at[1] + diameter / 2 or high[1] <= at[1] - diameter / 2:
            continue  # the plug passes before it or behind it
        bench.bore(bored, mouth, into, diameter, deep, f"plug {diameter:g} × {deep:g} for hinge screw", when)
    bench.fasten("plug", f"plug {diameter:g} × {deep:g}", diameter, deep, mouth, into, (part,), "hinge plug", when)


def fit_leaves(
    bench: Bench,
    leaf: Leaf,
    hinge: str,
    entry: FittingEntry,
    place: Placement,
    holds: str,
    gap: float,
    length: float | None = None,
) -> None:
    """Put a hinge on the wall at `place` and its other leaf on the door; plugs where screws go into a weak edge or near one.

    Plugs are drilled for, glued and pared before the recess. Where an opening was measured wider or narrower, door and wall are drawn nearer together or farther apart than the `gap` that
    they will have on the bench: each leaf stands with its own wood.
    """
    bench.fit(hinge, entry, place, (leaf.wall, holds), length=length)
    apart = _nearer(leaf, gap)
    if apart:
        on_door = f"{hinge}/door_leaf"
        bench.fittings[on_door] = replace(bench.fittings[on_door], place=place.moved((leaf.sign * apart, 0.0, 0.0)))
    for each in entry.screws_for(length):
        if each.into in ("carcass", "door"):
            _plug(bench, leaf, hinge, each, leaf.wall if each.into == "carcass" else holds)


def screw_leaves(bench: Bench, leaf: Leaf, hinge: str, holds: str, gap: float, length: float | None = None) -> None:
    """Screws into the plugs of a weak board; where the board is sound, into pilots of their own."""
    for word, part, ahead in (("carcass", leaf.wall, 0.0), ("door", holds, -_nearer(leaf, gap))):
        bored = _holds(bench, leaf, part)
        blame = leaf.blamed() if word == "door" else "carcass.board"
        screw_on(bench, hinge, {word: part}, bored=bored, blame=blame, length=length, ahead=ahead)


def _nearer(leaf: Leaf, gap: float) -> float:
    """How much nearer to the wall a door is drawn than the gap that it will have: none but where its opening was measured."""
    return round(gap - abs(leaf.hinge_x - leaf.wall_x), 6)


def at_wall(leaf: Leaf, gap: float, y: float, z: float) -> Placement:
    """Where a hinge with leaves stands: its pin in the middle of the gap beside the wall."""
    side = RIGHT if leaf.hand == "left" else LEFT
    return Placement(vector(leaf.wall_x - leaf.sign * gap / 2, y, z), BACK, side)


# -------------------------------------------------------------------------------------------------------------------- room
def body_box(body: Body, place: Placement) -> Box:
    """The box around a fitting's body where it stands; what is not a block, about its outline."""
    low, high = _own_box(body)
    (a, b, c), (d, e, f) = place.point(low), place.point(high)
    return (min(a, d), min(b, e), min(c, f)), (max(a, d), max(b, e), max(c, f))


@lru_cache(maxsize=4096)
def _own_box(body: Body) -> Box:
    low, high = list(map(min, body.low, body.high)), list(map(max, body.low, body.high))
    if body.form != "block":
        axis = max(range(3), key=lambda i: high[i] - low[i])
        across = [(axis + 1) % 3, (axis + 2) % 3]
        reach = max(radius for _, radius in body.outline)
        for number, i in enumerate(across):
            spread = [-reach, reach] if body.form == "turned" else [point[number] for point in body.outline]
            low[i], high[i] = low[i] + min(spread), high[i] + max(spread)
    return vector(*low), vector(*high)


def stands_free(
    bench: Bench, bodies: tuple[Body, ...], place: Placement, but: set[str], gap: float = 0.5, from_front: bool = False
) -> bool:
    """Whether bodies find room among all parts and fittings on the bench, some parts left out.

    `from_front`: and each body comes there from where the foremost begins.
    """
    return not in_the_way(bench, bodies, place, but, gap, from_front)


def in_the_way(
    bench: Bench, bodies: tuple[Body, ...], place: Placement, but: set[str], gap: float = 0.5, from_front: bool = False
) -> str:
    """The key of the first part or fitting that leaves bodies no room, as `stands_free` judges; empty where they find it."""
    mine, around = [body_box(body, place) for body in bodies], _box_about(bodies, place)
    if from_front:
        mine = [(vector(low[0], around[0][1], low[2]), high) for low, high in mine]
    beside = [key for key in bench.parts if key not in but and near(around, boxes_on(bench, key)[0], gap)]
    beside += [
        key for key, each in bench.fittings.items() if near(around, _about_on(bench, key, each), gap)
    ]  # few are, and only they are looked at body by body
    return next(
        (key for key in beside if any(near(one, other, gap) for other in boxes_on(bench, key) for one in mine)), ""
    )


def _box_about(bodies: tuple[Body, ...], place: Placement) -> Box:
    """The box around all bodies of a fitting where it stands, square to the piece; of one that leans, around all its corners."""
    low, high = _own_box_about(bodies)
    if SQUARE.issuperset(place.x) and SQUARE.issuperset(place.y):
        (a, b, c), (d, e, f) = place.point(low), place.point(high)
        return (min(a, d), min(b, e), min(c, f)), (max(a, d), max(b, e), max(c, f))
    corners = [place.point((x, y, z)) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2])]
    return tuple(map(min, *corners)), tuple(map(max, *corners))  # type: ignore[return-value]


@lru_cache(maxsize=4096)
def _own_box_about(bodies: tuple[Body, ...]) -> Box:
    ends = [_own_box(body) for body in bodies]
    return tuple(map(min, zip(*(low for low, _ in ends)))), tuple(map(max, zip(*(high for _, high in ends))))  # type: ignore[return-value]


def _about_on(bench: Bench, key: str, there: Fitting) -> Box:
    """The box around all of a fitting where it stands."""
    known = bench.stood_about.get(key)
    if known is None or known[0] is not there:
        known = bench.stood_about[key] = there, _box_about(there.bodies, there.place)
    return known[1]


def boxes_on(bench: Bench, key: str) -> tuple[Box, ...]:
    """The boxes around a part, or around the bodies of a fitting, where it stands."""
    there = bench.parts.get(key) or bench.fittings[key]
    known = bench.stood.get(key)
    if known is None or known[0] is not there:  # it was made longer since, or moved
        known = bench.stood[key] = there, _boxes_around(there)
    return known[1]


def _boxes_around(there: Part | Fitting) -> tuple[Box, ...]:
    if isinstance(there, Part):
        return (standing_box(there),)
    return tuple(body_box(body, there.place) for body in there.bodies)
