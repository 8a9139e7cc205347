"""What the docstrings of core show by example is what happens."""

from __future__ import annotations

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
WITH_EXAMPLES = [
    ".".join(path.relative_to(ROOT).with_suffix("").parts)
    for path in sorted((ROOT / "core").rglob("*.py"))
    if ">>> " in path.read_text(encoding="utf-8")
]


@pytest.mark.parametrize("name", WITH_EXAMPLES)
def test_examples_in_docstrings_are_true(name: str) -> None:
    """Every example of a module is run, and shows what it says."""
    result = doctest.testmod(importlib.import_module(name.removesuffix(".__init__")))
    assert result.failed == 0 < result.attempted
