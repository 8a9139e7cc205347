"""The model: what a piece consists of, frozen, with no logic beyond itself.

Everything above `build` makes these values; everything below only reads them. Positions of features are in the part's own
frame; positions of joints, fasteners, fittings and motions are in the piece's frame. Lengths mm, angles degrees, mass kg.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from .frozen import quickly_made
from .geometry import Placement, Vector

Stage = Literal["in the part", "after glue-up", "at fitting", "on site"]
Grain = Literal["length", "width", "any"]
End = Literal["face edge", "back edge", "head end", "foot end", "face side", "back side"]


# ---------------------------------------------------------------------------------------------------------------- materials
@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What a board or a length consists of; an entry of `library/materials`."""

    id: str
    name: str
    kind: Literal["sheet", "solid", "metal", "glass"]
    density: float  # kg/m³
    modulus: float  # N/mm², in bending
    grained: bool  # True: parts may not be turned on the sheet
    weak_edge: bool  # True: screws near an edge get hardwood plugs
    creep: float = 0.0  # extra share of the first deflection after long loading
    radial: float = 0.0  # movement per per cent of moisture, across the growth rings
    tangential: float = 0.0  # the same along the growth rings
    verified: bool = True  # False: a figure from memory; printed "unverified"


@dataclass(frozen=True, slots=True)
class Board:
    """A material at the thickness that the calliper reads."""

    material: Material
    thickness: float
    plugs: Literal["weak", "always", "never"] = field(
        default="weak", compare=False
    )  # the workshop's way; the board is the same

    @property
    def is_plugged(self) -> bool:
        """Whether screws of fittings near its edges and in them go into hardwood plugs."""
        return self.plugs == "always" or (self.plugs == "weak" and self.material.weak_edge)

    @property
    def name(self) -> str:
        """What the cutting list calls it: "MDF 18"."""
        return f"{self.material.name} {self.thickness:g}"


# ----------------------------------------------------------------------------------------------------------------- features
@dataclass(frozen=True, slots=True)
class When:
    """When a feature is made, and for one made after glue-up, in which assembly."""

    stage: Stage = "in the part"
    assembly: str = ""


IN_THE_PART = When()
AT_FITTING = When("at fitting")


@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole: mouth centre `at`, axis direction `into` the wood, true diameter."""

    at: Vector
    into: Vector
    diameter: float
    depth: float
    purpose: str
    when: When = IN_THE_PART
    kind: Literal["hole"] = "hole"

    def __hash__(self) -> int:  # by what tells holes apart; so for all features, which are looked up by the thousand
        return hash((self.at, self.diameter, self.depth))


@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Pocket:
    """A square-cornered volume taken out between two corners, e.g. a rebate that runs through or a hinge recess.

    A side of the box that lies on or beyond the blank's surface is open there.
    """

    kind: Literal["rebate", "groove", "housing", "recess", "notch", "mortise", "slot"]
    low: Vector
    high: Vector
    purpose: str
    when: When = IN_THE_PART

    def __hash__(self) -> int:
        return hash((self.low, self.high))


@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A plane that takes away all that lies beyond it: a bevel, an undercut end, a taper, a mitre.

    `point` lies on the plane, `normal` (unit) looks away from the wood that stays. `angle` is what the saw is set to,
    from square; `where` names the edge or end of the part that it shapes.
    """

    kind: Literal["bevel", "chamfer", "undercut", "taper", "mitre", "corner"]
    point: Vector
    normal: Vector
    angle: float
    where: End
    purpose: str = ""
    when: When = IN_THE_PART

    def __hash__(self) -> int:
        return hash((self.point, self.normal))

    @property
    def mitre(self) -> float:
        """What a mitre saw's table is turned to for a cut at an end, the part flat on its back side: degrees from square."""
        return math.degrees(math.atan2(abs(self.normal[1]), abs(self.normal[0])))

    @property
    def bevel(self) -> float:
        """What the saw's blade is tilted to, the part flat on its back side: degrees from upright."""
        return math.degrees(math.asin(min(1.0, abs(self.normal[2]))))


