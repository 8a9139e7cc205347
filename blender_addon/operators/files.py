"""Piece files: loading, saving, and starting over from the piece's text."""

from pathlib import Path

import bpy
from bpy.props import StringProperty
from bpy_extras.io_utils import ImportHelper

from .. import document
from ..core.errors import ParameterError
from ..core.exports.files import write_text
from ..core.piece import dumps, read_piece_file
from ..preferences import own_pieces_folder
from .base import UNDOABLE, NamedExport, OnCurrentPiece, OnPiece, reporting


class MUNTIN_OT_load_piece(bpy.types.Operator, ImportHelper):
    """Give the selected piece the parameters of a piece file; without one, add the piece"""

    bl_idname = "muntin.load_piece"
    bl_label = "Load Piece"
    bl_options = UNDOABLE

    filename_ext = ".json"
    filter_glob: StringProperty(default="*.json", options={"HIDDEN"})

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Read the file; nothing changes unless a piece can be built from it."""
        made = read_piece_file(bpy.path.abspath(self.filepath))
        root = document.active_root(context)
        if root is None or document.is_read_only(root):
            root = document.new_piece(context, made)
            root.matrix_world.translation = context.scene.cursor.location
            context.view_layer.objects.active = root
        else:
            document.set_text(root, dumps(made))
        self.report({"INFO"}, f"Loaded {Path(self.filepath).name}")
        return {"FINISHED"}


class MUNTIN_OT_save_piece(OnCurrentPiece, bpy.types.Operator, NamedExport):
    """Save every parameter of the piece in a piece file"""

    bl_idname = "muntin.save_piece"
    bl_label = "Save Piece"

    filename_ext = ".json"
    filter_glob: StringProperty(default="*.json", options={"HIDDEN"})

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Write the canonical text."""
        root = document.active_root(context)
        path = bpy.path.abspath(self.filepath)
        write_text(path, root[document.TEXT])
        self.report({"INFO"}, f"Saved {path}")
        return {"FINISHED"}


class MUNTIN_OT_keep_piece(OnCurrentPiece, bpy.types.Operator):
    """Keep the piece as one of your own that the Add menu offers"""

    bl_idname = "muntin.keep_piece"
    bl_label = "Keep as Own Piece"

    name: StringProperty(name="Name", description="What the menu calls it; a piece of that name is written over")

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Ask for the name."""
        self.name = self.name or document.piece(document.active_root(context)).whole.name
        return context.window_manager.invoke_props_dialog(self)

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """Write the piece file into the folder of own pieces."""
        stem = "".join(each if each.isalnum() or each in "-_ " else "_" for each in self.name).strip()
        if not stem:
            raise ParameterError("", "a piece of your own needs a name")
        path = own_pieces_folder(context) / f"{stem}.json"
        write_text(path, document.active_root(context)[document.TEXT])
        self.report({"INFO"}, f"Kept {path}")
        return {"FINISHED"}


class MUNTIN_OT_refresh(OnPiece, bpy.types.Operator):
    """Make all fields and parts anew from the piece's own text"""

    bl_idname = "muntin.refresh"
    bl_label = "Refresh"
    bl_options = UNDOABLE

    @reporting
    def execute(self, context: bpy.types.Context) -> set[str]:
        """The text wins over the editor and over meshes that were changed by hand."""
        document.refresh(document.active_root(context), afresh=True)
        return {"FINISHED"}


CLASSES = (MUNTIN_OT_load_piece, MUNTIN_OT_save_piece, MUNTIN_OT_keep_piece, MUNTIN_OT_refresh)
