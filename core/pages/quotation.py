"""The quotation: what the client gets, what is in and not in, the price with tax, until when, and a place to sign."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import replace

from ..built import BuiltJob, BuiltPiece
from ..buying.buying import cents
from ..buying.costing import Costing, costing, validity
from ..checks.reading import anchors, hanging_rails
from ..drawing.blocks import Figure
from ..drawing.page import NARROW, Stroke, Text
from ..drawing.sheet import Block, Cell, Column, Gap, Heading, Paragraph, Sheet, Table, fewest, single_group
from ..fittings import fitting_entry
from ..locales import Locale
from ..piece.finish import COATINGS, Coat
from ..wording import counted, listed
from ._buying import example_words
from ._client_words import group_words, handle_words, has_handles, revision_words
from ._sheets import blank, lists_of, maker_of, piece_name, record_of, sentence

TITLE = "Quotation"
TO_THE_WALL = "It will be screwed to your wall: furniture that is not fixed can tip over and kill."
SIGNATURES = ("Name", "Signature", "Date")
LID = "lid"  # the key of what a hinged lid does
NOT_YET = "No price can be given yet: some prices or rates of the workshop are not known."
SIZES, APART = "width × height × depth", ", knobs and handles not counted"


def quotation_sheets(job: BuiltJob) -> Sequence[Sheet]:
    """As many sheets as it takes; without a price as long as one is not known."""
    made, locale = costing(job), lists_of(job)
    blocks = [
        *_opening(job, made, locale),
        Heading("What you get"),
        _pieces(job, locale),
        Gap(4),
        *_included(job),
        *_price(job, made, locale),
        *_signing(job, made, locale),
    ]
    sheet = blank(job, TITLE, paper="A4", locale=locale)
    return fewest(blocks, replace(sheet, title=replace(sheet.title, views="")))


# ------------------------------------------------------------------------------------------------------------- opening
def _opening(job: BuiltJob, made: Costing, locale: Locale) -> Iterator[Block]:
    record = record_of(job)
    to = f" for {record.client}" if record.client else ""
    maker, address = maker_of(job), job.workshop.company.address
    by = f" by {maker}" if maker else ""
    yield Paragraph(f"{TITLE}{to}{by}", 5.0, "bold", after=4.0)
    of = f" of {locale.date(record.date)}" if record.date else ""
    said = [revision_words(record) + of] if record.revision else []
    until = validity(job)
    days = job.workshop.prices.valid_days
    said.append(
        f"it stands until {locale.date(until)}" if until else f"it stands {days} days from the day it is handed over"
    )
    if address:
        yield Paragraph(address)
    yield Paragraph(sentence("; ".join(said)) + ".")
    yield from example_words(made.bought.example)


# -------------------------------------------------------------------------------------------------------------- pieces
def _pieces(job: BuiltJob, locale: Locale) -> Table:
    sizes = SIZES + (APART if any(map(has_handles, job.pieces)) else "")
    columns = (Column("Quantity", 18, "right"), Column("Piece", 38), Column(f"Size ({sizes})", 41), Column("Made so"))
    rows = [
        (
            str(built.quantity),
            Cell(piece_name(built), "bold"),
            _size(built, locale),
            locale.text(". ".join(_made(built, locale)) + "."),
        )
        for built in job.pieces
    ]
    return Table(columns, single_group(rows))


def _size(built: BuiltPiece, locale: Locale) -> str:
    width, depth, height = built.model.overall
    return " × ".join(locale.length(each) for each in (width, height, depth)) + ("" if locale.denominator else " mm")


def _made(built: BuiltPiece, locale: Locale) -> Iterator[str]:
    materials = dict.fromkeys(part.board.material.name for part in built.model.parts)
    yield f"Of {listed(list(materials))}"
    yield from _holds(built, locale)
    coats: dict[str, list[str]] = {}
    scheme, used = built.piece.finish.scheme(), {part.finish for part in built.model.parts}
    for group, words in group_words(built, scheme).items():
        if group in used:
            coats.setdefault(_coat_words(scheme.coat(group)), []).append(words)
    yield from (sentence(f"{listed(groups)}: {words}") for words, groups in coats.items())


def _holds(built: BuiltPiece, locale: Locale) -> Iterator[str]:
    """Doors, drawers, what is inside, and the handles that are touched every day."""
    counts: Counter[str] = Counter()
    for motion in built.model.motions:
        counts["lid" if motion.key == LID else "door" if motion.kind == "swing" else "drawer"] += 1
    counts["loose shelf"] = sum(part.role == "loose shelf" for part in built.model.parts)
    counts["mirror"] = sum(part.role == "mirror" for part in built.model.parts)
    counts["hanging rail"] = len(hanging_rails(built.model))
    counts["coat hook"] = sum(
        fitting_entry(each.entry).kind == "coat hook" for each in built.model.fittings if each.entry
    )
    found = [counted(count, word) for word, count in counts.items() if count]
    if found:
        yield f"With {listed(found)}"
    handles = Counter(each.name for each in built.model.fittings if each.finish == "handles" and not each.bought_with)
    if handles:
        yield sentence("; ".join(f"{count} × {handle_words(name, locale)}" for name, count in handles.items()))


def _coat_words(coat: Coat) -> str:
    if coat.coating == "bare":
        return COATINGS["bare"].lower()
    return f"{COATINGS[coat.coating].lower()}{f', {coat.name}' if coat.name else ''}"


# --------------------------------------------------------------------------------------------------- what is in and not
def _included(job: BuiltJob) -> Iterator[Block]:
    prices = job.workshop.prices
    fixed = any(anchors(built.model) for built in job.pieces)
    inside = [
        "the piece as described, with its fittings and finish" if len(job.pieces) == 1 else "the pieces as described"
    ]
    if prices.delivery:
        inside.append(_as_said(prices.includes or "delivery and fixing"))
    elif prices.includes:
        inside.append(_as_said(prices.includes))
    outside = [_as_said(prices.excludes)] if prices.excludes else []
    outside += [] if prices.delivery else ["delivery and fixing"]
    yield Paragraph(f"In the price: {'; '.join(inside)}.")
    if outside:
        yield Paragraph(f"Not in the price: {'; '.join(outside)}.")
    if fixed:
        yield Paragraph(TO_THE_WALL)


def _as_said(words: str) -> str:
    """A sentence of the workshop's, as part of one of ours."""
    words = words.strip().rstrip(".")
    return words[:1].lower() + words[1:]


