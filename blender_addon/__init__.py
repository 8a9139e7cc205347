"""Muntin in Blender: the classes it registers, the lines in menus, the handlers, and nothing else."""

import bpy

from . import (
    command,
    findings,
    gizmos,
    handlers,
    log,
    menus,
    operators,
    overlay,
    panels,
    plans,
    preferences,
    rendering,
    root,
    stages,
    translations,
    view,
)

CLASSES: tuple[type, ...] = (
    *root.classes(),
    *view.CLASSES,
    *preferences.CLASSES,
    *operators.CLASSES,
    *stages.CLASSES,
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
    menus.register()
    handlers.register()
    translations.register()
    command.register()


def unregister() -> None:
    """Take everything away again, last first."""
    command.unregister()
    rendering.unregister()
    stages.unregister()
    plans.unregister()
    translations.unregister()
    handlers.unregister()
    menus.unregister()
    findings.unregister()
    overlay.unregister()
    view.unregister()
    root.unregister()
    for each in reversed(CLASSES):
        bpy.utils.unregister_class(each)
    log.unregister()
