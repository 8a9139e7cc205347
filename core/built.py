"""A job as built: every piece with its model, the marks of all its parts, and what was found."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from .build import build
from .checks import Finding, findings
from .errors import ParameterError
from .model import Model, Part
from .piece.job import Job, JobItem
from .piece.piece import Piece
from .revisions.marks import Place, marks
from .revisions.revision import RecordedPiece, Revision
from .stages import Progress, Stages, carried_out
from .workshop.company import Company
from .workshop.files import example_workshop
from .workshop.workshop import Workshop


@dataclass(frozen=True)
class BuiltPiece:
    """One piece of a job: its parameters, its model, how many of it, and what was found."""

    piece: Piece
    model: Model
    quantity: int
    findings: tuple[Finding, ...]


@dataclass(frozen=True)
class BuiltJob:
    """All pieces of a job, with marks that are unique across it, and the workshop that it is made in.

    `kept` holds what has been worked out from the job once (its plans), by whoever worked it out.
    """

    name: str
    pieces: tuple[BuiltPiece, ...]
    marks: dict[Place, int]
    workshop: Workshop = field(default_factory=example_workshop)
    since: Revision | None = None  # the last saved state, whose marks last
    kept: dict[str, Any] = field(default_factory=dict, init=False, compare=False, repr=False)

    @cached_property
    def stops(self) -> int:
        """How many findings say that it cannot be built or is dangerous."""
        return sum(1 for each in self.pieces for finding in each.findings if finding.severity == "stop")

    @property
    def stamp(self) -> str:
        """What every page, label and file says while there are stop findings; empty when there are none."""
        if not self.stops:
            return ""
        return f"DO NOT CUT: {self.stops} stop finding{'s' if self.stops > 1 else ''}"

    def parts(self) -> Iterator[tuple[int, BuiltPiece, Part]]:
        """Every part with its mark and its piece, in the order of the parts list."""
        for index, built in enumerate(self.pieces):
            for part in built.model.parts:
                yield self.marks[index, part.key], built, part

    def marks_of(self, index: int) -> dict[str, int]:
        """The marks of one piece's parts by key."""
        return {key: mark for (piece, key), mark in self.marks.items() if piece == index}


def build_job(
    job: Job,
    progress: Progress | None = None,
    workshop: Workshop | None = None,
    since: Revision | None = None,
    company: Company | None = None,
) -> BuiltJob:
    """Build every piece of a job, look for faults, allot the marks; where no workshop is given an example stands in.

    Parts keep the marks that they have in the revision `since`. What `company` says stands above what the workshop says of its own.
    """
    return carried_out(building(job, workshop, since, company), progress)


def building(
    job: Job, workshop: Workshop | None = None, since: Revision | None = None, company: Company | None = None
) -> Stages[BuiltJob]:
    """The same piece by piece."""
    built = []
    for item in job.items:
        yield f"building {item.piece.whole.name or item.piece.id}"
        model = _built(item)
        built.append(BuiltPiece(item.piece, model, item.quantity, findings(item.piece, model)))
    allotted = marks([each.model for each in built], _recorded(built, since))
    made_in = workshop or _assumed(job)
    if company:
        made_in = replace(made_in, company=company.over(made_in.company))
    return BuiltJob(job.name, tuple(built), allotted, made_in, since)


def revision_of(job: BuiltJob) -> Revision:
    """The job as a saved state, nothing of it ticked."""
    pieces = [RecordedPiece(each.piece, each.quantity, job.marks_of(index)) for index, each in enumerate(job.pieces)]
    return Revision(job.name, tuple(pieces), {})


def _recorded(built: Sequence[BuiltPiece], since: Revision | None) -> dict[Place, int]:
    """The marks of the last revision by place in this job; pieces are known by their ids, and by their order where those agree."""
    waiting = list(since.pieces) if since else []
    found: dict[Place, int] = {}
    for index, each in enumerate(built):
        before = next((old for old in waiting if old.piece.id == each.piece.id), None)
        if before:
            waiting.remove(before)
            found |= {(index, key): mark for key, mark in before.marks.items()}
    return found


def _assumed(job: Job) -> Workshop:
    """The library's example workshop, with the saw and the person that the first piece reckons with."""
    example, shop = example_workshop(), job.items[0].piece.shop
    return replace(example, saws=replace(example.saws, kerf=shop.kerf, one_person=shop.one_person))


def _built(item: JobItem) -> Model:
    """The model of one item; what cannot be built is refused with the file's name first."""
    try:
        return build(item.piece)
    except ParameterError as error:
        raise (error.with_source(item.source) if item.source else error) from None
