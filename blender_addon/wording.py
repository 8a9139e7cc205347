"""Words for the screen: titles in title case, tooltips without a closing period, as Blender's guidelines ask."""

from __future__ import annotations

import re

_SMALL = {"a", "an", "and", "at", "by", "for", "from", "in", "of", "on", "or", "over", "the", "to", "under", "with"}
_UNITS = "mm|kg|lb|N|s|dm³|m²|people"  # of a figure before them
_WIDE = 44  # characters in a line of a sidebar that is about as wide as Blender first shows it


def title(words: str) -> str:
    """A label in title case; words that are written in capitals or hold a figure stay as they are.

    >>> title("Gap at the sides"), title("planted_frame"), title("0.1 mm")
    ('Gap at the Sides', 'Planted Frame', '0.1 mm')
    """
    parts = words.replace("_", " ").split()
    if any(part[0].isdigit() for part in parts):
        return " ".join(parts)
    return " ".join(
        part if index and part in _SMALL else part[:1].upper() + part[1:] for index, part in enumerate(parts)
    )


def help_text(words: str) -> str:
    """A tooltip: its first line, beginning with a capital and ending without a period."""
    line = words.strip().splitlines()[0].rstrip().rstrip(".")
    return line[:1].upper() + line[1:]


def lines(words: str, width: int = _WIDE) -> list[str]:
    """A sentence broken into lines that a sidebar can show; a figure stays with its unit.

    >>> lines("one two three", 8), lines("it is 12.5 mm wide", 10)
    (['one two', 'three'], ['it is', '12.5 mm', 'wide'])
    """
    made = [""]
    for word in re.findall(rf"\d\S* (?:{_UNITS})(?!\w)\S*|\S+", words):
        if made[-1] and len(made[-1]) + 1 + len(word) > width:
            made.append("")
        made[-1] = f"{made[-1]} {word}".strip()
    return made
