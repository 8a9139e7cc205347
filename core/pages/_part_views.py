"""Parts seen square to each of their six sides, holes at true size, with running dimensions from the datum corner."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from ..drawing.hidden_lines import Drawable, Kind
from ..drawing.page import Arc, Area, Circle, Item, Lines, Rect, Text, bounds, dashes, placed, rect_around_rects
from ..drawing.running import Running, running
from ..drawing.text import width as width_of
from ..drawing.views import View
from ..geometry import Placement, Vector
from ..model import CutOut, End, Hole, Part, Pocket, Shape
from ..solids import meshes_of
from ..solids import placed as placed_mesh
from ._machining import SIDES, Row, pocket_limits
from ._views import INNER, OUTLINE

Solid = tuple[Shape, Placement]  # of a part, in the frame of the part that leads

NAME_HEIGHT, LETTER = 2.5, 2.5  # mm
CROSS = 1.0  # mm that the centre lines of a hole reach beyond its edge, or its centre where it is smaller
DATUM_MARK = 2.6  # mm; legs of the filled corner
FACE_MARK = 6.0  # mm that a face mark is high
FACE_MARK_AT = (0.35, 0.4, 0.45, 0.3, 0.5, 0.55, 0.6, 0.25, 0.65)  # of the length; where on the face edge it may stand
APART = 3.0  # mm between views
MOST_CORNERS = 16  # of an outline that are measured
LEAST_ROUND = 14.0  # mm that a view's dimensions and name need, at least
TALL = 1.25  # times as wide as long, and more
SPACING = 100.0  # mm between solids that are drawn together

# Where the viewer of each side stands, and what is up: unfolded about the face side, the back side turned over lengthwise.
_VIEWS: dict[str, tuple[Vector, Vector]] = {
    "face": ((0.0, 0.0, 1.0), (0.0, 1.0, 0.0)),
    "back": ((0.0, 0.0, -1.0), (0.0, -1.0, 0.0)),
    "low": ((0.0, -1.0, 0.0), (0.0, 0.0, 1.0)),
    "high": ((0.0, 1.0, 0.0), (0.0, 0.0, -1.0)),
    "foot": ((-1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
    "head": ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)),
}


@dataclass(frozen=True, slots=True, eq=False)
class Outline:
    """What is seen of a part from one side, (k, 2, 2) wide and narrow lines, mm, its own corner at (0, 0)."""

    wide: np.ndarray
    narrow: np.ndarray
    box: Rect


@dataclass(frozen=True, slots=True)
class Lettered:
    """A row of holes and the letter that stands beside it and in the table."""

    letter: str
    row: Row


@dataclass(frozen=True, slots=True)
class PartFigure:
    """A part on paper: what is drawn, and the paper it covers."""

    items: tuple[Item, ...]
    rect: Rect


def outlines(subjects: Sequence[tuple[Vector, Sequence[Solid]]]) -> list[dict[str, Outline]]:
    """Of each subject (size of the leading part, solids in its frame) what is seen from every side; all at one go."""
    meshes, owner, moves = [], [], []
    corner = np.zeros(3)
    shapes = iter(meshes_of([shape for _, solids in subjects for shape, _ in solids]))
    for number, (_, solids) in enumerate(subjects):
        made = [placed_mesh(next(shapes), place) for _, place in solids]
        low, high = np.min([m.vertices.min(0) for m in made], 0), np.max([m.vertices.max(0) for m in made], 0)
        meshes += made
        owner += [number] * len(made)
        moves += [corner - low] * len(made)
        corner = corner + (high - low) + SPACING
    if not meshes:
        return []
    drawable = Drawable.of(meshes).moved(np.array(moves))
    first = {number: n for n, number in reversed(list(enumerate(owner)))}
    found: list[dict[str, Outline]] = [{} for _ in subjects]
    for name, (toward, up) in _VIEWS.items():
        view = View.toward(toward, up)
        lines = drawable.lines(view)
        subject = np.array(owner)[lines.solid]
        order = np.argsort(subject, kind="stable")
        starts = np.searchsorted(subject[order], np.arange(len(subjects) + 1))
        for number, (size, _) in enumerate(subjects):
            mine = order[starts[number] : starts[number + 1]]
            shift = view.project(np.array(moves[first[number]])) - _corner(name, size)
            points, wide = lines.points[mine] - shift, lines.kind[mine] == Kind.SILHOUETTE
            low, high = points.reshape(-1, 2).min(0), points.reshape(-1, 2).max(0)
            box = Rect(float(low[0]), float(low[1]), float(high[0] - low[0]), float(high[1] - low[1]))
            found[number][name] = Outline(points[wide], points[~wide], box)
    return found


def bare(shape: Shape, stages: Sequence[str]) -> Shape:
    """A shape as it is after what these stages make, its holes left out: they are drawn as circles."""
    kept = tuple(each for each in shape.features if not isinstance(each, Hole) and each.when.stage in stages)
    return replace(shape, features=kept)


def part_figure(
    part: Part,
    seen: Mapping[str, Outline],
    rows: Sequence[Lettered],
    pockets: Sequence[tuple[str, Pocket]],
    scale: float,
    together: bool = False,
) -> PartFigure:
    """The face side with the sides round it that something is made in, each named, at a scale.

    The corners of an outline that is not a plain rectangle are among the dimensions; of things glued `together` only
    those that stand out from the leading part.
    """
    return _Figure(part, seen, rows, pockets, scale, together).whole()


def least_size(
    part: Part,
    seen: Mapping[str, Outline],
    rows: Sequence[Lettered],
    pockets: Sequence[tuple[str, Pocket]],
    scale: float,
    together: bool = False,
) -> tuple[float, float]:
    """A width and height that the figure certainly needs, in mm on paper, told without drawing it."""
    figure = _Figure(part, seen, rows, pockets, scale, together)
    shown = figure.shown()
    if shown == ["back"] and not figure.on("face"):
        shown = []
    at_sides = ("foot", "head", "back") if figure.is_tall() else ("foot", "head")
    high = [seen[name].box.height * scale + LEAST_ROUND for name in ("face", *shown) if name not in at_sides]
    wide = [seen[name].box.width * scale + LEAST_ROUND for name in at_sides if name in shown]
    return seen["face"].box.width * scale + LEAST_ROUND + sum(wide), sum(high)


def views_shown(part: Part, rows: Sequence[Lettered], pockets: Sequence[tuple[str, Pocket]]) -> list[str]:
    """The views besides the face side in which something is made: "foot", "head", "low", "high", "back"."""
    return _Figure(part, {}, rows, pockets, 1.0, False).shown()


def hole_spots(part: Part, rows: Sequence[Lettered], name: str) -> list[tuple[tuple[float, float], float]]:
    """Centres, mm of the part in one view, and diameters of the holes drilled from the side it shows."""
    figure = _Figure(part, {}, rows, (), 1.0, False)
    mine = [each.row for each in rows if figure.view_of(each.row.side) == name]
    return [(spot, row.diameter) for row in mine for spot in figure.spots(row, name)]


def hole_axes(part: Part, rows: Sequence[Lettered], name: str) -> list[tuple[float, float, float, float]]:
    """The axes, mm of the part, of the holes from edges and ends as the face side or the back side shows them."""
    items = _Figure(part, {}, rows, (), 1.0, False).hidden_holes(name)
    return [segment for item in items for segment in item.segments]  # type: ignore[attr-defined]


# ------------------------------------------------------------------------------------------------------------ helpers
def _corner(name: str, size: Vector) -> np.ndarray:
    """What is added to a projected point so that the part's near corner lies at (0, 0)."""
    _length, width, thickness = size
    return np.array({"back": (0.0, width), "high": (0.0, thickness), "head": (thickness, 0.0)}.get(name, (0.0, 0.0)))


