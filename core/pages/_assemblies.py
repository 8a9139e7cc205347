"""The assemblies of a model as sheets see them: which have one of their own, which share one, what they are called."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from ..drawing.explode import within
from ..model import Assembly, Model, Part
from ._explosion import Subject
from ._sheets import told_apart

OWN_SHEET = 7  # parts and fittings from which an assembly within an assembly gets a sheet of its own
OWN_FRAME = 3  # boards from which a frame within the carcass gets one: on the carcass's sheet it stays together


@dataclass(frozen=True, slots=True)
class Twin:
    """An assembly that is shown by the sheet of another one: its mirror image, or its equal."""

    assembly: Assembly
    mirrored: bool


class Assemblies:
    """The assemblies of a model whose parts have marks."""

    def __init__(self, model: Model, marks: Mapping[str, int]) -> None:
        self.model, self.marks = model, marks
        self.by_key = {assembly.key: assembly for assembly in model.assemblies}
        self.names = told_apart({assembly.key: assembly.name for assembly in model.assemblies})
        self.parts = {part.key: part for part in model.parts}

    @property
    def root(self) -> Assembly:
        """The whole."""
        return self.model.assemblies[-1]

    @cached_property
    def with_own_sheet(self) -> tuple[Assembly, ...]:
        """Those that are shown apart by themselves, in the order of building."""
        direct = {member.key for member in self.root.members}
        found = []
        for assembly in self.model.assemblies[:-1]:
            leaves = within(self.model, assembly.key)
            parts = sum(key in self.parts for key in leaves)
            framed = assembly.key.startswith("carcass/") and parts >= OWN_FRAME
            if parts > 1 and (assembly.key in direct or len(leaves) >= OWN_SHEET or framed):
                found.append(assembly)
        return tuple(found)

    @cached_property
    def shown(self) -> tuple[Assembly, ...]:
        """Those with a sheet: of equals and mirror images the first."""
        shown: list[Assembly] = []
        for assembly in self.with_own_sheet:
            if not any(self._is_equal(assembly, other) or self._is_mirror(assembly, other) for other in shown):
                shown.append(assembly)
        return tuple(shown)

    def twins(self, assembly: Assembly) -> list[Twin]:
        """Those that the sheet of this one shows as well, equals first."""
        others = [other for other in self.with_own_sheet if other.key != assembly.key]
        equal = [Twin(other, False) for other in others if self._is_equal(assembly, other)]
        return equal + [Twin(other, True) for other in others if self._is_mirror(assembly, other)]

    def overview(self) -> Subject:
        """The whole, its assemblies kept together."""
        wholes = [each.key for each in self.root.members if len(within(self.model, each.key)) > 1]
        return Subject.of(self.model, self.root.key, wholes)

    def subject(self, assembly: Assembly) -> Subject:
        """One assembly, those within it that have their own sheet kept together."""
        own = {each.key for each in self.with_own_sheet}
        return Subject.of(self.model, assembly.key, [each.key for each in assembly.members if each.key in own])

    def numbers(self, assembly: Assembly) -> list[int]:
        """The marks of all its parts, in order."""
        return sorted(self.marks[key] for key in within(self.model, assembly.key) if key in self.marks)

    def opened(self, subject: Subject) -> list[Assembly]:
        """The assemblies of several parts that are taken apart on a sheet, in the order of building."""
        leaves = {key: set(within(self.model, key)) for key in self.by_key}
        inside = {
            key for key, some in leaves.items() if some <= set(subject.keys) and len(some & self.parts.keys()) > 1
        }
        loose = {key for key in inside if all(subject.member_of[leaf] == leaf for leaf in leaves[key])}
        return [each for each in self.model.assemblies if each.key == subject.below or each.key in loose]

    def main_part(self, subject: Subject, whole: str) -> Part:
        """The largest part of an assembly that stays together."""
        parts = [part for part in subject.model.parts if subject.member_of[part.key] == whole]
        return max(parts, key=lambda part: part.size[0] * part.size[1] * part.size[2])

    def changes_hands(self, subject: Subject) -> bool:
        """Whether the mirror image of some loose part has another number."""
        marks = {part.key: self.marks[part.key] for part in subject.loose_parts}
        return any(self.marks.get(mirrored_key(key), mark) != mark for key, mark in marks.items())

    def _is_equal(self, first: Assembly, second: Assembly) -> bool:
        """Whether two consist of the same marks, and neither is the mirror image of the other."""
        return not self._is_mirror(first, second) and self.numbers(first) == self.numbers(second)

    def _is_mirror(self, first: Assembly, second: Assembly) -> bool:
        """Whether the keys of one, with left for right, are those of the other, for parts of the same sizes."""
        mine, other = set(within(self.model, first.key)), set(within(self.model, second.key))
        if mine == other or {mirrored_key(key) for key in mine} != other:
            return False
        return all(self.parts[key].size == self.parts[mirrored_key(key)].size for key in mine & self.parts.keys())


def mirrored_key(key: str) -> str:
    """The key of the mirror image of a part.

    >>> mirrored_key("side.left/stile.front")
    'side.right/stile.front'
    """
    return key.replace("left", "\0").replace("right", "left").replace("\0", "right")
