"""What the contents of compartments share: bearers on the walls, screws that give way to each other, room to stand in."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence, Set

from ..errors import ParameterError
from ..geometry import LEFT, RIGHT, Vector, negative, plus, vector
from ..model import IN_THE_PART, Board, Part
from .bench import Bench
from .clearance import Box, first_free, near, shifted, standing_box
from .hanging import boxes_on
from .hardware import screw_through
from .moving import SEASON, moves_along, slot_length, slotted_screw

WALL_SCREW = (4.0, 15.0)  # diameter, hold: a bearer on a side or upright; common practice, no source
BACK_SCREW = (3.0, 15.0)  # the same through a back into what lies against it; common practice, no source
LEAST_BEARER = 15.0  # mm thick; common practice, no source
EDGE_HOLDS = 12.0  # mm from a screw to a board's edge, so that MDF holds it; European MDF industry guide (mdf-info.eu)
BEARER_LEFT = 6.0  # mm of bearer left beside a screw; common practice, no source
BESIDE = 20.0  # mm from one row's screws to another's
GIVES_WAY = 30.0  # mm that a screw moves where the wall holds something already


def check_room(bench: Bench, field: str, keys: Sequence[str], value: object) -> None:
    """Refuse what runs into another part; `field` and its `value` are to blame."""
    boxes = {key: around(bench.parts[key]) for key in keys}
    for other in bench.parts.values():
        if other.key in boxes:
            continue
        there = around(other)
        for key, box in boxes.items():
            if near(box, there, -0.01):
                raise ParameterError(field, f'{value}: "{key}" would run into the {other.name} "{other.key}"')


def keep_tube_clear(bench: Bench, field: str, start: Vector, stop: Vector, diameter: float, way_out: str) -> None:
    """Refuse a hanging rail that would run into a part; `start` and `stop` are the ends of its axis, along an axis of the piece."""
    length_wise = [abs(a - b) > 0.0 for a, b in zip(start, stop)]
    out = vector(*(0.0 if along else diameter / 2 for along in length_wise))
    tube = plus(start, out, -1.0), plus(stop, out)
    for part in bench.parts.values():
        if near(tube, around(part)):
            raise ParameterError(
                field,
                f'the rail, {diameter:g} mm thick, would run into the {part.name} "{part.key}"; {way_out}',
            )


def check_beside(bench: Bench, stem: str, before: Set[str]) -> None:
    """Refuse what a compartment holds where it meets what the same compartment held before: keys begin with its `stem`."""
    mine, theirs = [], []
    for key in (each for each in (*bench.parts, *bench.fittings) if each.startswith(stem)):
        (theirs if key in before else mine).append((key, boxes_on(bench, key)))
    for (key, boxes), (other, there) in itertools.product(mine, theirs):
        if any(near(one, another, -0.01) for one in boxes for another in there):
            name = (bench.parts.get(other) or bench.fittings[other]).name
            raise ParameterError(
                "",
                f'"{key}" would run into the {name} "{other}" in the same compartment: move it, or leave one of them away',
            )


def around(part: Part) -> Box:
    """The box around a part in the piece, leaning or not."""
    return standing_box(part)


def screw_to_wall(
    bench: Bench, field: str, bearer: str, wall: str, places: Sequence[Vector], outward: Vector, along: Vector
) -> None:
    """Glue and screw a bearer to a wall: screws from its inner face, `outward` into the wall, each moved `along` where it must.

    A wall of solid wood that moves along the bearer is left free to: no glue, a round hole at the front and slots behind it.
    """
    thick, wood = _reach(bench.parts[bearer], outward), _reach(bench.parts[wall], outward)
    size = screw_through(field, WALL_SCREW[0], thick, WALL_SCREW[1], wood)
    board, free = bench.parts[wall].board.material, moves_along(bench.parts[wall], along)
    fixed, names = min(places, key=lambda each: each[1]), []
    for place in places:
        ahead = [plus(each, outward, thick) for each in shifted(place, along, GIVES_WAY, 2.0)]
        at = first_free(bench, wall, ahead, outward, size.pilot, size.length - thick + 1.0, gap=2.0)
        if at is None:
            raise ParameterError(
                field,
                f'a screw {size.name} finds no room in "{wall}" at height {place[2]:.0f} mm; other holes are nearer than 2 mm',
            )
        head, way = plus(at, outward, -thick), bench.parts[bearer].place.x
        if free and place != fixed:
            long = slot_length(board, math.dist(place, fixed), SEASON, size.clearance)
            names.append(
                slotted_screw(bench, bearer, wall, head, outward, size, thick, (way, long), "bearer screw", IN_THE_PART)
            )
        else:
            names.append(bench.screw(bearer, wall, head, outward, size, thick, "bearer screw"))
    bench.join(
        f"{wall}|{bearer}",
        "slotted screws" if free else "glue and screws",
        wall,
        bearer,
        negative(outward),
        tuple(names),
        0.0 if free else bench.parts[bearer].size[0] * bench.parts[bearer].size[1],
    )


def screw_through_back(
    bench: Bench, field: str, key: str, heights: Sequence[float], places: Sequence[float], middle: float
) -> None:
    """Glue and screw what lies against the back from behind; x of the screws, moved toward the middle of the bay where they must."""
    part, back = bench.parts[key], bench.parts["carcass/back"]
    size = screw_through(field, BACK_SCREW[0], back.board.thickness, BACK_SCREW[1], _reach(part, (0.0, 1.0, 0.0)))
    rear = around(back)[1][1]
    names = []
    for x, z in itertools.product(places, heights):
        toward = LEFT if x > middle + 0.05 else RIGHT
        wanted = vector(x, rear, z)
        at = first_free(
            bench,
            "carcass/back",
            shifted(wanted, toward, 0.0 if abs(x - middle) <= 0.05 else GIVES_WAY, 2.0),
            (0.0, -1.0, 0.0),
            size.clearance,
            back.board.thickness,
            gap=2.0,
        )
        if at is not None:
            names.append(
                bench.screw("carcass/back", key, at, (0.0, -1.0, 0.0), size, back.board.thickness, "back screw")
            )
    bench.join(
        f"carcass/back|{key}",
        "glue and screws" if names else "glue",
        "carcass/back",
        key,
        (0.0, -1.0, 0.0),
        tuple(names),
        part.size[0] * part.size[1],
    )


def from_edge(bearer: float, play: float) -> float:
    """How far off the wall a screw goes up through a bearer so thick: 12 and more from the shelf's edge, which begins `play` off the wall.

    >>> from_edge(20, 0.5), from_edge(40, 0.5)
    (13.0, 20.0)
    """
    return min(max(bearer / 2, EDGE_HOLDS + play + 0.5), bearer - BEARER_LEFT)


def beside(places: Sequence[float]) -> list[float]:
    """Places a little inward of the first and the last of some, clear of what holds there; in the middle where they are near together.

    They are the same from both ends, so that the mirror image of a bearer has them too.

    >>> beside([45.0, 140.0, 235.0]), beside([45.0, 90.0]), beside([60.0])
    ([65.0, 215.0], [67.5], [40.0, 80.0])
    """
    first, last = places[0], places[-1]
    if last - first <= BESIDE:
        return [first - BESIDE, last + BESIDE]
    if last - first < 3 * BESIDE:
        return [(first + last) / 2]
    return [first + BESIDE, last - BESIDE]


def between(places: Sequence[float]) -> list[float]:
    """The middles of the first, the last and the middle gap between some places; at both sides of a single one.

    >>> between([40.0, 140.0, 240.0, 340.0]), between([40.0, 140.0]), between([40.0])
    ([90.0, 190.0, 290.0], [90.0], [20.0, 60.0])
    """
    if len(places) == 1:
        return [places[0] - BESIDE, places[0] + BESIDE]
    middles = [(a + b) / 2 for a, b in itertools.pairwise(places)]
    chosen = {0, len(middles) - 1} | ({len(middles) // 2} if len(middles) % 2 else set())
    return [middles[i] for i in sorted(chosen)]


def stem(bay_key: str, what: str, number: int) -> str:
    """The beginning of the keys of one entry's parts in a bay."""
    return f"{bay_key}/{what}.{number}"


def named_grain(board: Board) -> str:
    """The grain of a long part cut from a board."""
    return "length" if board.material.grained else "any"


def _reach(part: Part, along: Vector) -> float:
    """A part's size in the direction of one of its axes."""
    own = part.place.own_direction(along)
    axis = max(range(3), key=lambda i: abs(own[i]))
    return part.size[axis]
