"""What hides what stands behind it: solids read as convex bodies, the cavities sunk into them, and flat convex faces.

A solid is first filled: a cavity with convex walls, reached only through flat mouths (a blind hole, a mortise, a
stopped groove, a plain through hole), counts as full. No line of sight from outside passes a blind one without meeting
its walls, so filling it hides nothing that is seen; a through one lets through what is seen in two of its mouths at
once. What stands in a cavity is seen through its mouth.

A shell (a closed surface; a solid may have several) that is convex when filled hides as a whole. Of any other, every
face hides by itself, split into convex polygons; loops inside a face that are not mouths stay open.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import accumulate

import numpy as np

from .regions import convex_loops
from .runs import linked, spread, starts_of
from .scene import Scene

FLAT = 1e-7  # sine of a bend between two faces that counts as none


@dataclass(frozen=True, slots=True, eq=False)
class Rings:
    """r convex outlines on faces; their directed sides, seen from outside, have the inside at the left hand."""

    face: np.ndarray  # (r,)
    starts: np.ndarray  # (r + 1,)
    tail: np.ndarray  # (c,) vertex
    head: np.ndarray  # (c,) vertex
    seam: np.ndarray  # (c,) bool: a cut through the face, not its border


@dataclass(frozen=True, slots=True, eq=False)
class Occluders:
    """How every solid of a scene hides, whatever the view; only numbers into the scene, no coordinates."""

    bend: np.ndarray  # (e,) sine of the bend over each edge: positive a ridge, negative a valley
    face_shell: np.ndarray  # (f,) the closed surface a face belongs to; a mesh may have several
    shell_faces: np.ndarray  # (s,) one face of each shell
    shell_vertices: np.ndarray  # (k,) the vertices of all shells, shell by shell
    shell_vertex_starts: np.ndarray  # (s + 1,)
    convex: np.ndarray  # (s,) bool: the filled shell is convex and hides as a whole
    face_cavity: np.ndarray  # (f,) the cavity whose wall a face is, −1 for none
    edge_cavity: np.ndarray  # (e,) the cavity on whose wall an edge lies, −1 for none
    edge_mouth: np.ndarray  # (e,) the mouth on whose rim an edge lies, −1 for none
    cavities: int
    cavity_edges: np.ndarray  # (k,) the edges of all cavities, cavity by cavity
    cavity_edge_starts: np.ndarray  # (cavities + 1,)
    cavity_walls: np.ndarray  # (w,) the walls of all cavities, cavity by cavity
    cavity_wall_starts: np.ndarray  # (cavities + 1,)
    mouths: Rings
    mouth_cavity: np.ndarray  # (r,) in rising order
    flats: Rings  # convex pieces of the filled faces of solids that are not convex
    openings: Rings  # convex pieces of what is left open in those faces


def occluders(scene: Scene) -> Occluders:
    """How the solids of a scene hide."""
    bend = _bends(scene)
    left, right = scene.edge_faces.T
    first_face = linked(len(scene.normals), left, right)
    starts_shell = first_face == np.arange(len(first_face))
    face_shell = (np.cumsum(starts_shell) - 1)[first_face]
    sides = _Sides.of(scene)
    whole = np.ones(len(scene.meshes), bool)  # solids whose faces can be walked around
    while True:
        cavities = _cavities(scene, bend, whole)
        convex = _convex_shells(scene, bend, face_shell, cavities.of_face)
        flats, openings, tangled = _faces(scene, sides, cavities.of_face, convex[face_shell], whole)
        if not len(tangled):
            break
        whole[tangled] = False
    vertex_shell = np.full(len(scene.vertices), -1)
    vertex_shell[scene.edges] = face_shell[left][:, None]
    vertices = np.argsort(vertex_shell, kind="stable")[np.count_nonzero(vertex_shell < 0) :]
    edge_cavity = np.maximum(cavities.of_face[left], cavities.of_face[right])
    edges = np.argsort(edge_cavity, kind="stable")[np.count_nonzero(edge_cavity < 0) :]
    walls = np.argsort(cavities.of_face, kind="stable")[np.count_nonzero(cavities.of_face < 0) :]
    return Occluders(
        bend=bend,
        face_shell=face_shell,
        shell_faces=np.flatnonzero(starts_shell),
        shell_vertices=vertices,
        shell_vertex_starts=starts_of(vertex_shell[vertices], len(convex)),
        convex=convex,
        face_cavity=cavities.of_face,
        edge_cavity=edge_cavity,
        edge_mouth=cavities.mouth_of_edge,
        cavities=cavities.count,
        cavity_edges=edges,
        cavity_edge_starts=starts_of(edge_cavity[edges], cavities.count),
        cavity_walls=walls,
        cavity_wall_starts=starts_of(cavities.of_face[walls], cavities.count),
        mouths=cavities.mouths,
        mouth_cavity=cavities.of_mouth,
        flats=flats,
        openings=openings,
    )


def _bends(scene: Scene) -> np.ndarray:
    """The sine of the bend over every edge, (e,): positive where the solid fills less than half of what is around."""
    a, b = (scene.normals[scene.edge_faces[:, side]].T for side in (0, 1))
    along = (scene.vertices[scene.edges[:, 1]] - scene.vertices[scene.edges[:, 0]]).T
    across = (
        (a[1] * b[2] - a[2] * b[1]) * along[0]
        + (a[2] * b[0] - a[0] * b[2]) * along[1]
        + (a[0] * b[1] - a[1] * b[0]) * along[2]
    )
    return across / np.sqrt((along * along).sum(axis=0))


# ------------------------------------------------------------------------------------------------------------- cavities
@dataclass(frozen=True, slots=True, eq=False)
class _Cavities:
    count: int
    of_face: np.ndarray  # (f,)
    mouths: Rings
    of_mouth: np.ndarray  # (r,)
    mouth_of_edge: np.ndarray  # (e,)


def _cavities(scene: Scene, bend: np.ndarray, allowed: np.ndarray) -> _Cavities:
    """The convex cavities of the allowed solids.

    Faces that meet in valleys are gathered; a gathering is a cavity if no ridge runs inside it and everything around it
    is whole loops, each on one face: walls and mouths are then a closed surface that bends one way only, so convex.
    """
    left, right = scene.edge_faces.T
    valley = bend <= FLAT
    group = linked(len(scene.normals), left[valley], right[valley])
    hollow = np.zeros(len(group), bool)  # by the number of the gathering
    hollow[group[left[bend < -FLAT]]] = True
    inner = group[left] == group[right]
    hollow[group[left[inner & ~valley]]] = False
    hollow &= allowed[scene.face_solid]
    rim = _rims(scene, group, hollow, np.flatnonzero(~inner))
    _strike_unsound(rim, group, hollow)
    found = np.flatnonzero(hollow & (group == np.arange(len(group))))
    number = np.full(len(group), -1)
    number[found] = np.arange(len(found))
    rim = rim[:, hollow[rim[_GROUP]]]
    keys = number[rim[_GROUP]] * len(group) + rim[_HOST]
    order = np.argsort(keys, kind="stable")
    rim, keys = rim[:, order], keys[order]
    first = np.flatnonzero(np.diff(keys, prepend=-1))
    mouths = Rings(
        face=rim[_HOST, first],
        starts=np.append(first, len(keys)),
        tail=rim[_TAIL],
        head=rim[_HEAD],
        seam=np.zeros(len(keys), bool),
    )
    mouth_of_edge = np.full(len(bend), -1)
    mouth_of_edge[rim[_EDGE]] = np.repeat(np.arange(len(first)), np.diff(mouths.starts))
    return _Cavities(len(found), number[group], mouths, number[rim[_GROUP, first]], mouth_of_edge)


_GROUP, _HOST, _TAIL, _HEAD, _EDGE = range(5)


def _rims(scene: Scene, group: np.ndarray, hollow: np.ndarray, outer: np.ndarray) -> np.ndarray:
    """The edges around hollow gatherings, (5, k): gathering, face beyond, tail, head and number of the edge.

    From tail to head the gathering is at the left hand.
    """
    found = []
    for own, host, tail, head in ((0, 1, 0, 1), (1, 0, 1, 0)):
        edge = outer[hollow[group[scene.edge_faces[outer, own]]]]
        found.append(
            (
                group[scene.edge_faces[edge, own]],
                scene.edge_faces[edge, host],
                scene.edges[edge, tail],
                scene.edges[edge, head],
                edge,
            )
        )
    return np.concatenate(found, axis=1)


def _strike_unsound(rim: np.ndarray, group: np.ndarray, hollow: np.ndarray) -> None:
    """Strike off gatherings whose rims are not whole loops, each on one face, or touch or lie in one another."""
    size = 1 + int(rim[_TAIL:_EDGE].max(initial=0))
    begins, ends = rim[_HOST] * size + rim[_TAIL], rim[_HOST] * size + rim[_HEAD]
    by_begin, by_end = np.lexsort((begins, rim[_GROUP])), np.lexsort((ends, rim[_GROUP]))
    open_ended = begins[by_begin] != ends[by_end]
    hollow[rim[_GROUP, by_begin[open_ended]]] = False
    rim = rim[:, hollow[rim[_GROUP]]]
    tails = np.sort(rim[_TAIL])
    touching = np.isin(rim[_TAIL], tails[1:][tails[1:] == tails[:-1]])
    nested = hollow[group[rim[_HOST]]]
    hollow[rim[_GROUP, touching | nested]] = False


# --------------------------------------------------------------------------------------------------------------- shells
def _convex_shells(scene: Scene, bend: np.ndarray, face_shell: np.ndarray, face_cavity: np.ndarray) -> np.ndarray:
    """Whether each shell, its cavities filled, is convex, (s,).

    A closed surface in one piece that bends outward at every edge is convex (Tietze and Nakajima).
    """
    body = (face_cavity[scene.edge_faces] < 0).all(axis=1)
    convex = np.ones(1 + face_shell.max(), bool)
    convex[face_shell[scene.edge_faces[body & (bend < -FLAT), 0]]] = False
    left, right = scene.edge_faces[body & convex[face_shell[scene.edge_faces[:, 0]]]].T
    group = linked(len(face_cavity), left, right)
    pieces = (group == np.arange(len(group))) & (face_cavity < 0)
    return convex & (np.bincount(face_shell[pieces], minlength=len(convex)) == 1)


# ---------------------------------------------------------------------------------------------------------------- faces
@dataclass(frozen=True, slots=True, eq=False)
class _Sides:
    """The borders of all faces as directed sides, the face at the left hand: every edge twice."""

    face: np.ndarray
    tail: np.ndarray
    head: np.ndarray
    beyond: np.ndarray  # the face on the other side

    @classmethod
    def of(cls, scene: Scene) -> _Sides:
        left, right = scene.edge_faces.T
        start, end = scene.edges.T
        return cls(
            np.concatenate((left, right)),
            np.concatenate((start, end)),
            np.concatenate((end, start)),
            np.concatenate((right, left)),
        )

    def of_faces(self, chosen: np.ndarray, face_cavity: np.ndarray) -> _Sides:
        """The sides of the chosen faces, (f,) bool, without the rims of mouths."""
        kept = np.flatnonzero(chosen[self.face] & (face_cavity[self.beyond] < 0))
        return _Sides(self.face[kept], self.tail[kept], self.head[kept], self.beyond[kept])


def _faces(
    scene: Scene, sides: _Sides, face_cavity: np.ndarray, convex: np.ndarray, whole: np.ndarray
) -> tuple[Rings, Rings, np.ndarray]:
    """Convex pieces of the filled faces not of convex shells, of what stays open in them, and the solids that fail.

    `convex` is (f,) bool, of each face's shell; `whole` is (s,) bool, of solids. A solid fails whose faces have borders
    that touch or lack a next side; it is done again by its polygons, nothing filled.
    """
    chosen = (face_cavity < 0) & ~convex & whole[scene.face_solid]
    own = sides.of_faces(chosen, face_cavity)
    following = _following(own, len(scene.vertices))
    tangled = np.unique(scene.face_solid[own.face[following < 0]])
    if len(tangled):
        return _NO_RINGS, _NO_RINGS, tangled
    loops = _Loops.of(scene, own, following)
    by_polygon = [_polygon_rings(scene, int(solid), ~convex) for solid in np.flatnonzero(~whole)]
    return _joined([loops.rings(scene, own, outer=True), *by_polygon]), loops.rings(scene, own, outer=False), tangled


def _following(sides: _Sides, vertices: int) -> np.ndarray:
    """The next side around the same face, (k,); −1 where there is none or a choice."""
    begins, ends = sides.face * vertices + sides.tail, sides.face * vertices + sides.head
    order = np.argsort(begins, kind="stable")
    begins = begins[order]
    low, high = np.searchsorted(begins, ends), np.searchsorted(begins, ends, side="right")
    return np.where(high - low == 1, order[np.minimum(low, len(order) - 1)], -1) if len(order) else order


@dataclass(frozen=True, slots=True, eq=False)
class _Loops:
    """Sides gathered to loops: side `order[k]` for k from starts[i] to starts[i + 1] belongs to loop i."""

    order: np.ndarray
    starts: np.ndarray
    outer: np.ndarray  # (l,) bool: runs around the face, not around an opening in it
    convex: np.ndarray  # (l,) bool
    following: np.ndarray

    @classmethod
    def of(cls, scene: Scene, sides: _Sides, following: np.ndarray) -> _Loops:
        loop = linked(len(following), np.arange(len(following)), following)
        order = np.argsort(loop, kind="stable")
        loop = loop[order]
        starts = np.append(np.flatnonzero(np.diff(loop, prepend=-1)), len(loop))
        normal = scene.normals[sides.face]
        tail, head = scene.vertices[sides.tail], scene.vertices[sides.head]
        step = head - tail
        after = step[following]
        anchor = scene.vertices[scene.anchors[sides.face]]
        area = np.einsum("ij,ij->i", np.cross(tail - anchor, head - anchor), normal)
        turn = np.einsum("ij,ij->i", np.cross(step, after), normal) / np.sqrt(
            (step * step).sum(axis=1) * (after * after).sum(axis=1)
        )
        if not len(loop):
            return cls(order, starts, np.zeros(0, bool), np.zeros(0, bool), following)
        outer = np.add.reduceat(area[order], starts[:-1]) > 0
        convex = (
            np.where(
                outer, np.minimum.reduceat(turn[order], starts[:-1]), -np.maximum.reduceat(turn[order], starts[:-1])
            )
            >= -FLAT
        )
        return cls(order, starts, outer, convex, following)

    def rings(self, scene: Scene, sides: _Sides, *, outer: bool) -> Rings:
        """The loops around faces, or those around openings, as convex rings."""
        simple = np.flatnonzero((self.outer == outer) & self.convex)
        _, place = spread(self.starts, simple)
        side = self.order[place]
        tail, head = (sides.tail, sides.head) if outer else (sides.head, sides.tail)
        ready = Rings(
            face=sides.face[self.order[self.starts[simple]]],
            starts=np.append(0, np.cumsum(np.diff(self.starts)[simple])),
            tail=tail[side],
            head=head[side],
            seam=np.zeros(len(side), bool),
        )
        split = [self._split(scene, sides, int(i), outer) for i in np.flatnonzero((self.outer == outer) & ~self.convex)]
        return _joined([ready, *split])

    def _split(self, scene: Scene, sides: _Sides, i: int, outer: bool) -> Rings:
        side = int(self.order[self.starts[i]])
        walk = [side]
        while (following := int(self.following[walk[-1]])) != side:
            walk.append(following)
        loop = sides.tail[walk if outer else walk[::-1]]
        return _ring_split(scene, int(sides.face[side]), loop)


def _polygon_rings(scene: Scene, solid: int, chosen: np.ndarray) -> Rings:
    """Every polygon of a solid's chosen faces, (f,) bool, as convex rings."""
    mesh = scene.meshes[solid]
    faces = mesh.face_of + scene.face_starts[solid]
    corners = mesh.corners + scene.vertex_starts[solid]
    bounds = zip(faces.tolist(), mesh.starts.tolist(), mesh.starts[1:].tolist(), strict=False)
    return _joined([_NO_RINGS, *(_ring_split(scene, face, corners[a:b]) for face, a, b in bounds if chosen[face])])


