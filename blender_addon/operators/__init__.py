"""The commands; each reads its properties, calls what does the work, and reports."""

from . import add, book, compartments, cutting, drag, files, own_room, papers, report, rows, select

CLASSES = (
    *add.CLASSES,
    *book.CLASSES,
    *compartments.CLASSES,
    *cutting.CLASSES,
    *drag.CLASSES,
    *files.CLASSES,
    *own_room.CLASSES,
    *papers.CLASSES,
    *report.CLASSES,
    *rows.CLASSES,
    *select.CLASSES,
)
