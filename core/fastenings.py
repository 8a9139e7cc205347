"""Screws, dowels, plugs, biscuits and pins: their sizes, and which of them suits a board.

The figures stand in `library/screws.json` with their sources. All lengths mm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from .errors import ParameterError
from .materials import LIBRARY, read_library
from .model import Material

SCREW_STOPS_SHORT = 3.0  # mm of wood left beyond a hidden screw's point; common practice, no source
DRIVER, DRIVER_LONG = 12.5, 120.0  # mm about a screw's axis and behind its head that a driver needs; rule book K3
BOLT_REACH = (7.0, 12.0)  # mm of a handle's bolt beyond the wood; common practice, no source
PIN_HOLDS = 6.0  # mm of a pin at least in the panel; common practice, no source
PIN_STOPS_SHORT = 2.0  # mm of panel left beyond a pin's point; common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Screw:
    """A countersunk wood screw, or a pan-headed machine screw where the name begins with M."""

    name: str  # "3.5 × 16"
    diameter: float
    length: float
    pilot: float  # drill for the thread in weak board; `pilot_for` gives it for other materials
    core: float  # at the root of the thread
    head: float  # diameter of the head
    head_height: float
    clearance: float  # the hole through which it slips
    countersink: float  # included angle in degrees; 0 for a pan head


@dataclass(frozen=True, slots=True, kw_only=True)
class Dowel:
    """A fluted dowel and the depths of its two holes."""

    name: str  # "8 × 40"
    diameter: float
    length: float
    face_depth: float  # in the face of a board
    edge_depth: float  # in an edge or end


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """A panel pin or brad."""

    name: str  # "1.2 × 20"
    diameter: float
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Biscuit:
    """A beech biscuit and its slot."""

    name: str  # its number
    length: float
    width: float
    slot: float  # width of the cutter
    slot_depth: float  # in each of the two parts


# -------------------------------------------------------------------------------------------------------------- screws
@lru_cache(maxsize=1024)
def screw(size: str) -> Screw:
    """The screw of a size that can be bought: "3.5 × 16", "M4 × 35"; x does for ×.

    >>> screw("3.5 x 16").head
    6.5
    """
    diameter, length = _size(size)
    row = _screw_rows().get(diameter)
    if row is None:
        raise ParameterError("screw", f'there is no screw "{size}"; diameters are {", ".join(_screw_rows())}')
    if length not in row["lengths"]:
        lengths = ", ".join(f"{each:g}" for each in row["lengths"])
        raise ParameterError("screw", f'there is no screw "{size}"; {diameter} is bought {lengths} long')
    figures = {name: float(row[name]) for name in ("core", "head", "head_height", "clearance", "countersink")}
    bit = _bit(row["core"], _data()["pilots"]["weak board"]["share"])
    return Screw(
        name=f"{diameter} × {length:g}", diameter=float(diameter.lstrip("M")), length=length, pilot=bit, **figures
    )


@lru_cache(maxsize=1024)
def longest_screw(diameter: float, thickness: float, through: float = 0.0) -> Screw:
    """The longest screw that stays short of the far side of the wood, past a fitting or part `through` mm thick.

    >>> longest_screw(3.5, 15, 1.2).name
    '3.5 × 13'
    """
    limit = through + thickness - SCREW_STOPS_SHORT
    row = _screw_rows().get(f"{diameter:g}")
    short = [each for each in row["lengths"] if each <= limit + 1e-9] if row else []
    if not short:
        inside = f"to stay {SCREW_STOPS_SHORT:g} mm inside the wood"
        raise ParameterError("thickness", f"no screw {diameter:g} thick is at most {limit:g} mm long, {inside}")
    return screw(f"{diameter:g} × {max(short):g}")


@lru_cache(maxsize=1024)
def bolt_for(thickness: float) -> Screw:
    """The M4 bolt that holds a knob or pull from behind, through wood of that thickness.

    >>> bolt_for(27).name, bolt_for(33).name
    ('M4 × 35', 'M4 × 40')
    """
    least, most = BOLT_REACH
    for length in _screw_rows()["M4"]["lengths"]:
        if least <= length - thickness <= most:
            return screw(f"M4 × {length:g}")
    reach = f"{least:g} to {most:g} mm beyond"
    raise ParameterError("thickness", f"no M4 bolt reaches {reach} wood {thickness:g} mm thick; counterbore it")


@lru_cache(maxsize=1024)
def pilot_for(size: Screw, material: Material, plugged: bool = False) -> float:
    """The drill for a screw's thread, a share of its core by what it goes into; in a hardwood plug where `plugged`.

    The bit is one that a maker owns: of the halves of a mm, else of the tenths, the nearest to the middle of the range.

    >>> from .materials import material
    >>> pilot_for(screw("4 × 50"), material("mdf")), pilot_for(screw("3.5 × 16"), material("mdf"), plugged=True)
    (3.0, 2.0)
    """
    return _bit(size.core, pilot_range(material, plugged))


def pilot_range(material: Material, plugged: bool = False) -> tuple[float, float]:
    """The least and the greatest pilot, as shares of the screw's core."""
    low, high = _data()["pilots"]["plug" if plugged else _ground(material)]["share"]
    return low, high


