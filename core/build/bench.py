"""The bench: where parts are laid out, jointed and fitted, until the whole is frozen as a Model.

Builders speak in piece coordinates; the bench turns every hole, pocket and cut into the frame of the part it is made in, so
that mating features come from one axis and not from two sums.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from ..fastenings import Dowel, Screw, pilot_for
from ..fittings import FittingEntry
from ..frozen import altered
from ..geometry import Placement, Vector, negative, plus, quantised, vector
from ..model import (
    AT_FITTING,
    IN_THE_PART,
    Assembly,
    Bay,
    Board,
    Cut,
    CutOut,
    Fastener,
    Feature,
    Fitting,
    Hole,
    Joint,
    Member,
    Model,
    Motion,
    Opening,
    Part,
    Pocket,
    Shape,
    When,
)

Box = tuple[Vector, Vector]  # its low and its high corner
# how the purposes of holes begin that a dowel, a screw or a plug fills when the piece stands
FILLED = ("dowel ", "pilot for ", "plug ", "clearance for screw ", "clearance for the front's screw")
JOINING = ("dowel", "biscuit")  # the fasteners that a board comes together with, to which fittings give way


@dataclass
class Boxes:
    """The boxes around what is cut into a part and held in it, as far as they were asked for."""

    features: list[Feature] | None = None  # of the part when it stood at `place`
    place: Placement | None = None
    found: list[Box] = field(default_factory=list)
    seen: int = 0  # features
    held: int = 0  # fasteners


@dataclass
class Bench:
    """Parts, joints and fittings under way.

    With `seen_only` no screws, pins and plugs are driven, no holes bored that they or dowels fill, no joints noted that a fitting has: nothing is then in
    the way but dowels and biscuits.
    """

    seen_only: bool = False
    parts: dict[str, Part] = field(default_factory=dict)
    features: dict[str, list[Feature]] = field(default_factory=dict)
    joints: list[Joint] = field(default_factory=list)
    fasteners: dict[str, Fastener] = field(default_factory=dict)
    fittings: dict[str, Fitting] = field(default_factory=dict)
    assemblies: list[Assembly] = field(default_factory=list)
    motions: list[Motion] = field(default_factory=list)
    openings: list[Opening] = field(default_factory=list)
    bays: list[Bay] = field(default_factory=list)
    numbers: dict[str, int] = field(default_factory=dict)  # of the last fastener of each kind in each part
    held_in: dict[str, list[Fastener]] = field(default_factory=dict)  # the fasteners in each part
    boxes: dict[str, Boxes] = field(default_factory=dict)  # by part; kept up by `clearance.taken`
    stood: dict[str, tuple[Part | Fitting, tuple[Box, ...]]] = field(
        default_factory=dict
    )  # kept up by `hanging.boxes_on`
    stood_about: dict[str, tuple[Fitting, Box]] = field(default_factory=dict)  # the same around all of a fitting
    reserved: dict[str, list[Box]] = field(
        default_factory=dict
    )  # by part: boxes in the piece where it has no wood to bore

    # ---------------------------------------------------------------------------------------------------------------- parts
    def part(
        self, key: str, name: str, board: Board, length: float, width: float, place: Placement, **more: object
    ) -> Part:
        """Lay down a part cut from a board; `more` are further fields of Part, and `section`, `thickness`."""
        assert key not in self.parts, f"two parts are called {key}"
        section = more.pop("section", ())
        thickness = more.pop("thickness", board.thickness)
        shape = Shape(size=vector(length, width, thickness), section=section)  # type: ignore[arg-type]
        part = Part(key=key, name=name, board=board, shape=shape, place=place, **more)  # type: ignore[arg-type]
        self.parts[key] = part
        self.features[key] = []
        return part

    def lengthen(self, key: str, toward: Vector, by: float) -> None:
        """Make a part longer at the end that looks `toward` (in the piece); what is cut in it already stays where it is."""
        part = self.parts[key]
        at_foot = by if part.place.own_direction(toward)[0] < 0 else 0.0
        long, wide, thick = part.size
        place = part.place.moved(vector(*(at_foot * t for t in toward)))
        self.parts[key] = dataclasses.replace(
            part, shape=dataclasses.replace(part.shape, size=vector(long + by, wide, thick)), place=place
        )
        if at_foot:
            self.features[key] = [_shifted(feature, at_foot) for feature in self.features[key]]

    def bore(
        self, key: str, at: Vector, into: Vector, diameter: float, depth: float, purpose: str, when: When = IN_THE_PART
    ) -> None:
        """Bore a hole whose mouth and direction are given in the piece."""
        if self.seen_only and purpose.startswith(FILLED):
            return
        place = self.parts[key].place
        hole = Hole(
            at=place.own_point(at),
            into=place.own_direction(into),
            diameter=diameter,
            depth=quantised(depth),
            purpose=purpose,
            when=when,
        )
        self.features[key].append(hole)

    def take_out(
        self, key: str, kind: str, corner: Vector, opposite: Vector, purpose: str, when: When = IN_THE_PART
    ) -> None:
        """Take out a square-cornered volume between two opposite corners given in the piece."""
        place = self.parts[key].place
        a, b = place.own_point(corner), place.own_point(opposite)
        low, high = (vector(*(pick(u, v) for u, v in zip(a, b))) for pick in (min, max))
        self.features[key].append(Pocket(kind=kind, low=low, high=high, purpose=purpose, when=when))  # type: ignore[arg-type]

    def cut_out(
        self, key: str, kind: str, outline: Sequence[Vector], through: Vector, depth: float, purpose: str, rises: Sequence[float] = (), when: When = IN_THE_PART
    ) -> None:  # fmt: skip
        """Take out an outline given in the piece, its corners in one plane square to an axis of the part, swept along `through` so far.

        It may run round either way; `rises` says how high the arc of each side, from its corner to the next, stands out of the outline.
        """
        place = self.parts[key].place
        way = place.own_direction(through)
        axis = max(range(3), key=lambda i: abs(way[i]))
        points = [place.own_point(corner) for corner in outline]
        flat = [(point[(axis + 1) % 3], point[(axis + 2) % 3]) for point in points]
        ends = sorted((points[0][axis], round(points[0][axis] + depth * way[axis], 6)))
        self.cut_out_own(key, kind, axis, flat, ends[0], ends[1], purpose, rises, when)

    def cut_out_own(
        self, key: str, kind: str, axis: int, outline: Sequence[tuple[float, float]], start: float, end: float, purpose: str, rises: Sequence[float] = (), when: When = IN_THE_PART
    ) -> None:  # fmt: skip
        """The same of an outline in the part's own frame, in the plane of the two axes after `axis`."""
        flat, bows = [*outline], [*rises] or [0.0] * len(outline)
        if _runs_clockwise(flat):
            flat, bows = flat[::-1], [*bows[-2::-1], bows[-1]]
        self.features[key].append(
            CutOut(kind=kind, axis=axis, outline=tuple(flat), start=start, end=end, purpose=purpose, rises=tuple(bows) if any(bows) else (), when=when)  # type: ignore[arg-type]
        )  # fmt: skip

    def saw(
        self,
        key: str,
        kind: str,
        point: Vector,
        normal: Vector,
        angle: float,
        where: str,
        purpose: str = "",
        when: When = IN_THE_PART,
    ) -> None:
        """Saw off all that lies beyond a plane given in the piece."""
        place = self.parts[key].place
        self.saw_own(key, kind, place.own_point(point), place.own_direction(normal), angle, where, purpose, when)

    def saw_own(
        self,
        key: str,
        kind: str,
        point: Vector,
        normal: Vector,
        angle: float,
        where: str,
        purpose: str = "",
        when: When = IN_THE_PART,
    ) -> None:
        """Saw off all that lies beyond a plane given in the part's own frame."""
        cut = Cut(kind=kind, point=point, normal=normal, angle=round(angle, 6), where=where, purpose=purpose, when=when)  # type: ignore[arg-type]
        self.features[key].append(cut)

    # ------------------------------------------------------------------------------------------------- joints and fasteners
    def join(
        self,
        key: str,
        kind: str,
        first: str,
        second: str,
        apart: Vector,
        fasteners: tuple[str, ...] = (),
        glue_area: float = 0.0,
    ) -> None:
        """Note that two parts meet, and the direction in which the second comes away from the first."""
        joint = Joint(
            key=key,
            kind=kind,
            first=first,
            second=second,
            apart=apart,
            fasteners=() if self.seen_only else fasteners,
            glue_area=round(glue_area, 3),
        )  # type: ignore[arg-type]
        self.joints.append(joint)

    def fasten(
        self,
        kind: str,
        name: str,
        diameter: float,
        length: float,
        at: Vector,
        along: Vector,
        parts: tuple[str, ...],
        purpose: str = "",
        when: When = IN_THE_PART,
    ) -> str:
        """Put one dowel, screw, pin or plug in its place; its key says what it holds and its number."""
        if self.seen_only and kind not in JOINING:
            return ""
        stem = f"{parts[-1]}/{purpose or kind}".replace(" ", "_")
        number = self.numbers[stem] = self.numbers.get(stem, 0) + 1
        key = f"{stem}.{number}"
        made = self.fasteners[key] = Fastener(
            key=key, kind=kind, name=name, diameter=diameter, length=length, at=at, along=along, parts=parts, purpose=purpose, when=when  # type: ignore[arg-type]
        )  # fmt: skip
        for part in parts:
            if part not in self.held_in:
                self.held_in[part] = []
            self.held_in[part].append(made)
        return key

    def fasteners_in(self, key: str) -> list[Fastener]:
        """The fasteners that hold in a part."""
        return self.held_in.get(key, [])

    def dowel(self, face: str, edge: str, at: Vector, into_edge: Vector, size: Dowel, purpose: str = "") -> str:
        """Bore both parts on one axis through `at` in the joint's plane, and put the dowel in."""
        back = negative(into_edge)
        self.bore(face, at, back, size.diameter, size.face_depth, f"dowel {size.name}")
        self.bore(edge, at, into_edge, size.diameter, size.edge_depth, f"dowel {size.name}")
        start = plus(at, back, (size.face_depth + size.length - size.edge_depth) / 2)
        return self.fasten(
            "dowel",
            f"dowel {size.name}",
            size.diameter,
            size.length,
            start,
            into_edge,
            (face, edge),
            purpose or "dowel",
        )

    def screw(
        self,
        through: str,
        into: str,
        at: Vector,
        along: Vector,
        size: Screw,
        thickness: float,
        purpose: str,
        when: When = IN_THE_PART,
        marked_through: bool = False,
    ) -> str:
        """Screw one part to another: a clearance hole through the first (`thickness` deep), a pilot in the second.

        `marked_through`: the clearance is bored in the part, and the pilot at fitting, marked through it.
        """
        if self.seen_only:
            return ""
        bored, when = (IN_THE_PART, AT_FITTING) if marked_through else (when, when)
        self.bore(through, at, along, size.clearance, thickness, f"clearance for screw {size.name}", bored)
        inside = plus(at, along, thickness)
        pilot = pilot_for(size, self.parts[into].board.material)
        self.bore(into, inside, along, pilot, size.length - thickness + 1.0, f"pilot for screw {size.name}", when)
        return self.fasten(
            "screw", f"screw {size.name}", size.diameter, size.length, at, along, (through, into), purpose, when
        )

    # ------------------------------------------------------------------------------------------------ fittings and the whole
    def fit(
        self,
        key: str,
        entry: FittingEntry,
        place: Placement,
        parts: tuple[str, ...],
        length: float | None = None,
        finish: str = "metal",
    ) -> Fitting:
        """Put a fitting of the library in its place; what moves on its own becomes a fitting of its own, `<key>/<member>`."""
        assert key not in self.fittings, f"two fittings are called {key}"
        owns = []
        for number, member in enumerate(entry.members if len(entry.members) > 1 else (None,)):
            own = f"{key}/{member.replace(' ', '_')}" if number else key
            name = entry.name_for(length) + (f", {member}" if number else "")
            self.fittings[own] = Fitting(
                key=own, name=name, entry=entry.id, place=place, bodies=entry.bodies_for(length, member), mass=entry.mass_for(length, member), parts=parts,
                finish=finish, bought_with=key if number else "",
            )  # fmt: skip
            owns.append(own)
        if self.seen_only:
            return self.fittings[key]
        for own in owns[1:]:
            self.join(f"{own}|{key}", "fitting", key, own, place.x)
        for number, part in enumerate(parts):  # the first part holds the first member, the others the last
            holder = owns[-1] if number else key
            self.join(f"{holder}|{part}", "fitting", part, holder, place.x)
        return self.fittings[key]

    def assemble(
        self,
        key: str,
        name: str,
        members: list[tuple[str, Vector, int]],
        how: str = "glued",
        notes: tuple[str, ...] = (),
    ) -> None:
        """Note what goes together, in the order of building: key, direction it comes away in, layer."""
        made = tuple(Member(*member) for member in members)
        self.assemblies.append(Assembly(key=key, name=name, members=made, how=how, notes=notes))  # type: ignore[arg-type]

    def model(
        self,
        name: str,
        overall: Vector,
        carcass: Vector,
        rods: dict[str, tuple[float, ...]],
        filled: bool = True,
    ) -> Model:
        """Freeze everything, parts in the order they were laid down; without `filled` no holes that something fills."""
        return Model(
            name=name,
            parts=tuple(self._finished(part, filled) for part in self.parts.values()),
            joints=tuple(self.joints),
            fasteners=tuple(self.fasteners.values()),
            fittings=tuple(self.fittings.values()),
            assemblies=tuple(self.assemblies),
            motions=tuple(self.motions),
            openings=tuple(self.openings),
            bays=tuple(self.bays),
            overall=overall,
            carcass=carcass,
            rods=rods,
        )

    def _finished(self, part: Part, filled: bool) -> Part:
        features = self.features[part.key]
        if not filled:
            features = [each for each in features if not (each.kind == "hole" and each.purpose.startswith(FILLED))]
        return altered(part, shape=_shape(part.shape.size, part.shape.section, tuple(features)))


