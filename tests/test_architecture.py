"""How the code hangs together, read from its source: layers, what may be imported where, and what is documented."""

from __future__ import annotations

import ast
import re
import sys
from collections import defaultdict
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
CORE = ROOT / "core"
MODULES = {path.relative_to(ROOT).as_posix(): path for path in sorted(CORE.rglob("*.py"))}
OUTSIDE = {"numpy"}  # what core may import besides the standard library
ONLY_IN = {"reportlab": "core/exports/pdf.py", "PIL": "core/exports/pdf.py", "ezdxf": "core/exports/dxf.py"}
OPEN = (
    "core/build/box_joints",
    "core/build/hinging",
    "core/build/insides",
    "core/build/joints",
    "core/build/panels",
    "core/build/runners",
    "core/build/supports",
    "core/build/tops",
    "core/checks",
    "core/pages",
    "core/pages/book",
)
LATE: dict[tuple[str, str], str] = {  # (module, what it imports inside a function): why that may be
    ("core/exports/dxf.py", "ezdxf"): "it takes half a second to load, and no other command needs it",
}
MACHINE_WORDS = (  # of machines and places that have no business in the project
    r"/work/", r"/root\b", r"/tmp/team", r"files\.pythonhosted\.org", r"registry\.npmjs", r"proxy\.golang", r"artifactory", r"localhost:\d",
)  # fmt: skip


# ------------------------------------------------------------------------------------------------------------- reading
@cache
def tree(name: str) -> ast.Module:
    return ast.parse(MODULES[name].read_text(encoding="utf-8"), name)


