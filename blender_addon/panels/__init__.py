"""The sidebar tab Muntin, its panels in the order in which a maker designs."""

from . import cutting, papers, piece, rows, start

CLASSES = (*rows.CLASSES, *start.CLASSES, *piece.CLASSES, *cutting.CLASSES, *papers.CLASSES)
