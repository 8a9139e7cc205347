"""What holds a loose cornice together and down: its back tie, its corner blocks, and the screws from inside."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ..errors import ParameterError, blaming
from ..fastenings import DRIVER, Screw, dowel_for
from ..geometry import BACK, LEFT, RIGHT, UP, Placement, Vector, plus, vector
from ..model import Board, Fitting, When
from .bench import Bench
from .clearance import THIN_WALL, TOUCH, Box, is_free, near, shifted, standing_box
from .hardware import screw_through
from .setting_out import SettingOut
from .stiffeners import UNDER_TOP

BLOCKS_APART = 5.0  # mm between corner blocks and what is beside them; common practice, no source
SCREW = (4.0, 22.0)  # diameter, hold; common practice, no source
SCREW_TO_EDGE = 10.0  # mm from a screw's axis to the edges of the tie and the top; common practice, no source
BEHIND_MIDDLE = 15.0  # mm that a screw stands before the tie's middle where there is room; common practice, no source
TOUCHING = 0.1  # mm; what lies against the top
SCREW_STEP, SCREW_MOVED = 5.0, 60.0  # mm that a screw gives way to what is in its place
ON_SITE = When("on site")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hold:
    """The inside of a cornice's front and two returns, and what is put there.

    `inner` is half the clear width, `behind_front` the y of the front's inner face; `seat` how far behind the carcass front the front
    is screwed, into `into_front` mm of wood.
    """

    out: SettingOut
    board: Board
    inner: float
    behind_front: float
    tie_width: float
    block: float
    front: str  # key of what the screws go up into
    returns: dict[str, str]  # by side
    seat: float = 0.0
    into_front: float = 0.0
    rear: float = 0.0  # how far before the back the tie's rear edge lies
    of: str = "cornice"  # what it is the inside of: the cornice, or the frieze under it
    raised: float = 0.0  # how far over the carcass top it lies; raised it is held by the frieze, not by the carcass
    wall: float = 0.0  # how thick the returns are where the tie's dowels go in; 0: thicker than the carcass's boards
    tie_field: str = "tie_board"  # the parameter of what tie and blocks are cut from
    more: tuple[tuple[str, float, float], ...] = ()  # blocks that a screw goes up into where one has room: key, x and f

    def check(self) -> None:
        """ParameterError where the corner blocks find no room."""
        deep, inside = round(-self.behind_front, 6), 2 * self.inner
        room = min(deep - self.rear - self.tie_width, inside / 2)
        if self.block > room - BLOCKS_APART:
            raise ParameterError(
                "block", f"corner blocks of {self.block:g} mm find no room in a {self.of} {inside:g} mm wide and {deep:g} mm deep inside; use at most {room - BLOCKS_APART:g} mm"
            )  # fmt: skip

    def lay(self, bench: Bench) -> None:
        """Tie, blocks, screws, and the joints of all of them."""
        self._tie(bench)
        self._blocks(bench)
        if not (self.raised or bench.seen_only):
            self._screws(bench)

    @property
    def _top(self) -> float:
        """The height of what it lies on."""
        return round(self.out.outer.top + self.raised, 6)

    def _tie(self, bench: Bench) -> None:
        board, inner, top, tie = self.board, self.inner, self._top, f"{self.of}/tie"
        long = round(2 * inner, 6)
        place = Placement(vector(-inner, -self.rear - self.tie_width, top), RIGHT, BACK)
        bench.part(
            tie,
            f"{self.of} back tie",
            board,
            long,
            self.tie_width,
            place,
            role="tie",
            finish="top",
            grain="length",
            face_side="up",
            face_edge="front",
            surviving_mark="underside",
        )
        with blaming(self.tie_field):
            size = dowel_for(min(board.thickness, self.wall or self.out.side_board.thickness))
        for side, x, into in (("left", -inner, RIGHT), ("right", inner, LEFT)):
            names = [
                bench.dowel(
                    self.returns[side],
                    tie,
                    vector(x, -self.rear - self.tie_width + place_, top + board.thickness / 2),
                    into,
                    size,
                    "dowel",
                )
                for place_ in (self.tie_width / 4, 3 * self.tie_width / 4)
            ]
            bench.join(
                f"{self.returns[side]}|{tie}",
                "dowels",
                self.returns[side],
                tie,
                into,
                tuple(names),
                self.tie_width * board.thickness,
            )

    def _blocks(self, bench: Bench) -> None:
        board, inner, y, top = self.board, self.inner, self.behind_front, self._top
        for side, sign in (("left", -1.0), ("right", 1.0)):
            key = f"{self.of}/block.{side}"
            # the right angle stands in the corner between front and return
            place = (
                Placement(vector(-inner, y, top), RIGHT, BACK)
                if side == "left"
                else Placement(vector(inner, y, top), BACK, LEFT)
            )
            bench.part(
                key,
                f"{self.of} corner block, {side}",
                board,
                self.block,
                self.block,
                place,
                role="block",
                finish="top",
                grain="length",
                face_side="up",
                face_edge="against the moulding",
                surviving_mark="underside",
            )
            diagonal = 0.5**0.5
            point = vector(sign * (inner - self.block), y, top)
            bench.saw(key, "corner", point, (-sign * diagonal, diagonal, 0.0), 45.0, "head end", "triangular block")
            for other, away in ((self.returns[side], (-sign, 0.0, 0.0)), (self.front, BACK)):
                bench.join(f"{key}|{other}", "glue", other, key, away, (), self.block * board.thickness)

    def _screws(self, bench: Bench) -> None:
        """Up through the carcass top: into the front member or the blocks behind it, the back tie and the corner blocks; driven on site."""
        out, thick, tie = self.out, self.out.side_board.thickness, self.board.thickness
        rear = out.depth - self._tie_screws(bench)
        reach = max(out.half - 149.0, out.half / 2)
        inner = self.inner
        third = self.block / 3
        block_f = out.depth + self.behind_front + third
        within = (150.0, 130.0) if reach > 250.0 else ()
        places = [(self.front, x, self.seat, self.into_front) for x in _both(reach, *within[:1]) if self.into_front]
        places += [(f"{self.of}/tie", x, rear, tie) for x in _both(reach, *within[1:])]
        places += [(key, x, f, tie) for key, x, f in self.more]
        places += [
            (f"{self.of}/block.{side}", sign * (inner - third), block_f, tie)
            for side, sign in (("left", -1.0), ("right", 1.0))
        ]
        stiffeners = [standing_box(part) for key, part in bench.parts.items() if key.startswith(UNDER_TOP)]
        beneath = [*stiffeners, *(standing_box(part) for part in bench.parts.values() if part.role == "upright")]
        beneath += [_footprint(fitting) for fitting in bench.fittings.values() if "carcass/top" in fitting.parts]
        missed, purpose = [], f"{self.of} screw"
        for key, x, f, room in places:
            size = screw_through("top.board", SCREW[0], thick, SCREW[1], room)
            wanted = vector(x, out.y(round(f, 1)), out.inner.top)
            at = self._free(bench, key, wanted, size, thick, beneath)
            if at is None:
                missed.append((key, wanted, size))
            else:
                bench.screw("carcass/top", key, at, UP, size, thick, purpose, ON_SITE)
        held = {each.parts[1] for each in bench.fasteners.values() if each.purpose == purpose}
        held |= {key for key, *_ in self.more}  # one of many, and glued to the front
        for key, wanted, size in missed:
            if key not in held and stiffeners:
                raise ParameterError(
                    "top.style",
                    f"the stiffener under the top is in the way of the screws up into the moulding, {self.seat:g} mm behind the carcass front; take it away (carcass.stiffeners.under_top): the moulding stiffens the top",
                )
            if key not in held:  # without any it would be loose: told by the findings
                bench.screw("carcass/top", key, wanted, UP, size, thick, purpose, ON_SITE)
        blocks = [f"{self.of}/tie", f"{self.of}/block.left", f"{self.of}/block.right", *(key for key, *_ in self.more)]
        for key in [*([self.front] if self.into_front else []), *blocks]:
            names = tuple(
                name for name, each in bench.fasteners.items() if each.purpose == purpose and each.parts[1] == key
            )
            bench.join(f"carcass/top|{key}", "screws" if names else "loose", "carcass/top", key, UP, names)

    def _tie_screws(self, bench: Bench) -> float:
        """How far before the back the screws into the tie stand: clear of the top's edge and, with the driver, of rails beneath."""
        least = SCREW_TO_EDGE - standing_box(bench.parts["carcass/top"])[1][1]
        rails = [-standing_box(part)[0][1] for part in bench.parts.values() if part.role == "anchor rail"]
        least = max(least, self.rear + SCREW_TO_EDGE, *(face + DRIVER for face in rails))
        most = self.rear + self.tie_width - SCREW_TO_EDGE
        if most < least:
            raise ParameterError(
                "tie_width",
                f"{self.tie_width:g} mm leaves the screws from inside no wood before what stands under the top at the back; use at least {least + SCREW_TO_EDGE - self.rear:g} mm",
            )
        return max(least, min(self.rear + self.tie_width / 2 + BEHIND_MIDDLE, most))

    def _free(
        self, bench: Bench, key: str, wanted: Vector, size: Screw, thick: float, beneath: list[Box]
    ) -> Vector | None:
        """The wanted place or the nearest at its side where no hole of the top or of what it goes up into, and no upright or bracket
        `beneath`, is in the way."""
        toward = LEFT if wanted[0] > 0 else RIGHT
        for at in shifted(wanted, toward, SCREW_MOVED, SCREW_STEP):
            driver = (plus(at, (-DRIVER, -DRIVER, -1.0)), plus(at, (DRIVER, DRIVER, 0.0)))
            if (
                not any(near(driver, box, TOUCHING) for box in beneath)
                and is_free(bench, "carcass/top", at, UP, size.clearance, thick)
                and is_free(bench, key, plus(at, UP, thick), UP, size.pilot, size.length - thick + 1.0, gap=THIN_WALL)
            ):
                return at
        return None


