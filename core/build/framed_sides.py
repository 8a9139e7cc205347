"""Sides that are frames themselves: stiles, rails and panels instead of a board with something on it.

The carcass is built against a whole board, as ever; last of all the board is parted into its members, and what was bored, cut,
screwed or glued to it goes to the member it falls in, made when the frame is glued up. What falls on a panel, on a groove or
across a shoulder is refused: only the frame is wood that holds. Rows of fasteners are spread over what wood there is at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..errors import ParameterError, within
from ..geometry import BACK, DOWN, FRONT, UP, Placement, Vector, vector
from ..model import Cut, CutOut, Fastener, Feature, Fitting, Hole, Joint, Member, Part, Pocket, When
from .bench import Bench, Box
from .clearance import TOUCH, box_of, fastener_box, moved, near, standing_box
from .protocols import Face
from .setting_out import SettingOut

FRAME = ("stile", "rail", "muntin")  # roles of members that hold
ALWAYS = 1e4  # mm; beyond any side
SHAPED = ("cheek", "tenon in", "haunch", "rear shoulder")  # how the purposes of what is cut at a tenon begin
PANEL = "carcass.side_panel"


def side_face(out: SettingOut, side: str) -> Face:
    """The outer face of a side, as the panel styles see it."""
    covered = out.piece.top.overhang().covered
    if out.top_through:
        covered = max(0.0, round(covered - out.side_board.thickness, 6))
    left = side == "left"
    x = out.outer.left if left else out.outer.right
    return Face(
        key=f"side.{side}", panel=f"carcass/side.{side}", what="side", finish="carcass",
        corner=vector(x, 0.0 if left else -out.depth, out.outer.bottom), right=FRONT if left else BACK, up=UP,
        width=out.depth, height=out.side_height, floor=out.outer.bottom, covered_top=covered, run_down=out.piece.support.run_down(),
        left_name="rear" if left else "front", right_name="front" if left else "rear",
    )  # fmt: skip


def reserve_fields(bench: Bench, out: SettingOut, side: str) -> None:
    """Note on the bench where a framed side has no wood to hold anything: panels, grooves, mortises, shoulders."""
    frame = _Frame(out, side, out.side_height)
    bench.reserved[frame.whole] = frame.no_wood()


def part_sides(bench: Bench, out: SettingOut) -> None:
    """Put the members of both frames in the place of the boards that stood for them."""
    if out.framed_sides:
        for side in ("left", "right"):
            _Parting(bench, out, side).done()


# --------------------------------------------------------------------------------------------------------------- the frame
class _Frame:
    """The members of one side, laid down on a bench of their own."""

    def __init__(self, out: SettingOut, side: str, height: float) -> None:
        self.out, self.side, self.whole = out, side, f"carcass/side.{side}"
        face = side_face(out, side)
        inner = out.inner.left if side == "left" else out.inner.right
        self.face = replace(
            face,
            panel="",
            corner=vector(inner, *face.corner[1:]),  # of its back
            height=height,
            covered_top=round(face.covered_top + height - out.side_height, 6),
        )
        self.bench = Bench()
        with within(PANEL):
            out.piece.carcass.side_panel.dress(self.bench, self.face, lambda id: out.board(id, f"{PANEL}.board"))
        self.parts = self.bench.parts
        # mid rails end at the stiles too, muntins at the rails
        stiles = [standing_box(part) for part in self.parts.values() if part.role == "stile"]
        rails = [standing_box(part) for part in self.parts.values() if part.role == "rail"]
        self.bodies = {key: self._body(part, stiles, rails) for key, part in self.parts.items()}

    def _body(self, part: Part, stiles: list[Box], rails: list[Box]) -> Box:
        """The box between a member's shoulders, in the piece."""
        box = standing_box(part)
        if part.role == "rail":
            box = _between(box, stiles, 1)
        if part.role == "muntin":
            box = _between(box, rails, 2)
        return box

    def no_wood(self) -> list[Box]:
        """Boxes in the piece in which nothing may be bored: what lies between the members, joints of theirs, and grooves."""
        made: list[Box] = []
        for key, part in self.parts.items():
            low, high = self.bodies[key]
            if part.role not in FRAME:
                made.append(self._through(low, high))
                continue
            if part.role == "rail":  # its shoulders
                made += [self._through((low[0], y, low[2]), (high[0], y, high[2])) for y in (low[1], high[1])]
            if part.role == "muntin":
                made += [self._through((low[0], low[1], z), (high[0], high[1], z)) for z in (low[2], high[2])]
            for pocket in self.bench.features[key]:
                if isinstance(pocket, Pocket) and not pocket.purpose.startswith(SHAPED):
                    box = _common(_in_piece((pocket.low, pocket.high), part.place), self.bodies[key])
                    made += [box if pocket.kind == "mortise" else self._through(*box)] if box else []
        return made

    def _through(self, low: Vector, high: Vector) -> Box:
        """The box through the whole thickness of the side."""
        return (-ALWAYS, *low[1:]), (ALWAYS, *high[1:])


