"""The add-on in a process of its own: what it loads when it is switched on, and how Blender ends with it."""

import json
import os
import subprocess
import sys

import bpy
import pytest

SCRIPT = """
import json, sys
import bpy
bpy.ops.extensions.package_install_files(filepath=sys.argv[1], repo="user_default", enable_on_install=True)
loaded = sorted(name for name in ("reportlab", "PIL", "ezdxf") if name in sys.modules)
bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
bpy.ops.muntin.add_piece(kind="coat_cupboard")
bpy.context.object.muntin.piece.whole.width = 1.2
bpy.context.object.muntin.swing = 0.5
print("@" + json.dumps(loaded))
"""


@pytest.fixture(scope="module")
def session(extension_zip, tmp_path_factory) -> subprocess.CompletedProcess:
    """A Python that installs the zip, adds and changes a piece, and ends."""
    if bpy.app.binary_path:
        pytest.skip("Blender as a program ends by itself; this is about the Python module")
    environ = {**os.environ, "BLENDER_USER_RESOURCES": str(tmp_path_factory.mktemp("profile"))}
    command = [sys.executable, "-c", SCRIPT, str(extension_zip)]
    return subprocess.run(command, env=environ, capture_output=True, text=True, timeout=120)


@pytest.mark.ends
def test_blender_ends_well(session):
    """With the add-on switched on and a piece in the file, Python ends without crashing or hanging."""
    assert session.returncode == 0, session.stderr[-2000:]


@pytest.mark.ends
def test_switching_on_loads_no_pdf_writer(session):
    """Neither ReportLab nor Pillow is loaded before something is to be printed."""
    line = next(each for each in session.stdout.splitlines() if each.startswith("@"))
    assert json.loads(line[1:]) == []
