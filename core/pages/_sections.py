"""Sections of a piece, hatched by material, and the details that are drawn at full size."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..drawing.blocks import Laid
from ..drawing.dimensions import DimensionRow, Side, chain
from ..drawing.page import WIDE, Item, Lines, Rect, Text, box, dashes
from ..drawing.section import HATCHES, Hatch, Section, clipped, cut, hatching, leaning
from ..drawing.text import width as lettering
from ..drawing.views import View
from ..fittings import fitting_entry
from ..kept import kept
from ..meshes import model_meshes
from ..model import Cut, Model, Motion, Part
from ..solids import peg_mesh
from ._main_sizes import front_sizes, merged
from ._sheets import sentence
from ._views import INNER, Drawn, boxes_of, drawn_view

PLAN, FROM_RIGHT = View.named("top"), View.named("side")
OFF = 0.0137  # mm; a section is taken so much beside a round figure, so that it lies in no face
ABOVE_RUNNER = 0.85  # of the height of a drawer's box: clear of the runner, which stands half way up
ASIDE = 0.35  # of a compartment's width, where the upright section is taken: clear of what stands in the middle
DETAIL = (140.0, 70.0)  # mm; what a detail shows
LEAST_EDGE = 4.0  # mm; a shorter edge of a detail is not measured
LEGEND_COLUMN = 50.0  # mm at the least
CLEAR = 20.0  # mm that a section keeps from hinges, knobs and catches
SWUNG = 90.0  # degrees to which a swinging front is drawn open
Y, Z = 1, 2


@dataclass(frozen=True, slots=True, eq=False)
class Sectioned:
    """A section that can be drawn at any scale: what lies beyond it, what is cut, and fronts in another position."""

    beyond: Drawn | None
    section: Section
    hatches: Mapping[int, Hatch]
    angles: Mapping[int, float]
    elsewhere: np.ndarray  # (k, 2, 2) mm of the piece
    box: Rect
    parts: int  # how many of the solids, the first ones, are parts

    def items(self, x: float, y: float, scale: float) -> tuple[Item, ...]:
        """The section with the origin of the piece at (x, y) on paper."""
        found: list[Item] = list(self.beyond.items(x, y, scale)) if self.beyond else []
        place = np.array((x, y))
        found += self.hatched(x, y, scale)
        outline = self.section.points if self.beyond else clipped(self.section.points, self.box)[0]
        found.append(Lines(_segments(outline * scale + place), WIDE))
        if len(self.elsewhere):
            found.append(
                Lines(_segments(self.elsewhere * scale + place), INNER, dashes("outline of another position", INNER))
            )
        if not self.beyond:
            corner = self.box
            found.append(
                box(
                    Rect(corner.x * scale + x, corner.y * scale + y, corner.width * scale, corner.height * scale), INNER
                )
            )
        return tuple(found)

    def hatched(self, x: float, y: float, scale: float, apart: float = 1.0) -> list[Lines]:
        """The hatching alone, its lines so many times as far apart as on paper."""
        found = []
        place = np.array((x, y))
        most = max([*self.hatches, 0]) + 1
        hatches = [self.hatches.get(n, HATCHES[0]) for n in range(most)]
        angles = [self.angles.get(n, 45.0) for n in range(most)]
        for lines, hatch in hatching(self.section, scale / apart, hatches, angles):
            lines = lines * apart
            if not self.beyond:
                window = Rect(*(value * scale for value in (self.box.x, self.box.y, self.box.width, self.box.height)))
                lines, _ = clipped(lines, window)
            found.append(Lines(_segments(lines + place), INNER, hatch.dash))
        return found


@dataclass(frozen=True, slots=True)
class Detail:
    """A place of the piece that is drawn at full size: its name, how it is looked at, where it is cut, and the window."""

    name: str
    view: View
    depth: float
    window: Rect


def sectioned(model: Model, view: View, depth: float, elsewhere: np.ndarray | None = None) -> Sectioned:
    """The model cut square to the view so near to the viewer, and what lies beyond."""
    beyond = drawn_view(_beyond(model, view, depth), view)
    section, hatches = _cut(model, view, depth)
    lines = np.zeros((0, 2, 2)) if elsewhere is None else elsewhere
    return Sectioned(beyond, section, hatches, leaning(section), lines, _around(beyond.box, lines), len(model.parts))


def detail_drawn(model: Model, detail: Detail) -> Sectioned:
    """A detail: only what is cut, inside its window."""
    section, hatches = _cut(model, detail.view, detail.depth)
    inside = set(section.within(detail.window).solid.tolist())
    kept = np.isin(section.solid, list(inside))
    section = Section(section.points[kept], section.solid[kept])
    return Sectioned(None, section, hatches, leaning(section), np.zeros((0, 2, 2)), detail.window, len(model.parts))


def detail_rows(drawn: Sectioned, scale: float) -> Mapping[Side, Sequence[DimensionRow]]:
    """Widths along a detail's foot and heights up its right side, from cut edge to cut edge."""
    points, _ = clipped(drawn.section.points[drawn.section.solid < drawn.parts], drawn.box.grown(-0.5))
    step = np.abs(points[:, 1] - points[:, 0])
    found: dict[Side, Sequence[DimensionRow]] = {}
    for side, axis, other in (("below", 0, 1), ("right", 1, 0)):
        square = (step[:, axis] < 1e-6) & (step[:, other] > LEAST_EDGE)
        stations = merged(points[square, 0, axis].tolist())
        if len(stations) > 1:
            found[side] = chain(stations, scale=scale)  # type: ignore[index]
    return found


