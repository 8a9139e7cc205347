"""Fittings and fastenings: all that is bought to hold, hang, slide or open, counted, with the library's cautions."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence

from ..built import BuiltJob
from ..checks.cautions import cautions_for
from ..drawing.dimensions import figures
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, flow, single_group
from ..fittings import FittingEntry, fitting_entry
from ..model import Hole
from ._sheets import blank, listed, sentence

SPARE = (
    0.10  # of every size of screw, dowel, pin and plug, so that a lost one stops nothing; common practice, no source
)


class FittingsPages:
    """Cautions; fittings with counts and notes; then screws, dowels, pins, plugs and bolts by size and use."""

    word = "fittings"
    title = "Fittings and fastenings"
    order = 50

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as it takes; none for a job without fittings and fastenings."""
        blocks = [*_caution_blocks(job), *_fitting_blocks(job), *_fastening_blocks(job)]
        return flow(blocks, blank(job, self.title, paper="A4")) if blocks else ()


FITTINGS = (Column("Quantity", 18, "right"), Column("Fitting"), Column("Notes and cautions", 100))
FASTENINGS = (
    Column("Kind and size", 34),
    Column("Used for"),
    Column("Pilot", 30),
    Column("Needed", 16, "right"),
    Column("With spare", 16, "right"),
)

ENTRY = FittingsPages()


# ----------------------------------------------------------------------------------------------------------- fittings
def _caution_blocks(job: BuiltJob) -> Iterator[Block]:
    mind = dict.fromkeys(
        each.text for built in job.pieces for each in cautions_for(built.piece, built.model, "fitting")
    )
    yield from (Paragraph(words, after=2.0) for words in mind)


def _fitting_blocks(job: BuiltJob) -> Iterator[Block]:
    found: Counter[tuple[str, str]] = Counter()
    for built in job.pieces:
        for fitting in built.model.fittings:
            if not fitting.bought_with:
                found[fitting.name, fitting.entry] += built.quantity
    if found:
        yield Heading("Fittings")
        yield Table(
            FITTINGS,
            single_group(_fitting_row(name, fitting_entry(entry), count) for (name, entry), count in found.items()),
        )
        yield Gap(6)


def _fitting_row(name: str, entry: FittingEntry, count: int) -> tuple[str | Cell, ...]:
    number = f"{math.ceil(count / 2)} pair{'s' if count > 2 else ''}" if entry.sold_in_pairs else str(count)
    load = ""
    if entry.load:
        each = "a pair" if entry.sold_in_pairs else "each"
        load = f"Carries {figures(entry.load)} kg {each}{'' if entry.load_verified else ', unverified'}."
    return number, sentence(name), " ".join(filter(None, (load, *entry.notes, *entry.cautions)))


# --------------------------------------------------------------------------------------------------------- fastenings
def _fastening_blocks(job: BuiltJob) -> Iterator[Block]:
    uses: dict[tuple[str, str], Counter[str]] = {}
    for built in job.pieces:
        for fastener in built.model.fasteners:
            uses.setdefault((fastener.kind, fastener.name), Counter())[fastener.purpose] += built.quantity
    if uses:
        pilots = _pilots(job)
        yield Heading("Screws, dowels, pins, plugs and bolts")
        yield Paragraph(
            "One size of bit for each size of screw. Pilot first, then countersink; drive by hand or with the clutch "
            "low: a screw that has turned in weak board holds nothing. In a hardwood plug drive a steel screw first, "
            "then the brass one."
        )
        yield Table(
            FASTENINGS,
            single_group(_fastening_row(name, uses[kind, name], pilots) for kind, name in sorted(uses, key=_by_kind)),
        )


def _by_kind(use: tuple[str, str]) -> tuple:
    kind, name = use
    order = ("dowel", "biscuit", "screw", "bolt", "pin", "plug")
    return order.index(kind), [float(word) if word.replace(".", "").isdigit() else 0.0 for word in name.split()], name


def _fastening_row(name: str, uses: Counter[str], pilots: dict[str, list[str]]) -> tuple[str | Cell, ...]:
    needed = sum(uses.values())
    words = listed([f"{count} {_plural(purpose, count)}" for purpose, count in uses.items()])
    pilot = "; ".join(pilots.get(name, ()))
    return sentence(name), words, pilot, str(needed), Cell(str(with_spare(needed)), "bold")


def with_spare(needed: int) -> int:
    """How many to buy: a tenth more, rounded up.

    >>> with_spare(44), with_spare(10)
    (49, 11)
    """
    return needed + math.ceil(needed * SPARE - 1e-9)


def _plural(purpose: str, count: int) -> str:
    return purpose if count == 1 or purpose.endswith("s") else f"{purpose}s"


def _pilots(job: BuiltJob) -> dict[str, list[str]]:
    """The pilot drills of every size of screw, as the parts are drilled; with the wood where they differ."""
    found: dict[str, dict[float, dict[str, None]]] = {}
    for _, _, part in job.parts():
        for feature in part.shape.features:
            before, pilot, name = feature.purpose.partition("pilot for ")
            if pilot and not before and isinstance(feature, Hole):
                found.setdefault(name, {}).setdefault(feature.diameter, {})[part.board.material.name] = None
    return {
        name: [
            f"⌀{figures(diameter)}" + (f" in {', '.join(woods)}" if len(drills) > 1 else "")
            for diameter, woods in sorted(drills.items())
        ]
        for name, drills in found.items()
    }
