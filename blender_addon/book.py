"""The pictures of the client book, rendered one after another: shut, open, and every scheme."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Callable, Iterator
from pathlib import Path

import bpy

from . import document, preview

OPEN = {"swing": 100.0, "travel": 250.0}  # degrees and mm


def pictures(root: bpy.types.Object, shot: preview.Shot, tell: Callable[[int, int], None]) -> dict[str, bytes]:
    """The pictures by the names that the book knows; `tell` is given how many of how many are done.

    Raises what `preview.render` raises.
    """
    found: dict[str, bytes] = {}
    wanted = dict(_wanted(root, shot))
    with tempfile.TemporaryDirectory() as folder:
        for number, (name, each) in enumerate(wanted.items()):
            tell(number, len(wanted))
            path = Path(folder) / f"{name}.png"
            preview.render(root, path, each)
            found[name] = path.read_bytes()
    return found


def _wanted(root: bpy.types.Object, shot: preview.Shot) -> Iterator[tuple[str, preview.Shot]]:
    yield "shut", shot
    yield "open", dataclasses.replace(shot, **OPEN)
    finish = document.piece(root).finish
    for scheme in finish.schemes:
        if scheme.id != finish.shown:  # which is in the first two
            yield f"scheme.{scheme.id}", dataclasses.replace(shot, scheme=scheme.id, draft=True)
