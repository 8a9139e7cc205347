"""Visible lines by Open CASCADE, in the environment that has it: a judge, never part of what is shipped.

    .venv-occ/bin/python tests/occ_lines.py SCENE.npz FOUND.npz

The scene holds solids with planar faces (see `tests/occ_judge.py`) and directions. Found are, for each direction, the visible
segments by its removal of hidden lines from facets, and the seconds that its exact and its facetted removal took.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator

import numpy as np
from OCP.Bnd import Bnd_Box  # noqa: F401  loading it first registers the base classes
from OCP.BRep import BRep_Tool
from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakePolygon, BRepBuilderAPI_Sewing
from OCP.BRepMesh import BRepMesh_IncrementalMesh
from OCP.gp import gp_Ax2, gp_Dir, gp_Pln, gp_Pnt
from OCP.HLRAlgo import HLRAlgo_Projector
from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape, HLRBRep_PolyAlgo, HLRBRep_PolyHLRToShape
from OCP.TopAbs import TopAbs_EDGE
from OCP.TopExp import TopExp, TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Shape


def loops_of(edges: np.ndarray, edge_faces: np.ndarray, faces: int) -> list[list[list[int]]]:
    """For every face its border as loops of vertices, the face at the left hand: each edge runs so for its first face."""
    following: list[dict[int, list[int]]] = [{} for _ in range(faces)]
    for (tail, head), (left, right) in zip(edges.tolist(), edge_faces.tolist(), strict=True):
        following[left].setdefault(tail, []).append(head)
        following[right].setdefault(head, []).append(tail)
    found = []
    for steps in following:
        loops = []
        while steps:
            start = at = next(iter(steps))
            loop = []
            while True:
                loop.append(at)
                nexts = steps[at]
                at_next = nexts.pop()
                if not nexts:
                    del steps[at]
                at = at_next
                if at == start:
                    break
            loops.append(loop)
        found.append(loops)
    return found


def solids_of(
    vertices: np.ndarray, edges: np.ndarray, edge_faces: np.ndarray, normals: np.ndarray
) -> Iterator[TopoDS_Shape]:
    """The closed shells of planar faces with holes that a mesh holds, each sewn by itself, so that bodies that touch stay two."""
    body, loops = bodies_of(edge_faces, len(normals)), loops_of(edges, edge_faces, len(normals))
    for number in np.unique(body):
        sewing = BRepBuilderAPI_Sewing(1e-6)
        for face in np.flatnonzero(body == number):
            if loops[face]:
                sewing.Add(_face(vertices, normals[face], loops[face]))
        sewing.Perform()
        yield sewing.SewedShape()


def bodies_of(edge_faces: np.ndarray, faces: int) -> np.ndarray:
    """For every face the number of the body it is of: faces that share an edge are of one."""
    body = np.arange(faces)
    while True:
        least = body.copy()
        np.minimum.at(least, edge_faces[:, 0], body[edge_faces[:, 1]])
        np.minimum.at(least, edge_faces[:, 1], body[edge_faces[:, 0]])
        if (least == body).all():
            return body
        body = least[least]


def _face(vertices: np.ndarray, normal: np.ndarray, loops: list[list[int]]) -> TopoDS_Shape:
    """A planar face: the largest loop is its border, the others are its holes."""
    rings = sorted(loops, key=lambda loop: -_area(vertices[loop], normal))
    plane = gp_Pln(gp_Pnt(*map(float, vertices[rings[0][0]])), gp_Dir(*map(float, normal)))
    made = BRepBuilderAPI_MakeFace(plane, _wire(vertices[rings[0]]), True)
    for loop in rings[1:]:
        made.Add(_wire(vertices[loop]))
    return made.Face()


def _area(points: np.ndarray, normal: np.ndarray) -> float:
    return float(np.cross(points - points[0], np.roll(points, -1, axis=0) - points[0]).sum(axis=0) @ normal)


def _wire(points: np.ndarray):
    made = BRepBuilderAPI_MakePolygon()
    for point in points.tolist():
        made.Add(gp_Pnt(*point))
    made.Close()
    return made.Wire()


def projector(toward: np.ndarray, right: np.ndarray) -> HLRAlgo_Projector:
    """The view of one who looks against `toward`, `right` being the sheet's own x."""
    return HLRAlgo_Projector(gp_Ax2(gp_Pnt(0, 0, 0), gp_Dir(*map(float, toward)), gp_Dir(*map(float, right))))


def by_facets(shapes: list[TopoDS_Shape], view: HLRAlgo_Projector) -> np.ndarray:
    """Visible segments, (k, 2, 2), of shapes that have their facets."""
    algorithm = HLRBRep_PolyAlgo()
    algorithm.Projector(view)
    for shape in shapes:
        algorithm.Load(shape)
    algorithm.Update()
    found = HLRBRep_PolyHLRToShape()
    found.Update(algorithm)
    kinds = (found.VCompound, found.Rg1LineVCompound, found.RgNLineVCompound, found.OutLineVCompound)
    return np.array([segment for kind in kinds for segment in _segments(kind())]).reshape(-1, 2, 2)


def exactly(shapes: list[TopoDS_Shape], view: HLRAlgo_Projector) -> None:
    """The exact removal, for its time alone."""
    algorithm = HLRBRep_Algo()
    for shape in shapes:
        algorithm.Add(shape, 0)
    algorithm.Projector(view)
    algorithm.Update()
    algorithm.Hide()
    HLRBRep_HLRToShape(algorithm).VCompound()


def _segments(shape: TopoDS_Shape) -> Iterator[list]:
    if shape is None or shape.IsNull():
        return
    explorer = TopExp_Explorer(shape, TopAbs_EDGE)
    while explorer.More():
        edge = TopoDS.Edge(explorer.Current()) if hasattr(TopoDS, "Edge") else TopoDS.Edge_s(explorer.Current())
        ends = []
        for vertex in (TopExp.FirstVertex_s(edge), TopExp.LastVertex_s(edge)):
            point = BRep_Tool.Pnt_s(vertex)
            ends.append([point.X(), point.Y()])
        yield ends
        explorer.Next()


def main(scene: str, found: str) -> None:
    """Read a scene, draw it from every direction, write what was found."""
    data = np.load(scene)
    start = time.perf_counter()
    shapes = [
        shape
        for number in range(int(data["solids"]))
        for shape in solids_of(*(data[f"{name}{number}"] for name in ("vertices", "edges", "edge_faces", "normals")))
    ]
    for shape in shapes:
        BRepMesh_IncrementalMesh(shape, 0.1).Perform()
    made = {"reading": np.array(time.perf_counter() - start)}
    for number, (toward, right) in enumerate(zip(data["toward"], data["right"], strict=True)):
        view = projector(toward, right)
        start = time.perf_counter()
        made[f"lines{number}"] = by_facets(shapes, view)
        made[f"facets{number}"] = np.array(time.perf_counter() - start)
        if data["timed"]:
            start = time.perf_counter()
            exactly(shapes, view)
            made[f"exact{number}"] = np.array(time.perf_counter() - start)
    np.savez(found, **made)


if __name__ == "__main__":
    main(*sys.argv[1:3])
