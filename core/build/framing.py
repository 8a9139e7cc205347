"""How the members of a frame are told apart, spread and jointed, whatever style of panel they belong to."""

from __future__ import annotations

from ..units import from_middle


def across_names(count: int, left: str, right: str) -> tuple[str, ...]:
    """Names of things side by side, from the left: by the edge they are nearer to, so that a mirror image has the same.

    >>> across_names(3, "hinge", "closing"), across_names(4, "left", "right"), across_names(1, "left", "right")
    (('hinge', 'middle', 'closing'), ('left.1', 'left.2', 'right.2', 'right.1'), ('middle',))
    """
    half = count // 2
    numbers = [f".{i}" if half > 1 else "" for i in range(1, half + 1)]
    middle = ("middle",) if count % 2 else ()
    return (*(f"{left}{each}" for each in numbers), *middle, *(f"{right}{each}" for each in reversed(numbers)))


def muntin_places(between: float, width: float, count: int) -> tuple[float, ...]:
    """Distances of the left edges of evenly spread muntins from the left end of a field, to 0.1 mm about its middle.

    >>> muntin_places(300, 60, 1), muntin_places(300, 30, 2)
    ((120.0,), (80.0, 190.0))
    """
    field = (between - count * width) / (count + 1)
    if count == 1:
        return (between / 2 - width / 2,)
    reach = (count - 1) * (field + width)
    return tuple(round(between / 2 + from_middle(reach, i, count) - width / 2, 6) for i in range(count))
