"""A cutting problem: which parts are wanted, out of which stock, with which saw; and how it is read and written.

The plain form is a mapping (JSON):

    {"dim": 2, "sheet": [L, W], "kerf": k, "trim": t, "rotation": true, "locked": [false, …], "parts": [[l, w,
    quantity], …]}

`dim` 1 means lengths (W is 1 and nothing is trimmed along it). Optional additions: `"stock"`, a list of
`{"size": [L, W], "price": p, "count": n, "offcut": false, "name": "…", "defects": [[from, to], …], "trim": t,
"edge_trim": e}` in place of `sheet` (`trim` at the ends, `edge_trim` along the long edges, where they are not those of
the problem); `"marks"`, one text for each part; `"stages"`, how many levels of cuts in turn (2: rip into strips,
crosscut them), not counting the edge trim, the cuts that free the offcuts and the trimming of a part to size;
`"largest_piece"`, the largest area in m² that one person can handle; `"saws"`, what the saws take:
`{"fence": w, "crosscut": w, "track": l, "table": [L, W]}`.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ..errors import FileError, ParameterError

MOST_PARTS = 20_000  # pieces in one problem: beyond it a plan takes hours; split the job
LARGEST_SIZE = 1e6  # mm, one kilometre: beyond it a size is a slip of the pen
FINEST = 10_000  # the finest step in which sizes are kept apart: 1/10 000 mm

KEYS = (
    "dim",
    "sheet",
    "kerf",
    "trim",
    "rotation",
    "locked",
    "parts",
    "stock",
    "marks",
    "stages",
    "largest_piece",
    "saws",
)
STOCK_KEYS = ("size", "price", "count", "offcut", "name", "defects", "trim", "edge_trim")


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Sheets or lengths of one size that can be bought or lie in the rack.

    `count` None means as many as wanted. `defects` (lengths only) are stretches, from the datum end, that no part may
    touch. `trim` and `edge_trim` None: as the problem says.
    """

    length: float
    width: float
    price: float = 1.0
    count: int | None = None
    offcut: bool = False
    name: str = ""
    defects: tuple[tuple[float, float], ...] = ()
    trim: float | None = None
    edge_trim: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """What the saws take, in mm: the widest between rip fence and blade, the widest piece at the crosscut fence, the
    longest cut along the track, and the largest piece that is ripped on the table."""

    fence: float
    crosscut: float
    track: float
    table: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """A rectangle or length to be cut `quantity` times; `locked` keeps its length along the length of the sheet."""

    length: float
    width: float
    quantity: int
    locked: bool = False
    mark: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingProblem:
    """What is wanted, out of what, with which saw. Lengths in mm; `largest_piece` in m²."""

    stock: tuple[Stock, ...]
    parts: tuple[Wanted, ...]
    kerf: float = 0.0
    trim: float = 0.0
    rotation: bool = True
    lengths_only: bool = False
    stages: int | None = None
    largest_piece: float | None = None
    saws: Limits | None = None

    def end_trim(self, stock: Stock) -> float:
        """What is taken off both ends of a sheet or length."""
        return self.trim if stock.trim is None else stock.trim

    def edge_trim(self, stock: Stock) -> float:
        """What is taken off the two long edges; nothing off a length of timber."""
        if self.lengths_only:
            return 0.0
        return self.end_trim(stock) if stock.edge_trim is None else stock.edge_trim

    def may_turn(self, part: int) -> bool:
        """Whether a part may lie across the sheet."""
        return self.rotation and not self.lengths_only and not self.parts[part].locked


def read_problem(source: str | Mapping, name: str = "problem") -> CuttingProblem:
    """The problem of a JSON text or of a mapping; a ParameterError or FileError says what cannot be used."""
    if isinstance(source, str):
        source = _loaded(source, name)
    if not isinstance(source, Mapping):
        raise FileError(f"{name}: a cutting problem is an object with sheet and parts, not {type(source).__name__}")
    unknown = sorted(set(map(str, source)) - set(KEYS))
    if unknown:
        raise ParameterError(unknown[0], f"is no key of a cutting problem; known are {', '.join(KEYS)}")
    dim = source.get("dim", 2)
    if isinstance(dim, bool) or dim not in (1, 2):
        raise ParameterError("dim", f"{dim!r} is neither 1 (lengths) nor 2 (sheets)")
    rotation = source.get("rotation", True)
    if not isinstance(rotation, bool):
        raise ParameterError("rotation", f"{rotation!r} is neither true nor false")
    return checked(
        CuttingProblem(
            stock=_read_stock(source, dim),
            parts=_read_parts(source),
            kerf=_number(source.get("kerf", 0), "kerf"),
            trim=_number(source.get("trim", 0), "trim"),
            rotation=rotation,
            lengths_only=dim == 1,
            stages=None if source.get("stages") is None else _count(source["stages"], "stages", 2),
            largest_piece=None
            if source.get("largest_piece") is None
            else _number(source["largest_piece"], "largest_piece", 1e-4),
            saws=None if source.get("saws") is None else _read_saws(source["saws"]),
        )
    )


