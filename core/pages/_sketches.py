"""Parts and views at full size as plain drawings by kind of line, for programs that draw or cut."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from ..built import BuiltJob
from ..cutting.list import parts_list
from ..drawing.page import Circle, Item, Lines, Rect, Text, placed
from ..drawing.views import View
from ..model import Model
from ._part_sheets import Subject, all_subjects
from ._part_views import hole_axes, hole_spots, views_shown
from ._sections import OFF, Sectioned, moved_fronts, plan_level, section_place, sectioned
from ._sheets import piece_name, triple
from ._views import Drawn, drawn_view

Layers = dict[str, list[Item]]

APART = 60.0  # mm between the views of a part
ROW = 150.0  # mm between parts, and between views of a piece
LETTERING = 20.0  # mm
VIEWS = (("front", "Front"), ("side", "Side, seen from the right"), ("top", "Plan, seen from above"))


def parts_sketch(job: BuiltJob) -> Layers:
    """Every mark once at full size, one under another: face side with the sides round it, holes true circles.

    A part's foot end and its edge at y = 0 meet at the left of its row; the marks and sizes stand beside.
    """
    layers: Layers = {}
    top = 0.0
    entries = {entry.mark: entry for entry in parts_list(job)}
    for subject in all_subjects(job):
        part, rect = _part(subject)
        _add(layers, part, -rect.x, top - rect.top)
        words = f"{subject.title}: {triple(entries[int(subject.title.split()[0])].finished)}"
        layers.setdefault("lettering", []).append(Text(0.0, top + LETTERING, LETTERING, words))
        top -= rect.height + ROW
    return layers


def views_sketch(job: BuiltJob) -> Layers:
    """Front, side, plan and both sections of every piece at full size, side by side, a piece a row."""
    layers: Layers = {}
    top = 0.0
    for built in job.pieces:
        model, left, lowest = built.model, 0.0, 0.0
        for name, drawn in _views(model):
            x = left - drawn.box.x
            _add(layers, _lines(drawn), x, top - drawn.box.top)
            layers.setdefault("lettering", []).append(Text(left, top + LETTERING, LETTERING, name))
            left += drawn.box.width + ROW
            lowest = max(lowest, drawn.box.height)
        layers["lettering"].append(Text(0.0, top + 3 * LETTERING, LETTERING, piece_name(built)))
        top -= lowest + 2 * ROW
    return layers


# ------------------------------------------------------------------------------------------------------------ helpers
def _views(model: Model) -> list[tuple[str, Drawn | Sectioned]]:
    found: list[tuple[str, Drawn | Sectioned]] = [(words, drawn_view(model, View.named(name))) for name, words in VIEWS]
    if model.bays:
        level, place = plan_level(model), section_place(model)
        found.append(
            (
                f"Plan section {level:g} above the floor",
                sectioned(model, View.named("top"), level + OFF, moved_fronts(model)),
            )
        )
        words = f"Section {abs(place):g} {'left' if place < 0 else 'right'} of the middle, seen from the right"
        found.append((words, sectioned(model, View.named("side"), place + OFF)))
    return found


def _lines(drawn: Drawn | Sectioned) -> Layers:
    if isinstance(drawn, Drawn):
        return {"visible": _segments(drawn.wide), "visible, narrow": _segments(drawn.narrow)}
    found = _lines(drawn.beyond) if drawn.beyond else {}
    found["visible"] = [*found.get("visible", []), *_segments(drawn.section.points)]
    found["hatching"] = [Lines(item.segments, item.width) for item in drawn.hatched(0.0, 0.0, 1.0, 10.0)]
    found["outline of another position"] = _segments(drawn.elsewhere)
    return found


def _segments(points: np.ndarray) -> list[Item]:
    return [Lines(tuple(map(tuple, points.reshape(-1, 4).tolist())))] if len(points) else []


def _add(layers: Layers, more: Layers, x: float, y: float) -> None:
    for name, items in more.items():
        layers.setdefault(name, []).extend(placed(items, x, y))


def _part(subject: Subject) -> tuple[Layers, Rect]:
    """The views of a part about its face side, and the paper they cover, mm of the part."""
    layers: Layers = {}
    seen, part = subject.seen, subject.part
    face = seen["face"].box
    rects = []
    low, high = face.y, face.top
    for name in ("face", *views_shown(part, subject.rows, subject.pockets)):
        box = seen[name].box
        x, y = 0.0, 0.0
        if name == "foot":
            x = face.x - APART - box.right
        elif name == "head":
            x = face.right + APART - box.x
        elif name == "high":
            y = high + APART - box.y
            high = y + box.top
        elif name != "face":
            y = low - APART - box.top
            low = y + box.y
        mine: Layers = {
            "visible": _segments(seen[name].wide),
            "visible, narrow": _segments(seen[name].narrow),
            "hidden": [],
            "centre": [],
        }
        for at, diameter in hole_spots(part, subject.rows, name):
            mine["visible"].append(Circle(*at, diameter / 2))
        if name in ("face", "back"):
            mine["hidden"] += _segments(np.array(hole_axes(part, subject.rows, name), float).reshape(-1, 2, 2))
        _add(layers, mine, x, y)
        rects.append(box.moved(x, y))
    around = _around(rects)
    return {name: items for name, items in layers.items() if items}, around


def _around(rects: Sequence[Rect]) -> Rect:
    x, y = min(rect.x for rect in rects), min(rect.y for rect in rects)
    return Rect(x, y, max(rect.right for rect in rects) - x, max(rect.top for rect in rects) - y)