@dataclass
class _Parting:
    """One side while its board is parted."""

    bench: Bench
    out: SettingOut
    side: str

    def __post_init__(self) -> None:
        self.feet: list[str] = []
        self.key = f"carcass/side.{self.side}"
        self.board = self.bench.parts[self.key]
        self.frame = _Frame(self.out, self.side, self.board.size[0])
        self.no_wood = self.frame.no_wood()
        self.holding = {key: box for key, box in self.frame.bodies.items() if self.frame.parts[key].role in FRAME}
        self.lying = {key: box for key, box in self.frame.bodies.items() if key not in self.holding}

    def done(self) -> None:
        """Part the board: features, fasteners, fittings, joints, order."""
        bench, frame = self.bench, self.frame
        for feature in bench.features[self.key]:
            for key, own in self._given(feature):
                frame.bench.features[key].append(own)
        for key, fastener in bench.fasteners.items():
            if self.key in fastener.parts:
                bench.fasteners[key] = self._held(fastener)
        joints = [joint for each in bench.joints for joint in self._joined(each)]
        for key, fitting in bench.fittings.items():
            if self.key in fitting.parts:
                bench.fittings[key] = replace(fitting, parts=self._holders(fitting))
        support = self.out.piece.support
        self.feet = support.fit_feet(frame.bench, self.out, self.side) if support.run_down() else []
        bench.fittings |= frame.bench.fittings
        bench.joints = [*joints, *frame.bench.joints]
        bench.parts = {
            key: part
            for there, whole in bench.parts.items()
            for key, part in (frame.parts if there == self.key else {there: whole}).items()
        }
        del bench.features[self.key]
        bench.features |= frame.bench.features
        bench.fasteners |= frame.bench.fasteners
        self._put_in_order()

    # ---------------------------------------------------------------------------------------------------------- features
    def _given(self, feature: Feature) -> Iterator[tuple[str, Feature]]:
        """A feature of the board as those of the members that it falls in."""
        if isinstance(feature, Cut):
            yield from self._sawn(feature)
            return
        own = box_of(feature)
        assert own is not None
        box = _common(_in_piece(own, self.board.place), standing_box(self.board))
        if box is None:  # it was taken out of what a lengthened end has not
            return
        what = feature.purpose or feature.kind
        self._check_lying(what, box)
        met = [key for key, body in self.holding.items() if _common(box, body)]
        if isinstance(feature, Hole):
            self._check_hole(what, box, met, feature)
        elif any(_common(box, each) for each in self.no_wood if abs(each[0][0]) < ALWAYS):
            self._refuse(what, box, "would cut a tenon of the frame")
        alone = len(met) == 1 and getattr(feature, "kind", "") in ("rebate", "groove")
        when = feature.when if alone else self._when(feature.when)
        for key in met:
            yield key, _moved(feature, self.board.place, self.frame.parts[key].place, when)

    def _sawn(self, cut: Cut) -> Iterator[tuple[str, Feature]]:
        """A cut in the members that it bites."""
        point, normal = self.board.place.point(cut.point), self.board.place.direction(cut.normal)
        for key, part in self.frame.parts.items():
            low, high = standing_box(part)
            corners = ((x, y, z) for x in (low[0], high[0]) for y in (low[1], high[1]) for z in (low[2], high[2]))
            if max(sum(n * (c - p) for n, c, p in zip(normal, corner, point)) for corner in corners) > 1e-6:
                own = replace(cut, point=part.place.own_point(point), normal=part.place.own_direction(normal))
                yield key, replace(own, when=self._when(cut.when))

    def _check_hole(self, what: str, box: Box, met: list[str], hole: Hole) -> None:
        along = max(range(3), key=lambda i: abs(self.board.place.direction(hole.into)[i]))
        across = [axis for axis in range(3) if axis != along]
        wood = (*met, "")[0]
        body = self.holding.get(wood)
        if body is None or any(
            box[0][i] < body[0][i] - 1e-6 or box[1][i] > body[1][i] + 1e-6 for i in across if i != 0
        ):
            self._refuse(what, box, "would not lie within one member of the frame")
        if any(_common(box, each, touching=True) for each in self.no_wood):
            self._refuse(what, box, "would run into a groove or a joint of the frame")

    def _check_lying(self, what: str, box: Box) -> None:
        if any(_common(box, body) for body in self.lying.values()):
            self._refuse(what, box, "would fall on the panel, which holds nothing")

    def _refuse(self, what: str, box: Box, why: str) -> None:
        high, behind = (box[0][2] + box[1][2]) / 2, (box[0][1] + box[1][1]) / 2 + self.out.depth
        raise ParameterError(
            f"{PANEL}.mid_rails",
            f"the {what} in the {self.side} side, {behind:.0f} mm behind the front and {high:.0f} mm above the floor, {why}: put a mid rail there, or make stiles or rails wider",
        )

    def _when(self, when: When) -> When:
        return When("after glue-up", f"side.{self.side}") if when.stage == "in the part" else when

    # ------------------------------------------------------------------------------------------- fasteners, fittings, joints
    def _held(self, fastener: Fastener) -> Fastener:
        box = _in_piece(fastener_box(fastener, self.board.place), self.board.place)
        met = [key for key, body in self.holding.items() if _common(box, body)]
        if not met or any(_common(box, body) for body in self.lying.values()):
            self._refuse(fastener.purpose or fastener.kind, box, "would hold in the panel")
        parts = (key for part in fastener.parts for key in (met if part == self.key else (part,)))
        return replace(fastener, parts=tuple(dict.fromkeys(parts)))

    def _holders(self, fitting: Fitting) -> tuple[str, ...]:
        met = self._meeting(fitting.bought_with or fitting.key, ())  # of a hinge only one leaf lies on the side
        return tuple(dict.fromkeys(key for part in fitting.parts for key in (met if part == self.key else (part,))))

    def _joined(self, joint: Joint) -> Iterator[Joint]:
        """A joint with the board as joints with the members that what is joined meets."""
        if self.key not in (joint.first, joint.second):
            yield joint
            return
        other = joint.second if joint.first == self.key else joint.first
        members = self._meeting(other, joint.fasteners)
        for key in members:
            first, second = (key if each == self.key else each for each in (joint.first, joint.second))
            body = self.holding.get(key) or self.lying[key]
            names = tuple(
                name
                for name in joint.fasteners
                if key in self.bench.fasteners[name].parts or not set(members) & {*self.bench.fasteners[name].parts}
            )
            yield replace(
                joint,
                key=joint.key.replace(self.key, key),
                first=first,
                second=second,
                fasteners=names,
                glue_area=round(joint.glue_area * self._share(other, body), 3),
            )

    def _meeting(self, other: str, fasteners: tuple[str, ...]) -> list[str]:
        """The members that a part or fitting lies against, or that its fasteners hold in."""
        box = self._box(other)
        held = {part for name in fasteners for part in self.bench.fasteners[name].parts}
        screwed = {part for each in self.bench.fasteners.values() if other in each.parts for part in each.parts} | held
        met = [key for key in self.holding if key in screwed and near(box, self.holding[key], 2.0)]
        if other in self.bench.fittings and met:
            return met
        met += [key for key, body in self.holding.items() if key not in met and near(box, body, TOUCH)]
        if not met:
            self._refuse(f'"{other}"', box, "would lie on the panel alone")
        return met

    def _share(self, other: str, body: Box) -> float:
        """How much of what lies against the side lies against one member."""
        box = self._box(other)

        def common(one: Box) -> float:
            spans = [min(box[1][i], one[1][i]) - max(box[0][i], one[0][i]) for i in (1, 2)]
            return max(spans[0], 0.0) * max(spans[1], 0.0)

        every = sum(common(each) for each in self.holding.values())
        return common(body) / every if every else 1.0

    def _box(self, key: str) -> Box:
        if key in self.bench.parts:
            return standing_box(self.bench.parts[key])
        fitting = self.bench.fittings[key]
        corners = [fitting.place.point(end) for body in fitting.bodies for end in (body.low, body.high)]
        return tuple(map(min, *corners)), tuple(map(max, *corners))  # type: ignore[return-value]

    # ------------------------------------------------------------------------------------------------------------- order
    def _put_in_order(self) -> None:
        """The side is the frame, glued up as one, with what was on the board after it."""
        made = self.frame.bench.assemblies[0]
        framed = {member.key for member in made.members}
        later = max(member.layer for member in made.members) + 1
        loose = [key for key in self.frame.parts if key not in framed]  # panes and beads, from behind
        inward = vector(1.0 if self.side == "left" else -1.0, 0.0, 0.0)
        after = [Member(key, inward, later + (1 if "/bead" in key else 0)) for key in loose]
        number = next(i for i, each in enumerate(self.bench.assemblies) if each.key == f"side.{self.side}")
        old = self.bench.assemblies[number]
        after += [replace(each, layer=later + 2 + each.layer) for each in old.members if each.key != self.key]
        after += [Member(key, DOWN, later + 9) for key in self.feet]
        self.bench.assemblies[number] = replace(
            old, members=(*made.members, *after), how=made.how, notes=(*made.notes, *old.notes)
        )


