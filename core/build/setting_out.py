"""Setting out: every plane, bay and opening of the piece fixed before a part is laid down, as a joiner does on the rod.

Depths from the carcass front are called f, as on the drilling plans; y = f − depth. Sizes a fence sets are rounded down to
the finest step, free sizes to the workshop's step; what is left over goes to the gaps and, among shares, to the compartments
in the order of their ids, so that a mirrored piece is divided as the mirror image.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

from ..errors import ParameterError, blaming, within
from ..fields import Size
from ..geometry import quantised
from ..materials import material
from ..model import Board, Opening
from ..piece.fronts import Front
from ..piece.layout import Compartment, Layout
from ..piece.piece import Piece
from ..piece.shop import STEP_MM
from ..units import down_to, nearest, up_to
from ..wording import front_name

MEASURED_OFF = 5.0  # mm; a bench that is farther from the rod has built something else; common practice, no source
LEAST_INSIDE = 100.0  # mm clear inside a carcass each way; common practice, no source
GROOVE_PLAY = 0.2  # mm that a groove is wider than the back, painted; common practice, no source
STANDS_OFF = 1.0  # mm between an overlay front and the carcass, for its pads; a concealed hinge's plate line is 37 behind the front then
LEAST_CLEAR = 40.0  # mm; a compartment narrower or lower than a hand is a mistake; common practice, no source


@dataclass(frozen=True, slots=True)
class Rect:
    """A rectangle of the elevation: left, right, bottom, top."""

    left: float
    right: float
    bottom: float
    top: float

    @property
    def width(self) -> float:
        """Left to right."""
        return round(self.right - self.left, 6)

    @property
    def height(self) -> float:
        """Bottom to top."""
        return round(self.top - self.bottom, 6)

    def holds(self, other: Rect) -> bool:
        """Whether another rectangle lies within this one."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.bottom <= other.bottom
            and other.top <= self.top
        )

    def meets(self, other: Rect) -> bool:
        """Whether two rectangles have more than an edge in common."""
        return (
            self.left < other.right and other.left < self.right and self.bottom < other.top and other.bottom < self.top
        )


@dataclass(frozen=True, slots=True)
class DividingBoard:
    """An upright or fixed shelf and the compartments on its two sides."""

    key: str
    kind: str  # "upright", "shelf", or "rail", at the front only
    rect: Rect
    before: tuple[str, ...]  # compartments at its left or below, deepest last
    after: tuple[str, ...]


