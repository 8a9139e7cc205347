"""The cutting plan of a piece as the panel tells it, remembered by all that it was made from."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import bpy

from . import document, made
from .core.built import BuiltJob
from .preferences import preferences

if TYPE_CHECKING:
    from .core.cutting_papers import PlanLine


@dataclass(frozen=True)
class Planned:
    """A plan: the job with its plans, what it says, the text of its piece and the workshop file that it was made with."""

    source: tuple[str, str]
    job: BuiltJob
    lines: tuple[PlanLine, ...]
    notes: tuple[str, ...]


_last: dict[str, Planned] = {}  # by the id of the piece


def keep(root: bpy.types.Object, job: BuiltJob) -> Planned:
    """Remember the plan of a piece."""
    from .core.cutting_papers import plan_lines, plan_notes  # brings the PDF writer, which start-up does without

    while len(_last) >= 8:
        _last.pop(next(iter(_last)))
    _last[root[document.PIECE]] = Planned(_source(root), job, plan_lines(job), plan_notes(job))
    return _last[root[document.PIECE]]


def last(root: bpy.types.Object) -> Planned | None:
    """The last plan of a piece since Blender was started."""
    return _last.get(root[document.PIECE])


def is_current(root: bpy.types.Object) -> bool:
    """Whether the last plan is that of the piece as it is, with the marks it has."""
    there = last(root)
    if there is None or there.source != _source(root):
        return False
    state = made.state(root)
    kept = there.job.since.pieces[0].marks if there.job.since else there.job.marks_of(0)
    return state is None or dict(state.pieces[0].marks) == dict(kept)


def unregister() -> None:
    """Forget all."""
    _last.clear()


def _source(root: bpy.types.Object) -> tuple[str, str]:
    chosen = preferences(bpy.context)
    return root[document.TEXT], chosen.workshop_file if chosen else ""
