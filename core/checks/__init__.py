"""The findings: what would go wrong with a piece, found before it is cut.

This is an open folder: every module that has `CHECKS`, a tuple of functions `check(piece, model)` that yield
findings, is found by looking. A new check is a new function there and nothing else.
"""

from __future__ import annotations

import importlib
import pkgutil
from functools import lru_cache

from ..model import Model
from ..piece import Piece
from .finding import SEVERITIES, Check, Finding, Severity

__all__ = ["SEVERITIES", "Check", "Finding", "Severity", "checks", "findings"]


def findings(piece: Piece, model: Model) -> tuple[Finding, ...]:
    """All that the checks find on a model built from a piece: stops first, then warns, then notes.

    Within a severity they stand by the check's name, then as the check gives them; the same piece gives the same
    findings. What is found of a part twice in the same words, at two spans of one board, is told once.
    """
    found: dict[tuple[object, ...], Finding] = {}
    for finding in (each for check in checks() for each in check(piece, model)):
        found.setdefault((finding.check, finding.severity, finding.text, finding.keys), finding)
    return tuple(sorted(found.values(), key=lambda each: (SEVERITIES.index(each.severity), each.check)))


@lru_cache(maxsize=1)
def checks() -> tuple[Check, ...]:
    """Every check of the folder, modules by name, within a module in the order it lists them."""
    modules = sorted(found.name for found in pkgutil.iter_modules(__path__))
    loaded = (importlib.import_module(f".{name}", __name__) for name in modules)
    return tuple(check for module in loaded for check in getattr(module, "CHECKS", ()))
