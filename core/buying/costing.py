"""What a job costs and what is asked for it: labour by operation, materials, overhead, margin, tax.

All sums are decimal and rounded to the cent line by line, so that the printed figures add up. A rate or price that is
not known makes the sum incomplete and is named.
"""

from __future__ import annotations

import datetime
import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from ..built import BuiltJob, BuiltPiece
from ..fittings import fitting_entry
from ..model import Cut, CutOut, Fitting, Hole, Model, Part, Pocket
from ..workshop.prices import Minutes
from .buying import SECTIONS, BuyingList, buying_list, cents, money
from .coatings import GroupFinish
from .quantities import quantities

ENDS = ("head end", "foot end")


@dataclass(frozen=True, slots=True)
class Operation:
    """One sort of work: how much of it, minutes for one (0: not known), minutes in all."""

    id: str
    name: str
    amount: float
    unit: str
    each: float

    @property
    def minutes(self) -> float:
        """For all of it."""
        return self.amount * self.each

    @property
    def is_missing(self) -> bool:
        """Whether there is such work and nobody said how long it takes."""
        return self.amount > 0 and self.each == 0


@dataclass(frozen=True, slots=True)
class Costing:
    """The reckoning of a job, step by step; sums count only what is known, `missing` names the rest."""

    operations: tuple[Operation, ...]
    materials: tuple[tuple[str, Decimal], ...]  # by section of the buying list
    bought: BuyingList
    hour: Decimal | None
    labour: Decimal
    overhead: Decimal
    margin: Decimal
    delivery: Decimal
    net: Decimal
    tax: Decimal
    total: Decimal
    deposit: Decimal
    missing: tuple[str, ...]

    def wages(self, operation: Operation) -> Decimal:
        """What one operation's labour costs, to the cent; nothing where the hour's cost is not known."""
        return _wages(operation, self.hour)

    @property
    def hours(self) -> float:
        """Labour in hours."""
        return sum(each.minutes for each in self.operations) / 60

    @property
    def cost(self) -> Decimal:
        """Labour, overhead and materials, before margin."""
        return self.labour + self.overhead + sum((amount for _, amount in self.materials), Decimal(0))

    @property
    def is_complete(self) -> bool:
        """Whether every price and rate is known, so that the total may be told to the client."""
        return not self.missing


def costing(job: BuiltJob) -> Costing:
    """The reckoning of a job; worked out once for each job."""
    if "costing" not in job.kept:
        job.kept["costing"] = _costing(job)
    return job.kept["costing"]


def operations(job: BuiltJob) -> tuple[Operation, ...]:
    """How much of every sort of work a job is, with the workshop's minutes for it."""
    finishes = quantities(job).finishes
    counts: dict[str, float] = {}
    for built, finished in zip(job.pieces, finishes, strict=True):
        for id, amount in _work(built, finished):
            counts[id] = counts.get(id, 0.0) + amount * built.quantity
    minutes = job.workshop.prices.minutes
    return tuple(
        Operation(id, name, counts.get(id, 0.0), unit, getattr(minutes, id)) for id, (name, unit) in OPERATIONS.items()
    )


OPERATIONS = {
    "piece": ("setting out, checking, packing", "piece"),
    "part": ("sawing to size", "part"),
    "metre": ("rebates, grooves, bevels, tapers, mitres", "m"),
    "hole": ("drilling", "hole"),
    "plug": ("plugs", "plug"),
    "fastening": ("screws, pins, dowels and biscuits", "piece"),
    "glue_up": ("gluing up", "glue-up"),
    "fitting": ("fittings", "fitting"),
    "rub": ("rubbing down", "m²"),
    "coat": ("sealing and coating", "m²"),
}
assert set(OPERATIONS) == set(Minutes.__dataclass_fields__)


def validity(job: BuiltJob) -> str:
    """The last day on which a quotation stands, as ISO 8601; nothing where the revision has no date."""
    date = job.pieces[0].piece.record.date
    if not date:
        return ""
    return (datetime.date.fromisoformat(date) + datetime.timedelta(job.workshop.prices.valid_days)).isoformat()


# ------------------------------------------------------------------------------------------------------------- helpers
def _costing(job: BuiltJob) -> Costing:
    prices, bought, work = job.workshop.prices, buying_list(job), operations(job)
    hour = money(prices.hour)
    labour = sum((_wages(each, hour) for each in work), Decimal(0))
    overhead = _share(labour, prices.overhead)
    materials = tuple((section, _sum(bought, section)) for section in SECTIONS if bought.of(section))
    cost = labour + overhead + sum((amount for _, amount in materials), Decimal(0))
    margin = _share(cost, prices.margin)
    delivery = cents(Decimal(str(prices.delivery)))
    net = cost + margin + delivery
    tax = _share(net, prices.tax)
    return Costing(
        operations=work,
        materials=materials,
        bought=bought,
        hour=hour,
        labour=labour,
        overhead=overhead,
        margin=margin,
        delivery=delivery,
        net=net,
        tax=tax,
        total=net + tax,
        deposit=_share(net + tax, prices.deposit),
        missing=(
            *(f"price of {name}" for name in bought.missing),
            *(f"minutes for {each.name}" for each in work if each.is_missing),
            *(() if hour else ("what an hour costs",)),
        ),
    )


def _wages(operation: Operation, hour: Decimal | None) -> Decimal:
    return cents(Decimal(str(round(operation.minutes, 6))) / 60 * (hour or Decimal(0)))


def _share(amount: Decimal, percent: float) -> Decimal:
    return cents(amount * Decimal(str(percent)) / 100)


def _sum(bought: BuyingList, section: str) -> Decimal:
    return sum((line.cost for line in bought.of(section) if line.cost is not None), Decimal(0))


def _work(built: BuiltPiece, finished: tuple[GroupFinish, ...]) -> Iterator[tuple[str, float]]:
    model = built.model
    yield "piece", 1
    yield "part", len(model.parts)
    yield "metre", sum(_machined(part) for part in model.parts) / 1000
    yield "hole", sum(isinstance(feature, Hole) for part in model.parts for feature in part.shape.features)
    yield "plug", sum(each.kind == "plug" for each in model.fasteners)
    yield "fastening", sum(each.kind != "plug" for each in model.fasteners)
    yield "glue_up", _glue_ups(model)
    yield "fitting", sum(not each.bought_with and _is_screwed(each) for each in model.fittings)
    for group in finished:
        yield "rub", sum(step.area for step in group.steps if step.grit)
        yield "coat", sum(step.area for step in group.steps if step.coating)


def _is_screwed(fitting: Fitting) -> bool:
    """Whether setting it is work worth counting: shelf pins and pads are pushed in and stuck on."""
    return bool(fitting_entry(fitting.entry).recipe["screws"])


def _glue_ups(model: Model) -> int:
    return sum(assembly.how == "glued" for assembly in model.assemblies)


def _machined(part: Part) -> float:
    """mm that a saw or cutter runs along a part besides sawing it to size: along edges, across ends, in pockets."""
    run = 0.0
    for feature in part.shape.features:
        if isinstance(feature, Cut):
            run += part.size[1] if feature.where in ENDS else part.size[0]
        elif isinstance(feature, Pocket):
            spans = zip(feature.low, feature.high, part.size, strict=True)
            run += max(min(high, size) - max(low, 0.0) for low, high, size in spans)
        elif isinstance(feature, CutOut):
            run += sum(math.dist(a, b) for a, b in pairwise((*feature.outline, feature.outline[0])))
    return run
