"""Perspective: the picture of a pinhole, hidden lines judged by straight sights from the eye in the unbent piece."""

import numpy as np
import pytest
from examples import DEMO, example_model
from line_judges import is_drawn

from core.drawing.hidden_lines import Kind, visible_lines
from core.drawing.perspective import FLAT, Perspective
from core.errors import ParameterError
from core.geometry import Placement
from core.meshes import part_meshes
from core.model import Hole, Shape
from core.solids import is_closed, mesh_of, placed, volume

EYE = Perspective((1500.0, -2600.0, 1500.0), (0.0, -200.0, 300.0))


def boxes():
    """A drilled board, one behind it, and one across both."""
    hole = Hole(at=(200.0, 150.0, 20.0), into=(0.0, 0.0, -1.0), diameter=60.0, depth=20.0, purpose="sight")
    board = mesh_of(Shape(size=(600.0, 300.0, 20.0), features=(hole,)))
    plain = mesh_of(Shape(size=(600.0, 300.0, 20.0)))
    upright = Placement((-300.0, -300.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    behind = Placement((-250.0, 0.0, 100.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
    across = Placement((-300.0, -300.0, 320.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    return [placed(board, upright), placed(plain, behind), placed(plain, across)]


def pinhole(points):
    """Where rays from points through the eye meet the plane of the target, in mm from it, right and up."""
    axes = EYE.view.axes
    own = (np.asarray(points) - EYE.eye) @ axes.T
    return own[..., :2] * (EYE.distance / -own[..., 2:])


def test_points_are_where_a_pinhole_puts_them():
    """Right and up of the bent solids are those of a pinhole picture; nearer is nearer."""
    points = np.random.default_rng(5).uniform(-500, 500, (200, 3))
    bent = EYE.points(points)
    assert np.allclose(bent[:, :2], pinhole(points))
    near = np.linalg.norm(points - EYE.eye, axis=1)
    along = (points - np.array(EYE.eye)) @ -EYE.view.axes[2]
    assert (np.argsort(along) == np.argsort(-bent[:, 2])).all() and near.min() > 0


def test_bent_solids_are_closed_and_face_outward():
    """Bending keeps solids closed, their faces flat and outward: volume positive, every corner in its face's plane."""
    for mesh in part_meshes(example_model(DEMO)).values():
        bent = Perspective.around((-575, -560, 0), (575, 0, 1900)).mesh(mesh)
        assert is_closed(bent) and volume(bent) > 0
        corner = np.repeat(bent.face_of, np.diff(bent.starts))
        heights = np.einsum("ij,ij->i", bent.vertices[bent.corners], bent.normals[corner])
        for face in np.unique(corner):
            assert np.ptp(heights[corner == face]) < 1e-6


def test_visible_lines_are_what_the_eye_sees():
    """Places on edges are drawn if, and only if, no triangle of the unbent piece stands between them and the eye."""
    meshes = boxes()
    lines = visible_lines([EYE.mesh(mesh) for mesh in meshes], FLAT).points
    triangles = np.concatenate([mesh.vertices[mesh.triangles()] for mesh in meshes])
    rng = np.random.default_rng(7)
    wrong = total = 0
    for mesh in meshes:
        for a, b in mesh.vertices[mesh.edges[mesh.marked]]:
            for place in a + rng.uniform(0.03, 0.97, (6, 1)) * (b - a):
                beside = rng.normal(size=(8, 3)) * 0.05
                seen = any(_clear(place + off, triangles) for off in beside)
                drawn, end = is_drawn(lines, pinhole(place)[None])
                if end[0] > 0.5:
                    total += 1
                    wrong += bool(drawn[0]) != seen
    assert total > 200 and wrong <= 0.01 * total


def _clear(place, triangles) -> bool:
    """Whether nothing crosses the straight line from a place to the eye (Möller and Trumbore)."""
    way = np.array(EYE.eye) - place
    a, b, c = triangles.transpose(1, 0, 2)
    p = np.cross(way, c - a)
    size = np.einsum("ij,ij->i", b - a, p)
    good = np.abs(size) > 1e-9
    inverse = np.divide(1.0, size, out=np.zeros(len(size)), where=good)
    u = np.einsum("ij,ij->i", place - a, p) * inverse
    q = np.cross(place - a, b - a)
    v = q @ way * inverse
    t = np.einsum("ij,ij->i", c - a, q) * inverse
    return not (good & (u >= 0) & (v >= 0) & (u + v <= 1) & (t > 1e-4)).any()


def test_hidden_edges_are_kept_where_asked():
    """With hidden edges the picture has more lines, the visible ones unchanged."""
    meshes = [EYE.mesh(mesh) for mesh in boxes()]
    plain, both = visible_lines(meshes, FLAT), visible_lines(meshes, FLAT, hidden=True)
    assert len(both.of_kind(Kind.HIDDEN)) > 3
    assert len(both) - len(both.of_kind(Kind.HIDDEN)) == len(plain)


def test_an_eye_in_the_piece_is_refused():
    """An eye among the parts, or one at its own target, is refused in words."""
    with pytest.raises(ParameterError, match="farther off"):
        Perspective((0.0, -310.0, 150.0), (0.0, 0.0, 150.0)).mesh(boxes()[0])
    with pytest.raises(ParameterError, match="move it away"):
        Perspective((0.0, 0.0, 0.0), (0.0, 0.0, 0.0))
