"""Lipping: solid wood or edging glued to the front edges of boards, and to the upright edges of plain doors, not fit to be seen.

It is done last, when all else is laid out: the board is made narrower by the lipping's thickness, and what was to be cut or
bored across the glue line is made in both, after the two are glued.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ..errors import ParameterError
from ..geometry import Placement, Vector, negative, plus, vector
from ..model import Board, Cut, CutOut, Fastener, Feature, Fitting, Hole, Joint, Member, Part, Pocket, When
from ..piece.fronts import Front
from .bench import Bench, Box
from .clearance import box_of, fastener_box, moved, near
from .ordering import STAY
from .setting_out import SettingOut

LIPPED = ("side", "horizontal", "fixed shelf", "upright", "loose shelf")  # roles
PLANED = 1.0  # mm that the lipping is wider than the board is thick, planed flush when it is glued; rule book B15
LEAST_BOARD = 40.0  # mm of the board that must be left; common practice, no source
THROUGH_LIPPING = "through the lipping"  # begins the purpose of a hole that goes on in the board behind
FIELD = "carcass.lipping.board"


@dataclass(frozen=True, slots=True)
class _Lip:
    """The lipping of one board: both parts, and the zone of the whole that is the lipping's, in the whole's frame."""

    whole: Part
    panel: Part
    strip: Part
    zone: Box
    high: bool  # whether the lipped edge is the one at y = width
    field: str = FIELD

    @property
    def body(self) -> str:
        """What the two are together."""
        return f"{self.whole.key}/lipped"


def lip_edges(bench: Bench, out: SettingOut) -> None:
    """Lip the front edges of the carcass's boards and of loose shelves, where the piece has a lipping; then doors that have one."""
    id = out.piece.carcass.lipping.board
    if id:
        board = _stuff(out, id, FIELD)
        for part in [each for each in bench.parts.values() if each.role in LIPPED]:
            high = part.place.y[1] < 0  # the front is toward −y of the piece
            _lip(bench, part, board, high, "lipping", "front", FIELD)
    for front in out.piece.fronts:
        if front.lipping:
            _lip_doors(bench, out, front)


def _stuff(out: SettingOut, id: str, field: str) -> Board:
    board = out.board(id, field)
    if board.material.kind in ("glass", "metal"):
        raise ParameterError(field, f'"{id}" is {board.material.name}; a lipping is of wood or of sheet')
    return board


def _lip_doors(bench: Bench, out: SettingOut, front: Front) -> None:
    """Both upright edges of a plain door, or of each door of a pair."""
    field = f"{out.path(front)}.lipping"
    board = _stuff(out, front.lipping, field)
    panels = [
        part for part in bench.parts.values() if part.role == "front panel" and part.key.startswith(f"{front.id}/leaf.")
    ]
    if front.kind not in ("door", "pair") or front.panel.style != "plain":
        raise ParameterError(
            field,
            f'"{front.lipping}" is for plain doors; "{front.id}" is a {front.kind} with the panel "{front.panel.style}": leave it empty',
        )
    if front.trim:
        raise ParameterError(
            f"{out.path(front)}.trim",
            f"{front.trim:g} mm would be planed off the lipping of {board.thickness:g} mm again; use 0, or no lipping",
        )
    for panel in panels:
        if abs(panel.place.x[2]) < 0.5:
            raise ParameterError(
                field,
                f'"{front.lipping}" goes along the upright edges of a door, and "{panel.key}" is wider than it is high; leave it empty',
            )
        hand, other = panel.key.split("/leaf.")[1].split("/")[0], "meeting" if front.kind == "pair" else "closing"
        for edge in ("hinge", other):
            at_left = (hand == "left") == (edge == "hinge")
            whole = bench.parts[panel.key]
            high = (whole.place.y[0] < 0) == at_left
            _lip(bench, whole, board, high, f"lipping.{edge}", edge, field)


def _lip(bench: Bench, part: Part, board: Board, high: bool, name: str, edge: str, field: str) -> None:
    thick = board.thickness
    if part.size[1] - thick < LEAST_BOARD:
        raise ParameterError(
            field,
            f"{thick:g} mm of lipping leave {part.size[1] - thick:g} mm of the {part.name}; use at most {part.size[1] - LEAST_BOARD:g} mm",
        )
    lip = _parted(part, board, high, name, edge, field)
    features = bench.features[part.key]
    bench.parts[part.key] = lip.panel
    bench.parts[lip.strip.key] = lip.strip
    bench.features[lip.strip.key] = [made for each in features for made in _in_strip(lip, each)]
    bench.features[part.key] = [made for each in features for made in _in_panel(lip, each)]
    _hold(bench, lip)
    outward = part.place.y if lip.high else negative(part.place.y)
    bench.join(f"{part.key}|{lip.strip.key}", "glue", part.key, lip.strip.key, outward, (), part.size[0] * part.size[2])
    _put_in_order(bench, lip, outward)


