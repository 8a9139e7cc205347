"""Work that takes a while, done stage by stage between Blender's events: its words in the status bar, Esc to stop."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import bpy

from . import log, view
from .core import PieceError
from .core.cutting.turns import Enough
from .core.stages import Stages, carried_out

PAUSE = 0.02  # seconds in which Blender draws, and hears of Esc


@dataclass
class Work:
    """What is going on: what it is called, its stages, and who takes what comes of it."""

    what: str
    steps: Stages[Any]
    done: Callable[[Any], None]
    words: str = ""
    enough: Enough | None = None  # said, some stages end with the best so far

    @property
    def has_best_so_far(self) -> bool:
        """Whether what goes on at the moment can end with the best so far."""
        return self.enough is not None and self.enough.asked and not self.enough.said


_going: list[Work] = []
_trouble: list[str] = []


def begin(work: Work) -> None:
    """Do it between events. Raises OSError while something else is going on."""
    if _going:
        work.steps.close()
        raise OSError(f"{_going[0].what} is still going on; wait for it, or stop it with Esc")
    _trouble.clear()
    _going.append(work)
    bpy.app.timers.register(_listen, first_interval=PAUSE)


def carry_out(work: Work, watched: bool) -> bool:
    """Between events where a person looks on, else at once; whether it is done. Raises OSError as `begin`, and what its stages raise."""
    if watched and not bpy.app.background:
        begin(work)
        return False
    work.done(carried_out(work.steps))
    return True


def going() -> Work | None:
    """What is going on."""
    return _going[0] if _going else None


def trouble() -> str:
    """Why the last one came to nothing; empty where it went well."""
    return _trouble[0] if _trouble else ""


def step() -> bool:
    """The next stage; whether there are more."""
    work = _going[0]
    try:
        work.words = next(work.steps)
        return True
    except StopIteration as end:
        _going.clear()
        _take(work, end.value)
    except (PieceError, OSError) as error:
        _going.clear()
        _fail(work, error)
    except Exception as error:
        _going.clear()
        log.ours(work.what, error)
        _trouble[:] = [f"an error of ours ({type(error).__name__}: {error}); please report it with the piece file"]
    return False


def stop() -> None:
    """Leave it; nothing was written yet."""
    while _going:
        work = _going.pop()
        work.steps.close()
        _trouble[:] = [f"{work.what}: stopped, nothing was written"]


def esc() -> bool:
    """What Esc does: where the work has a best so far it is to go on with that, else it is left. Whether it goes on."""
    work = going()
    if work is None or not work.has_best_so_far:
        stop()
        return False
    work.enough.say()
    return True


def _take(work: Work, found: Any) -> None:
    try:
        work.done(found)
        log.done(work.what)
    except (PieceError, OSError) as error:
        _fail(work, error)


def _fail(work: Work, error: Exception) -> None:
    log.refused(work.what, error)
    _trouble[:] = [" ".join(str(error).split())]


def _listen() -> None:
    """Start the command that hears of Esc, in whichever window there is."""
    windows = bpy.context.window_manager.windows
    if not windows:
        return
    with bpy.context.temp_override(window=windows[0]):
        bpy.ops.muntin.carry_on("INVOKE_DEFAULT")


class MUNTIN_OT_carry_on(bpy.types.Operator):
    """Carry on with what was begun, stage by stage, until it is done or Esc is pressed"""

    bl_idname = "muntin.carry_on"
    bl_label = "Carry On"
    bl_options = {"INTERNAL"}  # noqa: RUF012  Blender reads it from the class

    @classmethod
    def poll(cls, context: bpy.types.Context) -> bool:
        """Whether something was begun."""
        return bool(_going)

    def invoke(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """Come back again and again."""
        windows = context.window_manager
        self.timer = windows.event_timer_add(PAUSE, window=context.window)
        windows.modal_handler_add(self)
        return {"RUNNING_MODAL"}

    def modal(self, context: bpy.types.Context, event: bpy.types.Event) -> set[str]:
        """One stage at a time."""
        if event.type == "ESC" and event.value == "PRESS":
            if esc():
                return {"RUNNING_MODAL"}
            self.cancel(context)
            return {"CANCELLED"}
        if event.type != "TIMER":
            return {"PASS_THROUGH"}
        if going() and step():
            esc_does = "Take the Best So Far" if going().has_best_so_far else "Stop"
            context.workspace.status_text_set(f"{going().what}: {going().words}   Esc: {esc_does}")
            view.redraw()
            return {"RUNNING_MODAL"}
        self.cancel(context)
        return {"FINISHED"}

    def cancel(self, context: bpy.types.Context) -> None:
        """Come back no more; Blender calls this too where it ends the command itself."""
        stop()
        context.window_manager.event_timer_remove(self.timer)
        view.say_nothing()
        view.redraw()


def unregister() -> None:
    """Leave what is going on."""
    stop()
    if bpy.app.timers.is_registered(_listen):
        bpy.app.timers.unregister(_listen)


CLASSES = (MUNTIN_OT_carry_on,)
