"""Every word that people see stands in docs/glossary.md with its origin: the trade, a standard (which), or ours."""

import ast
import dataclasses
import re
from pathlib import Path

import pytest

from core.__main__ import _parser
from core.build import build
from core.catalogue import entries
from core.cutting.list import HEADINGS
from core.fields import fields_of
from core.fittings import fitting_entries
from core.materials import materials
from core.piece import Piece, read_piece_file
from core.workshop.workshop import Workshop

ROOT = Path(__file__).parent.parent
GLOSSARY = ROOT / "docs" / "glossary.md"
ORIGINS = ("trade", "standard", "ours", "plain English")


def listed() -> dict[str, str]:
    """Word → origin, as the glossary's tables say."""
    rows = re.findall(r"^\| (?!word \|)(.+?) \| (.*?) \| (.+?) \|$", GLOSSARY.read_text(encoding="utf-8"), re.MULTILINE)
    return {_plain(word): origin for word, _, origin in rows}


def in_use() -> dict[str, str]:
    """Word → where people meet it."""
    found: dict[str, str] = {}
    for where, words in (
        ("file or label", _parameters()),
        ("command", _commands()),
        ("list", HEADINGS),
        ("paper", _paper()),
        ("screen", _screen()),
        ("part or fitting", _things()),
    ):
        for word in words:
            if re.search("[a-z]", _plain(word)):
                found.setdefault(_plain(word), where)
    return found


def test_every_word_people_see_is_listed_with_its_origin():
    """A label, key, command, column, page title, panel or part name that is not in the glossary is refused."""
    known = listed()
    missing = {word: where for word, where in in_use().items() if word not in known}
    assert not missing


def test_every_origin_is_one_of_the_known():
    """An origin is the trade, a named standard, ours, or a plain English word."""
    for word, origin in listed().items():
        assert origin.startswith(ORIGINS), word
        assert not origin.startswith("standard") or len(origin) > len("standard "), f"{word}: which standard?"


@pytest.mark.parametrize(
    "word", ["optimise", "optimize", "nesting", "yield %", "waste %", "carcase id", "zone", "product"]
)
def test_the_check_bites(word):
    """A word that is not ours to use is not in the glossary, so the first test would refuse it."""
    assert word not in listed()


def _plain(word: str) -> str:
    return " ".join(word.replace("_", " ").replace("-", " ").strip(" :`").lower().split())


def _parameters():
    waiting, done = [Piece, Workshop], set()
    while waiting:
        cls = waiting.pop()
        if cls in done:
            continue
        done.add(cls)
        for field in fields_of(cls):
            yield from (field.name, field.label, *(word for pair in field.choices for word in pair))
            if field.kind in ("group", "items") and dataclasses.is_dataclass(field.of):
                waiting.append(field.of)
            if field.kind == "variant":
                for style, entry in entries(field.folder).items():
                    yield from (style, entry.label)
                    waiting.append(entry)


def _commands():
    for action in _parser()._subparsers._group_actions:
        for name, command in action.choices.items():
            yield name
            for option in command._actions:
                yield from (word.lstrip("-") for word in option.option_strings)
                yield from map(str, option.choices or ())


def _paper():
    """Titles, headings and column heads in the modules that make pages."""
    for path in sorted((ROOT / "core" / "pages").glob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Call)
                and getattr(node.func, "id", "") in ("Column", "Heading")
                and node.args
                and isinstance(node.args[0], ast.Constant)
            ):
                yield node.args[0].value
            if (
                isinstance(node, ast.Assign)
                and getattr(node.targets[0], "id", "") == "title"
                and isinstance(node.value, ast.Constant)
            ):
                yield node.value.value


def _screen():
    """Labels of panels, menus, operators and their properties in the add-on."""
    for path in sorted((ROOT / "blender_addon").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if (
                isinstance(node, ast.Assign)
                and getattr(node.targets[0], "id", "") in ("bl_label", "bl_category")
                and isinstance(node.value, ast.Constant)
            ):
                yield node.value.value
            if (
                isinstance(node, ast.Assign)
                and getattr(node.targets[0], "id", "") == "bl_idname"
                and isinstance(node.value, ast.Constant)
                and node.value.value.startswith("muntin.")
            ):
                yield node.value.value.partition(".")[2]
            if (
                isinstance(node, ast.keyword)
                and node.arg in ("name", "text")
                and isinstance(node.value, ast.Constant)
                and isinstance(node.value.value, str)
            ):
                yield node.value.value


def _things():
    yield from (each.kind for each in fitting_entries())
    yield from (each.name for each in materials())
    for path in sorted((ROOT / "core" / "library" / "pieces").glob("*.json")):
        yield path.stem
        yield from (part.name.split(",")[0] for part in build(read_piece_file(path)).parts)


if __name__ == "__main__":  # what is missing, as rows to fill in
    for missing in sorted(set(in_use()) - set(listed() if GLOSSARY.exists() else ())):
        print(f"| {missing} |  |  |")
