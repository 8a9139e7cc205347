"""What changed since the last revision, and what of the parts already made can still be used."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from ..built import BuiltJob
from ..changing import Changed, ChangedPiece, changed, place_of
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, flow, single_group
from ..model import Part
from ..revisions.compare import Change, What
from ..revisions.revision import RecordedPiece
from ..revisions.saving import Use
from ..wording import counted, handless
from ._sheets import blank, piece_name, sentence, triple

WORDS: dict[What, str] = {
    "added": "new",
    "gone": "no longer needed",
    "another size": "another size",
    "other work": "other work in it",
    "elsewhere": "in another place",
}
SAFE = "Trim only what lies safely against fence or track; a part too short or too narrow to hold is made anew."
BEFORE = "Before anything is trimmed, lay the part on the new rod: if a measure disagrees, the rod rules."


class ChangesPages:
    """Parts new, gone and changed by piece; what is bought besides; what is kept, trimmed and made anew."""

    word = "changes"
    title = "What changed"
    order = 5
    place = "desk"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """None for a job without a last revision."""
        found = changed(job)
        if found is None:
            return ()
        blocks: list[Block] = []
        for index, piece in enumerate(found.pieces):
            blocks += _piece_blocks(job, index, piece)
        blocks += [
            Paragraph(f"No longer part of the job: {each.piece.whole.name or each.piece.id}.") for each in found.gone
        ]
        blocks += _saving_blocks(job, found)
        letter = found.since.letter
        title = f"{self.title} since revision {letter}" if letter else self.title
        return flow(blocks, blank(job, title, paper="A4 landscape", bookmark=title))


MARKED = (Column("Mark", 12, "right"), Column("Part", 80), Column("Parts", 14, "right"))
CHANGES = (*MARKED, Column("What", 36), Column("Before and now"))
TRIMMED = (*MARKED, Column("What to do"))
ANEW = (*MARKED, Column("Size"))
Row = tuple[str | Cell, ...]

ENTRY = ChangesPages()


# ------------------------------------------------------------------------------------------------------------- changes
def _piece_blocks(job: BuiltJob, index: int, piece: ChangedPiece) -> Iterator[Block]:
    found = piece.comparison
    name = piece_name(piece.built)
    yield Heading(f"{name}: {_summary(piece)}")
    shown = [each for each in found.changes if each.what != "elsewhere"]
    if shown and piece.before:
        alike = Counter(_change_words(job, index, piece.before, each) for each in shown)
        yield Table(CHANGES, single_group(_counted_rows(alike)))
        yield Gap(3)
    if found.bought and piece.before:
        more = [f"{number:+d} {words}" for words, number in found.bought]
        yield Paragraph(f"Fittings and fastenings, more or fewer: {'; '.join(more)}.")


def _summary(piece: ChangedPiece) -> str:
    if piece.before is None:
        return "new in this job"
    counts = Counter(each.what for each in piece.comparison.changes)
    if not counts and not piece.comparison.bought:
        return f"nothing changed; all {counted(len(piece.comparison.untouched), 'part')} as they were"
    words = [f"{counts[what]} {WORDS[what]}" for what in WORDS if counts[what]]
    return ", ".join([*words, f"{len(piece.comparison.untouched)} as they were"])


def _change_words(job: BuiltJob, index: int, before: RecordedPiece, change: Change) -> tuple[int, str, str, str]:
    mark = job.marks.get((index, change.key)) or before.marks.get(change.key) or 0
    return mark, handless(change.part.name), WORDS[change.what], change.words


def _counted_rows(alike: Counter[tuple]) -> Iterator[Row]:
    """Rows of mark, name, how many, and whatever else is said."""
    for (mark, name, *words), number in sorted(alike.items()):
        yield Cell(str(mark or ""), "bold"), sentence(name), str(number), *(sentence(each) for each in words)


# -------------------------------------------------------------------------------------------------------- what is made
def _saving_blocks(job: BuiltJob, found: Changed) -> Iterator[Block]:
    if not found.made:
        return
    saved = found.saving
    yield Heading("What is made already")
    yield Paragraph(
        f"{counted(found.made, 'part')} made: {len(saved.kept)} kept, {len(saved.trimmed)} trimmed, {len(saved.left_over)} without use. "
        f"{counted(len(saved.to_make), 'part')} still to make, {len(saved.anew)} of them anew."
    )
    for piece in found.pieces:
        for way in piece.other_ways:
            yield Paragraph(
                f"{piece_name(piece.built)}: another way to the same height loses less of what is made "
                f"({way.lost:.2f} m² of board instead of {saved.lost:.2f}): {way.words}."
            )
    if saved.trimmed:
        yield Heading("Trim")
        yield Paragraph(f"{SAFE} {BEFORE}")
        yield Table(TRIMMED, single_group(_counted_rows(Counter(_use_words(job, use) for use in saved.trimmed))))
        yield Gap(3)
    if saved.anew:
        yield Heading("Make anew")
        yield Table(ANEW, single_group(_counted_rows(Counter(_anew_words(job, name) for name in saved.anew))))
        yield Gap(3)
    if saved.left_over:
        yield Heading("Left over: into the rack")
        names = Counter(_made_name(found, each.key, each.part.name) for each in saved.left_over)
        yield Paragraph("; ".join(f"{number} × {name}" for name, number in sorted(names.items())) + ".")


def _use_words(job: BuiltJob, use: Use) -> tuple[int, str, str]:
    mark, part = _now(job, use.key)
    source = "" if use.made.key == use.key else f", from {use.made.part.name}"
    return mark, handless(part.name), f"{use.words}{source}"


def _anew_words(job: BuiltJob, name: str) -> tuple[int, str, str]:
    mark, part = _now(job, name)
    return mark, handless(part.name), f"{triple(part.size)} {part.board.material.name}"


def _now(job: BuiltJob, name: str) -> tuple[int, Part]:
    index, key = place_of(name)
    return job.marks[index, key], job.pieces[index].model.part(key)


def _made_name(found: Changed, name: str, part: str) -> str:
    index, key = place_of(name)
    before = found.pieces[index].before if index < len(found.pieces) else None
    mark = before.marks.get(key) if before else None
    return f"{handless(part)}, mark {mark}" if mark else part