# --------------------------------------------------------------------------------------------------------------- price
def _price(job: BuiltJob, made: Costing, locale: Locale) -> Iterator[Block]:
    yield Heading("Price")
    if not made.is_complete:
        yield Paragraph(NOT_YET, 3.5, "bold")
        return
    prices = job.workshop.prices

    def money(amount) -> str:
        return locale.money(amount, prices.currency)

    rows: list[tuple[str | Cell, ...]] = [("Price without tax", money(made.net))]
    if prices.tax:
        rows.append((f"{sentence(prices.tax_name or 'tax')}, {locale.number(prices.tax, 2)} %", money(made.tax)))
    rows.append((Cell("To pay in all", "bold"), Cell(money(made.total), "bold")))
    if made.deposit:
        share = f"Deposit with the order, {locale.number(prices.deposit, 2)} %"
        rows += [(share, money(made.deposit)), ("On delivery", money(cents(made.total - made.deposit)))]
    yield Table((Column("What"), Column("Amount", 40, "right")), single_group(rows), height=3.5)
    if not prices.tax:
        yield Paragraph("No tax is charged.")
    yield Gap(4)


def _signing(job: BuiltJob, made: Costing, locale: Locale) -> Iterator[Block]:
    if not made.is_complete:
        return
    sizes = [f"{piece_name(built)}, {_size(built, locale)}" for built in job.pieces]
    yield Heading("Order", room=34.0)
    total = locale.money(made.total, job.workshop.prices.currency)
    yield Paragraph(
        f"I order as described above: {'; '.join(sizes)}; at {total}{' with tax' if job.workshop.prices.tax else ''}."
    )
    lines = []
    for n, word in enumerate(SIGNATURES):
        lines += [Stroke(((n * 58.0, 0.0), (n * 58.0 + 52.0, 0.0)), NARROW), Text(n * 58.0, -4.5, 2.5, word)]
    yield Gap(10)
    yield Figure(tuple(lines))
