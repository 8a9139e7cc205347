"""Templates at full size: curves to saw to; the holes and recesses of each fitting, and rows of dowels, to prick through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..built import BuiltJob
from ..drawing.blocks import Block, Heading, Laid, Paragraph
from ..drawing.dimensions import figures
from ..drawing.page import Circle, Item, Lines, Rect, Text, bounds, dashes, placed
from ..drawing.running import running
from ..drawing.sheet import FULL_SIZE, Sheet
from ._clusters import THROUGH, Cluster, clusters, places_said
from ._curves import curves
from ._packing import packed
from ._sheets import blank, full_size_paper, sentence
from ._tiles import FULL_SIZE_WORDS, Piece, bar, tiles
from ._views import INNER, OUTLINE

ROUND = 6.0  # mm of paper round a pattern
CROSS = 4.0  # mm that the centre lines of a hole reach beyond its edge
GUTTER = 4.0  # mm between templates
BAR_ROOM = 10.0  # mm for the bar at the top of the sheet
LEAST_WIDTH = 80.0  # mm that the words over a template need
CURVE_WIDTH = 200.0  # mm, the same for a curve, of which more is said


class Templates:
    """Each pattern once, with the parts it is for; in pieces where it is longer than a sheet."""

    word = "templates"
    title = "Templates, full size"
    order = 44
    place = "bench"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the patterns need; none for a job that has none."""
        paper = full_size_paper(job)
        empty = blank(job, self.title, paper=paper, scale=str(FULL_SIZE), views=FULL_SIZE_WORDS)
        room = empty.room
        below = Rect(room.x, room.y, room.width, room.height - BAR_ROOM)
        plates = [
            plate for number, each in enumerate(_patterns(job, below), 1) for plate in _plates(number, each, below)
        ]
        sheets = []
        for number, page in enumerate(packed(plates, below, GUTTER, len(plates))):
            items = tuple(item for plate, x, top in page for item in placed(plate.items, x, top))
            mine = blank(
                job,
                self.title,
                paper=paper,
                scale=str(FULL_SIZE),
                views=FULL_SIZE_WORDS,
                bookmark=self.title if number == 0 else "",
            )
            sheets.append(mine.with_items((*bar(room.x, room.top - 5.0), *items)))
        return tuple(sheets)


ENTRY = Templates()


# ------------------------------------------------------------------------------------------------------------ helpers
@dataclass(frozen=True, slots=True)
class _Plate:
    """A template, or a piece of one, with its words above; its top left corner at the origin."""

    items: tuple[Item, ...]
    width: float
    height: float


@dataclass(frozen=True, slots=True)
class _Pattern:
    """What one template shows, at full size, its lower left corner at the origin; its words need so much width, mm."""

    name: str
    words: str
    items: tuple[Item, ...]
    width: float
    height: float
    words_width: float


def _pattern(name: str, words: str, items: tuple[Item, ...], words_width: float) -> _Pattern:
    around = bounds(items)
    return _Pattern(name, words, placed(items, -around.x, -around.y), around.width, around.height, words_width)


def _patterns(job: BuiltJob, room: Rect) -> list[_Pattern]:
    """Curves in the order that the sheets of their parts number them; then the rest, the tallest on paper first, so that
    those that share a shelf of a sheet are alike.
    """
    curved = [
        _pattern(f"{each.curve.name}, curve to saw", each.words, each.drawn(), CURVE_WIDTH) for each in curves(job)
    ]
    pricked = [
        _pattern(
            found.cluster.name,
            f"{_made_words(found.cluster)} For {places_said(found)}",
            _drawn(found.cluster),
            LEAST_WIDTH,
        )
        for found in clusters(job)
    ]
    return [*curved, *sorted(pricked, key=lambda each: -max(plate.height for plate in _plates(0, each, room)))]


def _plates(number: int, pattern: _Pattern, room: Rect) -> Iterator[_Plate]:
    """The drawing in one piece or several, its words over the first, or by themselves where both together are too high."""
    told = _head(number, pattern, "", True, min(max(pattern.width, pattern.words_width), room.width))
    apart = pattern.height + told.height > room.height
    if apart:
        told = _head(number, pattern, ", how it is used", True, min(pattern.words_width, room.width))
        yield _Plate(told.items, min(pattern.words_width, room.width), told.height)
        told = _head(number, pattern, "", False, room.width)
    space = room.width, room.height - told.height
    for piece in tiles(pattern.items, pattern.width, pattern.height, space, f"{number}."):
        yield _plate(number, pattern, piece, room, piece.number == 1 and not apart)


def _plate(number: int, pattern: _Pattern, piece: Piece, room: Rect, is_told: bool) -> _Plate:
    part = f", piece {piece.number} of {piece.count}" if piece.count > 1 else ""
    width = max(piece.width, min(pattern.words_width, room.width))
    head = _head(number, pattern, part, is_told, width)
    drawing = placed(piece.items, 0.0, -head.height - piece.height)
    return _Plate((*head.items, *drawing), width, head.height + piece.height)


