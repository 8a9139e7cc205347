"""Workshop files: strict JSON in, canonical JSON out, refused for the same reasons as a piece file."""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path
from typing import Any

from ..errors import ParameterError
from ..fields import plain, read, schema
from ..materials import LIBRARY
from ..piece.files import SCHEMA, check_head, file_beside, file_text, parsed, picture_bytes
from .workshop import Workshop

FORMAT = "muntin workshop"


def workshop_from_text(text: str, source: str = "workshop") -> Workshop:
    """The workshop that a text says; FileError or ParameterError with `source` first."""
    data = parsed(text, source)
    check_head(data, FORMAT, source)
    try:
        return read(Workshop, {key: value for key, value in data.items() if key not in ("format", "schema")})
    except ParameterError as error:
        raise ParameterError(error.field, error.message).with_source(source) from None


def workshop_text(workshop: Workshop) -> str:
    """The canonical text of a workshop: every value, fixed key order, two spaces, a newline at the end."""
    data = {"format": FORMAT, "schema": SCHEMA, **plain(workshop)}
    return json.dumps(data, indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def read_workshop_file(path: str | Path) -> Workshop:
    """The workshop in a file."""
    return workshop_from_text(file_text(path), str(path))


def workshop_logo(path: str | Path) -> bytes | None:
    """The company's logo: the picture that a workshop file names, beside it; None where it names none. Raises FileError."""
    named = read_workshop_file(path).company.logo
    return picture_bytes(file_beside(named, Path(path), f"{path}: company.logo")) if named else None


@lru_cache(maxsize=1)
def example_workshop() -> Workshop:
    """The library's own example: common sheets and sections, prices invented and marked as examples."""
    return read_workshop_file(LIBRARY / "workshop.json")


def workshop_schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a workshop file."""
    inner = schema(Workshop, "Muntin workshop file")
    head = {"format": {"const": FORMAT}, "schema": {"const": SCHEMA}}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **inner,
        "properties": {**head, **inner["properties"]},
        "required": ["format", "schema"],
    }
