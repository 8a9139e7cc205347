"""Makes a piece inside Blender with the add-on's own operators, as a person would with the mouse.

`build.py demo` runs this in a throw-away profile; it is also an example of scripting the add-on:

    blender --background --python docs/demo_session.py -- ZIP PIECE FOLDER
"""

import math
import sys
from pathlib import Path

import bpy

ADDON = "bl_ext.user_default.muntin"
DOORS_OPEN, DRAWERS_OUT = 100.0, 0.26  # degrees, m; in the second picture


def main(extension_zip: Path, piece: Path, folder: Path) -> None:
    """Install the zip, make the piece, and write its picture and papers into a folder."""
    stage("installing the zip with Blender's extension installer")
    install(extension_zip)
    stage(f"making {piece.stem} with the add-on")
    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    operator("add_piece")(filepath=str(piece))
    stage("rendering the preview with Cycles")
    operator("preview")(filepath=str(folder / "preview.png"))
    open_wide = {"swing": math.radians(DOORS_OPEN), "travel": DRAWERS_OUT}
    operator("preview")(filepath=str(folder / "preview_open.png"), width=600, height=740, samples=16, **open_wide)
    stage("writing the workshop pack, the lists and the model")
    operator("export_workshop_pack")(directory=str(folder))


def install(extension_zip: Path) -> None:
    """Install and enable the extension; raises if it is not there afterwards, whatever the installer returned."""
    bpy.ops.extensions.package_install_files(filepath=str(extension_zip), repo="user_default", enable_on_install=True)
    if ADDON not in bpy.context.preferences.addons:
        raise RuntimeError(f"Blender {bpy.app.version_string} did not enable the extension in {extension_zip.name}")


def operator(name: str):
    """An operator of the add-on; raises, by name, if there is none."""
    if name not in dir(bpy.ops.muntin):
        raise RuntimeError(f"the add-on has no operator muntin.{name}")
    return getattr(bpy.ops.muntin, name)


def stage(words: str) -> None:
    """Tell whoever runs this that a stage begins."""
    print("@stage", words, flush=True)


if __name__ == "__main__":
    words = sys.argv[sys.argv.index("--") + 1 :] if "--" in sys.argv else sys.argv[1:]
    try:
        main(*(Path(word) for word in words))
    except Exception as error:
        print("@trouble", " ".join(str(error).split()), flush=True)
        raise
