"""A stand: four separate legs and the rails between them, screwed to the bottom through corner blocks.

Rails stand on edge right under the carcass, a little behind the legs' outer faces. They meet the legs in stub tenons or on dowels; the
two tenons in one leg stop short of each other. A block in each inner corner is notched around the leg, glued to both rails, and takes
the screws that go up into the bottom.
"""

from __future__ import annotations

import math
from dataclasses import replace

from ..errors import ParameterError, blaming
from ..fastenings import Dowel, dowel_for
from ..fields import choice, ident, length, parameters
from ..geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, negative, plus, vector
from ..units import down_to
from .bench import Bench
from .clearance import near, standing_box
from .protocols import BoardById
from .setting_out import SettingOut
from .standing import dowel_heights, foot_height, foot_width, put_foot, saw_side, screw_up

JOINTS = {"mortise_and_tenon": "Mortise and tenon", "dowels": "Dowels"}
ARRISES = {
    "square": "Left square",
    "chamfered": "Chamfered from end to end",
    "stopped": "Chamfered, stopped above the foot and below the rails",
}
ARRIS_SHARE = 0.3  # of the foot's square that a chamfer may take of each face; common practice, no source
# mm from a stopped chamfer to foot and rails; its least length; common practice, no source
ARRIS_STOPS, LEAST_ARRIS = 15.0, 30.0
TENON_SHARE = 1 / 3  # of the rail's thickness (reference: mortise and tenon, common practice)
LEAST_TENON = 6.0  # mm thick; common practice, no source
LONGEST_TENON = 25.0  # mm; common practice, no source
TENON_OF_LEG = 2 / 3  # a tenon goes at most this far through the leg; common practice, no source
SHORTEST_TENON = 10.0
# mm of shoulder; a mortise begins at least 10 below the top of the leg; common practice, no source
ABOVE_TENON, BELOW_TENON = 10.0, 5.0
GLUE_ROOM = 1.0  # mm at the bottom of a mortise; a trade page on dowels (reference: glue gap)
BETWEEN_TENONS = 1.0  # mm of leg left between the two mortises; common practice, no source
NOTCH_PLAY = 0.5  # mm around the leg; common practice, no source
LEAST_GLUED = 30.0  # mm of a corner block along each rail; common practice, no source
LEAST_SPAN = 100.0  # mm between legs
FROM_BOTTOM_EDGE = 8.0  # mm from a screw to the edge of the bottom


@parameters
class Stand:
    """Legs and rails; the entries of supports add how a leg is shaped."""

    height: float = length(
        150, 60, 750, "Height under the carcass", "Floor to the underside of the carcass, glides included"
    )
    leg_board: str = ident("oak-40", "Legs", "What the legs are cut from; its thickness is their section, square")
    rail_board: str = ident("hardwood-20", "Rails", "What the rails between the legs are cut from")
    rail_width: float = length(60, 30, 150, "Rail width", "Height of the rails")
    reveal: float = length(3, 0, 20, "Rails set back", "Behind the outer faces of the legs")
    inset: float = length(0, 0, 150, "Legs set in", "From the carcass sides and front")
    rear_set_in: float = length(0, 0, 120, "Set in at the back", "Clear of the skirting")
    joint: str = choice("mortise_and_tenon", JOINTS, "Joint", "Of rails and legs")
    block_board: str = ident("softwood-28", "Corner blocks", "Laid flat; they take the screws up into the bottom")
    block: float = length(100, 60, 200, "Corner block size", "Along each rail")
    arris: str = choice("square", ARRISES, "Outer arris", "Of each leg, where its two outer faces meet")
    arris_size: float = length(5, 2, 15, "Chamfer of the arris", "How much of each face it takes")
    foot: str = ident("glide-25", "Foot", "A glide or levelling foot of the fittings library; empty for none")

    def under(self, board: BoardById) -> float:
        """The height under the carcass."""
        return self.height

    def run_down(self) -> float:
        """Nothing runs down."""
        return 0.0

    def clear_under(self, out: SettingOut) -> None:
        """The front rail stiffens the bottom; nothing else hangs there."""
        return None

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Legs, rails, blocks and feet."""
        stand = Setting(self, out)
        for side in ("left", "right"):
            for end in ("front", "rear"):
                _leg(bench, stand, side, end)
                self.shape(bench, stand, f"stand/leg.{side}.{end}", side, end)
                _arris(bench, stand, side, end)
        for name in ("front", "rear", "left", "right"):
            _rail(bench, stand, name)
        feet = []
        for side in ("left", "right"):
            for end in ("front", "rear"):
                _block(bench, stand, side, end)
                under = self.foot_middle(stand, side, end)
                feet += put_foot(bench, "foot", self.foot, f"stand/foot.{side}.{end}", under, f"stand/leg.{side}.{end}")
        _assemble(bench, feet)
        return ["stand"]

    def shape(self, bench: Bench, stand: Setting, leg: str, side: str, end: str) -> None:
        """What is sawn off a square leg: nothing."""

    def foot_size(self, section: float) -> float:
        """The side of the foot's square, for a leg of that section."""
        return section

    def foot_middle(self, stand: Setting, side: str, end: str) -> Vector:
        """The middle of a leg's lower end: its foot keeps to the outer faces."""
        into_x, into_y = inward(side, end)
        half = self.foot_size(stand.leg.thickness) / 2
        corner = stand.corner(side, end)
        return vector(corner[0] + into_x[0] * half, corner[1] + into_y[1] * half, stand.foot_high)


