"""From a tree to the saw: which cuts, in which order, at which fence setting, and what comes off each time.

All cuts of one piece are made before the pieces that came off it are cut, the widest strips first and strips of one
width together; what is left over is cut off in one piece where the tree allows it.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import dataclass

from .handling import tool_for
from .plan import ACROSS, ALONG, KEEP, PART, PIECE, SCRAP, SHEET, TRIM, Cut, Piece, Placement, SheetPlan
from .problem import CuttingProblem
from .trees import LEAF, ROW, kinds_in
from .whole import Whole

# An offcut worth a place in the rack has at least these sides; common practice, no source.
KEEP_SHORT, KEEP_LONG = 100.0, 300.0
KEEP_LENGTH = 300.0  # the same for a length
DUST = 1e-3  # mm; less than this is no piece


@dataclass(frozen=True, slots=True)
class Trims:
    """Which far sides of a sheet are trimmed before all else, the edge along it and the end; otherwise they go with
    what is cut off beside them.

    `late`: the datum edge is trimmed on each piece after the first cuts across, for a sheet longer than the track.
    """

    edge: bool
    end: bool
    late: bool = False


class Sawyer:
    """Collects pieces and cuts of one sheet."""

    def __init__(self, problem: CuttingProblem, stock: int) -> None:
        self.problem, self.stock = problem, stock
        size = problem.stock[stock]
        self.pieces = [Piece(0, SHEET, 0.0, 0.0, size.length, size.width)]
        self.cuts: list[Cut] = []

    def add(self, kind: str, x: float, y: float, length: float, width: float) -> int:
        """A new piece."""
        self.pieces.append(Piece(len(self.pieces), kind, _tidy(x), _tidy(y), _tidy(length), _tidy(width)))
        return len(self.pieces) - 1

    def name(self, number: int, kind: str, part: int | None = None) -> None:
        """Say what a piece has turned out to be."""
        piece = self.pieces[number]
        if kind == KEEP and not self.worth_keeping(piece.length, piece.width):
            kind = SCRAP
        self.pieces[number] = Piece(number, kind, piece.x, piece.y, piece.length, piece.width, part)

    def cut(self, of: int, direction: str, setting: float, far: bool = False) -> tuple[int, int | None]:
        """Cut a piece at this distance from its datum edge (or from the far edge); what comes off and what stays."""
        piece, kerf = self.pieces[of], self.problem.kerf
        across = direction == ACROSS
        full, start = (piece.length, piece.x) if across else (piece.width, piece.y)
        left = full - setting - kerf
        off_at, rest_at = (start + full - setting, start) if far else (start, start + setting + kerf)
        off = self._part_of(piece, across, off_at, setting)
        rest = self._part_of(piece, across, rest_at, left) if left > DUST else None
        tool = tool_for(
            self.problem, *((piece.width, piece.length) if across else (piece.length, piece.width)), setting
        )
        near = off_at - kerf if far else off_at + setting
        self.cuts.append(Cut(len(self.cuts) + 1, of, direction, _tidy(setting), _tidy(near), off, rest, far, tool))
        return off, rest

    def _part_of(self, piece: Piece, across: bool, start: float, size: float) -> int:
        if across:
            return self.add(PIECE, start, piece.y, size, piece.width)
        return self.add(PIECE, piece.x, start, piece.length, size)

    def worth_keeping(self, length: float, width: float) -> bool:
        """Whether an offcut of this size goes back to the rack."""
        if self.problem.lengths_only:
            return length >= KEEP_LENGTH
        return min(length, width) >= KEEP_SHORT and max(length, width) >= KEEP_LONG


def sawn(
    problem: CuttingProblem,
    whole: Whole,
    stock: int,
    tree: tuple,
    unused: dict[int, list[int]],
    trims: Trims = Trims(True, True),
) -> SheetPlan:
    """The plan of one sheet. `unused` holds, for each kind, the numbers of its parts still to be cut; they are used up
    in turn."""
    sawyer = Sawyer(problem, stock)
    edge, end = problem.edge_trim(problem.stock[stock]), problem.end_trim(problem.stock[stock])
    late = trims.late and edge > DUST
    usable = 0 if late else _trimmed(sawyer, 0, ALONG, edge, trims.edge)
    usable = _trimmed(sawyer, usable, ACROSS, end, trims.end)
    if late and tree[2] != ROW:
        usable = _cut_to_length(sawyer, usable, tree[0] / whole.scale - problem.kerf)
        usable, late = _trimmed(sawyer, usable, ALONG, edge, False), False
    waiting = deque([(tree, usable)])
    untrimmed = {usable} if late else set()
    placements: list[Placement] = []
    while waiting:
        node, number = waiting.popleft()
        if number in untrimmed and (number != usable or node is not tree):
            number = _trimmed(sawyer, number, ALONG, edge, False)
        if not (late and node is tree):
            number = _cut_tight(sawyer, whole, node, number)
        if node[2] == LEAF:
            kind = whole.kinds[node[3]]
            part = unused[node[3]].pop(0)
            piece = sawyer.pieces[number]
            placements.append(Placement(part, piece.x, piece.y, (node[0], node[1]) != (kind.length, kind.width)))
            sawyer.name(number, PART, part)
            continue
        across = node[2] == ROW
        children = sorted(node[3], key=lambda child: _order_at_saw(child, across))
        for at, child in enumerate(children):
            if at == len(children) - 1:
                waiting.append((child, number))
                break
            setting = (child[0] if across else child[1]) / whole.scale - problem.kerf
            off, rest = sawyer.cut(number, ACROSS if across else ALONG, setting)
            waiting.append((child, off))
            if number in untrimmed:
                untrimmed |= {off, rest}
            number = rest  # never None: more children follow
    return SheetPlan(stock, tuple(placements), tuple(sawyer.pieces), in_setting_order(sawyer.cuts))


def in_setting_order(cuts: Sequence[Cut]) -> tuple[Cut, ...]:
    """The cuts numbered anew, so that those of one setting follow one another where their pieces are there already."""
    of = {cut.of: cut for cut in cuts}  # every piece is cut once; what is left of it is another piece
    ready = {of[0].number: of[0]} if cuts else {}  # by the number it had
    ordered: list[Cut] = []
    while ready:
        same = [number for number, cut in ready.items() if ordered and _setting(cut) == _setting(ordered[-1])]
        cut = ready.pop(min(same or ready))
        ordered.append(cut._replace(number=len(ordered) + 1))
        ready |= {of[piece].number: of[piece] for piece in (cut.off, cut.rest) if piece in of}
    return tuple(ordered)


def _setting(cut: Cut) -> tuple:
    return cut.tool, cut.direction, cut.setting


def _order_at_saw(child: tuple, across: bool) -> tuple:
    """Largest setting first, so that the piece in hand stays easy to hold; equal settings and equal make-up
    together."""
    along, other = (child[0], child[1]) if across else (child[1], child[0])
    return (-along, -other, child[2] == LEAF, sorted(kinds_in(child)))


def _trimmed(sawyer: Sawyer, number: int, direction: str, trim: float, far_too: bool) -> int:
    """Take the trim off the datum side of a piece, and off the far one where asked; the number of what is left."""
    for far in (
        () if trim <= DUST else (True, False) if far_too else (True,)
    ):  # the datum side first, measured from the side opposite
        piece = sawyer.pieces[number]
        full = piece.length if direction == ACROSS else piece.width
        number, rest = sawyer.cut(number, direction, full - trim, far=far)
        if rest is not None:
            sawyer.name(rest, TRIM)
    return number


def _cut_to_length(sawyer: Sawyer, number: int, length: float) -> int:
    """Cut a piece across at this length, where it is longer; the number of what comes off."""
    if sawyer.pieces[number].length - length <= DUST:
        return number
    number, rest = sawyer.cut(number, ACROSS, length)
    if rest is not None:
        sawyer.name(rest, KEEP)
    return number


def _cut_tight(sawyer: Sawyer, whole: Whole, node: tuple, number: int) -> int:
    """Cut off what a node does not need, so that the larger offcut stays whole; the number of the tight piece.

    What is no offcut to keep is left to the children: in the direction in which they lie to the last of them, across it
    to each where only one is as wide as the node. So there are no more cuts, made in smaller pieces, and larger
    offcuts.
    """
    kerf, piece = sawyer.problem.kerf, sawyer.pieces[number]
    length, width = node[0] / whole.scale - kerf, node[1] / whole.scale - kerf
    spare_length, spare_width = piece.length - length, piece.width - width
    if sawyer.problem.lengths_only:
        spare_width = 0.0
    across_first = (spare_length - kerf) * piece.width >= (spare_width - kerf) * piece.length
    for direction in (ACROSS, ALONG) if across_first else (ALONG, ACROSS):
        spare = spare_length if direction == ACROSS else spare_width
        if spare > DUST and not _left_to_children(sawyer, node, piece, direction, spare - kerf):
            number, rest = sawyer.cut(number, direction, length if direction == ACROSS else width)
            if rest is not None:
                sawyer.name(rest, KEEP)
    return number


def _left_to_children(sawyer: Sawyer, node: tuple, piece: Piece, direction: str, spare: float) -> bool:
    across = direction == ACROSS
    if sawyer.problem.lengths_only and node[2] != LEAF:
        return True  # a length is sawn from its marked end on
    if node[2] == LEAF or sawyer.worth_keeping(*((spare, piece.width) if across else (piece.length, spare))):
        return False
    side = 0 if across else 1
    return across == (node[2] == ROW) or sum(1 for child in node[3] if child[side] == node[side]) == 1


def _tidy(value: float) -> float:
    """Without the last bits of float noise."""
    return round(value, 6) + 0.0
