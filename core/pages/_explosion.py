"""An assembly taken apart for a sheet: which way to look, how far apart, at which scale, what is seen of each part."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from ..drawing.explode import directions_apart, shown_alone, within
from ..drawing.hidden_lines import Drawable
from ..drawing.hidden_lines import Lines as SeenLines
from ..drawing.page import Rect, RoomError
from ..drawing.scales import SCALES, Scale
from ..drawing.sight import Sight
from ..drawing.views import View
from ..meshes import model_meshes
from ..model import Fastener, Fitting, Model, Part
from ..wording import sideless

VIEWS = {  # the names say where the viewer stands
    "from the front right, above": View.named("iso"),
    "from the front left, above": View.toward((-1.0, -1.0, 1.0)),
}
FLATTER = {  # dimetric, ISO 5456-3: the depth takes up half as much paper, and less of it stands before what is behind
    "from the front and somewhat from the right, above": View.named("dimetric"),
    "from the front and somewhat from the left, above": View.toward((-1.0, -math.sqrt(7.0), 1.0)),
}
LYING = {  # a tall carcass laid on its back, as it is glued up
    "on its back, from the right and the foot": View.toward((1.0, -1.0, -1.0), (0.0, -1.0, 0.0)),
}
TALL = 1.3  # times as high as wide: what is so tall, and small on the sheet, is tried lying
FINE = 1 / 10  # the scale below which it is tried in other views
COARSE = 1 / 20  # the scale below which it is enough to see one of equal parts, and that less well
GAP_ON_PAPER = (5.0, 75.0)  # mm between what has come apart, least and most
LARGEST = Scale(1, 2)
NARROWER = 0.95  # by which a gap is made less until all fits
STEP = 0.5  # mm; gaps are multiples of it
WELL_SEEN = 0.75  # share of a part's outline from which more room shows little more
SEEN_ENOUGH = 0.4  # share of a part's outline by which it is told
CLOSER = (0.25, 0.4, 0.65)  # shares of the widest gap that are tried, the closest that shows all parts well is taken


@dataclass(frozen=True, eq=False)
class Subject:
    """What one sheet takes apart: an assembly with the smaller ones that stay together on it."""

    model: Model  # its parts and fittings alone
    below: str
    wholes: frozenset[str]
    alike: bool = False  # it is enough that one of equal or mirrored parts is seen, and that less well

    @classmethod
    def of(cls, model: Model, below: str, wholes: Iterable[str]) -> Subject:
        """The subject of a sheet about one assembly of a model."""
        return cls(shown_alone(model, set(within(model, below))), below, frozenset(wholes))

    @cached_property
    def keys(self) -> tuple[str, ...]:
        """Of all parts and fittings, in the order of the meshes."""
        return tuple(self.meshes)

    @cached_property
    def meshes(self) -> dict:
        """Of all parts and fittings, where they stand in the piece."""
        return model_meshes(self.model)

    @cached_property
    def drawable(self) -> Drawable:
        """All of it, ready to be drawn."""
        return Drawable.of(list(self.meshes.values()))

    @cached_property
    def boxes(self) -> dict[str, tuple[np.ndarray, np.ndarray]]:
        """Around every part and fitting."""
        return {key: (mesh.vertices.min(0), mesh.vertices.max(0)) for key, mesh in self.meshes.items()}

    @cached_property
    def member_of(self) -> dict[str, str]:
        """What each part and fitting moves with on this sheet: an assembly that stays together, or itself."""
        found = {key: key for key in self.keys}
        for whole in self.wholes:
            found |= dict.fromkeys((key for key in within(self.model, whole) if key in found), whole)
        return found

    @cached_property
    def loose_parts(self) -> tuple[Part, ...]:
        """The parts that are shown one by one."""
        return tuple(part for part in self.model.parts if self.member_of[part.key] == part.key)

    @cached_property
    def loose_fittings(self) -> tuple[Fitting, ...]:
        """The fittings that are shown one by one."""
        return tuple(each for each in self.model.fittings if self.member_of[each.key] == each.key)

    @cached_property
    def fasteners(self) -> tuple[Fastener, ...]:
        """What holds the members together."""
        return tuple(
            each
            for each in self.model.fasteners
            if all(key in self.member_of for key in each.parts) and len({self.member_of[key] for key in each.parts}) > 1
        )

    def judged(self, shares: Mapping[str, float]) -> list[float]:
        """The shares by which a picture of it is judged: of every loose part or, `alike`, of the best seen of equal or mirrored ones."""
        if not self.alike:
            return [shares[part.key] for part in self.loose_parts]
        best: dict[tuple, float] = {}
        for part in self.loose_parts:
            same = (sideless(part.name), part.size)
            best[same] = max(shares[part.key], best.get(same, 0.0))
        return [*best.values()]

    @property
    def enough(self) -> float:
        """The share of a part's outline below which a smaller scale, with wider gaps, is worth it."""
        return SEEN_ENOUGH / 2 if self.alike else SEEN_ENOUGH

    @property
    def is_tall(self) -> bool:
        """Whether it is much higher than wide or deep."""
        low, high = (np.array(ends) for ends in zip(*self.boxes.values(), strict=True))
        size = high.max(0) - low.min(0)
        return bool(size[2] > TALL * size[:2].max())

    def moves(self, gap: float) -> np.ndarray:
        """How far each part and fitting has moved, (n, 3) mm, in the order of `keys`."""
        found = directions_apart(self.model, gap, self.below, self.wholes, self.boxes)
        return np.array([found[key] for key in self.keys])


