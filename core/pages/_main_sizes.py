"""Which sizes a general arrangement gives: chains of places across its views, read off the built model."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from ..fittings import fitting_entry
from ..meshes import part_meshes
from ..model import Bay, Model, Opening
from ._sheets import told_apart
from ._views import boxes_of

X, Y, Z = 0, 1, 2
FLOOR = 0.0
MERGED = 0.6  # mm; places nearer than this are given once
FOOT_GAP = 20.0  # mm between what counts as two feet
FRONT_PANEL = "front panel"
FRONT_ROLES = (FRONT_PANEL, "stile", "rail", "lipping")  # what a front's edges are on
UNTOLD = ("bearer", "heel strip")  # what a shelf lies on is not told beside it
RAIL_KIND = "hanging rail"
DRAWER_BOX = "drawer box"


@dataclass(frozen=True, slots=True)
class FrontSize:
    """A door or drawer front as built: its name and its rectangle, in the piece."""

    name: str
    key: str
    left: float
    right: float
    bottom: float
    top: float
    face: float  # y of its foremost face

    @property
    def width(self) -> float:
        """From edge to edge."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """From edge to edge."""
        return self.top - self.bottom

    def covers(self, other: FrontSize) -> bool:
        """Whether this one, shut, stands before another."""
        beside = self.right <= other.left or other.right <= self.left
        return self.face < other.face and not (beside or self.top <= other.bottom or other.top <= self.bottom)


def front_sizes(model: Model) -> tuple[FrontSize, ...]:
    """Every front: those that move, in the order of the model's motions, then fixed panels."""
    parts = {part.key: part for part in model.parts}
    names = told_apart({assembly.key: assembly.name for assembly in model.assemblies})
    boxes = boxes_of(model)
    made_of = {motion.key: motion.moves for motion in model.motions}
    fixed = [each.key for each in model.openings if not any(key.split("/")[0] == each.key for key in made_of)]
    made_of |= {key: tuple(part for part in parts if part.startswith(f"{key}/panel/")) for key in fixed}
    found = []
    for front, keys in made_of.items():
        panels = [key for key in keys if key in parts and parts[key].role in FRONT_ROLES]
        if panels:
            low, high = (np.array([boxes[key][end] for key in panels]) for end in (0, 1))
            sizes = (float(low[:, X].min()), float(high[:, X].max()), float(low[:, Z].min()), float(high[:, Z].max()))
            sizes = (*sizes, float(low[:, Y].min()))
            found.append(FrontSize(names.get(front, front), front, *sizes))
    return tuple(found)


def shown_fronts(model: Model) -> list[FrontSize]:
    """The fronts that are seen from the front: no door is shut before them."""
    fronts = front_sizes(model)
    return [each for each in fronts if not any(other.covers(each) for other in fronts)]


def moving(model: Model) -> set[str]:
    """Keys of all that hangs on a front or slides with one."""
    return {key for motion in model.motions for key in (*motion.moves, *motion.half)}


def carcass_box(model: Model) -> tuple[np.ndarray, np.ndarray]:
    """The corners of the box around the carcass, the outside of its side frames included, glides and top left out."""
    width, depth, height = model.carcass
    return np.array((-width / 2, -depth, FLOOR)), np.array((width / 2, 0.0, height))


# --------------------------------------------------------------------------------------------------------- front view
def width_chains(model: Model) -> list[tuple[float, ...]]:
    """Across the front from the carcass's left to its right over the fronts: at most the two fullest chains."""
    low, high = carcass_box(model)
    fronts = shown_fronts(model)
    chains = [
        merged(
            [
                low[X],
                *(edge for each in fronts if each.bottom < z < each.top for edge in (each.left, each.right)),
                high[X],
            ]
        )
        for z in ((each.bottom + each.top) / 2 for each in fronts)
    ]
    return _fullest(chains) or [merged([low[X], high[X]])]


def height_chains(model: Model) -> list[tuple[float, ...]]:
    """Up the front from the floor over carcass and fronts to the highest point: at most the two fullest chains."""
    ends = [FLOOR, *carcass_levels(model), model.overall[2]]
    fronts = shown_fronts(model)
    chains = [
        merged([*ends, *(edge for each in fronts if each.left < x < each.right for edge in (each.bottom, each.top))])
        for x in ((each.left + each.right) / 2 for each in fronts)
    ]
    return _fullest(chains) or [merged(ends)]


def carcass_levels(model: Model) -> tuple[float, float]:
    """The underside of the carcass and its top."""
    undersides = [boxes_of(model)[part.key][0][Z] for part in model.parts if part.role in ("side", "horizontal")]
    return float(min(undersides, default=FLOOR)), float(model.carcass[2])


def feet(model: Model, axis: int) -> tuple[float, ...]:
    """Where the feet begin and end along an axis: what of the wood stands lowest."""
    meshes = part_meshes(model).values()
    lowest = min((mesh.vertices[:, Z].min() for mesh in meshes), default=FLOOR)
    low = [mesh.vertices[mesh.vertices[:, Z] < lowest + 0.5] for mesh in meshes]
    spans = sorted((float(points[:, axis].min()), float(points[:, axis].max())) for points in low if len(points))
    joined: list[list[float]] = []
    for first, last in spans:
        if joined and first <= joined[-1][1] + FOOT_GAP:
            joined[-1][1] = max(joined[-1][1], last)
        else:
            joined.append([first, last])
    return tuple(end for span in joined for end in span)


def side_frame_chain(model: Model) -> tuple[float, ...]:
    """Up the right side over the rails of its frame, from floor to top of carcass; empty where it has none."""
    boxes = boxes_of(model)
    rails = [boxes[part.key] for part in model.parts if part.role == "rail" and part.key.startswith("side.right/")]
    edges = [float(end[Z]) for ends in rails for end in ends]
    return merged([FLOOR, *edges, float(model.carcass[2])]) if edges else ()


