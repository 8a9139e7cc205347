"""The parameters as a reader's table, made from their declarations."""

from __future__ import annotations

import dataclasses

from .catalogue import entries
from .fields import Field, fields_of
from .piece.piece import Piece
from .workshop.workshop import Workshop


def parameters_markdown() -> str:
    """A Markdown page with one table for each group of parameters, and one for each entry of an open folder."""
    sections = [
        "# Parameters of a piece file and of a workshop file",
        "",
        "Made from the declarations in `core/piece`, `core/build` and `core/workshop`; lengths in mm, angles in degrees.",
        "",
    ]
    waiting: list[tuple[str, type]] = [("Piece", Piece), ("Workshop file", Workshop)]
    done: set[type] = set()
    folders: dict[str, None] = {}
    while waiting:
        title, cls = waiting.pop(0)
        if cls in done:
            continue
        done.add(cls)
        sections += _table(title, cls)
        for field in fields_of(cls):
            if field.kind in ("group", "items") and dataclasses.is_dataclass(field.of):
                waiting.append((field.label, field.of))
            if field.kind == "variant" and field.folder not in folders:
                folders[field.folder] = None
                waiting += [
                    (f"{field.label}: {entry.label} (`{word}`)", entry) for word, entry in entries(field.folder).items()
                ]
    return "\n".join(sections)


def _table(title: str, cls: type) -> list[str]:
    about = (cls.__doc__ or "").strip().splitlines()[0]
    head = [f"## {title}", "", about, "", "| key | what | default | limits |", "|---|---|---|---|"]
    rows = [
        f"| `{field.name}` | {field.label}: {field.help} | {_default(field)} | {_limits(field)} |"
        for field in fields_of(cls)
    ]
    return [*head, *rows, ""]


def _default(field: Field) -> str:
    if field.kind in ("group", "items", "variant"):
        return f"`{field.default}`" if field.kind == "variant" and field.default else ""
    if field.kind == "size":
        return f'`{{"{field.default.way}": {field.default.amount:g}}}`'
    if field.is_number:
        return f"{field.default:g} {field.unit}".strip()
    return (
        f"`{str(field.default).lower() if isinstance(field.default, bool) else field.default}`"
        if field.default != ""
        else ""
    )


def _limits(field: Field) -> str:
    if field.is_number:
        return f"{field.low:g} to {field.high:g}"
    if field.kind == "choice":
        return ", ".join(f"`{word}`" for word, _ in field.choices)
    if field.kind == "variant":
        return ("a list of " if field.many else "") + ", ".join(f"`{word}`" for word in entries(field.folder))
    if field.kind == "items":
        return f"a list of at most {field.high:g}"
    return {
        "text": f"at most {field.high:g} characters" if field.high else "",
        "colour": "#rrggbb",
        "date": "YYYY-MM-DD",
        "name": "an id",
    }.get(field.kind, "")
