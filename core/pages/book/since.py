"""What changed since the last revision, in plain words: what one sees first, then what it means in the workshop."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...changing import ChangedPiece, changed
from ...drawing.blocks import Block, Paragraph
from ...fittings import fitting_entries
from ...piece import Piece
from ...piece.finish import Coat
from ...revisions.compare import Change
from ...wording import counted, listed, plural
from .._client_words import HANDLES
from ._book import READING, Book

SIZES = ((0, "wide"), (2, "high"), (1, "deep"))  # of what is measured over all
LEAST = 0.05  # mm; half the finest step
COUNTED = ("door", "drawer", "loose shelf")
ADDED, GONE, RESIZED = "added", "gone", "another size"  # words of a comparison


class Since:
    """How many of it, sizes, doors, drawers, shelves, handles, finishes and parts that are other than they were."""

    word = "since"
    title = "What changed since last time"
    order = 70

    def blocks(self, book: Book) -> Sequence[Block]:
        """Left out of a first revision."""
        found = changed(book.job)
        if found is None:
            return ()
        pieces = {id(each.built): each for each in found.pieces}

        def told(book: Book, built: BuiltPiece) -> Iterator[Block]:
            yield from (_line(words) for words in _lines(book, pieces[id(built)]))

        blocks = book.each(told)
        blocks += [
            _line(f"{each.piece.whole.name or each.piece.id}: no longer part of the order.") for each in found.gone
        ]
        return blocks or [_line("Nothing that you would see.")]


ENTRY = Since()


def _line(words: str) -> Paragraph:
    return Paragraph(words, READING, after=2.0)


def _lines(book: Book, piece: ChangedPiece) -> Iterator[str]:
    if piece.before is None or piece.was is None:
        yield "New in this order."
        return
    was, now = piece.before.piece, piece.built.piece
    if piece.before.quantity != piece.built.quantity:
        yield f"{piece.built.quantity} of it instead of {piece.before.quantity}."
    for axis, word in SIZES:
        before, after = piece.was.overall[axis], piece.built.model.overall[axis]
        if abs(after - before) > LEAST:
            yield f"{book.length(after)} {word} instead of {book.length(before)}."
    yield from _seen(book, piece)
    yield from _finishes(was, now)
    counts = list(_parts(piece))
    if counts:
        yield f"In the workshop that means {listed(counts)}."


def _seen(book: Book, piece: ChangedPiece) -> Iterator[str]:
    """Doors, drawers and loose shelves by their number, handles by their names."""
    assert piece.before
    before, after = _numbers(piece.before.piece), _numbers(piece.built.piece)
    for what, old, new in zip(COUNTED, before, after, strict=True):
        if old != new:
            yield f"{counted(new, what) if new else f'No {plural(what)}'} instead of {old or 'none'}."
    handles = {each.name for each in fitting_entries() if each.kind in HANDLES}
    changes = [(name, number) for name, number in piece.comparison.bought if name in handles]
    more, fewer = ([counted(abs(n), book.named(name)) for name, n in changes if (n > 0) is up] for up in (True, False))
    if more and fewer:
        yield f"{listed(more)} instead of {listed(fewer)}."
    elif more or fewer:
        yield f"{'More' if more else 'Fewer'} handles: {listed(more or fewer)} {'more' if more else 'fewer'}."


def _numbers(piece: Piece) -> tuple[int, int, int]:
    """How many doors, drawers and loose shelves a piece has."""
    kinds = [front.kind for front in piece.fronts]
    shelves = [each for bay in piece.layout for each in bay.holds if getattr(each, "style", "") == "shelves"]
    return kinds.count("door") + 2 * kinds.count("pair"), kinds.count("drawer"), sum(each.quantity for each in shelves)


def _finishes(was: Piece, now: Piece) -> Iterator[str]:
    before, after = was.finish.scheme(), now.finish.scheme()
    if before.name != after.name and after.name:
        yield f"Finished as “{after.name}”" + (f" instead of “{before.name}”." if before.name else ".")
    elif _looks(before.coats) != _looks(after.coats):
        yield "The colours are others: see the finishes in this book."
    elif was.finish.schemes != now.finish.schemes:
        yield "Of the finishes to choose from some are others: see the finishes in this book."


def _looks(coats: Sequence[Coat]) -> list[tuple[object, ...]]:
    """What one sees of coats."""
    return [(each.group, each.coating, each.colour, each.name, each.sheen) for each in coats]


def _parts(piece: ChangedPiece) -> Iterator[str]:
    found = piece.comparison
    others = [each for each in found.of(RESIZED) if _is_of_another_board(each)]
    for number, words, several in (
        (len(found.of(ADDED)), "new part", "new parts"),
        (len(found.of(GONE)), "dropped part", "dropped parts"),
        (len(found.of(RESIZED)) - len(others), "resized part", "resized parts"),
        (len(others), "part of another board", "parts of another board"),
    ):
        if number:
            yield counted(number, words, several)


def _is_of_another_board(change: Change) -> bool:
    return bool(change.before and change.after and change.before.board.material != change.after.board.material)