class Setting:
    """The planes of a stand, and what its parts must agree on."""

    def __init__(self, spec: Stand, out: SettingOut) -> None:
        self.spec, self.out = spec, out
        self.leg, self.rail = (
            out.board(spec.leg_board, "support.leg_board"),
            out.board(spec.rail_board, "support.rail_board"),
        )
        self.block_board = out.board(spec.block_board, "support.block_board")
        self.foot_high = foot_height("foot", spec.foot)
        self.half = round(out.half - spec.inset, 6)
        self.front, self.rear = out.y(spec.inset), -spec.rear_set_in
        self.notch = max(0.0, round(self.leg.thickness - spec.reveal - self.rail.thickness, 6))
        self._check()
        self.tenon = max(LEAST_TENON, round(self.rail.thickness * TENON_SHARE))
        self.tenon_long = self._tenon_length() if spec.joint == "mortise_and_tenon" else 0.0
        with blaming("rail_board"):
            self.dowel: Dowel = dowel_for(self.rail.thickness)
        if spec.joint == "dowels":
            self.dowel = self._halved(self.dowel)

    def corner(self, side: str, end: str) -> Vector:
        """The outer corner of a leg, on the floor."""
        return vector(-self.half if side == "left" else self.half, self.front if end == "front" else self.rear, 0.0)

    def _check(self) -> None:
        spec, section = self.spec, self.leg.thickness
        for field, span in (
            ("inset", 2 * (self.half - section)),
            ("rear_set_in", self.rear - self.front - 2 * section),
        ):
            if span < LEAST_SPAN:
                raise ParameterError(
                    field,
                    f"{getattr(spec, field):g} mm leaves {span:g} mm between the legs; at least {LEAST_SPAN:g} is needed",
                )
        if spec.reveal + self.rail.thickness > section:
            raise ParameterError(
                "rail_board",
                f"rails {self.rail.thickness:g} mm thick, set back {spec.reveal:g}, do not fit behind legs of {section:g} mm",
            )
        if spec.rail_width > spec.height - self.foot_high - 20:
            raise ParameterError(
                "rail_width",
                f"{spec.rail_width:g} mm is too much under a carcass {spec.height:g} mm up; use at most {spec.height - self.foot_high - 20:g} mm",
            )
        if self.block_board.thickness > spec.rail_width:
            raise ParameterError(
                "block_board",
                f"blocks {self.block_board.thickness:g} mm thick show below rails {spec.rail_width:g} mm wide",
            )
        least = self.notch + LEAST_GLUED
        if spec.block < least:
            raise ParameterError(
                "block",
                f"{spec.block:g} mm leaves {spec.block - self.notch:g} mm to glue beside the leg; use at least {least:g} mm",
            )
        most = min(self.half, (self.rear - self.front) / 2) - spec.reveal - self.rail.thickness - 5
        if spec.block > most:
            raise ParameterError(
                "block", f"{spec.block:g} mm leaves no room for the other corners' blocks; use at most {most:.0f} mm"
            )
        foot, wide = spec.foot_size(section), foot_width("foot", spec.foot)
        if wide > foot:
            raise ParameterError("foot", f'"{spec.foot}" is {wide:g} mm wide, the foot of the leg only {foot:g} mm')

    def _tenon_length(self) -> float:
        """As long as the leg allows: both tenons come from their sides and must not meet."""
        across = (
            self.spec.reveal + self.rail.thickness / 2 + self.tenon / 2
        )  # from the outer face to the far side of the other mortise
        most = min(
            LONGEST_TENON, self.leg.thickness * TENON_OF_LEG, self.leg.thickness - across - GLUE_ROOM - BETWEEN_TENONS
        )
        if most < SHORTEST_TENON:
            raise ParameterError(
                "joint",
                f"legs of {self.leg.thickness:g} mm leave tenons {most:.1f} mm long; at least {SHORTEST_TENON:g} is needed: use dowels or stouter legs",
            )
        if self.tenon > self.rail.thickness - 4:
            raise ParameterError(
                "rail_board",
                f"rails {self.rail.thickness:g} mm thick are too thin for a tenon {self.tenon:g} mm thick; at least {self.tenon + 4:g} is needed",
            )
        return down_to(most, 0.5)

    def _halved(self, size: Dowel) -> Dowel:
        """A dowel half in the leg and half in the rail, or as far in the leg as the other rail's dowels let it."""
        most = self.leg.thickness - self.spec.reveal - self.rail.thickness / 2 - size.diameter / 2 - BETWEEN_TENONS
        if most < size.face_depth:
            raise ParameterError(
                "leg_board",
                f"dowels {size.name} of the two rails would meet in legs of {self.leg.thickness:g} mm; at least {self.leg.thickness + size.face_depth - most:g} is needed",
            )
        both = size.face_depth + size.edge_depth
        deep = max(size.face_depth, min(both / 2, down_to(most, 0.5)))
        return replace(size, face_depth=deep, edge_depth=both - deep)


