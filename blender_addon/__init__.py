"""Muntin in Blender: the classes it registers, and nothing else."""

import bpy

CLASSES: tuple[type, ...] = ()


def register() -> None:
    """Make the add-on's classes known to Blender."""
    for each in CLASSES:
        bpy.utils.register_class(each)


def unregister() -> None:
    """Take them away again, last first."""
    for each in reversed(CLASSES):
        bpy.utils.unregister_class(each)
