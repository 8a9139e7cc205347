"""The finishes under discussion, side by side: a picture of each, and its colours with their names."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...drawing.blocks import Block, Gap, Paragraph
from ...piece.finish import COATINGS, Coat, Scheme
from .._client_words import group_words
from .._sheets import sentence
from ._book import READING, Book, Columns, PictureBlock, SwatchLine, height_of

HIGHEST, ABREAST, SMALL = (
    70.0,
    3,
    2.5,
)  # mm of picture; schemes side by side, where a page is high enough; mm of lettering
HEADED = 15.0  # mm for the name of a piece
NEAR = "Colours on a screen and on paper are near, not exact; what counts is the painted sample."


class Schemes:
    """Every scheme of every piece."""

    word = "schemes"
    title = "Finishes"
    order = 20

    def blocks(self, book: Book) -> Sequence[Block]:
        """The schemes in rows of up to three columns: a picture where there is one, then a line for each colour."""
        return [Paragraph(NEAR, READING), *book.each(_told)]


ENTRY = Schemes()


def _told(book: Book, built: BuiltPiece) -> Iterator[Block]:
    columns = [_column(book, built, scheme, number) for number, scheme in enumerate(built.piece.finish.schemes, 1)]
    for abreast in range(min(ABREAST, len(columns)), 0, -1):
        rows = [Columns(tuple(columns[n : n + abreast]), abreast) for n in range(0, len(columns), abreast)]
        if all(height_of([row]) < book.room - HEADED for row in rows):
            break
    yield from rows


def _column(book: Book, built: BuiltPiece, scheme: Scheme, number: int) -> tuple[Block, ...]:
    several = len(built.piece.finish.schemes) > 1
    shown = scheme.id == built.piece.finish.shown and several
    picture = book.picture(built, f"scheme.{scheme.id}") or (book.picture(built, "shut") if shown else None)
    name = scheme.name or (f"Scheme {number}" if several else "")
    found: list[Block] = [Paragraph(name, READING, "bold", after=1.0)] if name else []
    seen = any(book.picture(built, view) for view in ("shut", "open"))
    offered = "as in the pictures" if seen else "as offered in this book"
    found.append(Paragraph(offered if shown else "another choice", SMALL, after=3.0) if several else Gap(1))
    found += [PictureBlock(picture, HIGHEST)] if picture else []
    return (*found, *_colours(book, built, scheme))


def _colours(book: Book, built: BuiltPiece, scheme: Scheme) -> Iterator[Block]:
    """A line for each coat, with all groups of parts that have it."""
    coats: dict[Coat, list[str]] = {}
    for group, words in group_words(built, scheme).items():
        coat = scheme.coat(group)
        key = next((each for each in coats if _same(each, coat)), coat)
        coats.setdefault(key, []).append(words)
    for coat, groups in coats.items():
        name = f"“{coat.name}”, " if coat.name else ""
        sheen = "" if coat.coating in ("bare", "oil") else f", {book.sheen(coat)}"
        yield SwatchLine(
            coat.colour,
            f"{sentence(', '.join(groups))}: {COATINGS[coat.coating].lower()}, {name}{coat.colour}{sheen}",
            SMALL,
        )


def _same(first: Coat, second: Coat) -> bool:
    return (first.coating, first.colour, first.name, first.sheen) == (
        second.coating,
        second.colour,
        second.name,
        second.sheen,
    )
