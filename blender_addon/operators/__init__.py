"""The commands; each reads its properties, calls what does the work, and reports."""

from . import add, files, papers, rows, select

CLASSES = (*add.CLASSES, *files.CLASSES, *papers.CLASSES, *rows.CLASSES, *select.CLASSES)
