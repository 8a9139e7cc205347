"""Which parameters mean nothing beside the values of others, and are not drawn."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

import bpy

from ..core.piece.fronts import Drawer
from ..core.piece.layout import Compartment
from ..core.piece.site import Pipe

Group = bpy.types.PropertyGroup


def without_meaning(cls: type, group: Group) -> set[str]:
    """The names of the parameters of a group that its other values leave without meaning."""
    named = _BY_CLASS.get(cls)
    return set(named(group)) if named else set()


def _of_drawer(group: Group) -> Iterator[str]:
    if group.runs_on.style != "side_mounted":
        yield "runner"
    if group.runs_on.style == "under_mounted":
        yield "groove_up"
    if not group.behind_door:
        yield "pack_board"


def _of_compartment(group: Group) -> Iterator[str]:
    if not group.parent:  # the whole carcass
        yield from ("order", "size")
    if group.divided == "none":
        yield "between"
    if group.divided != "rows":
        yield "heights"
    for name in ("ratio", "step"):
        if group.divided != "rows" or group.heights != name:
            yield name


def _of_pipe(group: Group) -> Iterator[str]:
    if group.runs == "along":
        yield "across"
    if group.runs == "out":
        yield "meets"


_BY_CLASS: Mapping[type, Callable[[Group], Iterator[str]]] = {
    Drawer: _of_drawer,
    Compartment: _of_compartment,
    Pipe: _of_pipe,
}
