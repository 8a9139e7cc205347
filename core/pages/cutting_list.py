"""The cutting list on paper: by material, in saw order, what is cut at one setting bracketed together."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from ..built import BuiltJob
from ..checks.cautions import cautions_for
from ..cutting.list import CuttingEntry, CuttingList, cutting_list, ends_in_words, lengths_written
from ..drawing.sheet import Bracket, Cell, Column, Gap, Group, Heading, Paragraph, Sheet, Table, fewest, single_group
from ..locales import Locale
from ..model import Part
from ..wording import counted, handless
from ._making import grain_word, parts_by_mark, saw_words
from ._sheets import blank, lists_of, sentence

CALLIPER = "Check the thickness of every sheet with a calliper before the first cut: the sizes below depend on it."


class CuttingListPages:
    """Blanks by material with cut and finished sizes, one-setting brackets and totals."""

    word = "cutting_list"
    title = "Cutting list"
    order = 30
    place = "saw"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the job's blanks need, the totals last."""
        whole, parts, locale = cutting_list(job), parts_by_mark(job), lists_of(job)
        groups = [
            _group(material, whole, parts, locale)
            for material in dict.fromkeys(entry.material for entry in whole.entries)
        ]
        table = Table(COLUMNS, tuple(groups), bracket_width=28)
        sheet = blank(job, self.title, paper="A4 landscape", views="In saw order, material by material.", locale=locale)
        mind = dict.fromkeys(
            each.text for built in job.pieces for each in cautions_for(built.piece, built.model, "sawing")
        )
        return fewest(
            [
                Paragraph(" ".join((CALLIPER, *mind))),
                table,
                Gap(5),
                Heading("Totals"),
                _totals(whole, locale),
            ],
            sheet,
        )


COLUMNS = (
    Column("Cut", 10),
    Column("Mark", 12, "right"),
    Column("Name", 40),
    Column("Quantity", 18, "right"),
    Column("Cut length", 16, "right"),
    Column("Cut width", 15, "right"),
    Column("Thick", 13, "right"),
    Column("Finished, if other", 22, "right"),
    Column("Grain", 14),
    Column("Edges and ends"),
)
ENTRY = CuttingListPages()


def _group(material: str, whole: CuttingList, parts: dict[int, list[Part]], locale: Locale) -> Group:
    entries = list(in_setting_order(whole.of_material(material)))
    total = next(each for each in whole.totals if each.material == material)
    extent = locale.area(total.area) if entries[0].material_kind == "sheet" else f"{locale.run(total.run)} run"
    title = (
        f"{sentence(locale.text(material))}: {counted(total.quantity, 'piece')}, {extent}, {locale.mass(total.mass)}"
    )
    return Group(
        tuple(_row(entry, parts[entry.mark][0], locale) for entry in entries), title, tuple(_brackets(entries, locale))
    )


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


def _brackets(entries: Iterable[CuttingEntry], locale: Locale) -> Iterator[Bracket]:
    first = 0
    for setting, run in groupby(entries, key=lambda entry: entry.setting):
        count = len(list(run))
        if setting and count > 1:
            yield Bracket(first, count, f"one setting: {lengths_written(handless(setting), locale)}")
        first += count


def _row(entry: CuttingEntry, part: Part, locale: Locale) -> tuple[str | Cell, ...]:
    cut, finished = (_written(size, locale) for size in (entry.cut, entry.finished))
    other = "" if finished == cut else " × ".join(finished[: 3 if finished[2] != cut[2] else 2])
    words = "; ".join(filter(None, (locale.text(saw_words(part)), lengths_written(entry.notes, locale))))
    head = ("", Cell(str(entry.mark), "bold"), sentence(entry.named), str(entry.quantity))
    said = (words, _sealed_words(entry), _shown_words(entry))
    return (*head, *cut, other, grain_word(part), ". ".join(filter(None, said)))


def _sealed_words(entry: CuttingEntry) -> str:
    """What is sealed before it is painted: "seal face edge; unseen back edge, both ends"."""
    seen, unseen = (tuple(each for each in entry.sealed if (each in entry.shown) == shows) for shows in (True, False))
    said = (ends_in_words(seen), f"unseen {ends_in_words(unseen)}" if unseen else "")
    return "Seal " + "; ".join(filter(None, said)) if entry.sealed else ""


def _shown_words(entry: CuttingEntry) -> str:
    """What shows without being sealed: "shows face edge"."""
    shown = tuple(each for each in entry.shown if each not in entry.sealed)
    return f"Shows: {ends_in_words(shown)}" if shown else ""


def _written(size: Sequence[float], locale: Locale) -> tuple[str, str, str]:
    return locale.length(size[0]), locale.length(size[1]), locale.thickness(size[2])


def _totals(whole: CuttingList, locale: Locale) -> Table:
    columns = (
        Column("Material", 50),
        Column("Pieces", 20, "right"),
        Column(f"Area, {locale.area_unit}", 22, "right"),
        Column(f"Run, {locale.run_unit}", 22, "right"),
        Column(f"Mass, {locale.mass_unit}", 22, "right"),
    )
    area, mass = sum(each.area for each in whole.totals), sum(each.mass for each in whole.totals)
    rows = [
        (sentence(locale.text(each.material)), str(each.quantity), locale.area_figure(each.area),
         locale.run_figure(each.run), locale.mass_figure(each.mass))
        for each in whole.totals
    ]  # fmt: skip
    pieces = str(sum(each.quantity for each in whole.totals))
    last = ("All materials", pieces, locale.area_figure(area), "", locale.mass_figure(mass))
    return Table(columns, single_group([*rows, tuple(Cell(cell, "bold") for cell in last)]))
