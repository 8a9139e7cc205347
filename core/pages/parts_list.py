"""The parts list: every mark of the job with its size, its material and what is done to it when."""

from __future__ import annotations

from collections.abc import Sequence

from ..built import BuiltJob
from ..cutting.list import CuttingEntry, parts_list
from ..drawing.dimensions import figures
from ..drawing.sheet import Cell, Column, Sheet, Table, flow, single_group
from ..model import Part
from ._making import assembly_names, making_words, parts_by_mark
from ._sheets import blank, sentence


class PartsList:
    """Mark, name, quantity, finished size, material, grain, making and surviving mark (ISO 7573)."""

    word = "parts_list"
    title = "Parts list"
    order = 20

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the job's parts need."""
        parts, assemblies = parts_by_mark(job), assembly_names(job)
        rows = [_row(entry, parts[entry.mark], making_words(parts[entry.mark], assemblies)) for entry in parts_list(job)]
        sheet = blank(job, self.title, paper="A4 landscape", views="Sizes are finished sizes.")
        return flow([Table(COLUMNS, single_group(rows))], sheet)


COLUMNS = (
    Column("Mark", 12, "right"), Column("Name", 36), Column("Quantity", 17, "right"), Column("Length", 16, "right"),
    Column("Width", 15, "right"), Column("Thick", 13, "right"), Column("Material", 19), Column("Grain", 17),
    Column("What is done to it, and when"), Column("Number is pencilled", 25),
)  # fmt: skip

ENTRY = PartsList()


def _row(entry: CuttingEntry, parts: Sequence[Part], making: str) -> tuple[str | Cell, ...]:
    length, width, thickness = (figures(value) for value in entry.finished)
    words = " ".join(filter(None, (making, sentence(entry.notes) + "." if entry.notes else "")))
    material = parts[0].board.material.name
    return (
        Cell(str(entry.mark), "bold"), sentence(entry.name), str(entry.quantity), length, width, thickness, material,
        entry.grain, words, entry.where,
    )  # fmt: skip
