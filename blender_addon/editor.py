"""Property groups made from core's declared parameters: the editor of a piece's canonical text, never its keeper.

Each parameter class becomes a `PropertyGroup` with one property for each declared field. `fill` writes plain data
into a group, `plain_from` reads it back; a value that was not touched comes back with all the digits that its text
had, although Blender's numbers are shorter. No property has a hard limit: what a person types stays, and core says
what is wrong with it.
"""

from __future__ import annotations

import ctypes
import dataclasses
import math
import re
from collections.abc import Callable, Iterable
from typing import Any

import bpy
from bpy.props import (
    BoolProperty,
    CollectionProperty,
    EnumProperty,
    FloatProperty,
    FloatVectorProperty,
    IntProperty,
    PointerProperty,
    StringProperty,
)

from . import hooks, suggestions
from .core.catalogue import entries
from .core.fields import Field, fields_of, plain
from .lengths import METRES_PER_MM
from .wording import help_text, title

LENGTH_PLACES = 3  # decimals of a millimetre that a typed length keeps; at 10 m Blender's own numbers have no more
ANGLE_PLACES = 3  # decimals of a degree
NUMBER_PLACES = 5
LENGTH_OF_LIST = Field(kind="length", label="Length", help="In millimetres", unit="mm", low=0, high=10_000, default=0.0)
WORD_OF_LIST = Field(kind="name", label="Id", help="An id", default="", high=60)

Group = bpy.types.PropertyGroup
_classes: dict[Any, type[Group]] = {}
_silent = 0


# ---------------------------------------------------------------------------------------------------- the group classes
def group_class(cls: type, changes: dict[str, Any] | None = None) -> type[Group]:
    """The property group of a parameter class; `changes` override the defaults of its fields."""
    changes = changes or {}
    key = (cls, repr(sorted(changes.items())))
    if key not in _classes:
        declared = [
            dataclasses.replace(field, default=changes.get(field.name, field.default)) for field in fields_of(cls)
        ]
        properties: dict[str, Any] = {}
        for field in declared:
            properties |= _properties(field)
        _classes[key] = _group(cls.__name__, properties)
    return _classes[key]


def made_classes() -> tuple[type[Group], ...]:
    """Every class made so far, each after those that it contains."""
    return tuple(_classes.values())


def _group(stem: str, properties: dict[str, Any]) -> type[Group]:
    taken = {each.__name__ for each in _classes.values()}
    names = (f"MUNTIN_PG_{stem.lower()}{number or ''}" for number in range(1000))
    name = next(each for each in names if each not in taken)
    return type(name, (Group,), {"__doc__": f"Parameters of {stem}", "__annotations__": properties})


def _properties(field: Field) -> dict[str, Any]:
    if field.kind == "group":
        return {field.name: PointerProperty(type=group_class(field.of, field.default), **_words(field))}
    if field.kind == "variant" and not field.many:
        return {field.name: PointerProperty(type=_variant_class(field.folder, field.default), **_words(field))}
    if field.kind in ("items", "variant"):
        row = CollectionProperty(type=_row_class(field), **_words(field))
        return {field.name: row, at_name(field): IntProperty(name="Active", description="The line that is shown below")}
    if field.kind == "size":
        return {field.name: PointerProperty(type=_size_class(field), **_words(field))}
    return _single(field, field.name)


def _single(field: Field, name: str) -> dict[str, Any]:
    """The property of one value; of a length also the text that is shown where lengths are inches."""
    made = {name: _PROPERTIES[field.kind](field)}
    if field.kind == "length":
        made[words_name(name)] = StringProperty(
            **_range_words(field), get=hooks.showing(name), set=hooks.typing(name), options={"SKIP_SAVE"}
        )
    return made


