"""Where along a joint there is wood to hold in: rows of fasteners on a framed side stand in its stiles and rails, not in its panel."""

from __future__ import annotations

import math

from ..errors import ParameterError
from ..geometry import Vector, dot
from .bench import Bench, Box
from .protocols import Meeting

FROM_EDGE = 12.0  # mm from the front and rear edges of a joint to the middle of a fastener; common practice, no source
WOOD_LEFT = 3.0  # mm between a fastener and what is no wood; common practice, no source
TWO_IN = 24.0  # mm of free wood that two fasteners need; common practice, no source

Span = tuple[float, float]


def in_wood(
    bench: Bench, meeting: Meeting, places: tuple[float, ...], reach: float, across: float, deep: Span
) -> tuple[float, ...]:
    """The places of a row where both parts have wood; in each stretch of wood that keeps too few of them two, or one in its middle.

    A fastener reaches `reach` along the joint and `across` to either side of its line; `deep` is how far it goes into the face
    and into the edge.
    """
    boxes = [_about(meeting, box) for key in (meeting.face, meeting.edge) for box in bench.reserved.get(key, ())]
    if not boxes:
        return places
    spans = _free(meeting, boxes, reach, across, deep)
    found: list[float] = []
    for low, high in spans:
        kept = [place for place in places if low <= place <= high]
        if len(kept) < 2:
            two = high - low >= TWO_IN + 2 * max(reach - across, 0.0)
            kept = [math.ceil(low * 10) / 10, math.floor(high * 10) / 10] if two else [round((low + high) / 2, 1)]
        found += kept
    middle = (meeting.set_back + meeting.row) / 2
    if not found or found[0] > middle or found[-1] < middle:
        if "carcass/top" in (meeting.face, meeting.edge) and "carcass/top" in bench.reserved:
            raise ParameterError(
                "carcass.joint",
                f'the joint of "{meeting.edge}" and "{meeting.face}" finds too little wood in the rails under the top; make them wider (top.rail_width), or let it lie on a "board"',
            )
        raise ParameterError(
            "carcass.side_panel.stile_width",
            f'the joint of "{meeting.edge}", {meeting.length:g} mm long, finds too little wood in the stiles of "{meeting.face}"; make them wider, or put a mid rail there',
        )
    return tuple(found)


def _free(meeting: Meeting, boxes: list[Box], reach: float, across: float, deep: Span) -> list[Span]:
    """Stretches along the joint in which the middle of a fastener may be."""
    edge = max(FROM_EDGE, reach + WOOD_LEFT)
    spans = [(meeting.set_back + edge, meeting.row - edge)]
    for low, high in boxes:
        beside = low[1] > across + WOOD_LEFT or high[1] < -across - WOOD_LEFT
        before = low[2] > deep[1] or high[2] < -deep[0]
        if not (beside or before):
            a, b = low[0] - reach - WOOD_LEFT, high[0] + reach + WOOD_LEFT
            spans = [part for s, e in spans for part in ((s, min(e, a)), (max(s, b), e))]
            spans = [(s, e) for s, e in spans if e - s > -1e-9]
    return sorted(set(spans))


def _about(meeting: Meeting, box: Box) -> Box:
    """A box of the piece by along, across and into the joint."""
    across = tuple(1.0 - abs(a) - abs(b) for a, b in zip(meeting.along, meeting.into))
    ends = [
        tuple(dot(_from(meeting.start, corner), way) for way in (meeting.along, across, meeting.into))  # type: ignore[arg-type]
        for corner in box
    ]
    return tuple(map(min, *ends)), tuple(map(max, *ends))  # type: ignore[return-value]


def _from(start: Vector, point: Vector) -> Vector:
    return (point[0] - start[0], point[1] - start[1], point[2] - start[2])


__all__ = ["in_wood"]
