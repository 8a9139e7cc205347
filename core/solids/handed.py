"""Left hand and right hand: bodies that are mirror images of one another are solved once.

Of a shape and its mirror image across the width the one is solved whose features lie nearer to the edge at y = 0, whichever of
them is asked for; the other is its reflection. So nothing depends on what was solved before.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from ..model import Cut, CutOut, Feature, Hole, Pocket, Shape
from .bodies import Body

WORTH_IT = 2  # features; to solve a body of fewer costs no more than to look for it
EVEN = 1e-6  # mm; a shape no more one-handed than this is taken as it is
_ACROSS = np.array((1.0, -1.0, 1.0))


def handed(shape: Shape, holes: Sequence[Hole]) -> tuple[Shape, Sequence[Hole], bool]:
    """The shape and those of its holes that are cut in its body, or their mirror images; and whether they are.

    Of the features only those come back that the body has: the given holes are not among them.
    """
    features = [each for each in shape.features if type(each) is not Hole]
    if shape.section or len(features) + len(holes) < WORTH_IT:
        return shape, holes, False
    width = shape.size[1]
    leaning = sum([_MIDDLES[type(each)](each) - width / 2 for each in (*features, *holes)])
    if leaning <= EVEN:
        return shape, holes, False
    turned = tuple([_REFLECTED[type(each)](each, width) for each in features])
    return replace(shape, features=turned), [_reflected_hole(each, width) for each in holes], True


def reflected(body: Body, shifts: Sequence[list[float]], width: float) -> tuple[Body, tuple[list[float], ...]]:
    """The mirror image of a body in a board so wide, and how far each stretch of it lies beyond."""
    x, y, z = shifts
    ends = np.cumsum(body.sizes)
    back = np.repeat(ends + ends - body.sizes - 1, body.sizes) - np.arange(
        len(body.corners)
    )  # each outline from its end
    image = Body(
        vertices=body.vertices * _ACROSS,
        stretch=body.stretch,
        ends=body.ends,
        smooth=body.smooth,
        edge_faces=body.edge_faces[:, ::-1],
        normals=body.normals * _ACROSS + 0.0,
        corners=body.corners[back],
        sizes=body.sizes,
        holes={face: [loop[::-1] for loop in loops] for face, loops in body.holes.items()},
    )
    return image, (x, [width - by for by in y], z)


# ------------------------------------------------------------------------------------------------------ where they lie
def _middle_of_pocket(pocket: Pocket) -> float:
    return (pocket.low[1] + pocket.high[1]) / 2


def _middle_of_hole(hole: Hole) -> float:
    return hole.at[1]


def _middle_of_cut(cut: Cut) -> float:
    return cut.point[1]


def _middle_of_cut_out(cut_out: CutOut) -> float:
    if cut_out.axis == 1:
        return (cut_out.start + cut_out.end) / 2
    across = [corner[_WIDTH_OF[cut_out.axis]] for corner in cut_out.outline]
    return (min(across) + max(across)) / 2


_WIDTH_OF = {0: 0, 2: 1}  # which coordinate of an outline runs across the width
_MIDDLES = {Pocket: _middle_of_pocket, Hole: _middle_of_hole, Cut: _middle_of_cut, CutOut: _middle_of_cut_out}


# ------------------------------------------------------------------------------------------------------- mirror images
def _reflected_pocket(pocket: Pocket, width: float) -> Feature:
    (x, y, z), (p, q, r) = pocket.low, pocket.high
    return replace(pocket, low=(x, width - q, z), high=(p, width - y, r))


def _reflected_hole(hole: Hole, width: float) -> Hole:
    (x, y, z), (u, v, w) = hole.at, hole.into
    return replace(hole, at=(x, width - y, z), into=(u, 0.0 - v, w))


def _reflected_cut(cut: Cut, width: float) -> Feature:
    (x, y, z), (u, v, w) = cut.point, cut.normal
    return replace(cut, point=(x, width - y, z), normal=(u, 0.0 - v, w))


def _reflected_cut_out(cut_out: CutOut, width: float) -> Feature:
    """The outline runs the other way round in the mirror, and is read from its end: corner i, then the rise of the side before it."""
    if cut_out.axis == 1:  # the outline's two axes stay
        return replace(cut_out, start=width - cut_out.end, end=width - cut_out.start)
    across = _WIDTH_OF[cut_out.axis]
    outline = [tuple([width - at if i == across else at for i, at in enumerate(each)]) for each in cut_out.outline]
    rises = (*cut_out.rises[-2::-1], cut_out.rises[-1]) if cut_out.rises else ()
    return replace(cut_out, outline=tuple(outline[::-1]), rises=rises)


_REFLECTED = {Pocket: _reflected_pocket, Hole: _reflected_hole, Cut: _reflected_cut, CutOut: _reflected_cut_out}
