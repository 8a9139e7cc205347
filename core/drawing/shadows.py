"""Where, for one view, every solid hides what is behind it, and the windows in which it does not."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .occluders import Occluders, Rings
from .runs import spread
from .scene import Scene
from .views import View
from .volumes import Boxes, Volumes

DEPTH = 0.01  # mm; what is less than this behind a face is not hidden by it, so that parts in contact keep their seams
TOUCH = 1e-6  # mm; what is this near beside an outline still counts as behind it
FACING = 1e-6  # cosine to the direction of view up to which a face counts as seen edge-on
END_ON = 1e-6  # mm; a side shorter than this on the sheet bounds nothing there
SQUARE = 1e-14  # by how much the greatest component of a unit normal may fall short of 1 along an axis


@dataclass(frozen=True, slots=True, eq=False)
class Projection:
    """A scene in the coordinates of a view: right on the sheet, up the sheet, toward the viewer."""

    points: np.ndarray  # (n, 3) the vertices
    planes: np.ndarray  # (f, 4) outward normal and offset of every face
    front: np.ndarray  # (f,) bool: the face looks toward the viewer
    coordinates: np.ndarray  # (6, n) of the vertices, in which boxes are compared: see `measures`
    push: np.ndarray  # (3,) how far a shadow begins behind its solid in the last three of these

    @classmethod
    def of(cls, scene: Scene, view: View) -> Projection:
        """The scene as the view sees it."""
        axes = view.axes
        points = scene.vertices @ axes.T
        normals = scene.normals @ axes.T
        offsets = np.einsum("ij,ij->i", normals, points[scene.anchors])
        found = measures(axes[2])
        return cls(
            points=points,
            planes=np.column_stack((normals, offsets)),
            front=normals[:, 2] > FACING,
            coordinates=found @ scene.vertices.T,
            push=DEPTH * (found[3:] @ axes[2]),
        )

    def boxes(self, vertices: np.ndarray, starts: np.ndarray) -> Boxes:
        """A box around each run of vertices, none empty."""
        found = self.coordinates[:, vertices]
        return Boxes(found, found).around_runs(starts)


def measures(toward: np.ndarray) -> np.ndarray:
    """Six directions, (6, 3), in which boxes are compared.

    The first three lie in the sheet, each square to the picture of one axis of the piece: nothing hides what is beside
    it in these. The last three are the axes, turned toward the viewer: nothing hides what is before it in any of them.
    The shadow of a box along the axes has no other bounds than these nine.
    """
    across = np.cross(np.eye(3), toward)
    size = np.sqrt((across * across).sum(axis=1))[:, None]
    across = np.where(size > FACING, across / np.maximum(size, FACING), 0.0)
    return np.concatenate((across, np.diag(np.where(toward < 0, -1.0, 1.0))))


def owners(scene: Scene, hiding: Occluders) -> np.ndarray:
    """By what number each face hides, (f,): the faces of a convex shell by one, every other by its own.

    The number, less that of the solids, is a face of the scene.
    """
    face = np.arange(len(scene.normals))
    return len(scene.meshes) + np.where(hiding.convex[hiding.face_shell], hiding.shell_faces[hiding.face_shell], face)


# -------------------------------------------------------------------------------------------------------------- shadows
def shadows(scene: Scene, hiding: Occluders, seen: Projection) -> Volumes:
    """The space in which each convex shell and each flat hides everything."""
    shells = np.flatnonzero(hiding.convex)
    flats = _chosen(hiding.flats, seen.front[hiding.flats.face])
    number, planes = _body_planes(scene, hiding, seen)
    flat = len(shells) + np.arange(len(flats.face))
    kept, sides = _side_planes(seen, flats.tail, flats.head, TOUCH)
    number += [flat, np.repeat(flat, np.diff(flats.starts))[kept]]
    planes += [_pushed(seen, flats.face), sides]
    boxes = seen.boxes(hiding.shell_vertices, hiding.shell_vertex_starts)
    boxes = Boxes(boxes.low[:, shells], boxes.high[:, shells]).beside(seen.boxes(flats.tail, flats.starts))
    return Volumes.gathered(
        number,
        planes,
        boxes=_shaded(boxes, seen),
        owner=len(scene.meshes) + np.concatenate((hiding.shell_faces[shells], flats.face)),
        place=np.concatenate((shells, hiding.face_shell[flats.face])),
        is_box=np.concatenate((_square_shells(scene, hiding)[shells], _square_rings(scene, flats))),
    )


def _body_planes(scene: Scene, hiding: Occluders, seen: Projection) -> tuple[list[np.ndarray], list[np.ndarray]]:
    """What bounds the shadows of convex shells: faces toward the viewer, and planes along the view through outlines."""
    number = np.cumsum(hiding.convex) - 1
    faces = np.flatnonzero(seen.front & (hiding.face_cavity < 0) & hiding.convex[hiding.face_shell])
    numbers, planes = [number[hiding.face_shell[faces]]], [_pushed(seen, faces)]
    edge_shell = hiding.face_shell[scene.edge_faces[:, 0]]
    left, right = seen.front[scene.edge_faces].T
    outline = (left != right) & (hiding.edge_cavity < 0) & hiding.convex[edge_shell]
    for tail, head, toward in ((0, 1, left), (1, 0, right)):
        edge = np.flatnonzero(outline & toward)
        kept, sides = _side_planes(seen, scene.edges[edge, tail], scene.edges[edge, head], TOUCH)
        numbers.append(number[edge_shell[edge[kept]]])
        planes.append(sides)
    return numbers, planes


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
    offset = x * start[kept, 0] + y * start[kept, 1] + (slack[kept] if isinstance(slack, np.ndarray) else slack)
    return kept, np.stack((x, y, np.zeros(len(kept)), offset), axis=1)


def _shaded(boxes: Boxes, seen: Projection) -> Boxes:
    """Boxes of solids as boxes of their shadows: without end away from the viewer."""
    low, high = boxes.low - TOUCH, boxes.high + TOUCH
    low[3:] = -np.inf
    high[3:] -= seen.push[:, None]
    return Boxes(low, high)


def _square_shells(scene: Scene, hiding: Occluders) -> np.ndarray:
    """Whether each shell, filled, has six faces, all square to the axes, (s,): the convex ones that do are boxes."""
    faces = np.flatnonzero(hiding.face_cavity < 0)
    square = np.abs(scene.normals[faces]).max(axis=1) > 1 - SQUARE
    shell, count = hiding.face_shell[faces], len(hiding.convex)
    return (np.bincount(shell, minlength=count) == 6) & (np.bincount(shell[square], minlength=count) == 6)


def _square_rings(scene: Scene, rings: Rings) -> np.ndarray:
    """Whether each ring is a rectangle along the axes, (r,)."""
    step = np.abs(scene.vertices[rings.head] - scene.vertices[rings.tail])
    straight = step.max(axis=1) == step.sum(axis=1)
    ring = np.repeat(np.arange(len(rings.face)), np.diff(rings.starts))
    return (np.diff(rings.starts) == 4) & (np.bincount(ring[straight], minlength=len(rings.face)) == 4)


# -------------------------------------------------------------------------------------------------------------- windows
def windows(scene: Scene, hiding: Occluders, seen: Projection) -> Volumes:
    """The space in which a shadow's owner does not hide after all.

    For every mouth that looks toward the viewer: inside its cavity, as far as the mouth shows it; and behind, where
    another mouth of the cavity, one that looks away, shows through it. And behind every opening in a flat.
    """
    mouths, cavity = hiding.mouths, hiding.mouth_cavity
    near = np.flatnonzero(seen.front[mouths.face])
    pair, far = _far_mouths(hiding, seen, cavity[near])
    through = near[pair]
    openings = _chosen(hiding.openings, seen.front[hiding.openings.face])
    first, last = len(near), len(near) + len(pair)  # numbers: the near mouths, the pairs of mouths, the openings

    sides = [_ring_planes(seen, mouths, near), _ring_planes(seen, mouths, through, first)]
    sides.append(_ring_planes(seen, mouths, far, first, from_behind=True))
    sides.append(_ring_planes(seen, openings, np.arange(len(openings.face)), last))
    number, planes = (list(parts) for parts in zip(*sides, *_cavity_planes(hiding, seen, near), strict=True))

    face = np.concatenate((mouths.face[near], mouths.face[through], openings.face))
    return Volumes.gathered(
        number,
        planes,
        boxes=_window_boxes(scene, hiding, seen, near, through).beside(
            _shaded(seen.boxes(openings.tail, openings.starts), seen)
        ),
        owner=owners(scene, hiding)[face],
        place=hiding.face_shell[face],
    )


def _window_boxes(scene: Scene, hiding: Occluders, seen: Projection, near: np.ndarray, through: np.ndarray) -> Boxes:
    """The boxes of what is inside cavities, for the near mouths, and of what is behind them, for those seen through."""
    rims = seen.boxes(hiding.mouths.tail, hiding.mouths.starts)
    caves = seen.boxes(scene.edges[hiding.cavity_edges].ravel(), 2 * hiding.cavity_edge_starts)
    cavity = hiding.mouth_cavity[near]
    inside = Boxes(
        np.concatenate((rims.low[:3, near], caves.low[3:, cavity])) - TOUCH,
        np.concatenate((rims.high[:3, near], caves.high[3:, cavity])) + TOUCH,
    )
    return inside.beside(_shaded(Boxes(rims.low[:, through], rims.high[:, through]), seen))


def _far_mouths(hiding: Occluders, seen: Projection, cavity: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The mouths that look away from the viewer, of cavities, (n,): (which of them, mouth)."""
    away = np.flatnonzero(seen.planes[hiding.mouths.face, 2] < -FACING)
    starts = np.searchsorted(hiding.mouth_cavity[away], np.arange(hiding.cavities + 1))
    which, place = spread(starts, cavity)
    return which, away[place]


