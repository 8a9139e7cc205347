"""Muntin in Blender: the classes it registers, the menu entry, the handlers, and nothing else."""

import bpy

from . import (
    command,
    findings,
    gizmos,
    handlers,
    log,
    operators,
    overlay,
    panels,
    preferences,
    rendering,
    root,
    translations,
    view,
)
from .panels.start import menu_entry

CLASSES: tuple[type, ...] = (
    *root.classes(),
    *view.CLASSES,
    *preferences.CLASSES,
    *operators.CLASSES,
    *panels.CLASSES,
    *gizmos.CLASSES,
)


def register() -> None:
    """Make the add-on known to Blender."""
    log.register()
    for each in CLASSES:
        bpy.utils.register_class(each)
    root.register()
    view.register()
    overlay.register()
    bpy.types.VIEW3D_MT_mesh_add.append(menu_entry)
    handlers.register()
    translations.register()
    command.register()


def unregister() -> None:
    """Take everything away again, last first."""
    command.unregister()
    rendering.unregister()
    translations.unregister()
    handlers.unregister()
    bpy.types.VIEW3D_MT_mesh_add.remove(menu_entry)
    findings.unregister()
    overlay.unregister()
    view.unregister()
    root.unregister()
    for each in reversed(CLASSES):
        bpy.utils.unregister_class(each)
    log.unregister()
