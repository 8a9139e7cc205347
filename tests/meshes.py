"""Meshes for tests, built without the code under test: by hand, and from a boolean library's triangles."""

from __future__ import annotations

import math
from dataclasses import replace

import manifold3d
import numpy as np

from core.solids.mesh import Mesh

GENTLE = 35.0  # degrees: edges that bend less are left unmarked, as those between the facets of a round are

Solid = manifold3d.Manifold


def box(x: float, y: float, z: float, length: float, width: float, height: float) -> Mesh:
    """A box along the axes, its low corner and its sizes: 8 vertices, 6 quads, 12 marked edges."""
    corners = [(x + i * length, y + j * width, z + k * height) for i in (0, 1) for j in (0, 1) for k in (0, 1)]
    quads = [(0, 1, 3, 2), (4, 6, 7, 5), (0, 4, 5, 1), (2, 3, 7, 6), (0, 2, 6, 4), (1, 5, 7, 3)]
    return of_polygons(np.array(corners, float), quads)


def prism(outline: list[tuple[float, float]], length: float, marked: bool = True) -> Mesh:
    """An outline, counter-clockwise, swept up from Z = 0; the upright edges marked or not."""
    n = len(outline)
    vertices = np.array([(x, y, z) for z in (0.0, length) for x, y in outline])
    sides = [(i, (i + 1) % n, (i + 1) % n + n, i + n) for i in range(n)]
    mesh = of_polygons(vertices, [tuple(range(n))[::-1], tuple(range(n, 2 * n)), *sides])
    upright = mesh.edges[:, 1] - mesh.edges[:, 0] == n
    return replace(mesh, marked=mesh.marked & (marked | ~upright))


def rod(diameter: float, length: float, facets: int = 24) -> Mesh:
    """A facetted round about the Z axis, standing on Z = 0, its facet edges unmarked."""
    return prism(circle(diameter, facets), length, marked=False)


def circle(diameter: float, facets: int = 24) -> list[tuple[float, float]]:
    """The corners of a facetted circle about the origin."""
    turns = [2 * math.pi * (i + 0.5) / facets for i in range(facets)]
    return [(diameter / 2 * math.cos(turn), diameter / 2 * math.sin(turn)) for turn in turns]


def moved(mesh: Mesh, by: tuple[float, float, float] = (0, 0, 0), turn: np.ndarray | None = None) -> Mesh:
    """A mesh turned about the origin by a rotation, (3, 3), then moved."""
    turn = np.eye(3) if turn is None else turn
    return replace(mesh, vertices=mesh.vertices @ turn.T + np.asarray(by, float), normals=mesh.normals @ turn.T)


def rotation(axis: tuple[float, float, float], degrees: float) -> np.ndarray:
    """The rotation about an axis, (3, 3), right-handed."""
    x, y, z = np.asarray(axis, float) / np.linalg.norm(axis)
    skew = np.array([(0, -z, y), (z, 0, -x), (-y, x, 0)])
    a = math.radians(degrees)
    return np.eye(3) + math.sin(a) * skew + (1 - math.cos(a)) * skew @ skew


def solid_box(x: float, y: float, z: float, length: float, width: float, height: float) -> Solid:
    """A box for booleans."""
    return Solid.cube((length, width, height)).translate((x, y, z))


def drilled(
    at: tuple[float, float, float], into: tuple[float, float, float], diameter: float, depth: float, facets: int = 24
) -> Solid:
    """What a drill takes out, to be subtracted; it begins 1 mm before `at`."""
    axis = np.asarray(into, float) / np.linalg.norm(into)
    u = np.eye(3)[np.abs(axis).argmin()]
    u = u - axis * (axis @ u)
    u /= np.linalg.norm(u)
    v = np.cross(axis, u)
    ring = np.asarray(at) - axis + np.array([x * u + y * v for x, y in circle(diameter, facets)])
    return Solid.hull_points(np.vstack((ring, ring + (depth + 1) * axis)))


def of_solid(solid: Solid) -> Mesh:
    """A boolean library's solid as a mesh of planar faces whose polygons are its triangles."""
    found = solid.to_mesh64()
    vertices = np.asarray(found.vert_properties)[:, :3]
    triangles = np.asarray(found.tri_verts).astype(np.int64)
    first = np.arange(len(vertices))
    first[np.asarray(found.merge_from_vert, np.int64)] = np.asarray(found.merge_to_vert, np.int64)
    triangles = first[triangles]
    used, triangles = np.unique(triangles, return_inverse=True)
    return of_polygons(vertices[used], [tuple(t) for t in triangles.reshape(-1, 3).tolist()], merge=True)


def of_polygons(vertices: np.ndarray, polygons: list[tuple[int, ...]], merge: bool = False) -> Mesh:
    """A mesh of simple polygons; with `merge`, neighbours in one plane are one face."""
    normals = np.array([_normal(vertices[list(polygon)]) for polygon in polygons])
    beyond = {
        (a, b): i for i, polygon in enumerate(polygons) for a, b in zip(polygon, polygon[1:] + polygon[:1], strict=True)
    }
    face = list(range(len(polygons)))

    def root(i: int) -> int:
        while face[i] != i:
            i = face[i]
        return i

    if merge:
        for (a, b), i in beyond.items():
            if normals[i] @ normals[beyond[b, a]] > 1 - 1e-10:
                high, low = sorted((root(i), root(beyond[b, a])), reverse=True)
                face[high] = low
    roots = [root(i) for i in range(len(polygons))]
    number = {r: k for k, r in enumerate(sorted(set(roots)))}
    face_of = np.array([number[r] for r in roots])
    area = np.array([np.linalg.norm(_area_vector(vertices[list(polygon)])) for polygon in polygons])
    biggest = [max(np.flatnonzero(face_of == k), key=area.__getitem__) for k in range(len(number))]
    sides = [
        (a, b, face_of[i], face_of[beyond[b, a]])
        for (a, b), i in beyond.items()
        if a < b and face_of[i] != face_of[beyond[b, a]]
    ]
    edges = np.array([side[:2] for side in sides], np.int32)
    edge_faces = np.array([side[2:] for side in sides], np.int32)
    normals = normals[biggest]
    bend = (normals[edge_faces[:, 0]] * normals[edge_faces[:, 1]]).sum(axis=1)
    return Mesh(
        vertices=vertices,
        corners=np.array([c for polygon in polygons for c in polygon], np.int32),
        starts=np.cumsum([0] + [len(polygon) for polygon in polygons]).astype(np.int32),
        face_of=face_of.astype(np.int32),
        normals=normals,
        edges=edges,
        edge_faces=edge_faces,
        marked=bend < math.cos(math.radians(GENTLE)),
    )


def _area_vector(corners: np.ndarray) -> np.ndarray:
    return np.cross(corners - corners[0], np.roll(corners, -1, axis=0) - corners[0]).sum(axis=0) / 2


def _normal(corners: np.ndarray) -> np.ndarray:
    vector = _area_vector(corners)
    return vector / np.linalg.norm(vector)
