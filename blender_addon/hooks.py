"""What Blender calls when a value changes or an id is typed; refers to nothing of Blender's, so that Blender can end.

Blender as a Python module ends when nothing refers to it any more. Versions 4.2 and 4.5 keep property groups and the
functions of their properties for ever, also after they are unregistered: a function among them that leads to `bpy`,
however far round, keeps Blender from ending, and Python crashes or hangs at exit. So property groups have no methods,
their properties get the functions of this module, and what those call is forgotten before the end.
"""

from __future__ import annotations

import atexit
from collections.abc import Callable, Iterable
from typing import Any

_calls: dict[str, Callable[..., Any]] = {}


def on(event: str, function: Callable[..., Any]) -> None:
    """Have a function called: at "value changed", "movement changed" with the group, at "suggest" with kind, group,
    at "length shown" with group and name, at "length typed" with group, name and text.
    """
    _calls[event] = function


def forget() -> None:
    """Call nobody any more."""
    _calls.clear()


def value_changed(group: Any, _context: Any) -> None:
    """A parameter in the editor was given a value."""
    _call("value changed", group)


def movement_changed(group: Any, _context: Any) -> None:
    """A slider of movement was moved."""
    _call("movement changed", group)


def suggesting(what: str) -> Callable[[Any, Any, str], Iterable[str]]:
    """A search function for string properties that asks for suggestions of a kind."""

    def suggest(group: Any, _context: Any, typed: str) -> Iterable[str]:
        return _call("suggest", what, group) or ()

    return suggest


def showing(name: str) -> Callable[[Any], str]:
    """A getter for the text that stands for a length."""

    def show(group: Any) -> str:
        return _call("length shown", group, name) or ""

    return show


def typing(name: str) -> Callable[[Any, str], None]:
    """A setter for the text that stands for a length."""

    def typed(group: Any, words: str) -> None:
        _call("length typed", group, name, words)

    return typed


def _call(event: str, *given: Any) -> Any:
    return _calls[event](*given) if event in _calls else None


atexit.register(forget)
