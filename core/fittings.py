"""The fittings library: what each piece of bought hardware looks like, weighs and needs in the wood.

Everything about a fitting is data: `library/fittings/` holds one file for each kind, so a new hinge or runner is a new
entry and never code. A number in an entry may be a sum of the entry's own sizes ("leaf_width - 3", "-length / 2");
a family of entries differs only in those sizes. What is cut to length is told its `length` when it is asked for bodies.

Every kind has its own right-handed frame in mm, said in words in its file (`FittingEntry.frame`). Bars are drawn from
their outline in the plane across the axis: (y, z) for a bar along x, (z, x) along y, (x, y) along z.
"""

from __future__ import annotations

import ast
import itertools
import math
import operator
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from types import MappingProxyType
from typing import Any

from .errors import ParameterError
from .geometry import Vector, quantised, vector
from .materials import LIBRARY, closest, read_library
from .model import Body

TO_SUIT = "to suit the wall"  # in place of a screw's size: the wall decides


# ------------------------------------------------------------------------------------------------------------ fittings
@dataclass(frozen=True, slots=True, kw_only=True)
class ScrewPlace:
    """One screw of a fitting, in the fitting's frame: the middle of its head and the direction it goes in."""

    screw: str  # "3.5 × 16", "M4", or `TO_SUIT`
    at: Vector
    along: Vector
    into: str  # what it holds in: "carcass", "door", "drawer", "piece", "wall"
    from_behind: bool = False  # the head lies on the far side of the wood: move `at` back by the thickness


@dataclass(frozen=True, slots=True, kw_only=True)
class HolePlace:
    """One hole that a fitting needs besides the pilots of its screws, in the fitting's frame; depth None: through."""

    at: Vector
    direction: Vector
    diameter: float
    depth: float | None
    part: str  # which part it is in, by the words of `ScrewPlace.into`
    purpose: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class FittingEntry:
    """One fitting that can be bought, by type and size."""

    id: str
    kind: str
    name: str  # type and size in words, as printed
    sizes: Mapping[str, float]
    frame: str  # where the fitting's own frame stands, in words
    members: tuple[str, ...]  # what moves apart: the leaves of a hinge, the members of a runner; one for a rigid thing
    cut_to_length: bool
    load: float  # kg that it carries, one fitting or one pair as sold; 0 where it has no rating
    load_verified: bool  # False: from memory or a general page, printed "unverified"
    sold_in_pairs: bool
    notes: tuple[str, ...]
    cautions: tuple[str, ...]
    source: str
    recipe: Mapping[str, Any]  # bodies, screws, holes and mass as they stand in the library

    def size(self, name: str) -> float:
        """One of its sizes in mm; a name it has not is our own mistake, said as KeyError."""
        if name not in self.sizes:
            raise KeyError(f"{self.id} has no size {name}; it has {', '.join(self.sizes)}")
        return self.sizes[name]

    def bodies_for(self, length: float | None = None, member: str | None = None) -> tuple[Body, ...]:
        """Its solids, all of them or those of one member; `length` (mm) only for what is cut to length."""
        return _bodies_of(self, length, member)

    def screws_for(self, length: float | None = None) -> tuple[ScrewPlace, ...]:
        """Its screws, in the order in which they are driven."""
        return _screws(self, length)

    def holes_for(self, length: float | None = None) -> tuple[HolePlace, ...]:
        """The holes it needs besides pilots."""
        return _holes(self, length)

    @property
    def mass(self) -> float:
        """Its mass in kg, where it is not cut to length."""
        return self.mass_for()

    def mass_for(self, length: float | None = None, member: str | None = None) -> float:
        """Its mass in kg; of one member, the share of its bodies' volume."""
        return _mass(self, length, member)

    def name_for(self, length: float | None = None) -> str:
        """Type and size in words: "hanging rail, steel tube 25 × 1.5, length 506"."""
        return self.name if length is None else f"{self.name}, length {length:g}"


def fitting_entry(id: str) -> FittingEntry:
    """The entry of that id (underscores are read as dashes); an unknown one is a ParameterError naming the nearest."""
    library = _library()
    found = library.get(id.replace("_", "-"))
    if found is None:
        raise ParameterError("fitting", f'there is no fitting "{id}"; {closest(id, library)}')
    return found


def fitting_entries(kind: str | None = None) -> tuple[FittingEntry, ...]:
    """All entries, or those of one kind ("butt hinge"), in the order of the library."""
    return tuple(each for each in _library().values() if kind in (None, each.kind))


# ------------------------------------------------------------------------------------------- rules of fitting hardware
# mm thick, gap: a hinge maker's table, read
REVEALS = ((21.0, 1.4), (22.0, 1.6), (24.0, 2.4), (28.0, 3.7), (30.0, 5.4), (36.0, 11.1))


