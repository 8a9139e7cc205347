"""The lines of lists: what is written on each."""

from __future__ import annotations

import bpy

from ..editor import choice_label


class MUNTIN_UL_rows(bpy.types.UIList):
    """The lines of a list of parameters."""

    def draw_item(self, context, layout, data, item, icon, active_data, active_property, index=0) -> None:
        """One line."""
        layout.label(text=line_text(item) or "Not Named")


def line_text(row: bpy.types.PropertyGroup) -> str:
    """What tells a line from its neighbours: a name, an id, a style, the thing it is about."""
    names = row.bl_rna.properties.keys()
    if "style" in names:
        return choice_label(row, "style")
    if "parent" in names:
        return "    " * _depth(row) + row.id
    if "group" in names:
        return choice_label(row, "group")
    if "what" in names:
        return row.what
    if "kind" in names:
        return f"{row.id}: {choice_label(row, 'kind')}"
    if "material" in names:
        return row.id
    return row.name or row.id


def _depth(compartment: bpy.types.PropertyGroup) -> int:
    """How many compartments a compartment lies within."""
    parents = {each.id: each.parent for each in compartment.id_data.muntin.piece.layout}
    depth, above = 0, compartment.parent
    while above and depth < len(parents):
        depth, above = depth + 1, parents.get(above, "")
    return depth


CLASSES = (MUNTIN_UL_rows,)
