"""How far shelves, rails and drawer bottoms bend: at once, and after years under load."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from ..mechanics import (
    GRAVITY,
    plate_sag,
    point_sag,
    ribbed_stiffness,
    second_moment,
    shelf_sag,
    softened,
    spread_sag,
    tube_second_moment,
)
from ..model import Fitting, Material, Model, Opening, Part
from ..piece import Piece
from .finding import FROM_MEMORY, PRACTICE, Finding, figure
from .loads import DRAWER_PRESSURE, RAIL_LOAD, loose_shelf_loads, shelf_load
from .reading import gaps, hanging_rails
from .study import entry_of, kind_of, study

SEEN = 384.0  # span over sag: what the eye does not notice is less; a magazine on building furniture, 2007, read
MOST = 144.0  # span over sag; Architectural Woodwork Standards 2009, read
RAIL_MOST = 200.0  # span over sag of a hanging rail; common practice, no source
CLEAR_OF_FRONT = 0.5  # mm a front keeps when all is loaded for years; common practice, no source
# mm: screws in a back no farther apart make it share the load (100 to 150, rounded places); common practice
BACK_PITCH = 160.0
# of the span: board that works with a rib; EN 1995-1-1 Table 9.1 for fibreboard, from memory, unverified
FLANGE_SHARE = 0.2
# mm wide up to, thick; a drawer maker's rule, read
DRAWER_BOTTOMS = ((600.0, 6.0), (1000.0, 9.0), (float("inf"), 12.0))
REACH = 1600.0  # mm; a top lower than this gets things put on it; common practice, no source
FOOT_KINDS = ("glide", "levelling foot", "castor")
NEAR_THE_FLOOR = 30.0  # mm; a board that reaches down to here stands on its feet
HELD_EVERY = 50.0  # mm; a plinth holds a bottom all along
MEET = 0.1  # mm; boards whose faces lie this near meet
LOADS = "load: EN 14749, from memory, unverified; limits: L/384 to the eye (magazine, read), L/144 (AWS 2009, read)"


@dataclass(frozen=True, slots=True)
class Sag:
    """How far a board bends between two supports: at once and after long loading, mm; the load in kg."""

    part: Part
    span: float
    at: tuple[float, float, float]
    load: float
    now: float
    later: float


def loose_shelf_sag(piece: Piece, model: Model) -> Iterator[Finding]:
    """Loose shelves keep straight under what they are meant to hold, at once and for years."""
    for sag in loose_shelves(piece, model):
        yield from _sagging(model, sag, "shelf sag")


def fixed_shelf_sag(piece: Piece, model: Model) -> Iterator[Finding]:
    """Fixed horizontals keep straight, and clear of the inset front that they close from above."""
    for sag in fixed_shelves(piece, model):
        front = _front_below(model, sag)
        if front is None:
            yield from _sagging(model, sag, "shelf sag")
            continue
        opening, gap = front
        for when, bent, limit in (("in use", sag.now, gap / 2), ("loaded for years", sag.later, gap - CLEAR_OF_FRONT)):
            if bent > limit:
                yield Finding(
                    check="front edge sag",
                    severity="warn",
                    keys=(sag.part.key,),
                    at=sag.at,
                    value=round(bent, 2),
                    limit=round(limit, 2),
                    source=(
                        f"limits {PRACTICE}; load {FROM_MEMORY}; creep {figure(sag.part.board.material.creep, 2)} by"
                        " the materials library"
                    ),
                    text=(
                        f"The front edge of the {study(model).called(sag.part.key)} sags {figure(bent, 2)} mm {when},"
                        f" over “{opening.name}” with a gap of {figure(gap, 2)} mm; at most {figure(limit, 2)} mm keeps"
                        " it free."
                    ),
                    remedy=(
                        "Put an upright under it, or glue a hardwood stiffener under its front edge and screw the back"
                        " to it at 150 mm."
                    ),
                )


def rail_sag(piece: Piece, model: Model) -> Iterator[Finding]:
    """A hanging rail keeps straight and is not longer than its tube is meant for."""
    for fitting, span, sag in rails(model):
        entry = entry_of(fitting)
        longest = entry.sizes.get("longest", float("inf"))
        if span > longest:
            yield Finding(
                check="hanging rail",
                severity="warn",
                keys=(fitting.key,),
                at=fitting.place.origin,
                value=round(span, 1),
                limit=longest,
                source=PRACTICE,
                text=(
                    f"The {study(model).called(fitting.key)} is {figure(span)} mm long between its supports; above"
                    f" {figure(longest)} mm it wants a bracket in the middle."
                ),
                remedy=(
                    "Hang it as far below a board as the centre bracket is long, and the bracket goes in by itself, or"
                    " divide the bay."
                ),
            )
        elif sag > span / RAIL_MOST:
            yield Finding(
                check="hanging rail",
                severity="warn",
                keys=(fitting.key,),
                at=fitting.place.origin,
                value=round(sag, 2),
                limit=round(span / RAIL_MOST, 2),
                source=f"limit {PRACTICE}; load {FROM_MEMORY}",
                text=(
                    f"The {study(model).called(fitting.key)} sags {figure(sag, 2)} mm under"
                    f" {figure(RAIL_LOAD * span / 1000, 0)} kg; the limit is {figure(span / RAIL_MOST, 2)} mm."
                ),
                remedy="Use a stouter tube, or add a bracket in the middle.",
            )


def drawer_bottom(piece: Piece, model: Model) -> Iterator[Finding]:
    """A drawer's bottom is thick enough for its width and keeps off what is below it."""
    for motion in model.motions:
        for part in (study(model).parts[key] for key in motion.moves if key in study(model).parts):
            if part.role != "drawer bottom":
                continue
            length, width, thick = part.size
            least = next(thickness for wide, thickness in DRAWER_BOTTOMS if length <= wide)
            sag = plate_sag(length, width, thick, part.board.material.modulus, DRAWER_PRESSURE)
            if thick < least:
                yield Finding(
                    check="drawer bottom",
                    severity="warn",
                    keys=(part.key,),
                    at=part.place.origin,
                    value=thick,
                    limit=least,
                    source="a drawer maker's rule, read; load ANSI/KCMA A161.1 as quoted",
                    text=(
                        f"The bottom of the {study(model).called_moving(motion)} is {figure(thick)} mm thick and"
                        f" {figure(length)} mm wide; {figure(least)} mm is wanted ({figure(sag)} mm of sag at"
                        f" {figure(DRAWER_PRESSURE, 0)} Pa)."
                    ),
                    remedy="Use a thicker bottom, or a bearer in the middle.",
                )


