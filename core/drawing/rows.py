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
        near = seen.front[hiding.mouths.face]
        rim = np.where(np.append(near, False)[hiding.edge_mouth], hiding.edge_mouth, -1)  # the mouth it surrounds
        outside = (hiding.edge_cavity < 0) | (rim >= 0)
        outer = np.flatnonzero(alive & outside)
        shells = len(hiding.convex)
        group = np.where(rim[outer] < 0, hiding.face_shell[scene.edge_faces[outer, 0]], shells + rim[outer])

        inner, mouth = _through_mouths(hiding, alive & ~outside, near)
        ends = seen.points[scene.edges[inner]]
        low, high = clipped(ends[:, 0], ends[:, 1], np.arange(len(inner)), mouth_views(hiding, seen), mouth)
        some = low < high
        group = np.concatenate((group, shells + mouth[some]))
        order = np.argsort(group, kind="stable")
        edge = np.concatenate((outer, inner[some]))[order]
        start = np.concatenate((np.zeros(len(outer)), low[some]))[order]
        end = np.concatenate((np.ones(len(outer)), high[some]))[order]

        ends = scene.edges[edge]
        one, other = seen.coordinates[:, ends[:, 0]], seen.coordinates[:, ends[:, 1]]
        number = owners(scene, hiding)
        own = np.append(np.where(hiding.convex, number[hiding.shell_faces], -1), number[hiding.mouths.face])
        blocks, groups, numbers = _blocks(group[order])
        return cls(
            edge=edge,
            start=start,
            end=end,
            tail=seen.points[ends[:, 0]],
            head=seen.points[ends[:, 1]],
            boxes=Boxes(np.minimum(one, other), np.maximum(one, other)),
            blocks=blocks,
            groups=groups,
            spared=own[numbers],
        )


def _through_mouths(hiding: Occluders, chosen: np.ndarray, near: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The chosen edges of cavities, (e,) bool, each with every mouth toward the viewer: (edge, mouth)."""
    mouths = np.flatnonzero(near)
    which, place = spread(hiding.cavity_edge_starts, hiding.mouth_cavity[mouths])
    edge = hiding.cavity_edges[place]
    kept = chosen[edge]
    return edge[kept], mouths[which[kept]]


def _blocks(group: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Sorted numbers of groups parted into blocks: (starts of blocks, starts of groups among these, the numbers)."""
    first = np.flatnonzero(np.diff(group, prepend=-1))
    place = np.arange(len(group)) - np.repeat(first, np.diff(first, append=len(group)))
    blocks = np.flatnonzero(place % TOGETHER == 0)
    groups = np.append(np.flatnonzero(place[blocks] == 0), len(blocks))
    return np.append(blocks, len(group)), groups, group[first]
