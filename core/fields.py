"""Parameters declared once: the file format, its schema, limits, labels, docs and test ranges all come from here.

A group of parameters is a frozen dataclass made with `@parameters`; each of its attributes is declared by one of the
functions below (`length`, `choice`, `group` …). `read` makes a group from plain data, `plain` writes it back.
"""

from __future__ import annotations

import dataclasses
import datetime
import difflib
import math
import unicodedata
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any, TypeVar, dataclass_transform

from .catalogue import entries
from .errors import ParameterError, within

Group = TypeVar("Group")
_MARK = "muntin"
_UNPRINTED = ("Cc", "Cs", "Zl", "Zp")  # Unicode: control characters, lone surrogates, line and paragraph separators


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """The declaration of one parameter."""

    kind: str  # length angle number count mass flag choice text name colour date size group items variant
    label: str
    help: str
    default: Any = None
    low: float | None = None
    high: float | None = None
    unit: str = ""
    choices: tuple[tuple[str, str], ...] = ()  # (word in the file, label on screen)
    of: type | None = None  # group, items: the class of the value or of each item
    folder: str = ""  # variant: the open folder that its entries come from
    many: bool = False  # variant: a list of them
    name: str = ""  # filled in by `fields_of`

    @property
    def is_number(self) -> bool:
        """Whether the value is one number."""
        return self.kind in ("length", "angle", "number", "count", "mass")

    def range_words(self) -> str:
        """The limits as a reader says them: "between 250 and 3000 mm"."""
        unit = f" {self.unit}" if self.unit and self.unit != "°" else self.unit
        return f"between {self.low:g} and {self.high:g}{unit}"


# -------------------------------------------------------------------------------------------------------------- declaring
@dataclass_transform(frozen_default=True, kw_only_default=True)
def parameters(cls: type[Group]) -> type[Group]:
    """Make a class of declared parameters a frozen value that can be read, written and described."""
    made = dataclass(frozen=True, slots=True, kw_only=True)(cls)
    for each in dataclasses.fields(made):
        assert each.name != "style", "style is the word that tells the entries of an open folder apart"
        assert _MARK in each.metadata, f"{cls.__name__}.{each.name} is not declared by a field function"
    return made


def _declare(field: Field, default: Any = dataclasses.MISSING, factory: Any = dataclasses.MISSING) -> Any:
    metadata = {_MARK: field}
    if factory is not dataclasses.MISSING:
        return dataclasses.field(default_factory=factory, metadata=metadata)
    return dataclasses.field(default=default, metadata=metadata)


def length(default: float, low: float, high: float, label: str, help: str) -> Any:
    """A length in mm."""
    return _declare(
        Field(kind="length", unit="mm", default=float(default), low=low, high=high, label=label, help=help),
        float(default),
    )


def angle(default: float, low: float, high: float, label: str, help: str) -> Any:
    """An angle in degrees."""
    return _declare(
        Field(kind="angle", unit="°", default=float(default), low=low, high=high, label=label, help=help),
        float(default),
    )


def number(default: float, low: float, high: float, label: str, help: str, unit: str = "") -> Any:
    """A plain number."""
    return _declare(
        Field(kind="number", unit=unit, default=float(default), low=low, high=high, label=label, help=help),
        float(default),
    )


def mass(default: float, low: float, high: float, label: str, help: str) -> Any:
    """A mass in kg."""
    return _declare(
        Field(kind="mass", unit="kg", default=float(default), low=low, high=high, label=label, help=help),
        float(default),
    )


def count(default: int, low: int, high: int, label: str, help: str) -> Any:
    """A whole number of things."""
    return _declare(Field(kind="count", default=default, low=low, high=high, label=label, help=help), default)


def flag(default: bool, label: str, help: str) -> Any:
    """Yes or no."""
    return _declare(Field(kind="flag", default=default, label=label, help=help), default)