# ------------------------------------------------------------------------------------------------------------- inside
def opening_widths(model: Model) -> list[tuple[float, ...]]:
    """Across the carcass over the boards between the compartments: the fullest chain."""
    middles = [(bay.low[Z] + bay.high[Z]) / 2 for bay in model.bays]
    return _fullest([merged(_edges_across(model, z)) for z in middles])[:1]


def widths_at(model: Model, z: float) -> tuple[float, ...]:
    """Across the carcass at a height over what is cut there: its boards, and the sides of drawer boxes between them."""
    boxes = boxes_of(model)
    drawers: dict[str, list[float]] = {}
    for part in model.parts:
        low, high = boxes[part.key]
        if part.role == DRAWER_BOX and low[Z] < z < high[Z]:
            drawers.setdefault(part.key.split("/")[0], []).extend((float(low[X]), float(high[X])))
    sides = (end for edges in drawers.values() for end in (min(edges), max(edges)))
    return merged([*_edges_across(model, z), *sides])


def _edges_across(model: Model, z: float) -> list[float]:
    """The outsides of the carcass, and the sides of the compartments at a height."""
    low, high = carcass_box(model)
    bays = [bay for bay in model.bays if bay.low[Z] < z < bay.high[Z]]
    return [low[X], *(edge for bay in bays for edge in (bay.low[X], bay.high[X])), high[X]]


def opening_heights(model: Model) -> list[tuple[float, ...]]:
    """Up the carcass over its compartments: at most the two fullest chains, the left first."""
    ends = [FLOOR, *carcass_levels(model), model.overall[2]]
    chains = [
        merged(
            [
                *ends,
                *(
                    edge
                    for other in model.bays
                    if other.low[X] < x < other.high[X]
                    for edge in (other.low[Z], other.high[Z])
                ),
            ]
        )
        for x in ((bay.low[X] + bay.high[X]) / 2 for bay in model.bays)
    ]
    return _fullest(chains)


def contents_heights(model: Model) -> list[tuple[float, ...]]:
    """Up the compartments that hold shelves or rails, from their floor to what they hold and to their top."""
    found = [merged([bay.low[Z], *_levels(model, bay), bay.high[Z]]) for bay in model.bays]
    return list(dict.fromkeys(chain for chain in found if len(chain) > 2))


def _levels(model: Model, bay: Bay) -> Iterator[float]:
    boxes = boxes_of(model)
    parts = {part.key for part in model.parts if part.role not in UNTOLD}
    rails = {each.key for each in model.fittings if each.entry and fitting_entry(each.entry).kind == RAIL_KIND}
    members = {each.key: [member.key for member in each.members] for each in model.assemblies}
    for key in (
        leaf for held in bay.holds for leaf in members.get(held, [held])
    ):  # a rail with its hooks is an assembly
        low, high = boxes[key]
        if key in parts:
            yield from (float(low[Z]), float(high[Z]))
        elif key in rails:
            yield float(low[Z] + high[Z]) / 2


def depth_chain(model: Model) -> tuple[float, ...]:
    """From the front backwards over fronts, what stands behind them and the back."""
    boxes = boxes_of(model)
    places = [-model.carcass[1], 0.0]
    for part in model.parts:
        if part.role in (FRONT_PANEL, "upright", "back"):
            places += [float(boxes[part.key][end][Y]) for end in (0, 1)]
    return merged(places)


# --------------------------------------------------------------------------------------------------------------- gaps
@dataclass(frozen=True, slots=True)
class Gaps:
    """The gaps round one front in its opening, in mm; None where another front stands there, negative where it laps what is there."""

    front: FrontSize
    opening: Opening
    left: float | None
    right: float | None
    top: float | None
    bottom: float | None
    meeting: float | None

    @property
    def round(self) -> tuple[float | None, ...]:
        """All of them: left, right, top, bottom, meeting."""
        return self.left, self.right, self.top, self.bottom, self.meeting


def gaps(model: Model) -> tuple[Gaps, ...]:
    """The gaps of every front that closes a measured opening."""
    fronts = front_sizes(model)
    closing = {
        opening.key: [front for front in fronts if front.key.split("/")[0] == opening.key] for opening in model.openings
    }
    return tuple(
        _gaps(front, opening, closing[opening.key]) for opening in model.openings for front in closing[opening.key]
    )


def _gaps(front: FrontSize, opening: Opening, leaves: Sequence[FrontSize]) -> Gaps:
    after = [each.left - front.right for each in leaves if each.left > front.left]
    before = [front.left - each.right for each in leaves if each.left < front.left]
    return Gaps(
        front,
        opening,
        left=None if before else front.left - opening.left,
        right=None if after else opening.right - front.right,
        top=opening.top - front.top,
        bottom=front.bottom - opening.bottom,
        meeting=min(before + after, default=None),
    )


# ------------------------------------------------------------------------------------------------------------ helpers
def merged(places: Iterable[float]) -> tuple[float, ...]:
    """Places in rising order, those that as good as coincide given once.

    >>> merged([0, 1900, 1900.2, 5.0])
    (0, 5.0, 1900)
    """
    found: list[float] = []
    for place in sorted(places):
        if not found or place - found[-1] > MERGED:
            found.append(place)
    return tuple(found)


def _fullest(chains: Sequence[tuple[float, ...]]) -> list[tuple[float, ...]]:
    """The one or two chains with the most places, those that others say as well left out."""
    fullest: list[tuple[float, ...]] = []
    for chain in sorted(dict.fromkeys(chains), key=len, reverse=True):
        if not any(set(chain) <= set(other) for other in fullest):
            fullest.append(chain)
    return fullest[:2]