def checked(problem: CuttingProblem) -> CuttingProblem:
    """The same problem, or a ParameterError that names what cannot be cut and why."""
    total = sum(part.quantity for part in problem.parts)
    if total > MOST_PARTS:
        raise ParameterError("parts", f"{total} pieces are more than {MOST_PARTS}, the most in one plan; split the job")
    for at, stock in enumerate(problem.stock):
        if min(room_of(problem, stock)) <= 0:
            trim = problem.end_trim(stock)
            raise ParameterError(
                f"stock[{at}]", f"nothing of {stock.length:g} × {stock.width:g} mm is left after a trim of {trim:g} mm"
            )
    for at, part in enumerate(problem.parts):
        if part.quantity and not any(fits(problem, at, stock) for stock in problem.stock if stock.count != 0):
            raise ParameterError(f"parts[{at}]", _too_large(problem, at))
    return problem


def fits(problem: CuttingProblem, part: int, stock: Stock) -> bool:
    """Whether a part can be cut out of stock of this size at all."""
    wanted = problem.parts[part]
    room = tuple(side + 1e-9 for side in room_of(problem, stock))
    if stock.defects:
        return (
            any(wanted.length <= end - start + 1e-9 for start, end in clear_runs(problem, stock))
            and wanted.width <= room[1]
        )
    if wanted.length <= room[0] and wanted.width <= room[1]:
        return True
    return problem.may_turn(part) and wanted.width <= room[0] and wanted.length <= room[1]


def room_of(problem: CuttingProblem, stock: Stock) -> tuple[float, float]:
    """Length and width that are left after trimming."""
    return stock.length - 2 * problem.end_trim(stock), stock.width - 2 * problem.edge_trim(stock)


def clear_runs(problem: CuttingProblem, stock: Stock) -> list[tuple[float, float]]:
    """The stretches of a length between end trims and defects, from the datum end; a kerf is lost beside a defect."""
    trim = problem.end_trim(stock)
    start, runs = trim, []
    for low, high in sorted(stock.defects):
        if low - problem.kerf > start:
            runs.append((start, low - problem.kerf))
        start = max(start, high + problem.kerf)
    if stock.length - trim > start:
        runs.append((start, stock.length - trim))
    return runs


# ------------------------------------------------------------------------------------------------------------------- reading
def _loaded(text: str, name: str) -> object:
    def refuse(word: str) -> float:
        raise FileError(f"{name}: {word} is no number that can be cut")

    try:
        return json.loads(text, parse_constant=refuse, object_pairs_hook=lambda pairs: _once(pairs, name))
    except RecursionError:
        raise FileError(f"{name}: brackets stand too deep for a cutting problem") from None
    except json.JSONDecodeError as error:
        raise FileError(f"{name}: no JSON at line {error.lineno}: {error.msg}") from None
    except ValueError as error:
        if isinstance(error, FileError):
            raise
        raise FileError(f"{name}: {error}") from None


def _once(pairs: list[tuple[str, object]], name: str) -> dict:
    found = dict(pairs)
    if len(found) < len(pairs):
        twice = next(key for key, _ in pairs if sum(key == other for other, _ in pairs) > 1)
        raise FileError(f'{name}: key "{twice}" stands twice')
    return found


def _is_not(value: object, form: str) -> str:
    """What is said of a value that is missing, or has not the form it should have."""
    return f"is missing; give {form}" if value is None else f"{value!r} is not {form}"


def _read_stock(source: Mapping, dim: int) -> tuple[Stock, ...]:
    listed = source.get("stock")
    if listed is None:
        return (_sized(source.get("sheet"), "sheet", dim, {}),)
    if not isinstance(listed, Sequence) or isinstance(listed, str) or not listed:
        raise ParameterError("stock", "is not a list of sizes, or is empty")
    return tuple(
        _sized(
            entry.get("size") if isinstance(entry, Mapping) else entry,
            f"stock[{at}]",
            dim,
            entry if isinstance(entry, Mapping) else {},
        )
        for at, entry in enumerate(listed)
    )


