"""True frames: grooved or rebated stiles, rails and muntins, tenoned together; how they are spread, shaped and told apart.

Members are set out on a face (across, up, out); out runs from the back of the frame, 0, to its front. The channel along the
inner edges is a groove in the middle or a rebate at the back; a stub tenon fills it, a full one goes on into a mortise.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from ..errors import ParameterError
from ..fields import count, ident, items, length, parameters
from ..geometry import Placement, Vector, negative
from ..model import Board
from ..units import down_to, from_middle
from .bench import Bench
from .protocols import BoardById, Face

LEAST_FIELD = 60.0  # mm; less reads as a slot, not as a panel; common practice, no source
LEAST_WALL = 4.0  # mm of wood beside a groove; common practice, no source
LEAST_TENON = 15.0  # mm across a full tenon; common practice, no source
LEAST_CORE = 10.0  # mm of a member between its grooves; common practice, no source
TENON_OF_THICKNESS, TENON_OF_STILE, HAUNCH_OF_RAIL = 1 / 3, 2 / 3, 1 / 3  # common practice, no source
# mm from a mortise to the stile's end; to the rail's edge where the stile runs on; common practice, no source
FROM_STILE_END, FROM_RAIL_EDGE = 12.0, 5.0
MORTISE_DEEPER = 1.0  # mm than the tenon is long, for the glue; common practice, no source
BEYOND = 1.0  # mm that a cutter runs out
STAY: Vector = (0.0, 0.0, 0.0)

Span = tuple[float, float]
Take = Callable[[str, Span, Span, Span, str], None]  # kind, along, across, out, purpose


@dataclass(frozen=True, slots=True)
class Rail:
    """A rail of a frame: its name, the height of its lower edge on the face, its width."""

    name: str
    low: float
    width: float

    @property
    def high(self) -> float:
        """The height of its upper edge."""
        return round(self.low + self.width, 6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Channel:
    """What runs along the inner edges: from `low` to `high` out from the back, so deep into the edge."""

    kind: Literal["groove", "rebate"]
    low: float
    high: float
    depth: float
    purpose: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Tenon:
    """The ends of the rails: from `low` to `high` out from the back, so long beyond the shoulder; a stub fills the channel."""

    low: float
    high: float
    long: float
    full: bool

    @property
    def name(self) -> str:
        """What the lists call it."""
        return f"{'' if self.full else 'stub '}tenon {self.high - self.low:g} × {self.long:g}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """An opening of a frame: its name, its sight size on the face, and the members around it."""

    name: str
    left: float
    right: float
    low: float
    high: float
    around: tuple[str, str, str, str]  # keys of what is at its left, right, below, above


def across_names(count: int, left: str, right: str) -> tuple[str, ...]:
    """Names of things side by side, from the left: by the edge they are nearer to, so that a mirror image has the same.

    >>> across_names(3, "hinge", "closing"), across_names(4, "left", "right"), across_names(1, "left", "right")
    (('hinge', 'middle', 'closing'), ('left.1', 'left.2', 'right.2', 'right.1'), ('middle',))
    """
    half = count // 2
    numbers = [f".{i}" if half > 1 else "" for i in range(1, half + 1)]
    middle = ("middle",) if count % 2 else ()
    return (*(f"{left}{each}" for each in numbers), *middle, *(f"{right}{each}" for each in reversed(numbers)))


def muntin_places(between: float, width: float, count: int) -> tuple[float, ...]:
    """Distances of the left edges of evenly spread muntins from the left end of a field, to 0.1 mm about its middle.

    >>> muntin_places(300, 60, 1), muntin_places(300, 30, 2)
    ((120.0,), (80.0, 190.0))
    """
    field = (between - count * width) / (count + 1)
    if count == 1:
        return (between / 2 - width / 2,)
    reach = (count - 1) * (field + width)
    return tuple(round(between / 2 + from_middle(reach, i, count) - width / 2, 6) for i in range(count))


def rails_of(face: Face, bottom: float, mid: float, top: float, mid_rails: Sequence[float]) -> list[Rail]:
    """The rails of a face from the bottom up; `mid_rails` are heights of centres above the floor, what covers the top is added."""
    rails = [Rail("bottom", 0.0, bottom)]
    for number, centre in enumerate(sorted(mid_rails), 1):
        name = "mid" if len(mid_rails) == 1 else f"mid.{number}"
        rails.append(Rail(name, round(centre - face.floor - mid / 2, 6), mid))
    width = top + face.covered_top
    return [*rails, Rail("top", round(face.height - width, 6), width)]


def check_fields(face: Face, stile_width: float, rails: Sequence[Rail], muntins: int, muntin_width: float) -> None:
    """ParameterError where stiles, rails or muntins leave a field too small to read as one."""
    between = face.width - 2 * stile_width - face.covered_left - face.covered_right
    least = LEAST_FIELD - face.smaller
    if between < least:
        raise ParameterError(
            "stile_width",
            f"two stiles of {stile_width:g} mm leave {between:g} mm of field in {face.key}, {face.width:g} mm wide; at least {LEAST_FIELD:g} is needed",
        )
    for below, above in itertools.pairwise(rails):
        room = round(above.low - below.high, 6)
        if room < least:
            raise ParameterError(
                "mid_rails",
                f"{face.key}: between {below.name} rail and {above.name} rail {room:g} mm of field are left; at least {LEAST_FIELD:g} is needed: make the rails {round(least - room, 1):g} mm narrower together{', move the mid rail' if len(rails) > 2 else ''}, or take a plain face",
            )
    field = (between - muntins * muntin_width) / (muntins + 1)
    if field < least:
        raise ParameterError(
            "muntins",
            f"{muntins} of {muntin_width:g} mm leave fields {max(field, 0):.1f} mm wide in {face.key}, {face.width:g} mm wide; at least {LEAST_FIELD:g} is needed",
        )


@parameters
class TrueFrame:
    """What every true frame is asked: its board and the widths of its members."""

    board: str = ident("hardwood-20", "Frame", "What stiles, rails and muntins are cut from")
    stile_width: float = length(70, 30, 200, "Stile width", "From edge to edge")
    top_rail_width: float = length(70, 30, 300, "Top rail width", "What a moulding covers is added to it")
    mid_rail_width: float = length(70, 30, 300, "Mid rail width", "From edge to edge")
    bottom_rail_width: float = length(80, 30, 300, "Bottom rail width", "From edge to edge")
    mid_rails: tuple[float, ...] = items(float, "Mid rails", "Height of the centre of each above the floor", most=12)
    muntins: int = count(0, 0, 8, "Muntins", "Middle uprights in each field, evenly spread")
    muntin_width: float = length(50, 30, 300, "Muntin width", "From edge to edge")
    horns: float = length(20, 0, 60, "Horns", "Left on the ends of stiles with full tenons until the frame is glued")

    stands_alone = True

    def face_thickness(self, board: BoardById) -> float:
        """The frame's thickness."""
        return board(self.board).thickness

    def stile_shown(self, board: BoardById) -> float:
        """All of the stile."""
        return self.stile_width

    def channel_depth(self) -> float:
        """How much of a member's edge its groove or rebate takes."""
        raise NotImplementedError

    def lay(
        self, bench: Bench, face: Face, board: Board, channel: Channel, tenon: Tenon
    ) -> tuple[list[str], list[Field]]:
        """Lay down stiles, rails and muntins with their channels, tenons and mortises; the keys and the fields between them."""
        rails = rails_of(face, self.bottom_rail_width, self.mid_rail_width, self.top_rail_width, self.mid_rails)
        check_fields(face, self.stile_width, rails, self.muntins, self.muntin_width)
        self._check_members(channel)
        frame = _Frame(bench, face, board, self.stile_width, channel, tenon, self.horns)
        stiles = [frame.stile(left) for left in (True, False)]
        laid = [frame.rail(rail) for rail in rails]
        fields: list[Field] = []
        for number, (below, above) in enumerate(itertools.pairwise(rails), 1):
            row = f"{number}." if len(rails) > 2 else ""
            muntins, openings = frame.row(row, below, above, self.muntins, self.muntin_width)
            laid += muntins
            fields += openings
        if face.panel:
            frame.glue_on([*stiles, *laid])
        return [*stiles, *laid], fields

    def _check_members(self, channel: Channel) -> None:
        needed = {
            "stile_width": 1,
            "top_rail_width": 1,
            "bottom_rail_width": 1,
            "mid_rail_width": 2 if self.mid_rails else 0,
            "muntin_width": 2 if self.muntins else 0,
        }
        for name, edges in needed.items():
            if edges and getattr(self, name) < edges * channel.depth + LEAST_CORE:
                raise ParameterError(
                    name,
                    f"{getattr(self, name):g} mm less {edges} {channel.kind}s {channel.depth:g} mm deep leaves too little wood; use at least {edges * channel.depth + LEAST_CORE:g} mm",
                )


