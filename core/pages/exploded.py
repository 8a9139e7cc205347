"""Exploded sheets: an overview, then each assembly apart, with flow lines, part numbers and a parts list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..built import BuiltJob, BuiltPiece
from ..cutting.list import parts_list
from ..drawing.balloons import drawing_room, place_balloons
from ..drawing.page import Item, Lines, Rect, RoomError, dashes
from ..drawing.sheet import AIR, SCALES, Block, Sheet, flow
from ..model import Assembly, Part
from ._assemblies import Assemblies
from ._assembly_lists import assembly_blocks, overview_blocks
from ._explosion import VIEWS, Apart, Subject, best_apart
from ._flow import anchors_on, flow_paths, visible_stretches
from ._layout import laid_in
from ._sheets import blank, titled
from ._views import INNER, drawn

PAPER = "A3"
LIST_WIDTH = 116.0  # mm of the parts list beside a drawing that is wider than high
RING_AIR = 3.0  # mm of white between a drawing and the ring of its part numbers
SEEN_TO_NUMBER = 0.25  # share of its outline that a part must show to be numbered on the overview
VIEW_WORDS = "View {}; chain lines lead each part to its seat."


class Exploded:
    """The overview and one sheet for each assembly that has parts; mirror images and equal assemblies share one."""

    word = "exploded"
    title = "Exploded sheets"
    order = 50
    place = "bench"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """The sheets of every piece in the order of building, the overview first."""
        pieces = [_Piece(job, index) for index in range(len(job.pieces))]
        return tuple(sheet for piece in pieces for sheet in piece.sheets(self.title))


ENTRY = Exploded()


class _Piece:
    """The exploded sheets of one piece of a job."""

    def __init__(self, job: BuiltJob, index: int) -> None:
        self.job, self.built = job, job.pieces[index]
        self.assemblies = Assemblies(self.built.model, job.marks_of(index))
        self.entries = {entry.mark: entry for entry in parts_list(job)}

    def sheets(self, title: str) -> Iterator[Sheet]:
        """The overview, then one for each assembly with its own."""
        if not self.built.model.assemblies:
            return
        yield from self.overview(title)
        for assembly in self.assemblies.shown:
            yield from self.sheets_of(assembly)

    def overview(self, title: str) -> Iterator[Sheet]:
        """The whole, its assemblies apart, every part that is seen well numbered."""
        subject = self.assemblies.overview()
        blocks = overview_blocks(self.assemblies, subject, self.entries)
        names = titled(self.job, self.built, "Exploded: the whole"), titled(self.job, self.built, title)
        sheet = _ExplodedSheet(self.job, self.built, self.assemblies, subject, *names, level=0, every_part=True)
        return sheet.sheets(blocks, blocks)

    def sheets_of(self, assembly: Assembly) -> Iterator[Sheet]:
        """One assembly apart."""
        subject, twins = self.assemblies.subject(assembly), self.assemblies.twins(assembly)
        wide, slim = (
            assembly_blocks(self.assemblies, subject, twins, self.entries, material) for material in (True, False)
        )
        title = titled(self.job, self.built, f"Exploded: {self.assemblies.names[assembly.key]}")
        sheet = _ExplodedSheet(self.job, self.built, self.assemblies, subject, title, title, level=1, every_part=False)
        return sheet.sheets(wide, slim)


@dataclass(frozen=True)
class _ExplodedSheet:
    """One subject on a sheet; with `every_part` all its parts are numbered as far as they are seen."""

    job: BuiltJob
    built: BuiltPiece
    assemblies: Assemblies
    subject: Subject
    title: str
    bookmark: str
    level: int
    every_part: bool

    def sheets(self, wide: list[Block], slim: list[Block]) -> Iterator[Sheet]:
        """The sheet with the drawing and the wide or the slim lists, and more for lists that do not fit beside it."""
        places = _places(self.blank(str(SCALES[-1]), next(iter(VIEWS))))
        apart, which = best_apart(self.subject, [drawing_room(place.drawing, self.numbers) for place in places])
        lists, left = laid_in(places[which].lists, (wide, slim)[which])
        place, over = self.over(apart, places[which].drawing, left)
        items = (*self.drawing(apart, place), *lists, *over)
        left = [] if over else left
        yield self.blank(str(apart.scale), apart.view_name).with_items(items)
        if left:
            yield from flow(left, blank(self.job, self.title, built=self.built, bookmark=""))

    def blank(self, scale: str, view_name: str) -> Sheet:
        """The empty sheet."""
        return blank(
            self.job,
            self.title,
            built=self.built,
            paper=PAPER,
            scale=scale,
            views=VIEW_WORDS.format(view_name),
            bookmark=self.bookmark,
            level=self.level,
        )

    @cached_property
    def candidates(self) -> tuple[Part, ...]:
        """The parts that may get a number: on the overview all, else the loose ones and the main part of each whole."""
        if self.every_part:
            return self.subject.model.parts
        mains = [self.assemblies.main_part(self.subject, whole) for whole in sorted(self.subject.wholes)]
        return (*self.subject.loose_parts, *mains)

    @cached_property
    def numbers(self) -> list[str]:
        """The numbers that may stand round the drawing."""
        return [str(number) for number in sorted({self.assemblies.marks[part.key] for part in self.candidates})]

    def over(self, apart: Apart, place: Rect, left: list[Block]) -> tuple[Rect, tuple[Item, ...]]:
        """What has no room beside the drawing, laid over it where that leaves the drawing its room; that room."""
        laid, rest = laid_in(place, left)
        if not laid or rest:
            return place, ()
        foot = min(item.bounds().y for item in laid)
        lower = Rect(place.x, place.y, place.width, foot - AIR - place.y)
        box, scale = drawn(apart.drawable, apart.view, apart.lines).box, apart.scale.ratio
        try:
            room = drawing_room(lower, self.numbers)
        except RoomError:
            return place, ()
        return (lower, laid) if box.width * scale <= room.width and box.height * scale <= room.height else (place, ())

    def drawing(self, apart: Apart, place: Rect) -> tuple[Item, ...]:
        """The lines, flow lines and part numbers in their place."""
        scale = apart.scale.ratio
        picture = drawn(apart.drawable, apart.view, apart.lines)
        shown = self.shown(apart)
        numbers = [str(number) for number in shown]
        frame, room = _ring(place, numbers, picture.box.width * scale, picture.box.height * scale)
        origin = np.array(room.centre) - np.array(picture.box.centre) * scale
        anchors = [tuple(map(float, origin + at * scale)) for at in shown.values()]
        balloons = place_balloons(numbers, anchors, frame=frame)
        return (
            *_flow_lines(apart, origin),
            *picture.items(float(origin[0]), float(origin[1]), scale),
            *(item for balloon in balloons for item in balloon.items),
        )

    def shown(self, apart: Apart) -> dict[int, np.ndarray]:
        """The marks that get a number, each with the place, in mm of the piece, where its leader ends."""
        parts: dict[int, list[Part]] = {}
        for part in self.candidates:
            if not self.every_part or apart.shares[part.key] >= SEEN_TO_NUMBER:
                parts.setdefault(self.assemblies.marks[part.key], []).append(part)
        solids = {key: number for number, key in enumerate(self.subject.keys)}
        groups = {
            number: [
                (part, apart.move_of[part.key]) for part in sorted(some, key=lambda part: -apart.shares[part.key])[:2]
            ]
            for number, some in sorted(parts.items())
        }
        places = anchors_on(list(groups.values()), solids, apart.sight)
        return {number: at for number, at in zip(groups, places, strict=True) if at is not None}


# ------------------------------------------------------------------------------------------------------------- places
def _flow_lines(apart: Apart, origin: np.ndarray) -> Iterator[Item]:
    subject, scale = apart.subject, apart.scale.ratio
    paths = flow_paths(subject.model, subject.member_of, apart.move_of, subject.boxes)
    stretches = visible_stretches(paths, apart.sight, apart.view, scale)
    if stretches:
        ends = (np.array(stretches) * scale + origin).reshape(-1, 4)
        yield Lines(tuple(map(tuple, ends.tolist())), INNER, dashes("centre", INNER))


@dataclass(frozen=True, slots=True)
class _Place:
    """Where the drawing and where the lists go on a sheet."""

    drawing: Rect
    lists: Rect


def _places(sheet: Sheet) -> tuple[_Place, _Place]:
    """Drawing left of the title block over the whole height, lists above the block; or drawing wide, lists slim."""
    room, block, frame = sheet.room, sheet.title_block, sheet.frame
    high = Rect(room.x, frame.y + AIR, block.x - 2 * AIR - frame.x, room.top - frame.y - AIR)
    slim = room.right - LIST_WIDTH
    wide = Rect(room.x, room.y, slim - AIR - room.x, room.height)
    return (
        _Place(high, Rect(block.x, room.y, room.right - block.x, room.height)),
        _Place(wide, Rect(slim, room.y, LIST_WIDTH, room.height)),
    )


def _ring(place: Rect, numbers: Sequence[str], width: float, height: float) -> tuple[Rect, Rect]:
    """A frame for part numbers close round a drawing of this size amid its place, and the room in that frame.

    As wide as the place where the numbers need it.
    """
    room = drawing_room(place, numbers)
    for air in (RING_AIR, 4 * RING_AIR):
        x, y = max(0.0, (room.width - width) / 2 - air), max(0.0, (room.height - height) / 2 - air)
        frame = Rect(place.x + x, place.y + y, place.width - 2 * x, place.height - 2 * y)
        try:
            return frame, drawing_room(frame, numbers)
        except RoomError:
            continue
    return place, room