def plan_level(model: Model) -> float:
    """Where the plan section is taken: through a drawer's box above its runner, or half way up the lowest compartment."""
    boxes = boxes_of(model)
    parts = {part.key: part for part in model.parts}
    drawers = [motion for motion in model.motions if motion.kind == "travel"]
    for motion in drawers:
        sides = [boxes[key] for key in motion.moves if key in parts and parts[key].role == "drawer box"]
        if sides:
            low, high = min(each[0][Z] for each in sides), max(each[1][Z] for each in sides)
            return round(float(low + ABOVE_RUNNER * (high - low)))
    bay = min(model.bays, key=lambda each: (each.low[2], each.low[0]))
    return round(bay.low[2] + 0.4 * (bay.high[2] - bay.low[2]))


def section_place(model: Model) -> float:
    """Where the upright section is taken, from the middle: through the compartment that holds most, aside of its middle."""
    bay = max(model.bays, key=lambda each: (len(each.holds), each.high[2] - each.low[2], -each.low[0]))
    return round(bay.low[0] + ASIDE * (bay.high[0] - bay.low[0]))


def moved_fronts(model: Model) -> np.ndarray:
    """Fronts in plan where they are open, drawers with their boxes, and the way of their edges: chain lines, (k, 2, 2), mm of the piece."""
    found: list[tuple[float, float, float, float]] = []
    boxes, parts = boxes_of(model), {part.key: part for part in model.parts}
    for motion in model.motions:
        panels = [
            boxes[key]
            for key in motion.moves
            if key in parts and parts[key].role in ("front panel", "stile", "rail", "lipping")
        ]
        if not panels:
            continue
        low, high = np.min([each[0] for each in panels], 0), np.max([each[1] for each in panels], 0)
        corners = _in_plan(low, high)
        if motion.kind == "travel":
            shift = np.array(motion.axis[:2]) * motion.reach
            box = [boxes[key] for key in motion.moves if key in parts and parts[key].role == "drawer box"]
            if box:
                start, end = np.min([each[0] for each in box], 0), np.max([each[1] for each in box], 0)
                found += _ring([(x + shift[0], y + shift[1]) for x, y in _in_plan(start, end)])
            found += _ring([(x + shift[0], y + shift[1]) for x, y in corners])
        elif abs(motion.axis[2]) > 0.9:
            found += _swung(motion, corners)
    return np.array(found, float).reshape(-1, 2, 2)