def full_tenon_thickness(thickness: float, least: float = 0.0) -> float:
    """A third of the frame's thickness, to 0.5 mm, or as thick as the groove where that is wider.

    >>> full_tenon_thickness(20), full_tenon_thickness(20, 9.2)
    (6.5, 9.2)
    """
    return max(down_to(thickness * TENON_OF_THICKNESS, 0.5), least)


def full_tenon_length(stile_width: float) -> float:
    """Two thirds of the stile, to 0.5 mm.

    >>> full_tenon_length(70)
    46.5
    """
    return down_to(stile_width * TENON_OF_STILE, 0.5)


# --------------------------------------------------------------------------------------------------------------- the members
class _Frame:
    """One frame while its members are laid down and shaped."""

    def __init__(
        self, bench: Bench, face: Face, board: Board, stile: float, channel: Channel, tenon: Tenon, horns: float
    ) -> None:
        self.bench, self.face, self.board, self.stile_width = bench, face, board, stile
        self.channel, self.tenon, self.horns = channel, tenon, horns if tenon.full else 0.0
        self.stiles = (f"{face.key}/stile.{face.left_name}", f"{face.key}/stile.{face.right_name}")
        self.widths = (stile + face.covered_left, stile + face.covered_right)  # of the stiles
        self.inner = (self.widths[0], round(face.width - self.widths[1], 6))  # where the stiles' inner edges are
        self.grain = "length" if board.material.grained else "any"

    # -------------------------------------------------------------------------------------------------------------- parts
    def stile(self, left: bool) -> str:
        """A stile, its channel from end to end or down to the carcass where it runs on as a leg."""
        face, key = self.face, self.stiles[0 if left else 1]
        long = round(face.height + face.run_down, 6)
        name = face.left_name if left else face.right_name
        horns, wide = self.horns * (1 if face.run_down else 2), self.widths[0 if left else 1]
        self._part(
            key, f"{face.what} stile, {name}", long, wide, Placement(face.at(wide if left else face.width, -face.run_down), face.up, negative(face.right)),
            role="stile", face_edge="outer edge", face_edge_high=left, setting=f"{face.what} stiles",
            cut_size=(round(long + horns, 6), wide, self.board.thickness) if horns else None,
            notes=(_horn_words(self.horns, "the head end" if face.run_down else "each end"),) if horns else (),
        )  # fmt: skip
        edge = self.inner[0 if left else 1]
        span = (edge - self.channel.depth, edge + BEYOND) if left else (edge - BEYOND, edge + self.channel.depth)
        low = 0.0 if face.run_down else -BEYOND
        self._across(key)(
            self.channel.kind, span, (low, face.height + BEYOND), self._channel_out(), self.channel.purpose
        )
        return key

    def rail(self, rail: Rail) -> str:
        """A rail with a tenon at each end, and the mortises for it."""
        face, tenon = self.face, self.tenon
        key = f"{face.key}/rail.{rail.name}"
        shoulders = self.inner
        long = round(shoulders[1] - shoulders[0] + 2 * tenon.long, 6)
        self._part(
            key, f"{face.what} {rail.name.split('.')[0]} rail", long, rail.width, Placement(face.at(shoulders[0] - tenon.long, rail.low), face.right, face.up),
            role="rail", face_edge="lower edge", setting=f"{face.what} rails", notes=(f"{shoulders[1] - shoulders[0]:.1f} from shoulder to shoulder",),
        )  # fmt: skip
        take = self._across(key)
        open_edges = (rail.name != "bottom", rail.name != "top")
        self._edge_channels(
            take,
            (rail.low, rail.high),
            open_edges,
            (shoulders[0] - tenon.long - BEYOND, shoulders[1] + tenon.long + BEYOND),
        )
        held = self._mortised(rail) if tenon.full else None
        for stile, shoulder, sign in zip(self.stiles, shoulders, (-1.0, 1.0)):
            self._end(take, shoulder, sign, (rail.low, rail.high), open_edges, held)
            if held:
                deep = shoulder + sign * (tenon.long + MORTISE_DEEPER)
                size = (
                    f"mortise {tenon.high - tenon.low:g} × {held[1] - held[0]:g}, {tenon.long + MORTISE_DEEPER:g} deep"
                )
                self._across(stile)("mortise", (shoulder - sign * BEYOND, deep), held, (tenon.low, tenon.high), size)
            width = held[1] - held[0] if held else rail.width - sum(open_edges) * self.channel.depth
            apart = self.face.right if sign < 0 else negative(self.face.right)
            self.bench.join(f"{stile}|{key}", "mortise and tenon", stile, key, apart, (), 2 * width * tenon.long)
        return key

    def row(self, row: str, below: Rail, above: Rail, muntins: int, width: float) -> tuple[list[str], list[Field]]:
        """The muntins between two rails, stub-tenoned into their channels, and the fields between them."""
        face = self.face
        rails = (f"{face.key}/rail.{below.name}", f"{face.key}/rail.{above.name}")
        places = [
            round(self.inner[0] + place, 6) for place in muntin_places(self.inner[1] - self.inner[0], width, muntins)
        ]
        keys = [
            self._muntin(f"{face.key}/muntin.{row}{name}", place, width, below, above, rails)
            for name, place in zip(across_names(muntins, face.left_name, face.right_name), places)
        ]
        uprights = [self.stiles[0], *keys, self.stiles[1]]
        edges = [self.inner[0], *(edge for place in places for edge in (place, round(place + width, 6))), self.inner[1]]
        names = across_names(muntins + 1, face.left_name, face.right_name)
        fields = [
            Field(
                name=f"{row}{name}" if muntins else row.rstrip("."), left=edges[2 * i], right=edges[2 * i + 1], low=below.high, high=above.low,
                around=(uprights[i], uprights[i + 1], *rails),
            )
            for i, name in enumerate(names)
        ]  # fmt: skip
        return keys, fields

    def glue_on(self, keys: Sequence[str]) -> None:
        """Glue the frame on the board that it dresses."""
        board = self.bench.parts[self.face.panel]
        for key in keys:
            long, wide, _ = self.bench.parts[key].size
            self.bench.join(
                f"{key}|{board.key}", "glue", board.key, key, self.face.out, (), min(long, self.face.height) * wide
            )

    def _muntin(self, key: str, place: float, width: float, below: Rail, above: Rail, rails: tuple[str, str]) -> str:
        face, depth = self.face, self.channel.depth
        long = round(above.low - below.high + 2 * depth, 6)
        self._part(
            key, f"{face.what} muntin", long, width, Placement(face.at(round(place + width, 6), below.high - depth), face.up, negative(face.right)),
            role="muntin", face_edge="right edge", setting=f"{face.what} muntins", notes=(f"{above.low - below.high:.1f} from shoulder to shoulder",),
        )  # fmt: skip
        take = self._up(key)
        self._edge_channels(
            take,
            (place, round(place + width, 6)),
            (True, True),
            (below.high - depth - BEYOND, above.low + depth + BEYOND),
        )
        for rail, shoulder, sign in zip(rails, (below.high, above.low), (-1.0, 1.0)):
            self._end(take, shoulder, sign, (place, round(place + width, 6)), (True, True), None)
            self.bench.join(
                f"{rail}|{key}",
                "mortise and tenon",
                rail,
                key,
                self.face.up if sign < 0 else negative(self.face.up),
                (),
                2 * (width - 2 * depth) * depth,
            )
        return key

    def _part(self, key: str, name: str, long: float, width: float, place: Placement, **more: object) -> None:
        where = f"in the {self.channel.kind}"
        self.bench.part(
            key,
            name,
            self.board,
            long,
            width,
            place,
            grain=self.grain,
            finish=self.face.finish,
            face_side="outside",
            surviving_mark=where,
            shown_one_side=True,
            **more,
        )

    # ------------------------------------------------------------------------------------------------------------ shaping
    def _across(self, key: str) -> Take:
        """Takes wood out of a part whose ends lie across the face."""
        return lambda kind, along, across, out, purpose: self._take(
            key, kind, (along[0], across[0], out[0]), (along[1], across[1], out[1]), purpose
        )

    def _up(self, key: str) -> Take:
        """Takes wood out of a part whose ends lie up and down the face."""
        return lambda kind, along, across, out, purpose: self._take(
            key, kind, (across[0], along[0], out[0]), (across[1], along[1], out[1]), purpose
        )

    def _take(self, key: str, kind: str, a: Vector, b: Vector, purpose: str) -> None:
        self.bench.take_out(key, kind, self.face.at(*a), self.face.at(*b), purpose)

    def _channel_out(self) -> Span:
        return (self.channel.low if self.channel.low else -BEYOND, self.channel.high)

    def _edge_channels(self, take: Take, edges: Span, which: tuple[bool, bool], along: Span) -> None:
        depth = self.channel.depth
        if which[0]:
            take(
                self.channel.kind,
                along,
                (edges[0] - BEYOND, edges[0] + depth),
                self._channel_out(),
                self.channel.purpose,
            )
        if which[1]:
            take(
                self.channel.kind,
                along,
                (edges[1] - depth, edges[1] + BEYOND),
                self._channel_out(),
                self.channel.purpose,
            )

    def _mortised(self, rail: Rail) -> Span:
        """From where to where across a rail its full tenon is, in from channels, from the stile's ends and from the rail's edges."""
        depth, legs = self.channel.depth, self.face.run_down > 0
        haunch = max(FROM_STILE_END, rail.width * HAUNCH_OF_RAIL)
        low = depth if rail.name != "bottom" else FROM_RAIL_EDGE if legs else haunch
        high = haunch if rail.name == "top" else depth
        span = round(rail.low + low, 1), round(rail.high - high, 1)
        if span[1] - span[0] < LEAST_TENON:
            field = f"{rail.name.split('.')[0]}_rail_width"
            raise ParameterError(
                field,
                f"{rail.width:g} mm leaves {max(span[1] - span[0], 0):g} mm for the tenon, beside groove and haunch; at least {LEAST_TENON:g} mm is needed: a wider rail, or stub tenons",
            )
        return span

    def _end(
        self, take: Take, shoulder: float, sign: float, edges: Span, channels: tuple[bool, bool], held: Span | None
    ) -> None:
        """Saw a tenon: a stub as wide as the channel all along, a full one of the width `held` beyond a haunch."""
        channel, tenon, purpose = self.channel, self.tenon, f"cheek of {self.tenon.name}"
        full = held is not None
        if not full:
            purpose = f"cheek of stub tenon {channel.high - channel.low:g} × {channel.depth:g}"
        end = shoulder + sign * ((tenon.long if full else channel.depth) + BEYOND)
        step = shoulder + sign * channel.depth
        low, high = (
            (min(channel.low, tenon.low), max(channel.high, tenon.high)) if full else (channel.low, channel.high)
        )
        inner = (edges[0] + channel.depth * channels[0], edges[1] - channel.depth * channels[1])
        wide = (edges[0] - BEYOND, edges[1] + BEYOND)
        take("rebate", (shoulder, end), wide, (high, self.board.thickness + BEYOND), purpose)
        if low > 0:
            take("rebate", (shoulder, end), wide, (-BEYOND, low), purpose)
        for there, span in zip(channels, ((wide[0], inner[0]), (inner[1], wide[1]))):
            if there:
                take("notch", (shoulder, end), span, (low or -BEYOND, high), "tenon in from the inner edge")
        if held is None:
            return
        for span in ((inner[0], held[0]), (held[1], inner[1])):
            if span[1] - span[0] > 1e-6:
                outward = (wide[0] if span[0] == edges[0] else span[0], wide[1] if span[1] == edges[1] else span[1])
                take("notch", (step, end), outward, (low or -BEYOND, high), f"haunch {channel.depth:g} long")
                for thick in ((low, channel.low), (channel.high, high)):
                    if thick[1] - thick[0] > 1e-6:
                        take("notch", (shoulder, step), outward, thick, f"haunch {channel.high - channel.low:g} thick")
        for thick in ((low or -BEYOND, tenon.low), (tenon.high, high)):
            if thick[1] - thick[0] > 1e-6:
                take("rebate", (step, end), held, thick, "rear shoulder" if channel.kind == "rebate" else purpose)


