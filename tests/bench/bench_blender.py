"""How long a changed width takes to reach the meshes in Blender, and how much of that is core's, beside a boolean library.

    .venv-bpy-5.0/bin/python tests/bench/bench_blender.py

Installs the zip of `build.py package` in a throw-away profile, adds the demo piece, and sets its width, each time to one that it never had,
so that nothing is remembered. The time runs from setting the property, or from what a drag does, to the end of the depsgraph update. Blender's
share is the same drag to and fro between two widths whose models and meshes are remembered; the floor writes the coordinates of
all meshes by hand and updates the depsgraph. The reference runs in `.venv`, where the boolean library is. Prints medians;
nothing is judged here.
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

import numpy as np

ROOT = Path(__file__).resolve().parents[2]
ROUNDS = 20
ADDON = "bl_ext.user_default.muntin"
FIRST, STEP = 1151.0, 1.0  # mm
DEMO = ROOT / "docs" / "examples" / "coat_cupboard.json"

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

    def coloured(width: float) -> None:
        root.muntin.piece.finish.schemes[0].coats[0].colour = (width % 97 / 97, 0.5, 0.5)
        bpy.context.view_layer.update()

    def built(width: float) -> None:
        model = build.build_seen(grips.moved(document.piece(root), "width", width))
        solids.meshes_of(part.shape for part in model.parts)

    def floor(_width: float) -> None:
        for mesh, places in zip(meshes, coordinates, strict=True):
            mesh.attributes["position"].data.foreach_set("vector", places)
            mesh.update_tag()
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
    meshes = [mesh for mesh in bpy.data.meshes if mesh.users]
    coordinates = [np.empty(3 * len(mesh.vertices), np.float32) for mesh in meshes]
    for mesh, places in zip(meshes, coordinates, strict=True):
        mesh.attributes["position"].data.foreach_get("vector", places)
    print(f"  floor: bare coordinates of {len(meshes):3} meshes     {measured(floor, widths)}")
    python = ROOT / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if not python.exists():
        print("  reference left out: there is no .venv (python3 build.py setup)")
        return
    words = REFERENCE.format(root=str(ROOT), tests=str(ROOT / "tests"), demo=str(DEMO))
    print(subprocess.run([python, "-c", words], capture_output=True, text=True, check=True).stdout, end="")


def measured(work: Callable[[float], None], widths: Iterator[float]) -> str:
    """The median time of some work with ever new widths, by the clock and of this process, ms."""
    took = []
    for width in itertools.islice(widths, ROUNDS):
        wall, own = time.perf_counter(), time.process_time()
        work(width)
        took.append((time.perf_counter() - wall, time.process_time() - own))
    return "".join(f"{1000 * statistics.median(each):7.1f} ms" for each in zip(*took, strict=True))


if __name__ == "__main__":
    main()
