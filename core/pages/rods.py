"""The rods: every height, width and depth that a setting-out rod carries, and what lies there."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence

from ..built import BuiltJob, BuiltPiece
from ..cutting.list import sideless
from ..drawing.dimensions import figures
from ..drawing.sheet import Cell, Column, Gap, Heading, Paragraph, Sheet, Table, flow, single_group
from ..model import Model
from ._sheets import ROD_RULES, blank, sentence, titled
from ._views import boxes_of

SAME = 0.05  # mm; faces nearer than this lie at one mark of the rod
MOST_NAMES = 4  # things named at one mark


class Rods:
    """Tables of heights from the floor, widths from the middle, depths behind the carcass front."""

    word = "rods"
    title = "Rods"
    order = 60

    def sheets(self, job: BuiltJob) -> Sequence[Sheet]:
        """One set of tables for each piece of the job that has rods."""
        return tuple(sheet for built in job.pieces if built.model.rods for sheet in _sheets(job, built, self.title))


COLUMNS = (Column("From", 16, "right"), Column("Step", 14, "right"), Column("What lies there"))
RODS = (
    ("heights", "Heights above the floor", 2, ("underside", "top")),
    ("widths", "Widths from the middle, left and right alike", 0, ("inner", "outer")),
    ("depths", "Depths behind the carcass front (f)", 1, ("front", "rear")),
)

ENTRY = Rods()


def _sheets(job: BuiltJob, built: BuiltPiece, title: str) -> Sequence[Sheet]:
    sheet = blank(job, titled(job, built, title), built=built, paper="A4")
    words = (
        "Strike these on three straight laths, square across, with a knife or a hard pencil, and mark the parts from "
        f"them. {ROD_RULES} What is measured on the bench is written on the rod. A negative depth stands in front of "
        "the carcass."
    )
    return flow([Paragraph(words), *_blocks(built.model)], sheet)


def _blocks(model: Model) -> Iterator:
    for rod, heading, axis, words in RODS:
        stations = model.rods.get(rod, ())
        if stations:
            faces = _faces(model, axis, words)
            steps = ["", *(figures(b - a) for a, b in itertools.pairwise(stations))]
            rows = [
                (Cell(figures(at), "bold"), step, _lying_at(at, faces))
                for at, step in zip(stations, steps, strict=True)
            ]
            yield Heading(heading)
            yield Table(COLUMNS, single_group(rows))
            yield Gap(6)


def _faces(model: Model, axis: int, words: tuple[str, str]) -> list[tuple[float, str, str]]:
    """Where every part begins and ends along an axis, as the rod counts: place, which of its faces, its name.

    On the rod of heights the middles of rails and fittings as well.
    """
    found = []
    boxes = boxes_of(model)
    for part in model.parts:
        low, high = _on_rod(model, axis, *(float(end[axis]) for end in boxes[part.key]))
        name = _short(part.name)
        found += (
            [(low, words[0], name), (high, words[1], name)] if low >= 0 or axis else [(max(-low, high), words[1], name)]
        )
        if axis == 2 and part.role == "rail":
            found.append(((low + high) / 2, "middle", name))
    if axis == 2:
        found += [
            (float(sum(end[2] for end in boxes[each.key])) / 2, "middle", _short(each.name))
            for each in model.fittings
            if not each.bought_with
        ]
    return found


def _on_rod(model: Model, axis: int, low: float, high: float) -> tuple[float, float]:
    """Both ends of a part as its rod counts them: widths outward from the middle, depths from the carcass front."""
    if axis == 1:
        return low + model.carcass[1], high + model.carcass[1]
    return (-high, -low) if axis == 0 and high <= 0 else (low, high)


def _short(name: str) -> str:
    """A name without side and sizes: what is alike on both sides is said once."""
    return sideless(name.split(",")[0])


def _lying_at(at: float, faces: list[tuple[float, str, str]]) -> str:
    said: dict[str, list[str]] = {}
    for place, which, name in faces:
        if abs(place - at) < SAME:
            said.setdefault(which, []).append(name)
    return sentence("; ".join(f"{which}: {_names(list(dict.fromkeys(names)))}" for which, names in said.items()))


def _names(names: list[str]) -> str:
    more = len(names) - MOST_NAMES
    return ", ".join(names) if more <= 0 else f"{', '.join(names[:MOST_NAMES])} and {more} more"
