"""The cover: the picture that is fallen for, whose piece it is, and who makes it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ...built import BuiltPiece
from ...drawing.blocks import Block, Figure, Gap, Paragraph
from ...drawing.hidden_lines import Drawable
from ...drawing.perspective import FLAT, Perspective
from ...meshes import model_meshes
from .._client_words import revision_words
from .._sheets import maker_of, name_of, record_of, sentence
from .._views import drawn
from ..single import view_of
from ._book import READING, Book, PictureBlock, height_of

WIDEST, HIGHEST, LOGO = 165.0, 180.0, 16.0  # mm
MOST_SHOWN = 4  # pieces; more would be too small to be seen
AFTER = 7.0  # mm below a picture
STOPPED = "This design cannot be built as it stands: the workshop is still at work on it."


class Cover:
    """Name, client, picture or drawing, the maker's logo, name and address, revision."""

    word = "cover"
    title = ""
    order = 0

    def blocks(self, book: Book) -> Sequence[Block]:
        """Always something."""
        above, below = list(_above(book)), list(_below(book))
        shown = book.job.pieces[:MOST_SHOWN]
        share = min(HIGHEST, book.room - height_of([*above, *below])) / len(shown) - AFTER
        return [*above, *(_picture(book, built, share) for built in shown), *below]


ENTRY = Cover()


def _above(book: Book) -> Iterator[Block]:
    client = record_of(book.job).client
    yield Paragraph(name_of(book.job), 9.0, "bold", after=3.0 if client else 8.0)
    if client:
        yield Paragraph(f"for {client}", 5.0, after=8.0)


def _below(book: Book) -> Iterator[Block]:
    record, company = record_of(book.job), book.job.workshop.company
    if "logo" in book.pictures:
        yield PictureBlock(book.pictures["logo"], LOGO, after=4.0)
    if maker_of(book.job):
        yield Paragraph(f"Made by {maker_of(book.job)}", 5.0, after=2.0)
    if company.address:
        yield Paragraph(company.address, READING, after=2.0)
    state = ", ".join(filter(None, (revision_words(record), book.locale.date(record.date))))
    if state:
        yield Paragraph(sentence(state), READING)
    if book.job.stamp:
        yield Gap(4)
        yield Paragraph(STOPPED, 5.0, "bold")


def _picture(book: Book, built: BuiltPiece, most: float) -> Block:
    """A piece shut, or open; drawn in perspective as long as there is no picture of it."""
    picture = book.picture(built, "shut") or book.picture(built, "open")
    if picture:
        return PictureBlock(picture, most, after=AFTER)
    near = view_of("perspective", built.model)
    assert isinstance(near, Perspective)
    drawing = drawn(Drawable.of([near.mesh(mesh) for mesh in model_meshes(built.model).values()]), FLAT)
    scale = min(WIDEST / drawing.box.width, most / drawing.box.height)
    return Figure(tuple(drawing.items(0.0, 0.0, scale)), "middle", after=AFTER)
