"""Core's meshes as the flat arrays that Blender takes in one go."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from .core.frozen import quickly_made
from .core.model import Body
from .core.solids import Mesh, mesh_of_body

ACROSS_GRAIN = 0.35  # a face that shows less of the part's length than this is end grain; ours


@dataclass(frozen=True, slots=True, eq=False)
class Net:
    """How the vertices of a mesh hang together, whatever their places."""

    corners: np.ndarray  # (c,) int32, vertex of each corner
    starts: np.ndarray  # (p,) int32, first corner of each polygon
    edges: np.ndarray  # (2 e,) int32
    corner_edges: np.ndarray  # (c,) int32, the edge from each corner to the next
    sharp_edges: np.ndarray  # (e,) bool, the marked feature edges
    flat: np.ndarray  # (p,) bool, False on the facets of a round
    faces: np.ndarray  # (c,) int32, the planar face that each corner is a corner of


@quickly_made
@dataclass(frozen=True, slots=True, eq=False)
class Drawn:
    """One mesh in Blender units: flat arrays, and two digests, of all of it and of its topology alone."""

    mesh: Mesh
    scale: float
    positions: np.ndarray  # (3 v,) float32
    first: list[float]  # of the first vertex
    net: Net
    hanging: str  # digest of the net
    slots: np.ndarray | None  # (p,) int32, the material slot of each polygon; None: the first
    behind: np.ndarray | None  # (v,) float32, how far each vertex lies behind the fronts, Blender units
    digest: str
    topology: str
    substances: tuple[str, ...] = ()  # of a fitting: what its material slots are for


@lru_cache(maxsize=1024)
def uv_of(drawn: Drawn) -> np.ndarray:
    """Coordinates of every corner on its own face, (2 c,) float32: x along the part's length, in Blender units."""
    return (_uv(drawn.mesh, drawn.net, drawn.hanging) * drawn.scale).astype(np.float32).ravel()


@lru_cache(maxsize=4096)
def drawn_part(mesh: Mesh, scale: float, slots: bytes = b"", behind: bytes = b"") -> Drawn:
    """A part's mesh, remembered by what it is, not by its value; `slots` and `behind` are the bytes of those arrays."""
    return _drawn(
        mesh,
        scale,
        np.frombuffer(slots, np.int32) if slots else None,
        np.frombuffer(behind, np.float32) if behind else None,
    )


def drawn_fitting(bodies: tuple[Body, ...], scale: float) -> Drawn:
    """All bodies of a fitting in one mesh; the material slots are for its substances in order of appearance."""
    known = _fittings.get((id(bodies), scale))  # the library gives the same bodies each time, and they are dear to hash
    if known is None or known[0] is not bodies:
        while len(_fittings) >= REMEMBERED:
            _fittings.pop(next(iter(_fittings)))
        known = _fittings[id(bodies), scale] = bodies, _drawn_bodies(bodies, scale)
    return known[1]


_fittings: dict[
    tuple[int, float], tuple[tuple[Body, ...], Drawn]
] = {}  # the bodies are held, so that no others get their number


@lru_cache(maxsize=1024)
def _drawn_bodies(bodies: tuple[Body, ...], scale: float) -> Drawn:
    substances = list(dict.fromkeys(body.substance for body in bodies))
    meshes = [mesh_of_body(body) for body in bodies]
    of_body = [
        np.full(len(mesh.face_of), substances.index(body.substance), np.int32)
        for mesh, body in zip(meshes, bodies, strict=True)
    ]
    slots = np.concatenate(of_body) if len(substances) > 1 else None
    return replace(_drawn(_joined(meshes), scale, slots), substances=tuple(substances))


def _joined(meshes: list[Mesh]) -> Mesh:
    """Several solids as one mesh of several shells."""

    def chained(name: str, counts: list[int]) -> np.ndarray:
        offsets = np.cumsum([0, *counts[:-1]])
        return np.concatenate([getattr(mesh, name) + offset for mesh, offset in zip(meshes, offsets, strict=True)])

    vertices = [len(mesh.vertices) for mesh in meshes]
    faces = [len(mesh.normals) for mesh in meshes]
    starts = np.cumsum(np.concatenate([[0], *(np.diff(mesh.starts) for mesh in meshes)]))
    return Mesh(
        vertices=np.concatenate([mesh.vertices for mesh in meshes]),
        corners=chained("corners", vertices),
        starts=starts,
        face_of=chained("face_of", faces),
        normals=np.concatenate([mesh.normals for mesh in meshes]),
        edges=chained("edges", vertices),
        edge_faces=chained("edge_faces", faces),
        marked=np.concatenate([mesh.marked for mesh in meshes]),
    )