@dataclass(frozen=True, eq=False)
class Apart:
    """A subject taken apart, seen from a view, to be drawn at a scale."""

    subject: Subject
    view: View
    view_name: str
    scale: Scale
    moves: np.ndarray  # (n, 3) mm, in the order of the subject's keys

    @cached_property
    def drawable(self) -> Drawable:
        """The solids where they have moved to."""
        return self.subject.drawable.moved(self.moves)

    @cached_property
    def lines(self) -> SeenLines:
        """What is seen."""
        return self.drawable.lines(self.view)

    @cached_property
    def sight(self) -> Sight:
        """What stands where on the sheet."""
        return Sight.of(self.drawable, self.view)

    @cached_property
    def shares(self) -> dict[str, float]:
        """How much of the outline of each part and fitting is seen, from 0 to 1."""
        return dict(zip(self.subject.keys, self.drawable.outline_shares(self.view).tolist(), strict=True))

    @property
    def least_share(self) -> float:
        """Of the part that is seen least, of those that it is judged by."""
        return min(self.subject.judged(self.shares), default=1.0)

    @cached_property
    def move_of(self) -> Mapping[str, np.ndarray]:
        """How far each part and fitting has moved, by key."""
        return dict(zip(self.subject.keys, self.moves, strict=True))


def best_apart(subject: Subject, rooms: Sequence[Rect]) -> tuple[Apart, int]:
    """The subject as large as shows every part well in the room where that works best; which room that is.

    Raises RoomError when it fits at no scale.
    """
    best = _best(subject, rooms, VIEWS, None)
    for others in (FLATTER, LYING if subject.is_tall else {}):
        if best is None or best.apart.scale.ratio < FINE:
            best = _best(subject, rooms, others, best)
    if best is None or best.apart.scale.ratio < COARSE:
        best = _best(replace(subject, alike=True), rooms, VIEWS | FLATTER, None) or best
    if best is None:
        raise RoomError(f"assembly {subject.below} is too large to be shown apart on a sheet")
    return _closer(best.apart, best.gap), best.room


@dataclass(frozen=True, slots=True, eq=False)
class _Found:
    """A way to show a subject, what it is worth, in which room, and with what gap."""

    worth: tuple
    apart: Apart
    room: int
    gap: float


def _best(subject: Subject, rooms: Sequence[Rect], views: Mapping[str, View], best: _Found | None) -> _Found | None:
    """The best of the views, and of what is known already."""
    for name, view in views.items():
        spread = _Spread.of(subject, view)
        for number, room in enumerate(rooms):
            for scale, gap in spread.fitting(room):
                if best and _is_good_enough(best.apart, scale):
                    break
                apart = Apart(subject, view, name, scale, subject.moves(gap))
                if best is None or _worth(apart) > best.worth:
                    best = _Found(_worth(apart), apart, number, gap)
                if apart.least_share >= subject.enough:
                    break
    return best


