"""Stiffeners: boards on edge under long shelves, under the top and under the bottom, which keep them from sagging."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..errors import ParameterError
from ..fastenings import DRIVER, Screw
from ..geometry import DOWN, RIGHT, UP, Placement, vector
from ..model import Opening
from ..units import from_middle
from .bench import Bench
from .clearance import is_free, nearest, standing_box
from .hardware import screw_through
from .setting_out import Rect, SettingOut
from .standing import least_thickness

SCREW = (4.0, 27.0)  # diameter, hold; common practice, no source
SCREWS = 5
SCREW_STEP = 6.0  # mm by which they give way; common practice, no source
THINNEST = 2.5 * SCREW[0]  # mm round a screw in its edge; common practice, no source
FROM_END = 12.0  # mm between a screw and the end of a stiffener; common practice, no source
BELOW = 10.0  # mm left free under a stiffener; common practice, no source
ABOVE_FLOOR = 20.0  # mm left free under the one below the bottom; common practice, no source
SAME_PLACE = 0.05  # mm within which two places are one: half of the finest step that a place is rounded to
UNDER_TOP = "carcass/stiffener.top."  # how the keys of those under the top begin


@dataclass(frozen=True, slots=True, kw_only=True)
class Stiffener:
    """A board on edge under another, from `left` to `right`; `top` is the height at which the two meet."""

    key: str
    name: str
    under: str  # key of the board above
    left: float
    right: float
    top: float
    depth: float  # from its upper to its lower edge
    set_back: float  # of its face behind the front of the carcass
    joint: str = "glue"


def lay_stiffeners(bench: Bench, out: SettingOut, set_backs: dict[str, float]) -> None:
    """Lay down the stiffeners that a carcass wants; `set_backs` says how far behind the front each dividing board stands."""
    spec = out.piece.carcass.stiffeners
    _stiffen_shelves(bench, out, set_backs)
    if spec.under_top and not out.open_top:
        _stiffen_top(bench, out, set_backs)
    span = out.piece.support.clear_under(out)
    if span and out.inner.width > spec.over_length and out.outer.bottom > spec.bottom_depth + ABOVE_FLOOR:
        bottom = Stiffener(
            key="carcass/stiffener.bottom",
            name="stiffener under bottom",
            under="carcass/bottom",
            left=span[0],
            right=span[1],
            top=out.outer.bottom,
            depth=spec.bottom_depth,
            set_back=spec.bottom_set_back,
            joint="glue and screws",
        )
        _lay(bench, out, bottom)


def hanging_into(bench: Bench, opening: Rect | Opening) -> float:
    """The height of the lowest stiffener's underside that hangs into the top of an opening; the opening's top where none does."""
    boxes = (standing_box(part) for part in bench.parts.values() if part.role == "stiffener")
    return min(
        (
            low[2]
            for low, high in boxes
            if low[0] < opening.right and opening.left < high[0] and opening.bottom < low[2] < opening.top
        ),
        default=opening.top,
    )


def _stiffen_shelves(bench: Bench, out: SettingOut, set_backs: dict[str, float]) -> None:
    """A stiffener under each fixed shelf that is longer than boards go without."""
    spec = out.piece.carcass.stiffeners
    for divider in out.dividers:
        if divider.kind != "shelf":
            continue
        below = divider.before[0]
        rect = out.rects[below]
        if rect.width <= spec.over_length or out.layout.parts(below):
            continue
        if rect.height < spec.shelf_depth + BELOW:
            raise ParameterError(
                "carcass.stiffeners.shelf_depth",
                f'{spec.shelf_depth:g} mm finds no room in "{below}", {rect.height:g} mm high; use at most {rect.height - BELOW:g} mm',
            )
        name = divider.key.rsplit("/", 1)[-1]
        shelf = Stiffener(
            key=f"carcass/stiffener.{name}",
            name=f"stiffener under {name.split('.')[0]}",
            under=divider.key,
            left=rect.left,
            right=rect.right,
            top=rect.top,
            depth=spec.shelf_depth,
            set_back=_set_back(out, below, set_backs),
        )
        _lay(bench, out, shelf)


def _stiffen_top(bench: Bench, out: SettingOut, set_backs: dict[str, float]) -> None:
    """A stiffener under the top over each bay that is longer than boards go without; not where a front closes the bay beside it too."""
    spec = out.piece.carcass.stiffeners
    for leaf in out.layout.leaves():
        rect = out.rects[leaf.id]
        if rect.top != out.inner.top or rect.width <= spec.over_length or _shares_a_front(out, rect):
            continue
        least = max(spec.shelf_depth, spec.anchor_rail_width) + BELOW
        if rect.height < least:
            raise ParameterError(
                "carcass.stiffeners.under_top",
                f'a stiffener {spec.shelf_depth:g} mm deep finds no room in "{leaf.id}", {rect.height:g} mm high; at least {least:g} mm is needed: turn it off, or make the stiffener less deep',
            )
        top = Stiffener(
            key=f"{UNDER_TOP}{leaf.id}",
            name="stiffener under top",
            under="carcass/top",
            left=rect.left,
            right=rect.right,
            top=rect.top,
            depth=spec.shelf_depth,
            set_back=_set_back(out, leaf.id, set_backs),
        )
        _lay(bench, out, top)


def _set_back(out: SettingOut, id: str, set_backs: dict[str, float]) -> float:
    """How far behind the carcass front a stiffener above a compartment stands: behind an inset front, flush under an overlay one."""
    overlaid = any(each.lay != "inset" and out.closed_by(each).holds(out.rects[id]) for each in out.piece.fronts)
    return set_backs.get(f"bay.{id}", 0.0) or (0.0 if overlaid else out.piece.carcass.stiffeners.bottom_set_back)


def _shares_a_front(out: SettingOut, rect: Rect) -> bool:
    """Whether a front reaches from a bay over its neighbour."""
    closed = [out.closed_by(front) for front in out.piece.fronts]
    return any(each.holds(rect) and each.width > rect.width for each in closed)


def _lay(bench: Bench, out: SettingOut, each: Stiffener) -> None:
    """Lay down one stiffener and fasten it to the board above."""
    board = out.board(out.piece.carcass.stiffeners.board, "carcass.stiffeners.board")
    least_thickness("carcass.stiffeners.board", board, THINNEST, "a stiffener with screws into its edge")
    long = round(each.right - each.left, 6)
    # on edge: x to the right, y up, face side toward the front
    place = Placement(vector(each.left, out.y(each.set_back) + board.thickness, each.top - each.depth), RIGHT, UP)
    bench.part(
        each.key,
        each.name,
        board,
        long,
        each.depth,
        place,
        grain="length",
        role="stiffener",
        finish="carcass" if each.under == "carcass/bottom" else "inside",
        face_side="front",
        face_edge="upper edge",
        face_edge_high=True,
        surviving_mark="upper edge",
    )
    names: list[str] = []
    if each.joint == "glue and screws" and not bench.seen_only:
        thick, y = out.side_board.thickness, out.y(each.set_back) + board.thickness / 2
        size = screw_through("carcass.board", SCREW[0], thick, SCREW[1], each.depth)
        for x in _screw_places(bench, each.under, each.left, each.right, y, each.top + thick, size):
            at = vector(x, y, each.top + thick)
            names.append(bench.screw(each.under, each.key, at, DOWN, size, thick, "stiffener screw"))
    bench.join(f"{each.under}|{each.key}", each.joint, each.under, each.key, DOWN, tuple(names), long * board.thickness)


def _screw_places(bench: Bench, under: str, left: float, right: float, y: float, z: float, size: Screw) -> list[float]:
    """Where screws go down into a stiffener: moved outward, or inward, from under what stands on the board; of one in the middle, to both sides."""
    board = bench.parts[under]
    standing = [standing_box(part) for part in bench.parts.values() if part.key != under]

    def clear(x: float) -> bool:
        over = vector(x - DRIVER, y - DRIVER, z - 1.0), vector(x + DRIVER, y + DRIVER, z + 1.0)
        depth = board.size[2]
        return is_free(bench, under, vector(x, y, z), DOWN, size.clearance, depth) and not any(nearest(over, standing))

    middle, found = (left + right) / 2, []
    for i in range(SCREWS):
        x = middle + from_middle(right - left - 120.0, i, SCREWS)
        if clear(x):
            found.append(x)
            continue
        aside = (step * SCREW_STEP for step in range(1, 9))
        if abs(x - middle) < SAME_PLACE:
            found += next(([x - by, x + by] for by in aside if clear(x - by) and clear(x + by)), [])
            continue
        outward = math.copysign(1.0, x - middle)
        places = (round(x + way * outward * by, 6) for by in aside for way in (1, -1))
        found += [place for place in places if left + FROM_END < place < right - FROM_END and clear(place)][:1]
    return found
