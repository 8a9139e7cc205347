"""The lines of solids that a viewer sees, exactly, as line segments on the sheet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import IntEnum

import numpy as np

from ..solids.mesh import Mesh
from .covering import hidden as hidden_stretches
from .intervals import SHORTEST, gaps, uncovered
from .occluders import FLAT, Occluders, occluders
from .rows import Drawn, Rows
from .scene import Scene
from .shadows import Projection, shadows, windows
from .views import View


class Kind(IntEnum):
    """What a line is to the viewer; the lower stays where two lie on each other."""

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

    @property
    def kind_words(self) -> tuple[str, ...]:
        """The word for each kind, by its number; the words of ISO 128, from memory."""
        return ("visible outline", "visible edge", "hidden edge")

    def of_kind(self, *kinds: Kind) -> np.ndarray:
        """The points of the lines of some kinds, (k, 2, 2)."""
        return self.points[np.isin(self.kind, kinds)]


def visible_lines(meshes: Sequence[Mesh], view: View, *, hidden: bool = False) -> Lines:
    """What a drawing of solids shows from a view; with `hidden` also what is behind, as lines of that kind.

    Drawn are marked edges, and the edges between facets of a round where it turns away from the viewer. Where lines lie
    on each other on the sheet one of them is drawn, a seam between two parts once. Parts may touch; where they run into
    each other, the line in which their faces cross is not drawn. The same meshes give the same lines, in the order of
    meshes and edges.
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
        drawn = Drawn.of(scene, hiding, seen)
        edge, low, high = _in_sight(scene, hiding, seen, drawn.alive)
        kind = np.where(drawn.outline[edge], Kind.SILHOUETTE, Kind.VISIBLE)
        if hidden:
            behind, since, until = _rest(drawn.shown, edge, low, high)
            edge, low, high = (np.concatenate(p) for p in ((edge, behind), (low, since), (high, until)))
            kind = np.append(kind, np.full(len(behind), Kind.HIDDEN))
        return _on_sheet(scene, seen, edge, low, high, kind)

    def outline_shares(self, view: View) -> np.ndarray:
        """How much of the outline of every solid is seen from a view, (s,), holes not counted; 1 for one that has none.

        Where outlines lie on each other on the sheet the place counts for one of them.
        """
        if self.scene is None or self.hiding is None:
            return np.zeros(0)
        scene, hiding = self.scene, self.hiding
        seen = Projection.of(scene, view)
        drawn = Drawn.of(scene, hiding, seen)
        outline = drawn.outline & (hiding.edge_cavity < 0) & (hiding.bend > -FLAT)
        step = seen.points[scene.edges[:, 1], :2] - seen.points[scene.edges[:, 0], :2]
        whole = np.bincount(
            scene.edge_solid[outline], np.hypot(step[:, 0], step[:, 1])[outline], minlength=len(scene.meshes)
        )
        edge, low, high = _in_sight(scene, hiding, seen, drawn.alive & outline)
        lines = _on_sheet(scene, seen, edge, low, high, np.full(len(edge), Kind.SILHOUETTE))
        step = lines.points[:, 1] - lines.points[:, 0]
        shown = np.bincount(lines.solid, np.hypot(step[:, 0], step[:, 1]), minlength=len(scene.meshes))
        return np.where(whole > 0, shown / np.where(whole > 0, whole, 1.0), 1.0)


_NO_LINES = Lines(np.zeros((0, 2, 2)), np.zeros(0, np.int64), np.zeros(0, np.int64), np.zeros(0, np.uint8))


def _in_sight(
    scene: Scene, hiding: Occluders, seen: Projection, edges: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Where edges, (e,) bool, are not hidden: (edge, from, to) as fractions of it."""
    rows = Rows.of(scene, hiding, seen, edges)
    if not len(rows.edge):
        return np.zeros(0, np.int64), np.zeros(0), np.zeros(0)
    gone = hidden_stretches(rows, shadows(scene, hiding, seen), windows(scene, hiding, seen))
    row, low, high = gaps(rows.start, rows.end, gone.row, gone.low, gone.high)
    return rows.edge[row], low, high


def _rest(
    shown: np.ndarray, edge: np.ndarray, low: np.ndarray, high: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """What the visible stretches leave of the edges shown, (e,) bool: (edge, from, to)."""
    edges = np.flatnonzero(shown)
    number = np.cumsum(shown) - 1
    left, since, until = gaps(np.zeros(len(edges)), np.ones(len(edges)), number[edge], low, high)
    return edges[left], since, until


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
