"""The faces of bodies on their way to polygons: the mouths of bores, and the holes of other kinds, in each of them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from . import polygons
from .bodies import Bodies
from .bores import Bores, pairs_of_equals
from .mesh import flattened
from .parting import Loops, parted
from .pool import Pool

SAME_PLACE = 1e-4  # mm between a mouth and the plane of the face it is in, at the most


@dataclass(frozen=True, slots=True, eq=False)
class Mouths:
    """Rings of corners in faces square to an axis."""

    corners: np.ndarray  # (c,) ring after ring, the wood at the left hand
    sizes: np.ndarray  # (m,)
    face: np.ndarray  # (m,)
    centre: np.ndarray  # (m, 2) in the next two axes
    reach: np.ndarray  # (m,)
    axis: np.ndarray  # (m,) that the face is square to
    side: np.ndarray  # (m,) 0: the face looks against the axis, 1: along it

    def __getitem__(self, which: np.ndarray) -> Mouths:
        starts = np.cumsum(self.sizes) - self.sizes
        sizes = self.sizes[which]
        step = np.arange(sizes.sum()) - np.repeat(np.cumsum(sizes) - sizes, sizes)
        corners = self.corners[np.repeat(starts[which], sizes) + step]
        return Mouths(corners, sizes, *(a[which] for a in (self.face, self.centre, self.reach, self.axis, self.side)))


class Hosts:
    """Faces of bodies, numbered as in the pool that they are added to."""

    def __init__(self, pool: Pool, shapes: int) -> None:
        self.pool = pool
        self.box_face = np.full(shapes, -1)  # of each shape that is a box the number of its first face
        self.corners: list[np.ndarray] = []  # of all outlines
        self.sizes: list[np.ndarray] = []
        self.faces: list[np.ndarray] = []
        self.holes: dict[int, list[list[int]]] = {}  # of faces that have holes other than mouths
        # (9, n) of faces square to an axis: shape, face, axis, side, place, low corner and high corner in the plane
        self.square: list[np.ndarray] = []
        self.mouths: list[Mouths] = []

    def add_boxes(self, shapes: list[int], sides: np.ndarray, first_face: int) -> None:
        """The faces −x, +x, −y, +y, −z, +z of each box by their corners, (6 · boxes, 4)."""
        self.box_face[shapes] = first_face + 6 * np.arange(len(shapes))
        self._add_outlines(sides.ravel(), np.full(len(sides), 4), first_face)

    def add_bodies(self, found: Bodies, shapes: np.ndarray, first_vertex: int, first_face: int) -> None:
        """The faces of bodies, and the shape that each face belongs to."""
        corners, sizes = found.corners + first_vertex, found.sizes
        self._add_outlines(corners, sizes, first_face)
        for face, holes in found.holes.items():
            self.holes[first_face + face] = [[corner + first_vertex for corner in hole] for hole in holes]
        normals = found.normals
        axis = np.abs(normals).argmax(axis=1)
        everyone = np.arange(len(axis))
        look = normals[everyone, axis]
        places = found.vertices[found.corners]
        first = np.cumsum(sizes) - sizes
        low, high = np.minimum.reduceat(places, first), np.maximum.reduceat(places, first)
        box = [bound[everyone, (axis + k) % 3] for bound in (low, high) for k in (1, 2)]
        columns = np.stack((shapes, first_face + everyone, axis, look > 0, low[everyone, axis], *box))
        self.square.append(columns[:, np.abs(look) == 1])

    def _add_outlines(self, corners: np.ndarray, sizes: np.ndarray, first_face: int) -> None:
        self.corners.append(corners)
        self.sizes.append(sizes)
        self.faces.append(first_face + np.arange(len(sizes)))

    # ----------------------------------------------------------------------------------------------------------- mouths
    def faces_at(self, bores: Bores) -> np.ndarray:
        """The faces that the open ends of bores are in, (bores, 2); −1 at floors."""
        box_face = self.box_face[bores.shape, None]
        found = np.where(bores.is_open, box_face + 2 * bores.axis[:, None] + np.arange(2), -1)
        bore, end = np.nonzero(bores.is_open & (box_face < 0))
        if len(bore):
            found[bore, end] = self._faces_of_bodies_at(bores, bore, end)
        return found

    def _faces_of_bodies_at(self, bores: Bores, bore: np.ndarray, end: np.ndarray) -> np.ndarray:
        square = np.concatenate(self.square, axis=1)
        shape, face, axis, side, place, *box = square[:, np.argsort(square[0], kind="stable")]
        mouth, other = pairs_of_equals(bores.shape[bore], shape)
        same = (axis[other] == bores.axis[bore[mouth]]) & (side[other] == end[mouth])
        same &= np.abs(place[other] - bores.ends[bore[mouth], end[mouth]]) < SAME_PLACE
        low, high = np.stack(box[:2], axis=1)[other], np.stack(box[2:], axis=1)[other]
        same &= ((low < bores.centre[bore[mouth]]) & (bores.centre[bore[mouth]] < high)).all(axis=1)
        mouth, choices = mouth[same], face[other[same]].astype(int)
        begin = np.searchsorted(mouth, np.arange(len(bore) + 1))
        assert (np.diff(begin) > 0).all(), "a bore opens into no face"
        found = choices[begin[:-1]]
        for i in np.flatnonzero(np.diff(begin) > 1).tolist():
            some = choices[begin[i] : begin[i + 1]]
            found[i] = self._face_around(bores.centre[bore[i]], int(bores.axis[bore[i]]), some)
        return found

    def _face_around(self, centre: np.ndarray, axis: int, choices: np.ndarray) -> int:
        """Which of several faces in one plane a mouth is in: the smallest whose outline holds its centre."""
        vertices, sizes = self.pool.all_vertices(), np.concatenate(self.sizes)
        corners, faces = np.concatenate(self.corners), np.concatenate(self.faces)
        starts = np.cumsum(sizes) - sizes
        around = []
        for face in choices.tolist():
            i = int(np.searchsorted(faces, face))
            flat = vertices[corners[starts[i] : starts[i] + sizes[i]]][:, ((axis + 1) % 3, (axis + 2) % 3)]
            if polygons.holds(flat, range(len(flat)), centre):
                around.append((abs(polygons.area(flat, range(len(flat)))), face))
        assert around, "a bore opens into no face"
        return min(around)[1]

    # --------------------------------------------------------------------------------------------------------- polygons
    def add_polygons(self) -> None:
        """Give the pool the polygons of all these faces."""
        corners, sizes = np.concatenate(self.corners), np.concatenate(self.sizes)
        faces = np.concatenate(self.faces)
        holed = np.zeros(self.pool.face_count, bool)
        holed[list(self.holes)] = True
        for mouths in self.mouths:
            holed[mouths.face] = True
        plain = ~holed[faces]
        self.pool.add_polygons(corners[np.repeat(plain, sizes)], faces[plain], sizes[plain])
        if not plain.all():
            keep = ~plain
            self._add_holed(corners[np.repeat(keep, sizes)], sizes[keep], faces[keep])

    def _add_holed(self, corners: np.ndarray, sizes: np.ndarray, faces: np.ndarray) -> None:
        """The polygons of faces with holes: by chains of mouths where that can be, else one by one."""
        rings: dict[int, list[list[int]]] = {face: list(holes) for face, holes in self.holes.items()}
        hard = set(self.holes)
        mouths = self._all_mouths()
        if mouths is not None:
            strung = np.array([face not in hard for face in faces.tolist()])
            hard |= self._part(corners[np.repeat(strung, sizes)], sizes[strung], faces[strung], mouths)
            ends = np.cumsum(mouths.sizes)
            for i in np.flatnonzero(np.isin(mouths.face, list(hard))).tolist():
                ring = mouths.corners[ends[i] - mouths.sizes[i] : ends[i]].tolist()
                rings.setdefault(int(mouths.face[i]), []).append(ring)
        starts = np.cumsum(sizes) - sizes
        for i in np.flatnonzero(np.isin(faces, list(hard))).tolist():
            outline = corners[starts[i] : starts[i] + sizes[i]].tolist()
            self._add_one(int(faces[i]), outline, rings[int(faces[i])])

    def _all_mouths(self) -> Mouths | None:
        """All mouths, sorted by face."""
        if not self.mouths:
            return None
        names = Mouths.__slots__
        columns = [np.concatenate([getattr(mouths, name) for mouths in self.mouths]) for name in names]
        every = Mouths(*columns)
        return every[np.argsort(every.face, kind="stable")]

    def _part(self, corners: np.ndarray, sizes: np.ndarray, faces: np.ndarray, mouths: Mouths) -> set[int]:
        """Part faces along chains of mouths; the faces that cannot be parted so come back."""
        mouths = mouths[np.flatnonzero(np.isin(mouths.face, faces))]
        if not len(mouths.face):
            return set()
        order = np.argsort(faces, kind="stable")
        assert (order == np.arange(len(order))).all()
        number = np.searchsorted(faces, mouths.face)
        first = np.searchsorted(number, np.arange(len(faces)))
        axis, side = mouths.axis[first], mouths.side[first]
        outlines = self._loops(corners, sizes, axis, side)
        rings = self._loops(mouths.corners, mouths.sizes, mouths.axis, mouths.side)
        flipped = mouths.side == 0
        centre = np.where(flipped[:, None], mouths.centre[:, ::-1], mouths.centre)
        made, made_sizes, made_faces = parted(outlines, rings, number, centre, mouths.reach)
        self.pool.add_polygons(made, faces[made_faces], made_sizes)
        return set(faces[np.setdiff1d(np.arange(len(faces)), made_faces)].tolist())

    def _loops(self, corners: np.ndarray, sizes: np.ndarray, axis: np.ndarray, side: np.ndarray) -> Loops:
        """Loops with their places in the plane, as `flattened` lays them."""
        vertices = self.pool.all_vertices()
        x = np.repeat(np.where(side == 1, axis + 1, axis + 2) % 3, sizes)
        y = np.repeat(np.where(side == 1, axis + 2, axis + 1) % 3, sizes)
        places = np.stack((vertices[corners, x], vertices[corners, y]), axis=1)
        return Loops(corners, np.concatenate(([0], np.cumsum(sizes))), places)

    def _add_one(self, face: int, outline: list[int], holes: list[list[int]]) -> None:
        every = np.array([*outline, *(corner for hole in holes for corner in hole)])
        distinct, number = np.unique(every, return_inverse=True)
        flat = flattened(self.pool.all_vertices()[distinct], self.pool.normal(face))
        bounds = np.cumsum([len(outline), *(len(hole) for hole in holes)])[:-1]
        own = [loop.tolist() for loop in np.split(number, bounds)]
        made = polygons.simple_polygons(flat, own[0], own[1:])
        corners = distinct[np.array([corner for polygon in made for corner in polygon])]
        self.pool.add_polygons(corners, np.full(len(made), face), np.array([len(polygon) for polygon in made]))
