"""From a job to its plans: what is cut from which sheet or length of the workshop's stock, material by material.

Sheets: one plan for each material and thickness. Solid wood: one plan for each section, from lengths of that section,
or ripped from wider boards where there are none. Fittings that are cut to length: one plan for each. What no stock fits
is named, never left out in silence.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace

from ..built import BuiltJob
from ..errors import ParameterError
from ..fittings import fitting_entry
from ..materials import material
from ..model import Cut, Fitting
from ..stages import Stages, carried_out
from ..workshop.saws import Saws
from ..workshop.stock import Offcut, SheetSize, StockLength
from ..workshop.workshop import Workshop
from .list import CuttingEntry, cutting_list
from .plan import CuttingPlan, SheetPlan
from .planning import plan
from .problem import CuttingProblem, Limits, Stock, Wanted, fits
from .turns import Enough, by_turns

KEPT = "plans"  # where a job keeps its plans
WORK = 600_000  # places looked at for one material, a quarter of a second or so
WORK_IN_ALL = 1_800_000  # for all materials of a job, so that it is planned while one waits
LEAST_WORK = 30_000  # for each material, however many came before
SAME_THICKNESS = 0.7  # mm between a board as measured and the sheet as it is sold; common practice, no source
PLANED_OFF = 8.0  # mm of thickness, at most, that a length is planed down; common practice, no source
# mm of width, at most, that a length is planed or ripped down rather than shared; common practice, no source
PLANED_EDGE = 12.0
# mm for each mitre: sawn square first, mitred after; the rule "10 per cut", common practice, no source
MITRE_ALLOWANCE = 10.0
JOINTING = 6.0  # mm of each board's width that jointing takes where a wide part is glued up; common practice, no source
GLUED_LONGER = 20.0  # mm that boards for gluing up are cut longer; common practice, no source
ASSUMED_SHEET = (2440.0, 1220.0)  # mm, where the workshop sells no sheet of a material; 8 × 4 ft, the common size
Key = tuple[str, float, float]


@dataclass(frozen=True, slots=True)
class Blank:
    """What the saw cuts for one mark: how many, and its size; `about` says what is to be minded."""

    mark: str
    name: str
    quantity: int
    length: float
    width: float
    grain: str = "any"  # "length", "width": which way it runs in the part
    about: str = ""
    mitres: int = 0
    finished: float = 0.0  # the length it has in the end, where that is not the length cut


@dataclass(frozen=True, slots=True, kw_only=True)
class MaterialPlan:
    """The plan for one material and thickness, section or fitting.

    `density` in kg/m³ of the thickness (mm); `priced`: costs are prices, otherwise m² or m; `assumed`: the workshop has
    no such stock. `blanks` stand beside the parts of the plan's problem.
    """

    name: str
    kind: str  # "sheets", "boards" (of solid wood, ripped to width), "lengths"
    material: str  # id of the material or the fitting
    thickness: float
    width: float  # of the section; 0 for sheets
    density: float
    grained: bool
    blanks: tuple[Blank, ...]
    plan: CuttingPlan
    priced: bool
    assumed: bool = False
    notes: tuple[str, ...] = ()

    def mass(self, length: float, width: float) -> float:
        """Of a piece of this size, kg."""
        return length * width * self.thickness * self.density / 1e9


@dataclass(frozen=True, slots=True)
class Unplanned:
    """A blank that no stock of the workshop holds, and why."""

    material: str
    blank: Blank
    why: str


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


def _watched(group: _Group, workshop: Workshop, enough: Enough) -> Stages[tuple[list[MaterialPlan], list[Unplanned]]]:
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
@dataclass(frozen=True, slots=True, kw_only=True)
class _Group:
    """Blanks of one material and thickness (and, of solid wood, section) before they are planned."""

    name: str
    kind: str
    material: str
    thickness: float
    width: float = 0.0
    density: float = 0.0
    grained: bool = False
    blanks: tuple[Blank, ...] = ()
    work: int = WORK
    progress: Callable[[str], None] | None = None
    cancelled: Callable[[], bool] | None = None

    def planned(self, workshop: Workshop) -> tuple[list[MaterialPlan], list[Unplanned]]:
        """The plan, or none where nothing fits; and the blanks that fit nothing."""
        if self.kind == "sheets":
            return self._on_sheets(workshop)
        return self._on_lengths(workshop)

    def _on_sheets(self, workshop: Workshop) -> tuple[list[MaterialPlan], list[Unplanned]]:
        saws = workshop.saws
        sizes = [
            each
            for each in workshop.stock.sheets
            if each.material == self.material and _same(each.thickness, self.thickness)
        ]
        offcuts = [
            each
            for each in workshop.stock.offcuts
            if each.material == self.material and _same(each.thickness, self.thickness)
        ]
        priced = bool(sizes) and all(each.price > 0 for each in sizes)
        stock = [_sheet_stock(each, priced) for each in sizes] or [
            Stock(length=ASSUMED_SHEET[0], width=ASSUMED_SHEET[1], price=_area(*ASSUMED_SHEET))
        ]
        problem = CuttingProblem(
            stock=(*stock, *map(_offcut_stock, offcuts)),
            parts=tuple(map(self._wanted, self.blanks)),
            kerf=saws.kerf,
            trim=saws.edge_trim,
            rotation=True,
            stages=saws.stages or None,
            largest_piece=self._liftable(saws),
            saws=_limits(saws),
        )
        return self._made(problem, "sheets", priced, assumed=not sizes)

    def _on_lengths(self, workshop: Workshop) -> tuple[list[MaterialPlan], list[Unplanned]]:
        saws = workshop.saws
        if not self.width:
            lengths = [each for each in workshop.stock.lengths if each.fitting == self.material]
            offcuts = [each for each in workshop.stock.offcuts if each.fitting == self.material]
        else:
            lengths = self._nearest([each for each in workshop.stock.lengths if self._holds(each)])
            offcuts = [each for each in workshop.stock.offcuts if self._holds(each)]
        if not lengths and not offcuts and self.width:
            return self._on_boards(workshop)
        if not lengths and not offcuts:
            return [], [Unplanned(self.name, each, "no length of it in the workshop's stock") for each in self.blanks]
        priced = bool(lengths) and all(each.price > 0 for each in lengths)
        stock = [
            Stock(
                length=each.length,
                width=1.0,
                price=each.price if priced else each.length / 1000,
                name=_length_name(each),
            )
            for each in lengths
        ]
        rack = [
            Stock(
                length=each.length,
                width=1.0,
                price=0.0,
                count=each.count,
                offcut=True,
                name=each.name or "rack",
                trim=0.0,
                defects=tuple((run.start, run.end) for run in each.avoid),
            )
            for each in offcuts
        ]
        problem = CuttingProblem(
            stock=(*stock, *rack),
            parts=tuple(
                Wanted(length=each.length, width=1.0, quantity=each.quantity, mark=each.mark) for each in self.blanks
            ),
            kerf=saws.kerf,
            trim=saws.end_trim,
            rotation=False,
            lengths_only=True,
        )
        notes = (
            [
                f"The section sold is {lengths[0].width:g} × {lengths[0].thickness:g}: plane it to {round(self.width, 1):g} × "
                f"{round(self.thickness, 1):g}."
            ]
            if (self.width and lengths and (lengths[0].width, lengths[0].thickness) != (self.width, self.thickness))
            else []
        )
        return self._made(problem, "lengths", priced, notes=tuple(notes))

    def _on_boards(self, workshop: Workshop) -> tuple[list[MaterialPlan], list[Unplanned]]:
        """Strips ripped from boards that are wider than the section; what is wider than any board is glued up from
        several."""
        saws = workshop.saws
        boards = self._nearest_thickness([each for each in workshop.stock.lengths if each.material == self.material])
        offcuts = [
            each
            for each in workshop.stock.offcuts
            if each.material == self.material and self._thick_enough(each.thickness)
        ]
        if not boards and not offcuts:
            return [], [
                Unplanned(self.name, each, "none of that thickness in the workshop's stock") for each in self.blanks
            ]
        widest = max(each.width for each in (*boards, *offcuts))
        blanks = tuple(_glued_up(each, widest) for each in self.blanks)
        priced = bool(boards) and all(each.price > 0 for each in boards)
        stock = [
            Stock(
                length=each.length,
                width=each.width,
                price=each.price if priced else _area(each.length, each.width),
                name=_length_name(each),
                edge_trim=0.0,
            )
            for each in boards
        ]
        rack = [
            Stock(
                length=each.length,
                width=each.width,
                price=0.0,
                count=each.count,
                offcut=True,
                name=each.name or "rack",
                trim=0.0,
            )
            for each in offcuts
        ]
        problem = CuttingProblem(
            stock=(*stock, *rack),
            parts=tuple(map(replace(self, blanks=blanks, grained=True)._wanted, blanks)),
            kerf=saws.kerf,
            trim=saws.end_trim,
            rotation=False,
            largest_piece=self._liftable(saws),
            saws=_limits(saws),
        )
        thick = {each.thickness for each in boards} - {self.thickness}
        notes = (f"The boards sold are {max(thick):g} thick: plane them to {self.thickness:g}.",) if thick else ()
        return replace(self, blanks=blanks)._made(problem, "boards", priced, notes=notes)

    def _made(
        self, problem: CuttingProblem, kind: str, priced: bool, assumed: bool = False, notes: tuple[str, ...] = ()
    ) -> tuple[list[MaterialPlan], list[Unplanned]]:
        """The plan of all blanks that fit some stock."""
        fitting = [at for at in range(len(self.blanks)) if any(fits(problem, at, stock) for stock in problem.stock)]
        missing = [
            Unplanned(self.name, self.blanks[at], _too_large(problem, at))
            for at in range(len(self.blanks))
            if at not in fitting
        ]
        if not fitting:
            return [], missing
        problem = replace(problem, parts=tuple(problem.parts[at] for at in fitting))
        blanks = tuple(self.blanks[at] for at in fitting)
        try:
            found = plan(problem, work=self.work, progress=self.progress, cancelled=self.cancelled)
        except ParameterError as error:  # the rack alone does not hold them all, and nothing can be bought
            return [], [*missing, *(Unplanned(self.name, each, error.message) for each in blanks)]
        made = MaterialPlan(
            name=self.name,
            kind=kind,
            material=self.material,
            thickness=self.thickness,
            width=self.width,
            density=self.density,
            grained=self.grained,
            blanks=blanks,
            plan=found,
            priced=priced,
            assumed=assumed,
            notes=notes,
        )
        return [made], missing

    def _wanted(self, blank: Blank) -> Wanted:
        """The blank with its grain along x, the way it runs in the sheet."""
        across = self.grained and blank.grain == "width"
        length, width = (blank.width, blank.length) if across else (blank.length, blank.width)
        return Wanted(
            length=length,
            width=width,
            quantity=blank.quantity,
            locked=self.grained and blank.grain != "any",
            mark=blank.mark,
        )

    def _liftable(self, saws: Saws) -> float:
        """The area in m² that one person handles."""
        return saws.one_person / (self.thickness * self.density / 1000)

    def _thick_enough(self, thickness: float) -> bool:
        return -SAME_THICKNESS <= thickness - self.thickness <= PLANED_OFF

    def _holds(self, each: StockLength | Offcut) -> bool:
        """Whether the section can be planed from a length's."""
        wide = -SAME_THICKNESS <= each.width - self.width <= PLANED_EDGE
        return each.material == self.material and wide and self._thick_enough(each.thickness)

    def _nearest(self, lengths: Sequence[StockLength]) -> list[StockLength]:
        """Those whose section is the smallest."""
        least = min((each.width * each.thickness for each in lengths), default=0.0)
        return [each for each in lengths if each.width * each.thickness <= least + 1e-9]

    def _nearest_thickness(self, boards: Sequence[StockLength]) -> list[StockLength]:
        thick = [each for each in boards if self._thick_enough(each.thickness)]
        least = min((each.thickness for each in thick), default=0.0)
        return [each for each in thick if each.thickness <= least]


