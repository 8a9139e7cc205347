"""Which of several parts of one name: told by where they are, from the words of their keys."""

from __future__ import annotations

import itertools
import re
from collections.abc import Mapping, Sequence

PLACES = ("left", "right", "middle", "front", "rear")
COUNTED = ("first", "second", "third", "fourth", "fifth")  # from a side inward
COLUMNS = (("",), ("left", "right"), ("left", "middle", "right"))  # of one, two and three, seen from the front
ROWS = (("",), ("upper", "lower"), ("top", "middle", "bottom"))  # likewise, from the top down


def told_by_place(named: Mapping[int, tuple[str, Sequence[str]]]) -> dict[int, str]:
    """For marks with their names and the keys of their parts: where those are, of marks that share a name."""
    lots: dict[str, dict[int, Sequence[str]]] = {}
    for mark, (name, keys) in named.items():
        lots.setdefault(name, {})[mark] = keys
    return {mark: place for name, some in lots.items() for mark, place in places_of(some, name).items()}


def places_of(lots: Mapping[int, Sequence[str]], name: str) -> dict[int, str]:
    """Where the parts of marks with one name are, by their keys: by side where that tells them apart, else by what they belong to, by their compartments, or by side and owner.

    Nothing for a name that only one mark has, or where neither tells.

    >>> places_of({7: ["side.left/stile.rear", "side.right/stile.front"], 8: ["side.left/stile.front"]}, "side stile")
    {7: 'left rear, right front', 8: 'left front'}
    >>> places_of({28: ["drawer-top/box/front"], 36: ["drawer-low/box/front"]}, "drawer box front")
    {28: 'drawer top', 36: 'drawer low'}
    >>> places_of({5: ["carcass/upright.left+middle"], 6: ["carcass/upright.middle+right"]}, "upright")
    {5: 'between left and middle', 6: 'between middle and right'}
    >>> places_of({14: ["feet/block.left.1.front"], 15: ["feet/block.left.2.front", "feet/block.right.2.front"]}, "foot block")
    {14: 'first left front', 15: 'second left front, second right front'}
    >>> places_of({4: ["carcass/top"], 46: ["top/board"]}, "top")
    {4: 'carcass', 46: ''}
    >>> places_of({24: ["doors/leaf.left/muntin.1.middle"], 25: ["doors/leaf.left/muntin.2.middle"]}, "door muntin")
    {24: 'lowest field', 25: 'second field'}
    >>> places_of({27: ["doors/leaf.left/bead.1.hinge.top"], 28: ["doors/leaf.left/bead.1.hinge.hinge"]}, "door bead")
    {27: 'lowest field top', 28: 'lowest field hinge'}
    >>> places_of({19: ["doors/leaf.left/stile.hinge", "doors/leaf.right/stile.meeting"], 20: ["doors/leaf.left/stile.meeting"]}, "door stile")
    {19: 'left hinge, right meeting', 20: 'left meeting'}
    >>> places_of({28: ["door/leaf.left/bead.hinge.closing", "door/leaf.left/bead.closing.hinge"], 29: ["door/leaf.left/bead.hinge.top"]}, "door bead")
    {28: 'closing, hinge', 29: 'top'}
    """
    if len(lots) < 2:
        return dict.fromkeys(lots, "")
    said = re.split(r"\W+", name)

    def owner(key: str) -> str:
        return key.split("/")[0].replace("-", " ").split(".")[0]

    def side(key: str) -> str:
        return _side_words(key, said)

    def counted(key: str) -> str:
        return _counted_side(key, said)

    def sided(key: str) -> str:
        return f"{side(key)} {_own_words(key)}".strip()

    def owned(key: str) -> str:
        return f"{owner(key)} {side(key)}".strip()

    ways = (side, owner, counted, _field, _edge_of_field, _edge_of_pane, _own_words, sided, owned)
    told = [{mark: list(dict.fromkeys(map(words, keys))) for mark, keys in lots.items()} for words in ways]
    told = [found for found in told if all(all(places) for places in found.values())]
    apart = [
        found for found in told if len({p for some in found.values() for p in some}) == sum(map(len, found.values()))
    ]
    for found in (*apart, *told):
        words = {mark: ", ".join(places) for mark, places in found.items()}
        words = {mark: "" if place == name.lower() else place for mark, place in words.items()}
        if len(set(words.values())) == len(words):
            return words
    return dict.fromkeys(lots, "")


