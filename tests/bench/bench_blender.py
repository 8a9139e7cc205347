"""How long a changed width takes to reach the meshes in Blender, and how much of that is core's, beside a boolean library.

    .venv-bpy-5.0/bin/python tests/bench/bench_blender.py

Installs the zip of `build.py package` in a throw-away profile, adds the demo piece, and sets its width, each time to one that it never had,
so that nothing is remembered. The time runs from setting the property, or from what a drag does, to the end of the depsgraph update. Blender's
share is the same drag to and fro between two widths whose models and meshes are remembered, or between two pieces other in every size. The
floors write by hand the coordinates of all meshes, or clear all meshes and write their nets, and update the depsgraph. The reference runs
in `.venv`, where the boolean library is. Prints medians; nothing is judged here.
"""

from __future__ import annotations

import importlib
import itertools
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import numpy as np

if TYPE_CHECKING:
    import bpy

    from core.piece import Piece

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 20
ADDON = "bl_ext.user_default.muntin"
FIRST, STEP = 1151.0, 1.0  # mm
DEMO = ROOT / "docs" / "examples" / "coat_cupboard.json"

T = TypeVar("T")

REFERENCE = """
import statistics, sys, time
sys.path[:0] = [{root!r}, {tests!r}]
from test_solids_properties import judged
from core.build import build
from core.piece import read_piece_file
from core.solids import forget, meshes_of
piece = read_piece_file({demo!r})
shapes = [part.shape for part in build(piece).parts]
def median(work, rounds):
    took = []
    for _ in range(rounds):
        start = time.perf_counter(); work(); took.append(time.perf_counter() - start)
    return 1000 * statistics.median(took)
print(f"  boolean library, the same {{len(shapes)}} parts     {{median(lambda: [judged(shape).to_mesh64() for shape in shapes], 3):7.1f}} ms")
print(f"  core, parameters to model                 {{median(lambda: build(piece), 9):7.1f}} ms")
print(f"  core, model to meshes, nothing remembered {{median(lambda: (forget(), meshes_of(shapes)), 9):7.1f}} ms")
"""