def inward(side: str, end: str) -> tuple[Vector, Vector]:
    """The directions from a leg's outer corner along the front or rear, and along the side."""
    return (RIGHT if side == "left" else LEFT), (BACK if end == "front" else FRONT)


# --------------------------------------------------------------------------------------------------------------------- parts
def _leg(bench: Bench, stand: Setting, side: str, end: str) -> None:
    section, corner = stand.leg.thickness, stand.corner(side, end)
    outward = FRONT if end == "front" else BACK  # face side
    across = LEFT if end == "front" else RIGHT  # y = z × x with x up
    low = vector(
        corner[0] + (section if across[0] * corner[0] > 0 else 0.0) * -across[0],
        corner[1] - outward[1] * section,
        stand.foot_high,
    )
    bench.part(
        f"stand/leg.{side}.{end}", f"leg, {side} {end}", stand.leg, round(stand.spec.height - stand.foot_high, 6), section, Placement(low, UP, across), grain="length",
        role="leg", finish="legs", face_side="outside", face_edge="outer edge", face_edge_high=across[0] * corner[0] > 0, surviving_mark="top end", setting="legs",
    )  # fmt: skip


def _arris(bench: Bench, stand: Setting, side: str, end: str) -> None:
    """Chamfer the outer arris of a leg from end to end, or stopped short of its foot and of the rails' lower edge."""
    spec, size = stand.spec, stand.spec.arris_size
    if spec.arris == "square":
        return
    most = down_to(spec.foot_size(stand.leg.thickness) * ARRIS_SHARE, 0.5)
    if size > most:
        raise ParameterError(
            "arris_size",
            f"{size:g} mm takes too much of a foot {spec.foot_size(stand.leg.thickness):g} mm square; use at most {most:g} mm",
        )
    low, high, words = stand.foot_high - 1.0, spec.height + 1.0, "from end to end"
    if spec.arris == "stopped":
        low, high = stand.foot_high + ARRIS_STOPS, spec.height - spec.rail_width - ARRIS_STOPS
        words = f"stopped {ARRIS_STOPS:g} above the foot and {ARRIS_STOPS:g} below the rails"
        if high - low < LEAST_ARRIS:
            raise ParameterError(
                "arris",
                f'"stopped": {max(high - low, 0):g} mm of leg are left between the stops; at least {LEAST_ARRIS:g} is needed: a through chamfer, or longer legs',
            )
    corner, (along_x, along_y) = stand.corner(side, end), inward(side, end)
    flat = ((size, 0.0), (0.0, size), (-1.0, size), (-1.0, -1.0), (size, -1.0))
    outline = [vector(*plus(plus(corner, along_x, a), along_y, b)[:2], low) for a, b in flat]
    bench.cut_out(
        f"stand/leg.{side}.{end}",
        "shaping",
        outline,
        UP,
        high - low,
        f"chamfer {size:g} × {size:g} on the outer arris, {words}",
    )


