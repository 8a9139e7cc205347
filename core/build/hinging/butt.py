"""Butt hinges: leaves let into the edge of an inset door and into the face that it hangs on."""

from __future__ import annotations

from ...fittings import FittingEntry
from ..bench import Bench
from ..hanging import Hung, Leaf, hang_on_leaves, leaf_suits
from ..setting_out import SettingOut


class ButtHinge:
    """Butt hinges."""

    style = "butt hinge"
    label = "an inset door"
    lays = ("inset",)

    def suits(self, entry: FittingEntry, thick: float, lap: float) -> str:
        """Its leaf must go into the door's edge."""
        return leaf_suits(entry, thick)

    def gap(self, entry: FittingEntry, asked: float, thick: float) -> float:
        """As asked: the recesses make it."""
        return asked

    def hang(self, bench: Bench, out: SettingOut, leaf: Leaf, entry: FittingEntry, count: int) -> Hung:
        """Let in and screwed; one leaf length from each end, the others between."""
        return hang_on_leaves(bench, leaf, entry, count)


ENTRY = ButtHinge
