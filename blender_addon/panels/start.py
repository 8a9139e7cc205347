"""Where a piece begins: the starter pieces, and the tab while there is no piece."""

from __future__ import annotations

import bpy

from .. import document
from ..core.starters import starter_kinds
from ..preferences import own_pieces
from ..wording import title
from .base import InTab, say


class MUNTIN_MT_starters(bpy.types.Menu):
    """Starter pieces, each a complete piece whose parameters are to be changed."""

    bl_idname = "MUNTIN_MT_starters"
    bl_label = "Muntin Piece"

    def draw(self, context: bpy.types.Context) -> None:
        """One entry for each kind of piece, then piece files."""
        draw_starters(self.layout, context)


class MUNTIN_PT_start(InTab, bpy.types.Panel):
    """The tab before there is a piece."""

    bl_idname = "MUNTIN_PT_start"
    bl_label = "New Piece"

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether no piece is selected."""
        return document.active_root(context) is None

    def draw(self, context: bpy.types.Context) -> None:
        """What to do, and the starter pieces."""
        some = any(document.is_root(each) for each in context.scene.objects)
        words = (
            "Select a part of a piece to change the piece, or add another"
            if some
            else "Choose a piece to begin with; everything about it can be changed"
        )
        say(self.layout, context, words)
        draw_starters(self.layout.column(align=True), context)


def draw_starters(layout: bpy.types.UILayout, context: bpy.types.Context) -> None:
    """A line for each starter piece, each piece of the maker's own, and one for a piece file."""
    for kind in starter_kinds():
        layout.operator("muntin.add_piece", text=title(kind), icon="MESH_CUBE").kind = kind
    own = own_pieces(context)
    if own:
        layout.separator()
    for path in own:
        layout.operator("muntin.add_piece", text=path.stem, icon="FILE").filepath = str(path)
    layout.separator()
    layout.operator("muntin.load_piece", text="Open Piece File", icon="FILE_FOLDER")


CLASSES = (MUNTIN_MT_starters, MUNTIN_PT_start)