def _sized(size: object, field: str, dim: int, entry: Mapping) -> Stock:
    size = [size, 1] if dim == 1 and isinstance(size, (int, float)) and not isinstance(size, bool) else size
    if not isinstance(size, Sequence) or isinstance(size, str) or len(size) != 2:
        raise ParameterError(f"{field}.size" if entry else field, _is_not(size, "[length, width]"))
    unknown = sorted(set(map(str, entry)) - set(STOCK_KEYS))
    if unknown:
        raise ParameterError(f"{field}.{unknown[0]}", f"is no key of a stock size; known are {', '.join(STOCK_KEYS)}")
    offcut = entry.get("offcut", False)
    if not isinstance(offcut, bool):
        raise ParameterError(f"{field}.offcut", f"{offcut!r} is neither true nor false")
    count = entry.get("count", 1 if offcut else None)
    defects = entry.get("defects", [])
    if defects and dim == 2:
        raise ParameterError(f"{field}.defects", "defects can be avoided in lengths only")
    if not isinstance(defects, Sequence) or isinstance(defects, str):
        raise ParameterError(f"{field}.defects", f"{defects!r} is not a list of [from, to]")
    runs = []
    for at, run in enumerate(defects):
        if not isinstance(run, Sequence) or isinstance(run, str) or len(run) != 2:
            raise ParameterError(f"{field}.defects[{at}]", f"{run!r} is not [from, to]")
        low, high = (_number(value, f"{field}.defects[{at}]") for value in run)
        if high < low:
            raise ParameterError(f"{field}.defects[{at}]", f"ends at {high:g} before it starts at {low:g}")
        runs.append((low, high))
    return Stock(
        length=_number(size[0], field, 1e-3),
        width=_number(size[1], field, 1e-3),
        price=_number(entry.get("price", 0 if offcut else 1), f"{field}.price"),
        count=None if count is None else _count(count, f"{field}.count", 0),
        offcut=offcut,
        name=_text(entry.get("name", ""), f"{field}.name"),
        defects=tuple(runs),
        trim=None if entry.get("trim") is None else _number(entry["trim"], f"{field}.trim"),
        edge_trim=None if entry.get("edge_trim") is None else _number(entry["edge_trim"], f"{field}.edge_trim"),
    )


def _read_saws(entry: object) -> Limits:
    if not isinstance(entry, Mapping) or set(entry) != {"fence", "crosscut", "track", "table"}:
        raise ParameterError("saws", "is not an object with fence, crosscut, track and table")
    table = entry["table"]
    if not isinstance(table, Sequence) or isinstance(table, str) or len(table) != 2:
        raise ParameterError("saws.table", f"{table!r} is not [length, width]")
    fence, crosscut, track = (_number(entry[key], f"saws.{key}", 1e-3) for key in ("fence", "crosscut", "track"))
    return Limits(
        fence=fence,
        crosscut=crosscut,
        track=track,
        table=(_number(table[0], "saws.table", 1e-3), _number(table[1], "saws.table", 1e-3)),
    )


def _read_parts(source: Mapping) -> tuple[Wanted, ...]:
    listed = source.get("parts")
    if not isinstance(listed, Sequence) or isinstance(listed, str):
        raise ParameterError("parts", _is_not(listed, "a list of [length, width, quantity]"))
    locked = _beside(source.get("locked"), "locked", len(listed), False)
    marks = _beside(source.get("marks"), "marks", len(listed), "")
    parts = []
    for at, entry in enumerate(listed):
        field = f"parts[{at}]"
        if not isinstance(entry, Sequence) or isinstance(entry, str) or len(entry) != 3:
            raise ParameterError(field, f"{entry!r} is not [length, width, quantity]")
        if not isinstance(locked[at], bool):
            raise ParameterError(f"locked[{at}]", f"{locked[at]!r} is neither true nor false")
        parts.append(
            Wanted(
                length=_number(entry[0], field, 1e-3),
                width=_number(entry[1], field, 1e-3),
                quantity=_count(entry[2], field, 0),
                locked=locked[at],
                mark=_text(marks[at], f"marks[{at}]"),
            )
        )
    return tuple(parts)


def _beside(listed: object, field: str, length: int, default: object) -> Sequence:
    if listed is None:
        return [default] * length
    if not isinstance(listed, Sequence) or isinstance(listed, str) or len(listed) != length:
        raise ParameterError(field, f"is not a list of {length} entries, one for each part")
    return listed


def _text(value: object, field: str) -> str:
    if not isinstance(value, (str, int)) or isinstance(value, bool):
        raise ParameterError(field, f"{value!r} is no text")
    return str(value)


def _number(value: object, field: str, least: float = 0.0) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise ParameterError(field, f"{value!r} is not a number")
    if not least <= value <= LARGEST_SIZE:
        raise ParameterError(field, f"{value:g} is outside {least:g} to {LARGEST_SIZE:g}")
    return value


def _count(value: object, field: str, least: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ParameterError(field, f"{value!r} is not a whole number")
    if not least <= value <= MOST_PARTS:
        raise ParameterError(field, f"{value} is outside {least} to {MOST_PARTS}")
    return value


def _too_large(problem: CuttingProblem, at: int) -> str:
    part = problem.parts[at]
    largest = max(problem.stock, key=lambda stock: stock.length * stock.width)
    long, wide = room_of(problem, largest)
    turn = "" if problem.may_turn(at) else ", and its grain does not let it turn" if not problem.lengths_only else ""
    if problem.lengths_only:
        return f"{part.length:g} mm fits no length; the longest leaves {long:g} mm after end trim"
    return (
        f"{part.length:g} × {part.width:g} mm fits no sheet; the largest leaves {long:g} × {wide:g} mm after trim{turn}"
    )
