"""A lid that opens upward: the top of a chest, hinged along the back, on pads, held by a stay at each side.

There is no carcass top beneath it. A front board stands before the chest, lower than the sides by a finger gap, so that a hand finds room
under the lid and none is caught. The back must be thick enough to hang the lid on: its upper edge takes the hinge's other leaf. Battens beneath
keep a lid of solid wood flat; it is held to them in slots.
"""

from __future__ import annotations

import math

from ...errors import ParameterError, blaming
from ...fastenings import Screw, dowel_for, pilot_for, plug_for, screw
from ...fields import angle, count, ident, length, parameters
from ...fittings import FittingEntry, fitting_entry, recess_depth
from ...geometry import BACK, DOWN, FRONT, LEFT, RIGHT, UP, Placement, Vector, plus, vector
from ...mechanics import GRAVITY
from ...model import AT_FITTING, Board, Motion
from ..bench import Bench
from ..hardware import drive, fitting_for, glue_plug, screw_on, screw_through
from ..moving import moves, season, slot_length, slotted_screw
from ..protocols import BoardById, Overhang
from ..setting_out import Rect, SettingOut
from ..standing import sided_names, spread

LEAST_BACK = 15.0  # mm of back that hold a hinge; common practice, no source
BACK_BEHIND = 1.0  # mm that the back may lie in front of the sides' rear edges
BUTTS_APART, BUTT_FROM_END = 500.0, 80.0  # mm; common practice, no source
PIANO_SHORT = 10.0  # mm that a piano hinge is shorter than the chest inside
EDGE_PLUG, FACE_PLUG_LEFT = 30.0, 4.0  # mm deep in an edge; left behind one in a face; common practice, no source
PAD_FROM_FRONT = 40.0
STAY_DROP = 30.0  # mm from the underside of the lid down to a stay's pivot (the fittings library)
STAY_AHEAD = 122.0  # mm that folded arms reach ahead of the pivot
# mm to front and back; to the sides, past the stays; common practice, no source
BATTEN_CLEAR, BATTEN_FROM_SIDE = 30.0, 70.0
BATTEN_SCREW = (4.0, 14.0)  # diameter, hold
FRONT_DOWELS, FROM_END = 160.0, 45.0  # mm apart at most, from the ends; common practice, no source