def choice(default: str, choices: Mapping[str, str], label: str, help: str) -> Any:
    """One of a few words; `choices` maps the word in the file to its label."""
    assert default in choices
    return _declare(
        Field(kind="choice", default=default, choices=tuple(choices.items()), label=label, help=help), default
    )


def text(default: str, label: str, help: str, longest: int = 200) -> Any:
    """A line of text of at most `longest` characters."""
    return _declare(Field(kind="text", default=default, high=longest, label=label, help=help), default)


def ident(default: str, label: str, help: str) -> Any:
    """The id of something declared elsewhere: a board, a fitting, a compartment (small letters, digits, - and _)."""
    return _declare(Field(kind="name", default=default, high=60, label=label, help=help), default)


def colour(default: str, label: str, help: str) -> Any:
    """An sRGB colour as #rrggbb."""
    return _declare(Field(kind="colour", default=default, label=label, help=help), default)


def date(default: str, label: str, help: str) -> Any:
    """A day as YYYY-MM-DD (ISO 8601), or nothing."""
    return _declare(Field(kind="date", default=default, label=label, help=help), default)


def group(of: type, label: str, help: str, **changes: Any) -> Any:
    """A group inside a group; `changes` override the inner defaults."""
    return _declare(Field(kind="group", of=of, label=label, help=help, default=changes), factory=lambda: of(**changes))


def items(of: type, label: str, help: str, default: tuple = (), most: int = 400) -> Any:
    """A list of groups, or of numbers where `of` is float, or of ids where `of` is str."""
    return _declare(Field(kind="items", of=of, label=label, help=help, default=default, high=most), default)


def variant(folder: str, default: str, label: str, help: str) -> Any:
    """One entry of an open folder with that entry's own parameters: {"style": "planted_frame", …}."""
    return _declare(
        Field(kind="variant", folder=folder, label=label, help=help, default=default),
        factory=lambda: entries(folder)[default](),
    )


def variants(folder: str, label: str, help: str, most: int = 40) -> Any:
    """A list of entries of an open folder."""
    return _declare(Field(kind="variant", folder=folder, many=True, label=label, help=help, default=(), high=most), ())


@dataclass(frozen=True, slots=True)
class Size:
    """How large one part of a division is: fixed in mm, in shares of what is left, or the rest."""

    way: str = "share"
    amount: float = 1.0


def size(label: str, help: str) -> Any:
    """The size of one part of a division: {"fixed": 450}, {"share": 2} or {"rest": true}."""
    return _declare(Field(kind="size", unit="mm", default=Size(), low=10, high=5000, label=label, help=help), Size())


# --------------------------------------------------------------------------------------------------------------- describing
@cache
def fields_of(cls: type) -> tuple[Field, ...]:
    """The declarations of a group's parameters, in order.

    >>> @parameters
    ... class Size:
    ...     width: float = length(600, 100, 3000, "Width", "Overall width")
    >>> [f.name for f in fields_of(Size)]
    ['width']
    """
    return tuple(dataclasses.replace(each.metadata[_MARK], name=each.name) for each in dataclasses.fields(cls))


def walk(value: Any, path: str = "") -> Iterator[tuple[str, Field, Any]]:
    """Every single parameter of a group as (path, declaration, value), groups and lists opened."""
    for field in fields_of(type(value)):
        here = f"{path}.{field.name}" if path else field.name
        held = getattr(value, field.name)
        if field.kind == "group" or (field.kind == "variant" and not field.many):
            yield from walk(held, here)
        elif field.kind == "variant" or (field.kind == "items" and dataclasses.is_dataclass(field.of)):
            for index, item in enumerate(held):
                yield from walk(item, f"{here}[{index}]")
        else:
            yield here, field, held


def style_of(value: Any) -> str:
    """The word of an open folder's entry, or nothing for a plain group."""
    return getattr(type(value), "style", "")