def recess_depth(closed_thickness: float, gap: float) -> float:
    """How deep each leaf of a butt hinge is let in, so that the closed hinge leaves the gap.

    Half of what the closed hinge is thicker than the gap. Source: hinge seller's fitting notes; arithmetic.

    >>> recess_depth(5.0, 2.5)
    1.25
    """
    if gap >= closed_thickness:
        raise ParameterError(
            "gap", f"a gap of {gap:g} mm is not less than the closed hinge, {closed_thickness:g} mm: nothing to let in"
        )
    return (closed_thickness - gap) / 2


def least_reveal(thickness: float) -> float:
    """The gap that a door so thick needs beside its edge at a concealed hinge, mm; as for 21 mm where it is thinner.

    Source: a hinge maker's table for one hinge, the cup 3 from the edge read in an excerpt; a trial fit is wanted from 24 mm on; between its rows in line.

    >>> least_reveal(22), round(least_reveal(26), 2), least_reveal(18)
    (1.6, 3.05, 1.4)
    """
    if thickness <= REVEALS[0][0]:
        return REVEALS[0][1]
    for (a, p), (b, q) in itertools.pairwise(REVEALS):
        if thickness <= b:
            return p + (q - p) * (thickness - a) / (b - a)
    (a, p), (b, q) = REVEALS[-2:]
    return q + (q - p) / (b - a) * (thickness - b)


def recess_width(leaf_width: float, pin_stand: float) -> float:
    """How far a hinge recess reaches in from the face: leaf width from the pin axis, less what the pin stands out.

    The pin axis never lies inside the wood. Common practice, no source.

    >>> recess_width(20, 3.5)
    16.5
    """
    if not 0 <= pin_stand < leaf_width:
        raise ParameterError("pin_stand", f"{pin_stand:g} mm is not at least 0 and below the leaf's {leaf_width:g} mm")
    return leaf_width - pin_stand


# ------------------------------------------------------------------------------------------------- reading the library
@lru_cache(maxsize=1)
def _library() -> Mapping[str, FittingEntry]:
    entries: dict[str, FittingEntry] = {}
    for path in sorted((LIBRARY / "fittings").glob("*.json")):
        for entry in _entries_of(read_library(path)):
            assert entry.id not in entries, f"two fittings are called {entry.id}"
            entries[entry.id] = entry
    return MappingProxyType(entries)


def _entries_of(kind: dict) -> Iterator[FittingEntry]:
    for family in kind["entries"]:
        for variant in family.get("variants", [{}]):
            yield _entry(kind, _merged(family, variant))


def _merged(family: dict, variant: dict) -> dict:
    """A family with one variant's values laid over it; sizes and places are merged, everything else is replaced."""
    laid = {key: {**family.get(key, {}), **variant.get(key, {})} for key in ("sizes", "places")}
    return {**family, **variant, **laid}


def _entry(kind: dict, data: dict) -> FittingEntry:
    words = {name: f"{value:g}" for name, value in data["sizes"].items()} | data.get("words", {})
    recipe = {key: data.get(key, []) for key in ("bodies", "screws", "holes")}
    bodies = recipe["bodies"]
    return FittingEntry(
        id=data["id"].format_map(words),
        kind=kind["kind"],
        name=data["name"].format_map(words),
        sizes=MappingProxyType({name: float(value) for name, value in data["sizes"].items()}),
        frame=kind["frame"],
        members=tuple(dict.fromkeys(body.get("member", "") for body in bodies)),
        cut_to_length=data.get("cut_to_length", False),
        load=float(data.get("load", 0)),
        load_verified=data.get("load_verified", False),
        sold_in_pairs=data.get("sold_in_pairs", False),
        notes=tuple(data.get("notes", ())),
        cautions=tuple(data.get("cautions", ())),
        source=data["source"],
        recipe=MappingProxyType({**recipe, "mass": data["mass"], "places": data["places"], "words": words}),
    )


# ------------------------------------------------------------------------------------------------- cooking the recipes
@lru_cache(maxsize=4096)
def _bodies(entry: FittingEntry, length: float | None) -> tuple[tuple[str, Body], ...]:
    made = []
    for item, symbols in _repeated(entry, entry.recipe["bodies"], length):
        body = Body(
            form=item["form"],
            low=_vector(item["low"], symbols),
            high=_vector(item["high"], symbols),
            outline=tuple((_number(a, symbols), _number(b, symbols)) for a, b in item.get("outline", ())),
            substance=item["substance"].format_map(entry.recipe["words"]),
        )
        made.append((item.get("member", ""), body))
    return tuple(made)


@lru_cache(maxsize=4096)
def _bodies_of(entry: FittingEntry, length: float | None, member: str | None) -> tuple[Body, ...]:
    return tuple(body for which, body in _bodies(entry, length) if member is None or which == member)


