"""Round holes that meet nothing but plain wood between their mouth and their floor, found among many shapes at once.

Such a hole, here called a bore, needs no boolean: its mouth is a ring inside one face, or two faces if it goes
through.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from ..geometry import QUANTUM
from ..model import Cut, CutOut, Hole, Pocket, Shape
from .convex import cut_out_cutters, facets

MARGIN = 1e-3  # mm of wood that a bore must keep on every side


@dataclass(frozen=True, slots=True, eq=False)
class Bores:
    """Bores along frame axes, sorted by shape; u and v are the next two axes after the bore's own."""

    shape: np.ndarray  # (b,) which of the shapes
    axis: np.ndarray  # (b,) 0, 1 or 2
    centre: np.ndarray  # (b, 2) in u and v
    radius: np.ndarray  # (b,)
    ends: np.ndarray  # (b, 2) from, to along the axis
    is_open: np.ndarray  # (b, 2) bool: a mouth, not a floor
    facets: np.ndarray  # (b,)


def bores_of(shapes: Sequence[Shape]) -> tuple[Bores, list[list[Hole]]]:
    """The bores of the shapes; and for each shape the holes that are not bores and must be cut by the general way."""
    asked = [(i, hole) for i, shape in enumerate(shapes) for hole in shape.features if isinstance(hole, Hole)]
    rest: list[list[Hole]] = [[] for _ in shapes]
    if not asked:
        nothing = np.empty(0)
        return Bores(nothing.astype(int), nothing.astype(int), np.empty((0, 2)), nothing, np.empty((0, 2)),
                     np.empty((0, 2), bool), nothing.astype(int)), rest  # fmt: skip
    holes = _Holes.of(asked, shapes)
    clean = holes.square & ~_crowded(holes) & _within_blank(holes, shapes) & _within_cuts(holes, shapes)
    clean &= _beside_cut_outs(holes, shapes)
    ends, is_open = _wood_between(holes, shapes, clean)
    clean &= is_open.any(axis=1) & (ends[:, 1] - ends[:, 0] > MARGIN)
    for number in np.flatnonzero(~clean).tolist():
        rest[asked[number][0]].append(asked[number][1])
    k = holes.axis[clean]
    at = holes.at[clean]
    here = np.arange(len(at))
    centre = np.stack((at[here, (k + 1) % 3], at[here, (k + 2) % 3]), axis=1)
    return Bores(
        holes.shape[clean], k, centre, holes.radius[clean], ends[clean], is_open[clean], holes.facets[clean]
    ), rest


@dataclass(frozen=True, slots=True, eq=False)
class _Holes:
    """All holes of all shapes as arrays."""

    shape: np.ndarray  # (h,) sorted
    at: np.ndarray  # (h, 3)
    axis: np.ndarray  # (h,) the axis it runs along
    square: np.ndarray  # (h,) bool: along a frame axis, in a shape of rectangular section
    radius: np.ndarray  # (h,)
    facets: np.ndarray  # (h,)
    low: np.ndarray  # (h, 3) of the box about its facets
    high: np.ndarray  # (h, 3)

    @classmethod
    def of(cls, asked: list[tuple[int, Hole]], shapes: Sequence[Shape]) -> _Holes:
        rows = np.array([(*hole.at, *hole.into, hole.diameter, hole.depth) for _, hole in asked])
        at, into, radius, depth = rows[:, :3], rows[:, 3:6], rows[:, 6] / 2, rows[:, 7]
        into = into / np.sqrt((into * into).sum(axis=1))[:, None]
        axis = np.abs(into).argmax(axis=1)
        straight = np.count_nonzero(into, axis=1) == 1
        number = np.array([facets(hole.diameter) for _, hole in asked])
        floor = at + depth[:, None] * into
        spread = np.where(straight[:, None], into == 0, 1 / np.cos(np.pi / number)[:, None]) * radius[:, None]
        plain = np.array([not shapes[i].section for i, _ in asked])
        low, high = np.minimum(at, floor) - spread, np.maximum(at, floor) + spread
        return cls(np.array([i for i, _ in asked]), at, axis, straight & plain, radius, number, low, high)