# ------------------------------------------------------------------------------------------------------------------ reading
def read(cls: type[Group], data: Any, path: str = "") -> Group:
    """A group from plain data (as JSON gives it); missing keys take their default.

    Raises ParameterError with the parameter's path, the value and the limit.
    """
    if not isinstance(data, dict):
        raise ParameterError(path, f"must be a table of parameters in braces, not {said(data)}")
    declared = {field.name: field for field in fields_of(cls)}
    for key in data:
        if key not in declared:
            raise ParameterError(_join(path, key), "is not a parameter" + suggestion(key, declared))
    values = {key: read_field(declared[key], value, _join(path, key)) for key, value in data.items()}
    if not path:
        return cls(**values)
    with within(path):
        return cls(**values)


def read_field(field: Field, value: Any, path: str) -> Any:
    """One parameter's value from plain data, checked against its declaration."""
    return _READERS[field.kind](field, value, path)


def _read_number(field: Field, value: Any, path: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise ParameterError(path, f"must be a number {field.range_words()}, not {said(value)}")
    if isinstance(value, float) and not math.isfinite(value):
        raise ParameterError(path, f"{value} is not a number {field.range_words()}")
    if not field.low <= value <= field.high:  # type: ignore[operator]
        raise ParameterError(path, f"{_figure(value)} is out of range; it must be {field.range_words()}")
    return float(value) + 0.0


def _read_count(field: Field, value: Any, path: str) -> int:
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e9:
        value = int(value)
    if isinstance(value, bool) or not isinstance(value, int):
        raise ParameterError(path, f"must be a whole number {field.range_words()}, not {said(value)}")
    if not field.low <= value <= field.high:  # type: ignore[operator]
        raise ParameterError(path, f"{_figure(value)} is out of range; it must be {field.range_words()}")
    return value


def _read_flag(field: Field, value: Any, path: str) -> bool:
    if not isinstance(value, bool):
        raise ParameterError(path, f"must be true or false, not {said(value)}")
    return value


def _read_choice(field: Field, value: Any, path: str) -> str:
    words = [word for word, _ in field.choices]
    if value not in words or not isinstance(value, str):
        known = ", ".join(words)
        raise ParameterError(path, f"must be one of {known}, not {said(value)}{suggestion(value, words)}")
    return value


def _read_text(field: Field, value: Any, path: str) -> str:
    if not isinstance(value, str):
        raise ParameterError(path, f"must be text, not {said(value)}")
    if len(value) > field.high:  # type: ignore[operator]
        raise ParameterError(path, f"is {len(value)} characters long; the most is {field.high:g}")
    if any(unicodedata.category(c) in _UNPRINTED for c in value):
        raise ParameterError(path, f"holds a character that cannot be printed: {said(value)}")
    return value


def _read_name(field: Field, value: Any, path: str) -> str:
    value = _read_text(field, value, path)
    if not all(c.isascii() and (c.islower() or c.isdigit() or c in "-_.") for c in value):
        raise ParameterError(path, f"must be small letters, digits, '-', '_' or '.', not {said(value)}")
    return value


def _read_colour(field: Field, value: Any, path: str) -> str:
    digits = value[1:] if isinstance(value, str) and value.startswith("#") else ""
    if len(digits) != 6 or not all(c in "0123456789abcdefABCDEF" for c in digits):
        raise ParameterError(path, f"must be a colour such as #8a9a7b, not {said(value)}")
    return value.lower()


def _read_date(field: Field, value: Any, path: str) -> str:
    try:
        if value == "" or (len(value) == len("2026-11-24") and datetime.date.fromisoformat(value).isoformat() == value):
            return value
    except (TypeError, ValueError):
        pass
    raise ParameterError(path, f"must be a day such as 2026-11-24, not {said(value)}")


def _read_size(field: Field, value: Any, path: str) -> Size:
    if not isinstance(value, dict) or len(value) != 1 or next(iter(value)) not in ("fixed", "share", "rest"):
        raise ParameterError(path, f'must be {{"fixed": mm}}, {{"share": n}} or {{"rest": true}}, not {said(value)}')
    way, amount = next(iter(value.items()))
    if way == "rest":
        if amount is not True:
            raise ParameterError(_join(path, way), f"must be true, not {said(amount)}")
        return Size("rest", 1.0)
    limits = field if way == "fixed" else _SHARE
    return Size(way, _read_number(limits, amount, _join(path, way)))


def _read_group(field: Field, value: Any, path: str) -> Any:
    return read(field.of, value, path)  # type: ignore[arg-type]


def _read_items(field: Field, value: Any, path: str) -> tuple:
    if not isinstance(value, list):
        raise ParameterError(path, f"must be a list in brackets, not {said(value)}")
    if len(value) > field.high:  # type: ignore[operator]
        raise ParameterError(path, f"has {len(value)} entries; the most is {field.high:g}")
    return tuple(_read_item(field, item, f"{path}[{index}]") for index, item in enumerate(value))


def _read_item(field: Field, item: Any, path: str) -> Any:
    if field.of is str:
        return _read_name(_ID, item, path)
    if field.of is float:
        return _read_number(_HEIGHT, item, path)
    return read(field.of, item, path)  # type: ignore[arg-type]


def _read_variant(field: Field, value: Any, path: str) -> Any:
    if not field.many:
        return _read_style(field, value, path)
    if not isinstance(value, list):
        raise ParameterError(path, f"must be a list in brackets, not {said(value)}")
    if len(value) > field.high:  # type: ignore[operator]
        raise ParameterError(path, f"has {len(value)} entries; the most is {field.high:g}")
    return tuple(_read_style(field, item, f"{path}[{index}]") for index, item in enumerate(value))


def _read_style(field: Field, value: Any, path: str) -> Any:
    known = entries(field.folder)
    if not isinstance(value, dict) or "style" not in value:
        raise ParameterError(path, f'must be a table with a "style" (one of {", ".join(known)}), not {said(value)}')
    word = value["style"]
    if not isinstance(word, str) or word not in known:
        raise ParameterError(
            _join(path, "style"), f"must be one of {', '.join(known)}, not {said(word)}{suggestion(word, known)}"
        )
    return read(known[word], {key: held for key, held in value.items() if key != "style"}, path)


# what stands in a list or in a size without a declaration of its own
_SHARE = Field(kind="number", label="Share", help="Of what the fixed parts leave", low=0.01, high=1000)
_HEIGHT = Field(kind="length", unit="mm", label="Height", help="Above the floor", low=0, high=10_000)
_ID = Field(kind="name", label="Id", help="Of something declared elsewhere", high=60)

_READERS: dict[str, Callable[[Field, Any, str], Any]] = {
    "length": _read_number, "angle": _read_number, "number": _read_number, "mass": _read_number, "count": _read_count,
    "flag": _read_flag, "choice": _read_choice, "text": _read_text, "name": _read_name, "colour": _read_colour,
    "date": _read_date, "size": _read_size, "group": _read_group, "items": _read_items, "variant": _read_variant,
}  # fmt: skip


# ------------------------------------------------------------------------------------------------------------------ writing
def plain(value: Any) -> dict[str, Any]:
    """The group as plain data, every value written, keys in declared order."""
    result: dict[str, Any] = {}
    if style_of(value):
        result["style"] = style_of(value)
    for field in fields_of(type(value)):
        result[field.name] = plain_value(getattr(value, field.name))
    return result


def plain_value(held: Any) -> Any:
    """What a field holds as plain data."""
    if isinstance(held, Size):
        return {held.way: True if held.way == "rest" else plain_value(held.amount)}
    if dataclasses.is_dataclass(held):
        return plain(held)
    if isinstance(held, tuple):
        return [plain_value(item) for item in held]
    if isinstance(held, float) and held.is_integer():
        return int(held)
    return held


# ------------------------------------------------------------------------------------------------------------------- schema
def schema(cls: type, title: str = "") -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a group."""
    properties = {field.name: _schema_of(field) for field in fields_of(cls)}
    if hasattr(cls, "style"):
        properties = {"style": {"const": cls.style}, **properties}
    result: dict[str, Any] = {"type": "object", "additionalProperties": False, "properties": properties}
    return {"title": title, **result} if title else result


def _schema_of(field: Field) -> dict[str, Any]:
    about = {"title": field.label, "description": f"{field.help} ({field.unit})" if field.unit else field.help}
    if field.is_number:
        kind = "integer" if field.kind == "count" else "number"
        return {**about, **_limited(kind, field), "default": field.default}
    if field.kind == "group":
        return {**about, **schema(field.of)}  # type: ignore[arg-type]
    if field.kind == "items":
        return {**about, "type": "array", "maxItems": int(field.high or 0), "items": _schema_of_item(field.of)}
    if field.kind == "variant":
        known = {"oneOf": [{**schema(entry), "required": ["style"]} for entry in entries(field.folder).values()]}
        return {**about, "type": "array", "items": known} if field.many else {**about, **known}
    if field.kind == "size":
        return {**about, "type": "object", "minProperties": 1, "maxProperties": 1, "additionalProperties": False,
                "properties": {"fixed": _limited("number", field), "share": _limited("number", _SHARE), "rest": {"const": True}}}  # fmt: skip
    return {**about, **_SCHEMA_WORDS[field.kind](field), "default": field.default}


def _limited(kind: str, field: Field) -> dict[str, Any]:
    return {"type": kind, "minimum": field.low, "maximum": field.high}


def _schema_of_item(of: Any) -> dict[str, Any]:
    if of is str:
        return _SCHEMA_WORDS["name"](_ID)
    if of is float:
        return _limited("number", _HEIGHT)
    return schema(of)


_SCHEMA_WORDS: dict[str, Callable[[Field], dict[str, Any]]] = {
    "flag": lambda f: {"type": "boolean"},
    "choice": lambda f: {"enum": [word for word, _ in f.choices]},
    "text": lambda f: {
        "type": "string",
        "maxLength": int(f.high or 0),
        "pattern": "^[^\\u0000-\\u001f\\u007f-\\u009f\\u2028\\u2029]*$",
    },
    "name": lambda f: {"type": "string", "pattern": "^[a-z0-9_.-]*$", "maxLength": int(f.high or 0)},
    "colour": lambda f: {"type": "string", "pattern": "^#[0-9a-fA-F]{6}$"},
    "date": lambda f: {
        "type": "string",
        "anyOf": [{"const": ""}, {"format": "date", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}],
    },
}


# ------------------------------------------------------------------------------------------------------------------ helpers
def _join(path: str, key: str) -> str:
    shown = in_one_line(key, 60)
    return f"{path}.{shown}" if path else shown


def in_one_line(words: str, longest: int) -> str:
    """Words from a file as a message may show them: cut to a length, and what does not print as a question mark."""
    cut = words if len(words) <= longest else words[: longest - 3] + "..."
    return "".join(c if c.isprintable() else "?" for c in cut)


def said(value: Any) -> str:
    """A value from a file as a message shows it."""
    if isinstance(value, str):
        return f'"{in_one_line(value, 40)}"'
    if value is None:
        return "nothing (null)"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return _figure(value)
    return "a list" if isinstance(value, (list, tuple)) else "a table"


def _figure(value: float) -> str:
    if isinstance(value, int) and abs(value) >= 10**15:
        return f"a number of {len(str(abs(value))) if abs(value) < 10**4000 else 'thousands of'} digits"
    return f"{value:g}" if isinstance(value, float) else str(value)


def suggestion(word: Any, known: Any) -> str:
    """ "; did you mean …?" for a misspelt word, or nothing where no known word is near."""
    if not isinstance(word, str):
        return ""
    near = difflib.get_close_matches(word[:60], list(known), n=1, cutoff=0.6)
    return f'; did you mean "{near[0]}"?' if near else ""
