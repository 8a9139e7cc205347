"""The findings of a piece, worked out when nobody is waiting and remembered by the piece's text."""

from __future__ import annotations

import bpy

from . import document, log
from .core.checks import Finding, findings

REST_SECONDS = 0.35  # after the last change, so that a drag is not held up
REMEMBERED = 32

_found: dict[str, tuple[Finding, ...]] = {}
_failed: dict[str, str] = {}
_wanted: list[str] = []


def of(root: bpy.types.Object) -> tuple[Finding, ...]:
    """The findings of a root's piece, worked out now if they are not known."""
    text = root[document.TEXT]
    if text not in _found:
        while len(_found) >= REMEMBERED:
            _found.pop(next(iter(_found)))
        _found[text] = findings(document.piece(root), document.model(root))
    return _found[text]


def failed(root: bpy.types.Object) -> str:
    """What went wrong while looking for the findings of a piece: a mistake of ours, not of the piece's."""
    return _failed.get(root[document.TEXT], "")


def known(root: bpy.types.Object) -> tuple[Finding, ...] | None:
    """The findings if they have been worked out; else None, and they will be in a moment."""
    text = root[document.TEXT]
    if text in _found or text in _failed:
        return _found.get(text, ())
    _wanted[:] = [root.name]
    if not bpy.app.timers.is_registered(_work):
        bpy.app.timers.register(_work, first_interval=REST_SECONDS)
    return None


def _work() -> None:
    root = bpy.data.objects.get(_wanted.pop()) if _wanted else None
    if root is not None and document.is_root(root):
        try:
            of(root)
        except Exception as error:  # else the panel would ask for it again and again
            log.ours("findings", error)
            _failed[root[document.TEXT]] = (
                f"an error of ours ({type(error).__name__}: {error}); please report it with the piece file"
            )
        for window in bpy.context.window_manager.windows:
            for area in window.screen.areas:
                if area.type == "VIEW_3D":
                    area.tag_redraw()


def unregister() -> None:
    """Stop working, forget everything."""
    if bpy.app.timers.is_registered(_work):
        bpy.app.timers.unregister(_work)
    _found.clear()
    _failed.clear()
