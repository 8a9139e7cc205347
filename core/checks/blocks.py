"""Parts and fittings as blocks where they stand, and what is taken out of them.

A part is the convex pieces of its bar less its pockets and holes; a fitting's body is cut into convex pieces. Two of
them overlap by the volume of what their pieces share, less what pockets and holes take out of it.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Sequence
from functools import lru_cache

import numpy as np

from ..geometry import Placement, Vector
from ..model import Body, Cut, CutOut, Hole, Pocket, Shape
from ..solids import polygons
from ..solids.convex import across, cut_out_cutters, facets
from .convex import SAME, Block, whole_block


@lru_cache(maxsize=4096)
def bar_blocks(shape: Shape) -> tuple[Block, ...]:
    """The bar of a shape within its cuts, in the part's frame; pockets and holes not taken out."""
    cuts = tuple((each.normal, each.point) for each in shape.features if isinstance(each, Cut))
    return _bar_within(shape.size, shape.section, cuts)


@lru_cache(maxsize=4096)
def _bar_within(
    size: Vector, section: tuple[tuple[float, float], ...], cuts: tuple[tuple[Vector, Vector], ...]
) -> tuple[Block, ...]:
    """A bar within planes (normal, point); remembered apart from pockets and holes, which change more often."""
    bars = _profiled(section, size[0]) if section else [whole_block((0.0, 0.0, 0.0), size)]
    for away, point in cuts:
        normal = np.asarray(away) / np.linalg.norm(away)
        offset = float(normal @ np.asarray(point))
        halves = [bar.clipped(normal, offset) for bar in bars]
        bars = [
            (
                half
                if half is bar
                else Block(
                    half.corners, np.vstack((half.normals, [normal])), np.append(half.offsets, offset), half.faces
                )
            )
            for bar, half in zip(bars, halves, strict=True)
            if half is not None
        ]
    return tuple(bars)


def _profiled(section: Sequence[tuple[float, float]], length: float) -> list[Block]:
    """A section (y, z) drawn along x, as convex pieces."""
    outline = np.array(section, dtype=float)
    found = []
    for loop in _convex_loops(outline):
        foot = np.column_stack((np.zeros(len(loop)), outline[loop]))
        found.append(_prism(foot, foot + np.array((length, 0.0, 0.0))))
    return found


def _convex_loops(outline: np.ndarray) -> list[list[int]]:
    """An outline cut into convex ones, each a list of its corners, all running one way."""
    whole = list(range(len(outline)))
    if polygons.area(outline, whole) < 0:
        whole = whole[::-1]
    if polygons.is_convex(outline, whole):
        return [whole]
    turned = outline[whole]
    return [[whole[i] for i in loop] for loop in polygons.convex_polygons(turned, range(len(turned)))]


@lru_cache(maxsize=4096)
def cutters_of(shape: Shape) -> tuple[tuple[np.ndarray, np.ndarray], ...]:
    """What pockets, cut-outs and holes take out: normals and offsets of each, in the part's frame, holes last."""
    pockets = [_pocket(each) for each in shape.features if isinstance(each, Pocket)]
    for cut_out in (each for each in shape.features if isinstance(each, CutOut)):
        for piece in cut_out_cutters(cut_out, 0):
            planes = np.array(piece.planes)
            pockets.append((planes[:, :3], planes[:, 3]))
    holes = [_hole(each) for each in shape.features if isinstance(each, Hole)]
    return (*pockets, *holes)


def _pocket(pocket: Pocket) -> tuple[np.ndarray, np.ndarray]:
    box = whole_block(np.minimum(pocket.low, pocket.high), np.maximum(pocket.low, pocket.high))
    return box.normals, box.offsets


def _hole(hole: Hole) -> tuple[np.ndarray, np.ndarray]:
    """A hole as the facetted round that just holds the true one, its facets those of the mesh."""
    normals = _round_about(hole.into, facets(hole.diameter))
    offsets = normals @ np.asarray(hole.at)
    offsets[:-2] += hole.diameter / 2
    offsets[-1] += hole.depth
    return normals, offsets


@lru_cache(maxsize=1024)
def _round_about(into: Vector, n: int) -> np.ndarray:
    """The normals of a facetted round, of its mouth and its floor; read-only, shared by all holes of the kind."""
    u, v = across(into)
    angle = 2 * math.pi * np.arange(n) / n
    axis = np.cross(u, v)
    normals = np.vstack((np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v, [-axis, axis]))
    normals.flags.writeable = False
    return normals


