"""Labels for parts: the mark large, name, size and faces in words, which way is up, where the front is, a QR code."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from operator import itemgetter

import numpy as np

from ..built import BuiltJob
from ..drawing import text
from ..drawing.page import MIDDLE, NARROW, WIDE, Area, Blocks, Item, Lines, Page, Rect, Stroke, Text, box, placed
from ..errors import ParameterError
from ..exports.pdf import qr_rows
from ..geometry import Vector, cross, dot, negative
from ..locales import Locale
from ..materials import LIBRARY, closest, read_library
from ..meshes import part_meshes
from ..model import Model, Part
from ._sheets import AMERICAN_PAPER, lists_of, locale_of, piece_name, record_of, sentence

UP: Vector = (0.0, 0.0, 1.0)
FRONT: Vector = (0.0, -1.0, 0.0)
AIR = 2.5  # mm inside the edge of a label; printers cannot be trusted nearer
MARK_HEIGHTS = (20.0, 14.0, 10.0, 7.0)
LARGE = 50.0  # mm; labels of this height have larger lettering
FRAME_ROLES = ("stile", "rail", "muntin")  # parts across which a cabinetmaker's triangle is pencilled
QUIET = 4  # modules of white round a QR code; ISO/IEC 18004
LEAST_MODULE = 0.35  # mm; what a telephone reads off an office printer's paper; common practice, no source
TRIANGLE = ((0.0, 0.0), (0.5, 1.0), (1.0, 0.0))  # apex up, as shares of the frame


@dataclass(frozen=True, slots=True)
class Grid:
    """A sheet of labels: all sizes in mm, margins at the left and top, pitch from label to label."""

    id: str
    paper: tuple[float, float]
    columns: int
    rows: int
    label: tuple[float, float]
    first: tuple[float, float]
    pitch: tuple[float, float]

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.columns * self.rows

    @property
    def name(self) -> str:
        """In words: "2 × 7, 99.1 × 38.1"."""
        return f"{self.columns} × {self.rows}, {self.label[0]:g} × {self.label[1]:g}"

    def place(self, number: int) -> Rect:
        """Where a label lies on its sheet, counted by rows from the top left, from 0."""
        row, column = divmod(number % self.count, self.columns)
        top = self.paper[1] - self.first[1] - row * self.pitch[1]
        return Rect(self.first[0] + column * self.pitch[0], top - self.label[1], *self.label)


def grid(id: str) -> Grid:
    """The grid of that id: "2x7", "single"; an unknown one is a ParameterError naming the nearest."""
    known = _grids()
    if id not in known:
        raise ParameterError("grid", f'there is no grid of labels "{id}"; {closest(id, known)}')
    return known[id]


def grid_ids() -> tuple[str, ...]:
    """Every grid's id, in the order of the library."""
    return tuple(_grids())


def usual_grid(job: BuiltJob) -> Grid:
    """The grid that is printed where none is asked for, on the paper of the locale."""
    return grid("2x5-letter" if locale_of(job) in AMERICAN_PAPER else "2x7")


def label_pages(
    job: BuiltJob, on: Grid, offset: tuple[float, float] = (0.0, 0.0), first: int = 1, outlines: bool = False
) -> tuple[Page, ...]:
    """One label for every part of the job, in the order of marks.

    `offset` moves everything right and up by so many mm, to suit a printer; `first` is the label of the first sheet to
    begin with (1: top left), for a sheet that is partly used; `outlines` draws the edges of all labels.
    """
    if not 1 <= first <= on.count:
        raise ParameterError(
            "first", f"{first} is no label of a sheet of {on.count}; it must be between 1 and {on.count}"
        )
    labels = list(_labels(job, on.label))
    pages = []
    for start in range(1 - first, max(len(labels), 1), on.count):
        items: list[Item] = []
        for number in range(on.count):
            rect = on.place(number).moved(*offset)
            if outlines or on.count == 1:
                items.append(box(rect, NARROW))
            if 0 <= start + number < len(labels):
                items += placed(labels[start + number], rect.x, rect.y)
        pages.append(Page(*on.paper, tuple(items), f"Labels, {on.name}"))
    return tuple(pages)


def qr_words(job: BuiltJob, index: int, mark: int) -> str:
    """What a label's QR code says: piece, mark, revision, release state, and a stop finding if there is one.

    In capitals, which make a smaller code.
    """
    piece = job.pieces[index].piece
    said = (piece.id, f"mark {mark}", f"rev {piece.record.revision}", piece.record.state)
    stop = ("do not cut",) if job.stops else ()
    return "/".join((*said, *stop)).upper()


# -------------------------------------------------------------------------------------------------------------- labels
def _labels(job: BuiltJob, size: tuple[float, float]) -> Iterator[tuple[Item, ...]]:
    """The items of every label, its bottom left corner at the origin, by mark."""
    locale = lists_of(job)
    parts = [
        (job.marks[index, part.key], index, part)
        for index, built in enumerate(job.pieces)
        for part in built.model.parts
    ]
    totals = Counter[int]()
    for mark, index, _ in parts:
        totals[mark] += job.pieces[index].quantity
    frames = [_frames(built.model) for built in job.pieces]
    numbers = Counter[int]()
    for mark, index, part in sorted(parts, key=lambda each: each[0]):
        for _ in range(job.pieces[index].quantity):
            numbers[mark] += 1
            count = f"{numbers[mark]} of {totals[mark]}"
            yield tuple(_label(job, index, part, mark, count, frames[index].get(part.key), size, locale))