@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class CutOut:
    """An outline swept along one axis of the part and taken out: a bracket's curve, a dovetail's socket, a finger hole.

    `outline` are its corners in the plane of the next two axes after `axis` (0: y and z, 1: z and x, 2: x and y), counter-clockwise; it is
    swept from `start` to `end` along `axis`. Where it lies on or beyond the blank's surface it is open. `rises` says for each side,
    from its corner to the next, how high its arc stands over its chord, mm: out of the outline, or into it if negative; a side
    of no rise is straight, and so are all if there are no rises.
    """

    kind: Literal["cut-out", "shaping", "dovetail", "scribe"]
    axis: Literal[0, 1, 2]
    outline: tuple[tuple[float, float], ...]
    start: float
    end: float
    purpose: str
    rises: tuple[float, ...] = ()
    when: When = IN_THE_PART

    def __hash__(self) -> int:
        return hash((self.axis, self.outline, self.start, self.end))


Feature = Hole | Pocket | Cut | CutOut
# the purpose of a bevel that lets a door swing past what it closes against
CLOSING_BEVEL = "closing edge, toward the inside"
HINGE_RELIEF = "hinge edge, relieved toward the inside"  # the purpose of one that keeps its back from binding
FOR_PIPE = "pipe "  # how the purpose of a hole begins that a pipe goes through
MEETING_STILE = "meeting stile"  # how the purpose of a rebate begins in which the doors of a pair meet


# -------------------------------------------------------------------------------------------------------------------- parts
class _HashedOnce:
    """A value that is looked up over and over and is dear to hash: reckoned when first asked for, never copied or stored."""

    __slots__ = ("_hash",)

    def __hash__(self) -> int:
        try:
            return self._hash
        except AttributeError:
            object.__setattr__(self, "_hash", hash(self._value()))
            return self._hash

    def _value(self) -> tuple:
        raise NotImplementedError


@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Shape(_HashedOnce):
    """The exact form of a part: a bar along x with a constant section, less its features.

    `size` is length, width, thickness of the box it fits in. `section` is the outline (y, z) of the bar, counter-clockwise,
    empty for the full rectangle. Two parts of one shape share one mesh.
    """

    size: Vector
    section: tuple[tuple[float, float], ...] = ()
    features: tuple[Feature, ...] = ()

    __hash__ = _HashedOnce.__hash__

    def _value(self) -> tuple:
        return self.size, self.section, self.features


