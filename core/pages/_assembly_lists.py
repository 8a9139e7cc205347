"""What stands beside an exploded drawing: the parts list, the fastenings, the fittings and the notes of an assembly."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from ..cutting.list import CuttingEntry
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Table, single_group
from ..model import Assembly, Fastener
from ..placing import told_by_place
from ..wording import counted, listed, sideless
from ._assemblies import Assemblies, Twin, mirrored_key
from ._explosion import Subject
from ._fitting_settings import as_sold
from ._layout import SideBySide
from ._sheets import sentence, triple

Entries = Mapping[int, CuttingEntry]  # by mark


def overview_blocks(assemblies: Assemblies, subject: Subject, entries: Entries) -> list[Block]:
    """The assemblies of the whole, all its marks with their names, and what holds it together."""
    return [
        Heading("What goes together"),
        _assembly_table(assemblies, subject),
        Gap(4),
        _names_of_marks(assemblies, entries),
        Gap(4),
        *_notes(assemblies, subject, []),
    ]


def assembly_blocks(
    assemblies: Assemblies, subject: Subject, twins: Sequence[Twin], entries: Entries, material: bool
) -> list[Block]:
    """The parts list of a sheet, with the material where there is room for it, and its notes."""
    table = _parts_table(assemblies, subject, twins, entries, material)
    return [table, Gap(4), *_notes(assemblies, subject, twins)]


def fastener_words(fasteners: Iterable[Fastener]) -> Iterator[str]:
    """Counted and sized: "8 dowels 8 × 40", "14 joint screws 4 × 50, countersunk 7.5"."""
    found: Counter[tuple[str, str]] = Counter()
    for each in fasteners:
        found[each.purpose or each.kind, each.name.removeprefix(each.kind).strip()] += 1
    for (purpose, size), count in found.items():
        what, joined, how = purpose.partition(", ")
        yield f"{counted(count, what)} {size}{joined}{how}"


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


# ------------------------------------------------------------------------------------------------------------ tables
def _parts_table(
    assemblies: Assemblies, subject: Subject, twins: Sequence[Twin], entries: Entries, material: bool
) -> Table:
    """Marks, names, quantities and sizes; a second column of marks where the sheet shows a mirror image as well."""
    mirror = any(twin.mirrored for twin in twins) and assemblies.changes_hands(subject)
    columns = {
        "mark": Column("Mark", 13, "right"),
        "mirror": Column("Mirror", 15, "right"),
        "name": Column("Name"),
        "quantity": Column("Quantity", 18, "right"),
        "size": Column("Size", 33, "right"),
        "material": Column("Material", 28),
    }
    wanted = [word for word in columns if (word != "mirror" or mirror) and (word != "material" or material)]
    rows = [*_loose_rows(assemblies, subject, entries), *_whole_rows(assemblies, subject)]
    return Table(
        tuple(columns[word] for word in wanted), single_group([row.get(word, "") for word in wanted] for row in rows)
    )


def _loose_rows(assemblies: Assemblies, subject: Subject, entries: Entries) -> Iterator[dict[str, str | Cell]]:
    keys: dict[int, list[str]] = {}
    for part in subject.loose_parts:
        keys.setdefault(assemblies.marks[part.key], []).append(part.key)
    places = told_by_place({number: (entries[number].name, some) for number, some in keys.items()})
    for number, some in sorted(keys.items()):
        entry = entries[number]
        yield {
            "mark": Cell(str(number), "bold"),
            "mirror": str(assemblies.marks.get(mirrored_key(some[0]), number)),
            "name": sentence(f"{entry.name} ({places[number]})" if places[number] else entry.name),
            "quantity": str(len(some)),
            "size": triple(entry.finished),
            "material": sentence(entry.material),
        }


def _whole_rows(assemblies: Assemblies, subject: Subject) -> Iterator[dict[str, str | Cell]]:
    for whole in sorted(subject.wholes):
        number = assemblies.marks[assemblies.main_part(subject, whole).key]
        words = f"{sentence(assemblies.names[whole])}, made up (own sheet)"
        yield {"mark": Cell(str(number), "bold"), "name": words, "quantity": "1"}


def _names_of_marks(assemblies: Assemblies, entries: Entries) -> Block:
    """All marks of the piece with their names, in two columns."""
    rows = [
        (Cell(str(number), "bold"), sentence(entries[number].name), str(count))
        for number, count in sorted(Counter(assemblies.marks.values()).items())
    ]
    return SideBySide.of((Column("Mark", 13, "right"), Column("Name"), Column("Quantity", 18, "right")), rows)


def _assembly_table(assemblies: Assemblies, subject: Subject) -> Table:
    """The assemblies that stay together on a sheet and the numbers of their parts."""
    rows = []
    for assembly in assemblies.model.assemblies:
        if assembly.key in subject.wholes:
            numbers = runs(sorted(set(assemblies.numbers(assembly))))
            rows.append((sentence(assemblies.names[assembly.key]), assembly.how, numbers))
    return Table((Column("Assembly", 40), Column("How", 20), Column("Part numbers")), single_group(rows))


# ------------------------------------------------------------------------------------------------------------- notes
def _notes(assemblies: Assemblies, subject: Subject, twins: Sequence[Twin]) -> Iterator[Block]:
    """What else the sheet stands for, what holds it together, what is bought for it, and what to mind."""
    if twins:
        words = _twin_words(assemblies, assemblies.by_key[subject.below], twins, assemblies.changes_hands(subject))
        yield Paragraph(" ".join(words), style="bold")
    if subject.fasteners:
        yield Paragraph(f"Fastenings: {listed(list(fastener_words(subject.fasteners)))}.")
    bought = Counter((each.name, each.entry) for each in subject.loose_fittings if not each.bought_with)
    if bought:
        words = (f"{name}: {as_sold(entry, count)}" for (name, entry), count in bought.items())
        yield Paragraph(f"Fittings: {'; '.join(words)}.")
    noted: dict[tuple, list[Assembly]] = {}
    for each in assemblies.opened(subject):
        if each.notes:
            noted.setdefault((sideless(each.name), each.how, each.notes), []).append(each)
    for (name, how, notes), some in noted.items():
        words = sentence(assemblies.names[some[0].key]) if len(some) == 1 else counted(len(some), name)
        yield Paragraph(f"{words} ({how}): {'; '.join(notes)}.")


def _twin_words(
    assemblies: Assemblies, assembly: Assembly, twins: Sequence[Twin], changes_hands: bool
) -> Iterator[str]:
    name = assemblies.names[assembly.key]
    equal = [assemblies.names[twin.assembly.key] for twin in twins if not twin.mirrored]
    mirrored = [assemblies.names[twin.assembly.key] for twin in twins if twin.mirrored]
    if equal:
        yield f"Shown: {name}. Equal to it: {listed(equal)}."
    if mirrored:
        numbers = "its numbers stand under Mirror" if changes_hands else "its parts have the same numbers"
        yield f"Shown: {name}. Its mirror image: {listed(mirrored)}; {numbers}."
