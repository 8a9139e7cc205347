"""What a viewer sees at a place of the sheet, and how far a straight line in space stays in view."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from .hidden_lines import Drawable
from .intervals import gaps
from .occluders import Occluders
from .scene import Scene
from .shadows import FACING, Projection, measures, shadows
from .views import View
from .volumes import Boxes, Volumes, clipped, meeting

FAR = 1e5  # mm; farther than any piece reaches in front of or behind its origin
NOTHING = -1


@dataclass(frozen=True, slots=True, eq=False)
class Sight:
    """Solids from one view. Holes count as filled: a place in a hole shows the part that is drilled."""

    scene: Scene
    view: View
    shades: Volumes
    hiding: Occluders

    @classmethod
    def of(cls, drawable: Drawable, view: View) -> Sight:
        """The solids of a drawing that has at least one, as the view sees them."""
        scene, hiding = drawable.scene, drawable.hiding
        assert scene is not None and hiding is not None, "there is nothing to be seen"
        return cls(scene, view, shadows(scene, hiding, Projection.of(scene, view)), hiding)

    def seen_at(self, places: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """What is seen at places of the sheet, (n, 2) mm of the piece: the solid, −1 for none, and how near, (n,) each.

        Nearness is measured toward the viewer in mm, −inf where nothing is.
        """
        near, far = (np.column_stack((places, np.full(len(places), end))) for end in (FAR, -FAR))
        ray, shade, low, _ = self._shaded(near, far)
        first = np.full(len(places), np.inf)
        np.minimum.at(first, ray, low)
        solid = np.full(len(places), NOTHING)
        hit = low <= first[ray]
        solid[ray[hit]] = self._solids(shade[hit])
        return solid, FAR - 2 * FAR * first

    def in_hole(self, place: np.ndarray, solid: int) -> bool:
        """Whether a place of the sheet, (2,) mm of the piece, lies in the mouth of a hole of a solid."""
        for rings in (self.hiding.mouths, self.hiding.openings):
            toward = self.scene.normals[rings.face] @ self.view.axes[2] > FACING
            for ring in np.flatnonzero(toward & (self.scene.face_solid[rings.face] == solid)):
                sides = slice(rings.starts[ring], rings.starts[ring + 1])
                tail, head = (self.view.project(self.scene.vertices[of[sides]]) for of in (rings.tail, rings.head))
                step, away = head - tail, place - tail
                beside = step[:, 0] * away[:, 1] - step[:, 1] * away[:, 0]
                if (beside >= 0).all() or (beside <= 0).all():
                    return True
        return False

    def in_sight(self, tails: np.ndarray, heads: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The stretches of lines, (n, 3) to (n, 3), that nothing hides: (line, from, to) in shares of its length."""
        axes = self.view.axes
        line, _, low, high = self._shaded(tails @ axes.T, heads @ axes.T)
        return gaps(np.zeros(len(tails)), np.ones(len(tails)), line, low, high)

    def _shaded(self, tails: np.ndarray, heads: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Where lines in the view's own coordinates lie in a shadow: (line, shadow, from, to)."""
        a, b = (measures(self.view.axes[2]) @ (ends @ self.view.axes).T for ends in (tails, heads))
        line, shade = meeting(Boxes(np.minimum(a, b), np.maximum(a, b)), self.shades.boxes)
        low, high = clipped(tails, heads, line, self.shades, shade)
        some = low < high
        return line[some], shade[some], low[some], high[some]

    def _solids(self, shade: np.ndarray) -> np.ndarray:
        owner = self.shades.owner[shade]
        count = len(self.scene.meshes)
        return np.where(owner < count, owner, self.scene.face_solid[np.maximum(owner - count, 0)])