@dataclass
class SettingOut:
    """The rod of one piece."""

    piece: Piece
    boards: dict[str, Board]
    layout: Layout
    step: float  # the workshop's
    finest: float
    strip: float  # thickness of what is planted on the sides
    side_board: Board
    depth: float  # of the carcass, back plane to front edge
    outer: Rect  # over the side panels, strips not counted
    inner: Rect  # clear inside
    proud: float = 0.0  # how far fronts stand before the carcass
    set_in: dict[str, float] = field(default_factory=dict)  # by front: how far its face stands behind where it lies
    behind: float = 0.0  # thickness of a back that is planted on, behind the carcass
    back_y: float = 0.0  # of the back's face side, before the carcass is moved forward by `behind`
    rects: dict[str, Rect] = field(default_factory=dict)
    dividers: list[DividingBoard] = field(default_factory=list)

    @property
    def over_frames(self) -> float:
        """Carcass width over the side frames."""
        return round(self.outer.width + 2 * self.strip, 6)

    @property
    def open_top(self) -> bool:
        """Whether a lid closes the carcass above instead of a board."""
        return self.piece.top.opens_up

    @property
    def framed_sides(self) -> bool:
        """Whether the sides are frames themselves, with no board behind."""
        return self.piece.carcass.sides == "frame"

    @property
    def wall_board(self) -> Board:
        """What the sides are made from: the carcass's board, or that of their frames."""
        if not self.framed_sides:
            return self.side_board
        return self.board(self.piece.carcass.side_panel.board, "carcass.side_panel.board")

    @property
    def top_through(self) -> bool:
        """Whether the top lies on the sides and runs out over them, frames and all."""
        return self.piece.carcass.runs_through == "top"

    @property
    def side_top(self) -> float:
        """The height of the upper ends of the sides."""
        return self.inner.top if self.top_through else self.outer.top

    @property
    def side_height(self) -> float:
        """The length of the sides."""
        return round(self.side_top - self.outer.bottom, 6)

    @property
    def half(self) -> float:
        """Half the carcass width over the side frames."""
        return self.over_frames / 2

    def y(self, f: float) -> float:
        """The y of a place f behind the carcass front."""
        return round(f - self.depth, 6)

    def path(self, front: Front) -> str:
        """Where a front stands among the parameters: "fronts[2]"."""
        return f"fronts[{self.piece.fronts.index(front)}]"

    def path_of(self, id: str) -> str:
        """Where a compartment stands among the parameters: "layout[3]"."""
        return f"layout[{[each.id for each in self.piece.layout].index(id)}]"

    def board(self, id: str, where: str) -> Board:
        """A board of the piece by its id."""
        if id not in self.boards:
            known = ", ".join(self.boards)
            raise ParameterError(
                where, f'there is no board "{id}": add it to the boards of this piece, or take one of them: {known}'
            )
        return self.boards[id]

    def front_f(self, front: Front) -> tuple[float, float]:
        """Where the face and the back of a front stand behind the carcass front; an overlay front stands before it."""
        thick = thickness_of(front, self.path(front), self.board)
        face = self.set_in.get(front.id, 0.0)
        return (face, round(face + thick, 6)) if front.lay == "inset" else (round(-STANDS_OFF - thick, 6), -STANDS_OFF)

    def measured(self, what: str, designed: float) -> float:
        """The measured value of a thing where there is one, else the designed."""
        for index, each in enumerate(self.piece.measured):
            if each.what == what:
                if abs(each.value - designed) > MEASURED_OFF:
                    raise ParameterError(
                        f"measured[{index}].value", f"{what} is {designed:g} mm as designed; {each.value:g} is more than {MEASURED_OFF:g} mm from that: change the design"
                    )  # fmt: skip
                return each.value
        return designed

    def lost(self, front: Front) -> float:
        """How much smaller than designed the opening of a front was measured, the one way or the other."""
        whole = self.closed_by(front)
        sizes = (("width", whole.width), ("height", whole.height))
        return max(0.0, *(size - self.measured(f"opening.{front.id}.{what}", size) for what, size in sizes))

    def closed_by(self, front: Front) -> Rect:
        """The rectangle of the compartments that a front closes, as designed."""
        rects = [self.rects[id] for id in front.closes]
        return Rect(
            min(r.left for r in rects),
            max(r.right for r in rects),
            min(r.bottom for r in rects),
            max(r.top for r in rects),
        )

    def opening(self, front: Front, index: int) -> Opening:
        """The measured hole that a front closes: the rectangle of the compartments it names."""
        whole = self.closed_by(front)
        self._check_rectangle(front, index, whole)
        width = self.measured(f"opening.{front.id}.width", whole.width)
        height = self.measured(f"opening.{front.id}.height", whole.height)
        middle = (whole.left + whole.right) / 2
        return Opening(
            key=front.id, name=front_name(front.id), left=round(middle - width / 2, 6), right=round(middle + width / 2, 6),
            bottom=whole.bottom, top=round(whole.bottom + height, 6), front=-self.depth,
        )  # fmt: skip

    def _check_rectangle(self, front: Front, index: int, whole: Rect) -> None:
        leaves = [leaf.id for leaf in self.layout.leaves()]
        closed = {leaf for id in front.closes for leaf in self.layout.within(id)}
        for leaf in leaves:
            if leaf not in closed and whole.meets(self.rects[leaf]):
                names = ", ".join(f'"{id}"' for id in front.closes)
                raise ParameterError(
                    f"fronts[{index}].closes", f'{names} do not make one rectangle: "{leaf}" lies between them'
                )


