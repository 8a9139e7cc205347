"""Settings of jig and stop collar that serve many parts, so that each is set once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from ..drawing.blocks import Block, Figure
from ..drawing.dimensions import figures
from ..drawing.sheet import Cell, Column, Gap, Heading, Paragraph, Table, single_group
from ..wording import listed
from ._jigs import Jig, jig_pictures
from ._machining import SAME, places_words
from ._part_sheets import Subject

STOPS = (
    Column("Drill", 18, "right"),
    Column("Stop collar", 20, "right"),
    Column("Where, and for what", 90),
    Column("Marks"),
)
JIGS = (
    Column("Distances behind the carcass front, f", 90),
    Column("Drill", 18, "right"),
    Column("For", 50),
    Column("Marks, and where their own face edge is not at the front: how much less to set"),
)


def setting_blocks(subjects: Sequence[Subject]) -> list[Block]:
    """How to read the plans, collar settings by drill, and the rows that one setting of the jig serves."""
    words = (
        "Mark face side and face edge on every part before drilling. Measure from the foot end and the face edge only, never "
        "from the rear or the head end. Holes within 0.2 of their place. Try each collar setting on an offcut of the same "
        "board; wrap a drill that has no collar with tape. Chamfer the mouth of every dowel hole by 0.5."
    )
    pictures = jig_pictures(_collar(subjects), _pictured(_shared(subjects)))
    return [
        Paragraph(words),
        *([Figure(pictures, after=4.0)] if pictures else []),
        Heading("Stop collar"),
        Table(STOPS, single_group(_stops(subjects))),
        Gap(6),
        *_jig_blocks(subjects),
    ]


# ------------------------------------------------------------------------------------------------------------ helpers
def _stops(subjects: Sequence[Subject]) -> Iterator[tuple[str | Cell, ...]]:
    found: dict[tuple[float, str], tuple[set[str], set[int]]] = {}
    for subject in subjects:
        for each in subject.rows:
            row = each.row
            through = row.side.endswith("side") and row.depth >= subject.part.size[2] - SAME
            where = "faces" if row.side.endswith("side") else "edges" if row.side.endswith("edge") else "ends"
            words, marks = found.setdefault(
                (row.diameter, "through" if through else figures(row.depth)), (set(), set())
            )
            words.add(f"{row.purpose}, in {where}")
            marks.add(_mark(subject))
    for (diameter, depth), (words, marks) in sorted(
        found.items(), key=lambda each: (each[0][0], len(each[0][1]), each[0][1])
    ):
        yield f"⌀{figures(diameter)}", Cell(depth, "bold"), "; ".join(sorted(words)), _marks(marks)


def _collar(subjects: Sequence[Subject]) -> tuple[float, float] | None:
    """The hole of most parts that is not drilled through: diameter and depth."""
    found: Counter[tuple[float, float]] = Counter()
    for subject in subjects:
        for row in {(each.row.diameter, each.row.depth, each.row.side) for each in subject.rows}:
            if not (row[2].endswith("side") and row[1] >= subject.part.size[2] - SAME):
                found[row[0], round(row[1], 1)] += 1
    return max(found, key=lambda each: (found[each], each)) if found else None


def _pictured(shared: Mapping[tuple, Mapping[int, float]]) -> Jig | None:
    """The row that most parts share, one with a set-back part before others."""
    if not shared:
        return None
    back = {key: any(value >= SAME for value in marks.values()) for key, marks in shared.items()}
    key = max(shared, key=lambda each: (back[each], len(shared[each]), each))
    marks = shared[key]
    return Jig(
        key[0],
        key[1],
        tuple(sorted(mark for mark, value in marks.items() if abs(value) < SAME)),
        tuple(sorted((value, mark) for mark, value in marks.items() if value >= SAME)),
    )


def _shared(subjects: Sequence[Subject]) -> dict[tuple, dict[int, float]]:
    """Rows from the carcass front that several marks share: (distances, diameter, purpose) to set-backs by mark."""
    rows: dict[tuple, dict[int, float]] = {}
    for subject in subjects:
        if subject.set_back is None:
            continue
        for each in subject.rows:
            if each.row.edges:
                f = tuple(round(value + subject.set_back, 1) for value in each.row.edges)
                rows.setdefault((f, each.row.diameter, each.row.purpose), {})[_mark(subject)] = subject.set_back
    return {key: marks for key, marks in rows.items() if len(marks) > 1}


def _jig_blocks(subjects: Sequence[Subject]) -> Iterator[Block]:
    shared = _shared(subjects)
    if not shared:
        return
    yield Heading("Jig")
    yield Paragraph("One setting of the jig from the front edge serves all the parts of a line.", after=2.0)
    yield Table(
        JIGS,
        single_group(
            (Cell(places_words(f), "bold"), f"⌀{figures(diameter)}", purpose, _set_back_words(marks))
            for (f, diameter, purpose), marks in sorted(shared.items(), key=lambda each: (-each[0][1], each[0][0]))
        ),
    )


def _set_back_words(marks: dict[int, float]) -> str:
    flush = [mark for mark, back in marks.items() if abs(back) < SAME]
    others = [
        f"{mark}: {figures(abs(back))} {'less' if back > 0 else 'more'}"
        for mark, back in sorted(marks.items())
        if abs(back) >= SAME
    ]
    return listed([*([_marks(set(flush))] if flush else []), *others])


def _mark(subject: Subject) -> int:
    return int(subject.title.split()[0])


def _marks(marks: set[int]) -> str:
    return ", ".join(map(str, sorted(marks)))
