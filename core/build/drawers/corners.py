"""What box joints share: heights along a corner that keep off its ends and off the groove for the bottom."""

from __future__ import annotations

from .values import BoxCorner

FROM_EDGE = 25.0  # mm to the first and last fastener of a corner; common practice, no source
CLEAR_OF_GROOVE = 8.0  # mm of wood between a fastener and the groove; common practice, no source
CLEAR_OF_EDGE = 8.0  # mm of wood between a fastener and an edge; common practice, no source
LOW_CORNER = 90.0  # mm; a corner not so high has two fasteners, a higher one three; common practice, no source


def corner_heights(corner: BoxCorner, diameter: float) -> list[float]:
    """The z of the fasteners of a corner: three, two in a low one, one where there is no room for more."""
    edge = CLEAR_OF_EDGE + diameter / 2
    groove_low, groove_high = corner.clear
    least = round(groove_high - corner.low + CLEAR_OF_GROOVE + diameter / 2, 6) if groove_high > groove_low else edge
    return spread(corner.low, round(corner.high - corner.low, 6), least, edge)


def spread(low: float, high: float, least: float, edge: float) -> list[float]:
    """Heights of the fasteners of a corner `high` mm high whose lowest place is `least` above `low`, in the piece.

    >>> spread(0, 130, 30, 12), spread(0, 70, 12, 12), spread(0, 50, 24, 12)
    ([30, 67.5, 105.0], [25.0, 45.0], [31.0])
    """
    first, last = max(FROM_EDGE, least), high - FROM_EDGE
    if last - first < 20:
        return [round(low + (least + high - edge) / 2, 1)]
    if high < LOW_CORNER:
        return [round(low + first, 1), round(low + last, 1)]
    return [round(low + first, 1), round(low + (first + last) / 2, 1), round(low + last, 1)]


__all__ = ["CLEAR_OF_EDGE", "CLEAR_OF_GROOVE", "corner_heights", "spread"]