def _rail(bench: Bench, stand: Setting, name: str) -> None:
    spec, t, section = stand.spec, stand.rail.thickness, stand.leg.thickness
    reach, deep = (
        stand.half - section,
        section - spec.reveal,
    )  # inner faces of the legs; from them to the rails' outer faces
    low, long_ways = spec.height - spec.rail_width, name in ("front", "rear")
    start, stop = (-reach, reach) if long_ways else (stand.front + section, stand.rear - section)
    tenon = stand.tenon_long
    key, long = f"stand/rail.{name}", round(stop - start + 2 * tenon, 6)
    x = {"left": -reach - deep + t, "right": reach + deep - t}.get(name, 0.0)
    places = {
        "front": Placement(vector(start - tenon, stand.front + spec.reveal + t, low), RIGHT, UP),
        "rear": Placement(vector(stop + tenon, stand.rear - spec.reveal - t, low), LEFT, UP),
        "left": Placement(vector(x, stop + tenon, low), FRONT, UP),
        "right": Placement(vector(x, start - tenon, low), BACK, UP),
    }
    bench.part(
        key, f"{name} rail", stand.rail, long, spec.rail_width, places[name], grain="length", role="rail", finish="legs", face_side="outside", face_edge="lower edge",
        surviving_mark="inner face", setting="long rails" if long_ways else "short rails", notes=((f"shoulder to shoulder {stop - start:g}",) if tenon else ()),
    )  # fmt: skip
    place = bench.parts[key].place
    for at_foot in (True, False):
        end = place.point(
            (tenon if at_foot else long - tenon, 0.0, t / 2)
        )  # on the shoulder line, in the middle of the thickness
        into = place.direction((1.0 if at_foot else -1.0, 0.0, 0.0))  # from the leg into the rail
        leg = f"stand/leg.{_leg_at(end)}.{_end_at(stand, end)}"
        if spec.joint == "mortise_and_tenon":
            _tenon(bench, stand, key, leg, end, into)
        else:
            names = tuple(
                bench.dowel(leg, key, plus(end, UP, height), into, stand.dowel, "dowel")
                for height in dowel_heights(spec.rail_width)
            )
            bench.join(f"{leg}|{key}", "dowels", leg, key, into, names, spec.rail_width * t)
    if long_ways and near(standing_box(bench.parts[key]), standing_box(bench.parts["carcass/bottom"]), 0.01):
        bench.join(f"carcass/bottom|{key}", "loose", "carcass/bottom", key, DOWN)


def _leg_at(point: Vector) -> str:
    return "left" if point[0] < 0 else "right"


def _end_at(stand: Setting, point: Vector) -> str:
    return "front" if point[1] < (stand.front + stand.rear) / 2 else "rear"


def _tenon(bench: Bench, stand: Setting, rail: str, leg: str, shoulder: Vector, into: Vector) -> None:
    """Saw the tenon's shoulders and cheeks, chop its mortise; `shoulder` on the rail's lower edge, in the middle of its thickness."""
    spec, long, half = stand.spec, stand.tenon_long, stand.tenon / 2
    aside = FRONT if into[0] else LEFT  # across the rail's thickness
    top, out = spec.height, negative(into)
    low, high = shoulder[2] + BELOW_TENON, top - ABOVE_TENON
    tip = plus(shoulder, out, long + 1.0)
    for way in (aside, negative(aside)):
        a = plus(plus(tip, way, half), UP, -1.0)
        b = plus(plus(shoulder, way, stand.rail.thickness), UP, spec.rail_width + 1.0)
        bench.take_out(rail, "rebate", a, b, f"tenon cheek, tenon {stand.tenon:g} × {long:g}")
    for a_z, b_z, which in ((shoulder[2] - 1.0, low, "lower"), (high, top + 1.0, "upper")):
        a, b = plus(tip, aside, half), plus(shoulder, aside, -half)
        bench.take_out(rail, "rebate", vector(a[0], a[1], a_z), vector(b[0], b[1], b_z), f"{which} tenon shoulder")
    a, b = plus(plus(shoulder, aside, half), into, 1.0), plus(plus(shoulder, aside, -half), out, long + GLUE_ROOM)
    bench.take_out(
        leg,
        "mortise",
        vector(a[0], a[1], low),
        vector(b[0], b[1], high),
        f"mortise {stand.tenon:g} × {high - low:g}, {long + GLUE_ROOM:g} deep",
    )
    bench.join(f"{leg}|{rail}", "mortise and tenon", leg, rail, into, (), 2 * long * (high - low))