def _parted(part: Part, board: Board, high: bool, name: str, edge: str, field: str) -> _Lip:
    """The board without one edge, and the strip that takes its place."""
    (long, wide, deep), thick = part.size, board.thickness
    shape = replace(part.shape, size=vector(long, wide - thick, deep))
    note = f"{edge} edge lipped after it is drilled, {thick:g} mm: {wide:g} wide then"
    if edge != "front":
        note = f"{edge} edge lipped, {thick:g} mm: {wide:g} wide with it"
    panel = replace(
        part,
        shape=shape,
        place=part.place if high else part.place.moved(vector(*(thick * c for c in part.place.y))),
        notes=(*part.notes, note),
    )
    across = part.place.z
    if high:
        corner, y = part.place.point((0.0, wide - thick, deep)), negative(across)
    else:
        corner, y = part.place.point((0.0, thick, 0.0)), across
    strip = Part(
        key=f"{part.key}/{name}", name=f"lipping of {part.name}" + ("" if edge == "front" else f", {edge}"), board=board, shape=replace(part.shape, size=vector(long, deep, thick), section=(), features=()),
        place=Placement(corner, part.place.x, y), grain="length", finish=part.finish, role="lipping", face_side="front" if edge == "front" else "outer edge", face_edge="long edge",
        cut_size=(long, round(deep + PLANED, 6), thick), surviving_mark="none: glued to its board at once", setting="lippings",
        notes=("planed flush with its board when the glue is dry",),
    )  # fmt: skip
    zone = ((0.0, wide - thick, 0.0), (long, wide, deep)) if high else ((0.0, 0.0, 0.0), (long, thick, deep))
    return _Lip(part, panel, strip, zone, high, field)


# ---------------------------------------------------------------------------------------------------------------- features
def _in_strip(lip: _Lip, feature: Feature) -> Iterator[Feature]:
    """What of a feature is made in the lipping, in its frame."""
    start, to = lip.whole.place, lip.strip.place
    if isinstance(feature, Cut):
        point, normal = to.own_point(start.point(feature.point)), to.own_direction(start.direction(feature.normal))
        corners = [
            (x, y, z)
            for x in (0.0, lip.strip.size[0])
            for y in (0.0, lip.strip.size[1])
            for z in (0.0, lip.strip.size[2])
        ]
        if max(sum(n * (c - p) for n, c, p in zip(normal, corner, point)) for corner in corners) > 1e-6:
            yield replace(feature, point=point, normal=normal, when=_after(lip, feature))
        return
    if not _crosses(lip, feature):
        return
    if isinstance(feature, CutOut):
        raise ParameterError(
            lip.field,
            f"the {feature.purpose or 'cut-out'} in the {lip.whole.name} reaches into its lipping; take a thinner one or none",
        )
    if isinstance(feature, Pocket):
        low, high = moved((feature.low, feature.high), start, to)
        yield replace(feature, low=low, high=high, when=_after(lip, feature))
    else:
        yield replace(
            _outer_hole(lip, feature),
            at=to.own_point(start.point(feature.at)),
            into=to.own_direction(start.direction(feature.into)),
        )


def _in_panel(lip: _Lip, feature: Feature) -> Iterator[Feature]:
    """What of a feature is made in the board that is left, in its frame."""
    start, to = lip.whole.place, lip.panel.place
    if isinstance(feature, Cut):
        yield replace(feature, point=to.own_point(start.point(feature.point)))
        return
    crosses = _crosses(lip, feature)
    if crosses and _within(lip, feature):
        return
    when = _after(lip, feature) if crosses else feature.when
    if isinstance(feature, Hole):
        inner = _inner_hole(lip, feature) if crosses else feature
        yield replace(inner, at=to.own_point(start.point(inner.at)), when=when)
    elif isinstance(feature, Pocket):
        yield replace(
            feature, low=to.own_point(start.point(feature.low)), high=to.own_point(start.point(feature.high)), when=when
        )
    else:
        yield replace(feature, at=to.own_point(start.point(feature.at)))


def _crosses(lip: _Lip, feature: Feature) -> bool:
    box = box_of(feature)
    return box is not None and near(box, lip.zone)


def _within(lip: _Lip, feature: Feature) -> bool:
    """Whether all of a feature lies in the lipping."""
    return _lies_within(lip, box_of(feature) or lip.zone)


def _after(lip: _Lip, feature: Feature) -> When:
    return When("after glue-up", lip.body) if feature.when.stage == "in the part" else feature.when


def _outer_hole(lip: _Lip, hole: Hole) -> Hole:
    """The part of a hole that is bored in the lipping; one along the glue line cannot be bored."""
    if _within(lip, hole):
        return replace(hole, when=_after(lip, hole))
    _keep_off_glue_line(lip, hole.purpose, hole.diameter, hole.into)
    purpose = f"{THROUGH_LIPPING}: {hole.purpose}"
    return replace(hole, depth=round(_to_glue_line(lip, hole), 6), when=_after(lip, hole), purpose=purpose)


