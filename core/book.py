"""The client book: its chapters laid on pages that have nothing of a drawing office about them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from .built import BuiltJob
from .drawing.blocks import Block, Gap, Paragraph
from .drawing.page import Item, Page, RoomError, Text
from .exports.pdf import pdf_bytes
from .pack import record_date
from .pages._client_words import revision_words
from .pages._sheets import maker_of, name_of, record_of
from .pages.book import BOTTOM, COLUMN, LEFT, Book, chapters, height_of, unbroken

BEGINNING = 2  # blocks of a chapter that stand on one page with its title
TITLE, FOOT = 6.0, 2.5  # mm of lettering
LEAST = 60.0  # mm that must be free below the title of a chapter that is longer than a page


def book_bytes(job: BuiltJob, pictures: Mapping[str, bytes] | None = None) -> bytes:
    """The client book as PDF; `pictures` as `Book` names them. The same job and pictures give the same bytes."""
    return pdf_bytes(
        book_pages(job, pictures),
        title=f"{name_of(job)}: client book",
        date=record_date(job),
        subject="client book",
        author=maker_of(job),
    )


def picture_names(job: BuiltJob) -> tuple[str, ...]:
    """The names under which the book looks for pictures."""
    found = ["logo"]
    for built in job.pieces:
        names = ("shut", "open", *(f"scheme.{scheme.id}" for scheme in built.piece.finish.schemes))
        found += [f"{built.piece.id}/{name}" for name in names] if len(job.pieces) > 1 else names
    return tuple(dict.fromkeys(found))


def book_pages(job: BuiltJob, pictures: Mapping[str, bytes] | None = None) -> tuple[Page, ...]:
    """The pages of the book, each with its number."""
    book = Book(job, pictures or {})
    laid = _Laying(book)
    for chapter in chapters():
        blocks = list(map(unbroken, chapter.blocks(book)))
        if not blocks:
            continue
        laid.begin(chapter.title, height_of(blocks), height_of(blocks[:BEGINNING]))
        laid.put(blocks)
    footer = " · ".join(
        filter(None, (name_of(job), revision_words(record_of(job)), job.stamp.partition(":")[0]))
    )  # how many findings is the workshop's
    total = len(laid.pages)
    return tuple(
        Page(*book.paper, (*items, *_foot(footer, number, total)), f"{name_of(job)}: client book", bookmark, 0)
        for number, (items, bookmark) in enumerate(zip(laid.pages, laid.bookmarks, strict=True), 1)
    )


def _foot(words: str, number: int, total: int) -> tuple[Item, ...]:
    return Text(LEFT, 12.0, FOOT, words), Text(LEFT + COLUMN, 12.0, FOOT, f"page {number} of {total}", "right")


class _Laying:
    """Pages being filled from the top down; the cover has the first to itself."""

    def __init__(self, book: Book) -> None:
        self.room = book.room
        self.pages: list[list[Item]] = []
        self.bookmarks: list[str] = []
        self.y = 0.0

    def begin(self, title: str, height: float, beginning: float) -> None:
        """A new chapter; on a new page where the rest of this one does not hold it, or only the cover stands.

        Of one that is longer than a page, its title and its beginning must find room.
        """
        room, needed = self.y - BOTTOM, height + 3 * TITLE
        least = max(LEAST, min(beginning + 3 * TITLE, self.room))
        if len(self.pages) <= 1 or room < (needed if needed < self.room else least):
            self._turn()
        elif self.pages[-1]:
            self.y -= 6.0
        if not self.bookmarks[-1]:
            self.bookmarks[-1] = title or "Cover"
        if title:
            self.put([Paragraph(title, TITLE, "bold", after=4.0)])

    def put(self, blocks: Sequence[Block]) -> None:
        """The blocks one under another, over as many pages as they need. RoomError for one larger than a page."""
        waiting = list(blocks)
        while waiting:
            fresh = self.y == BOTTOM + self.room
            laid = waiting[0].laid(LEFT, self.y, COLUMN, self.y - BOTTOM)
            is_parted = laid is not None and laid.rest is not None and isinstance(waiting[0], Paragraph)
            if is_parted and not fresh:  # a few lines: they are read on one page
                self._turn()
                continue
            if laid is None or (isinstance(waiting[0], Gap) and fresh):
                if fresh and laid is None:
                    raise RoomError("a picture or figure is larger than a page of the book")
                if laid is None:
                    self._turn()
                else:
                    waiting.pop(0)
                continue
            self.pages[-1].extend(laid.items)
            self.y -= laid.height
            waiting[:1] = [] if laid.rest is None else [laid.rest]
            if laid.rest is not None:
                self._turn()

    def _turn(self) -> None:
        self.pages.append([])
        self.bookmarks.append("")
        self.y = BOTTOM + self.room
