"""Sheets and lengths to buy for a job.

Until a plan says better, sheets are counted by area and lengths by run, with a share for kerf, trim and waste; such lines
say so.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from ..built import BuiltJob
from ..fittings import fitting_entry
from ..model import Board
from ..workshop.stock import SheetSize, StockLength

WASTE = 0.25  # of the parts' area or run, for kerf, trim and what is left over; common practice, no source
SAME_THICKNESS = 0.7  # mm between a board as measured and as sold
BY_AREA = "by area and a quarter more, not from a plan"
BY_RUN = "by run and a quarter more, not from a plan"


@dataclass(frozen=True, slots=True)
class StockLine:
    """So many sheets or lengths of one size, and the price of one (None: not known)."""

    section: str  # "Sheets" or "Lengths"
    name: str
    count: int
    unit: str
    price: Decimal | None
    note: str = ""


def stock_lines(job: BuiltJob) -> tuple[StockLine, ...]:
    """The sheets and lengths of a job, thickest sheets first, then solid wood, then what fittings are cut from."""
    return (*_boards(job), *_rails(job))


# ------------------------------------------------------------------------------------------------------------- helpers
def _boards(job: BuiltJob) -> Iterator[StockLine]:
    areas: dict[Board, float] = {}
    runs: dict[tuple[Board, float], float] = {}
    for _, built, part in job.parts():
        length, width, _ = part.cut_size or part.size
        if part.board.material.kind == "sheet":
            areas[part.board] = areas.get(part.board, 0.0) + built.quantity * length * width
        elif part.board.material.kind == "solid":
            runs[part.board, width] = runs.get((part.board, width), 0.0) + built.quantity * length
    for board, area in sorted(areas.items(), key=lambda each: (-each[0].thickness, each[0].name)):
        yield _sheets(job, board, area * (1 + WASTE))
    for (board, width), run in sorted(runs.items(), key=lambda each: (each[0][0].name, each[0][1])):
        yield _lengths(job, board, width, run * (1 + WASTE))


def _sheets(job: BuiltJob, board: Board, area: float) -> StockLine:
    sold = [each for each in job.workshop.stock.sheets if _is_sheet_of(each, board)]
    if not sold:
        return StockLine("Sheets", f"{board.name}, no size in the workshop file", 1, "sheet", None, BY_AREA)
    best = min(sold, key=lambda each: (each.price * _count(area, each), each.length * each.width))
    return StockLine(
        "Sheets", f"{board.name}, {best.name or f'{best.length:g} × {best.width:g}'}", _count(area, best), "sheet",
        _price(best.price), BY_AREA,
    )  # fmt: skip


def _lengths(job: BuiltJob, board: Board, width: float, run: float) -> StockLine:
    sold = [each for each in job.workshop.stock.lengths if _is_length_of(each, board, width)]
    name = f"{board.material.name} {width:g} × {board.thickness:g}"
    if not sold:
        return StockLine("Lengths", f"{name}, no section in the workshop file", 1, "length", None, BY_RUN)
    best = min(sold, key=lambda each: (each.price * math.ceil(run / each.length), each.length))
    return StockLine(
        "Lengths", f"{name}, {best.name or f'length {best.length:g}'}", math.ceil(run / best.length), "length",
        _price(best.price), BY_RUN,
    )  # fmt: skip


def _rails(job: BuiltJob) -> Iterator[StockLine]:
    """What fittings are cut from: hanging rail, piano hinge."""
    runs: dict[str, float] = {}
    for built in job.pieces:
        for fitting in built.model.fittings:
            if not fitting.bought_with and fitting_entry(fitting.entry).cut_to_length:
                length = float(fitting.name.rpartition(", length ")[2])
                runs[fitting.entry] = runs.get(fitting.entry, 0.0) + built.quantity * length
    for entry, run in runs.items():
        sold = [each for each in job.workshop.stock.lengths if each.fitting.replace("_", "-") == entry]
        name = fitting_entry(entry).name
        if sold:
            best = min(sold, key=lambda each: (each.price * math.ceil(run * (1 + WASTE) / each.length), each.length))
            count = math.ceil(run * (1 + WASTE) / best.length)
            yield StockLine("Lengths", f"{name}, length {best.length:g}", count, "length", _price(best.price), BY_RUN)
        else:
            yield StockLine("Lengths", f"{name}, no length in the workshop file", 1, "length", None, BY_RUN)


def _is_sheet_of(size: SheetSize, board: Board) -> bool:
    return (
        size.material.replace("_", "-") == board.material.id and abs(size.thickness - board.thickness) <= SAME_THICKNESS
    )


def _is_length_of(size: StockLength, board: Board, width: float) -> bool:
    """Whether a part of this width and thickness can be planed from a section."""
    fits = size.thickness >= board.thickness - SAME_THICKNESS and size.width >= width - SAME_THICKNESS
    return bool(size.material) and size.material.replace("_", "-") == board.material.id and fits


def _count(area: float, size: SheetSize) -> int:
    return math.ceil(area / (size.length * size.width) - 1e-9)


def _price(price: float) -> Decimal | None:
    return Decimal(str(price)) if price else None
