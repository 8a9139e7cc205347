"""Templates at full size: the holes and recesses of each fitting, and rows of dowels, to lay on the work and prick through."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..built import BuiltJob
from ..drawing.blocks import Heading, Paragraph
from ..drawing.dimensions import figures
from ..drawing.page import Circle, Item, Lines, Rect, Text, bounds, dashes, placed
from ..drawing.running import running
from ..drawing.sheet import FULL_SIZE, Sheet
from ._clusters import THROUGH, Cluster, Found, clusters, places_said
from ._packing import packed
from ._sheets import blank, full_size_paper, sentence
from ._tiles import FULL_SIZE_WORDS, Piece, bar, pieces
from ._views import INNER, OUTLINE

ROUND = 6.0  # mm of paper round a pattern
CROSS = 4.0  # mm that the centre lines of a hole reach beyond its edge
GUTTER = 4.0  # mm between templates
BAR_ROOM = 10.0  # mm for the bar at the top of the sheet
LEAST_WIDTH = 80.0  # mm that the words over a template need


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
            plate for number, each in enumerate(_tallest_first(job, below), 1) for plate in _plates(number, each, below)
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


def _tallest_first(job: BuiltJob, room: Rect) -> list[Found]:
    """The patterns in the order of their heights on paper, so that those that share a shelf of a sheet are alike; numbered so."""
    return sorted(clusters(job), key=lambda found: -max(plate.height for plate in _plates(0, found, room)))


def _plates(number: int, found: Found, room: Rect) -> Iterator[_Plate]:
    items = _drawn(found.cluster)
    around = bounds(items)
    strip = placed(items, -around.x, -around.y)
    for piece in pieces(strip, around.width, around.height, room.width, f"{number}."):
        yield _plate(number, found, piece, room)


def _plate(number: int, found: Found, piece: Piece, room: Rect) -> _Plate:
    cluster = found.cluster
    part = f", piece {piece.number} of {piece.count}" if piece.count > 1 else ""
    width = max(piece.width, min(LEAST_WIDTH, room.width))
    blocks = [Heading(f"Template {number}: {cluster.name}{part}", height=2.5, after=1.0, room=0.0)]
    if piece.number == 1:
        blocks.append(Paragraph(f"{_made_words(cluster)} For {places_said(found)}", after=2.0))
    items: list[Item] = []
    y = 0.0
    for block in blocks:
        laid = block.laid(0.0, y, width, 1e3)
        assert laid is not None
        items += laid.items
        y -= laid.height
    return _Plate(
        (*items, *placed(piece.items, 0.0, y - piece.height)),
        width,
        piece.height - y,
    )


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
        *_dimensions(cluster, holes, boxes, view),
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
    cluster: Cluster,
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
