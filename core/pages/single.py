"""A drawing of one piece from one direction on one sheet, together or taken apart."""

from __future__ import annotations

from itertools import chain

import numpy as np

from ..built import BuiltJob
from ..drawing.hidden_lines import Drawable, Kind
from ..drawing.hidden_lines import Lines as SeenLines
from ..drawing.page import Item, Lines, Page, dashes
from ..drawing.perspective import FLAT, Perspective
from ..drawing.sheet import Scale, Sheet, fitting_scale
from ..drawing.sight import Sight
from ..drawing.views import View
from ..meshes import model_meshes
from ..model import Model
from ._flow import flow_paths, visible_stretches
from ._sheets import blank
from ._views import INNER, boxes_of, drawn

PAPERS = ("A4", "A4 landscape", "A3")
LARGEST, SMALLEST = Scale(1, 1), Scale(1, 10)
VIEW_NAMES = {
    View.named("front"): "front",
    View.named("side"): "side, seen from the right",
    View.named("top"): "plan, seen from above",
    View.named("iso"): "from the front right, above",
    View.named("dimetric"): "dimetric, from the front",
}


def drawing_page(job: BuiltJob, model: Model, view: View | Perspective, apart: float, hidden: bool = False) -> Page:
    """The one piece of a job as `model` has it (together, or moved apart by this share of the way), seen from a view.

    At the largest ISO 5455 scale on A4, or on A3 where A4 would make it smaller than `SMALLEST`; flow lines lead parts
    that are apart to their seats. `hidden` adds edges that are out of sight, dashed.
    """
    meshes = list(model_meshes(model).values())
    near, looked = view if isinstance(view, Perspective) else None, FLAT if isinstance(view, Perspective) else view
    solids = Drawable.of([near.mesh(mesh) for mesh in meshes] if near else meshes)
    lines = solids.lines(looked, hidden=hidden)
    picture = drawn(solids, looked, _seen(lines))
    sheets = [_blank(job, view, apart, paper, Scale(1, 100)) for paper in PAPERS]
    scales = [fitting_scale(picture.box.width, picture.box.height, sheet.room, largest=LARGEST) for sheet in sheets]
    best = max(range(len(PAPERS) - 1), key=lambda n: scales[n].ratio)
    if scales[best].ratio < SMALLEST.ratio and scales[-1].ratio > scales[best].ratio:
        best = len(PAPERS) - 1
    scale, room = scales[best], sheets[best].room
    x = room.centre[0] - picture.box.centre[0] * scale.ratio
    y = room.centre[1] - picture.box.centre[1] * scale.ratio
    flows = _flow_lines(job.pieces[0].model, model, solids, looked, near, scale.ratio) if apart else ()
    dashed = lines.of_kind(Kind.HIDDEN)
    if len(dashed):
        flows = (Lines(tuple(map(tuple, dashed.reshape(-1, 4).tolist())), INNER, dashes("hidden", INNER)), *flows)
    items = (*(item.placed(x, y, scale.ratio) for item in flows), *picture.items(x, y, scale.ratio))
    return _blank(job, view, apart, PAPERS[best], scale).with_items(items).page()


def view_of(name: str, model: Model) -> View | Perspective:
    """A view by its name; "perspective" looks from the front right, a little above, as a person would stand."""
    if name != "perspective":
        return View.named(name)
    boxes = boxes_of(model).values()
    low, high = np.min([each[0] for each in boxes], 0), np.max([each[1] for each in boxes], 0)
    return Perspective.around(tuple(map(float, low)), tuple(map(float, high)))  # type: ignore[arg-type]


def _seen(lines: SeenLines) -> SeenLines:
    """The lines that are in sight."""
    kept = lines.kind != Kind.HIDDEN
    return SeenLines(lines.points[kept], lines.solid[kept], lines.edge[kept], lines.kind[kept])


def _blank(job: BuiltJob, view: View | Perspective, apart: float, paper: str, scale: Scale) -> Sheet:
    near = isinstance(view, Perspective)
    words = (
        "in perspective"
        if near
        else VIEW_NAMES.get(view) or f"toward {', '.join(f'{part:.2f}' for part in view.direction)}"
    )
    views = f"View: {words}." + (" Chain lines lead each part to its seat." if apart else "")
    return blank(
        job,
        "Drawing, apart" if apart else "Drawing",
        built=job.pieces[0],
        paper=paper,
        scale="" if near else str(scale),
        views=views,
    )


def _flow_lines(
    home: Model, model: Model, solids: Drawable, view: View, near: Perspective | None, scale: float
) -> tuple[Item, ...]:
    """In mm of the piece."""
    there = {thing.key: thing.place.origin for thing in chain(model.parts, model.fittings)}
    moves = {
        thing.key: np.array(there[thing.key]) - np.array(thing.place.origin)
        for thing in chain(home.parts, home.fittings)
        if thing.key in there
    }
    paths = flow_paths(home, {key: key for key in moves}, moves, boxes_of(home))
    if near:
        paths = [near.points(path) for path in paths]
    stretches = visible_stretches(paths, Sight.of(solids, view), view, scale)
    segments = tuple((float(a), float(b), float(c), float(d)) for (a, b), (c, d) in stretches)
    return (Lines(segments, INNER, dashes("centre", INNER)),) if segments else ()
