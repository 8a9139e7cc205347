"""The entries of an open folder: one module, one entry, found by looking."""

from __future__ import annotations

import importlib
import pkgutil
from functools import cache


@cache
def entries(folder: str) -> dict[str, type]:
    """The `ENTRY` class of every module in an open folder (dotted, relative to core: "build.supports"), by its style word.

    Sorted by word, so that files, menus and tests see one order on every machine.
    """
    package = importlib.import_module(f".{folder}", __package__)
    found = {}
    for module in pkgutil.iter_modules(package.__path__):
        entry = importlib.import_module(f".{module.name}", package.__name__).ENTRY
        assert entry.style not in found, f"two entries of {folder} call themselves {entry.style}"
        found[entry.style] = entry
    return dict(sorted(found.items()))