def _label(
    job: BuiltJob,
    index: int,
    part: Part,
    mark: int,
    count: str,
    frame: Rect | None,
    size: tuple[float, float],
    locale: Locale,
) -> Iterator[Item]:
    room = Rect(0.0, 0.0, *size).grown(-AIR)
    if job.stamp:
        band = Rect(room.x, room.y, room.width, 5.5)
        yield box(band, WIDE)
        yield Text(
            band.centre[0], band.y + 1.5, 2.5, _one_line(job.stamp, band.width - 2.0, 2.5, "bold"), "middle", "bold"
        )
        room = Rect(room.x, room.y + 6.5, room.width, room.height - 6.5)
    code = _qr(qr_words(job, index, mark), room)
    yield code
    left = max(14.0, min(22.0, room.width * 0.2))
    state = f"{record_of(job, job.pieces[index]).revision}, {job.pieces[index].piece.record.state}"
    yield from _left(part, mark, (count, state), frame, Rect(room.x, room.y, left, room.height))
    words = Rect(room.x + left + 1.5, room.y, room.width - left - 1.5, room.height)
    yield from _words(job, index, part, words, code.bounds(), locale)


def _left(part: Part, mark: int, said: Sequence[str], frame: Rect | None, room: Rect) -> Iterator[Item]:
    """The mark, which of how many, revision and state, and beneath them the face marks."""
    heights = [height for height in MARK_HEIGHTS if height <= 0.42 * room.height]
    height = text.fitting_height(str(mark), room.width, (*heights, MARK_HEIGHTS[-1]), "bold")
    yield Text(room.centre[0], room.top - height, height, str(mark), "middle", "bold")
    y = room.top - height
    for words in said:
        y -= text.line_pitch(2.5) - 0.25
        yield Text(room.centre[0], y, 2.5, words, "middle")
    below = Rect(room.x, room.y, room.width, y - 1.2 - room.y)
    side = min(below.width, below.height)
    if side >= 6.0:
        yield from _face_marks(part, frame, Rect(below.centre[0] - side / 2, below.y, side, side))


def _words(job: BuiltJob, index: int, part: Part, room: Rect, code: Rect, locale: Locale) -> Iterator[Item]:
    """The piece at the bottom; above it as much as there is room for, beside the code and below it."""
    height = 3.5 if room.height > LARGE else 2.5
    grain = "" if part.grain == "any" else f", grain along the {part.grain}"
    lines = [
        (sentence(part.name), "bold"),
        (f"{locale.triple(part.size)} {locale.text(part.board.material.name)}{grain}", "regular"),
        (f"Face edge: {part.face_edge}" if part.face_edge else "", "regular"),
        (f"Face side: {part.face_side}" if part.face_side else "", "regular"),
        (f"Number: {part.surviving_mark}" if part.surviving_mark else "", "regular"),
    ]
    y, pitch = room.top, text.line_pitch(height)
    yield Text(room.x, room.y + 0.8, height, _one_line(piece_name(job.pieces[index]), room.width, height))
    room = Rect(room.x, room.y + pitch, room.width, room.height - pitch)
    for words, style in lines:
        beside = y > code.y - 1.0
        wrapped = text.wrap(words, code.x - 2.0 - room.x if beside else room.width, height, style) if words else ()  # type: ignore[arg-type]
        if y - pitch * len(wrapped) > room.y - pitch + height:
            for line in wrapped:
                yield Text(room.x, y - height, height, line, style=style)  # type: ignore[arg-type]
                y -= pitch


def _qr(words: str, room: Rect) -> Blocks:
    """The code in the top right corner of its room, its quiet zone inside it."""
    count, rects = _dark(words)
    unit = min(0.9 if room.height > LARGE else 0.75, min(room.height, 0.34 * room.width) / (count + QUIET))
    assert unit >= LEAST_MODULE, f"a label too small for a code of {count} modules"
    return Blocks(room.right - count * unit - 1.0, room.top - count * unit - 1.0, unit, rects)


@lru_cache(maxsize=1024)
def _dark(words: str) -> tuple[int, tuple[tuple[int, int, int, int], ...]]:
    """How many modules a code is wide, and its dark ones as runs, rows counted up."""
    rows = qr_rows(words)
    runs = []
    for number, row in enumerate(reversed(rows)):
        for dark, some in groupby(enumerate(row), key=itemgetter(1)):
            columns = [column for column, _ in some]
            if dark:
                runs.append((columns[0], number, len(columns), 1))
    return len(rows), tuple(runs)


