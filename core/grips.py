"""What of a piece can be taken hold of and dragged: its overall sizes and every board or gap that divides it.

A grip stands in the piece where it is seen from the front, with the direction in which it is dragged and the size that
follows. The sizes are those of the parameters, so whatever is dragged can be typed as well.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from .build.setting_out import SettingOut, set_out
from .errors import ParameterError
from .fields import Size, fields_of, read_field
from .geometry import FRONT, RIGHT, UP, Vector, vector
from .piece import Piece
from .piece.layout import Compartment
from .piece.whole import Whole

OVERALL = ("width", "height", "depth")
_LIMITS = {field.name: field for field in fields_of(Whole)}


@dataclass(frozen=True, slots=True, kw_only=True)
class Grip:
    """One place to take hold of; `gain` is how many mm the size grows with each mm along the way."""

    key: str  # "width", or "between coats+shelves"
    name: str
    path: str  # of the parameter that it changes
    at: Vector
    along: Vector
    size: float
    gain: float = 1.0
    beyond: float = 0.0  # the size on the other side, of what stands between two compartments
    half: float = 0.0  # of the thickness of what stands between them
    low: float = 0.0
    high: float = 0.0


def grips(piece: Piece, overall: Vector) -> tuple[Grip, ...]:
    """Every grip of a piece; `overall` is its width, depth and height as built."""
    return (*_overall(piece, overall), *_between(set_out(piece)))


def moved(piece: Piece, key: str, size: float) -> Piece:
    """The piece with the size of a grip changed; ParameterError for a size out of range or a grip that is not there."""
    if key in OVERALL:
        wanted = read_field(_LIMITS[key], size, f"whole.{key}")
        return replace(piece, whole=replace(piece.whole, **{key: wanted}))
    out = set_out(piece)
    for above, first, second in _neighbours(out):
        if key == _key(first, second):
            parts = out.layout.parts(above.id)
            both = _clear(out, above, first) + _clear(out, above, second)
            return _resized(piece, parts, (first, size), (second, round(both - size, 6)))
    raise ParameterError("layout", f'nothing can be dragged at "{key}"')


# ------------------------------------------------------------------------------------------------------------ helpers
def _overall(piece: Piece, overall: Vector) -> Iterator[Grip]:
    width, depth, height = overall
    places = {
        "width": (vector(width / 2, -depth, height / 2), RIGHT, 2.0),  # it stays centred, so one side goes half as far
        "height": (vector(0.0, -depth, height), UP, 1.0),
        "depth": (vector(width / 2, -depth, height), FRONT, 1.0),
    }
    for name, (at, along, gain) in places.items():
        field = _LIMITS[name]
        yield Grip(
            key=name,
            name=field.label,
            path=f"whole.{name}",
            at=at,
            along=along,
            size=getattr(piece.whole, name),
            gain=gain,
            low=field.low,
            high=field.high,
        )


def _between(out: SettingOut) -> Iterator[Grip]:
    for above, first, second in _neighbours(out):
        a, b = out.rects[first.id], out.rects[second.id]
        columns = above.divided == "columns"
        sizes = _clear(out, above, first), _clear(out, above, second)
        x = (a.right + b.left) / 2 if columns else (a.left + a.right) / 2
        z = (a.bottom + a.top) / 2 if columns else (a.top + b.bottom) / 2
        what = {"columns": "Upright", "rows": "Fixed shelf"}[above.divided] if above.between == "board" else "Gap"
        yield Grip(
            key=_key(first, second), name=f"{what} between {first.id} and {second.id}",
            path=f"{out.path_of(first.id)}.size",
            at=vector(round(x, 6), -out.depth - out.behind, round(z, 6)), along=RIGHT if columns else UP,
            size=sizes[0], beyond=sizes[1],
            half=round((b.left - a.right if columns else b.bottom - a.top) / 2, 6), low=0.0, high=sum(sizes),
        )  # fmt: skip


def _neighbours(out: SettingOut) -> Iterator[tuple[Compartment, Compartment, Compartment]]:
    """Every divided compartment with each two neighbours in it."""
    for above in out.layout.by_id.values():
        if above.divided == "rows" and above.heights != "sizes":
            continue  # graduated heights follow from one another
        parts = out.layout.parts(above.id)
        for first, second in pairwise(parts):
            yield above, first, second


def _key(first: Compartment, second: Compartment) -> str:
    return f"between {first.id}+{second.id}"


def _clear(out: SettingOut, above: Compartment, part: Compartment) -> float:
    rect = out.rects[part.id]
    return rect.width if above.divided == "columns" else rect.height


def _resized(
    piece: Piece, parts: list[Compartment], first: tuple[Compartment, float], second: tuple[Compartment, float]
) -> Piece:
    """The piece with two neighbours at other sizes, nothing else moved; one part still takes what is left over."""
    elsewhere = any(part.size.way != "fixed" for part in parts if part not in (first[0], second[0]))
    free = [pair for pair in (second, first) if pair[0].size.way != "fixed"]
    left_over = None if elsewhere or not free else free[0][0]
    sizes = {part.id: Size("fixed", size) for part, size in (first, second) if part is not left_over}
    return replace(piece, layout=tuple(replace(each, size=sizes.get(each.id, each.size)) for each in piece.layout))
