"""From a job to its plans: what is cut from which sheet or length of the workshop's stock, material by material.

Sheets: one plan for each material and thickness. Solid wood: one plan for each section, from lengths of that section,
or ripped from wider boards where there are none. Fittings that are cut to length: one plan for each. What no stock fits
is named, never left out in silence.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from ..built import BuiltJob
from ..fittings import fitting_entry
from ..materials import material
from ..model import Cut, Fitting
from ..stages import Stages, carried_out
from ..workshop.workshop import Workshop
from .list import CuttingEntry, cutting_list
from .on_stock import WORK, Blank, Group, MaterialPlan, Unplanned
from .plan import SheetPlan
from .turns import Enough, by_turns

KEPT = "plans"  # where a job keeps its plans
WORK_IN_ALL = 1_800_000  # for all materials of a job, so that it is planned while one waits
LEAST_WORK = 30_000  # for each material, however many came before
# mm for each mitre: sawn square first, mitred after; the rule "10 per cut", common practice, no source
MITRE_ALLOWANCE = 10.0
Key = tuple[str, float, float]


@dataclass(frozen=True, slots=True)
class JobPlans:
    """All plans of a job, and what could not be planned."""

    plans: tuple[MaterialPlan, ...]
    unplanned: tuple[Unplanned, ...]
    workshop: Workshop = field(compare=False)

    @property
    def sheets(self) -> tuple[MaterialPlan, ...]:
        """Plans on surfaces: sheets, and boards that are ripped to width."""
        return tuple(each for each in self.plans if each.kind != "lengths")

    @property
    def lengths(self) -> tuple[MaterialPlan, ...]:
        """Plans for lengths."""
        return tuple(each for each in self.plans if each.kind == "lengths")


def job_plans(job: BuiltJob) -> JobPlans:
    """The plans of a job, every blank of it on the workshop's stock; worked out once."""
    if KEPT not in job.kept:
        job.kept[KEPT] = carried_out(planning(job))
    return job.kept[KEPT]


def planning(job: BuiltJob, enough: Enough | None = None) -> Stages[JobPlans]:
    """The same material by material: before each its words; whoever waits can leave it between them.

    With `enough` there are words within a material too, some times a second, and once that is said, the best plans so far
    are taken, whole, and those of the materials still to come as they are first found.
    """
    made: list[MaterialPlan] = []
    missing: list[Unplanned] = []
    left = WORK_IN_ALL
    for group in (*_sheet_groups(job), *_solid_groups(job), *_fitting_groups(job)):
        yield f"planning the cuts in {group.name}"
        work = max(LEAST_WORK, min(WORK, left))
        group = replace(group, work=work)
        if enough is None:
            found, without = group.planned(job.workshop)
        else:
            found, without = yield from _watched(group, job.workshop, enough)
        left -= sum(each.plan.work for each in found)
        made += found
        missing += without
    return JobPlans(tuple(made), tuple(missing), job.workshop)


def _watched(group: Group, workshop: Workshop, enough: Enough) -> Stages[tuple[list[MaterialPlan], list[Unplanned]]]:
    """The plans of one material, with words between the turns: how good the best plan is so far."""
    so_far: list[str] = []
    turns = by_turns(lambda asked: replace(group, progress=so_far.append, cancelled=asked).planned(workshop), enough)
    try:
        while True:
            try:
                next(turns)
            except StopIteration as done:
                return done.value
            yield f"planning the cuts in {group.name}" + (f": {so_far[-1]}" if so_far else "")
    finally:
        turns.close()


# ---------------------------------------------------------------------------------------------------- groups


def _sheet_groups(job: BuiltJob) -> Iterator[Group]:
    by_board: dict[tuple[str, float], list[tuple[CuttingEntry, str]]] = {}
    for entry, id, thickness in _entries(job, "sheet"):
        by_board.setdefault((id, thickness), []).append((entry, entry.material))
    for (id, thickness), entries in by_board.items():
        stuff = material(id)
        blanks = tuple(_blank(entry) for entry, _ in entries)
        yield Group(
            name=entries[0][1],
            kind="sheets",
            material=id,
            thickness=thickness,
            density=stuff.density,
            grained=stuff.grained,
            blanks=blanks,
        )


