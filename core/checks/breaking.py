"""What breaks a leg or its joint, and how much of that may be asked: sections, tenons, glue and screws under a push at the foot.

Lengths mm, forces N, moments N·mm, stresses N/mm². Of a strength that is the mean of tests a half may be asked, of the least two thirds:
of tested oak joints 95 in 100 bore at least two thirds of their mean (Eckelman, Uysal and Haviarova 2016, BioResources 11(3), abstract
read); the rest is for a leg that is not picked; common practice, no source.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..materials import strength
from ..model import Fastener, Joint, Material, Part, Pocket
from .finding import FROM_MEMORY, Finding, figure
from .study import Study

KICK = 200.0  # N at the foot; common practice, no source
SHARE = {"mean": 1 / 2, "least": 2 / 3}
CROSSED = 1 / 3  # of the shear along the grain, across it; US Forest Products Laboratory report 1522, summary read
# N/mm² on the side of a glued dowel: spiral grooves, of the lower means; 3.0 to 5.4 where dried glue was wetted (Podlena and others 2018,
# BioResources 13(3), abstract read)
DOWEL_GLUE = 4.9
DOWEL_SOURCE = "dowels: Podlena and others 2018, read, half of the mean"
FACE_OF_FIBREBOARD = 1000.0  # N on a screw; EN 320 as quoted at mdf-info.eu, read
WITHDRAWAL = 108.25  # × specific gravity² × diameter × depth, N: 15,700 in lb and inches, the Wood Handbook as quoted by a calculator page, read
AT_12_PER_CENT = 1120.0  # kg/m³ for each specific gravity of 1
KICK_SOURCE = "the kick: common practice, no source"


@dataclass(frozen=True, slots=True)
class Bears:
    """How much may be asked: a stress or force, its source in words, and whether that was read."""

    most: float
    source: str
    read: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Mode:
    """One way in which a kick can break something: what it asks there, and how much may be asked."""

    keys: tuple[str, ...]
    way: str  # "sideways", "front to back"
    does: str  # "bends the tenon of the front rail"
    asks: float
    bears: Bears
    remedy: str
    unit: str = "N/mm²"

    @property
    def breaks(self) -> bool:
        """More is asked than may be, by figures that were read."""
        return self.bears.read and self.asks > self.bears.most

    @property
    def share(self) -> float:
        """What is asked, of what may be; rounded, so that left and right are alike."""
        return round(self.asks / self.bears.most, 6)


def worst(check: str, seen: Study, modes: Iterable[Mode]) -> Iterator[Finding]:
    """The way in which it would break first, as a finding; nothing where there is none."""
    mode = max(modes, key=lambda each: (each.breaks, each.share), default=None)
    if mode is None:
        return
    places = 0 if mode.unit == "N" else 1 if mode.bears.most >= 10 else 2
    unread = "" if mode.bears.read else ", unverified"
    yield Finding(
        check=check,
        severity="warn" if mode.breaks else "note",
        keys=mode.keys,
        at=tuple(map(float, seen.boxes[mode.keys[0]].mean(axis=0))),  # type: ignore[arg-type]
        value=round(float(mode.asks), 3),
        limit=round(float(mode.bears.most), 3),
        unit=mode.unit,
        source=f"{mode.bears.source}; {KICK_SOURCE}",
        text=(
            f"A kick of {figure(KICK)} N {mode.way} at the foot {mode.does} with {figure(mode.asks, places)} {mode.unit}"
            f" ({figure(mode.bears.most, places)} allowed{unread})."
        ),
        remedy=mode.remedy if mode.asks > mode.bears.most else "",
    )


# --------------------------------------------------------------------------------------------------- how much may be asked
def bending(*woods: Material) -> Bears:
    """The bending that may be asked of the weakest of some materials."""
    return min((_of(each, "bending") for each in woods), key=lambda each: each.most)


def shear(*woods: Material, crossed: bool = False) -> Bears:
    """The shear that may be asked of the weakest of some materials glued together; `crossed`: across the grain of one.

    The glue bears more than the wood beside it; common practice, no source.
    """
    found = min((_of(each, "shear") for each in woods), key=lambda each: each.most)
    if not crossed or any(each.id == "mdf" for each in woods):  # fibreboard has no grain to cross
        return found
    return Bears(found.most * CROSSED, f"{found.source}, a third of it across the grain", found.read)


@lru_cache(maxsize=256)
def _of(wood: Material, what: str) -> Bears:
    """A share of a material's strength; where nothing was read, of fibreboard's, as a guess."""
    known = strength(wood.id)
    if known is None:
        guess = strength("mdf")
        assert guess is not None
        return Bears(
            getattr(guess, what) * SHARE[guess.of], f"{wood.name}: no less than fibreboard, {FROM_MEMORY}", False
        )
    part = "half of the mean" if known.of == "mean" else "two thirds of the least"
    return Bears(getattr(known, what) * SHARE[known.of], f"{wood.name}: {known.source}, read, {part}")


def screw_bears(fastener: Fastener, through: float, into: Material) -> Bears:
    """The pull that may be asked of a screw that goes `through` so much into the face of a material."""
    if into.id == "mdf":
        return Bears(FACE_OF_FIBREBOARD * SHARE["least"], "screw: EN 320 as quoted, read, two thirds of it")
    deep, thick = fastener.length - through, fastener.diameter
    if into.kind == "solid":
        pull = WITHDRAWAL * (into.density / AT_12_PER_CENT) ** 2 * thick * deep
        memory = "" if into.verified else f"; the weight of {into.name}: {FROM_MEMORY}"
        return Bears(pull * SHARE["mean"], f"screw: Wood Handbook as quoted, read, half of it{memory}", into.verified)
    return Bears(FACE_OF_FIBREBOARD * SHARE["least"], f"screw: as in fibreboard, {FROM_MEMORY}", False)


# ------------------------------------------------------------------------------------------------------------------ sections
def section_modulus(low: Sequence[float], high: Sequence[float], holes: Iterable[np.ndarray], axis: int) -> float:
    """Of an upright rectangle less some holes, bent along `axis` (0 or 1), mm³; `low`, `high` and `holes` (2, 3) in the piece.

    >>> section_modulus((0, 0, 0), (20, 30, 99), (), 1), section_modulus((0, 0, 0), (20, 30, 99), (), 0)
    (3000.0, 2000.0)
    """
    across = 1 - axis
    taken = [np.clip(each, low, high) for each in holes]
    edges = sorted({low[axis], high[axis], *(float(edge) for each in taken for edge in each[:, axis])})
    strips = []
    for start, stop in itertools.pairwise(edges):
        inside = [each[:, across] for each in taken if each[0, axis] < (start + stop) / 2 < each[1, axis]]
        strips.append((start, stop, float(high[across] - low[across]) - _covered(inside)))
    area = sum(wide * (b - a) for a, b, wide in strips)
    middle = sum(wide * (b**2 - a**2) / 2 for a, b, wide in strips) / area
    moment = sum(wide * ((b - middle) ** 3 - (a - middle) ** 3) / 3 for a, b, wide in strips)
    return float(moment / max(high[axis] - middle, middle - low[axis]))


def _covered(spans: Iterable[Sequence[float]]) -> float:
    """The length that some spans cover together."""
    total, end = 0.0, -math.inf
    for a, b in sorted(map(tuple, spans)):
        total += max(0.0, b - max(a, end))
        end = max(end, b)
    return float(total)


def pockets(part: Part, *kinds: str) -> list[np.ndarray]:
    """The boxes (2, 3), in the piece, of the pockets of some kinds in a part."""
    found = [each for each in part.shape.features if isinstance(each, Pocket) and each.kind in kinds]
    ends = [np.array([part.place.point(each.low), part.place.point(each.high)]) for each in found]
    return [np.array([each.min(axis=0), each.max(axis=0)]) for each in ends]


# -------------------------------------------------------------------------------------------------------------------- tenons
@dataclass(frozen=True, slots=True)
class Tenon:
    """A tenon, stub or full: how long, high and thick, and the height of its lower edge above the floor."""

    long: float
    high: float
    thick: float
    low: float

    def cheek_shear(self, moment: float) -> float:
        """The greatest shear in the glue of its two cheeks, which a moment in their plane twists about their middle: M r / J.

        Source: torsion of two rectangles, any text of mechanics; also "strength of mortise and tenon joints" at jfjm100.com, read.
        Red oak's tenon 32 × 38 sheared at 12.3 gives 248 N·m; 95 of 100 such joints bore 266 (Eckelman and others 2016).
        """
        polar = 2 * self.long * self.high * (self.long**2 + self.high**2) / 12
        return moment * math.hypot(self.long, self.high) / 2 / polar

    def bent(self, moment: float) -> float:
        """The bending of the tenon at its shoulder: M / (t h² / 6)."""
        return moment / (self.thick * self.high**2 / 6)


def axis_of(joint: Joint) -> int:
    """0 where a joint comes apart sideways, 1 front to back."""
    return int(np.argmax(np.abs(joint.apart)))


def tenon_of(seen: Study, joint: Joint) -> Tenon | None:
    """The tenon with which the second part of a joint goes into the first, measured where it lies in a mortise or groove."""
    axis, post, rail = axis_of(joint), seen.boxes[joint.first], seen.boxes[joint.second]
    overlap = np.array([np.maximum(post[0], rail[0]), np.minimum(post[1], rail[1])])
    long = float(overlap[1, axis] - overlap[0, axis])
    for kind in ("mortise", "groove"):
        for each in pockets(seen.parts[joint.first], kind):
            inside = np.array([np.maximum(each[0], overlap[0]), np.minimum(each[1], overlap[1])])
            if (inside[1] - inside[0] > 1.0).all():
                high = joint.glue_area / (2 * long)
                low = inside[0, 2] if kind == "mortise" else rail[0, 2]
                return Tenon(long, high, float(inside[1, 1 - axis] - inside[0, 1 - axis]), float(low))
    return None


# ------------------------------------------------------------------------------------------------------------ dowels, screws
def farthest(levers: Sequence[float], moment: float) -> float:
    """The pull on the farthest of some fasteners that turn with a stiff part about its edge: M d / Σ d².

    >>> farthest([15, 45], 45_000)
    900.0
    """
    return moment * max(levers) / sum(each**2 for each in levers)


def dowel_bears(fastener: Fastener, joint_at: float, axis: int) -> Bears:
    """The pull that may be asked of a glued dowel: its side in the shallower of its holes."""
    start = fastener.at[axis]
    end = start + fastener.along[axis] * fastener.length
    shallow = min(abs(joint_at - start), abs(end - joint_at))
    return Bears(math.pi * fastener.diameter * shallow * DOWEL_GLUE * SHARE["mean"], DOWEL_SOURCE)