def _row_class(field: Field) -> type[Group]:
    """The group of one line of a list."""
    if field.kind == "variant":
        return _variant_class(field.folder, next(iter(entries(field.folder))))
    if dataclasses.is_dataclass(field.of):
        return group_class(field.of)
    key = ("value", field.of, field.name)
    if key not in _classes:
        inner = LENGTH_OF_LIST if field.of is float else dataclasses.replace(WORD_OF_LIST, name=field.name)
        inner = dataclasses.replace(inner, label=field.label, help=field.help)
        _classes[key] = _group(f"value_{field.name}", _single(inner, "value"))
    return _classes[key]


def _variant_class(folder: str, default: str) -> type[Group]:
    key = (folder, default)
    if key not in _classes:
        known = entries(folder)
        pointers = {
            word: PointerProperty(type=group_class(entry), name=title(entry.label)) for word, entry in known.items()
        }
        items = [(word, title(entry.label), help_text(entry.__doc__ or word)) for word, entry in known.items()]
        style = EnumProperty(
            items=items,
            default=default,
            name="Style",
            description="Which of the known ways",
            update=hooks.value_changed,
        )
        _classes[key] = _group(folder.rsplit(".", 1)[-1], {"style": style, **pointers})
    return _classes[key]


def _size_class(field: Field) -> type[Group]:
    key = ("size", field.low, field.high)
    if key not in _classes:
        ways = [
            ("fixed", "Fixed", "A clear size of its own"),
            ("share", "Share", "A share of what is left"),
            ("rest", "The Rest", "What is left over, so that figures add up"),
        ]
        share = Field(
            kind="number",
            label="Share",
            help="In proportion to the shares of its neighbours",
            low=0.01,
            high=1000,
            default=1.0,
        )
        _classes[key] = _group(
            "size",
            {
                "way": EnumProperty(items=ways, default="share", update=hooks.value_changed, **_words(field)),
                **_single(dataclasses.replace(field, kind="length", default=400.0), "fixed"),
                "share": _number(share),
            },
        )
    return _classes[key]


def at_name(field: Field) -> str:
    """The name of the property that says which line of a list is shown."""
    return f"at_{field.name}"


def words_name(name: str) -> str:
    """The name of the property that holds a length as text."""
    return f"{name}_words"


# ---------------------------------------------------------------------------------------------------- single properties
def _words(field: Field) -> dict[str, str]:
    return {"name": title(field.label), "description": help_text(field.help)}


def _range_words(field: Field) -> dict[str, str]:
    words = _words(field)
    return {**words, "description": f"{words['description']} ({field.range_words()})"}


def _length(field: Field) -> Any:
    return FloatProperty(
        **_range_words(field),
        default=field.default * METRES_PER_MM,
        soft_min=field.low * METRES_PER_MM,
        soft_max=field.high * METRES_PER_MM,
        subtype="DISTANCE",
        unit="LENGTH",
        precision=4,
        step=0.1,
        update=hooks.value_changed,
    )


def _angle(field: Field) -> Any:
    return FloatProperty(
        **_range_words(field),
        default=math.radians(field.default),
        soft_min=math.radians(field.low),
        soft_max=math.radians(field.high),
        subtype="ANGLE",
        unit="ROTATION",
        step=100,
        update=hooks.value_changed,
    )


def _number(field: Field) -> Any:
    words = _range_words(field)
    if field.unit:
        words["name"] += f" ({field.unit})"
    return FloatProperty(
        **words, default=field.default, soft_min=field.low, soft_max=field.high, precision=1, update=hooks.value_changed
    )


def _count(field: Field) -> Any:
    return IntProperty(
        **_range_words(field),
        default=field.default,
        soft_min=int(field.low),
        soft_max=int(field.high),
        update=hooks.value_changed,
    )


def _choice(field: Field) -> Any:
    items = [
        (word, title(label.partition(":")[0].partition(",")[0]), help_text(label)) for word, label in field.choices
    ]
    return EnumProperty(items=items, default=field.default, update=hooks.value_changed, **_words(field))


