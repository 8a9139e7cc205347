"""Pipes at the wall: what is cut for them, how a piece with closed holes gets over them, and where a wall anchor is in line with one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from ..model import FOR_PIPE, Hole, Model, Part
from ..piece import Piece
from ..piece.site import Pipe
from ..wording import counted, in_sentence, listed
from .finding import ARITHMETIC, Finding, figure
from .reading import ANCHOR_KIND
from .study import bought, kind_of, study

FROM_PIPE = 50.0  # mm between a drill into the wall and a pipe; common practice, no source
ON_AXIS = 0.01  # mm between the axes of a pipe and of its hole


@dataclass(frozen=True, slots=True)
class Threaded:
    """A pipe with the boards that have a closed hole for it."""

    number: int  # from 1, in the order of the site
    pipe: Pipe
    boards: tuple[Part, ...]
    lift: float | None  # mm that the piece is lifted to come over the pipe's end; None for one that runs along the wall

    @property
    def said(self) -> str:
        """Its boards in words: "the bottom and 2 loose shelves"."""
        tops = any(part.role == "top" for part in self.boards)
        names = Counter("carcass top" if tops and part.key == "carcass/top" else part.name for part in self.boards)
        return listed(
            [counted(count, name) if count > 1 else f"the {in_sentence(name)}" for name, count in names.items()]
        )

    @property
    def loose(self) -> tuple[Part, ...]:
        """Those of them that lie loose."""
        return tuple(part for part in self.boards if part.role == "loose shelf")

    def can_be_lifted_over(self, free: float) -> bool:
        """Whether so much room under the ceiling is enough to lift the piece over the pipe's end."""
        return self.lift is not None and self.lift <= free


def threaded(piece: Piece, model: Model) -> tuple[Threaded, ...]:
    """The pipes that boards have closed holes for."""
    found = []
    for number, pipe in enumerate(piece.site.pipes, 1):
        boards = tuple(part for part in model.parts if _is_bored_for(piece, part, pipe)) if pipe.runs != "out" else ()
        if boards:
            low = min(study(model).boxes[part.key][0][2] for part in boards)
            lift = max(round(pipe.height + pipe.clear - float(low), 1), 0.0) if pipe.runs == "up" else None
            found.append(Threaded(number, pipe, boards, lift))
    return tuple(found)


def under_ceiling(piece: Piece, model: Model) -> float:
    """How far the piece can be lifted under the ceiling, mm."""
    return max(round(piece.site.ceiling - model.overall[2], 1), 0.0)


def pipes(piece: Piece, model: Model) -> Iterator[Finding]:
    """What is to be seen to where pipes run behind the piece or through it."""
    through = {each.number for each in threaded(piece, model)}
    for number, pipe in enumerate(piece.site.pipes, 1):
        cut = [
            part.key
            for part in model.parts
            if any(f"{FOR_PIPE}{pipe.diameter:g}, " in getattr(each, "purpose", "") for each in part.shape.features)
        ]
        yield Finding(
            check="pipes",
            severity="note",
            keys=tuple(cut),
            value=pipe.clear,
            limit=0.0,
            text=(
                f"Pipe {number}, {figure(pipe.diameter)} mm thick, runs {'through' if number in through else 'behind'} the"
                f" piece; {figure(pipe.clear)} mm are left clear about it; {_cut_words(len(cut))}."
            ),
            remedy=(
                "Measure it in the room before the boards are cut. Joints, valves and traps stay within reach; more is left"
                " clear about a hot pipe or a flue, as whoever is responsible for them there says."
            ),
        )


def bored_for_pipes(piece: Piece, model: Model) -> Iterator[Finding]:
    """A piece with closed holes for a pipe is not pushed back over it: it is lifted over the pipe's end, or the pipe comes later."""
    for each in threaded(piece, model):
        free = under_ceiling(piece, model)
        loose = (
            f" {counted(len(each.loose), 'loose shelf').capitalize()} bored for it must lie there before the pipe is led"
            " through, or be sawn in two through the middle of the hole."
            if each.loose
            else ""
        )
        if each.lift is None:
            how, value, limit, unit = "which runs on at both sides", float(len(each.boards)), 0.0, "boards"
        else:
            value, limit, unit = each.lift, free, "mm"
            how = (
                f"{'only' if each.can_be_lifted_over(free) else 'nor'} lifted {figure(each.lift)} mm over its end, {figure(each.pipe.height)} mm up, with {figure(free)} mm"
                " free under the ceiling"
            )
        lifted = "Lift it over the pipe's end, or have" if each.can_be_lifted_over(free) else "Have"
        yield Finding(
            check="bored for a pipe",
            severity="note" if each.can_be_lifted_over(free) else "warn",
            keys=tuple(part.key for part in each.boards),
            value=value,
            limit=limit,
            unit=unit,
            source=ARITHMETIC,
            text=(
                f"Pipe {each.number} goes through a closed hole in {each.said}: the piece cannot be pushed back over it,"
                f" {how}."
            ),
            remedy=(
                f"{lifted} the pipe led through once the piece stands, or parted before and joined again, by whoever is"
                f" licensed for it there; or let the boards be notched from the rear where the back allows it.{loose}"
            ),
        )


def anchors_over_pipes(piece: Piece, model: Model) -> Iterator[Finding]:
    """No wall anchor stands in line with a pipe."""
    for number, pipe in enumerate(piece.site.pipes, 1):
        for fitting in (each for each in bought(model) if kind_of(each) == ANCHOR_KIND and pipe.runs != "out"):
            away = abs(
                fitting.place.origin[0] - pipe.across if pipe.runs == "up" else fitting.place.origin[2] - pipe.height
            )
            if away < FROM_PIPE + pipe.diameter / 2:
                yield Finding(
                    check="anchor over a pipe",
                    severity="warn",
                    keys=(fitting.key,),
                    at=fitting.place.origin,
                    value=round(away, 1),
                    limit=FROM_PIPE + pipe.diameter / 2,
                    text=(
                        f"A wall anchor stands {figure(away)} mm beside the line of pipe {number}; at least"
                        f" {figure(FROM_PIPE + pipe.diameter / 2)} mm keeps the drill off it, wherever it runs on in the wall."
                    ),
                    remedy="Find the pipe in the wall first, or fix the piece to the wall elsewhere along its anchor rail.",
                )


CHECKS = (pipes, bored_for_pipes, anchors_over_pipes)


def _cut_words(count: int) -> str:
    if not count:
        return "no board is in its way"
    return f"{counted(count, 'board')} {'is' if count == 1 else 'are'} cut for pipes of that size"


def _is_bored_for(piece: Piece, part: Part, pipe: Pipe) -> bool:
    """Whether a part has a round hole on the axis of a pipe that runs up or along the wall."""
    behind = piece.site.stands_off - pipe.off
    wanted = (pipe.across, behind) if pipe.runs == "up" else (behind, pipe.height)
    first = 0 if pipe.runs == "up" else 1
    return any(
        isinstance(each, Hole)
        and each.purpose.startswith(FOR_PIPE)
        and max(abs(a - b) for a, b in zip(part.place.point(each.at)[first : first + 2], wanted)) < ON_AXIS
        for each in part.shape.features
    )