def _is_good_enough(best: Apart, scale: Scale) -> bool:
    """Whether another way at this scale, or a smaller one, would show no part noticeably better."""
    least = best.least_share
    return (least >= best.subject.enough and scale.ratio < best.scale.ratio) or (
        least >= WELL_SEEN and scale.ratio <= best.scale.ratio
    )


# --------------------------------------------------------------------------------------------- scales, gaps and views
@dataclass(frozen=True, eq=False)
class _Spread:
    """How large a subject is on the sheet for any gap: its parts move in proportion to the gap, nearly."""

    subject: Subject
    view: View
    low: np.ndarray  # (n, 2) corners of each part's picture where it stands, mm of the piece
    high: np.ndarray
    start: np.ndarray  # (n, 2) where they move to with hardly a gap
    slope: np.ndarray  # (n, 2) and how much farther for each mm of it

    @classmethod
    def of(cls, subject: Subject, view: View) -> _Spread:
        pictures = [view.project(mesh.vertices) for mesh in subject.meshes.values()]
        first, second = 10.0, 510.0
        near, far = (view.project(subject.moves(gap)) for gap in (first, second))
        slope = (far - near) / (second - first)
        return cls(
            subject,
            view,
            np.array([p.min(0) for p in pictures]),
            np.array([p.max(0) for p in pictures]),
            near - first * slope,
            slope,
        )

    def size(self, gap: float) -> np.ndarray:
        """Width and height, mm of the piece."""
        return self._size(self.start + gap * self.slope)

    def _size(self, shift: np.ndarray) -> np.ndarray:
        return (self.high + shift).max(0) - (self.low + shift).min(0)

    def _fits(self, gap: float, ratio: float, paper: np.ndarray) -> bool:
        """Whether it does with the parts moved as they are, not only nearly so."""
        return bool((self._size(self.view.project(self.subject.moves(gap))) * ratio <= paper + 1e-6).all())

    def fitting(self, room: Rect) -> Iterator[tuple[Scale, float]]:
        """The scales at which it fits, the largest first, each with the widest gap that does."""
        paper = np.array((room.width, room.height))
        for scale in SCALES[SCALES.index(LARGEST) :]:
            least, most = (gap / scale.ratio for gap in GAP_ON_PAPER)
            if (self.size(least) * scale.ratio > paper).any():
                continue
            for _ in range(20):
                middle = (least + most) / 2
                if (self.size(middle) * scale.ratio > paper).any():
                    most = middle
                else:
                    least = middle
            gap = float(np.floor(least / STEP) * STEP)  # the same on every machine
            while gap * scale.ratio > GAP_ON_PAPER[0] and not self._fits(gap, scale.ratio, paper):
                gap = float(np.floor(gap * NARROWER / STEP) * STEP)
            if self._fits(gap, scale.ratio, paper):
                yield scale, gap


def _closer(apart: Apart, widest: float) -> Apart:
    """The same with the closest gap that shows all parts as good as the widest does."""
    wanted = min(WELL_SEEN, apart.least_share - 0.02)
    for share in CLOSER:
        gap = share * widest
        if gap * apart.scale.ratio >= GAP_ON_PAPER[0] * 1.5:
            closer = replace(apart, moves=apart.subject.moves(gap))
            if closer.least_share >= wanted:
                return closer
    return apart


def _worth(apart: Apart) -> tuple:
    """What makes one way to show a subject the better: all parts seen enough, then the scale, then how well."""
    shares = apart.subject.judged(apart.shares)
    mean = sum(shares) / len(shares) if shares else 1.0
    least = apart.least_share
    return (
        round(min(least, apart.subject.enough), 2),
        apart.scale.ratio,
        round(min(least, WELL_SEEN), 1),
        round(mean, 2),
    )
