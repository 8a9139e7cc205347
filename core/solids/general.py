"""Convex pieces less convex cutters as closed solids, whatever way they meet; many solids at once.

Every edge of the result lies on a line where two planes of the given solids cross. So each such line is divided where a
solid begins or ends, and each stretch is decided once, by looking around it: the planes through it part the space about
it into sectors, and a face starts wherever a sector of wood borders on a sector of air. What two faces share is thus
one edge from the start; nothing has to be sewn together, and coplanar faces of different solids are one face without
further ado.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .convex import Convex
from .faces import Outlines
from .side_by_side import Neighbours, Solids, side_by_side
from .stretches import Stretches, stretches_of


def outlines_of(jobs: Sequence[Sequence[Convex]], tolerance: float) -> Outlines:
    """The edges of each job's wood less its cutters; points within `tolerance` (mm) of each other are one."""
    solids = side_by_side(jobs, tolerance)
    near = Neighbours.of(solids, tolerance)
    vertices, stretches = stretches_of(solids, near, tolerance)
    touch = _Touch.of(solids, near, stretches, tolerance)
    line, left, right, furrow = _wedges(touch, stretches)
    return Outlines(
        vertices=vertices,
        ends=stretches.ends[line],
        left=left.plane * 2 + left.looks_back,
        right=right.plane * 2 + right.looks_back,
        smooth=(left.surface == right.surface) & (left.surface >= 0),
        furrow=furrow,
        normals=np.stack((solids.plane_normal, -solids.plane_normal), axis=1).reshape(-1, 3) + 0.0,
        job=np.repeat(solids.plane_job, 2),
    )


@dataclass(frozen=True, slots=True, eq=False)
class _HalfPlanes:
    """Faces that start at a stretch: plane, whether the air is against its normal, the round it belongs to."""

    plane: np.ndarray
    looks_back: np.ndarray
    surface: np.ndarray

    def __getitem__(self, which: np.ndarray) -> _HalfPlanes:
        return _HalfPlanes(self.plane[which], self.looks_back[which], self.surface[which])

    @classmethod
    def together(cls, some: Sequence[_HalfPlanes]) -> _HalfPlanes:
        """Several one after another."""
        return cls(*(np.concatenate([getattr(each, name) for each in some]) for name in cls.__slots__))


@dataclass(frozen=True, slots=True, eq=False)
class _Touch:
    """Which solids touch or hold each stretch that may be an edge, and which of their planes it lies in."""

    solids: Solids
    stretch: np.ndarray  # (p,) sorted
    solid: np.ndarray  # (p,)
    pair: np.ndarray  # (h,) sorted numbers of pairs (stretch, solid) one of whose planes holds the stretch …
    slot: np.ndarray  # (h,) … and which plane of the solid

    @classmethod
    def of(cls, solids: Solids, near: Neighbours, stretches: Stretches, tolerance: float) -> _Touch:
        slack = 2 * tolerance
        everyone = np.arange(len(stretches.solid))
        stretch, solid = near.about(stretches.solid)
        stretch, solid = np.concatenate((everyone, stretch)), np.concatenate((stretches.solid, solid))
        order = np.argsort(stretch, kind="stable")
        stretch, solid = stretch[order], solid[order]
        middle = stretches.middle[stretch]
        touch = ((middle >= solids.low[solid] - slack) & (middle <= solids.high[solid] + slack)).all(axis=1)
        stretch, solid, middle = stretch[touch], solid[touch], middle[touch]
        inside, held = np.empty(len(solid), bool), np.zeros((len(solid), solids.normals.shape[1]), bool)
        for rows, breadth in solids.by_breadth(solid):
            of = solid[rows]
            height = np.einsum("pmi,pi->pm", solids.normals[of, :breadth], middle[rows]) - solids.offsets[of, :breadth]
            inside[rows] = height.max(axis=1) <= slack
            held[rows, :breadth] = height >= -slack
        stretch, solid, held = stretch[inside], solid[inside], held[inside]
        wooded, drowned = np.zeros((2, len(everyone)), bool)
        wooded[stretch[solids.wood[solid]]] = True
        drowned[stretch[~solids.wood[solid] & ~held.any(axis=1)]] = True
        keep = (wooded & ~drowned)[stretch]
        return cls(solids, stretch[keep], solid[keep], *np.nonzero(held[keep]))


@dataclass(frozen=True, slots=True, eq=False)
class _Sheaves:
    """The distinct planes through each stretch, sorted by their angle about it in [0, π)."""

    stretch: np.ndarray
    plane: np.ndarray
    surface: np.ndarray
    angle: np.ndarray

    @classmethod
    def of(cls, touch: _Touch, stretches: Stretches) -> _Sheaves:
        stretch, solid = touch.stretch[touch.pair], touch.solid[touch.pair]
        plane, surface = touch.solids.plane[solid, touch.slot], touch.solids.surface[solid, touch.slot]
        order = np.lexsort((-surface, plane, stretch))
        stretch, plane, surface = stretch[order], plane[order], surface[order]
        new = np.ones(len(stretch), bool)
        new[1:] = (stretch[1:] != stretch[:-1]) | (plane[1:] != plane[:-1])
        stretch, plane, surface = stretch[new], plane[new], surface[new]
        leaning = np.einsum("hki,hi->kh", stretches.across[stretch], touch.solids.plane_normal[plane])
        angle = np.arctan2(leaning[0], -leaning[1]) % np.pi
        angle[angle > np.pi - 1e-12] = 0.0
        order = np.lexsort((angle, stretch))
        return cls(stretch[order], plane[order], surface[order], angle[order])