@parameters
class HingedLid:
    """A lid on hinges, with stays."""

    style = "hinged_lid"
    label = "Hinged lid"
    opens_up = True

    board: str = ident("mdf-18", "Lid", "What the lid is cut or glued up from")
    front: float = length(20, 0, 60, "Overhang at the front", "Beyond the chest's front: something to lift it by")
    side: float = length(10, 0, 60, "Overhang at the sides", "Beyond the side frames")
    finger_gap: float = length(12, 12, 40, "Finger gap", "Under the lid at the front; 12 and more catches no finger")
    hinge: str = ident("hinge-piano-32", "Hinge", "A piano hinge or butt hinge of the fittings library")
    pad: str = ident("pad-8", "Pads", "The lid lies on these; they set its gap above the sides")
    stay: str = ident(
        "stay-lid-220-right", "Lid stay", "That of the right side; its fellow goes on the left; empty for none"
    )
    opens: float = angle(100, 85, 110, "Opens", "As far as the stays let it")
    battens: int = count(
        2, 0, 5, "Battens", "Under the lid, front to back; a lid of solid wood needs them to stay flat"
    )
    batten_board: str = ident("hardwood-20", "Batten board", "What the battens are ripped from")
    batten_width: float = length(50, 30, 100, "Batten width", "Left to right")
    moisture: float = season()

    def overhang(self) -> Overhang:
        """As asked at the sides and the front."""
        return Overhang(side=self.side, front=self.front)

    def rise(self, board: BoardById) -> float:
        """Gap and lid."""
        return round(self._gap() + board(self.board).thickness, 6)

    def build(self, bench: Bench, out: SettingOut) -> list[str]:
        """Front board, lid, hinges, pads, stays and battens, and how it opens."""
        board = out.board(self.board, "top.board")
        rect = self._chest(out)
        self._check_back(bench, out)
        self._front_board(bench, out, rect)
        lid = self._lid(bench, out, board)
        moving = [lid, *self._battens(bench, out, board)]
        moving += self._hinges(bench, out)
        self._pads(bench, out)
        mass = board.thickness * bench.parts[lid].size[0] * bench.parts[lid].size[1] * board.material.density / 1e9
        moving += self._stays(bench, out)
        members: list[tuple[str, Vector, int]] = [
            (key, DOWN if "batten" in key else (0.0, 0.0, 0.0), 1 if "batten" in key else 0) for key in moving
        ]
        bench.assemble("lid", "lid", members, how="screwed", notes=self._notes(out, board, mass))
        pin = vector(0.0, self._pin_y(), self._pin_z(out))
        bench.motions.append(
            Motion(key="lid", kind="swing", moves=tuple(moving), through=pin, axis=LEFT, reach=self.opens)
        )
        return ["lid"]

    # ------------------------------------------------------------------------------------------------------------ planes
    def _gap(self) -> float:
        return fitting_for("pad", self.pad, "pad").size("thickness")

    def _entry(self) -> FittingEntry:
        return fitting_for("hinge", self.hinge, "piano hinge", "butt hinge")

    def _pin_y(self) -> float:
        return self._entry().size("pin_stand")

    def _pin_z(self, out: SettingOut) -> float:
        return round(out.outer.top + self._gap() / 2, 6)

    def _under(self, out: SettingOut) -> float:
        return round(out.outer.top + self._gap(), 6)

    def _recess(self) -> float:
        closed, gap = self._entry().size("closed_thickness"), self._gap()
        with blaming("pad"):
            return 0.0 if closed == gap else recess_depth(closed, gap)

    def _chest(self, out: SettingOut) -> Rect:
        """The one compartment under the lid."""
        under = [leaf.id for leaf in out.layout.leaves() if out.rects[leaf.id].top == out.inner.top]
        rect = out.rects[under[0]]
        if rect.width != out.inner.width:
            raise ParameterError(
                "style", f'a lid needs one compartment beneath it, and there are {len(under)}: "{", ".join(under)}"'
            )
        for front in out.piece.fronts:
            if out.closed_by(front).top == out.inner.top:
                raise ParameterError(
                    "style",
                    f'"{front.id}" is in the place of the chest\'s front board; under a lid nothing else can close "{under[0]}"',
                )
        return rect

    def _check_back(self, bench: Bench, out: SettingOut) -> None:
        back, entry = bench.parts["carcass/back"].board.thickness, self._entry()
        if back < LEAST_BACK:
            raise ParameterError(
                "hinge",
                f'"{self.hinge}" needs a back at least {LEAST_BACK:g} mm thick to hang the lid on, in a rebate as deep; this one is {back:g} mm',
            )
        behind = round(-out.back_y - back, 6)
        if behind > BACK_BEHIND:
            raise ParameterError(
                "hinge",
                f"the back lies {behind:g} mm in front of the sides' rear edges, out of reach of the hinge; at most {BACK_BEHIND:g} mm: make carcass.back.rebate_depth 0, as deep as it is thick",
            )
        lies = entry.size("leaf_width") - entry.size("pin_stand")
        if lies > back:
            raise ParameterError(
                "hinge", f"its leaf lies {lies:g} mm on the back, which is {back:g} mm thick; choose a narrower hinge"
            )

    # ------------------------------------------------------------------------------------------------------------- front
    def _front_board(self, bench: Bench, out: SettingOut, rect: Rect) -> None:
        """The chest's front, between the sides, on the bottom or the fixed shelf beneath."""
        board, low = out.side_board, rect.bottom
        high = round(self._under(out) - self.finger_gap - low, 6)
        if high < 100:
            raise ParameterError(
                "finger_gap",
                f"{self.finger_gap:g} mm leaves a front {high:g} mm high; at least 100 is needed: make the chest higher",
            )
        key, t = "carcass/front", board.thickness
        place = Placement(vector(rect.left, -out.depth + t, low), RIGHT, UP)
        bench.part(
            key, "chest front", board, rect.width, high, place, role="chest front", finish="carcass", face_side="outside", face_edge="upper edge", face_edge_high=True,
            grain="length" if board.material.grained else "any", surviving_mark="lower edge", shown_one_side=True, setting="between the sides",
        )  # fmt: skip
        with blaming("style"):
            size = dowel_for(t)
        middle = -out.depth + t / 2
        beneath = next((d.key for d in out.dividers if d.rect.top == low), "carcass/bottom")
        names = tuple(
            bench.dowel(beneath, key, vector(x, middle, low), UP, size, "dowel")
            for x in spread(rect.left, rect.right, FRONT_DOWELS, FROM_END + size.edge_depth)
        )
        bench.join(f"{beneath}|{key}", "dowels", beneath, key, UP, names, rect.width * t)
        for side, x, into in (("left", rect.left, RIGHT), ("right", rect.right, LEFT)):
            names = tuple(
                bench.dowel(f"carcass/side.{side}", key, vector(x, middle, z), into, size, "dowel")
                for z in spread(low, low + high, FRONT_DOWELS, FROM_END)
            )
            bench.join(f"carcass/side.{side}|{key}", "dowels", f"carcass/side.{side}", key, into, names, high * t)

    # --------------------------------------------------------------------------------------------------------------- lid
    def _lid(self, bench: Bench, out: SettingOut, board: Board) -> str:
        half, deep = out.half + self.side, out.depth + self.front
        bench.part(
            "lid/panel", "lid", board, round(2 * half, 6), round(deep, 6), Placement(vector(-half, -deep, self._under(out)), RIGHT, BACK), role="lid", finish="top",
            grain="length" if board.material.grained else "any", face_side="up", face_edge="front edge", surviving_mark="underside, in the hinge's place", shown_one_side=True,
        )  # fmt: skip
        return "lid/panel"

    def _battens(self, bench: Bench, out: SettingOut, board: Board) -> list[str]:
        """Battens under the lid, evenly spread from front to back; their keys."""
        if not self.battens:
            return []
        batten, back = out.board(self.batten_board, "top.batten_board"), bench.parts["carcass/back"]
        front, rear = -out.depth + out.side_board.thickness + BATTEN_CLEAR, -back.board.thickness - BATTEN_CLEAR
        places = self._batten_places(out, rear - front)
        low = round(self._under(out) - batten.thickness, 6)
        size = screw_through("top.batten_board", BATTEN_SCREW[0], batten.thickness, BATTEN_SCREW[1], board.thickness)
        made = []
        for x, name in zip(places, sided_names(places)):
            key = f"lid/batten.{name}"
            bench.part(
                key,
                "lid batten",
                batten,
                round(rear - front, 6),
                self.batten_width,
                Placement(vector(x - self.batten_width / 2, rear, low), FRONT, RIGHT),
                grain="length",
                role="batten",
                finish="top",
                face_side="up",
                face_edge="left edge",
                surviving_mark="upper face",
                setting="lid battens",
            )
            self._fix_batten(bench, key, board, size, vector(x, front, low), vector(x, rear, low))
            made.append(key)
        return made

    def _batten_places(self, out: SettingOut, long: float) -> list[float]:
        """The x of the middle of each batten, `long` mm from front to back; refused where they find no room."""
        reach = out.inner.right - BATTEN_FROM_SIDE - self.batten_width / 2
        if long < 100 or 2 * reach < (self.battens - 1) * (self.batten_width + 20):
            raise ParameterError(
                "battens",
                f"{self.battens} battens {self.batten_width:g} mm wide and {long:g} mm long do not fit under this lid",
            )
        if self.battens == 1:
            return [0.0]
        places = [round(-reach + 2 * reach * i / (self.battens - 1), 1) for i in range(self.battens)]
        return [-abs(x) if x < 0 else abs(x) for x in places]

    def _fix_batten(self, bench: Bench, key: str, board: Board, size: Screw, front: Vector, rear: Vector) -> None:
        """Screw a batten up into the lid; in slots to both sides of its middle where the lid is of wood that moves."""
        free, thick, names = moves(board.material), bench.parts[key].board.thickness, []
        middle = (front[1] + rear[1]) / 2
        for y in spread(front[1], rear[1], 180.0, 35.0):
            at = vector(front[0], y, front[2])
            if free and abs(y - middle) > 1:
                slot = (BACK, slot_length(board.material, abs(y - middle), self.moisture, size.clearance))
                names.append(slotted_screw(bench, key, "lid/panel", at, UP, size, thick, slot, "batten screw"))
            else:
                names.append(bench.screw(key, "lid/panel", at, UP, size, thick, "batten screw"))
        kind = "slotted screws" if free else "glue and screws"
        glued = 0.0 if free else self.batten_width * (rear[1] - front[1])
        bench.join(f"lid/panel|{key}", kind, "lid/panel", key, DOWN, tuple(names), glued)

    # ------------------------------------------------------------------------------------------------------------ hinges
    def _hinges(self, bench: Bench, out: SettingOut) -> list[str]:
        entry = self._entry()
        if entry.kind == "piano hinge":
            return [self._hinge(bench, out, entry, "lid/hinge", 0.0, math.floor(out.inner.width - PIANO_SHORT))]
        long = entry.size("length")
        places = spread(out.inner.left, out.inner.right, BUTTS_APART, BUTT_FROM_END + long / 2)
        if len(places) < 2:
            raise ParameterError(
                "hinge",
                f"a chest {out.inner.width:g} mm wide has no room for two hinges {long:g} mm long; take a piano hinge",
            )
        return [
            self._hinge(bench, out, entry, f"lid/hinge.{name}", x, None) for x, name in zip(places, sided_names(places))
        ]

    def _hinge(self, bench: Bench, out: SettingOut, entry: FittingEntry, key: str, x: float, cut: float | None) -> str:
        """One hinge between the back's upper edge and the lid; the key of the leaf that moves with the lid."""
        long = cut if cut is not None else entry.size("length")
        pin = vector(x, self._pin_y(), self._pin_z(out))
        bench.fit(key, entry, Placement(pin, FRONT, UP), ("carcass/back", "lid/panel"), length=cut)
        deep, reach, under = self._recess(), entry.size("leaf_width") - entry.size("pin_stand"), self._under(out)
        if deep:
            words = f"hinge recess {long:g} × {reach:g} × {deep:g}"
            for part, a, b in (
                ("carcass/back", out.outer.top + 1.0, out.outer.top - deep),
                ("lid/panel", under - 1.0, under + deep),
            ):
                bench.take_out(
                    part, "recess", vector(x - long / 2, 1.0, a), vector(x + long / 2, -reach, b), words, AT_FITTING
                )
        for each in entry.screws_for(cut):
            part = "carcass/back" if each.into == "carcass" else "lid/panel"
            self._hinge_screw(bench, out, key, part, bench.fittings[key].place.point(each.at), screw(each.screw).name)
        return f"{key}/{entry.members[-1].replace(' ', '_')}"

    def _hinge_screw(self, bench: Bench, out: SettingOut, key: str, part: str, head: Vector, name: str) -> None:
        """A screw into the back's edge or the lid's underside; in weak board into a hardwood plug."""
        size, in_edge = screw(name), part == "carcass/back"
        way = DOWN if in_edge else UP
        board = bench.parts[part].board
        surface = out.outer.top if in_edge else self._under(out)
        mouth = vector(head[0], head[1], surface)
        if board.is_plugged:
            diameter = plug_for(size.name)
            depth = EDGE_PLUG if in_edge else min(EDGE_PLUG, board.thickness - FACE_PLUG_LEFT)
            glue_plug(bench, part, mouth, way, (diameter, depth), "for hinge screw", "hinge plug")
        else:
            outside = abs(head[2] - surface) if (head[2] - surface) * way[2] < 0 else -abs(head[2] - surface)
            start = plus(mouth, way, max(0.0, -outside))
            bench.bore(
                part,
                start,
                way,
                pilot_for(size, board.material),
                size.length + min(0.0, -outside) + 1.0,
                f"pilot for screw {size.name}",
                AT_FITTING,
            )
        drive(bench, size, head, way, (key, part), "hinge screw")

    # ------------------------------------------------------------------------------------------------------ pads, stays
    def _pads(self, bench: Bench, out: SettingOut) -> None:
        entry = fitting_entry(self.pad)
        middle = out.wall_board.thickness / 2
        for side, x in (("left", out.inner.left - middle), ("right", out.inner.right + middle)):
            key = f"lid/pad.{side}"
            bench.fit(
                key,
                entry,
                Placement(vector(x, out.y(PAD_FROM_FRONT), out.outer.top), UP, RIGHT),
                (f"carcass/side.{side}",),
            )
            bench.join(f"{key}|lid/panel", "loose", key, "lid/panel", UP)

    def _stays(self, bench: Bench, out: SettingOut) -> list[str]:
        """A stay at each side, placed so that it is stretched when the lid stands open; the keys of what moves with the lid."""
        if not self.stay:
            return []
        right = fitting_for("stay", self.stay, "lid stay")
        with blaming("stay"):
            left = fitting_entry(right.id.replace("-right", "-left"))
        ahead = stay_place(right.size("reach"), self._gap() / 2, self.opens)
        y = round(self._pin_y() - ahead, 1)
        room = out.depth - out.side_board.thickness + y
        if room < STAY_AHEAD:
            raise ParameterError(
                "stay",
                f"its arms reach {STAY_AHEAD:g} mm ahead of the pivot and there are {room:g} mm inside the front; make the chest deeper or choose a shorter stay",
            )
        moving = []
        for side, x, inward, way, entry in (
            ("left", out.inner.left, RIGHT, BACK, left),
            ("right", out.inner.right, LEFT, FRONT, right),
        ):
            key, wall = f"lid/stay.{side}", f"carcass/side.{side}"
            bench.fit(
                key, entry, Placement(vector(x, y, self._under(out) - STAY_DROP), inward, way), (wall, "lid/panel")
            )
            screw_on(bench, key, {"carcass": wall, "lid": "lid/panel"}, blame="stay")
            moving.append(f"{key}/{entry.members[-1].replace(' ', '_')}")
        return moving

    def _notes(self, out: SettingOut, board: Board, mass: float) -> tuple[str, ...]:
        deep = out.depth + self.front
        moment = mass * GRAVITY * deep / 2000
        turn, high = math.radians(self.opens), self._gap() / 2 + board.thickness
        behind = -(deep + self._pin_y()) * math.cos(turn) + high * math.sin(turn) + self._pin_y()
        notes = [
            f"the lid weighs {mass:.1f} kg and pulls with {moment:.1f} N·m as it begins to open: {moment / 2:.1f} N·m to each stay; choose soft or friction stays for that"
        ]
        notes.append(
            f"open at {self.opens:g}° it reaches {behind:.0f} mm behind the back: set the chest off the wall by that, or let it open less"
        )
        if not self.stay:
            notes.append("no stay: a lid that falls injures hands and heads")
        return tuple(notes)


def stay_place(reach: float, under: float, opens: float) -> float:
    """How far ahead of the pin a stay's pivot must stand, so that it is stretched straight when the lid has opened so far.

    `under`: from the pin up to the lid's underside; the pivot is `STAY_DROP` below that, the lid's end of the stay right above it.

    >>> round(stay_place(220, 0.75, 100), 1)
    130.3
    """
    turn = math.radians(opens)
    low, high = 0.0, 2 * reach
    for _ in range(60):
        ahead = (low + high) / 2
        y = -ahead * math.cos(turn) + under * math.sin(turn)
        z = ahead * math.sin(turn) + under * math.cos(turn)
        low, high = (ahead, high) if math.hypot(y + ahead, z - under + STAY_DROP) < reach else (low, ahead)
    return low


ENTRY = HingedLid
