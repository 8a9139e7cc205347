"""What several checks find in a model: fronts and their gaps, drawers' room, hanging rails, wall anchors, the floor."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from ..geometry import Vector
from ..model import CLOSING_BEVEL, MEETING_STILE, Cut, Fitting, Model, Motion, Opening, Part, Pocket
from ..piece import Piece
from ..piece.fronts import Front
from .study import Study, bought, kind_of, study

ON_THE_FLOOR = 0.5  # mm; what begins this near to the floor stands on it
ANCHOR_KIND = "anchor bracket"
TRIP_KIND = "interlock trip"  # one on the bar of an interlock for each of its drawers


@dataclass(frozen=True, slots=True)
class Gap:
    """The gap at one edge of a front, as the model has it."""

    edge: str  # "left", "right", "top", "bottom", "meeting"
    width: float
    keys: tuple[str, ...]
    at: tuple[float, float, float]


def fronts(piece: Piece, model: Model) -> Iterator[tuple[Front, Opening, list[Motion]]]:
    """Each front of the piece with its opening and what moves in it."""
    openings = {opening.key: opening for opening in model.openings}
    for front in piece.fronts:
        motions = [
            motion for motion in model.motions if motion.key == front.id or motion.key.startswith(f"{front.id}/")
        ]
        if front.id in openings and motions and all(study(model).front_parts(motion) for motion in motions):
            yield front, openings[front.id], motions


def gaps(model: Model, opening: Opening, motions: list[Motion]) -> Iterator[Gap]:
    """The gaps around the fronts in one opening, as the model has them; of overlay fronts only those between them."""
    seen = study(model)
    boxes = sorted(((seen.front_box(motion), motion) for motion in motions), key=lambda pair: pair[0][0][0])
    middle = (opening.bottom + opening.top) / 2
    (first, left), (last, right) = boxes[0], boxes[-1]
    if is_overlay(opening, first):
        yield from _meetings(seen, boxes, opening, middle)
        return
    yield Gap("left", float(first[0][0]) - opening.left, left.moves[:1], (opening.left, opening.front, middle))
    yield Gap("right", opening.right - float(last[1][0]), right.moves[:1], (opening.right, opening.front, middle))
    yield from _meetings(seen, boxes, opening, middle)
    for box, motion in boxes:
        centre = float(box[0][0] + box[1][0]) / 2
        yield Gap("top", opening.top - float(box[1][2]), motion.moves[:1], (centre, opening.front, opening.top))
        yield Gap(
            "bottom", float(box[0][2]) - opening.bottom, motion.moves[:1], (centre, opening.front, opening.bottom)
        )


def is_overlay(opening: Opening, box: np.ndarray) -> bool:
    """Whether a front, by the box that holds it shut, stands before its opening and not in it."""
    return float(box[1][1]) <= opening.front


def _meetings(seen: Study, boxes: list[tuple[np.ndarray, Motion]], opening: Opening, middle: float) -> Iterator[Gap]:
    """The gaps between the fronts side by side in one opening, as seen from the front."""
    for (box, motion), (other, beside) in itertools.pairwise(boxes):
        yield Gap(
            "meeting",
            float(other[0][0] - box[1][0]) + max(lapped(seen, motion), lapped(seen, beside)),
            (*motion.moves[:1], *beside.moves[:1]),
            (float(box[1][0]), opening.front, middle),
        )


def lapped(seen: Study, motion: Motion) -> float:
    """How much of a front is cut away in front at its meeting edge, so that the leading door laps it, mm; over its lipping too."""
    spans = []
    for part in seen.front_parts(motion):
        for each in part.shape.features:
            if (
                isinstance(each, Pocket)
                and each.purpose.startswith(MEETING_STILE)
                and each.purpose.endswith("in front")
            ):
                ends = sorted(float(part.place.point(corner)[0]) for corner in (each.low, each.high))
                box = seen.boxes[part.key]
                spans.append((max(ends[0], float(box[0][0])), min(ends[1], float(box[1][0]))))
    return round(max(end for _, end in spans) - min(start for start, _ in spans), 6) if spans else 0.0


def closing_bevel(parts: Iterable[Part]) -> float:
    """How many degrees the closing edge of a door of these parts is bevelled toward the inside; 0: it is square."""
    return max(
        (
            each.angle
            for part in parts
            for each in part.shape.features
            if isinstance(each, Cut) and each.purpose == CLOSING_BEVEL
        ),
        default=0.0,
    )


def meets_on_paper_only(piece: Piece, model: Model, keys: tuple[str, str]) -> bool:
    """Whether two things are a hinge and what it hangs or hangs on, at a front whose opening was measured in width.

    The wall is drawn where it was designed and the front as wide as it will be: there the gap of the hinge is drawn narrower or
    wider than it is made.
    """
    measured = {each.what.split(".")[1] for each in piece.measured if each.what.endswith(".width")}
    hinges = {each.key: each for each in model.fittings if kind_of(each).endswith("hinge")} if measured else {}
    for key, other in (keys, keys[::-1]):
        front = key.split("/")[0]
        if key in hinges and front in measured:
            return other.startswith(f"{front}/") or other in hinges[hinges[key].bought_with or key].parts
    return False


def drawer_room(model: Model, motion: Motion) -> tuple[Vector, Vector] | None:
    """The clear box inside a drawer: between its sides, above its bottom, to the height of its lowest side.

    The front of the box is its own, or the board of an integral front.
    """
    seen = study(model)
    moved = {key.rsplit("/", 1)[-1]: seen.boxes[key] for key in motion.moves if key in seen.parts and "/box/" in key}
    if "front" not in moved and f"{motion.key}/front/panel" in seen.parts:
        moved["front"] = seen.boxes[f"{motion.key}/front/panel"]
    bottoms = [box for name, box in moved.items() if name.split(".")[0] == "bottom"]
    if not {"side.left", "side.right", "front", "back"} <= moved.keys() or not bottoms:
        return None
    top = min(moved[name][1][2] for name in ("side.left", "side.right", "front", "back"))
    low = (moved["side.left"][1][0], moved["front"][1][1], bottoms[0][1][2])
    high = (moved["side.right"][0][0], moved["back"][0][1], top)
    return tuple(map(float, low)), tuple(map(float, high))  # type: ignore[return-value]


def doors_before(model: Model, motion: Motion) -> tuple[Motion, ...]:
    """The doors that must stand open before a drawer behind them comes out."""
    return tuple(door for drawer, door in study(model).shared(_doors_before) if drawer.key == motion.key)


def _doors_before(seen: Study) -> list[tuple[Motion, Motion]]:
    doors = [(each, seen.front_box(each)) for each in seen.model.motions if each.kind == "swing"]
    found = []
    for motion in seen.model.motions:
        box = seen.front_box(motion) if motion.kind == "travel" else None
        for door, leaf in doors if box is not None else ():
            if (
                leaf is not None
                and leaf[1][1] <= box[0][1]
                and all(leaf[0][i] < box[1][i] and box[0][i] < leaf[1][i] for i in (0, 2))
            ):
                found.append((motion, door))
    return found


def hanging_rails(model: Model) -> list[tuple[Fitting, float]]:
    """Each hanging rail and its length, mm."""
    return study(model).shared(_hanging_rails)


def _hanging_rails(seen: Study) -> list[tuple[Fitting, float]]:
    return [
        (fitting, float(np.linalg.norm(np.subtract(fitting.bodies[0].high, fitting.bodies[0].low))))
        for fitting in bought(seen.model)
        if kind_of(fitting) == "hanging rail"
    ]


def interlocked(model: Model) -> tuple[tuple[Motion, ...], ...]:
    """The stacks of drawers of which an interlock lets one out at a time; each drawer by its motion."""
    motions = {motion.key: motion for motion in model.motions}
    stacks: dict[str, list[Motion]] = {}
    for fitting in model.fittings:
        if kind_of(fitting) == TRIP_KIND:
            stacks.setdefault(fitting.parts[0], []).append(motions[fitting.key.rpartition("/")[0]])
    return tuple(map(tuple, stacks.values()))


def anchors(model: Model) -> tuple[str, ...]:
    """The keys of the wall anchors."""
    return tuple(fitting.key for fitting in model.fittings if kind_of(fitting) == ANCHOR_KIND)
