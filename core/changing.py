"""A job beside its last revision: what changed, what of what is made can be used, and other ways to the same size."""

from __future__ import annotations

import contextlib
import dataclasses
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from .build import build
from .built import BuiltJob, BuiltPiece, revision_of
from .checks import findings
from .errors import ParameterError
from .model import Model, Part
from .piece.piece import Piece
from .revisions.compare import Comparison, compare
from .revisions.revision import RecordedPiece, Revision
from .revisions.saving import TICKS, Made, Saving, saving

KEPT = "changed"  # where a job keeps what was worked out here
LEAST = 0.05  # mm; a change of height below this is none
_NOTHING = Model(name="", parts=())


@dataclass(frozen=True, slots=True)
class OtherWay:
    """Another way to the size that is asked for, how much of what is made it loses (m²), and the piece that it makes."""

    words: str
    lost: float
    piece: Piece


@dataclass(frozen=True, slots=True)
class ChangedPiece:
    """One piece of a job beside what it was; `before`, and `was` as it was built, are missing where it is new."""

    built: BuiltPiece
    before: RecordedPiece | None
    was: Model | None
    comparison: Comparison
    other_ways: tuple[OtherWay, ...] = ()


@dataclass(frozen=True, slots=True)
class Changed:
    """The whole job beside its last revision; in `saving` a part is called "piece/copy/key", pieces and copies from 0."""

    since: Revision
    pieces: tuple[ChangedPiece, ...]
    gone: tuple[RecordedPiece, ...]
    saving: Saving
    made: int  # parts that are ticked


def changed(job: BuiltJob) -> Changed | None:
    """What changed since the job's last revision; None where it has none."""
    if job.since is None:
        return None
    if KEPT not in job.kept:
        job.kept[KEPT] = _changed(job, job.since)
    return job.kept[KEPT]


def saved_state(job: BuiltJob) -> Revision:
    """The job's revision to be saved: what was ticked in the last one and serves as it is stays ticked."""
    return dataclasses.replace(revision_of(job), ticks=_carried(job))


def _carried(job: BuiltJob) -> dict[int, tuple[int, ...]]:
    """The ticks of the last revision as they stand for the job now, under the marks of today."""
    found = changed(job)
    counts: dict[int, list[int]] = {}
    for use in found.saving.kept if found else ():
        piece, key = place_of(use.key)
        line = counts.setdefault(job.marks[piece, key], [0] * len(TICKS))
        for at in range(TICKS.index(use.made.tick) + 1):
            line[at] += 1
    return {mark: tuple(line) for mark, line in sorted(counts.items())}


def place_of(name: str) -> tuple[int, str]:
    """The number of the piece and the key of a part, from its name in a saving.

    >>> place_of("0/1/carcass/side.left")
    (0, 'carcass/side.left')
    """
    piece, _, key = name.split("/", 2)
    return int(piece), key


def _changed(job: BuiltJob, since: Revision) -> Changed:
    models = [build(each.piece) for each in since.pieces]
    followed = _followed(job, since)
    made = list(_made(job, since, models, followed))
    saved = saving(made, _parts(job))
    pieces = []
    for index, built in enumerate(job.pieces):
        old = followed.get(index)
        if old is None:
            pieces.append(ChangedPiece(built, None, None, compare(_NOTHING, built.model)))
            continue
        before = since.pieces[old]
        ways = tuple(_other_ways(job, index, before.piece, made, saved.lost)) if made else ()
        pieces.append(ChangedPiece(built, before, models[old], compare(models[old], built.model), ways))
    gone = tuple(each for number, each in enumerate(since.pieces) if number not in followed.values())
    return Changed(since, tuple(pieces), gone, saved, len(made))


def _followed(job: BuiltJob, since: Revision) -> dict[int, int]:
    """Which piece of the last revision each piece of the job was, by their ids."""
    waiting = dict(enumerate(since.pieces))
    found: dict[int, int] = {}
    for index, built in enumerate(job.pieces):
        old = next((number for number, each in waiting.items() if each.piece.id == built.piece.id), None)
        if old is not None:
            found[index] = old
            del waiting[old]
    return found


