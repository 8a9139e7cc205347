"""Two revisions of a piece side by side: which parts were added, are gone, changed, and how."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Literal

from ..model import Feature, Model, Part
from .alike import blank, same_work
from .marks import TOLERANCE, are_equal

What = Literal["added", "gone", "another size", "other work", "elsewhere"]
LASTING = 0.05  # mm; a move smaller than this is nothing that a rule shows; half the finest step


@dataclass(frozen=True, slots=True)
class Change:
    """One part that is not what or where it was; `before` or `after` is missing where it is new or gone."""

    key: str
    what: What
    before: Part | None
    after: Part | None

    @property
    def part(self) -> Part:
        """The part as it is now; as it was, where it is gone."""
        part = self.after or self.before
        assert part is not None, "a change of nothing"
        return part

    @property
    def words(self) -> str:
        """What changed, in words and figures."""
        if self.before is None or self.after is None:
            return ""
        if self.what == "another size":
            return f"{_size(self.before)}, now {_size(self.after)}"
        return _work_words(self.before, self.after) if self.what == "other work" else ""


@dataclass(frozen=True, slots=True)
class Comparison:
    """What changed from one revision to the next; fittings and fasteners by name with how many more (or, below 0, fewer)."""

    changes: tuple[Change, ...]
    untouched: tuple[str, ...]  # keys
    bought: tuple[tuple[str, int], ...]

    def of(self, what: What) -> tuple[Change, ...]:
        """The changes of one kind, in the order of the parts list."""
        return tuple(each for each in self.changes if each.what == what)


def compare(before: Model, after: Model) -> Comparison:
    """All differences between two models of one piece, part by part by their keys."""
    old, new = ({part.key: part for part in model.parts} for model in (before, after))
    found = [_change(key, old.get(key), part) for key, part in new.items()]
    found += [Change(key, "gone", part, None) for key, part in old.items() if key not in new]
    changes = tuple(each for each in found if each)
    touched = {each.key for each in changes}
    bought = Counter(_bought(after))
    bought.subtract(_bought(before))
    differences = tuple((name, number) for name, number in sorted(bought.items()) if number)
    return Comparison(changes, tuple(key for key in new if key not in touched), differences)


def _change(key: str, before: Part | None, after: Part) -> Change | None:
    if before is None:
        return Change(key, "added", None, after)
    sizes = zip((*before.size, *blank(before)), (*after.size, *blank(after)), strict=True)
    if any(abs(a - b) > TOLERANCE for a, b in sizes) or before.board != after.board:
        return Change(key, "another size", before, after)
    if not are_equal(before, after) or not same_work(before.shape.features, after.shape.features):
        return Change(key, "other work", before, after)
    moved = any(abs(a - b) > LASTING for a, b in zip(before.place.origin, after.place.origin, strict=True))
    return Change(key, "elsewhere", before, after) if moved else None


def _bought(model: Model) -> list[str]:
    names = [fitting.name for fitting in model.fittings if not fitting.bought_with]
    return names + [fastener.name for fastener in model.fasteners]


def _size(part: Part) -> str:
    words = " × ".join(f"{round(size, 1):g}" for size in part.size)
    return f"{words} {part.board.material.name}"


def _work_words(before: Part, after: Part) -> str:
    """Which features went and which came, counted by what they are for; that some moved, where the counts agree."""
    went, came = (Counter(_purpose(feature) for feature in part.shape.features) for part in (before, after))
    fewer = [f"{number} fewer: {purpose}" for purpose, number in sorted((went - came).items())]
    more = [f"{number} more: {purpose}" for purpose, number in sorted((came - went).items())]
    return "; ".join([*more, *fewer]) or "same work in other places"


def _purpose(feature: Feature) -> str:
    return feature.purpose or feature.kind
