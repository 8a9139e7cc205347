"""The words of the screen in other languages: a table by Blender's own rules, still empty.

Labels and tooltips are plain text in the classes, so Blender's own extractor finds them all; a language is one more
entry of `WORDS`: `{"de_DE": {("*", "Take Apart"): "Auseinandernehmen", …}}`.
"""

from __future__ import annotations

import bpy

WORDS: dict[str, dict[tuple[str, str], str]] = {}


def register() -> None:
    """Give Blender the table."""
    bpy.app.translations.register(__package__, WORDS)


def unregister() -> None:
    """Take it away."""
    bpy.app.translations.unregister(__package__)
