"""Lipping: solid wood or edging glued to the front edges of boards, and to the edges of fronts, not fit to be seen.

It is done last, when all else is laid out: the board is made narrower by the lipping's thickness, and what was to be cut or
bored across the glue line is made in both, after the two are glued.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from ..errors import ParameterError
from ..geometry import DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, cross, plus, vector
from ..model import Board, Cut, CutOut, Fastener, Feature, Fitting, Hole, Joint, Member, Part, Pocket, When
from ..piece.fronts import Front
from .bench import Bench, Box
from .clearance import HAIR, TOUCH, box_of, fastener_box, moved, near
from .hardware import OVER_A_SCREW
from .ordering import STAY
from .setting_out import SettingOut

LIPPED = ("side", "horizontal", "fixed shelf", "upright", "loose shelf", "front top rail")  # roles
PLANED = 1.0  # mm that the lipping is wider than the board is thick, planed flush when it is glued; rule book B15
ARRIS = (
    "front arris"  # how the note of a board begins whose front arris is rounded: of a lipped one that of its lipping
)
LEAST_BOARD = 40.0  # mm of the board that must be left; common practice, no source
SHORT_OF_GLUE = 1.0  # mm; a hole that ends nearer to the glue line ends so far before it; common practice, no source
THROUGH_LIPPING = "through the lipping"  # begins the purpose of a hole that goes on in the board behind
FIELD = "carcass.lipping.board"


@dataclass(frozen=True, slots=True)
class _Lip:
    """The lipping of one board: both parts, and the zone of the whole that is the lipping's, in the whole's frame."""

    whole: Part
    panel: Part
    strip: Part
    zone: Box
    axis: int  # of the whole's frame, across the glue line: 1 where an edge is lipped, 0 for an end
    high: bool  # whether the lipped edge is the one far along that axis
    field: str = FIELD

    @property
    def body(self) -> str:
        """What the two are together."""
        return f"{self.whole.key}/lipped"


def lip_edges(bench: Bench, out: SettingOut) -> None:
    """Lip the front edges of the carcass's boards and of loose shelves, where the piece has a lipping; then fronts that have one."""
    id = out.piece.carcass.lipping.board
    if id:
        board = _stuff(out, id, FIELD)
        for part in [each for each in bench.parts.values() if each.role in LIPPED]:
            _lip(bench, part, board, FRONT, "lipping", "front", FIELD)
    for front in out.piece.fronts:
        if front.lipping:
            _lip_front(bench, out, front)


def _stuff(out: SettingOut, id: str, field: str) -> Board:
    board = out.board(id, field)
    if board.material.kind in ("glass", "metal"):
        raise ParameterError(field, f'"{id}" is {board.material.name}; a lipping is of wood or of sheet')
    return board


def _lip_front(bench: Bench, out: SettingOut, front: Front) -> None:
    """The edges of a front's board, or of each door of a pair."""
    field = f"{out.path(front)}.lipping"
    board = _stuff(out, front.lipping, field)
    if front.panel.stands_alone:
        raise ParameterError(
            field,
            f'"{front.lipping}" is for fronts of board; "{front.id}" is a frame by itself, "{front.panel.style}": leave it empty',
        )
    if front.trim:
        raise ParameterError(
            f"{out.path(front)}.trim",
            f"{front.trim:g} mm would be planed off the lipping of {board.thickness:g} mm again; use 0, or no lipping",
        )
    panels = [key for key, part in bench.parts.items() if part.role == "front panel" and key.startswith(f"{front.id}/")]
    for key in panels:
        whole, pairs = bench.parts[key], _pairs(bench.parts[key], front.lipped)
        for layer, upright in enumerate(pairs):
            for edge, way in _edges(front, key, upright):
                _lip(bench, bench.parts[key], board, way, f"lipping.{edge}", edge, field, 2 - layer)
        note = _lipped_words(whole, board, [_edges(front, key, upright) for upright in pairs])
        bench.parts[key] = replace(bench.parts[key], notes=(*bench.parts[key].notes, note))


