"""The plan for lengths: what is cut from which length of solid stock, moulding or rail, each drawn to scale with its
cuts."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..built import BuiltJob
from ..cutting.plan import KEEP, PART, SCRAP, TRIM, Cut, Piece, SheetPlan
from ..cutting.planned import JobPlans, MaterialPlan, job_plans
from ..drawing import text
from ..drawing.blocks import Block, Figure, Heading, Paragraph
from ..drawing.page import NARROW, WIDE, Item, Lines, Rect, Text, box
from ..drawing.sheet import SCALES, Scale, Sheet, fewest
from ..locales import Locale
from ..wording import counted, listed
from ._plan_words import IN_MM, about_words, plan_views, result_words, stock_words, taken_words, unplanned_blocks
from ._sawing import alike
from ._sheets import blank, lists_of, sentence

LARGEST = Scale(1, 5)
HEIGHT = 7.0  # mm of a length on paper; its section is not drawn to scale
LETTERING = 2.5
HOW_TO_READ = (
    "Each length lies as drawn, its marked end at the left; lengths are to scale, sections are not. The number at "
    "each cut is its place in the order "
    "of sawing; the stop is set to the length that comes off. A mitred piece is sawn square to its long point and {more} "
    "more for each mitre, then mitred: "
    "the front first, tried on the carcass, then the returns, long where they are trimmed at the rear. Cut the longest first; try a "
    "mitre in the scrap."
)
ALLOWED = 10.0  # mm more for each mitre, as the plan reckons
SHORT = 150.0  # mm, too short to hold beside a blade; common practice, no source


def how_to_read(locale: Locale = IN_MM) -> str:
    """How the drawings of lengths are read."""
    return HOW_TO_READ.format(more=locale.length(ALLOWED))


class LengthsPlanPages:
    """Every length in sawing order, material by material."""

    word = "lengths_plan"
    title = "Plan for lengths"
    order = 34
    place = "saw"

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """As many sheets as the lengths need, none for a job without them."""
        plans, locale = job_plans(job), lists_of(job)
        missing = [each for each in plans.unplanned if each.blank.width <= 1]
        if not plans.lengths and not missing:
            return ()
        sheet = blank(
            job,
            self.title,
            paper="A4 landscape",
            views=plan_views("Lengths to the scale that is said, sections not to scale.", locale),
            locale=locale,
        )
        return fewest(list(_blocks(plans, sheet.room.width, locale)), sheet)


ENTRY = LengthsPlanPages()


def length_scale(made: MaterialPlan, room: float) -> Scale:
    """The largest scale at which the longest length fits."""
    longest = max(made.plan.stock_of(sheet).length for sheet in made.plan.sheets)
    return next((scale for scale in SCALES[SCALES.index(LARGEST) :] if longest * scale.ratio + 1 <= room), SCALES[-1])


def _blocks(plans: JobPlans, room: float, locale: Locale) -> Iterator[Block]:
    saws = plans.workshop.saws
    yield Paragraph(stock_words(plans.workshop))
    yield Paragraph(
        f"{how_to_read(locale)} Reckoned with: kerf {locale.thickness(saws.kerf)}, end trim {locale.length(saws.end_trim)}."
    )
    if any(each.mitres and each.length < SHORT for made in plans.lengths for each in made.blanks):
        yield Paragraph(
            f"Mitred pieces shorter than {locale.length(SHORT)}: mitre the end of what is left of the length, then saw the "
            "piece off; hands stay clear of the blade."
        )
    for made in plans.lengths:
        yield from length_blocks(made, room, locale)
    yield from unplanned_blocks([each for each in plans.unplanned if each.blank.width <= 1])


def length_blocks(made: MaterialPlan, room: float, locale: Locale = IN_MM) -> Iterator[Block]:
    """The lengths of one material, each drawn, with its order of cuts beneath."""
    scale = length_scale(made, room)
    yield Heading(f"{sentence(made.name)}: {result_words(made, locale)} ({scale})", room=20.0)
    notes = made.notes
    for numbers, sheet in alike(made.plan.sheets):
        yield Figure(length_figure(made, sheet, scale.ratio, locale), after=2.0)
        yield Paragraph(" ".join((*notes, order_words(made, sheet, numbers, locale))), after=5.0)
        notes = ()


def length_figure(made: MaterialPlan, sheet: SheetPlan, scale: float, locale: Locale = IN_MM) -> tuple[Item, ...]:
    """One length at a scale, its marked end at the origin."""
    stock = made.plan.stock_of(sheet)
    items: list[Item] = [box(Rect(0.0, 0.0, stock.length * scale, HEIGHT), NARROW)]
    pieces = {piece.number: piece for piece in sheet.pieces}
    last = -10.0
    for cut in sorted(sheet.cuts, key=lambda cut: cut.at):
        x = min((cut.at + made.plan.problem.kerf / 2) * scale, stock.length * scale)
        number = str(cut.number)
        high = HEIGHT + (1.0 if x - last > text.width(number, LETTERING, "bold") + 1.0 else 4.2)
        items += [Lines(((x, -1.0, x, HEIGHT + 1.0),), NARROW), Text(x, high, LETTERING, number, "middle", "bold")]
        last = x if high < HEIGHT + 2 else last
    for piece in pieces.values():
        if piece.kind in (PART, KEEP, SCRAP):
            items += _piece_items(made, piece, scale, locale)
    for low, high in stock.defects:
        items += [
            Lines(
                tuple(
                    (x * scale, 0.0, min(x + 8 / scale, high) * scale, min(8.0, (high - x) * scale))
                    for x in _steps(low, high, 2 / scale)
                ),
                NARROW,
            )
        ]
    return tuple(items)


def _steps(low: float, high: float, step: float) -> Iterator[float]:
    at = low
    while at < high:
        yield at
        at += step


def _piece_items(made: MaterialPlan, piece: Piece, scale: float, locale: Locale) -> Iterator[Item]:
    rect = Rect(piece.x * scale, 0.0, piece.length * scale, HEIGHT)
    if piece.kind == PART:
        yield box(rect, WIDE)
    for words, style in _words(made, piece, locale):
        if text.width(words, LETTERING, style) + 1.4 <= rect.width:  # type: ignore[arg-type]
            yield Text(rect.centre[0], HEIGHT / 2 - LETTERING / 2, LETTERING, words, "middle", style)  # type: ignore[arg-type]
            return


def _words(made: MaterialPlan, piece: Piece, locale: Locale) -> Iterator[tuple[str, str]]:
    """What may be lettered in a piece, the fullest first."""
    size = locale.length(piece.length)
    if piece.kind != PART:
        word = "keep" if piece.kind == KEEP else "scrap"
        yield from ((f"{word} {size}", "regular"), (word, "regular"))
        return
    blank = made.blanks[piece.part or 0]
    if blank.mark:
        yield from (
            (f"{blank.mark} {blank.name}: {size}", "bold"),
            (f"{blank.mark}: {size}", "bold"),
            (blank.mark, "bold"),
        )
    else:
        yield from ((f"{blank.name}: {size}", "bold"), (size, "bold"))


def order_words(made: MaterialPlan, sheet: SheetPlan, numbers: Sequence[int], locale: Locale = IN_MM) -> str:
    """The order of cuts of one length in a sentence or two."""
    pieces = {piece.number: piece for piece in sheet.pieces}
    count = f"{sentence(listed([str(number) for number in numbers]))} of {len(made.plan.sheets)}"
    which = f"Length{'s' if len(numbers) > 1 else ''} {count}, {taken_words(made, sheet, locale)}" + (
        "; cut alike" if len(numbers) > 1 else ""
    )
    steps = "; ".join(_step(made, pieces, cut, locale) for cut in sheet.cuts)
    whole = next(
        (f"{counted(1, 'part')} as it is" for piece in sheet.pieces if piece.kind == PART and not sheet.cuts), ""
    )
    left = next(
        (
            f". Is left: {'keep' if piece.kind == KEEP else 'scrap'} {locale.length(piece.length)}"
            for piece in sheet.pieces
            if piece.kind in (KEEP, SCRAP) and piece.number == _last_rest(sheet)
        ),
        "",
    )
    if len(made.plan.sheets) == 1 and not made.plan.stock_of(sheet).offcut:
        which = ""  # the heading has said all there is to say of it
    return f"{which}{'. ' if which else ''}{sentence(steps or whole)}{left}."


def _last_rest(sheet: SheetPlan) -> int | None:
    return next((cut.rest for cut in reversed(sheet.cuts) if cut.rest is not None), None)


def _step(made: MaterialPlan, pieces: dict[int, Piece], cut: Cut, locale: Locale) -> str:
    rest, off = (pieces[cut.rest] if cut.rest is not None else None), pieces[cut.off]
    if cut.from_far and rest is not None and rest.kind in (TRIM, SCRAP):
        taken = pieces[cut.of].length - cut.setting
        return (
            f"{cut.number}: trim the marked end by {locale.length(taken)}"
            if rest.kind == TRIM
            else f"{cut.number}: {locale.length(taken)} off for the defect"
        )
    if off.kind == PART:
        blank = made.blanks[off.part or 0]
        about = f" ({about_words(blank, locale)})" if blank.about else ""
        return f"{cut.number}: stop at {locale.length(cut.setting)}, {f'{blank.mark} {blank.name}'.strip()}{about}"
    return f"{cut.number}: stop at {locale.length(cut.setting)}"
