"""Where, for one view, every solid hides what is behind it, and the windows in which it does not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .occluders import Occluders, Rings
from .runs import spread
from .scene import Scene
from .views import View
from .volumes import Boxes, Volumes

DEPTH = 0.01  # mm; what is less than this behind a face is not hidden by it, so that parts in contact do not hide their seams
TOUCH = 1e-6  # mm; what is this near beside an outline still counts as behind it
FACING = 1e-6  # cosine to the direction of view up to which a face counts as seen edge-on
END_ON = 1e-6  # mm; a side shorter than this on the sheet bounds nothing there


@dataclass(frozen=True, slots=True, eq=False)
class Projection:
    """A scene in the coordinates of a view: right on the sheet, up the sheet, toward the viewer."""

    points: np.ndarray  # (n, 3) the vertices
    planes: np.ndarray  # (f, 4) outward normal and offset of every face
    front: np.ndarray  # (f,) bool: the face looks toward the viewer
    coordinates: np.ndarray  # (6, n) of the vertices, in which boxes are compared: see `_measures`
    push: np.ndarray  # (3,) how far a shadow begins behind its solid in the last three of these

    @classmethod
    def of(cls, scene: Scene, view: View) -> Projection:
        """The scene as the view sees it."""
        axes = view.axes
        points = scene.vertices @ axes.T
        normals = scene.normals @ axes.T
        offsets = np.einsum("ij,ij->i", normals, points[scene.anchors])
        measures = _measures(axes[2])
        return cls(
            points=points,
            planes=np.column_stack((normals, offsets)),
            front=normals[:, 2] > FACING,
            coordinates=measures @ scene.vertices.T,
            push=DEPTH * (measures[3:] @ axes[2]),
        )

    def boxes(self, vertices: np.ndarray, starts: np.ndarray) -> Boxes:
        """A box around each run of vertices, none empty."""
        found = self.coordinates[:, vertices]
        if len(starts) < 2:
            return Boxes(found, found)
        return Boxes(np.minimum.reduceat(found, starts[:-1], axis=1), np.maximum.reduceat(found, starts[:-1], axis=1))


def _measures(toward: np.ndarray) -> np.ndarray:
    """Six directions, (6, 3), in which boxes are compared.

    The first three lie in the sheet, each square to the picture of one axis of the piece: nothing hides what is beside it in these.
    The last three are the axes, turned toward the viewer: nothing hides what is before it in any of them. These nine bounds are all
    that the shadow of a box along the axes has.
    """
    across = np.cross(np.eye(3), toward)
    size = np.sqrt((across * across).sum(axis=1))[:, None]
    across = np.where(size > FACING, across / np.maximum(size, FACING), 0.0)
    return np.concatenate((across, np.diag(np.where(toward < 0, -1.0, 1.0))))


def owners(scene: Scene, hiding: Occluders) -> np.ndarray:
    """By what number each face hides, (f,): that of its solid, or, beyond those, its own."""
    return np.where(
        hiding.convex[scene.face_solid], scene.face_solid, len(scene.meshes) + np.arange(len(scene.normals))
    )


# -------------------------------------------------------------------------------------------------------------------- shadows
def shadows(scene: Scene, hiding: Occluders, seen: Projection) -> Volumes:
    """The space in which each convex solid and each flat hides everything."""
    solids = np.flatnonzero(hiding.convex)
    number = np.cumsum(hiding.convex) - 1
    flats = _chosen(hiding.flats, seen.front[hiding.flats.face])
    first = len(solids)
    volume, planes = [], []

    faces = np.flatnonzero(seen.front & (hiding.face_cavity < 0) & hiding.convex[scene.face_solid])
    volume.append(number[scene.face_solid[faces]])
    planes.append(_pushed(seen, faces))
    edges = np.flatnonzero((hiding.edge_cavity < 0) & hiding.convex[scene.edge_solid])
    left, right = seen.front[scene.edge_faces[edges]].T
    for tail, head, chosen in ((0, 1, left & ~right), (1, 0, right & ~left)):
        edge = edges[chosen]
        kept, found = _side_planes(seen, scene.edges[edge, tail], scene.edges[edge, head], TOUCH)
        volume.append(number[scene.edge_solid[edge[kept]]])
        planes.append(found)
    volume.append(first + np.arange(len(flats.face)))
    planes.append(_pushed(seen, flats.face))
    kept, found = _side_planes(seen, flats.tail, flats.head, TOUCH)
    volume.append(first + np.repeat(np.arange(len(flats.face)), np.diff(flats.starts))[kept])
    planes.append(found)

    boxes = _side_by_side(_solid_boxes(scene, seen, hiding.convex), seen.boxes(flats.tail, flats.starts))
    owner = np.concatenate((solids, len(scene.meshes) + flats.face))
    is_box = np.concatenate((_square_solids(scene, hiding)[solids], _square_rings(scene, flats)))
    return Volumes.gathered(volume, planes, _shaded(boxes, seen), is_box, owner)


def _pushed(seen: Projection, faces: np.ndarray) -> np.ndarray:
    """The planes of faces, moved away from the viewer by the depth within which they do not hide."""
    planes = seen.planes[faces]
    planes[:, 3] -= DEPTH * planes[:, 2]
    return planes


def _side_planes(
    seen: Projection, tail: np.ndarray, head: np.ndarray, slack: float | np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Planes along the view through directed sides, the left hand inside, moved out by `slack`: (which sides, planes).

    Sides seen end-on have none.
    """
    start = seen.points[tail]
    step = seen.points[head, :2] - start[:, :2]
    size = np.hypot(step[:, 0], step[:, 1])
    kept = np.flatnonzero(size > END_ON)
    x, y = step[kept, 1] / size[kept], -step[kept, 0] / size[kept]
    offset = x * start[kept, 0] + y * start[kept, 1]
    offset += slack[kept] if isinstance(slack, np.ndarray) else slack
    return kept, np.stack((x, y, np.zeros(len(kept)), offset), axis=1)