def _sheet_groups(job: BuiltJob) -> Iterator[_Group]:
    by_board: dict[tuple[str, float], list[tuple[CuttingEntry, str]]] = {}
    for entry, id, thickness in _entries(job, "sheet"):
        by_board.setdefault((id, thickness), []).append((entry, entry.material))
    for (id, thickness), entries in by_board.items():
        stuff = material(id)
        blanks = tuple(_blank(entry) for entry, _ in entries)
        yield _Group(
            name=entries[0][1],
            kind="sheets",
            material=id,
            thickness=thickness,
            density=stuff.density,
            grained=stuff.grained,
            blanks=blanks,
        )


def _solid_groups(job: BuiltJob) -> Iterator[_Group]:
    mitres = _mitres(job)
    by_section: dict[Key, list[CuttingEntry]] = {}
    for entry, id, _ in _entries(job, "solid"):
        by_section.setdefault((id, entry.cut[2], entry.cut[1]), []).append(entry)
    for (id, thickness, width), entries in by_section.items():
        stuff = material(id)
        blanks = tuple(_mitred(_blank(entry), mitres.get(entry.mark, 0)) for entry in entries)
        yield _Group(
            name=f"{stuff.name} {round(width, 1):g} × {round(thickness, 1):g}",
            kind="lengths",
            material=id,
            thickness=thickness,
            width=width,
            density=stuff.density,
            grained=True,
            blanks=blanks,
        )


