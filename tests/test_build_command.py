"""build.py: the zip is reproducible and complete, and every obstacle is one clear line that says what to type."""

import hashlib
import os
import re
import shutil
import signal
import subprocess
import sys
import textwrap
import time
import zipfile
from pathlib import Path

import pytest
from packaging.tags import cpython_tags
from packaging.utils import parse_wheel_filename

import build

ROOT = Path(__file__).resolve().parents[1]


# -------------------------------------------------------------------------------------------------------------- the zip
@pytest.fixture
def stand_in_wheels(monkeypatch, tmp_path):
    """Small files under the names of the real wheels, so that no test fetches anything; dist/ is elsewhere too."""
    (tmp_path / "wheels").mkdir()
    locked = {}
    for name in build.locked_wheels():
        (tmp_path / "wheels" / name).write_bytes(name.encode())
        locked[name] = hashlib.sha256(name.encode()).hexdigest()
    monkeypatch.setattr(build, "CACHE", tmp_path)
    monkeypatch.setattr(build, "DIST", tmp_path / "dist")
    monkeypatch.setattr(build, "locked_wheels", lambda: locked)
    return locked


def test_the_same_files_give_the_same_zip(stand_in_wheels):
    """Built twice, the zip has the same bytes; nothing in it is newer than 1980."""
    first = build.build_zip("linux-x64").read_bytes()
    path = build.build_zip("linux-x64")
    assert path.read_bytes() == first
    with zipfile.ZipFile(path) as archive:
        assert {entry.date_time for entry in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
        assert archive.namelist() == sorted(archive.namelist())


def test_the_zip_holds_the_core_and_the_add_on_and_nothing_else(stand_in_wheels):
    """Add-on files at the top, core/ beside them, wheels, licences; no tests, no caches, no hidden files."""
    with zipfile.ZipFile(build.build_zip("macos-arm64")) as archive:
        names = set(archive.namelist())
    for source, place in ((ROOT / "core", "core/"), (ROOT / "blender_addon", "")):
        tracked = {place + path.relative_to(source).as_posix() for path in source.rglob("*.py")}
        assert tracked <= names
    assert {
        "LICENSE",
        "blender_manifest.toml",
        *(f"licences/{name}.txt" for name in (*build.BUILT, *build.PURE)),
    } <= names
    tops = {name.split("/")[0] for name in names}
    assert not tops & {"tests", "docs", "build.py", "dist"}
    assert not {name for name in names if "__pycache__" in name or "/." in name or name.startswith(".")}


@pytest.mark.parametrize("platform", build.PLATFORMS)
def test_the_manifest_lists_exactly_the_wheels_in_the_zip(stand_in_wheels, platform):
    """Blender does not notice a listed wheel that is not there; so this does."""
    import tomllib

    with zipfile.ZipFile(build.build_zip(platform)) as archive:
        manifest = tomllib.loads(archive.read("blender_manifest.toml").decode())
        inside = {f"./{name}" for name in archive.namelist() if name.startswith("wheels/")}
    assert manifest["platforms"] == [platform]
    assert set(manifest["wheels"]) == inside
    assert manifest["permissions"].keys() == {"files"}


# What pip's own library calls the platforms that Blender names in the keys.
PIP_PLATFORMS = {
    "linux-x64": ["manylinux_2_28_x86_64", "manylinux_2_27_x86_64"],
    "windows-x64": ["win_amd64"],
    "windows-arm64": ["win_arm64"],
    "macos-arm64": ["macosx_11_0_arm64"],
    "macos-x64": ["macosx_10_13_x86_64", "macosx_10_10_x86_64"],
}


@pytest.mark.parametrize("platform", build.PLATFORMS)
@pytest.mark.parametrize("python", build.PYTHONS)
def test_every_platform_and_python_has_every_package(platform, python):
    """By the packaging library's reading of their names, exactly one wheel of each package would be chosen."""
    fits = set(cpython_tags(python, platforms=PIP_PLATFORMS[platform])) | set(pure_tags())
    chosen = [parse_wheel_filename(name) for name in build.wheels_for(platform)]
    projects = sorted(str(name) for name, _, _, tags in chosen if tags & fits)
    assert projects == sorted((*build.BUILT, *build.PURE))


@pytest.mark.parametrize("name", build.locked_wheels())
def test_a_wheel_missing_from_the_lock_is_named(stand_in_wheels, name):
    """Blender would install such a zip and fail later at the first import; the build refuses."""
    del stand_in_wheels[name]
    if name.endswith("-py3-none-any.whl"):
        stand_in_wheels[name.replace("-py3-", "-py2-")] = ""
    with pytest.raises(build.Stop, match=rf"no {name.split('-')[0]} wheel for \S+, Python cp31[13]"):
        for platform in build.PLATFORMS:
            build.wheels_for(platform)


def test_a_wheel_with_other_bytes_is_refused(stand_in_wheels, monkeypatch):
    """A cached or fetched wheel that is not the locked one never gets into a zip."""
    name = next(iter(stand_in_wheels))
    (build.CACHE / "wheels" / name).write_bytes(b"something else")
    monkeypatch.setattr(build, "fetch", lambda *_: None)
    with pytest.raises(build.Stop, match=re.escape(name)):
        build.fetched(name)


def test_an_unknown_platform_is_refused():
    """There is no zip for a platform without wheels."""
    with pytest.raises(build.Stop, match="no extension for plan9-vax"):
        build.build_zip("plan9-vax")


# ---------------------------------------------------------------------------------------------------------------- locks
@pytest.mark.parametrize("path", sorted((ROOT / "requirements").glob("*.txt")), ids=lambda path: path.name)
def test_every_locked_package_is_pinned_and_hashed(path):
    """A lock names one version and at least one SHA-256 of each package, and no address."""
    text = path.read_text()
    entries = re.split(r"\n(?=\w)", text.strip())
    for entry in entries:
        assert re.match(r"[\w.-]+==[\w.]+", entry), entry
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", entry), entry
    assert "://" not in text


def test_the_zip_carries_the_versions_that_are_tested():
    """The packages in the zip are those of the core's tests."""
    tested = dict(re.findall(r"^([\w-]+)==(\S+)", (ROOT / "requirements/tests.txt").read_text(), re.M))
    carried = {name.split("-")[0].replace("_", "-"): name.split("-")[1] for name in build.locked_wheels()}
    assert carried == {name: tested[name] for name in (*build.BUILT, *build.PURE)}


def test_the_environment_with_blender_lacks_what_the_zip_brings():
    """Otherwise the tests of the zip would not notice if its wheels did not work."""
    for path in (ROOT / "requirements").glob("bpy-*.txt"):
        assert not re.search(r"^(pillow|reportlab|ezdxf|fonttools)==", path.read_text(), re.M), path.name


# ------------------------------------------------------------------------------------------------------------ obstacles
def test_an_old_python_is_told_in_one_line():
    """Python 3.10 gets one line and status 1, not a traceback."""
    program = (ROOT / "build.py").read_text()
    code = f"import sys; sys.version_info = (3, 10, 4, 'final', 0); exec({program!r})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True)
    assert done.returncode == 1
    assert done.stderr.strip() == "build.py: Python 3.11 or newer is needed, this is 3.10; type: python3.13 build.py"


@pytest.mark.parametrize("minor", range(8, 11))
def test_a_real_old_python_reads_as_far_as_that_line(minor):
    """The file has no syntax that an older Python stumbles over before it can speak."""
    found = [shutil.which(f"python3.{minor}"), *build.pyenv_pythons(f"python3.{minor}")]
    olds = [each for each in found if each and subprocess.run([each, "-V"], capture_output=True).returncode == 0]
    if not olds:
        pytest.skip(f"no Python 3.{minor} here")
    done = subprocess.run([olds[0], ROOT / "build.py", "test"], capture_output=True, text=True)
    assert done.stderr.startswith(f"build.py: Python 3.11 or newer is needed, this is 3.{minor};")


def test_a_python_without_blender_is_told(monkeypatch):
    """Python 3.12 has no Blender module: the line says which have, and the other way."""
    monkeypatch.setattr(build, "RUNNING", (3, 12))
    with pytest.raises(build.Stop, match=r"not for 3\.12 .*; type: python3\.13 build\.py .*BLENDER="):
        build.module_for_running_python()


def test_a_missing_venv_module_is_told(monkeypatch):
    """Debian parts it off: the line says which package to install."""
    monkeypatch.setattr(build.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(build.shutil, "which", lambda name: f"/usr/bin/{name}")
    with pytest.raises(build.Stop, match=r"no venv module; type: (sudo )?apt-get install -y .*python3\.\d+-venv$"):
        build.need_venv(system=False)


def test_an_environment_that_is_a_link_is_never_cleared(tmp_path):
    """Making an environment anew where a link leads elsewhere would empty that place: it is refused and stays whole."""
    there = tmp_path / "shared"
    there.mkdir()
    (there / "kept").write_text("kept")
    (tmp_path / ".venv-bpy").symlink_to(there)
    with pytest.raises(build.Stop, match="remove the link"):
        build.Environment(tmp_path / ".venv-bpy", None).make()
    assert (there / "kept").read_text() == "kept"


def test_missing_libraries_are_told(monkeypatch):
    """What Blender's module lacks is named, with the packages that hold it."""
    monkeypatch.setattr(build, "missing_libraries", lambda environment: ["libSM.so.6", "libXrender.so.1"])
    monkeypatch.setattr(build.shutil, "which", lambda name: f"/usr/bin/{name}")
    with pytest.raises(build.Stop, match=r"lacks libSM.so.6, libXrender.so.1; type: .*apt-get .* libsm6 libxrender1$"):
        build.need_libraries(None, system=False)


def test_with_system_root_runs_that_line(monkeypatch):
    """With --system, root and apt-get, the same line is run instead of told."""
    ran = []
    monkeypatch.setattr(build, "missing_libraries", lambda environment: ["libSM.so.6"])
    monkeypatch.setattr(build.shutil, "which", lambda name: f"/usr/bin/{name}")
    monkeypatch.setattr(build.os, "geteuid", lambda: 0, raising=False)
    monkeypatch.setattr(build, "quietly", lambda command, *_: ran.append(" ".join(command)))
    build.need_libraries(None, system=True)
    assert ran == ["apt-get update -q", "apt-get install -y --no-install-recommends libsm6"]


def test_a_wrong_blender_is_told(monkeypatch):
    """BLENDER must name a program."""
    monkeypatch.setenv("BLENDER", "/no/such/blender")
    with pytest.raises(build.Stop, match="BLENDER=/no/such/blender is not a program"):
        build.blender_programs()


@pytest.mark.parametrize(
    ("trouble", "status"),
    [(build.Stop("no"), 1), (build.Stop("no", status=2), 2), (KeyboardInterrupt(), 130), (OSError(28, "full", "x"), 1)],
)
def test_every_failure_is_one_line_and_a_status(monkeypatch, capsys, trouble, status):
    """No traceback: one line on standard error, and a status that is not zero."""

    def package(options):
        raise trouble

    monkeypatch.setattr(build, "package", package)
    assert build.main(["package"]) == status
    told = capsys.readouterr().err
    assert told.startswith("build.py: ")
    assert told.count("\n") == 1


@pytest.mark.skipif(os.name == "nt", reason="a console's Ctrl-C cannot be sent to one program there")
def test_ctrl_c_ends_a_long_step(tmp_path):
    """Ctrl-C while a command runs: that command is ended too, one line, status 130."""
    note = tmp_path / "child"
    child = f"import os, time; open({str(note)!r}, 'w').write(str(os.getpid())); time.sleep(60)"
    program = textwrap.dedent(f"""
        import signal, sys, build
        signal.signal(signal.SIGINT, signal.default_int_handler)  # ignored where the tests run in the background
        def package(options):
            build.quietly([sys.executable, "-c", {child!r}], "waiting")
        build.package = package
        sys.exit(build.main(["package"]))
    """)
    running = subprocess.Popen([sys.executable, "-c", program], cwd=ROOT, stderr=subprocess.PIPE, text=True)
    while not (note.exists() and note.read_text()):
        assert running.poll() is None
        time.sleep(0.01)
    running.send_signal(signal.SIGINT)
    assert running.communicate(timeout=10)[1] == "build.py: interrupted\n"
    assert running.returncode == 130
    assert is_gone(int(note.read_text()), within=10), "the command that it waited for is still running"


def test_a_failed_command_is_told_by_its_telling_line():
    """Of all that pip says, the line with the error."""
    with pytest.raises(build.Stop, match=r"^fetching it failed: ERROR: No matching distribution$"):
        said = "WARNING: x\\nERROR: No matching distribution\\nbye"
        build.quietly([sys.executable, "-c", f"print('{said}'); exit(1)"], "fetching it")


def test_a_broken_connection_is_told_as_such():
    """pip's error then speaks of versions; the warning before it says what is the matter."""
    said = "WARNING: Retrying after connection broken by 'SSLError(1)': /x/\nERROR: No version (from versions: none)"
    assert build.telling_line(said) == "no connection to the package registry: SSLError(1)"


def test_an_unknown_word_is_refused_except_by_the_tests():
    """Only test and soak pass words on."""
    assert build.command_line(["test", "-k", "zip", "--all"]).rest == ["-k", "zip"]
    with pytest.raises(SystemExit):
        build.command_line(["demo", "--fast"])


# ------------------------------------------------------------------------------------------------------- tests and demo
def test_paths_choose_between_core_and_blender(monkeypatch):
    """Without a path both run; a path runs the side it lies on; options go to both."""
    monkeypatch.chdir(ROOT)
    assert build.shared_out(["-x"]) == (["-x"], ["-x", "tests/blender"])
    assert build.shared_out(["tests/blender"]) == (None, ["tests/blender"])
    assert build.shared_out(["-x", "tests/test_build_command.py::test_x"]) == (
        ["-x", "tests/test_build_command.py::test_x"],
        None,
    )


@pytest.fixture
def runs(monkeypatch):
    """What would be run in which Blender, with the Python of Blender 5.0 running and another found or not."""
    told = []
    monkeypatch.setattr(build, "RUNNING", (3, 11))
    monkeypatch.setattr(build, "platform_here", lambda: "linux-x64")
    monkeypatch.setattr(build, "find_python", lambda wanted: f"/python{wanted[1]}" if wanted == (3, 13) else None)
    monkeypatch.setattr(build, "run_tests_in", lambda blender, words, *_: told.append((blender.name, words)))

    def run(command, **_):
        told.append((command[0], command[2:]))
        return subprocess.CompletedProcess(command, 0)

    monkeypatch.setattr(build.subprocess, "run", run)
    return told


def test_each_blender_is_tested_with_the_python_that_it_wants(runs, monkeypatch):
    """One for the running Python here, another by its own; where that is not found it is left out, and said."""
    options, report = build.command_line(["test"]), build.Report()
    for version in build.ENDS:
        build.test_in_blender(version, ["-m", "ends", "tests/blender"], options, report)
    words = ["-m", "ends", "tests/blender"]
    assert runs == [
        ("Blender 4.2 as a Python module", words),
        ("/python13", ["test", "--blender", "5.2", "--", *words]),
    ]
    assert report.lines == ["in Blender 5.2 as a Python module: passed"]
    monkeypatch.setattr(build, "find_python", lambda wanted: None)
    build.test_in_blender("5.2", words, options, report)
    assert "skipped, Python 3.13" in report.lines[-1] and report.status == 0


def test_soak_runs_in_every_blender(runs, monkeypatch):
    """The core's once, those of the add-on in all four; `--ends` adds the oldest and the newest to the tests."""
    monkeypatch.setattr(build, "run_tests", lambda options, report: runs.append(("5.0 and core", options.rest)))
    monkeypatch.setattr(build.Environment, "ready", lambda self, system=False: self)
    build.soak(build.command_line(["soak"]))
    assert [who for who, _ in runs] == [
        "5.0 and core",
        *(f"Blender {each} as a Python module" for each in ("4.5", "4.2")),
        "/python13",
    ]
    assert all("soak" in words for _, words in runs)
    runs.clear()
    build.test(build.command_line(["test", "--ends"]))
    assert [who for who, _ in runs] == ["5.0 and core", "Blender 4.2 as a Python module", "/python13"]


def test_a_report_without_any_test_is_not_a_success():
    """Status 5 when nothing was chosen anywhere; one empty side is fine; a skipped side is said."""
    report = build.Report()
    report.ran("core", 5)
    assert report.close() == 5
    report.ran("in Blender", 0)
    report.skipped("with Python 3.13", "it is not on the path")
    assert report.close() == 0
    report.ran("again", 1)
    assert report.close() == 1


def test_the_demo_tells_stages_and_trouble(monkeypatch, tmp_path, capsys):
    """Stage lines come through, chatter goes to the log, trouble is the message."""
    monkeypatch.setattr(build, "ROOT", tmp_path)
    monkeypatch.setattr(build, "CACHE", tmp_path / "cache")
    session = "print('Read prefs'); print('@stage rendering'); print('@trouble no operator muntin.x'); exit(1)"
    with pytest.raises(build.Stop, match=r"^no operator muntin\.x \(all it said: cache.demo\.log\)$"):
        build.follow([sys.executable, "-c", session], {}, build.Stages(1))
    assert capsys.readouterr().out == "[1/1] rendering\n"
    assert "Read prefs" in (tmp_path / "cache" / "demo.log").read_text()


def test_a_missing_or_empty_output_is_refused(tmp_path):
    """The demo never lists what is not there."""
    for name in build.DEMO_FILES:
        (tmp_path / name).write_bytes(b"x")
    build.refuse_missing(tmp_path)
    (tmp_path / "preview.png").write_bytes(b"")
    with pytest.raises(build.Stop, match=r"wrote no preview\.png"):
        build.refuse_missing(tmp_path)


def test_outputs_land_whole(tmp_path):
    """Files are put in their place under their own names, folders too, with nothing aside left over."""
    (tmp_path / "from" / "parts").mkdir(parents=True)
    (tmp_path / "from" / "parts" / "a.csv").write_text("new")
    (tmp_path / "to" / "parts").mkdir(parents=True)
    (tmp_path / "to" / "parts" / "a.csv").write_text("old")
    assert build.move_into(tmp_path / "from", tmp_path / "to") == [tmp_path / "to" / "parts" / "a.csv"]
    assert (tmp_path / "to" / "parts" / "a.csv").read_text() == "new"
    assert os.listdir(tmp_path / "to" / "parts") == ["a.csv"]


def is_gone(process: int, within: float) -> bool:
    """Whether a process ends within so many seconds, its own parent being gone already."""
    deadline = time.monotonic() + within
    while time.monotonic() < deadline:
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.02)
    return False


def pure_tags():
    """The tag of a wheel without compiled code."""
    from packaging.tags import parse_tag

    return parse_tag("py3-none-any")
