"""What the panels share: where they stand, and when they are shown."""

from __future__ import annotations

import bpy

from .. import document, wording

CLOSED = {"DEFAULT_CLOSED"}  # a panel that is shut when it is first seen
PIXELS_TO_A_LETTER = 6.2  # of Blender's interface font at scale 1, on average
MARGIN = 40  # pixels of a sidebar that no letter stands on


class InTab:
    """A panel of the tab."""

    bl_space_type = "VIEW_3D"
    bl_region_type = "UI"
    bl_category = "Muntin"


class OfPiece(InTab):
    """A panel that is shown when there is a piece to work on."""

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether a piece is selected, or the only one in the scene."""
        return document.active_root(context) is not None


def prepared(layout: bpy.types.UILayout, root: bpy.types.Object) -> bpy.types.UILayout:
    """The layout with labels and values side by side, greyed where the piece is linked."""
    layout.use_property_split = True
    layout.use_property_decorate = False
    layout.enabled = not document.is_read_only(root)
    return layout


def say(
    layout: bpy.types.UILayout, context: bpy.types.Context, words: str, icon: str = "NONE", alert: bool = False
) -> None:
    """A sentence in as many lines as the sidebar is narrow."""
    column = layout.column(align=True)
    column.alert = alert
    column.scale_y = 0.85
    width = getattr(context.region, "width", 300) - MARGIN
    scale = context.preferences.system.ui_scale or 1.0  # 0 where there is no window
    letters = max(18, int(width / (PIXELS_TO_A_LETTER * scale)))
    for index, line in enumerate(wording.lines(words, letters - (3 if icon != "NONE" else 0))):
        column.label(text=line, icon=icon if index == 0 else ("BLANK1" if icon != "NONE" else "NONE"))
