"""Shapes, fasteners and bodies as closed meshes."""

from __future__ import annotations

from functools import lru_cache

from ..model import Shape
from .convex import bar_pieces, cutters
from .general import mesh_of_convex
from .mesh import Mesh, face_areas, is_closed, placed, surface_area, volume
from .rounds import mesh_of_body, peg_mesh

__all__ = [
    "Mesh",
    "face_areas",
    "is_closed",
    "mesh_of",
    "mesh_of_body",
    "peg_mesh",
    "placed",
    "surface_area",
    "volume",
]


@lru_cache(maxsize=4096)
def mesh_of(shape: Shape) -> Mesh:
    """The closed mesh of a shape, in the part's frame; shapes of equal value share one."""
    pieces = bar_pieces(shape)
    first = 1 + max(int(piece.surfaces.max()) for piece in pieces)
    return mesh_of_convex(pieces, cutters(shape, first))
