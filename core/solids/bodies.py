"""Bodies as their faces, each by itself to be remembered, and many side by side at their true size."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from .faces import Faces, Loop
from .pool import Dealt


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """The connected planar faces of one body, shortened, and the edges between them, as `Faces` has them."""

    vertices: np.ndarray  # (n, 3)
    stretch: np.ndarray  # (n, 3) which stretch of each axis a vertex lies in, those of all axes numbered through
    ends: np.ndarray  # (e, 2)
    smooth: np.ndarray  # (e,) bool: between two facets of one round
    edge_faces: np.ndarray  # (e, 2)
    normals: np.ndarray  # (f, 3)
    corners: np.ndarray  # of the outlines of all faces
    sizes: np.ndarray  # (f,)
    holes: dict[int, list[Loop]]  # of the faces that have some


@dataclass(frozen=True, slots=True, eq=False)
class Bodies:
    """Several of them at their true size, numbered through."""

    vertices: np.ndarray
    job_of_vertex: np.ndarray
    ends: np.ndarray
    smooth: np.ndarray
    edge_faces: np.ndarray
    normals: np.ndarray
    job_of_face: np.ndarray
    corners: np.ndarray
    sizes: np.ndarray
    holes: dict[int, list[Loop]]


def side_by_side(bodies: Sequence[Body], shifts: Sequence[Sequence[list[float]]]) -> Bodies:
    """Bodies with each stretch of each axis moved to where it truly lies: a list of ways for each axis of each body."""
    points = _firsts([len(body.vertices) for body in bodies])
    faces = _firsts([len(body.normals) for body in bodies])
    moved = [np.array([*x, *y, *z])[body.stretch] for body, (x, y, z) in zip(bodies, shifts, strict=True)]
    holes: dict[int, list[Loop]] = {}
    for body, first, face in zip(bodies, points, faces):
        for number, loops in body.holes.items():
            holes[face + number] = [[corner + first for corner in loop] for loop in loops]
    everyone = np.arange(len(bodies))
    return Bodies(
        vertices=np.round(np.concatenate([body.vertices for body in bodies]) + np.concatenate(moved), 9) + 0.0,
        job_of_vertex=np.repeat(everyone, np.diff(points)),
        ends=np.concatenate([body.ends + first for body, first in zip(bodies, points)]),
        smooth=np.concatenate([body.smooth for body in bodies]),
        edge_faces=np.concatenate([body.edge_faces + first for body, first in zip(bodies, faces)]),
        normals=np.concatenate([body.normals for body in bodies]),
        job_of_face=np.repeat(everyone, np.diff(faces)),
        corners=np.concatenate([body.corners + first for body, first in zip(bodies, points)]),
        sizes=np.concatenate([body.sizes for body in bodies]),
        holes=holes,
    )


def parted_by_job(found: Faces, bounds: Sequence[tuple[tuple[float, ...], ...]]) -> list[Body]:
    """The bodies of several jobs one by one; `bounds` says for each, axis by axis, where its stretches part."""
    jobs, outlines = len(bounds), found.outlines
    face_job = outlines.job[found.plane]
    vertex_job = np.zeros(len(outlines.vertices), int)
    vertex_job[outlines.ends] = outlines.job[outlines.left][:, None]
    face, vertex = Dealt(face_job, jobs), Dealt(vertex_job, jobs)
    edge = Dealt(face_job[found.edge_faces[:, 0]], jobs)
    corner = Dealt(np.repeat(face_job, found.sizes), jobs)
    made = []
    for job, parted in enumerate(bounds):
        faces, vertices, edges, corners = (
            dealt.order[dealt.starts[job] : dealt.starts[job + 1]] for dealt in (face, vertex, edge, corner)
        )
        places = outlines.vertices[vertices]
        made.append(
            Body(
                vertices=places,
                stretch=_stretches(places, parted),
                ends=vertex.own[outlines.ends[edges]],
                smooth=outlines.smooth[edges],
                edge_faces=face.own[found.edge_faces[edges]],
                normals=outlines.normals[found.plane[faces]],
                corners=vertex.own[found.corners[corners]],
                sizes=found.sizes[faces],
                holes={
                    int(face.own[each]): [vertex.own[loop].tolist() for loop in loops]
                    for each, loops in found.holes.items()
                    if face_job[each] == job
                },
            )
        )
    return made


def _stretches(places: np.ndarray, bounds: tuple[tuple[float, ...], ...]) -> np.ndarray:
    found, first = np.empty(places.shape, int), 0
    for k, parted in enumerate(bounds):
        found[:, k] = first + np.searchsorted(parted, places[:, k])
        first += len(parted) + 1
    return found


def _firsts(counts: list[int]) -> list[int]:
    return np.cumsum([0, *counts]).tolist()
