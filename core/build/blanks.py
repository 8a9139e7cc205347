"""Blanks: solid wood sawn larger than it is in the end, so that there is something to plane and to trim."""

from __future__ import annotations

from dataclasses import replace

from ..geometry import vector
from ..piece.shop import SolidOver
from .bench import Bench


def saw_over(bench: Bench, over: SolidOver) -> None:
    """Give solid parts that have no cut size of their own one that leaves room for the plane."""
    if not over.width and not over.length:
        return
    for key, part in bench.parts.items():
        if part.board.material.kind == "solid" and part.cut_size is None:
            long, wide, thick = part.size
            note = f"sawn {over.length:g} over in length and {over.width:g} in width, planed and trimmed to size"
            bench.parts[key] = replace(
                part, cut_size=vector(long + over.length, wide + over.width, thick), notes=(*part.notes, note)
            )
