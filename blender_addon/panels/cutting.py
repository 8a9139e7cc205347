"""The cutting plan, and what of the piece is made already."""

from __future__ import annotations

import bpy

from .. import document, made, plans, stages
from ..core.revisions.saving import TICKS
from .base import CLOSED, OfPiece, say


class MUNTIN_PT_cutting_plan(OfPiece, bpy.types.Panel):
    """What the piece is cut from: so many sheets, what is left of them, what they cost."""

    bl_idname = "MUNTIN_PT_cutting_plan"
    bl_label = "Cutting Plan"
    bl_parent_id = "MUNTIN_PT_site"
    bl_options = CLOSED

    def draw(self, context: bpy.types.Context) -> None:
        """The commands, then the last plan with what is wrong with it."""
        root, layout = document.active_root(context), self.layout
        column = layout.column(align=True)
        column.operator("muntin.plan_cuts", icon="MOD_EDGESPLIT")
        column.operator("muntin.export_cutting_plan", icon="DOCUMENTS")
        going, planned = stages.going(), plans.last(root)
        if going:
            esc = "takes the best so far" if going.has_best_so_far else "stops it"
            say(layout, context, f"{going.what}: {going.words or 'begun'}; Esc {esc}", icon="SORTTIME")
            return
        if stages.trouble():
            say(layout, context, stages.trouble(), icon="ERROR", alert=True)
        if planned is None:
            return
        if not plans.is_current(root):
            say(layout, context, "Changed since it was planned: plan again", icon="ERROR", alert=True)
        if planned.job.stamp:
            say(layout, context, planned.job.stamp, icon="ERROR", alert=True)
        for each in planned.notes:
            say(layout, context, each)
        for each in planned.lines:
            box = layout.box()
            say(box, context, f"{each.name}: {each.result}")
            rest = [each.cost, each.offcut and f"largest offcut {each.offcut}"]
            if any(rest):
                say(box, context, "; ".join(filter(None, rest)))


class MUNTIN_PT_made(OfPiece, bpy.types.Panel):
    """Which parts are cut, machined, glued, painted."""

    bl_idname = "MUNTIN_PT_made"
    bl_label = "Made So Far"
    bl_parent_id = "MUNTIN_PT_site"
    bl_options = CLOSED

    def draw(self, context: bpy.types.Context) -> None:
        """The saved state, then its marks with their ticks."""
        root, layout = document.active_root(context), self.layout
        layout.enabled = not document.is_read_only(root)
        layout.operator("muntin.save_state", icon="BOOKMARKS")
        there = made.state(root)
        if there is None:
            say(layout, context, "Save the state once you begin to cut; its parts can then be ticked off.")
            return
        if not made.is_as_saved(root):
            words = f"Changed since revision {there.letter} was saved; the ticks are about that one"
            say(layout, context, words, icon="INFO")
        layout.row().prop(context.scene.muntin, "tick", expand=True)
        at = TICKS.index(context.scene.muntin.tick)
        column = layout.column(align=True)
        for each in made.marked(root):
            row, ticked = column.split(factor=0.7, align=True), each.ticks[at]
            row.label(text=f"{each.mark}  {each.name}")
            icon = "CHECKBOX_HLT" if ticked == each.quantity else "CHECKBOX_DEHLT"
            command = row.operator("muntin.tick_off", text=f"{ticked} of {each.quantity}", icon=icon)
            command.mark, command.tick = each.mark, context.scene.muntin.tick
        layout.operator("muntin.export_revision", icon="EXPORT")


CLASSES = (MUNTIN_PT_cutting_plan, MUNTIN_PT_made)