def _text(field: Field) -> Any:
    kind = suggestions.kind_for(field)
    more = {"search": hooks.suggesting(kind), "search_options": {"SUGGESTION", "SORT"}} if kind else {}
    return StringProperty(**_words(field), default=field.default, update=hooks.value_changed, **more)


def _colour(field: Field) -> Any:
    default = _colour_in(field.default, 0)
    return FloatVectorProperty(
        **_words(field), default=default, size=3, min=0, max=1, subtype="COLOR_GAMMA", update=hooks.value_changed
    )


_PROPERTIES: dict[str, Callable[[Field], Any]] = {
    "length": _length,
    "angle": _angle,
    "number": _number,
    "mass": _number,
    "count": _count,
    "choice": _choice,
    "text": _text,
    "name": _text,
    "date": _text,
    "colour": _colour,
    "flag": lambda field: BoolProperty(**_words(field), default=field.default, update=hooks.value_changed),
}


# --------------------------------------------------------------------------------------------------- silence
class silence:
    """While this is entered, changed values change nothing else."""

    def __enter__(self) -> None:
        global _silent
        _silent += 1

    def __exit__(self, *_: object) -> None:
        global _silent
        _silent -= 1


def is_silent() -> bool:
    """Whether values are being set that nobody is to hear of."""
    return _silent > 0


# -------------------------------------------------------------------------------------------------------------- filling
def fill(group: Group, cls: type, data: dict[str, Any], scale: float) -> None:
    """Write plain data of a parameter class into its group; `scale` is Blender units to a millimetre."""
    with silence():
        _fill(group, cls, data, scale)


def fill_sections(group: Group, cls: type, data: dict[str, Any], scale: float) -> None:
    """The same for some of the fields only: those that `data` has."""
    with silence():
        _fill_fields(group, [field for field in fields_of(cls) if field.name in data], data, scale)


def _fill(group: Group, cls: type, data: dict[str, Any], scale: float) -> None:
    _fill_fields(group, fields_of(cls), data, scale)


def _fill_fields(group: Group, fields: Iterable[Field], data: dict[str, Any], scale: float) -> None:
    for field in fields:
        held, value = getattr(group, field.name), data[field.name]
        if field.kind == "group":
            _fill(held, field.of, value, scale)
        elif field.kind == "variant" and not field.many:
            _fill_variant(held, field.folder, value, scale)
        elif field.kind in ("items", "variant"):
            _fill_list(group, field, held, value, scale)
        elif field.kind == "size":
            _fill_size(held, value, scale)
        else:
            _set(group, field.name, _INTO[field.kind](value, scale))


def _fill_variant(group: Group, folder: str, data: dict[str, Any], scale: float) -> None:
    _set(group, "style", data["style"])
    _fill(getattr(group, data["style"]), entries(folder)[data["style"]], data, scale)


def _fill_list(group: Group, field: Field, rows: Any, data: list[Any], scale: float) -> None:
    while len(rows) > len(data):
        rows.remove(len(rows) - 1)
    while len(rows) < len(data):
        rows.add()
    for row, value in zip(rows, data, strict=True):
        if field.kind == "variant":
            _fill_variant(row, field.folder, value, scale)
        elif dataclasses.is_dataclass(field.of):
            _fill(row, field.of, value, scale)
        else:
            _set(row, "value", value * scale if field.of is float else value)
    last = max(0, len(data) - 1)
    if getattr(group, at_name(field)) > last:
        setattr(group, at_name(field), last)


def _fill_size(group: Group, value: dict[str, Any], scale: float) -> None:
    way, amount = next(iter(value.items()))
    _set(group, "way", way)
    if way != "rest":
        _set(group, way, amount * scale if way == "fixed" else amount)


def _set(group: Group, name: str, value: Any) -> None:
    held = getattr(group, name)
    if (tuple(held) if isinstance(value, tuple) else held) != value:
        setattr(group, name, value)


