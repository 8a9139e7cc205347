"""Whether a glue-up can be brought together: dowels and biscuits that must all find their holes at one push."""

from __future__ import annotations

from collections.abc import Iterator

from ..model import Model
from ..piece import Piece
from ..steps.means import MOST_PEGS
from ..steps.order import Order
from .finding import PRACTICE, Finding, figure, sentence
from .study import study

BOTH_PEGS = 2 * MOST_PEGS  # that two people engage; arithmetic of ours on common practice


def pegs_at_one_push(piece: Piece, model: Model) -> Iterator[Finding]:
    """No push of a glue-up must engage more dowels or biscuits than hands can bring together while the glue is open."""
    seen, order = study(model), Order(piece, model)
    for assembly, push in order.crowded():
        keys = tuple(order.body(push.key))
        alone = push.pegs <= BOTH_PEGS
        limit, hands = (MOST_PEGS, "one person engages") if alone else (BOTH_PEGS, "two people engage")
        name = order.assemblies[push.key].name if push.key in order.assemblies else seen.called(push.key)
        yield Finding(
            check="pegs at one push",
            severity="note" if alone else "warn",
            keys=keys,
            at=tuple(map(float, seen.boxes[keys[0]].mean(axis=0))),  # type: ignore[arg-type]
            value=float(push.pegs),
            limit=float(limit),
            unit="pegs",
            source=PRACTICE,
            text=(
                f"{sentence(assembly.name)}: {name} is pushed on to {push.pegs} dowels or biscuits at {figure(push.ends)}"
                f" board ends at once; {hands} at most {limit}."
            ),
            remedy=(
                "Glue up some of the boards to each other first, take fewer dowels or housings instead; else a helper at the"
                " other end, and glue that stays open longer."
            ),
        )


CHECKS = (pegs_at_one_push,)

__all__ = ["CHECKS", "pegs_at_one_push"]
