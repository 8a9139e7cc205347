"""What the last export wrote, for the panel that tells of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Outcome:
    """One export that went well."""

    what: str
    folder: Path
    names: tuple[str, ...]
    seconds: float


_last: list[Outcome] = []


def note(what: str, paths: Sequence[Path], seconds: float) -> Outcome:
    """Remember what was written."""
    folder = paths[0].parent
    names = tuple(str(each.relative_to(folder)) if folder in each.parents else str(each) for each in paths)
    _last[:] = [Outcome(what, folder, names, seconds)]
    return _last[0]


def last() -> Outcome | None:
    """The last export since Blender was started; None before the first."""
    return _last[0] if _last else None