def set_out(piece: Piece) -> SettingOut:
    """Fix every plane of a piece; ParameterError where the sizes leave no room."""
    boards = _boards(piece)
    finest, step = STEP_MM[piece.shop.finest_step], STEP_MM[piece.shop.step]
    side_board = _board(boards, piece.carcass.board, "carcass.board")
    dressed = piece.carcass.side_panel.face_thickness(lambda id: _board(boards, id, "carcass.side_panel.board"))
    framed = piece.carcass.sides == "frame"
    strip, wall = (0.0, dressed) if framed else (dressed, side_board.thickness)
    over_all = piece.whole.basis == "overall"
    over = piece.top.overhang()
    proud = max((_proud(boards, front, f"fronts[{index}]") for index, front in enumerate(piece.fronts)), default=0.0)
    side, front = (over.side, max(over.front, proud)) if over_all else (0.0, 0.0)
    above = piece.top.rise(lambda id: _board(boards, id, "top.board")) if over_all else 0.0
    with within("support"):
        under = piece.support.under(lambda id: _board(boards, id, "support.board"))
    _check_through(piece)
    _check_framed(piece)
    behind, back_y = _back_planes(piece, boards)
    depth = down_to(piece.whole.depth - front - behind, finest)
    width = down_to(piece.whole.width - 2 * side - 2 * (wall + strip), finest)
    top = piece.whole.height - above + (under if not over_all else 0.0)
    t = side_board.thickness
    over_it = 0.0 if piece.top.opens_up else t  # under a lid there is no carcass top
    height = down_to(top - under - t - over_it, finest)
    _check_room(piece, width, height, depth)
    low = under + t
    half = quantised(width / 2)  # in inches half a width has more digits than a coordinate
    inner = Rect(-half, half, low, round(low + height, 6))
    outer = Rect(inner.left - wall, inner.right + wall, under, round(inner.top + over_it, 6))
    out = SettingOut(
        piece,
        boards,
        Layout(piece.layout),
        step,
        finest,
        strip,
        side_board,
        depth,
        outer,
        inner,
        proud,
        behind=behind,
        back_y=back_y,
    )
    _divide(out, out.layout.root, inner)
    return out


def _check_through(piece: Piece) -> None:
    """A top that runs over the sides needs a top."""
    if piece.carcass.runs_through != "top":
        return
    if piece.top.opens_up:
        raise ParameterError(
            "carcass.runs_through", '"top": under a lid there is no carcass top; let the sides run through'
        )
    if piece.carcass.back.kind == "groove" and piece.support.run_down():
        raise ParameterError(
            "carcass.runs_through",
            f'"top": a back in a groove is slid in from below then, where the legs of "{piece.support.style}" stand; take a back in a rebate or planted on, or let the sides run through',
        )


def _check_framed(piece: Piece) -> None:
    """Sides that are frames need a panel style that stands by itself, and a support that is not glued behind boards."""
    if piece.carcass.sides != "frame":
        return
    if not piece.carcass.side_panel.stands_alone:
        raise ParameterError(
            "carcass.sides",
            f'"frame": the side panel "{piece.carcass.side_panel.style}" is no frame by itself; take "frame_and_panel" or "glazed", or sides of board',
        )
    if piece.support.run_down() and not getattr(piece.support, "of_frames", False):
        raise ParameterError(
            "support.style",
            f'"{piece.support.style}" is glued behind sides of board; under sides that are frames take "stile_posts", separate legs or another support',
        )


def _back_planes(piece: Piece, boards: dict[str, Board]) -> tuple[float, float]:
    """How far the back stands behind the carcass, and y of its face side."""
    back = piece.carcass.back
    thick = _board(boards, back.board, "carcass.back.board").thickness
    if back.kind == "planted_on":
        return thick, 0.0
    if back.kind == "rebate":
        return 0.0, -(back.rebate_depth or up_to(thick, STEP_MM[piece.shop.finest_step]))
    return 0.0, -round(back.set_in + thick + GROOVE_PLAY, 6)