def _made(job: BuiltJob, since: Revision, models: Sequence[Model], followed: dict[int, int]) -> Iterator[Made]:
    """What is ticked, each part under the name it would have now; what belongs to no piece any more, under one of its own."""
    now = {old: index for index, old in followed.items()}
    parts = [{part.key: part for part in model.parts} for model in models]
    for old, copy, key, tick in since.made():
        if key in parts[old]:
            yield Made(f"{now.get(old, len(job.pieces) + old)}/{copy}/{key}", parts[old][key], tick)


def _parts(job: BuiltJob, instead: dict[int, Model] | None = None) -> dict[str, Part]:
    """Every part of every copy of every piece by its name; `instead` gives other models for some pieces."""
    models = [(instead or {}).get(index, each.model) for index, each in enumerate(job.pieces)]
    return {
        f"{index}/{copy}/{part.key}": part
        for index, each in enumerate(job.pieces)
        for copy in range(each.quantity)
        for part in models[index].parts
    }


# -------------------------------------------------------------------------------------------------------------- other ways
def _other_ways(job: BuiltJob, index: int, before: Piece, made: Sequence[Made], lost: float) -> Iterator[OtherWay]:
    """What a joiner would do before he remakes a carcass for a change of height: see `_ways_up`; those that lose less, least first."""
    now = job.pieces[index].piece
    rise = round(now.whole.height - before.whole.height, 6)
    if abs(rise) < LEAST:
        return
    found = []
    for words, changes in _ways_up(before, now, rise):
        try:
            piece = dataclasses.replace(now, **changes)
            model = build(piece)
        except ParameterError:
            continue
        if piece == now or any(finding.severity == "stop" for finding in findings(piece, model)):
            continue
        fewer = saving(made, _parts(job, {index: model})).lost
        if fewer < lost:
            found.append(OtherWay(words, fewer, piece))
    yield from sorted(found, key=lambda way: way.lost)


def _ways_up(before: Piece, now: Piece, rise: float) -> Iterator[tuple[str, dict[str, object]]]:
    """Longer legs, a deeper plinth, brackets or feet; a frieze under the moulding; a deeper moulding: in words, and what of the piece is other."""
    was, top = before.support, before.top
    if type(now.support) is type(was) and hasattr(was, "height"):
        height = round(was.height + rise, 6)
        words = (
            f"{abs(rise):g} {'more' if rise > 0 else 'less'} under the carcass ({height:g} instead of {was.height:g})"
        )
        yield from _changed_to(words, "support", now.support, height=height)
    if type(now.top) is not type(top) or not hasattr(top, "frieze"):
        return
    high = round(top.frieze + rise, 6)
    if high >= 0 and not top.frieze:
        later = {"frieze_later": True} if hasattr(top, "frieze_later") else {}
        words = f"a frieze {high:g} high under the moulding"
        yield from _changed_to(words, "top", now.top, frieze=high, frieze_board=now.carcass.board, **later)
    elif high >= 0:
        words = (
            f"a frieze {high:g} high instead of {top.frieze:g}"
            if high
            else f"no frieze instead of one {top.frieze:g} high"
        )
        yield from _changed_to(words, "top", now.top, frieze=high)
    if hasattr(top, "height"):
        height = round(top.height + rise, 6)
        yield from _changed_to(f"a moulding {height:g} high instead of {top.height:g}", "top", now.top, height=height)


def _changed_to(words: str, what: str, group: object, **values: object) -> Iterator[tuple[str, dict[str, object]]]:
    """A way with a group of the piece changed; none where a value is beyond its limits."""
    with contextlib.suppress(ParameterError):
        yield words, {what: dataclasses.replace(group, **values)}  # type: ignore[type-var]
