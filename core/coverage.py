"""What of a piece is coated: the faces of its parts less where they touch one another, by finish group.

Areas come from the solids, as if holes, hinge recesses, slots and mortises were not there: nobody paints them, and
what goes in covers them. Two faces touch where they look at each other in one plane; `CLOSED` allows for the play of a groove.
Faces of the carcass that look into a compartment belong to its inside. Areas in mm²; bands in the part's own frame, mm.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Literal

import numpy as np

from .built import BuiltJob
from .geometry import Placement
from .model import Bay, End, Hole, Model, Part, Pocket, Shape
from .solids import Mesh, face_areas, meshes_of, placed
from .solids.mesh import flattened
from .solids.polygons import triangles

Kind = Literal["face", "edge", "bevel", "end of leg", "rear"]
KINDS: tuple[Kind, ...] = ("face", "edge", "bevel", "end of leg", "rear")

HIDDEN = 1.5  # mm before an edge in which nobody sees it: a back's or a bottom's play in its groove; ours
CLOSED = 0.35  # mm between two faces that touch: the play of a tongue in its groove; common practice, no source
NEAR_BAY = 1.0  # mm between a wall and the side of the compartment that it bounds
LEG_END = 60.0  # mm above the floor; what looks down below it drinks what the floor is mopped with
SQUARE = 0.9999  # cosine between directions that count as one
COATED = ("sheet", "solid")  # kinds of material; glass and metal are not coated
INSIDE, OUTSIDE = "inside", "carcass"
UNPAINTED = ("recess", "slot", "mortise")  # pockets that something fills
SLIVER = 1.0  # mm²; what is smaller is rounding
OPEN = 0.5  # share of an edge that must be open for the edge to count as open; ours
TO_THE_WALL = 0.7  # how far toward the rear an edge looks that nobody sees; ours
EDGES: tuple[End, ...] = ("face edge", "back edge", "head end", "foot end")

Flat = tuple[tuple[float, float], ...]  # a convex polygon in the plane of a face


@dataclass(frozen=True, slots=True)
class Surface:
    """What of one kind of face of one part is open to the air, mm²; `weak` where its board wants its edges sealed."""

    part: str
    group: str
    kind: Kind
    area: float
    weak: bool


@dataclass(frozen=True, slots=True)
class Band:
    """A rectangle around where another part touches a face: corners along the part's length and width, mm.

    `face` is "face side" or "back side", `touches` the other part.
    """

    part: str
    face: Literal["face side", "back side"]
    touches: str
    low: tuple[float, float]
    high: tuple[float, float]


@dataclass(frozen=True, slots=True)
class OpenEdge:
    """An edge or end of a part (one of `EDGES`) more than half of which nothing covers.

    `shows` unless it looks to the wall or the floor, or into something nearly touching; `weak` where its board wants it sealed, were it painted.
    """

    part: str
    edge: End
    shows: bool
    weak: bool


@dataclass(frozen=True, slots=True)
class Coverage:
    """All surfaces of a model and the bands that stay bare because something is glued or laid there.

    `inside_faces` are the sides of parts of the carcass that look into a compartment, `edges` what is open of edges and ends.
    """

    surfaces: tuple[Surface, ...]
    bands: tuple[Band, ...]
    inside_faces: frozenset[tuple[str, str]] = frozenset()
    edges: tuple[OpenEdge, ...] = ()

    def area(self, group: str | None = None, kind: Kind | None = None) -> float:
        """The area in m² of a group and kind; of all where none is named."""
        some = (each for each in self.surfaces if group in (None, each.group) and kind in (None, each.kind))
        return sum(each.area for each in some) / 1e6

    def bare_bands(self) -> tuple[Band, ...]:
        """The bands on faces that look into a compartment: what is masked where insides are painted before glue-up."""
        inside = {each.part for each in self.surfaces if each.group == INSIDE}
        looking_in = {key for key, _ in self.inside_faces}
        return tuple(
            each
            for each in self.bands
            if (each.part, each.face) in self.inside_faces or (each.part in inside and each.part not in looking_in)
        )

    def weak_area(self, group: str, kind: Kind) -> float:
        """The area in m² of a group and kind that wants sealing."""
        return sum(each.area for each in self.surfaces if each.weak and (each.group, each.kind) == (group, kind)) / 1e6


def coverages(job: BuiltJob) -> tuple[Coverage, ...]:
    """The coverage of each piece of a job, worked out once."""
    if "coverages" not in job.kept:
        job.kept["coverages"] = tuple(coverage(built.model) for built in job.pieces)
    return job.kept["coverages"]


def coverage(model: Model) -> Coverage:
    """Which faces of a model's parts are open, and where they are covered."""
    parts = [part for part in model.parts if part.board.material.kind in COATED]
    whole = _faces(parts)
    covered: dict[int, list[Flat]] = {}
    hidden: dict[int, float] = {}
    bands = []
    for one, other in _touching(whole, HIDDEN):
        pieces = list(_common(whole.pieces(one), whole.frame(one, whole.pieces_there[other])))
        area = sum(map(_area, pieces))
        hidden[one] = hidden.get(one, 0.0) + area
        if area > SLIVER and abs(whole.offsets[one] + whole.offsets[other]) <= CLOSED:
            covered.setdefault(one, []).extend(pieces)
            bands += _band(parts, whole, one, other, pieces)
    inside = _inside(model, parts, whole, covered)
    looking_in = ((parts[whole.owner[one]], whole.normals[one]) for one in inside)
    faces = frozenset((part.key, side) for part, normal in looking_in if (side := _side(part, normal)))
    surfaces, edges = _surfaces(parts, whole, covered, inside), _open_edges(parts, whole, covered, hidden)
    return Coverage(tuple(surfaces), tuple(_joined(bands)), faces, tuple(edges))