def thickness_of(front: Front, path: str, board: Callable[[str, str], Board]) -> float:
    """The whole thickness of a front: its board and what is planted on it, or its true frame; `board` finds one by id and path."""
    added = front.panel.face_thickness(lambda id: board(id, f"{path}.panel.board"))
    return added if front.panel.stands_alone else board(front.board, f"{path}.board").thickness + added


def _proud(boards: dict[str, Board], front: Front, path: str) -> float:
    """How far a front stands before the carcass, a cover bead with it."""
    at = partial(_board, boards)
    bead = (
        at(front.meeting_stiles.bead_board, f"{path}.meeting_stiles.bead_board").thickness if has_bead(front) else 0.0
    )
    return bead + (0.0 if front.lay == "inset" else thickness_of(front, path, at) + STANDS_OFF)


def has_bead(front: Front) -> bool:
    """Whether a cover bead lies over the meeting edges."""
    return front.kind == "pair" and front.meeting_stiles.joint == "bead"


def _boards(piece: Piece) -> dict[str, Board]:
    made = {}
    for index, each in enumerate(piece.boards):
        with blaming(f"boards[{index}].material"):
            made[each.id] = Board(material(each.material), each.thickness, each.plugs)
    return made


def _board(boards: dict[str, Board], id: str, where: str) -> Board:
    if id not in boards:
        raise ParameterError(
            where,
            f'there is no board "{id}": add it to the boards of this piece, or take one of them: {", ".join(boards)}',
        )
    return boards[id]


def _check_room(piece: Piece, width: float, height: float, depth: float) -> None:
    for name, clear in (("width", width), ("height", height), ("depth", depth)):
        if clear < LEAST_INSIDE:
            asked = getattr(piece.whole, name)
            raise ParameterError(
                f"whole.{name}",
                f"{asked:g} mm leaves {clear:g} mm clear inside the carcass; at least {LEAST_INSIDE:g} mm is needed",
            )


def _divide(out: SettingOut, compartment: Compartment, rect: Rect) -> None:
    out.rects[compartment.id] = rect
    parts = out.layout.parts(compartment.id)
    if not parts:
        return
    columns = compartment.divided == "columns"
    between = out.side_board.thickness if compartment.between != "nothing" else 0.0
    clear = (rect.width if columns else rect.height) - between * (len(parts) - 1)
    start = rect.left if columns else rect.bottom
    for part, size in zip(parts, _sizes(out, compartment, parts, clear)):
        end = round(start + size, 6) if part is not parts[-1] else rect.right if columns else rect.top
        inner = Rect(start, end, rect.bottom, rect.top) if columns else Rect(rect.left, rect.right, start, end)
        _divide(out, part, inner)
        start = round(end + between, 6)
    if between:
        _put_dividers(out, compartment, parts, rect, columns)


def _put_dividers(
    out: SettingOut, compartment: Compartment, parts: list[Compartment], rect: Rect, columns: bool
) -> None:
    kind = "upright" if columns else {"rail": "rail"}.get(compartment.between, "shelf")
    if compartment.between == "rail":
        _check_rails(out, compartment, parts, columns)
    for before, after in itertools.pairwise(parts):
        a, b = out.rects[before.id], out.rects[after.id]
        where = (
            Rect(a.right, b.left, rect.bottom, rect.top) if columns else Rect(rect.left, rect.right, a.top, b.bottom)
        )
        key = f"carcass/{kind}.{'+'.join(sorted((before.id, after.id)))}"
        out.dividers.append(
            DividingBoard(key, kind, where, tuple(out.layout.within(before.id)), tuple(out.layout.within(after.id)))
        )


def _check_rails(out: SettingOut, compartment: Compartment, parts: list[Compartment], columns: bool) -> None:
    """Rails stand between drawers in the face of the piece; anything else wants a board to lie on."""
    path = f"{out.path_of(compartment.id)}.between"
    if columns:
        raise ParameterError(path, f'"rail" goes between rows; between the columns of "{compartment.id}" put a board')
    drawers = {id for front in out.piece.fronts if front.kind == "drawer" and not front.is_inner for id in front.closes}
    other = next((part.id for part in parts if part.id not in drawers), None)
    if other is not None:
        raise ParameterError(
            path,
            f'"rail" goes between drawers in the face of the piece, and "{other}" is not closed by one; put a board there',
        )


