"""A closed solid of planar faces: its arrays and what can be measured on them."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from ..frozen import quickly_made
from ..geometry import Placement
from . import polygons


@quickly_made
@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """A closed solid of planar faces, in millimetres.

    A face may consist of several polygons (a face with holes is cut into polygons that visit no vertex twice); the
    edges between polygons of one face are not among `edges`. Seen from outside, every polygon runs counter-clockwise.
    """

    vertices: np.ndarray  # (n, 3) float64
    corners: np.ndarray  # (c,) int32: vertex of each polygon corner, polygons one after another
    starts: np.ndarray  # (p + 1,) int32: polygon i is corners[starts[i]:starts[i + 1]]
    face_of: np.ndarray  # (p,) int32: the planar face each polygon is a piece of
    normals: np.ndarray  # (f, 3) float64: outward unit normal of each planar face
    edges: np.ndarray  # (e, 2) int32: every edge between two different planar faces
    edge_faces: (
        np.ndarray
    )  # (e, 2) int32: the face at the left hand walking v0 → v1 seen from outside, the face at the right
    marked: np.ndarray  # (e,) bool: True a feature edge, False an inner edge of a facetted round

    def triangles(self) -> np.ndarray:
        """The surface as triangles, (t, 3) int32, in the order of the polygons, every corner of a polygon used."""
        sizes = np.diff(self.starts)
        found = [np.empty((0, 3), np.int32)]
        owners = [np.empty(0, int)]
        for size in np.unique(sizes).tolist():
            which = np.flatnonzero(sizes == size)
            loops = self.corners[self.starts[which][:, None] + np.arange(size)]
            fans, convex = _fans(self.vertices[loops], self.normals[self.face_of[which]])
            found.append(np.take_along_axis(loops[convex], fans[convex], 1).reshape(-1, 3))
            owners.append(np.repeat(which[convex], size - 2))
            for polygon, loop in zip(which[~convex].tolist(), loops[~convex], strict=True):
                flat = flattened(self.vertices[loop], self.normals[self.face_of[polygon]])
                found.append(loop[np.array(polygons.triangles(flat, range(size)))])
                owners.append(np.full(size - 2, polygon))
        return np.concatenate(found)[np.argsort(np.concatenate(owners), kind="stable")]


def _fans(places: np.ndarray, normals: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Fans of triangles for polygons of one size, (p, 3 · (size − 2)) corners; and for which of them the fan will do.

    A fan starts at a corner from which no triangle is flat: the first, or the second.
    """
    size = places.shape[1]
    best, thinnest = np.zeros((len(places), 1), int), np.full(len(places), -np.inf)
    for first in range(min(size, 2)):
        spokes = np.roll(places, -first, axis=1)[:, 1:] - places[:, first, None]
        double_area = np.einsum("pti,pi->pt", np.cross(spokes[:, :-1], spokes[:, 1:]), normals).min(axis=1)
        better = double_area > thinnest
        best[better], thinnest[better] = first, double_area[better]
    fan = np.stack([np.zeros(size - 2, int), np.arange(1, size - 1), np.arange(2, size)], axis=1).ravel()
    return (fan + best) % size, thinnest > 1e-6


_NOTHING, _NO_PAIRS, _NO_POINTS = np.empty(0, np.int32), np.empty((0, 2), np.int32), np.empty((0, 3))
# The mesh of a part of which nothing is left.
EMPTY = Mesh(_NO_POINTS, _NOTHING, np.zeros(1, np.int32), _NOTHING, _NO_POINTS, _NO_PAIRS, _NO_PAIRS, np.empty(0, bool))