def mitre(bench: Bench, key: str, away: tuple[float, float], corner: Vector, where: str) -> None:
    """Saw off what lies beyond a vertical plane through an outer corner at 45°; `away` (x, y) looks toward the wood that goes.

    A member that leans is so cut at a compound angle: its mitre is what the saw's table is turned to.
    """
    diagonal = 0.5**0.5
    normal = (away[0] * diagonal, away[1] * diagonal, 0.0)
    own = bench.parts[key].place.own_direction(normal)
    bench.saw(
        key, "mitre", corner, normal, math.degrees(math.atan2(abs(own[1]), abs(own[0]))), where, "corner of the cornice"
    )


def lies_on(bench: Bench, side: str, key: str) -> str | None:
    """The part of a side that a return lies on: the panel, or the top rail of a framed side."""
    member = standing_box(bench.parts[key])
    parts = [
        part for key, part in bench.parts.items() if key == f"carcass/side.{side}" or key.startswith(f"side.{side}/")
    ]
    return next((part.key for part in parts if near(standing_box(part), member, TOUCH)), None)


def seat_of(bench: Bench, side: str, key: str) -> str | None:
    """What a returned end or a backing lies on: the carcass top, or where that ends short of it the side."""
    if near(standing_box(bench.parts["carcass/top"]), standing_box(bench.parts[key]), TOUCH):
        return "carcass/top"
    return lies_on(bench, side, key)


def _footprint(fitting: Fitting) -> Box:
    corners = [fitting.place.point(end) for body in fitting.bodies for end in (body.low, body.high)]
    return tuple(map(min, *corners)), tuple(map(max, *corners))  # type: ignore[return-value]


def _both(*reach: float) -> list[float]:
    """Each of the distances to the left and to the right of the middle."""
    return [sign * each for each in reach for sign in (-1.0, 1.0)]
