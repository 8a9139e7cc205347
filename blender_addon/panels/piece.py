"""The parameters of the piece, panel by panel."""

from __future__ import annotations

from collections.abc import Collection

import bpy

from .. import document
from ..core.fields import Field, fields_of
from ..core.piece import Piece
from ..core.units import shown_length
from ..editor import choice_label
from ..lengths import are_inches
from ..wording import title
from .base import CLOSED, OfPiece, prepared, say
from .fields import Sheet

FIELDS = {field.name: field for field in fields_of(Piece)}


class MUNTIN_PT_piece(OfPiece, bpy.types.Panel):
    """Which piece it is, and whether what is seen is what the fields say."""

    bl_idname = "MUNTIN_PT_piece"
    bl_label = "Piece"
    bl_order = 0

    def draw(self, context: bpy.types.Context) -> None:
        """The piece's name and state."""
        root = document.active_root(context)
        layout, piece, wrong = self.layout, document.piece(root), document.trouble(root)
        layout.label(text=piece.whole.name or root.name, icon="MESH_CUBE")
        if document.is_read_only(root):
            linked = (root.library or root.override_library.reference.library).filepath
            say(layout, context, f"Linked from {linked}: it can only be read here", icon="LIBRARY_DATA_DIRECT")
            return
        if wrong:
            say(layout, context, f"Not current: {document.trouble_words(root)}", icon="ERROR", alert=True)
            if wrong[1].startswith("an error of ours"):
                layout.operator("muntin.copy_report", icon="COPYDOWN")
        else:
            say(layout, context, sizes_words(context, document.model(root).overall))
        row = layout.row(align=True)
        row.operator("muntin.load_piece", text="Load", icon="IMPORT")
        row.operator("muntin.save_piece", text="Save", icon="EXPORT")
        row.operator("muntin.keep_piece", text="", icon="PRESET_NEW")
        row.operator("muntin.refresh", text="", icon="FILE_REFRESH")
        shown, row = context.scene.muntin, layout.row(align=True)
        for name in ("dimensions", "findings", "grips"):
            row.prop(shown, name, toggle=True)
        units, row = context.scene.unit_settings, layout.row(align=True)  # Blender's own: metres until they are chosen
        row.prop(units, "system", text="")
        row.prop(units, "length_unit", text="")


class OfParameters(OfPiece):
    """A panel of parameters; `shows` names groups of the piece, drawn open, one under another."""

    shows: tuple[str, ...] = ()
    leave_out: Collection[str] = ()

    def draw(self, context: bpy.types.Context) -> None:
        """The groups."""
        root = document.active_root(context)
        sheet, group = sheet_of(context, root), root.muntin.piece
        layout = prepared(self.layout, root)
        for name in self.shows:
            self.draw_shown(layout, sheet, group, FIELDS[name])

    def draw_shown(
        self, layout: bpy.types.UILayout, sheet: Sheet, group: bpy.types.PropertyGroup, field: Field
    ) -> None:
        """One of the groups: its parameters without a heading, a list without one either."""
        if field.kind == "group":
            sheet.draw_group(layout, getattr(group, field.name), field.of, field.name, self.leave_out)
        elif field.kind == "items":
            sheet.draw_list(layout, group, field, field.name, heading=False)
        else:
            sheet.draw_field(layout, group, field, field.name)


class MUNTIN_PT_whole(OfParameters, bpy.types.Panel):
    """Name and overall size, what it stands on and what closes it above."""

    bl_idname = "MUNTIN_PT_whole"
    bl_label = "Whole"
    bl_order = 1
    shows = ("whole", "support", "top")


class MUNTIN_PT_boards(OfParameters, bpy.types.Panel):
    """What it is made from, as thick as it is measured."""

    bl_idname = "MUNTIN_PT_boards"
    bl_label = "Boards"
    bl_parent_id = "MUNTIN_PT_whole"
    bl_options = CLOSED
    shows = ("boards",)


class MUNTIN_PT_record(OfParameters, bpy.types.Panel):
    """Client, maker, revision and release state."""

    bl_idname = "MUNTIN_PT_record"
    bl_label = "Record"
    bl_parent_id = "MUNTIN_PT_whole"
    bl_options = CLOSED
    shows = ("record",)


class MUNTIN_PT_layout(OfParameters, bpy.types.Panel):
    """The carcass divided into compartments."""

    bl_idname = "MUNTIN_PT_layout"
    bl_label = "Layout"
    bl_options = CLOSED
    bl_order = 2

    def draw(self, context: bpy.types.Context) -> None:
        """What can be done to a compartment, the tree of them, and the chosen one without its contents."""
        root = document.active_root(context)
        sheet, group, layout = sheet_of(context, root), root.muntin.piece, prepared(self.layout, root)
        field, index = FIELDS["layout"], group.at_layout
        draw_commands(layout, context)
        sheet.draw_rows(layout, group, field, "layout")
        if index < len(group.layout):
            sheet.draw_row(layout, field, group.layout[index], f"layout[{index}]", leave_out=("holds",))


class MUNTIN_PT_carcass(OfParameters, bpy.types.Panel):
    """How the carcass goes together, and what squares and stiffens it."""

    bl_idname = "MUNTIN_PT_carcass"
    bl_label = "Joints and Back"
    bl_options = CLOSED
    bl_order = 3
    shows = ("carcass",)