# -------------------------------------------------------------------------------------------------------------- reading
def plain_from(group: Group, cls: type, before: dict[str, Any] | None, scale: float) -> dict[str, Any]:
    """The plain data that a group says; untouched values exactly as in `before`, the data it was filled from."""
    before = before or {}
    return {field.name: _plain(group, field, before.get(field.name), scale) for field in fields_of(cls)}


def _plain(group: Group, field: Field, before: Any, scale: float) -> Any:
    held = getattr(group, field.name)
    if field.kind == "group":
        return plain_from(held, field.of, before, scale)
    if field.kind == "variant" and not field.many:
        return _plain_variant(held, field.folder, before, scale)
    if field.kind in ("items", "variant"):
        known = before or []
        return [_plain_row(row, field, known[i] if i < len(known) else None, scale) for i, row in enumerate(held)]
    if field.kind == "size":
        return _plain_size(held, before, scale)
    return _kept(field.kind, held, before, scale)


def _plain_variant(group: Group, folder: str, before: dict[str, Any] | None, scale: float) -> dict[str, Any]:
    word = group.style
    same = before if before and before["style"] == word else None
    return {"style": word, **plain_from(getattr(group, word), entries(folder)[word], same, scale)}


def _plain_row(row: Group, field: Field, before: Any, scale: float) -> Any:
    if field.kind == "variant":
        return _plain_variant(row, field.folder, before, scale)
    if dataclasses.is_dataclass(field.of):
        return plain_from(row, field.of, before, scale)
    return _kept("length" if field.of is float else "name", row.value, before, scale)


def _plain_size(group: Group, before: dict[str, Any] | None, scale: float) -> dict[str, Any]:
    if group.way == "rest":
        return {"rest": True}
    kind = "length" if group.way == "fixed" else "number"
    return {group.way: _kept(kind, getattr(group, group.way), (before or {}).get(group.way), scale)}


def _kept(kind: str, held: Any, before: Any, scale: float) -> Any:
    if before is not None and _same(_INTO[kind](before, scale), held):
        return before
    return _OUT_OF[kind](held, scale)


def _same(written: Any, held: Any) -> bool:
    if isinstance(written, float):
        return _short(written) == held
    if isinstance(written, tuple):
        return all(_short(a) == b for a, b in zip(written, held, strict=True))
    return written == held


def _short(value: float) -> float:
    """The value as Blender keeps it, in 32 bits."""
    return ctypes.c_float(value).value


def _colour_in(value: str, _scale: float) -> tuple[float, ...]:
    return tuple(int(value[i : i + 2], 16) / 255 for i in (1, 3, 5))


def _colour_out(held: Iterable[float], _scale: float) -> str:
    return "#" + "".join(f"{round(255 * min(1.0, max(0.0, each))):02x}" for each in held)


def _as_is(value: Any, _scale: float) -> Any:
    return value


_INTO: dict[str, Callable[[Any, float], Any]] = {
    "length": lambda value, scale: float(value * scale),
    "angle": lambda value, scale: math.radians(value),
    "number": lambda value, scale: float(value),
    "mass": lambda value, scale: float(value),
    "colour": _colour_in,
} | dict.fromkeys(("count", "flag", "choice", "text", "name", "date"), _as_is)
_OUT_OF: dict[str, Callable[[Any, float], Any]] = {
    "length": lambda held, scale: round(held / scale, LENGTH_PLACES),
    "angle": lambda held, scale: round(math.degrees(held), ANGLE_PLACES),
    "number": lambda held, scale: round(held, NUMBER_PLACES),
    "mass": lambda held, scale: round(held, NUMBER_PLACES),
    "colour": _colour_out,
} | dict.fromkeys(("count", "flag", "choice", "text", "name", "date"), _as_is)


