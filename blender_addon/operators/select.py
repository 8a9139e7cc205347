"""Selecting the parts that a finding is about."""

import bpy
from bpy.props import StringProperty

from .. import document, scene
from .base import UNDOABLE, OnPiece


class MUNTIN_OT_select_parts(OnPiece, bpy.types.Operator):
    """Select these parts"""

    bl_idname = "muntin.select_parts"
    bl_label = "Select Parts"
    bl_options = UNDOABLE

    keys: StringProperty(name="Keys", description="Keys of parts and fittings, one to a line", options={"SKIP_SAVE"})

    def execute(self, context: bpy.types.Context) -> set[str]:
        """Select them and nothing else; the first becomes active."""
        there = scene.own_objects(document.active_root(context))
        shown = [
            there[key]
            for key in self.keys.split("\n")
            if key in there and there[key].name in context.view_layer.objects
        ]
        if not shown:
            self.report({"WARNING"}, "None of these parts is in view")
            return {"CANCELLED"}
        for each in context.selected_objects:
            each.select_set(False)
        for each in shown:
            each.hide_set(False)
            each.select_set(True)
        context.view_layer.objects.active = shown[0]
        return {"FINISHED"}


CLASSES = (MUNTIN_OT_select_parts,)