@lru_cache(maxsize=4096)
def _screws(entry: FittingEntry, length: float | None) -> tuple[ScrewPlace, ...]:
    return tuple(
        ScrewPlace(
            screw=item["screw"].format_map(entry.recipe["words"]),
            at=_vector(item["at"], symbols),
            along=_vector(item["along"], symbols),
            into=item["into"],
            from_behind=item.get("from_behind", False),
        )
        for item, symbols in _repeated(entry, entry.recipe["screws"], length)
    )


@lru_cache(maxsize=4096)
def _holes(entry: FittingEntry, length: float | None) -> tuple[HolePlace, ...]:
    return tuple(
        HolePlace(
            at=_vector(item["at"], symbols),
            direction=_vector(item["direction"], symbols),
            diameter=_number(item["diameter"], symbols),
            depth=None if item["depth"] == "through" else _number(item["depth"], symbols),
            part=item["part"],
            purpose=item["purpose"],
        )
        for item, symbols in _repeated(entry, entry.recipe["holes"], length)
    )


@lru_cache(maxsize=4096)
def _mass(entry: FittingEntry, length: float | None, member: str | None) -> float:
    whole = _number(entry.recipe["mass"], _symbols(entry, length))
    if member is None:
        return whole
    volume, all_of_it = (sum(map(_volume, entry.bodies_for(length, which))) for which in (member, None))
    return whole * volume / all_of_it


def _repeated(entry: FittingEntry, items: list[dict], length: float | None) -> Iterator[tuple[dict, dict[str, float]]]:
    """Each item of a recipe as often as its `for` says, with the sizes it may speak of."""
    symbols = _symbols(entry, length)
    for item in items:
        row = item.get("for")
        if row is None:
            yield item, symbols
            continue
        for value in _row(row, entry, symbols):
            yield item, {**symbols, row["each"]: value}


def _row(row: dict, entry: FittingEntry, symbols: dict[str, float]) -> list[float]:
    """The places of a row: listed under a name in the entry's `places`, or spread evenly at no more than a pitch."""
    if "in" in row:
        return [_number(term, symbols) for term in entry.recipe["places"][row["in"]]]
    start, stop = _number(row["from"], symbols), _number(row["to"], symbols)
    spaces = max(1, math.ceil((stop - start) / _number(row["pitch"], symbols) - 1e-9))
    return [start + (stop - start) * index / spaces for index in range(spaces + 1)]


def _symbols(entry: FittingEntry, length: float | None) -> dict[str, float]:
    if entry.cut_to_length and length is None:
        raise ParameterError("length", f"{entry.name} is cut to length; say which")
    if length is not None and not entry.cut_to_length:
        raise ParameterError("length", f"{entry.name} is not cut to length, so it cannot be {length:g} mm long")
    if length is not None and not length > 0:
        raise ParameterError("length", f"{entry.name} cannot be {length:g} mm long")
    return dict(entry.sizes) if length is None else {**entry.sizes, "length": float(length)}


def _vector(terms: list, symbols: dict[str, float]) -> Vector:
    x, y, z = (_number(term, symbols) for term in terms)
    return vector(x, y, z)


_SUMS = {ast.Add: operator.add, ast.Sub: operator.sub, ast.Mult: operator.mul, ast.Div: operator.truediv}


def _number(term: float | str, symbols: dict[str, float]) -> float:
    """A number of the library: plain, or a sum of sizes such as "leaf_width - 3"."""
    if isinstance(term, str):
        return quantised(_worth(_parsed(term), symbols))
    return float(term)


@cache
def _parsed(term: str) -> ast.expr:
    return ast.parse(term, mode="eval").body


def _worth(node: ast.expr, symbols: dict[str, float]) -> float:
    match node:
        case ast.Constant(value=int() | float() as value):
            return float(value)
        case ast.Name(id=name):
            return symbols[name]
        case ast.UnaryOp(op=ast.USub(), operand=inner):
            return -_worth(inner, symbols)
        case ast.BinOp(left=left, op=sign, right=right) if type(sign) in _SUMS:
            return _SUMS[type(sign)](_worth(left, symbols), _worth(right, symbols))
    raise AssertionError(f"a size of the library may only add, take away, multiply and divide, not {ast.unparse(node)}")


# ------------------------------------------------------------------------------------------------------------- volumes
def _volume(body: Body) -> float:
    """The volume of a body in mm³, its rounds true."""
    reach = math.dist(body.low, body.high)
    match body.form:
        case "block":
            return math.prod(high - low for low, high in zip(body.low, body.high, strict=True))
        case "bar":
            return reach * abs(_area(body.outline))
        case _:
            return sum(
                math.pi * (b - a) * (r * r + r * s + s * s) / 3
                for (a, r), (b, s) in zip(body.outline, body.outline[1:], strict=False)
            )


def _area(outline: tuple[tuple[float, float], ...]) -> float:
    """The area within an outline; positive where it runs counter-clockwise."""
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(outline, (*outline[1:], outline[0]), strict=True)) / 2