def _wedges(touch: _Touch, stretches: Stretches) -> tuple[np.ndarray, _HalfPlanes, _HalfPlanes, np.ndarray]:
    """(stretch, face at its left hand, face at its right hand, whether it is a furrow) of every wedge that is not flat."""
    sheaves = _Sheaves.of(touch, stretches)
    rows, start, count = np.unique(sheaves.stretch, return_index=True, return_counts=True)
    found = [
        _wedges_of(touch, stretches, sheaves, rows[count == number], start[count == number], number)
        for number in range(2, int(count.max(initial=1)) + 1)
    ]
    if not found:
        nothing = np.empty(0, int)
        return (
            nothing,
            _HalfPlanes(nothing, nothing, nothing),
            _HalfPlanes(nothing, nothing, nothing),
            nothing.astype(bool),
        )
    lines, lefts, rights, furrows = zip(*found, strict=True)
    return np.concatenate(lines), _HalfPlanes.together(lefts), _HalfPlanes.together(rights), np.concatenate(furrows)


def _wedges_of(
    touch: _Touch, stretches: Stretches, sheaves: _Sheaves, rows: np.ndarray, start: np.ndarray, count: int
) -> tuple[np.ndarray, _HalfPlanes, _HalfPlanes, np.ndarray]:
    """The same for the stretches `rows`, the space about each parted into sectors by `count` planes."""
    place = start[:, None] + np.arange(2 * count) % count
    turned = sheaves.angle[place] + np.repeat((0.0, np.pi), count)
    middle = (turned + np.roll(turned, -1, axis=1)) / 2
    middle[:, -1] += np.pi
    wood = _is_wood(touch, stretches, rows, middle)
    earlier = np.roll(wood, 1, axis=1)
    row, begin, end, furrowed = _paired(wood & ~earlier, ~wood & earlier, sheaves.plane[place])
    across, faces = stretches.across[rows[row]], []
    for at, is_end in ((end, True), (begin, False)):
        angle, sheaf = turned[row, at], place[row, at]
        plane = sheaves.plane[sheaf]
        u, v = np.einsum("hki,hi->kh", across, touch.solids.plane_normal[plane])
        looks_on = np.cos(angle) * v - np.sin(angle) * u > 0  # the way the angle grows
        faces.append(_HalfPlanes(plane, (looks_on != is_end).astype(int), sheaves.surface[sheaf]))
    bent = faces[0].plane != faces[1].plane
    return rows[row][bent], faces[0][bent], faces[1][bent], furrowed[bent]


def _is_wood(touch: _Touch, stretches: Stretches, rows: np.ndarray, middle: np.ndarray) -> np.ndarray:
    """Whether there is wood in the direction of each angle about each stretch, counted from u toward v, (r, w)."""
    row = np.full(len(stretches.solid), -1)
    row[rows] = np.arange(len(rows))
    at = row[touch.stretch]
    asked = at[touch.pair] >= 0
    pair, slot = touch.pair[asked], touch.slot[asked]
    normals, here = touch.solids.normals[touch.solid[pair], slot], at[pair]
    u, v = np.einsum("hki,hi->kh", stretches.across[rows[here]], normals)[:, :, None]
    beyond = np.cos(middle)[here] * u + np.sin(middle)[here] * v >= 0
    blocked = np.zeros((len(at), middle.shape[1]), bool)
    if len(pair):
        first = np.flatnonzero(np.diff(pair, prepend=-1))
        blocked[pair[first]] = np.logical_or.reduceat(beyond, first, axis=0)
    of_wood = touch.solids.wood[touch.solid]
    return _any_of(at, of_wood, ~blocked, len(rows)) & ~_any_of(at, ~of_wood, ~blocked, len(rows))


def _any_of(row: np.ndarray, chosen: np.ndarray, values: np.ndarray, count: int) -> np.ndarray:
    """For each row whether any chosen line of values that belongs to it is true; `row` is sorted but for −1."""
    out = np.zeros((count, values.shape[1]), bool)
    which = np.flatnonzero(chosen & (row >= 0))
    if len(which):
        first = np.flatnonzero(np.diff(row[which], prepend=-1))
        out[row[which][first]] = np.logical_or.reduceat(values[which], first, axis=0)
    return out


def _paired(opens: np.ndarray, closes: np.ndarray, plane: np.ndarray) -> tuple[np.ndarray, ...]:
    """(row, slot where wood begins, slot where wood ends, whether furrowed) of faces that share an edge.

    Beginnings and ends alternate in every row. Turning about the line, wood that begins and ends again is one wedge, and its faces share the edge. Where two
    wedges touch at the line and a plane face runs on past both, they are better taken for one wood with a furrow in
    that face's back.
    """
    row, begin = np.nonzero(opens)
    _, end = np.nonzero(closes)
    if not len(row):
        return row, begin, end, np.zeros(0, bool)
    first, total = np.searchsorted(row, row), np.bincount(row)[row]  # ends have the same rows
    ahead = end[first] < begin[first]  # the count of slots starts inside a wedge: ends run one ahead
    rank = np.arange(len(row)) - first + ahead
    following, preceding = end[first + rank % total], end[first + (rank - 1) % total]
    runs_on = (total > 1) & (plane[row, preceding] == plane[row, begin])
    furrowed = np.zeros(len(opens), bool)
    furrowed[row[runs_on]] = True
    return row, begin, np.where(furrowed[row], preceding, following), furrowed[row]
