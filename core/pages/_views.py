"""A model seen from one direction, as lines of two widths that can be placed on a sheet at any scale."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from ..drawing.hidden_lines import Drawable, Kind
from ..drawing.hidden_lines import Lines as SeenLines
from ..drawing.page import Item, Lines, Rect
from ..drawing.sight import NOTHING, Sight
from ..drawing.views import View
from ..geometry import Placement, vector
from ..kept import kept
from ..meshes import model_meshes
from ..model import Fitting, Model, Motion, Part

OUTLINE, INNER = 0.35, 0.18  # mm; the line group for much detail on a small sheet; ISO 128-2, from memory
STEP = 1.5  # mm; a part that stands less than this before what is beside it is flush with it: the seam is a narrow line
BESIDE = 0.6  # mm of the piece at which what lies beside a line is looked at


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """What of a model is seen: wide and narrow lines, (k, 2, 2) in mm of the piece, and the rectangle around them."""

    wide: np.ndarray
    narrow: np.ndarray
    box: Rect

    def items(self, x: float, y: float, scale: float) -> tuple[Item, ...]:
        """The drawing with the origin of the piece at (x, y) on paper."""
        place = np.array((x, y))
        some = ((self.narrow, INNER), (self.wide, OUTLINE))
        return tuple(Lines(_segments(points * scale + place), width) for points, width in some if len(points))


@kept
def drawn_view(model: Model, view: View) -> Drawn:
    """All of a model that has any part or fitting, seen from a direction, hidden lines removed."""
    return drawn(_drawable(model), view)


@kept
def _drawable(model: Model) -> Drawable:
    return Drawable.of(list(model_meshes(model).values()))


def drawn(drawable: Drawable, view: View, lines: SeenLines | None = None) -> Drawn:
    """Solids seen from a direction; `lines` are their visible lines where they are known already."""
    lines = drawable.lines(view) if lines is None else lines
    outline = np.flatnonzero(lines.kind == Kind.SILHOUETTE)
    outline = outline[~_flush(Sight.of(drawable, view), lines.points[outline])]
    wide = np.zeros(len(lines), bool)
    wide[outline] = True
    low, high = lines.points.reshape(-1, 2).min(0), lines.points.reshape(-1, 2).max(0)
    box = Rect(float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1]))
    return Drawn(lines.points[wide], lines.points[~wide], box)


def without(model: Model, left_off: Iterable[str]) -> Model:
    """The model without some of its parts and fittings."""
    gone = set(left_off)
    return Model(
        name=model.name,
        overall=model.overall,
        carcass=model.carcass,
        parts=tuple(part for part in model.parts if part.key not in gone),
        fittings=tuple(fitting for fitting in model.fittings if fitting.key not in gone),
    )


def opened(model: Model, share: float) -> Model:
    """The model with its doors swung and its drawers drawn out by a share of their reach."""
    turns: dict[str, Callable[[Placement], Placement]] = {}
    for motion in model.motions:
        turns |= dict.fromkeys(motion.half, _turn(motion, share / 2)) | dict.fromkeys(
            motion.moves, _turn(motion, share)
        )

    def place(thing: Part | Fitting) -> Placement:
        return turns[thing.key](thing.place) if thing.key in turns else thing.place

    return replace(
        without(model, ()),
        parts=tuple(replace(part, place=place(part)) for part in model.parts),
        fittings=tuple(replace(fitting, place=place(fitting)) for fitting in model.fittings),
    )


@kept
def boxes_of(model: Model) -> Mapping[str, tuple[np.ndarray, np.ndarray]]:
    """The corners, low and high, of the box around every part and fitting, by key."""
    return {key: (mesh.vertices.min(0), mesh.vertices.max(0)) for key, mesh in model_meshes(model).items()}


# ------------------------------------------------------------------------------------------------------------ helpers
def _turn(motion: Motion, share: float) -> Callable[[Placement], Placement]:
    """How a motion, gone so far, changes the place of what it moves."""
    axis, through = np.array(motion.axis), np.array(motion.through)
    if motion.kind == "travel":
        return lambda place: place.moved(vector(*(axis * motion.reach * share)))
    angle = math.radians(motion.reach * share)

    def turned(direction: np.ndarray) -> np.ndarray:
        """By the right hand about the axis: Rodrigues' formula."""
        along = axis * (axis @ direction)
        return along + math.cos(angle) * (direction - along) + math.sin(angle) * np.cross(axis, direction)

    def swung(place: Placement) -> Placement:
        origin = through + turned(np.array(place.origin) - through)
        x, y = (tuple(map(float, turned(np.array(each)))) for each in (place.x, place.y))
        return Placement(vector(*origin), x, y)

    return swung


def _flush(sight: Sight, points: np.ndarray) -> np.ndarray:
    """Which lines have wood close behind one another on both sides, (k,): joints between parts that lie flush."""
    if not len(points):
        return np.zeros(0, bool)
    along = points[:, 1] - points[:, 0]
    across = np.stack((-along[:, 1], along[:, 0]), axis=1)
    across *= (BESIDE / np.hypot(along[:, 0], along[:, 1]))[:, None]
    middles = points.mean(axis=1)
    (first, near), (second, far) = (sight.seen_at(middles + way * across) for way in (1, -1))
    both = (first != NOTHING) & (second != NOTHING)
    return both & (np.abs(np.where(both, near, 0.0) - np.where(both, far, 0.0)) < STEP)


def _segments(points: np.ndarray) -> tuple[tuple[float, float, float, float], ...]:
    return tuple(map(tuple, points.reshape(-1, 4).tolist()))
