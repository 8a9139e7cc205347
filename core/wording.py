"""Things in words: more than one of them, several in a row, names without a side."""

from __future__ import annotations

import re
from collections.abc import Sequence

_TAIL = re.compile(r"(, | \(| with its | of )")


def plural(words: str) -> str:
    """The plural of a thing's name.

    >>> plural("loose shelf"), plural("dowel"), plural("hinge recess")
    ('loose shelves', 'dowels', 'hinge recesses')
    >>> plural("side panel with its lipping"), plural("frame of top and upright"), plural("back, upper")
    ('side panels with their lipping', 'frames of top and upright', 'backs, upper')
    """
    tail = _TAIL.search(words)
    if tail:
        return plural(words[: tail.start()]) + tail[0].replace("its", "their") + words[tail.end() :]
    if words.endswith("shelf"):
        return words.removesuffix("f") + "ves"
    if words.endswith("foot"):
        return words.removesuffix("foot") + "feet"
    return words + ("es" if words.endswith(("s", "ch", "sh", "x")) else "s")


def counted(number: int, singular: str, plural_words: str = "") -> str:
    """A number of things in words.

    >>> counted(1, "dowel"), counted(8, "dowel")
    ('1 dowel', '8 dowels')
    """
    return f"{number} {singular if number == 1 else plural_words or plural(singular)}"


def listed(words: Sequence[str]) -> str:
    """Words as a list in a sentence.

    >>> listed(["a", "b", "c"])
    'a, b and c'
    """
    return " and ".join(filter(None, (", ".join(words[:-1]), words[-1]))) if words else ""


def handless(name: str) -> str:
    """A name without the words left and right; of several names each once.

    >>> handless("left door stile, hinge"), handless("side panel, right"), handless("front bracket, left / side bracket, right front")
    ('door stile, hinge', 'side panel', 'front bracket / side bracket, front')
    """
    bare = (" ".join(word for word in each.split() if word not in ("left", "right")) for each in name.split(" / "))
    return " / ".join(dict.fromkeys(each.rstrip(",").replace(", with its ", " with its ") for each in bare))


def sideless(name: str) -> str:
    """A name without the side and the end that it is on.

    >>> sideless("leg, left front"), sideless("side, left"), sideless("right door"), sideless("stand, left side")
    ('leg', 'side', 'door', 'stand side')
    >>> sideless("side panel, right with its lipping")
    'side panel with its lipping'
    >>> sideless("side field, side top rail and side stiles")
    'side field, side top rail and side stiles'
    """
    return re.sub(r", (front|rear)(?=$| with its )", "", re.sub(r", side$", " side", handless(name)))


def in_sentence(name: str) -> str:
    """A name with what tells it from others in brackets, for a row of names.

    >>> in_sentence("door stile, hinge"), in_sentence("rear bracket")
    ('door stile (hinge)', 'rear bracket')
    """
    name, _, which = name.partition(", ")
    return f"{name} ({which})" if which else name


def front_name(id: str) -> str:
    """What the id of a front says in words: the thing last, where the others tell which.

    >>> front_name("door-left"), front_name("drawer_low"), front_name("doors"), front_name("tall"), front_name("drawer-2")
    ('left door', 'low drawer', 'doors', 'tall', 'drawer 2')
    """
    first, *others = re.findall(r"[^\W_]+", id) or [id]
    if first in _FRONTS and others and not any(word[0].isdigit() for word in others):
        return " ".join([*others, first])
    return " ".join([first, *others])


_FRONTS = ("door", "doors", "drawer", "drawers", "front", "panel", "pair")

__all__ = ["counted", "front_name", "handless", "in_sentence", "listed", "plural", "sideless"]
