"""The blanks of one material on what the workshop has of it: sheets, lengths of the section, or boards ripped to width."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from ..errors import ParameterError
from ..materials import material
from ..workshop.saws import Saws
from ..workshop.stock import Offcut, SheetSize, StockLength
from ..workshop.workshop import Workshop
from .plan import CuttingPlan
from .planning import plan
from .problem import CuttingProblem, Limits, Stock, Wanted, fits

WORK = 600_000  # places looked at for one material, a quarter of a second or so
SAME_THICKNESS = 0.7  # mm between a board as measured and the sheet as it is sold; common practice, no source
PLANED_OFF = 8.0  # mm of thickness, at most, that a length is planed down; common practice, no source
# mm of width, at most, that a length is planed or ripped down rather than shared; common practice, no source
PLANED_EDGE = 12.0
JOINTING = 6.0  # mm of each board's width that jointing takes where a wide part is glued up; common practice, no source
GLUED_LONGER = 20.0  # mm that boards for gluing up are cut longer; common practice, no source
ASSUMED_SHEET = (2440.0, 1220.0)  # mm, where the workshop sells no sheet of a material; 8 × 4 ft, the common size


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


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
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
        sizes = [each for each in workshop.stock.sheets if self._is_of(each)]
        offcuts = [each for each in workshop.stock.offcuts if self._is_of(each)]
        priced = bool(sizes) and all(each.price > 0 for each in sizes)
        stock = [_sheet_stock(each, priced) for each in sizes] or [
            Stock(length=ASSUMED_SHEET[0], width=ASSUMED_SHEET[1], price=_area(*ASSUMED_SHEET))
        ]
        problem = CuttingProblem(
            stock=(*stock, *(_rack_stock(each, *_along_the_grain(each)) for each in offcuts)),
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
        stock = [_length_stock(each, priced) for each in lengths]
        rack = [
            replace(_rack_stock(each, each.length, 1.0), defects=tuple((run.start, run.end) for run in each.avoid))
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
        return self._made(problem, "lengths", priced, notes=self._planing(lengths))

    def _planing(self, lengths: Sequence[StockLength]) -> tuple[str, ...]:
        """What is said where lengths are sold in a larger section than is wanted."""
        if not self.width or not lengths or (lengths[0].width, lengths[0].thickness) == (self.width, self.thickness):
            return ()
        sold, wanted = lengths[0], f"{round(self.width, 1):g} × {round(self.thickness, 1):g}"
        return (f"The section sold is {sold.width:g} × {sold.thickness:g}: plane it to {wanted}.",)

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
        stock = [_board_stock(each, priced) for each in boards]
        rack = [_rack_stock(each, each.length, each.width) for each in offcuts]
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

    def _is_of(self, each: SheetSize | Offcut) -> bool:
        """Whether a sheet is of this material and thickness; what is sold and what is measured differ a little."""
        return each.material == self.material and abs(each.thickness - self.thickness) <= SAME_THICKNESS

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


def _sheet_stock(each: SheetSize, priced: bool) -> Stock:
    """The sheet with its grain along x."""
    long, wide = _along_the_grain(each)
    return Stock(
        length=long, width=wide, price=each.price if priced else _area(each.length, each.width), name=each.name
    )


def _along_the_grain(each: SheetSize | Offcut) -> tuple[float, float]:
    """The size of a sheet or an offcut along its grain and across it; as it is where it has none."""
    if each.grain == "length" or not material(each.material).grained:
        return each.length, each.width
    return each.width, each.length


def _length_stock(each: StockLength, priced: bool) -> Stock:
    return Stock(
        length=each.length, width=1.0, price=each.price if priced else each.length / 1000, name=_length_name(each)
    )


def _board_stock(each: StockLength, priced: bool) -> Stock:
    """A board that strips are ripped from; its edges are sawn clean."""
    price = each.price if priced else _area(each.length, each.width)
    return Stock(length=each.length, width=each.width, price=price, name=_length_name(each), edge_trim=0.0)


def _rack_stock(each: Offcut, length: float, width: float) -> Stock:
    """An offcut from the rack; its edges are clean."""
    return Stock(
        length=length, width=width, price=0.0, count=each.count, offcut=True, name=each.name or "rack", trim=0.0
    )


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