CHECKS = (loose_shelf_sag, fixed_shelf_sag, rail_sag, drawer_bottom)


# -------------------------------------------------------------------------------------------------------------- figures
def loose_shelves(piece: Piece, model: Model) -> Iterator[Sag]:
    """The sag of each loose shelf, on its pins at both ends."""
    for part, load in loose_shelf_loads(piece, model):
        span, depth, thick = part.size
        now = shelf_sag(span, depth, thick, part.board.material.modulus, load)
        yield Sag(part, span, part.place.point((span / 2, 0.0, 0.0)), load, now, now * (1 + part.board.material.creep))


def fixed_shelves(piece: Piece, model: Model) -> Iterator[Sag]:
    """The sag of each fixed horizontal between its supports, its front edge looked at.

    The board, with the rib glued under it as far as that reaches, bends as a beam on simple supports. Where the back
    is screwed to it closely, the back holds its rear half and the front half carries its share; else the whole board
    carries all.
    """
    carrying = _Carrying(piece, model)
    for part in model.parts:
        if part.role in ("fixed shelf", "horizontal"):
            for left, right in itertools.pairwise(carrying.supports(part)):
                span = right - left
                spread, points = carrying.loads(part, left, right)
                share = 0.5 if carrying.held_by_back(part) else 1.0
                sags = []
                for material_of in (
                    lambda material: material.modulus,
                    lambda material: softened(material.modulus, material.creep),
                ):
                    stiff = _stiffness(model, part, span, share, material_of)
                    sag = spread_sag(stiff, span, share * spread * GRAVITY)
                    sags.append(
                        sag + sum(point_sag(stiff, span, share * mass * GRAVITY, x - left) for x, mass in points)
                    )
                front = float(study(model).boxes[part.key][0][1])
                under = float(study(model).boxes[part.key][0][2])
                yield Sag(
                    part, span, ((left + right) / 2, front, under), spread + sum(mass for _, mass in points), *sags
                )


def rails(model: Model) -> list[tuple[Fitting, float, float]]:
    """Each hanging rail: the fitting, its length between two supports, and its sag there when full, as if it ended at both."""
    found = []
    for fitting, long in hanging_rails(model):
        span = long / max(1, sum(fitting.key in (each.first, each.second) for each in model.joints) - 1)
        sizes = entry_of(fitting).sizes
        moment = tube_second_moment(sizes["diameter"], sizes.get("wall", sizes["diameter"] / 2))
        found.append((fitting, span, spread_sag(STEEL * moment, span, RAIL_LOAD * span / 1000 * GRAVITY)))
    return found


STEEL = 210_000.0  # N/mm²; EN 1993-1-1, from memory