# ------------------------------------------------------------------------------------------------------------- faces
@dataclass(frozen=True)
class _Faces:
    """Planar faces of several solids: outward normals, places, areas, boxes, and their convex pieces in space."""

    owner: np.ndarray  # (f,)
    normals: np.ndarray  # (f, 3)
    offsets: np.ndarray  # (f,)
    areas: np.ndarray  # (f,)
    low: np.ndarray  # (f, 3)
    high: np.ndarray  # (f, 3)
    pieces_there: tuple[tuple[np.ndarray, ...], ...]

    @cached_property
    def _axes(self) -> dict[int, np.ndarray]:
        return {}

    def axes(self, number: int) -> np.ndarray:
        """Two directions in the plane of a face, (2, 3), right-handed with its normal."""
        if number not in self._axes:
            self._axes[number] = _plane_axes(self.normals[number].tolist())
        return self._axes[number]

    def frame(self, number: int, some: Iterable[np.ndarray]) -> tuple[Flat, ...]:
        """Polygons in space as the plane of a face sees them, anticlockwise."""
        return tuple(_anticlockwise((piece @ self.axes(number).T).tolist()) for piece in some)

    def pieces(self, number: int) -> tuple[Flat, ...]:
        """The convex pieces of a face in its own plane."""
        return self.frame(number, self.pieces_there[number])


def _faces(parts: Sequence[Part]) -> _Faces:
    meshes = meshes_of(replace(part.shape, features=_painted_over(part.shape)) for part in parts)
    return _gathered([placed(mesh, part.place) for mesh, part in zip(meshes, parts, strict=True)])


def _painted_over(shape: Shape) -> tuple:
    """The features that change what there is to coat."""
    return tuple(
        each
        for each in shape.features
        if not isinstance(each, Hole) and not (isinstance(each, Pocket) and each.kind in UNPAINTED)
    )


def _gathered(meshes: Sequence[Mesh]) -> _Faces:
    pieces: list[tuple[np.ndarray, ...]] = []
    lows, highs, offsets = [], [], []
    for mesh in meshes:
        corners, convex = mesh.vertices[mesh.corners], _are_convex(mesh)
        loops = np.split(corners, mesh.starts[1:-1])
        of_face: list[list[np.ndarray]] = [[] for _ in mesh.normals]
        for loop, face, is_convex in zip(loops, mesh.face_of.tolist(), convex.tolist(), strict=True):
            of_face[face] += [loop] if is_convex else _cut_up(loop, mesh.normals[face])
        order = np.repeat(mesh.face_of, np.diff(mesh.starts))
        low, high = np.full((len(mesh.normals), 3), np.inf), np.full((len(mesh.normals), 3), -np.inf)
        np.minimum.at(low, order, corners)
        np.maximum.at(high, order, corners)
        offset = np.zeros(len(mesh.normals))
        offset[order] = np.einsum("ij,ij->i", corners, mesh.normals[order])
        pieces += map(tuple, of_face)
        lows.append(low)
        highs.append(high)
        offsets.append(offset)
    return _Faces(
        owner=np.repeat(np.arange(len(meshes)), [len(mesh.normals) for mesh in meshes]),
        normals=np.concatenate([mesh.normals for mesh in meshes]),
        offsets=np.concatenate(offsets),
        areas=np.concatenate([face_areas(mesh) for mesh in meshes]),
        low=np.concatenate(lows),
        high=np.concatenate(highs),
        pieces_there=tuple(pieces),
    )


