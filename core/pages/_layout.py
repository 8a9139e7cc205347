"""Views with their dimensions and names, and how several of them share a sheet at the largest scale that holds them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from ..drawing.blocks import Laid
from ..drawing.cutting_planes import CuttingPlane
from ..drawing.dimensions import DimensionRow, Side, place_dimensions
from ..drawing.page import Item, Rect, RoomError, Text, bounds, placed, rect_around_rects
from ..drawing.scales import SCALES, Scale
from ..drawing.sheet import AIR, Block, Cell, Column, Heading, Sheet, Table, single_group
from ._views import Drawn

NAME_HEIGHT = 3.5  # mm of a view's name
NAME_DROP = 4.0  # mm between a view, or its dimensions, and its name
APART = 9.0  # mm between views
CLEAR = 2.5  # mm between a view and the title block
LARGEST = Scale(1, 2)


Rows = Callable[[float], Mapping[Side, Sequence[DimensionRow]]]  # for a scale, in mm of paper for a mm


@dataclass(frozen=True, slots=True)
class Figure:
    """A view on paper: what is drawn, the rectangle it needs, and where the origin of the piece lies."""

    items: tuple[Item, ...]
    rect: Rect
    origin: tuple[float, float] = (0.0, 0.0)

    def moved(self, x: float, y: float) -> Figure:
        """The figure elsewhere."""
        return Figure(placed(self.items, x, y), self.rect.moved(x, y), (self.origin[0] + x, self.origin[1] + y))


def figure(
    drawn: Drawn,
    scale: float,
    name: str,
    rows: Mapping[Side, Sequence[DimensionRow]],
    planes: Sequence[CuttingPlane] = (),
) -> Figure:
    """A view at a scale with dimensions on its sides, the planes of sections marked, and its name in words beneath."""
    outline = Rect(*(value * scale for value in (drawn.box.x, drawn.box.y, drawn.box.width, drawn.box.height)))
    items = list(drawn.items(0.0, 0.0, scale))
    drawn_items = len(items)
    taken: list[Rect] = []
    for side, some in rows.items():
        if some:
            dimensions = place_dimensions(some, side=side, drawing=outline, avoid=taken)
            items.extend(dimensions.items)
            taken.extend(dimensions.occupied)
    around = rect_around_rects([outline, bounds(items)])
    dimensions = [item.bounds() for item in items[drawn_items:]]
    marks = [item for plane in planes for item in plane.items(outline, dimensions, scale)]
    title = Text(outline.centre[0], around.y - NAME_DROP - NAME_HEIGHT, NAME_HEIGHT, name, "middle", "bold")
    beneath = [mark.bounds() for mark in marks if mark.bounds().overlaps(title.bounds(), NAME_DROP / 2)]
    if beneath:
        title = replace(title, y=min(each.y for each in beneath) - NAME_DROP - NAME_HEIGHT)
    around = rect_around_rects([around, *(mark.bounds() for mark in marks)])
    items += marks
    return Figure((*items, title), rect_around_rects([around, title.bounds()]))


@dataclass(frozen=True)
class Planned:
    """A view that is to be drawn at the scale that its sheet allows: `rows` are its dimensions at a scale.

    `planes` are those of the sections that are marked on it.
    """

    drawn: Drawn
    name: str
    rows: Rows
    planes: tuple[CuttingPlane, ...] = ()
    known: dict[float, Figure] = field(default_factory=dict, compare=False)

    def at(self, scale: float) -> Figure:
        """The view at a scale. Raises RoomError where it is so small that a dimension finds no place."""
        if scale not in self.known:
            self.known[scale] = figure(self.drawn, scale, self.name, self.rows(scale), self.planes)
        return self.known[scale]

    def size(self, scale: float) -> tuple[float, float]:
        """Width and height without dimensions, mm on paper."""
        return self.drawn.box.width * scale, self.drawn.box.height * scale


@dataclass(frozen=True)
class Picture:
    """A view that keeps its scale."""

    figure: Figure

    def at(self, scale: float) -> Figure:
        """The figure as it is."""
        return self.figure

    def size(self, scale: float) -> tuple[float, float]:
        """Width and height, mm on paper."""
        return self.figure.rect.width, self.figure.rect.height


@dataclass(frozen=True, slots=True)
class Composition:
    """Views placed on a sheet, and the strip that is left for tables."""

    scale: Scale
    figures: tuple[Figure, ...]
    strip: Rect

    @property
    def items(self) -> tuple[Item, ...]:
        """All that is drawn."""
        return tuple(item for each in self.figures for item in each.items)


def composed(
    sheet: Sheet, views: Mapping[str, Planned | Picture], third_angle: bool, smallest: Scale = SCALES[-1]
) -> Composition | None:
    """The views ("front", "side", "plan") on the sheet at the largest scale at which a way to place them fits.

    None where not even the smallest scale does.
    """
    for scale in SCALES[SCALES.index(LARGEST) : SCALES.index(smallest) + 1]:
        if not _may_fit([view.size(scale.ratio) for view in views.values()], sheet.frame):
            continue
        try:
            figures = {name: view.at(scale.ratio) for name, view in views.items()}
        except RoomError:  # so small that a dimension finds no place
            continue
        for way in (_projected, _in_columns, _in_a_row):
            found = way(sheet, dict(figures), third_angle)
            if found is not None:
                return Composition(scale, *found)
    return None


def _may_fit(sizes: Sequence[tuple[float, float]], frame: Rect) -> bool:
    """Whether views of these sizes could share a frame, dimensions left out of account."""
    each = all(width < frame.width and height < frame.height for width, height in sizes)
    return each and sum(width * height for width, height in sizes) < frame.width * frame.height


def laid_in(strip: Rect, blocks: Sequence[Block]) -> tuple[tuple[Item, ...], list[Block]]:
    """Blocks laid down a strip as far as they fit whole, and those that do not."""
    found: list[Laid] = []
    top = strip.top
    for number, block in enumerate(blocks):
        laid = block.laid(strip.x, top, strip.width, top - strip.y) if strip.width > 0 and top > strip.y else None
        if laid is None or laid.rest is not None:
            first = (
                number - 1 if number and isinstance(blocks[number - 1], Heading) else number
            )  # a heading goes with what it heads
            return tuple(item for each in found[:first] for item in each.items), list(blocks[first:])
        found.append(laid)
        top -= laid.height
    return tuple(item for each in found for item in each.items), []


@dataclass(frozen=True, slots=True)
class SideBySide:
    """Tables beside one another, in columns of equal width."""

    tables: tuple[Table, ...]
    gutter: float = 5.0

    @classmethod
    def of(cls, columns: tuple[Column, ...], rows: Sequence[tuple[str | Cell, ...]]) -> SideBySide:
        """Rows in two tables, the first half at the left."""
        half = (len(rows) + 1) // 2
        return cls(tuple(Table(columns, single_group(some)) for some in (rows[:half], rows[half:]) if some))

    def laid(self, x: float, top: float, width: float, height: float) -> Laid | None:
        """All of them whole, or nothing."""
        each = (width - self.gutter * (len(self.tables) - 1)) / len(self.tables)
        found = [table.laid(x + n * (each + self.gutter), top, each, height) for n, table in enumerate(self.tables)]
        if any(laid is None or laid.rest is not None for laid in found):
            return None
        return Laid(tuple(item for laid in found for item in laid.items), max(laid.height for laid in found))


# ------------------------------------------------------------------------------------------------ ways to place views
Placed = tuple[tuple[Figure, ...], Rect] | None


def _in_columns(sheet: Sheet, figures: dict[str, Figure], third_angle: bool) -> Placed:
    """Upright views over the whole height left of the title block; the plan above it, and the strip under the plan."""
    room, block = sheet.room, sheet.title_block
    tall = Rect(room.x, sheet.frame.y + AIR, block.x - CLEAR - room.x, room.top - sheet.frame.y - AIR)
    plan = figures.pop("plan")
    upright = _row(list(figures.values()))
    around = rect_around_rects([each.rect for each in upright])
    if around.width > tall.width or around.height > tall.height:
        return None
    left = _spread(upright, tall, around)
    edge = max(max(each.rect.right for each in left) + APART, block.x if plan.rect.width <= block.width - AIR else 0.0)
    right = Rect(edge, room.y, room.right - edge, room.height)
    if plan.rect.width > right.width or plan.rect.height > right.height:
        return None
    x = right.x + (right.width - plan.rect.width) / 2 - plan.rect.x
    above = plan.moved(x, right.top - plan.rect.top)
    return (*left, above), Rect(right.x, right.y, right.width, above.rect.y - right.y - APART)


def _projected(sheet: Sheet, figures: dict[str, Figure], third_angle: bool) -> Placed:
    """Every view where its projection puts it: from the right at the left of the front in first angle, and so on."""
    if "front" not in figures:
        return None
    front, plan = figures["front"], figures["plan"]
    placed_views = [front]
    if "side" in figures:
        side = figures["side"]
        x = front.rect.right + APART - side.rect.x if third_angle else front.rect.x - APART - side.rect.right
        placed_views.append(side.moved(x, 0.0))
    y = front.rect.top + APART - plan.rect.y if third_angle else front.rect.y - APART - plan.rect.top
    placed_views.append(plan.moved(0.0, y))
    return _centred(sheet, placed_views)


def _in_a_row(sheet: Sheet, figures: dict[str, Figure], third_angle: bool) -> Placed:
    """All views beside one another above the title block."""
    plan = figures.pop("plan")
    row = _row(list(figures.values()))
    around = rect_around_rects([each.rect for each in row])
    right = plan.moved(around.right + APART - plan.rect.x, around.centre[1] - plan.rect.centre[1])
    return _centred(sheet, [*row, right])


def _row(figures: Sequence[Figure]) -> list[Figure]:
    """Figures from left to right on one floor."""
    placed_figures: list[Figure] = []
    for each in figures:
        x = placed_figures[-1].rect.right + APART - each.rect.x if placed_figures else 0.0
        placed_figures.append(each.moved(x, 0.0))
    return placed_figures


def _spread(figures: Sequence[Figure], room: Rect, around: Rect) -> list[Figure]:
    """A row of figures moved into a room, the white left over shared out between them and at the sides."""
    spare = (room.width - around.width) / (len(figures) + 1)
    x, y = room.x - around.x, room.y + (room.height - around.height) / 2 - around.y
    return [each.moved(x + spare * number, y) for number, each in enumerate(figures, start=1)]


def _centred(sheet: Sheet, figures: Sequence[Figure]) -> Placed:
    room, around = sheet.room, rect_around_rects([each.rect for each in figures])
    if around.width > room.width or around.height > room.height:
        return None
    x = room.x + (room.width - around.width) / 2 - around.x
    y = room.y + (room.height - around.height) / 2 - around.y
    moved = tuple(each.moved(x, y) for each in figures)
    return moved, _beside_title_block(sheet, moved)


def _beside_title_block(sheet: Sheet, figures: Sequence[Figure]) -> Rect:
    """The strip left of the title block, as high as the views above it leave it."""
    block, frame = sheet.title_block, sheet.frame
    width = block.x - frame.x - 2 * AIR
    lowest = min(each.rect.y for each in figures if each.rect.x < block.x - AIR)
    return Rect(frame.x + AIR, frame.y + AIR, width, lowest - APART - frame.y - AIR)
