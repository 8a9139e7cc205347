"""A model as glTF 2.0 (binary): one node for each part and fitting, named by its key, its data in `extras`.

Metres, Y up, as the standard asks. Each mesh has a triangle primitive and a second one of mode LINES with its marked feature edges.
"""

from __future__ import annotations

import json
import struct
from collections.abc import Mapping

import numpy as np

from ..meshes import mesh_of_bodies
from ..model import Fitting, Model, Part
from ..piece.finish import Scheme
from ..solids import Mesh, mesh_of

MM_PER_METRE = 1000.0
_Y_UP = np.array(
    [[1.0, 0.0, 0.0], [0.0, 0.0, 1.0], [0.0, -1.0, 0.0]]
)  # rows: where x, y and z of the standard lie in the piece
GLASS, CLEAR = "#dfe8e6", 0.25  # panes: their tint, and how much of what is behind they cover; to the eye
_TRIANGLES, _LINES = 4, 1  # primitive modes; glTF 2.0
_FLOAT, _UINT = 5126, 5125  # component types
_VERTICES, _INDICES = 34962, 34963  # buffer targets


def glb_bytes(
    model: Model, *, marks: Mapping[str, int], scheme: Scheme, stamp: str = "", generator: str = "Muntin"
) -> bytes:
    """The model in one binary file; the same model gives the same bytes."""
    writer = _Writer()
    nodes = []
    for part in model.parts:
        colour = GLASS if part.board.material.kind == "glass" else scheme.coat(part.finish).colour
        mesh = writer.mesh(("part", part.shape, colour), part.key, mesh_of(part.shape), colour)
        nodes.append(
            {"name": part.key, "mesh": mesh, "matrix": _matrix(part.place), "extras": _part_data(part, marks, scheme)}
        )
    for fitting in model.fittings:
        mesh = writer.mesh(("fitting", fitting.bodies), fitting.key, mesh_of_bodies(fitting.bodies), "#9a9a9a")
        nodes.append(
            {"name": fitting.key, "mesh": mesh, "matrix": _matrix(fitting.place), "extras": _fitting_data(fitting)}
        )
    document = writer.document(
        nodes,
        {"name": model.name, "extras": {"overall": list(model.overall), **({"stamp": stamp} if stamp else {})}},
        generator,
    )
    return _packed(document, bytes(writer.data))


def _part_data(part: Part, marks: Mapping[str, int], scheme: Scheme) -> dict:
    length, width, thickness = part.size
    coat = scheme.coat(part.finish)
    coated = {"coating": coat.coating, "colour": coat.colour} if part.board.material.kind != "glass" else {}
    return {
        "mark": marks.get(part.key), "name": part.name, "material": part.board.name, "length": length, "width": width, "thickness": thickness,
        "grain": part.grain, "finish": part.finish, **coated,
    }  # fmt: skip


def _fitting_data(fitting: Fitting) -> dict:
    return {"name": fitting.name, "entry": fitting.entry, "mass": fitting.mass, "finish": fitting.finish}


def _matrix(place) -> list[float]:
    """Column-major 4 × 4: own millimetres to metres in the standard's axes."""
    turned = place.axes() @ _Y_UP.T  # rows: where the part's x, y and z axes point
    origin = np.asarray(place.origin) @ _Y_UP.T / MM_PER_METRE
    rows = [[*map(float, axis), 0.0] for axis in turned]
    return [round(value, 9) + 0.0 for row in rows for value in row] + [round(float(c), 9) + 0.0 for c in origin] + [1.0]


