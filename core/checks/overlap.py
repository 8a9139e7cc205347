"""Whether two things take up the same space."""

from __future__ import annotations

from collections.abc import Iterator

from ..geometry import Vector
from ..model import Model
from ..piece import Piece
from .convex import LEAST, TOUCH, Assembled, apart, near_pairs, shared_volume
from .finding import ARITHMETIC, Finding, figure, sentence
from .study import study


def overlap(piece: Piece, model: Model) -> Iterator[Finding]:
    """No two parts or fittings reach into each other; fasteners are looked at apart, for they are driven into wood.

    Pairs of the same names that share the same volume are told together.
    """
    seen = study(model)
    alike: dict[tuple[str, ...], list[tuple[tuple[str, str], float, Vector]]] = {}
    for pair, (volume, at) in overlaps(seen.assembled).items():
        if volume > LEAST:
            alike.setdefault((*map(seen.name, pair), figure(volume)), []).append((pair, volume, at))
    for group in alike.values():
        (a, b), volume, at = group[0]
        more = f" So it is in {len(group)} places." if len(group) > 1 else ""
        yield Finding(
            check="overlap",
            severity="stop",
            keys=tuple(dict.fromkeys(key for pair, _, _ in group for key in pair)),
            at=at,
            value=round(volume, 1),
            limit=LEAST,
            unit="mm³",
            source=ARITHMETIC,
            text=(
                f"{sentence(seen.called(a))} and {seen.called(b)} take up the same {figure(volume)} mm³; the limit is"
                f" {figure(LEAST)} mm³.{more}"
            ),
            remedy="Move or shorten one of them, or let it in.",
        )


CHECKS = (overlap,)


def overlaps(solids: Assembled) -> dict[tuple[str, str], tuple[float, Vector]]:
    """By how much pairs of things overlap (mm³, and where), those that do.

    Where the solids of one fitting overlap each other, what they share is counted twice.
    """
    a, b = near_pairs(solids.low, solids.high, solids.owner, TOUCH)
    found: dict[tuple[str, str], tuple[float, Vector]] = {}
    if not len(a):
        return found
    into = apart(solids, a, b) < -TOUCH
    for i, j in zip(a[into].tolist(), b[into].tolist(), strict=True):
        keys = (solids.keys[solids.owner[i]], solids.keys[solids.owner[j]])
        cutters = (*solids.cutters(keys[0]), *solids.cutters(keys[1]))
        volume, at = shared_volume(solids.blocks[i], solids.blocks[j], cutters)
        if at is not None:
            before, where = found.get(keys, (0.0, at))
            found[keys] = (before + volume, where if before else at)
    return found
