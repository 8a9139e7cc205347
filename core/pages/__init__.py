"""The pages of the workshop pack: an open folder, one module for each kind of page.

A module whose name has no underscore before it and that has an `ENTRY` is a page kind, found by looking; the pack is
all of them in their order. Page kinds never import each other; what several of them draw with stands in modules whose
names begin with an underscore.
"""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Sequence
from functools import lru_cache
from typing import Literal, Protocol

from ..built import BuiltJob
from ..drawing.sheet import Sheet

__all__ = ["PageKind", "Place", "page_kinds"]

Place = Literal["desk", "saw", "bench", "spray place", "site"]  # where a page is read; the pack is in their order


class PageKind(Protocol):
    """One kind of page: a word for code, a title for readers, its order in the pack, the place it is taken to, its sheets."""

    word: str
    title: str
    order: int
    place: Place

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """The sheets of a job, none where the job has nothing to show on them; the first has a bookmark."""


@lru_cache(maxsize=1)
def page_kinds() -> tuple[PageKind, ...]:
    """Every page kind of the folder, in the order of the pack."""
    modules = [found.name for found in pkgutil.iter_modules(__path__) if not found.name.startswith("_")]
    loaded = (importlib.import_module(f".{name}", __name__) for name in modules)
    kinds = [module.ENTRY for module in loaded if hasattr(module, "ENTRY")]
    assert len({kind.word for kind in kinds}) == len(kinds), "two page kinds have one word"
    return tuple(sorted(kinds, key=lambda kind: (kind.order, kind.word)))