def main() -> None:
    """Install, add, change, print."""
    os.environ["BLENDER_USER_RESOURCES"] = tempfile.mkdtemp(prefix="muntin-profile-")
    import bpy

    made = subprocess.run(
        [sys.executable, ROOT / "build.py", "package", "--platform", "here"], capture_output=True, text=True, check=True
    ).stdout
    bpy.ops.extensions.package_install_files(
        filepath=str(ROOT / made.split()[0]), repo="user_default", enable_on_install=True
    )
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    bpy.ops.muntin.add_piece(filepath=str(DEMO))
    root = bpy.context.object
    while root.parent:
        root = root.parent
    print(f"the demo piece in Blender {bpy.app.version_string}, {len(root.children_recursive)} objects")
    widths = itertools.count(FIRST, STEP)
    document, grips, build, solids = (
        importlib.import_module(f"{ADDON}.{name}") for name in ("document", "core.grips", "core.build", "core.solids")
    )

    def typed(width: float) -> None:
        root.muntin.piece.whole.width = width / 1000
        bpy.context.view_layer.update()

    def dragged(width: float) -> None:
        document.drag_to(root, grips.moved(document.piece(root), "width", width))
        bpy.context.view_layer.update()

    def sized(width: float) -> Piece:
        made = document.piece(root)
        for key, size in (("width", width), ("height", width + 600), ("depth", width - 600)):
            made = grips.moved(made, key, size)
        return made

    def dragged_to(made: Piece) -> None:
        document.drag_to(root, made)
        bpy.context.view_layer.update()

    def coloured(width: float) -> None:
        root.muntin.piece.finish.schemes[0].coats[0].colour = (width % 97 / 97, 0.5, 0.5)
        bpy.context.view_layer.update()

    def built(width: float) -> None:
        model = build.build_seen(grips.moved(document.piece(root), "width", width))
        solids.meshes_of(part.shape for part in model.parts)

    def rewritten(_width: float) -> None:
        document.show(root, afresh=True)
        bpy.context.view_layer.update()

    def floor(_width: float) -> None:
        for mesh, places in zip(meshes, coordinates, strict=True):
            mesh.attributes["position"].data.foreach_set("vector", places)
            mesh.update_tag()
        bpy.context.view_layer.update()

    def floor_of_nets(_width: float) -> None:
        for mesh, arrays in zip(meshes, nets, strict=True):
            written_bare(mesh, arrays)
        bpy.context.view_layer.update()

    print("                                                  wall  processor")
    print(f"  width typed, to updated scene             {measured(typed, widths)}")
    print(f"  width dragged, to updated scene           {measured(dragged, widths)}")
    print(f"    of which core: model and changed meshes {measured(built, widths)}")
    print(f"  colour picked, to updated scene           {measured(coloured, widths)}")
    to_and_fro = itertools.cycle((next(widths), next(widths)))
    for width in itertools.islice(to_and_fro, 2):
        dragged(width)
    print(f"    the same where core remembers: Blender  {measured(dragged, to_and_fro)}")
    two = [sized(next(widths)), sized(next(widths))]
    for made in two:
        dragged_to(made)
    print(f"  all three sizes other, core remembers     {measured(dragged_to, itertools.cycle(two))}")
    print(f"  every mesh written anew, core remembers   {measured(rewritten, widths)}")
    meshes = [mesh for mesh in bpy.data.meshes if mesh.users]
    coordinates = [np.empty(3 * len(mesh.vertices), np.float32) for mesh in meshes]
    for mesh, places in zip(meshes, coordinates, strict=True):
        mesh.attributes["position"].data.foreach_get("vector", places)
    print(f"  floor: bare coordinates of {len(meshes):3} meshes     {measured(floor, widths)}")
    nets = [net_of(mesh) for mesh in meshes]
    print(f"  floor: bare nets of        {len(meshes):3} meshes     {measured(floor_of_nets, widths)}")
    python = ROOT / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if not python.exists():
        print("  reference left out: there is no .venv (python3 build.py setup)")
        return
    words = REFERENCE.format(root=str(ROOT), tests=str(ROOT / "tests"), demo=str(DEMO))
    print(subprocess.run([python, "-c", words], capture_output=True, text=True, check=True).stdout, end="")


def net_of(mesh: bpy.types.Mesh) -> dict[str, np.ndarray]:
    """What a mesh cannot be without: places, corners, edges and where polygons start."""
    return {
        "co": read(mesh.vertices, "co", np.float32, 3),
        "edges": read(mesh.edges, "vertices", np.int32, 2),
        "corners": read(mesh.loops, "vertex_index", np.int32),
        "corner_edges": read(mesh.loops, "edge_index", np.int32),
        "starts": read(mesh.polygons, "loop_start", np.int32),
    }


def read(data: bpy.types.bpy_prop_collection, name: str, kind: type, times: int = 1) -> np.ndarray:
    """One value of all things of a mesh, flat."""
    found = np.empty(times * len(data), kind)
    data.foreach_get(name, found)
    return found


def written_bare(mesh: bpy.types.Mesh, net: dict[str, np.ndarray]) -> None:
    """Clear a mesh and write its net again, no attributes besides."""
    mesh.clear_geometry()
    mesh.vertices.add(len(net["co"]) // 3)
    mesh.edges.add(len(net["edges"]) // 2)
    mesh.loops.add(len(net["corners"]))
    mesh.polygons.add(len(net["starts"]))
    mesh.vertices.foreach_set("co", net["co"])
    mesh.edges.foreach_set("vertices", net["edges"])
    mesh.loops.foreach_set("vertex_index", net["corners"])
    mesh.loops.foreach_set("edge_index", net["corner_edges"])
    mesh.polygons.foreach_set("loop_start", net["starts"])
    mesh.update()


def measured(work: Callable[[T], None], given: Iterator[T]) -> str:
    """The median time of some work with what it is given, by the clock and of this process, ms."""
    took = []
    for each in itertools.islice(given, ROUNDS):
        wall, own = time.perf_counter(), time.process_time()
        work(each)
        took.append((time.perf_counter() - wall, time.process_time() - own))
    return "".join(f"{1000 * statistics.median(each):7.1f} ms" for each in zip(*took, strict=True))


if __name__ == "__main__":
    main()
