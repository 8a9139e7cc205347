"""Drawings of different sizes laid on sheets in shelves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Generic, Protocol, TypeVar

from ..drawing.page import Rect

GUTTER = 10.0  # mm between drawings on a sheet
LOOK_BACK = 4  # sheets; a drawing may stand so many sheets before the one that follows it


class Sized(Protocol):
    """Anything that takes up paper: mm."""

    @property
    def width(self) -> float:
        """From left to right."""

    @property
    def height(self) -> float:
        """From top to bottom."""


T = TypeVar("T", bound=Sized)


@dataclass(slots=True)
class Shelf(Generic[T]):
    """Drawings side by side, their tops on one level; each with its left edge."""

    top: float
    height: float
    right: float
    held: list[tuple[T, float]] = field(default_factory=list)


def packed(
    things: Sequence[T], room: Rect, gutter: float = GUTTER, look_back: int = LOOK_BACK
) -> list[list[tuple[T, float, float]]]:
    """For each sheet what lies on it, with left edge and top.

    Each stands on the first shelf with room on the last sheets, so nearly in order; the lowest shelf of a sheet may yet
    become higher.
    """
    pages: list[list[Shelf[T]]] = []
    for thing in things:
        shelves = ((shelf, shelf is page[-1]) for page in pages[-look_back:] for shelf in page)
        shelf = next((each for each, lowest in shelves if _has_room(each, thing, room, gutter, lowest)), None)
        if shelf is None:
            shelf = _new_shelf(pages, thing, room, gutter, look_back)
        x = shelf.right + (gutter if shelf.held else 0.0)
        shelf.held.append((thing, x))
        shelf.right = x + thing.width
        shelf.height = max(shelf.height, thing.height)
    return [[(thing, x, shelf.top) for shelf in page for thing, x in shelf.held] for page in pages]


# ------------------------------------------------------------------------------------------------------------ helpers
def _has_room(shelf: Shelf[T], thing: T, room: Rect, gutter: float, lowest: bool) -> bool:
    height = shelf.top - room.y if lowest else shelf.height
    return thing.height <= height + 1e-6 and shelf.right + gutter + thing.width <= room.right + 1e-6


def _new_shelf(pages: list[list[Shelf[T]]], thing: T, room: Rect, gutter: float, look_back: int) -> Shelf[T]:
    for page in pages[-look_back:]:
        top = page[-1].top - page[-1].height - gutter
        if top - thing.height >= room.y:
            page.append(Shelf(top, thing.height, room.x))
            return page[-1]
    pages.append([Shelf(room.top, thing.height, room.x)])
    return pages[-1][-1]
