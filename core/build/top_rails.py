"""Two rails in the place of the carcass top, one in front and one behind, under a top of its own: the usual way under solid wood.

The carcass is set out as if there were a whole board; what is jointed, bored and screwed keeps to where the rails will be, and last
of all the board is parted.
"""

from __future__ import annotations

from dataclasses import replace

from ..errors import ParameterError
from ..geometry import FRONT, RIGHT, Placement, vector
from ..model import Hole
from .bench import Bench
from .parting import part_up
from .setting_out import SettingOut

TOP = "carcass/top"
FRONT_RAIL, REAR_RAIL = "carcass/top_rail.front", "carcass/top_rail.rear"
FROM_EDGE = 9.0  # mm of a rail's inner edge that joints and screws keep clear of, beside what they leave anyway; common practice, no source
LEAST_BETWEEN = 60.0  # mm between the two rails; common practice, no source
FIELD = "top.lies_on"


def rail_width(out: SettingOut) -> float:
    """How wide the rails are from front to back; 0 where the carcass top is a board."""
    top = out.piece.top
    return top.rail_width if getattr(top, "lies_on", "board") == "rails" else 0.0


def between_rails(out: SettingOut) -> tuple[float, float]:
    """The y at which the space between the rails begins and ends."""
    wide = rail_width(out)
    return round(-out.depth + wide, 6), round(out.back_y - wide, 6)


def keep_between_rails_free(bench: Bench, out: SettingOut) -> None:
    """Keep joints and screws out of what will be no wood; ParameterError where rails cannot be."""
    if not rail_width(out):
        return
    _check(out)
    front, rear = between_rails(out)
    front, rear, t = front - FROM_EDGE, rear + FROM_EDGE, out.side_board.thickness
    low, high = (
        vector(out.inner.left - 1.0, front, out.inner.top - t),
        vector(out.inner.right + 1.0, rear, out.outer.top + t),
    )
    bench.reserved.setdefault(TOP, []).append((low, high))


def part_top(bench: Bench, out: SettingOut) -> None:
    """Take the board apart to its two rails; ParameterError where something holds in what is left away."""
    wide = rail_width(out)
    if not wide:
        return
    whole, (front, rear) = bench.parts[TOP], between_rails(out)
    for feature in bench.features[TOP]:
        at = whole.place.point(feature.at) if isinstance(feature, Hole) else None
        if at and front - 1e-6 < at[1] < rear + 1e-6:
            raise ParameterError(
                FIELD,
                f'"rails": the {feature.purpose} in the carcass top, {at[1] + out.depth:.0f} mm behind its front, would fall between the rails, {wide:g} mm wide; make them wider, hang it elsewhere, or take "board"',
            )
    parts = {}
    for key, name, begins, role in (
        (FRONT_RAIL, "top rail, front", front, "front top rail"),
        (REAR_RAIL, "top rail, rear", out.back_y, "rear top rail"),
    ):
        place = Placement(vector(out.inner.left, begins, out.outer.top), RIGHT, FRONT)  # face down, as the board was
        shape = replace(whole.shape, size=vector(whole.size[0], wide, whole.size[2]))
        grain = "length" if whole.board.material.grained else "any"
        parts[key] = replace(
            whole, key=key, name=name, role=role, shape=shape, place=place, grain=grain, setting="between the sides",
            surviving_mark=whole.surviving_mark if key == REAR_RAIL else "upper side, under the top",
        )  # fmt: skip
    part_up(bench, TOP, parts, (0, 1))


def _check(out: SettingOut) -> None:
    front, rear = between_rails(out)
    joint, why = out.piece.carcass.joint.style, ""
    if out.top_through:
        why = "they stand between the sides, and here the top runs through over them; let the sides run through"
    elif joint == "housing":
        why = 'their ends are too narrow for a housing; take dowels, biscuits or screws, or "board"'
    elif out.piece.carcass.stiffeners.under_top:
        why = "a stiffener under the top is glued to a whole board; turn it off: the top itself is stiff"
    if why:
        raise ParameterError(FIELD, f'"rails": {why}')
    if rear - front < LEAST_BETWEEN:
        most = (out.depth + out.back_y - LEAST_BETWEEN) / 2
        raise ParameterError(
            "top.rail_width",
            f"{rail_width(out):g} mm leave {max(rear - front, 0):g} mm between the rails; use at most {most:g} mm, or a board",
        )


__all__ = [
    "FROM_EDGE",
    "FRONT_RAIL",
    "REAR_RAIL",
    "TOP",
    "between_rails",
    "keep_between_rails_free",
    "part_top",
    "rail_width",
]