def _keep_off_glue_line(lip: _Lip, what: str, diameter: float, along: Vector) -> None:
    """Refuse what lies along the glue line; `along` is its direction in the whole's frame."""
    if abs(along[1]) < 0.99:
        raise ParameterError(
            lip.field,
            f"the {what}, {diameter:g} mm wide, in the {lip.whole.name} would lie on the glue line of its lipping; take a thinner or a thicker one",
        )


def _inner_hole(lip: _Lip, hole: Hole) -> Hole:
    reach = _to_glue_line(lip, hole)
    return replace(hole, at=plus(hole.at, hole.into, reach), depth=round(hole.depth - reach, 6))


def _to_glue_line(lip: _Lip, hole: Hole) -> float:
    line = lip.zone[0][1] if lip.high else lip.zone[1][1]
    return abs(line - hole.at[1])


# ------------------------------------------------------------------------------------------------------ fasteners and order
def _hold(bench: Bench, lip: _Lip) -> None:
    """Tell the lipping of what is driven into it and of what is screwed on over it."""
    key, strip = lip.whole.key, lip.strip.key
    for fastener in [
        each
        for each in bench.fasteners.values()
        if key in each.parts and near(fastener_box(each, lip.whole.place), lip.zone)
    ]:
        bench.fasteners[fastener.key] = _held(lip, fastener)
    for fitting in [each for each in bench.fittings.values() if key in each.parts]:
        low, high = _box(lip, fitting)
        if not near((low, high), lip.zone, 1.0):
            continue
        inside = _lies_within(lip, (low, high))
        parts = tuple(strip if each == key else each for each in fitting.parts) if inside else (*fitting.parts, strip)
        bench.fittings[fitting.key] = replace(fitting, parts=parts)
    for number, joint in enumerate(bench.joints):
        other = {joint.first: joint.second, joint.second: joint.first}.get(key)
        if other and _meets_only(bench, lip, other):
            bench.joints[number] = _joined_to(strip, joint, key)


def _meets_only(bench: Bench, lip: _Lip, key: str) -> bool:
    """Whether a part or fitting that is joined to the whole lies before its lipping alone."""
    if key in bench.fittings:
        return _lies_within(lip, _box(lip, bench.fittings[key]))
    part = bench.parts.get(key)
    return part is not None and _lies_within(lip, moved(((0.0, 0.0, 0.0), part.size), part.place, lip.whole.place))


def _lies_within(lip: _Lip, box: Box) -> bool:
    """Whether a box in the whole's frame is nowhere behind the glue line."""
    return box[0][1] >= lip.zone[0][1] - 1e-6 if lip.high else box[1][1] <= lip.zone[1][1] + 1e-6


def _joined_to(strip: str, joint: Joint, key: str) -> Joint:
    """A joint with the board, now one with its lipping."""
    first, second = (strip if each == key else each for each in (joint.first, joint.second))
    return replace(joint, first=first, second=second)


def _held(lip: _Lip, fastener: Fastener) -> Fastener:
    if _lies_within(lip, fastener_box(fastener, lip.whole.place)):
        return replace(
            fastener, parts=tuple(lip.strip.key if each == lip.whole.key else each for each in fastener.parts)
        )
    _keep_off_glue_line(
        lip, fastener.purpose or fastener.kind, fastener.diameter, lip.whole.place.own_direction(fastener.along)
    )
    return replace(fastener, parts=(*fastener.parts, lip.strip.key))


def _box(lip: _Lip, fitting: Fitting) -> Box:
    """The box around a fitting in the frame of the whole board."""
    corners = [fitting.place.point(corner) for body in fitting.bodies for corner in (body.low, body.high)]
    own = [lip.whole.place.own_point(corner) for corner in corners]
    low, high = (tuple(pick(point[axis] for point in own) for axis in range(3)) for pick in (min, max))
    return low, high  # type: ignore[return-value]


def _put_in_order(bench: Bench, lip: _Lip, outward: Vector) -> None:
    """The board and its lipping are glued first, and go on as one."""
    strip = Member(lip.strip.key, outward, 1)
    begun = next((number for number, each in enumerate(bench.assemblies) if each.key == lip.body), None)
    if begun is not None:  # its other edge is lipped already
        made = bench.assemblies[begun]
        bench.assemblies[begun] = replace(made, members=(*made.members, strip))
    else:
        for number, assembly in enumerate(bench.assemblies):
            members = tuple(
                Member(lip.body, each.apart, each.layer) if each.key == lip.whole.key else each
                for each in assembly.members
            )
            bench.assemblies[number] = replace(assembly, members=members)
        bench.assemble(
            lip.body, f"{lip.whole.name} with its lipping", [(lip.whole.key, STAY, 0), (strip.key, outward, 1)]
        )
        bench.assemblies.insert(0, bench.assemblies.pop())
    for number, motion in enumerate(bench.motions):
        if lip.whole.key in motion.moves:
            bench.motions[number] = replace(motion, moves=(*motion.moves, lip.strip.key))
