"""What things weigh and where their centre of mass lies, from the exact solids.

Parts: volume of the closed mesh times density. Fittings: the mass of their library entry, at the middle of their
bodies. Fasteners: a round of their length, screws at their core's diameter. Mass kg, places mm in the piece's frame.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .fastenings import screw
from .frozen import quickly_made
from .geometry import Vector, plus, vector
from .materials import material
from .model import Body, Fastener, Fitting, Model, Part, Shape
from .solids import Mesh, mesh_of, mesh_of_body, meshes_of

MM3_PER_M3 = 1e9
PEG_WOOD = "beech"  # dowels, plugs and biscuits
PEG_METAL = "steel"  # screws, pins and bolts


@quickly_made
@dataclass(frozen=True, slots=True)
class Weight:
    """A mass and where it can be thought to hang."""

    mass: float
    centre: Vector


NOTHING = Weight(0.0, (0.0, 0.0, 0.0))


def weight_of_part(part: Part) -> Weight:
    """A part's mass and its centre, holes and all."""
    volume, centre = _bulk_of_shape(part.shape)
    return Weight(volume * part.board.material.density / MM3_PER_M3, part.place.point(centre))


def weight_of_fitting(fitting: Fitting) -> Weight:
    """A fitting's mass by its entry, its centre by the volume of its bodies."""
    return Weight(fitting.mass, fitting.place.point(_middle_of(fitting.bodies)))


@lru_cache(maxsize=1024)
def _middle_of(bodies: tuple[Body, ...]) -> Vector:
    """The middle of bodies by their volume, in the fitting's frame."""
    volume, middle = 0.0, np.zeros(3)
    for body in bodies:
        size, centre = _bulk_of_body(body)
        volume, middle = volume + size, middle + size * np.asarray(centre)
    return vector(*(middle / volume).tolist()) if volume else (0.0, 0.0, 0.0)


def weight_of_fastener(fastener: Fastener) -> Weight:
    """A dowel's or screw's mass, heads and flutes left out."""
    middle = plus(fastener.at, fastener.along, fastener.length / 2)
    return Weight(_mass_of_peg(fastener.kind, fastener.name, fastener.diameter, fastener.length), middle)


@lru_cache(maxsize=1024)
def _mass_of_peg(kind: str, name: str, diameter: float, length: float) -> float:
    wooden = kind in ("dowel", "plug", "biscuit")
    thick = screw(name.removeprefix("screw ")).core if kind == "screw" else diameter
    return math.pi / 4 * thick**2 * length * material(PEG_WOOD if wooden else PEG_METAL).density / MM3_PER_M3


def weights_of(model: Model) -> dict[str, Weight]:
    """The weight of every part, fitting and fastener, by key."""
    meshes_of(part.shape for part in model.parts)  # together they cost far less than one by one
    found = {part.key: weight_of_part(part) for part in model.parts}
    found |= {fitting.key: weight_of_fitting(fitting) for fitting in model.fittings}
    return found | {each.key: weight_of_fastener(each) for each in model.fasteners}


def together(weights: Iterable[Weight]) -> Weight:
    """Several weights as one; nothing where there are none."""
    mass = a = b = c = 0.0
    for each in weights:
        own, (x, y, z) = each.mass, each.centre
        mass += own
        a, b, c = a + own * x, b + own * y, c + own * z
    return Weight(mass, vector(a / mass, b / mass, c / mass)) if mass else NOTHING


# ------------------------------------------------------------------------------------------------------- bulk of a mesh
@lru_cache(maxsize=4096)
def _bulk_of_shape(shape: Shape) -> tuple[float, Vector]:
    return _bulk(mesh_of(shape))


@lru_cache(maxsize=4096)
def _bulk_of_body(body: Body) -> tuple[float, Vector]:
    return _bulk(mesh_of_body(body))


def _bulk(mesh: Mesh) -> tuple[float, Vector]:
    """Volume and centroid of a closed mesh: the sum over the tetrahedra that fans of its polygons make with one
    corner.
    """
    first = np.repeat(mesh.starts[:-1], np.diff(mesh.starts))
    fan = (
        np.flatnonzero((first[1:-1] == first[:-2]) & (first[1:-1] == first[2:])) + 1
    )  # neither first nor last of theirs
    points = (mesh.vertices - mesh.vertices[0])[mesh.corners].T
    a, b, c = points[:, first[fan]], points[:, fan], points[:, fan + 1]
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = a, b, c
    sixfold = ax * (by * cz - bz * cy) + ay * (bz * cx - bx * cz) + az * (bx * cy - by * cx)
    volume = float(sixfold.sum()) / 6
    centre = (a + b + c) @ sixfold / (24 * volume) + mesh.vertices[0]
    return volume, vector(*centre.tolist())