def pairs_of_equals(first: np.ndarray, second: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """(place in first, place in second) of all entries with the same number; both are sorted."""
    start, end = np.searchsorted(second, first), np.searchsorted(second, first, side="right")
    count = end - start
    a = np.repeat(np.arange(len(first)), count)
    return a, np.arange(len(a)) - np.repeat(np.cumsum(count) - count, count) + start[a]


def _crowded(holes: _Holes) -> np.ndarray:
    """Whether a hole comes too near another of its shape, (h,)."""
    a, b = pairs_of_equals(holes.shape, holes.shape)
    once = a < b
    a, b = a[once], b[once]
    for k in range(3):
        near = (holes.low[a, k] <= holes.high[b, k] + MARGIN) & (holes.low[b, k] <= holes.high[a, k] + MARGIN)
        a, b = a[near], b[near]
    apart = holes.at[a] - holes.at[b]
    apart[np.arange(len(a)), holes.axis[a]] = 0.0
    reach = (holes.radius[a] + holes.radius[b]) / np.cos(np.pi / np.minimum(holes.facets[a], holes.facets[b])) + MARGIN
    side_by_side = holes.square[a] & holes.square[b] & (holes.axis[a] == holes.axis[b])
    touch = ~(side_by_side & ((apart * apart).sum(axis=1) > reach * reach))
    crowded = np.zeros(len(holes.shape), bool)
    crowded[a[touch]] = crowded[b[touch]] = True
    return crowded


def _within_blank(holes: _Holes, shapes: Sequence[Shape]) -> np.ndarray:
    """Whether a hole keeps its distance from the sides of the blank that it runs along, (h,)."""
    size = np.array([shape.size for shape in shapes])[holes.shape]
    clear = (holes.low > MARGIN) & (holes.high < size - MARGIN)
    clear[np.arange(len(clear)), holes.axis] = True
    return clear.all(axis=1)


def _within_cuts(holes: _Holes, shapes: Sequence[Shape]) -> np.ndarray:
    """Whether the part of a hole inside the blank keeps its distance from every cut, (h,)."""
    clear = np.ones(len(holes.shape), bool)
    rows = [
        (i, *cut.normal, *cut.point) for i, shape in enumerate(shapes) for cut in shape.features if isinstance(cut, Cut)
    ]
    if not rows:
        return clear
    cuts = np.array(rows)
    hole, cut = pairs_of_equals(holes.shape, cuts[:, 0])
    size = np.array([shape.size for shape in shapes])[holes.shape[hole]]
    low, high = np.maximum(holes.low[hole], 0), np.minimum(holes.high[hole], size)
    normal, point = cuts[cut, 1:4], cuts[cut, 4:]
    reach = np.maximum((low - point) * normal, (high - point) * normal).sum(axis=1)
    clear[hole[reach > -MARGIN]] = False
    return clear


def _beside_cut_outs(holes: _Holes, shapes: Sequence[Shape]) -> np.ndarray:
    """Whether a hole keeps its distance from every cut-out, (h,): from the boxes around its convex pieces, to be quick."""
    clear = np.ones(len(holes.shape), bool)
    rows = [
        (i, *piece.low, *piece.high)
        for i, shape in enumerate(shapes)
        for cut_out in shape.features
        if isinstance(cut_out, CutOut)
        for piece in cut_out_cutters(cut_out, 0)
    ]
    if rows:
        pieces = np.array(rows)
        hole, piece = pairs_of_equals(holes.shape, pieces[:, 0])
        low, high = pieces[piece, 1:4], pieces[piece, 4:]
        near = ((low <= holes.high[hole] + MARGIN) & (high >= holes.low[hole] - MARGIN)).all(axis=1)
        clear[hole[near]] = False
    return clear


def _wood_between(holes: _Holes, shapes: Sequence[Shape], clean: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Where each hole begins and ends in the wood, (h, 2), and whether it is open there, (h, 2).

    A pocket may take the mouth of a hole away, or be what its floor breaks into, if the hole stands wholly within the
    pocket's sides; `clean` is made False where a pocket meets a hole in any other way.
    """
    here = np.arange(len(holes.shape))
    size = np.array([shape.size for shape in shapes])[holes.shape, holes.axis]
    ends = np.stack(
        (np.maximum(holes.low[here, holes.axis], 0), np.minimum(holes.high[here, holes.axis], size)), axis=1
    )
    is_open = np.stack((holes.low[here, holes.axis] <= 0, holes.high[here, holes.axis] >= size), axis=1)
    from_faces = np.stack((ends[:, 0], size - ends[:, 1]), axis=1)
    clean &= (is_open | (from_faces > MARGIN)).all(axis=1)
    rows = [
        (i, *map(min, pocket.low, pocket.high), *map(max, pocket.low, pocket.high))
        for i, shape in enumerate(shapes)
        for pocket in shape.features
        if isinstance(pocket, Pocket)
    ]
    if rows:
        _opened_by_pockets(holes, np.array(rows), ends, is_open, clean)
    return ends, is_open


def _opened_by_pockets(
    holes: _Holes, pockets: np.ndarray, ends: np.ndarray, is_open: np.ndarray, clean: np.ndarray
) -> None:
    """Shorten holes by what pockets take of them, mark the mouths that come of it, strike off what is not plain."""
    hole, pocket = pairs_of_equals(holes.shape, pockets[:, 0])
    low, high = pockets[pocket, 1:4], pockets[pocket, 4:]
    along = np.arange(3) == holes.axis[hole][:, None]
    apart = ((low > holes.high[hole] + MARGIN) | (high < holes.low[hole] - MARGIN)).any(axis=1)
    hole, low, high, along = hole[~apart], low[~apart], high[~apart], along[~apart]
    around = (along | ((low < holes.low[hole] - MARGIN) & (high > holes.high[hole] + MARGIN))).all(axis=1)
    alone = np.bincount(hole, minlength=len(clean))[hole] == 1
    floor, roof = low[along], high[along]
    takes_start, takes_end = floor <= ends[hole, 0], roof >= ends[hole, 1]
    plain = around & alone & (takes_start != takes_end)
    clean[hole[~plain]] = False
    for side, takes, to, inward in ((0, takes_start, roof, 1), (1, takes_end, floor, -1)):
        which = plain & takes
        membrane = which & ((to - ends[hole, side]) * inward < -QUANTUM)
        clean[hole[membrane]] = False
        ends[hole[which], side], is_open[hole[which], side] = to[which], True