def _head(number: int, pattern: _Pattern, part: str, is_told: bool, width: float) -> Laid:
    """The heading of a template, and its words where they are told; from the origin down."""
    blocks: list[Block] = [Heading(f"Template {number}: {pattern.name}{part}", height=2.5, after=1.0, room=0.0)]
    if is_told:
        blocks.append(Paragraph(pattern.words, after=2.0))
    items: list[Item] = []
    height = 0.0
    for block in blocks:
        laid = block.laid(0.0, -height, width, 1e3)
        assert laid is not None
        items += laid.items
        height += laid.height
    return Laid(tuple(items), height)


def _made_words(cluster: Cluster) -> str:
    """What is drilled and cut there: "Face edge. 3 holes ⌀8 × 30 (plug 8 × 30 for hinge screw)."."""
    counts: dict[tuple[float, float, str], int] = {}
    for _, _, diameter, depth, purpose in cluster.holes:
        counts[diameter, depth, purpose] = counts.get((diameter, depth, purpose), 0) + 1
    words = [
        f"{count} × ⌀{figures(diameter)}, {'through' if depth == THROUGH else f'{figures(depth)} deep'} ({purpose})"
        for (diameter, depth, purpose), count in sorted(counts.items())
    ]
    words += dict.fromkeys(recess[-1] for recess in cluster.recesses)
    on = max((max(b, d) for _, _, b, d, _, _ in cluster.recesses), default=0.0) - cluster.band
    more = (
        f" The recess runs on {figures(on)} into what is glued to the back side." if cluster.band and on > 0.05 else ""
    )
    return f"{sentence(cluster.side)}: {'; '.join(words)}.{more}"


def _drawn(cluster: Cluster) -> tuple[Item, ...]:
    """The pattern at full size, its datum at the origin; a pattern before its datum is drawn to the left of it or below."""
    flip = (
        -1.0 if cluster.along and cluster.along.before else 1.0,
        -1.0 if cluster.across and cluster.across.before else 1.0,
    )
    holes = [(a * flip[0], b * flip[1], diameter) for a, b, diameter, _, _ in cluster.holes]
    boxes = [
        (
            min(a * flip[0], c * flip[0]),
            max(a * flip[0], c * flip[0]),
            min(b * flip[1], d * flip[1]),
            max(b * flip[1], d * flip[1]),
        )
        for a, c, b, d, _, _ in cluster.recesses
    ]
    xs = [x for x, _, _ in holes] + [x for low, high, _, _ in boxes for x in (low, high)] + [0.0]
    ys = [y for _, y, _ in holes] + [y for *_, low, high in boxes for y in (low, high)] + [0.0]
    if cluster.band:
        ys += [cluster.band]
    reach = max(diameter for *_, diameter in holes) / 2
    view = Rect(min(xs) - reach, min(ys) - reach, max(xs) - min(xs) + 2 * reach, max(ys) - min(ys) + 2 * reach).grown(
        ROUND
    )
    return (
        *_edges(cluster, view),
        *(Circle(x, y, diameter / 2, INNER) for x, y, diameter in dict.fromkeys(holes)),
        *(Lines(_cross(*hole), INNER / 2) for hole in dict.fromkeys(holes)),
        *(_box(each) for each in boxes),
        *_dimensions(holes, boxes, view),
    )


def _cross(x: float, y: float, diameter: float) -> tuple[tuple[float, float, float, float], ...]:
    out = diameter / 2 + CROSS
    return (x - out, y, x + out, y), (x, y - out, x, y + out)


def _box(box: tuple[float, float, float, float]) -> Lines:
    low, high, foot, top = box
    return Lines(
        ((low, foot, high, foot), (high, foot, high, top), (high, top, low, top), (low, top, low, foot)), OUTLINE
    )


def _edges(cluster: Cluster, view: Rect) -> Iterator[Item]:
    """The edges that the template is laid to, named; where there is none, a chain line through its first place."""
    chain = dashes("centre", INNER)
    across, along = cluster.across, cluster.along
    levels = [(0.0, across.name if across else "")] + ([(cluster.band, "back side")] if cluster.band else [])
    for level, name in levels:
        yield Lines(((view.x, level, view.right, level),), OUTLINE if name else INNER, () if name else chain)
        if name:
            yield Text(view.x - 0.8, level - 1.25, 2.5, name, "right", "bold")
    yield Lines(((0.0, view.y, 0.0, view.top),), OUTLINE if along else INNER, () if along else chain)
    if along:
        yield Text(0.0, view.top + 0.8, 2.5, along.name, "middle", "bold")
    else:
        yield Text(0.0, view.top + 0.8, 2.5, "R", "middle", "bold")
    if not across and not cluster.band:
        yield Text(view.x - 0.8, -1.25, 2.5, "R", "right", "bold")


def _dimensions(
    holes: Sequence[tuple[float, float, float]],
    boxes: Sequence[tuple[float, float, float, float]],
    view: Rect,
) -> Iterator[Item]:
    """Distances from the datum along both sides."""
    along = [x for x, _, _ in holes] + [x for low, high, _, _ in boxes for x in (low, high)]
    across = [y for _, y, _ in holes] + [y for *_, low, high in boxes for y in (low, high)]
    below = running(along, side="below", drawing=view, place=lambda value: value)
    beside = Rect(view.x, view.y, max(view.right, below.rect.right) - view.x, view.height)
    yield from below.items
    yield from running(across, side="right", drawing=beside, place=lambda value: value).items
