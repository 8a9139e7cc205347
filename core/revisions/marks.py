"""Marks: the short number on each part, shared by equal parts of a job, kept from revision to revision.

Two parts are equal when one of the four proper rotations of the blank that keep its grain (and its face side, where it has
one) carries every cut and every feature made in the part onto the other's within 0.01 mm. Holes and recesses made after the
glue-up belong to the assembly and do not count; a mirror image is never equal.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import count

from ..model import Cut, CutOut, Feature, Hole, Model, Part, Pocket, Shape

TOLERANCE = 0.01  # mm
_OFFSET = 0.0031  # moves the limits between classes away from the hundredths and thousandths that sizes fall on
_ROTATIONS = ((1, 1, 1), (-1, -1, 1), (-1, 1, -1), (1, -1, -1))  # the identity and half turns about z, y and x
Place = tuple[int, str]  # which piece of the job, and the key of the part


def marks(models: Sequence[Model], recorded: Mapping[Place, int] | None = None) -> dict[Place, int]:
    """The mark of every part of a job by (piece, key), in the order of the parts list.

    `recorded` are the marks of the last revision: the part of a key keeps the number that stood there, also where its sizes changed
    (sheets and labels say the revision). Of parts that were equal and are no more, the first keeps the number; a number that
    falls free is never given to another part.
    """
    classes = _classes(models)
    taken: dict[int, int] = {}
    given: set[int] = set()
    for place, number in (recorded or {}).items():
        if place in classes and number not in given:
            given.add(taken.setdefault(classes[place], number))
    used = {*given, *(recorded or {}).values()}
    free = (number for number in count(1) if number not in used)
    result: dict[Place, int] = {}
    for place, number_of_class in classes.items():
        if number_of_class not in taken:
            taken[number_of_class] = next(free)
        result[place] = taken[number_of_class]
    return result


def are_equal(first: Part, second: Part) -> bool:
    """Whether one of two parts can stand in for the other."""
    return _signatures(first)[0] in _signatures(second)


def _classes(models: Sequence[Model]) -> dict[Place, int]:
    known: dict[tuple, int] = {}
    result: dict[Place, int] = {}
    number = 0
    for index, model in enumerate(models):
        for part in model.parts:
            own, *turned = _signatures(part)
            if own not in known:
                known.update(dict.fromkeys((own, *turned), number))
                number += 1
            result[index, part.key] = known[own]
    return result


def _signatures(part: Part) -> list[tuple]:
    """The part's signature as it looks after each rotation that is allowed, first as it stands."""
    what = (part.board.material.id, part.grain, part.shown_one_side)
    forms = _forms(part.shape)
    return [(*what, *form) for form in (forms[:2] if part.shown_one_side else forms)]


@lru_cache(maxsize=4096)
def _forms(shape: Shape) -> tuple[tuple, ...]:
    """Sizes, section and features of a shape after each of the rotations, in classes; kept by the shape's value."""
    return tuple(_form(shape, turn) for turn in _ROTATIONS)


def _form(shape: Shape, turn: tuple[int, int, int]) -> tuple:
    half = tuple(size / 2 for size in shape.size)
    features = sorted(_turned(feature, half, turn) for feature in shape.features if _counts(feature))
    section = sorted((_class_of(turn[1] * (y - half[1])), _class_of(turn[2] * (z - half[2]))) for y, z in shape.section)
    sizes = tuple(_class_of(size) for size in shape.size)
    return (sizes, tuple(section), tuple(features))


def _counts(feature: Feature) -> bool:
    return isinstance(feature, Cut) or feature.when.stage == "in the part"


def _turned(feature: Feature, half: tuple[float, ...], turn: tuple[int, int, int]) -> tuple:
    if isinstance(feature, Hole):
        at = tuple(_class_of(turn[i] * (feature.at[i] - half[i])) for i in range(3))
        into = tuple(_class_of(turn[i] * feature.into[i]) for i in range(3))
        return ("hole", at, into, _class_of(feature.diameter), _class_of(feature.depth))
    if isinstance(feature, Pocket):
        corners = [sorted(turn[i] * (c[i] - half[i]) for c in (feature.low, feature.high)) for i in range(3)]
        return (
            feature.kind,
            tuple(_class_of(low) for low, _ in corners),
            tuple(_class_of(high) for _, high in corners),
        )
    if isinstance(feature, CutOut):
        return _cut_out_turned(feature, half, turn)
    normal = tuple(turn[i] * feature.normal[i] for i in range(3))
    offset = sum(feature.normal[i] * (feature.point[i] - half[i]) for i in range(3))
    # the plane alone says what is sawn off; its kind is only a word
    return ("plane", tuple(_class_of(100 * n) for n in normal), _class_of(offset))


def _cut_out_turned(feature: CutOut, half: tuple[float, ...], turn: tuple[int, int, int]) -> tuple:
    """Ends and sides after a turn; a side is its two corners and its rise, whichever corner the outline begins at."""
    u, v = ((feature.axis + i) % 3 for i in (1, 2))
    ends = sorted(turn[feature.axis] * (at - half[feature.axis]) for at in (feature.start, feature.end))
    corners = [(_class_of(turn[u] * (x - half[u])), _class_of(turn[v] * (y - half[v]))) for x, y in feature.outline]
    rises = feature.rises or (0.0,) * len(corners)
    sides = (
        (*sorted((corner, after)), _class_of(rise))
        for corner, after, rise in zip(corners, (*corners[1:], corners[0]), rises, strict=True)
    )
    return ("cut-out", feature.axis, tuple(_class_of(at) for at in ends), tuple(sorted(sides)))


def _class_of(value: float) -> int:
    return math.floor((value + _OFFSET) / TOLERANCE)
