"""Muntin's core: parameters of a piece in; exact model, findings, lists and drawings out. Knows nothing of Blender."""

from __future__ import annotations

import re
from pathlib import Path

from .build import build
from .errors import PieceError
from .piece import Piece, dumps, loads, read_piece_file

__all__ = ["Piece", "PieceError", "build", "dumps", "loads", "read_piece_file", "version"]


def version() -> str:
    """The version, from its one source: the extension's manifest, beside core in the zip, one folder over in the repository."""
    here = Path(__file__).resolve().parent.parent
    for manifest in (here / "blender_manifest.toml", here / "blender_addon" / "blender_manifest.toml"):
        if manifest.is_file():
            found = re.search(r'^version = "([^"]+)"', manifest.read_text(encoding="utf-8"), re.MULTILINE)
            if found:
                return found.group(1)
    raise FileNotFoundError("blender_manifest.toml is missing beside core")