def _fitting_groups(job: BuiltJob) -> Iterator[_Group]:
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
        yield _Group(name=name, kind="lengths", material=entry, thickness=0.0, blanks=blanks)


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


def _glued_up(blank: Blank, widest: float) -> Blank:
    """The boards that a blank wider than any board is glued up from."""
    if blank.width <= widest:
        return blank
    count = math.ceil(blank.width / (widest - JOINTING))
    width = math.ceil(blank.width / count + JOINTING)
    return replace(
        blank,
        quantity=blank.quantity * count,
        width=width,
        length=blank.length + GLUED_LONGER,
        about=f"{count} boards glued up to {blank.width:g}",
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


# ---------------------------------------------------------------------------------------------------- stock
def _same(sold: float, measured: float) -> bool:
    return abs(sold - measured) <= SAME_THICKNESS


def _sheet_stock(each: SheetSize, priced: bool) -> Stock:
    """The sheet with its grain along x."""
    long, wide = (
        (each.length, each.width)
        if each.grain == "length" or not material(each.material).grained
        else (each.width, each.length)
    )
    return Stock(
        length=long, width=wide, price=each.price if priced else _area(each.length, each.width), name=each.name
    )


def _offcut_stock(each: Offcut) -> Stock:
    """An offcut with its grain along x; its edges are clean."""
    long, wide = (
        (each.length, each.width)
        if each.grain == "length" or not material(each.material).grained
        else (each.width, each.length)
    )
    return Stock(length=long, width=wide, price=0.0, count=each.count, offcut=True, name=each.name or "rack", trim=0.0)


def _length_name(each: StockLength) -> str:
    return each.name or (
        f"{each.width:g} × {each.thickness:g} × {each.length:g}" if each.material else f"{each.length:g} long"
    )


def _limits(saws: Saws) -> Limits:
    return Limits(
        fence=saws.fence, crosscut=saws.crosscut, track=saws.track, table=(saws.table_length, saws.table_width)
    )


def _area(length: float, width: float) -> float:
    return length * width / 1e6


def _too_large(problem: CuttingProblem, at: int) -> str:
    part = problem.parts[at]
    long, wide = round(part.length, 1), round(part.width, 1)
    size = f"{long:g}" if problem.lengths_only else f"{long:g} × {wide:g}"
    noun = "lengths" if problem.lengths_only else "sheets"
    return f"{size} fits none of the {noun} in the workshop's stock after trimming"


def sheet_words(made: MaterialPlan, sheet: SheetPlan) -> str:
    """What a sheet or length is taken from: "2440 × 1220", "offcut from the rack, 600 × 400 (shelf 2)"."""
    stock = made.plan.stock_of(sheet)
    size = f"{stock.length:g}" if made.kind == "lengths" else f"{stock.length:g} × {stock.width:g}"
    if stock.offcut:
        return f"offcut from the rack, {size}" + (f" ({stock.name})" if stock.name != "rack" else "")
    return size if stock.name in ("", size) else f"{size} ({stock.name})" if made.kind != "lengths" else stock.name
