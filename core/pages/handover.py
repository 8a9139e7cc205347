"""The handing-over sheet: the checks, the piece as built, paint batches, care, the anti-tip warning, and the signatures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from ..built import BuiltJob, BuiltPiece
from ..checks.cautions import cautions_for
from ..checks.reading import anchors
from ..drawing.blocks import Figure
from ..drawing.page import NARROW, Item, Stroke, Text
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, flow, single_group
from ..fittings import fitting_entry
from ..locales import Locale
from ..model import Model
from ..piece.finish import COATINGS, Coat
from ._client_words import group_words
from ._sheets import blank, lists_of, sentence, titled


class Handover:
    """Filled in with the client, a copy for each."""

    word = "handover"
    title = "Handing over"
    order = 82
    place = "site"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """One for each piece, its sizes as in the client book: in inches where lists are."""
        locale = lists_of(job)
        return tuple(
            sheet
            for built in job.pieces
            for sheet in flow(list(_blocks(built, locale)), _blank(job, built, self.title, locale))
        )


CHECKS = (Column("Check"), Column("Done", 16), Column("Remarks", 62))
AS_BUILT = (Column("What", 62), Column("As designed", 48), Column("As built"))
PAINT = (Column("Where"), Column("Finish", 50), Column("Batch", 34), Column("Touch-up pot", 30))

ENTRY = Handover()


def _blank(job: BuiltJob, built: BuiltPiece, title: str, locale: Locale) -> Sheet:
    return blank(job, titled(job, built, title), built=built, paper="A4", locale=locale)


def _blocks(built: BuiltPiece, locale: Locale) -> Iterator[Block]:
    for each in cautions_for(built.piece, built.model, "handing over"):
        yield Paragraph(each.text, style="bold", after=2.0)
    yield Heading("Checks before handing over")
    yield Table(CHECKS, single_group((words, "", "") for words in _checks(built)))
    yield Gap(5)
    yield Heading("As built")
    yield Table(AS_BUILT, single_group(_as_built(built, locale)))
    yield Gap(5)
    yield Heading("Finishes")
    yield Table(PAINT, single_group(_paint(built)))
    yield Gap(5)
    yield Heading("Care")
    yield from (Paragraph(words, after=1.5) for words in _care(built))
    yield Gap(4)
    yield Heading("Handed over")
    fixed = " fixed to the wall," if anchors(built.model) else ""
    yield Paragraph(
        f"{_lengths(_overall(built.model), locale)} (width, height, depth),{fixed} in order as checked above; the warnings on this sheet were read out."
    )
    yield _signatures()


def _checks(built: BuiltPiece) -> Iterator[str]:
    """What is tried in the client's sight."""
    model = built.model
    kinds = {fitting_entry(each.entry).kind for each in model.fittings}
    yield "Stands level and does not rock"
    yield (
        "Fixed to the wall; pulled at the top by hand it does not move"
        if "anchor bracket" in kinds
        else "Fixed to the wall with angles on site"
    )
    if any(each.kind == "swing" and each.axis[2] for each in model.motions):
        padded = "pad" in kinds
        yield f"Doors: gaps even, they stay where they are left, close{' on their pads' if padded else ''} and are held"
    if any(each.kind == "swing" and not each.axis[2] for each in model.motions):
        yield "Lid: stays up by itself at every angle from a third open, closes softly, no finger trap"
    if any(each.kind == "travel" for each in model.motions):
        yield "Drawers: run the whole way without binding, come to a stop, fronts in line"
    if "drawer interlock" in kinds:
        yield "Interlock: with one drawer out, each of the others of its stack stays shut when it is pulled"
    if any(part.role == "loose shelf" for part in model.parts):
        yield "Loose shelves: all pins in, none rocks"
    if "hanging rail" in kinds:
        yield "Hanging rail: firm in its sockets under a hand's weight"
    if any(part.board.material.kind == "glass" for part in model.parts):
        yield "Glass: clean, whole, does not rattle; its safety mark can be read"
    yield "No sharp arris, no proud screw, nothing left in the wood"
    yield "Finish: whole, dry, colour as the sample"


def _as_built(built: BuiltPiece, locale: Locale) -> Iterator[tuple[str | Cell, ...]]:
    """Sizes and boards beside a blank for what was measured."""
    model = built.model
    yield "Overall: width × height × depth", _lengths(_overall(model), locale), ""
    boards = dict.fromkeys(part.board for part in model.parts)
    for board in boards:
        yield f"Thickness of {board.material.name}", locale.thickness(board.thickness), ""
    for each in model.openings:
        yield f"Opening of {each.name}", _lengths((each.width, each.height), locale), ""
    for each in built.piece.measured:
        yield f"Measured: {each.what}", locale.length(each.value), ""
    yield "Wall and its fixings", "", ""
    yield "What was changed", "", ""


def _overall(model: Model) -> tuple[float, float, float]:
    """Width, height and depth, in the order of the front page."""
    width, depth, height = model.overall
    return width, height, depth


def _lengths(sizes: Iterable[float], locale: Locale) -> str:
    """Sizes side by side: 1150 × 1900 × 560."""
    return " × ".join(locale.length(each) for each in sizes)


def _paint(built: BuiltPiece) -> Iterator[tuple[str | Cell, ...]]:
    """The finishes of the shown scheme; batches are written in."""
    for words, coat in _coats(built):
        finish = ", ".join(filter(None, (COATINGS[coat.coating].lower(), coat.name)))
        shown = Cell(sentence(finish), swatch=coat.colour if coat.coating in ("paint", "oil", "clear") else "")
        yield sentence(words), shown, "", ""


def _coats(built: BuiltPiece) -> tuple[tuple[str, Coat], ...]:
    """What of the piece the shown scheme coats, as a client calls it, and the coat on it; handles of metal stay as they come."""
    scheme = built.piece.finish.scheme()
    return tuple((words, scheme.coat(group)) for group, words in group_words(built, scheme).items())


def _care(built: BuiltPiece) -> Iterator[str]:
    """How it is kept."""
    coatings = {coat.coating for _, coat in _coats(built)}
    yield "Wipe with a damp cloth and dry it; no scouring powder, no steam. Wipe up water at once, at joints and edges above all."
    if "paint" in coatings:
        yield "Paint is dry in hours and hard in about a week: until then nothing heavy on it and doors not pressed shut. Chips at edges are touched up from the pot."
    if "oil" in coatings:
        yield "Oiled wood wants a thin coat once or twice a year. Oily rags can catch fire by themselves: dry them spread out, out of doors."
    if any(part.board.material.kind == "solid" for part in built.model.parts):
        yield "Solid wood moves with the seasons: keep the room between 40 and 60 % of humidity, and away from stoves; small lines at joints are not a fault."
    yield "Tighten hinge and handle screws once after the first month. Move it empty, lifted, never pushed; fix it to the wall again before it is used."


def _signatures() -> Figure:
    """Lines to sign on."""
    items: list[Item] = []
    for n, words in enumerate(("Client, place and date", "Maker, place and date")):
        x = n * 90.0
        items += [Stroke(((x, 0.0), (x + 76.0, 0.0)), NARROW), Text(x, -4.0, 2.5, words)]
    items.append(Text(0.0, 14.0, 2.5, " "))
    return Figure(tuple(items), "left", 2.0)