class _Writer:
    """Buffers, accessors, materials and meshes under way; equal meshes are written once."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict] = []
        self.accessors: list[dict] = []
        self.materials: list[dict] = []
        self.meshes: list[dict] = []
        self._known: dict[object, int] = {}
        self._colours: dict[str, int] = {}

    def mesh(self, value: object, name: str, mesh: Mesh, colour: str) -> int:
        """The index of a mesh of that value and colour."""
        if (value, colour) not in self._known:
            self._known[value, colour] = len(self.meshes)
            self.meshes.append({"name": name, "primitives": self._primitives(mesh, colour)})
        return self._known[value, colour]

    def _primitives(self, mesh: Mesh, colour: str) -> list[dict]:
        triangles = mesh.triangles()
        faces = _faces_of(mesh, len(triangles))
        points = mesh.vertices[triangles.ravel()] / MM_PER_METRE
        normals = np.repeat(mesh.normals[faces], 3, axis=0)
        pairs, index = np.unique(np.column_stack([triangles.ravel(), np.repeat(faces, 3)]), axis=0, return_index=True)
        order = np.empty(len(points), np.uint32)
        lookup = {tuple(pair): i for i, pair in enumerate(pairs.tolist())}
        order[:] = [lookup[pair] for pair in zip(triangles.ravel().tolist(), np.repeat(faces, 3).tolist())]
        primitives = [
            {
                "attributes": {"POSITION": self._points(points[index]), "NORMAL": self._array(normals[index].astype(np.float32), "VEC3", _VERTICES)},
                "indices": self._array(order, "SCALAR", _INDICES), "mode": _TRIANGLES, "material": self._material(colour),
            }
        ]  # fmt: skip
        marked = mesh.edges[mesh.marked]
        if len(marked):
            used, edges = np.unique(marked, return_inverse=True)
            lines = {
                "attributes": {"POSITION": self._points(mesh.vertices[used] / MM_PER_METRE)},
                "indices": self._array(edges.ravel().astype(np.uint32), "SCALAR", _INDICES),
                "mode": _LINES,
            }
            primitives.append(lines)
        return primitives

    def _points(self, points: np.ndarray) -> int:
        points = np.ascontiguousarray(points, dtype=np.float32)
        number = self._array(points, "VEC3", _VERTICES)
        self.accessors[number]["min"] = [float(c) for c in points.min(0)]
        self.accessors[number]["max"] = [float(c) for c in points.max(0)]
        return number

    def _array(self, array: np.ndarray, shape: str, target: int) -> int:
        while len(self.data) % 4:
            self.data.append(0)
        raw = np.ascontiguousarray(array).tobytes()
        self.views.append({"buffer": 0, "byteOffset": len(self.data), "byteLength": len(raw), "target": target})
        self.data += raw
        kind = _FLOAT if array.dtype == np.float32 else _UINT
        self.accessors.append(
            {"bufferView": len(self.views) - 1, "componentType": kind, "count": len(array), "type": shape}
        )
        return len(self.accessors) - 1

    def _material(self, colour: str) -> int:
        if colour not in self._colours:
            self._colours[colour] = len(self.materials)
            clear = colour == GLASS
            base = [*_linear(colour), CLEAR if clear else 1.0]
            self.materials.append(
                {
                    "name": "glass" if clear else colour,
                    "pbrMetallicRoughness": {
                        "baseColorFactor": base, "metallicFactor": 0.0, "roughnessFactor": 0.05 if clear else 0.6,
                    },
                    **({"alphaMode": "BLEND"} if clear else {}),
                }
            )  # fmt: skip
        return self._colours[colour]

    def document(self, nodes: list[dict], scene: dict, generator: str) -> dict:
        """The JSON chunk."""
        root = {"name": scene["name"] or "piece", "children": list(range(1, len(nodes) + 1)), "extras": scene["extras"]}
        return {
            "asset": {"version": "2.0", "generator": generator}, "scene": 0, "scenes": [{"nodes": [0]}], "nodes": [root, *nodes], "meshes": self.meshes,
            "materials": self.materials, "accessors": self.accessors, "bufferViews": self.views, "buffers": [{"byteLength": len(self.data)}],
        }  # fmt: skip


def _faces_of(mesh: Mesh, count: int) -> np.ndarray:
    """The planar face of every triangle: a polygon of n corners gives n − 2 of them, in order."""
    faces = np.repeat(mesh.face_of, np.diff(mesh.starts) - 2)
    assert len(faces) == count, "triangles do not follow the polygons"
    return faces


def _linear(colour: str) -> list[float]:
    """sRGB hex as linear light, IEC 61966-2-1."""
    values = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    return [round(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4, 6) for c in values]


def _packed(document: dict, data: bytes) -> bytes:
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=False, allow_nan=False).encode("utf-8")
    text += b" " * (-len(text) % 4)
    data += b"\0" * (-len(data) % 4)
    chunks = struct.pack("<II", len(text), 0x4E4F534A) + text + struct.pack("<II", len(data), 0x004E4942) + data
    return struct.pack("<4sII", b"glTF", 2, 12 + len(chunks)) + chunks