NOT_FOR = {  # by kind of front: the parameters that mean nothing to it
    "door": ("drawer", "meeting_stiles"),
    "pair": ("drawer",),
    "drawer": ("hanging", "stop", "meeting_stiles"),
    "fixed": ("hanging", "stop", "meeting_stiles", "drawer", "handle", "handles"),
}


class MUNTIN_PT_fronts(OfParameters, bpy.types.Panel):
    """Doors and drawers."""

    bl_idname = "MUNTIN_PT_fronts"
    bl_label = "Fronts"
    bl_options = CLOSED
    bl_order = 4

    def draw(self, context: bpy.types.Context) -> None:
        """The list of fronts, and of the chosen one what applies to its kind."""
        root = document.active_root(context)
        sheet, group, layout = sheet_of(context, root), root.muntin.piece, prepared(self.layout, root)
        field, index = FIELDS["fronts"], group.at_fronts
        sheet.draw_rows(layout, group, field, "fronts")
        if index < len(group.fronts):
            kind = group.fronts[index].kind
            sheet.draw_row(layout, field, group.fronts[index], f"fronts[{index}]", leave_out=NOT_FOR[kind])


class MUNTIN_PT_inside(OfPiece, bpy.types.Panel):
    """What each compartment holds."""

    bl_idname = "MUNTIN_PT_inside"
    bl_label = "Inside"
    bl_options = CLOSED
    bl_order = 5

    def draw(self, context: bpy.types.Context) -> None:
        """The contents of every undivided compartment."""
        root = document.active_root(context)
        sheet, group, layout = sheet_of(context, root), root.muntin.piece, prepared(self.layout, root)
        holds = next(field for field in fields_of(FIELDS["layout"].of) if field.name == "holds")
        drawers = {each.value for front in group.fronts if front.kind == "drawer" for each in front.closes}
        for index, each in enumerate(group.layout):
            if each.divided == "none":
                path = f"layout[{index}].holds"
                held = ", ".join(choice_label(inner, "style") for inner in each.holds)
                held = held or ("Drawer" if each.id in drawers else "Empty")
                body = sheet.under_heading(layout, f"{title(each.id)}: {held}", path)
                if body:
                    sheet.draw_list(body, each, holds, path, heading=False)


class MUNTIN_PT_finish(OfParameters, bpy.types.Panel):
    """Colours and coatings, in as many schemes as are under discussion."""

    bl_idname = "MUNTIN_PT_finish"
    bl_label = "Finish"
    bl_options = CLOSED
    bl_order = 6
    shows = ("finish",)

    def draw(self, context: bpy.types.Context) -> None:
        """The schemes, and offering them to other files."""
        OfParameters.draw(self, context)
        self.layout.operator("muntin.offer_materials", icon="ASSET_MANAGER")


class MUNTIN_PT_site(OfParameters, bpy.types.Panel):
    """Where it will stand and how it gets there."""

    bl_idname = "MUNTIN_PT_site"
    bl_label = "Site and Workshop"
    bl_options = CLOSED
    bl_order = 7
    shows = ("site",)


class MUNTIN_PT_workshop(OfParameters, bpy.types.Panel):
    """What the workshop can set, lift and print."""

    bl_idname = "MUNTIN_PT_workshop"
    bl_label = "Workshop"
    bl_parent_id = "MUNTIN_PT_site"
    bl_options = CLOSED
    shows = ("shop",)


class MUNTIN_PT_measured(OfParameters, bpy.types.Panel):
    """Sizes read on the bench, which stand above those designed."""

    bl_idname = "MUNTIN_PT_measured"
    bl_label = "Measured Values"
    bl_parent_id = "MUNTIN_PT_site"
    bl_options = CLOSED
    shows = ("measured",)


def draw_commands(layout: bpy.types.UILayout, context: bpy.types.Context) -> None:
    """Picking a compartment, and what can be done to the one that is picked."""
    row = layout.row(align=True)
    row.operator("muntin.pick_compartment", icon="EYEDROPPER")
    row.prop(context.scene.muntin, "compartment", text="", icon="OVERLAY")
    column = layout.column(align=True)
    for pair in (("add_upright", "add_fixed_shelf"), ("fit_doors", "fit_drawers"), ("fit_shelves", "fit_rail")):
        row = column.row(align=True)
        for name in pair:
            row.operator(f"muntin.{name}")
    column.operator("muntin.take_out")


def sizes_words(context: bpy.types.Context, overall: tuple[float, float, float]) -> str:
    """Width, depth and height in a sentence, in the scene's units."""
    if are_inches(context.scene):
        width, depth, height = map(shown_length, overall)
        return f"{width} wide, {depth} deep, {height} high"
    width, depth, height = overall
    return f"{width:g} wide, {depth:g} deep, {height:g} high, mm"


def sheet_of(context: bpy.types.Context, root: bpy.types.Object) -> Sheet:
    """What drawing a piece's fields needs to know."""
    path, reason = document.trouble(root) or ("", "")
    return Sheet(context, document.located(document.piece(root), path) if path else "", reason)


CLASSES = (
    MUNTIN_PT_piece,
    MUNTIN_PT_whole,
    MUNTIN_PT_boards,
    MUNTIN_PT_record,
    MUNTIN_PT_layout,
    MUNTIN_PT_carcass,
    MUNTIN_PT_fronts,
    MUNTIN_PT_inside,
    MUNTIN_PT_finish,
    MUNTIN_PT_site,
    MUNTIN_PT_workshop,
    MUNTIN_PT_measured,
)
