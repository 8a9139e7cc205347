"""The cover: the picture that is fallen for, whose piece it is, and who makes it."""

from __future__ import annotations

from collections.abc import Sequence

from ...built import BuiltPiece
from ...drawing.blocks import Block, Figure, Gap, Paragraph
from ...drawing.hidden_lines import Drawable
from ...drawing.perspective import FLAT, Perspective
from ...meshes import model_meshes
from .._sheets import maker_of, name_of, record_of
from .._views import drawn
from ..single import view_of
from ._book import READING, Book, PictureBlock

WIDEST, HIGHEST, LOGO = 165.0, 175.0, 16.0  # mm


class Cover:
    """Name, client, picture or drawing, the maker's logo, name and address, revision."""

    word = "cover"
    title = ""
    order = 0

    def blocks(self, book: Book) -> Sequence[Block]:
        """Always something."""
        record = record_of(book.job)
        found: list[Block] = [Paragraph(name_of(book.job), 9.0, "bold", after=3.0 if record.client else 8.0)]
        if record.client:
            found.append(Paragraph(f"for {record.client}", 5.0, after=8.0))
        found += [_picture(book, built, HIGHEST / len(book.job.pieces)) for built in book.job.pieces]
        said = f"Revision {record.revision}" + (f", {book.locale.date(record.date)}" if record.date else "")
        if "logo" in book.pictures:
            found.append(PictureBlock(book.pictures["logo"], LOGO, after=4.0))
        if maker_of(book.job):
            found.append(Paragraph(f"Made by {maker_of(book.job)}", 5.0, after=2.0))
        if book.job.workshop.company.address:
            found.append(Paragraph(book.job.workshop.company.address, READING, after=2.0))
        found.append(Paragraph(said, READING))
        if book.job.stamp:
            found += [
                Gap(4),
                Paragraph(
                    "This design cannot be built as it stands: the workshop is still at work on it.", 5.0, "bold"
                ),
            ]
        return found


ENTRY = Cover()


def _picture(book: Book, built: BuiltPiece, most: float) -> Block:
    """A piece shut, or open; drawn in perspective as long as there is no picture of it."""
    picture = book.picture(built, "shut") or book.picture(built, "open")
    if picture:
        return PictureBlock(picture, most, after=6.0)
    near = view_of("perspective", built.model)
    assert isinstance(near, Perspective)
    drawing = drawn(Drawable.of([near.mesh(mesh) for mesh in model_meshes(built.model).values()]), FLAT)
    scale = min(WIDEST / drawing.box.width, most / drawing.box.height)
    return Figure(tuple(drawing.items(0.0, 0.0, scale)), "middle", after=8.0)