# --------------------------------------------------------------------------------------------------------------------- boxes
def _in_piece(box: Box, place: Placement) -> Box:
    return moved(box, place, Placement((0.0, 0.0, 0.0)))


def _between(box: Box, others: list[Box], axis: int) -> Box:
    """A box without what others take of it at its two ends along an axis."""
    low, high = [*box[0]], [*box[1]]
    middle = (low[axis] + high[axis]) / 2
    for other in others:
        if near(box, other):
            if other[1][axis] < middle:
                low[axis] = max(low[axis], other[1][axis])
            if other[0][axis] > middle:
                high[axis] = min(high[axis], other[0][axis])
    return tuple(low), tuple(high)  # type: ignore[return-value]


def _common(box: Box, other: Box, touching: bool = False) -> Box | None:
    """What two boxes have in common, if anything; `touching`: a box of no thickness counts."""
    least = -1e-6 if touching else 1e-6
    low, high = tuple(map(max, box[0], other[0])), tuple(map(min, box[1], other[1]))
    if any(b - a <= least for a, b in zip(low, high)):
        return None
    return low, high  # type: ignore[return-value]


def _moved(feature: Feature, start: Placement, to: Placement, when: When) -> Feature:
    """A feature of one part in the frame of another that stands square to it."""
    if isinstance(feature, Hole):
        at, into = to.own_point(start.point(feature.at)), to.own_direction(start.direction(feature.into))
        return replace(feature, at=at, into=into, when=when)
    if isinstance(feature, Pocket):
        low, high = moved((feature.low, feature.high), start, to)
        return replace(feature, low=low, high=high, when=when)
    assert isinstance(feature, CutOut)
    return _cut_out_moved(feature, start, to, when)


def _cut_out_moved(feature: CutOut, start: Placement, to: Placement, when: When) -> CutOut:
    k = feature.axis
    spare = Bench()
    spare.parts["part"] = Part(key="part", name="", board=None, shape=None, place=to)  # type: ignore[arg-type]
    spare.features["part"] = []
    corners = []
    for u, v in feature.outline:
        own = [0.0, 0.0, 0.0]
        own[k], own[(k + 1) % 3], own[(k + 2) % 3] = feature.start, u, v
        corners.append(start.point(tuple(own)))  # type: ignore[arg-type]
    along = [0.0, 0.0, 0.0]
    along[k] = 1.0
    way = start.direction(tuple(along))  # type: ignore[arg-type]
    spare.cut_out("part", feature.kind, corners, way, feature.end - feature.start, feature.purpose, feature.rises, when)
    return spare.features["part"][0]  # type: ignore[return-value]


__all__ = ["part_sides", "reserve_fields", "side_face"]
