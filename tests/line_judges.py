"""Judges of visible lines that know nothing of how they are found: sampled sight lines, and an outside reference."""

from __future__ import annotations

import importlib.util
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import numpy as np

from core.drawing.views import View
from core.solids.mesh import Mesh

REFERENCE = Path(__file__).parents[2] / "shared" / "bench" / "lines" / "truth.py"
DEPTH = 0.01  # mm by which something must stand nearer to hide
BESIDE = 2e-3  # mm beside a line at which it is asked what covers it


def could_be_drawn(mesh: Mesh, view: View) -> np.ndarray:
    """The numbers of a mesh's edges that are marked, or part a face toward the viewer from one that is not."""
    toward = (mesh.normals @ np.array(view.direction))[mesh.edge_faces] > 1e-6
    return np.flatnonzero(mesh.marked | (toward[:, 0] != toward[:, 1]))


def ends_of(meshes: Sequence[Mesh], view: View) -> np.ndarray:
    """Both ends of every edge that could be drawn, (e, 2, 3)."""
    return np.concatenate([mesh.vertices[mesh.edges[could_be_drawn(mesh, view)]] for mesh in meshes])


def in_short(edges: np.ndarray, longest: float = 40.0) -> np.ndarray:
    """Edges, (e, 2, 3) or (e, 2, 2), cut into equal pieces no longer than so many mm: a judge looks at what stands before each."""
    step = edges[:, 1] - edges[:, 0]
    count = np.maximum(1, np.ceil(np.linalg.norm(step, axis=1) / longest)).astype(int)
    edge = np.repeat(np.arange(len(edges)), count)
    piece = np.arange(len(edge)) - np.repeat(np.cumsum(count) - count, count)
    share = np.stack((piece, piece + 1), axis=1) / count[edge, None]
    return edges[edge, :1] + share[..., None] * step[edge, None]


def fields_of(places: np.ndarray, size: float = 100.0) -> list[np.ndarray]:
    """The numbers of places of the sheet, (n, 2), by the square field of some mm that each lies in."""
    _, field = np.unique(np.floor(places / size).astype(int), axis=0, return_inverse=True)
    order = np.argsort(field.ravel(), kind="stable")
    return np.split(order, np.flatnonzero(np.diff(field.ravel()[order])) + 1)


# ------------------------------------------------------------ sampled sight lines
def is_seen(meshes: Sequence[Mesh], view: View, edges: np.ndarray, fractions: np.ndarray) -> np.ndarray:
    """Whether the viewer sees one place on each edge, (k, 2, 3), given as a fraction of it, (k,).

    A place is seen if, just beside the edge on the sheet, on one side at least, no triangle covers it that stands more
    than 0.01 mm nearer than the edge does.
    """
    corners = np.concatenate([mesh.vertices[mesh.triangles()] for mesh in meshes]) @ view.axes.T
    tails, heads = (edges @ view.axes.T).transpose(1, 0, 2)
    place = tails + fractions[:, None] * (heads - tails)
    step = (heads - tails)[:, :2]
    across = np.stack((-step[:, 1], step[:, 0]), axis=1) / np.hypot(step[:, 0], step[:, 1])[:, None]
    a, b, c = corners.transpose(1, 0, 2)[..., :2]
    twice = _cross(b - a, c - a)
    standing = np.abs(twice) > 1e-9
    a, b, c, twice, height = a[standing], b[standing], c[standing], twice[standing], corners[standing, :, 2].T

    def weights(at: np.ndarray) -> np.ndarray:
        return np.stack([_cross(q - p, at[:, None] - p) / twice for p, q in ((b, c), (c, a), (a, b))])

    nearer = np.einsum("wkt,wt->kt", weights(place[:, :2]), height) - place[:, 2:] > DEPTH
    covered = [
        ((weights(place[:, :2] + by * across) >= -1e-9).all(axis=0) & nearer).any(axis=1) for by in (BESIDE, -BESIDE)
    ]
    return ~(covered[0] & covered[1])


