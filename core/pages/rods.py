"""The rods: every height, width and depth that a setting-out rod carries, and what lies there."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..built import BuiltJob, BuiltPiece
from ..drawing.dimensions import figures
from ..drawing.page import NARROW, WIDE, Item, Lines, Rect, bounds, placed
from ..drawing.running import running
from ..drawing.sheet import FULL_SIZE, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, fewest, single_group
from ..drawing.text import width as width_of
from ..model import Model
from ..wording import handless
from ._packing import packed
from ._sheets import ROD_RULES, blank, full_size_paper, sentence, titled
from ._tiles import FULL_SIZE_WORDS, bar, pieces
from ._views import boxes_of

BAR_ROOM = 10.0  # mm for the bar at the top of a full-size sheet
STRIP_GUTTER = 3.0  # mm between strips
ROD_DEEP, ROD_END = 9.0, 4.0  # mm that a stroke is long, and that the edge runs on past the ends
LETTERING, LONGEST = 2.5, 44.0  # mm; height of the words on a strip, and how long they may be
BESIDES = 31.0  # mm of a strip's height without its words
SAME = 0.05  # mm; faces nearer than this lie at one mark of the rod
BETWEEN = ("under", "for", "of", "between", "in")  # what stands before such a word says what a thing is
MOST_NAMES = 4  # things named at one mark


class Rods:
    """Tables of heights from the floor, widths from the middle, depths behind the carcass front; then the rods at full size."""

    word = "rods"
    title = "Rods"
    order = 40
    place = "bench"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """One set of tables for each piece of the job that has rods."""
        found: list[Sheet] = []
        for built in job.pieces:
            if built.model.rods:
                found += (*_sheets(job, built, self.title), *_full_size(job, built))
        return tuple(found)


COLUMNS = (Column("From", 16, "right"), Column("Step", 14, "right"), Column("What lies there"))
RODS = (
    ("heights", "Heights above the floor", 2, ("underside", "top")),
    ("widths", "Widths from the middle, left and right alike", 0, ("inner", "outer")),
    ("depths", "Depths behind the carcass front (f)", 1, ("front", "rear")),
)

ENTRY = Rods()


def _sheets(job: BuiltJob, built: BuiltPiece, title: str) -> Sequence[Sheet]:
    sheet = blank(job, titled(job, built, title), built=built, paper="A3 low")
    words = (
        "Strike these on three straight laths, square across, with a knife or a hard pencil, and mark the parts from "
        f"them. {ROD_RULES} What is measured on the bench is written on the rod. A negative depth stands in front of "
        "the carcass."
    )
    return fewest([Paragraph(words), *_blocks(built.model)], sheet, columns=2)


# ---------------------------------------------------------------------------------------------------------- full size
@dataclass(frozen=True, slots=True)
class _Strip:
    """A piece of a rod with its heading, its top left corner at the origin."""

    items: tuple[Item, ...]
    width: float
    height: float


def _full_size(job: BuiltJob, built: BuiltPiece) -> Iterator[Sheet]:
    """The rods as strips to lay on the work, in pieces."""
    title = titled(job, built, "Rods, full size")
    given = dict(built=built, paper=full_size_paper(job), scale=str(FULL_SIZE), views=FULL_SIZE_WORDS)
    room = blank(job, title, **given).room
    below = Rect(room.x, room.y, room.width, room.height - BAR_ROOM)
    number = round(below.height / (LONGEST + BESIDES + STRIP_GUTTER))  # of strips above each other on a sheet
    longest = min(LONGEST, (below.height - (number - 1) * STRIP_GUTTER) / number - BESIDES)
    strips = []
    for rod, heading, axis, words in RODS:
        if stations := built.model.rods.get(rod, ()):
            strips += _strips(heading, stations, _faces(built.model, axis, words), below.width, longest)
    for number, page in enumerate(packed(strips, below, STRIP_GUTTER, 1)):
        items = tuple(item for strip, x, top in page for item in placed(strip.items, x, top))
        sheet = blank(job, title, **given, bookmark=title if number == 0 else "", level=1)
        yield sheet.with_items((*bar(room.x, room.top - 5.0), *items))


def _strips(
    heading: str, stations: Sequence[float], faces: list[tuple[float, str, str]], room: float, longest: float = LONGEST
) -> Iterator[_Strip]:
    """One rod: its edge, a stroke at every place, and what lies there."""
    low, high = min(0.0, stations[0]), stations[-1]
    edge = Rect(low - ROD_END, 0.0, high - low + 2 * ROD_END, ROD_DEEP)
    told = {at: _told(at, faces, longest) for at in stations}
    labels = running(
        stations, side="above", drawing=edge, place=lambda at: at, label=lambda at: told.get(at, told.get(-at, "0"))
    )
    strokes = tuple((at, 0.0, at, ROD_DEEP) for at in (0.0, *stations))
    items = (
        Lines(((edge.x, 0.0, edge.right, 0.0),), WIDE),
        *(Lines((stroke,), NARROW) for stroke in strokes),
        *labels.items,
    )
    around = bounds(items)
    moved = placed(items, -around.x, -around.y)
    for piece in pieces(moved, around.width, around.height, room, heading[0]):
        words = f"{heading}" + (f", piece {piece.number} of {piece.count}" if piece.count > 1 else "")
        laid = Heading(words, height=2.5, after=1.0, room=0.0).laid(0.0, 0.0, room, 1e3)
        assert laid is not None
        lower = placed(piece.items, 0.0, -laid.height - piece.height)
        wide = max(piece.width, width_of(words, LETTERING, "bold"))
        yield _Strip((*laid.items, *lower), wide, laid.height + piece.height)


def _told(at: float, faces: list[tuple[float, str, str]], longest: float) -> str:
    """A place of the rod and what lies there: as many names as the strip has room for, and how many more the table has."""
    names = list(dict.fromkeys(name for place, _, name in faces if abs(place - at) < SAME))
    for count in range(len(names), 0, -1):
        more = f" + {len(names) - count}" if count < len(names) else ""
        words = f"{figures(at)} {', '.join(names[:count])}{more}"
        if width_of(words, LETTERING) <= longest:
            return words
    return _shortened(figures(at), names[0].split(), longest) if names else figures(at)


def _shortened(figure: str, words: list[str], longest: float) -> str:
    """A place and of a long name the words that say what it is: as many as there is room for, one at the least.

    >>> _shortened("110", ["stiffener", "under", "bottom"], 30.0), _shortened("5", ["side-mounted", "runner"], 30.0)
    ('110 stiffener', '5 runner')
    """
    while len(words) > 1 and width_of(" ".join((figure, *words)), LETTERING) > longest:
        under = next((place for place, word in enumerate(words) if word in BETWEEN), 0)
        words = words[:under] if under else words[1:]
    return " ".join((figure, *words))


# ------------------------------------------------------------------------------------------------------------- tables
def _blocks(model: Model) -> Iterator:
    for rod, heading, axis, words in RODS:
        stations = model.rods.get(rod, ())
        if stations:
            faces = _faces(model, axis, words)
            steps = ["", *(figures(b - a) for a, b in itertools.pairwise(stations))]
            rows = [
                (Cell(figures(at), "bold"), step, _lying_at(at, faces))
                for at, step in zip(stations, steps, strict=True)
            ]
            yield Heading(heading)
            yield Table(COLUMNS, single_group(rows))
            yield Gap(6)


def _faces(model: Model, axis: int, words: tuple[str, str]) -> list[tuple[float, str, str]]:
    """Where every part begins and ends along an axis, as the rod counts: place, which of its faces, its name.

    On the rod of heights the middles of rails and fittings as well.
    """
    found = []
    boxes = boxes_of(model)
    for part in model.parts:
        low, high = _on_rod(model, axis, *(float(end[axis]) for end in boxes[part.key]))
        name = _short(part.name)
        found += (
            [(low, words[0], name), (high, words[1], name)] if low >= 0 or axis else [(max(-low, high), words[1], name)]
        )
        if axis == 2 and part.role == "rail":
            found.append(((low + high) / 2, "middle", name))
    if axis == 2:
        found += [
            (float(sum(end[2] for end in boxes[each.key])) / 2, "middle", _short(each.name))
            for each in model.fittings
            if not each.bought_with
        ]
    return found


def _on_rod(model: Model, axis: int, low: float, high: float) -> tuple[float, float]:
    """Both ends of a part as its rod counts them: widths outward from the middle, depths from the carcass front."""
    if axis == 1:
        return low + model.carcass[1], high + model.carcass[1]
    return (-high, -low) if axis == 0 and high <= 0 else (low, high)


def _short(name: str) -> str:
    """A name without side and sizes: what is alike on both sides is said once."""
    return handless(name.split(",")[0])


def _lying_at(at: float, faces: list[tuple[float, str, str]]) -> str:
    said: dict[str, list[str]] = {}
    for place, which, name in faces:
        if abs(place - at) < SAME:
            said.setdefault(which, []).append(name)
    return sentence("; ".join(f"{which}: {_names(list(dict.fromkeys(names)))}" for which, names in said.items()))


def _names(names: list[str]) -> str:
    more = len(names) - MOST_NAMES
    return ", ".join(names) if more <= 0 else f"{', '.join(names[:MOST_NAMES])} and {more} more"