def placed_words(boxes: Mapping[str, Sequence[Sequence[float]]]) -> dict[str, str]:
    """Where things of one name are, seen from the front, by the lower and upper corners of their boxes, mm.

    Nothing where that does not tell them apart.

    >>> placed_words({"a": ((0, 0, 0), (400, 20, 700)), "b": ((900, 0, 0), (1300, 20, 700))})
    {'a': 'left', 'b': 'right'}
    >>> placed_words({str(n): ((0, 0, 100 * n), (400, 20, 100 * n + 90)) for n in range(4)})
    {'3': 'top', '2': 'second', '1': 'third', '0': 'bottom'}
    >>> placed_words({"a": ((0, 0, 0), (4, 2, 9)), "b": ((5, 0, 0), (9, 2, 3)), "c": ((5, 0, 4), (9, 2, 9))})
    {'a': 'left', 'c': 'upper right', 'b': 'lower right'}
    >>> placed_words({"a": ((0, 0, 0), (4, 2, 9)), "b": ((0, 0, 0), (4, 2, 9))})
    {}
    """
    columns: list[list[str]] = []
    for key in sorted(boxes, key=lambda each: boxes[each][0][0]):
        beside = columns and all(boxes[key][0][0] >= boxes[other][1][0] for other in columns[-1])
        columns[-1].append(key) if columns and not beside else columns.append([key])
    if not 0 < len(columns) <= len(COLUMNS):
        return {}
    found = {}
    for side, column in zip(COLUMNS[len(columns) - 1], columns, strict=True):
        stack = sorted(column, key=lambda each: -boxes[each][1][2])
        over = all(boxes[a][0][2] >= boxes[b][1][2] for a, b in itertools.pairwise(stack))
        if not over or len(stack) > len(COUNTED) + 1:
            return {}
        rows = ROWS[len(stack) - 1] if len(stack) <= len(ROWS) else ("top", *COUNTED[1 : len(stack) - 1], "bottom")
        found |= {key: f"{row} {side}".strip() for key, row in zip(stack, rows, strict=True)}
    return found


def _side_words(key: str, said: Sequence[str]) -> str:
    words = dict.fromkeys(word for word in re.split(r"[./]", key) if word in PLACES and word not in said)
    return " ".join(words)


def _counted_side(key: str, said: Sequence[str]) -> str:
    """Where a part is of several at one side, counted from there: "second left front"."""
    number = re.search(r"\b(?:left|right)\.(\d)\b", key)
    nth = COUNTED[int(number[1]) - 1] if number and int(number[1]) <= len(COUNTED) else ""
    return f"{nth} {_side_words(key, said)}".strip()


def _field(key: str) -> str:
    """In which field of a frame with mid rails a part is, counted from below."""
    number = re.match(r"(?:field|pane|bead|muntin)\.([1-9])(?:\.|$)", key.rsplit("/", 1)[-1])
    nth = ("lowest", *COUNTED[1:])[int(number[1]) - 1] if number and int(number[1]) <= len(COUNTED) else ""
    return f"{nth} field" if nth else ""


def _edge_of_field(key: str) -> str:
    """In which field of a frame a bead is, and at which edge of its pane."""
    return f"{_field(key)} {key.rsplit('.', 1)[-1]}" if _field(key) and key.count(".") > 1 else ""


def _edge_of_pane(key: str) -> str:
    """At which edge of its pane a bead is, whichever of the panes that stand side by side it holds."""
    own = key.rsplit("/", 1)[-1].split(".")
    return own[-1] if own[0] == "bead" and len(own) > 1 else ""


def _own_words(key: str) -> str:
    """The compartments that a part of the carcass is in or between."""
    ids = key.rsplit("/", 1)[-1].partition(".")[2].replace("-", " ")
    if _field(key):
        return " ".join([_field(key), *ids.split(".")[1:]])
    first, parted, second = ids.partition("+")
    if parted and "+" not in second:
        return f"between {first} and {second}"
    return "" if parted or not first or first.isdigit() else first


__all__ = ["placed_words", "places_of", "told_by_place"]
