"""The lines of solids that a viewer sees, exactly, as line segments on the sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from ..solids.mesh import Mesh
from .intervals import SHORTEST, gaps, uncovered
from .occluders import FLAT, Occluders, occluders
from .runs import between, spread
from .scene import Scene
from .shadows import END_ON, Projection, mouth_views, owners, shadows, windows
from .views import View
from .volumes import Boxes, Volumes, clipped, meeting, met, within


class Kind(IntEnum):
    """What a line is to the viewer."""

    SILHOUETTE = 0  # seen, and the solid turns away there
    VISIBLE = 1  # seen, with both faces that meet in it
    HIDDEN = 2


@dataclass(frozen=True, slots=True, eq=False)
class Lines:
    """k straight lines on the sheet and where each comes from."""

    points: np.ndarray  # (k, 2, 2) float64: two ends, right and up, mm; the origin of the piece is (0, 0)
    solid: np.ndarray  # (k,) the mesh
    edge: np.ndarray  # (k,) the edge among that mesh's
    kind: np.ndarray  # (k,) uint8, a `Kind`

    def __len__(self) -> int:
        return len(self.points)

    def of_kind(self, *kinds: Kind) -> np.ndarray:
        """The points of the lines of some kinds, (k, 2, 2)."""
        return self.points[np.isin(self.kind, kinds)]


def visible_lines(meshes: Sequence[Mesh], view: View, *, hidden: bool = False) -> Lines:
    """What a drawing of solids shows from a view; with `hidden` also what is behind, as lines of that kind.

    Drawn are marked edges, and the edges between facets of a round where it turns away from the viewer. Where lines lie on each other
    on the sheet one of them is drawn, a seam between two parts once. Parts may touch; where they run into each other the line in which
    their faces cross is not drawn. The same meshes give the same lines, in the order of meshes and edges.
    """
    return Drawable.of(meshes).lines(view, hidden=hidden)


@dataclass(frozen=True, slots=True, eq=False)
class Drawable:
    """Solids made ready to be drawn from any view, or moved apart and drawn again."""

    scene: Scene | None  # None: nothing there
    hiding: Occluders | None

    @classmethod
    def of(cls, meshes: Sequence[Mesh]) -> Drawable:
        """The meshes, as they stand in the piece."""
        if not any(len(mesh.edges) for mesh in meshes):
            return cls(None, None)
        scene = Scene.of(meshes)
        return cls(scene, occluders(scene))

    def moved(self, by: np.ndarray) -> Drawable:
        """The same solids, each moved by its own row of `by`, (s, 3), mm."""
        return self if self.scene is None else Drawable(self.scene.moved(by), self.hiding)

    def lines(self, view: View, *, hidden: bool = False) -> Lines:
        """What a drawing from a view shows: see `visible_lines`."""
        if self.scene is None or self.hiding is None:
            return _NO_LINES
        scene, hiding = self.scene, self.hiding
        seen = Projection.of(scene, view)
        drawn = _Drawn.of(scene, hiding, seen)
        rows = _Rows.of(scene, hiding, seen, drawn)
        out_of_sight = _hidden(rows, scene, seen, shadows(scene, hiding, seen), windows(scene, hiding, seen))
        row, low, high = gaps(rows.start, rows.end, out_of_sight.row, out_of_sight.low, out_of_sight.high)
        edge, kind = rows.edge[row], np.where(drawn.outline[rows.edge[row]], Kind.SILHOUETTE, Kind.VISIBLE)
        if hidden:
            edges = np.flatnonzero(drawn.shown)
            number = np.cumsum(drawn.shown) - 1
            behind, since, until = gaps(np.zeros(len(edges)), np.ones(len(edges)), number[edge], low, high)
            edge, kind = (
                np.concatenate((edge, edges[behind])),
                np.concatenate((kind, np.full(len(behind), Kind.HIDDEN))),
            )
            low, high = np.concatenate((low, since)), np.concatenate((high, until))
        return _on_sheet(scene, seen, edge, low, high, kind)


_NO_LINES = Lines(np.zeros((0, 2, 2)), np.zeros(0, np.int64), np.zeros(0, np.int64), np.zeros(0, np.uint8))


@dataclass(frozen=True, slots=True, eq=False)
class _Drawn:
    """Which edges a view could show, hidden or not, and how."""

    length: np.ndarray  # (e,) mm on the sheet
    outline: np.ndarray  # (e,) bool: one of the edge's faces looks toward the viewer, the other does not
    shown: np.ndarray  # (e,) bool: marked, or an outline
    alive: np.ndarray  # (e,) bool: shown, and not hidden by the very solid around it

    @classmethod
    def of(cls, scene: Scene, hiding: Occluders, seen: Projection) -> _Drawn:
        left, right = seen.front[scene.edge_faces].T
        step = seen.points[scene.edges[:, 1], :2] - seen.points[scene.edges[:, 0], :2]
        length = np.hypot(step[:, 0], step[:, 1])
        outline = left != right
        shown = (scene.marked | outline) & (length > END_ON)
        return cls(length, outline, shown, shown & (left | right) & ~(outline & (hiding.bend < -FLAT)))


@dataclass(frozen=True, slots=True, eq=False)
class _Rows:
    """Edges to be tested: those in a cavity once for each mouth that shows them, and only as far as it does."""

    edge: np.ndarray  # (r,)
    start: np.ndarray  # (r,) fractions of the edge
    end: np.ndarray  # (r,)
    starts: np.ndarray  # (g + 1,) rows of one group stand together: a solid's, or those seen through one mouth
    spared: np.ndarray  # (g,) the owner whose shadows do not touch the group, −1 for none

    @classmethod
    def of(cls, scene: Scene, hiding: Occluders, seen: Projection, drawn: _Drawn) -> _Rows:
        near = seen.front[hiding.mouths.face]
        rim = np.where(
            np.append(near, False)[hiding.edge_mouth], hiding.edge_mouth, -1
        )  # the mouth an edge is the seen rim of
        outside = (hiding.edge_cavity < 0) | (rim >= 0)
        outer = np.flatnonzero(drawn.alive & outside)
        inner, through = _through_mouths(hiding, drawn.alive & ~outside, near)
        low, high = clipped(*_ends(scene, seen, inner), np.arange(len(inner)), mouth_views(hiding, seen), through)
        some = low < high
        edge = np.concatenate((outer, inner[some]))
        start = np.concatenate((np.zeros(len(outer)), low[some]))
        end = np.concatenate((np.ones(len(outer)), high[some]))
        solids = len(scene.meshes)
        group = np.concatenate(
            (np.where(rim[outer] < 0, scene.edge_solid[outer], solids + rim[outer]), solids + through[some])
        )
        order = np.argsort(group, kind="stable")
        group = group[order]
        first = np.flatnonzero(np.diff(group, prepend=-1))
        own = np.append(np.where(hiding.convex, np.arange(solids), -1), owners(scene, hiding)[hiding.mouths.face])
        return cls(edge[order], start[order], end[order], np.append(first, len(group)), own[group[first]])


def _through_mouths(hiding: Occluders, chosen: np.ndarray, near: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The chosen edges of cavities, each with every mouth toward the viewer: (edge, mouth), by rising mouth."""
    mouths = np.flatnonzero(near)
    which, place = spread(hiding.cavity_edge_starts, hiding.mouth_cavity[mouths])
    edge = hiding.cavity_edges[place]
    kept = chosen[edge]
    return edge[kept], mouths[which[kept]]


