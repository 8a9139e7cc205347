"""Fittings, fastenings and glue: what holds, hangs, slides or opens; bits, drivers and spare; glue and small things."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..built import BuiltJob
from ..buying.coatings import library
from ..buying.driving import STRAIGHT, free_ways
from ..buying.quantities import BoughtFitting, Fastening, quantities, with_spare
from ..checks.cautions import cautions_for
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, fewest, single_group
from ..fastenings import screw
from ..fittings import fitting_entry
from ..locales import Locale
from ..model import Hole
from ..wording import counted, listed
from ._buying import sold_words
from ._consumables import AS_NEEDED, consumables
from ._sheets import blank, lists_of, sentence

__all__ = ["ENTRY", "FittingsPages", "with_spare"]

LEAST_BIT, SMALL_BIT = 3.25, 5.25  # mm of screw up to which a driver no. 1, no. 2 turns it; ISO 4757, from memory
OPEN_TIME = (
    "5 to 10 minutes at 20\u00a0°C from the first glue to the last cramp, 45 minutes in cramps, a day before load"
)
BARE = "Glue does not hold on paint, dust or wax."


class FittingsPages:
    """Cautions; fittings with counts and notes; screws, dowels, pins, plugs and bolts by size and use; glue."""

    word = "fittings"
    title = "Fittings and fastenings"
    order = 14
    place = "desk"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as it takes; none for a job without fittings and fastenings."""
        locale = lists_of(job)
        blocks = [*_fitting_blocks(job, locale), *_fastening_blocks(job, locale), *_glue_blocks(job, locale)]
        if not blocks:
            return ()
        return fewest(
            [*_caution_blocks(job), *blocks],
            blank(job, self.title, paper="A4", views=sold_words(locale), locale=locale),
        )


FITTINGS = (Column("Quantity", 18, "right"), Column("Fitting"), Column("Notes and cautions", 100))
FASTENINGS = (
    Column("Kind and size", 29),
    Column("Used for"),
    Column("Bits", 42),
    Column("Driver", 34),
    Column("Needed", 15, "right"),
    Column("With spare", 14, "right"),
)

BOUGHT_WITH_CARE = ("tipping", "glass")  # what to mind as early as here; the fitting page has the rest

ENTRY = FittingsPages()


# ----------------------------------------------------------------------------------------------------------- fittings
def _caution_blocks(job: BuiltJob) -> Iterator[Block]:
    mind = dict.fromkeys(
        each.text
        for built in job.pieces
        for each in cautions_for(built.piece, built.model, "fitting")
        if each.about in BOUGHT_WITH_CARE
    )
    yield from (Paragraph(words, after=2.0) for words in mind)


def _fitting_blocks(job: BuiltJob, locale: Locale) -> Iterator[Block]:
    found = quantities(job).fittings
    if found:
        yield Heading("Fittings")
        yield Table(FITTINGS, single_group(_fitting_row(each, locale) for each in found))
        yield Gap(6)


def _fitting_row(each: BoughtFitting, locale: Locale) -> tuple[str | Cell, ...]:
    entry = fitting_entry(each.entry)
    load = ""
    if entry.load:
        of_what = "a pair" if each.pairs else "each"
        unsure = "" if entry.load_verified else ", unverified"
        load = f"Carries {_load(entry.load, locale)} {of_what}{unsure}."
    number = counted(each.count, "pair") if each.pairs else str(each.count)
    notes = " ".join(filter(None, (load, *entry.notes, *entry.cautions)))
    return number, sentence(locale.text(each.name)), locale.text(notes)


def _load(kg: float, locale: Locale) -> str:
    return locale.mass(kg) if locale.denominator else f"{locale.number(kg)} kg"


# --------------------------------------------------------------------------------------------------------- fastenings
def _fastening_blocks(job: BuiltJob, locale: Locale) -> Iterator[Block]:
    found = quantities(job).fastenings
    if found:
        pilots, ways = _pilots(job, locale), _ways(job)
        yield Heading("Screws, dowels, pins, plugs and bolts")
        yield Paragraph(
            "One size of bit for each size of screw. Pilot first, then countersink; drive by hand or with the clutch "
            "low: a screw that has turned in weak board holds nothing. In a hardwood plug drive a steel screw first, "
            "then the brass one. Straight: 120 mm behind the head are free for a driver of 25; where they are not, a "
            "long bit or a right-angle driver, or drive it before the next part is on."
        )
        rows = [_fastening_row(each, pilots.get(each.name, ()), ways.get(each.name, []), locale) for each in found]
        yield Table(FASTENINGS, single_group(rows))
        yield Gap(6)


