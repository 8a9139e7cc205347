"""What is already made and what a changed design can still use of it: as it is, trimmed, or not at all.

A part is ticked cut (its blank is sawn), machined (bevels, rebates and holes are in it), glued or painted. What is only cut serves
for any blank that is no larger; what is machined only where, once it is trimmed at an end or an edge, everything in it stands where
the new part has it; what is glued or painted only where nothing of it has changed.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from ..model import Cut, Feature, Hole, Part, Pocket, Stage
from .alike import alike, blank, level, near, same_work
from .marks import TOLERANCE, are_equal

Tick = Literal["cut", "machined", "glued", "painted"]
TICKS: tuple[Tick, ...] = ("cut", "machined", "glued", "painted")
DONE: dict[Tick, tuple[Stage, ...]] = {
    "glued": ("in the part", "after glue-up"),
    "painted": ("in the part", "after glue-up", "at fitting"),
}
SAME_THICKNESS = 0.05  # mm; two boards of one calliper reading


@dataclass(frozen=True, slots=True)
class Made:
    """A part of the last revision that stands in the workshop, and how far it has come."""

    key: str
    part: Part
    tick: Tick


@dataclass(frozen=True, slots=True)
class Use:
    """What becomes of a part that is made: it serves for the part `key` of the new revision, as `words` say."""

    made: Made
    key: str
    words: str  # empty: as it is


@dataclass(frozen=True, slots=True)
class Saving:
    """What is kept, what is trimmed, which parts are lost and made anew, and what is left over."""

    kept: tuple[Use, ...]
    trimmed: tuple[Use, ...]
    anew: tuple[str, ...]  # keys of new parts for whose like something was made that cannot serve
    to_make: tuple[str, ...]  # keys of all new parts for which nothing is there
    left_over: tuple[Made, ...]

    @property
    def lost(self) -> float:
        """How much of what is made serves for nothing any more, m²."""
        return sum(_area(each.part) for each in self.left_over) / 1e6


def saving(made: Sequence[Made], parts: Mapping[str, Part]) -> Saving:
    """How what is made serves the parts of a new revision: equal parts first, then trimming, largest first, least waste first."""
    waiting = dict(parts)
    left = list(made)
    kept = [Use(each, key, "") for each, key in _taken(left, waiting, _equal_places)]
    trimmed = []
    for key in sorted(waiting, key=lambda key: -_area(waiting[key])):
        fits = [(each, words) for each in left if (words := trimming(each, waiting[key])) is not None]
        if fits:
            best, words = min(fits, key=lambda fit: (fit[0].key != key, _area(fit[0].part), fit[0].key))
            left.remove(best)
            trimmed.append(Use(best, key, words))
    served = {use.key for use in trimmed}
    to_make = tuple(key for key in waiting if key not in served)
    lost = {each.key for each in left}
    return Saving(tuple(kept), tuple(trimmed), tuple(key for key in to_make if key in lost), to_make, tuple(left))


def trimming(made: Made, part: Part) -> str | None:
    """How a made part becomes another one, in words; None where it cannot."""
    old = made.part
    if old.board.material != part.board.material or abs(old.board.thickness - part.board.thickness) > SAME_THICKNESS:
        return None
    if made.tick == "cut":
        return _blank_trimming(blank(old), blank(part), turns=part.grain == "any" and old.grain == "any")
    if made.tick == "machined" and old.grain == part.grain and old.shown_one_side == part.shown_one_side:
        return _machined_trimming(old, part)
    return None


# ------------------------------------------------------------------------------------------------------------- equal parts
def _taken(left: list[Made], waiting: dict[str, Part], places) -> Iterator[tuple[Made, str]]:
    """Pairs of what is made and the key it serves for; both are taken off their lists. The same key goes first."""
    for same_key in (True, False):
        for each in list(left):
            found = next((key for key in places(each, waiting) if (key == each.key) >= same_key), None)
            if found is not None:
                left.remove(each)
                del waiting[found]
                yield each, found


def _equal_places(made: Made, waiting: Mapping[str, Part]) -> list[str]:
    """The keys that a made part serves for as it is, its own first."""
    own = [made.key] if made.key in waiting else []
    if made.tick in ("glued", "painted"):
        return [key for key in own if _same_in_all(made, waiting[key])]
    equal = are_equal if made.tick == "machined" else _same_blank
    return [key for key in (*own, *waiting) if equal(made.part, waiting[key])]


def _same_in_all(made: Made, new: Part) -> bool:
    """In all that is done to it so far: a knob's hole is bored at fitting, after the glue and before the paint."""
    old, done = made.part, DONE[made.tick]
    same = _same_blank(old, new) and near(old.size, new.size) and old.shape.section == new.shape.section
    return same and same_work(*([one for one in part.shape.features if one.when.stage in done] for part in (old, new)))


