"""The same problem in whole numbers: sizes that carry their kerf with them, so that parts beside each other simply add up."""

from __future__ import annotations

from dataclasses import dataclass

from .problem import FINEST, CuttingProblem, room_of


@dataclass(frozen=True, slots=True)
class Kind:
    """Parts of one size: length, width (kerf included), how many, whether they may turn, and the parts' numbers in turn."""

    length: int
    width: int
    quantity: int
    turns: bool
    numbers: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Room:
    """The usable rectangle of one stock size (one kerf added, for the last part needs none), its price and how many there are."""

    length: int
    width: int
    price: float
    count: int | None
    stock: int
    offcut: bool = False

    @property
    def area(self) -> int:
        """In square steps."""
        return self.length * self.width


@dataclass(frozen=True, slots=True)
class Whole:
    """Kinds and rooms in steps of 1/`scale` mm."""

    kinds: tuple[Kind, ...]
    rooms: tuple[Room, ...]
    scale: int
    stages: int | None

    @property
    def area(self) -> int:
        """Of all parts, with their kerf, in square steps."""
        return sum(kind.length * kind.width * kind.quantity for kind in self.kinds)


def in_whole_numbers(problem: CuttingProblem) -> Whole:
    """Parts and rooms in the coarsest decimal step that holds every size; beyond the finest, parts round up and rooms down."""
    scale = _scale(problem)
    kerf, kinds = problem.kerf, {}
    for number, part in enumerate(problem.parts):
        if part.quantity:
            turns = problem.may_turn(number) and part.length != part.width
            size = _up((part.length + kerf) * scale), _up((part.width + kerf) * scale)
            kinds.setdefault((*size, turns), []).extend([number] * part.quantity)
    rooms = tuple(
        Room(
            *(_down((side + kerf) * scale) for side in room_of(problem, stock)),
            stock.price,
            stock.count,
            at,
            stock.offcut,
        )
        for at, stock in enumerate(problem.stock)
        if stock.count != 0
    )
    return Whole(
        tuple(Kind(*size, len(numbers), turns, tuple(numbers)) for (*size, turns), numbers in kinds.items()),
        rooms,
        scale,
        problem.stages,
    )


def _scale(problem: CuttingProblem) -> int:
    sizes = (
        {problem.kerf}
        | {trim for each in problem.stock for trim in (problem.end_trim(each), problem.edge_trim(each))}
        | {size for each in (*problem.parts, *problem.stock) for size in (each.length, each.width)}
    )
    scale = 1
    while scale < FINEST and any(abs(size * scale - round(size * scale)) > 1e-7 for size in sizes):
        scale *= 10
    return scale


def _up(value: float) -> int:
    near = round(value)
    return near if abs(near - value) < 1e-6 else int(-(-value // 1))


def _down(value: float) -> int:
    near = round(value)
    return near if abs(near - value) < 1e-6 else int(value // 1)