def _fastening_row(each: Fastening, pilots: Sequence[str], ways: list[float], locale: Locale) -> tuple[str | Cell, ...]:
    words = listed([f"{count} {_plural(purpose, count)}" for purpose, count in each.uses])
    bits = "; ".join((*pilots, *_other_bits(each, locale)))
    spare = Cell(str(each.with_spare), "bold")
    return sentence(locale.text(each.name)), words, bits, _driver(each, ways), str(each.needed), spare


def _plural(purpose: str, count: int) -> str:
    return purpose if count == 1 or purpose.endswith("s") else f"{purpose}s"


def _other_bits(each: Fastening, locale: Locale) -> Iterator[str]:
    """Clearance hole and countersink of screws; the drill of bolts, dowels and plugs."""
    if each.kind in ("screw", "bolt"):
        size = screw(each.name.removeprefix(each.kind).strip())
        yield f"clearance ⌀{locale.number(size.clearance)}"
        if size.countersink:
            yield f"countersink to ⌀{locale.number(size.head)}"
    elif each.kind in ("dowel", "plug"):
        yield f"⌀{locale.number(float(each.name.split()[1]))}"


def _driver(each: Fastening, ways: list[float]) -> str:
    """Which driver, and how many it does not reach straight."""
    if each.kind not in ("screw", "bolt"):
        return ""
    diameter = screw(each.name.removeprefix(each.kind).strip()).diameter
    number = 1 if diameter < LEAST_BIT else 2 if diameter < SMALL_BIT else 3
    kind = f"cross no. {number}" if each.kind == "screw" else "screwdriver"
    short = sum(way < STRAIGHT for way in ways)
    return f"{kind}, straight" if not short else f"{kind}; {short} of {len(ways)} not straight"


def _ways(job: BuiltJob) -> dict[str, list[float]]:
    """How far the way behind every screw of a name is free."""
    found: dict[str, list[float]] = {}
    for built in job.pieces:
        free = free_ways(built.model)
        for each in built.model.fasteners:
            if each.key in free:
                found.setdefault(each.name, []).extend([free[each.key]] * built.quantity)
    return found


def _pilots(job: BuiltJob, locale: Locale) -> dict[str, list[str]]:
    """The pilot drills of every size of screw, as the parts are drilled; with the wood where they differ."""
    found: dict[str, dict[float, dict[str, None]]] = {}
    for _, _, part in job.parts():
        for feature in part.shape.features:
            before, pilot, name = feature.purpose.partition("pilot for ")
            if pilot and not before and isinstance(feature, Hole):
                found.setdefault(name, {}).setdefault(feature.diameter, {})[part.board.material.name] = None
    return {
        name: [
            f"pilot ⌀{locale.number(diameter)}" + (f" in {', '.join(woods)}" if len(drills) > 1 else "")
            for diameter, woods in sorted(drills.items())
        ]
        for name, drills in found.items()
    }


# ------------------------------------------------------------------------------------------------ glue and consumables
def _glue_blocks(job: BuiltJob, locale: Locale) -> Iterator[Block]:
    rows = [*_glue_rows(job, locale), *_consumable_rows(job, locale)]
    if rows:
        yield Heading("Glue and consumables", room=60.0)
        yield Table((Column("What", 48), Column("For"), Column("How much", 32, "right")), single_group(rows))
        yield Gap(3)
        yield Paragraph(
            f"PVA glue: {OPEN_TIME} (common practice, no source; the bottle's own figures come first). {BARE}"
        )


def _glue_rows(job: BuiltJob, locale: Locale) -> Iterator[tuple[str | Cell, ...]]:
    glue, data = quantities(job).glue, library()["glue"]
    shares = (
        (glue.strips, f"planted strips, {data['strips']} g/m²; stop 5 short of their inner edge"),
        (glue.joints, f"all other joints, {data['joints']} g/m²"),
        (glue.dowels, f"dowels, about {data['dowel']} g each, in the hole and not on the dowel"),
    )
    for kg, words in shares:
        if kg:
            yield data["name"], words, f"{locale.number(1000 * kg, 0)} g"
    if glue.kg:
        words = f"in all, {data['spare'] * 100:.0f} % for what is lost; {locale.area(glue.area)} are glued"
        yield data["name"], words, Cell(f"{locale.number(1000 * glue.kg, 0)} g", "bold")


def _consumable_rows(job: BuiltJob, locale: Locale) -> Iterator[tuple[str | Cell, ...]]:
    found = quantities(job)
    for each in found.abrasives:
        words = f"rubbing down {locale.area(each.area)}"
        yield f"Abrasive paper, grit {each.grit}", words, Cell(counted(each.sheets, "sheet"), "bold")
    for what, use, much in consumables(job, locale):
        yield what, use, much if much == AS_NEEDED else Cell(much, "bold")
