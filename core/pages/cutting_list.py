"""The cutting list on paper: by material, in saw order, what is cut at one setting bracketed together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from ..built import BuiltJob
from ..checks.cautions import cautions_for
from ..cutting.list import CuttingEntry, CuttingList, cutting_list, sideless
from ..drawing.dimensions import figures
from ..drawing.sheet import Bracket, Cell, Column, Gap, Group, Heading, Paragraph, Sheet, Table, flow, single_group
from ..model import Part
from ._making import grain_word, parts_by_mark, saw_words
from ._sheets import blank, counted, sentence

CALLIPER = "Check the thickness of every sheet with a calliper before the first cut: the sizes below depend on it."


class CuttingListPages:
    """Blanks by material with cut and finished sizes, one-setting brackets and totals."""

    word = "cutting_list"
    title = "Cutting list"
    order = 30

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the job's blanks need, the totals last."""
        whole, parts = cutting_list(job), parts_by_mark(job)
        groups = [
            _group(material, whole, parts) for material in dict.fromkeys(entry.material for entry in whole.entries)
        ]
        table = Table(COLUMNS, tuple(groups), bracket_width=34)
        sheet = blank(job, self.title, paper="A4 landscape", views="In saw order, material by material.")
        mind = dict.fromkeys(
            each.text for built in job.pieces for each in cautions_for(built.piece, built.model, "sawing")
        )
        return flow([Paragraph(" ".join((CALLIPER, *mind))), table, Gap(5), Heading("Totals"), _totals(whole)], sheet)


COLUMNS = (
    Column("Cut", 10),
    Column("Mark", 12, "right"),
    Column("Name", 44),
    Column("Quantity", 18, "right"),
    Column("Cut length", 16, "right"),
    Column("Cut width", 15, "right"),
    Column("Thick", 13, "right"),
    Column("Finished, if other", 22, "right"),
    Column("Grain", 14),
    Column("Edges and ends at the saw"),
)
TOTALS = (
    Column("Material", 50),
    Column("Pieces", 20, "right"),
    Column("Area, m²", 22, "right"),
    Column("Run, m", 22, "right"),
    Column("Mass, kg", 22, "right"),
)

ENTRY = CuttingListPages()


def _group(material: str, whole: CuttingList, parts: dict[int, list[Part]]) -> Group:
    entries = list(in_setting_order(whole.of_material(material)))
    total = next(each for each in whole.totals if each.material == material)
    extent = f"{total.area:.2f} m²" if entries[0].material_kind == "sheet" else f"{total.run:.2f} m run"
    title = f"{sentence(material)}: {counted(total.quantity, 'piece')}, {extent}, {total.mass:.1f} kg"
    return Group(tuple(_row(entry, parts[entry.mark][0]) for entry in entries), title, tuple(_brackets(entries)))


def in_setting_order(entries: Sequence[CuttingEntry]) -> Iterator[CuttingEntry]:
    """The entries in their order, those of one setting following the first of them at once."""
    done: set[str] = set()
    for entry in entries:
        if entry.setting in done:
            continue
        if not entry.setting:
            yield entry
            continue
        done.add(entry.setting)
        yield from (other for other in entries if other.setting == entry.setting)


def _brackets(entries: Iterable[CuttingEntry]) -> Iterator[Bracket]:
    first = 0
    for setting, run in groupby(entries, key=lambda entry: entry.setting):
        count = len(list(run))
        if setting and count > 1:
            yield Bracket(first, count, f"one setting: {sideless(setting)}")
        first += count


def _row(entry: CuttingEntry, part: Part) -> tuple[str | Cell, ...]:
    cut_length, cut_width, thickness = (figures(value) for value in entry.cut)
    length, width, finished_thickness = (figures(value) for value in entry.finished)
    finished = "" if (length, width) == (cut_length, cut_width) else f"{length} × {width}"
    if finished_thickness != thickness:
        finished = f"{length} × {width} × {finished_thickness}"
    words = "; ".join(filter(None, (saw_words(part), entry.notes)))
    return (
        "",
        Cell(str(entry.mark), "bold"),
        sentence(entry.name),
        str(entry.quantity),
        cut_length,
        cut_width,
        thickness,
        finished,
        grain_word(part),
        words,
    )


def _totals(whole: CuttingList) -> Table:
    rows = [
        (sentence(each.material), str(each.quantity), f"{each.area:.2f}", f"{each.run:.2f}", f"{each.mass:.1f}")
        for each in whole.totals
    ]
    area, mass = sum(each.area for each in whole.totals), sum(each.mass for each in whole.totals)
    last = ("All materials", str(sum(each.quantity for each in whole.totals)), f"{area:.2f}", "", f"{mass:.1f}")
    return Table(TOTALS, single_group([*rows, tuple(Cell(cell, "bold") for cell in last)]))
