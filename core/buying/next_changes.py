"""What the changes that clients ask for most would cost from here: another colour, one more shelf, a little higher.

Each is worked out as a whole: the changed job is built, planned and reckoned like the one that is asked about.
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass
from decimal import Decimal

from ..build import build
from ..built import BuiltJob, BuiltPiece, build_job
from ..errors import PieceError
from ..piece.job import Job, JobItem
from ..piece.piece import Piece
from ..revisions.saving import Made, saving
from .costing import Costing, costing

HIGHER, HIGHER_IN_INCHES = 60.0, 63.5  # mm; a change that is asked for when the first parts stand in the room; ours
PAINTING = ("rub", "coat")
CUT = "cut"


@dataclass(frozen=True, slots=True)
class Higher:
    """The first piece `higher_by` mm higher, each of it: the rise of the price now, and the parts made anew once all are cut."""

    price: Decimal
    anew: int
    of: int
    below: int | None  # where the height is put under the carcass instead; None where that cannot be


@dataclass(frozen=True, slots=True)
class NextChanges:
    """With tax; shelf and height of the job's first piece. None: it is not known, or there is no such change."""

    colour: Decimal | None
    shelf: Decimal | None
    higher: Higher | None


def higher_by(piece: Piece) -> float:
    """By how much more height a client is told the price, mm: a round figure in millimetres, or in inches where lists are."""
    return HIGHER if piece.shop.lengths == "mm" else HIGHER_IN_INCHES


def next_changes(job: BuiltJob) -> NextChanges:
    """What the next change would cost; nothing where a price or a rate of the job is not known."""
    made = costing(job)
    if not made.is_complete:
        return NextChanges(None, None, None)
    first = job.pieces[0]
    return NextChanges(_colour(job, made), _risen(job, made, _one_more_shelf(first.piece)), _higher(job, made, first))


def _colour(job: BuiltJob, made: Costing) -> Decimal | None:
    """All coats once more: their materials and labour with overhead, margin and tax."""
    labour = sum((made.wages(each) for each in made.operations if each.id in PAINTING), Decimal(0))
    prices = job.workshop.prices
    materials = sum((amount for section, amount in made.materials if section == "Glue and coatings"), Decimal(0))
    cost = labour * _more(prices.overhead) + materials
    return (cost * _more(prices.margin) * _more(prices.tax)).quantize(Decimal("0.01")) if cost else None


def _more(percent: float) -> Decimal:
    return 1 + Decimal(str(percent)) / 100


def _one_more_shelf(piece: Piece) -> Piece | None:
    """The piece with one more loose shelf where it has some already."""
    for index, bay in enumerate(piece.layout):
        for number, content in enumerate(bay.holds):
            if getattr(content, "style", "") == "shelves":
                more = dataclasses.replace(content, quantity=content.quantity + 1)
                holds = (*bay.holds[:number], more, *bay.holds[number + 1 :])
                layout = (*piece.layout[:index], dataclasses.replace(bay, holds=holds), *piece.layout[index + 1 :])
                return dataclasses.replace(piece, layout=layout)
    return None


def _risen(job: BuiltJob, made: Costing, changed: Piece | None) -> Decimal | None:
    """By how much the whole price rises with the first piece changed; None where it cannot be built."""
    if changed is None:
        return None
    items = [JobItem(each.piece, each.quantity) for each in job.pieces]
    items[0] = dataclasses.replace(items[0], piece=changed)
    try:
        other = build_job(Job(job.name, tuple(items)), workshop=job.workshop)
    except PieceError:
        return None
    reckoned = costing(other)
    return reckoned.total - made.total if reckoned.is_complete and not other.stops else None


def _higher(job: BuiltJob, made: Costing, built: BuiltPiece) -> Higher | None:
    piece = built.piece
    taller = _taller(piece, piece.support)
    price = _risen(job, made, taller)
    if price is None or taller is None:
        return None
    below = None
    if hasattr(piece.support, "height"):
        support = dataclasses.replace(piece.support, height=piece.support.height + higher_by(piece))
        below = _anew(built, _taller(piece, support))
    anew = _anew(built, taller)
    if anew is None:
        return None
    many = built.quantity
    fewer = below * many if below is not None and below < anew else None
    return Higher(price, anew * many, len(built.model.parts) * many, fewer)


def _taller(piece: Piece, support: object) -> Piece | None:
    try:
        whole = dataclasses.replace(piece.whole, height=piece.whole.height + higher_by(piece))
        return dataclasses.replace(piece, whole=whole, support=support)
    except PieceError:
        return None


def _anew(built: BuiltPiece, changed: Piece | None) -> int | None:
    """How many parts have to be made anew when all of a piece are cut and it is changed; None where it cannot be built."""
    if changed is None:
        return None
    try:
        parts = {part.key: part for part in build(changed).parts}
    except PieceError:
        return None
    saved = saving([Made(part.key, part, CUT) for part in built.model.parts], parts)
    return len(saved.to_make)
