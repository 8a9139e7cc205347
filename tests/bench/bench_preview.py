"""How long the picture takes, and how far it is from one of 512 samples with other noise.

    .venv-bpy-5.0/bin/python tests/bench/bench_preview.py ZIP [--reference]

The demo piece in the daylight room: 1200 × 1500 as it is handed over and 600 × 750 as a draft, in seconds of the wall and of all
processors, beside a plain scene whose seconds are known where the targets were set. With `--reference` also by how much the final
picture differs from one of 512 samples from another seed, both denoised (root of the mean square, of 255): a sixth of the picture, in
six pieces that lie in each of its rows and columns once, because the whole would take most of an hour. Then no picture is dithered:
that is noise of about half a level which is put into the file on purpose, against bands in smooth shades, and no fault of sampling.
"""

from __future__ import annotations

import importlib
import os
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))
os.environ["BLENDER_USER_RESOURCES"] = tempfile.mkdtemp(prefix="muntin-bench-")

import bpy  # noqa: E402
import numpy as np  # noqa: E402
import preview_scene  # noqa: E402

from docs.demo_session import install, operator  # noqa: E402

ADDON = "bl_ext.user_default.muntin"
PIECE = ROOT / "docs" / "examples" / "coat_cupboard.json"
WIDTH, HEIGHT = 1200, 1500
MANY = 512
PIECES = (3, 0, 4, 1, 5, 2)  # the column taken of each of as many rows
RIM = 12  # pixels


def timed(what: str, work: Callable[[], object]) -> None:
    """Do it, and print what it took."""
    wall, processors = time.perf_counter(), time.process_time()
    work()
    spent = time.process_time() - processors
    print(f"{what}: {time.perf_counter() - wall:.1f} s, {spent:.1f} s of processors, load {os.getloadavg()[0]:.1f}")


def pixels(path: Path) -> np.ndarray:
    """What a picture shows, of 255: (rows from the bottom, columns, 3)."""
    image = bpy.data.images.load(str(path))
    shown = 255 * np.array(image.pixels[:]).reshape(image.size[1], image.size[0], image.channels)[..., :3]
    bpy.data.images.remove(image)
    return shown


def piece_of(picture: np.ndarray, row: int, column: int) -> np.ndarray:
    """One of the pieces that a picture is divided into, rows counted from the bottom."""
    high, wide = HEIGHT // len(PIECES), WIDTH // len(PIECES)
    return picture[row * high : (row + 1) * high, column * wide : (column + 1) * wide]


def inner(picture: np.ndarray) -> np.ndarray:
    """A picture without its rim, where the denoiser of a piece has seen less than that of the whole."""
    return picture[RIM:-RIM, RIM:-RIM]


def undithered(set_up: Callable[..., list], put: Any, *rest: Any) -> list:
    """A picture as it is set up, its levels rounded and not dithered."""
    shown = set_up(put, *rest)
    put.scene.render.dither_intensity = 0.0
    return shown


def many_samples(set_up: Callable[..., list], row: int, column: int, put: Any, *rest: Any) -> list:
    """One piece of the picture, every pixel with all samples, from another seed."""
    shown = set_up(put, *rest)
    cycles, picture, parts = put.scene.cycles, put.scene.render, len(PIECES)
    cycles.samples, cycles.time_limit, cycles.seed, cycles.use_adaptive_sampling = MANY, 0.0, 1, False
    picture.use_border = picture.use_crop_to_border = True
    picture.border_min_x, picture.border_max_x = column / parts, (column + 1) / parts
    picture.border_min_y, picture.border_max_y = row / parts, (row + 1) / parts
    return shown


def main() -> None:
    """Print the figures."""
    install(Path(sys.argv[1]))
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    operator("add_piece")(filepath=str(PIECE))
    if "--reference" in sys.argv:
        preview = importlib.import_module(f"{ADDON}.preview")
        preview.set_up = partial(undithered, preview.set_up)
    with tempfile.TemporaryDirectory() as folder:
        final, draft, many = (Path(folder) / f"{name}.png" for name in ("final", "draft", "many"))
        timed(
            "draft 600 × 750", lambda: operator("preview")(filepath=str(draft), width=WIDTH, height=HEIGHT, draft=True)
        )
        timed("final 1200 × 1500", lambda: operator("preview")(filepath=str(final), width=WIDTH, height=HEIGHT))
        plain = preview_scene.seconds(str(many), (WIDTH, HEIGHT))
        slower = plain / preview_scene.SECONDS
        print(
            f"reference, a plain scene: {plain:.1f} s of processors, {slower:.2f} times what it took where the targets were set:"
            f" 60 s for the final picture and 6 s for a draft are {60 * slower:.0f} s and {6 * slower:.1f} s here"
        )
        if "--reference" not in sys.argv:
            return
        set_up = preview.set_up
        off = []
        for row, column in enumerate(PIECES):
            preview.set_up = partial(many_samples, set_up, row, column)
            timed(
                f"{MANY} samples, row {row + 1}, column {column + 1}",
                lambda: operator("preview")(filepath=str(many), width=WIDTH, height=HEIGHT),
            )
            off.append(inner(piece_of(pixels(final), row, column)) - inner(pixels(many)))
        print(
            f"final against {MANY} samples: {np.sqrt(np.mean([(each**2).mean() for each in off])):.2f} of 255,"
            f" mean {np.mean([each.mean() for each in off]):+.2f};"
            f" by pieces {' '.join(f'{np.sqrt((each**2).mean()):.2f}' for each in off)}"
        )


if __name__ == "__main__":
    main()
