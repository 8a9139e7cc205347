"""How a front lies to what is around it: how far it laps a board, or what gap it keeps, and the rectangle that comes of it."""

from __future__ import annotations

from dataclasses import dataclass

from ..errors import ParameterError
from ..model import Opening
from ..piece.fronts import Front
from ..units import down_to
from .carcass import walls_of
from .setting_out import Rect, SettingOut

SHOWN_AT_SIDE = 1.5  # mm of a side's edge that a full overlay leaves in sight; common practice, no source
SHOWN_AT_ENDS = 2.0  # mm of the top's and the bottom's; common practice, no source
LEAST_LAP = 2.0  # mm that an overlay front must lap a board; common practice, no source
OUTER = {"carcass/side.left", "carcass/side.right", "carcass/top", "carcass/bottom"}


@dataclass(frozen=True, slots=True)
class Laps:
    """How far a front reaches beyond its opening at each edge, mm; below 0 the gap that it keeps."""

    left: float
    right: float
    bottom: float
    top: float

    def at(self, side: str) -> float:
        """At one edge, by its name."""
        return getattr(self, side)


def laps_of(out: SettingOut, front: Front) -> Laps:
    """The gaps of an inset front; of an overlay front what it laps, by the board at each edge.

    Full overlay: a side but for 1.5, top and bottom but for 2; of a board that has a front at its other side too, and for a
    half overlay always, half of what the gap between two fronts leaves. Common practice, no source.
    """
    _check_neighbours(out, front)
    gaps = front.gaps
    if front.lay == "inset":
        return Laps(-gaps.side, -gaps.side, -gaps.bottom, -gaps.top)
    walls = walls_of(out, out.closed_by(front))
    laps = {side: _lap(out, front, side, walls.get(side)) for side in ("left", "right", "bottom", "top")}
    if laps["top"] < LEAST_LAP and "top" in walls:
        covered = out.piece.top.overhang().covered
        raise ParameterError(
            f"{out.path(front)}.lay",
            f"the top hangs {covered:g} mm down over an edge {out.side_board.thickness:g} mm thick, which leaves {laps['top']:g} mm for the front to lap; at least {LEAST_LAP:g} mm is needed: make it inset",
        )
    return Laps(**laps)


def lap_over(thickness: float, gap: float, shared: bool, shown: float) -> float:
    """How far an overlay front laps the edge of a board: all but what is left in sight, or its share of one that two fronts lap.

    >>> lap_over(18, 3, False, 1.5), lap_over(18, 3, True, 1.5)
    (16.5, 7.5)
    """
    return round((thickness - gap) / 2 if shared else thickness - shown, 6)


def rectangle(out: SettingOut, front: Front, opening: Opening, laps: Laps) -> Rect:
    """What a front covers over all its leaves, before its sizes are rounded."""
    return Rect(
        opening.left - laps.left,
        opening.right + laps.right,
        round(opening.bottom - laps.bottom, 6),
        opening.top + laps.top,
    )


def height_of(out: SettingOut, opening: Opening, laps: Laps) -> float:
    """The height of a front, on the workshop's step."""
    return down_to(opening.height + laps.top + laps.bottom, out.step)


def _lap(out: SettingOut, front: Front, side: str, wall: str | None) -> float:
    gap = front.gaps.meeting
    thick = (out.wall_board if (wall or "").startswith("carcass/side.") else out.side_board).thickness
    if wall is None:  # no board: two fronts meet at their gap
        return -gap / 2
    shared = front.lay == "half" or (wall not in OUTER and _fronted_beyond(out, front, side))
    lap = lap_over(thick, gap, shared, SHOWN_AT_SIDE if side in ("left", "right") else SHOWN_AT_ENDS)
    return (
        min(lap, round(thick - out.piece.top.overhang().covered - gap, 6))
        if wall == "carcass/top" and out.piece.top.overhang().covered
        else lap
    )


def _fronted_beyond(out: SettingOut, front: Front, side: str) -> bool:
    """Whether there is a front at the other side of the board at that edge."""
    reach = out.side_board.thickness + 0.01
    closed = out.closed_by(front)
    beyond = {
        "left": Rect(closed.left - reach, closed.left, closed.bottom, closed.top), "right": Rect(closed.right, closed.right + reach, closed.bottom, closed.top),
        "bottom": Rect(closed.left, closed.right, closed.bottom - reach, closed.bottom), "top": Rect(closed.left, closed.right, closed.top, closed.top + reach),
    }[side]  # fmt: skip
    return any(other is not front and out.closed_by(other).meets(beyond) for other in out.piece.fronts)


def _check_neighbours(out: SettingOut, front: Front) -> None:
    """An inset and an overlay front need a board between them: they lie in two planes."""
    closed = out.closed_by(front)
    for other in out.piece.fronts:
        if (other.lay == "inset") == (front.lay == "inset") or other is front:
            continue
        there = out.closed_by(other)
        side_by_side = (
            closed.bottom < there.top
            and there.bottom < closed.top
            and (closed.left == there.right or closed.right == there.left)
        )
        stacked = (
            closed.left < there.right
            and there.left < closed.right
            and (closed.bottom == there.top or closed.top == there.bottom)
        )
        if side_by_side or stacked:
            raise ParameterError(
                f"{out.path(front)}.lay",
                f'"{front.id}" is {_word(front)} and its neighbour "{other.id}" {_word(other)}, and no board stands between them; make both alike, or put a board there',
            )


def _word(front: Front) -> str:
    return "inset" if front.lay == "inset" else f"{front.lay} overlay"


__all__ = ["Laps", "height_of", "lap_over", "laps_of", "rectangle"]
