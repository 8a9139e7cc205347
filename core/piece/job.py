"""Jobs: one commission, several pieces and how many of each."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from ..errors import FileError
from ..fields import said
from .files import FORMAT as PIECE_FORMAT
from .files import check_head, file_beside, file_text, parsed, piece_from
from .piece import Piece

FORMAT = "muntin job"
MOST_PIECES = 200
MOST_OF_ONE = 1000


@dataclass(frozen=True, slots=True)
class JobItem:
    """A piece of a job and how many of it are built."""

    piece: Piece
    quantity: int = 1
    source: str = ""  # the file it stands in


@dataclass(frozen=True, slots=True)
class Job:
    """One commission: one cutting plan, one buying list, marks unique across it."""

    name: str
    items: tuple[JobItem, ...]


def read_job(paths: list[str]) -> Job:
    """The job that files on a command line make: piece files and job files in any mixture, in order."""
    items: list[JobItem] = []
    names: list[str] = []
    for path in paths:
        data = parsed(file_text(path), str(path))
        if data.get("format") == FORMAT:
            job = _job_from(data, Path(path))
            items += job.items
            names.append(job.name)
        else:
            piece = piece_from(data, str(path))
            items.append(JobItem(piece, source=str(path)))
            names.append(piece.whole.name or Path(path).stem)
    return Job(", ".join(name for name in names if name), tuple(items))


def _job_from(data: dict[str, Any], path: Path) -> Job:
    check_head(data, FORMAT, str(path))
    for key in data:
        if key not in ("format", "schema", "name", "pieces"):
            raise FileError(f"{path}: {said(key)} is not a key of a job; they are name and pieces")
    name, pieces = data.get("name", ""), data.get("pieces")
    if not isinstance(name, str) or len(name) > 200:
        raise FileError(f'{path}: "name" must be text of at most 200 characters')
    if not isinstance(pieces, list) or not 1 <= len(pieces) <= MOST_PIECES:
        raise FileError(f'{path}: "pieces" must be a list of 1 to {MOST_PIECES} pieces')
    return Job(name, tuple(_item_from(each, path, index) for index, each in enumerate(pieces)))


def _item_from(each: Any, path: Path, index: int) -> JobItem:
    where = f"{path}: pieces[{index}]"
    if (
        not isinstance(each, dict)
        or not set(each) <= {"file", "piece", "quantity"}
        or ("file" in each) == ("piece" in each)
    ):
        raise FileError(f'{where}: must have either "file" or "piece", and may have "quantity"')
    quantity = each.get("quantity", 1)
    if isinstance(quantity, bool) or not isinstance(quantity, int) or not 1 <= quantity <= MOST_OF_ONE:
        raise FileError(f"{where}.quantity: must be a whole number from 1 to {MOST_OF_ONE}, not {said(quantity)}")
    if "piece" in each:
        if not isinstance(each["piece"], dict):
            raise FileError(f"{where}.piece: must be a table")
        return JobItem(piece_from({"format": PIECE_FORMAT, "schema": 1, **each["piece"]}, where), quantity, where)
    piece, source = _piece_beside(each["file"], path, where)
    return JobItem(piece, quantity, source)


def _piece_beside(file: Any, path: Path, where: str) -> tuple[Piece, str]:
    if not isinstance(file, str) or not file:
        raise FileError(f"{where}.file: must be the name of a piece file")
    target = file_beside(file, path, f"{where}.file")
    return piece_from(parsed(file_text(target), str(target)), str(target)), str(target)
