"""A revision: a saved state of a job, with its marks and with what of it is made; one strict file, written with every pack."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from ..errors import FileError, ParameterError
from ..fields import plain, said
from ..piece.files import FORMAT as PIECE_FORMAT
from ..piece.files import SCHEMA, check_head, file_text, parsed, piece_from
from ..piece.job import MOST_OF_ONE, MOST_PIECES
from ..piece.piece import Piece
from .saving import TICKS, Tick

FORMAT = "muntin revision"
REVISION_FILE = "revision.json"  # in the folder of a pack
STAMP = "DO_NOT_CUT_"  # begins the names of files that nobody shall cut from
HIGHEST_MARK = 100_000


@dataclass(frozen=True, slots=True)
class RecordedPiece:
    """A piece as it was, how many of it, and the mark of each of its parts by key."""

    piece: Piece
    quantity: int
    marks: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Revision:
    """A saved state; `ticks` say of each mark how many parts have come to each state, later states counted in the earlier."""

    name: str
    pieces: tuple[RecordedPiece, ...]
    ticks: Mapping[int, tuple[int, ...]]  # by mark, in the order of TICKS

    @property
    def letter(self) -> str:
        """The letter of the revision, from the record of its first piece."""
        return self.pieces[0].piece.record.revision

    def made(self) -> Iterator[tuple[int, int, str, Tick]]:
        """Every part that is ticked: its piece, which copy of it, its key, and how far it has come."""
        waiting = {mark: _states(counts) for mark, counts in self.ticks.items()}
        for index, each in enumerate(self.pieces):
            for copy in range(each.quantity):
                for key, mark in each.marks.items():
                    if waiting.get(mark):
                        yield index, copy, key, waiting[mark].pop(0)


def ticked(revision: Revision, mark: int, tick: Tick, count: int) -> Revision:
    """The revision with so many parts of a mark come to a state; earlier states follow up, later ones down.

    Raises ParameterError for a mark that it has not, and for more parts than carry the mark.
    """
    there = sum(each.quantity for each in revision.pieces for own in each.marks.values() if own == mark)
    if not there:
        raise ParameterError("ticks", f"{mark} is no mark of this revision")
    if not 0 <= count <= there:
        raise ParameterError("ticks", f"mark {mark} is on {there} parts, not on {count}; give 0 to {there}")
    at = TICKS.index(tick)
    before = revision.ticks.get(mark, (0,) * len(TICKS))
    counts = (*(max(each, count) for each in before[:at]), count, *(min(each, count) for each in before[at + 1 :]))
    ticks = {**revision.ticks, mark: counts}
    return replace(revision, ticks={own: each for own, each in ticks.items() if any(each)})


def revision_text(revision: Revision) -> str:
    """The text of a revision file: every mark has its line of ticks, so that a figure is all that is to be written in."""
    marks = sorted({mark for each in revision.pieces for mark in each.marks.values()})
    ticks = [
        {"mark": mark, **dict(zip(TICKS, revision.ticks.get(mark, (0,) * len(TICKS)), strict=True))} for mark in marks
    ]
    pieces = [
        {"quantity": each.quantity, "marks": dict(each.marks), "piece": plain(each.piece)} for each in revision.pieces
    ]
    head = {"format": FORMAT, "schema": SCHEMA, "name": revision.name}
    lines = ",\n".join(f"    {json.dumps(each)}" for each in ticks)
    body = json.dumps({**head, "pieces": pieces}, indent=1, ensure_ascii=False, allow_nan=False)
    return f'{body[:-2]},\n "ticks": [\n{lines}\n ]\n}}\n'


def read_revision(path: str | Path) -> Revision:
    """The revision in a file; in a pack's folder, its `REVISION_FILE`. FileError or ParameterError where there is none."""
    file = Path(path) / REVISION_FILE if Path(path).is_dir() else Path(path)
    stamped = file.with_name(STAMP + REVISION_FILE)
    if file.name == REVISION_FILE and not file.exists() and stamped.exists():
        raise FileError(
            f"{path}: this pack says DO NOT CUT; name the last one that was cut from, or {stamped.name} in it"
        )
    return revision_from_text(file_text(file), str(file))


