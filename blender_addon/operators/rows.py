"""Adding, removing and moving the lines of the piece's lists."""

import bpy
from bpy.props import IntProperty, StringProperty

from .. import document, editor
from ..core.fields import Field
from ..core.piece import Piece
from ..core.piece.finish import Scheme
from .base import UNDOABLE, OnPiece

LASTING = ("layout", "fronts")  # lists whose ids are never given to another line


class OnRows(OnPiece):
    """A command on one of the piece's lists."""

    path: StringProperty(name="List", description="Path of the list in the piece", options={"SKIP_SAVE"})

    def change(self, group: bpy.types.PropertyGroup, field: Field, root: bpy.types.Object) -> None:
        """What the command does to the list that `group` has."""
        raise NotImplementedError

    def execute(self, context: bpy.types.Context) -> set[str]:
        """Change the list in one edit."""
        root = document.active_root(context)
        try:
            group, field = editor.reach(root.muntin.piece, Piece, self.path)
        except KeyError:
            self.report({"ERROR"}, f"the piece has no list {self.path}")
            return {"CANCELLED"}
        with document.edit(root):
            self.change(group, field, root)
        return {"FINISHED"}


class MUNTIN_OT_add_row(OnRows, bpy.types.Operator):
    """Add a line to the list"""

    bl_idname = "muntin.add_row"
    bl_label = "Add Line"
    bl_options = UNDOABLE

    path: StringProperty(options={"SKIP_SAVE"})

    def change(self, group: bpy.types.PropertyGroup, field: Field, root: bpy.types.Object) -> None:
        """A line with core's defaults, an id of its own, and where it belongs as far as that can be told."""
        chosen = getattr(group, editor.at_name(field))
        row = editor.add_row(group, field, document.scale_of(root))
        rows = list(getattr(group, field.name))
        if "id" in row.bl_rna.properties:
            given_up = {each.value for each in root.muntin.piece.retired} if field.name in LASTING else set()
            row.id = _free_id(row.id, {each.id for each in rows[:-1]} | given_up)
        if field.name == "layout":
            _place_compartment(row, rows, chosen)
        if field.name == "fronts":
            _close_something(row, group)
        if field.name == "schemes" and 0 <= chosen < len(rows) - 1:
            _take_finishes(row, rows[chosen], document.scale_of(root))


class MUNTIN_OT_remove_row(OnRows, bpy.types.Operator):
    """Remove the line from the list"""

    bl_idname = "muntin.remove_row"
    bl_label = "Remove Line"
    bl_options = UNDOABLE

    path: StringProperty(options={"SKIP_SAVE"})
    index: IntProperty(options={"SKIP_SAVE"})

    def change(self, group: bpy.types.PropertyGroup, field: Field, root: bpy.types.Object) -> None:
        """Take the line out; the one above is chosen."""
        rows = getattr(group, field.name)
        if 0 <= self.index < len(rows):
            if field.name in LASTING:
                root.muntin.piece.retired.add().value = rows[self.index].id
            rows.remove(self.index)
            setattr(group, editor.at_name(field), max(0, min(self.index, len(rows) - 1)))


class MUNTIN_OT_move_row(OnRows, bpy.types.Operator):
    """Move the line up or down in the list"""

    bl_idname = "muntin.move_row"
    bl_label = "Move Line"
    bl_options = UNDOABLE

    path: StringProperty(options={"SKIP_SAVE"})
    index: IntProperty(options={"SKIP_SAVE"})
    step: IntProperty(default=1, options={"SKIP_SAVE"})

    def change(self, group: bpy.types.PropertyGroup, field: Field, root: bpy.types.Object) -> None:
        """Change places with the neighbour, if there is one."""
        rows, to = getattr(group, field.name), self.index + self.step
        if 0 <= self.index < len(rows) and 0 <= to < len(rows):
            rows.move(self.index, to)
            setattr(group, editor.at_name(field), to)


def _free_id(wanted: str, taken: set[str]) -> str:
    names = (f"{wanted}-{number}" if number > 1 else wanted for number in range(1, len(taken) + 2))
    return next(name for name in names if name and name not in taken)


def _place_compartment(row: bpy.types.PropertyGroup, rows: list, chosen: int) -> None:
    """A new compartment goes into the chosen one if that is divided, else beside it."""
    if not 0 <= chosen < len(rows) - 1:
        return
    beside = rows[chosen]
    row.parent = beside.id if beside.divided != "none" else beside.parent
    row.order = 1 + max((each.order for each in rows[:-1] if each.parent == row.parent), default=-1)


def _close_something(row: bpy.types.PropertyGroup, piece: bpy.types.PropertyGroup) -> None:
    """A new front closes the first undivided compartment that no other front names."""
    closed = {each.value for front in piece.fronts for each in front.closes}
    free = [each.id for each in piece.layout if each.divided == "none" and each.id not in closed]
    if free:
        row.closes.add().value = free[0]


def _take_finishes(row: bpy.types.PropertyGroup, chosen: bpy.types.PropertyGroup, scale: float) -> None:
    """A new scheme begins with the finishes of the chosen one: most differ from it in one colour."""
    finishes = editor.plain_from(chosen, Scheme, None, scale)["coats"]
    editor.fill(row, Scheme, {"id": row.id, "name": row.name, "coats": finishes}, scale)


CLASSES = (MUNTIN_OT_add_row, MUNTIN_OT_remove_row, MUNTIN_OT_move_row)
