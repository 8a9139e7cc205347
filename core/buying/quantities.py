"""How much of everything a job takes besides boards and lengths: fittings, fastenings, glue, coatings, abrasives."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..built import BuiltJob, BuiltPiece
from ..coverage import Coverage, coverages
from ..fittings import fitting_entry
from ..model import Model
from ..piece.finish import Coat
from .coatings import GroupFinish, coating, finishes, library

# of every size of screw, dowel, pin and plug, so that a lost one stops nothing; common practice, no source
SPARE = 0.10
KINDS = ("dowel", "biscuit", "screw", "bolt", "pin", "plug")  # of fastenings, in the order of lists
STRIPS = "glue and pins"  # joints of planted strips: glue stops short of the inner edge
ONE_COLOUR = ("sealer", "undercoat")  # coatings that have no colour of the client's
PAINT = "paint"


@dataclass(frozen=True, slots=True)
class Fastening:
    """All fastenings of one kind and size: what for, how many are driven and how many to have."""

    kind: str
    name: str
    uses: tuple[tuple[str, int], ...]
    needed: int
    with_spare: int


@dataclass(frozen=True, slots=True)
class BoughtFitting:
    """All fittings of one name: how many as sold (pairs where `pairs`), and those cut to length in mm each."""

    name: str
    entry: str
    count: int
    pairs: bool
    lengths: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class GlueNeeded:
    """Glue in kg: for planted strips, for other joints, for dowels, and in all with what is lost."""

    strips: float
    joints: float
    dowels: float
    kg: float
    area: float  # m² glued


@dataclass(frozen=True, slots=True)
class CoatingNeeded:
    """Litres of one coating in one colour, and the groups that take it."""

    coating: str
    name: str
    colour: str
    litres: float
    groups: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class AbrasiveNeeded:
    """Sheets of one grit."""

    grit: int
    area: float  # m² rubbed down
    sheets: int


@dataclass(frozen=True)
class Quantities:
    """What a job takes besides boards and lengths."""

    fittings: tuple[BoughtFitting, ...]
    fastenings: tuple[Fastening, ...]
    glue: GlueNeeded
    coatings: tuple[CoatingNeeded, ...]
    abrasives: tuple[AbrasiveNeeded, ...]
    tape: float  # m of masking tape, round what stays bare
    finishes: tuple[tuple[GroupFinish, ...], ...]  # of each piece of the job, of one of it
    coverages: tuple[Coverage, ...]


def quantities(job: BuiltJob) -> Quantities:
    """What a job takes; worked out once for each job."""
    if "quantities" not in job.kept:
        job.kept["quantities"] = _quantities(job)
    return job.kept["quantities"]


def with_spare(needed: int) -> int:
    """How many to buy: a tenth more, rounded up.

    >>> with_spare(44), with_spare(10)
    (49, 11)
    """
    return needed + math.ceil(needed * SPARE - 1e-9)


# ------------------------------------------------------------------------------------------------------------- helpers
def _quantities(job: BuiltJob) -> Quantities:
    covers = coverages(job)
    made = tuple(finishes(built.piece.finish, cover) for built, cover in zip(job.pieces, covers, strict=True))
    return Quantities(
        fittings=tuple(_fittings(job)),
        fastenings=tuple(_fastenings(job)),
        glue=_glue(job),
        coatings=tuple(_coatings(job.pieces, made)),
        abrasives=tuple(_abrasives(job.pieces, made)),
        tape=sum(built.quantity * _tape(cover) for built, cover in zip(job.pieces, covers, strict=True)),
        finishes=made,
        coverages=covers,
    )


def _fittings(job: BuiltJob) -> Iterator[BoughtFitting]:
    """What is bought with another fitting is not counted again."""
    counts: Counter[tuple[str, str]] = Counter()
    for built in job.pieces:
        for fitting in built.model.fittings:
            if not fitting.bought_with:
                counts[fitting.name, fitting.entry] += built.quantity
    for (name, id), count in counts.items():
        entry = fitting_entry(id)
        if entry.cut_to_length:
            stem, _, length = name.rpartition(", length ")
            yield BoughtFitting(name, id, count, False, (float(length),) * count if stem else ())
        else:
            yield BoughtFitting(name, id, math.ceil(count / 2) if entry.sold_in_pairs else count, entry.sold_in_pairs)


def _fastenings(job: BuiltJob) -> Iterator[Fastening]:
    uses: dict[tuple[str, str], Counter[str]] = {}
    for built in job.pieces:
        for fastener in built.model.fasteners:
            uses.setdefault((fastener.kind, fastener.name), Counter())[fastener.purpose] += built.quantity
    for kind, name in sorted(uses, key=_by_kind):
        needed = sum(uses[kind, name].values())
        yield Fastening(kind, name, tuple(uses[kind, name].items()), needed, with_spare(needed))


def _by_kind(use: tuple[str, str]) -> tuple:
    kind, name = use
    return KINDS.index(kind), [float(word) if word.replace(".", "").isdigit() else 0.0 for word in name.split()], name


def _glue(job: BuiltJob) -> GlueNeeded:
    """g/m² over the glued area of every joint, a little in every dowel hole, and what is lost."""
    spread = library()["glue"]
    strips = sum(built.quantity * _glued(built.model, strips=True) for built in job.pieces)
    joints = sum(built.quantity * _glued(built.model, strips=False) for built in job.pieces)
    dowels = sum(built.quantity * sum(each.kind == "dowel" for each in built.model.fasteners) for built in job.pieces)
    parts = strips * spread["strips"] / 1000, joints * spread["joints"] / 1000, dowels * spread["dowel"] / 1000
    return GlueNeeded(*parts, kg=sum(parts) * (1 + spread["spare"]), area=strips + joints)


def _glued(model: Model, strips: bool) -> float:
    return sum(joint.glue_area for joint in model.joints if (joint.kind == STRIPS) == strips) / 1e6


def _tape(cover: Coverage) -> float:
    """m along the edges of all bare bands of one piece that are painted round before glue-up."""
    return sum(2 * (c - a + d - b) for (a, b), (c, d) in ((each.low, each.high) for each in cover.bare_bands())) / 1000


def _coatings(pieces: Sequence[BuiltPiece], made: Sequence[Sequence[GroupFinish]]) -> Iterator[CoatingNeeded]:
    amounts: dict[tuple[str, str, str], float] = {}
    groups: dict[tuple[str, str, str], dict[str, None]] = {}
    for built, finished in zip(pieces, made, strict=True):
        for group in finished:
            for step in group.steps:
                if step.coating:
                    key = step.coating, *_named(step.coating, group.coat)
                    amounts[key] = amounts.get(key, 0.0) + step.litres * built.quantity
                    groups.setdefault(key, {})[group.name] = None
    order = list(library_order())
    for key in sorted(amounts, key=lambda key: (order.index(key[0]), key)):
        yield CoatingNeeded(*key, amounts[key], tuple(groups[key]))


def library_order() -> Iterator[str]:
    """The ids of the coatings in the order of the library."""
    return (each["id"] for each in library()["coatings"])


def _named(id: str, coat: Coat) -> tuple[str, str]:
    """What a coating is called in a list, and its colour: of paint the client's name of it in full, and its sheen."""
    name = coating(id).name
    if id in ONE_COLOUR:
        return name, ""
    if id == PAINT:
        return f"{' '.join(filter(None, (f'{name},', coat.name, coat.colour)))}, sheen {coat.sheen:g} %", coat.colour
    return f"{name}, {coat.name}, sheen {coat.sheen:g} %" if coat.name else f"{name}, sheen {coat.sheen:g} %", ""


def _abrasives(pieces: Sequence[BuiltPiece], made: Sequence[Sequence[GroupFinish]]) -> Iterator[AbrasiveNeeded]:
    rubbed: Counter[int] = Counter()
    for built, finished in zip(pieces, made, strict=True):
        for group in finished:
            for step in group.steps:
                if step.grit:
                    rubbed[step.grit] += step.area * built.quantity  # type: ignore[assignment]
    for grit, area in sorted(rubbed.items()):
        if area:
            yield AbrasiveNeeded(grit, area, math.ceil(area / library()["abrasives"]["area"] - 1e-9))
