"""Whether two things take up the same space."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from functools import lru_cache

from ..geometry import Placement, Vector
from ..model import Model, Shape
from ..piece import Piece
from .assembled import Assembled, apart, near_pairs
from .blocks import placed_cutters
from .convex import LEAST, TOUCH, Block, shared_volume
from .finding import ARITHMETIC, Finding, figure, sentence
from .reading import meets_on_paper_only
from .study import study

Standing = tuple[Shape, Placement] | None  # a part by its shape and where it stands; a fitting has nothing taken out


def overlap(piece: Piece, model: Model) -> Iterator[Finding]:
    """No two parts or fittings reach into each other; fasteners are looked at apart, for they are driven into wood.

    Pairs of the same names that share the same volume are told together.
    """
    seen = study(model)
    alike: dict[tuple[str, ...], list[tuple[tuple[str, str], float, Vector]]] = {}
    for pair, (volume, at) in overlaps(seen.assembled).items():
        if volume > LEAST and not meets_on_paper_only(piece, model, pair):
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
        volume, at = _shared(solids.blocks[i], solids.blocks[j], *(_standing(solids, key) for key in keys))
        if at is not None:
            before, where = found.get(keys, (0.0, at))
            found[keys] = (before + volume, where if before else at)
    return found


def _standing(solids: Assembled, key: str) -> Standing:
    part = solids.parts.get(key)
    return (part.shape, part.place) if part else None


@lru_cache(maxsize=4096)
def _shared(a: Block, b: Block, first: Standing, second: Standing) -> tuple[float, Vector | None]:
    """What two blocks of two parts (or fittings) share: kept, for in the next model nearly all stand as before.

    Blocks are told apart by identity, which errs on the safe side: a block made again is reckoned again.
    """
    cutters = [placed_cutters(*each) for each in (first, second) if each]
    return shared_volume(a, b, itertools.chain(*cutters))
