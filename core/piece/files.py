"""Piece files: strict JSON in, canonical JSON out.

Refused with one clear line: a file that is too large, not UTF-8, not JSON, nested too deep, with a key twice, with NaN or
Infinity, with unknown keys, or of a newer schema (left untouched). Written: every value, keys in declared order.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

from ..errors import FileError, ParameterError
from ..fields import fields_of, plain_value, read, said, schema
from .piece import Piece

FORMAT = "muntin piece"
SCHEMA = 1
LARGEST = 4_000_000  # bytes; a piece of a thousand compartments is a tenth of this
LARGEST_PICTURE = 20_000_000  # bytes; a photograph of a telephone is a quarter of this
MOST_DIGITS = 1000  # of a whole number; Python refuses to read far longer ones (sys.set_int_max_str_digits)
DEEPEST = 40  # brackets within brackets


def loads(text: str, source: str = "piece") -> Piece:
    """The piece that a text says; FileError or ParameterError with `source` first."""
    return piece_from(parsed(text, source), source)


def dumps(piece: Piece) -> str:
    """The canonical text of a piece: every value, fixed key order, two spaces, a newline at the end."""
    sections = {field.name: _section_text(getattr(piece, field.name)) for field in fields_of(Piece)}
    head = {"format": json.dumps(FORMAT), "schema": json.dumps(SCHEMA)}
    lines = [f'  "{name}": {text}' for name, text in (head | sections).items()]
    return "{\n" + ",\n".join(lines) + "\n}\n"


@lru_cache(maxsize=256)
def _section_text(section: Any) -> str:
    """A section of a piece as it stands in the text; sections of equal value have the same text."""
    text = json.dumps(plain_value(section), indent=2, ensure_ascii=False, allow_nan=False)
    return text.replace("\n", "\n  ")


def read_piece_file(path: str | Path) -> Piece:
    """The piece in a file."""
    return loads(file_text(path), str(path))


def piece_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a piece file."""
    inner = schema(Piece, "Muntin piece file")
    head = {"format": {"const": FORMAT}, "schema": {"const": SCHEMA}}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **inner,
        "properties": {**head, **inner["properties"]},
        "required": ["format", "schema"],
    }


# ------------------------------------------------------------------------------------------------------------ shared reading
def file_beside(name: str, path: Path, where: str) -> Path:
    """The place of a file that another file names: in its folder or below; FileError, with `where`, for any other place."""
    folder = path.resolve().parent
    try:
        target = (folder / name).resolve()
    except (OSError, ValueError, RuntimeError):  # a name that no file can have, a link that leads to itself
        raise FileError(f"{where}: {said(name)} is not the name of a file") from None
    if Path(name).is_absolute() or not target.is_relative_to(folder):
        raise FileError(f"{where}: {said(name)} lies outside the folder of {path.name}")
    return target


def picture_bytes(path: Path) -> bytes:
    """A picture file as it is; FileError where it cannot be read, or is too large to be printed."""
    try:
        with path.open("rb") as file:
            data = file.read(LARGEST_PICTURE + 1)
    except (OSError, ValueError) as error:
        raise FileError(f"{path}: cannot be read: {getattr(error, 'strerror', None) or error}") from None
    if len(data) > LARGEST_PICTURE:
        raise FileError(f"{path}: a picture to be printed has at most {LARGEST_PICTURE / 1e6:g} MB")
    return data


def file_text(path: str | Path) -> str:
    """The text of a file, or one clear line why it cannot be had."""
    path = Path(path)
    if path.is_dir():
        raise FileError(f"{path}: is a folder, not a file")
    try:
        size = path.stat().st_size
        with path.open("rb") as file:
            data = file.read(LARGEST + 1)  # never more, whatever the file says of itself
    except FileNotFoundError:
        raise FileError(f"{path}: there is no such file") from None
    except (OSError, ValueError) as error:
        raise FileError(f"{path}: cannot be read: {getattr(error, 'strerror', None) or error}") from None
    if len(data) > LARGEST:
        raise FileError(
            f"{path}: is {max(size, len(data)) / 1e6:.1f} MB; a piece file has at most {LARGEST / 1e6:g} MB"
        )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise FileError(f"{path}: is not UTF-8 text (byte {error.start})") from None


def parsed(text: str, source: str) -> dict[str, Any]:
    """The table that a JSON text holds."""
    if _depth(text) > DEEPEST:
        raise FileError(f"{source}: brackets within brackets more than {DEEPEST} deep")
    try:
        data = json.loads(text, object_pairs_hook=_no_key_twice, parse_constant=_no_constant, parse_int=_whole_number)
    except json.JSONDecodeError as error:
        raise FileError(f"{source}: is not JSON: {error.msg} at line {error.lineno}, column {error.colno}") from None
    except RecursionError:
        raise FileError(f"{source}: brackets within brackets more than {DEEPEST} deep") from None
    except ParameterError as error:
        raise FileError(f"{source}: {error}") from None
    if not isinstance(data, dict):
        raise FileError(f"{source}: must be a table in braces")
    return data


def piece_from(data: dict[str, Any], source: str) -> Piece:
    """The piece that a parsed table says."""
    check_head(data, FORMAT, source)
    body = {key: value for key, value in data.items() if key not in ("format", "schema")}
    try:
        return read(Piece, body)
    except ParameterError as error:
        raise ParameterError(error.field, error.message).with_source(source) from None


def check_head(data: dict[str, Any], kind: str, source: str) -> None:
    """Refuse what is not of this format, or of a schema that this version does not know."""
    if data.get("format") != kind:
        raise FileError(f'{source}: "format" must be "{kind}", not {said(data.get("format"))}')
    number = data.get("schema")
    if isinstance(number, bool) or not isinstance(number, int) or number < 1:
        raise FileError(f'{source}: "schema" must be a whole number from 1 to {SCHEMA}, not {said(number)}')
    if number > SCHEMA:
        raise FileError(
            f"{source}: was written by a newer version (schema {said(number)}; this one reads up to {SCHEMA}); it is left as it is"
        )


def _no_key_twice(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    table: dict[str, Any] = {}
    for key, value in pairs:
        if key in table:
            raise ParameterError("", f"the key {said(key)} stands twice in one table")
        table[key] = value
    return table


def _whole_number(digits: str) -> int:
    """The number; of more digits than any parameter allows, one as long, which its reader then refuses by name."""
    if len(digits) <= MOST_DIGITS:
        return int(digits)
    return (-1 if digits.startswith("-") else 1) * 10 ** min(
        len(digits.lstrip("-")) - 1, 4100
    )  # the longest that is counted out


def _no_constant(word: str) -> float:
    raise ParameterError("", f"{word} is not a number that can be measured")


def _depth(text: str) -> int:
    depth = deepest = 0
    inside = escaped = False
    for c in text:
        if inside:
            if escaped:
                escaped = False
            elif c == "\\":
                escaped = True
            elif c == '"':
                inside = False
        elif c == '"':
            inside = True
        elif c in "[{":
            depth += 1
            deepest = max(deepest, depth)
            if deepest > DEEPEST:
                return deepest
        elif c in "]}":
            depth -= 1
    return deepest
