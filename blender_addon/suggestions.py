"""What may stand in a field that holds an id: boards, compartments and schemes of the piece, library entries."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import bpy

from .core.fields import Field
from .core.fittings import fitting_entries
from .core.materials import materials

Search = Callable[[bpy.types.PropertyGroup, bpy.types.Context, str], Iterable[str]]

# The declaration of an id does not say what it is the id of; in these fields the name does. How kinds of fitting end:
_KINDS = {
    "hinge": ("hinge",),
    "catch": ("catch",),
    "runner": ("runner",),
    "handle": ("knob", "pull"),
    "glide": ("glide", "foot", "castor"),
    "tube": ("hanging rail",),
    "socket_closed": ("socket",),
    "socket_open": ("socket",),
    "pin": ("pin",),
    "hook": ("coat hook",),
    "bracket": ("rail bracket",),
    "grommet": ("grommet",),
    "stay": ("lid stay",),
}


def search_for(field: Field) -> Search | None:
    """The function that lists what a field may hold, as a string property wants it; None for free text."""
    if field.kind != "name" or field.name == "id":
        return None
    if field.name == "board" or field.name.endswith("_board"):
        return lambda group, context, typed: (each.id for each in _piece(group).boards)
    if field.name == "material":
        return lambda group, context, typed: (each.id for each in materials())
    if field.name in ("parent", "closes"):
        return lambda group, context, typed: (each.id for each in _piece(group).layout)
    if field.name == "shown":
        return lambda group, context, typed: (each.id for each in _piece(group).finish.schemes)
    if field.name in _KINDS:
        return lambda group, context, typed: _fittings(_KINDS[field.name])
    return None


def _piece(group: bpy.types.PropertyGroup) -> bpy.types.PropertyGroup:
    return group.id_data.muntin.piece


def _fittings(endings: tuple[str, ...]) -> list[str]:
    """The ids of the library's fittings of the kinds that end so; all of them if there is none."""
    known = fitting_entries()
    return [each.id for each in known if each.kind.endswith(endings)] or [each.id for each in known]