def _same_blank(old: Part, new: Part) -> bool:
    same = old.board == new.board and old.grain == new.grain
    return same and near(blank(old), blank(new))


def _area(part: Part) -> float:
    return part.size[0] * part.size[1]


# ---------------------------------------------------------------------------------------------------------------- trimming
def _blank_trimming(old: Sequence[float], new: Sequence[float], turns: bool) -> str | None:
    for length, width in ((old[0], old[1]), (old[1], old[0])) if turns else ((old[0], old[1]),):
        if length >= new[0] - TOLERANCE and width >= new[1] - TOLERANCE:
            return _off_words(length - new[0], width - new[1], "")
    return None


def _off_words(length: float, width: float, where: str) -> str:
    off = [
        f"{amount:.1f} off the {what}" for amount, what in ((length, "length"), (width, "width")) if amount > TOLERANCE
    ]
    return f"trim {' and '.join(off)}{where}" if off else "as it is, another part's work"


def _machined_trimming(old: Part, new: Part) -> str | None:
    """Trim at one end and one edge so that all that stays in the old part is in the new one too; what is missing is made."""
    spare_x, spare_y = old.size[0] - new.size[0], old.size[1] - new.size[1]
    if min(spare_x, spare_y) < -TOLERANCE or old.shape.section != new.shape.section:
        return None
    if old.shape.section and spare_y > TOLERANCE:
        return None
    if not all(isinstance(each, (Hole, Pocket, Cut)) for part in (old, new) for each in _in_the_part(part)):
        return None  # work whose trimming nothing here can judge
    for from_foot in _ends(spare_x):
        for from_face in _ends(spare_y):
            shifted = [_shifted(each, -from_foot, -from_face) for each in _in_the_part(old)]
            more = _still_missing(shifted, list(_in_the_part(new)), new.size)
            if more is not None:
                where = _where_words(new, spare_x, from_foot, spare_y, from_face)
                work = f"; then {more} more to machine" if more else ""
                return _off_words(spare_x, spare_y, where) + work
    return None


def _ends(spare: float) -> tuple[float, ...]:
    return (0.0, spare) if spare > TOLERANCE else (0.0,)


def _where_words(part: Part, spare_x: float, from_foot: float, spare_y: float, from_face: float) -> str:
    where = []
    if spare_x > TOLERANCE:
        where.append("the foot end" if from_foot else "the head end")
    if spare_y > TOLERANCE:
        where.append("the face edge" if bool(from_face) != part.face_edge_high else "the back edge")
    return f", at {' and '.join(where)}" if where else ""


def _in_the_part(part: Part) -> Iterator[Feature]:
    return (each for each in part.shape.features if each.when.stage == "in the part")


def _still_missing(old: Iterable[Feature], new: list[Feature], size: Sequence[float]) -> int | None:
    """How many features of the new part are not in the old one yet; None where the old one has some that must not be there."""
    for feature in old:
        kept = _clipped(feature, size)
        if kept is None:
            continue
        match = next((each for each in new if alike(_clipped(each, size) or each, kept)), None)
        if match is None:
            return None
        new.remove(match)
    return len(new)


def _clipped(feature: Feature, size: Sequence[float]) -> Feature | None:
    """What of a feature lies in a box of this size from the origin; None where nothing does."""
    if isinstance(feature, Pocket):
        low = tuple(max(a, 0.0) for a in feature.low)
        high = tuple(min(a, b) for a, b in zip(feature.high, size, strict=True))
        if any(b - a <= TOLERANCE for a, b in zip(low, high, strict=True)):
            return None
        return dataclasses.replace(feature, low=low, high=high)
    if isinstance(feature, Hole):
        end = [a + d * feature.depth for a, d in zip(feature.at, feature.into, strict=True)]
        spans = [(min(a, b), max(a, b)) for a, b in zip(feature.at, end, strict=True)]
        radius = feature.diameter / 2
        around = [0.0 if abs(d) > 0.5 else radius for d in feature.into]
        outside = any(
            b + r <= TOLERANCE or a - r >= s - TOLERANCE for (a, b), r, s in zip(spans, around, size, strict=True)
        )
        return None if outside else feature
    if isinstance(feature, Cut):
        corners = [(x, y, z) for x in (0, size[0]) for y in (0, size[1]) for z in (0, size[2])]
        at = level(feature)
        beyond = [sum(n * c for n, c in zip(feature.normal, corner, strict=True)) - at for corner in corners]
        return feature if max(beyond) > TOLERANCE else None
    return feature


def _shifted(feature: Feature, x: float, y: float) -> Feature:
    def there(point):
        return (point[0] + x, point[1] + y, point[2])

    if isinstance(feature, Hole):
        return dataclasses.replace(feature, at=there(feature.at))
    if isinstance(feature, Pocket):
        return dataclasses.replace(feature, low=there(feature.low), high=there(feature.high))
    return dataclasses.replace(feature, point=there(feature.point))
