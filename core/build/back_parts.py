"""A back in more than one part: where a sheet does not give it whole, its parts meet on the middle of uprights and fixed shelves.

The back is laid down and everything is fixed to it as to one board; last of all it is parted, so that what is bored and screwed
does not depend on how many parts it has.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..errors import ParameterError
from ..geometry import Placement, vector
from ..model import Part
from .bench import Bench
from .clearance import standing_box
from .parting import part_up
from .setting_out import DividingBoard, Rect, SettingOut

BACK = "carcass/back"
# mm; what the sheet most sold (2440 × 1220) gives with 10 trimmed off every edge; common practice, no source
SHEET = (2420.0, 1200.0)
SAME = 0.05  # mm within which two uprights are equally near to the middle
LEAST_LAP = 3.0  # mm of each part that lies on the board behind the joint; common practice, no source


@dataclass(frozen=True, slots=True)
class Region:
    """One part of the back: the smallest id of the compartments that it closes, and where it lies before clearances."""

    id: str
    rect: Rect


@dataclass(frozen=True, slots=True)
class Seam:
    """Where two parts of a back meet: the board behind, and the middle of its rear edge."""

    board: str
    kind: str  # "upright" or "shelf"
    at: float  # x or z
    span: tuple[float, float]  # from the foot or the left end of the back there to its other end


def regions_of(out: SettingOut, whole: Rect) -> tuple[list[Region], list[Seam]]:
    """The parts that a back so large is made in, and the joints between them; one part and no joint where it stays whole."""
    how = out.piece.carcass.back.in_parts
    if how == "one" or out.open_top or (how == "by_sheet" and _fits(whole)):
        return [Region(out.layout.root.id, whole)], []
    parting = _Parting(out, always=how == "bays")
    found = parting.parted([out.layout.root.id], whole)
    return found, parting.seams


class _Parting:
    """The layout gone through from the whole to its parts, and the joints found on the way."""

    def __init__(self, out: SettingOut, always: bool) -> None:
        self.out, self.always, self.seams = out, always, list[Seam]()

    def parted(self, ids: Sequence[str], rect: Rect) -> list[Region]:
        """The parts of the back behind neighbouring compartments, as few as a sheet allows."""
        if not self.always and _fits(rect):
            return [self.whole(ids, rect)]
        if len(ids) == 1:
            inner = [each.id for each in self.out.layout.parts(ids[0])]
            return self.parted(inner, rect) if inner else [self.whole(ids, rect)]
        boards = [
            (number, board) for number, pair in enumerate(itertools.pairwise(ids), 1) for board in self.between(*pair)
        ]
        if not boards:
            return [self.whole(ids, rect)]
        return self.at_boards(ids, rect, boards if self.always else _nearest_the_middle(rect, boards))

    def at_boards(self, ids: Sequence[str], rect: Rect, boards: Sequence[tuple[int, DividingBoard]]) -> list[Region]:
        """Part it at some of the boards between the compartments."""
        upright = boards[0][1].kind == "upright"
        ends = [0, *(number for number, _ in boards), len(ids)]
        places = [_middle(board) for _, board in boards]
        low, high = (rect.left, rect.right) if upright else (rect.bottom, rect.top)
        span = (rect.bottom, rect.top) if upright else (rect.left, rect.right)
        self.seams += [Seam(board.key, board.kind, at, span) for (_, board), at in zip(boards, places)]
        found: list[Region] = []
        for (first, last), (a, b) in zip(itertools.pairwise(ends), zip([low, *places], [*places, high])):
            part = Rect(a, b, rect.bottom, rect.top) if upright else Rect(rect.left, rect.right, a, b)
            found += self.parted(ids[first:last], part)
        return found

    def between(self, before: str, after: str) -> Iterator[DividingBoard]:
        """The board between two compartments, if it reaches to the back."""
        yield from (
            each
            for each in self.out.dividers
            if each.kind != "rail" and (each.before[0], each.after[0]) == (before, after)
        )

    def whole(self, ids: Sequence[str], rect: Rect) -> Region:
        """One part behind some compartments."""
        return Region(min(inner for id in ids for inner in self.out.layout.within(id)), rect)


def check_seams(out: SettingOut, seams: Sequence[Seam]) -> None:
    """Refuse boards too thin for two parts of the back to lie on."""
    back, thick = out.piece.carcass.back, out.side_board.thickness
    lap = (thick - back.clearance) / 2
    if seams and lap < LEAST_LAP:
        raise ParameterError(
            "carcass.back.in_parts",
            f'"{back.in_parts}": {lap:g} mm of each part of the back would lie on a board {thick:g} mm thick; at least {LEAST_LAP:g} mm is needed: leave less clearance, or take the back in one',
        )


def clear_of_seams(places: Sequence[float], seams: Sequence[float], away: float) -> list[float]:
    """Places along a line; of those too near to a joint of the back, one at either side of it instead.

    >>> clear_of_seams([50, 150, 250], [149], 12), clear_of_seams([50, 150], [], 12)
    ([50, 137, 161, 250], [50, 150])
    """
    beside = [
        each + way for each in seams for way in (-away, away) if any(abs(place - each) < away for place in places)
    ]
    kept = [place for place in places if all(abs(place - each) >= away for each in [*seams, *beside])]
    return sorted({round(each, 6) for each in (*kept, *beside)})


# ------------------------------------------------------------------------------------------------------------------ parting
def part_back(bench: Bench, out: SettingOut) -> None:
    """Take the whole back apart: its parts in its place, each with what is bored in it, what holds in it and what it lies against."""
    whole = bench.parts[BACK]
    low, high = standing_box(whole)
    rect = Rect(low[0], high[0], low[2], high[2])
    regions, seams = regions_of(out, rect)
    if not seams:
        return
    parts = {
        part.key: part for part in (_part(whole, each, rect, out.piece.carcass.back.clearance / 2) for each in regions)
    }
    part_up(bench, BACK, parts, (0, 2))


def back_parts(bench: Bench) -> list[Part]:
    """The parts of the back, from below."""
    return sorted(
        (part for part in bench.parts.values() if part.role == "back"), key=lambda each: standing_box(each)[0][2]
    )


def _part(whole: Part, region: Region, rect: Rect, short: float) -> Part:
    """One part, short of each joint by half of the clearance between the two."""
    mine = region.rect
    left, right = mine.left + short * (mine.left > rect.left), mine.right - short * (mine.right < rect.right)
    bottom, top = mine.bottom + short * (mine.bottom > rect.bottom), mine.top - short * (mine.top < rect.top)
    size = vector(round(top - bottom, 6), round(right - left, 6), whole.size[2])
    corner = vector(right, whole.place.origin[1], bottom)
    return replace(
        whole,
        key=f"{BACK}.{region.id}",
        name=f"back, {_called(mine, rect)}",
        shape=replace(whole.shape, size=size),
        place=Placement(corner, whole.place.x, whole.place.y),
        setting="parts of the back",
    )


def _called(mine: Rect, rect: Rect) -> str:
    across, up = (
        (mine.left + mine.right) - (rect.left + rect.right),
        (mine.bottom + mine.top) - (rect.bottom + rect.top),
    )
    words = ["lower" if up < 0 else "upper"] if mine.height < rect.height - SAME else []
    if mine.width < rect.width - SAME:
        words.append("middle" if abs(across) < SAME else "left" if across < 0 else "right")
    return " ".join(words)


# ------------------------------------------------------------------------------------------------------------------- figures
def _fits(rect: Rect) -> bool:
    """Whether a sheet gives it, turned either way."""
    return max(rect.width, rect.height) <= SHEET[0] + 1e-6 and min(rect.width, rect.height) <= SHEET[1] + 1e-6


def _middle(board: DividingBoard) -> float:
    rect = board.rect
    return round((rect.left + rect.right) / 2 if board.kind == "upright" else (rect.bottom + rect.top) / 2, 6)


def _nearest_the_middle(rect: Rect, boards: list[tuple[int, DividingBoard]]) -> list[tuple[int, DividingBoard]]:
    """The board nearest to the middle of what is to be parted; both where two are equally near, so that no side is favoured."""
    middle = (rect.left + rect.right if boards[0][1].kind == "upright" else rect.bottom + rect.top) / 2
    least = min(abs(_middle(board) - middle) for _, board in boards)
    return [each for each in boards if abs(_middle(each[1]) - middle) <= least + SAME]


__all__ = ["BACK", "Region", "Seam", "back_parts", "check_seams", "clear_of_seams", "part_back", "regions_of"]
