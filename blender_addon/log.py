"""One log of what the add-on did and could not do, for a report that gives nothing of the client away.

Kept in memory only: commands by their names, refusals by the parameter's path, errors of ours by their place in the
code. Never names of people, pieces or files, and no sizes.
"""

from __future__ import annotations

import logging
import traceback
from collections import deque
from pathlib import Path

KEPT = 200  # lines
HERE = Path(__file__).resolve().parent

_lines: deque[str] = deque(maxlen=KEPT)
_log = logging.getLogger("muntin")


class _Keeper(logging.Handler):
    """Keeps the lines of the log."""

    def emit(self, record: logging.LogRecord) -> None:
        """Keep one line."""
        _lines.append(self.format(record))


def register() -> None:
    """Begin to keep the log."""
    keeper = _Keeper()
    keeper.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(message)s", "%H:%M:%S"))
    _log.addHandler(keeper)
    _log.setLevel(logging.INFO)
    _log.propagate = False


def unregister() -> None:
    """Forget it."""
    for each in list(_log.handlers):
        _log.removeHandler(each)
    _lines.clear()


def done(what: str) -> None:
    """A command that was carried out."""
    _log.info("%s", what)


def refused(what: str, error: Exception) -> None:
    """A command or value that was refused: what kind of error, at which parameter."""
    _log.warning("%s refused: %s %s", what, type(error).__name__, getattr(error, "field", ""))


def ours(what: str, error: Exception) -> None:
    """An error of ours, with the places in the code that led to it."""
    places = [
        f"{Path(frame.filename).resolve().relative_to(HERE)}:{frame.lineno}"
        for frame in traceback.extract_tb(error.__traceback__)
        if HERE in Path(frame.filename).resolve().parents
    ]
    _log.error("%s failed: %s at %s", what, type(error).__name__, " < ".join(reversed(places)) or "?")


def lines() -> list[str]:
    """What was logged, oldest first."""
    return list(_lines)