def _ring_planes(
    seen: Projection, rings: Rings, chosen: np.ndarray, first: int = 0, *, from_behind: bool = False
) -> tuple[np.ndarray, np.ndarray]:
    """What bounds the view through rings, numbered from `first`; their borders excluded, the seams within included."""
    which, side = spread(rings.starts, chosen)
    tail, head = rings.tail[side], rings.head[side]
    if from_behind:
        tail, head = head, tail
    kept, planes = _side_planes(seen, tail, head, np.where(rings.seam[side], TOUCH, -TOUCH))
    return first + which[kept], planes


def _cavity_planes(hiding: Occluders, seen: Projection, near: np.ndarray) -> list[tuple[np.ndarray, np.ndarray]]:
    """What bounds the cavities behind mouths, (n,), save those mouths themselves: walls, and the other mouths."""
    cavity = hiding.mouth_cavity[near]
    which, place = spread(hiding.cavity_wall_starts, cavity)
    walls = seen.planes[hiding.cavity_walls[place]]  # they look into the cavity
    starts = np.searchsorted(hiding.mouth_cavity, np.arange(hiding.cavities + 1))
    other_of, other = spread(starts, cavity)
    beside = other != near[other_of]
    mouths = seen.planes[hiding.mouths.face[other[beside]]]  # they look out of it
    slack = (0.0, 0.0, 0.0, TOUCH)
    return [(which, slack - walls), (other_of[beside], mouths + slack)]


def mouth_views(hiding: Occluders, seen: Projection) -> Volumes:
    """For every mouth what is seen through it, at whatever depth; of use where the mouth looks toward the viewer."""
    mouths = hiding.mouths
    number, planes = _ring_planes(seen, mouths, np.arange(len(mouths.face)))
    boxes = seen.boxes(mouths.tail, mouths.starts)
    return Volumes.gathered([number], [planes], boxes, owner=mouths.face, place=mouths.face)


def _chosen(rings: Rings, chosen: np.ndarray) -> Rings:
    """The chosen rings, (r,) bool."""
    which = np.flatnonzero(chosen)
    _, side = spread(rings.starts, which)
    starts = np.append(0, np.cumsum(np.diff(rings.starts)[which]))
    return Rings(rings.face[which], starts, rings.tail[side], rings.head[side], rings.seam[side])
