"""Many shapes turned into meshes at once, each by the cheapest way that is exact for it.

The body of a shape without its bores is either a plain box or made by the general way; the bores are then added
ready-made. All are gathered in common arrays and dealt out at the end, so that a piece costs little more than one of
its parts.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..model import Cut, CutOut, Hole, Pocket, Shape
from .bodies import Body, parted_by_job, side_by_side
from .bores import Bores, bores_of
from .convex import Convex, bar_pieces, cut_out_cutters, hole_cutter, pocket_cutter
from .faces import Faces, gathered
from .general import outlines_of
from .handed import handed, reflected
from .hosts import Hosts, Mouths
from .levelling import levelled
from .mesh import EMPTY, Mesh, mesh_of_polygons
from .pool import Pool
from .shortened import Shortened, Value, shortened

TOLERANCES = (1e-5, 1e-7, 1e-4)  # mm within which points are one; the first that gives closed faces stands
REMEMBERED = 4096  # bodies


def meshes(shapes: Sequence[Shape]) -> list[Mesh]:
    """The meshes of shapes, in their order; an empty mesh where the features leave nothing.

    Raises ArithmeticError for a shape whose faces no tolerance closes.
    """
    if not shapes:
        return []
    bores, rest = bores_of(shapes)
    pool = Pool()
    hosts = Hosts(pool, len(shapes))
    plain = [not rest[i] and _is_box(shape) for i, shape in enumerate(shapes)]
    _add_boxes(pool, hosts, [i for i in range(len(shapes)) if plain[i]], shapes)
    _add_bodies(pool, hosts, [i for i in range(len(shapes)) if not plain[i]], shapes, rest)
    _add_bores(pool, hosts, bores)
    if not pool.face_count:
        return [EMPTY] * len(shapes)
    hosts.add_polygons()
    return pool.dealt(len(shapes))


def _is_box(shape: Shape) -> bool:
    return not shape.section and not any(isinstance(feature, (Cut, CutOut, Pocket)) for feature in shape.features)


# ---------------------------------------------------------------------------------------------------------------- boxes
_CORNERS = np.array([(x, y, z) for x in (0.0, 1.0) for y in (0.0, 1.0) for z in (0.0, 1.0)])
_SIDES = [[0, 1, 3, 2], [4, 6, 7, 5], [0, 4, 5, 1], [2, 3, 7, 6], [0, 2, 6, 4], [1, 5, 7, 3]]  # −x, +x, −y, +y, −z, +z
_NORMALS = np.repeat(np.eye(3), 2, axis=0) * np.tile((-1.0, 1.0), 3)[:, None] + 0.0
_BOX = mesh_of_polygons(_CORNERS, _SIDES, range(6), _NORMALS, [-1] * 6)


def _add_boxes(pool: Pool, hosts: Hosts, which: list[int], shapes: Sequence[Shape]) -> None:
    if not which:
        return
    size = np.array([shapes[i].size for i in which], dtype=float)
    box = np.arange(len(which))[:, None, None]
    first = pool.add_vertices((_CORNERS[None] * size[:, None]).reshape(-1, 3), np.repeat(which, 8))
    first_face = pool.add_faces(np.tile(_NORMALS, (len(which), 1)), np.repeat(which, 6))
    edges = (_BOX.edges[None] + 8 * box).reshape(-1, 2) + first
    edge_faces = (_BOX.edge_faces[None] + 6 * box).reshape(-1, 2) + first_face
    pool.add_edges(edges, edge_faces, np.ones(len(edges), bool))
    hosts.add_boxes(which, (np.array(_SIDES)[None] + 8 * box).reshape(-1, 4) + first, first_face)


# --------------------------------------------------------------------------------------------------------------- bodies
_solved: dict[Value, Body] = {}  # by what they are when shortened


def forget() -> None:
    """Drop all bodies that were solved."""
    _solved.clear()


def _add_bodies(
    pool: Pool, hosts: Hosts, which: list[int], shapes: Sequence[Shape], holes: Sequence[Sequence[Hole]]
) -> None:
    if not which:
        return
    hands = [handed(shapes[i], holes[i]) for i in which]
    short = [shortened(shape, own) for shape, own, _ in hands]
    found = [
        reflected(body, each.shifts, shape.size[1]) if is_image else (body, each.shifts)
        for body, each, (shape, _, is_image) in zip(_solved_of(short), short, hands, strict=True)
    ]
    left = [n for n, (body, _) in enumerate(found) if len(body.normals)]
    if not left:
        return
    bodies = side_by_side([found[n][0] for n in left], [found[n][1] for n in left])
    jobs = np.asarray(which)[left]
    first = pool.add_vertices(bodies.vertices, jobs[bodies.job_of_vertex])
    first_face = pool.add_faces(bodies.normals, jobs[bodies.job_of_face])
    pool.add_edges(bodies.ends + first, bodies.edge_faces + first_face, ~bodies.smooth)
    hosts.add_bodies(bodies, jobs[bodies.job_of_face], first, first_face)


def _solved_of(short: Sequence[Shortened]) -> list[Body]:
    """The body of each, solved together as far as they are not remembered."""
    found = {each.key: _solved.get(each.key) for each in short}
    missing = {each.key: each for each in short if found[each.key] is None}
    if missing:
        if len(_solved) + len(missing) > REMEMBERED:
            _solved.clear()
        new = list(missing.values())
        for part, faces in _bodies([_solids(*each.shape()) for each in new]):
            some = [new[i] for i in part]
            for each, body in zip(some, parted_by_job(faces, [each.bounds for each in some]), strict=True):
                found[each.key] = _solved[each.key] = body
    return [found[each.key] for each in short]  # type: ignore[misc]


def _solids(shape: Shape, holes: Sequence[Hole]) -> list[Convex]:
    """The convex solids that the general way is to join and cut."""
    if any(isinstance(feature, CutOut) for feature in shape.features):
        shape = levelled(shape)
    pieces = bar_pieces(shape)
    first = 1 + max(max(piece.surfaces) for piece in pieces)
    pockets = [pocket_cutter(feature) for feature in shape.features if isinstance(feature, Pocket)]
    cutters = [hole_cutter(hole, first + i, shape.size) for i, hole in enumerate(holes)]
    first += len(holes)
    for cut_out in (feature for feature in shape.features if isinstance(feature, CutOut)):
        cutters += cut_out_cutters(cut_out, first)
        first += len(cut_out.outline)
    return [*pieces, *pockets, *cutters]


def _bodies(jobs: list[list[Convex]]) -> list[tuple[list[int], Faces]]:
    """The faces of all jobs, together if they close at the first tolerance, else one by one: (jobs, faces)."""
    try:
        return [(list(range(len(jobs))), gathered(outlines_of(jobs, TOLERANCES[0])))]
    except ValueError as error:
        if len(jobs) > 1:
            return [([i], faces) for i, job in enumerate(jobs) for _, faces in _bodies([job])]
        trouble = error
    for tolerance in TOLERANCES[1:]:
        try:
            return [([0], gathered(outlines_of(jobs, tolerance)))]
        except ValueError as error:
            trouble = error
    raise ArithmeticError(f"a solid of {len(jobs[0])} convex solids does not close: {trouble}")


# ---------------------------------------------------------------------------------------------------------------- bores
def _add_bores(pool: Pool, hosts: Hosts, bores: Bores) -> None:
    if not len(bores.shape):
        return
    beyond = hosts.faces_at(bores)
    floor, end = np.nonzero(~bores.is_open)
    normals = np.zeros((len(floor), 3))
    normals[np.arange(len(floor)), bores.axis[floor]] = np.where(end == 0, 1.0, -1.0)
    beyond[floor, end] = pool.add_faces(normals, bores.shape[floor]) + np.arange(len(floor))
    for n in np.unique(bores.facets).tolist():
        _add_bores_of(pool, hosts, bores, beyond, np.flatnonzero(bores.facets == n), n)


def _add_bores_of(pool: Pool, hosts: Hosts, bores: Bores, beyond: np.ndarray, which: np.ndarray, n: int) -> None:
    """All bores of n facets; `beyond` is the face at either end, (bores, 2): the one with the mouth, or the floor."""
    count, shape, axis = len(which), bores.shape[which], bores.axis[which]
    u, v = (axis + 1) % 3, (axis + 2) % 3
    bore, facet = np.arange(count)[:, None], np.arange(n)[None]
    turn = 2 * np.pi * np.arange(n) / n
    around = turn + np.pi / n  # corner i follows facet i
    reach = bores.radius[which, None] / np.cos(np.pi / n)
    places = np.empty((count, 2, n, 3))
    places[bore, :, facet, u[:, None]] = (bores.centre[which, :1] + reach * np.cos(around))[:, :, None]
    places[bore, :, facet, v[:, None]] = (bores.centre[which, 1:] + reach * np.sin(around))[:, :, None]
    places[bore, :, facet, axis[:, None]] = bores.ends[which][:, None]
    first = pool.add_vertices(np.round(places.reshape(-1, 3), 9) + 0.0, np.repeat(shape, 2 * n))
    normals = np.zeros((count, n, 3))
    normals[bore, facet, u[:, None]], normals[bore, facet, v[:, None]] = -_tidy(np.cos(turn)), -_tidy(np.sin(turn))
    first_wall = pool.add_faces(normals.reshape(-1, 3), np.repeat(shape, n))
    low = first + 2 * n * bore + facet
    high, wall = low + n, first_wall + n * bore + facet
    low_before = first + 2 * n * bore + (facet - 1) % n
    high_before = low_before + n
    pool.add_polygons(np.stack((low, low_before, high_before, high), axis=2).reshape(-1, 4), wall.ravel())
    rims, wall_after = beyond[which], first_wall + n * bore + (facet + 1) % n
    ends = np.stack((low_before, low, high_before, high, low, high), axis=2).reshape(-1, 2)
    at_low, at_high = (np.broadcast_to(rims[:, [side]], (count, n)) for side in (0, 1))
    edge_faces = np.stack((at_low, wall, wall, at_high, wall_after, wall), axis=2).reshape(-1, 2)
    pool.add_edges(ends, edge_faces, np.tile((True, True, False), count * n))
    for side, ring in ((0, low), (1, high[:, ::-1])):
        is_open = bores.is_open[which, side]
        pool.add_polygons(ring[~is_open], rims[~is_open, side])
        mouths = int(is_open.sum())
        hosts.mouths.append(
            Mouths(
                corners=ring[is_open].ravel(),
                sizes=np.full(mouths, n),
                face=rims[is_open, side],
                centre=bores.centre[which[is_open]],
                reach=reach[is_open, 0],
                axis=axis[is_open],
                side=np.full(mouths, side),
            )
        )


def _tidy(values: np.ndarray) -> np.ndarray:
    """Without the dust of sin π."""
    return np.where(np.abs(values) < 1e-15, 0.0, values)
