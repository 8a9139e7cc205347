"""The parts list: every mark of the job with its size, its material and what is done to it when."""

from __future__ import annotations

from collections.abc import Sequence

from ..built import BuiltJob
from ..cutting.list import CuttingEntry, lengths_written, parts_list
from ..drawing.sheet import Cell, Column, Sheet, Table, fewest, single_group
from ..locales import Locale
from ..model import Part
from ._making import assembly_names, grain_word, making_words, parts_by_mark
from ._sheets import blank, lists_of, sentence


class PartsList:
    """Mark, name, quantity, finished size, material, grain, making and surviving mark (ISO 7573)."""

    word = "parts_list"
    title = "Parts list"
    order = 12
    place = "desk"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the job's parts need."""
        parts, assemblies, locale = parts_by_mark(job), assembly_names(job), lists_of(job)
        rows = [
            _row(entry, parts[entry.mark], making_words(parts[entry.mark], assemblies), locale)
            for entry in parts_list(job)
        ]
        return fewest(
            [Table(COLUMNS, single_group(rows))],
            blank(
                job,
                self.title,
                paper="A4 landscape",
                views="Sizes are finished sizes: length × width × thickness.",
                locale=locale,
            ),
        )


COLUMNS = (
    Column("Mark", 12, "right"),
    Column("Name", 36),
    Column("Quantity", 18, "right"),
    Column("Size", 34, "right"),
    Column("Material", 24),
    Column("Grain", 14),
    Column("What is done to it, and when; where its number is pencilled"),
)

ENTRY = PartsList()


def _row(entry: CuttingEntry, parts: Sequence[Part], making: str, locale: Locale) -> tuple[str | Cell, ...]:
    notes = f"{sentence(lengths_written(entry.notes, locale))}." if entry.notes else ""
    where = f"Number: {entry.where}." if entry.where else ""
    return (
        Cell(str(entry.mark), "bold"),
        sentence(entry.named),
        str(entry.quantity),
        locale.triple(entry.finished),
        sentence(parts[0].board.material.name),
        grain_word(parts[0]),
        locale.text(" ".join(filter(None, (making, notes, where)))),
    )
