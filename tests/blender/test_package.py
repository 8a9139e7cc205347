"""The zip as Blender's own tools see it: its validator, its installer, its choice of wheels."""

import importlib
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import bpy
import pytest

SCRIPTS = Path(bpy.utils.system_resource("SCRIPTS"))
EXTENSION_TOOL = SCRIPTS / "addons_core" / "bl_pkg" / "cli" / "blender_ext.py"
BLENDERS_TAGS = SCRIPTS / "modules" / "_bpy_internal" / "extensions" / "tags.py"


@pytest.fixture(scope="module")
def tool():
    """Blender's extension tool as a module, for its functions about wheels."""
    spec = importlib.util.spec_from_file_location("blender_ext_under_test", EXTENSION_TOOL)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def written_manifest(extension_zip):
    """The manifest inside the zip."""
    with zipfile.ZipFile(extension_zip) as archive:
        return tomllib.loads(archive.read("blender_manifest.toml").decode())


def test_blenders_validator_accepts_the_zip(extension_zip):
    """Blender's own validation finds nothing wrong, in the manifest or in its tags."""
    done = validated(extension_zip)
    assert done.returncode == 0, done.stdout + done.stderr


def test_blenders_validator_is_not_blind(extension_zip, tmp_path):
    """The same validation refuses the zip once its manifest has a tagline that ends in a period."""
    spoilt = tmp_path / "spoilt.zip"
    with zipfile.ZipFile(extension_zip) as good, zipfile.ZipFile(spoilt, "w") as bad:
        for entry in good.infolist():
            data = good.read(entry)
            if entry.filename == "blender_manifest.toml":
                data = re.sub(rb'(?m)^tagline = "(.*)"$', rb'tagline = "\1."', data)
            bad.writestr(entry, data)
    done = validated(spoilt)
    assert done.returncode != 0
    assert "tagline" in done.stdout + done.stderr


def test_a_wheel_of_each_package_fits_this_blender(tool, written_manifest):
    """By Blender's own reading of their names, the wheels serve this platform and this Python."""
    if not hasattr(tool, "python_versions_from_wheel"):
        pytest.skip("this Blender's tool does not tell a wheel's Python")
    here = tool.platform_from_this_system()
    for project in ("pillow", "reportlab", "ezdxf", "fonttools"):
        ours = [each for each in written_manifest["wheels"] if each.startswith(f"./wheels/{project}-")]
        assert all(tool.blender_platform_compatible_with_wheel_platform_from_filepath(here, each) for each in ours)
        pythons = set().union(*(tool.python_versions_from_wheel(Path(each).name) for each in ours))
        assert pythons & {(3,), sys.version_info[:2]}, f"{project}: {pythons}"


def test_the_packages_come_from_the_zip(installed):
    """Pillow, ReportLab and ezdxf are imported from the extension's wheels, not from somewhere else on the path."""
    kept = Path(bpy.utils.user_resource("EXTENSIONS")).resolve()
    for name in ("PIL._imaging", "reportlab.pdfgen.canvas", "ezdxf"):
        module = importlib.import_module(name)
        assert kept in Path(module.__file__).resolve().parents, module.__file__


def test_the_version_is_the_manifests(installed, written_manifest):
    """What Blender shows as the extension's version is the one in the manifest."""
    folder = Path(sys.modules[installed].__file__).parent
    assert tomllib.loads((folder / "blender_manifest.toml").read_text())["version"] == written_manifest["version"]


def test_switching_off_and_on_leaves_nothing_behind(installed):
    """Disabled, the add-on leaves no class and no handler in Blender; enabled again, it has them all back."""
    before = registered()
    bpy.ops.preferences.addon_disable(module=installed)
    assert not {each for each in registered() if "muntin" in each.lower()}
    bpy.ops.preferences.addon_enable(module=installed)
    assert registered() == before


def validated(path: Path) -> subprocess.CompletedProcess:
    """Blender's extension tool, run on a zip."""
    command = [sys.executable, EXTENSION_TOOL, "validate", "--valid-tags", BLENDERS_TAGS, path]
    return subprocess.run(command, capture_output=True, text=True)


def registered() -> set[str]:
    """Every type that Blender knows and every handler's module."""
    handlers = (each for kind in dir(bpy.app.handlers) if isinstance(each := getattr(bpy.app.handlers, kind), list))
    return set(dir(bpy.types)) | {function.__module__ for kind in handlers for function in kind}
