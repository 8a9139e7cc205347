"""Starter pieces: piece files in the library, one for each kind of piece."""

from __future__ import annotations

from pathlib import Path

from .errors import FileError
from .fields import suggestion
from .piece.files import dumps, read_piece_file

_FOLDER = Path(__file__).parent / "library" / "pieces"


def starter_kinds() -> list[str]:
    """The kinds of piece that can be started from, in alphabetical order.

    >>> "coat_cupboard" in starter_kinds()
    True
    """
    return sorted(path.stem for path in _FOLDER.glob("*.json"))


def starter_text(kind: str) -> str:
    """The piece file of a kind, every value written; FileError for a kind that there is not."""
    kinds = starter_kinds()
    word = kind.replace("-", "_").replace(" ", "_").lower()
    if word not in kinds:
        raise FileError(
            f'new: there is no kind of piece "{kind[:40]}"; they are {", ".join(kinds)}{suggestion(word, kinds)}'
        )
    return dumps(read_piece_file(_FOLDER / f"{word}.json"))