def _shaded(boxes: Boxes, seen: Projection) -> Boxes:
    """Boxes of solids as boxes of their shadows: without end away from the viewer."""
    low, high = boxes.low - TOUCH, boxes.high + TOUCH
    low[3:] = -np.inf
    high[3:] -= seen.push[:, None]
    return Boxes(low, high)


def _solid_boxes(scene: Scene, seen: Projection, chosen: np.ndarray) -> Boxes:
    boxes = seen.boxes(np.arange(len(scene.vertices)), scene.vertex_starts)
    return Boxes(boxes.low[:, chosen], boxes.high[:, chosen])


def _square_solids(scene: Scene, hiding: Occluders) -> np.ndarray:
    """Whether each solid, filled, is a box along the axes, (s,)."""
    faces = np.flatnonzero(hiding.face_cavity < 0)
    square = np.abs(scene.normals[faces]).max(axis=1) > 1 - 1e-14
    solid = scene.face_solid[faces]
    return (np.bincount(solid, minlength=len(scene.meshes)) == 6) & (
        np.bincount(solid[square], minlength=len(scene.meshes)) == 6
    )


def _square_rings(scene: Scene, rings: Rings) -> np.ndarray:
    """Whether each ring is a rectangle along the axes, (r,)."""
    step = np.abs(scene.vertices[rings.head] - scene.vertices[rings.tail])
    straight = step.max(axis=1) >= step.sum(axis=1) - 1e-9
    ring = np.repeat(np.arange(len(rings.face)), np.diff(rings.starts))
    return (np.diff(rings.starts) == 4) & (np.bincount(ring[straight], minlength=len(rings.face)) == 4)


