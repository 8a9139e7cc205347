"""The pictures of the client book, rendered one after another: shut, open where it opens, and every scheme."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import bpy

from . import document, preview

OPEN = {"swing": 100.0, "travel": 250.0}  # degrees and mm


def pictures(
    roots: Sequence[bpy.types.Object], shot: preview.Shot, tell: Callable[[int, int], None] = lambda done, of: None
) -> dict[str, bytes]:
    """The pictures by the names that the book knows; `tell` is given how many of how many are done.

    Raises what `preview.render` raises.
    """
    found: dict[str, bytes] = {}
    wanted = [(root, name, each) for root in roots for name, each in _wanted(root, shot)]
    with tempfile.TemporaryDirectory(prefix="muntin-") as folder:
        path = Path(folder) / "picture.png"
        for number, (root, name, each) in enumerate(wanted):
            tell(number, len(wanted))
            preview.render(root, path, each)
            found[f"{document.piece(root).id}/{name}" if len(roots) > 1 else name] = path.read_bytes()
    return found


def _wanted(root: bpy.types.Object, shot: preview.Shot) -> Iterator[tuple[str, preview.Shot]]:
    yield "shut", shot
    if document.model(root).motions:
        yield "open", dataclasses.replace(shot, **OPEN)
    finish = document.piece(root).finish
    for scheme in finish.schemes:
        if scheme.id != finish.shown:  # which is in the first two
            yield f"scheme.{scheme.id}", dataclasses.replace(shot, scheme=scheme.id, draft=True)
