"""What may stand in a field that holds an id: boards, compartments and schemes of the piece, library entries."""

from __future__ import annotations

from collections.abc import Iterable

import bpy

from .core.fields import Field
from .core.fittings import fitting_entries
from .core.materials import materials

# The declaration of an id does not say what it is the id of; in these fields the name does. How kinds of fitting end:
_KINDS = {
    "hinge": ("hinge",),
    "catch": ("catch",),
    "runner": ("drawer runner",),
    "pair": ("under-mounted runner",),
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
    "bolt": ("door bolt",),
    "lock": ("lock",),
    "door_stay": ("door stay",),
}


def kind_for(field: Field) -> str:
    """What a field may hold the id of: "boards", "materials", "compartments" …; "" for free text."""
    if field.kind != "name" or field.name == "id":
        return ""
    if field.name == "board" or field.name.endswith("_board"):
        return "boards"
    named = {"material": "materials", "parent": "compartments", "closes": "compartments", "shown": "schemes"}
    return named.get(field.name, field.name if field.name in _KINDS else "")


def suggest(kind: str, group: bpy.types.PropertyGroup) -> Iterable[str]:
    """The ids of a kind that the piece of a group, or the library, has."""
    if kind == "materials":
        return [each.id for each in materials()]
    if kind == "pair":  # named without their hands
        return list(dict.fromkeys(each.rsplit("-", 1)[0] for each in _fittings(_KINDS[kind])))
    if kind in _KINDS:
        return _fittings(_KINDS[kind])
    piece = _piece(group)
    rows = {"boards": piece.boards, "compartments": piece.layout, "schemes": piece.finish.schemes}[kind]
    return [each.id for each in rows]


def _piece(group: bpy.types.PropertyGroup) -> bpy.types.PropertyGroup:
    return group.id_data.muntin.piece


def _fittings(endings: tuple[str, ...]) -> list[str]:
    """The ids of the library's fittings of the kinds that end so; all of them if there is none."""
    known = fitting_entries()
    return [each.id for each in known if each.kind.endswith(endings)] or [each.id for each in known]
