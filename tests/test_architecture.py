"""The layers of DEVELOPERS.md, held by reading the source."""

import ast
import re
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
CORE = ROOT / "core"
MODULES = {path.relative_to(ROOT).with_suffix("").as_posix(): path for path in sorted(CORE.rglob("*.py"))}
OPEN_FOLDERS = ("build/joints", "build/panels", "build/supports", "build/tops", "build/insides", "checks", "pages")
# What stands above may import what stands below, never the other way round; one line a layer, top first.
LAYERS = (
    ("core/__main__",),
    ("core/pack",),
    ("core/pages",),
    ("core/exports/drawing_json", "core/exports/gltf"),
    ("core/cutting/list",),
    ("core/built", "core/starters", "core/reference"),
    ("core/checks",),
    ("core/weights",),
    ("core/drawing/explode",),
    ("core/revisions",),
    ("core/meshes",),
    ("core/build",),
    ("core/mechanics",),
    ("core/fittings", "core/fastenings", "core/materials"),
    ("core/piece",),
    ("core/fields",),
    ("core/catalogue",),
    ("core/cutting",),
    ("core/exports",),
    ("core/drawing",),
    ("core/solids",),
    ("core/model",),
    ("core/geometry", "core/units"),
    ("core/errors",),
)


def imports_of(path: Path) -> list[tuple[str, ast.AST, bool]]:
    """Modules of core that a file imports, as paths, with the node and whether it stands inside a function."""
    tree, found = ast.parse(path.read_text(encoding="utf-8")), []
    inside = {id(node) for function in ast.walk(tree) if isinstance(function, ast.FunctionDef | ast.AsyncFunctionDef) for node in ast.walk(function)}
    package = path.parent
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and node.level:
            base = package
            for _ in range(node.level - 1):
                base = base.parent
            target = base.joinpath(*(node.module or "").split(".")) if node.module else base
            for alias in node.names:
                named = target / alias.name
                real = named if named.with_suffix(".py").exists() or named.is_dir() else target
                found.append((real.relative_to(ROOT).as_posix(), node, id(node) in inside))
    return found


def layer_of(module: str) -> int:
    """The layer of a module by the longest name that fits it."""
    fits = [(len(name), number) for number, names in enumerate(LAYERS) for name in names if module == name or module.startswith(name + "/")]
    return max(fits)[1] if fits else -1


def test_every_module_has_a_layer():
    """A new module finds its place in the table of layers."""
    without = [name.removesuffix("/__init__") for name in MODULES if name != "core/__init__" and layer_of(name.removesuffix("/__init__")) < 0]
    assert not without


def test_imports_point_down_only():
    """A module imports from its own layer or from below it."""
    upward = [
        f"{name} imports {target}"
        for name, path in MODULES.items()
        if name != "core/__init__"
        for target, _, _ in imports_of(path)
        if target != "core" and layer_of(target) < layer_of(name.removesuffix("/__init__"))
    ]
    assert not upward


def test_core_imports_itself_relatively_and_little_else():
    """Core runs under any name: relative imports, the standard library, numpy; reportlab in exports/pdf.py alone; never bpy."""
    strange = []
    for name, path in MODULES.items():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            words = [alias.name for alias in node.names] if isinstance(node, ast.Import) else [node.module or ""] if isinstance(node, ast.ImportFrom) and not node.level else []
            for word in words:
                top = word.split(".")[0]
                allowed = top in sys.stdlib_module_names or top == "numpy" or (top == "reportlab" and name == "core/exports/pdf")
                if not allowed:
                    strange.append(f"{name}: {word}")
    assert not strange


def test_no_import_hides_in_a_function():
    """What a module needs stands at its top, so that cycles are seen."""
    hidden = [f"{name}: {target}" for name, path in MODULES.items() for target, _, inside in imports_of(path) if inside]
    assert not hidden


@pytest.mark.parametrize("folder", OPEN_FOLDERS)
def test_entries_of_an_open_folder_do_not_know_each_other(folder):
    """An entry imports what the folder shares, never another entry."""
    entries = {path.stem for path in (CORE / folder).glob("*.py") if re.search(r"^(ENTRY|CHECKS)\b", path.read_text(encoding="utf-8"), re.MULTILINE)}
    crossed = [
        f"{path.stem} imports {target}"
        for path in sorted((CORE / folder).glob("*.py"))
        if path.stem in entries
        for target, _, _ in imports_of(path)
        if target.startswith(f"core/{folder}/") and target.rsplit("/", 1)[-1] in entries - {path.stem}
    ]
    assert not crossed


def test_public_functions_say_what_comes_back():
    """Every public function and class of core has a docstring, and every public function's parameters and result are typed."""
    silent = []
    for name, path in MODULES.items():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        if not ast.get_docstring(tree):
            silent.append(f"{name}: the module")
        for node in tree.body:
            if isinstance(node, ast.FunctionDef | ast.ClassDef) and not node.name.startswith("_"):
                if not ast.get_docstring(node):
                    silent.append(f"{name}: {node.name}")
                if isinstance(node, ast.FunctionDef) and (node.returns is None or any(a.annotation is None for a in node.args.args)):
                    silent.append(f"{name}: {node.name} is not typed")
    assert not silent


FORBIDDEN = re.compile("|".join(("/" + "work/", "/" + "tmp/team", "/" + "root/", "py" + "pi[.]org", "deb" + "ian[.]org", "npm" + "js", "chat" + "gpt", "open" + "ai", "clau" + "de", r"\bA" + r"I assistant")), re.IGNORECASE)


def test_the_project_speaks_of_itself_alone():
    """No path of a machine, no host of a registry, no word about how it was written."""
    said = []
    for folder in ("core", "blender_addon", "tests", "docs", "requirements", ".ci"):
        for path in sorted((ROOT / folder).rglob("*")):
            if path.is_file() and path.suffix in (".py", ".md", ".json", ".toml", ".txt", ".in", "") and "__pycache__" not in path.parts and "licences" not in path.parts:
                text = path.read_text(encoding="utf-8", errors="replace")
                said += [f"{path.relative_to(ROOT)}: {found.group()}" for found in FORBIDDEN.finditer(text)]
    assert not said


def test_developers_table_names_what_there_is():
    """Every module and folder that DEVELOPERS.md names exists."""
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text[text.index("| module |") : text.index("## Building a piece")]
    for name in re.findall(r"`((?:core|blender_addon)[\w/.]*)`", table):
        assert (ROOT / name).exists(), name
