"""The carcass's own top closes the piece, flush with the sides."""

from __future__ import annotations

from ...fields import parameters
from ..bench import Bench
from ..protocols import BoardById, Overhang
from ..setting_out import SettingOut


@parameters
class Flush:
    """Nothing beyond the carcass top."""

    style = "flush"
    label = "Flush carcass top"
    opens_up = False

    def overhang(self) -> Overhang:
        """Nothing stands beyond."""
        return Overhang()

    def rise(self, board: BoardById) -> float:
        """Nothing stands above."""
        return 0.0

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Nothing to lay down."""
        return []


ENTRY = Flush
