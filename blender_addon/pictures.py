"""Picture files as arrays of pixels, through Blender's own readers and writers; nothing of them stays in the file."""

from __future__ import annotations

from pathlib import Path

import bpy
import numpy as np


def read(path: Path) -> np.ndarray:
    """A picture's values, (rows, columns, channels), the lowest row first: of 0 to 1 as seen, or linear from an EXR; else OSError."""
    try:
        image = bpy.data.images.load(str(path))
    except RuntimeError as error:
        raise OSError(f"{path}: {error}") from error
    try:
        wide, high = image.size
        if not wide * high:
            raise OSError(f"{path}: this is no picture that can be read")
        values = np.empty(len(image.pixels), np.float32)
        image.pixels.foreach_get(values)
        return values.reshape(high, wide, image.channels)
    finally:
        bpy.data.images.remove(image)


def write_png(path: Path, seen: np.ndarray) -> None:
    """Write colours of 0 to 1 as they are seen, (rows, columns, 3), the lowest row first; OSError where that fails."""
    rows, columns = seen.shape[:2]
    image = bpy.data.images.new("Muntin Picture", columns, rows)
    try:
        image.pixels.foreach_set(np.dstack((seen, np.ones((rows, columns)))).astype(np.float32).ravel())
        image.file_format, image.filepath_raw = "PNG", str(path)
        image.save()
    except RuntimeError as error:
        raise OSError(f"{path}: {error}") from error
    finally:
        bpy.data.images.remove(image)