def _are_convex(mesh: Mesh) -> np.ndarray:
    """Which polygons of a mesh turn only one way, (p,)."""
    after = np.arange(1, len(mesh.corners) + 1)
    after[mesh.starts[1:] - 1] = mesh.starts[:-1]
    corners = mesh.vertices[mesh.corners]
    side = corners[after] - corners
    (x, y, z), (u, v, w) = side.T, side[after].T
    turn = np.stack((y * w - z * v, z * u - x * w, x * v - y * u), axis=1)
    normals = mesh.normals[np.repeat(mesh.face_of, np.diff(mesh.starts))]
    return np.logical_and.reduceat(np.einsum("ij,ij->i", turn, normals) > -1e-6, mesh.starts[:-1])


def _cut_up(loop: np.ndarray, normal: np.ndarray) -> list[np.ndarray]:
    return [loop[list(corners)] for corners in triangles(flattened(loop, normal), range(len(loop)))]


def _plane_axes(normal: list[float]) -> np.ndarray:
    x, y, z = normal
    u = (0.0, z, -y) if abs(x) <= min(abs(y), abs(z)) else (-z, 0.0, x) if abs(y) <= abs(z) else (y, -x, 0.0)
    size = math.sqrt(u[0] ** 2 + u[1] ** 2 + u[2] ** 2)
    a, b, c = u[0] / size, u[1] / size, u[2] / size
    return np.array(((a, b, c), (y * c - z * b, z * a - x * c, x * b - y * a)))


# --------------------------------------------------------------------------------------------------- what touches what
def _touching(faces: _Faces, gap: float, others: _Faces | None = None) -> Iterator[tuple[int, int]]:
    """Pairs of faces that look at each other across at most a gap and may share an area; of others, where given."""
    other = others or faces
    low, high = faces.low, faces.high
    for first in range(0, len(faces.owner), 512):  # so many at once that the tables stay small
        some = slice(first, first + 512)
        facing = faces.normals[some] @ other.normals.T < -SQUARE
        facing &= np.abs(faces.offsets[some, None] + other.offsets) <= gap
        facing &= (low[some, None] <= other.high + gap).all(axis=2) & (other.low <= high[some, None] + gap).all(axis=2)
        if others is None:
            facing &= faces.owner[some, None] != other.owner
        yield from ((first + int(a), int(b)) for a, b in zip(*np.nonzero(facing), strict=True))


def _common(some: Iterable[Flat], others: Iterable[Flat]) -> Iterator[Flat]:
    others = tuple(others)
    for one in some:
        for other in others:
            shared = _clipped(one, other)
            if len(shared) > 2:
                yield shared


def _clipped(subject: Flat, window: Flat) -> Flat:
    """What of a convex polygon lies in another, both anticlockwise (Sutherland and Hodgman 1974)."""
    found = list(subject)
    for (ax, ay), (bx, by) in zip(window, (*window[1:], window[0]), strict=True):
        if not found:
            break
        ux, uy = bx - ax, by - ay
        sides = [ux * (y - ay) - uy * (x - ax) for x, y in found]
        kept = []
        for n, (x, y) in enumerate(found):
            side, before = sides[n], sides[n - 1]
            if (side > 0) != (before > 0) and side != before:
                px, py = found[n - 1]
                t = before / (before - side)
                kept.append((px + t * (x - px), py + t * (y - py)))
            if side > 0:
                kept.append((x, y))
        found = kept
    return tuple(found)


def _area(polygon: Flat) -> float:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(polygon, (*polygon[1:], polygon[0]), strict=True)) / 2


def _anticlockwise(points: list[list[float]]) -> Flat:
    polygon = tuple((x, y) for x, y in points)
    return polygon if _area(polygon) >= 0 else polygon[::-1]


# ----------------------------------------------------------------------------------------------------------- surfaces
def _surfaces(
    parts: Sequence[Part], faces: _Faces, covered: dict[int, list[Flat]], inside: dict[int, float]
) -> Iterator[Surface]:
    found: dict[tuple[int, str, Kind], float] = {}
    axes = [part.place.axes().tolist() for part in parts]
    for number, owner in enumerate(faces.owner.tolist()):
        part = parts[owner]
        kind = _kind(part, axes[owner], faces.normals[number].tolist(), float(faces.high[number][2]))
        bare = float(faces.areas[number]) - sum(map(_area, covered.get(number, ())))
        within = inside.get(number, 0.0)
        for group, area in ((part.finish, bare - within), (INSIDE, within)):
            if area > SLIVER:
                found[owner, group, kind] = found.get((owner, group, kind), 0.0) + area
    for (owner, group, kind), area in found.items():
        part = parts[owner]
        weak = part.board.material.weak_edge and kind in ("edge", "bevel")
        yield Surface(part.key, group, kind, area, weak or kind == "end of leg")