class _Carrying:
    """What stands on what, and what it weighs when full."""

    def __init__(self, piece: Piece, model: Model) -> None:
        self.piece, self.model, self.seen = piece, model, study(model)
        self.uprights = [part for part in model.parts if part.role == "upright"]
        drawers = {id for front in piece.fronts if front.kind == "drawer" for id in front.closes}
        self.bays = [bay for bay in model.bays if bay.key not in drawers]

    def supports(self, part: Part) -> list[float]:
        """The x of the ends of a horizontal and of the uprights below it."""
        (left, _, under), (right, _, _) = self.seen.boxes[part.key].tolist()
        below = [self._middle(each) for each in self.uprights if abs(self.seen.boxes[each.key][1][2] - under) < MEET]
        below += [
            each.place.origin[0]
            for each in self.model.fittings
            if part.key in each.parts and kind_of(each) in FOOT_KINDS
        ]
        for each in self.model.parts:
            low, high = self.seen.boxes[each.key]
            if abs(high[2] - under) < MEET and low[2] < NEAR_THE_FLOOR and high[0] > left and low[0] < right:
                below += np.linspace(
                    max(left, low[0]), min(right, high[0]), 2 + int((high[0] - low[0]) // HELD_EVERY)
                ).tolist()
        return sorted({left, right, *(round(x, 3) for x in below if left < x < right)})

    def loads(self, part: Part, left: float, right: float) -> tuple[float, list[tuple[float, float]]]:
        """Between two supports: what is spread over a horizontal (kg, itself included), and what uprights bring (x,
        kg).
        """
        (low_x, front, _), (high_x, rear, top) = self.seen.boxes[part.key].tolist()
        spread = self.seen.weights[part.key].mass * (right - left) / (high_x - low_x)
        for bay in self.bays:
            if abs(bay.low[2] - top) < MEET:
                wide = min(right, bay.high[0]) - max(left, bay.low[0])
                deep = min(rear, bay.high[1]) - max(front, bay.low[1])
                if wide > 0 and deep > 0:
                    spread += shelf_load(self.piece) * wide * deep / 1e6
        if part.role == "horizontal" and top > self.model.carcass[2] - MEET and top < REACH:
            spread += shelf_load(self.piece) * (right - left) * (rear - front) / 1e6
        points = [(x, mass) for x, mass in self._standing_on(part) if left < x < right]
        return spread, points

    def held_by_back(self, part: Part) -> bool:
        """Whether the back is screwed to a horizontal, and to all uprights that stand on it, closely enough to share
        the load.
        """
        standing = [each for each in self.uprights if self._stands_on(each, part)]
        return all(self._back_pitch(each) <= BACK_PITCH for each in (part, *standing))

    def _back_pitch(self, part: Part) -> float:
        for joint in self.model.joints:
            keys = {joint.first, joint.second} - {part.key}
            if (
                joint.kind in ("screws", "glue and screws")
                and len(keys) == 1
                and part.key in (joint.first, joint.second)
            ):
                other = self.seen.parts.get(next(iter(keys)))
                if other is not None and other.role == "back" and len(joint.fasteners) > 1:
                    return part.size[0] / len(joint.fasteners)
        return float("inf")

    def _standing_on(self, part: Part) -> list[tuple[float, float]]:
        return [(self._middle(each), self._brings(each)) for each in self.uprights if self._stands_on(each, part)]

    def _stands_on(self, upright: Part, part: Part) -> bool:
        box, below = self.seen.boxes[upright.key], self.seen.boxes[part.key]
        return abs(box[0][2] - below[1][2]) < MEET and below[0][0] < self._middle(upright) < below[1][0]

    def _brings(self, upright: Part) -> float:
        """What an upright carries down: itself, and half of what hangs, lies or is fixed in the bays at its sides."""
        box = self.seen.boxes[upright.key]
        total = self.seen.weights[upright.key].mass
        for bay in self.bays:
            beside = min(abs(bay.high[0] - box[0][0]), abs(bay.low[0] - box[1][0])) < MEET
            if beside and box[0][2] - MEET <= bay.low[2] and bay.high[2] <= box[1][2] + MEET:
                total += sum(self._of_inside(key) for key in bay.holds) / 2
        for part in self.model.parts:
            if part.role == "fixed shelf" and part.key != upright.key and self._ends_at(part, upright):
                left, right = self.seen.boxes[part.key][:, 0].tolist()
                spread, points = self.loads(part, left, right)
                total += (spread + sum(mass for _, mass in points)) / 2
        return total

    def _of_inside(self, key: str) -> float:
        part = self.seen.parts.get(key)
        if part is not None and part.role == "loose shelf":
            return self.seen.weights[key].mass + shelf_load(self.piece) * part.size[0] * part.size[1] / 1e6
        return sum(RAIL_LOAD * span / 1000 for fitting, span in hanging_rails(self.model) if fitting.key == key)

    def _ends_at(self, shelf: Part, upright: Part) -> bool:
        box, other = self.seen.boxes[shelf.key], self.seen.boxes[upright.key]
        level = other[0][2] < box[0][2] < other[1][2]
        return bool(level and min(abs(box[1][0] - other[0][0]), abs(box[0][0] - other[1][0])) < MEET)

    def _middle(self, part: Part) -> float:
        low, high = self.seen.boxes[part.key][:, 0].tolist()
        return (low + high) / 2


def _stiffness(model: Model, part: Part, span: float, share: float, modulus: Callable[[Material], float]) -> float:
    """EI of a horizontal, or of its front half, with the rib that is glued under it, N·mm²."""
    _, depth, thick = part.size
    board: Material = part.board.material
    working = depth * share
    plain = modulus(board) * second_moment(working, thick)
    best = plain
    for joint in model.joints:
        if part.key not in (joint.first, joint.second) or joint.kind not in ("glue", "glue and screws"):
            continue
        rib = study(model).parts.get(joint.second if joint.first == part.key else joint.first)
        if rib is not None and rib.role == "stiffener":
            box = study(model).boxes[rib.key]
            if box[1][0] - box[0][0] >= 0.9 * span:
                flange = min(working, FLANGE_SHARE * span + float(box[1][1] - box[0][1]))
                deep = float(box[1][2] - box[0][2])
                best = max(
                    best,
                    ribbed_stiffness(
                        (flange, thick, modulus(board)),
                        (float(box[1][1] - box[0][1]), deep, modulus(rib.board.material)),
                    ),
                )
    return best + _beside(model, part, span, share, modulus)


def _beside(model: Model, part: Part, span: float, share: float, modulus: Callable[[Material], float]) -> float:
    """EI of what bends with a horizontal without being glued to it: a flat top screwed on, the rails of a stand below."""
    seen, total = study(model), 0.0
    (left, front, _), (right, rear, _) = seen.boxes[part.key].tolist()
    for joint in model.joints:
        if part.key in (joint.first, joint.second) and joint.kind in ("loose", "screws", "slotted screws"):
            other = seen.parts.get(joint.second if joint.first == part.key else joint.first)
            if other is None or other.role not in ("top", "rail"):
                continue
            low, high = seen.boxes[other.key].tolist()
            wide, deep = min(high[1], rear) - max(low[1], front), high[2] - low[2]
            if min(high[0], right) - max(low[0], left) < 0.9 * span:
                continue
            if wide > (rear - front) / 2:
                wide *= share
            elif share < 1 and (low[1] + high[1]) / 2 > (front + rear) / 2:
                continue
            total += modulus(other.board.material) * second_moment(wide, deep)
    return total


def _front_below(model: Model, sag: Sag) -> tuple[Opening, float] | None:
    """The inset front whose opening a horizontal closes from above, and the gap over it."""
    for opening in model.openings:
        motions = [
            motion for motion in model.motions if motion.key == opening.key or motion.key.startswith(f"{opening.key}/")
        ]
        over = abs(opening.top - sag.at[2]) < MEET and opening.left < sag.at[0] < opening.right
        if over and motions and all(study(model).front_box(motion) is not None for motion in motions):
            over_it = [gap.width for gap in gaps(model, opening, motions) if gap.edge == "top"]
            return (opening, min(over_it)) if over_it else None  # an overlay front has none over it
    return None


def _sagging(model: Model, sag: Sag, check: str) -> Iterator[Finding]:
    name = f"the {study(model).called(sag.part.key)}"
    if sag.later > sag.span / MOST:
        yield Finding(
            check=check,
            severity="warn",
            keys=(sag.part.key,),
            at=sag.at,
            value=round(sag.later, 2),
            limit=round(sag.span / MOST, 2),
            source=LOADS,
            text=(
                f"Loaded for years with {figure(sag.load)} kg {name} sags {figure(sag.later, 2)} mm over"
                f" {figure(sag.span)}; the limit is {figure(sag.span / MOST, 2)} mm."
            ),
            remedy=(
                "Have a stiffener under the top too, make it thicker or shorter, or say that it holds less."
                if sag.part.key == "carcass/top"
                else "Make it thicker or shorter, lip it with hardwood on edge, or say that it holds less."
            ),
        )
    elif sag.now > sag.span / SEEN:
        yield Finding(
            check=check,
            severity="note",
            keys=(sag.part.key,),
            at=sag.at,
            value=round(sag.now, 2),
            limit=round(sag.span / SEEN, 2),
            source=LOADS,
            text=(
                f"Under {figure(sag.load)} kg {name} sags {figure(sag.now, 2)} mm over {figure(sag.span)}; the eye"
                f" notices more than {figure(sag.span / SEEN, 2)} mm."
            ),
            remedy="Make it thicker or shorter.",
        )