def _ends(scene: Scene, seen: Projection, edge: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    return seen.points[scene.edges[edge, 0]], seen.points[scene.edges[edge, 1]]


# --------------------------------------------------------------------------------------------------------------------- hiding
def _hidden(rows: _Rows, scene: Scene, seen: Projection, shades: Volumes, openings: Volumes) -> _Stretches:
    """Where rows are hidden."""
    if not len(rows.edge):
        return _NO_STRETCHES
    ends = scene.edges[rows.edge]
    tails, heads = seen.points[ends[:, 0]], seen.points[ends[:, 1]]
    one, other = seen.coordinates[:, ends[:, 0]], seen.coordinates[:, ends[:, 1]]
    boxes = Boxes(np.minimum(one, other), np.maximum(one, other))
    groups = boxes.around_runs(rows.starts)

    row, opening = _members_met(rows, boxes, openings, *_groups_met(rows, groups, openings))
    opened = _Stretches.within(tails, heads, row, openings, opening)
    open_row = np.zeros(len(rows.edge), bool)
    open_row[opened.row] = True

    group, shade = _groups_met(rows, groups, shades)
    closed = ~np.logical_or.reduceat(open_row, rows.starts[:-1])
    gone_group = _swallowed(groups, closed, shades, group, shade)
    left = ~gone_group[group]
    row, shade = _members_met(rows, boxes, shades, group[left], shade[left])
    gone = _swallowed(boxes, ~open_row, shades, row, shade)
    left = ~gone[row]
    hidden = _Stretches.within(tails, heads, row[left], shades, shade[left]).without(opened)
    gone |= np.repeat(gone_group, np.diff(rows.starts))
    return hidden.and_whole(np.flatnonzero(gone))


def _groups_met(rows: _Rows, groups: Boxes, volumes: Volumes) -> tuple[np.ndarray, np.ndarray]:
    """The groups of rows whose boxes meet those of volumes, of owners that do not spare them: (group, volume)."""
    group, volume = meeting(groups, volumes.boxes)
    other = rows.spared[group] != volumes.owner[volume]
    return group[other], volume[other]


def _members_met(
    rows: _Rows, boxes: Boxes, volumes: Volumes, group: np.ndarray, volume: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Of groups and volumes the rows that meet the volume: (row, volume)."""
    which, row = spread(rows.starts, group)
    return met(boxes, row, volumes.boxes, volume[which])


def _swallowed(boxes: Boxes, chosen: np.ndarray, shades: Volumes, i: np.ndarray, shade: np.ndarray) -> np.ndarray:
    """Which of the boxes, among the chosen, lie wholly in the shadow of a box, looking only at the pairs given; (n,) bool."""
    pair = np.flatnonzero(shades.is_box[shade] & chosen[i])
    gone = np.zeros(len(boxes), bool)
    gone[i[pair[within(boxes, i[pair], shades.boxes, shade[pair])]]] = True
    return gone


@dataclass(frozen=True, slots=True, eq=False)
class _Stretches:
    """Parts of rows, as fractions of the edge, each on account of some owner of shadows."""

    row: np.ndarray
    owner: np.ndarray
    low: np.ndarray
    high: np.ndarray

    @classmethod
    def within(
        cls, tails: np.ndarray, heads: np.ndarray, row: np.ndarray, volumes: Volumes, volume: np.ndarray
    ) -> _Stretches:
        """What of the rows lies in the volumes."""
        low, high = clipped(tails, heads, row, volumes, volume)
        some = np.flatnonzero(low < high)
        return cls(row[some], volumes.owner[volume[some]], low[some], high[some])

    def without(self, others: _Stretches) -> _Stretches:
        """These without what others of the same row and owner take out of them."""
        if not len(others.row):
            return self
        size = 1 + max(int(others.owner.max()), int(self.owner.max(initial=0)))
        keys = others.row * size + others.owner
        order = np.argsort(keys, kind="stable")
        keys, wanted = keys[order], self.row * size + self.owner
        runs = np.stack((np.searchsorted(keys, wanted), np.searchsorted(keys, wanted, side="right")))
        mine, place = between(*runs)
        left, low, high = gaps(self.low, self.high, mine, others.low[order[place]], others.high[order[place]])
        return _Stretches(self.row[left], self.owner[left], low, high)

    def and_whole(self, rows: np.ndarray) -> _Stretches:
        """These and some rows from end to end."""
        return _Stretches(
            np.concatenate((self.row, rows)),
            np.concatenate((self.owner, np.full(len(rows), -1))),
            np.concatenate((self.low, np.zeros(len(rows)))),
            np.concatenate((self.high, np.ones(len(rows)))),
        )


_NO_STRETCHES = _Stretches(np.zeros(0, np.int64), np.zeros(0, np.int64), np.zeros(0), np.zeros(0))


def _on_sheet(
    scene: Scene, seen: Projection, edge: np.ndarray, low: np.ndarray, high: np.ndarray, kind: np.ndarray
) -> Lines:
    """Stretches of edges as lines, every place of the sheet drawn once."""
    tail, head = seen.points[scene.edges[edge, 0], :2], seen.points[scene.edges[edge, 1], :2]
    points = np.stack([tail + t[:, None] * (head - tail) for t in (low, high)], axis=1)
    step = points[:, 1] - points[:, 0]
    some = np.hypot(step[:, 0], step[:, 1]) > SHORTEST
    edge, kind, points = edge[some], kind[some], points[some]
    which, points = uncovered(points, kind)
    order = np.lexsort((which, edge[which]))
    edge, kind, points = edge[which[order]], kind[which[order]], points[order]
    solid = scene.edge_solid[edge]
    return Lines(points, solid, edge - scene.edge_starts[solid], kind.astype(np.uint8))
