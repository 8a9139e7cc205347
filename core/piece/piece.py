"""One design, frozen and checked: the parameters that everything else follows from."""

from __future__ import annotations

from ..errors import ParameterError
from ..fields import group, ident, items, parameters, variant
from .finish import Finish
from .fronts import Front
from .joints import Carcass
from .layout import Compartment, Layout
from .shop import Shop
from .site import Site
from .whole import BoardInUse, Measured, Record, Whole

OUR_WORDS = frozenset(
    ("anchor", "carcass", "cornice", "frieze", "side.left", "side.right", "whole")
)  # keys of parts begin with them
_WHOLE_CARCASS = (Compartment(id="all"),)
_BOARDS = (BoardInUse(id="mdf-18"), BoardInUse(id="mdf-6", thickness=6.0))


@parameters
class Piece:
    """The parameters of one piece of furniture."""

    id: str = ident("piece", "Id", "Tells this piece from the others of a job")
    whole: Whole = group(Whole, "Whole", "Name and overall size")
    boards: tuple[BoardInUse, ...] = items(
        BoardInUse, "Boards", "What it is made from, thickness as measured", default=_BOARDS, most=40
    )
    layout: tuple[Compartment, ...] = items(
        Compartment, "Layout", "The carcass divided into compartments", default=_WHOLE_CARCASS
    )
    carcass: Carcass = group(Carcass, "Joints and back", "How the carcass goes together")
    support: object = variant("build.supports", "glides", "Support", "What it stands on")
    top: object = variant("build.tops", "flush", "Top", "What closes it above")
    fronts: tuple[Front, ...] = items(Front, "Fronts", "Doors and drawers")
    finish: Finish = group(Finish, "Finish", "Colours and coatings")
    site: Site = group(Site, "Site", "Where it will stand")
    shop: Shop = group(Shop, "Workshop", "What the workshop can do")
    measured: tuple[Measured, ...] = items(
        Measured, "Measured values", "Sizes read on the bench; taking one out restores the design value"
    )
    record: Record = group(Record, "Record", "Client, revision and release state")
    retired: tuple[str, ...] = items(
        str, "Retired ids", "Ids of compartments and fronts that were taken out; never given to another", most=4000
    )

    def __post_init__(self) -> None:
        layout = Layout(self.layout)
        self.finish.scheme()
        _unique("boards", [each.id for each in self.boards])
        _not_our_words("layout", [each.id for each in self.layout])
        _not_our_words("fronts", [each.id for each in self.fronts])
        _unique("fronts", [each.id for each in self.fronts])
        known = {each.id for each in self.layout}
        for index, front in enumerate(self.fronts):
            for id in front.closes:
                if id not in known:
                    raise ParameterError(f"fronts[{index}].closes", f'there is no compartment "{id}"')
            if not front.closes:
                raise ParameterError(f"fronts[{index}].closes", "names no compartment")
        _closed_once(self.fronts, layout)


def _closed_once(fronts: tuple[Front, ...], layout: Layout) -> None:
    """A compartment is closed by one front in the face of the piece, and by one drawer behind a door."""
    _each_once([(index, front) for index, front in enumerate(fronts) if not front.is_inner], layout)
    _each_once([(index, front) for index, front in enumerate(fronts) if front.is_inner], layout)


def _each_once(fronts: list[tuple[int, Front]], layout: Layout) -> None:
    closed_by: dict[str, str] = {}
    for index, front in fronts:
        for leaf in dict.fromkeys(leaf for id in front.closes for leaf in layout.within(id)):
            if leaf in closed_by:
                raise ParameterError(f"fronts[{index}].closes", f'"{leaf}" is closed by "{closed_by[leaf]}" already')
            closed_by[leaf] = front.id


def _not_our_words(path: str, ids: list[str]) -> None:
    for index, id in enumerate(ids):
        if id in OUR_WORDS:
            raise ParameterError(
                f"{path}[{index}].id", f'"{id}" is what parts of every piece are called; give it another id'
            )


def _unique(path: str, ids: list[str]) -> None:
    for index, id in enumerate(ids):
        if not id:
            raise ParameterError(f"{path}[{index}].id", "must not be empty")
        if id in ids[:index]:
            raise ParameterError(f"{path}[{index}].id", f'"{id}" is already taken; give each an id of its own')