# ----------------------------------------------------------------------------------------------------------------- assembling
def _horn_words(long: float, where: str) -> str:
    return f"a horn {long:g} long at {where}, sawn off when the frame is glued; all is measured from the finished end"


def assemble_frame(
    bench: Bench, face: Face, members: Sequence[str], infill: dict[str, tuple[str, ...]], how: str = "glued"
) -> None:
    """Note how a frame goes together: rails upon rails with what stands between them, the stiles last from both sides.

    `infill` says what lies in each field, by the key of the rail below it.
    """
    stiles, rails = list(members[:2]), [key for key in members if "/rail." in key]
    made: list[tuple[str, Vector, int]] = []
    layer = 0
    for number, rail in enumerate(rails):
        made.append((rail, face.up if number else STAY, layer))
        between = [key for key in members if "/muntin." in key and _stands_on(bench, rail, key)]
        made += [(key, face.up, layer + 1) for key in between]
        made += [(key, face.up, layer + 2) for key in infill.get(rail, ())]
        layer += 3
    made += [(stiles[0], negative(face.right), layer), (stiles[1], face.right, layer)]
    bench.assemble(
        f"{face.key}/frame",
        f"{face.what} frame",
        made,
        how=how,
        notes=("dry first; glue on the tenons only; check the diagonals",),
    )  # type: ignore[arg-type]


def _stands_on(bench: Bench, rail: str, key: str) -> bool:
    return any(joint.first == rail and joint.second == key and joint.apart[2] > 0.5 for joint in bench.joints)
