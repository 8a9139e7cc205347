"""Any group of declared parameters drawn as rows, lists and headings; knows kinds of field, not the furniture."""

from __future__ import annotations

import dataclasses
from collections.abc import Collection
from dataclasses import dataclass

import bpy

from ..core.fields import Field, fields_of
from ..editor import at_name, inner_class, inner_group, words_name
from ..lengths import are_inches
from ..wording import title
from .base import say
from .meaning import without_meaning

FITS_BESIDE = (
    13  # letters of a label that are seen beside a value in a sidebar of Blender's own width; longer ones go above it
)

# of the width of a heading: its label at least; beside that, and for each of its letters; to the eye
LEAST, BESIDE, LETTER = 0.31, 0.08, 0.033

Group = bpy.types.PropertyGroup
Layout = bpy.types.UILayout


@dataclass(frozen=True)
class Sheet:
    """What the drawing of every field needs to know: where it is drawn, and which value cannot work, and why."""

    context: bpy.types.Context
    wrong: str = ""
    reason: str = ""

    def draw_group(
        self, layout: Layout, group: Group, cls: type, path: str = "", leave_out: Collection[str] = ()
    ) -> None:
        """Every parameter of a group that means something beside the others."""
        leave_out = {*leave_out, *without_meaning(cls, group)}
        for field in fields_of(cls):
            if field.name not in leave_out:
                self.draw_field(layout, group, field, f"{path}.{field.name}" if path else field.name)

    def draw_field(self, layout: Layout, group: Group, field: Field, path: str) -> None:
        """One parameter, whatever its kind."""
        if field.kind in ("items", "variant") and not _is_single(field):
            self.draw_list(layout, group, field, path)
        elif field.kind == "variant":
            self._draw_variant(layout, group, field, path)
        elif field.kind == "group":
            body = self.under_heading(layout, title(field.label), path)
            if body:
                self.draw_group(body, getattr(group, field.name), field.of, path)
        elif field.kind == "size":
            self._draw_size(layout, getattr(group, field.name), field, path)
        else:
            self._draw_value(layout, group, self.name_of(field, field.name), path)

    def draw_list(self, layout: Layout, group: Group, field: Field, path: str, heading: bool = True) -> None:
        """A list: plain values line by line, groups as a list with the chosen one below."""
        if heading:
            body = self.under_heading(layout, f"{title(field.label)} ({len(getattr(group, field.name))})", path)
            if not body:
                return
            layout = body
        if field.kind == "items" and not dataclasses.is_dataclass(field.of):
            self._draw_values(layout, group, field, path)
            return
        rows, index = getattr(group, field.name), getattr(group, at_name(field))
        self.draw_rows(layout, group, field, path)
        if 0 <= index < len(rows):
            self.draw_row(layout.box(), field, rows[index], f"{path}[{index}]")
        self._say_why(layout, path)

    def draw_rows(self, layout: Layout, group: Group, field: Field, path: str) -> None:
        """The lines of a list with the buttons that add, remove and move them."""
        index = getattr(group, at_name(field))
        row = layout.row()
        few = len(getattr(group, field.name)) < 2
        row.template_list("MUNTIN_UL_rows", path, group, field.name, group, at_name(field), rows=2 if few else 4)
        buttons = row.column(align=True)
        buttons.operator("muntin.add_row", text="", icon="ADD").path = path
        _at(buttons.operator("muntin.remove_row", text="", icon="REMOVE"), path, index)
        if few:
            return
        buttons.separator()
        for step, icon in ((-1, "TRIA_UP"), (1, "TRIA_DOWN")):
            _at(buttons.operator("muntin.move_row", text="", icon=icon), path, index).step = step

    def draw_row(self, layout: Layout, field: Field, row: Group, path: str, leave_out: Collection[str] = ()) -> None:
        """The parameters of one line of a list."""
        if field.kind == "variant":
            layout.prop(row, "style", text="Style")
        self.draw_group(layout, inner_group(field, row), inner_class(field, row), path, leave_out)

    def under_heading(self, layout: Layout, text: str, path: str) -> Layout | None:
        """A heading that opens and closes; the layout under it while it is open."""
        header, body = layout.panel(f"muntin.{path}", default_closed=True)
        header.alert = self._is_within(path)
        header.label(text=text)
        return body

    def name_of(self, field: Field, name: str) -> str:
        """The property that is shown for a value: of a length, its text where lengths are inches."""
        is_length = field.kind in ("length", "size") or field.of is float
        return words_name(name) if is_length and are_inches(self.context.scene) else name

    # ------------------------------------------------------------------------------------------------------- one by one
    def _draw_value(self, layout: Layout, group: Group, name: str, path: str) -> None:
        column = layout.column(align=True)
        column.alert = self.wrong == path
        words = group.bl_rna.properties[name].name
        if len(words) > FITS_BESIDE:
            column.use_property_split = False
            column.label(text=words)
            column.prop(group, name, text="")
        else:
            column.prop(group, name)
        self._say_why(layout, path)

    def _draw_variant(self, layout: Layout, group: Group, field: Field, path: str) -> None:
        held = getattr(group, field.name)
        cls = inner_class(field, held)
        if not fields_of(cls):
            layout.prop(held, "style", text=title(field.label))
        else:
            header, body = layout.panel(f"muntin.{path}", default_closed=True)
            header.alert = self._is_within(path)
            header.use_property_split = False
            words = title(field.label)
            share = min(0.5, max(LEAST, BESIDE + LETTER * len(words)))
            row = header.split(factor=share)  # what is chosen has the room that is left
            row.label(text=words)
            row.prop(held, "style", text="")
            if body:
                self.draw_group(body, inner_group(field, held), cls, path)
        self._say_why(layout, path)

    def _draw_size(self, layout: Layout, held: Group, field: Field, path: str) -> None:
        layout.prop(held, "way", text=title(field.label))
        if held.way != "rest":
            row = layout.row()
            row.alert = self._is_within(path)
            row.prop(held, self.name_of(field, held.way) if held.way == "fixed" else held.way)
        self._say_why(layout, path, within=True)

    def _draw_values(self, layout: Layout, group: Group, field: Field, path: str) -> None:
        column = layout.column(align=True)
        for index, each in enumerate(getattr(group, field.name)):
            row = column.row(align=True)
            row.alert = self.wrong == f"{path}[{index}]"
            row.prop(each, self.name_of(field, "value"), text=f"{title(field.label)} {index + 1}")
            _at(row.operator("muntin.remove_row", text="", icon="REMOVE"), path, index)
        column.operator("muntin.add_row", text="Add", icon="ADD").path = path
        self._say_why(layout, path, within=True)

    def _say_why(self, layout: Layout, path: str, within: bool = False) -> None:
        if self.wrong == path or (within and self._is_within(path)):
            say(layout, self.context, self.reason, alert=True)

    def _is_within(self, path: str) -> bool:
        return bool(self.wrong) and (self.wrong == path or self.wrong.startswith((f"{path}.", f"{path}[")))


def _is_single(field: Field) -> bool:
    return field.kind == "variant" and not field.many


def _at(operator: bpy.types.OperatorProperties, path: str, index: int) -> bpy.types.OperatorProperties:
    operator.path, operator.index = path, index
    return operator
