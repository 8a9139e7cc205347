"""Millimetres to Blender's units and back; nothing else in the add-on knows of the scene's unit scale."""

from __future__ import annotations

import bpy

from .core.units import shown_length

METRES_PER_MM = 0.001


def units_per_mm(scene: bpy.types.Scene | None) -> float:
    """Blender units to one millimetre in a scene: 0.001 where a unit is a metre, as it is by default."""
    return METRES_PER_MM / (scene.unit_settings.scale_length if scene else 1.0)


def are_inches(scene: bpy.types.Scene | None) -> bool:
    """Whether lengths in a scene are typed and shown in inches."""
    return scene is not None and scene.unit_settings.system == "IMPERIAL"


def words(mm: float, scene: bpy.types.Scene | None) -> str:
    """A length as it is written on the screen: a bare figure of millimetres, or inches."""
    return shown_length(mm) if are_inches(scene) else f"{round(mm, 1):g}"


def scene_of(thing: bpy.types.Object) -> bpy.types.Scene | None:
    """The scene that an object stands in: the one on screen if it is there, else the first that has it."""
    shown = getattr(bpy.context, "scene", None)
    if shown and thing.name in shown.objects:
        return shown
    return next((scene for scene in bpy.data.scenes if thing.name in scene.objects), shown)
