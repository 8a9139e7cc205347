"""What goes in: room for coats behind the doors, height under the rail, and how many hang there."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ..model import Fitting, Model
from ..piece import Piece
from ..wording import counted
from .finding import FROM_MEMORY, PRACTICE, Finding, figure
from .loads import SHELF_LOAD, loose_shelf_loads, shelf_load
from .reading import hanging_rails
from .study import study

SHALLOW = 530.0  # mm clear for adult coats across a rail (530 to 600); jfjm100.com, clothes planning dimensions, read
TOO_SHALLOW = 480.0  # mm; the rail is turned front to back; common practice, no source
FREE_ABOVE = 50.0  # mm over the tube for the hook; engineerfix.com, space between rail and shelf, read
EACH_SIDE = 250.0  # mm from rail to back and to door; common practice, no source
WINTER_COAT, JACKET = 100.0, 64.0  # mm of rail each; jfjm100.com, clothes planning dimensions, read
# mm under it
KINDS = ((1400.0, "long coats"), (1300.0, "coats"), (1000.0, "jackets and shirts"), (800.0, "children's clothes"))
DEPTH_SOURCE = "jfjm100.com, clothes planning dimensions, read"


@dataclass(frozen=True, slots=True)
class Hanging:
    """One rail as built: its length, the clear depth across it, what is before, behind, above and under its middle.

    For a rail from front to back the depth is the width of its bay, from side to side.
    """

    fitting: Fitting
    length: float
    depth: float
    to_front: float
    to_back: float
    above: float
    under: float
    at: tuple[float, float, float]
    between: str = "the back and the door"


def depth_for_coats(piece: Piece, model: Model) -> Iterator[Finding]:
    """Coats across a rail have the depth they want between back and door."""
    for rail in hangings(model):
        if rail.depth < SHALLOW:
            stop = rail.depth < TOO_SHALLOW
            limit = TOO_SHALLOW if stop else SHALLOW
            yield Finding(
                check="depth for coats",
                severity="stop" if stop else "warn",
                keys=(rail.fitting.key,),
                at=rail.at,
                value=round(rail.depth, 1),
                limit=limit,
                source=PRACTICE if stop else DEPTH_SOURCE,
                text=(
                    f"{figure(rail.depth)} mm are clear between {rail.between} for coats across a rail; at least"
                    f" {figure(limit)} mm is wanted."
                ),
                remedy=(
                    "Turn the rail the other way." if stop else "Make the piece deeper, or hang narrow things there."
                ),
            )
        side = min(rail.to_front, rail.to_back)
        if EACH_SIDE - side > 0.5 and rail.depth >= 2 * EACH_SIDE:
            yield Finding(
                check="place of the rail",
                severity="warn",
                keys=(rail.fitting.key,),
                at=rail.at,
                value=round(side, 1),
                limit=EACH_SIDE,
                text=(
                    f"The {_named(model, rail)} is {figure(side)} mm from what is before or behind"
                    f" it; at least {figure(EACH_SIDE)} mm is wanted for hangers."
                ),
                remedy="Put it in the middle of the depth.",
            )


def _named(model: Model, rail: Hanging) -> str:
    """A rail in a sentence, with its key where there are several."""
    id = rail.fitting.key.split("/")[0]
    return f"hanging rail “{id}”" if len(hanging_rails(model)) > 1 else "hanging rail"


def height_for_coats(piece: Piece, model: Model) -> Iterator[Finding]:
    """A rail has room above for hooks and below for what is to hang."""
    for rail in hangings(model):
        if rail.above < FREE_ABOVE:
            yield Finding(
                check="height for coats",
                severity="warn",
                keys=(rail.fitting.key,),
                at=rail.at,
                value=round(rail.above, 1),
                limit=FREE_ABOVE,
                source="engineerfix.com, space between rail and shelf, read",
                text=(
                    f"{figure(rail.above)} mm are free above the {_named(model, rail)}; at least"
                    f" {figure(FREE_ABOVE)} mm is wanted to lift hangers off."
                ),
                remedy="Lower the rail.",
            )
        if rail.under < KINDS[-1][0]:
            yield Finding(
                check="height for coats",
                severity="warn",
                keys=(rail.fitting.key,),
                at=rail.at,
                value=round(rail.under, 1),
                limit=KINDS[-1][0],
                text=(
                    f"{figure(rail.under)} mm are free under the {_named(model, rail)}; even"
                    f" children's clothes want {figure(KINDS[-1][0])} mm."
                ),
                remedy="Raise the rail, or make the bay higher.",
            )


def what_goes_in(piece: Piece, model: Model) -> Iterator[Finding]:
    """What the client may know of the inside: coats and jackets on each rail, kilograms on each shelf."""
    for rail in hangings(model):
        words = next((words for least, words in KINDS if rail.under >= least), "")
        if words:
            yield Finding(
                check="room for clothes",
                severity="note",
                keys=(rail.fitting.key,),
                at=rail.at,
                value=round(rail.length, 1),
                source=DEPTH_SOURCE,
                text=(
                    f"Room for {room_for(rail.length)}; {figure(rail.under, 0)} mm under the rail, enough for {words}."
                ),
            )
    shelves = list(loose_shelf_loads(piece, model))
    loads = sorted({math.floor(load + 0.5) for _, load in shelves})
    if loads:
        each = f"{loads[0]}" if len(loads) == 1 else f"{loads[0]} to {loads[-1]}"
        yield Finding(
            check="load of shelves",
            severity="note",
            keys=tuple(part.key for part, _ in shelves),
            value=float(loads[0]),
            limit=shelf_load(piece),
            unit="kg",
            source=f"{figure(SHELF_LOAD)} kg/m² for clothes and house things, more for books: EN 14749, {FROM_MEMORY}",
            text=f"{counted(len(shelves), 'loose shelf')}, reckoned for {each} kg{' each' if len(shelves) > 1 else ''}.",
        )


CHECKS = (depth_for_coats, height_for_coats, what_goes_in)


# -------------------------------------------------------------------------------------------------------------- figures
def room_for(length: float) -> str:
    """What hangs on a rail of a length, in a client's words.

    >>> room_for(506)
    '5 winter coats or 7 jackets'
    """
    coats, jackets = int(length // WINTER_COAT), int(length // JACKET)
    return f"{coats} winter coat{'' if coats == 1 else 's'} or {jackets} jacket{'' if jackets == 1 else 's'}"


def hangings(model: Model) -> Iterator[Hanging]:
    """Each hanging rail with the room around it."""
    seen = study(model)
    for fitting, length in hanging_rails(model):
        bay = next((bay for bay in model.bays if fitting.key in bay.holds), None)
        if bay is None:
            continue
        x, y, z = fitting.place.point((length / 2, 0.0, 0.0))
        ahead = [float(box[1][1]) for box in _doors_before(model, bay.low[0], bay.high[0], z)]
        front = max(ahead, default=bay.low[1])
        across = [
            box
            for key, box in seen.boxes.items()
            if key not in seen.motion_of and box[0][0] < x < box[1][0] and box[0][1] < y < box[1][1]
        ]
        ceiling = min((float(box[0][2]) for box in across if box[0][2] > z), default=bay.high[2])
        ground = max((float(box[1][2]) for box in across if box[1][2] < z), default=bay.low[2])
        radius = fitting.bodies[0].outline[0][1]
        if abs(fitting.place.x[1]) > 0.5:
            left, right = x - bay.low[0], bay.high[0] - x
            yield Hanging(
                fitting, length, left + right, left, right, ceiling - z - radius, z - ground, (x, y, z), "the two sides"
            )
            continue
        yield Hanging(
            fitting,
            length,
            bay.high[1] - front,
            y - front,
            bay.high[1] - y,
            ceiling - z - radius,
            z - ground,
            (x, y, z),
        )


def _doors_before(model: Model, left: float, right: float, height: float) -> Iterator:
    seen = study(model)
    for motion in model.motions:
        for part in seen.front_parts(motion):
            box = seen.boxes[part.key]
            if box[0][0] < right and left < box[1][0] and box[0][2] < height < box[1][2]:
                yield box


__all__ = ["CHECKS", "Hanging", "depth_for_coats", "hangings", "height_for_coats", "room_for", "what_goes_in"]
