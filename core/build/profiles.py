"""Moulding profiles: the outlines that a cutter or a plane takes off the lower front arris, as polylines."""

from __future__ import annotations

import itertools
import math

from ..errors import ParameterError

CHORD = 0.1  # mm; arcs follow the true curve within this, as every round of the model does
FILLET, QUIRK = 2.0, 3.0  # mm; common practice, no source

Point = tuple[float, float]


def arc(centre: Point, radius: float, start: float, end: float, chord: float = CHORD) -> list[Point]:
    """Points of an arc from `start` to `end` degrees, ends included, within `chord` of the true arc."""
    turn = 2 * math.acos(max(0.0, 1 - chord / radius))
    number = max(2, math.ceil(abs(math.radians(end - start)) / turn))
    angles = [math.radians(start + (end - start) * i / number) for i in range(number + 1)]
    return [(round(centre[0] + radius * math.cos(a), 6), round(centre[1] + radius * math.sin(a), 6)) for a in angles]


def square(width: float, height: float) -> list[Point]:
    """No profile: the arris stays square. Points (in from the front, up from the underside)."""
    return [(0.0, 0.0)]


def chamfer(width: float, height: float) -> list[Point]:
    """A flat across the arris."""
    return [(width, 0.0), (0.0, height)]


def rounded(width: float, height: float) -> list[Point]:
    """A quarter round of one radius, the smaller of width and height, without fillets."""
    radius = min(width, height)
    return list(reversed(arc((radius, radius), radius, 180, 270)))


def cove(width: float, height: float) -> list[Point]:
    """A hollow of one radius (the smaller of width and height less the fillets), a fillet above and below."""
    radius = min(width, height) - 2.0
    return [(radius + 2.0, 0.0), (radius + 2.0, 2.0), *arc((2.0, 2.0), radius, 0, 90)[1:], (0.0, radius + 2.0)]


def ovolo(width: float, height: float) -> list[Point]:
    """A round of one radius with a fillet at both ends."""
    radius = min(width, height) - 2.0
    centre = (radius + 2.0, radius + 2.0)
    return [
        (radius + 2.0, 0.0),
        (radius + 2.0, 2.0),
        *list(reversed(arc(centre, radius, 180, 270)))[1:],
        (0.0, radius + 2.0),
    ]


def ogee(width: float, height: float) -> list[Point]:
    """Two quarter rounds that run into each other, the full one within, the hollow one at the front; fillets above and below."""
    a, b = (width - FILLET) / 2, (height - FILLET) / 2
    full = _quarter((width, FILLET + b), a, b, 270, 180)
    hollow = _quarter((FILLET, FILLET + b), a, b, 0, 90)
    return [(width, 0.0), *full, *hollow[1:], (0.0, height)]


def bead(width: float, height: float) -> list[Point]:
    """A half round at the front, as high as the profile less the quirk above it."""
    high = min(height - QUIRK, 2 * width)
    half = high / 2
    return [*reversed(arc((half, half), half, 90, 270)), (half, high + QUIRK), (0.0, high + QUIRK)]


def step(width: float, height: float) -> list[Point]:
    """Two square steps."""
    return [(width, 0.0), (width, height / 2), (width / 2, height / 2), (width / 2, height), (0.0, height)]


def true_arcs(word: str, size: float) -> list[tuple[float, float, float]]:
    """A profile as wide as high with true arcs: in, up, and how high the arc to the next point stands over its chord.

    An arc that hollows the wood counts positive, a full one negative, as those of an outline that is taken out.

    >>> true_arcs("chamfer", 8), true_arcs("round", 10)
    ([(8, 0.0, 0.0), (0.0, 8, 0.0)], [(10, 0.0, -2.928932), (0.0, 10, 0.0)])
    """
    s, f = size, FILLET

    def bow(radius: float) -> float:
        return round(radius * (1 - math.sqrt(0.5)), 6)  # of a quarter round

    a = (s - f) / 2
    half = min(s - QUIRK, 2 * s) / 2
    return {
        "square": [(0.0, 0.0, 0.0)],
        "chamfer": [(s, 0.0, 0.0), (0.0, s, 0.0)],
        "round": [(s, 0.0, -bow(s)), (0.0, s, 0.0)],
        "cove": [(s, 0.0, 0.0), (s, f, bow(s - f)), (f, s, 0.0), (0.0, s, 0.0)],
        "ovolo": [(s, 0.0, 0.0), (s, f, -bow(s - f)), (f, s, 0.0), (0.0, s, 0.0)],
        "ogee": [(s, 0.0, 0.0), (s, f, -bow(a)), (s - a, f + a, bow(a)), (f, s, 0.0), (0.0, s, 0.0)],
        "bead": [
            (half, 0.0, -bow(half)),
            (0.0, half, -bow(half)),
            (half, 2 * half, 0.0),
            (half, s, 0.0),
            (0.0, s, 0.0),
        ],
        "step": [(s, 0.0, 0.0), (s, s / 2, 0.0), (s / 2, s / 2, 0.0), (s / 2, s, 0.0), (0.0, s, 0.0)],
    }[word]


def own(field: str, numbers: tuple[float, ...], width: float, height: float) -> list[Point]:
    """An outline of one's own: in, up, in, up … in mm from the front and the underside, within `width` and `height`.

    It begins on the underside and ends on the front; from point to point "in" never grows and "up" never falls, so that a cutter or a
    plane can make it. Raises ParameterError of `field`.

    >>> own("points", (20, 0, 12, 8, 0, 15), 30, 30)
    [(20, 0), (12, 8), (0, 15)]
    """
    points = list(zip(numbers[::2], numbers[1::2]))
    if len(numbers) % 2 or len(points) < 2:
        raise ParameterError(
            field, f"{len(numbers)} numbers do not make an outline; give pairs of in and up, at least 2 pairs"
        )
    if points[0][1] != 0 or points[-1][0] != 0:
        raise ParameterError(
            field,
            f"begins at up {points[0][1]:g} and ends at in {points[-1][0]:g}; it must begin on the underside (up 0) and end on the front (in 0)",
        )
    if points[0][0] > width or points[-1][1] > height:
        raise ParameterError(
            field, f"takes {points[0][0]:g} in and {points[-1][1]:g} up; at most {width:g} and {height:g} mm"
        )
    for (a, b), (c, d) in itertools.pairwise(points):
        if c > a or d < b or (a, b) == (c, d):
            raise ParameterError(
                field,
                f"goes from ({a:g}, {b:g}) to ({c:g}, {d:g}); in must not grow, up must not fall, and no point may come twice",
            )
    return points


def _quarter(centre: Point, a: float, b: float, start: float, end: float) -> list[Point]:
    """Points of a quarter of an ellipse with semi-axes a and b, within `CHORD` of the true curve."""
    return [
        (round(centre[0] + a * x, 6), round(centre[1] + b * y, 6))
        for x, y in arc((0.0, 0.0), 1.0, start, end, CHORD / max(a, b))
    ]


PROFILES = {
    "square": square,
    "chamfer": chamfer,
    "round": rounded,
    "cove": cove,
    "ovolo": ovolo,
    "ogee": ogee,
    "bead": bead,
    "step": step,
}
PROFILE_LABELS = {
    "square": "Square", "chamfer": "Chamfer", "round": "Round-over", "cove": "Cove", "ovolo": "Ovolo", "ogee": "Ogee", "bead": "Bead", "step": "Step", "own": "An outline of one's own",
}  # fmt: skip
