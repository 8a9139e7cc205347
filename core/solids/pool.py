"""The arrays of many meshes gathered in any order, dealt out mesh by mesh at the end."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from .mesh import Mesh


@dataclass(slots=True, eq=False)
class Pool:
    """Vertices and faces numbered through as they come; each belongs to a job, and one mesh is dealt for each job."""

    vertices: list[np.ndarray] = field(default_factory=list)
    vertex_jobs: list[np.ndarray] = field(default_factory=list)
    normals: list[np.ndarray] = field(default_factory=list)
    face_jobs: list[np.ndarray] = field(default_factory=list)
    edges: list[np.ndarray] = field(default_factory=list)
    edge_faces: list[np.ndarray] = field(default_factory=list)
    marked: list[np.ndarray] = field(default_factory=list)
    corners: list[np.ndarray] = field(default_factory=list)
    sizes: list[np.ndarray] = field(default_factory=list)
    polygon_faces: list[np.ndarray] = field(default_factory=list)
    vertex_count: int = 0
    face_count: int = 0

    def add_vertices(self, vertices: np.ndarray, jobs: np.ndarray) -> int:
        """Add vertices, (n, 3); the number of the first comes back."""
        self.vertices.append(vertices)
        self.vertex_jobs.append(jobs)
        self.vertex_count += len(vertices)
        return self.vertex_count - len(vertices)

    def add_faces(self, normals: np.ndarray, jobs: np.ndarray) -> int:
        """Add planar faces by their outward normals, (n, 3); the number of the first comes back."""
        self.normals.append(normals)
        self.face_jobs.append(jobs)
        self.face_count += len(normals)
        return self.face_count - len(normals)

    def add_edges(self, edges: np.ndarray, edge_faces: np.ndarray, marked: np.ndarray) -> None:
        """Add edges between faces, as a `Mesh` lists them."""
        self.edges.append(edges)
        self.edge_faces.append(edge_faces)
        self.marked.append(marked)

    def add_polygons(self, corners: np.ndarray, faces: np.ndarray, sizes: np.ndarray | None = None) -> None:
        """Add polygons: rows of equal size, (n, c), or corners one after another with the size of each polygon."""
        if sizes is None:
            sizes = np.full(len(corners), corners.shape[1])
        self.corners.append(corners.ravel())
        self.sizes.append(sizes)
        self.polygon_faces.append(faces)

    def all_vertices(self) -> np.ndarray:
        """All vertices so far, (n, 3)."""
        if len(self.vertices) > 1:
            self.vertices = [np.concatenate(self.vertices)]
        return self.vertices[0]

    def normal(self, face: int) -> np.ndarray:
        """The outward normal of one face."""
        for normals in self.normals:
            if face < len(normals):
                return normals[face]
            face -= len(normals)
        raise IndexError(face)

    def dealt(self, jobs: int) -> list[Mesh]:
        """One mesh for each job, in the order of the jobs."""
        vertex = Dealt(np.concatenate(self.vertex_jobs), jobs)
        face = Dealt(np.concatenate(self.face_jobs), jobs)
        edge_faces = np.concatenate(self.edge_faces)
        polygon_faces = np.concatenate(self.polygon_faces)
        edge = Dealt(face.job[edge_faces[:, 0]], jobs)
        polygon = Dealt(face.job[polygon_faces], jobs)
        sizes = np.concatenate(self.sizes)
        begin = (np.cumsum(sizes) - sizes)[polygon.order]
        sizes = sizes[polygon.order]
        begins = np.concatenate(([0], np.cumsum(sizes)))
        of_corner = np.repeat(begin - begins[:-1], sizes) + np.arange(begins[-1])
        columns = (
            self.all_vertices()[vertex.order],
            vertex.own[np.concatenate(self.corners)[of_corner]].astype(np.int32),
            face.own[polygon_faces[polygon.order]].astype(np.int32),
            np.concatenate(self.normals)[face.order],
            vertex.own[np.concatenate(self.edges)[edge.order]].astype(np.int32),
            face.own[edge_faces[edge.order]].astype(np.int32),
            np.concatenate(self.marked)[edge.order],
        )
        counts = np.diff(polygon.starts) + 1  # of starts: one more than of polygons
        of_job = np.repeat(np.arange(jobs), counts)
        starts = begins[np.arange(len(of_job)) - of_job] - begins[polygon.starts[:-1]][of_job]
        columns += (starts.astype(np.int32),)
        for column in columns:
            column.flags.writeable = False  # meshes are shared
        bounds = zip(
            vertex.starts, face.starts, edge.starts, polygon.starts, begins[polygon.starts].tolist(), strict=True
        )
        return [_mesh(columns, job, *at) for job, at in enumerate(pairwise(bounds))]


def _mesh(columns: tuple[np.ndarray, ...], job: int, here: tuple[int, ...], beyond: tuple[int, ...]) -> Mesh:
    """The mesh of one job: its run of every column."""
    vertex, face, edge, polygon, corner = (slice(a, b) for a, b in zip(here, beyond, strict=True))
    vertices, corners, face_of, normals, edges, edge_faces, marked, starts = columns
    return Mesh(
        vertices=vertices[vertex],
        corners=corners[corner],
        starts=starts[polygon.start + job : polygon.stop + job + 1],
        face_of=face_of[polygon],
        normals=normals[face],
        edges=edges[edge],
        edge_faces=edge_faces[edge],
        marked=marked[edge],
    )


class Dealt:
    """Things sorted by job: their order, where each job starts, and the number of each within its job."""

    __slots__ = ("job", "order", "own", "starts")

    def __init__(self, job: np.ndarray, jobs: int) -> None:
        self.job = job
        self.order = np.argsort(
            job.astype(np.int16) if jobs < 2**15 else job, kind="stable"
        )  # short numbers: by their digits
        counts = np.bincount(job, minlength=jobs)
        first = np.concatenate(([0], np.cumsum(counts)))
        self.own = np.empty(len(job), int)
        self.own[self.order] = np.arange(len(job)) - np.repeat(first[:-1], counts)
        self.starts = first.tolist()
