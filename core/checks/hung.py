"""What several checks read of doors: their sizes and masses, their hinges, the paint on them."""

from __future__ import annotations

from collections.abc import Iterator

from ..model import Model, Motion
from ..piece import Piece
from .study import bought, kind_of, study

FILM = 0.15  # mm of paint on a face, two undercoats and two top coats: 0.10 to 0.15; common practice, no source
FILM_COATS = 2  # the top coats that `FILM` counts
CLEAR_AFTER_PAINT = 1.0  # mm that must be left to see and to move; common practice, no source


def film_of(piece: Piece) -> float:
    """The paint film on one face of a front, mm; nothing where it is not painted."""
    coat = piece.finish.scheme().coat("fronts")
    return FILM * (FILM_COATS + coat.coats) / (2 * FILM_COATS) if coat.coating == "paint" else 0.0


def doors(model: Model) -> Iterator[tuple[Motion, float, float, float]]:
    """Each door: its motion, width, height and mass, its knob included."""
    seen = study(model)
    for motion in model.motions:
        box = seen.front_box(motion)
        if motion.kind == "swing" and box is not None:
            width, _, height = (float(size) for size in box[1] - box[0])
            yield motion, width, height, seen.weight(motion.moves).mass


def hinges(model: Model, motion: Motion) -> list[tuple[str, float]]:
    """The kind and height of each hinge of a door."""
    moved = set(motion.moves)
    return [
        (kind_of(each), each.place.origin[2])
        for each in bought(model)
        if moved & set(each.parts) and kind_of(each).endswith("hinge")
    ]


__all__ = ["CLEAR_AFTER_PAINT", "doors", "film_of", "hinges"]