def _open_edges(
    parts: Sequence[Part], faces: _Faces, covered: dict[int, list[Flat]], hidden: dict[int, float]
) -> Iterator[OpenEdge]:
    """The edges and ends that are open, part by part in the order of `EDGES`."""
    whole, bare, seen = (dict.fromkeys(((n, edge) for n in range(len(parts)) for edge in EDGES), 0.0) for _ in range(3))
    axes = [part.place.axes().tolist() for part in parts]
    for number, owner in enumerate(faces.owner.tolist()):
        normal, area = faces.normals[number].tolist(), float(faces.areas[number])
        edge = _edge(parts[owner], axes[owner], normal)
        if edge:
            whole[owner, edge] += area
            bare[owner, edge] += area - sum(map(_area, covered.get(number, ())))
            on_floor = normal[2] < -SQUARE and float(faces.high[number][2]) < LEG_END
            if normal[1] < TO_THE_WALL and not on_floor:
                seen[owner, edge] += area - hidden.get(number, 0.0)
    for at in whole:
        least = max(OPEN * whole[at], SLIVER)
        if bare[at] > least:
            part = parts[at[0]]
            yield OpenEdge(part.key, at[1], seen[at] > least, part.board.material.weak_edge)


def _edge(part: Part, axes: Sequence[Sequence[float]], normal: Sequence[float]) -> End | None:
    """Which edge or end of a part looks this way; None where it is one of its sides."""
    x, y, z = (sum(a * b for a, b in zip(axis, normal, strict=True)) for axis in axes)
    if abs(z) > max(abs(x), abs(y)):
        return None
    if abs(x) > abs(y):
        return "head end" if x > 0 else "foot end"
    return "back edge" if (y > 0) != part.face_edge_high else "face edge"


def _inside(model: Model, parts: Sequence[Part], faces: _Faces, covered: dict[int, list[Flat]]) -> dict[int, float]:
    """How much of each open face of the carcass looks into a compartment, mm²."""
    if not model.bays:
        return {}
    walls = _gathered([_box_mesh(bay) for bay in model.bays])
    found: dict[int, float] = {}
    for one, wall in _touching(faces, NEAR_BAY, walls):
        if parts[faces.owner[one]].finish == OUTSIDE:
            window = faces.frame(one, walls.pieces_there[wall])
            area = sum(map(_area, _common(faces.pieces(one), window)))
            area -= sum(map(_area, _common(covered.get(one, ()), window)))
            found[one] = found.get(one, 0.0) + max(area, 0.0)
    return found


def _box_mesh(bay: Bay) -> Mesh:
    size = tuple(high - low for low, high in zip(bay.low, bay.high, strict=True))
    return placed(meshes_of((Shape(size=size),))[0], Placement(bay.low))  # type: ignore[arg-type]


def _kind(part: Part, axes: Sequence[Sequence[float]], normal: Sequence[float], top: float) -> Kind:
    """What sort of face of a part looks this way. Solid wood drinks more only at its ends."""
    if part.role == "back" and normal[1] > SQUARE:
        return "rear"
    if normal[2] < -SQUARE and top < LEG_END:
        return "end of leg"
    x, y, z = (abs(sum(a * b for a, b in zip(axis, normal, strict=True))) for axis in axes)
    sheet = part.board.material.kind == "sheet"
    if x > SQUARE or (y > SQUARE and sheet):
        return "edge"
    return "bevel" if sheet and z <= SQUARE else "face"


# -------------------------------------------------------------------------------------------------------------- bands
def _band(parts: Sequence[Part], faces: _Faces, one: int, other: int, pieces: Sequence[Flat]) -> Iterator[Band]:
    """Where a face side or back side is touched, in the part's own frame."""
    part = parts[faces.owner[one]]
    axes, side = part.place.axes(), _side(part, faces.normals[one])
    if side:
        flat = np.array([point for piece in pieces for point in piece])
        there = flat @ faces.axes(one) + faces.offsets[one] * faces.normals[one]
        own = (there - np.asarray(part.place.origin)) @ axes.T
        (x, y, _), (u, v, _) = own.min(axis=0).tolist(), own.max(axis=0).tolist()
        low, high = (round(x, 3) + 0.0, round(y, 3) + 0.0), (round(u, 3) + 0.0, round(v, 3) + 0.0)
        yield Band(part.key, side, parts[faces.owner[other]].key, low, high)


def _side(part: Part, normal: np.ndarray) -> Literal["face side", "back side", ""]:
    """Which of a part's two sides looks this way, if either does."""
    looks = float(np.asarray(part.place.z) @ normal)
    return "face side" if looks > SQUARE else "back side" if looks < -SQUARE else ""


def _joined(bands: Iterable[Band]) -> Iterator[Band]:
    """Bands of one part's face where the same part touches, as one."""
    found: dict[tuple[str, str, str], Band] = {}
    for each in bands:
        key = each.part, each.face, each.touches
        known = found.get(key, each)
        low = min(known.low[0], each.low[0]), min(known.low[1], each.low[1])
        high = max(known.high[0], each.high[0]), max(known.high[1], each.high[1])
        found[key] = replace(known, low=low, high=high)
    yield from found.values()