@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One thing that is cut and labelled.

    The part's frame has its origin at a corner of the finished box: x from the foot end along the length, y along the width,
    z from the back side to the face side. The face edge is the edge at y = 0 unless `face_edge_high`.
    """

    key: str
    name: str
    board: Board
    shape: Shape
    place: Placement
    grain: Grain = "any"
    finish: str = "carcass"  # name of the finish group
    role: str = ""  # what it does, for defaults and grouping: "side", "shelf", "stile" …
    face_side: str = ""  # which way the face side looks in the piece: "inside", "outside", "up" …
    face_edge: str = ""  # which edge the face edge is in the piece: "front", "hinge edge" …
    face_edge_high: bool = False
    cut_size: Vector | None = None  # what the saw cuts, where it is not the finished size
    surviving_mark: str = ""  # where the number is pencilled so that it survives painting
    setting: str = ""  # parts that are cut at one setting of the fence share this word
    shown_one_side: bool = False  # True: turning it over would hide its face side
    notes: tuple[str, ...] = ()

    @property
    def size(self) -> Vector:
        """Finished length, width and thickness."""
        return self.shape.size


# ---------------------------------------------------------------------------------------------------- joints and fasteners
@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Fastener:
    """A dowel, screw, pin or plug where it sits: placed, drilled for and counted, never cut.

    `at` is the outer end (a screw's head), `along` the direction it goes in.
    """

    key: str
    kind: Literal["dowel", "screw", "pin", "plug", "bolt", "biscuit"]
    name: str  # type and size in words: "dowel 8 × 40"
    diameter: float
    length: float
    at: Vector
    along: Vector
    parts: tuple[str, ...]
    purpose: str = ""
    when: When = IN_THE_PART


@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """Two parts (or a part and a fitting) and how they meet.

    `apart` is the direction, in the piece, in which the second comes away from the first.
    """

    key: str
    kind: Literal[
        "dowels",
        "dovetails",
        "biscuits",
        "housing",
        "mortise and tenon",
        "glue and pins",
        "glue",
        "glue and screws",
        "screws",
        "slotted screws",
        "rebate",
        "groove",
        "loose",
        "fitting",
    ]
    first: str
    second: str
    apart: Vector
    fasteners: tuple[str, ...] = ()
    glue_area: float = 0.0  # mm²


# ----------------------------------------------------------------------------------------------------------------- fittings
@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Body(_HashedOnce):
    """One solid of a fitting, in the fitting's frame.

    `block`: a box from `low` to `high`. `turned`: a round about the axis from `low` along `high` − `low`, its radii listed in
    `outline` as (distance along the axis, radius). `bar`: the outline (in the plane across the axis) drawn from `low` to
    `high`.
    """

    form: Literal["block", "turned", "bar"]
    low: Vector
    high: Vector
    outline: tuple[tuple[float, float], ...] = ()
    substance: str = "steel"

    __hash__ = _HashedOnce.__hash__

    def _value(self) -> tuple:
        return self.form, self.low, self.high, self.outline, self.substance


@quickly_made
@dataclass(frozen=True, slots=True, kw_only=True)
class Fitting:
    """Bought hardware where it sits.

    What moves on its own (a hinge's door leaf, a runner's drawer member) is a fitting too; it is bought with the one named in
    `bought_with` and not counted again.
    """

    key: str
    name: str  # type and size in words
    entry: str  # id in `library/fittings`
    place: Placement
    bodies: tuple[Body, ...]
    mass: float
    parts: tuple[str, ...]  # keys of what it is fixed to
    finish: str = "metal"
    notes: tuple[str, ...] = ()
    bought_with: str = ""


# ------------------------------------------------------------------------------------------------- assemblies and movement
@quickly_made
@dataclass(frozen=True, slots=True)
class Member:
    """A part, fitting or smaller assembly, and the direction (in the piece) in which it comes away from the rest.

    Members of one layer go on together and come away together; a higher layer goes on later and comes away farther.
    """

    key: str
    apart: Vector
    layer: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Assembly:
    """What goes together before the next step; members in the order of building."""

    key: str
    name: str
    members: tuple[Member, ...]
    how: Literal["glued", "dry", "screwed", "laid in", "hung"] = "glued"
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """How a front moves: a door swings about an axis, a drawer travels along one.

    `moves` are keys of parts and fittings, `half` of those that go half as far (a runner's middle member). `reach` is degrees for
    a swing, mm for a travel; a positive swing turns by the right hand about `axis`.
    """

    key: str
    kind: Literal["swing", "travel"]
    moves: tuple[str, ...]
    through: Vector
    axis: Vector
    reach: float
    half: tuple[str, ...] = ()
    after: str = ""  # the key of the motion that must be open before this one can: the leading door of a rebated pair


@dataclass(frozen=True, slots=True, kw_only=True)
class Opening:
    """The measured hole that one front closes, in the piece: left, right, bottom, top, and the plane of the front."""

    key: str
    name: str
    left: float
    right: float
    bottom: float
    top: float
    front: float  # y of the face of the carcass's front edge

    @property
    def width(self) -> float:
        """Clear width."""
        return round(self.right - self.left, 6)

    @property
    def height(self) -> float:
        """Clear height."""
        return round(self.top - self.bottom, 6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bay:
    """An undivided part of the carcass as built: its clear box and what it holds."""

    key: str
    low: Vector
    high: Vector
    behind_front: bool
    holds: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """One piece, built: the narrow waist between the parameters and everything that comes out."""

    name: str
    parts: tuple[Part, ...]
    joints: tuple[Joint, ...] = ()
    fasteners: tuple[Fastener, ...] = ()
    fittings: tuple[Fitting, ...] = ()
    assemblies: tuple[Assembly, ...] = ()  # the last one is the whole
    motions: tuple[Motion, ...] = ()
    openings: tuple[Opening, ...] = ()
    bays: tuple[Bay, ...] = ()
    overall: Vector = (
        0.0,
        0.0,
        0.0,
    )  # width, depth, height: top overhang, fronts and legs counted, not knobs and knuckles
    carcass: Vector = (0.0, 0.0, 0.0)
    rods: dict[str, tuple[float, ...]] = field(default_factory=dict, hash=False, compare=False)

    def part(self, key: str) -> Part:
        """The part of that key; KeyError names it."""
        for part in self.parts:
            if part.key == key:
                return part
        raise KeyError(key)
