"""The enlarged detail of a step, where small things matter: how a dowel stands in its hole, how a fitting sits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..drawing.dimensions import figures
from ..drawing.hidden_lines import Drawable, Kind
from ..drawing.page import Circle, Item, Lines, Text, dashes
from ..drawing.scales import Scale
from ..drawing.views import View
from ..fittings import fitting_entry
from ..geometry import Placement, Vector, unit
from ..model import Body, Fastener, Model
from ..solids import mesh_of_body, placed
from ..solids.mesh import Mesh
from ..steps import Coming, Step

RADIUS = 18.0  # mm on paper
SCALE, SMALL = Scale(1, 2), Scale(1, 5)
LARGEST = 24.0  # mm on paper of a fitting: what is larger is shown smaller
FITTING_OFF, PEG_OFF = 14.0, 46.0  # mm that a fitting, and a board on its pegs, stand off their seats
LABEL = 2.5
LONG_NAME = 28  # letters; beneath a detail such a name gives way to the kind of fitting
THERE, COMES, EDGE = 0.18, 0.5, 0.25  # mm, as on the picture
DRAWN_KINDS = ("dowel", "biscuit")


@dataclass(frozen=True, eq=False)
class Detail:
    """A few solids seen near one place, in a circle: those there in thin lines, what comes in thick, standing off its seat."""

    there: tuple[Mesh, ...]
    comes: tuple[Mesh, ...]
    off: Vector  # mm that what comes stands off
    centre: Vector  # in the piece
    view: View
    label: str
    scale: Scale = SCALE

    @property
    def size(self) -> tuple[float, float]:
        """Width and height on paper, label and all."""
        return 2 * RADIUS, 2 * RADIUS + 2.2 * LABEL

    def items(self, x: float, top: float) -> Iterator[Item]:
        """The circle with its top at a place, its label beneath."""
        middle = np.array((x + RADIUS, top - RADIUS))
        yield from self.drawn(middle)
        yield Circle(float(middle[0]), float(middle[1]), RADIUS, EDGE)
        yield Text(float(middle[0]), top - 2 * RADIUS - 1.6 * LABEL, LABEL, self.label, "middle")

    def drawn(self, middle: np.ndarray) -> Iterator[Item]:
        """The lines within the circle, and the flow line."""
        shift = np.vstack([np.zeros((len(self.there), 3)), np.tile(self.off, (len(self.comes), 1))])
        lines = Drawable.of([*self.there, *self.comes]).moved(shift).lines(self.view)
        points = (lines.points - self.focus) * self.scale.ratio
        kept, inside = clipped(points, RADIUS - 0.4)
        comes, outline = lines.solid[kept] >= len(self.there), lines.kind[kept] == Kind.SILHOUETTE
        for chosen, width in ((~comes, THERE), (comes & ~outline, EDGE), (comes & outline, COMES)):
            if chosen.any():
                yield Lines(tuple(map(tuple, (inside[chosen] + middle).reshape(-1, 4).tolist())), width)
        ends = np.array([[self.centre, np.add(self.centre, self.off)]])
        _, flow = clipped((self.view.project(ends) - self.focus) * self.scale.ratio, RADIUS - 0.4)
        if len(flow):
            yield Lines(tuple(map(tuple, (flow + middle).reshape(-1, 4).tolist())), THERE, dashes("centre", THERE))

    @cached_property
    def focus(self) -> np.ndarray:
        """The place of the sheet that the circle is drawn about: half way between the seat and what stands off it."""
        return self.view.project(np.array(self.centre) + np.array(self.off) / 2)


def detail_of(model: Model, meshes: Mapping[str, Mesh], step: Step) -> Detail | None:
    """The detail that a step wants: a fitting that comes, or the first peg of a joint; None where there is neither."""
    fittings = {each.key: each for each in model.fittings}
    if step.how in ("fitted", "hung"):
        for coming in step.comes:
            if set(coming.keys) <= fittings.keys() and any(key in step.new for key in coming.keys):
                return _fitting(model, meshes, coming)
        return None
    if step.how == "jointed":
        return _peg(model, meshes, step)
    return None


def clipped(points: np.ndarray, radius: float) -> tuple[np.ndarray, np.ndarray]:
    """What of straight lines, (n, 2, 2), lies within a circle about the origin: the numbers of those that do, and their ends.

    >>> clipped(np.array([[[-3.0, 0.0], [3.0, 0.0]], [[5.0, 5.0], [6.0, 5.0]]]), 1.0)[1].tolist()
    [[[-1.0, 0.0], [1.0, 0.0]]]
    """
    start, step = points[:, 0], points[:, 1] - points[:, 0]
    a = np.maximum((step**2).sum(axis=1), 1e-18)
    b, c = (start * step).sum(axis=1), (start**2).sum(axis=1) - radius**2
    root = np.sqrt(np.maximum(b * b - a * c, 0.0))
    low, high = np.maximum((-b - root) / a, 0.0), np.minimum((-b + root) / a, 1.0)
    kept = np.flatnonzero((b * b > a * c) & (high - low > 1e-6))
    ends = [start[kept] + share[kept, None] * step[kept] for share in (low, high)]
    return kept, np.stack(ends, axis=1)


# ------------------------------------------------------------------------------------------------------------- helpers
def _fitting(model: Model, meshes: Mapping[str, Mesh], coming: Coming) -> Detail | None:
    """A fitting off its seat, at its foremost screw."""
    onto = set(coming.onto)
    held = [
        key for each in model.fittings if each.key in coming.keys for key in each.parts if key in onto and key in meshes
    ]
    if not held or not any(coming.away):
        return None
    screws = [each for each in model.fasteners if set(each.parts) & set(coming.keys) and set(each.parts) & set(held)]
    first = min(screws, key=lambda each: (each.at[1], each.key), default=None)
    boxes = np.vstack([meshes[key].vertices for key in coming.keys])
    middle = (boxes.min(0) + boxes.max(0)) / 2
    large = float((boxes.max(0) - boxes.min(0)).max())
    scale = SCALE if large * SCALE.ratio <= LARGEST else SMALL
    centre = middle if first is None or large * scale.ratio <= 2 * LARGEST else np.array(first.at)
    fitting = next(each for each in model.fittings if each.key in coming.keys)
    name = fitting.name.split(",")[0]
    label = f"{name if len(name) < LONG_NAME else fitting_entry(fitting.entry).kind}, {scale}"
    return Detail(
        tuple(meshes[key] for key in dict.fromkeys(held)),
        tuple(meshes[key] for key in coming.keys),
        tuple(FITTING_OFF * SCALE.ratio / scale.ratio * c for c in coming.away),
        tuple(map(float, centre)),
        _toward(coming.away),
        label[:1].upper() + label[1:],
        scale,
    )


def _peg(model: Model, meshes: Mapping[str, Mesh], step: Step) -> Detail | None:
    """The foremost dowel or biscuit of the first joint of a step: it stands in the board's end, the face comes off it."""
    coming = {key for each in step.comes for key in each.keys}
    used = set(step.fasteners)
    pegs = [
        each
        for each in model.fasteners
        if each.key in used and each.kind in DRAWN_KINDS and len(coming.intersection(each.parts)) == 1
    ]
    if not pegs:
        return None
    peg = min(pegs, key=lambda each: (each.at[1], each.key))
    face, edge = peg.parts[0], peg.parts[-1]
    away = tuple(-c for c in peg.along)  # the face comes off against the way the peg goes into the edge
    axis = int(np.abs(peg.along).argmax())
    seat = meshes[edge].vertices[:, axis].min() if peg.along[axis] > 0 else meshes[edge].vertices[:, axis].max()
    centre = np.array(peg.at, float)
    centre[axis] = seat
    stands = np.abs(seat - np.array(peg.at)[axis])
    return Detail(
        (meshes[edge], _round(peg)),
        (meshes[face],),
        tuple(PEG_OFF * c for c in away),
        tuple(map(float, centre)),
        _toward(tuple(peg.along)),
        f"{peg.name[:1].upper()}{peg.name[1:]}: {figures(round(float(stands), 1))} stand out, {SCALE}",
    )


def _round(peg: Fastener) -> Mesh:
    """A peg as a plain round where it sits."""
    radius = peg.diameter / 2
    body = Body(
        form="turned",
        low=(0.0, 0.0, 0.0),
        high=(peg.length, 0.0, 0.0),
        outline=((0.0, radius), (peg.length, radius)),
        substance="wood",
    )
    side = (0.0, 0.0, 1.0) if abs(peg.along[2]) < 0.5 else (1.0, 0.0, 0.0)
    return placed(mesh_of_body(body), Placement(peg.at, unit(peg.along), side))


def _toward(away: Vector) -> View:
    """From the side that what comes off comes toward, from the front, and from above where it may be."""
    x = away[0] or 1.0
    y = away[1] or -1.0
    z = away[2] or 1.0
    return View.toward((x, y, z))
