"""The pictures of the client book, rendered one after another: shut, open where it opens, and every scheme."""

from __future__ import annotations

import dataclasses
import tempfile
from collections.abc import Iterator, Sequence
from pathlib import Path

import bpy

from . import document, preview
from .core.errors import ParameterError
from .core.stages import Stages

OPEN = {"swing": 100.0, "travel": 250.0}  # degrees and mm


def picturing(roots: Sequence[bpy.types.Object], shot: preview.Shot) -> Stages[dict[str, bytes]]:
    """Render picture after picture, telling which comes next; all of them by the names that the book knows.

    Raises what `preview.render` raises, and ParameterError for a piece that was changed meanwhile.
    """
    found: dict[str, bytes] = {}
    wanted = [(root.name, name, each) for root in roots for name, each in _wanted(root, shot)]
    texts = {root.name: root[document.TEXT] for root in roots}
    with tempfile.TemporaryDirectory(prefix="muntin-") as folder:
        path = Path(folder) / "picture.png"
        for number, (own, name, each) in enumerate(wanted, 1):
            yield f"picture {number} of {len(wanted)}"
            root = bpy.data.objects.get(own)
            if root is None or root.get(document.TEXT) != texts[own]:
                raise ParameterError("", f"{own} was changed while its pictures were rendered; export the book again")
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