@dataclass(frozen=True, slots=True)
class _Figure:
    part: Part
    seen: Mapping[str, Outline]
    rows: Sequence[Lettered]
    pockets: Sequence[tuple[str, Pocket]]
    scale: float
    together: bool

    def whole(self) -> PartFigure:
        if self.shown() == ["back"] and not self.on("face"):
            return self.view("back")
        face = self.view("face")
        around = [face]
        for name in self.shown():
            others = rect_around_rects([each.rect for each in around]) if name in ("low", "high", "back") else face.rect
            where = "head" if name == "back" and self.is_tall() else name
            around.append(_beside(self.view(name), where, others))
        items = tuple(item for each in around for item in each.items)
        return PartFigure(items, rect_around_rects([each.rect for each in around]))

    def is_tall(self) -> bool:
        """Whether the back side stands at the right of the face side rather than below it: the part is wider than it is long."""
        long, wide, _ = self.part.size
        return wide > TALL * long

    def shown(self) -> list[str]:
        """Views besides the face side, those at the ends first."""
        return [name for name in ("foot", "head", "low", "high", "back") if self.on(name)]

    def on(self, name: str) -> bool:
        """Whether anything is made in the side that a view shows."""
        sides = [each.row.side for each in self.rows] + [open_side(self.part, each) for _, each in self.pockets]
        return any(self.view_of(side) == name for side in sides)

    def view_of(self, side: End) -> str:
        edges = ("high", "low") if self.part.face_edge_high else ("low", "high")
        names = dict(zip(SIDES, ("face", "back", *edges, "foot", "head"), strict=True))
        return names[side]

    def view(self, name: str) -> PartFigure:
        """One view: outline, holes, letters, dimensions and its name."""
        outline = self.seen[name]
        box = Rect(*(v * self.scale for v in (outline.box.x, outline.box.y, outline.box.width, outline.box.height)))
        items: list[Item] = [
            Lines(tuple(map(tuple, (points * self.scale).reshape(-1, 4).tolist())), width)
            for points, width in ((outline.narrow, INNER), (outline.wide, OUTLINE))
            if len(points)
        ]
        rows = [each for each in self.rows if self.view_of(each.row.side) == name]
        spots = {each.letter: self.spots(each.row, name) for each in rows}
        items += [item for each in rows for item in _circles(spots[each.letter], each.row.diameter * self.scale)]
        if name in ("face", "back"):
            items += self.hidden_holes(name)
        items += self.letters(rows, spots, name, box)
        items += self.dimensions(rows, name, box)
        if name in ("face", "back"):
            taken = [item.bounds() for item in items if isinstance(item, (Circle, Text))]
            items += self.datum(name, [each.grown(CROSS / 2) for each in taken])
        return _named(items, box, self.title(name))

    def spots(self, row: Row, name: str) -> list[tuple[float, float]]:
        """Centres of a row's holes on paper."""
        _length, _width, _thickness = self.part.size
        ends, edges, faces = (values or (0.0,) for values in (row.ends, row.edges, row.faces))
        return [self.spot((a, b, c), name) for a in ends for b in edges for c in faces]

    def spot(self, at: Sequence[float], name: str) -> tuple[float, float]:
        """A measured place on paper in a view."""
        _, width, thickness = self.part.size
        x, y, z = at[0], (width - at[1] if self.part.face_edge_high else at[1]), thickness - at[2]
        u, v = {
            "face": (x, y),
            "back": (x, width - y),
            "low": (x, z),
            "high": (x, thickness - z),
            "foot": (z, y),
            "head": (thickness - z, y),
        }[name]
        return u * self.scale, v * self.scale

    def hidden_holes(self, name: str) -> list[Item]:
        """Holes from edges and ends, as the lines of their axes."""
        found = []
        length = self.part.size[0]
        for each in self.rows:
            side = self.view_of(each.row.side)
            if side in ("face", "back"):
                continue
            for at in ((a, b) for a in each.row.ends or (0.0,) for b in each.row.edges or (0.0,)):
                x = {"foot": 0.0, "head": length}.get(side, at[0])
                edge = (
                    at[1] if side in ("foot", "head") else (0.0 if each.row.side == "face edge" else self.part.size[1])
                )
                step = {"foot": (1, 0), "head": (-1, 0)}.get(side, (0, 1 if each.row.side == "face edge" else -1))
                deep = each.row.depth
                tail = self.spot((x, edge, 0.0), name)
                head = self.spot((x + step[0] * deep, edge + step[1] * deep, 0.0), name)
                found.append((*tail, *head))
        return [Lines(tuple(dict.fromkeys(found)), INNER, dashes("hidden", INNER))] if found else []

    def letters(
        self, rows: Sequence[Lettered], spots: Mapping[str, Sequence[tuple[float, float]]], name: str, box: Rect
    ) -> list[Item]:
        """The letter of each row beside its first hole, and beside the first of each line of a wide row."""
        taken = [
            Rect(x, y, 0.0, 0.0).grown(each.row.diameter * self.scale / 2 + 0.6)
            for each in rows
            for x, y in spots[each.letter]
        ]
        found: list[Text] = []
        wanted = [
            (each.letter, each.row.diameter * self.scale / 2, spot)
            for each in rows
            for spot in _beginnings(each.row, spots[each.letter], name)
        ]
        for letter, pocket in self.pockets:
            if self.view_of(open_side(self.part, pocket)) == name:
                wanted.append((letter, 0.0, self.middle(pocket, name)))
        for letter, radius, spot in wanted:
            text = _letter(letter, radius, spot, name, box, taken)
            if text is not None:
                taken.append(text.bounds().grown(0.4))
                found.append(text)
        return list(found)

    def middle(self, pocket: Pocket, name: str) -> tuple[float, float]:
        """The middle of a pocket on paper, a little off the middle of the part, where its dimensions stand."""
        ends, edges, faces = pocket_limits(self.part, pocket)
        return self.spot((ends[0] * 0.45 + ends[1] * 0.55, sum(edges) / 2, sum(faces) / 2), name)

    def dimensions(self, rows: Sequence[Lettered], name: str, box: Rect) -> list[Item]:
        """Running dimensions along the view's two sides, from the foot end and from the face edge."""
        along, across = self.stations(rows, name)
        high = self.part.face_edge_high
        found: list[Running] = []
        if name in ("face", "back", "low", "high") and (along or name == "face"):
            side = {"low": "below", "high": "above", "back": "below"}.get(name, "above" if high else "below")
            found.append(running(along, side=side, drawing=box, place=lambda value: value * self.scale))
        if name in ("face", "back", "foot", "head") and (across or name == "face"):
            width = self.part.size[1]
            upward = (name == "back") == high
            side = "right" if name == "head" else "left"
            left = min([box.x, *(each.rect.x for each in found)])  # clear of the figures along the other side
            found.append(
                running(
                    across,
                    side=side,
                    drawing=Rect(left, box.y, box.right - left, box.height),
                    place=lambda value: (value if upward else width - value) * self.scale,
                )
            )
        return [item for each in found for item in each.items]

    def stations(self, rows: Sequence[Lettered], name: str) -> tuple[list[float], list[float]]:
        """Distances from the foot end and from the face edge that a view gives."""
        along = [value for each in rows for value in each.row.ends]
        across = [value for each in rows for value in each.row.edges]
        length, width, _ = self.part.size
        for _, pocket in self.pockets:
            if self.view_of(open_side(self.part, pocket)) == name:
                ends, edges, _ = pocket_limits(self.part, pocket)
                if pocket.kind == "slot":  # its tool is set to its middle
                    along.append(sum(ends) / 2)
                    across.append(sum(edges) / 2)
                    continue
                along += ends if ends != (0.0, length) else ()
                across += edges if edges != (0.0, width) else ()
        if name == "face" or (name == "back" and self.shown() == ["back"] and not self.on("face")):
            along, across = [*along, length], [*across, width]
            points = (
                self.corners() if name == "face" else self.ends_of_curves()
            )  # grooves of the face side are not seen
            along += points[:, 0].tolist()
            across += [width - v if self.part.face_edge_high else v for v in points[:, 1].tolist()]
        return _distinct(along), _distinct(across)

    def corners(self) -> np.ndarray:
        """Corners of the outline that are measured too, (k, 2); of things glued up those outside the leading part."""
        points = self.seen["face"].wide.reshape(-1, 2)
        if not self.together:  # curves are drawn by many short lines: their ends are no corners
            return points if len(np.unique(points.round(1), axis=0)) <= MOST_CORNERS else self.ends_of_curves()
        length, width, _ = self.part.size
        out = (points < -0.05).any(axis=1) | (points[:, 0] > length + 0.05) | (points[:, 1] > width + 0.05)
        return points[out]

    def ends_of_curves(self) -> np.ndarray:
        """Where the curves of a sawn outline leave the edges and ends of its blank, (k, 2)."""
        shaped = [each for each in self.part.shape.features if isinstance(each, CutOut) and each.axis == 2]
        points = np.array([corner for each in shaped for corner in each.outline]).reshape(-1, 2)
        size = np.array(self.part.size[:2])
        inside = ((points > -0.05) & (points < size + 0.05)).all(axis=1)
        at_edge = ((np.abs(points) < 0.05) | (np.abs(points - size) < 0.05)).any(axis=1)
        return points[inside & at_edge]

    def datum(self, name: str, taken: Sequence[Rect]) -> list[Item]:
        """The filled corner from which everything is measured, and the marks that a joiner pencils on face and edge.

        The marks stand where they hide no hole and no letter.
        """
        x, y = self.spot((0.0, 0.0, 0.0), name)
        length, width = (value * self.scale for value in self.part.size[:2])
        up = 1.0 if y < width / 2 else -1.0
        corner = Area(((x, y), (x + DATUM_MARK, y), (x, y + up * DATUM_MARK)))
        if name != "face" or width < 2 * FACE_MARK or length < 4 * FACE_MARK:
            return [corner]
        low = min(y, y + up * FACE_MARK)
        places = [Rect(length * share - FACE_MARK / 4, low, FACE_MARK / 2, FACE_MARK) for share in FACE_MARK_AT]
        free = (place for place in places if not any(place.overlaps(each) for each in taken))
        return [corner, *_face_mark(next(free, places[0]).centre[0], y, up)]

    def title(self, name: str) -> str:
        """What a view is called."""
        if name == "face":
            return "Face side"
        if name == "back":
            return "Back side, turned over lengthwise"
        side = next(side for side in SIDES if self.view_of(side) == name)
        return side[0].upper() + side[1:]