def _lipped_words(whole: Part, board: Board, pairs: list[tuple[tuple[str, Vector], ...]]) -> str:
    """Which edges of a front are lipped, how large it is then, and which go on first."""
    size = f"{whole.size[0]:g} × {whole.size[1]:g} with its lippings"
    names = [" and ".join(edge for edge, _ in pair) for pair in pairs]
    if len(pairs) == 1:
        return f"{names[0]} edges lipped, {board.thickness:g} mm each: {size}"
    return f"lipped all round, {board.thickness:g} mm: {size}; first {names[1]}, planed flush, then {names[0]} over their ends"


def _pairs(panel: Part, which: str) -> tuple[bool, ...]:
    """Whether the upright edges are lipped, and the level ones; first those that run through, over the ends of the others."""
    if which == "upright":
        return (True,)
    long, wide, _ = panel.size
    rises = abs(panel.place.x[2]) > 0.5
    return (True, False) if rises == (long >= wide) else (False, True)


def _edges(front: Front, key: str, upright: bool) -> tuple[tuple[str, Vector], ...]:
    """The names of two opposite edges of a front, and the way that each looks."""
    if not upright:
        return ("bottom", DOWN), ("top", UP)
    if front.kind not in ("door", "pair"):
        return ("left", LEFT), ("right", RIGHT)
    hand, other = key.split("/leaf.")[1].split("/")[0], "meeting" if front.kind == "pair" else "closing"
    hinge, closing = (LEFT, RIGHT) if hand == "left" else (RIGHT, LEFT)
    return ("hinge", hinge), (other, closing)


def _lip(bench: Bench, part: Part, board: Board, way: Vector, name: str, edge: str, field: str, layer: int = 1) -> None:
    """Lip the edge or end of a board that looks a `way` of the piece."""
    thick, own = board.thickness, part.place.own_direction(way)
    axis = 0 if abs(own[0]) > 0.5 else 1
    if part.size[axis] - thick < LEAST_BOARD:
        raise ParameterError(
            field,
            f"{thick:g} mm of lipping leave {part.size[axis] - thick:g} mm of the {part.name}; use at most {part.size[axis] - LEAST_BOARD:g} mm",
        )
    features = bench.features[part.key]
    lip = _parted(part, board, axis, own[axis] > 0, way, name, edge, field, bool(features))
    bench.parts[part.key] = lip.panel
    bench.parts[lip.strip.key] = lip.strip
    bench.features[lip.strip.key] = [made for each in features for made in _in_strip(lip, each)]
    bench.features[part.key] = [made for each in features for made in _in_panel(lip, each)]
    _hold(bench, lip, features)
    area = lip.strip.size[0] * lip.strip.size[1]
    bench.join(f"{part.key}|{lip.strip.key}", "glue", part.key, lip.strip.key, way, (), area)
    _put_in_order(bench, lip, way, layer)


def _parted(
    part: Part, board: Board, axis: int, high: bool, way: Vector, name: str, edge: str, field: str, machined: bool
) -> _Lip:
    """The board without one edge or end, and the strip that takes its place, and what is rounded of it."""
    size, thick = part.size, board.thickness
    less = [*size]
    less[axis] = round(size[axis] - thick, 6)
    shape = replace(part.shape, size=vector(*less))
    notes, flush = part.notes, "planed flush with its board when the glue is dry"
    if edge == "front":
        extent = "wide" if axis == 1 else "long"
        rounded = [note for note in notes if note.startswith(ARRIS)]
        kept = [note for note in notes if note not in rounded]
        when = " after it is drilled" * machined
        notes = (*kept, f"front edge lipped{when}, {thick:g} mm: {size[axis]:g} {extent} then")
        flush = ", then its ".join((flush, *rounded))
    panel = replace(
        part,
        shape=shape,
        place=part.place if high else part.place.moved(vector(*(-thick * c for c in way))),
        notes=notes,
    )
    long, across = size[1 - axis], part.place.y if axis == 0 else part.place.x
    # its back side lies on the board: x along the edge, y across the board's thickness so that z looks outward
    y = cross(way, across)
    low = [0.0, 0.0, 0.0]
    low[axis] = less[axis] if high else thick
    high_face = sum(a * b for a, b in zip(y, part.place.z)) > 0
    low[2] = 0.0 if high_face else size[2]
    strip = Part(
        key=f"{part.key}/{name}", name=f"lipping of {part.name}" + ("" if edge == "front" else f", {edge}"), board=board, shape=replace(part.shape, size=vector(long, size[2], thick), section=(), features=()),
        place=Placement(part.place.point(vector(*low)), across, y), grain="length", finish=part.finish, role="lipping", face_side="front" if edge == "front" else "away from the board", face_edge="at the board's face side", face_edge_high=high_face,
        cut_size=(long, round(size[2] + PLANED, 6), thick), surviving_mark="none: glued to its board at once", setting="lippings",
        notes=(flush,),
    )  # fmt: skip
    zone = ([0.0, 0.0, 0.0], [*size])
    zone[0 if high else 1][axis] = less[axis] if high else thick
    return _Lip(part, panel, strip, (vector(*zone[0]), vector(*zone[1])), axis, high, field)


