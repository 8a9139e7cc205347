"""The names of colours: what client and painter go by."""

from __future__ import annotations

from collections.abc import Iterator

from ..model import Model
from ..piece import Piece
from ..piece.finish import GROUPS
from ..wording import listed
from .finding import Finding

PAINT = "paint"


def one_name_one_colour(piece: Piece, model: Model) -> Iterator[Finding]:
    """One name of a paint stands for one colour in all schemes: client book, quotation and buying list go by the name."""
    there = {part.finish for part in model.parts} | {each.finish for each in model.fittings}
    named: dict[str, dict[str, dict[str, None]]] = {}
    for scheme in piece.finish.schemes:
        for group in (each for each in GROUPS if each in there):
            coat = scheme.coat(group)
            if coat.coating == PAINT and coat.name:
                named.setdefault(coat.name, {}).setdefault(coat.colour.lower(), {})[GROUPS[group].lower()] = None
    for name, colours in named.items():
        if len(colours) > 1:
            told = listed([f"{colour} ({listed(list(groups))})" for colour, groups in colours.items()])
            yield Finding(
                check="name of a colour",
                severity="warn",
                value=len(colours),
                limit=1,
                unit="colours",
                text=f"The colour name “{name}” stands for {len(colours)} colours: {told}; one name is for 1.",
                remedy="Give each colour a name of its own, for client and paint shop go by it.",
            )


CHECKS = (one_name_one_colour,)
