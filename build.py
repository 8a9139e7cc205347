#!/usr/bin/env python3
"""Sets up, tests, packages and demonstrates Muntin, with nothing but Python's standard library."""

import sys

if sys.version_info < (3, 11):  # noqa: UP036  an older Python gets this far and no farther
    here = "{}.{}".format(*sys.version_info)
    sys.exit("build.py: Python 3.11 or newer is needed, this is " + here + "; type: python3.13 build.py")

import argparse
import hashlib
import importlib
import importlib.util
import json
import os
import platform
import re
import shutil
import subprocess
import tempfile
import threading
import time
import tomllib
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parent
LOCKS = ROOT / "requirements"
CACHE = ROOT / ".cache"
DIST = ROOT / "dist"
OUT = ROOT / "out"
ADDON = ROOT / "blender_addon"
DEMO_PIECE = ROOT / "docs" / "examples" / "coat_cupboard.json"
DEMO_FILES = ("preview.png", "workshop_pack.pdf", "cutting_list.csv", "exploded.pdf")

RUNNING = sys.version_info[:2]
PYTHONS = ((3, 11), (3, 13))  # Blender 4.2 to 5.0 carries the first, from 5.1 on the second
BLENDERS = {"5.0": (3, 11), "4.5": (3, 11), "4.2": (3, 11), "5.2": (3, 13)}  # as modules; the first fit is the default
ENDS = ("4.2", "5.2")  # the oldest and the newest
MOST_AT_ONCE = 8  # processes of tests; each takes some 300 MB
BUILT = ("reportlab", "pillow")  # what the zip carries, for each platform where that matters
PURE = ("ezdxf", "fonttools", "pyparsing", "typing-extensions")  # what it carries in one wheel for all
PLATFORMS = ("linux-x64", "windows-x64", "windows-arm64", "macos-arm64", "macos-x64")  # Blender's own words
MODULE_GAPS = {("5.0", "macos-x64"), ("5.2", "macos-x64"), ("4.2", "windows-arm64")}  # no such wheel is published
HEARTBEAT = 30.0  # seconds of silence before a long step says that it is still at work

# Which Debian and Ubuntu package holds a library that Blender's module loads; found with ldd in a bare Debian 13.
LIBRARY_PACKAGES = {
    "libX11.so.6": "libx11-6",
    "libXext.so.6": "libxext6",
    "libXrender.so.1": "libxrender1",
    "libXfixes.so.3": "libxfixes3",
    "libXi.so.6": "libxi6",
    "libXt.so.6": "libxt6",
    "libXxf86vm.so.1": "libxxf86vm1",
    "libxkbcommon.so.0": "libxkbcommon0",
    "libSM.so.6": "libsm6",
    "libICE.so.6": "libice6",
    "libGL.so.1": "libgl1",
    "libEGL.so.1": "libegl1",
}


class Stop(Exception):
    """The chore cannot go on; its text is the one line that the user reads."""

    def __init__(self, line: str, status: int = 1) -> None:
        super().__init__(line)
        self.status = status


