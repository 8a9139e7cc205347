"""A cutting plan: where each part lies on which sheet, and the cuts in the order in which they are made.

Everything is in mm from the datum corner of the untrimmed sheet, x along its length.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from .handling import NONE
from .problem import CuttingProblem, Stock

ACROSS, ALONG = "across", "along"  # a cut across the length of the sheet (at some x), or along it (at some y)
SHEET, PIECE, PART, KEEP, SCRAP, TRIM = "sheet", "piece", "part", "keep", "scrap", "trim"


@dataclass(frozen=True, slots=True)
class Placement:
    """Part number, corner nearest the datum, and whether it lies turned by 90°."""

    part: int
    x: float
    y: float
    rotated: bool


class Piece(NamedTuple):  # not a dataclass: plans that are compared make thousands of them
    """What a sheet is cut into on the way: the sheet itself, pieces still to be cut, parts, offcuts to keep, scrap,
    edge trim."""

    number: int
    kind: str
    x: float
    y: float
    length: float  # along x
    width: float
    part: int | None = None

    @property
    def area(self) -> float:
        """In mm²."""
        return self.length * self.width


class Cut(NamedTuple):
    """One straight cut from edge to edge of a piece.

    `setting` is the distance from the fence (or the edge the track is measured from) to the blade: the size of what
    comes off, from the datum side of the piece, or from its far side if `from_far`. `at` is where the side of the kerf
    nearest the datum lies. `rest` None: only dust is left. `tool` is the saw that makes it, empty where the problem
    does not say what the saws take.
    """

    number: int
    of: int
    direction: str
    setting: float
    at: float
    off: int
    rest: int | None
    from_far: bool = False
    tool: str = ""


@dataclass(frozen=True)
class SheetPlan:
    """One sheet: the stock it is cut from, its parts, and its cuts in order."""

    stock: int
    placements: tuple[Placement, ...]
    pieces: tuple[Piece, ...]
    cuts: tuple[Cut, ...]

    @cached_property
    def offcuts(self) -> tuple[Piece, ...]:
        """What is worth keeping, largest first."""
        return tuple(
            sorted(
                (piece for piece in self.pieces if piece.kind == KEEP), key=lambda piece: (-piece.area, piece.number)
            )
        )

    @property
    def largest_offcut(self) -> Piece | None:
        """The largest piece to go back in the rack, if any is worth it."""
        return self.offcuts[0] if self.offcuts else None

    @cached_property
    def settings(self) -> int:
        """How often the fence or track is set: every change of distance or direction from one cut to the next."""
        return sum(
            1
            for before, cut in zip((None, *self.cuts), self.cuts)
            if before is None
            or (before.tool, before.direction, before.setting) != (cut.tool, cut.direction, cut.setting)
        )

    @cached_property
    def impossible(self) -> int:
        """How many of the cuts no saw takes."""
        return sum(1 for cut in self.cuts if cut.tool == NONE)

    @cached_property
    def turns(self) -> int:
        """How often the direction changes from one cut to the next."""
        return sum(1 for before, cut in zip(self.cuts, self.cuts[1:]) if before.direction != cut.direction)


@dataclass(frozen=True)
class CuttingPlan:
    """The sheets or lengths of a whole problem, with the least that is possible as far as it is proven.

    `least` is a proven lower bound on the number of sheets, `least_cost` on their cost. `stopped_early`: the clock or a
    person ended the search, so the same problem may get another plan another time.
    """

    problem: CuttingProblem
    sheets: tuple[SheetPlan, ...]
    least: int
    least_cost: float
    stopped_early: bool = False
    work: int = 0

    @cached_property
    def cost(self) -> float:
        """Of all stock used, in the currency of the prices."""
        return sum(self.stock_of(sheet).price for sheet in self.sheets)

    @cached_property
    def bought(self) -> int:
        """How many sheets or lengths are bought, those of the rack not counted."""
        return sum(1 for sheet in self.sheets if not self.stock_of(sheet).offcut)

    @cached_property
    def from_rack(self) -> float:
        """The area of the parts that offcuts of the rack give, in mm²."""
        return sum(
            piece.area
            for sheet in self.sheets
            if self.stock_of(sheet).offcut
            for piece in sheet.pieces
            if piece.kind == PART
        )

    @property
    def is_least(self) -> bool:
        """Whether nothing cheaper is possible, proven."""
        return self.cost <= self.least_cost + 1e-9

    @cached_property
    def largest_offcut(self) -> Piece | None:
        """The largest single offcut of all sheets."""
        kept = [sheet.largest_offcut for sheet in self.sheets if sheet.largest_offcut]
        return max(kept, key=lambda piece: piece.area, default=None)

    @cached_property
    def labour(self) -> tuple[int, int, int]:
        """Fence settings, cuts and turns of all sheets together."""
        return (
            sum(sheet.settings for sheet in self.sheets),
            sum(len(sheet.cuts) for sheet in self.sheets),
            sum(sheet.turns for sheet in self.sheets),
        )

    @cached_property
    def heavy(self) -> int:
        """How many cuts are made in pieces larger than one person handles, trimming them included."""
        limit = self.problem.largest_piece
        if limit is None:
            return 0
        return sum(1 for sheet in self.sheets for cut in sheet.cuts if sheet.pieces[cut.of].area > limit * 1e6)

    @property
    def rank(self) -> tuple:
        """What plans are compared by: cuts that no saw takes, cost, use of the rack, labour, the largest offcut
        (smaller is better throughout)."""
        return (
            sum(sheet.impossible for sheet in self.sheets),
            round(self.cost, 6),
            self.bought,
            -round(self.from_rack),
            len(self.sheets),
            *self.labour,
            -(self.largest_offcut.area if self.largest_offcut else 0),
        )

    def stock_of(self, sheet: SheetPlan) -> Stock:
        """The size of stock a sheet is cut from."""
        return self.problem.stock[sheet.stock]

    @property
    def sentence(self) -> str:
        """The result in one sentence, such as "2 sheets; 2 is the least possible"."""
        count = len(self.sheets)
        noun = "length" if self.problem.lengths_only else "sheet"
        said = f"{count} {noun}{'' if count == 1 else 's'}"
        if any(stock.offcut for stock in self.problem.stock):
            from_rack = sum(1 for sheet in self.sheets if self.stock_of(sheet).offcut)
            said += f", {from_rack} of them from the rack" if from_rack else ", none from the rack"
        if len({stock.price for stock in self.problem.stock}) > 1:
            said += f", cost {self.cost:g}; " + (
                "that is the least possible" if self.is_least else f"at least {self.least_cost:g}"
            )
        else:
            said += f"; {self.least} is the least possible" if count <= self.least else f"; at least {self.least}"
        return said + ("; the search was stopped early" if self.stopped_early else "")


def plan_json(plan: CuttingPlan) -> str:
    """The plan as JSON: sheets as lists of [part, x, y, rotated], and what is known about it."""
    return json.dumps(
        {
            "sheets": [
                [[each.part, each.x, each.y, each.rotated] for each in sheet.placements] for sheet in plan.sheets
            ],
            "stock": [sheet.stock for sheet in plan.sheets],
            "cost": plan.cost,
            "least": plan.least,
            "least_cost": plan.least_cost,
            "stopped_early": plan.stopped_early,
            "sentence": plan.sentence,
        },
        ensure_ascii=False,
    )