def _solid_groups(job: BuiltJob) -> Iterator[Group]:
    mitres = _mitres(job)
    by_section: dict[Key, list[CuttingEntry]] = {}
    for entry, id, _ in _entries(job, "solid"):
        by_section.setdefault((id, entry.cut[2], entry.cut[1]), []).append(entry)
    for (id, thickness, width), entries in by_section.items():
        stuff = material(id)
        blanks = tuple(_mitred(_blank(entry), mitres.get(entry.mark, 0)) for entry in entries)
        yield Group(
            name=f"{stuff.name} {round(width, 1):g} × {round(thickness, 1):g}",
            kind="lengths",
            material=id,
            thickness=thickness,
            width=width,
            density=stuff.density,
            grained=True,
            blanks=blanks,
        )


def _fitting_groups(job: BuiltJob) -> Iterator[Group]:
    found: dict[str, dict[float, int]] = {}
    for built in job.pieces:
        for each in built.model.fittings:
            if not each.bought_with and fitting_entry(each.entry).cut_to_length:
                lengths = found.setdefault(each.entry, {})
                lengths[_run(each)] = lengths.get(_run(each), 0) + built.quantity
    for entry, lengths in found.items():
        name = fitting_entry(entry).name
        blanks = tuple(
            Blank("", name.split(",")[0], count, run, 1.0) for run, count in sorted(lengths.items(), reverse=True)
        )
        yield Group(name=name, kind="lengths", material=entry, thickness=0.0, blanks=blanks)


def _entries(job: BuiltJob, kind: str) -> Iterator[tuple[CuttingEntry, str, float]]:
    """The lines of the cutting list of one kind of material, with the id of that and the thickness of the board."""
    boards = {mark: part.board for mark, _, part in job.parts()}
    for entry in cutting_list(job).entries:
        if entry.material_kind == kind:
            board = boards[entry.mark]
            yield entry, board.material.id, board.thickness


def _blank(entry: CuttingEntry) -> Blank:
    grain = {"along the length": "length", "along the width": "width"}.get(entry.grain, "any")
    return Blank(str(entry.mark), entry.name, entry.quantity, round(entry.cut[0], 4), round(entry.cut[1], 4), grain)


def _mitred(blank: Blank, mitres: int) -> Blank:
    """With the allowance for its mitres: a mitred piece needs its long point."""
    if not mitres:
        return blank
    return replace(
        blank,
        length=blank.length + mitres * MITRE_ALLOWANCE,
        mitres=mitres,
        finished=blank.length,
        about=f"long point {blank.length:g}, {mitres} mitre{'s' if mitres > 1 else ''}",
    )


def _mitres(job: BuiltJob) -> dict[int, int]:
    """How many ends of the parts of each mark are mitred."""
    found: dict[int, int] = {}
    for mark, _, part in job.parts():
        ends = {
            each.where
            for each in part.shape.features
            if isinstance(each, Cut) and each.kind == "mitre" and each.where.endswith("end")
        }
        found[mark] = max(found.get(mark, 0), len(ends))
    return found


def _run(fitting: Fitting) -> float:
    """How long a fitting that is cut to length is: its longest side."""
    lows, highs = (tuple(getattr(body, end) for body in fitting.bodies) for end in ("low", "high"))
    spans = [
        max(max(low[axis], high[axis]) for low, high in zip(lows, highs, strict=True))
        - min(min(low[axis], high[axis]) for low, high in zip(lows, highs, strict=True))
        for axis in range(3)
    ]
    return round(max(spans), 4)


def sheet_words(made: MaterialPlan, sheet: SheetPlan) -> str:
    """What a sheet or length is taken from: "2440 × 1220", "offcut from the rack, 600 × 400 (shelf 2)"."""
    stock = made.plan.stock_of(sheet)
    size = f"{stock.length:g}" if made.kind == "lengths" else f"{stock.length:g} × {stock.width:g}"
    if stock.offcut:
        return f"offcut from the rack, {size}" + (f" ({stock.name})" if stock.name != "rack" else "")
    return size if stock.name in ("", size) else f"{size} ({stock.name})" if made.kind != "lengths" else stock.name