def main(words: Sequence[str]) -> int:
    """Do the chore that the command line asks for; the exit status."""
    sys.stdout.reconfigure(errors="replace")
    sys.stderr.reconfigure(errors="replace")
    options = command_line(words)
    try:
        return options.chore(options) or 0
    except Stop as stop:
        print(f"build.py: {stop}", file=sys.stderr)
        return stop.status
    except OSError as error:
        print(f"build.py: {error.strerror or error}: {error.filename or 'no file named'}", file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        print("build.py: interrupted", file=sys.stderr)
        return 130


def command_line(words: Sequence[str]) -> argparse.Namespace:
    """What the user asked for; `rest` holds the words meant for pytest."""
    parser = argparse.ArgumentParser(prog="build.py", description=__doc__, allow_abbrev=False)
    chores = parser.add_subparsers(title="chores", required=True, metavar="CHORE")

    def chore(function, help_text: str) -> argparse.ArgumentParser:
        added = chores.add_parser(function.__name__, help=help_text, description=function.__doc__, allow_abbrev=False)
        added.set_defaults(chore=function, system=False)
        return added

    def with_system(added: argparse.ArgumentParser) -> argparse.ArgumentParser:
        added.add_argument("--system", action="store_true", help="as root on Debian or Ubuntu: apt-get what is missing")
        return added

    with_system(chore(setup, "make the environments that the other chores need"))
    made = chore(package, "build the extension zips into dist/")
    made.add_argument("--platform", choices=[*PLATFORMS, "here", "all"], default="all", help="default: all")
    tested = with_system(chore(test, "run the tests; words not known here go to pytest"))
    tested.add_argument("--all", action="store_true", help="with every Python and Blender that can be had")
    tested.add_argument(
        "--ends", action="store_true", help="then the tests marked ends in the oldest and newest Blender"
    )
    tested.add_argument("--blender", choices=[*BLENDERS, "all", "none"], help="default: the newest for this Python")
    shown = with_system(chore(demo, "from a piece file to picture, pack and lists in out/"))
    shown.add_argument("piece", nargs="?", type=Path, default=DEMO_PIECE, metavar="PIECE", help="a piece file")
    with_system(chore(soak, "run the tests that take minutes; words not known here go to pytest"))
    chore(lock, "renew the lock files in requirements/ with the newest packages")

    options, rest = parser.parse_known_args(words)
    options.rest = [word for word in rest if word != "--"]
    if rest and options.chore not in (test, soak):
        parser.error(f"{options.chore.__name__} does not know: {' '.join(rest)}")
    return options


# --------------------------------------------------------------------------------------------------------------- chores
def setup(options: argparse.Namespace) -> None:
    """Make the environments for the core's tests and for Blender as a Python module."""
    tests_environment().ready(options.system)
    blender_module(module_for_running_python()).ready(options.system)


def package(options: argparse.Namespace) -> None:
    """Build the extension zip of each platform, and have Blender's own tool judge it where there is a Blender."""
    wanted = {"all": PLATFORMS, "here": (platform_here(),)}.get(options.platform, (options.platform,))
    judge = validator()
    for each in wanted:
        made = build_zip(each)
        verdict = "NOT VALIDATED, no Blender here yet; type: python3 build.py setup"
        if judge:
            quietly([*judge, "validate", made], f"validating {made.name}")
            verdict = "accepted by Blender's validator"
        say(f"{made.relative_to(ROOT)}  {made.stat().st_size / 1e6:.1f} MB  sha256 {digest(made)}  {verdict}")


def test(options: argparse.Namespace) -> int:
    """Run the core's tests, then those of the add-on with the zip installed in a throw-away Blender profile."""
    report = Report()
    if options.blender is None:
        options.blender = "all" if options.all else "newest"
    run_tests(options, report)
    if options.ends:
        for version in ENDS:
            test_in_blender(version, ["-m", "ends", "tests/blender"], options, report)
    if options.all:
        test_other_pythons(options, report)
        test_blender_programs(options, report)
    return report.close()


def soak(options: argparse.Namespace) -> int:
    """Run the tests marked soak, which take minutes; of those in Blender in every version that can be had."""
    options.rest = ["-m", "soak", *options.rest]
    options.blender, options.all = "newest", False
    report = Report()
    try:
        occ_environment().ready(options.system)
    except Stop as stop:
        report.skipped("beside Open CASCADE", stop)
    run_tests(options, report)
    for_blender = shared_out(options.rest)[1]
    for version in list(BLENDERS)[1:] if for_blender is not None else []:
        test_in_blender(version, for_blender, options, report)
    return report.close()


def demo(options: argparse.Namespace) -> None:
    """Make the piece with the add-on in Blender; picture, workshop pack and lists land in out/."""
    piece = options.piece.resolve()
    if not piece.is_file():
        raise Stop(f"no piece file {options.piece}", status=2)
    stages = Stages(6)
    stages.next("Blender")
    blender = a_blender(options.system)
    say(f"      {blender}")
    stages.next("extension zip")
    made = build_zip(platform_here())
    say(f"      {made.relative_to(ROOT)}, {made.stat().st_size / 1e6:.1f} MB")
    with tempfile.TemporaryDirectory(prefix="muntin-demo-") as scratch:
        written = Path(scratch) / "out"
        written.mkdir()
        session = [str(ROOT / "docs" / "demo_session.py"), str(made), str(piece), str(written)]
        follow(blender.script(*session), throw_away(Path(scratch)), stages)
        refuse_missing(written)
        placed = move_into(written, OUT)
    say("written:")
    for path in placed:
        say(f"      {path.relative_to(ROOT)}  {path.stat().st_size / 1e3:.0f} kB")


def lock(_options: argparse.Namespace) -> None:
    """Renew requirements/*.txt and requirements/wheels.toml; needs the package registry."""
    tool = Environment(CACHE / "lock-tool", None)
    tool.make()
    quietly([tool.python, "-m", "pip", "install", "--quiet", "uv"], "fetching the resolver")
    for source in sorted(LOCKS.glob("*.in")):
        python = BLENDERS.get(source.stem.removeprefix("bpy-"), PYTHONS[0])
        quietly(
            [tool.python, "-m", "uv", "pip", "compile", "--quiet", "--upgrade", "--universal", "--generate-hashes",
             "--python-version", "{}.{}".format(*python), "--no-header", "--no-annotate", "--no-emit-index-url",
             "--no-emit-find-links", "--output-file", source.with_suffix(".txt"), source],
            f"resolving {source.name}",
        )  # fmt: skip
    lock_wheels(tool.python)


# --------------------------------------------------------------------------------------------------------- environments
@dataclass(frozen=True)
class Environment:
    """A virtual environment in the checkout, holding exactly what its lock file names."""

    folder: Path
    lock: Path | None
    size: str = ""  # what has to be fetched, in words

    @property
    def python(self) -> Path:
        """Its interpreter."""
        return self.folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")

    @property
    def stamp(self) -> str:
        """What it was made from: another Python or another lock makes another stamp."""
        return f"{sys.version} {sys.base_prefix} {digest(self.lock)}"

    def is_current(self) -> bool:
        """Whether it was finished, from this Python and this lock."""
        note = self.folder / "made_from"
        return self.python.exists() and note.is_file() and note.read_text() == self.stamp

    def ready(self, system: bool = False) -> "Environment":
        """Itself, made anew if it is not current."""
        if not self.is_current():
            need_venv(system)
            say(f"setting up {self.folder.name} from requirements/{self.lock.name} ({self.size})")
            self.make()
            quietly(
                [self.python, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--require-hashes",
                 "--only-binary=:all:", "--requirement", self.lock],
                f"installing into {self.folder.name}",
            )  # fmt: skip
            (self.folder / "made_from").write_text(self.stamp)
        return self

    def make(self) -> None:
        """The empty environment with pip in it."""
        if self.folder.is_symlink():  # clearing it would empty what it leads to, which others may be using
            raise Stop(
                f"{self.folder.name} is a link to an environment that is not current; remove the link, then try again"
            )
        base = getattr(sys, "_base_executable", None) or sys.executable  # never the one about to be cleared
        quietly([base, "-m", "venv", "--clear", self.folder], f"making {self.folder.name}")


def tests_environment() -> Environment:
    """`.venv`; where another Python already has it, `.venv-3.13` and so on beside it."""
    first = ROOT / ".venv"
    config = first / "pyvenv.cfg"
    running = "{}.{}".format(*RUNNING)
    taken = config.is_file() and not re.search(rf"^version\w* *= *{re.escape(running)}\b", config.read_text(), re.M)
    folder = ROOT / f".venv-{running}" if taken else first
    return Environment(folder, LOCKS / "tests.txt", "about 150 MB, a minute or less")


def occ_environment() -> Environment:
    """Open CASCADE, which judges the removal of hidden lines."""
    return Environment(ROOT / ".venv-occ", LOCKS / "occ.txt", "about 150 MB, a minute or less")


@dataclass(frozen=True)
class Blender:
    """A Blender to run scripts in: its Python module in an environment, or the program."""

    name: str
    environment: Environment | None = None
    program: str = ""

    def __str__(self) -> str:
        return self.name

    def ready(self, system: bool) -> "Blender":
        """Itself, fit to be run."""
        if self.environment:
            self.environment.ready(system)
            need_libraries(self.environment, system)
            quietly([self.environment.python, "-c", "import bpy"], f"loading {self.name}")
        else:
            quietly(self.script("-c", "import numpy"), f"loading {self.name} (it needs numpy)")
        return self

    def script(self, *words: str) -> list[str]:
        """The command that runs a script, or `-c` and a line of Python, inside it."""
        if self.environment:
            return [str(self.environment.python), *words]
        start = [self.program, "--background", "--factory-startup", "--python-exit-code", "1"]
        if words[0] == "-c":
            return [*start, "--python-expr", words[1]]
        return [*start, "--python", words[0], "--", *words[1:]]

    def extension_tool(self) -> list[str]:
        """Blender's own extension command, short of its verb; empty if it is not there."""
        if not self.environment:
            return [self.program, "--command", "extension"]
        tools = sorted(self.environment.folder.rglob("bl_pkg/cli/blender_ext.py"))
        return [str(self.environment.python), str(tools[0])] if tools else []


def blender_module(version: str) -> Blender:
    """Blender of a version as a Python module, for the running Python."""
    folder = ROOT / f".venv-bpy-{version}"
    return Blender(
        f"Blender {version} as a Python module",
        Environment(folder, LOCKS / f"bpy-{version}.txt", "about 400 MB, some minutes"),
    )


def modules_for_running_python() -> list[str]:
    """The Blender versions that exist as modules for this Python and platform, the default one first."""
    fits = (version for version, python in BLENDERS.items() if python == RUNNING)
    return [version for version in fits if (version, platform_here()) not in MODULE_GAPS]


def module_for_running_python() -> str:
    """The default Blender module, or a line about what to do without one."""
    for version in modules_for_running_python():
        return version
    raise Stop(
        "Blender as a Python module exists for Python 3.11 and 3.13, not for {}.{} on {}; type: python3.13 build.py …, "
        "or install Blender and name it: BLENDER=/path/to/blender".format(*RUNNING, platform_here())
    )


def blender_programs() -> list[Blender]:
    """The Blenders named by BLENDER or found on the path."""
    named = os.environ.get("BLENDER")
    if named and not shutil.which(named):
        raise Stop(f"BLENDER={named} is not a program that can be run")
    found = [shutil.which(name) for name in (named, "blender") if name]
    return [Blender(f"the Blender program {each}", program=each) for each in dict.fromkeys(found) if each]


def a_blender(system: bool) -> Blender:
    """The Blender for the demo: the one named by BLENDER, else the module, else one on the path."""
    programs = blender_programs()
    if os.environ.get("BLENDER") or (programs and not modules_for_running_python()):
        return programs[0].ready(system)
    return blender_module(module_for_running_python()).ready(system)


def platform_here() -> str:
    """This computer in Blender's words, `linux-x64`."""
    machine = platform.machine().lower()
    kind = {"darwin": "macos"}.get(platform.system().lower(), platform.system().lower())
    return f"{kind}-{ {'x86_64': 'x64', 'amd64': 'x64', 'aarch64': 'arm64'}.get(machine, machine) }"


# ------------------------------------------------------------------------------------------------------ system packages
def need_venv(system: bool) -> None:
    """Stop, or fetch it, if this Python came without the modules that make environments (Debian parts them off)."""
    if not (importlib.util.find_spec("venv") and importlib.util.find_spec("ensurepip")):
        need_packages(["python{}.{}-venv".format(*RUNNING)], "this Python has no venv module", system)
        importlib.invalidate_caches()


def need_libraries(environment: Environment, system: bool) -> None:
    """Stop, or fetch them, if the system lacks libraries that Blender's module loads."""
    missing = missing_libraries(environment)
    if missing:
        packages = [LIBRARY_PACKAGES[name] for name in missing if name in LIBRARY_PACKAGES]
        need_packages(packages, f"Blender's module lacks {', '.join(missing)}", system)


def missing_libraries(environment: Environment) -> list[str]:
    """Names of the shared libraries that the loader would not find, on Linux."""
    modules = list(environment.folder.glob("lib/python*/site-packages/bpy/__init__.so"))
    if not (modules and shutil.which("ldd")):
        return []
    listed = subprocess.run(["ldd", modules[0]], capture_output=True, text=True).stdout
    return sorted(set(re.findall(r"^\s*(\S+) => not found", listed, re.MULTILINE)))


def need_packages(names: list[str], trouble: str, system: bool) -> None:
    """Install Debian packages if asked to and able to; else stop with what to type."""
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    if not shutil.which("apt-get") or not names:
        raise Stop(f"{trouble}; install it with your system's package manager")
    line = ["apt-get", "install", "-y", "--no-install-recommends", *names]
    if not (system and is_root):
        raise Stop(f"{trouble}; type: {'' if is_root else 'sudo '}{' '.join(line)}")
    say(f"{trouble}; running {' '.join(line)}")
    quiet_apt = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    quietly(["apt-get", "update", "-q"], "reading the package lists", quiet_apt)
    quietly(line, f"installing {' '.join(names)}", quiet_apt)


# -------------------------------------------------------------------------------------------------------------- the zip
def version() -> str:
    """The version of the extension; its manifest is the one source."""
    return tomllib.loads((ADDON / "blender_manifest.toml").read_text(encoding="utf-8"))["version"]


def build_zip(for_platform: str) -> Path:
    """The extension zip for a platform in dist/: the same files give the same bytes, whenever and wherever built."""
    if for_platform not in PLATFORMS:
        raise Stop(f"no extension for {for_platform}: there are wheels for {', '.join(PLATFORMS)}")
    wheels = wheels_for(for_platform)
    files = {name: path.read_bytes() for name, path in source_files()}
    files |= {f"wheels/{path.name}": path.read_bytes() for path in map(fetched, wheels)}
    files["blender_manifest.toml"] = manifest(for_platform, wheels)
    DIST.mkdir(exist_ok=True)
    target = DIST / f"muntin-{version()}-{for_platform}.zip"
    aside = target.with_suffix(f".{os.getpid()}.part")
    try:
        write_zip(aside, files)
        os.replace(aside, target)
    finally:
        aside.unlink(missing_ok=True)
    return target


def source_files() -> Iterator[tuple[str, Path]]:
    """Each file of ours that goes into the zip, with its name there."""
    for folder, place in ((ADDON, ""), (ROOT / "core", "core/"), (ROOT / "docs" / "licences", "licences/")):
        for path in sorted(folder.rglob("*")):
            inside = path.relative_to(folder)
            if path.is_file() and not any(part.startswith((".", "__pycache__")) for part in inside.parts):
                yield place + inside.as_posix(), path
    yield "LICENSE", ROOT / "LICENSE"


def write_zip(path: Path, files: dict[str, bytes]) -> None:
    """Write a zip with nothing in it that depends on the day, the machine or the compressor."""
    with zipfile.ZipFile(path, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(files):
            entry = zipfile.ZipInfo(name, date_time=(1980, 1, 1, 0, 0, 0))
            entry.create_system = 3  # Unix, also when built on Windows
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, files[name])


def manifest(for_platform: str, wheels: Sequence[str]) -> bytes:
    """The manifest with its platform and wheels written in, as they must be, before the first table."""
    text = (ADDON / "blender_manifest.toml").read_text(encoding="utf-8")
    listed = json.dumps([f"./wheels/{name}" for name in wheels], indent=2)
    first_table = re.search(r"^\[", text, re.MULTILINE)
    at = first_table.start() if first_table else len(text)
    return f'{text[:at]}platforms = ["{for_platform}"]\nwheels = {listed}\n\n{text[at:]}'.encode()


def validator() -> list[str]:
    """Blender's extension command from whichever Blender is here already; empty if there is none."""
    ours = [blender_module(each) for each in modules_for_running_python()]
    for each in [*(one for one in ours if one.environment.is_current()), *blender_programs()]:
        tool = each.extension_tool()
        if tool:
            return tool
    return []


# --------------------------------------------------------------------------------------------------------------- wheels
def locked_wheels() -> dict[str, str]:
    """Name and SHA-256 of each wheel that the extension carries on some platform."""
    return tomllib.loads((LOCKS / "wheels.toml").read_text(encoding="utf-8"))["sha256"]


def wheels_for(for_platform: str) -> list[str]:
    """The wheels for a platform; stops unless every package is there for every Python that Blender may bring."""
    names = sorted(name for name in locked_wheels() if serves(name, for_platform))
    for project in sorted({name.split("-")[0] for name in locked_wheels()}):
        for python in PYTHONS:
            tag = "cp{}{}".format(*python)
            if not any(name.startswith(f"{project}-") and name.split("-")[2] in (tag, "py3") for name in names):
                raise Stop(f"requirements/wheels.toml has no {project} wheel for {for_platform}, Python {tag}")
    return names


def serves(wheel: str, for_platform: str) -> bool:
    """Whether a wheel's file name says that it runs on a platform."""
    kind, machine = for_platform.split("-")
    starts = {"linux": "manylinux", "windows": "win", "macos": "macosx"}[kind]
    ends = {"x64": ("x86_64", "amd64"), "arm64": ("arm64",)}[machine]
    tags = wheel.removesuffix(".whl").split("-")[4].split(".")
    return tags == ["any"] or any(tag.startswith(starts) and tag.endswith(ends) for tag in tags)


def fetched(wheel: str) -> Path:
    """The wheel in the cache, fetched if need be, its bytes being those that were locked."""
    path = CACHE / "wheels" / wheel
    expected = locked_wheels()[wheel]
    if not (path.is_file() and digest(path) == expected):
        path.parent.mkdir(parents=True, exist_ok=True)
        fetch(wheel, expected, path.parent)
    if not path.is_file() or digest(path) != expected:
        raise Stop(f"{wheel} is not the file that requirements/wheels.toml names (sha256 {expected})")
    return path


def fetch(wheel: str, sha256: str, into: Path) -> None:
    """Have pip download one wheel, for the platform and Python that its name tells."""
    project, number, python, abi, tags = wheel.removesuffix(".whl").split("-")
    which = [] if abi == "none" else ["--implementation", "cp", "--abi", abi, "--python-version", python[2:]]
    which += [word for tag in tags.split(".") if tag != "any" for word in ("--platform", tag)]
    with tempfile.TemporaryDirectory() as scratch:
        wanted = Path(scratch) / "wanted.txt"
        wanted.write_text(f"{project}=={number} --hash=sha256:{sha256}\n")
        quietly(
            [a_pip(), "-m", "pip", "download", "--quiet", "--disable-pip-version-check", "--no-deps",
             "--require-hashes", "--only-binary=:all:", *which, "--dest", into, "--requirement", wanted],
            f"fetching {wheel}",
        )  # fmt: skip


def a_pip() -> Path:
    """An interpreter with pip: one of our environments, else the running one, else `.venv` is made."""
    ours = [tests_environment(), *(blender_module(each).environment for each in modules_for_running_python())]
    for each in ours:
        if each.is_current():
            return each.python
    if importlib.util.find_spec("pip"):
        return Path(sys.executable)
    return tests_environment().ready().python


def lock_wheels(python: Path) -> None:
    """Write requirements/wheels.toml: the versions that tests.txt names, for every platform and Python."""
    pins = dict(re.findall(r"^([\w-]+)==(\S+)", (LOCKS / "tests.txt").read_text(), re.MULTILINE))
    tags = {
        "linux-x64": "manylinux_2_28_x86_64", "windows-x64": "win_amd64", "windows-arm64": "win_arm64",
        "macos-arm64": "macosx_11_0_arm64", "macos-x64": "macosx_10_13_x86_64",
    }  # fmt: skip
    with tempfile.TemporaryDirectory() as scratch:
        download = [python, "-m", "pip", "download", "--quiet", "--no-deps", "--only-binary=:all:", "--dest", scratch]
        quietly(
            [*download, "--platform", "any", "--abi", "none", "--implementation", "py",
             *(f"{name}=={pins[name]}" for name in PURE)],
            "fetching the wheels for every platform",
        )  # fmt: skip
        for each in PLATFORMS:
            for wanted in PYTHONS:
                quietly(
                    [*download, "--platform", tags[each], "--python-version", "{}.{}".format(*wanted),
                     *(f"{name}=={pins[name]}" for name in BUILT)],
                    f"fetching the wheels for {each}, Python {wanted[1]}",
                )  # fmt: skip
        lines = [f'"{path.name}" = "{digest(path)}"\n' for path in sorted(Path(scratch).glob("*.whl"))]
    head = "# The wheels that the extension carries; build.py puts each platform's own into its zip.\n\n[sha256]\n"
    (LOCKS / "wheels.toml").write_text(head + "".join(lines), encoding="utf-8")


# -------------------------------------------------------------------------------------------------------------- testing
class Report:
    """What was run and what was left out, told at the end."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.status = 0
        self.has_run_tests = False

    def ran(self, what: str, status: int) -> None:
        """Take note of a pytest's end; no tests (5) is a failure only if nothing else had any."""
        self.has_run_tests |= status != 5
        words = {0: "passed", 1: "FAILED", 5: "no tests chosen"}.get(status, f"FAILED (status {status})")
        self.lines.append(f"{what}: {words}")
        if status not in (0, 5):
            self.status = self.status or status

    def skipped(self, what: str, why: object) -> None:
        """Take note of what could not be had."""
        self.lines.append(f"{what}: skipped, {why}")

    def could_not(self, what: str, why: Stop) -> None:
        """Take note of what should have been had."""
        self.lines.append(f"{what}: FAILED, {why}")
        self.status = self.status or why.status

    def close(self) -> int:
        """Tell it, and the exit status."""
        for line in self.lines:
            say(f"tests {line}")
        return self.status if self.has_run_tests or self.status else 5


def run_tests(options: argparse.Namespace, report: Report) -> None:
    """Run the core's tests and the add-on's with the running Python."""
    for_core, for_blender = shared_out(options.rest)
    if for_core is not None:
        environment = tests_environment().ready(options.system)
        command = [environment.python, "-m", "pytest", *side_by_side(for_core)]
        report.ran("of the core, Python {}.{}".format(*RUNNING), pytest(command, for_core))
    if for_blender is None or options.blender == "none":
        return
    try:
        versions = wanted_modules(options.blender)
    except Stop as stop:
        if options.all:
            return report.skipped("in Blender", stop)
        return report.could_not("in Blender", stop)
    for each in versions:
        run_tests_in(blender_module(each), for_blender, options, report)


def test_in_blender(version: str, words: list[str], options: argparse.Namespace, report: Report) -> None:
    """Run tests in one version of Blender's module, with the Python that it wants; left out where there is none."""
    if version in modules_for_running_python():
        return run_tests_in(blender_module(version), words, options, report)
    name, python = f"in Blender {version} as a Python module", BLENDERS[version]
    found = None if python == RUNNING or (version, platform_here()) in MODULE_GAPS else find_python(python)
    if not found:
        return report.skipped(name, "Python {}.{} with such a module is not here".format(*python))
    system = ["--system"] if options.system else []
    command = [found, str(ROOT / "build.py"), "test", "--blender", version, *system, "--", *words]
    report.ran(name, subprocess.run(command, cwd=ROOT).returncode)


def side_by_side(words: list[str]) -> list[str]:
    """Words that spread the whole of the core's tests over the processors; none where the user chose some, or how many."""
    if any(is_test_path(word) or word.startswith(("-n", "--numprocesses", "-x", "--pdb", "-s")) for word in words):
        return []
    return ["-n", str(min(os.cpu_count() or 1, MOST_AT_ONCE))]


def wanted_modules(choice: str) -> list[str]:
    """The versions of Blender's module to test with."""
    if choice == "all":
        return modules_for_running_python() or [module_for_running_python()]
    if choice == "newest":
        return [module_for_running_python()]
    if choice not in modules_for_running_python():
        raise Stop("Blender {} as a module needs Python {}.{}".format(choice, *BLENDERS[choice]))
    return [choice]


def run_tests_in(blender: Blender, words: list[str], options: argparse.Namespace, report: Report) -> None:
    """Run the add-on's tests in a Blender, with the zip installed in a throw-away profile."""
    try:
        blender.ready(options.system)
        made = build_zip(platform_here())
        command = blender.script(str(ROOT / "tests" / "blender" / "inside.py"))
        with tempfile.TemporaryDirectory(prefix="muntin-profile-") as scratch:
            extra = {**throw_away(Path(scratch)), "MUNTIN_ZIP": str(made)}
            if blender.program:
                extra["MUNTIN_PYTEST"] = str(runner())
            report.ran(f"in {blender}", pytest(command, words, extra))
    except Stop as stop:
        report.could_not(f"in {blender}", stop)


def shared_out(words: list[str]) -> tuple[list[str] | None, list[str] | None]:
    """The words for pytest of the core and of Blender; None where the paths named leave it nothing to do."""
    paths = [word for word in words if is_test_path(word)]
    others = [word for word in words if word not in paths]
    in_blender = [path for path in paths if ROOT / "tests" / "blender" in above(path)]
    in_core = [path for path in paths if path not in in_blender]
    if not paths:
        return others, [*others, "tests/blender"]
    return [*others, *in_core] if in_core else None, [*others, *in_blender] if in_blender else None


def is_test_path(word: str) -> bool:
    """Whether a word names something in tests/, so that it chooses between core and Blender."""
    return not word.startswith("-") and Path(word.split("::")[0]).exists() and ROOT / "tests" in above(word)


def above(word: str) -> list[Path]:
    """The file or folder that a word for pytest names, and all folders it lies in."""
    path = Path(word.split("::")[0]).resolve()
    return [path, *path.parents]


def pytest(command: Sequence[object], words: list[str], extra: dict[str, str] | None = None) -> int:
    """Run pytest where the user can see it; its exit status."""
    done = subprocess.run([*map(str, command), *words], cwd=ROOT, env={**os.environ, **(extra or {})})
    if done.returncode in (130, -2):
        raise KeyboardInterrupt
    return done.returncode


def test_other_pythons(options: argparse.Namespace, report: Report) -> None:
    """Run this same chore with each other Python that has a Blender module."""
    for wanted in PYTHONS:
        if wanted == RUNNING:
            continue
        name = "with Python {}.{}".format(*wanted)
        found = find_python(wanted)
        if not found:
            report.skipped(name, "it is not on the path")
            continue
        system = ["--system"] if options.system else []
        command = [found, str(ROOT / "build.py"), "test", "--blender", "all", *system, "--", *options.rest]
        report.ran(name, subprocess.run(command).returncode)


def test_blender_programs(options: argparse.Namespace, report: Report) -> None:
    """Run the add-on's tests in the Blender programs that are here."""
    for_blender = shared_out(options.rest)[1]
    programs = blender_programs()
    if not programs:
        report.skipped("in a Blender program", "none on the path and none named by BLENDER")
    for each in programs if for_blender is not None else []:
        try:
            each.ready(options.system)
        except Stop as stop:
            report.skipped(f"in {each}", stop)
        else:
            run_tests_in(each, for_blender, options, report)


def find_python(wanted: tuple[int, int]) -> str | None:
    """An interpreter of a version: on the path, among pyenv's, or known to the Windows launcher."""
    name = "python{}.{}".format(*wanted)
    candidates = [[each] for each in (shutil.which(name), *pyenv_pythons(name)) if each]
    if shutil.which("py"):
        candidates.append(["py", "-{}.{}".format(*wanted)])
    for command in candidates:
        asked = subprocess.run(
            [*command, "-c", "import sys; print(sys.version_info[:2], sys.executable, sep='|')"],
            capture_output=True, text=True,
        )  # fmt: skip
        version_text, _, path = asked.stdout.strip().partition("|")
        if asked.returncode == 0 and version_text == str(wanted):
            return path
    return None


def pyenv_pythons(name: str) -> list[str]:
    """The interpreters of a name that pyenv keeps; empty without pyenv."""
    if not shutil.which("pyenv"):
        return []
    kept = subprocess.run(["pyenv", "root"], capture_output=True, text=True).stdout.strip()
    return [str(path) for path in sorted(Path(kept).glob(f"versions/*/bin/{name}"), reverse=True)] if kept else []


def runner() -> Path:
    """A folder with pytest for a Blender program, which brings its own Python but no pytest."""
    folder = CACHE / "runner"
    note = folder / "made_from"
    lock_file = LOCKS / "runner.txt"
    if not (note.is_file() and note.read_text() == digest(lock_file)):
        shutil.rmtree(folder, ignore_errors=True)
        quietly(
            [a_pip(), "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--require-hashes", "--no-deps",
             "--only-binary=:all:", "--target", folder, "--requirement", lock_file],
            "fetching pytest for the Blender program",
        )  # fmt: skip
        note.write_text(digest(lock_file))
    return folder


def throw_away(folder: Path) -> dict[str, str]:
    """The environment that makes Blender keep its settings and extensions in a folder."""
    return {"BLENDER_USER_RESOURCES": str(folder / "profile")}


# ----------------------------------------------------------------------------------------------------------------- demo
class Stages:
    """The progress lines of the demo: which stage of how many, and how long the last one took."""

    def __init__(self, count: int) -> None:
        self.count, self.number = count, 0

    def next(self, words: str) -> None:
        """Tell that a stage begins."""
        self.number += 1
        say(f"[{self.number}/{self.count}] {words}")


def follow(command: list[str], extra: dict[str, str], stages: Stages) -> None:
    """Run the demo session, telling its stages as they begin; Blender's chatter goes to a log."""
    log = CACHE / "demo.log"
    log.parent.mkdir(exist_ok=True)
    trouble = ""
    with log.open("w", encoding="utf-8") as kept, Heartbeat() as beat:
        session = subprocess.Popen(
            command, cwd=ROOT, env={**os.environ, **extra}, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
            stdin=subprocess.DEVNULL, text=True, encoding="utf-8", errors="replace",
        )  # fmt: skip
        try:
            for line in session.stdout:
                kept.write(line)
                mark, _, words = line.strip().partition(" ")
                if mark == "@stage":
                    stages.next(words)
                    beat.again()
                elif mark == "@trouble":
                    trouble = words
        except BaseException:
            session.kill()
            raise
        finally:
            status = session.wait()
    if status or trouble:
        raise Stop(f"{trouble or f'Blender ended with status {status}'} (all it said: {log.relative_to(ROOT)})")


def refuse_missing(folder: Path) -> None:
    """Stop if an output that the demo promises is missing or empty."""
    for name in DEMO_FILES:
        path = folder / name
        if not (path.is_file() and path.stat().st_size):
            raise Stop(f"the demo wrote no {name}")


def move_into(source: Path, target: Path) -> list[Path]:
    """Put finished files in their place, each at one stroke; where they are now."""
    placed = []
    for path in sorted(each for each in source.rglob("*") if each.is_file()):
        place = target / path.relative_to(source)
        aside = place.with_name(f".{place.name}.part")
        place.parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path, aside)
        os.replace(aside, place)
        placed.append(place)
    return placed


