"""A plain, flush face: nothing is planted on."""

from __future__ import annotations

from ...fields import parameters
from ..bench import Bench
from ..protocols import BoardById, Face


@parameters
class Plain:
    """A plain, flush face."""

    style = "plain"
    label = "Plain"
    stands_alone = False

    def face_thickness(self, board: BoardById) -> float:
        """Nothing is added."""
        return 0.0

    def stile_shown(self, board: BoardById) -> float:
        """There is no stile."""
        return 0.0

    def field_depth(self, board: BoardById) -> float:
        """The face is flat."""
        return 0.0

    def dress(self, bench: Bench, face: Face, board: BoardById) -> list[str]:
        """Nothing to lay down."""
        return []


ENTRY = Plain
