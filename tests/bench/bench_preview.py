"""How long the picture takes, and how far it is from one of 512 samples with other noise.

    .venv-bpy-5.0/bin/python tests/bench/bench_preview.py ZIP [--reference]

The demo piece in the daylight room: 1200 × 1500 as it is handed over and 600 × 750 as a draft, in seconds of the wall and of all
processors. With `--reference` also a final picture and one of 512 samples from another seed, both denoised and at a quarter of the
size, and by how much they differ (root of the mean square, of 255).
"""

from __future__ import annotations

import importlib
import os
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
os.environ["BLENDER_USER_RESOURCES"] = tempfile.mkdtemp(prefix="muntin-bench-")

import bpy  # noqa: E402
import numpy as np  # noqa: E402

from docs.demo_session import install, operator  # noqa: E402

ADDON = "bl_ext.user_default.muntin"
PIECE = ROOT / "docs" / "examples" / "coat_cupboard.json"
WIDTH, HEIGHT = 1200, 1500
MANY = 512


def timed(what: str, work: Callable[[], object]) -> None:
    """Do it, and print what it took."""
    wall, processors = time.perf_counter(), time.process_time()
    work()
    spent = time.process_time() - processors
    print(f"{what}: {time.perf_counter() - wall:.1f} s, {spent:.1f} s of processors, load {os.getloadavg()[0]:.1f}")


def pixels(path: Path) -> np.ndarray:
    """What a picture shows, of 255."""
    image = bpy.data.images.load(str(path))
    return 255 * np.array(image.pixels[:]).reshape(-1, image.channels)[:, :3]


def main() -> None:
    """Print the figures."""
    install(Path(sys.argv[1]))
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    operator("add_piece")(filepath=str(PIECE))
    with tempfile.TemporaryDirectory() as folder:
        final, draft, many = (Path(folder) / f"{name}.png" for name in ("final", "draft", "many"))
        timed(
            "draft 600 × 750", lambda: operator("preview")(filepath=str(draft), width=WIDTH, height=HEIGHT, draft=True)
        )
        timed("final 1200 × 1500", lambda: operator("preview")(filepath=str(final), width=WIDTH, height=HEIGHT))
        if "--reference" not in sys.argv:
            return
        small = {"width": WIDTH // 4, "height": HEIGHT // 4}
        timed("final 300 × 375", lambda: operator("preview")(filepath=str(final), **small))
        preview = importlib.import_module(f"{ADDON}.preview")
        settings = preview._settings

        def plain(stage: bpy.types.Scene, shot: object) -> None:
            """Every pixel with all samples, from another seed."""
            settings(stage, shot)
            stage.cycles.samples, stage.cycles.time_limit, stage.cycles.seed = MANY, 0.0, 1
            stage.cycles.use_adaptive_sampling = False

        preview._settings = plain
        timed(f"{MANY} samples", lambda: operator("preview")(filepath=str(many), samples=MANY, **small))
        off = pixels(final) - pixels(many)
        print(f"final against {MANY} samples: {np.sqrt((off**2).mean()):.2f} of 255, mean {off.mean():+.2f}")


if __name__ == "__main__":
    main()