# ---------------------------------------------------------------------------------------------------------------- features
def _in_strip(lip: _Lip, feature: Feature) -> Iterator[Feature]:
    """What of a feature is made in the lipping, in its frame."""
    start, to = lip.whole.place, lip.strip.place
    if isinstance(feature, Cut):
        point, normal = to.own_point(start.point(feature.point)), to.own_direction(start.direction(feature.normal))
        if _bites(point, normal, lip.strip.size):
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
        point, normal = to.own_point(start.point(feature.point)), feature.normal
        if _bites(point, normal, lip.panel.size):
            yield replace(feature, point=point)
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


def _bites(point: Vector, normal: Vector, size: Vector) -> bool:
    """Whether a plane takes anything off a box at the origin."""
    corners = ((x, y, z) for x in (0.0, size[0]) for y in (0.0, size[1]) for z in (0.0, size[2]))
    return max(sum(n * (c - p) for n, c, p in zip(normal, corner, point)) for corner in corners) > 1e-6


def _crosses(lip: _Lip, feature: Feature) -> bool:
    box = box_of(feature)
    return box is not None and near(box, lip.zone, -HAIR)  # what ends at the glue line does not cross it


def _within(lip: _Lip, feature: Feature) -> bool:
    """Whether all of a feature lies in the lipping."""
    return _lies_within(lip, box_of(feature) or lip.zone)


def _after(lip: _Lip, feature: Feature) -> When:
    return When("after glue-up", lip.body) if feature.when.stage == "in the part" else feature.when


def _outer_hole(lip: _Lip, hole: Hole) -> Hole:
    """The part of a hole that is bored in the lipping; one along the glue line cannot be bored."""
    if _within(lip, hole):
        left = _to_glue_line(lip, hole)
        across = (
            left > max(hole.depth - HAIR, 2 * SHORT_OF_GLUE) and abs(hole.into[lip.axis]) > 0.99
        )  # from outside, toward the glue line
        deep = min(hole.depth, left - SHORT_OF_GLUE) if across else hole.depth
        return replace(hole, depth=round(deep, 6), when=_after(lip, hole))
    _keep_off_glue_line(lip, hole.purpose, hole.diameter, hole.into)
    purpose = f"{THROUGH_LIPPING}: {hole.purpose}"
    return replace(hole, depth=round(_to_glue_line(lip, hole), 6), when=_after(lip, hole), purpose=purpose)


def _keep_off_glue_line(lip: _Lip, what: str, diameter: float, along: Vector) -> None:
    """Refuse what lies along the glue line; `along` is its direction in the whole's frame."""
    if abs(along[lip.axis]) < 0.99:
        raise ParameterError(
            lip.field,
            f"the {what}, {diameter:g} mm wide, in the {lip.whole.name} would lie on the glue line of its lipping; take a thinner or a thicker one",
        )


def _inner_hole(lip: _Lip, hole: Hole) -> Hole:
    reach = _to_glue_line(lip, hole)
    return replace(hole, at=plus(hole.at, hole.into, reach), depth=round(hole.depth - reach, 6))


def _to_glue_line(lip: _Lip, hole: Hole) -> float:
    line = lip.zone[0][lip.axis] if lip.high else lip.zone[1][lip.axis]
    return abs(line - hole.at[lip.axis])