@cache
def imports(name: str) -> tuple[tuple[ast.Import | ast.ImportFrom, str, bool], ...]:
    """Every import of a module: the statement, what is imported (dotted; of core, its file), whether inside a function."""
    inside = {
        id(each)
        for function in ast.walk(tree(name))
        if isinstance(function, (ast.FunctionDef, ast.AsyncFunctionDef))
        for each in ast.walk(function)
    }
    found = []
    for node in ast.walk(tree(name)):
        if isinstance(node, ast.Import):
            found += [(node, alias.name, id(node) in inside) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            found += [(node, target, id(node) in inside) for target in _targets(name, node)]
    return tuple(found)


def _targets(name: str, node: ast.ImportFrom) -> list[str]:
    if not node.level:
        return [node.module or ""]
    folder = Path(name).parent
    for _ in range(node.level - 1):
        folder = folder.parent
    base = folder.joinpath(*(node.module or "").split(".")) if node.module else folder
    return sorted({_file_of(base, alias.name) for alias in node.names})


def _file_of(base: Path, imported: str) -> str:
    for path in (
        base / f"{imported}.py",
        base / imported / "__init__.py",
        base.with_suffix(".py"),
        base / "__init__.py",
    ):
        if path.as_posix() in MODULES:
            return path.as_posix()
    return base.as_posix()


@cache
def links() -> dict[str, set[str]]:
    """Which modules of core each module imports."""
    return {name: {target for _, target, _ in imports(name) if target in MODULES} for name in MODULES}


# -------------------------------------------------------------------------------------------------------------- layers
@cache
def rows() -> list[list[str]]:
    """The module table of DEVELOPERS.md: the paths of each row, from the top."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text[text.index("| module | what it is for |") :].split("\n\n")[0]
    return [re.findall(r"`([^`]+)`", line.split("|")[1]) for line in table.splitlines()[2:]]


@cache
def row_of(name: str) -> int | None:
    """Which row of the table a module belongs to; the most exact path counts."""
    found = [
        (len(path), number)
        for number, paths in enumerate(rows())
        for path in paths
        if name == path or (path.endswith("/") and name.startswith(path))
    ]
    return max(found)[1] if found else None


def test_every_module_stands_in_the_module_table() -> None:
    """DEVELOPERS.md says what each module of core is for, and names none that there is not."""
    missing = [name for name in MODULES if row_of(name) is None and name != "core/__init__.py"]
    assert not missing, f"not in the module table of DEVELOPERS.md: {missing}"
    gone = [path for paths in rows() for path in paths if path.startswith("core/") and not (ROOT / path).exists()]
    assert not gone, f"in the module table, but not there: {gone}"


@pytest.mark.parametrize("name", MODULES)
def test_imports_point_down_the_module_table(name: str) -> None:
    """A module imports only from its own row and from rows below it; the public door stands above all."""
    own = row_of(name)
    if name == "core/__init__.py" or own is None:
        return
    up = [
        target
        for target in links()[name]
        if (row_of(target) if target != "core/__init__.py" else 99) not in (None, 99) and row_of(target) < own
    ]  # type: ignore[operator]
    assert not up, f"{name} imports {up}, which stand above it"


def test_no_module_imports_itself_round_about() -> None:
    """There is no cycle among the modules of core."""
    graph = links()
    done: set[str] = set()

    def visit(name: str, way: tuple[str, ...]) -> None:
        assert name not in way, f"a cycle: {' → '.join([*way[way.index(name) :], name])}"
        if name not in done:
            for target in sorted(graph[name]):
                visit(target, (*way, name))
            done.add(name)

    for name in graph:
        visit(name, ())


@pytest.mark.parametrize("folder", OPEN)
def test_entries_of_an_open_folder_do_not_know_one_another(folder: str) -> None:
    """A new entry is one new file, and taking one away breaks no other; what they share lies outside the folder or is its door."""
    inside = {name for name in MODULES if name.startswith(f"{folder}/") and is_entry(name)}
    assert inside
    for name in inside:
        known = links()[name] & inside
        assert not known, f"{name} imports {sorted(known)}"


def is_entry(name: str) -> bool:
    """Whether a module is an entry of its open folder: it says so by ENTRY or CHECKS; the others are what entries are made with."""
    made = [target for node in tree(name).body if isinstance(node, ast.Assign) for target in node.targets]
    return any(isinstance(each, ast.Name) and each.id in ("ENTRY", "CHECKS") for each in made)


# ------------------------------------------------------------------------------------------------------------- imports
@pytest.mark.parametrize("name", MODULES)
def test_core_is_free_of_blender_and_of_what_it_does_not_need(name: str) -> None:
    """Never bpy; the standard library and numpy; reportlab and Pillow only where PDFs are made; core itself only relatively."""
    for node, target, _ in imports(name):
        if isinstance(node, ast.ImportFrom) and node.level:
            assert target in MODULES, f"{name}:{node.lineno} imports {target}, which is not there"
            continue
        head = target.split(".")[0]
        assert head not in ("bpy", "bmesh", "mathutils", "core", "bl_ext"), f"{name}:{node.lineno} imports {target}"
        allowed = head in OUTSIDE or head in sys.stdlib_module_names or ONLY_IN.get(head) == name
        assert allowed, f"{name}:{node.lineno} imports {target}"


@pytest.mark.parametrize("name", MODULES)
def test_imports_stand_at_the_top(name: str) -> None:
    """None inside a function, where it would hide a cycle; the few that may are listed with their reason."""
    late = [(node.lineno, target) for node, target, inside in imports(name) if inside and (name, target) not in LATE]
    assert not late, f"{name} imports inside functions: {late}"


def test_late_imports_that_are_allowed_are_still_there() -> None:
    """The list of exceptions holds no leftovers."""
    found = {(name, target) for name in MODULES for _, target, inside in imports(name) if inside}
    assert set(LATE) <= found


# ------------------------------------------------------------------------------------------------------- documentation
@pytest.mark.parametrize("name", MODULES)
def test_every_module_says_in_its_first_sentence_what_it_is_for(name: str) -> None:
    """A docstring whose first line is a whole sentence."""
    said = ast.get_docstring(tree(name))
    assert said, f"{name} has no docstring"
    assert said.splitlines()[0].rstrip().endswith((".", ":", ";", ",")) or len(said.splitlines()) > 1


def public(name: str) -> Iterator[tuple[str, ast.FunctionDef | ast.ClassDef]]:
    """The public functions, classes and methods of a module, with their dotted names."""
    for node in tree(name).body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            yield node.name, node
            if isinstance(node, ast.ClassDef):
                for inner in node.body:
                    if isinstance(inner, ast.FunctionDef) and not inner.name.startswith("_"):
                        yield f"{node.name}.{inner.name}", inner


@pytest.mark.parametrize("name", MODULES)
def test_every_public_function_is_documented_and_typed(name: str) -> None:
    """A docstring, a type for every argument and for what comes back."""
    for dotted, node in public(name):
        assert ast.get_docstring(node), f"{name}: {dotted} has no docstring"
        if isinstance(node, ast.FunctionDef):
            arguments = [
                *node.args.posonlyargs,
                *node.args.args,
                *node.args.kwonlyargs,
                node.args.vararg,
                node.args.kwarg,
            ]
            untyped = [
                each.arg for each in arguments if each and each.annotation is None and each.arg not in ("self", "cls")
            ]
            assert not untyped, f"{name}: {dotted} has arguments without a type: {untyped}"
            assert node.returns is not None, f"{name}: {dotted} does not say what comes back"


def test_no_name_is_used_for_two_public_functions_of_one_module() -> None:
    """A second definition would hide the first."""
    for name in MODULES:
        names = [dotted for dotted, node in public(name) if not _is_property(node)]
        twice = {each for each in names if names.count(each) > 1}
        assert not twice, f"{name}: {twice}"


def _is_property(node: ast.AST) -> bool:
    return any(
        "setter" in ast.unparse(each) or "overload" in ast.unparse(each) for each in getattr(node, "decorator_list", ())
    )


# --------------------------------------------------------------------------------------------------------------- words
def written() -> Iterator[Path]:
    """Every text file of the project that a person or an assistant could have written."""
    folders = ("core", "blender_addon", "tests", "docs", ".ci")
    for folder in folders:
        for path in sorted((ROOT / folder).rglob("*")):
            if (
                path.suffix in (".py", ".md", ".json", ".toml", ".txt", ".yml", "")
                and path.is_file()
                and "__pycache__" not in path.parts
            ) and "licences" not in path.parts:
                yield path
    yield from (
        ROOT / name
        for name in ("README.md", "DEVELOPERS.md", "CHANGELOG.md", "build.py", "pyproject.toml")
        if (ROOT / name).exists()
    )


def test_the_project_speaks_of_itself_alone() -> None:
    """No path of a machine it was written on, no host that packages came from."""
    found = defaultdict(list)
    for path in written():
        if path.resolve() == Path(__file__).resolve():
            continue
        text = path.read_text(encoding="utf-8", errors="ignore")
        for word in MACHINE_WORDS:
            if re.search(word, text):
                found[path.relative_to(ROOT).as_posix()].append(word)
    assert not found, dict(found)
