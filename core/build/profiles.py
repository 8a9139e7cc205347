"""Moulding profiles: the outlines that a cutter or a plane takes off the lower front arris, as polylines."""

from __future__ import annotations

import math

CHORD = 0.1  # mm; arcs follow the true curve within this, as every round of the model does

Point = tuple[float, float]


def arc(centre: Point, radius: float, start: float, end: float) -> list[Point]:
    """Points of an arc from `start` to `end` degrees, ends included, within `CHORD` of the true arc."""
    step = 2 * math.acos(max(0.0, 1 - CHORD / radius))
    number = max(2, math.ceil(abs(math.radians(end - start)) / step))
    angles = [math.radians(start + (end - start) * i / number) for i in range(number + 1)]
    return [(round(centre[0] + radius * math.cos(a), 6), round(centre[1] + radius * math.sin(a), 6)) for a in angles]


def square(width: float, height: float) -> list[Point]:
    """No profile: the arris stays square. Points (in from the front, up from the underside)."""
    return [(0.0, 0.0)]


def chamfer(width: float, height: float) -> list[Point]:
    """A flat across the arris."""
    return [(width, 0.0), (0.0, height)]


def cove(width: float, height: float) -> list[Point]:
    """A hollow of one radius (the smaller of width and height less the fillets), a fillet above and below."""
    radius = min(width, height) - 2.0
    return [(radius + 2.0, 0.0), (radius + 2.0, 2.0), *arc((2.0, 2.0), radius, 0, 90)[1:], (0.0, radius + 2.0)]


def ovolo(width: float, height: float) -> list[Point]:
    """A round of one radius with a fillet at both ends."""
    radius = min(width, height) - 2.0
    centre = (radius + 2.0, radius + 2.0)
    return [(radius + 2.0, 0.0), (radius + 2.0, 2.0), *list(reversed(arc(centre, radius, 180, 270)))[1:], (0.0, radius + 2.0)]


PROFILES = {"square": square, "chamfer": chamfer, "cove": cove, "ovolo": ovolo}
PROFILE_LABELS = {"square": "Square", "chamfer": "Chamfer", "cove": "Cove", "ovolo": "Ovolo"}
