"""The picture of a step: what is there in thin lines, what comes in thick ones, moved off its place, with flow lines to it."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..drawing.balloons import SIDES, Side, drawing_room, place_balloons
from ..drawing.explode import shown_alone
from ..drawing.hidden_lines import Drawable, Kind
from ..drawing.hidden_lines import Lines as SeenLines
from ..drawing.page import Item, Lines, Rect, RoomError, dashes
from ..drawing.scales import SCALES, Scale
from ..drawing.sight import Sight
from ..drawing.views import View
from ..model import Model
from ..solids.mesh import Mesh
from ..steps import Step
from ._flow import anchors_on, flow_paths, visible_stretches

THERE, COMES, EDGE = 0.18, 0.5, 0.25  # mm: what is there; outline and edges of what comes; ISO 128-2, from memory
GAP = 9.0  # mm on paper between what comes and what it comes to
BESIDE = 6.0  # mm; boxes that overlap less than this to the side are beside one another
LEAST_OUTLINE = 1.5  # mm on paper; hidden fittings smaller than this are not drawn
OUT = 0.75  # of its length: a drawer is drawn so far out of the carcass
LARGEST = Scale(1, 2)
RINGS: tuple[tuple[Side, ...], ...] = (SIDES, ("left", "right"), ("top", "bottom"), ("left",), ("top",))
DIAGONALS = ((1, -1), (-1, -1), (1, 1), (-1, 1))

Meshes = dict[str, Mesh]


@dataclass(frozen=True, eq=False)
class StepPicture:
    """One step to be drawn: the keys shown, each with the coming it moves with (-1: there already)."""

    model: Model
    meshes: Meshes
    step: Step
    there: tuple[str, ...]

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """All that is drawn, what is there first."""
        return (*self.there, *self.turn)

    @cached_property
    def turn(self) -> dict[str, int]:
        """Which coming moves what, in their order; what is carried moves with what carries it."""
        found = {key: number for number, each in enumerate(self.step.comes) for key in each.keys if key in self.meshes}
        for number, each in enumerate(self.step.comes):
            found |= dict.fromkeys((key for key in each.carried if key in found), number)
        return found

    @cached_property
    def parts(self) -> set[str]:
        """The keys of the parts: fittings need not go far to be seen."""
        return {part.key for part in self.model.parts}

    @cached_property
    def boxes(self) -> dict[str, tuple[np.ndarray, np.ndarray]]:
        """Around everything that is drawn."""
        return {key: (self.meshes[key].vertices.min(0), self.meshes[key].vertices.max(0)) for key in self.keys}

    def moves(self, gap: float) -> dict[str, np.ndarray]:
        """How far each thing stands off its place, mm: until it is clear of what is in its way, and a gap more."""
        fixed = [self.boxes[key] for key in self.there]
        own: dict[str, np.ndarray] = {}
        for each in self.step.comes:
            moving, away = [key for key in each.moving if key in self.turn], np.array(each.away)
            if not moving:
                continue
            if self.parts.intersection(each.keys):
                moved = [_moved(self.boxes[key], move) for key, move in own.items() if key not in moving]
                box = _around([_moved(self.boxes[key], own.get(key)) for key in moving])
                shift = _clear(box, away, fixed, moved) + gap
            else:  # a fitting goes with what it comes on to, and a gap farther
                onto = [float(own[key] @ away) for key in each.onto if key in own and key in self.parts]
                shift = max(onto, default=0.0) + gap
            own |= {key: own.get(key, 0.0) + shift * away for key in moving}
        return {**{key: np.zeros(3) for key in self.there}, **own}

    @cached_property
    def view(self) -> View:
        """From above what looks up on the bench, from the side from which most of what comes is brought."""
        up = np.array(self.step.up)
        flat = [axis for axis in range(3) if abs(up[axis]) < 0.5]
        ways = np.array([each.away for each in self.step.comes])
        best, chosen = -np.inf, up
        for number, (a, b) in enumerate(DIAGONALS):
            toward = up.astype(float).copy()
            toward[flat[0]], toward[flat[1]] = a, b
            worth = float(np.minimum(ways @ toward, 1.0).sum()) - 0.01 * number
            if worth > best:
                best, chosen = worth, toward
        return View.toward(tuple(chosen.tolist()), tuple(up.tolist()))

    def size(self, gap: float) -> tuple[float, float]:
        """Width and height of the picture, mm of the piece."""
        if gap not in self._sizes:
            moves = self.moves(gap)
            shift = self.view.project(np.array([moves[key] for key in self.keys]))
            low, high = self._flat
            extent = (high + shift).max(0) - (low + shift).min(0)
            self._sizes[gap] = float(extent[0]), float(extent[1])
        return self._sizes[gap]

    @cached_property
    def _sizes(self) -> dict[float, tuple[float, float]]:
        return {}

    @cached_property
    def _flat(self) -> tuple[np.ndarray, np.ndarray]:
        """The corners of the picture of each thing in its place, (n, 2)."""
        axes = self.view.axes[:2]
        points = [self.meshes[key].vertices @ axes.T for key in self.keys]
        return np.array([flat.min(0) for flat in points]), np.array([flat.max(0) for flat in points])

    def fitting(self, room: Rect, numbers: Sequence[str]) -> tuple[Scale, tuple[Side, ...]]:
        """The largest scale at which it fits a room with its part numbers, and on which sides these stand.

        Without numbers only where they fit at no scale. Raises RoomError where it is too large at any.
        """
        for rings in (RINGS, ((),)) if numbers else (((),),):
            for scale in SCALES[SCALES.index(LARGEST) :]:
                width, height = (each * scale.ratio for each in self.size(GAP / scale.ratio))
                for sides in rings:
                    place = _inside(room, numbers, sides)
                    if place and width <= place.width and height <= place.height:
                        return scale, sides
        raise RoomError(f"step “{self.step.title}” is too large to be shown on a sheet")


@dataclass(frozen=True, eq=False)
class DrawnStep:
    """A picture at its scale."""

    picture: StepPicture
    scale: Scale
    sides: tuple[Side, ...]
    numbered: dict[str, list[str]]  # the keys of parts by their number

    @cached_property
    def moves(self) -> dict[str, np.ndarray]:
        """How far each thing stands off its place."""
        return self.picture.moves(GAP / self.scale.ratio)

    @cached_property
    def drawable(self) -> Drawable:
        """The solids where they are drawn."""
        picture = self.picture
        ready = Drawable.of([picture.meshes[key] for key in picture.keys])
        return ready.moved(np.array([self.moves[key] for key in picture.keys]))

    @cached_property
    def lines(self) -> SeenLines:
        """What is seen."""
        return self.drawable.lines(self.picture.view)

    @cached_property
    def size(self) -> tuple[float, float]:
        """Width and height on paper, part numbers and all."""
        width, height = (each * self.scale.ratio for each in self.picture.size(GAP / self.scale.ratio))
        more = _ring_depth(list(self.numbered), self.sides)
        return width + more[0], height + more[1]

    def items(self, room: Rect) -> tuple[Item, ...]:
        """The drawing in the middle of its room, with flow lines and part numbers."""
        scale = self.scale.ratio
        points = self.lines.points
        low, high = points.reshape(-1, 2).min(0), points.reshape(-1, 2).max(0)
        numbers = list(self.numbered)
        frame, place = self._frame(room, numbers, (high - low) * scale)
        origin = np.array(place.centre) - (low + high) / 2 * scale
        return (
            *self._flow(origin),
            *self._solid_lines(origin),
            *self._unseen_lines(origin),
            *self._numbers(origin, frame),
        )

    def _frame(self, room: Rect, numbers: Sequence[str], size: np.ndarray) -> tuple[Rect, Rect]:
        """A frame for the part numbers close round the drawing, and the place in it."""
        place = _inside(room, numbers, self.sides)
        assert place is not None
        for air in (3.0, 10.0):
            x, y = (
                max(0.0, (have - need) / 2 - air) for have, need in zip((place.width, place.height), size, strict=True)
            )
            frame = Rect(room.x + x, room.y + y, room.width - 2 * x, room.height - 2 * y)
            inner = _inside(frame, numbers, self.sides)
            if inner and inner.width >= size[0] - 1e-6 and inner.height >= size[1] - 1e-6:
                return frame, inner
        return room, place

    def _solid_lines(self, origin: np.ndarray) -> Iterable[Item]:
        """Thin lines for what is there, wide outlines and narrow edges for what comes."""
        there = len(self.picture.there)
        lines, scale = self.lines, self.scale.ratio
        comes, outline = lines.solid >= there, lines.kind == Kind.SILHOUETTE
        for chosen, width in ((~comes, THERE), (comes & ~outline, EDGE), (comes & outline, COMES)):
            if chosen.any():
                ends = (lines.points[chosen] * scale + origin).reshape(-1, 4)
                yield Lines(tuple(map(tuple, ends.tolist())), width)

    @cached_property
    def sight(self) -> Sight:
        """What stands where."""
        return Sight.of(self.drawable, self.picture.view)

    @cached_property
    def unseen(self) -> list[str]:
        """The parts that come and are numbered, and the fittings that come, of which others hide everything."""
        groups = [[key for key in keys if key in self.picture.turn] for keys in self.numbered.values()]
        places = self._anchors(groups)
        parts = [key for some, at in zip(groups, places, strict=True) if some and at is None for key in some]
        seen = set(self.lines.solid.tolist())
        keys = self.picture.keys
        return parts + [
            key
            for number, key in enumerate(keys)
            if key in self.picture.turn and key not in self.picture.parts and number not in seen and self._is_large(key)
        ]

    def _is_large(self, key: str) -> bool:
        """Whether the outline of a thing can be told on paper."""
        low, high = self.picture.boxes[key]
        return float((high - low).max()) * self.scale.ratio >= LEAST_OUTLINE

    def _anchors(self, groups: Sequence[Sequence[str]]) -> list[np.ndarray | None]:
        """Places on what is seen of groups of parts."""
        parts = {part.key: part for part in self.picture.model.parts}
        solids = {key: number for number, key in enumerate(self.picture.keys)}
        some = [[(parts[key], self.moves[key]) for key in keys if key in solids] for keys in groups]
        return anchors_on(some, solids, self.sight)

    def _unseen_lines(self, origin: np.ndarray) -> Iterable[Item]:
        """The outlines of what comes and nothing is seen of, as hidden lines."""
        unseen = self.unseen
        if unseen:
            alone = Drawable.of([self.picture.meshes[key] for key in unseen])
            lines = alone.moved(np.array([self.moves[key] for key in unseen])).lines(self.picture.view)
            ends = (lines.points[lines.kind == Kind.SILHOUETTE] * self.scale.ratio + origin).reshape(-1, 4)
            yield Lines(tuple(map(tuple, ends.tolist())), EDGE, dashes("hidden", EDGE))

    def _flow(self, origin: np.ndarray) -> Iterable[Item]:
        picture = self.picture
        member_of = {key: str(picture.turn.get(key, "there")) for key in picture.keys}
        model = shown_alone(picture.model, set(picture.keys))
        paths = flow_paths(model, member_of, self.moves, picture.boxes)
        stretches = visible_stretches(paths, self.sight, picture.view, self.scale.ratio)
        if stretches:
            ends = (np.array(stretches) * self.scale.ratio + origin).reshape(-1, 4)
            yield Lines(tuple(map(tuple, ends.tolist())), THERE, dashes("centre", THERE))

    def _numbers(self, origin: np.ndarray, frame: Rect) -> Iterable[Item]:
        if not self.sides:
            return
        known = set(self.picture.keys)
        groups = [[key for key in keys if key in known][:3] for keys in self.numbered.values()]
        found = {}
        for (number, keys), place in zip(self.numbered.items(), self._anchors(groups), strict=True):
            at = place if place is not None else self._middle_of(keys)
            if at is not None:
                found[number] = tuple(map(float, origin + at * self.scale.ratio))
        for balloon in place_balloons(list(found), list(found.values()), frame=frame, sides=self.sides):
            yield from balloon.items

    def _middle_of(self, keys: Sequence[str]) -> np.ndarray | None:
        """The middle of the first of some parts of which nothing is seen; None if they are all seen."""
        key = next((key for key in keys if key in self.unseen), None)
        if key is None:
            return None
        corners = self.picture.view.project(self.picture.meshes[key].vertices + self.moves[key])
        return (corners.min(0) + corners.max(0)) / 2


# ------------------------------------------------------------------------------------------------------------- helpers
def _inside(room: Rect, numbers: Sequence[str], sides: tuple[Side, ...]) -> Rect | None:
    """What the part numbers leave of a room; None where they do not fit."""
    if not numbers or not sides:
        return room
    try:
        return drawing_room(room, numbers, sides)
    except RoomError:
        return None


def _ring_depth(numbers: Sequence[str], sides: Collection[Side]) -> tuple[float, float]:
    """How much the part numbers add to a picture's width and height."""
    if not numbers or not sides:
        return 0.0, 0.0
    large = Rect(0.0, 0.0, 1000.0, 1000.0)
    inner = drawing_room(large, numbers, tuple(sides))
    return large.width - inner.width, large.height - inner.height