def _in_plan(low: np.ndarray, high: np.ndarray) -> list[tuple[float, float]]:
    """The corners of a box in plan, in turn."""
    return [(low[0], low[1]), (high[0], low[1]), (high[0], high[1]), (low[0], high[1])]


def details(model: Model) -> list[Detail]:
    """The places where fronts, carcass and top meet, as far as the piece has them."""
    found = (_meeting(model), _hinge(model), _front_top(model), _top(model))
    return [each for each in found if each is not None and _shows_a_joint(model, each)]


def _shows_a_joint(model: Model, detail: Detail) -> bool:
    section, _ = _cut(model, detail.view, detail.depth)
    return len(np.unique(section.within(detail.window).solid)) > 1


def materials_cut(model: Model) -> list[tuple[str, Hatch]]:
    """What each hatch stands for."""
    extra = [("hardwood plugs", PLUG)] if any(each.kind == "plug" for each in model.fasteners) else []
    return [*((name, hatch) for _, name, hatch in _hatched(model)), *extra, ("fittings", METAL)]


@dataclass(frozen=True, slots=True)
class Legend:
    """Which hatching is which material, as a block."""

    entries: tuple[tuple[str, Hatch], ...]
    swatch: tuple[float, float] = (14.0, 6.0)

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """All of it, in as many columns as there is room for, or nothing."""
        names = [sentence(name) for name, _ in self.entries]
        column = max((LEGEND_COLUMN, *(self.swatch[0] + 6.0 + lettering(name, 2.5) for name in names)))
        across = max(1, int(width // column))
        step = self.swatch[1] + 2.0
        rows = -(-len(self.entries) // across)
        if step * rows > height:
            return None
        items: list[Item] = []
        for number, (name, (_, hatch)) in enumerate(zip(names, self.entries)):
            left, top_of_row = x + number // rows * column, top - step * (number % rows)
            rect = Rect(left, top_of_row - self.swatch[1], *self.swatch)
            ends = np.array([rect.corners, (*rect.corners[1:], rect.corners[0])]).transpose(1, 0, 2)
            section = Section(ends - rect.centre, np.zeros(4, np.int64))
            for lines, _ in hatching(section, 1.0, [hatch], [45.0]):
                items.append(Lines(_segments(lines + rect.centre), INNER, hatch.dash))
            items += [box(rect), Text(rect.right + 2.0, rect.y + 1.75, 2.5, name)]
        return Laid(tuple(items), step * rows + 2.0)


# ------------------------------------------------------------------------------------------------------------ helpers
def _segments(points: np.ndarray) -> tuple[tuple[float, float, float, float], ...]:
    return tuple(map(tuple, points.reshape(-1, 4).tolist()))


def _beyond(model: Model, view: View, depth: float) -> Model:
    """The model without what stands before a plane; parts that it goes through are cut off at it."""
    meshes = model_meshes(model)
    nearest = {key: float(view.depth(mesh.vertices).max()) for key, mesh in meshes.items()}
    farthest = {key: float(view.depth(mesh.vertices).min()) for key, mesh in meshes.items()}
    parts = []
    for part in model.parts:
        if nearest[part.key] <= depth:
            parts.append(part)
        elif farthest[part.key] < depth:
            parts.append(_cut_off(part, view, depth))
    return Model(
        name=model.name,
        overall=model.overall,
        carcass=model.carcass,
        parts=tuple(parts),
        fittings=tuple(each for each in model.fittings if nearest[each.key] <= depth),
    )


def _cut_off(part: Part, view: View, depth: float) -> Part:
    toward = view.direction
    point = part.place.own_point(tuple(value * depth for value in toward))  # type: ignore[arg-type]
    plane = Cut(kind="corner", point=point, normal=part.place.own_direction(toward), angle=0.0, where="face side")
    return replace(part, shape=replace(part.shape, features=(*part.shape.features, plane)))


@kept
def _cut(model: Model, view: View, depth: float) -> tuple[Section, dict[int, Hatch]]:
    """The outline of all that the plane cuts, and the hatch of each solid."""
    plugs = [each for each in model.fasteners if each.kind == "plug"]
    section = cut([*model_meshes(model).values(), *map(peg_mesh, plugs)], view, depth)
    stuff = {id_: hatch for id_, _, hatch in _hatched(model)}
    solids = [stuff.get(part.board.material.id, METAL) for part in model.parts]
    solids += [stuff.get(each.bodies[0].substance if each.bodies else "", METAL) for each in model.fittings]
    solids += [PLUG] * len(plugs)
    return section, {n: solids[n] for n in np.unique(section.solid).tolist()}


METAL, PLUG = Hatch((0.7,)), Hatch((1.0,), (1.6, 0.6))


def _hatched(model: Model) -> list[tuple[str, str, Hatch]]:
    """Every material of the parts: id, name, and the hatch it has; the most used first."""
    volumes: dict[tuple[str, str], float] = {}
    for part in model.parts:
        key = part.board.material.id, part.board.material.name
        volumes[key] = volumes.get(key, 0.0) + math.prod(part.size)
    ordered = sorted(volumes, key=lambda key: (-round(volumes[key]), key))
    return [(id_, name, HATCHES[n % len(HATCHES)]) for n, (id_, name) in enumerate(ordered)]


def _around(rect: Rect, lines: np.ndarray) -> Rect:
    if not len(lines):
        return rect
    ends = lines.reshape(-1, 2)
    low = np.minimum(ends.min(axis=0), (rect.x, rect.y))
    high = np.maximum(ends.max(axis=0), (rect.right, rect.top))
    return Rect(float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1]))


def _ring(corners: Sequence[tuple[float, float]]) -> list[tuple[float, float, float, float]]:
    return [(*a, *b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]


def _swung(motion: Motion, corners: Sequence[tuple[float, float]]) -> list[tuple[float, float, float, float]]:
    """The door open square, and the way of its lock edge."""
    turn = math.copysign(math.radians(min(SWUNG, motion.reach)), motion.axis[2])
    centre = np.array(motion.through[:2])

    def at(corner: Sequence[float], angle: float) -> tuple[float, float]:
        x, y = np.array(corner) - centre
        return (
            float(centre[0] + x * math.cos(angle) - y * math.sin(angle)),
            float(centre[1] + x * math.sin(angle) + y * math.cos(angle)),
        )

    far = max(corners, key=lambda each: float(np.hypot(*(np.array(each) - centre))))
    way = [at(far, turn * n / 24) for n in range(25)]
    arc = [(*a, *b) for a, b in itertools.pairwise(way)]
    return [*_ring([at(corner, turn) for corner in corners]), *arc]


# ------------------------------------------------------------------------------------------------------------ details
def _front_y(model: Model) -> float:
    return -model.carcass[1]


def _clear_level(model: Model, low: float, high: float, axis: int) -> float:
    """A place between two, a third of the way if it can be, that keeps clear of fittings."""
    boxes = boxes_of(model)
    spans = [(float(boxes[each.key][0][axis]), float(boxes[each.key][1][axis])) for each in model.fittings]
    spans = [span for span in spans if span[1] - span[0] < 0.5 * (high - low)]
    for share in (0.33, 0.4, 0.27, 0.6, 0.67, 0.22, 0.73, 0.18):
        place = round(low + share * (high - low)) + OFF
        if all(not (first - CLEAR < place < last + CLEAR) for first, last in spans):
            return place
    return round(low + 0.33 * (high - low)) + OFF


def _plan_window(x: float, front: float) -> Rect:
    wide, deep = DETAIL
    return Rect(x - wide / 2, front - 20.0, wide, deep)


LAPPED = -30.0  # mm; doors rebated into each other overlap by less


def _meeting(model: Model) -> Detail | None:
    """Where two doors meet, cut level."""
    fronts = {each.key: each for each in front_sizes(model)}
    swings = [
        fronts[motion.key]
        for motion in model.motions
        if motion.key in fronts and abs(motion.axis[2]) > 0.9 and motion.kind == "swing"
    ]
    for left in swings:
        for right in swings:
            gap = right.left - left.right
            level = min(left.top, right.top) - max(left.bottom, right.bottom)
            if LAPPED < gap < 10 and left is not right and level > 100:
                z = _clear_level(model, max(left.bottom, right.bottom), min(left.top, right.top), Z)
                middle = (left.right + right.left) / 2
                boxes = boxes_of(model)
                upright = any(_holds(boxes[part.key], middle, z) for part in model.parts if part.role == "upright")
                words = "Meeting stiles and upright" if upright else "Meeting stiles"
                return Detail(f"{words}, {round(z)} above the floor", PLAN, z, _plan_window(middle, _front_y(model)))
    return None


def _holds(box: tuple[np.ndarray, np.ndarray], x: float, z: float) -> bool:
    low, high = box
    return bool(low[0] <= x <= high[0] and low[Z] <= z <= high[Z])


def _hinge(model: Model) -> Detail | None:
    """A hinge on the carcass, cut level through its middle."""
    moving = {
        key for motion in model.motions if motion.kind == "swing" and abs(motion.axis[2]) > 0.9 for key in motion.moves
    }
    for fitting in model.fittings:
        is_hinge = fitting.entry and "hinge" in fitting_entry(fitting.entry).kind and not fitting.bought_with
        if is_hinge and any(part.key in moving for part in model.parts if part.key in fitting.parts):
            low, high = boxes_of(model)[fitting.key]
            z, x = float(low[Z] + high[Z]) / 2 + OFF, float(low[0] + high[0]) / 2
            return Detail(f"Hinge side, {round(z)} above the floor", PLAN, z, _plan_window(x, _front_y(model)))
    return None


def _front_top(model: Model) -> Detail | None:
    """The top of a drawer, or else of a door, under what stands over it, cut upright."""
    fronts = {each.key: each for each in front_sizes(model)}
    for kind, words in (("travel", "Drawer top"), ("swing", "Door top")):
        for motion in model.motions:
            if motion.kind == kind and motion.key in fronts and (kind == "travel" or abs(motion.axis[2]) > 0.9):
                front = fronts[motion.key]
                x = _clear_level(model, front.left, front.right, 0)
                boxes = boxes_of(model)
                above = [
                    part
                    for part in model.parts
                    if part.role == "stiffener" and abs(boxes[part.key][1][Z] - front.top) < 60
                ]
                name = f"{words} with stiffener" if above else words
                return Detail(f"{name}, seen from the right", FROM_RIGHT, x, _upright_window(model, front.top - 10))
    return None


def _upright_window(model: Model, z: float) -> Rect:
    wide, high = DETAIL
    return Rect(_front_y(model) - 45.0, z - 0.6 * high, wide, high)


def _top(model: Model) -> Detail | None:
    """The front edge of the top on the carcass, cut upright."""
    width, depth, height = model.overall
    x = _clear_level(model, -width / 2, width / 2, 0)
    roles = {part.role for part in model.parts}
    name = (
        "Moulding on frieze"
        if "frieze" in roles
        else "Moulding on carcass"
        if "moulding" in roles
        else "Top on carcass"
    )
    wide, high = DETAIL
    return Detail(f"{name}, seen from the right", FROM_RIGHT, x, Rect(-depth - 10.0, height - high + 8.0, wide, high))
