"""From an empty scene to a cutting list with keys and mouse alone, as a person would; counts what they do.

    blender --factory-startup --python tests/window/actions.py -- ZIP FOLDER

Typing a word counts as one action, a key or a click as one. A trouble ends Blender with status 1.
"""

import importlib
import sys
from pathlib import Path

import bpy

sys.path.insert(0, str(Path(__file__).parent))

from shots import ADDON, go, mouse, shot, view

MOST = 12  # actions from nothing to a cutting list


def steps(zip_path: Path, folder: Path):
    """Install, which is not counted; then act."""
    if ADDON not in bpy.context.preferences.addons:
        bpy.ops.extensions.package_install_files(filepath=str(zip_path), repo="user_default", enable_on_install=True)
    yield
    bpy.data.batch_remove([*bpy.data.objects, *bpy.data.collections])
    bpy.context.preferences.view.filebrowser_display_type = "SCREEN"  # no window manager here to raise a second window
    mouse("mousemove", 20, 500, "click", 1)  # away with the greeting
    yield
    region, window = view()["region"], view()["window"]
    mouse("mousemove", region.x + region.width // 2, window.height - region.y - region.height // 2)
    yield
    actions = 0
    for name, *words in (
        ("add", "key", "shift+a"),
        ("search", "type", "--delay", "80", "coat cup"),
        ("added", "key", "Return"),
        ("find", "key", "F3"),
        ("found", "type", "--delay", "80", "muntin cutting list"),
        ("dialogue", "key", "Return"),
        ("written", "key", "Return"),
    ):
        mouse(*words)
        actions += 1
        for _ in range(3):
            yield
        shot(folder, f"action_{actions}_{name}")
    outcome = importlib.import_module(f"{ADDON}.outcome").last()
    assert outcome.what == "Cutting List" and outcome.names == ("coat_cupboard_cutting_list.csv",), outcome
    assert all((outcome.folder / name).stat().st_size > 500 for name in outcome.names), outcome
    assert actions <= MOST
    print(f"@actions {actions}", flush=True)


if __name__ == "__main__":
    go(steps)
