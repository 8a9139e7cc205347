"""How long a changed width takes to reach the meshes in Blender, and how much of that is core's, beside a boolean library.

    .venv-bpy-5.0/bin/python tests/bench/bench_blender.py

Installs the zip of `build.py package` in a throw-away profile, adds the demo piece, and sets its width, each time to one that it never had,
so that nothing is remembered. The time runs from setting the property, or from what a drag does, to the end of the depsgraph update. The reference runs in `.venv`, where the boolean library is. Prints medians;
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
print(f"  boolean library, the same {{len(shapes)}} parts     {{median(lambda: [judged(shape) for shape in shapes], 3):7.1f}} ms")
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
    document, grips, core, solids = (
        importlib.import_module(f"{ADDON}.{name}") for name in ("document", "core.grips", "core", "core.solids")
    )

    def typed(width: float) -> None:
        root.muntin.piece.whole.width = width / 1000
        bpy.context.view_layer.update()

    def dragged(width: float) -> None:
        document.set_piece(root, grips.moved(document.piece(root), "width", width))
        bpy.context.view_layer.update()

    def built(width: float) -> None:
        solids.meshes_of(part.shape for part in core.build(grips.moved(document.piece(root), "width", width)).parts)

    print(f"  width typed, to updated scene             {measured(typed, widths):7.1f} ms")
    print(f"  width dragged, to updated scene           {measured(dragged, widths):7.1f} ms")
    print(f"    of which core: model and changed meshes {measured(built, widths):7.1f} ms")
    python = ROOT / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if not python.exists():
        print("  reference left out: there is no .venv (python3 build.py setup)")
        return
    words = REFERENCE.format(root=str(ROOT), tests=str(ROOT / "tests"), demo=str(DEMO))
    print(subprocess.run([python, "-c", words], capture_output=True, text=True, check=True).stdout, end="")


def measured(work: Callable[[float], None], widths: Iterator[float]) -> float:
    """The median time of some work with ever new widths, ms."""
    took = []
    for width in itertools.islice(widths, ROUNDS):
        start = time.perf_counter()
        work(width)
        took.append(time.perf_counter() - start)
    return 1000 * statistics.median(took)


if __name__ == "__main__":
    main()
