"""Changing what a carcass is divided into: boards put in and taken out, fronts and contents fitted to a compartment.

Every function takes a piece and answers another; a compartment that cannot take what is asked is refused with a
ParameterError. Ids that are given up are kept in `retired` and never given to anything else.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from .catalogue import entries
from .errors import ParameterError
from .fields import Size, style_of
from .piece import Piece
from .piece.fronts import Front
from .piece.layout import Compartment, Layout

INSIDES = "build.insides"
DOOR_WIDEST = 600.0  # mm; a wider opening gets a pair; common practice, no source
LONGEST_ID = 48  # letters; a longer one made from its parent's would run over the limit of the file
HANGING = ("rail", "rail_front_to_back", "hooks")  # contents that stay with the upper part of what is divided
MOST_DRAWERS = 12


def add_upright(piece: Piece, id: str) -> Piece:
    """The piece with a compartment parted by an upright in its middle; what it holds stays at the left."""
    return _divided(piece, id, "columns", ("left", "right"))


def add_fixed_shelf(piece: Piece, id: str) -> Piece:
    """The piece with a compartment parted by a fixed shelf half way up; what it holds stays below, what hangs above."""
    return _divided(piece, id, "rows", ("lower", "upper"))


def take_out(piece: Piece, id: str) -> Piece:
    """The piece without the board at the right of a compartment or above it, or else the one at its other side.

    What the compartment holds stays; the neighbour goes, with what it holds and the front that closes it alone.
    """
    here = _undivided(piece, id)
    if not here.parent:
        raise ParameterError("layout", f'"{id}" is the whole carcass; there is no upright or fixed shelf to take out')
    layout = Layout(piece.layout)
    parts = layout.parts(here.parent)
    at = parts.index(here)
    beside = parts[at + 1] if at + 1 < len(parts) else parts[at - 1]
    if beside.divided != "none":
        raise ParameterError("layout", f'"{beside.id}" beside "{id}" is divided itself; take out its boards first')
    if len(parts) == 2:
        above = layout.by_id[here.parent]
        return _merged(piece, above, replace(above, divided="none", holds=here.holds), here, beside)
    size = _together(here.size, beside.size, _board_between(piece, layout.by_id[here.parent]))
    return _merged(piece, here, replace(here, size=size, order=min(here.order, beside.order)), here, beside)


def fit_doors(piece: Piece, id: str, width: float) -> Piece:
    """The piece with a door before a compartment `width` mm wide, or a pair where that is too wide for one."""
    _undivided(piece, id)
    pair = width > DOOR_WIDEST
    old = _closing(piece, id)
    like = _like(piece, "door", "pair")
    name = old.id if old else free_id(piece, f"{'doors' if pair else 'door'}-{id}")
    made = replace(like, id=name, kind="pair" if pair else "door", closes=(id,), handles=0)
    if pair:  # a pair has no board at its closing edges for a strip or a lock
        strip = "none" if like.hanging.stop_strip == "side" else like.hanging.stop_strip
        made = replace(made, hanging=replace(like.hanging, stop_strip=strip, lock=""))
    return _with_front(piece, old, [made])


def fit_drawers(piece: Piece, id: str, number: int, between: str = "nothing") -> Piece:
    """The piece with a compartment filled by so many drawers, one above another; what it held is taken out."""
    here = _undivided(piece, id)
    if not 1 <= number <= MOST_DRAWERS:
        raise ParameterError(
            "fronts", f"{number} drawers are too many for a compartment; fit between 1 and {MOST_DRAWERS}"
        )
    old = _closing(piece, id)
    like = _like(piece, "drawer")
    like = replace(like, kind="drawer", handles=0, drawer=replace(like.drawer, runner=""))
    if number == 1:
        made = replace(like, id=old.id if old else free_id(piece, f"drawer-{id}"), closes=(id,))
        return _with_front(_with_compartments(piece, here, [replace(here, holds=())]), old, [made])
    taken = _taken(piece)
    names = [_free(f"{id}-{index + 1}", taken) for index in range(number)]
    parts = [Compartment(id=name, parent=id, order=index) for index, name in enumerate(names)]
    piece = _with_compartments(piece, here, [replace(here, divided="rows", between=between, holds=()), *parts])
    taken = _taken(piece)
    return _with_front(piece, old, [replace(like, id=_free(f"drawer-{name}", taken), closes=(name,)) for name in names])


def fit_shelves(piece: Piece, id: str, number: int) -> Piece:
    """The piece with so many loose shelves in a compartment; where it has some already, with another number of them."""
    here = _undivided(piece, id)
    there = next((each for each in here.holds if style_of(each) == "shelves"), None)
    made = replace(there, quantity=number) if there else entries(INSIDES)["shelves"](quantity=number)
    holds = tuple(made if each is there else each for each in here.holds) if there else (*here.holds, made)
    return _with_compartments(piece, here, [replace(here, holds=holds)])


def fit_rail(piece: Piece, id: str) -> Piece:
    """The piece with a hanging rail in a compartment."""
    here = _undivided(piece, id)
    if any(style_of(each) == "rail" for each in here.holds):
        raise ParameterError("layout", f'"{id}" has a hanging rail already')
    return _with_compartments(piece, here, [replace(here, holds=(*here.holds, entries(INSIDES)["rail"]()))])


def free_id(piece: Piece, wanted: str) -> str:
    """An id that no compartment or front of the piece has or ever had: the wanted one, or with a number behind it."""
    return _free(wanted, _taken(piece))


def retiring(piece: Piece, ids: Iterable[str]) -> Piece:
    """The piece with these ids among those that were given up."""
    return replace(piece, retired=tuple(sorted({*piece.retired, *ids})))


# ------------------------------------------------------------------------------------------------------------ helpers
def _undivided(piece: Piece, id: str) -> Compartment:
    for each in piece.layout:
        if each.id == id:
            if each.divided != "none":
                raise ParameterError("layout", f'"{id}" is divided; pick one of its parts')
            return each
    raise ParameterError("layout", f'there is no compartment "{id}"')


def _divided(piece: Piece, id: str, how: str, sides: tuple[str, str]) -> Piece:
    here = _undivided(piece, id)
    taken = _taken(piece)
    first, second = (_free(f"{id}-{side}", taken) for side in sides)
    up = tuple(each for each in here.holds if how == "rows" and style_of(each) in HANGING)
    parts = [
        Compartment(id=first, parent=id, order=0, holds=tuple(each for each in here.holds if each not in up)),
        Compartment(id=second, parent=id, order=1, holds=up),
    ]
    return _with_compartments(piece, here, [replace(here, divided=how, between="board", holds=()), *parts])


def _merged(piece: Piece, old: Compartment, made: Compartment, here: Compartment, beside: Compartment) -> Piece:
    """The piece with `made` for `old` and two neighbours in one; the neighbour's own front goes if `here` has one."""
    gone = {here.id, beside.id} - {made.id}
    closed = any(here.id in front.closes for front in piece.fronts)
    lost = [front for front in piece.fronts if closed and front.closes == (beside.id,)]
    names = {id: made.id for id in gone}
    fronts = tuple(
        replace(front, closes=tuple(dict.fromkeys(names.get(id, id) for id in front.closes)))
        for front in piece.fronts
        if front not in lost
    )
    layout = tuple(made if each is old else each for each in piece.layout if each is old or each.id not in gone)
    given_up = {front.id for front in lost}
    measured = tuple(each for each in piece.measured if not given_up & set(each.what.split(".")[1:2]))
    return retiring(replace(piece, layout=layout, fronts=fronts, measured=measured), gone | given_up)


