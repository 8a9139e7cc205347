"""What shelves, hanging rails and drawers are reckoned to carry."""

from __future__ import annotations

from collections.abc import Iterator

from ..model import Model, Part
from ..piece import Piece

SHELF_LOAD = 65.0  # kg/m²; EN 14749, from memory, unverified
BOOK_LOAD = 100.0  # kg/m²; the same for books
BOOK_KINDS = ("bookcase", "desk_pedestal", "media_cabinet")
RAIL_LOAD = 40.0  # kg to a metre of rail; EN 14749, from memory, unverified
DRAWER_PRESSURE = 718.0  # Pa on a drawer's bottom; ANSI/KCMA A161.1 as quoted, read


def shelf_load(piece: Piece) -> float:
    """What a shelf of this piece is meant to hold, kg/m²."""
    return BOOK_LOAD if piece.whole.kind.replace("-", "_") in BOOK_KINDS else SHELF_LOAD


def loose_shelf_loads(piece: Piece, model: Model) -> Iterator[tuple[Part, float]]:
    """Each loose shelf and what it is reckoned to carry, kg."""
    for part in model.parts:
        if part.role == "loose shelf":
            span, depth, _ = part.size
            yield part, shelf_load(piece) * span * depth / 1e6