def open_side(part: Part, pocket: Pocket) -> End:
    """The side of a part that a pocket is measured in: where it is open, the face before the rest.

    A recess is told from the side that it is shallowest in.
    """
    low, high = pocket.low, pocket.high
    edges: tuple[End, End] = ("back edge", "face edge") if part.face_edge_high else ("face edge", "back edge")
    sides: list[tuple[bool, End, int]] = [
        (high[2] >= part.size[2], "face side", 2),
        (low[2] <= 0, "back side", 2),
        (low[1] <= 0, edges[0], 1),
        (high[1] >= part.size[1], edges[1], 1),
        (low[0] <= 0, "foot end", 0),
        (high[0] >= part.size[0], "head end", 0),
    ]
    there = [(side, axis) for is_open, side, axis in sides if is_open]
    if pocket.kind != "recess" or not there:
        return there[0][0] if there else "face side"
    return min(there, key=lambda each: high[each[1]] - low[each[1]])[0]


def _face_mark(x: float, edge: float, up: float) -> list[Item]:
    """A loop on the face side, its tail running to the face edge, and the cross of two strokes on that edge."""
    r = FACE_MARK / 4
    y = edge + up * (FACE_MARK - r)
    start, end = (-60.0, 210.0) if up > 0 else (150.0, 420.0)
    loop = Arc(x, y, r, start, end, OUTLINE)
    tip = loop.point(start if up > 0 else end)
    other = loop.point(end if up > 0 else start)
    tails = Lines(((*tip, x - r, edge), (*other, x + r, edge)), OUTLINE)
    return [loop, tails]