# ------------------------------------------------------------------------------------------------------ fasteners and order
def _hold(bench: Bench, lip: _Lip, features: Sequence[Feature]) -> None:
    """Tell the lipping of what is driven into it and of what is screwed on over it."""
    key, strip = lip.whole.key, lip.strip.key
    for fastener in [
        each
        for each in bench.fasteners.values()
        if key in each.parts and near(fastener_box(each, lip.whole.place), lip.zone)
    ]:
        late = _is_bored_later(lip, fastener, features)
        when = When("after glue-up", lip.body) if late else fastener.when
        bench.fasteners[fastener.key] = _held(lip, replace(fastener, when=when))
    for fitting in [each for each in bench.fittings.values() if key in each.parts]:
        low, high = _box(lip, fitting)
        if not near((low, high), lip.zone, 1.0):
            continue
        inside = _lies_within(lip, (low, high))
        parts = tuple(strip if each == key else each for each in fitting.parts) if inside else (*fitting.parts, strip)
        bench.fittings[fitting.key] = replace(fitting, parts=parts)
    over: list[Joint] = []
    for number, joint in enumerate(bench.joints):
        other = {joint.first: joint.second, joint.second: joint.first}.get(key)
        if other and _meets_only(bench, lip, other):
            bench.joints[number] = _joined_to(strip, joint, key)
        elif other and joint.kind == "glue and pins" and near(_of_whole(bench, lip, other), lip.zone, TOUCH):
            over.append(
                replace(_joined_to(strip, joint, key), key=f"{strip}|{other}", kind="glue", fasteners=(), glue_area=0.0)
            )
    bench.joints += over  # what is planted on the board lies on its lipping too


def _meets_only(bench: Bench, lip: _Lip, key: str) -> bool:
    """Whether a part or fitting that is joined to the whole lies before its lipping alone."""
    if key in bench.fittings:
        return _lies_within(lip, _box(lip, bench.fittings[key]))
    return key in bench.parts and _lies_within(lip, _of_whole(bench, lip, key))


def _of_whole(bench: Bench, lip: _Lip, key: str) -> Box:
    """The box around a part in the frame of the whole board."""
    part = bench.parts[key]
    return moved(((0.0, 0.0, 0.0), part.size), part.place, lip.whole.place)


def _lies_within(lip: _Lip, box: Box) -> bool:
    """Whether a box in the whole's frame is nowhere behind the glue line."""
    i = lip.axis
    return box[0][i] >= lip.zone[0][i] - 1e-6 if lip.high else box[1][i] <= lip.zone[1][i] + 1e-6


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


def _is_bored_later(lip: _Lip, fastener: Fastener, features: Sequence[Feature]) -> bool:
    """Whether the hole of a plug, which no screw lies under, is bored when the lipping is on; the whole board's features."""
    at = lip.whole.place.own_point(fastener.at)
    return fastener.kind == "plug" and any(
        isinstance(each, Hole)
        and each.when.stage == "in the part"
        and each.purpose.startswith(fastener.name)
        and not each.purpose.endswith(OVER_A_SCREW)
        and max(abs(a - b) for a, b in zip(each.at, at, strict=True)) < HAIR
        for each in features
    )


def _box(lip: _Lip, fitting: Fitting) -> Box:
    """The box around a fitting in the frame of the whole board."""
    corners = [fitting.place.point(corner) for body in fitting.bodies for corner in (body.low, body.high)]
    own = [lip.whole.place.own_point(corner) for corner in corners]
    low, high = (tuple(pick(point[axis] for point in own) for axis in range(3)) for pick in (min, max))
    return low, high  # type: ignore[return-value]


def _put_in_order(bench: Bench, lip: _Lip, outward: Vector, layer: int) -> None:
    """The board and its lipping are glued first, and go on as one."""
    strip = Member(lip.strip.key, outward, layer)
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
            lip.body, f"{lip.whole.name} with its lipping", [(lip.whole.key, STAY, 0), (strip.key, outward, layer)]
        )
        bench.assemblies.insert(0, bench.assemblies.pop())
    for number, motion in enumerate(bench.motions):
        if lip.whole.key in motion.moves:
            bench.motions[number] = replace(motion, moves=(*motion.moves, lip.strip.key))