def _ring_split(scene: Scene, face: int, loop: np.ndarray) -> Rings:
    """A loop of vertices around a face, counter-clockwise, as convex rings."""
    pieces = convex_loops(_flattened(scene.vertices[loop], scene.normals[face]))
    tail = np.array([corner for piece in pieces for corner in piece])
    head = np.array([corner for piece in pieces for corner in (*piece[1:], piece[0])])
    starts = [0, *accumulate(len(piece) for piece in pieces)]
    return Rings(
        face=np.full(len(pieces), face),
        starts=np.array(starts),
        tail=loop[tail],
        head=loop[head],
        seam=head != (tail + 1) % len(loop),
    )


def _flattened(points: np.ndarray, normal: np.ndarray) -> np.ndarray:
    """Points of a plane, (n, 3), as (n, 2), true to size, counter-clockwise about the normal.

    The first side lies along x, so that a face comes out the same wherever its solid stands, and is split but once.
    """
    right = points[1] - points[0]
    right = right / math.sqrt(right @ right)
    x, y, z = normal.tolist()
    p, q, r = right.tolist()
    return points @ np.array((right, (y * r - z * q, z * p - x * r, x * q - y * p))).T


def _joined(rings: list[Rings]) -> Rings:
    sizes = np.concatenate([np.diff(ring.starts) for ring in rings])
    face, tail, head, seam = (
        np.concatenate([getattr(ring, name) for ring in rings]) for name in ("face", "tail", "head", "seam")
    )
    return Rings(face, np.append(0, np.cumsum(sizes)), tail, head, seam)


_NOTHING = np.zeros(0, np.int64)
_NO_RINGS = Rings(_NOTHING, np.zeros(1, np.int64), _NOTHING, _NOTHING, np.zeros(0, bool))