def _circles(spots: Sequence[tuple[float, float]], diameter: float) -> list[Item]:
    """Holes at true size with their centre lines."""
    reach = diameter / 2 + CROSS
    cross = [line for x, y in spots for line in ((x - reach, y, x + reach, y), (x, y - reach, x, y + reach))]
    return [*(Circle(x, y, diameter / 2, INNER) for x, y in spots), Lines(tuple(cross), INNER / 2)]


def _beginnings(row: Row, spots: Sequence[tuple[float, float]], name: str) -> list[tuple[float, float]]:
    """Holes that get the letter: the first of each line, or of the first and last of many."""
    if name in ("low", "high"):
        return [spots[0]] if len(spots) < 4 else [spots[0], spots[-1]]
    lines = max(len(row.ends), 1)
    each = len(spots) // lines
    across = [spots[n * each] for n in range(lines)]
    if each == 1 or lines > 6:
        along = spots[:each] if lines > 6 else across
        return along if len(along) <= 6 else [along[0], along[-1]]
    return across


def _letter(
    letter: str, radius: float, spot: tuple[float, float], name: str, box: Rect, taken: Sequence[Rect]
) -> Text | None:
    """A letter beside a hole where nothing is; in an edge or end view beside the strip."""
    x, y = spot
    wide = width_of(letter, LETTER, "bold")
    if name in ("low", "high"):
        level = box.top + 1.0 if name == "low" else box.y - 1.0 - LETTER
        places = [(x + dx - wide / 2, level) for dx in (0, 3, -3, 6, -6, 9, -9)]
    elif name in ("foot", "head"):
        left = box.right + 1.0 if name == "foot" else box.x - 1.0 - wide
        places = [(left, y + dy - LETTER / 2) for dy in (0, 3.5, -3.5, 7, -7)]
    else:
        places = _round_about(x, y, radius + 0.8, wide)
        inner = box.grown(-0.6)
        places = [each for each in places if inner.contains(Rect(*each, wide, LETTER))] or places
    for left, low in places:
        around = Rect(left, low, wide, LETTER)
        if not any(around.overlaps(other) for other in taken):
            return Text(left, low, LETTER, letter, style="bold")
    return None


