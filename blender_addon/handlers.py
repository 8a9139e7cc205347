"""After a file is loaded: every editor anew from its piece's text, which may be older or newer than the editor."""

from __future__ import annotations

import bpy
from bpy.app.handlers import persistent

from . import document
from .core import PieceError


@persistent
def rebuild_editors(_path: str = "") -> None:
    """Fill the editor of every piece from its text; one that cannot be read, or is refused by now, is said on its root."""
    for root in document.roots():
        if document.is_read_only(root):
            continue
        try:
            document.fill_editor(root)
            document.model(root)
        except PieceError as error:
            root[document.TROUBLE] = f"\n{error}"
        if root.get(document.LATER):
            document.wait_for_edit_mode()


def register() -> None:
    """Hear of loaded files, and see to the one that is open."""
    bpy.app.handlers.load_post.append(rebuild_editors)
    if hasattr(bpy.data, "objects"):  # while Blender starts, add-ons see no data
        rebuild_editors()


def unregister() -> None:
    """Hear of them no more."""
    bpy.app.handlers.load_post.remove(rebuild_editors)