def _drawn(mesh: Mesh, scale: float, slots: np.ndarray | None, behind: np.ndarray | None = None) -> Drawn:
    positions = (mesh.vertices * scale).astype(np.float32).ravel()
    hanging = _digest([mesh.corners, mesh.starts, mesh.face_of, mesh.edges, mesh.edge_faces, mesh.marked])
    net = _nets.get(hanging)
    if net is None:
        net = _nets[hanging] = _net(mesh)
    topology = _digest([] if slots is None else [slots], f"{hanging} {behind is not None}")
    return Drawn(
        mesh=mesh,
        scale=scale,
        positions=positions,
        first=positions[:3].tolist(),
        net=net,
        hanging=hanging,
        slots=slots,
        behind=behind,
        topology=topology,
        digest=_digest([positions] if behind is None else [positions, behind], topology),
    )


_nets: dict[str, Net] = {}  # by digest; a drag changes places, hardly ever a net


def _net(mesh: Mesh) -> Net:
    count = len(mesh.vertices)
    edge_keys, corner_edges = np.unique(_keys(*_sides(mesh).T, count), return_inverse=True)
    round_faces = np.zeros(len(mesh.normals), bool)
    round_faces[mesh.edge_faces[~mesh.marked]] = True
    return Net(
        corners=np.ascontiguousarray(mesh.corners, np.int32),
        starts=np.ascontiguousarray(mesh.starts[:-1], np.int32),
        edges=np.stack(np.divmod(edge_keys, count), axis=1).astype(np.int32).ravel(),
        corner_edges=corner_edges.astype(np.int32).ravel(),
        sharp_edges=np.isin(edge_keys, _keys(*mesh.edges[mesh.marked].T, count)),
        flat=~round_faces[mesh.face_of],
        faces=np.repeat(mesh.face_of, np.diff(mesh.starts)),
    )


def _sides(mesh: Mesh) -> np.ndarray:
    """Both vertices of every polygon side, (c, 2) int64."""
    after = np.arange(1, len(mesh.corners) + 1)
    after[mesh.starts[1:] - 1] = mesh.starts[:-1]
    return np.stack((mesh.corners, mesh.corners[after]), axis=1).astype(np.int64)


def _keys(a: np.ndarray, b: np.ndarray, count: int) -> np.ndarray:
    """One number for each edge, whichever way it runs."""
    return np.minimum(a, b).astype(np.int64) * count + np.maximum(a, b)


def _uv(mesh: Mesh, net: Net, hanging: str) -> np.ndarray:
    """Metric coordinates of every corner on its own face, (c, 2) mm: along the part's length, and across it."""
    key = hanging, mesh.normals.tobytes()
    ways = _ways.get(key)
    if ways is None:
        while len(_ways) >= REMEMBERED:
            _ways.pop(next(iter(_ways)))
        ways = _ways[key] = _ways_of(mesh.normals)
    return np.einsum("ij,ijk->ik", mesh.vertices[net.corners], ways[net.faces])


REMEMBERED = 1024  # faces of so many meshes
_ways: dict[tuple[str, bytes], np.ndarray] = {}  # (f, 3, 2), by net and normals; a drag changes hardly any


def _ways_of(normals: np.ndarray) -> np.ndarray:
    """The two directions in which each face is measured, (f, 3, 2)."""
    along = -normals * normals[:, :1]
    along[:, 0] += 1.0
    end = (along * along).sum(axis=1) < ACROSS_GRAIN**2
    if end.any():
        along[end] = -normals[end] * normals[end, 1:2]
        along[end, 1] += 1.0
    along /= np.sqrt((along * along).sum(axis=1, keepdims=True))
    across = normals[:, _NEXT] * along[:, _LAST] - normals[:, _LAST] * along[:, _NEXT]
    return np.stack((along, across), axis=2)


_NEXT, _LAST = (1, 2, 0), (2, 0, 1)  # of a vector's coordinates, for the vector product


def _digest(arrays: list[np.ndarray], before: str = "") -> str:
    held = [before.encode()]
    for each in arrays:
        held += [len(each).to_bytes(4, "little"), each.tobytes()]
    return hashlib.blake2b(b"".join(held), digest_size=12).hexdigest()
