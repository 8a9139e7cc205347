"""Lift-off hinges: as butt hinges, but the door comes off its pins when it is lifted; each hand has its own."""

from __future__ import annotations

from ...fittings import FittingEntry, fitting_entry
from ..bench import Bench
from ..hanging import Hung, Leaf, hang_on_leaves, leaf_suits
from ..setting_out import SettingOut


class LiftOffHinge:
    """Lift-off hinges."""

    style = "lift-off hinge"
    label = "an inset door"
    lays = ("inset",)

    def suits(self, entry: FittingEntry, thick: float, lap: float) -> str:
        """Its leaf must go into the door's edge."""
        return leaf_suits(entry, thick)

    def gap(self, entry: FittingEntry, asked: float, thick: float) -> float:
        """As asked: the recesses make it."""
        return asked

    def hang(self, bench: Bench, out: SettingOut, leaf: Leaf, entry: FittingEntry, count: int) -> Hung:
        """Let in and screwed, the one of the door's hand; either hand may be named for a pair."""
        return hang_on_leaves(bench, leaf, fitting_entry(f"{entry.id.rsplit('-', 1)[0]}-{leaf.hand}"), count)


ENTRY = LiftOffHinge