def mesh_of_polygons(
    vertices: np.ndarray, loops: list[list[int]], face_of: list[int], normals: np.ndarray, surfaces: list[int]
) -> Mesh:
    """The mesh of polygons that are all known; `surfaces` gives for each face the round it is a facet of, or −1."""
    starts = np.cumsum([0] + [len(loop) for loop in loops]).astype(np.int32)
    corners = np.array([corner for loop in loops for corner in loop], np.int32)
    nothing = np.empty((0, 2), np.int32)
    mesh = Mesh(vertices, corners, starts, np.array(face_of, np.int32), normals, nothing, nothing, np.empty(0, bool))
    sides, faces = _sides(mesh), np.repeat(mesh.face_of, np.diff(starts))
    there, back = sides @ (len(vertices), 1), sides @ (1, len(vertices))
    order = np.argsort(there)
    across = faces[order[np.searchsorted(there[order], back)]]
    edge = np.flatnonzero((faces != across) & (sides[:, 0] < sides[:, 1]))
    edge_faces = np.stack((faces[edge], across[edge]), axis=1).astype(np.int32)
    of_side = np.asarray(surfaces)[edge_faces]
    marked = (of_side[:, 0] != of_side[:, 1]) | (of_side[:, 0] < 0)
    return replace(mesh, edges=sides[edge].astype(np.int32), edge_faces=edge_faces, marked=marked)


def flattened(points: np.ndarray, normal: np.ndarray) -> np.ndarray:
    """Points of a plane, (n, 3), without the axis nearest its normal, (n, 2); what runs counter-clockwise stays so."""
    axis = int(np.abs(normal).argmax())
    kept = ((axis + 1) % 3, (axis + 2) % 3)
    return points[:, kept if normal[axis] > 0 else kept[::-1]]


def volume(mesh: Mesh) -> float:
    """What the mesh encloses, mm³."""
    tails = mesh.vertices[mesh.corners[mesh.starts[:-1]]]
    return float(np.einsum("ij,ij->", _area_vectors(mesh), tails - mesh.vertices[:1])) / 3


def surface_area(mesh: Mesh) -> float:
    """The area of all faces together, mm²."""
    return float(np.linalg.norm(_area_vectors(mesh), axis=1).sum())


def face_areas(mesh: Mesh) -> np.ndarray:
    """The area of every planar face, mm², (f,)."""
    return np.bincount(mesh.face_of, np.linalg.norm(_area_vectors(mesh), axis=1), len(mesh.normals))


def is_closed(mesh: Mesh) -> bool:
    """Whether every side of a polygon is met by exactly one other, running the opposite way."""
    sides = _sides(mesh)
    there = sides[:, 0] * len(mesh.vertices) + sides[:, 1]
    back = sides[:, 1] * len(mesh.vertices) + sides[:, 0]
    return len(np.unique(there)) == len(there) and np.array_equal(np.sort(there), np.sort(back))


def placed(mesh: Mesh, placement: Placement) -> Mesh:
    """The mesh where its part stands in the piece."""
    axes = placement.axes()
    return Mesh(
        vertices=mesh.vertices @ axes + np.asarray(placement.origin),
        corners=mesh.corners,
        starts=mesh.starts,
        face_of=mesh.face_of,
        normals=mesh.normals @ axes,
        edges=mesh.edges,
        edge_faces=mesh.edge_faces,
        marked=mesh.marked,
    )


def _sides(mesh: Mesh) -> np.ndarray:
    """Both vertices of every polygon side, (c, 2) int64."""
    after = np.arange(1, len(mesh.corners) + 1)
    after[mesh.starts[1:] - 1] = mesh.starts[:-1]
    return np.stack((mesh.corners, mesh.corners[after]), axis=1).astype(np.int64)


def _area_vectors(mesh: Mesh) -> np.ndarray:
    """Each polygon's area times its outward normal, (p, 3), summed about its own first corner."""
    tails = np.repeat(mesh.vertices[mesh.corners[mesh.starts[:-1]]], np.diff(mesh.starts), axis=0)
    sides = _sides(mesh)
    cross = np.cross(mesh.vertices[sides[:, 0]] - tails, mesh.vertices[sides[:, 1]] - tails)
    return np.add.reduceat(cross, mesh.starts[:-1]) / 2
