"""The cover: the picture that is fallen for, whose piece it is, and who makes it."""

from __future__ import annotations

from collections.abc import Sequence

from ...drawing.blocks import Block, Gap, Paragraph
from .._sheets import maker_of, name_of, record_of
from ._book import READING, Book, PictureBlock

HIGHEST, LOGO = 175.0, 16.0  # mm


class Cover:
    """Name, client, picture, the maker's logo, name and address, revision."""

    word = "cover"
    title = ""
    order = 0

    def blocks(self, book: Book) -> Sequence[Block]:
        """Always something: without a picture the words alone."""
        record = record_of(book.job)
        found: list[Block] = [Paragraph(name_of(book.job), 9.0, "bold", after=3.0)]
        if record.client:
            found.append(Paragraph(f"for {record.client}", 5.0, after=8.0))
        pictures = [book.picture(built, "shut") or book.picture(built, "open") for built in book.job.pieces]
        there = [each for each in pictures if each]
        found += [PictureBlock(each, HIGHEST / len(there), after=6.0) for each in there]
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