def _clear(box: tuple, away: np.ndarray, fixed: Sequence[tuple], moved: Sequence[tuple]) -> float:
    """How far a box must go to be clear of every box in its way; of those that stand fixed so far as it is drawn out at the most."""
    axis = int(np.abs(away).argmax())
    if abs(away[axis]) < 0.5:
        return 0.0
    out = OUT * float(box[1][axis] - box[0][axis]) + BESIDE
    return max(min(_reach(box, away, axis, fixed), out), _reach(box, away, axis, moved))


def _reach(box: tuple, away: np.ndarray, axis: int, standing: Sequence[tuple]) -> float:
    """How far along an axis a box must go to be past other boxes that lie in its way."""
    if not standing:
        return 0.0
    across = [i for i in range(3) if i != axis]
    low, high = (np.array(ends) for ends in zip(*standing, strict=True))
    beside = (box[1][across] <= low[:, across] + BESIDE) | (high[:, across] <= box[0][across] + BESIDE)
    ahead = high[:, axis] - box[0][axis] if away[axis] > 0 else box[1][axis] - low[:, axis]
    return max(float(np.where(beside.any(axis=1), 0.0, ahead).max()), 0.0)


def _moved(box: tuple, by: np.ndarray | None) -> tuple:
    return box if by is None else (box[0] + by, box[1] + by)


def _around(boxes: Sequence[tuple]) -> tuple:
    return np.min([low for low, _ in boxes], axis=0), np.max([high for _, high in boxes], axis=0)