def _block(bench: Bench, stand: Setting, side: str, end: str) -> None:
    """A triangle in the corner between two rails, notched around the leg, its right angle in that corner."""
    spec, size, board = stand.spec, stand.spec.block, stand.block_board
    key, (along_x, along_y) = f"stand/block.{side}.{end}", inward(side, end)
    back = spec.reveal + stand.rail.thickness
    low = round(spec.height - board.thickness, 6)
    corner = vector(*plus(plus(stand.corner(side, end), along_x, back), along_y, back)[:2], low)
    first = (side == "left") == (
        end == "front"
    )  # which of the two rails its length lies along, so that face up stays up
    place = Placement(corner, along_x, along_y) if first else Placement(corner, along_y, along_x)
    bench.part(
        key,
        "corner block",
        board,
        size,
        size,
        place,
        grain="length",
        role="block",
        finish="inside",
        face_side="up",
        face_edge="along the rail",
        surviving_mark="underside",
        setting="corner blocks",
    )
    diagonal = 0.5**0.5
    bench.saw_own(key, "corner", (size, 0.0, 0.0), (diagonal, diagonal, 0.0), 45.0, "head end", "triangular block")
    if stand.notch:
        n = stand.notch + NOTCH_PLAY
        a, b = (
            plus(corner, vector(-along_x[0], -along_y[1], -1.0)),
            plus(plus(plus(corner, along_x, n), along_y, n), UP, board.thickness + 1.0),
        )
        bench.take_out(key, "notch", a, b, f"around the leg, {n:g} × {n:g}")
    for rail, away in ((end, along_y), (side, along_x)):
        bench.join(
            f"stand/rail.{rail}|{key}",
            "glue",
            f"stand/rail.{rail}",
            key,
            away,
            (),
            (size - stand.notch) * board.thickness,
        )
    near, far = 0.2 * size, 0.55 * size
    least = spec.inset + back + near - (stand.out.half - stand.out.inner.right)
    if least < FROM_BOTTOM_EDGE:
        need = math.ceil((FROM_BOTTOM_EDGE - least + near) / 0.2)
        raise ParameterError(
            "block", f"{size:g} mm brings its screws {least:.1f} mm from the edge of the bottom; use at least {need} mm"
        )
    places = [plus(plus(corner, along_x, a), along_y, b) for a, b in ((near, far), (far, near))]
    screw_up(bench, "block", key, "carcass/bottom", places, along_y, 0.1 * size)


def _assemble(bench: Bench, feet: list[str]) -> None:
    """The two side frames first, then the long rails between them, blocks, feet."""
    for side, _away in (("left", LEFT), ("right", RIGHT)):
        members: list[tuple[str, Vector, int]] = [
            (f"stand/rail.{side}", (0.0, 0.0, 0.0), 0),
            (f"stand/leg.{side}.front", FRONT, 1),
            (f"stand/leg.{side}.rear", BACK, 1),
        ]
        bench.assemble(
            f"stand/{side}", f"stand, {side} side", members, notes=("legs in pairs first; check that they do not wind",)
        )
    members = [
        ("stand/rail.front", (0.0, 0.0, 0.0), 0),
        ("stand/rail.rear", (0.0, 0.0, 0.0), 0),
        ("stand/left", LEFT, 1),
        ("stand/right", RIGHT, 1),
    ]
    members += [(f"stand/block.{side}.{end}", DOWN, 2) for side in ("left", "right") for end in ("front", "rear")]
    members += [(foot, DOWN, 3) for foot in feet]
    bench.assemble(
        "stand",
        "stand",
        members,
        notes=("screwed up into the bottom through the corner blocks; the legs take no screw",),
    )


def taper(
    bench: Bench, leg: str, face: Vector, top: float, inner: Vector, loss: float, over: float, purpose: str
) -> None:
    """Saw a taper on an inner face: `inner` a point of that face, `face` the way it looks, `loss` what the foot loses, `over` its height."""
    angle = math.atan2(loss, over)
    normal = (face[0] * math.cos(angle), face[1] * math.cos(angle), -math.sin(angle))
    bench.saw(
        leg,
        "taper",
        vector(inner[0], inner[1], top),
        normal,
        math.degrees(angle),
        saw_side(bench.parts[leg], face),
        purpose,
    )


__all__ = ["Setting", "Stand", "inward", "taper"]
