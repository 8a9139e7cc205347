"""Corners of cut-outs and pockets brought level where they differ by no more than rounding.

Two sides that are meant to lie in one plane, but whose corners come from different sums, may lean against each other by less
than any tolerance can tell. So coordinates of one shape that are nearly equal are made equal before its planes are laid.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ..model import CutOut, Pocket, Shape

NEARLY = 1e-5  # mm between coordinates that are meant to be one

Level = dict[float, float]  # from each coordinate to the one that stands for it


def levelled(shape: Shape) -> Shape:
    """The shape with the coordinates of its cut-outs and pockets that are nearly equal, or nearly on its surface, made equal."""
    levels = [_level((0.0, size), list(_coordinates(shape, axis))) for axis, size in enumerate(shape.size)]
    if all(value == to for level in levels for value, to in level.items()):
        return shape
    features = tuple(
        _pocket(feature, levels)
        if isinstance(feature, Pocket)
        else _cut_out(feature, levels)
        if isinstance(feature, CutOut)
        else feature
        for feature in shape.features
    )
    return replace(shape, features=features)


def _coordinates(shape: Shape, axis: int) -> Iterator[float]:
    for feature in shape.features:
        if isinstance(feature, Pocket):
            yield feature.low[axis]
            yield feature.high[axis]
        elif isinstance(feature, CutOut):
            place = (axis - feature.axis) % 3
            yield from (
                (feature.start, feature.end) if place == 0 else (corner[place - 1] for corner in feature.outline)
            )


def _level(surface: tuple[float, float], values: list[float]) -> Level:
    """Coordinates in runs that no gap of more than `NEARLY` parts; the surface stands for its run, else the lowest."""
    ordered = sorted({*values, *surface})
    level: Level = {}
    run: list[float] = []
    for value in [*ordered, float("inf")]:
        if run and value - run[-1] > NEARLY:
            to = next((each for each in surface if each in run), run[0])
            level.update(dict.fromkeys(run, to))
            run = []
        run.append(value)
    return level


def _pocket(pocket: Pocket, levels: list[Level]) -> Pocket:
    low, high = (
        tuple(level[at] for level, at in zip(levels, corner, strict=True)) for corner in (pocket.low, pocket.high)
    )
    return replace(pocket, low=low, high=high)


def _cut_out(cut_out: CutOut, levels: list[Level]) -> CutOut:
    k = cut_out.axis
    u, v = levels[(k + 1) % 3], levels[(k + 2) % 3]
    outline = tuple((u[x], v[y]) for x, y in cut_out.outline)
    return replace(cut_out, outline=outline, start=levels[k][cut_out.start], end=levels[k][cut_out.end])
