"""Small things that a job takes and no pack is counted of: masking tape, filler, wax."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..built import BuiltJob, BuiltPiece
from ..buying.coatings import BEFORE_GLUE_UP
from ..buying.quantities import STRIPS, quantities
from ..coated import coatings_on
from ..locales import Locale
from ..model import Fastener
from ..piece.finish import GROUPS
from ..steps.means import lies_over, screw_of
from ..wording import counted

OUTSIDE = frozenset(GROUPS) - frozenset(BEFORE_GLUE_UP)  # what is filled, after its first undercoat
AS_NEEDED = "as needed"
HIDDEN = ("back pin", "box pin")  # nobody sees their heads


def consumables(job: BuiltJob, locale: Locale) -> Iterator[tuple[str, str, str]]:
    """What, what for and how much."""
    tape = quantities(job).tape
    if tape:
        yield "Masking tape", "round what stays bare (finishing schedule)", locale.run_to_buy(tape)
    holes = sum(built.quantity * _holes(built) for built in job.pieces)
    strips = any(joint.kind == STRIPS for built in job.pieces for joint in built.model.joints if _painted(built))
    if holes or strips:
        words = counted(holes, "pin hole or plug", "pin holes and plugs") if holes else ""
        yield "Filler", ", and ".join(filter(None, (words, "the lines of strips" if strips else ""))), AS_NEEDED
    if any("wax" in note for built in job.pieces for part in built.model.parts for note in part.notes):
        yield "Candle wax or hard wax", "what slides on wood", AS_NEEDED


def _painted(built: BuiltPiece) -> bool:
    return "paint" in coatings_on(built.piece.finish.scheme(), built.model, OUTSIDE)


def _holes(built: BuiltPiece) -> int:
    """How many pin holes and plugs are filled: those of painted outsides that are seen."""
    scheme = built.piece.finish.scheme()
    painted = {
        part.key for part in built.model.parts if part.finish in OUTSIDE and scheme.coat(part.finish).coating == "paint"
    }
    screws = [each for each in built.model.fasteners if each.kind == "screw"]
    return sum(_is_seen(each, screws) for each in built.model.fasteners if painted.intersection(each.parts))


def _is_seen(each: Fastener, screws: Sequence[Fastener]) -> bool:
    """Whether it leaves a hole or a plug to be seen: a plug under a fitting does not."""
    if each.kind == "plug":
        screw = screw_of(each, screws)
        return screw is not None and lies_over(each, screw)
    return each.kind == "pin" and each.purpose not in HIDDEN
