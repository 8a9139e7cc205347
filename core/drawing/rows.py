"""The edges to be tested in one view, how far each, and in what company."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .occluders import FLAT, Occluders
from .runs import spread
from .scene import Scene
from .shadows import END_ON, Projection, mouth_views, owners
from .volumes import Boxes, clipped

TOGETHER = 8  # edges of one group that are first looked at together


@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """Which edges a view could show, hidden or not, and how."""

    outline: np.ndarray  # (e,) bool: one of the edge's faces looks toward the viewer, the other does not
    shown: np.ndarray  # (e,) bool: marked, or an outline
    alive: np.ndarray  # (e,) bool: shown, and not hidden by the very solid around it

    @classmethod
    def of(cls, scene: Scene, hiding: Occluders, seen: Projection) -> Drawn:
        """The edges of a scene in a view."""
        left, right = seen.front[scene.edge_faces].T
        step = seen.points[scene.edges[:, 1], :2] - seen.points[scene.edges[:, 0], :2]
        outline = left != right
        shown = (scene.marked | outline) & (np.hypot(step[:, 0], step[:, 1]) > END_ON)
        return cls(outline, shown, shown & (left | right) & ~(outline & (hiding.bend < -FLAT)))


@dataclass(frozen=True, slots=True, eq=False)
class Rows:
    """Edges to be tested: those in a cavity once for each mouth that shows them, and only as far as it does.

    Rows of one group, an outer shell's or those at one mouth, stand together, and within it in blocks.
    """

    edge: np.ndarray  # (r,)
    start: np.ndarray  # (r,) fractions of the edge
    end: np.ndarray  # (r,)
    tail: np.ndarray  # (r, 3) of the edge, in the view's coordinates
    head: np.ndarray  # (r, 3)
    boxes: Boxes  # (r,)
    blocks: np.ndarray  # (b + 1,) starts of blocks among rows
    groups: np.ndarray  # (g + 1,) starts of groups among blocks
    spared: np.ndarray  # (g,) the owner whose shadows do not touch the group, −1 for none

    @classmethod
    def of(cls, scene: Scene, hiding: Occluders, seen: Projection, alive: np.ndarray) -> Rows:
        """The rows of the living edges, (e,) bool."""
        edge, start, end, group = _by_group(scene, hiding, seen, alive)
        blocks, groups, numbers = _blocks(group)
        ends = scene.edges[edge]
        one, other = seen.coordinates[:, ends[:, 0]], seen.coordinates[:, ends[:, 1]]
        return cls(
            edge=edge,
            start=start,
            end=end,
            tail=seen.points[ends[:, 0]],
            head=seen.points[ends[:, 1]],
            boxes=Boxes(np.minimum(one, other), np.maximum(one, other)),
            blocks=blocks,
            groups=groups,
            spared=_spared(scene, hiding)[numbers],
        )


def _by_group(
    scene: Scene, hiding: Occluders, seen: Projection, alive: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """The living edges as rows: (edge, from, to, group), by rising group: the shells, then the mouths."""
    near = seen.front[hiding.mouths.face]
    rim = np.where(np.append(near, False)[hiding.edge_mouth], hiding.edge_mouth, -1)  # the mouth an edge surrounds
    outside = (hiding.edge_cavity < 0) | (rim >= 0)
    outer = np.flatnonzero(alive & outside)
    inner, mouth, low, high = _through_mouths(scene, hiding, seen, alive & ~outside)
    shells, shell = len(hiding.convex), hiding.face_shell[scene.edge_faces[outer, 0]]
    group = np.concatenate((np.where(rim[outer] < 0, shell, shells + rim[outer]), shells + mouth))
    order = np.argsort(group, kind="stable")
    edge = np.concatenate((outer, inner))
    start, end = np.concatenate((np.zeros(len(outer)), low)), np.concatenate((np.ones(len(outer)), high))
    return edge[order], start[order], end[order], group[order]


def _through_mouths(
    scene: Scene, hiding: Occluders, seen: Projection, chosen: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """The chosen edges of cavities, (e,) bool, as far as a mouth shows them: (edge, mouth, from, to)."""
    near = np.flatnonzero(seen.front[hiding.mouths.face])
    which, place = spread(hiding.cavity_edge_starts, hiding.mouth_cavity[near])
    edge, mouth = hiding.cavity_edges[place], near[which]
    edge, mouth = edge[chosen[edge]], mouth[chosen[edge]]
    ends = seen.points[scene.edges[edge]]
    low, high = clipped(ends[:, 0], ends[:, 1], np.arange(len(edge)), mouth_views(hiding, seen), mouth)
    some = low < high
    return edge[some], mouth[some], low[some], high[some]


def _spared(scene: Scene, hiding: Occluders) -> np.ndarray:
    """For every group, shells and mouths, the owner whose shadows do not touch it: a convex shell's own, a mouth's."""
    number = owners(scene, hiding)
    own = np.where(hiding.convex, number[hiding.shell_faces], -1)
    return np.append(own, number[hiding.mouths.face])


def _blocks(group: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Sorted numbers of groups parted into blocks: (starts of blocks, starts of groups among these, the numbers)."""
    first = np.flatnonzero(np.diff(group, prepend=-1))
    place = np.arange(len(group)) - np.repeat(first, np.diff(first, append=len(group)))
    blocks = np.flatnonzero(place % TOGETHER == 0)
    groups = np.append(np.flatnonzero(place[blocks] == 0), len(blocks))
    return np.append(blocks, len(group)), groups, group[first]
