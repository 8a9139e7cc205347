"""A picture that is rendered while its maker looks on: put in its place when done, cleared away when stopped."""

from __future__ import annotations

import time

import bpy

from . import log, outcome, view
from .preview import Picture

LOOK_SECONDS = 0.3

_going: list[tuple[Picture, float]] = []


def begin(picture: Picture) -> None:
    """Render a picture in a window of Blender's own, with its progress, and Esc to stop."""
    if _going:
        picture.clear_away()
        raise OSError("a picture is being rendered already; wait for it, or stop it with Esc")
    _going.append((picture, time.monotonic()))
    picture.take(watched=True)
    bpy.app.timers.register(_look, first_interval=LOOK_SECONDS)


def _look() -> float | None:
    """Seconds until the next look; None once the picture is done or stopped."""
    if bpy.app.is_job_running("RENDER"):
        return LOOK_SECONDS
    picture, began = _going.pop()
    try:
        picture.put_in_place()
        outcome.note("Preview", [picture.path], time.monotonic() - began)
    except OSError as error:  # stopped, or the disk is full
        log.refused("preview", error)
    finally:
        picture.clear_away()
    view.redraw()
    return None


def unregister() -> None:
    """Look no more."""
    if bpy.app.timers.is_registered(_look):
        bpy.app.timers.unregister(_look)
    while _going:
        _going.pop()[0].clear_away()
