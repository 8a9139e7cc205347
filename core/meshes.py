"""A model's parts and fittings as meshes where they stand in the piece."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import lru_cache

import numpy as np

from .kept import kept
from .model import Body, Model
from .solids import Mesh, mesh_of_body, meshes_of, placed


@kept
def part_meshes(model: Model) -> Mapping[str, Mesh]:
    """The mesh of every part in the piece, by key, in the order of the model."""
    meshes = meshes_of([part.shape for part in model.parts])
    return {part.key: placed(mesh, part.place) for part, mesh in zip(model.parts, meshes)}


@kept
def fitting_meshes(model: Model) -> Mapping[str, Mesh]:
    """The mesh of every fitting in the piece, its bodies joined, by key."""
    return {fitting.key: placed(mesh_of_bodies(fitting.bodies), fitting.place) for fitting in model.fittings}


@kept
def model_meshes(model: Model) -> Mapping[str, Mesh]:
    """Parts and fittings together."""
    return {**part_meshes(model), **fitting_meshes(model)}


@lru_cache(maxsize=1024)
def mesh_of_bodies(bodies: tuple[Body, ...]) -> Mesh:
    """The bodies of one fitting as one mesh of several closed shells, in the fitting's frame."""
    return joined([mesh_of_body(body) for body in bodies])


def joined(meshes: Sequence[Mesh]) -> Mesh:
    """Several meshes as one."""
    points = np.cumsum([0] + [len(mesh.vertices) for mesh in meshes])
    corners = np.cumsum([0] + [len(mesh.corners) for mesh in meshes])
    faces = np.cumsum([0] + [len(mesh.normals) for mesh in meshes])
    return Mesh(
        vertices=np.concatenate([mesh.vertices for mesh in meshes]),
        corners=np.concatenate([mesh.corners + first for mesh, first in zip(meshes, points)]).astype(np.int32),
        starts=np.concatenate(
            [mesh.starts[:-1] + first for mesh, first in zip(meshes, corners)] + [corners[-1:]]
        ).astype(np.int32),
        face_of=np.concatenate([mesh.face_of + first for mesh, first in zip(meshes, faces)]).astype(np.int32),
        normals=np.concatenate([mesh.normals for mesh in meshes]),
        edges=np.concatenate([mesh.edges + first for mesh, first in zip(meshes, points)]).astype(np.int32),
        edge_faces=np.concatenate([mesh.edge_faces + first for mesh, first in zip(meshes, faces)]).astype(np.int32),
        marked=np.concatenate([mesh.marked for mesh in meshes]),
    )
