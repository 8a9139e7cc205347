"""Exploded sheets: an overview, then each assembly apart, with flow lines, part numbers and a parts list."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from ..built import BuiltJob, BuiltPiece
from ..cutting.list import CuttingEntry, parts_list
from ..drawing.balloons import drawing_room, place_balloons
from ..drawing.dimensions import figures
from ..drawing.explode import within
from ..drawing.page import Item, Lines, Rect, RoomError, dashes
from ..drawing.sheet import AIR, Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, flow, single_group
from ..model import Assembly, Fastener, Part
from ._explosion import Apart, Subject, best_apart
from ._flow import anchor_on, flow_paths, visible_stretches
from ._layout import SideBySide, laid_in
from ._sheets import blank, counted, listed, sentence, titled, told_apart
from ._views import INNER, drawn

OWN_SHEET = 7  # parts and fittings from which an assembly within an assembly gets a sheet of its own
LIST_WIDTH = 116.0  # mm of the parts list beside a drawing that is wider than high
RING_AIR = 3.0  # mm of white between a drawing and the ring of its part numbers
SEEN_TO_NUMBER = 0.25  # share of its outline that a part must show to be numbered on the overview


class Exploded:
    """The overview and one sheet for each assembly that has parts; mirror images and equal assemblies share one."""

    word = "exploded"
    title = "Exploded sheets"
    order = 40

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """The sheets of every piece in the order of building, the overview first."""
        return tuple(
            sheet for index, built in enumerate(job.pieces) for sheet in _Piece(job, index, built).sheets(self.title)
        )


ENTRY = Exploded()


@dataclass(frozen=True, slots=True)
class Twin:
    """An assembly that is shown by the sheet of another one: its mirror image, or its equal."""

    assembly: Assembly
    mirrored: bool


# ------------------------------------------------------------------------------------------------------- which sheets
class _Piece:
    """The exploded sheets of one piece of a job."""

    def __init__(self, job: BuiltJob, index: int, built: BuiltPiece) -> None:
        self.job, self.built, self.model = job, built, built.model
        self.marks = job.marks_of(index)
        self.entries = {entry.mark: entry for entry in parts_list(job)}
        self.parts = {part.key: part for part in self.model.parts}
        self.assemblies = {assembly.key: assembly for assembly in self.model.assemblies}
        self.names = told_apart({assembly.key: assembly.name for assembly in self.model.assemblies})

    def sheets(self, title: str) -> Iterator[Sheet]:
        """Overview first."""
        if not self.model.assemblies:
            return
        yield from self.overview(title)
        shown: list[Assembly] = []
        for assembly in self.with_own_sheet():
            if not any(self.is_equal(assembly, other) or self.is_mirror(assembly, other) for other in shown):
                shown.append(assembly)
                yield from self.sheet_of(assembly)

    def with_own_sheet(self) -> list[Assembly]:
        """The assemblies that are shown apart by themselves, in the order of building."""
        root = self.model.assemblies[-1]
        direct = {member.key for member in root.members}
        found = []
        for assembly in self.model.assemblies[:-1]:
            leaves = within(self.model, assembly.key)
            parts = [key for key in leaves if key in self.parts]
            if len(parts) > 1 and (assembly.key in direct or len(leaves) >= OWN_SHEET):
                found.append(assembly)
        return found

    def wholes(self, assembly: Assembly) -> list[str]:
        """The assemblies within one that stay together on its sheet, because they have their own."""
        own = {each.key for each in self.with_own_sheet()}
        return [member.key for member in assembly.members if member.key in own]

    def twins(self, assembly: Assembly) -> list[Twin]:
        """Those that the sheet of this one shows as well."""
        others = [other for other in self.with_own_sheet() if other.key != assembly.key]
        equal = [Twin(other, False) for other in others if self.is_equal(assembly, other)]
        return equal + [
            Twin(other, True)
            for other in others
            if not self.is_equal(assembly, other) and self.is_mirror(assembly, other)
        ]

    def is_equal(self, first: Assembly, second: Assembly) -> bool:
        """Whether two consist of the same marks, and nothing in the one is the mirror image of what is in the other."""
        return not self.is_mirror(first, second) and self.numbers(first) == self.numbers(second)

    def is_mirror(self, first: Assembly, second: Assembly) -> bool:
        """Whether the keys of one, with left for right, are those of the other."""
        mine, other = set(within(self.model, first.key)), set(within(self.model, second.key))
        return first.key != second.key and mine != other and {mirrored_key(key) for key in mine} == other

    def numbers(self, assembly: Assembly) -> list[int]:
        """The marks of all its parts, in order."""
        return sorted(self.marks[key] for key in within(self.model, assembly.key) if key in self.marks)

    # one sheet

    def overview(self, title: str) -> Iterator[Sheet]:
        root = self.model.assemblies[-1]
        wholes = [
            member.key
            for member in root.members
            if member.key in self.assemblies and len(within(self.model, member.key)) > 1
        ]
        subject = Subject.of(self.model, root.key, wholes)
        blocks = [
            Heading("What goes together"),
            self.assembly_table(root, wholes),
            Gap(4),
            *self.compact_list(),
            *self.notes(subject, root, []),
        ]
        sheet_title = titled(self.job, self.built, "Exploded: the whole")
        yield from self.drawn(
            subject, sheet_title, titled(self.job, self.built, title), 0, blocks, blocks, every_part=True
        )

    def sheet_of(self, assembly: Assembly) -> Iterator[Sheet]:
        subject = Subject.of(self.model, assembly.key, self.wholes(assembly))
        twins = self.twins(assembly)
        notes = list(self.notes(subject, assembly, twins))
        wide, slim = (self.list_table(subject, twins, material=material) for material in (True, False))
        title = titled(self.job, self.built, f"Exploded: {self.names[assembly.key]}")
        yield from self.drawn(subject, title, title, 1, [wide, Gap(4), *notes], [slim, Gap(4), *notes])

    def drawn(
        self,
        subject: Subject,
        title: str,
        bookmark: str,
        level: int,
        wide: list[Block],
        slim: list[Block],
        every_part: bool = False,
    ) -> Iterator[Sheet]:
        """The sheet with the drawing, and more for the lists that do not fit beside it."""

        def sheet(scale: str, views: str) -> Sheet:
            return blank(
                self.job, title, built=self.built, paper="A3", scale=scale, views=views, bookmark=bookmark, level=level
            )

        places = _places(sheet("1:100", VIEW_WORDS.format("from the front right, above")))
        numbers = [
            str(number)
            for number in sorted(
                {self.marks[part.key] for part in (subject.model.parts if every_part else subject.loose_parts)}
            )
        ]
        apart, which = best_apart(subject, [drawing_room(place.drawing, numbers) for place in places])
        place = places[which]
        items = self.drawing(apart, place.drawing, every_part)
        lists, left = laid_in(place.lists, wide if which == 0 else slim)
        yield sheet(str(apart.scale), VIEW_WORDS.format(apart.view_name)).with_items((*items, *lists))
        if left:
            yield from flow(left, blank(self.job, title, built=self.built, paper="A4", bookmark=""))

    def drawing(self, apart: Apart, place: Rect, every_part: bool) -> tuple[Item, ...]:
        """The lines, flow lines and part numbers in their place."""
        subject, scale = apart.subject, apart.scale.ratio
        picture = drawn(apart.drawable, apart.view, apart.lines)
        numbered = self.numbered(apart, every_part)
        numbers = [str(number) for number, _ in numbered]
        frame, room = _ring(place, numbers, picture.box.width * scale, picture.box.height * scale)
        x = room.centre[0] - picture.box.centre[0] * scale
        y = room.centre[1] - picture.box.centre[1] * scale
        paths = flow_paths(subject.model, subject.member_of, apart.move_of, subject.boxes)
        flows = visible_stretches(paths, apart.sight, apart.view, scale)
        segments = tuple(
            (x + a * scale, y + b * scale, x + c * scale, y + d * scale)
            for (a, b), (c, d) in (each.tolist() for each in flows)
        )
        anchors = [(x + float(at[0]) * scale, y + float(at[1]) * scale) for _, at in numbered]
        balloons = place_balloons(numbers, anchors, frame=frame)
        flow_lines = (Lines(segments, INNER, dashes("centre", INNER)),) if segments else ()
        return (*flow_lines, *picture.items(x, y, scale), *(item for balloon in balloons for item in balloon.items))

    def numbered(self, apart: Apart, every_part: bool) -> list[tuple[int, object]]:
        """The marks that are shown, each with the place on the sheet where its leader ends."""
        subject = apart.subject
        parts: dict[int, list[Part]] = {}
        for part in self.shown_parts(apart, every_part):
            parts.setdefault(self.marks[part.key], []).append(part)
        solids = {key: number for number, key in enumerate(subject.keys)}
        found = []
        for number, some in sorted(parts.items()):
            some.sort(key=lambda part: -apart.shares[part.key])
            at = anchor_on([(part, apart.move_of[part.key]) for part in some[:2]], solids, apart.sight)
            if at is not None:
                found.append((number, at))
        return found

    def shown_parts(self, apart: Apart, every_part: bool) -> Iterator[Part]:
        """The parts that get a number: on the overview all seen well, else the loose ones and the main part of each whole."""
        subject = apart.subject
        if every_part:
            yield from (part for part in subject.model.parts if apart.shares[part.key] >= SEEN_TO_NUMBER)
            return
        yield from subject.loose_parts
        yield from (self.main_part(subject, whole) for whole in sorted(subject.wholes))

    def main_part(self, subject: Subject, whole: str) -> Part:
        """The largest part of an assembly that stays together."""
        parts = [part for part in subject.model.parts if subject.member_of[part.key] == whole]
        return max(parts, key=lambda part: part.size[0] * part.size[1] * part.size[2])

    # lists and words

    def list_table(self, subject: Subject, twins: Sequence[Twin], material: bool) -> Table:
        """The parts list of a sheet; with a second column of numbers where the sheet shows a mirror image as well."""
        mirror = any(twin.mirrored for twin in twins) and self.changes_hands(subject)
        columns = [
            Column("Mark", 13, "right"),
            *([Column("Mirror", 15, "right")] if mirror else []),
            Column("Name"),
            Column("Quantity", 18, "right"),
            Column("Size", 33, "right"),
            *([Column("Material", 28)] if material else []),
        ]
        rows = []
        for number, count in sorted(Counter(self.marks[part.key] for part in subject.loose_parts).items()):
            key = next(part.key for part in subject.loose_parts if self.marks[part.key] == number)
            entry = self.entries[number]
            other = [str(self.marks[mirrored_key(key)])] if mirror else []
            rows.append(
                [
                    Cell(str(number), "bold"),
                    *other,
                    sentence(entry.name),
                    str(count),
                    _size(entry),
                    *([sentence(entry.material)] if material else []),
                ]
            )
        for whole in sorted(subject.wholes):
            number = self.marks[self.main_part(subject, whole).key]
            words = f"{sentence(self.names[whole])}, glued up (own sheet)"
            rows.append(
                [Cell(str(number), "bold"), *([""] if mirror else []), words, "1", "", *([""] if material else [])]
            )
        return Table(tuple(columns), single_group(rows))

    def changes_hands(self, subject: Subject) -> bool:
        """Whether the mirror image of some part has another number."""
        return any(
            self.marks.get(mirrored_key(part.key), self.marks[part.key]) != self.marks[part.key]
            for part in subject.loose_parts
        )

    def compact_list(self) -> Iterator[Block]:
        """All marks of the piece with their names, in two columns."""
        counts = Counter(self.marks.values())
        rows = [
            (Cell(str(number), "bold"), sentence(self.entries[number].name), str(count))
            for number, count in sorted(counts.items())
        ]
        yield SideBySide.of((Column("Mark", 13, "right"), Column("Name"), Column("Quantity", 18, "right")), rows)
        yield Gap(4)

    def assembly_table(self, root: Assembly, wholes: Sequence[str]) -> Table:
        """The assemblies of the whole and the numbers of their parts."""
        rows = []
        for key in wholes:
            assembly = self.assemblies[key]
            rows.append((sentence(self.names[key]), assembly.how, runs(sorted(set(self.numbers(assembly))))))
        return Table((Column("Assembly", 40), Column("How", 20), Column("Part numbers")), single_group(rows))

    def notes(self, subject: Subject, assembly: Assembly, twins: Sequence[Twin]) -> Iterator[Block]:
        """What holds it together, what is bought for it, and what to mind."""
        if twins:
            yield Paragraph(" ".join(self.twin_words(assembly, twins, self.changes_hands(subject))), style="bold")
        if subject.fasteners:
            yield Paragraph(f"Fastenings: {listed(list(fastener_words(subject.fasteners)))}.")
        bought = Counter(each.name for each in subject.loose_fittings if not each.bought_with)
        if bought:
            yield Paragraph(f"Fittings: {'; '.join(f'{count} {name}' for name, count in bought.items())}.")
        opened = [
            each for each in self.model.assemblies if each.key == assembly.key or self.is_opened(subject, each.key)
        ]
        for each in opened:
            words = "; ".join(each.notes)
            if words:
                yield Paragraph(f"{sentence(self.names[each.key])} ({each.how}): {words}.")

    def twin_words(self, assembly: Assembly, twins: Sequence[Twin], changes_hands: bool) -> Iterator[str]:
        """Which other assemblies the sheet stands for."""
        name = self.names[assembly.key]
        equal = [self.names[twin.assembly.key] for twin in twins if not twin.mirrored]
        mirrored = [self.names[twin.assembly.key] for twin in twins if twin.mirrored]
        if equal:
            yield f"Shown: {name}. Equal to it: {listed(equal)}."
        if mirrored:
            numbers = "its numbers stand under Mirror" if changes_hands else "its parts have the same numbers"
            yield f"Shown: {name}. Its mirror image: {listed(mirrored)}; {numbers}."

    def is_opened(self, subject: Subject, key: str) -> bool:
        """Whether an assembly within the subject is taken apart on its sheet."""
        leaves = within(self.model, key)
        return key != subject.below and all(subject.member_of.get(leaf) == leaf for leaf in leaves)


VIEW_WORDS = "View {}; chain lines lead each part to its seat."


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


# -------------------------------------------------------------------------------------------------------------- words
def mirrored_key(key: str) -> str:
    """The key of the mirror image of a part.

    >>> mirrored_key("side.left/stile.front")
    'side.right/stile.front'
    """
    return key.replace("left", "\0").replace("right", "left").replace("\0", "right")


def fastener_words(fasteners: Iterable[Fastener]) -> Iterator[str]:
    """Counted and sized: "8 dowels 8 × 40", "36 hinge screws 3.5 × 16"."""
    found: Counter[tuple[str, str]] = Counter()
    for each in fasteners:
        found[each.purpose or each.kind, each.name.removeprefix(each.kind).strip()] += 1
    for (purpose, size), count in found.items():
        yield f"{counted(count, purpose)} {size}"


def runs(numbers: Sequence[int]) -> str:
    """Whole numbers with runs drawn together.

    >>> runs([1, 7, 8, 9, 11, 12])
    '1, 7 to 9, 11, 12'
    """
    found: list[list[int]] = []
    for number in numbers:
        if found and number == found[-1][-1] + 1:
            found[-1].append(number)
        else:
            found.append([number])
    return ", ".join(f"{run[0]} to {run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in found)


def _size(entry: CuttingEntry) -> str:
    return " × ".join(figures(value) for value in entry.finished)
