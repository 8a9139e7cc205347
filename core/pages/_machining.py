"""Where everything that is drilled or cut into a part lies, measured as a joiner does: from one end, one edge, one face."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ..drawing.dimensions import figures
from ..model import End, Feature, Hole, Part, Pocket, When

SIDES: tuple[End, ...] = ("face side", "back side", "face edge", "back edge", "foot end", "head end")
SAME = 0.05  # mm; places nearer than this are printed alike
TURNED = 0.9  # cosine; every hole runs along an axis of its part


@dataclass(frozen=True, slots=True)
class Drilled:
    """One hole of a part: the side it is drilled from, and its mouth as measured (foot end, face edge, face side)."""

    side: End
    at: tuple[float, float, float]
    hole: Hole
    into: str = ""  # the part that meets this one there

    @property
    def words(self) -> tuple[str, float, float, str, str]:
        """What one setting of drill and stop serves: side, diameter, depth, purpose, mate."""
        return self.side, self.hole.diameter, round(self.hole.depth, 1), self.hole.purpose, self.into


@dataclass(frozen=True, slots=True)
class Row:
    """Holes alike at every combination of their places: distances from foot end, face edge and face side, rising."""

    side: End
    diameter: float
    depth: float
    purpose: str
    into: str
    ends: tuple[float, ...]
    edges: tuple[float, ...]
    faces: tuple[float, ...]

    @property
    def count(self) -> int:
        """How many holes."""
        return max(len(self.ends), 1) * max(len(self.edges), 1) * max(len(self.faces), 1)


def measured(part: Part, point: Sequence[float]) -> tuple[float, float, float]:
    """A point of the part's frame as distances from the foot end, the face edge and the face side."""
    _length, width, thickness = part.size
    return (point[0], width - point[1] if part.face_edge_high else point[1], thickness - point[2])


def side_drilled(part: Part, into: Sequence[float]) -> End:
    """The side of the part that a hole in this direction is drilled from."""
    low, high = ("back edge", "face edge") if part.face_edge_high else ("face edge", "back edge")
    names = (("head end", "foot end"), (high, low), ("face side", "back side"))
    axis = max(range(3), key=lambda n: abs(into[n]))
    assert abs(into[axis]) > TURNED, f"a hole of {part.key} is not square to any side"
    return names[axis][into[axis] > 0]  # type: ignore[return-value]


def drilled(part: Part, holes: Iterable[Hole], mates: dict[tuple, str] | None = None) -> tuple[Drilled, ...]:
    """Where holes of a part are, as measured."""
    found = []
    for hole in holes:
        place = part.place.point(hole.at)
        into = (mates or {}).get(mate_key(part.key, place), "")
        found.append(Drilled(side_drilled(part, hole.into), measured(part, hole.at), hole, into))
    return tuple(found)


def mate_key(part: str, place: Sequence[float]) -> tuple:
    """What a hole is known by among those of the whole piece."""
    return part, *(round(value, 2) for value in place)


def rows_of(holes: Iterable[Drilled]) -> tuple[Row, ...]:
    """Holes alike, put together into as few rows as their places allow; by side, then along the part."""
    alike: dict[tuple, list[Drilled]] = {}
    for each in holes:
        alike.setdefault(each.words, []).append(each)
    rows = [row for words, some in alike.items() for row in _rows(words, some)]
    return tuple(sorted(rows, key=lambda row: (SIDES.index(row.side), -row.diameter, row.purpose, row.ends, row.edges)))


def later(part: Part) -> dict[When, list[Feature]]:
    """What is made to a part only after it has been glued to others, by when."""
    found: dict[When, list[Feature]] = {}
    for feature in part.shape.features:
        if feature.when.stage != "in the part":
            found.setdefault(feature.when, []).append(feature)
    return found


def is_machined(part: Part) -> bool:
    """Whether anything but plain sawing to size is done to the part itself."""
    return any(feature.when.stage == "in the part" for feature in part.shape.features)


def in_blank(part: Part, feature: Feature) -> Feature:
    """A feature of a part; a pocket, which may run out of the blank, no farther than the blank."""
    if not isinstance(feature, Pocket):
        return feature
    low = tuple(max(0.0, value) for value in feature.low)
    high = tuple(min(size, value) for size, value in zip(part.size, feature.high, strict=True))
    return replace(feature, low=low, high=high)


def pocket_limits(part: Part, pocket: Pocket) -> tuple[tuple[float, float], ...]:
    """From where to where a pocket goes, from foot end, face edge and face side of a part; it may lie in what is glued to that."""
    ends = zip(measured(part, pocket.low), measured(part, pocket.high), strict=True)
    return tuple((min(pair), max(pair)) for pair in ends)


def places_words(places: Sequence[float]) -> str:
    """Places in print: each by itself, or the first, the step and the last of a long even row.

    >>> places_words([40, 152, 264])
    '40, 152, 264'
    >>> places_words([96.5, 128.5, 160.5, 192.5, 224.5, 256.5, 288.5])
    '96.5, then every 32 to 288.5'
    """
    steps = {round(b - a, 2) for a, b in itertools.pairwise(places)}
    if len(places) > 6 and len(steps) == 1:
        return f"{figures(places[0])}, then every {figures(steps.pop())} to {figures(places[-1])}"
    return ", ".join(map(figures, places))


# ------------------------------------------------------------------------------------------------------------ helpers
def _rows(words: tuple, some: Sequence[Drilled]) -> list[Row]:
    """Two of the three distances vary: those that share every value of one are put together."""
    fixed = {"face side": 2, "back side": 2, "face edge": 1, "back edge": 1, "foot end": 0, "head end": 0}[words[0]]
    first, second = (axis for axis in range(3) if axis != fixed)
    ways = [_merged(some, a, b) for a, b in ((first, second), (second, first))]
    best = min(ways, key=len)
    rows = []
    for by_axis in best:
        by_axis[fixed] = ()
        rows.append(Row(*words, *(tuple(by_axis[axis]) for axis in range(3))))
    return rows


def _merged(some: Sequence[Drilled], along: int, across: int) -> list[dict[int, Sequence[float]]]:
    """Places as products: of each place along, the places across; equal ones together."""
    at: dict[float, set[float]] = {}
    for each in some:
        at.setdefault(round(each.at[along], 2) + 0.0, set()).add(round(each.at[across], 2) + 0.0)
    products: dict[tuple[float, ...], list[float]] = {}
    for place, others in at.items():
        products.setdefault(tuple(sorted(others)), []).append(place)
    return [{along: sorted(places), across: others} for others, places in products.items()]
