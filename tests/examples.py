"""The zoo of named pieces: every example and starter piece file that the project hands out."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import core
from core.model import Model
from core.piece import Piece, loads

ROOT = Path(__file__).resolve().parent.parent
FOLDERS = {"example": ROOT / "docs" / "examples", "starter": ROOT / "core" / "library" / "pieces"}
DEMO = "example coat_cupboard"  # the piece that is worked out by hand in references/demo.py


def _files() -> dict[str, Path]:
    found = {f"{what} {path.stem}": path for what, folder in FOLDERS.items() for path in sorted(folder.glob("*.json"))}
    known: set[str] = set()
    for name, path in list(found.items()):  # the same text once, under its first name
        text = path.read_text(encoding="utf-8")
        if text in known or '"muntin job"' in text[:200]:
            del found[name]
        known.add(text)
    return found


FILES = _files()
EXAMPLES = tuple(FILES)


def example_text(name: str) -> str:
    """The text of a piece file of the zoo."""
    return FILES[name].read_text(encoding="utf-8")


@cache
def example_piece(name: str) -> Piece:
    """A piece of the zoo."""
    return loads(example_text(name), name)


@cache
def example_model(name: str) -> Model:
    """A piece of the zoo, built."""
    return core.build(example_piece(name))


@cache
def chest_with_boards() -> Piece:
    """The chest of drawers with a whole board between each two of its drawers instead of a rail."""
    return loads(example_text("starter chest_of_drawers").replace('"between": "rail"', '"between": "board"'))
