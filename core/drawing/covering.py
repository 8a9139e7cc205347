"""Where the edges to be tested are out of sight."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .intervals import gaps
from .rows import Rows
from .runs import between, spread
from .volumes import Boxes, Volumes, clipped, meeting, met, within


@dataclass(frozen=True, slots=True, eq=False)
class Stretches:
    """Parts of rows, as fractions of the edge, each on account of an owner of shadows."""

    row: np.ndarray
    owner: np.ndarray
    low: np.ndarray
    high: np.ndarray

    @classmethod
    def within(cls, rows: Rows, row: np.ndarray, volumes: Volumes, volume: np.ndarray) -> Stretches:
        """What of the rows lies in the volumes, pair by pair."""
        low, high = clipped(rows.tail, rows.head, row, volumes, volume)
        some = np.flatnonzero(low < high)
        return cls(row[some], volumes.owner[volume[some]], low[some], high[some])

    def without(self, others: Stretches) -> Stretches:
        """These without what others of the same row and owner take out of them."""
        if not len(others.row):
            return self
        size = 1 + max(int(others.owner.max()), int(self.owner.max(initial=0)))
        keys, wanted = others.row * size + others.owner, self.row * size + self.owner
        order = np.argsort(keys, kind="stable")
        keys = keys[order]
        mine, place = between(np.searchsorted(keys, wanted), np.searchsorted(keys, wanted, side="right"))
        left, low, high = gaps(self.low, self.high, mine, others.low[order[place]], others.high[order[place]])
        return Stretches(self.row[left], self.owner[left], low, high)

    def and_whole(self, rows: np.ndarray) -> Stretches:
        """These and some rows from end to end."""
        zero, one, none = np.zeros(len(rows)), np.ones(len(rows)), np.full(len(rows), -1)
        pairs = ((self.row, rows), (self.owner, none), (self.low, zero), (self.high, one))
        return Stretches(*(np.concatenate(pair) for pair in pairs))


def hidden(rows: Rows, shadows: Volumes, windows: Volumes) -> Stretches:
    """Where rows lie in shadows, the windows in them taken out."""
    row, window = _met(rows, windows)
    open_part = Stretches.within(rows, row, windows, window)
    may_vanish = np.ones(len(rows.edge), bool)
    may_vanish[open_part.row] = False
    row, shadow = _met(rows, shadows, may_vanish)
    gone = _swallowed(rows.boxes, may_vanish, shadows, row, shadow)
    left = ~gone[row]
    return Stretches.within(rows, row[left], shadows, shadow[left]).without(open_part).and_whole(np.flatnonzero(gone))


def _met(rows: Rows, volumes: Volumes, may_vanish: np.ndarray | None = None) -> tuple[np.ndarray, np.ndarray]:
    """The rows whose boxes meet those of volumes, of owners that do not spare them: (row, volume).

    Found from the large to the small: groups and volumes close together, single volumes, blocks, rows. A group of rows
    that may vanish and lies whole in a shadow is named with that shadow alone.
    """
    blocks = rows.boxes.around_runs(rows.blocks)
    groups = blocks.around_runs(rows.groups)
    group, run = meeting(groups, volumes.boxes.around_runs(volumes.near_by))
    which, volume = spread(volumes.near_by, run)
    group = group[which]
    other = rows.spared[group] != volumes.owner[volume]
    group, volume = met(groups, group[other], volumes.boxes, volume[other])
    if may_vanish is not None and len(group):
        closed = np.logical_and.reduceat(may_vanish, rows.blocks[rows.groups[:-1]])
        kept = _first_swallowing(groups, closed, volumes, group, volume)
        group, volume = group[kept], volume[kept]
    which, block = spread(rows.groups, group)
    block, volume = met(blocks, block, volumes.boxes, volume[which])
    which, row = spread(rows.blocks, block)
    return met(rows.boxes, row, volumes.boxes, volume[which])


def _first_swallowing(
    boxes: Boxes, chosen: np.ndarray, shadows: Volumes, i: np.ndarray, shadow: np.ndarray
) -> np.ndarray:
    """The pairs to keep: of a chosen box that lies whole in some shadow only the first such pair, of others all."""
    pair = _swallowing(boxes, chosen, shadows, i, shadow)
    first = np.full(len(boxes), -1)
    first[i[pair[::-1]]] = pair[::-1]
    return np.flatnonzero((first[i] < 0) | (first[i] == np.arange(len(i))))


def _swallowed(boxes: Boxes, chosen: np.ndarray, shadows: Volumes, i: np.ndarray, shadow: np.ndarray) -> np.ndarray:
    """Which of the chosen boxes lie whole in a shadow, looking only at the pairs given, (n,) bool."""
    gone = np.zeros(len(boxes), bool)
    gone[i[_swallowing(boxes, chosen, shadows, i, shadow)]] = True
    return gone


def _swallowing(boxes: Boxes, chosen: np.ndarray, shadows: Volumes, i: np.ndarray, shadow: np.ndarray) -> np.ndarray:
    """The pairs of a chosen box and a shadow in which it lies whole, where boxes can tell."""
    pair = np.flatnonzero(shadows.is_box[shadow] & chosen[i])
    return pair[within(boxes, i[pair], shadows.boxes, shadow[pair])]