def is_drawn(lines: np.ndarray, places: np.ndarray, within: float = 1e-3) -> tuple[np.ndarray, np.ndarray]:
    """Whether places of the sheet, (n, 2), lie on lines, (k, 2, 2), and how far each is from the nearest end of one."""
    if not len(lines):
        return np.zeros(len(places), bool), np.full(len(places), np.inf)
    step = lines[:, 1] - lines[:, 0]
    size = np.hypot(step[:, 0], step[:, 1])
    away = places[:, None] - lines[:, 0]
    along = np.clip((away * step).sum(axis=2) / size**2, 0, 1)
    off = np.linalg.norm(away - along[..., None] * step, axis=2)
    ends = np.linalg.norm(places[:, None, None] - lines, axis=3).min(axis=(1, 2))
    return (off < within).any(axis=1), ends


def _cross(u: np.ndarray, v: np.ndarray) -> np.ndarray:
    return u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]


# ------------------------------------------------------------ reference
@dataclass(frozen=True, slots=True)
class Agreement:
    """How lines compare with the reference's, in mm: lengths of the union, and of what either has alone."""

    theirs: float
    ours: float
    missed: float
    extra: float

    @property
    def union_error(self) -> float:
        """The difference of the unions as a share."""
        return abs(self.ours - self.theirs) / self.theirs

    @property
    def line_error(self) -> float:
        """What either has alone as a share."""
        return (self.missed + self.extra) / self.theirs


def reference() -> ModuleType | None:
    """The brute-force reference, or None where it is not kept."""
    if not REFERENCE.exists():
        return None
    spec = importlib.util.spec_from_file_location("line_reference", REFERENCE)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def agreement(
    truth: ModuleType, meshes: Sequence[Mesh], view: View, ours: np.ndarray, step: float = 0.5, fine: float = 0.05
) -> Agreement:
    """Our lines, (k, 2, 2), against the reference's.

    It samples every edge at each `step` mm and may step over what is shorter; where the two differ it is asked again,
    finely.
    """
    edges = in_short(ends_of(meshes, view))
    corners = np.concatenate([mesh.vertices[mesh.triangles()] for mesh in meshes])
    flat = view.project(corners)
    low, high = flat.min(axis=1), flat.max(axis=1)

    def lines(of: np.ndarray, step: float) -> np.ndarray:
        """What the reference sees of edges, field by field of the sheet: before an edge stands only what reaches its field."""
        found = [np.zeros((0, 2, 2))]
        on_sheet = view.project(of)
        for field in fields_of(on_sheet.mean(axis=1)):
            least, most = (end(on_sheet[field], axis=(0, 1)) for end in (np.min, np.max))
            near = corners[((low <= most + 1) & (high >= least - 1)).all(axis=1)]
            solids = [(near.reshape(-1, 3), np.arange(3 * len(near)).reshape(-1, 3))] if len(near) else []
            seen = truth.visible(solids, of[field], view.direction, step=step, up=view.up)
            found.append(truth.screen_segments(of[field], seen, view.direction, up=view.up))
        return np.concatenate(found)

    def off(one: np.ndarray, other: np.ndarray) -> np.ndarray:
        """The length of each line that lies on no other, field by field."""
        found, low, high = np.zeros(len(one)), other.min(axis=1, initial=np.inf), other.max(axis=1, initial=-np.inf)
        for field in fields_of(one.mean(axis=1)):
            least, most = (end(one[field], axis=(0, 1)) for end in (np.min, np.max))
            found[field] = truth.uncovered(one[field], other[((low <= most + 1) & (high >= least - 1)).all(axis=1)])
        return found

    theirs, pieces = lines(edges, step), in_short(ours)
    doubtful = [s for one, other in ((theirs, pieces), (pieces, theirs)) for s in one[off(one, other) > 1e-3]]
    if doubtful:
        on_sheet = view.project(edges)
        again = np.any([_lies_along(on_sheet, segment) for segment in doubtful], axis=0)
        theirs = np.concatenate((lines(edges[~again], step), lines(edges[again], fine)))
    return Agreement(
        theirs=truth.union_length(theirs),
        ours=truth.union_length(ours),
        missed=float(off(theirs, pieces).sum()),
        extra=float(off(pieces, theirs).sum()),
    )


def _lies_along(lines: np.ndarray, segment: np.ndarray) -> np.ndarray:
    """Which lines of the sheet, (k, 2, 2), lie along a segment, (2, 2), within 0.1 mm and for some length."""
    step = segment[1] - segment[0]
    size = np.hypot(*step)
    away = lines - segment[0]
    beside = np.abs(_cross(np.broadcast_to(step, away.shape), away)).max(axis=1) / size
    along = away @ step / size
    return (beside < 0.1) & (along.max(axis=1) > 0) & (along.min(axis=1) < size)