@lru_cache(maxsize=4096)
def _shape(size: Vector, section: tuple[tuple[float, float], ...], features: tuple[Feature, ...]) -> Shape:
    """The shape of a size and features: one and the same as long as it is remembered, so that who looks it up need not compare it."""
    return Shape(size=size, section=section, features=features)


def _shifted(feature: Feature, by: float) -> Feature:
    """A feature of a part whose foot end moved away by so much."""
    step: Vector = (by, 0.0, 0.0)
    if isinstance(feature, Hole):
        return dataclasses.replace(feature, at=plus(feature.at, step))
    if isinstance(feature, Pocket):
        return dataclasses.replace(feature, low=plus(feature.low, step), high=plus(feature.high, step))
    if isinstance(feature, CutOut):
        return _cut_out_shifted(feature, by)
    return dataclasses.replace(feature, point=plus(feature.point, step))


def _cut_out_shifted(feature: CutOut, by: float) -> CutOut:
    if feature.axis == 0:
        return dataclasses.replace(feature, start=round(feature.start + by, 6), end=round(feature.end + by, 6))
    x = 3 - feature.axis - 1  # where the length stands in the outline's two axes
    outline = tuple(
        tuple(round(c + by, 6) if i == x else c for i, c in enumerate(corner)) for corner in feature.outline
    )
    return dataclasses.replace(feature, outline=outline)


def _runs_clockwise(corners: Sequence[tuple[float, float]]) -> bool:
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(corners, (*corners[1:], corners[0]))) < 0