def _round_about(x: float, y: float, reach: float, wide: float) -> list[tuple[float, float]]:
    """Lower left corners of a letter so wide near a hole, the nearest first."""
    found = []
    for out in (reach, reach + 2.5, reach + 5.0):
        found += [
            (x + out, y + 0.4),
            (x - out - wide, y + 0.4),
            (x + out, y - LETTER - 0.4),
            (x - out - wide, y - LETTER - 0.4),
            (x - wide / 2, y + out),
            (x - wide / 2, y - out - LETTER),
        ]
    return found


def _named(items: Sequence[Item], box: Rect, title: str) -> PartFigure:
    around = bounds([item for item in items if not isinstance(item, Text) or item.string])
    text = Text(box.centre[0], around.y - 1.5 - NAME_HEIGHT, NAME_HEIGHT, title, "middle", "bold")
    return PartFigure((*items, text), rect_around_rects([around, text.bounds()]))


def _beside(view: PartFigure, name: str, others: Rect) -> PartFigure:
    """A view moved to the side of the others that the view of this name has."""
    if name == "foot":
        x, y = others.x - APART - view.rect.right, 0.0
    elif name == "head":
        x, y = others.right + APART - view.rect.x, 0.0
    elif name == "high":
        x, y = 0.0, others.top + APART - view.rect.y
    else:
        x, y = 0.0, others.y - APART - view.rect.top
    return PartFigure(placed(view.items, x, y), view.rect.moved(x, y))


def _distinct(values: Sequence[float]) -> list[float]:
    """Rising values, those that would be printed alike once."""
    found: list[float] = []
    for value in sorted(values):
        if abs(value) > 0.05 and (not found or value - found[-1] > 0.06):
            found.append(value)
    return found
