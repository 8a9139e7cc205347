"""All solids of a drawing, stacked into one set of arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..solids.mesh import Mesh


@dataclass(frozen=True, slots=True, eq=False)
class Scene:
    """Meshes side by side: n vertices, f planar faces and e edges, numbered through, those of one solid together."""

    meshes: tuple[Mesh, ...]
    vertices: np.ndarray  # (n, 3) float64, mm
    normals: np.ndarray  # (f, 3) outward unit normals
    anchors: np.ndarray  # (f,) a vertex of each face
    edges: np.ndarray  # (e, 2) vertices
    edge_faces: np.ndarray  # (e, 2) face at the left hand seen from outside, face at the right
    marked: np.ndarray  # (e,) bool
    vertex_starts: np.ndarray  # (s + 1,) vertices of solid i are numbers starts[i] to starts[i + 1]
    face_starts: np.ndarray  # (s + 1,)
    edge_starts: np.ndarray  # (s + 1,)
    face_solid: np.ndarray  # (f,)
    edge_solid: np.ndarray  # (e,)

    @classmethod
    def of(cls, meshes: Sequence[Mesh]) -> Scene:
        """The meshes stacked in their order; there must be at least one, each with at least one face."""
        vertex_starts = _starts([len(mesh.vertices) for mesh in meshes])
        face_starts = _starts([len(mesh.normals) for mesh in meshes])
        edge_starts = _starts([len(mesh.edges) for mesh in meshes])
        solids = np.arange(len(meshes))
        edge_solid = np.repeat(solids, np.diff(edge_starts))
        edges = np.concatenate([mesh.edges for mesh in meshes]) + vertex_starts[edge_solid][:, None]
        edge_faces = np.concatenate([mesh.edge_faces for mesh in meshes]) + face_starts[edge_solid][:, None]
        anchors = np.zeros(face_starts[-1], np.int64)
        anchors[edge_faces[:, 1]] = edges[:, 0]
        anchors[edge_faces[:, 0]] = edges[:, 0]
        return cls(
            meshes=tuple(meshes),
            vertices=np.concatenate([mesh.vertices for mesh in meshes]),
            normals=np.concatenate([mesh.normals for mesh in meshes]),
            anchors=anchors,
            edges=edges,
            edge_faces=edge_faces,
            marked=np.concatenate([mesh.marked for mesh in meshes]),
            vertex_starts=vertex_starts,
            face_starts=face_starts,
            edge_starts=edge_starts,
            face_solid=np.repeat(solids, np.diff(face_starts)),
            edge_solid=edge_solid,
        )

    def moved(self, by: np.ndarray) -> Scene:
        """The same solids, each moved by its own row of `by`, (s, 3), mm."""
        return replace(self, vertices=self.vertices + np.repeat(by, np.diff(self.vertex_starts), axis=0))


def _starts(counts: list[int]) -> np.ndarray:
    return np.concatenate(([0], np.cumsum(counts))).astype(np.int64)