def _sizes(out: SettingOut, compartment: Compartment, parts: list[Compartment], clear: float) -> list[float]:
    """Clear sizes of the parts of a division, adding up to `clear` exactly."""
    given = {part.id: nearest(part.size.amount, out.finest) for part in parts if part.size.way == "fixed"}
    fixed = sum(given.values())
    left = clear - fixed
    rests = [part for part in parts if part.size.way == "rest"]
    shares = [part for part in parts if part.size.way == "share"]
    if len(rests) > 1:
        raise ParameterError(
            out.path_of(compartment.id),
            f'"{compartment.id}" has {len(rests)} parts that take the rest; at most one can',
        )
    if not rests and not shares and abs(left) > 1e-6:
        raise ParameterError(
            out.path_of(compartment.id),
            f'the fixed parts of "{compartment.id}" add up to {fixed:g} mm, but {clear:g} mm is clear; let one take the rest',
        )
    sizes = dict(given)
    if shares and compartment.heights != "sizes" and compartment.divided == "rows":
        sizes.update(_graduated(out, compartment, shares, left, bool(rests)))
    elif shares:
        sizes.update(_shared_out({part.id: _amount(part.size) for part in shares}, left, out.finest, bool(rests)))
    if rests:
        sizes[rests[0].id] = round(clear - sum(sizes.values()), 6)
    least = min(sizes, key=lambda id: sizes[id])
    if sizes[least] < LEAST_CLEAR:
        raise ParameterError(
            f"{out.path_of(least)}.size",
            f'"{least}" would be {sizes[least]:.1f} mm; a compartment needs at least {LEAST_CLEAR:g} mm',
        )
    return [sizes[part.id] for part in parts]


def _graduated(
    out: SettingOut, compartment: Compartment, parts: list[Compartment], left: float, has_rest: bool
) -> dict[str, float]:
    """Heights of rows that are given in shares, in proportion to one another or in steps, the topmost the lowest."""
    downward = [part.id for part in reversed(parts)]
    path = out.path_of(compartment.id)
    if has_rest:
        raise ParameterError(
            f"{path}.heights",
            f'"{compartment.heights}" takes up all that is left in "{compartment.id}", but one of its parts takes the rest; give that a share or a fixed size',
        )
    if compartment.heights != "step":
        ratio = compartment.ratio if compartment.heights == "ratio" else 1.0
        return _shared_out({id: ratio**number for number, id in enumerate(downward)}, left, out.finest, False)
    count = len(downward)
    top = down_to((left - compartment.step * count * (count - 1) / 2) / count, out.finest)
    if top < LEAST_CLEAR:
        raise ParameterError(
            f"{path}.step",
            f"steps of {compartment.step:g} mm leave {top:.1f} mm for the topmost of {count} in {left:g} mm; at most {2 * (left / count - LEAST_CLEAR) / max(1, count - 1):.1f} mm",
        )
    return _with_spare(
        {id: round(top + nearest(compartment.step, out.finest) * number, 6) for number, id in enumerate(downward)},
        left,
        out.finest,
    )


def _shared_out(amounts: dict[str, float], left: float, finest: float, has_rest: bool) -> dict[str, float]:
    total = sum(amounts.values()) + (1.0 if has_rest else 0.0)
    sizes = {id: down_to(left * amount / total, finest) for id, amount in amounts.items()}
    return sizes if has_rest else _with_spare(sizes, left, finest)


def _with_spare(sizes: dict[str, float], left: float, finest: float) -> dict[str, float]:
    """The sizes with what is left over given to them by their ids, a step to each."""
    spare = round(left - sum(sizes.values()), 6)
    for id in sorted(sizes):
        give = finest if spare >= finest - 1e-7 else spare
        sizes[id] = round(sizes[id] + give, 6)
        spare = round(spare - give, 6)
    return sizes


def _amount(size: Size) -> float:
    return size.amount