# --------------------------------------------------------------------------------------------- dowels, biscuits, plugs
@lru_cache(maxsize=1024)
def dowel_for(thickness: float) -> Dowel:
    """The dowel for a board of that thickness, with hole depths for face and edge.

    >>> dowel_for(18).name
    '8 × 40'
    """
    for row in _data()["dowels"]["rows"]:
        if row["from"] <= thickness < row["below"]:
            sizes = {name: float(row[name]) for name in ("diameter", "length", "face_depth", "edge_depth")}
            return Dowel(name=f"{row['diameter']:g} × {row['length']:g}", **sizes)
    rows = _data()["dowels"]["rows"]
    known = f"from {rows[0]['from']:g} to below {rows[-1]['below']:g} mm"
    raise ParameterError("thickness", f"no dowel is listed for a board {thickness:g} mm thick; {known} there is one")


@lru_cache(maxsize=1024)
def biscuit_for(thickness: float) -> Biscuit:
    """The biscuit for a board of that thickness; its slot is half its width and 1 deep in each part.

    >>> biscuit_for(18).name
    '20'
    """
    row = next((row for row in _data()["biscuits"]["rows"] if thickness >= row["from"]), None)
    if row is None:
        raise ParameterError("thickness", f"no biscuit goes into a board {thickness:g} mm thick")
    sizes = {name: float(row[name]) for name in ("length", "width", "slot")}
    return Biscuit(name=row["name"], slot_depth=row["width"] / 2 + 1, **sizes)


@lru_cache(maxsize=1024)
def plug_for(size: str) -> float:
    """The diameter of the hardwood plug that a screw of that size holds in, where the board alone would not hold it.

    >>> plug_for("3.5 × 16"), plug_for("4 × 16")
    (8.0, 10.0)
    """
    diameter, rows = screw(size).diameter, _data()["plugs"]["rows"]
    row = next((row for row in rows if diameter <= row["up_to"]), None)
    if row is None:
        most = rows[-1]["up_to"]
        raise ParameterError("screw", f"no plug is listed for a screw {diameter:g} mm thick; the most is {most:g}")
    return float(row["diameter"])


# ---------------------------------------------------------------------------------------------------------------- pins
@lru_cache(maxsize=1024)
def pin_length(strip: float, panel: float) -> float:
    """How long a pin through a planted strip into a panel is: strip + 6 to strip + panel − 2, the middle of it.

    The bought length nearest the middle, the shorter of two. The glue does the work.

    >>> pin_length(9, 18)
    20.0
    """
    least, most = strip + PIN_HOLDS, strip + panel - PIN_STOPS_SHORT
    middle = (least + most) / 2
    bought = [each for row in _data()["pins"]["rows"] for each in row["lengths"] if least <= each <= most]
    if not bought:
        where = f"a strip {strip:g} on a panel {panel:g} mm thick"
        raise ParameterError("strip", f"no pin between {least:g} and {most:g} mm is bought for {where}")
    return float(min(bought, key=lambda each: (abs(each - middle), each)))


@lru_cache(maxsize=1024)
def pin(length: float) -> Pin:
    """The pin or brad of that length.

    >>> pin(20).name
    '1.2 × 20'
    """
    for row in _data()["pins"]["rows"]:
        if length in row["lengths"]:
            return Pin(name=f"{row['diameter']:g} × {length:g}", diameter=row["diameter"], length=float(length))
    known = ", ".join(f"{each:g}" for row in _data()["pins"]["rows"] for each in row["lengths"])
    raise ParameterError("pin", f"there is no pin {length:g} mm long; lengths are {known}")


# --------------------------------------------------------------------------------------------------------- the library
@lru_cache(maxsize=1)
def _data() -> dict:
    return read_library(LIBRARY / "screws.json")


@lru_cache(maxsize=1)
def _screw_rows() -> dict[str, dict]:
    return {row["diameter"]: row for row in _data()["screws"]["rows"]}


def _size(words: str) -> tuple[str, float]:
    found = re.fullmatch(r"\s*(M?\d+(?:\.\d+)?)\s*[×x]\s*(\d+(?:\.\d+)?)\s*", words)
    if not found:
        raise ParameterError("screw", f'"{words}" is not the size of a screw; write it like "3.5 × 16" or "M4 × 35"')
    return found[1], float(found[2])


def _bit(core: float, share: tuple[float, float]) -> float:
    """The bit nearest the middle of a share of the core: a half of a mm where one lies in the range, else a tenth."""
    least, most = core * share[0], core * share[1]
    middle = (least + most) / 2
    half = round(middle * 2) / 2
    return half if least - 1e-9 <= half <= most + 1e-9 else round(middle, 1)


def _ground(material: Material) -> str:
    """Which row of pilots a material belongs to."""
    if material.kind == "sheet":
        return "weak board" if material.weak_edge else "plywood"
    return "hardwood" if material.density >= HARD else "softwood"


HARD = 550.0  # kg/m³; solid wood from here up is drilled as hardwood; common practice, no source