# -------------------------------------------------------------------------------------------------------------------- windows
def windows(scene: Scene, hiding: Occluders, seen: Projection) -> Volumes:
    """The space in which a shadow's owner does not hide after all.

    For every mouth that looks toward the viewer: inside its cavity, as far as the mouth shows it; behind, where another mouth of
    the cavity, that looks away, shows through it; and behind every opening in a flat.
    """
    number = owners(scene, hiding)
    mouths, cavity_of = hiding.mouths, hiding.mouth_cavity
    ours = seen.front[mouths.face]
    near = np.flatnonzero(ours)
    turned = seen.planes[mouths.face, 2] < -FACING
    far_by_cavity = np.flatnonzero(turned)
    starts = np.searchsorted(cavity_of[far_by_cavity], np.arange(hiding.cavities + 1))
    pair, far = spread(starts, cavity_of[near])
    far = far_by_cavity[far]
    through = near[pair]
    openings = _chosen(hiding.openings, seen.front[hiding.openings.face])

    volume, planes = [], []
    first, last = len(near), len(near) + len(pair)
    for begin, rings, chosen, sign in (
        (0, mouths, near, -1),
        (first, mouths, through, -1),
        (last, openings, np.arange(len(openings.face)), -1),
    ):
        which, side = spread(rings.starts, chosen)
        slack = np.where(rings.seam[side], TOUCH, -TOUCH)
        kept, found = _side_planes(seen, rings.tail[side], rings.head[side], slack)
        volume.append(begin + which[kept])
        planes.append(found)
    which, side = spread(mouths.starts, far)
    kept, found = _side_planes(
        seen, mouths.head[side], mouths.tail[side], -TOUCH
    )  # seen from within, it runs the other way
    volume.append(first + which[kept])
    planes.append(found)
    which, wall = spread(hiding.cavity_wall_starts, cavity_of[near])
    volume.append(which)
    planes.append(_inside(seen, hiding.cavity_walls[wall]))
    mouth_starts = np.searchsorted(cavity_of, np.arange(hiding.cavities + 1))
    which, other = spread(mouth_starts, cavity_of[near])
    beside = other != near[which]
    volume.append(which[beside])
    planes.append(-_inside(seen, mouths.face[other[beside]]) + (0, 0, 0, 2 * TOUCH))

    at_mouth = seen.boxes(mouths.tail, mouths.starts)
    in_cavity = _cavity_boxes(scene, hiding, seen)
    inside = Boxes(
        np.concatenate((at_mouth.low[:3, near], in_cavity.low[3:, cavity_of[near]])) - TOUCH,
        np.concatenate((at_mouth.high[:3, near], in_cavity.high[3:, cavity_of[near]])) + TOUCH,
    )
    behind = Boxes(
        np.maximum(at_mouth.low[:, through], at_mouth.low[:, far]),
        np.minimum(at_mouth.high[:, through], at_mouth.high[:, far]),
    )
    behind.high[3:] = at_mouth.high[3:, through]
    boxes = _side_by_side(inside, _shaded(behind, seen), _shaded(seen.boxes(openings.tail, openings.starts), seen))
    owner = np.concatenate((number[mouths.face[near]], number[mouths.face[through]], number[openings.face]))
    return Volumes.gathered(volume, planes, boxes, np.zeros(len(owner), bool), owner)


def _inside(seen: Projection, walls: np.ndarray) -> np.ndarray:
    """The planes of walls as bounds of the cavity before them."""
    return -seen.planes[walls] + (0, 0, 0, TOUCH)


def _cavity_boxes(scene: Scene, hiding: Occluders, seen: Projection) -> Boxes:
    return seen.boxes(scene.edges[hiding.cavity_edges].ravel(), 2 * hiding.cavity_edge_starts)


def mouth_views(hiding: Occluders, seen: Projection) -> Volumes:
    """For every mouth what is seen through it on the sheet, whatever its depth; meaningful where the mouth looks toward the viewer."""
    mouths = hiding.mouths
    kept, planes = _side_planes(seen, mouths.tail, mouths.head, -TOUCH)
    mouth = np.repeat(np.arange(len(mouths.face)), np.diff(mouths.starts))[kept]
    boxes = seen.boxes(mouths.tail, mouths.starts)
    return Volumes.gathered([mouth], [planes], boxes, np.zeros(len(boxes), bool), mouths.face)


# --------------------------------------------------------------------------------------------------------------------- helpers
def _chosen(rings: Rings, chosen: np.ndarray) -> Rings:
    which = np.flatnonzero(chosen)
    ring, side = spread(rings.starts, which)
    starts = np.append(0, np.cumsum(np.diff(rings.starts)[which]))
    return Rings(rings.face[which], starts, rings.tail[side], rings.head[side], rings.seam[side])


def _side_by_side(*boxes: Boxes) -> Boxes:
    return Boxes(
        np.concatenate([box.low for box in boxes], axis=1), np.concatenate([box.high for box in boxes], axis=1)
    )
