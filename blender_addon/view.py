"""What is drawn over a piece in the viewport, as the scene keeps it, and what is going on there at the moment."""

from __future__ import annotations

from dataclasses import dataclass

import bpy
from bpy.props import BoolProperty, EnumProperty, PointerProperty

from . import document
from .core.revisions.saving import TICKS
from .wording import title

STATES = [(each, title(each), f"Parts that are {each}") for each in TICKS]


class MUNTIN_PG_view(bpy.types.PropertyGroup):
    """What is drawn over the pieces of a scene."""

    dimensions: BoolProperty(
        name="Dimensions", description="Show width, height and depth beside the piece", default=True
    )
    findings: BoolProperty(
        name="Findings", description="Show what would go wrong where it is, once nothing is being changed", default=True
    )
    grips: BoolProperty(
        name="Grips", description="Show the arrows by which sizes, uprights and fixed shelves are dragged", default=True
    )
    compartment: BoolProperty(
        name="Picked Compartment", description="Show the compartment that is picked in the layout", default=False
    )
    tick: EnumProperty(
        name="Tick Off",
        description="Which state of the parts the ticks are about",
        items=STATES,
    )


@dataclass
class Busy:
    """What a person is doing in the viewport, and what to say about it."""

    grip: str = ""  # key of the grip that is being dragged
    words: str = ""
    compartment: str = ""  # id of the compartment under the mouse while one is being picked


busy = Busy()


def shown_root(context: bpy.types.Context) -> bpy.types.Object | None:
    """The piece that is drawn over: the one worked on, while its overlay can be seen."""
    space = context.space_data
    if not space or space.type != "VIEW_3D" or not space.overlay.show_overlays:
        return None
    return document.active_root(context)


def has_grips(context: bpy.types.Context) -> bool:
    """Whether the piece that is worked on can be dragged as it stands: current, its own, and not taken apart."""
    root = shown_root(context)
    return bool(
        root
        and context.scene.muntin.grips
        and context.mode == "OBJECT"
        and not document.is_read_only(root)
        and not document.trouble(root)
        and not root.muntin.apart
    )


def redraw() -> None:
    """Have every viewport drawn anew."""
    for window in bpy.context.window_manager.windows:
        for area in window.screen.areas:
            if area.type == "VIEW_3D":
                area.tag_redraw()


def say_nothing() -> None:
    """Take away what a command that waited for the mouse said in headers and status bars, wherever that was.

    Where Blender ends such a command itself, its area may be gone, or not be the context's.
    """
    for screen in bpy.data.screens:
        for area in screen.areas:
            if area.type == "VIEW_3D":
                area.header_text_set(None)
    for workspace in bpy.data.workspaces:
        workspace.status_text_set(None)


def register() -> None:
    """Give every scene what is to be drawn."""
    bpy.types.Scene.muntin = PointerProperty(type=MUNTIN_PG_view)


def unregister() -> None:
    """Take it away."""
    del bpy.types.Scene.muntin


CLASSES = (MUNTIN_PG_view,)