# -------------------------------------------------------------------------------------------------------------- helpers
def say(line: str) -> None:
    """Tell the user a line, at once even through a pipe."""
    print(line, flush=True)


def digest(path: Path) -> str:
    """The SHA-256 of a file."""
    return hashlib.sha256(path.read_bytes()).hexdigest()


class Heartbeat:
    """Says every half minute that a silent step is still at work."""

    def __enter__(self) -> "Heartbeat":
        self.began = time.monotonic()
        self.over = threading.Event()
        threading.Thread(target=self.beat, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self.over.set()

    def again(self) -> None:
        """Count from now."""
        self.began = time.monotonic()

    def beat(self) -> None:
        """Tell the time until the step is over."""
        while not self.over.wait(HEARTBEAT):
            say(f"      still at work, {time.monotonic() - self.began:.0f} s")


def quietly(command: Sequence[object], doing: str, environ: dict[str, str] | None = None) -> None:
    """Run a command that only matters when it fails; then its most telling line is the message."""
    with Heartbeat():
        done = subprocess.run(
            list(map(str, command)), cwd=ROOT, env=environ, stdin=subprocess.DEVNULL, capture_output=True, text=True,
            encoding="utf-8", errors="replace",
        )  # fmt: skip
    if done.returncode:
        raise Stop(f"{doing} failed: {telling_line(done.stdout + done.stderr) or f'status {done.returncode}'}")


def telling_line(output: str) -> str:
    """The line of a failed command's output that says what was wrong: the first error, else the last line."""
    broken = re.search(r"connection broken by ['\"](.*)['\"]:", output)
    if broken:  # pip tells it in a warning; its error is about versions
        return f"no connection to the package registry: {broken[1]}"
    lines = [line.strip() for line in output.splitlines() if line.strip()]
    errors = [line for line in lines if re.match(r"(E:|ERROR|Error|FATAL|\w*Error:)", line)]
    return (errors or lines[-1:] or [""])[0]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
