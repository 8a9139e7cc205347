"""The client book: an open folder, one module for each chapter.

A module with an `ENTRY` is a chapter, found by looking; the book is all of them in their order. A chapter without anything to
tell gives no blocks and is left out. Words are for someone who cannot read drawings.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Sequence
from functools import lru_cache
from typing import Protocol

from ...drawing.blocks import Block
from ._book import BOTTOM, COLUMN, LEFT, TOP, Book, height_of, picture_size, unbroken

__all__ = [
    "BOTTOM", "COLUMN", "LEFT", "TOP",
    "Book", "Chapter", "chapters", "height_of", "picture_size", "unbroken",
]  # fmt: skip


class Chapter(Protocol):
    """One chapter: a word for code, a title for readers (none for the cover), its place, and what stands in it."""

    word: str
    title: str
    order: int

    def blocks(self, book: Book) -> Sequence[Block]:
        """What the chapter tells, none where it has nothing to tell."""


@lru_cache(maxsize=1)
def chapters() -> tuple[Chapter, ...]:
    """Every chapter of the folder, in the order of the book."""
    modules = [found.name for found in pkgutil.iter_modules(__path__) if not found.name.startswith("_")]
    found = (importlib.import_module(f".{name}", __name__).ENTRY for name in modules)
    return tuple(sorted(found, key=lambda each: (each.order, each.word)))
