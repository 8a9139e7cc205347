"""The materials library: what boards, timber, metal and glass weigh, how stiff they are and how they move.

The figures stand in `library/materials.json`, each with the words of its source beside it; nothing about a material is
in code. An underscore in an id is read as a dash.
"""

from __future__ import annotations

import difflib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Literal

from .errors import ParameterError
from .model import Material

LIBRARY = Path(__file__).parent / "library"
_FIGURES = ("density", "modulus", "creep", "radial", "tangential")


@dataclass(frozen=True, slots=True)
class Strength:
    """What a material breaks at, N/mm²: bent, and sheared, along its length; the mean or the least of tests; `source` was read."""

    bending: float
    shear: float
    of: Literal["mean", "least"]
    source: str


def material(id: str) -> Material:
    """The material of that id.

    Density kg/m³, modulus N/mm², movement per per cent of moisture between 6 and 14 per cent. An unknown id is a
    ParameterError that names the nearest known one.

    >>> material("mdf").density
    750.0
    """
    return _known(id)[0]


def materials() -> tuple[Material, ...]:
    """Every material, in the order of the library file."""
    return tuple(each for each, _ in _library().values())


def sources(id: str) -> Mapping[str, str]:
    """Where each figure of a material comes from, in words, by the figure's name.

    >>> sources("white-oak")["tangential"]
    'Wood Handbook FPL-GTR-190 Table 13-5, white oak, commercial'
    """
    return _known(id)[1]


def strength(id: str) -> Strength | None:
    """What a material breaks at; None where nothing was read.

    >>> strength("red-oak").shear, strength("birch-ply")
    (12.3, None)
    """
    material(id)
    return _strengths().get(id.replace("_", "-"))


def closest(id: str, known: Mapping[str, object]) -> str:
    """The end of a message about an unknown id: the nearest known one, or what there is.

    >>> closest("maple", {"mapel": 1})
    'did you mean "mapel"?'
    """
    near = difflib.get_close_matches(id, known, n=1, cutoff=0.4)
    return f'did you mean "{near[0]}"?' if near else "known are " + ", ".join(sorted(known))


def read_library(path: Path) -> dict:
    """The plain data of one library file (UTF-8 JSON)."""
    return json.loads(path.read_text(encoding="utf-8"))


def _known(id: str) -> tuple[Material, Mapping[str, str]]:
    library = _library()
    found = library.get(id.replace("_", "-"))
    if found is None:
        raise ParameterError("material", f'there is no material "{id}"; {closest(id, library)}')
    return found


@lru_cache(maxsize=1)
def _strengths() -> Mapping[str, Strength]:
    entries = read_library(LIBRARY / "materials.json")["materials"]
    return MappingProxyType({each["id"]: Strength(**each["strength"]) for each in entries if "strength" in each})


@lru_cache(maxsize=1)
def _library() -> Mapping[str, tuple[Material, Mapping[str, str]]]:
    entries = read_library(LIBRARY / "materials.json")["materials"]
    return MappingProxyType({each["id"]: _read(each) for each in entries})


def _read(entry: dict) -> tuple[Material, Mapping[str, str]]:
    figures = {name: float(entry[name]["value"]) for name in _FIGURES if name in entry}
    words = {name: entry[name]["source"] for name in _FIGURES if name in entry}
    made = Material(
        id=entry["id"],
        name=entry["name"],
        kind=entry["kind"],
        grained=entry["grained"],
        weak_edge=entry["weak_edge"],
        verified=all(entry[name]["verified"] for name in _FIGURES if name in entry),
        **figures,
    )
    return made, MappingProxyType(words)