# ---------------------------------------------------------------------------------------------------------- face marks
def _face_marks(part: Part, frame: Rect | None, room: Rect) -> Iterator[Item]:
    """An arrow for up and "F" at the front edge, as the part's face side is looked at; of a frame the triangle across it.

    A part that lies flat is looked at from the front.
    """
    right, up = _looked_at(part)
    if frame is not None:
        yield from _triangle(frame, room)
        return
    x, y = room.centre
    if abs(dot(up, UP)) > 0.7:
        yield Stroke(((x, room.y), (x, room.top - 2.2)), MIDDLE)
        yield Area(((x, room.top), (x - 1.2, room.top - 2.6), (x + 1.2, room.top - 2.6)))
        yield Text(x + 1.6, room.top - 2.5, 2.5, "up")
    for direction, at, anchor in (
        (right, (room.right, y - 1.7), "right"),
        (negative(right), (room.x, y - 1.7), "left"),
        (negative(up), (x, room.y), "middle"),
    ):
        if dot(direction, FRONT) > 0.7:
            yield Text(at[0], at[1], 3.5, "F", anchor, "bold")  # type: ignore[arg-type]


def _looked_at(part: Part) -> tuple[Vector, Vector]:
    """Which directions of the piece are right and up to someone who looks at a part's face side."""
    out = part.place.z
    up = negative(FRONT) if abs(out[2]) > 0.7 else UP
    right = cross(up, out)
    return right, up


def _triangle(part: Rect, room: Rect) -> Iterator[Item]:
    """The cabinetmaker's triangle over a whole frame, narrow, and wide where it crosses this part."""
    corners = [(room.x + room.width * x, room.y + room.height * y) for x, y in TRIANGLE]
    yield Stroke(tuple(corners), NARROW, closed=True)
    window = Rect(
        room.x + part.x * room.width, room.y + part.y * room.height, part.width * room.width, part.height * room.height
    )
    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    crossing = tuple(found for a, b in sides if (found := _within(a, b, window)))
    if crossing:
        yield Lines(crossing, 1.0)


def _within(a: tuple[float, float], b: tuple[float, float], window: Rect) -> tuple[float, float, float, float] | None:
    """What of a line lies in a rectangle (Liang and Barsky 1984)."""
    low, high = 0.0, 1.0
    dx, dy = b[0] - a[0], b[1] - a[1]
    sides = ((-dx, a[0] - window.x), (dx, window.right - a[0]), (-dy, a[1] - window.y), (dy, window.top - a[1]))
    for way, room in sides:
        if way == 0:
            if room < 0:
                return None
        elif way < 0:
            low = max(low, room / way)
        else:
            high = min(high, room / way)
    if high - low < 1e-6:
        return None
    return (a[0] + low * dx, a[1] + low * dy, a[0] + high * dx, a[1] + high * dy)


def _frames(model: Model) -> dict[str, Rect]:
    """Where each part of a frame lies about its triangle, as shares of it, looked at from the face side."""
    groups: dict[str, list[Part]] = {}
    for part in model.parts:
        if part.role in FRAME_ROLES and "/" in part.key:
            groups.setdefault(part.key.rsplit("/", 1)[0], []).append(part)
    meshes = part_meshes(model)
    found: dict[str, Rect] = {}
    for parts in groups.values():
        if len(parts) > 2 and len({part.place.z for part in parts}) == 1:
            axes = np.array(_looked_at(parts[0]))
            spans = {part.key: meshes[part.key].vertices @ axes.T for part in parts}
            middles = np.array([(each.min(axis=0) + each.max(axis=0)) / 2 for each in spans.values()])
            rails = np.array([part.role == "rail" for part in parts])
            stiles = np.array([part.role == "stile" for part in parts])
            if rails.sum() > 1 and stiles.sum() > 1:  # from the middle of the lowest rail to that of the highest
                low = np.array((middles[stiles, 0].min(), middles[rails, 1].min()))
                size = np.array((middles[stiles, 0].max(), middles[rails, 1].max())) - low
                for key, flat in spans.items():
                    (x, y), (u, v) = (
                        ((flat.min(axis=0) - low) / size).tolist(),
                        ((flat.max(axis=0) - low) / size).tolist(),
                    )
                    found[key] = Rect(x, y, u - x, v - y)
    return found


# ------------------------------------------------------------------------------------------------------------- helpers
def _one_line(words: str, room: float, height: float, style: text.Style = "regular") -> str:
    """The words on one line, the end of them left out where they are too long."""
    if text.width(text.composed(words), height, style) <= room:
        return words
    return text.wrap(words, room - text.width("…", height, style), height, style)[0] + "…"


@lru_cache(maxsize=1)
def _grids() -> dict[str, Grid]:
    return {each["id"]: _grid(each) for each in read_library(LIBRARY / "labels.json")["grids"]}


def _grid(data: dict) -> Grid:
    pairs: dict[str, Sequence[float]] = {name: data[name] for name in ("paper", "label", "first", "pitch")}
    made = {name: (float(pair[0]), float(pair[1])) for name, pair in pairs.items()}
    return Grid(id=data["id"], columns=data["columns"], rows=data["rows"], **made)
