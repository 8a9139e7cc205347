"""What comes out: movement to look at, the findings, the picture, the papers."""

from __future__ import annotations

import bpy

from .. import document, findings, outcome
from .base import CLOSED, OfPiece, prepared, say

NAMED = 5  # files of an export that are named in the panel


class MUNTIN_PT_movement(OfPiece, bpy.types.Panel):
    """Doors on their hinges, drawers on their runners, parts on their way apart."""

    bl_idname = "MUNTIN_PT_movement"
    bl_label = "Movement"
    bl_order = 8

    def draw(self, context: bpy.types.Context) -> None:
        """A slider for each way in which something of the piece moves."""
        root = document.active_root(context)
        layout = prepared(self.layout, root)
        moving = {each.kind for each in document.seen(root).motions} if document.is_built(root) else set()
        for kind in ("swing", "travel"):
            if kind in moving:
                layout.prop(root.muntin, kind, slider=True)
        layout.prop(root.muntin, "apart", slider=True)


class MUNTIN_PT_findings(OfPiece, bpy.types.Panel):
    """What would go wrong, found before it is cut."""

    bl_idname = "MUNTIN_PT_findings"
    bl_label = "Findings"
    bl_order = 9

    def draw(self, context: bpy.types.Context) -> None:
        """Every finding: severity, sentence, what would mend it; a button that selects the parts."""
        root = document.active_root(context)
        found = findings.known(root)
        if found is None:
            self.layout.label(text="Looking")
        elif findings.failed(root):
            say(self.layout, context, findings.failed(root), icon="ERROR", alert=True)
        elif not found:
            self.layout.label(text="Nothing Found")
        for number, each in enumerate(found or (), 1):
            box = self.layout.box()
            head = box.row()
            head.label(text=f"{number}  {each.severity.capitalize()}")
            if each.keys:
                head.operator(
                    "muntin.select_parts", text="", icon="RESTRICT_SELECT_OFF", emboss=False
                ).keys = "\n".join(each.keys)
            say(box, context, document.told(root, each.text))
            if each.remedy:
                say(box, context, document.told(root, each.remedy))


class MUNTIN_PT_papers(OfPiece, bpy.types.Panel):
    """The picture for the client, the pack for the workshop."""

    bl_idname = "MUNTIN_PT_papers"
    bl_label = "Picture and Papers"
    bl_order = 10

    def draw(self, context: bpy.types.Context) -> None:
        """The commands, as a plain list."""
        column = self.layout.column()
        column.operator("muntin.preview", icon="RENDER_STILL")
        column.operator("muntin.set_out_schemes", icon="RENDER_ANIMATION")
        column.operator("muntin.render_schemes", icon="RENDER_RESULT")
        column.operator("muntin.export_schemes", icon="IMAGE_DATA")
        column.operator("muntin.export_client_book", icon="OUTLINER_OB_IMAGE")
        column.operator("muntin.export_workshop_pack", icon="DOCUMENTS")
        column.operator("muntin.export_cutting_list", icon="SPREADSHEET")
        column.operator("muntin.export_model", icon="MESH_DATA")
        last = outcome.last()
        if last:
            box = self.layout.box()
            several = f"{len(last.names)} files" if len(last.names) > 1 else last.names[0]
            say(box, context, f"{last.what}: wrote {several} in {last.seconds:.1f} s")
            for name in last.names[:NAMED] if len(last.names) > 1 else ():
                box.label(text=name, icon="FILE")
            if len(last.names) > NAMED:
                box.label(text=f"and {len(last.names) - NAMED} more")
            box.operator("muntin.open_folder", icon="FILE_FOLDER")


class MUNTIN_PT_own_room(OfPiece, bpy.types.Panel):
    """The client's own room as the backdrop of the picture."""

    bl_idname = "MUNTIN_PT_own_room"
    bl_label = "Own Room"
    bl_parent_id = "MUNTIN_PT_papers"
    bl_options = CLOSED

    def draw(self, context: bpy.types.Context) -> None:
        """The photograph, then what is known of the rectangle in it, then where the piece stands."""
        root = document.active_root(context)
        photo, layout = root.muntin.photograph, prepared(self.layout, root)
        layout.operator("muntin.choose_photograph", icon="FILE_IMAGE")
        if not photo.file:
            say(layout, context, "A photograph of the room, with a rectangle of known size in it: a door leaf will do.")
            return
        layout.prop(photo, "file")
        layout.operator("muntin.mark_rectangle", icon="MESH_PLANE")
        layout.prop(photo, "lies")
        layout.prop(photo, "width")
        layout.prop(photo, "height")
        layout.prop(photo, "above" if photo.lies == "wall" else "behind")
        layout.prop(photo, "along")
        layout.prop(photo, "lens")
        layout.prop(photo, "light")
        command = layout.operator("muntin.preview", text="Render in Own Room", icon="RENDER_STILL")
        command.setting = "photograph"


CLASSES = (MUNTIN_PT_movement, MUNTIN_PT_findings, MUNTIN_PT_papers, MUNTIN_PT_own_room)
