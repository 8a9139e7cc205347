"""Telling of what went wrong: the report that can be sent to those who mend it."""

import platform
import sys

import bpy

from .. import document, findings, log, outcome
from ..core import version
from .base import UNDOABLE, OnPiece


class MUNTIN_OT_copy_report(bpy.types.Operator):
    """Copy versions, settings and the log to the clipboard: no names, no sizes, nothing of the client"""

    bl_idname = "muntin.copy_report"
    bl_label = "Copy Report"

    def execute(self, context: bpy.types.Context) -> set[str]:
        """Put it on the clipboard."""
        context.window_manager.clipboard = report(context)
        self.report({"INFO"}, "The report is on the clipboard")
        return {"FINISHED"}


def report(context: bpy.types.Context) -> str:
    """What a person who is to mend a fault needs to know, and nothing about the piece's owner."""
    units = context.scene.unit_settings
    said = [
        f"Muntin {version()}",
        f"Blender {bpy.app.version_string}, {'in the background' if bpy.app.background else 'windowed'}",
        f"Python {sys.version.split()[0]}",
        f"{platform.system()} {platform.machine()}",
        f"units {units.system}, scale {units.scale_length:g}",
    ]
    root = document.active_root(context)
    if root:
        said += _about(root)
    return "\n".join([*said, "", "log:", *(log.lines() or ["empty"])]) + "\n"


def _about(root: bpy.types.Object) -> list[str]:
    """How much there is of what in a piece, in numbers only."""
    model, wrong = document.model(root), document.trouble(root)
    found = findings.known(root) or ()
    return [
        f"piece: {len(model.parts)} parts, {len(model.fittings)} fittings, {len(model.bays)} compartments",
        f"current: {'no, ' + (wrong[0] or 'the whole piece') if wrong else 'yes'}",
        f"findings: {', '.join(sorted({f'{each.severity} {each.check}' for each in found})) or 'none known'}",
    ]


class MUNTIN_OT_open_folder(bpy.types.Operator):
    """Open the folder that the last export was written into"""

    bl_idname = "muntin.open_folder"
    bl_label = "Open Folder"

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether anything was written, and is still there."""
        last = outcome.last()
        if last is None or not last.folder.is_dir():
            cls.poll_message_set("Nothing was written since Blender was started")
            return False
        return True

    def execute(self, context: bpy.types.Context) -> set[str]:
        """Have the system open it."""
        bpy.ops.wm.path_open(filepath=str(outcome.last().folder))
        return {"FINISHED"}


class MUNTIN_OT_offer_materials(OnPiece, bpy.types.Operator):
    """Offer the finishes of the piece in the asset browser, ready to be dragged onto other things"""

    bl_idname = "muntin.offer_materials"
    bl_label = "Offer Finishes as Assets"
    bl_options = UNDOABLE

    def execute(self, context: bpy.types.Context) -> set[str]:
        """Mark every material of the piece."""
        root = document.active_root(context)
        ours = {slot.material for each in root.children_recursive for slot in each.material_slots if slot.material}
        marked = [each for each in ours if document.PIECE in each and not each.library]
        for each in marked:
            each.asset_mark()
            each.asset_data.description = "A finish of a piece of furniture"
            each.asset_data.author = ""
            if "Muntin" not in each.asset_data.tags:
                each.asset_data.tags.new("Muntin")
        self.report({"INFO"}, f"{len(marked)} finishes are offered in the asset browser")
        return {"FINISHED"}


CLASSES = (MUNTIN_OT_copy_report, MUNTIN_OT_open_folder, MUNTIN_OT_offer_materials)