def _board_between(piece: Piece, above: Compartment) -> float:
    boards = {each.id: each.thickness for each in piece.boards}
    return boards.get(piece.carcass.board, 0.0) if above.between == "board" else 0.0


def _with_compartments(piece: Piece, old: Compartment, made: list[Compartment]) -> Piece:
    at = piece.layout.index(old)
    return replace(piece, layout=(*piece.layout[:at], *made, *piece.layout[at + 1 :]))


def _with_front(piece: Piece, old: Front | None, made: list[Front]) -> Piece:
    """The piece with new fronts in the place of an old one, whose id is given up unless one of them has it."""
    if old is None:
        return replace(piece, fronts=(*piece.fronts, *made))
    at = piece.fronts.index(old)
    given_up = {old.id} - {each.id for each in made}
    return retiring(replace(piece, fronts=(*piece.fronts[:at], *made, *piece.fronts[at + 1 :])), given_up)


def _closing(piece: Piece, id: str) -> Front | None:
    """The front that closes a compartment and nothing else; refused where one closes it together with others."""
    layout = Layout(piece.layout)
    for front in piece.fronts:
        if front.closes == (id,):
            return front
        if any(id in layout.within(each) for each in front.closes):
            words = f'"{id}" is closed by "{front.id}" together with others; change that front first'
            raise ParameterError("fronts", words)
    return None


def _like(piece: Piece, *kinds: str) -> Front:
    """A front to take board, panel, gaps and hardware from: the last of these kinds, of any, or a plain one."""
    same = [front for front in piece.fronts if front.kind in kinds]
    return (same or list(piece.fronts) or [Front()])[-1]


def _together(first: Size, second: Size, between: float) -> Size:
    """The size of two neighbours in one, and of what stood between them: fixed only where both were."""
    if first.way == second.way == "fixed":
        return Size("fixed", first.amount + second.amount + between)
    if "rest" in (first.way, second.way):
        return Size("rest", 1.0)
    return Size("share", sum(each.amount for each in (first, second) if each.way == "share"))


def _taken(piece: Piece) -> set[str]:
    return {each.id for each in (*piece.layout, *piece.fronts)} | set(piece.retired)


def _free(wanted: str, taken: set[str]) -> str:
    stem = wanted if len(wanted) <= LONGEST_ID else f"part-{wanted.rpartition('-')[2]}"
    number = 1
    while (made := stem if number == 1 else f"{stem}.{number}") in taken:
        number += 1
    taken.add(made)
    return made
