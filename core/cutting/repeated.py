"""Fence and stop distances that come back, each with the parts it serves, so that the saw is set once."""

from __future__ import annotations

from dataclasses import dataclass

from .plan import ACROSS, KEEP, PART, PIECE, SCRAP, TRIM, Cut, Piece, SheetPlan
from .planned import JobPlans, MaterialPlan

SAME = 0.05  # mm


@dataclass(frozen=True, slots=True)
class RepeatedSetting:
    """One distance of one saw: how many cuts, in which materials, and the marks of the parts whose size it is."""

    tool: str
    distance: float
    cuts: int
    materials: tuple[str, ...]
    marks: tuple[str, ...]


def repeated_settings(plans: JobPlans) -> tuple[RepeatedSetting, ...]:
    """Every distance at which a saw makes more than one cut that gives a part its size, widest first; trimming is not
    counted."""
    cuts: dict[tuple[str, float], list[tuple[MaterialPlan, frozenset[str]]]] = {}
    for made in plans.plans:
        for sheet in made.plan.sheets:
            pieces = {piece.number: piece for piece in sheet.pieces}
            for cut in sheet.cuts:
                if cut.rest is None or pieces[cut.rest].kind != TRIM:
                    cuts.setdefault((cut.tool, round(cut.setting, 1)), []).append(
                        (made, _served(made, sheet, pieces, cut))
                    )
    found = []
    for (tool, distance), some in cuts.items():
        marks = frozenset().union(*(marks for _, marks in some))
        if len(some) > 1 and marks:
            found.append(
                RepeatedSetting(
                    tool,
                    distance,
                    len(some),
                    tuple(dict.fromkeys(made.name for made, _ in some)),
                    tuple(sorted(marks, key=lambda mark: (len(mark), mark))),
                )
            )
    return tuple(sorted(found, key=lambda each: (each.tool, -each.distance)))


def _served(made: MaterialPlan, sheet: SheetPlan, pieces: dict[int, Piece], cut: Cut) -> frozenset[str]:
    """The marks of the parts in what comes off that have this size in the direction of the cut."""
    off, found = pieces[cut.off], set()
    for piece in sheet.pieces:
        if piece.kind == PART and _inside(piece, off):
            size = piece.length if cut.direction == ACROSS else piece.width
            if abs(size - cut.setting) < SAME:
                blank = made.blanks[piece.part or 0]
                found.add(blank.mark or blank.name)
    return frozenset(found)


def _inside(piece: Piece, outer: Piece) -> bool:
    assert outer.kind in (PIECE, PART, KEEP, SCRAP, TRIM)
    return (
        outer.x - SAME <= piece.x
        and piece.x + piece.length <= outer.x + outer.length + SAME
        and outer.y - SAME <= piece.y
        and piece.y + piece.width <= outer.y + outer.width + SAME
    )
