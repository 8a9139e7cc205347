"""Muntin in Blender: the classes it registers, the menu entry, the handlers, and nothing else."""

import bpy

from . import findings, gizmos, handlers, operators, overlay, panels, root, view
from .panels.start import menu_entry

CLASSES: tuple[type, ...] = (*root.classes(), *view.CLASSES, *operators.CLASSES, *panels.CLASSES, *gizmos.CLASSES)


def register() -> None:
    """Make the add-on known to Blender."""
    for each in CLASSES:
        bpy.utils.register_class(each)
    root.register()
    view.register()
    overlay.register()
    bpy.types.VIEW3D_MT_mesh_add.append(menu_entry)
    handlers.register()


def unregister() -> None:
    """Take everything away again, last first."""
    handlers.unregister()
    bpy.types.VIEW3D_MT_mesh_add.remove(menu_entry)
    findings.unregister()
    overlay.unregister()
    view.unregister()
    root.unregister()
    for each in reversed(CLASSES):
        bpy.utils.unregister_class(each)