# -------------------------------------------------------------------------------------------------------- walking about
def inner_class(field: Field, group: Group) -> type:
    """The parameter class behind a group or a line of a list: of a variant, the entry that its style names."""
    return entries(field.folder)[group.style] if field.kind == "variant" else field.of


def inner_group(field: Field, group: Group) -> Group:
    """The group that holds the parameters: of a variant, the one of its style."""
    return getattr(group, group.style) if field.kind == "variant" else group


def choice_label(group: Group, name: str) -> str:
    """What the screen says for the word that a choice holds."""
    chosen = group.bl_rna.properties[name].enum_items.get(getattr(group, name))
    return chosen.name if chosen else ""


def reach(group: Group, cls: type, path: str) -> tuple[Group, Field]:
    """The group that has the parameter at a path, and that parameter's declaration: "fronts[0].panel.mid_rails".

    Raises KeyError for a path that leads nowhere.
    """
    name, dot, rest = path.partition(".")
    name, bracket, index = name.partition("[")
    field = next((each for each in fields_of(cls) if each.name == name), None)
    if field is None or (bracket and not index.rstrip("]").isdigit()):
        raise KeyError(path)
    if not dot:
        return group, field
    held = getattr(group, name)
    if bracket:
        if int(index.rstrip("]")) >= len(held):
            raise KeyError(path)
        held = held[int(index.rstrip("]"))]
    return reach(inner_group(field, held), inner_class(field, held), rest)


def path_of(group: Group, cls: type, name: str) -> str:
    """The path of a group's property in the piece, as core has it: "fronts[0].panel.mid_rails[1].at"."""
    steps, words = [*group.path_from_id().split(".")[2:], name], []
    while steps:
        step, steps = steps[0], steps[1:]
        field = next(each for each in fields_of(cls) if each.name == step.partition("[")[0])
        words.append(step)
        if field.kind == "size":
            words, steps = words + steps, []
        elif field.kind == "variant":
            cls, steps = entries(field.folder)[steps[0]], steps[1:]
        elif field.kind == "items" and not dataclasses.is_dataclass(field.of):
            steps = []
        else:
            cls = field.of
    return ".".join(words)


def put_at(data: Any, path: str, value: Any) -> None:
    """Set the value at a path of plain data."""
    steps = [int(each) if each.isdigit() else each for each in re.split(r"[.\[\]]+", path) if each]
    for each in steps[:-1]:
        data = data[each]
    data[steps[-1]] = value


def label(group: Group, cls: type, path: str) -> str:
    """A parameter's path in the words of the screen: "fronts[0].gaps.side" is "Fronts 1, Gaps, Gap at the Sides".

    A step that is no parameter of the entry that is chosen is told by its name.
    """
    words, step = [], ""
    for name in path.split("."):
        step = f"{step}.{name}" if step else name
        try:
            words.append(title(reach(group, cls, step)[1].label))
        except KeyError:
            words.append(title(name.partition("[")[0]))
        index = name.partition("[")[2].rstrip("]")
        if index.isdigit():
            words[-1] += f" {int(index) + 1}"
    return ", ".join(words)


def told(group: Group, cls: type, words: str) -> str:
    """A sentence of core's with its parameters as they are called on the screen: (top.rail_width) is (Top, Rail Width)."""
    names = "|".join(field.name for field in fields_of(cls))
    path = rf"\b(?:{names})(?:\[\d+\])?(?:\.[a-z_]+(?:\[\d+\])?)+"
    return re.sub(path, lambda found: label(group, cls, found.group()), words)


def add_row(group: Group, field: Field, scale: float) -> Group:
    """A new line of a list, with the defaults that core declares."""
    row = getattr(group, field.name).add()
    if field.kind == "variant" or dataclasses.is_dataclass(field.of):
        cls = inner_class(field, row)
        fill(inner_group(field, row), cls, plain(cls()), scale)
    setattr(group, at_name(field), len(getattr(group, field.name)) - 1)
    return row
