"""The layout: the carcass divided into columns and rows to any depth, kept as a flat list of compartments."""

from __future__ import annotations

from ..errors import ParameterError
from ..fields import Size, choice, count, ident, length, number, parameters, size, variants

DIVISIONS = {"none": "Not divided", "columns": "Columns, side by side", "rows": "Rows, one above another"}
BETWEEN = {
    "board": "A full board: an upright or a fixed shelf",
    "rail": "A rail: at the front only, between drawers",
    "nothing": "Nothing: fronts meet at their gap",
}
HEIGHTS = {
    "sizes": "As their sizes say",
    "equal": "Equal",
    "ratio": "Graduated by ratio: each so many times as high as the one above",
    "step": "Graduated by step: each so much higher than the one above",
}


@parameters
class Compartment:
    """One part of the carcass: either divided further or left whole with contents.

    Kept flat, as a list in which each names its parent, so that order in the file means nothing and ids stay.
    """

    id: str = ident("all", "Compartment", "Its id, never used again for another")
    parent: str = ident("", "Within", "The compartment it is a part of; empty for the whole carcass")
    order: int = count(0, 0, 100, "Order", "Place among its neighbours, from the left or from the bottom")
    size: Size = size("Size", "Clear width in a row of columns, clear height in a stack of rows")
    divided: str = choice("none", DIVISIONS, "Divided", "How it is divided further")
    between: str = choice("board", BETWEEN, "Between them", "What stands between its parts")
    holds: tuple = variants("build.insides", "Contents", "What it holds: rails, loose shelves …")
    heights: str = choice("sizes", HEIGHTS, "Heights", "Clear heights of its rows; what is given fixed stays")
    ratio: float = number(1.2, 1, 1.6, "Ratio", "Of graduated heights, from the top down: 1.15 to 1.25 looks well")
    step: float = length(25, 1, 100, "Step", "Of graduated heights, from the top down: 25 to 30 looks well")


class Layout:
    """The tree of compartments behind the flat list; checked when it is made."""

    def __init__(self, compartments: tuple[Compartment, ...]) -> None:
        self.by_id = {each.id: each for each in compartments}
        _check(compartments, self.by_id)
        self.root = next(each for each in compartments if each.parent == "")
        self._parts: dict[str, list[Compartment]] = {each.id: [] for each in compartments}
        for each in compartments:
            if each.parent:
                self._parts[each.parent].append(each)
        for parts in self._parts.values():
            parts.sort(key=lambda each: (each.order, each.id))

    def parts(self, id: str) -> list[Compartment]:
        """The compartments directly within one, from the left or from the bottom."""
        return self._parts[id]

    def within(self, id: str) -> list[str]:
        """The ids of a compartment and of all that lies within it."""
        return [id] + [inner for part in self._parts[id] for inner in self.within(part.id)]

    def leaves(self) -> list[Compartment]:
        """The compartments that are not divided further."""
        return [self.by_id[id] for id in self.within(self.root.id) if self.by_id[id].divided == "none"]


DEEPEST = 12  # a compartment in a compartment …; far beyond any piece, so that a loop or a joke is refused


def _check(compartments: tuple[Compartment, ...], by_id: dict[str, Compartment]) -> None:
    if len(by_id) != len(compartments):
        twice = next(each.id for each in compartments if sum(other.id == each.id for other in compartments) > 1)
        raise ParameterError("layout", f'two compartments are called "{twice}"; give each an id of its own')
    roots = [each.id for each in compartments if each.parent == ""]
    if len(roots) != 1:
        raise ParameterError(
            "layout", f'exactly one compartment is the whole carcass (empty "parent"), not {len(roots)}'
        )
    for index, each in enumerate(compartments):
        where = f"layout[{index}]"
        if not each.id:
            raise ParameterError(f"{where}.id", "must not be empty")
        if each.parent and each.parent not in by_id:
            raise ParameterError(f"{where}.parent", f'there is no compartment "{each.parent}"')
        if each.parent and by_id[each.parent].divided == "none":
            raise ParameterError(
                f"{where}.parent", f'"{each.parent}" is not divided; set its "divided" to columns or rows'
            )
        if each.divided != "none" and each.holds:
            raise ParameterError(f"{where}.holds", f'"{each.id}" is divided; put the contents in one of its parts')
        _check_depth(each, by_id, where)
    for index, each in enumerate(compartments):
        if each.divided != "none" and sum(other.parent == each.id for other in compartments) < 2:
            raise ParameterError(f"layout[{index}].divided", f'"{each.id}" is divided but has fewer than two parts')


def _check_depth(each: Compartment, by_id: dict[str, Compartment], where: str) -> None:
    above, depth = each, 0
    while above.parent:
        above, depth = by_id.get(above.parent, Compartment(id="")), depth + 1
        if depth > DEEPEST:
            raise ParameterError(f"{where}.parent", f'"{each.id}" lies more than {DEEPEST} deep or within itself')
