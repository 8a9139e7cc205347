"""The add-on in a real window: the walk of `shots.py` runs to its end, and each of its pictures differs."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SHOTS = ("start", "added", "opened", "refused", "dragged", "picking", "inches", "marking", "exported", "menu")
PATIENCE = 300  # seconds; software OpenGL on a busy machine

pytestmark = pytest.mark.window


@pytest.fixture(scope="module")
def pictures(tmp_path_factory) -> dict[str, bytes]:
    """What `shots.py` saw in a Blender of its own profile."""
    blender = os.environ.get("BLENDER") or shutil.which("blender")
    if not (blender and os.environ.get("DISPLAY") and shutil.which("import")):
        pytest.skip("needs a Blender program, a screen (DISPLAY) and ImageMagick's import")
    said = subprocess.run(
        [sys.executable, ROOT / "build.py", "package", "--platform", "here"], capture_output=True, text=True, check=True
    ).stdout
    folder = tmp_path_factory.mktemp("window")
    walk = [ROOT / "tests" / "window" / "shots.py", "--", ROOT / said.split()[0], folder]
    subprocess.run(
        [blender, "--factory-startup", "--python", *walk],
        env={**os.environ, "BLENDER_USER_RESOURCES": str(folder / "profile")},
        timeout=PATIENCE,
        check=True,
    )
    return {name: (folder / f"{name}.png").read_bytes() for name in SHOTS}


def test_every_stop_of_the_walk_looks_different(pictures):
    """Adding, opening, refusing, dragging, picking, inches, marking, exports and the menu each change what is on the screen."""
    assert len(set(pictures.values())) == len(SHOTS)
