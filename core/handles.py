"""Other handles for a piece, to be looked at beside those it has."""

from __future__ import annotations

from dataclasses import replace

from .errors import ParameterError
from .fittings import fitting_entries
from .piece import Piece

ENDINGS = ("knob", "pull")  # what kinds of fittings that are handles end with
APART = "+"  # between the handle of doors and that of drawers


def handle_ids() -> tuple[str, ...]:
    """The ids of all handles of the library."""
    return tuple(each.id for each in fitting_entries() if each.kind.endswith(ENDINGS))


def choices(words: str) -> tuple[str, ...]:
    """The choices in a line, parted by commas, none twice: "knob-34, knob-34+pull-160".

    Raises ParameterError for one that the library has not.
    """
    found = dict.fromkeys("".join(each.split()) for each in words.split(",") if each.strip())
    for each in found:
        _handles(each)
    return tuple(found)


def with_handles(piece: Piece, choice: str) -> Piece:
    """The piece with other handles on every front that has one: one id for all, or that of doors, a plus, that of drawers."""
    of_doors, of_drawers = _handles(choice)
    return replace(
        piece,
        fronts=tuple(
            replace(each, handle=of_drawers if each.kind == "drawer" else of_doors) if each.handle else each
            for each in piece.fronts
        ),
    )


def _handles(choice: str) -> tuple[str, str]:
    of_doors, _, of_drawers = choice.partition(APART)
    for each in filter(None, (of_doors, of_drawers)):
        if each not in handle_ids():
            raise ParameterError("handles", f'there is no handle "{each}"; the library has {", ".join(handle_ids())}')
    if not of_doors:
        raise ParameterError(
            "handles", f'"{choice}" names no handle for doors; give one id, or two with a plus between'
        )
    return of_doors, of_drawers or of_doors
