"""Installs the extension zip in a throw-away Blender profile, once for all tests of this folder."""

from __future__ import annotations

import atexit
import importlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[2]
ADDON = "bl_ext.user_default.muntin"

# Blender reads this when it is first imported, so it has to be settled before any test module is.
if "BLENDER_USER_RESOURCES" not in os.environ:
    os.environ["BLENDER_USER_RESOURCES"] = tempfile.mkdtemp(prefix="muntin-profile-")
    atexit.register(shutil.rmtree, os.environ["BLENDER_USER_RESOURCES"], ignore_errors=True)


@pytest.fixture(scope="session")
def extension_zip() -> Path:
    """The zip under test: the one that build.py made for this run, else a new one."""
    if "MUNTIN_ZIP" in os.environ:
        return Path(os.environ["MUNTIN_ZIP"])
    command = [sys.executable, ROOT / "build.py", "package", "--platform", "here"]
    said = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    return ROOT / said.split()[0]


@pytest.fixture(scope="session", autouse=True)
def installed(extension_zip: Path) -> str:
    """The module name of the add-on, installed and enabled by Blender's own installer."""
    import bpy

    bpy.ops.extensions.package_install_files(filepath=str(extension_zip), repo="user_default", enable_on_install=True)
    assert ADDON in bpy.context.preferences.addons, f"{extension_zip.name} is not enabled after its installation"
    return ADDON


def addon(name: str) -> ModuleType:
    """A module of the installed add-on."""
    return importlib.import_module(f"{ADDON}.{name}")


@pytest.fixture
def no_traceback(capfd):
    """Blender swallows what a callback raises: it only prints it."""
    yield
    assert "Traceback" not in capfd.readouterr().err


@pytest.fixture
def empty_scene():
    """A scene with nothing in it, of factory settings; the add-on stays enabled."""
    import bpy

    bpy.ops.wm.read_homefile(use_empty=True, use_factory_startup=True)
    return bpy.context.scene
