"""What of a piece is made already: the state it is made from, saved with its marks, and what of it is ticked off.

The text of core's revision file stands on the piece's root, so that it is saved, copied and undone with it; the piece can
change afterwards, and what the ticks then mean is core's to say.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache, reduce

import bpy

from . import document
from .core.build import build
from .core.built import build_job
from .core.changing import saved_state
from .core.cutting.list import common_name
from .core.piece import dumps
from .core.piece.job import Job, JobItem
from .core.placing import told_by_place
from .core.revisions.revision import Revision, revision_from_text, revision_text, ticked
from .core.revisions.saving import TICKS, Tick

STATE = document.MADE


@dataclass(frozen=True)
class Marked:
    """One mark of the saved state: how many parts carry it, what they are called, and the ticks in the order of TICKS."""

    mark: int
    name: str
    quantity: int
    ticks: tuple[int, ...]


def state(root: bpy.types.Object) -> Revision | None:
    """The saved state of a piece; None before the first, or where it cannot be read any more."""
    return _read(root[STATE]) if STATE in root else None


def save_state(root: bpy.types.Object) -> None:
    """Save the piece as it is now as the state that is made; what is ticked and serves as it is stays ticked."""
    before = state(root)
    job = build_job(Job("", (JobItem(document.piece(root)),)), since=before)
    root[STATE] = revision_text(saved_state(job))


def tick(root: bpy.types.Object, mark: int, to: Tick, count: int) -> None:
    """Tick off so many parts of a mark. Raises ParameterError for what the saved state has not."""
    root[STATE] = revision_text(ticked(_read(root[STATE]), mark, to, count))


def marked(root: bpy.types.Object) -> tuple[Marked, ...]:
    """Every mark of the saved state, in order."""
    there = state(root)
    if there is None:
        return ()
    none = (0,) * len(TICKS)
    return tuple(
        Marked(mark, name, quantity, there.ticks.get(mark, none)) for mark, name, quantity in _marks(root[STATE])
    )


def is_as_saved(root: bpy.types.Object) -> bool:
    """Whether the piece is still what was saved."""
    there = state(root)
    return there is not None and dumps(there.pieces[0].piece) == root[document.TEXT]


@lru_cache(maxsize=8)
def _read(text: str) -> Revision:
    return revision_from_text(text)


@lru_cache(maxsize=8)
def _marks(text: str) -> tuple[tuple[int, str, int], ...]:
    """Every mark with its name, as the cutting list has it, and the number of its parts."""
    there = _read(text).pieces[0]
    names = {part.key: part.name for part in build(there.piece).parts}
    keys: dict[int, list[str]] = {}
    for key, mark in there.marks.items():
        keys.setdefault(mark, []).append(key)
    told = {mark: reduce(_shared, (names.get(key, key) for key in some)) for mark, some in keys.items()}
    places = told_by_place({mark: (told[mark], some) for mark, some in keys.items()})
    return tuple(
        (mark, f"{told[mark]} ({places[mark]})" if places[mark] else told[mark], len(some) * there.quantity)
        for mark, some in sorted(keys.items())
    )


def _shared(first: str, second: str) -> str:
    return first if first == second else common_name(first, second)
