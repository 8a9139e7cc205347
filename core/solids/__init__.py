"""Shapes, fasteners and bodies of fittings as closed meshes.

`mesh_of` and `meshes_of` remember what they made: a shape that did not change is not built again. The arrays of a
mesh are shared and read-only.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from ..model import Shape
from . import making
from .making import meshes
from .mesh import Mesh, face_areas, is_closed, placed, surface_area, volume
from .rounds import mesh_of_body, peg_mesh

__all__ = [
    "Mesh",
    "face_areas",
    "forget",
    "is_closed",
    "mesh_of",
    "mesh_of_body",
    "meshes_of",
    "peg_mesh",
    "placed",
    "surface_area",
    "volume",
]

REMEMBERED = 4096  # meshes; some thirty pieces
AT_ONCE = 128  # meshes made together: enough to share the work, few enough to stay in the processor's cache

_made: dict[Shape, Mesh] = {}


def mesh_of(shape: Shape) -> Mesh:
    """The closed mesh of a shape, in the part's frame; shapes of equal value share one."""
    return meshes_of((shape,))[0]


def meshes_of(shapes: Iterable[Shape]) -> list[Mesh]:
    """The closed meshes of many shapes, in their order; together they cost far less than one by one."""
    asked = list(shapes)
    found = [_made.get(shape) for shape in asked]
    missing: dict[Shape, list[int]] = {}
    for i, mesh in enumerate(found):
        if mesh is None:
            missing.setdefault(asked[i], []).append(i)
    if missing:
        if len(_made) + len(missing) > REMEMBERED:
            _made.clear()
        for shape, mesh in _newly_made(list(missing)):
            _made[shape] = mesh
            for i in missing[shape]:
                found[i] = mesh
    return found


def forget() -> None:
    """Drop all remembered meshes and what they were made of."""
    _made.clear()
    making.forget()


def _newly_made(shapes: list[Shape]) -> Iterator[tuple[Shape, Mesh]]:
    for first in range(0, len(shapes), AT_ONCE):
        some = shapes[first : first + AT_ONCE]
        yield from zip(some, meshes(some), strict=True)
