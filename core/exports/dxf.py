"""Drawings as DXF in millimetres, their layers named by the line types of ISO 128; holes are true circles.

The same drawing gives the same bytes: no date, no fingerprint of its own.
"""

from __future__ import annotations

import io
import math
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import Any

from ..drawing.page import Arc, Area, Circle, Item, Lines, Stroke, Text

LAYERS = MappingProxyType(
    {
        "visible": ("CONTINUOUS", 50),
        "visible, narrow": ("CONTINUOUS", 25),
        "hidden": ("DASHED", 25),
        "centre": ("CENTER", 25),
        "cutting plane": ("DASHDOT", 50),
        "outline of another position": ("PHANTOM", 25),
        "hatching": ("CONTINUOUS", 18),
        "lettering": ("CONTINUOUS", 25),
    }
)  # name: (line type of the format, width in hundredths of a mm)
VERSION = "R2010"
MILLIMETRES = 4  # the format's number for them
DECIMALS = 6  # of a millimetre


def dxf_bytes(layers: Mapping[str, Iterable[Item]]) -> bytes:
    """Items by layer, in mm, as a DXF document. KeyError names a layer that is not among `LAYERS`."""
    import ezdxf  # slow to load, and only this needs it

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        document = ezdxf.new(VERSION, setup=["linetypes"], units=MILLIMETRES)
        for name, (line, width) in LAYERS.items():
            document.layers.add(name, linetype=line, lineweight=width)
        space = document.modelspace()
        for name, items in layers.items():
            _ = LAYERS[name]
            for item in items:
                _DRAWN[type(item)](space, item, {"layer": name})
        text = io.StringIO()
        document.write(text)
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
    return text.getvalue().encode("utf-8")


# ------------------------------------------------------------------------------------------------------------ helpers
def _lines(space: Any, item: Lines, given: dict) -> None:
    for a, b, c, d in item.segments:
        space.add_line((_plain(a), _plain(b)), (_plain(c), _plain(d)), given)


def _stroke(space: Any, item: Stroke, given: dict) -> None:
    space.add_lwpolyline([(_plain(x), _plain(y)) for x, y in item.points], close=item.closed, dxfattribs=given)


def _area(space: Any, item: Area, given: dict) -> None:
    space.add_lwpolyline([(_plain(x), _plain(y)) for x, y in item.points], close=True, dxfattribs=given)


def _circle(space: Any, item: Circle, given: dict) -> None:
    space.add_circle((_plain(item.x), _plain(item.y)), _plain(item.radius), given)


def _arc(space: Any, item: Arc, given: dict) -> None:
    space.add_arc((_plain(item.x), _plain(item.y)), _plain(item.radius), item.start, item.end, dxfattribs=given)


def _text(space: Any, item: Text, given: dict) -> None:
    x, y = item.start
    text = space.add_text(item.string, height=item.height, rotation=item.angle, dxfattribs=given)
    text.set_placement((_plain(x), _plain(y)))


_DRAWN: dict[type, Callable[..., None]] = {
    Lines: _lines,
    Stroke: _stroke,
    Area: _area,
    Circle: _circle,
    Arc: _arc,
    Text: _text,
}


def _plain(value: float) -> float:
    assert math.isfinite(value), "a place in the drawing that is not a number"
    return round(value, DECIMALS) + 0.0