@lru_cache(maxsize=4096)
def body_blocks(body: Body) -> tuple[Block, ...]:
    """A fitting's body as convex pieces, in the fitting's frame; rounds lie inside the true ones."""
    match body.form:
        case "block":
            return (whole_block(body.low, body.high),)
        case "bar":
            return _bar(body)
        case _:
            return _turned(body)


def _bar(body: Body) -> tuple[Block, ...]:
    axis, reach = _axis(body)
    u, v = across(tuple(np.abs(axis)) if np.count_nonzero(axis) == 1 else tuple(axis))
    outline = np.array(body.outline, dtype=float)
    low = np.asarray(body.low)
    found = []
    for loop in _convex_loops(outline):
        below = low + outline[loop] @ np.array((u, v))
        found.append(_prism(below, below + reach * axis))
    return tuple(found)


def _turned(body: Body) -> tuple[Block, ...]:
    axis, _ = _axis(body)
    u, v = across(tuple(axis))
    n = facets(2 * max(radius for _, radius in body.outline))
    angle = 2 * math.pi * (np.arange(n) + 0.5) / n
    circle = np.cos(angle)[:, None] * u + np.sin(angle)[:, None] * v
    low = np.asarray(body.low)
    found = []
    for (a, r), (b, s) in itertools.pairwise(body.outline):
        if b - a > SAME:
            rings = [low + at * axis + max(radius, 1e-3) * circle for at, radius in ((a, r), (b, s))]
            found.append(_prism(*rings))
    return tuple(found)


def _axis(body: Body) -> tuple[np.ndarray, float]:
    step = np.subtract(body.high, body.low)
    reach = float(np.linalg.norm(step))
    return step / reach, reach


def _prism(below: np.ndarray, above: np.ndarray) -> Block:
    """The block between two outlines of as many corners each, sides flat."""
    n = len(below)
    corners = np.vstack((below, above))
    middle = corners.mean(axis=0)
    faces = [(i, (i + 1) % n, (i + 1) % n + n, i + n) for i in range(n)] + [
        tuple(range(n))[::-1],
        tuple(range(n, 2 * n)),
    ]
    points = np.array([corners[[face[0], face[1], face[2]]] for face in faces])
    normals = np.cross(points[:, 1] - points[:, 0], points[:, 2] - points[:, 0])
    long = np.linalg.norm(normals, axis=1)
    if (long < SAME).any():  # the first three corners of an outline may lie in one line
        normals[long < SAME] = [_normal(corners[list(faces[i])]) for i in np.flatnonzero(long < SAME)]
        long = np.linalg.norm(normals, axis=1)
    normals /= long[:, None]
    if float(normals[-1] @ (above[0] - middle)) < 0:  # drawn the other way round
        faces, normals = [face[::-1] for face in faces], -normals
    return Block(corners, normals, np.einsum("ij,ij->i", normals, points[:, 0]), tuple(faces))


def _normal(loop: np.ndarray) -> np.ndarray:
    """What looks out of a flat loop of corners, its length twice the area (Newell)."""
    return np.cross(loop, np.roll(loop, -1, axis=0)).sum(axis=0)


@lru_cache(maxsize=4096)
def placed_bar(shape: Shape, place: Placement) -> tuple[Block, ...]:
    """The bar of a shape in the piece."""
    return placed_blocks(bar_blocks(shape), place)


@lru_cache(maxsize=4096)
def placed_bodies(bodies: tuple[Body, ...], place: Placement) -> tuple[Block, ...]:
    """The bodies of a fitting in the piece."""
    return placed_blocks([block for body in bodies for block in body_blocks(body)], place)


def placed_blocks(blocks: Iterable[Block], place: Placement) -> tuple[Block, ...]:
    """Blocks of a part's frame where the part stands."""
    axes, origin = place.axes(), np.asarray(place.origin)
    turned = [(block, block.normals @ axes) for block in blocks]
    return tuple(
        [
            Block(block.corners @ axes + origin, normals, block.offsets + normals @ origin, block.faces)
            for block, normals in turned
        ]
    )


@lru_cache(maxsize=1024)
def placed_cutters(shape: Shape, place: Placement) -> tuple[tuple[np.ndarray, np.ndarray], ...]:
    """What the pockets and holes of a part take out, where it stands."""
    axes, origin = place.axes(), np.asarray(place.origin)
    turned: dict[int, tuple[np.ndarray, np.ndarray]] = {}  # holes of one kind share their normals
    found = []
    for normals, offsets in cutters_of(shape):
        if id(normals) not in turned:
            there = normals @ axes
            turned[id(normals)] = there, there @ origin
        there, reach = turned[id(normals)]
        found.append((there, offsets + reach))
    return tuple(found)