def revision_from_text(text: str, source: str = "revision") -> Revision:
    """The revision that a text says."""
    data = parsed(text, source)
    check_head(data, FORMAT, source)
    unknown = set(data) - {"format", "schema", "name", "pieces", "ticks"}
    if unknown:
        raise FileError(f"{source}: {said(min(unknown))} is not a key of a revision; they are name, pieces and ticks")
    pieces, name = data.get("pieces"), data.get("name", "")
    if not isinstance(name, str) or len(name) > 2000:
        raise FileError(f'{source}: "name" must be text of at most 2000 characters')
    if not isinstance(pieces, list) or not 1 <= len(pieces) <= MOST_PIECES:
        raise FileError(f'{source}: "pieces" must be a list of 1 to {MOST_PIECES} pieces')
    recorded = tuple(_recorded(each, f"{source}: pieces[{index}]") for index, each in enumerate(pieces))
    return Revision(name, recorded, _ticks(data.get("ticks", []), recorded, source))


def _states(counts: tuple[int, ...]) -> list[Tick]:
    """How far each ticked part of one mark has come, the farthest first."""
    further = (*counts[1:], 0)
    found: list[Tick] = []
    for tick, count, beyond in reversed(list(zip(TICKS, counts, further, strict=True))):
        found += [tick] * (count - beyond)
    return found


def _recorded(data: Any, where: str) -> RecordedPiece:
    if not isinstance(data, dict) or not {"piece", "marks"} <= set(data) <= {"piece", "marks", "quantity"}:
        raise FileError(f'{where}: must have "piece" and "marks", and may have "quantity"')
    if not isinstance(data["piece"], dict):
        raise FileError(f"{where}.piece: must be a table")
    marks = data["marks"]
    if not isinstance(marks, dict) or not all(_is_count(mark, 1, HIGHEST_MARK) for mark in marks.values()):
        raise FileError(f"{where}.marks: must give each part's key a whole number from 1 to {HIGHEST_MARK}")
    quantity = data.get("quantity", 1)
    if not _is_count(quantity, 1, MOST_OF_ONE):
        raise FileError(f"{where}.quantity: must be a whole number from 1 to {MOST_OF_ONE}, not {said(quantity)}")
    return RecordedPiece(
        piece_from({"format": PIECE_FORMAT, "schema": SCHEMA, **data["piece"]}, where), quantity, marks
    )


def _ticks(data: Any, pieces: tuple[RecordedPiece, ...], source: str) -> dict[int, tuple[int, ...]]:
    if not isinstance(data, list):
        raise FileError(f'{source}: "ticks" must be a list')
    there: dict[int, int] = {}
    for each in pieces:
        for mark in each.marks.values():
            there[mark] = there.get(mark, 0) + each.quantity
    found: dict[int, tuple[int, ...]] = {}
    for index, line in enumerate(data):
        where = f"{source}: ticks[{index}]"
        if not isinstance(line, dict) or not set(line) <= {"mark", *TICKS}:
            raise FileError(f"{where}: must have mark, {', '.join(TICKS)}")
        mark = line.get("mark")
        if not _is_count(mark, 1, HIGHEST_MARK) or mark not in there:
            raise FileError(f"{where}.mark: {said(mark)} is no mark of this revision")
        if mark in found:
            raise FileError(f"{where}.mark: {mark} is ticked twice")
        counts = tuple(line.get(tick, 0) for tick in TICKS)
        if not all(_is_count(count, 0, there[mark]) for count in counts):
            raise FileError(
                f"{where}: mark {mark} is on {there[mark]} parts; each tick is a whole number from 0 to {there[mark]}"
            )
        if list(counts) != sorted(counts, reverse=True):
            raise FileError(
                f"{where}: mark {mark}: what is painted was glued, what is glued was machined, what is machined was cut"
            )
        found[mark] = counts
    return {mark: counts for mark, counts in found.items() if any(counts)}


def _is_count(value: Any, low: int, high: int) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and low <= value <= high
