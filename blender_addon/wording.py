"""Words for the screen: titles in title case, tooltips without a closing period, as Blender's guidelines ask."""

from __future__ import annotations

_SMALL = {"a", "an", "and", "at", "by", "for", "from", "in", "of", "on", "or", "over", "the", "to", "under", "with"}
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
    """A sentence broken into lines that a sidebar can show.

    >>> lines("one two three", 8)
    ['one two', 'three']
    """
    made = [""]
    for word in words.split():
        if made[-1] and len(made[-1]) + 1 + len(word) > width:
            made.append("")
        made[-1] = f"{made[-1]} {word}".strip()
    return made
